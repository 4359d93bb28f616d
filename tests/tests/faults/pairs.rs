//! The pairs that prove a fault untellable: two situations, one sequence of inputs.

use sim::fault::pair::Pair;

#[test]
fn the_controller_reads_the_same_in_both_situations_of_every_pair() {
    for pair in Pair::EVERY {
        let shown = pair.run().expect("the settings are valid");
        assert_eq!(shown.ticks, 5_000, "{pair:?} is compared over the whole cycle");
        assert_eq!(shown.differs, None, "{pair:?} differs");
    }
}
