//! The tables of `docs/operator.md` are those of the code.

use crate::drill::STATES;
use controller::panel::{
    Advice, DrillState, EventKind, ITEMS, Page, Pattern, Row, Size, pages, reason_of,
};
use controller::watch::Class;
use std::fmt::Write as _;

fn document() -> String {
    let file = tests::project().join("docs/operator.md");
    std::fs::read_to_string(file).expect("docs/operator.md")
}

fn says(table: &str) {
    assert!(document().contains(table), "docs/operator.md must say:\n{table}");
}

const fn words(class: Class) -> &'static str {
    match class {
        Class::Alarm => "alarm",
        Class::Pause => "pause",
        Class::Latch => "latch",
    }
}

#[test]
fn every_alarm_stands_there_with_what_to_do() {
    let mut table = String::from("| no. | display | class | what to do |\n|---:|---|---|---|\n");
    for item in ITEMS {
        let Advice { name, act } = Advice::of(item);
        let class = words(item.class());
        writeln!(table, "| {} | {name} | {class} | {act} |", item.number()).expect("a string");
    }
    says(&table);
}

#[test]
fn the_states_stand_there_with_their_words_and_numbers() {
    let mut table = String::from("| no. | display | state |\n|---:|---|---|\n");
    for (number, state) in STATES.iter().enumerate() {
        let word = DrillState::of(*state).word();
        writeln!(table, "| {number} | `{}` | {word} |", reason_of(*state)).expect("a string");
    }
    says(&table);
}

#[test]
fn the_patterns_of_lamps_and_buzzer_stand_there() {
    let mut table =
        String::from("| for | pattern | on, off …, ms | period, ms |\n|---|---|---|---:|\n");
    let mut row = |what: &str, pattern: Pattern| {
        let spans: Vec<String> = pattern.spans_ms.iter().map(u16::to_string).collect();
        let (name, spans, period) = (pattern.name, spans.join(", "), pattern.period_ms());
        writeln!(table, "| {what} | {name} | {spans} | {period} |").expect("a string");
    };
    for state in DrillState::ALL {
        row(&format!("state lamp: {}", state.word()), Pattern::of_state(state));
    }
    let classes = [None, Some(Class::Alarm), Some(Class::Pause), Some(Class::Latch)];
    for class in classes {
        row(&format!("alarm lamp: {}", class.map_or("none", words)), Pattern::of_alarm(class));
    }
    for class in classes {
        row(&format!("buzzer: {}", class.map_or("none", words)), Pattern::of_buzzer(class));
    }
    says(&table);
}

fn shows(row: Row) -> String {
    match row {
        Row::State => "state, ground speed".into(),
        Row::Rates(product) => format!("rate asked/laid of box {}", product + 1),
        Row::Shaft(side) => format!("shaft {}", side + 1),
        Row::Map(side) => format!("map {}", side + 1),
        Row::Left(product) => format!("left in box {}", product + 1),
        Row::Sown(product) => format!("sown from box {}", product + 1),
        Row::Lot(product) => format!("lot of box {}", product + 1),
        Row::Field => "field".into(),
        Row::Area => "area".into(),
        Row::Way => "way".into(),
    }
}

#[test]
fn the_pages_stand_there() {
    let mut table = String::from("| display | page | rows |\n|---|---|---|\n");
    for (name, size) in [("16×2", Size::Two16), ("20×4", Size::Four20)] {
        for Page { name: page, rows } in pages(size) {
            let rows: Vec<String> = rows.iter().map(|row| shows(*row)).collect();
            writeln!(table, "| {name} | {page} | {} |", rows.join(" · ")).expect("a string");
        }
    }
    says(&table);
}

#[test]
fn the_kinds_of_events_stand_there() {
    let text = document();
    for kind in EventKind::ALL {
        let row = format!("| {} | `{}` |", kind.number(), kind.word());
        assert!(text.contains(&row), "docs/operator.md has no row {row}");
    }
}

#[test]
fn the_status_line_of_the_document_is_one_that_is_sent() {
    let panel = crate::drill::panel(controller::panel::Units::Metric, Size::Four20);
    let keys = |line: &str| {
        let words = line.split(' ').map(|word| word.split('=').next().unwrap_or("").to_owned());
        words.collect::<Vec<_>>()
    };
    let text = document();
    let line = text.lines().find(|line| line.trim().starts_with("state=")).expect("an example");
    assert_eq!(keys(line.trim()), keys(&panel.status()));
}

#[test]
fn the_settings_fingerprint_is_shown_at_start_until_an_alarm_or_five_seconds() {
    use controller::panel::{Buttons, Seen, Units};
    use controller::quantity::Instant;
    for size in [Size::Two16, Size::Four20] {
        let mut panel = crate::drill::panel(Units::Metric, size);
        panel.greet(0x0123_CDEF);
        let shows = |panel: &controller::panel::Panel| {
            panel.screen().rows().any(|row| row.trim_end() == "2345-KRTX")
        };
        assert!(shows(&panel), "{:?}", panel.screen());
        let calm = Seen::default();
        panel.update(calm, Buttons::default(), Instant::from_micros(1_000_000));
        panel.update(calm, Buttons::default(), Instant::from_micros(5_500_000));
        assert!(shows(&panel), "4.5 s on");
        let item = ITEMS.first().copied();
        let mut alarmed = panel.clone();
        let alarm = Seen { alarm: item, ..calm };
        alarmed.update(alarm, Buttons::default(), Instant::from_micros(5_600_000));
        assert!(!shows(&alarmed), "an alarm comes first");
        panel.update(calm, Buttons::default(), Instant::from_micros(6_500_000));
        assert!(!shows(&panel), "after five seconds");
    }
}
