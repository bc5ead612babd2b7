//! Conditions: `and`, `or`, `not`, comparisons, `is`, `within`, lists of ways.

use super::frame::Frame;
use super::rare::Sign;
use super::types::{Typed, can_be, constant, no_limit};
use super::{Compiler, messages};
use crate::law::code::{Alternative, Choice, ChoiceNode, Number, Test, TestNode};
use crate::law::syntax::{Bounds, Comparison, Expr, Limit, Node, Options, Value};
use crate::quantity::{Rational, Scale};
use crate::text::{Span, Spanned, nearest};
use crate::words::{ChoiceId, NameId, Ordinary, Type};

impl<'a> Compiler<'a> {
    /// Compiles what is yes or no by its form.
    pub(super) fn condition(&mut self, frame: &mut Frame<'a>, expr: &'a Expr) -> Option<Test> {
        let span = expr.span;
        match &*expr.node {
            Node::YesNo(yes) => Some(Test { node: TestNode::Constant(*yes), span }),
            Node::Not(inner) => {
                let sign = frame.set_sign(frame.sign.flip());
                let test = self.test(frame, inner);
                frame.set_sign(sign);
                Some(Test { node: TestNode::Not(Box::new(test?)), span })
            }
            Node::And(all) => {
                let tests = self.tests(frame, all, true)?;
                Some(Test { node: TestNode::All(tests.into()), span })
            }
            Node::Or(all) => {
                let ways = self.tests(frame, all, false)?.into_iter().map(way);
                Some(Test { node: TestNode::Any(ways.collect()), span })
            }
            Node::Compare(comparison, left, right) => self.compare(frame, *comparison, left, right, span),
            Node::Within(value, limit) => self.within(frame, value, limit, span),
            Node::Is { left, right, is_denied } => {
                self.denied(frame, *is_denied, span, |compiler, frame| compiler.is(frame, left, right, span))
            }
            Node::IsAnyOf { left, options, is_denied } => {
                self.denied(frame, *is_denied, span, |compiler, frame| compiler.is_any_of(frame, left, options, span))
            }
            Node::AnyOf(list) => self.any_of_list(frame, list, span),
            Node::Quantified { is_all, each, body } => self.quantified(frame, *is_all, each, body, span),
            _ => self.fail(messages::no_condition(span, "this", false)),
        }
    }

    /// The members of an `and` or `or`; what is known of one holds for those on its right.
    fn tests(&mut self, frame: &mut Frame<'a>, all: &'a [Expr], is_yes: bool) -> Option<Vec<Test>> {
        let mark = frame.mark();
        let mut tests = Vec::with_capacity(all.len());
        for expr in all {
            match self.test(frame, expr) {
                Some(test) => {
                    frame.assume(&test, is_yes);
                    tests.push(test);
                }
                None => frame.is_lost = true,
            }
        }
        frame.reset(mark);
        (tests.len() == all.len()).then_some(tests)
    }

    fn denied(
        &mut self,
        frame: &mut Frame<'a>,
        is_denied: bool,
        span: Span,
        compile: impl FnOnce(&mut Self, &mut Frame<'a>) -> Option<Test>,
    ) -> Option<Test> {
        let sign = frame.sign;
        if is_denied {
            frame.set_sign(sign.flip());
        }
        let test = compile(self, frame);
        frame.set_sign(sign);
        let test = test?;
        Some(if is_denied { Test { node: TestNode::Not(Box::new(test)), span } } else { test })
    }

    fn compare(
        &mut self,
        frame: &mut Frame<'a>,
        comparison: Comparison,
        left: &'a Expr,
        right: &'a Expr,
        span: Span,
    ) -> Option<Test> {
        let sign = frame.sign;
        frame.set_sign(side_sign(sign, comparison, left, right));
        let first = self.typed(frame, left, None);
        frame.set_sign(side_sign(sign, mirrored(comparison), right, left));
        let want = first.as_ref().and_then(type_of);
        let second = self.typed(frame, right, want);
        frame.set_sign(sign);
        let (first, second) = (first?, second?);
        let is_number = |typed: &Typed| matches!(typed, Typed::Number(..) | Typed::NoLimit);
        if let Some(other) = [&first, &second].into_iter().find(|typed| !is_number(typed)) {
            let found = self.described(other);
            let has_is = matches!(other, Typed::Choice(..) | Typed::Item(..) | Typed::Test(_) | Typed::Name(..));
            return self.fail(messages::no_order(span, &found, has_is));
        }
        let (mut numbers, scale) = self.unified(vec![(first, left.span), (second, right.span)], None)?;
        self.landed(span, scale)?;
        let (right, left) = (numbers.pop()?, numbers.pop()?);
        Some(Test { node: TestNode::Compare(comparison, Box::new(left), Box::new(right), scale), span })
    }

    /// Several quantities on one scale: the wanted one, else that of the first that has one.
    pub(super) fn unified(&mut self, parts: Vec<(Typed, Span)>, want: Option<Scale>) -> Option<(Vec<Number>, Scale)> {
        let scale_of = |typed: &Typed| if let Typed::Number(_, scale) = typed { Some(*scale) } else { None };
        let scales: Vec<Scale> = parts.iter().filter_map(|(typed, _)| scale_of(typed)).collect();
        // A trade size is written like a length, so that the other side decides.
        let trade_size = scales.iter().find(|scale| **scale == Scale::TradeSize);
        let Some(scale) = want.or(trade_size.copied()).or(scales.first().copied()) else {
            let span = parts.first().map_or(Span::default(), |(_, span)| *span);
            return self.fail(messages::only_no_limit(span));
        };
        let first = parts.iter().find(|(typed, _)| scale_of(typed).is_some()).map(|(_, span)| *span);
        let mut numbers = Vec::with_capacity(parts.len());
        for (typed, span) in parts {
            match typed {
                Typed::NoLimit => numbers.push(no_limit(span)),
                Typed::Number(number, have) if can_be(&number, have, scale) => numbers.push(number),
                Typed::Number(number, have) => {
                    return self.fail(match (have, scale) {
                        (Scale::NUMBER, _) => messages::bare_number(span, scale, constant(&number)),
                        (_, Scale::NUMBER) if want.is_none() => {
                            let written = numbers.first().and_then(constant);
                            messages::bare_number(first.unwrap_or(span), have, written)
                        }
                        _ => messages::two_scales(span, have, scale, first),
                    });
                }
                other => {
                    let found = self.described(&other);
                    return self.fail(messages::not_wanted(span, &found, "a quantity"));
                }
            }
        }
        Some((numbers, scale))
    }

    fn within(
        &mut self,
        frame: &mut Frame<'a>,
        value: &'a Expr,
        limit: &'a Spanned<String>,
        span: Span,
    ) -> Option<Test> {
        let Some(named) = self.find_value(frame, &limit.node) else {
            if self.broken.contains(limit.node.as_str()) {
                return None;
            }
            let own = frame.values.iter().map(|v| v.name.node.as_str());
            let near = nearest(&limit.node, own.chain(self.values.keys().copied())).map(str::to_string);
            return self.fail(messages::unknown_limit(limit.span, &limit.node, near));
        };
        let sign = frame.sign;
        frame.set_sign(within_sign(sign, value, named));
        let typed = self.typed(frame, value, None);
        frame.set_sign(sign);
        let limit = self.value_as_limit(frame, named, limit.span);
        let (typed, (limit, scale)) = (typed?, limit?);
        match typed {
            Typed::Number(number, have) => {
                let is_written = limit
                    .steps
                    .iter()
                    .all(|(_, ends)| [&ends.low, &ends.high].into_iter().flatten().all(|end| can_be(end, scale, have)));
                let is_trade_size = have == Scale::TradeSize && is_written;
                let scale = if is_trade_size { have } else { scale };
                let number = self.scaled(number, have, scale, value.span)?;
                Some(Test { node: TestNode::Within(Box::new(number), Box::new(limit), scale), span })
            }
            other => {
                let found = self.described(&other);
                self.fail(messages::not_wanted(value.span, &found, &messages::a_scale(scale)))
            }
        }
    }

    fn is(&mut self, frame: &mut Frame<'a>, left: &'a Expr, right: &'a Expr, span: Span) -> Option<Test> {
        let before = frame.rare.len();
        let first = self.typed_either(frame, left, None)?;
        match first {
            Typed::Choice(choice, id) => match self.typed_either(frame, right, Some(Type::Choice(id)))? {
                Typed::Choice(Choice { node: ChoiceNode::Constant(bits), .. }, _) => {
                    self.settle_choice(frame, before, &choice, id, bits);
                    Some(Test { node: TestNode::IsOneOf(Box::new(choice), bits, id), span })
                }
                Typed::Choice(other, same) if same == id => {
                    Some(Test { node: TestNode::SameChoice(Box::new(choice), Box::new(other), id), span })
                }
                other => self.not_the_same(right.span, Type::Choice(id), &other),
            },
            Typed::Choices(item, name, id) => match self.typed_either(frame, right, Some(Type::Choice(id)))? {
                Typed::Choice(Choice { node: ChoiceNode::Constant(bits), .. }, _) => {
                    Some(Test { node: TestNode::Holds(Box::new(item), name, bits, id), span })
                }
                other => self.not_the_same(right.span, Type::Choice(id), &other),
            },
            Typed::Item(item, kinds) => match self.typed_either(frame, right, None)? {
                Typed::Item(other, others) if !kinds.common(others).is_empty() => {
                    Some(Test { node: TestNode::SameItem(Box::new(item), Box::new(other)), span })
                }
                other => self.not_the_same(right.span, Type::Item(kinds), &other),
            },
            Typed::Name(item, name) => match self.typed_either(frame, right, None)? {
                Typed::Name(other, others) => {
                    Some(Test { node: TestNode::SameName(Box::new(item), name, Box::new(other), others), span })
                }
                other => self.not_the_same(right.span, Type::Name, &other),
            },
            other => {
                let found = self.described(&other);
                self.fail(messages::no_is(span, &found, matches!(other, Typed::Test(_))))
            }
        }
    }

    fn not_the_same<T>(&mut self, span: Span, want: Type, found: &Typed) -> Option<T> {
        let (found, want) = (self.described(found), self.described_type(want));
        self.fail(messages::not_wanted(span, &found, &want))
    }

    /// Where the choice is a rare word itself, whether its ordinary answer is among the values.
    fn settle_choice(&mut self, frame: &mut Frame<'a>, before: usize, choice: &Choice, id: ChoiceId, bits: u64) {
        if frame.rare.len() == before {
            return;
        }
        if let ChoiceNode::Word(_, name) = choice.node
            && let Some(value) = self.ordinary_value(name, id)
        {
            frame.settle_rare(before, name, bits & 1u64.checked_shl(value.into()).unwrap_or(0) != 0);
        }
    }

    fn ordinary_value(&self, name: NameId, id: ChoiceId) -> Option<u8> {
        let words = self.vocabulary.words().iter().filter(|w| w.name == name && w.ty == Type::Choice(id));
        words.filter_map(|word| word.ordinary).find_map(|ordinary| match ordinary {
            Ordinary::Value(value) => Some(value),
            _ => None,
        })
    }

    fn is_any_of(&mut self, frame: &mut Frame<'a>, left: &'a Expr, options: &'a Options, span: Span) -> Option<Test> {
        let before = frame.rare.len();
        let typed = self.typed_either(frame, left, None);
        let (id, held) = match &typed {
            Some(Typed::Choice(_, id)) => (*id, None),
            Some(Typed::Choices(_, name, id)) => (*id, Some(*name)),
            Some(other) => {
                let found = self.described(other);
                return self.fail(messages::no_any_of(span, &found));
            }
            None => return None,
        };
        let steps = match options {
            Options::Values(values) => vec![(self.values_as_bits(id, values)?, Bounds::default())],
            Options::List(list) => self.list_as_bits(frame, id, list)?,
        };
        let all = steps.iter().fold(0, |all, (bits, _)| all | bits);
        let is_fixed = steps.iter().all(|(_, bounds)| *bounds == Bounds::default());
        match (typed?, held) {
            (Typed::Choice(choice, _), _) => {
                // A list that differs by edition asks for its ordinary value in some edition, or in none.
                self.settle_choice(frame, before, &choice, id, all);
                let node = if is_fixed {
                    TestNode::IsOneOf(Box::new(choice), all, id)
                } else {
                    TestNode::IsInList(Box::new(choice), steps.into(), id)
                };
                Some(Test { node, span })
            }
            (Typed::Choices(item, name, _), _) if is_fixed => {
                Some(Test { node: TestNode::Holds(Box::new(item), name, all, id), span })
            }
            _ => self.fail(messages::list_by_edition(span)),
        }
    }

    fn values_as_bits(&mut self, id: ChoiceId, values: &'a [Spanned<String>]) -> Option<u64> {
        let mut all = Some(0);
        for value in values {
            let bits = match self.value_of_choice(id, &value.node) {
                Some(bits) => Some(bits),
                None => self.unknown_value(id, &value.node, value.span),
            };
            all = all.zip(bits).map(|(all, bits)| all | bits);
        }
        all
    }
}

/// One way of a plain `or`.
fn way(test: Test) -> Alternative {
    Alternative { name: String::new(), title: String::new(), bounds: Bounds::default(), test }
}

/// What more of a count on this side does to the comparison.
fn side_sign(sign: Sign, comparison: Comparison, side: &Expr, other: &Expr) -> Sign {
    let is_nothing = matches!(&*other.node, Node::Quantity(q) if q.value == Rational::ZERO);
    match (&*side.node, comparison) {
        (Node::Count(_), Comparison::More | Comparison::AtLeast) => sign,
        (Node::Count(_), Comparison::Less | Comparison::AtMost) => sign.flip(),
        (Node::Count(_), Comparison::Equal) if is_nothing => sign.flip(),
        _ => Sign::Either,
    }
}

/// What more of a count does to its being within a value.
fn within_sign(sign: Sign, side: &Expr, value: &Value) -> Sign {
    let goes = |wanted: fn(&Limit) -> bool| value.steps.iter().all(|step| wanted(&step.limit));
    match &*side.node {
        Node::Count(_) if goes(|limit| matches!(limit, Limit::AtLeast(_))) => sign,
        Node::Count(_) if goes(|limit| matches!(limit, Limit::AtMost(_))) => sign.flip(),
        _ => Sign::Either,
    }
}

fn mirrored(comparison: Comparison) -> Comparison {
    match comparison {
        Comparison::Equal => Comparison::Equal,
        Comparison::Less => Comparison::More,
        Comparison::AtMost => Comparison::AtLeast,
        Comparison::More => Comparison::Less,
        Comparison::AtLeast => Comparison::AtMost,
    }
}

fn type_of(typed: &Typed) -> Option<Type> {
    match typed {
        Typed::Number(_, scale) => Some(Type::Quantity(*scale)),
        Typed::Choice(_, id) => Some(Type::Choice(*id)),
        _ => None,
    }
}
