//! The 29-bit identifier of a frame: priority, parameter group, sender, destination.
//!
//! ```text
//!  28..26     25   24   23..16        15..8           7..0
//!  priority   EDP  DP   PDU format    PDU specific    sender
//!
//!  format < 240  (PDU1): specific = destination, group = EDP DP format 00
//!  format >= 240 (PDU2): to all,                 group = EDP DP format specific
//! ```
//!
//! The layout is that of SAE J1939-21 and ISO 11783-3 (from memory; the identifiers in the recorded logs agree).

/// First PDU format that is sent to all.
const TO_ALL: u8 = 240;

/// What the identifier of an extended frame says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Identifier {
    /// 0, the most urgent, to 7.
    pub priority: u8,
    /// Parameter group number, 18 bits.
    pub group: u32,
    /// Address of the sender.
    pub sender: u8,
    /// Address it is meant for; none when it is meant for all.
    pub destination: Option<u8>,
}

impl Identifier {
    /// Reads the 29 bits of an extended identifier; higher bits are dropped.
    pub const fn of(raw: u32) -> Self {
        let [sender, specific, format, top] = raw.to_le_bytes();
        let page = top & 0b11;
        let to_all = format >= TO_ALL;
        let low = if to_all { specific } else { 0 };
        Self {
            priority: (top & 0b1_1100).wrapping_shr(2),
            group: u32::from_le_bytes([low, format, page, 0]),
            sender,
            destination: if to_all { None } else { Some(specific) },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Identifier;

    #[test]
    fn a_group_for_all_keeps_its_low_byte_and_has_no_destination() {
        let have = Identifier::of(0x0CFE_4845);
        let want = Identifier { priority: 3, group: 65_096, sender: 0x45, destination: None };
        assert_eq!(have, want, "wheel-based speed of the check values");
    }

    #[test]
    fn a_group_for_one_gives_its_low_byte_to_the_destination() {
        // A request (59 904) from 0x17 to 0x47, as the recorded log of the key-off has it.
        let have = Identifier::of(0x18EA_4717);
        let want = Identifier { priority: 6, group: 59_904, sender: 0x17, destination: Some(0x47) };
        assert_eq!(have, want, "a request");
    }

    #[test]
    fn the_data_page_counts_and_bits_beyond_29_do_not() {
        let have = Identifier::of(0xE9F8_0223);
        let want = Identifier { priority: 2, group: 129_026, sender: 0x23, destination: None };
        assert_eq!(have, want, "course and speed over ground on data page 1");
    }
}
