//! Plays a trace as WebAssembly: `room(length)` gives the place for it, `play()` returns ticks × 2³² + sum, or −1.

use std::sync::Mutex;

static TRACE: Mutex<Vec<u8>> = Mutex::new(Vec::new());

/// Where the caller puts a trace of so many bytes.
// SAFETY: the name belongs to this module alone.
#[unsafe(no_mangle)]
pub extern "C" fn room(length: usize) -> *mut u8 {
    let Ok(mut trace) = TRACE.lock() else { return std::ptr::null_mut() };
    trace.clear();
    trace.resize(length, 0);
    trace.as_mut_ptr()
}

/// Plays it.
// SAFETY: the name belongs to this module alone.
#[unsafe(no_mangle)]
pub extern "C" fn play() -> i64 {
    let Ok(trace) = TRACE.lock() else { return -1 };
    replay::replay(&trace, &mut replay::tick_of_core)
        .map_or(-1, |report| i64::from(report.ticks) << 32 | i64::from(report.sum))
}
