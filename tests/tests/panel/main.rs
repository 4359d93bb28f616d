//! The operator's panel: whatever is read and pressed, what is shown fits, what is wished is allowed, and the documents
//! say what the code does.

mod any_press;
mod document;
mod drill;
mod rows;
