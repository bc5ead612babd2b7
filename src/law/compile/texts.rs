//! Messages with holes.

use super::frame::Frame;
use super::types::Typed;
use super::{Compiler, messages};
use crate::law::code::{Any, Message, Piece};
use crate::law::syntax::{self, Expr, Limit, MessagePiece, Node};

impl<'a> Compiler<'a> {
    /// Compiles a message. A part that is not there prints as `none`, so that holes need no guard.
    pub(super) fn message(&mut self, frame: &mut Frame<'a>, message: &'a syntax::Message) -> Option<Message> {
        self.pieces(frame, message, false)
    }

    /// Compiles a question. A letter that the rule does not have stands for the item that is asked about.
    pub(super) fn question(&mut self, frame: &mut Frame<'a>, message: &'a syntax::Message) -> Option<Message> {
        self.pieces(frame, message, true)
    }

    fn pieces(&mut self, frame: &mut Frame<'a>, message: &'a syntax::Message, is_question: bool) -> Option<Message> {
        let mut pieces = Vec::with_capacity(message.pieces.len());
        let mut is_whole = true;
        for piece in &message.pieces {
            match piece {
                MessagePiece::Text(text) => pieces.push(Piece::Text(text.clone())),
                MessagePiece::Hole(expr) if is_question && is_strange(self.pack, frame, expr) => {
                    pieces.push(Piece::Asked)
                }
                MessagePiece::Hole(expr) => match self.hole(frame, expr) {
                    Some(own) => pieces.extend(own),
                    None => is_whole = false,
                },
            }
        }
        is_whole.then_some(Message { pieces })
    }

    fn hole(&mut self, frame: &mut Frame<'a>, expr: &'a Expr) -> Option<Vec<Piece>> {
        if let Node::Name(name) = &*expr.node
            && frame.letter(name).is_none()
        {
            if name == "part" {
                return Some(vec![Piece::Part]);
            }
            if let Some(title) = self.pack.titles.iter().find(|title| title.name.node == *name) {
                return Some(vec![Piece::Text(title.title.clone())]);
            }
            if let Some(value) = self.find_value(frame, name)
                && value.steps.iter().all(|step| matches!(step.limit, Limit::Between(..)))
            {
                let low = self.steps_as_number(frame, value, true)?;
                let high = self.steps_as_number(frame, value, false)?;
                return Some(vec![self.piece(low, expr)?, Piece::Text(" to ".into()), self.piece(high, expr)?]);
            }
        }
        let typed = self.typed_either(frame, expr, None)?;
        Some(vec![self.piece(typed, expr)?])
    }

    fn piece(&mut self, typed: Typed, expr: &'a Expr) -> Option<Piece> {
        Some(Piece::Hole(match typed {
            Typed::Test(test) => Any::Test(test),
            Typed::Number(number, scale) => {
                self.landed(expr.span, scale)?;
                Any::Number(number, scale)
            }
            Typed::NoLimit => return Some(Piece::Text("no limit".into())),
            Typed::Choice(choice, id) => Any::Choice(choice, id),
            Typed::Item(item, _) => Any::Item(item),
            Typed::Items(items, _) => Any::Items(items),
            Typed::Name(item, name) => Any::Name(item, name),
            Typed::Choices(..) => {
                let found = self.described(&typed);
                return self.fail(messages::no_hole(expr.span, &found));
            }
        }))
    }
}

/// Whether a hole is a letter that nothing here has.
fn is_strange(pack: &syntax::Pack, frame: &Frame<'_>, expr: &Expr) -> bool {
    let is_known = |name: &str| {
        frame.letter(name).is_some()
            || matches!(name, "shop" | "permit")
            || pack.titles.iter().any(|title| title.name.node == name)
    };
    matches!(&*expr.node, Node::Name(name) if !is_known(name) && !frame.values.iter().any(|v| v.name.node == *name))
}

/// What messages call something: its title, else its name with blanks for hyphens.
pub(super) fn title(title: Option<&str>, name: &str) -> String {
    title.map_or_else(|| name.replace('-', " "), str::to_string)
}
