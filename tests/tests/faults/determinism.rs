//! The same sweep gives the same bytes, on one thread and on two.

use sim::fault::board::Flashed;
use sim::fault::bytes::Flips;
use sim::fault::report::Faults;
use sim::fault::sweep::{Plan, sweep};

fn report(threads: usize, seed: u64) -> String {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("a pool");
    let plan = Plan { step: 900, seed, only: Some("ground") };
    let sweep = pool.install(|| sweep(plan, Flashed::new, &|_| {})).expect("valid settings");
    let faults = Faults { sweep, pairs: Vec::new(), bytes: Flips::default() };
    faults.text(sim::unit::System::Metric) + &faults.document()
}

#[test]
fn the_same_sweep_gives_the_same_bytes_on_one_thread_and_on_two() {
    let one = report(1, 1);
    assert_eq!(one, report(1, 1), "twice on one thread");
    assert_eq!(one, report(2, 1), "on two threads");
    assert_ne!(one, report(1, 2), "another seed draws other chances");
}
