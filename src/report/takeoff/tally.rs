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
            sums.len().saturating_sub(1)
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
    // What is bought follows from the feet as they are shown: ends in whole feet, one length in hundredths.
    let feet = sum.sum.and_then(|all| shown_feet(all.each(|inches| inches.over(twelve))?));
    let (unit, quantity) = match sum.buy {
        Buy::Each => ("each", sum.sum),
        Buy::Feet(allowance) => ("ft", feet.zip(allowance).and_then(|(all, more)| all.each(|feet| feet.times(more)))),
        Buy::Sticks(allowance, stick) => {
            let feet = feet.zip(allowance).and_then(|(all, more)| all.each(|feet| feet.times(more)));
            let stick = stick.and_then(|stick| stick.over(twelve));
            ("stick", feet.zip(stick).and_then(|(all, stick)| all.each(|feet| feet.over(stick))))
        }
    };
    let of_feet = match (sum.buy, feet) {
        (Buy::Feet(Some(more)) | Buy::Sticks(Some(more), _), Some(all)) if all.most > Rational::ZERO => {
            let told = match all.is_exact() {
                true => all.least.decimal(2),
                false => format!("{} to {}", all.least.decimal(0), all.most.decimal(0)),
            };
            match more == Rational::ONE {
                true => format!("{told} ft: "),
                false => format!("{told} ft x {}: ", more.decimal(6)),
            }
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

/// Feet as a shopping list shows them, rounded outward.
fn shown_feet(feet: Bounds) -> Option<Bounds> {
    if !feet.is_exact() {
        return Some(Bounds { least: Rational::whole(feet.least.floor()), most: Rational::whole(feet.most.ceiling()) });
    }
    let hundred = Rational::whole(100);
    Some(Bounds::exact(Rational::whole(feet.least.times(hundred)?.ceiling()).over(hundred)?))
}
