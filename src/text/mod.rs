//! Files, places in them, problems with them, and the nearest known word.
//!
//! Everything else stores a [`Span`]: a file and two byte offsets. Lines and columns exist only
//! where something is shown, and come from one index, so that terminal, JSON and SARIF agree.

#![expect(clippy::arithmetic_side_effects, reason = "positions in texts, whose size is limited where they are read")]

mod natural;
mod nearest;
mod problem;
mod source;

pub use natural::natural;
pub use nearest::nearest;
pub use problem::{Label, Problem, Severity};
pub use source::{Place, Source, Sources};

use serde::{Deserialize, Serialize};

/// One file of a [`Sources`].
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct FileId(pub u32);

/// A stretch of text: a file and two byte offsets, the end one past the last byte.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Span {
    /// The file.
    pub file: FileId,
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Span {
    /// The stretch from `start` to `end` in `file`.
    pub fn new(file: FileId, start: usize, end: usize) -> Span {
        Span { file, start: start as u32, end: end as u32 }
    }

    /// The smallest stretch that holds both. Stretches of two files don't join: the first stands.
    pub fn to(self, other: Span) -> Span {
        if self.file != other.file {
            return self;
        }
        Span { file: self.file, start: self.start.min(other.start), end: self.end.max(other.end) }
    }
}

/// A value and where it was written. Comparing ignores the place.
#[derive(Clone, Copy, Debug, Default, Serialize, Deserialize)]
pub struct Spanned<T> {
    /// What was written.
    pub node: T,
    /// Where.
    pub span: Span,
}

impl<T: PartialEq> PartialEq for Spanned<T> {
    fn eq(&self, other: &Self) -> bool {
        self.node == other.node
    }
}
