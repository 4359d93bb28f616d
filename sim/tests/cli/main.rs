//! The `meterwright` command as a script or a person meets it: exit codes, what is printed where, what
//! is left behind, and that `docs/cli.md` and `docs/schema.md` say the same.

mod bench;
mod bus_logs;
mod documents;
mod exits;
mod faults;
mod leavings;
mod measured;
mod pipes;
mod receiver_logs;
mod runs;
mod schema;
mod settled;
mod sized;
mod sown;
mod sweep;
mod wrong_runs;
