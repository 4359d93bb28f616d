//! No bytes whatever make the readers panic.

use crate::logs::track_with;
use crate::{DRILL, SCENARIO, SEED, folder, read};
use proptest::prelude::*;

/// Names of the files that are read.
const NAMES: [&str; 4] = ["drill.toml", "seed.toml", "scenario.toml", "track.csv"];

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(200) })]

    #[test]
    fn no_bytes_make_the_readers_panic(bytes in prop::collection::vec(any::<u8>(), 0..300), which in 0..4_usize) {
        let folder = folder(NAMES[which], &bytes);
        prop_assert!(read(folder.path(), NAMES[which]).is_err());
    }

    #[test]
    fn no_change_to_a_good_file_makes_the_readers_panic(
        at in any::<prop::sample::Index>(),
        drop in 0..6_usize,
        put in "[ -~\\n]{0,4}",
        which in 0..4_usize,
    ) {
        let track = track_with("20,1.5,1,90");
        let mut text = [DRILL, SEED, SCENARIO, &track][which].to_owned();
        prop_assume!(text.is_ascii());
        let at = at.index(text.len());
        text.replace_range(at..(at + drop).min(text.len()), &put);
        let folder = folder(NAMES[which], text.as_bytes());
        if let Err(error) = read(folder.path(), NAMES[which]) {
            prop_assert!(!error.what.is_empty() && !error.remedy.is_empty());
        }
    }
}
