//! A future that must be done when it is first looked at: the store is asynchronous, the flash is not.

use super::JournalError;
use core::pin::pin;
use core::task::{Context, Poll, Waker};

/// Polls once. A future that is not ready is an error: nothing here would ever wake it.
pub(super) fn at_once<T>(future: impl Future<Output = T>) -> Result<T, JournalError> {
    let mut context = Context::from_waker(Waker::noop());
    match pin!(future).poll(&mut context) {
        Poll::Ready(done) => Ok(done),
        Poll::Pending => Err(JournalError::Pending),
    }
}

#[cfg(test)]
mod tests {
    use super::at_once;
    use crate::journal::JournalError;

    #[test]
    fn a_future_that_waits_is_an_error() {
        assert_eq!(at_once(async { 7 }), Ok(7));
        assert_eq!(at_once(core::future::pending::<u8>()), Err(JournalError::Pending));
    }
}
