//! Verification suite of Meterwright: the checks are in `tests/tests`, the measurements in `tests/benches`.
