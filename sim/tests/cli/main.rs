//! The `meterwright` command as a script or a person meets it: exit codes, what is printed where, what
//! is left behind, and that `docs/cli.md` and `docs/schema.md` say the same.

mod bench;
mod bus_logs;
mod carried;
mod caught;
mod caught_wrong;
mod documents;
mod doubtful;
mod exits;
mod faults;
mod leavings;
mod live;
mod live_wrong;
mod peer;
mod manual;
mod measured;
mod new;
mod pipes;
mod rated;
mod receiver_logs;
mod runs;
mod schema;
mod sheets;
mod size_values;
mod settled;
mod sized;
mod sown;
mod sweep;
mod transcript;
mod wrong_runs;
