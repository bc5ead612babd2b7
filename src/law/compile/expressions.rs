//! Expressions: what stands where, and what type it has.

use super::EDITIONS;
use super::frame::{Frame, Letter, MAX_DEPTH};
use super::rare::Sign;
use super::types::Typed;
use super::{Compiler, messages};
use crate::law::code::{Choice, ChoiceNode, Item, Items, Number, NumberNode, Slot, Test, TestNode};
use crate::law::syntax::{Expr, Node};
use crate::quantity::Scale;
use crate::text::{Span, nearest};
use crate::words::{ChoiceId, Kind, Kinds, Type};

impl<'a> Compiler<'a> {
    /// Compiles an expression. `want` is the type that its place asks for, where it asks for one:
    /// a bare word is looked up in a wanted choice first.
    pub(super) fn typed(&mut self, frame: &mut Frame<'a>, expr: &'a Expr, want: Option<Type>) -> Option<Typed> {
        let outside = frame.depth;
        frame.depth = outside.saturating_add(1);
        frame.deepest = frame.deepest.max(frame.depth);
        let typed = if frame.depth > MAX_DEPTH {
            self.fail(messages::too_deep(expr.span, MAX_DEPTH))
        } else {
            self.typed_node(frame, expr, want)
        };
        frame.depth = outside;
        typed
    }

    /// An edition that a condition names is one that a plan may mean, unless it is older than all
    /// that the program knows.
    fn edition_named(&mut self, year: i64) {
        if EDITIONS.iter().any(|known| *known <= year) {
            self.editions.insert(year);
        }
    }

    fn typed_node(&mut self, frame: &mut Frame<'a>, expr: &'a Expr, want: Option<Type>) -> Option<Typed> {
        let span = expr.span;
        match &*expr.node {
            Node::NoLimit => Some(Typed::NoLimit),
            Node::Quantity(quantity) => {
                match quantity.scale {
                    Scale::Edition => self.edition_named(quantity.value.floor()),
                    Scale::Date => drop(self.days.insert(quantity.value.floor())),
                    _ => {}
                }
                Some(Typed::Number(Number { node: NumberNode::Constant(quantity.value), span }, quantity.scale))
            }
            Node::Name(name) => self.bare(frame, name, span, want),
            Node::Word(owner, word) => self.word(frame, owner, word, span),
            Node::Call(name, arguments) => self.call(frame, name, arguments, span),
            Node::Lookup { table, column, keys } => self.lookup(frame, table, column.as_ref(), keys, span),
            Node::If(condition, then, otherwise) => self.conditional(frame, (condition, then, otherwise), span, want),
            Node::Arithmetic(operator, left, right) => self.arithmetic(frame, *operator, (left, right), span),
            Node::Extreme { is_largest, candidates } => self.extreme(frame, *is_largest, candidates, span, want),
            Node::Aggregate { kind, body, each } => self.aggregate(frame, *kind, body, each, span),
            Node::Count(each) => self.count(frame, each, span),
            Node::Rank { item, list, by } => self.rank(frame, item, list, by, span),
            Node::ToTable { is_up, value, table } => self.stepped(frame, *is_up, value, table, span),
            Node::Rounded { value, step, from } => self.rounded(frame, value, step, from.as_ref(), span),
            _ => Some(Typed::Test(self.condition(frame, expr)?)),
        }
    }

    /// Compiles a condition.
    pub(super) fn test(&mut self, frame: &mut Frame<'a>, expr: &'a Expr) -> Option<Test> {
        match self.typed(frame, expr, Some(Type::YesNo))? {
            Typed::Test(test) => Some(test),
            other => {
                let found = self.described(&other);
                self.fail(messages::no_condition(expr.span, &found, matches!(other, Typed::Items(..))))
            }
        }
    }

    /// Compiles something whose yes and no may go either way.
    pub(super) fn typed_either(&mut self, frame: &mut Frame<'a>, expr: &'a Expr, want: Option<Type>) -> Option<Typed> {
        let sign = frame.set_sign(Sign::Either);
        let typed = self.typed(frame, expr, want);
        frame.set_sign(sign);
        typed
    }

    /// A name alone: a value of the wanted choice, a letter, a value, the shop.
    fn bare(&mut self, frame: &mut Frame<'a>, name: &'a str, span: Span, want: Option<Type>) -> Option<Typed> {
        if let Some(Type::Choice(id)) = want
            && let Some(bits) = self.value_of_choice(id, name)
        {
            self.warn_of_double_name(frame, id, name, span);
            return Some(Typed::Choice(Choice { node: ChoiceNode::Constant(bits), span }, id));
        }
        if let Some((slot, letter)) = frame.letter(name) {
            return self.letter(name, slot, letter, span);
        }
        if let Some(value) = self.find_value(frame, name) {
            return self.value_as_number(frame, value, span);
        }
        match name {
            "shop" => return Some(Typed::Item(Item::Only(Kind::Shop), Kinds::of(Kind::Shop))),
            "permit" => return Some(Typed::Item(Item::Only(Kind::Permit), Kinds::of(Kind::Permit))),
            _ => {}
        }
        self.unknown_bare(frame, name, span, want)
    }

    fn letter(&mut self, name: &str, slot: Slot, letter: Letter, span: Span) -> Option<Typed> {
        Some(match letter {
            Letter::Item(kinds) => Typed::Item(Item::Letter(slot), kinds),
            Letter::Number(scale) => Typed::Number(Number { node: NumberNode::Letter(slot), span }, scale),
            Letter::Choice(id) => Typed::Choice(Choice { node: ChoiceNode::Letter(slot), span }, id),
            Letter::YesNo => Typed::Test(Test { node: TestNode::Letter(slot), span }),
            Letter::Row(_) => return self.fail(messages::whole_row(span, name)),
        })
    }

    fn unknown_bare(&mut self, frame: &Frame<'a>, name: &str, span: Span, want: Option<Type>) -> Option<Typed> {
        if self.broken.contains(name) {
            return None;
        }
        if let Some(list) = self.find_list(frame, name) {
            return self.fail(messages::list_alone(span, name, list.choice.is_some()));
        }
        if self.table_names.contains_key(name) {
            return self.fail(messages::table_alone(span, name));
        }
        if let Some(Type::Choice(id)) = want {
            return self.unknown_value(id, name, span);
        }
        if self.vocabulary.choices().iter().any(|choice| choice.values.iter().any(|value| value == name)) {
            return self.fail(messages::value_alone(span, name));
        }
        let letters = frame.letters.iter().map(|(n, ..)| *n);
        let own = frame.values.iter().map(|value| value.name.node.as_str());
        let known = letters.chain(own).chain(self.values.keys().copied()).chain(["shop", "permit"]);
        let near = nearest(name, known).map(str::to_string);
        self.fail(messages::unknown_name(span, name, near))
    }

    /// A value of a choice, as rules write it.
    pub(super) fn value_of_choice(&self, id: ChoiceId, name: &str) -> Option<u64> {
        let place = self.vocabulary.choice(id)?.values.iter().position(|value| value == name)?;
        1u64.checked_shl(place as u32)
    }

    /// Says that a choice has no such value.
    pub(super) fn unknown_value<T>(&mut self, id: ChoiceId, name: &str, span: Span) -> Option<T> {
        let choice = self.vocabulary.choice(id)?;
        let spelled = choice.spellings.iter().find(|(form, _)| form == name).map(|(_, place)| *place);
        let near = match spelled {
            Some(place) => choice.values.get(usize::from(place)).map(String::as_str),
            None => nearest(name, choice.values.iter().map(String::as_str)),
        };
        let problem = messages::unknown_value(span, &choice.name, name, near, &choice.values);
        self.fail(problem)
    }

    fn warn_of_double_name(&mut self, frame: &Frame<'a>, id: ChoiceId, name: &str, span: Span) {
        let named = frame.values.iter().find(|value| value.name.node == name).map(|value| value.name.span);
        if let (Some(other), Some(choice)) = (named, self.vocabulary.choice(id)) {
            let problem = messages::value_and_choice(span, name, &choice.name, other);
            self.report(problem);
        }
    }

    /// `if a then b else c`.
    fn conditional(
        &mut self,
        frame: &mut Frame<'a>,
        (condition, then, otherwise): (&'a Expr, &'a Expr, &'a Expr),
        span: Span,
        want: Option<Type>,
    ) -> Option<Typed> {
        let sign = frame.set_sign(Sign::Either);
        let test = self.test(frame, condition);
        frame.set_sign(sign);
        let mark = frame.mark();
        frame.is_lost |= test.is_none();
        if let Some(test) = &test {
            frame.assume(test, true);
        }
        let yes = self.typed(frame, then, want);
        frame.reset(mark);
        frame.is_lost |= test.is_none();
        if let Some(test) = &test {
            frame.assume(test, false);
        }
        let no = self.typed(frame, otherwise, want);
        frame.reset(mark);
        let (test, yes, no) = (test?, yes?, no?);
        match (yes, no) {
            (Typed::Test(yes), Typed::Test(no)) => {
                Some(Typed::Test(Test { node: TestNode::If(Box::new((test, yes, no))), span }))
            }
            (Typed::Choice(yes, id), Typed::Choice(no, other)) if id == other => {
                Some(Typed::Choice(Choice { node: ChoiceNode::If(Box::new((test, yes, no))), span }, id))
            }
            (Typed::NoLimit, Typed::NoLimit) => Some(Typed::NoLimit),
            (yes @ (Typed::Number(..) | Typed::NoLimit), no @ (Typed::Number(..) | Typed::NoLimit)) => {
                let parts = vec![(yes, then.span), (no, otherwise.span)];
                let (numbers, scale) = self.unified(parts, wanted_scale(want))?;
                let [yes, no] = <[Number; 2]>::try_from(numbers).ok()?;
                Some(Typed::Number(Number { node: NumberNode::If(Box::new((test, yes, no))), span }, scale))
            }
            (yes, no) => {
                let (first, second) = (self.described(&yes), self.described(&no));
                self.fail(messages::two_branches(otherwise.span, &first, &second, then.span))
            }
        }
    }
}

/// The scale that a place asks for.
pub(super) fn wanted_scale(want: Option<Type>) -> Option<Scale> {
    match want {
        Some(Type::Quantity(scale)) => Some(scale),
        _ => None,
    }
}

/// A word of an item as an expression of its type.
pub(super) fn word_of_type(item: Item, name: crate::words::NameId, ty: Type, span: Span) -> Typed {
    match ty {
        Type::YesNo => Typed::Test(Test { node: TestNode::Word(Box::new(item), name), span }),
        Type::Quantity(scale) => Typed::Number(Number { node: NumberNode::Word(Box::new(item), name), span }, scale),
        Type::Choice(id) => Typed::Choice(Choice { node: ChoiceNode::Word(Box::new(item), name), span }, id),
        Type::Item(kinds) => Typed::Item(Item::Word(Box::new(item), name), kinds),
        Type::List(kinds) => Typed::Items(Items::Word(item, name), kinds),
        Type::Choices(id) => Typed::Choices(item, name, id),
        Type::Name => Typed::Name(item, name),
    }
}
