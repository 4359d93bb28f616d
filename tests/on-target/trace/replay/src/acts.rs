//! Acts as words.
//!
//! | first word | second | act |
//! |---|---|---|
//! | 0 product 0 or 1 | rate, 2⁻¹⁶ mg/m² | rate |
//! | 1 side | outlets open; bit 16: narrows | outlets |
//! | 2 side | 0 | by the map |
//! | 3 some 0 or 1 | speed, 2⁻²⁰ m/s | speed by hand |
//!
//! The kind is in bits 8 and 9 of the first word. Other acts have no place in a trace.

use controller::Act;
use controller::quantity::{MetresPerSecond, MilligramsPerSquareMetre};
use controller::seed::Product;

const RATE: u32 = 0;
const OUTLETS: u32 = 1;
const BY_MAP: u32 = 2;
const BY_HAND: u32 = 3;

/// The words of an act that has some.
pub fn write(act: &Act) -> Option<[u32; 2]> {
    let index = |side: usize| u32::try_from(side).ok();
    let (kind, low, second) = match *act {
        Act::Rate { product, rate } => {
            (RATE, u32::from(product == Product::Second), rate.to_bits())
        }
        Act::Outlets { side, open, narrows } => {
            (OUTLETS, index(side)?, u32::from(open) | u32::from(narrows) << 16)
        }
        Act::ByMap(side) => (BY_MAP, index(side)?, 0),
        Act::SpeedByHand(speed) => {
            let bits = speed.map_or(0, |speed| speed.to_bits().cast_unsigned());
            (BY_HAND, u32::from(speed.is_some()), bits)
        }
        _ => return None,
    };
    Some([kind << 8 | low, second])
}

/// The act of two words.
pub fn read([first, second]: [u32; 2]) -> Option<Act> {
    let low = first & 0xff;
    let side = usize::try_from(low).ok()?;
    Some(match first >> 8 {
        RATE => Act::Rate {
            product: if low == 0 { Product::First } else { Product::Second },
            rate: MilligramsPerSquareMetre::from_bits(second),
        },
        OUTLETS => Act::Outlets {
            side,
            open: u16::try_from(second & 0xffff).ok()?,
            narrows: second >> 16 != 0,
        },
        BY_MAP => Act::ByMap(side),
        BY_HAND => {
            let speed = MetresPerSecond::from_bits(second.cast_signed());
            Act::SpeedByHand((low != 0).then_some(speed))
        }
        _ => return None,
    })
}
