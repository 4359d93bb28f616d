//! The words that fields are made of. Each visits a value once: written from it, or read into it.
//!
//! Each value has one form: what is not there is zeros behind its mark, and other bytes are refused.

use crate::cursor::{Misfit, Visit};
use controller::quantity::{Instant, MetresPerSecond};

/// Whether a field was written, or read and has a meaning.
pub(crate) type Done = Result<(), Misfit>;

/// A number without a sign of `size` bytes.
fn natural<V: Visit>(
    visit: &mut V,
    name: &'static str,
    size: usize,
    value: u64,
) -> Result<u64, Misfit> {
    let mut raw = value;
    visit.word(name, size, &mut raw)?;
    Ok(raw)
}

pub(crate) fn byte<V: Visit>(visit: &mut V, name: &'static str, value: &mut u8) -> Done {
    *value = u8::try_from(natural(visit, name, 1, u64::from(*value))?).map_err(|_| Misfit)?;
    Ok(())
}

pub(crate) fn half<V: Visit>(visit: &mut V, name: &'static str, value: &mut u16) -> Done {
    *value = u16::try_from(natural(visit, name, 2, u64::from(*value))?).map_err(|_| Misfit)?;
    Ok(())
}

pub(crate) fn word<V: Visit>(visit: &mut V, name: &'static str, value: &mut u32) -> Done {
    *value = u32::try_from(natural(visit, name, 4, u64::from(*value))?).map_err(|_| Misfit)?;
    Ok(())
}

pub(crate) fn long<V: Visit>(visit: &mut V, name: &'static str, value: &mut u64) -> Done {
    *value = natural(visit, name, 8, *value)?;
    Ok(())
}

/// A number with a sign, two's complement.
pub(crate) fn signed<V: Visit>(visit: &mut V, name: &'static str, value: &mut i32) -> Done {
    let mut raw = value.cast_unsigned();
    word(visit, name, &mut raw)?;
    *value = raw.cast_signed();
    Ok(())
}

pub(crate) fn flag<V: Visit>(visit: &mut V, name: &'static str, value: &mut bool) -> Done {
    choice(visit, name, value, &[false, true])
}

/// One of a list, by its place in it.
pub(crate) fn choice<V: Visit, T: Copy + PartialEq>(
    visit: &mut V,
    name: &'static str,
    value: &mut T,
    all: &[T],
) -> Done {
    let place = all.iter().position(|one| one == value).ok_or(Misfit)?;
    let mut place = u8::try_from(place).map_err(|_| Misfit)?;
    byte(visit, name, &mut place)?;
    *value = *all.get(usize::from(place)).ok_or(Misfit)?;
    Ok(())
}

/// A mark, 0 or 1, and behind it the value; where there is none, `blank`.
pub(crate) fn maybe<V: Visit, T: Copy + PartialEq>(
    visit: &mut V,
    name: &'static str,
    value: &mut Option<T>,
    blank: T,
    each: fn(&mut V, &mut T) -> Done,
) -> Done {
    let mut there = value.is_some();
    flag(visit, name, &mut there)?;
    let mut inner = value.unwrap_or(blank);
    each(visit, &mut inner)?;
    if !there && inner != blank {
        return Err(Misfit);
    }
    *value = there.then_some(inner);
    Ok(())
}

pub(crate) fn instant<V: Visit>(visit: &mut V, name: &'static str, value: &mut Instant) -> Done {
    let mut raw = value.micros();
    word(visit, name, &mut raw)?;
    *value = Instant::from_micros(raw);
    Ok(())
}

pub(crate) fn speed<V: Visit>(
    visit: &mut V,
    name: &'static str,
    value: &mut MetresPerSecond,
) -> Done {
    let mut raw = value.to_bits();
    signed(visit, name, &mut raw)?;
    *value = MetresPerSecond::from_bits(raw);
    Ok(())
}
