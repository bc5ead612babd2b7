//! Adding up alike things.

use super::{Group, Line};
use crate::quantity::{Rational, wire_size};
use crate::report::Missing;
use crate::report::loose::Bounds;

/// How a sum becomes what is bought.
#[derive(Clone, Copy, Debug)]
pub(super) enum Buy {
    /// So many.
    Each,
    /// So many inches, as whole feet, with an allowance for each foot.
    Feet(Option<Rational>),
    /// So many inches, as whole sticks of this many inches, with an allowance for each foot.
    Sticks(Option<Rational>, Option<Rational>),
}

const NOTHING: Bounds = Bounds { least: Rational::ZERO, most: Rational::ZERO };

/// One thing that is counted.
struct Sum {
    group: Group,
    item: String,
    buy: Buy,
    how: String,
    sum: Option<Bounds>,
    is_least: bool,
    of: Vec<String>,
    asks: Vec<Missing>,
}

/// The list as it grows.
#[derive(Default)]
pub(super) struct Tally {
    sums: Vec<Sum>,
    places: std::collections::HashMap<(Group, String), usize>,
}

impl Tally {
    /// Adds an amount, inches or pieces, for `of`; none where nobody knows how much, which makes the sum a least one.
    pub fn add(&mut self, group: Group, item: &str, buy: Buy, how: &str, amount: Option<Bounds>, of: &str) {
        let sums = &mut self.sums;
        let place = *self.places.entry((group, item.to_string())).or_insert_with(|| {
            let (item, how, sum) = (item.to_string(), how.to_string(), Some(NOTHING));
            sums.push(Sum { group, item, buy, how, sum, is_least: false, of: Vec::new(), asks: Vec::new() });
            sums.len() - 1
        });
        let Some(known) = self.sums.get_mut(place) else { return };
        match amount {
            Some(amount) => known.sum = known.sum.and_then(|sum| sum.plus(amount)),
            None => known.is_least = true,
        }
        if !of.is_empty() && !known.of.iter().any(|o| o == of) {
            known.of.push(of.to_string());
        }
    }

    /// One piece.
    pub fn one(&mut self, group: Group, item: &str, how: &str, of: &str) {
        self.add(group, item, Buy::Each, how, Some(Bounds::exact(Rational::ONE)), of);
    }

    /// What is open about a thing that was added.
    pub fn ask(&mut self, group: Group, item: &str, ask: Missing, is_least: bool) {
        let place = self.places.get(&(group, item.to_string()));
        if let Some(known) = place.and_then(|place| self.sums.get_mut(*place)) {
            known.is_least |= is_least;
            if !known.asks.contains(&ask) {
                known.asks.push(ask);
            }
        }
    }

    /// The lines, group by group. Nothing of a thing of which nothing is wanted.
    pub fn lines(self) -> Vec<Line> {
        let mut lines: Vec<Line> = self.sums.into_iter().filter_map(line).collect();
        // Wire from thin to thick; the rest as the plan has it.
        let size = |line: &Line| match (line.group, line.item.split_once(" AWG")) {
            (Group::Wire, Some((size, _))) => wire_size(size),
            (Group::Wire, None) => line.item.split_once(" kcmil").and_then(|(size, _)| wire_size(size)),
            _ => None,
        };
        lines.sort_by_key(|line| (line.group, size(line)));
        lines
    }
}

fn line(sum: Sum) -> Option<Line> {
    let twelve = Rational::whole(12);
    let (unit, quantity) = match sum.buy {
        Buy::Each => ("each", sum.sum),
        Buy::Feet(allowance) => {
            let feet =
                sum.sum.zip(allowance).and_then(|(all, more)| all.each(|inches| inches.times(more)?.over(twelve)));
            ("ft", feet)
        }
        Buy::Sticks(allowance, stick) => {
            let inches = sum.sum.zip(allowance).and_then(|(all, more)| all.each(|inches| inches.times(more)));
            ("stick", inches.zip(stick).and_then(|(all, stick)| all.each(|inches| inches.over(stick))))
        }
    };
    let of_feet = match (sum.buy, sum.sum) {
        (Buy::Feet(Some(more)) | Buy::Sticks(Some(more), _), Some(all)) if all.most > Rational::ZERO => {
            let feet = all.each(|inches| inches.over(twelve))?;
            let told = match feet.is_exact() {
                true => feet.least.decimal(2),
                false => format!("{} to {}", feet.least.decimal(0), feet.most.decimal(0)),
            };
            format!("{told} ft x {}: ", more.decimal(2))
        }
        _ => String::new(),
    };
    if sum.sum == Some(NOTHING) && !sum.is_least {
        return None;
    }
    let is_unknown = sum.is_least && sum.sum == Some(NOTHING);
    let whole = quantity.filter(|_| !is_unknown).map(|all| (all.least.ceiling(), all.most.ceiling()));
    Some(Line {
        group: sum.group,
        item: sum.item,
        quantity: whole.map(|(_, most)| most),
        least: whole.filter(|(least, most)| least < most).map(|(least, _)| least),
        is_least: sum.is_least,
        unit,
        how: format!("{of_feet}{}", sum.how),
        of: sum.of,
        asks: sum.asks,
    })
}
