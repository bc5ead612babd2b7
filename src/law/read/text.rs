//! Texts in quotes, and messages with holes.

use super::lines::Clause;
use super::parse::Found;
use super::{Reader, Rule};
use crate::law::syntax::{Message, MessagePiece};

impl<'a> Reader<'a> {
    /// What stands in the quotes; several in a row are joined by a space.
    pub(super) fn quoted(&self, found: &Found<'a>) -> String {
        let pieces = found.children().filter_map(|quoted| quoted.children().next());
        pieces.map(|inner| inner.text()).collect::<Vec<_>>().join(" ")
    }

    /// A clause that is one text in quotes.
    pub(super) fn text_clause(&mut self, clause: &Clause) -> Option<String> {
        let text = self.parse(Rule::text_line, clause.all())?.next()?;
        Some(self.quoted(&text))
    }

    /// A clause that is one text with holes.
    pub(super) fn message_clause(&mut self, clause: &Clause) -> Option<Message> {
        let text = self.parse(Rule::text_line, clause.all())?.next()?;
        self.message(&text)
    }

    /// A text with holes.
    pub(super) fn message(&mut self, found: &Found<'a>) -> Option<Message> {
        let mut pieces = Vec::new();
        for quoted in found.children() {
            if !pieces.is_empty() {
                pieces.push(MessagePiece::Text(" ".into()));
            }
            for part in self.parse(Rule::message, quoted.children().next()?.range())? {
                pieces.push(match part.rule() {
                    Rule::hole => MessagePiece::Hole(self.expression(part.children().last()?, 0)?),
                    _ => MessagePiece::Text(part.text_as_written().replace("{{", "{").replace("}}", "}")),
                });
            }
        }
        Some(Message { pieces: joined(pieces), span: self.place(found) })
    }
}

/// Neighboring texts as one.
fn joined(pieces: Vec<MessagePiece>) -> Vec<MessagePiece> {
    let mut joined: Vec<MessagePiece> = Vec::new();
    for piece in pieces {
        match (joined.last_mut(), piece) {
            (Some(MessagePiece::Text(before)), MessagePiece::Text(text)) => before.push_str(&text),
            (_, piece) => joined.push(piece),
        }
    }
    joined
}
