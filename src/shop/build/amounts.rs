//! Amounts as plans write them: a number and its unit, exact or loose.

#![expect(clippy::arithmetic_side_effects, reason = "places among the words of a line, whose length is limited")]

use crate::plan::syntax::{Token, TokenKind};
use crate::quantity::{Rational, Scale, UNITS, day, number, unit};
use crate::shop::{Range, Value};
use crate::text::Span;

/// What an amount states, and the token behind it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Amount {
    pub value: Value,
    /// `about`: taken as a guess.
    pub is_guess: bool,
    pub next: usize,
}

/// A number that stood where an amount with a unit was expected.
#[derive(Clone, Copy, Debug)]
pub(super) struct NoUnit {
    pub span: Span,
    pub scale: Scale,
}

/// Reads an amount on a scale, loose forms included: `at least 18 in`, `50 A or 60 A`, `about 75 ft`.
/// A number without its unit is noted in `no_unit`.
pub(super) fn amount(
    tokens: &[&Token],
    at: usize,
    scale: Option<Scale>,
    no_unit: &mut Option<NoUnit>,
) -> Option<Amount> {
    let word = |i: usize, text: &str| tokens.get(i).is_some_and(|t| t.is(text));
    let (bound, at) = match () {
        () if word(at, "at") && word(at + 1, "least") => (Bound::AtLeast, at + 2),
        () if word(at, "at") && word(at + 1, "most") => (Bound::AtMost, at + 2),
        () if word(at, "more") && word(at + 1, "than") => (Bound::Over, at + 2),
        () if word(at, "less") && word(at + 1, "than") => (Bound::Under, at + 2),
        () if word(at, "over") => (Bound::Over, at + 1),
        () if word(at, "after") => (Bound::After, at + 1),
        () if word(at, "under") || word(at, "before") => (Bound::Under, at + 1),
        () if word(at, "about") => (Bound::About, at + 1),
        () => (Bound::None, at),
    };
    let joins = |i: usize| word(i, "to") || word(i, "or");
    // `18 to 20 in`: the unit behind the second number is the first's too.
    let has_units = !matches!(scale, Some(Scale::Date | Scale::Edition));
    if has_units && tokens.get(at).is_some_and(|t| is_number(t)) && joins(at + 1) && bound == Bound::None {
        let (second, next) = single(tokens, at + 2, scale, &mut None)?;
        let (first, _) = tokens.get(at).and_then(|t| with_unit_of(tokens, &t.text, at + 2, scale))?;
        return spread(first, second).map(|value| Amount { value, is_guess: false, next });
    }
    let (first, next) = single(tokens, at, scale, no_unit)?;
    if joins(next)
        && let Some((second, next)) = single(tokens, next + 1, scale, &mut None)
    {
        let is_guess = bound == Bound::About;
        return spread(first, second).map(|value| Amount { value, is_guess, next });
    }
    let range = |low, high, low_is_open, high_is_open| Value::Range(Range { low, high, low_is_open, high_is_open });
    let value = match bound {
        Bound::None | Bound::About => first.value(),
        Bound::AtLeast => range(Some(first.low), None, false, false),
        Bound::AtMost => range(None, Some(first.high), false, false),
        Bound::Over => range(Some(first.low), None, true, false),
        Bound::After => range(Some(first.high), None, true, false),
        Bound::Under => range(None, Some(first.low), false, true),
    };
    Some(Amount { value, is_guess: bound == Bound::About, next })
}

/// Whether a word begins a loose amount.
pub(super) fn is_loose(word: &str) -> bool {
    matches!(word, "at" | "more" | "less" | "over" | "under" | "about" | "before" | "after")
}

#[derive(Clone, Copy, PartialEq)]
enum Bound {
    None,
    AtLeast,
    AtMost,
    Over,
    Under,
    After,
    About,
}

/// One number, or a year, which is a stretch of days.
#[derive(Clone, Copy)]
struct Single {
    low: Rational,
    high: Rational,
}

impl Single {
    fn value(self) -> Value {
        match self.low == self.high {
            true => Value::Number(self.low),
            false => Value::Range(Range::between(self.low, self.high)),
        }
    }
}

fn spread(first: Single, second: Single) -> Option<Value> {
    let (low, high) = (first.low.min(second.low), first.high.max(second.high));
    Some(Single { low, high }.value())
}

fn is_number(token: &Token) -> bool {
    token.kind == TokenKind::Number
}

fn one(value: Rational) -> Single {
    Single { low: value, high: value }
}

fn single(tokens: &[&Token], at: usize, scale: Option<Scale>, no_unit: &mut Option<NoUnit>) -> Option<(Single, usize)> {
    let token = tokens.get(at)?;
    match scale {
        Some(Scale::Date) => date(token).map(|d| (d, at + 1)),
        Some(Scale::Edition) => {
            let at = if token.is("NEC") { at + 1 } else { at };
            let year = tokens.get(at).filter(|t| is_number(t)).and_then(|t| number(&t.text))?;
            Some((one(year), at + 1))
        }
        _ => {
            let found = with_unit_of(tokens, &token.text, at, scale);
            // A bare count needs no unit, and an amount with another unit may belong to another word.
            let unit_follows = || tokens.get(at + 1).is_some_and(|t| UNITS.iter().any(|u| u.name == t.text));
            if found.is_none()
                && is_number(token)
                && let Some(scale) = scale.filter(|s| *s != Scale::NUMBER)
                && (at > 0 || !unit_follows())
            {
                no_unit.get_or_insert(NoUnit { span: token.span, scale });
            }
            found
        }
    }
}

/// The number `text` with the unit that stands behind the token at `at`.
fn with_unit_of(tokens: &[&Token], text: &str, at: usize, scale: Option<Scale>) -> Option<(Single, usize)> {
    let (sign, text) = match text.strip_prefix(['-', '−']) {
        Some(rest) => (Rational::whole(-1), rest),
        None => (Rational::ONE, text),
    };
    // Most words that are tried are no number at all.
    if !text.starts_with(|c: char| c.is_ascii_digit() || c == '-') {
        return None;
    }
    let name = tokens.get(at + 1).filter(|t| t.kind == TokenKind::Word).map(|t| t.text.as_str());
    let quantity = name.and_then(|name| unit(text, name));
    match (scale, quantity) {
        (Some(Scale::NUMBER), Some(q)) if q.scale == Scale::NUMBER => Some((one(q.value.times(sign)?), at + 2)),
        (Some(Scale::NUMBER), _) => {
            let is_unit = name.is_some_and(|n| UNITS.iter().any(|u| u.name == n));
            if is_unit { None } else { Some((one(number(text)?.times(sign)?), at + 1)) }
        }
        (Some(Scale::TradeSize), Some(q)) if name == Some("in") => Some((one(q.value), at + 2)),
        (Some(scale), Some(q)) if q.scale == scale => Some((one(q.value.times(sign)?), at + 2)),
        (None, Some(q)) => Some((one(q.value.times(sign)?), at + 2)),
        (None, None) => Some((one(number(text)?.times(sign)?), at + 1)),
        _ => None,
    }
}

/// A day, or a year as the days that it has.
fn date(token: &Token) -> Option<Single> {
    if token.kind == TokenKind::Day {
        return day(&token.text).map(|d| one(Rational::whole(d)));
    }
    let year = Some(&token.text).filter(|t| is_number(token) && t.len() == 4)?;
    let edge = |rest: &str| day(&format!("{year}-{rest}")).map(Rational::whole);
    Some(Single { low: edge("01-01")?, high: edge("12-31")? })
}

/// What an example of an amount on this scale looks like, for messages.
pub(super) fn example(scale: Scale) -> &'static str {
    use crate::quantity::Dimension as D;
    match scale {
        Scale::Ratio(D::LENGTH) => "a length, such as `18 in` or `12 ft`",
        Scale::Ratio(D::CURRENT) => "amperes, such as `20 A`",
        Scale::Ratio(D::VOLTAGE) => "volts, such as `240 V`",
        Scale::Ratio(D::POWER) => "watts or volt-amperes, such as `80 W`",
        Scale::Ratio(D::VOLUME) => "a volume, such as `18 in3`",
        Scale::Ratio(D::AREA) => "an area, such as `1800 ft2`",
        Scale::Ratio(D::RESISTANCE) => "a resistance, such as `25 ohm`",
        Scale::Ratio(D::ANGLE) => "degrees of angle, such as `90 deg`",
        Scale::Ratio(D::HORSEPOWER) => "horsepower, such as `5 hp`",
        Scale::Ratio(D::TIME) => "a time, such as `3 hours`",
        Scale::Ratio(D::TORQUE) => "a torque, such as `35 in-lb`",
        Scale::Ratio(_) => "a number",
        Scale::Temperature => "a temperature, such as `104 F` or `40 C`",
        Scale::Date => "a day, such as `2027-04-10`",
        Scale::Edition => "an edition, such as `NEC 2023`",
        Scale::WireSize => "a wire size, such as `12 AWG` or `250 kcmil`",
        Scale::TradeSize => "a trade size, such as `3/4 in`",
    }
}
