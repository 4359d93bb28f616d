//! The `meterwright` command.

use std::process::ExitCode;

fn main() -> ExitCode {
    sim::command::broken_on_panic();
    sim::command::main(std::env::args_os()).into()
}
