//! A record from a journal's image: the demo is what the program makes, and no flipped byte makes a wrong record.

use controller::journal::JournalConfig;
use proptest::prelude::*;
use sim::scenario::read;
use sim::sown::demo::{CONFIG, SECTOR, WORD, image};
use sim::sown::{Layout, SideSown, Sown, journal};
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

/// The folder of the demo record.
fn demo(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo-data/records").join(name)
}

const LAYOUT: Layout = Layout { sector: SECTOR, word: WORD, config: CONFIG };

static IMAGE: LazyLock<Vec<u8>> =
    LazyLock::new(|| fs::read(demo("demo-journal.bin")).expect("the image is there"));

/// What the image says, whole.
static SOWN: LazyLock<Sown> = LazyLock::new(|| {
    let sown = journal(&IMAGE, &LAYOUT).expect("the image reads");
    assert_eq!(sown.damage, Vec::<String>::new());
    sown
});

#[test]
fn the_demo_journal_is_made_to_the_byte_by_its_scenario() {
    let scenario =
        read::scenario(&demo("demo-sown.toml")).unwrap_or_else(|error| panic!("{error}"));
    let made = image(&scenario).expect("a journal");
    assert!(made == *IMAGE, "remake it: cargo run -p sim --example demo_journal FILE");
}

#[test]
fn an_image_with_more_behind_the_journal_says_the_same() {
    let mut longer = IMAGE.clone();
    longer.extend([0x5A; 5000]);
    assert_eq!(journal(&longer, &LAYOUT).as_ref(), Ok(&*SOWN));
}

#[test]
fn a_layout_that_no_journal_has_is_refused() {
    let config = JournalConfig { gaps: 1, ..CONFIG };
    let refused = journal(&IMAGE, &Layout { config, ..LAYOUT });
    assert!(refused.is_err(), "{refused:?}");
    let refused = journal(&IMAGE, &Layout { word: 3, ..LAYOUT });
    assert!(refused.is_err(), "{refused:?}");
}

/// Whether an image that was damaged says nothing that was not there.
fn invents_nothing(found: &Sown) -> Result<(), String> {
    let whole = &*SOWN;
    if found.fingerprint != whole.fingerprint {
        return Err("another fingerprint".to_owned());
    }
    if !found.gaps.iter().all(|gap| whole.gaps.contains(gap)) {
        return Err("a gap that never was".to_owned());
    }
    if !found.events.iter().all(|event| whole.events.contains(event)) {
        return Err("an event that never was".to_owned());
    }
    let more = |(have, want): (&SideSown, &SideSown)| {
        have.mass_kg > want.mass_kg || have.area_m2 > want.area_m2
    };
    if found.sides.iter().zip(&whole.sides).any(more) {
        return Err("more than was sown".to_owned());
    }
    Ok(())
}

/// The same, and whether it says so where a gap or much of the count is missing. The count before the newest is half a
/// minute older in the demo; one of a second before is taken as the newest, as after a power cut.
fn hides_nothing(found: &Sown) -> Result<(), String> {
    invents_nothing(found)?;
    let whole = &*SOWN;
    let counts = |sown: &Sown| sown.sides.iter().map(|side| side.mass_kg).sum::<f64>();
    let less = found.gaps.len() < whole.gaps.len() || counts(found) < 0.98 * counts(whole);
    if less && found.damage.is_empty() {
        return Err("something is gone without a word".to_owned());
    }
    Ok(())
}

#[test]
fn no_flipped_byte_of_what_is_written_makes_a_wrong_record_or_a_panic() {
    let (mut refused, mut told, mut whole) = (0, 0, 0);
    let written = (0..IMAGE.len()).filter(|at| IMAGE[*at] != 0xFF);
    for at in written {
        for pattern in [0x01, 0x80, 0xFF] {
            let mut flipped = IMAGE.clone();
            flipped[at] ^= pattern;
            let found = journal(&flipped, &LAYOUT);
            let Ok(found) = found else {
                refused += 1;
                continue;
            };
            hides_nothing(&found)
                .unwrap_or_else(|why| panic!("byte {at}, pattern {pattern:#x}: {why}"));
            if found.damage.is_empty() { whole += 1 } else { told += 1 }
        }
    }
    println!("{refused} refused, {told} told of, {whole} with nothing missing that shows");
    assert!(refused > 300 && told > 100 && whole > 0, "{refused}, {told}, {whole}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn an_image_flipped_or_cut_in_many_places_is_refused_or_told_of_and_never_a_panic(
        flips in prop::collection::vec((0_usize..16_384, any::<u8>()), 1..200),
        cut in prop::option::of(0_usize..16_384),
    ) {
        let mut bytes = IMAGE.clone();
        for (at, pattern) in flips {
            let length = bytes.len();
            bytes[at % length] ^= pattern;
        }
        if let Some(cut) = cut {
            bytes.truncate(cut);
            prop_assert!(journal(&bytes, &LAYOUT).is_err());
        } else if let Ok(found) = journal(&bytes, &LAYOUT) {
            prop_assert_eq!(invents_nothing(&found), Ok(()));
        }
    }

    #[test]
    fn bytes_that_are_no_journal_are_refused(bytes in prop::collection::vec(any::<u8>(), 16_384)) {
        prop_assert!(journal(&bytes, &LAYOUT).is_err());
    }
}
