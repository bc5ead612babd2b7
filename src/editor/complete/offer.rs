//! What is offered, and how an editor is told.

use super::Ask;
use crate::words::{Piece, Type, Vocabulary};
use gen_lsp_types::{
    CompletionItem, CompletionItemKind, CompletionItemTextEdit, Documentation, InsertTextFormat, TextEdit,
};

/// Something that may be written.
#[derive(Clone, Debug)]
pub struct Offer {
    /// As it is listed.
    pub label: String,
    /// As it is written, where that differs: blanks in braces, for editors that lead from one to the next.
    pub snippet: Option<String>,
    /// As it is written where the editor doesn't.
    pub plain: String,
    /// What it means, in a sentence.
    pub doc: String,
    /// What it is.
    pub kind: CompletionItemKind,
    /// Small stands first.
    pub rank: u8,
}

impl Offer {
    /// A word, written as it is listed.
    pub fn word(text: impl Into<String>, doc: impl Into<String>, kind: CompletionItemKind) -> Offer {
        let label = text.into();
        Offer { snippet: None, plain: label.clone(), label, doc: doc.into(), kind, rank: 5 }
    }

    /// The words and blanks of a pattern. None where it begins with a blank and nothing could be written.
    pub fn pieces(pieces: &[Piece], ty: Type, vocabulary: &Vocabulary, doc: &str) -> Option<Offer> {
        let label = crate::report::shape(pieces, ty, vocabulary);
        let literal = pieces.iter().map_while(|p| if let Piece::Literal(w) = p { Some(w.as_str()) } else { None });
        let mut plain = literal.collect::<Vec<_>>().join(" ");
        let has_blanks = pieces.iter().any(|p| !matches!(p, Piece::Literal(_)));
        if has_blanks && !plain.is_empty() {
            plain.push(' ');
        }
        let snippet = has_blanks.then(|| snippet(pieces, ty, vocabulary));
        Some(Offer { label, snippet, plain, doc: doc.to_string(), kind: CompletionItemKind::Property, rank: 5 })
    }

    /// The same, sooner or later in the list.
    pub fn ranked(self, rank: u8) -> Offer {
        Offer { rank, ..self }
    }

    /// As the editor wants it: in place of the word that was begun. None where the editor can't fill blanks and
    /// nothing stands before the first.
    pub fn item(self, ask: &Ask<'_>, typed: &str) -> Option<CompletionItem> {
        let snippet = self.snippet.filter(|_| ask.has_snippets);
        if snippet.is_none() && self.plain.is_empty() {
            return None;
        }
        let format = if snippet.is_some() { InsertTextFormat::Snippet } else { InsertTextFormat::PlainText };
        let range = ask.text.range(ask.byte.saturating_sub(typed.len()), ask.byte, ask.encoding);
        let edit = TextEdit::new(range, snippet.unwrap_or(self.plain));
        Some(CompletionItem {
            sort_text: Some(format!("{}{}", self.rank, self.label)),
            label: self.label,
            kind: Some(self.kind),
            documentation: (!self.doc.is_empty()).then_some(Documentation::String(self.doc)),
            insert_text_format: Some(format),
            text_edit: Some(CompletionItemTextEdit::TextEdit(edit)),
            ..CompletionItem::default()
        })
    }
}

/// A pattern with numbered blanks: `buried ${1:N} in`.
fn snippet(pieces: &[Piece], ty: Type, vocabulary: &Vocabulary) -> String {
    let mut parts = Vec::with_capacity(pieces.len());
    for (number, piece) in (1..).zip(pieces) {
        let shown = crate::report::shape(std::slice::from_ref(piece), ty, vocabulary);
        parts.push(match piece {
            Piece::Literal(_) => escaped(&shown),
            Piece::Choice => format!("${{{number}:{}}}", escaped(shown.split('|').next().unwrap_or("WORD"))),
            // Of `N in|ft` the number is to be filled in, with the first unit behind it.
            Piece::Amount(_) => match shown.split_once(' ') {
                Some(("N", units)) => format!("${{{number}:N}} {}", escaped(units.split('|').next().unwrap_or(units))),
                _ => format!("${{{number}:{}}}", escaped(&shown)),
            },
            _ => format!("${{{number}:{}}}", escaped(&shown)),
        });
    }
    parts.join(" ")
}

fn escaped(text: &str) -> String {
    text.replace('\\', "\\\\").replace('$', "\\$").replace('}', "\\}")
}
