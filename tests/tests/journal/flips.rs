//! Flipped bytes: every byte of the journal, one at a time, and many at once.

use crate::bench::{SECTORS, SMALL, make};
use crate::season::{Call, Drill, fresh, season};
use controller::SettingsConfig;
use controller::gap::Gap;
use controller::journal::Journal;
use controller::quantity::Micros;
use controller::snapshot::Snapshot;
use proptest::prelude::*;
use sim::machine::flash::{MockFlash, SECTOR};
use std::io::Write as _;
use std::sync::LazyLock;

/// Bits that are flipped: one at either end, all.
const PATTERNS: [u8; 3] = [0x01, 0x80, 0xFF];

/// A flash after some passes, and all that was kept in it.
#[derive(Debug)]
struct Filled {
    flash: MockFlash,
    settings: Vec<SettingsConfig>,
    snapshots: Vec<Snapshot>,
    gaps: Vec<Gap>,
    drill: Drill,
}

/// Filled once for all tests.
static FILLED: LazyLock<Filled> = LazyLock::new(filled);

fn filled() -> Filled {
    let mut flash = MockFlash::new(SECTORS, 3);
    flash.fill_with_garbage();
    let (mut journal, _) = Journal::open(flash, SMALL).expect("a flash");
    let mut drill = fresh();
    let first = Call::Settings(Box::new(drill.config.clone()));
    make(&mut journal, &drill, &first).expect("room");
    let (mut settings, mut snapshots, mut gaps) =
        (vec![drill.config.clone()], Vec::new(), Vec::new());
    for deed in season().into_iter().take(16_000) {
        for call in drill.step(deed, Micros::ZERO) {
            let steps = journal.flash().steps();
            make(&mut journal, &drill, &call).expect("room");
            match call {
                Call::Settings(config) => settings.push(*config),
                Call::Gap(gap) => gaps.push(gap),
                Call::Keep | Call::KeepNow if journal.flash().steps() > steps => {
                    snapshots.push(drill.snapshot());
                }
                Call::Keep | Call::KeepNow | Call::Tend => {}
            }
        }
    }
    Filled { flash: journal.release(), settings, snapshots, gaps, drill }
}

impl Filled {
    /// Flips and opens; whether the newest snapshot is still there.
    fn survives(&self, at: usize, pattern: u8) -> bool {
        let mut flash = self.flash.clone();
        flash.flip(at, pattern);
        let (mut journal, found) = Journal::open(flash, SMALL).expect("there is power");
        // One flipped byte takes one record at the most: the one before it is there.
        let last = &self.settings[self.settings.len() - 2..];
        assert!(found.settings.as_ref().is_some_and(|it| last.contains(it)), "settings, byte {at}");
        let last = &self.snapshots[self.snapshots.len() - 2..];
        assert!(found.snapshot.as_ref().is_some_and(|it| last.contains(it)), "snapshot, byte {at}");
        let mut gaps = Vec::new();
        journal.gaps(|gap| gaps.push(gap)).expect("there is power");
        assert!(gaps.iter().all(|gap| self.gaps.contains(gap)), "a gap that never was, byte {at}");
        assert!(gaps.len() + 1 >= self.gaps.len(), "more than a gap is gone, byte {at}");
        if at.is_multiple_of(64) {
            make(&mut journal, &self.drill, &Call::KeepNow).expect("it can still be written to");
            let (_, again) = Journal::open(journal.release(), SMALL).expect("there is power");
            assert_eq!(again.snapshot, Some(self.drill.snapshot()), "kept after byte {at}");
        }
        found.snapshot.as_ref() == self.snapshots.last()
    }
}

#[test]
fn no_flipped_byte_makes_wrong_settings_or_a_wrong_snapshot() {
    let filled = &*FILLED;
    let lost: u32 = std::thread::scope(|scope| {
        let workers = PATTERNS.map(|pattern| {
            scope.spawn(move || {
                let bytes = SECTOR..(SECTORS - 1) * SECTOR;
                bytes.map(|at| u32::from(!filled.survives(at, pattern))).sum::<u32>()
            })
        });
        workers.into_iter().map(|worker| worker.join().expect("no panic")).sum()
    });
    let flips = PATTERNS.len() * (SECTORS - 2) * SECTOR;
    let word = format!("{flips} flipped bytes, of which {lost} cost the newest snapshot\n");
    std::io::stderr().write_all(word.as_bytes()).expect("a place to say it");
    // The newest snapshot has some 130 bytes, and every one of them counts, with every pattern.
    assert!((244..488).contains(&lost), "have {word}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn many_flipped_bytes_make_no_wrong_settings_and_no_panic(
        share in 1_usize..2_000, seed in any::<u64>(),
    ) {
        let filled = &*FILLED;
        let mut flash = filled.flash.clone();
        let mut state = seed | 1;
        for at in 0..SECTORS * SECTOR {
            // Marsaglia's xorshift: bytes at random, one of so many.
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            if usize::try_from(state >> 32).expect("64 bits") % share == 0 {
                flash.flip(at, state.to_le_bytes()[0]);
            }
        }
        let (_, found) = Journal::open(flash, SMALL).expect("there is power");
        prop_assert!(found.settings.is_none_or(|found| filled.settings.contains(&found)));
        prop_assert!(found.snapshot.is_none_or(|found| filled.snapshots.contains(&found)));
    }
}
