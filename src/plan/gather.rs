//! The phrases of one line, nested by its colons.

use super::grammar::{Fault, Parts};
use super::syntax::{Phrase, Token};
use crate::text::{Problem, Span};

/// How deep colons may nest: `footing: steel: …`. Nobody needs three.
const DEPTH: usize = 8;

/// Phrases behind one colon.
#[derive(Default)]
struct Level {
    phrases: Vec<Phrase>,
    /// Whether the last phrase was refused; what a colon behind it owns is then unread too.
    lost: Option<Span>,
    /// Whether a comma or nothing stands before: a colon here has no phrase to belong to.
    is_fresh: bool,
}

/// What a line's phrases come to, while commas, colons and phrases are told one by one.
pub(super) struct Gathered<'p> {
    parts: &'p mut Parts,
    outer: Vec<Level>,
    level: Level,
}

impl Gathered<'_> {
    pub fn new(parts: &mut Parts) -> Gathered<'_> {
        Gathered { parts, outer: Vec::new(), level: Level { is_fresh: true, ..Level::default() } }
    }

    fn meet(&mut self, span: Span) {
        self.parts.phrases_span = Some(self.parts.phrases_span.map_or(span, |s| s.to(span)));
    }

    pub fn comma(&mut self, span: Span) {
        self.meet(span);
        self.level.is_fresh = true;
    }

    pub fn colon(&mut self, span: Span) {
        self.meet(span);
        let fault = if self.level.is_fresh {
            Problem::error(span, "nothing stands before this colon")
                .help("a colon belongs to the word before it: `clear: 36 in deep, 30 in wide`")
        } else if self.outer.len() >= DEPTH {
            self.level.is_fresh = true;
            Problem::error(span, "too many colons inside one another")
                .help("a colon owns the rest of its line; write the other phrases on lines of their own")
        } else {
            self.outer.push(std::mem::take(&mut self.level));
            self.level.is_fresh = true;
            return;
        };
        self.parts.faults.push(Fault { problem: fault, unread: span, in_head: false });
    }

    /// A phrase's tokens, or why it can't be read.
    pub fn phrase(&mut self, span: Span, read: Result<Vec<Token>, Problem>) {
        self.meet(span);
        self.level.is_fresh = false;
        self.level.lost = None;
        match read {
            Err(problem) => {
                self.level.lost = Some(span);
                self.parts.faults.push(Fault { problem, unread: span, in_head: false });
            }
            Ok(tokens) if tokens.is_empty() => {}
            Ok(tokens) => self.level.phrases.push(Phrase { tokens, owned: None, span }),
        }
    }

    pub fn finish(mut self) {
        while let Some(owner) = self.outer.pop() {
            let inner = std::mem::replace(&mut self.level, owner);
            self.close(inner);
        }
        self.parts.phrases = self.level.phrases;
    }

    /// Gives the phrases behind a colon to the phrase before it.
    fn close(&mut self, inner: Level) {
        let span = inner.phrases.last().map(|p| p.span);
        match (self.level.lost, self.level.phrases.last_mut()) {
            (Some(lost), _) => {
                let unread = span.map_or(lost, |s| lost.to(s));
                let known = self.parts.faults.iter_mut().find(|f| f.unread == lost);
                if let Some(fault) = known {
                    fault.unread = unread;
                }
            }
            (None, Some(phrase)) => {
                if let Some(span) = span {
                    phrase.span = phrase.span.to(span);
                }
                phrase.owned = Some(inner.phrases);
            }
            (None, None) => {}
        }
    }
}
