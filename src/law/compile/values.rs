//! Values and lists: what a name of one stands for where it is used.

use super::frame::{Frame, Letter};
use super::types::Typed;
use super::{Compiler, messages};
use crate::law::code::{self, Alternative, LimitEnds, Number, NumberNode, Slot, Test, TestNode};
use crate::law::syntax::{Bounds, Expr, Limit, List, Step, Value};
use crate::quantity::Scale;
use crate::text::{Span, Spanned, nearest};
use crate::words::{ChoiceId, Type};

/// The letters of quantifiers, put aside while a value or list is compiled, which do not see them.
type Hidden<'a> = Vec<(&'a str, Slot, Letter)>;

impl<'a> Compiler<'a> {
    /// The value of a name: the rule's own first, then the shared ones.
    pub(super) fn find_value(&mut self, frame: &Frame<'a>, name: &str) -> Option<&'a Value> {
        let own = frame.values.iter().find(|value| value.name.node == name);
        let found = own.or_else(|| self.values.get(name).copied())?;
        self.used.places.push(found.name.span);
        Some(found)
    }

    /// The list of a name: the rule's own first, then the shared ones.
    pub(super) fn find_list(&mut self, frame: &Frame<'a>, name: &str) -> Option<&'a List> {
        let own = frame.lists.iter().find(|list| list.name.node == name);
        let found = own.or_else(|| self.lists.get(name).copied())?;
        self.used.places.push(found.name.span);
        Some(found)
    }

    /// A value as a quantity: its figure, whatever its direction.
    pub(super) fn value_as_number(&mut self, frame: &mut Frame<'a>, value: &'a Value, span: Span) -> Option<Typed> {
        if value.steps.iter().any(|step| matches!(step.limit, Limit::Between(..))) {
            return self.fail(messages::two_ends(span, &value.name.node));
        }
        self.steps_as_number(frame, value, true)
    }

    /// One end of a value, as a quantity.
    pub(super) fn steps_as_number(&mut self, frame: &mut Frame<'a>, value: &'a Value, is_low: bool) -> Option<Typed> {
        let mut parts = Vec::with_capacity(value.steps.len());
        for step in &value.steps {
            let expr = match &step.limit {
                Limit::Plain(e) | Limit::AtLeast(e) | Limit::AtMost(e) => e,
                Limit::Between(low, high) => {
                    if is_low {
                        low
                    } else {
                        high
                    }
                }
                Limit::Asked { scale, question } => {
                    let Some(of) = self.asked(scale) else { continue };
                    let number = Number { node: NumberNode::Asked(question.clone()), span: scale.span };
                    parts.push((Typed::Number(number, of), scale.span));
                    continue;
                }
            };
            if let Some(typed) = self.apart(frame, |compiler, frame| compiler.typed_either(frame, expr, None)) {
                parts.push((typed, expr.span));
            }
        }
        let bounds = self.step_bounds(frame, &value.steps);
        if parts.len() < value.steps.len() {
            return None;
        }
        if parts.iter().all(|(typed, _)| matches!(typed, Typed::NoLimit)) {
            return Some(Typed::NoLimit);
        }
        let (mut numbers, scale) = self.unified(parts, None)?;
        let place = value.name.span;
        let number = match (numbers.len(), value.steps.first().and_then(|step| step.from)) {
            (1, None) => numbers.pop()?,
            _ => Number { node: NumberNode::Steps(bounds.into_iter().zip(numbers).collect()), span: place },
        };
        Some(Typed::Number(number, scale))
    }

    /// A value with a direction, for `within`.
    pub(super) fn value_as_limit(
        &mut self,
        frame: &mut Frame<'a>,
        value: &'a Value,
        span: Span,
    ) -> Option<(code::Limit, Scale)> {
        if value.steps.iter().any(|step| matches!(step.limit, Limit::Plain(_) | Limit::Asked { .. })) {
            return self.fail(messages::no_direction(span, &value.name.node, value.name.span));
        }
        // All ends together, so that they come out on one scale.
        let ends: Vec<&'a Expr> = value.steps.iter().flat_map(|step| ends(&step.limit)).collect();
        let mut parts = Vec::with_capacity(ends.len());
        for expr in &ends {
            let expr: &'a Expr = expr;
            if let Some(typed) = self.apart(frame, |compiler, frame| compiler.typed_either(frame, expr, None)) {
                parts.push((typed, expr.span));
            }
        }
        let bounds = self.step_bounds(frame, &value.steps);
        if parts.len() < ends.len() {
            return None;
        }
        let (numbers, scale) = self.unified(parts, None)?;
        self.landed(value.name.span, scale)?;
        let mut numbers = numbers.into_iter();
        let mut steps = Vec::with_capacity(value.steps.len());
        for (step, bounds) in value.steps.iter().zip(bounds) {
            let ends = match step.limit {
                Limit::AtLeast(_) => LimitEnds { low: numbers.next(), high: None },
                Limit::AtMost(_) => LimitEnds { low: None, high: numbers.next() },
                _ => LimitEnds { low: numbers.next(), high: numbers.next() },
            };
            if let (Some(low), Some(high)) = (&ends.low, &ends.high)
                && let (Some(a), Some(b)) = (super::types::constant(low), super::types::constant(high))
                && a > b
            {
                return self.fail(messages::ends_crossed(low.span.to(high.span)));
            }
            steps.push((bounds, ends));
        }
        Some((code::Limit { name: value.name.node.clone(), steps: steps.into() }, scale))
    }

    /// Looks at the values and lists of its own that nothing used since `used` places were noted.
    pub(super) fn check_unused(&mut self, frame: &mut Frame<'a>, used: usize) {
        let (values, lists) = (frame.values, frame.lists);
        let seen: Vec<Span> = self.used.places.get(used..).unwrap_or_default().to_vec();
        for value in values.iter().filter(|value| !seen.contains(&value.name.span)) {
            self.check_value(frame, value);
        }
        for list in lists.iter().filter(|list| !seen.contains(&list.name.span)) {
            self.check_list(frame, list);
        }
    }

    /// Looks at the shared values and lists, used or not: they see no letter.
    pub(super) fn check_shared(&mut self) {
        let pack = self.pack;
        let mut frame = Frame::default();
        pack.values.iter().for_each(|value| self.check_value(&mut frame, value));
        pack.lists.iter().for_each(|list| self.check_list(&mut frame, list));
    }

    fn check_value(&mut self, frame: &mut Frame<'a>, value: &'a Value) {
        let is_limit = |step: &Step| !matches!(step.limit, Limit::Plain(_) | Limit::Asked { .. });
        if value.steps.iter().all(is_limit) {
            self.value_as_limit(frame, value, value.name.span);
        } else {
            self.steps_as_number(frame, value, true);
        }
    }

    fn check_list(&mut self, frame: &mut Frame<'a>, list: &'a List) {
        match &list.choice {
            Some(choice) => {
                if let Some(id) = self.choice(&choice.node, choice.span) {
                    self.list_values(frame, list, id);
                }
            }
            None => drop(self.ways(frame, list)),
        }
    }

    fn asked(&mut self, scale: &Spanned<String>) -> Option<Scale> {
        match Scale::named(&scale.node) {
            Some(scale) => Some(scale),
            None => self.fail(messages::unknown_type(scale.span, &scale.node, None)),
        }
    }

    fn step_bounds(&mut self, frame: &mut Frame<'a>, steps: &[Step]) -> Vec<Bounds> {
        let bounds: Vec<Bounds> = steps.iter().map(|step| Bounds { from: step.from, before: None }).collect();
        for bounds in &bounds {
            frame.turns = frame.turns.and(self.note_bounds(bounds));
        }
        bounds
    }

    /// `any of LIST`, of named conditions.
    pub(super) fn any_of_list(&mut self, frame: &mut Frame<'a>, name: &'a Spanned<String>, span: Span) -> Option<Test> {
        let Some(list) = self.find_list(frame, &name.node) else {
            return self.unknown_list(frame, name);
        };
        if list.choice.is_some() {
            return self.fail(messages::list_of_values(span, &name.node));
        }
        let ways = self.ways(frame, list)?;
        Some(Test { node: TestNode::Any(ways.into()), span })
    }

    /// The named conditions of a list.
    pub(super) fn ways(&mut self, frame: &mut Frame<'a>, list: &'a List) -> Option<Vec<Alternative>> {
        let mut ways = Vec::with_capacity(list.items.len());
        for item in &list.items {
            frame.turns = frame.turns.and(self.note_bounds(&item.bounds));
            let Some(expr) = &item.test else {
                self.report(messages::item_without_test(item.name.span, &item.name.node));
                continue;
            };
            if let Some(test) = self.apart(frame, |compiler, frame| compiler.test(frame, expr)) {
                let title = super::texts::title(item.title.as_deref(), &item.name.node);
                ways.push(Alternative { name: item.name.node.clone(), title, bounds: item.bounds, test });
            }
        }
        (ways.len() == list.items.len()).then_some(ways)
    }

    /// The values of a list, for `is any of LIST`, with the moments when each counts.
    pub(super) fn list_as_bits(
        &mut self,
        frame: &mut Frame<'a>,
        id: ChoiceId,
        name: &'a Spanned<String>,
    ) -> Option<Vec<(u64, Bounds)>> {
        let Some(list) = self.find_list(frame, &name.node) else {
            return self.unknown_list(frame, name);
        };
        let Some(choice) = &list.choice else {
            return self.fail(messages::list_of_conditions(name.span, &name.node));
        };
        let of = self.choice(&choice.node, choice.span)?;
        if of != id {
            let (have, want) = (self.described_type(Type::Choice(of)), self.described_type(Type::Choice(id)));
            return self.fail(messages::list_of_other_choice(name.span, &name.node, &have, &want, list.name.span));
        }
        self.list_values(frame, list, of)
    }

    /// The values of a list of a choice.
    pub(super) fn list_values(
        &mut self,
        frame: &mut Frame<'a>,
        list: &'a List,
        id: ChoiceId,
    ) -> Option<Vec<(u64, Bounds)>> {
        let mut all = Vec::with_capacity(list.items.len());
        for item in &list.items {
            frame.turns = frame.turns.and(self.note_bounds(&item.bounds));
            match self.value_of_choice(id, &item.name.node) {
                Some(bits) => all.push((bits, item.bounds)),
                None => drop(self.unknown_value::<()>(id, &item.name.node, item.name.span)),
            }
        }
        (all.len() == list.items.len()).then_some(all)
    }

    fn unknown_list<T>(&mut self, frame: &Frame<'a>, name: &Spanned<String>) -> Option<T> {
        if self.broken.contains(name.node.as_str()) {
            return None;
        }
        let own = frame.lists.iter().map(|list| list.name.node.as_str());
        let near = nearest(&name.node, own.chain(self.lists.keys().copied())).map(str::to_string);
        self.fail(messages::unknown_list(name.span, &name.node, near))
    }

    /// Compiles something that sees the rule's own letter and no other.
    fn apart<T>(&mut self, frame: &mut Frame<'a>, compile: impl FnOnce(&mut Self, &mut Frame<'a>) -> T) -> T {
        let hidden: Hidden<'a> = frame.letters.split_off(frame.base.min(frame.letters.len()));
        let out = compile(self, frame);
        frame.letters.extend(hidden);
        out
    }
}

fn ends(limit: &Limit) -> Vec<&Expr> {
    match limit {
        Limit::Plain(e) | Limit::AtLeast(e) | Limit::AtMost(e) => vec![e],
        Limit::Between(low, high) => vec![low, high],
        Limit::Asked { .. } => Vec::new(),
    }
}
