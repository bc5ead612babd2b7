//! Types as written, and expressions with their type.

use super::{Compiler, messages};
use crate::law::code::{Any, Choice, Item, Items, Number, NumberNode, Test};
use crate::law::syntax::TypeName;
use crate::quantity::{Dimension, Scale, UNITS};
use crate::text::{Span, nearest};
use crate::words::{ChoiceId, Kind, Kinds, NameId, Type};

/// An expression and its type.
pub(super) enum Typed {
    /// Yes or no.
    Test(Test),
    /// A quantity; its scale may still be a product of units without a name.
    Number(Number, Scale),
    /// `no limit`, which is of every scale.
    NoLimit,
    /// A value of a choice.
    Choice(Choice, ChoiceId),
    /// An item.
    Item(Item, Kinds),
    /// A list of items.
    Items(Items, Kinds),
    /// A list of values of a choice.
    Choices(Item, NameId, ChoiceId),
    /// A proper name.
    Name(Item, NameId),
}

/// Where a type stands: `area` is a size in a table, and a kind elsewhere.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum TypePlace {
    /// A key or column.
    Table,
    /// Anywhere else.
    Word,
}

impl<'a> Compiler<'a> {
    /// The type that was written.
    pub(super) fn type_named(&mut self, ty: &TypeName, place: TypePlace) -> Option<Type> {
        if let ([word], TypePlace::Word) = (ty.words.as_slice(), place)
            && let Some(kind) = Kind::named(word)
        {
            return Some(Type::Item(Kinds::of(kind)));
        }
        let words: Vec<&str> = ty.words.iter().map(String::as_str).filter(|w| *w != "or").collect();
        match words.as_slice() {
            ["list", "choice", name] | ["list", "of", "choice", name] => self.choice(name, ty.span).map(Type::Choices),
            ["list", "of", kinds @ ..] | ["list", kinds @ ..] => self.kinds(kinds, ty.span).map(Type::List),
            ["choice", name] => self.choice(name, ty.span).map(Type::Choice),
            ["yes/no"] => Some(Type::YesNo),
            ["name"] => Some(Type::Name),
            [name] if place == TypePlace::Table || Kind::named(name).is_none() => {
                let unit = || UNITS.iter().find(|unit| unit.name == *name).map(|unit| unit.scale);
                match Scale::named(name).or_else(unit) {
                    Some(scale) => Some(Type::Quantity(scale)),
                    None => self.fail(messages::unknown_type(ty.span, name, self.type_hint(name))),
                }
            }
            kinds => self.kinds(kinds, ty.span).map(Type::Item),
        }
    }

    fn kinds(&mut self, names: &[&str], span: Span) -> Option<Kinds> {
        let mut kinds = Kinds::default();
        for name in names {
            match Kind::named(name) {
                Some(kind) => kinds = kinds.and(Kinds::of(kind)),
                None => return self.fail(messages::unknown_kind(span, name, nearest_kind(name))),
            }
        }
        (!kinds.is_empty()).then_some(kinds)
    }

    /// The choice of a name.
    pub(super) fn choice(&mut self, name: &str, span: Span) -> Option<ChoiceId> {
        if let Some(id) = self.vocabulary.choice_named(name) {
            return Some(id);
        }
        if self.broken.contains(name) {
            return None;
        }
        let near = nearest(name, self.vocabulary.choices().iter().map(|c| c.name.as_str())).map(str::to_string);
        self.fail(messages::unknown_choice(span, name, near))
    }

    fn type_hint(&self, name: &str) -> Option<String> {
        if self.vocabulary.choice_named(name).is_some() {
            return Some(format!("choice {name}"));
        }
        let scales = Dimension::NAMED.iter().map(|(n, _)| *n);
        let others = ["temperature", "date", "edition", "wire-size", "trade-size", "yes/no", "name"];
        let kinds = Kind::ALL.into_iter().map(Kind::name);
        nearest(name, scales.chain(others).chain(kinds)).map(str::to_string)
    }

    /// What an expression is, for messages.
    pub(super) fn described(&self, typed: &Typed) -> String {
        match typed {
            Typed::Test(_) => "a yes or no".into(),
            Typed::Number(_, scale) => messages::a_scale(*scale),
            Typed::NoLimit => "`no limit`".into(),
            Typed::Choice(_, id) => format!("a {}", self.vocabulary.type_text(Type::Choice(*id))),
            Typed::Item(_, kinds) => messages::a(&kinds.to_string()),
            Typed::Items(_, kinds) => format!("a {}", self.vocabulary.type_text(Type::List(*kinds))),
            Typed::Choices(_, _, id) => format!("a {}", self.vocabulary.type_text(Type::Choices(*id))),
            Typed::Name(..) => "a name".into(),
        }
    }

    /// What a type is, for messages.
    pub(super) fn described_type(&self, ty: Type) -> String {
        match ty {
            Type::YesNo => "a yes or no".into(),
            Type::Quantity(scale) => messages::a_scale(scale),
            other => messages::a(&self.vocabulary.type_text(other)),
        }
    }

    /// An expression as a value of a type, as arguments and results need it.
    pub(super) fn fitted(&mut self, typed: Typed, ty: Type, span: Span) -> Option<Any> {
        match (typed, ty) {
            (Typed::Test(test), Type::YesNo) => Some(Any::Test(test)),
            (Typed::NoLimit, Type::Quantity(scale)) => Some(Any::Number(no_limit(span), scale)),
            (Typed::Number(number, have), Type::Quantity(want)) => {
                self.scaled(number, have, want, span).map(|number| Any::Number(number, want))
            }
            (Typed::Choice(choice, have), Type::Choice(want)) if have == want => Some(Any::Choice(choice, want)),
            (Typed::Item(item, have), Type::Item(want)) if want.covers(have) => Some(Any::Item(item)),
            (typed, ty) => {
                let (have, want) = (self.described(&typed), self.described_type(ty));
                self.fail(messages::not_wanted(span, &have, &want))
            }
        }
    }

    /// A quantity on the scale that is wanted.
    pub(super) fn scaled(&mut self, number: Number, have: Scale, want: Scale, span: Span) -> Option<Number> {
        if can_be(&number, have, want) {
            return Some(number);
        }
        if have == Scale::NUMBER {
            return self.fail(messages::bare_number(span, want, constant(&number)));
        }
        self.landed(span, have)?;
        self.fail(messages::not_wanted(span, &messages::a_scale(have), &messages::a_scale(want)))
    }

    /// Whether units multiplied and divided came to something that has a name.
    pub(super) fn landed(&mut self, span: Span, scale: Scale) -> Option<()> {
        match scale {
            Scale::Ratio(dimension) if dimension.name().is_none() => self.fail(messages::without_dimension(span)),
            _ => Some(()),
        }
    }
}

/// Whether a quantity may stand where another scale is wanted: a trade size is written like a length.
pub(super) fn can_be(number: &Number, have: Scale, want: Scale) -> bool {
    have == want || have == Scale::Ratio(Dimension::LENGTH) && want == Scale::TradeSize && is_written(number)
}

/// Whether a quantity was written as such, by edition perhaps.
fn is_written(number: &Number) -> bool {
    match &number.node {
        NumberNode::Constant(_) | NumberNode::NoLimit => true,
        NumberNode::Steps(steps) => steps.iter().all(|(_, step)| is_written(step)),
        _ => false,
    }
}

/// The number that was written.
pub(super) fn constant(number: &Number) -> Option<crate::quantity::Rational> {
    match number.node {
        NumberNode::Constant(value) => Some(value),
        _ => None,
    }
}

/// `no limit` at a place.
pub(super) fn no_limit(span: Span) -> Number {
    Number { node: NumberNode::NoLimit, span }
}

/// The nearest kind, by name or plural.
pub(super) fn nearest_kind(name: &str) -> Option<&'static str> {
    let plural = Kind::ALL.into_iter().find(|kind| kind.plural() == name);
    plural.map(Kind::name).or_else(|| nearest(name, Kind::ALL.into_iter().map(Kind::name)))
}
