//! A frame of a CAN bus.

use embedded_can::{Frame, Id};

/// A classic CAN frame: at most 8 bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BusFrame {
    id: Id,
    /// Bytes of data, or those that a remote frame asks for.
    length: usize,
    remote: bool,
    bytes: [u8; 8],
}

impl Frame for BusFrame {
    fn new(id: impl Into<Id>, data: &[u8]) -> Option<Self> {
        let mut bytes = [0; 8];
        bytes.get_mut(..data.len())?.copy_from_slice(data);
        Some(Self { id: id.into(), length: data.len(), remote: false, bytes })
    }

    fn new_remote(id: impl Into<Id>, dlc: usize) -> Option<Self> {
        let frame = Self { id: id.into(), length: dlc, remote: true, bytes: [0; 8] };
        (dlc <= 8).then_some(frame)
    }

    fn is_extended(&self) -> bool {
        matches!(self.id, Id::Extended(_))
    }

    fn is_remote_frame(&self) -> bool {
        self.remote
    }

    fn id(&self) -> Id {
        self.id
    }

    fn dlc(&self) -> usize {
        self.length
    }

    fn data(&self) -> &[u8] {
        if self.remote { &[] } else { &self.bytes[..self.length] }
    }
}
