//! Asks one question after the other; a reader and a writer stand for keyboard and screen.

use super::answers::Answers;
use super::kind::Kind;
use super::question::Question;
use super::questions::PARTS;
use crate::unit::System;
use std::io::{self, BufRead, Write};

/// What is said before the first question.
const WELCOME: &str = "This asks about your drill, seed and speeds, and writes the files that the other commands read.\n\
Every question has a default in [ ]: Enter takes it. Values carry their unit, in whatever habit: 4.0 m, 13'6\", 7 1/2 in.\n\
Type ? for what a question means, back for the one before. End of input (Ctrl-D) leaves and writes nothing.\n";

/// Longest line that is taken in, bytes: a person's is far shorter.
const LONGEST: u64 = 4096;

/// Asks until all is answered; none where the input ends before that.
///
/// # Errors
///
/// What the system says of keyboard or screen.
pub fn ask(
    input: &mut dyn BufRead,
    screen: &mut dyn Write,
    system: System,
) -> io::Result<Option<Answers>> {
    let mut answers = Answers::new(system);
    let mut title = "";
    writeln!(screen, "{WELCOME}")?;
    while let Some(question) = answers.next() {
        if let Some(part) = PARTS.iter().find(|part| holds(part.questions, question))
            && part.title != title
        {
            title = part.title;
            writeln!(screen, "\n-- {title} --\n{}\n", part.drawing)?;
        }
        write!(screen, "{} [{}]: ", question.line(&answers), question.usual(&answers))?;
        screen.flush()?;
        let Some(line) = line(input)? else {
            writeln!(screen)?;
            return Ok(None);
        };
        let refused = match line.trim() {
            "" => answers.take_usual(question).err(),
            "?" => {
                explain(question, answers.system(), screen)?;
                None
            }
            "back" => {
                if !answers.take_back() {
                    writeln!(screen, "  This is the first question.")?;
                }
                None
            }
            text => answers.give(question, text).err(),
        };
        if let Some(refusal) = refused {
            writeln!(screen, "  That cannot be used: {refusal}.")?;
        }
    }
    Ok(Some(answers))
}

fn holds(questions: &[Question], question: &Question) -> bool {
    questions.iter().any(|it| it.key == question.key)
}

/// A line of input; none at its end. What is no text is replaced, and then refused by the question.
fn line(input: &mut dyn BufRead) -> io::Result<Option<String>> {
    let mut bytes = Vec::new();
    let count = io::Read::take(&mut *input, LONGEST).read_until(b'\n', &mut bytes)?;
    Ok((count > 0).then(|| String::from_utf8_lossy(&bytes).into_owned()))
}

/// More about a question.
fn explain(question: &Question, system: System, screen: &mut dyn Write) -> io::Result<()> {
    let part = PARTS.iter().find(|part| holds(part.questions, question));
    if let Some(part) = part {
        writeln!(screen, "{}\n", part.drawing)?;
    }
    writeln!(screen, "  {}", question.why)?;
    if let Kind::Word(words) = &question.kind {
        for (number, (word, meaning)) in (1..).zip(*words) {
            writeln!(screen, "  {number}  {word}: {meaning}")?;
        }
    }
    writeln!(screen, "  It wants {}{}.", question.kind.wanted(), question.kind.range(system))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(typed: &str) -> (Option<Answers>, String) {
        let mut screen = Vec::new();
        let answers = ask(&mut typed.as_bytes(), &mut screen, System::Metric).unwrap();
        (answers, String::from_utf8(screen).unwrap())
    }

    #[test]
    fn enter_takes_every_default() {
        let (answers, _) = asked(&"\n".repeat(100));
        let [given, usual] = answers.unwrap().counts();
        assert!(given == 0 && usual > 20, "{given} given, {usual} usual");
    }

    #[test]
    fn the_end_of_input_leaves_without_answers() {
        assert!(asked("\nMy drill\n").0.is_none());
        assert!(asked("").0.is_none());
    }

    #[test]
    fn a_slip_is_explained_and_asked_again() {
        let typed = format!("us\nOld drill\nno\ntwo\n2\n\n4 kg\n13'6\"\n{}", "\n".repeat(100));
        let (answers, screen) = asked(&typed);
        let answers = answers.unwrap();
        assert_eq!(answers.text("width"), "13'6\"");
        assert_eq!(answers.text("width_2"), "13'6\"", "the next side is like the first");
        assert_eq!(screen.matches("That cannot be used").count(), 2, "{screen}");
        assert!(screen.contains("is a mass"), "{screen}");
    }

    #[test]
    fn back_returns_to_the_question_before_and_a_question_mark_explains() {
        let typed = format!("back\n\nWrong name\nback\n?\nRight name\n{}", "\n".repeat(100));
        let (answers, screen) = asked(&typed);
        assert_eq!(answers.unwrap().text("name"), "Right name");
        assert!(screen.contains("This is the first question"), "{screen}");
        assert!(screen.contains("a line of text"), "{screen}");
    }
}
