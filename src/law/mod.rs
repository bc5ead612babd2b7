//! The rule language: read, check, compile, evaluate, explain.

mod builtin;
pub mod code;
pub mod evaluate;
mod read;
pub mod syntax;
pub mod verdict;

pub use builtin::{BUILTIN_FILES, builtin, builtin_examples};
pub use evaluate::{Options, judge};
pub use read::{RULE_CLAUSES, read};
