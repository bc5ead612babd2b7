//! Letters that go through a list or the rows of a table: `any`, `all`, `count`, and what adds up.

use super::frame::{Frame, Letter};
use super::rare::Sign;
use super::types::Typed;
use super::{Compiler, messages};
use crate::law::code::{self, Number, NumberNode, Over, Slot, Test, TestNode};
use crate::law::syntax::{Each, Expr, Node};
use crate::quantity::Scale;
use crate::text::Span;

impl<'a> Compiler<'a> {
    pub(super) fn quantified(
        &mut self,
        frame: &mut Frame<'a>,
        is_all: bool,
        each: &'a Each,
        body: &'a Expr,
        span: Span,
    ) -> Option<Test> {
        let mark = frame.mark();
        let sign = frame.sign;
        let entered = self.enter(frame, each);
        // The fewer members `all` goes through, the sooner it holds.
        frame.set_sign(if is_all { sign.flip() } else { sign });
        let entered = self.filtered(frame, entered, each);
        frame.set_sign(sign);
        let test = if entered.is_some() { self.test(frame, body) } else { None };
        frame.reset(mark);
        if !is_all {
            self.warn_of_strangers(each, body);
        }
        let (each, body) = (Box::new(entered?), Box::new(test?));
        Some(Test { node: TestNode::Quantified { is_all, each, body }, span })
    }

    /// `count of L`, `count of x in L where Q`.
    pub(super) fn count(&mut self, frame: &mut Frame<'a>, each: &'a Each, span: Span) -> Option<Typed> {
        let mark = frame.mark();
        let entered = self.enter_any(frame, each, true);
        let each = self.filtered(frame, entered, each);
        frame.reset(mark);
        let node = NumberNode::Count(Box::new(each?));
        Some(Typed::Number(Number { node, span }, Scale::NUMBER))
    }

    /// Puts the letter in force and says where it goes.
    pub(super) fn enter(&mut self, frame: &mut Frame<'a>, each: &'a Each) -> Option<(Slot, Over)> {
        self.enter_any(frame, each, false)
    }

    fn enter_any(&mut self, frame: &mut Frame<'a>, each: &'a Each, is_count: bool) -> Option<(Slot, Over)> {
        let (over, letter) = self.over(frame, &each.list, is_count)?;
        let slot = match &each.variable {
            None => frame.take_slot(),
            Some(variable) => {
                let name = variable.node.as_str();
                if frame.letter(name).is_some() || matches!(name, "shop" | "permit") {
                    return self.fail(messages::letter_twice(variable.span, name));
                }
                let Some(letter) = letter else {
                    return self.fail(messages::letter_of_values(each.list.span));
                };
                frame.push(name, letter)
            }
        };
        match slot {
            Some(slot) => Some((slot, over)),
            None => self.fail(messages::too_many_letters(each.list.span)),
        }
    }

    /// Compiles the filter; what it says of a member is known behind it.
    pub(super) fn filtered(
        &mut self,
        frame: &mut Frame<'a>,
        entered: Option<(Slot, Over)>,
        each: &'a Each,
    ) -> Option<code::Each> {
        let (slot, over) = entered?;
        let filter = match &each.filter {
            None => None,
            Some(filter) => {
                let test = self.test(frame, filter)?;
                frame.assume(&test, true);
                Some(test)
            }
        };
        Some(code::Each { slot, over, filter })
    }

    /// What a letter goes through; no letter where only counting is possible.
    fn over(&mut self, frame: &mut Frame<'a>, list: &'a Expr, is_count: bool) -> Option<(Over, Option<Letter>)> {
        if let Node::Name(name) = &*list.node
            && frame.letter(name).is_none()
            && self.table_names.contains_key(name.as_str())
        {
            let id = self.table_of(frame, name)?;
            return Some((Over::Rows(id), Some(Letter::Row(id))));
        }
        let sign = frame.set_sign(Sign::Either);
        let typed = self.typed(frame, list, None);
        frame.set_sign(sign);
        match typed? {
            Typed::Items(items, kinds) => Some((Over::Items(items), Some(Letter::Item(kinds)))),
            Typed::Choices(item, name, _) if is_count => Some((Over::Choices(item, name), None)),
            Typed::Choices(..) => self.fail(messages::letter_of_values(list.span)),
            other => {
                let found = self.described(&other);
                self.fail(messages::no_list(list.span, &found))
            }
        }
    }

    /// `any x in L: A and B` where B does not speak of x: perhaps it was meant outside.
    fn warn_of_strangers(&mut self, each: &'a Each, body: &'a Expr) {
        let (Some(variable), Node::And(members)) = (&each.variable, &*body.node) else { return };
        let strangers = members.iter().filter(|member| !speaks_of(member, &variable.node));
        for stranger in strangers.collect::<Vec<_>>() {
            self.report(messages::stranger(stranger.span, &variable.node));
        }
    }
}

/// Whether an expression speaks of a letter or value.
pub(super) fn speaks_of(expr: &Expr, name: &str) -> bool {
    let all = |exprs: &[Expr]| exprs.iter().any(|e| speaks_of(e, name));
    let each = |each: &Each| speaks_of(&each.list, name) || each.filter.as_ref().is_some_and(|f| speaks_of(f, name));
    match &*expr.node {
        Node::Name(n) => n == name,
        Node::Quantity(_) | Node::YesNo(_) | Node::NoLimit | Node::AnyOf(_) => false,
        Node::Within(e, limit) => limit.node == name || speaks_of(e, name),
        Node::Word(e, _) | Node::Not(e) | Node::IsAnyOf { left: e, .. } => speaks_of(e, name),
        Node::Call(_, list) | Node::And(list) | Node::Or(list) => all(list),
        Node::Lookup { keys, .. } => all(keys),
        Node::Extreme { candidates, .. } => all(candidates),
        Node::Compare(_, a, b) | Node::Arithmetic(_, a, b) => speaks_of(a, name) || speaks_of(b, name),
        Node::Is { left, right, .. } => speaks_of(left, name) || speaks_of(right, name),
        Node::Quantified { each: e, body, .. } | Node::Aggregate { each: e, body, .. } => {
            each(e) || speaks_of(body, name)
        }
        Node::Count(e) => each(e),
        Node::Rank { item, list, by } => item.node == name || speaks_of(list, name) || speaks_of(by, name),
        Node::If(a, b, c) => speaks_of(a, name) || speaks_of(b, name) || speaks_of(c, name),
        Node::ToTable { value, .. } => speaks_of(value, name),
        Node::Rounded { value, .. } => speaks_of(value, name),
    }
}
