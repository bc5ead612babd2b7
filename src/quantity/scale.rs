use super::{Rational, Toward, day_text, trade_size_text, wire_size_text};
use serde::{Deserialize, Serialize};
use std::fmt;

/// What a quantity measures, as powers of base units: inch, volt, ampere, degree (difference),
/// degree of angle, circular mil, horsepower, hour, pound. A circular mil is no square inch and a
/// horsepower no watt: the trade never mixes them, so neither may a rule.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Dimension {
    length: i8,
    volt: i8,
    ampere: i8,
    degree: i8,
    angle: i8,
    cmil: i8,
    horsepower: i8,
    hour: i8,
    pound: i8,
}

const NONE: Dimension =
    Dimension { length: 0, volt: 0, ampere: 0, degree: 0, angle: 0, cmil: 0, horsepower: 0, hour: 0, pound: 0 };

impl Dimension {
    /// A bare number: counts, shares, factors.
    pub const NUMBER: Dimension = NONE;
    /// Length; base unit inch.
    pub const LENGTH: Dimension = Dimension { length: 1, ..NONE };
    /// Area; base unit square inch.
    pub const AREA: Dimension = Dimension { length: 2, ..NONE };
    /// Volume; base unit cubic inch.
    pub const VOLUME: Dimension = Dimension { length: 3, ..NONE };
    /// Voltage; base unit volt.
    pub const VOLTAGE: Dimension = Dimension { volt: 1, ..NONE };
    /// Current; base unit ampere.
    pub const CURRENT: Dimension = Dimension { ampere: 1, ..NONE };
    /// Power; volt-amperes and watts are one here.
    pub const POWER: Dimension = Dimension { volt: 1, ampere: 1, ..NONE };
    /// Resistance; base unit ohm.
    pub const RESISTANCE: Dimension = Dimension { volt: 1, ampere: -1, ..NONE };
    /// Resistance per length; base unit ohm per inch.
    pub const RESISTANCE_PER_LENGTH: Dimension = Dimension { volt: 1, ampere: -1, length: -1, ..NONE };
    /// A difference of temperatures; base unit degree Fahrenheit.
    pub const DEGREES: Dimension = Dimension { degree: 1, ..NONE };
    /// Per degree.
    pub const PER_DEGREE: Dimension = Dimension { degree: -1, ..NONE };
    /// Angle; base unit degree.
    pub const ANGLE: Dimension = Dimension { angle: 1, ..NONE };
    /// Circular mils.
    pub const CMIL: Dimension = Dimension { cmil: 1, ..NONE };
    /// Horsepower.
    pub const HORSEPOWER: Dimension = Dimension { horsepower: 1, ..NONE };
    /// Time; base unit hour.
    pub const TIME: Dimension = Dimension { hour: 1, ..NONE };
    /// Weight; base unit pound.
    pub const WEIGHT: Dimension = Dimension { pound: 1, ..NONE };
    /// Torque; base unit pound-inch.
    pub const TORQUE: Dimension = Dimension { pound: 1, length: 1, ..NONE };

    /// The named dimensions, for messages and for declarations in rule files.
    pub const NAMED: [(&'static str, Dimension); 17] = [
        ("number", Dimension::NUMBER),
        ("length", Dimension::LENGTH),
        ("area", Dimension::AREA),
        ("volume", Dimension::VOLUME),
        ("voltage", Dimension::VOLTAGE),
        ("current", Dimension::CURRENT),
        ("power", Dimension::POWER),
        ("resistance", Dimension::RESISTANCE),
        ("resistance-per-length", Dimension::RESISTANCE_PER_LENGTH),
        ("degrees", Dimension::DEGREES),
        ("per-degree", Dimension::PER_DEGREE),
        ("angle", Dimension::ANGLE),
        ("circular-mils", Dimension::CMIL),
        ("horsepower", Dimension::HORSEPOWER),
        ("time", Dimension::TIME),
        ("weight", Dimension::WEIGHT),
        ("torque", Dimension::TORQUE),
    ];

    fn combine(self, other: Dimension, sign: i8) -> Dimension {
        let join = |a: i8, b: i8| a.saturating_add(b.saturating_mul(sign));
        Dimension {
            length: join(self.length, other.length),
            volt: join(self.volt, other.volt),
            ampere: join(self.ampere, other.ampere),
            degree: join(self.degree, other.degree),
            angle: join(self.angle, other.angle),
            cmil: join(self.cmil, other.cmil),
            horsepower: join(self.horsepower, other.horsepower),
            hour: join(self.hour, other.hour),
            pound: join(self.pound, other.pound),
        }
    }

    /// Of a product.
    pub fn times(self, other: Dimension) -> Dimension {
        self.combine(other, 1)
    }

    /// Of a quotient.
    pub fn over(self, other: Dimension) -> Dimension {
        self.combine(other, -1)
    }

    /// Its name, where it has one.
    pub fn name(self) -> Option<&'static str> {
        Dimension::NAMED.iter().find(|(_, d)| *d == self).map(|(n, _)| *n)
    }
}

/// What kind of ordered thing a [`Rational`] stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Scale {
    /// Adds and multiplies; held in base units.
    Ratio(Dimension),
    /// A temperature, in degrees Fahrenheit: two differ by [`Dimension::DEGREES`].
    Temperature,
    /// A day, as days from 1970-01-01.
    Date,
    /// An edition of the code, as its year.
    Edition,
    /// A wire size, as its place in [`super::WIRE_SIZES`]: order by copper.
    WireSize,
    /// A trade size of raceway, in inches; compares, never multiplies.
    TradeSize,
}

impl Scale {
    /// A bare number.
    pub const NUMBER: Scale = Scale::Ratio(Dimension::NUMBER);

    /// The scale that a rule file names: `length`, `wire-size`, `date`.
    pub fn named(name: &str) -> Option<Scale> {
        match name {
            "temperature" => Some(Scale::Temperature),
            "date" => Some(Scale::Date),
            "edition" => Some(Scale::Edition),
            "wire-size" => Some(Scale::WireSize),
            "trade-size" => Some(Scale::TradeSize),
            _ => Dimension::NAMED.iter().find(|(n, _)| *n == name).map(|(_, d)| Scale::Ratio(*d)),
        }
    }

    /// Its name, for messages.
    pub fn name(self) -> &'static str {
        match self {
            Scale::Ratio(d) => d.name().unwrap_or("a product of units without a name"),
            Scale::Temperature => "temperature",
            Scale::Date => "date",
            Scale::Edition => "edition",
            Scale::WireSize => "wire-size",
            Scale::TradeSize => "trade-size",
        }
    }

    /// The value as the trade writes it, unit included.
    pub fn show(self, value: Rational) -> String {
        self.show_toward(value, 0, Toward::Nearest)
    }

    /// The same with more digits than usual, rounded one way.
    pub fn show_toward(self, value: Rational, more: u32, toward: Toward) -> String {
        match self {
            Scale::Ratio(d) => show_ratio(d, value, more, toward),
            Scale::Temperature => show_temperature(value, more, toward),
            Scale::Date => day_text(value.floor()),
            Scale::Edition => format!("NEC {}", value.floor()),
            Scale::WireSize => wire_size_text(value.floor()).to_string(),
            Scale::TradeSize => format!("{} in", trade_size_text(value)),
        }
    }

    /// The unit that [`Scale::show`] and JSON use, and how many base units it holds.
    pub fn shown_unit(self) -> (&'static str, Rational) {
        let one = Rational::ONE;
        match self {
            Scale::Ratio(Dimension::LENGTH) => ("in", one),
            Scale::Ratio(Dimension::AREA) => ("in2", one),
            Scale::Ratio(Dimension::VOLUME) => ("in3", one),
            Scale::Ratio(Dimension::VOLTAGE) => ("V", one),
            Scale::Ratio(Dimension::CURRENT) => ("A", one),
            Scale::Ratio(Dimension::POWER) => ("VA", one),
            Scale::Ratio(Dimension::RESISTANCE) => ("ohm", one),
            Scale::Ratio(Dimension::RESISTANCE_PER_LENGTH) => ("ohm/kft", Rational::constant(1, 12_000)),
            Scale::Ratio(Dimension::DEGREES) => ("degrees F", one),
            Scale::Ratio(Dimension::PER_DEGREE) => ("per F", one),
            Scale::Ratio(Dimension::ANGLE) => ("deg", one),
            Scale::Ratio(Dimension::CMIL) => ("cmil", one),
            Scale::Ratio(Dimension::HORSEPOWER) => ("hp", one),
            Scale::Ratio(Dimension::TIME) => ("h", one),
            Scale::Ratio(Dimension::WEIGHT) => ("lb", one),
            Scale::Ratio(Dimension::TORQUE) => ("in-lb", one),
            Scale::Temperature => ("F", one),
            Scale::TradeSize => ("in", one),
            _ => ("", one),
        }
    }
}

/// In the degrees of weather and, where they are whole, those of labels: `167 F (75 C)`.
fn show_temperature(value: Rational, more: u32, toward: Toward) -> String {
    let fahrenheit = value.decimal_toward(more.saturating_add(1), toward);
    let celsius = value.minus(Rational::whole(32)).and_then(|v| v.times(Rational::constant(5, 9)));
    match celsius.filter(|c| c.is_whole()) {
        Some(celsius) => format!("{fahrenheit} F ({celsius} C)", celsius = celsius.decimal(0)),
        None => format!("{fahrenheit} F"),
    }
}

fn show_ratio(d: Dimension, value: Rational, more: u32, toward: Toward) -> String {
    if d == Dimension::LENGTH {
        let feet = value.over(Rational::whole(12)).filter(|f| f.is_whole() || value > Rational::whole(120));
        return match feet {
            Some(feet) if value >= Rational::whole(48) => {
                format!("{} ft", feet.decimal_toward(more.saturating_add(1), toward))
            }
            _ => format!("{} in", value.fraction_toward(more.saturating_add(3), toward)),
        };
    }
    let (unit, base) = Scale::Ratio(d).shown_unit();
    let shown = value.over(base).unwrap_or(value);
    let places = match d {
        Dimension::NUMBER => 4,
        Dimension::RESISTANCE | Dimension::RESISTANCE_PER_LENGTH | Dimension::AREA => 4,
        Dimension::PER_DEGREE => 8,
        Dimension::VOLUME | Dimension::HORSEPOWER => 2,
        // Currents of a fault are estimates.
        Dimension::CURRENT if shown >= Rational::whole(1000) => 0,
        // A tenth of what is under one would be no figure of it.
        _ if shown < Rational::ONE && shown > Rational::whole(-1) => 2,
        _ => 1,
    };
    let number = shown.decimal_toward(more.saturating_add(places), toward);
    if unit.is_empty() { number } else { format!("{number} {unit}") }
}

/// A number and what it measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Quantity {
    /// In base units of its scale.
    pub value: Rational,
    /// What it measures.
    pub scale: Scale,
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.scale.show(self.value))
    }
}

/// The year of `NEC 2023` and the like.
pub fn edition_year(value: Rational) -> i64 {
    value.floor()
}
