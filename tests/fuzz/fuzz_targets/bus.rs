//! Any frames of a bus: no panic, each is counted once, and no word beside a value becomes a speed.
#![no_main]

use arbitrary::Arbitrary;
use controller::Inputs;
use controller::quantity::{Instant, Micros};
use controller::sense::bus::{Bus, BusConfig, BusInputs, BusState};
use embedded_can::{ExtendedId, Frame, Id, StandardId};
use libfuzzer_sys::fuzz_target;

#[derive(Arbitrary, Clone, Debug)]
struct Any {
    id: u32,
    standard: bool,
    remote: bool,
    length: u8,
    bytes: [u8; 8],
    span: u32,
    /// One of the groups that are read, or any.
    group: u8,
}

impl Frame for Any {
    fn new(_: impl Into<Id>, _: &[u8]) -> Option<Self> {
        None
    }

    fn new_remote(_: impl Into<Id>, _: usize) -> Option<Self> {
        None
    }

    fn is_extended(&self) -> bool {
        !self.standard
    }

    fn is_remote_frame(&self) -> bool {
        self.remote
    }

    fn id(&self) -> Id {
        if self.standard {
            let raw = u16::try_from(self.id & 0x7FF).unwrap_or(0);
            return StandardId::new(raw).unwrap_or(StandardId::ZERO).into();
        }
        let groups = [0xFE48, 0xFE49, 0xF022, 0xFEF1, 0xFEE8, 0x1_F802, 0xFE45, 0xFE46, 0xF009];
        let group = groups.get(usize::from(self.group % 12)).copied();
        let raw = group.map_or(self.id, |group| (3 << 26) | (group << 8) | (self.id & 0xFF));
        ExtendedId::new(raw & 0x1FFF_FFFF).unwrap_or(ExtendedId::ZERO).into()
    }

    fn dlc(&self) -> usize {
        usize::from(self.length % 9)
    }

    fn data(&self) -> &[u8] {
        &self.bytes[..self.dlc()]
    }
}

fuzz_target!(|frames: Vec<Any>| {
    let bus = Bus::new(BusConfig::default());
    let mut state = BusState::default();
    let mut collected = BusInputs::default();
    let mut at = Instant::from_micros(u32::MAX - 1_000);
    for frame in &frames {
        at = at.plus(Micros::new(frame.span % 200_000));
        if let Some(message) = bus.take(&mut state, frame, at) {
            collected.put(message);
        }
        let mut inputs = Inputs { now: at, ..Inputs::default() };
        collected.fill(&mut inputs);
    }
});
