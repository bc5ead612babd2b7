use super::Truth;
use crate::law::syntax::{Comparison, Operator};
use crate::quantity::Rational;
use crate::shop::{Range, Value};

/// One end of an [`Interval`]. The order of the variants is the order of the values.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum End {
    /// Under every quantity: what the largest of an empty list is.
    Below,
    /// A quantity, in base units.
    At(Rational),
    /// Over every quantity: `no limit`.
    NoLimit,
}

/// The possible values of a quantity: all between two ends. An open end is left out itself.
///
/// `no limit` is a value like any other. What nobody said may be anything up to and with `no
/// limit`, so that `x < no limit` is yes only where `x` has a bound, and never no.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// The lower end.
    pub low: End,
    /// The upper end.
    pub high: End,
    /// Whether the lower end is left out.
    pub low_is_open: bool,
    /// Whether the upper end is left out.
    pub high_is_open: bool,
}

impl Interval {
    /// Any value.
    pub const ANYTHING: Interval = Interval::between(End::Below, End::NoLimit);
    /// `no limit`.
    pub const NO_LIMIT: Interval = Interval::between(End::NoLimit, End::NoLimit);
    /// What the largest of nothing is.
    pub const BELOW: Interval = Interval::between(End::Below, End::Below);
    /// 0.
    pub const ZERO: Interval = Interval::of(Rational::ZERO);

    /// One value.
    #[inline]
    pub const fn of(value: Rational) -> Interval {
        Interval::between(End::At(value), End::At(value))
    }

    /// All values from one end to the other, both included.
    #[inline]
    pub const fn between(low: End, high: End) -> Interval {
        Interval { low, high, low_is_open: false, high_is_open: false }
    }

    /// The one value, where there is one and it is a quantity.
    #[inline]
    pub fn point(&self) -> Option<Rational> {
        match (self.low, self.high) {
            (End::At(low), End::At(high)) if low == high => Some(low),
            _ => None,
        }
    }

    /// Whether only one value is left.
    #[inline]
    pub fn is_decided(&self) -> bool {
        self.low == self.high
    }

    /// What a plan says of a quantity.
    #[inline]
    pub fn of_value(value: &Value) -> Interval {
        match value {
            Value::Number(n) => Interval::of(*n),
            Value::Range(r) => Interval::of_range(r),
            _ => Interval::ANYTHING,
        }
    }

    fn of_range(r: &Range) -> Interval {
        Interval {
            low: r.low.map_or(End::Below, End::At),
            high: r.high.map_or(End::NoLimit, End::At),
            low_is_open: r.low_is_open && r.low.is_some(),
            high_is_open: r.high_is_open && r.high.is_some(),
        }
    }

    /// The smallest interval that holds both.
    pub fn hull(self, other: Interval) -> Interval {
        let (low, high) = (self.lower(other), self.upper(other));
        Interval { low: low.low, low_is_open: low.low_is_open, high: high.high, high_is_open: high.high_is_open }
    }

    fn lower(self, other: Interval) -> Interval {
        match self.low.cmp(&other.low) {
            std::cmp::Ordering::Less => self,
            std::cmp::Ordering::Greater => other,
            std::cmp::Ordering::Equal if self.low_is_open => other,
            std::cmp::Ordering::Equal => self,
        }
    }

    fn upper(self, other: Interval) -> Interval {
        match self.high.cmp(&other.high) {
            std::cmp::Ordering::Greater => self,
            std::cmp::Ordering::Less => other,
            std::cmp::Ordering::Equal if self.high_is_open => other,
            std::cmp::Ordering::Equal => self,
        }
    }

    /// The lesser of two.
    pub fn least(self, other: Interval) -> Interval {
        let low = self.lower(other);
        let high = if self.upper(other) == self { other } else { self };
        Interval { low: low.low, low_is_open: low.low_is_open, high: high.high, high_is_open: high.high_is_open }
    }

    /// The larger of two.
    pub fn largest(self, other: Interval) -> Interval {
        let high = self.upper(other);
        let low = if self.lower(other) == self { other } else { self };
        Interval { low: low.low, low_is_open: low.low_is_open, high: high.high, high_is_open: high.high_is_open }
    }

    /// Whether a comparison holds for all pairs, for none, or for some.
    #[inline]
    pub fn compare(&self, comparison: Comparison, other: &Interval) -> Truth {
        match comparison {
            Comparison::Less => self.is_less(other),
            Comparison::AtMost => other.is_less(self).not(),
            Comparison::More => other.is_less(self),
            Comparison::AtLeast => self.is_less(other).not(),
            Comparison::Equal if self.is_decided() && other.is_decided() => (self.low == other.low).into(),
            Comparison::Equal if self.is_less(other) == Truth::Yes || other.is_less(self) == Truth::Yes => Truth::No,
            Comparison::Equal => Truth::Unknown,
        }
    }

    #[inline]
    fn is_less(&self, other: &Interval) -> Truth {
        if self.high < other.low || self.high == other.low && (self.high_is_open || other.low_is_open) {
            Truth::Yes
        } else if self.low >= other.high {
            Truth::No
        } else {
            Truth::Unknown
        }
    }

    /// Whether some value is in both.
    pub fn meets(&self, other: &Interval) -> bool {
        self.is_less(other) != Truth::Yes && other.is_less(self) != Truth::Yes
    }

    /// Arithmetic. What has no room, and what is divided by zero, is anything.
    pub fn calculate(self, operator: Operator, other: Interval) -> Interval {
        match operator {
            Operator::Plus => self.plus(other),
            Operator::Minus => self.plus(other.negated()),
            Operator::Times => self.times(other),
            Operator::Over => self.over(other),
        }
    }

    /// The sum.
    pub fn plus(self, other: Interval) -> Interval {
        if let (Some(a), Some(b)) = (self.point(), other.point()) {
            return a.plus(b).map_or(Interval::ANYTHING, Interval::of);
        }
        let add = |a: End, b: End, unknown: End| match (a, b) {
            (End::At(a), End::At(b)) => a.plus(b).map_or(unknown, End::At),
            (End::NoLimit, End::Below) | (End::Below, End::NoLimit) => unknown,
            (End::At(_), far) | (far, _) => far,
        };
        Interval {
            low: add(self.low, other.low, End::Below),
            high: add(self.high, other.high, End::NoLimit),
            low_is_open: self.low_is_open || other.low_is_open,
            high_is_open: self.high_is_open || other.high_is_open,
        }
        .tidied()
    }

    fn negated(self) -> Interval {
        let turn = |end: End, unknown: End| match end {
            End::Below => End::NoLimit,
            End::NoLimit => End::Below,
            End::At(n) => Rational::ZERO.minus(n).map_or(unknown, End::At),
        };
        Interval {
            low: turn(self.high, End::Below),
            high: turn(self.low, End::NoLimit),
            low_is_open: self.high_is_open,
            high_is_open: self.low_is_open,
        }
    }

    /// Far ends are never open: a bound that overflowed into one includes it.
    fn tidied(mut self) -> Interval {
        self.low_is_open &= matches!(self.low, End::At(_));
        self.high_is_open &= matches!(self.high, End::At(_));
        self
    }

    fn times(self, other: Interval) -> Interval {
        if let (Some(a), Some(b)) = (self.point(), other.point()) {
            return a.times(b).map_or(Interval::ANYTHING, Interval::of);
        }
        if self.point() == Some(Rational::ZERO) || other.point() == Some(Rational::ZERO) {
            return Interval::ZERO;
        }
        self.corners(other, |a, b| match (sign(a), sign(b)) {
            (0, _) | (_, 0) => Some(End::At(Rational::ZERO)),
            (x, y) => match (a, b) {
                (End::At(a), End::At(b)) => a.times(b).map(End::At),
                _ if x == y => Some(End::NoLimit),
                _ => Some(End::Below),
            },
        })
    }

    /// The quotient. A divisor that may be zero leaves the side open on which the quotient runs away.
    fn over(self, other: Interval) -> Interval {
        let zero = End::At(Rational::ZERO);
        if other.point() == Some(Rational::ZERO) || other.low < zero && other.high > zero {
            return Interval::ANYTHING;
        }
        if let (Some(a), Some(b)) = (self.point(), other.point()) {
            return a.over(b).map_or(Interval::ANYTHING, Interval::of);
        }
        let is_negative = other.high <= zero;
        self.corners(other, |a, b| match (a, b) {
            (a, End::At(b)) if b == Rational::ZERO => match sign(a) {
                0 => Some(zero),
                s if (s > 0) == is_negative => Some(End::Below),
                _ => Some(End::NoLimit),
            },
            (End::At(a), End::At(b)) => a.over(b).map(End::At),
            (_, End::At(b)) => Some(if (sign(a) > 0) == (b > Rational::ZERO) { End::NoLimit } else { End::Below }),
            _ => Some(zero),
        })
    }

    /// The hull of what the four pairs of ends give. Products and quotients that keep one side of
    /// zero take their least and largest there. Open ends stay open only where all pairs agree.
    fn corners(self, other: Interval, f: impl Fn(End, End) -> Option<End>) -> Interval {
        let mut out: Option<Interval> = None;
        for (a, a_is_open) in [(self.low, self.low_is_open), (self.high, self.high_is_open)] {
            for (b, b_is_open) in [(other.low, other.low_is_open), (other.high, other.high_is_open)] {
                let Some(end) = f(a, b) else { return Interval::ANYTHING };
                // Zero times an end that is left out is zero all the same, so it stays in.
                let is_open = (a_is_open || b_is_open) && sign(end) != 0;
                let corner = Interval { low: end, high: end, low_is_open: is_open, high_is_open: is_open };
                out = Some(out.map_or(corner, |o| o.hull(corner)));
            }
        }
        out.unwrap_or(Interval::ANYTHING).tidied()
    }

    /// What a function gives that never falls while its argument rises; `None` is no value.
    pub fn rising(self, f: impl Fn(Rational) -> Option<Rational>) -> Interval {
        if let Some(point) = self.point() {
            return f(point).map_or(Interval::ANYTHING, Interval::of);
        }
        let at = |end: End, unknown: End| match end {
            End::At(n) => f(n).map_or(unknown, End::At),
            far => far,
        };
        Interval::between(at(self.low, End::Below), at(self.high, End::NoLimit))
    }

    /// The same with 0 as a possible value: a term that may be left out of a sum.
    pub fn or_zero(self) -> Interval {
        self.hull(Interval::ZERO)
    }

    /// The part from 0 on: a term of a sum, none of which is ever less.
    pub fn not_negative(self) -> Interval {
        if self.low >= End::At(Rational::ZERO) || self.high < End::At(Rational::ZERO) {
            return self;
        }
        Interval { low: End::At(Rational::ZERO), low_is_open: false, ..self }
    }
}

fn sign(end: End) -> i64 {
    match end {
        End::Below => -1,
        End::At(n) => n.numerator().signum(),
        End::NoLimit => 1,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn n(value: i64) -> Rational {
        Rational::whole(value)
    }

    fn span(low: i64, high: i64) -> Interval {
        Interval::between(End::At(n(low)), End::At(n(high)))
    }

    /// The rule of expressions: yes or no only if every pair agrees.
    #[test]
    fn compares_every_pair() {
        use Comparison::*;
        for (a, comparison, b, wanted) in [
            (span(1, 2), Less, span(3, 4), Truth::Yes),
            (span(1, 3), Less, span(3, 4), Truth::Unknown),
            (span(1, 3), AtMost, span(3, 4), Truth::Yes),
            (span(4, 5), Less, span(3, 4), Truth::No),
            (span(4, 5), AtLeast, span(3, 4), Truth::Yes),
            (span(3, 3), Equal, span(3, 3), Truth::Yes),
            (span(1, 3), Equal, span(3, 3), Truth::Unknown),
            (span(1, 2), Equal, span(3, 3), Truth::No),
            (Interval::ANYTHING, AtMost, Interval::NO_LIMIT, Truth::Yes),
            (Interval::ANYTHING, Less, Interval::NO_LIMIT, Truth::Unknown),
            (span(1, 2), Less, Interval::NO_LIMIT, Truth::Yes),
        ] {
            assert_eq!(a.compare(comparison, &b), wanted, "{a:?} {comparison:?} {b:?}");
        }
        let under = Interval { high_is_open: true, ..span(1, 3) };
        assert_eq!(under.compare(Less, &span(3, 4)), Truth::Yes, "`under 3` leaves 3 out");
        assert_eq!(under.compare(Equal, &span(3, 3)), Truth::No);
    }

    /// Each result holds what any pair of values inside gives. Tried on small whole numbers.
    #[test]
    fn arithmetic_holds_every_value() {
        let spans: Vec<Interval> = (-3..4).flat_map(|a| (a..4).map(move |b| span(a, b))).collect();
        for a in &spans {
            for b in &spans {
                for operator in [Operator::Plus, Operator::Minus, Operator::Times, Operator::Over] {
                    let out = a.calculate(operator, *b);
                    for (x, y) in values(a).flat_map(|x| values(b).map(move |y| (x, y))) {
                        let value = Interval::of(x).calculate(operator, Interval::of(y));
                        let Some(value) = value.point() else { continue };
                        let value = End::At(value);
                        assert!(out.low <= value && value <= out.high, "{x:?} {operator:?} {y:?}: {out:?}");
                    }
                }
            }
        }
    }

    fn values(interval: &Interval) -> impl Iterator<Item = Rational> + use<> {
        let at = |end| if let End::At(n) = end { n.floor() } else { 0 };
        (at(interval.low)..=at(interval.high)).map(n)
    }

    #[test]
    fn no_limit_stands_over_all() {
        assert_eq!(Interval::NO_LIMIT.least(span(3, 4)), span(3, 4));
        assert_eq!(Interval::BELOW.largest(span(3, 4)), span(3, 4));
        assert_eq!(span(3, 4).calculate(Operator::Minus, Interval::NO_LIMIT), Interval::BELOW);
        assert_eq!(span(1, 5).least(span(2, 3)), span(1, 3));
        assert_eq!(span(1, 5).largest(span(2, 3)), span(2, 5));
        let unlimited = Interval::between(End::At(n(2)), End::NoLimit);
        assert_eq!(unlimited.calculate(Operator::Times, span(0, 0)), Interval::ZERO);
        assert_eq!(unlimited.calculate(Operator::Times, span(3, 3)).low, End::At(n(6)));
        assert_eq!(span(1, 1).calculate(Operator::Over, span(0, 0)), Interval::ANYTHING);
        assert_eq!(Interval::of(n(i64::MAX)).plus(Interval::of(n(1))), Interval::ANYTHING);
    }
}
