//! No frame whatever makes the decoder panic, and what it does not use it counts.

use crate::{at, frame, hearing};
use controller::Inputs;
use controller::sense::bus::{Bus, BusConfig, BusCounts, BusInputs, BusState, Hitch, Senders};
use embedded_can::{ExtendedId, Frame as _, StandardId};
use proptest::prelude::*;
use sim::profile::candump::BusFrame;

/// Identifiers, the groups that are read among them.
fn identifiers() -> impl Strategy<Value = u32> {
    let groups = [65_096_u32, 65_097, 61_474, 65_265, 65_256, 129_026, 65_093, 65_094, 61_449];
    prop_oneof![
        0..=0x1FFF_FFFF_u32,
        (prop::sample::select(groups.to_vec()), any::<u8>())
            .prop_map(|(group, sender)| 0x0C00_0000 | group << 8 | u32::from(sender)),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(2_000) })]

    #[test]
    fn any_frames_are_read_and_every_one_is_counted_once(
        frames in prop::collection::vec(
            (identifiers(), prop::collection::vec(any::<u8>(), 0..=8), any::<bool>(), any::<u32>()),
            1..40,
        ),
        sender in any::<Option<u8>>(),
        front in any::<bool>(),
    ) {
        let senders = Senders { wheel: sender, ..Senders::default() };
        let hitch = if front { Hitch::Front } else { Hitch::Rear };
        let bus = Bus::new(BusConfig { senders, hitch, ..BusConfig::default() });
        let (mut state, mut collected) = (BusState::default(), BusInputs::default());
        let count = frames.len();
        for (id, bytes, remote, millis) in frames {
            let id = ExtendedId::new(id).expect("29 bits");
            let data = BusFrame::new(id, &bytes);
            let it = if remote { BusFrame::new_remote(id, bytes.len()) } else { data };
            let now = at(millis);
            if let Some(message) = bus.take(&mut state, &it.expect("8 bytes"), now) {
                collected.put(message);
            }
            collected.fill(&mut Inputs { now, ..Inputs::default() });
        }
        let BusCounts { taken, passed_over, other, standard, remote, short } = state.counts();
        let sum = taken + passed_over + other + standard + remote + short;
        prop_assert_eq!(usize::try_from(sum).unwrap(), count);
    }
}

#[test]
fn short_remote_and_standard_frames_are_counted_and_not_read() {
    let (bus, mut state) = hearing();
    let bytes = [0xE8, 0x03, 0, 0, 0, 0, 0, 1];
    let id = ExtendedId::new(0x0CFE_4845).expect("29 bits");
    let standard = BusFrame::new(StandardId::new(0x45).expect("11 bits"), &bytes);
    let frames = [
        standard.expect("8 bytes"),
        BusFrame::new_remote(id, 8).expect("8 bytes"),
        frame(0x0CFE_4845, &bytes[..7]),
        frame(0x0CF0_0400, &bytes),
        frame(0x0CFE_4845, &bytes),
    ];
    let read = frames.map(|it| bus.take(&mut state, &it, at(0)).is_some());
    assert_eq!(read, [false, false, false, false, true], "only the whole extended data frame");
    let want = BusCounts { taken: 1, passed_over: 0, other: 1, standard: 1, remote: 1, short: 1 };
    assert_eq!(state.counts(), want);
}
