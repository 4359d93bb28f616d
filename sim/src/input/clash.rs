//! Values that do not go together, wherever they stand.

/// Values that do not go together; who read them says where they stand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Clash {
    /// The key to blame, as a file has it.
    pub key: &'static str,
    /// What is wrong.
    pub what: String,
    /// What would be right.
    pub remedy: String,
}

impl Clash {
    /// Blames `key`.
    pub(crate) fn new(
        key: &'static str,
        what: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Self { key, what: what.into(), remedy: remedy.into() }
    }
}
