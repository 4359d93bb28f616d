//! The `meterwright` command.
fn main() {}
