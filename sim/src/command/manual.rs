//! `manual` and `completions`: man pages and what a shell completes, from the definitions of the arguments themselves.

use super::arguments::{Arguments, Shared};
use super::output::{self, Output};
use super::{Exit, Failure, say};
use crate::report::document;
use clap::{Args, Command, CommandFactory};
use clap_complete::Shell;
use clap_mangen::Man;
use std::io;
use std::path::{Path, PathBuf};

/// Options of `completions`.
#[derive(Debug, Args)]
pub(super) struct CompletionsOptions {
    /// The shell.
    #[arg(value_enum)]
    shell: Shell,
}

/// Options of `manual`.
#[derive(Debug, Args)]
pub(super) struct ManualOptions {
    /// Folder for meterwright.1 and a page a command; made if it is not there.
    #[arg(short, long, value_name = "DIR")]
    out: PathBuf,
    /// Write them even where there are files of those names.
    #[arg(long)]
    replace: bool,
}

/// Prints the completions, which a shell reads.
pub(super) fn completions(options: &CompletionsOptions, shared: Shared) -> Result<Exit, Failure> {
    let mut script = Vec::new();
    clap_complete::generate(options.shell, &mut Arguments::command(), "meterwright", &mut script);
    let script = String::from_utf8_lossy(&script);
    say::say(&if shared.json {
        document("completions", "script", &script)
    } else {
        script.into_owned()
    })?;
    Ok(Exit::Pass)
}

/// Writes the man pages.
pub(super) fn manual(options: &ManualOptions, shared: Shared) -> Result<Exit, Failure> {
    let mut command = Arguments::command();
    command.build();
    let mut pages = Vec::new();
    let failed = |why| Failure::Write { place: options.out.clone(), why };
    collect(&command, &options.out, &mut pages).map_err(failed)?;
    for page in &pages {
        output::fresh(&page.file, options.replace)?;
    }
    output::write(&pages)?;
    let files: Vec<String> = pages.iter().map(|page| page.file.display().to_string()).collect();
    say::say(&if shared.json {
        document("manual", "files", &files)
    } else {
        format!(
            "Wrote {} pages into {}.\nNext: man {}\n",
            files.len(),
            say::typed(&options.out),
            say::typed(&options.out.join("meterwright.1"))
        )
    })?;
    Ok(Exit::Pass)
}

/// The page of a command, and those of the commands in it.
fn collect(command: &Command, folder: &Path, pages: &mut Vec<Output>) -> io::Result<()> {
    let name = command.get_display_name().unwrap_or_else(|| command.get_name()).to_owned();
    let mut page = Vec::new();
    Man::new(command.clone()).render(&mut page)?;
    let content = String::from_utf8_lossy(&page).into_owned();
    pages.push(Output { file: folder.join(format!("{name}.1")), content });
    let inner = command.get_subcommands().filter(|inner| inner.get_name() != "help");
    for inner in inner {
        collect(inner, folder, pages)?;
    }
    Ok(())
}
