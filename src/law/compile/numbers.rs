//! Quantities: arithmetic, least and largest, roundings.

use super::expressions::wanted_scale;
use super::frame::{Frame, Letter};
use super::types::{Typed, constant, no_limit};
use super::{Compiler, messages};
use crate::law::code::{Number, NumberNode};
use crate::law::syntax::{Aggregate, Each, Expr, Operator};
use crate::quantity::{Dimension, Rational, Scale};
use crate::text::{Span, Spanned};
use crate::words::Type;

const DEGREES: Scale = Scale::Ratio(Dimension::DEGREES);

impl<'a> Compiler<'a> {
    /// A quantity, on whatever scale.
    fn number(&mut self, frame: &mut Frame<'a>, expr: &'a Expr) -> Option<(Number, Scale)> {
        match self.typed_either(frame, expr, None)? {
            Typed::Number(number, scale) => Some((number, scale)),
            other => {
                let found = self.described(&other);
                self.fail(messages::not_wanted(expr.span, &found, "a quantity"))
            }
        }
    }

    pub(super) fn arithmetic(
        &mut self,
        frame: &mut Frame<'a>,
        operator: Operator,
        (left, right): (&'a Expr, &'a Expr),
        span: Span,
    ) -> Option<Typed> {
        let first = self.typed_either(frame, left, None);
        let second = self.typed_either(frame, right, None);
        let (a, b) = match (first?, second?) {
            (Typed::Number(a, x), Typed::Number(b, y)) => ((a, x), (b, y)),
            // `count − no limit` is below everything; of a product nobody could tell the scale.
            (Typed::NoLimit, Typed::Number(b, y)) if is_sum(operator) => ((no_limit(left.span), y), (b, y)),
            (Typed::Number(a, x), Typed::NoLimit) if is_sum(operator) => ((a, x), (no_limit(right.span), x)),
            (Typed::NoLimit | Typed::Number(..), Typed::NoLimit | Typed::Number(..)) => {
                return self.fail(messages::no_limit_in_product(span));
            }
            (Typed::Number(..) | Typed::NoLimit, other) => return self.no_number(right.span, &other),
            (other, _) => return self.no_number(left.span, &other),
        };
        let ((a, x), (b, y)) = (a, b);
        let scale = match (operator, x, y) {
            (Operator::Times, Scale::Ratio(x), Scale::Ratio(y)) => Scale::Ratio(x.times(y)),
            (Operator::Over, Scale::Ratio(x), Scale::Ratio(y)) => Scale::Ratio(x.over(y)),
            (Operator::Minus, Scale::Temperature, Scale::Temperature) => DEGREES,
            (Operator::Plus | Operator::Minus, Scale::Temperature, DEGREES) => Scale::Temperature,
            (Operator::Plus, DEGREES, Scale::Temperature) => Scale::Temperature,
            (Operator::Plus | Operator::Minus, Scale::Ratio(x), Scale::Ratio(y)) if x == y => Scale::Ratio(x),
            _ => return self.no_arithmetic(operator, (&a, x), (&b, y), span),
        };
        let node = NumberNode::Arithmetic(operator, Box::new(a), Box::new(b));
        Some(Typed::Number(Number { node, span }, scale))
    }

    fn no_number<T>(&mut self, span: Span, found: &Typed) -> Option<T> {
        let found = self.described(found);
        self.fail(messages::not_wanted(span, &found, "a quantity"))
    }

    fn no_arithmetic<T>(
        &mut self,
        operator: Operator,
        (a, x): (&Number, Scale),
        (b, y): (&Number, Scale),
        span: Span,
    ) -> Option<T> {
        let problem = match (is_sum(operator), x, y) {
            (true, Scale::NUMBER, _) => messages::bare_number(a.span, y, constant(a)),
            (true, _, Scale::NUMBER) => messages::bare_number(b.span, x, constant(b)),
            (true, Scale::Ratio(_), Scale::Ratio(_)) => messages::two_scales(b.span, y, x, Some(a.span)),
            _ => messages::no_arithmetic(span, operator, x, y),
        };
        self.fail(problem)
    }

    /// `least of (a, b)`, `largest of (a, b)`.
    pub(super) fn extreme(
        &mut self,
        frame: &mut Frame<'a>,
        is_largest: bool,
        candidates: &'a [Expr],
        span: Span,
        want: Option<Type>,
    ) -> Option<Typed> {
        let mut parts = Vec::with_capacity(candidates.len());
        for candidate in candidates {
            if let Some(typed) = self.typed_either(frame, candidate, want) {
                parts.push((typed, candidate.span));
            }
        }
        if parts.len() < candidates.len() {
            return None;
        }
        let (candidates, scale) = self.unified(parts, wanted_scale(want))?;
        let node = NumberNode::Extreme { is_largest, candidates: candidates.into() };
        Some(Typed::Number(Number { node, span }, scale))
    }

    /// `sum of E for x in L where Q` and the like.
    pub(super) fn aggregate(
        &mut self,
        frame: &mut Frame<'a>,
        kind: Aggregate,
        body: &'a Expr,
        each: &'a Each,
        span: Span,
    ) -> Option<Typed> {
        let mark = frame.mark();
        let entered = self.enter(frame, each);
        let sign = frame.set_sign(super::rare::Sign::Either);
        let each = self.filtered(frame, entered, each);
        let body = if each.is_some() { self.number(frame, body) } else { None };
        frame.set_sign(sign);
        frame.reset(mark);
        let (each, (body, scale)) = (each?, body?);
        if kind == Aggregate::Sum && !matches!(scale, Scale::Ratio(_)) {
            return self.fail(messages::no_sum(body.span, scale));
        }
        let node = NumberNode::Aggregate { kind, each: Box::new(each), body: Box::new(body) };
        Some(Typed::Number(Number { node, span }, scale))
    }

    /// `rank of q in L by E`.
    pub(super) fn rank(
        &mut self,
        frame: &mut Frame<'a>,
        item: &'a Spanned<String>,
        list: &'a Expr,
        by: &'a Expr,
        span: Span,
    ) -> Option<Typed> {
        let letter = frame.letter(&item.node);
        let typed = self.typed_either(frame, list, None);
        let Some((slot, Letter::Item(kinds))) = letter else {
            return self.fail(messages::rank_of_what(item.span, &item.node));
        };
        let (items, members) = match typed? {
            Typed::Items(items, members) => (items, members),
            other => {
                let found = self.described(&other);
                return self.fail(messages::no_list(list.span, &found));
            }
        };
        if kinds.common(members).is_empty() {
            return self.fail(messages::rank_of_stranger(item.span, &item.node, kinds, members));
        }
        let mark = frame.mark();
        let Some(member) = frame.push(&item.node, Letter::Item(members)) else {
            return self.fail(messages::too_many_letters(item.span));
        };
        let by = self.number(frame, by);
        frame.reset(mark);
        let (by, scale) = by?;
        self.landed(by.span, scale)?;
        let node = NumberNode::Rank { item: slot, list: Box::new(items), by: Box::new(by), member };
        Some(Typed::Number(Number { node, span }, Scale::NUMBER))
    }

    /// `x up to TABLE`, `x down to TABLE`.
    pub(super) fn stepped(
        &mut self,
        frame: &mut Frame<'a>,
        is_up: bool,
        value: &'a Expr,
        table: &'a Spanned<String>,
        span: Span,
    ) -> Option<Typed> {
        let number = self.number(frame, value);
        let id = self.find_table(frame, table)?;
        let (number, scale) = number?;
        let first = self
            .tables
            .get(id.0 as usize)
            .and_then(|table| table.keys.first().map(|(_, ty, _)| *ty).or(table.columns.first().map(|(_, ty)| *ty)));
        let Some(Type::Quantity(steps)) = first else {
            return self.fail(messages::no_steps(table.span, &table.node));
        };
        let number = self.scaled(number, scale, steps, value.span)?;
        let node = NumberNode::ToTable { is_up, value: Box::new(number), table: id };
        Some(Typed::Number(Number { node, span }, steps))
    }

    /// `x rounded up to STEP`, `x rounded to STEP from SHARE`.
    pub(super) fn rounded(
        &mut self,
        frame: &mut Frame<'a>,
        value: &'a Expr,
        step: &'a Expr,
        from: Option<&'a Expr>,
        span: Span,
    ) -> Option<Typed> {
        let number = self.number(frame, value);
        let width = self.number(frame, step);
        let share = match from {
            Some(from) => Some(self.number(frame, from)?),
            None => None,
        };
        let ((number, scale), (width, wide)) = (number?, width?);
        if !matches!(scale, Scale::Ratio(_)) {
            return self.fail(messages::no_rounding(value.span, scale));
        }
        let width = self.scaled(width, wide, scale, step.span)?;
        let Some(step) = constant(&width).filter(|step| *step > Rational::ZERO) else {
            return self.fail(messages::no_step(step.span));
        };
        let from = match (share, from) {
            (Some((share, scale)), Some(from)) => {
                let share = self.scaled(share, scale, Scale::NUMBER, from.span)?;
                let Some(share) = constant(&share).filter(|s| *s > Rational::ZERO && *s <= Rational::ONE) else {
                    return self.fail(messages::no_share(from.span));
                };
                Some(share)
            }
            _ => None,
        };
        let node = NumberNode::Rounded { value: Box::new(number), step, from };
        Some(Typed::Number(Number { node, span }, scale))
    }
}

fn is_sum(operator: Operator) -> bool {
    matches!(operator, Operator::Plus | Operator::Minus)
}
