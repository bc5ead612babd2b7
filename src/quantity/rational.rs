use serde::{Deserialize, Serialize};
use std::cmp::Ordering;
use std::fmt;

/// An exact number: a fraction in lowest terms with a positive denominator.
///
/// No verdict may depend on binary rounding, so nothing here ever rounds unasked. An operation
/// whose result has no room gives `None`, and the verdict above it becomes unknown.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Rational {
    numerator: i64,
    denominator: i64,
}

/// Which way a number goes that is shown with fewer digits than it has. What bounds something is rounded outward:
/// a least amount down, a most amount up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Toward {
    /// Half up.
    Nearest,
    /// To what is not larger.
    Down,
    /// To what is not smaller.
    Up,
}

impl Rational {
    /// 0.
    pub const ZERO: Rational = Rational::whole(0);
    /// 1.
    pub const ONE: Rational = Rational::whole(1);

    /// A whole number.
    pub const fn whole(n: i64) -> Rational {
        Rational { numerator: n, denominator: 1 }
    }

    /// `numerator / denominator`; none where the denominator is 0 or the result has no room.
    pub fn new(numerator: i64, denominator: i64) -> Option<Rational> {
        Rational::reduce(i128::from(numerator), i128::from(denominator))
    }

    /// A constant written in the source, such as 1/12. A denominator of 0 gives 0.
    pub const fn constant(numerator: i64, denominator: i64) -> Rational {
        if denominator <= 0 {
            return Rational::ZERO;
        }
        let mut a = if numerator < 0 { -numerator } else { numerator };
        let mut b = denominator;
        while b != 0 {
            (a, b) = (b, a % b);
        }
        if a == 0 { Rational::ZERO } else { Rational { numerator: numerator / a, denominator: denominator / a } }
    }

    fn reduce(numerator: i128, denominator: i128) -> Option<Rational> {
        if denominator == 0 {
            return None;
        }
        let divisor = match (u64::try_from(numerator.unsigned_abs()), u64::try_from(denominator.unsigned_abs())) {
            (Ok(a), Ok(b)) => i128::from(gcd(a, b)),
            _ => {
                let (mut a, mut b) = (numerator.unsigned_abs(), denominator.unsigned_abs());
                while b != 0 {
                    (a, b) = (b, a % b);
                }
                i128::try_from(a).ok()?
            }
        };
        let sign = if denominator < 0 { -1 } else { 1 };
        let numerator = i64::try_from(sign * (numerator / divisor)).ok()?;
        let denominator = i64::try_from(sign * (denominator / divisor)).ok()?;
        Some(Rational { numerator, denominator })
    }

    /// The upper part of the fraction.
    pub fn numerator(self) -> i64 {
        self.numerator
    }

    /// The lower part of the fraction, at least 1.
    pub fn denominator(self) -> i64 {
        self.denominator
    }

    /// Sum.
    pub fn plus(self, other: Rational) -> Option<Rational> {
        if self.denominator == 1 && other.denominator == 1 {
            return Some(Rational::whole(self.numerator.checked_add(other.numerator)?));
        }
        let (a, b, c, d) = self.wide(other);
        Rational::reduce(a.checked_mul(d)?.checked_add(c.checked_mul(b)?)?, b * d)
    }

    /// Difference.
    pub fn minus(self, other: Rational) -> Option<Rational> {
        self.plus(Rational { numerator: other.numerator.checked_neg()?, denominator: other.denominator })
    }

    /// Product.
    pub fn times(self, other: Rational) -> Option<Rational> {
        if self.denominator == 1 && other.denominator == 1 {
            return Some(Rational::whole(self.numerator.checked_mul(other.numerator)?));
        }
        let (a, b, c, d) = self.wide(other);
        Rational::reduce(a * c, b * d)
    }

    /// Quotient; none for a division by zero.
    pub fn over(self, other: Rational) -> Option<Rational> {
        let (a, b, c, d) = self.wide(other);
        Rational::reduce(a * d, b * c)
    }

    fn wide(self, other: Rational) -> (i128, i128, i128, i128) {
        (self.numerator.into(), self.denominator.into(), other.numerator.into(), other.denominator.into())
    }

    /// The largest whole number that is not larger.
    pub fn floor(self) -> i64 {
        self.numerator.div_euclid(self.denominator)
    }

    /// The smallest whole number that is not smaller.
    pub fn ceiling(self) -> i64 {
        if self.denominator == 1 { self.numerator } else { self.floor().saturating_add(1) }
    }

    /// Whether it is a whole number.
    pub fn is_whole(self) -> bool {
        self.denominator == 1
    }

    /// For JSON and drawings only; never for a comparison.
    pub fn approximate(self) -> f64 {
        self.numerator as f64 / self.denominator as f64
    }

    /// Rounded half up to so many decimals, for showing, without zeros at the end: `2.25`, `0.8`, `18`.
    pub fn decimal(self, places: u32) -> String {
        self.decimal_toward(places, Toward::Nearest)
    }

    /// The same, rounded one way.
    pub fn decimal_toward(self, places: u32, toward: Toward) -> String {
        let places = places.min(12);
        let scale = 10i128.pow(places);
        let (upper, lower) = (i128::from(self.numerator) * scale, i128::from(self.denominator));
        let scaled = match toward {
            Toward::Nearest => (2 * upper + lower).div_euclid(2 * lower),
            Toward::Down => upper.div_euclid(lower),
            Toward::Up => -(-upper).div_euclid(lower),
        };
        let sign = if scaled < 0 { "-" } else { "" };
        let (whole, rest) = (scaled.abs() / scale, scaled.abs() % scale);
        if rest == 0 {
            return format!("{sign}{whole}");
        }
        let rest = format!("{rest:0width$}", width = places as usize);
        format!("{sign}{whole}.{}", rest.trim_end_matches('0'))
    }

    /// As the trade writes lengths: `2-1/8`, `3/4`, `12`; a denominator over 64 comes as a decimal.
    pub fn fraction(self) -> String {
        self.fraction_toward(3, Toward::Nearest)
    }

    /// The same; what comes as a decimal with so many places, rounded one way.
    pub fn fraction_toward(self, places: u32, toward: Toward) -> String {
        if self.denominator == 1 {
            return self.numerator.to_string();
        }
        if self.denominator > 64 || !(self.denominator as u64).is_power_of_two() || self.numerator < 0 {
            return self.decimal_toward(places, toward);
        }
        let (whole, rest) = (self.numerator / self.denominator, self.numerator % self.denominator);
        if whole == 0 { format!("{rest}/{}", self.denominator) } else { format!("{whole}-{rest}/{}", self.denominator) }
    }
}

fn gcd(mut a: u64, mut b: u64) -> u64 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a.max(1)
}

impl PartialOrd for Rational {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Rational {
    #[inline]
    fn cmp(&self, other: &Self) -> Ordering {
        if self.denominator == other.denominator {
            return self.numerator.cmp(&other.numerator);
        }
        let (a, b, c, d) = self.wide(*other);
        (a * d).cmp(&(c * b))
    }
}

impl fmt::Debug for Rational {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.numerator, self.denominator)
    }
}

impl fmt::Display for Rational {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.decimal(6))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn is_exact() {
        let tenth = Rational::constant(1, 10);
        let sum = (0..10).try_fold(Rational::ZERO, |sum, _| sum.plus(tenth));
        assert_eq!(sum, Some(Rational::ONE), "ten tenths are one, which binary floats miss");
        assert!(Rational::constant(9, 4) < Rational::constant(91, 40));
        assert_eq!(Rational::ONE.over(Rational::ZERO), None);
        assert_eq!(Rational::whole(i64::MAX).times(Rational::whole(2)), None);
        assert_eq!(Rational::constant(-7, 2).floor(), -4);
        assert_eq!(Rational::constant(7, 2).ceiling(), 4);
    }

    #[test]
    fn prints_as_the_trade_does() {
        assert_eq!(Rational::constant(17, 8).fraction(), "2-1/8");
        assert_eq!(Rational::constant(3, 4).fraction(), "3/4");
        assert_eq!(Rational::constant(1687, 10000).decimal(3), "0.169");
        assert_eq!(Rational::constant(-1, 8).decimal(2), "-0.12");
        assert_eq!(Rational::constant(24, 1).decimal(1), "24");
        for (value, down, up) in [(Rational::constant(1, 4), "0.2", "0.3"), (Rational::constant(-1, 4), "-0.3", "-0.2")]
        {
            assert_eq!(value.decimal_toward(1, Toward::Down), down);
            assert_eq!(value.decimal_toward(1, Toward::Up), up);
        }
        assert_eq!(Rational::constant(3, 2).decimal_toward(1, Toward::Up), "1.5");
    }
}
