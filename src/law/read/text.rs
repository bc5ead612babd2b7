//! Texts in quotes, and messages with holes.

use super::lines::Clause;
use super::parse::Found;
use super::{Reader, Rule};
use crate::law::syntax::{Message, MessagePiece};

impl<'a> Reader<'a> {
    /// What stands in the quotes; several in a row are joined by a space.
    pub(super) fn quoted(&self, found: &Found<'a>) -> String {
        let pieces = found.children().filter_map(|quoted| quoted.children().next());
        // A tab would break the columns of whatever prints it.
        pieces.map(|inner| inner.text()).collect::<Vec<_>>().join(" ").replace('\t', " ")
    }

    /// A clause that is one text in quotes.
    pub(super) fn text_clause(&mut self, clause: &Clause) -> Option<String> {
        self.read(Rule::text_line, clause.all(), |reader, parts| reader.title(parts))
    }

    /// A clause that is one text with holes.
    pub(super) fn message_clause(&mut self, clause: &Clause) -> Option<Message> {
        self.read(Rule::text_line, clause.all(), |reader, parts| reader.message(&parts.next()?))
    }

    /// A text with holes.
    pub(super) fn message(&mut self, found: &Found<'a>) -> Option<Message> {
        let mut pieces = Vec::new();
        for quoted in found.children() {
            if !pieces.is_empty() {
                pieces.push(MessagePiece::Text(" ".into()));
            }
            let inner = quoted.children().next()?.range_as_written();
            pieces.extend(self.read(Rule::message, inner, |reader, parts| {
                parts.map(|part| reader.piece(part)).collect::<Option<Vec<_>>>()
            })?);
        }
        Some(Message { pieces: joined(pieces), span: self.place(found) })
    }

    fn piece(&mut self, found: Found<'a>) -> Option<MessagePiece> {
        if found.rule() == Rule::hole {
            return Some(MessagePiece::Hole(self.expression(found.children().next()?, 0)?));
        }
        Some(MessagePiece::Text(found.text_as_written().replace("{{", "{").replace("}}", "}").replace('\t', " ")))
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
