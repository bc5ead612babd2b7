use super::{Dimension, Quantity, Rational, Scale, wire_size};

/// One spelling of a unit.
#[derive(Clone, Copy, Debug)]
pub struct Unit {
    /// As written after a number.
    pub name: &'static str,
    /// What it measures.
    pub scale: Scale,
    /// Base units in one.
    pub factor: Rational,
}

const fn ratio(name: &'static str, d: Dimension, numerator: i64, denominator: i64) -> Unit {
    Unit { name, scale: Scale::Ratio(d), factor: Rational::constant(numerator, denominator) }
}

/// Every unit that plans and rules read, one spelling each. `C` is handled by [`unit`]: it has a zero of its own.
pub const UNITS: [Unit; 45] = [
    ratio("in", Dimension::LENGTH, 1, 1),
    ratio("ft", Dimension::LENGTH, 12, 1),
    ratio("yd", Dimension::LENGTH, 36, 1),
    ratio("mm", Dimension::LENGTH, 5, 127),
    ratio("cm", Dimension::LENGTH, 50, 127),
    ratio("m", Dimension::LENGTH, 5000, 127),
    ratio("in2", Dimension::AREA, 1, 1),
    ratio("ft2", Dimension::AREA, 144, 1),
    ratio("in3", Dimension::VOLUME, 1, 1),
    ratio("A", Dimension::CURRENT, 1, 1),
    ratio("kA", Dimension::CURRENT, 1000, 1),
    ratio("mA", Dimension::CURRENT, 1, 1000),
    ratio("V", Dimension::VOLTAGE, 1, 1),
    ratio("kV", Dimension::VOLTAGE, 1000, 1),
    ratio("VA", Dimension::POWER, 1, 1),
    ratio("kVA", Dimension::POWER, 1000, 1),
    ratio("W", Dimension::POWER, 1, 1),
    ratio("kW", Dimension::POWER, 1000, 1),
    ratio("hp", Dimension::HORSEPOWER, 1, 1),
    ratio("ohm", Dimension::RESISTANCE, 1, 1),
    ratio("kohm", Dimension::RESISTANCE, 1000, 1),
    ratio("megohm", Dimension::RESISTANCE, 1_000_000, 1),
    ratio("ohm/kft", Dimension::RESISTANCE_PER_LENGTH, 1, 12_000),
    ratio("ohm/ft", Dimension::RESISTANCE_PER_LENGTH, 1, 12),
    ratio("deg", Dimension::ANGLE, 1, 1),
    ratio("degrees", Dimension::ANGLE, 1, 1),
    ratio("cmil", Dimension::CMIL, 1, 1),
    ratio("kcmil", Dimension::CMIL, 1000, 1),
    ratio("h", Dimension::TIME, 1, 1),
    ratio("hours", Dimension::TIME, 1, 1),
    ratio("min", Dimension::TIME, 1, 60),
    ratio("lb", Dimension::WEIGHT, 1, 1),
    ratio("in-lb", Dimension::TORQUE, 1, 1),
    ratio("lb-in", Dimension::TORQUE, 1, 1),
    ratio("ft-lb", Dimension::TORQUE, 12, 1),
    ratio("lb-ft", Dimension::TORQUE, 12, 1),
    ratio("%", Dimension::NUMBER, 1, 100),
    ratio("percent", Dimension::NUMBER, 1, 100),
    Unit { name: "F", scale: Scale::Temperature, factor: Rational::ONE },
    Unit { name: "C", scale: Scale::Temperature, factor: Rational::constant(9, 5) },
    Unit { name: "AWG", scale: Scale::WireSize, factor: Rational::ONE },
    ratio("degrees F", Dimension::DEGREES, 1, 1),
    ratio("degrees C", Dimension::DEGREES, 9, 5),
    ratio("per F", Dimension::PER_DEGREE, 1, 1),
    ratio("per C", Dimension::PER_DEGREE, 5, 9),
];

/// A number as written: `18`, `0.75`, `3/4`, `2-1/8`, `-10`; `1,200` is refused. None where it is no number.
pub fn number(text: &str) -> Option<Rational> {
    if let Some(rest) = text.strip_prefix('-') {
        let amount = if rest.starts_with('-') { None } else { number(rest) };
        return Rational::whole(0).minus(amount?);
    }
    if let Some((whole, fraction)) = text.split_once('-') {
        return plain(whole)?.plus(simple(fraction)?);
    }
    simple(text)
}

fn simple(text: &str) -> Option<Rational> {
    match text.split_once('/') {
        Some((a, b)) => plain(a)?.over(plain(b)?),
        None => plain(text),
    }
}

fn plain(text: &str) -> Option<Rational> {
    let (whole, rest) = text.split_once('.').unwrap_or((text, ""));
    let digits = |s: &str| s.bytes().all(|b| b.is_ascii_digit());
    if whole.is_empty() || !digits(whole) || !digits(rest) || rest.len() > 12 || (text.contains('.') && rest.is_empty())
    {
        return None;
    }
    let scale = 10i64.pow(rest.len() as u32);
    let whole = whole.parse::<i64>().ok()?.checked_mul(scale)?;
    let rest = if rest.is_empty() { 0 } else { rest.parse::<i64>().ok()? };
    Rational::new(whole.checked_add(rest)?, scale)
}

/// The quantity of a number's text and a unit's name: (`1/0`, `AWG`), (`75`, `C`), (`2-1/8`, `in`).
pub fn unit(text: &str, name: &str) -> Option<Quantity> {
    if matches!(name, "AWG" | "kcmil")
        && let Some(rank) = wire_size(&format!("{text} {name}"))
    {
        return Some(Quantity { value: Rational::whole(rank), scale: Scale::WireSize });
    }
    let unit = UNITS.iter().find(|u| u.name == name)?;
    if unit.scale == Scale::WireSize {
        return None;
    }
    let mut value = number(text)?.times(unit.factor)?;
    if name == "C" {
        value = value.plus(Rational::whole(32))?;
    }
    Some(Quantity { value, scale: unit.scale })
}

/// Days from 1970-01-01 of `2027-04-10`; none where there is no such day.
pub fn day(text: &str) -> Option<i64> {
    let mut parts = text.split('-');
    let (y, m, d) = (parts.next()?, parts.next()?, parts.next()?);
    if parts.next().is_some() || y.len() != 4 || m.len() != 2 || d.len() != 2 {
        return None;
    }
    let (y, m, d): (i64, i64, i64) = (y.parse().ok()?, m.parse().ok()?, d.parse().ok()?);
    let days = from_civil(y, m, d);
    (day_text(days) == text).then_some(days)
}

/// Proleptic Gregorian calendar; the usual arithmetic with March as first month.
#[expect(clippy::arithmetic_side_effects, reason = "a year of four digits, month and day of two")]
fn from_civil(y: i64, m: i64, d: i64) -> i64 {
    let y = if m <= 2 { y - 1 } else { y };
    let era = y.div_euclid(400);
    let in_era = y.rem_euclid(400);
    let in_year = (153 * ((m + 9) % 12) + 2) / 5 + d - 1;
    era * 146_097 + in_era * 365 + in_era / 4 - in_era / 100 + in_year - 719_468
}

/// The day as `2027-04-10`.
#[expect(clippy::arithmetic_side_effects, reason = "parts of a number of days that has room")]
pub fn day_text(days: i64) -> String {
    let z = days.saturating_add(719_468);
    let era = z.div_euclid(146_097);
    let in_era = z.rem_euclid(146_097);
    let years = (in_era - in_era / 1460 + in_era / 36_524 - in_era / 146_096) / 365;
    let in_year = in_era - (365 * years + years / 4 - years / 100);
    let m = (5 * in_year + 2) / 153;
    let (d, m) = (in_year - (153 * m + 2) / 5 + 1, if m < 10 { m + 3 } else { m - 9 });
    let y = years + era * 400 + i64::from(m <= 2);
    format!("{y:04}-{m:02}-{d:02}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_trade_numbers() {
        assert_eq!(number("2-1/8"), Some(Rational::constant(17, 8)));
        assert_eq!(number("0.75"), Some(Rational::constant(3, 4)));
        assert_eq!(number("1."), None);
        assert_eq!(number("--1"), None);
        assert_eq!(unit("-10", "F").map(|q| q.to_string()), Some("-10 F".into()));
        assert_eq!(number("5-20R"), None);
        assert_eq!(unit("2", "ft").map(|q| q.value), Some(Rational::whole(24)));
        assert_eq!(unit("40", "C").map(|q| q.to_string()), Some("104 F (40 C)".into()));
        assert_eq!(unit("1/0", "AWG").map(|q| q.to_string()), Some("1/0 AWG".into()));
        assert_eq!(unit("13", "AWG").map(|q| q.to_string()), None);
        assert_eq!(unit("1000", "mm").map(|q| q.value), Some(Rational::constant(5000, 127)));
    }

    /// Days of the calendar, from memory: 2000 was a leap year, 2100 is none.
    #[test]
    fn knows_the_calendar() {
        assert_eq!(day("1970-01-01"), Some(0));
        assert_eq!(day("2000-02-29"), Some(11_016));
        assert_eq!(day("2100-02-29"), None);
        assert_eq!(day("2026-13-01"), None);
        assert_eq!(day_text(11_016), "2000-02-29");
    }
}
