//! Amounts, editions and days.

use super::parse::{Children, Found};
use super::{Reader, Rule};
use crate::law::syntax::{Bounds, Moment};
use crate::quantity::{Quantity, Rational, Scale, UNITS, day, number, unit};
use crate::text::nearest;

impl<'a> Reader<'a> {
    /// `18 in`, `NEC 2023`, `2026-09-01`, `3`.
    pub(super) fn quantity(&mut self, found: Found<'a>) -> Option<Quantity> {
        let mut parts = found.children();
        let first = parts.next()?;
        match first.rule() {
            Rule::edition | Rule::date => {
                return match self.moment_of(first)? {
                    Moment::Edition(year) => Some(Quantity { value: Rational::whole(year), scale: Scale::Edition }),
                    Moment::Day(day) => Some(Quantity { value: Rational::whole(day), scale: Scale::Date }),
                };
            }
            _ => {}
        }
        let Some(name) = parts.next() else {
            let read = number(first.text()).map(|value| Quantity { value, scale: Scale::NUMBER });
            if read.is_none() {
                self.error(
                    first.range(),
                    format!("`{}` is no number", first.text()),
                    "write it as 18, 0.75, 3/4 or 1-1/4",
                );
            }
            return read;
        };
        let written = name.text().split_whitespace().collect::<Vec<_>>().join(" ");
        let read = unit(first.text(), &written);
        if read.is_none() {
            self.no_unit(&first, &name, &written);
        }
        read
    }

    fn no_unit(&mut self, number: &Found<'a>, name: &Found<'a>, written: &str) {
        if UNITS.iter().any(|unit| unit.name == written) {
            let range = number.range().start..name.range().end;
            let help = if written == "AWG" {
                "sizes go from 18 AWG to 4/0 AWG, then in kcmil"
            } else {
                "write it as 18, 0.75, 3/4 or 1-1/4"
            };
            return self.error(range, format!("there is no `{} {written}`", number.text()), help);
        }
        let message = format!("`{}` is a bare number: `{written}` is no unit", number.text());
        self.error(name.range(), message, unit_hint(written));
    }

    /// `from X`, `before X`, both or none.
    pub(super) fn bounds(&mut self, found: Option<Found<'a>>) -> Option<Bounds> {
        let mut bounds = Bounds::default();
        let Some(found) = found else { return Some(bounds) };
        for part in found.children() {
            let moment = Some(self.moment(part.children())?);
            if part.rule() == Rule::from { bounds.from = moment } else { bounds.before = moment }
        }
        if let (Some(from), Some(before)) = (bounds.from, bounds.before)
            && is_earlier(from, before) == Some(false)
        {
            self.error(found.range(), "nothing lies between these bounds", "`from` is included, `before` is not");
            return None;
        }
        Some(bounds)
    }

    /// The moment behind `from` or `before`.
    pub(super) fn moment(&mut self, parts: Children<'a>) -> Option<Moment> {
        self.moment_of(parts.last()?.children().next()?)
    }

    fn moment_of(&mut self, found: Found<'a>) -> Option<Moment> {
        if found.rule() == Rule::edition {
            return self.edition(&found).map(Moment::Edition);
        }
        self.day_of(&found).map(Moment::Day)
    }

    /// The day behind `from` or `before` where no edition may stand.
    pub(super) fn day_moment(&mut self, found: &Found<'a>) -> Option<i64> {
        match self.moment(found.children())? {
            Moment::Day(day) => Some(day),
            Moment::Edition(_) => {
                self.error(
                    found.range(),
                    "a day stands here",
                    "write year-month-day: 2026-09-01; editions stand in `over`",
                );
                None
            }
        }
    }

    /// A day, as days from 1970-01-01.
    pub(super) fn day_of(&mut self, found: &Found<'a>) -> Option<i64> {
        let read = day(found.text());
        if read.is_none() {
            self.error(
                found.range(),
                format!("there is no day `{}`", found.text()),
                "write year-month-day: 2026-09-01",
            );
        }
        read
    }

    /// The year of `NEC 2023`.
    pub(super) fn edition(&self, found: &Found<'a>) -> Option<i64> {
        found.children().last()?.text().parse().ok()
    }
}

/// Whether one moment lies before the other; none for an edition and a day, which don't compare.
pub(super) fn is_earlier(a: Moment, b: Moment) -> Option<bool> {
    match (a, b) {
        (Moment::Edition(a), Moment::Edition(b)) | (Moment::Day(a), Moment::Day(b)) => Some(a < b),
        _ => None,
    }
}

/// The nearest unit, or which ones there are.
pub(super) fn unit_hint(written: &str) -> String {
    // What people write in full is further from the unit than any slip.
    let full = match written.to_ascii_lowercase().as_str() {
        "inch" | "inches" => Some("in"),
        "foot" | "feet" => Some("ft"),
        "amp" | "amps" | "ampere" | "amperes" => Some("A"),
        "volt" | "volts" => Some("V"),
        "watt" | "watts" => Some("W"),
        "ohms" => Some("ohm"),
        "degree" => Some("degrees F"),
        _ => None,
    };
    match full.or_else(|| nearest(written, UNITS.iter().map(|unit| unit.name))) {
        Some(unit) => format!("the nearest unit is `{unit}`"),
        None => "units: in, ft, A, V, VA, AWG, kcmil, F, C, ohm, %, in3 and the like".into(),
    }
}
