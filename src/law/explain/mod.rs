//! Why a verdict is as it is, in words: derivations, messages, questions, what would change it.
//!
//! Everything is read off the same compiled tree that was run, with the same values: a derivation
//! is the verdict's only source of reasons.

mod change;
mod clause;
mod edits;
mod figure;
mod item;
mod limit;
mod message;
mod quantity;
mod show;
mod tree;
mod words;

pub use change::{Change, what_answers_give, what_would_change};
pub use edits::edits_of;
pub use figure::{Candidate, Figure, Told, figure, figure_of};
pub use limit::Limits;
pub use message::{message, question, question_of};
pub use tree::explain;

#[cfg(test)]
mod tests;
