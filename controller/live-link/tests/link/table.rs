//! The fields' places, as the page lists them.

use live_link::{MAX_PAYLOAD, describe};
use std::collections::BTreeMap;

#[test]
fn every_body_fits_its_frame() {
    let mut ends: BTreeMap<u8, usize> = BTreeMap::new();
    describe(|field| {
        let end = ends.entry(field.kind).or_default();
        assert_eq!(field.offset, *end, "{field:?} follows the one before");
        *end = field.offset + field.size;
    });
    // Header and check sum are eight bytes.
    let bodies =
        [(2, 4), (3, 11), (4, 141), (129, 23), (130, 4), (131, 1), (132, 56), (133, 52), (255, 5)];
    assert_eq!(ends.into_iter().collect::<Vec<_>>(), bodies);
    assert!(bodies.iter().all(|(_, length)| length + 8 <= MAX_PAYLOAD));
}
