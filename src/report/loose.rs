//! Lengths that are not exact: bounds that the plan gives, and guesses taken as loose as the pack says.
//!
//! A verdict takes `about 30 ft` as 30 ft and says that it leans on a guess. A sheet with digits must not: what it
//! shows of such a length has two ends.

use super::teller::Teller;
use crate::quantity::Rational;
use crate::shop::{ItemRef, Range, Value};
use crate::words::{Kind, name};
use crate::{Checked, Rules};

/// An amount between two ends, both included, in base units. Equal ends are one amount.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bounds {
    /// The least it can be.
    pub least: Rational,
    /// The most it can be.
    pub most: Rational,
}

impl Bounds {
    /// One amount.
    pub fn exact(amount: Rational) -> Bounds {
        Bounds { least: amount, most: amount }
    }

    /// Whether it is one amount.
    pub fn is_exact(self) -> bool {
        self.least == self.most
    }

    /// Both ends changed in one way; none where one can't be.
    pub fn each(self, change: impl Fn(Rational) -> Option<Rational>) -> Option<Bounds> {
        Some(Bounds { least: change(self.least)?, most: change(self.most)? })
    }

    /// A sum; none where it is too large.
    pub fn plus(self, other: Bounds) -> Option<Bounds> {
        Some(Bounds { least: self.least.plus(other.least)?, most: self.most.plus(other.most)? })
    }
}

/// The plan with every guessed length as loose as the pack's `by-eye` makes it; none where nothing is guessed, or
/// the pack has no such figure. Ways and conductors stay: a guess settles which way is the shortest.
pub(super) fn loosened(rules: &Rules, checked: &Checked) -> Option<Checked> {
    if checked.shop.by_eye.is_empty() {
        return None;
    }
    let share = share(&Teller::new(rules, checked))?;
    let mut shop = checked.shop.clone();
    let guessed: Vec<(ItemRef, Rational)> = shop.by_eye.iter().map(|(item, part)| (*item, *part)).collect();
    for (item, part) in guessed {
        let Some(known) = of(checked, item) else { continue };
        let Some(slack) = part.times(share) else { continue };
        let (Some(least), Some(most)) = (known.least.minus(slack), known.most.plus(slack)) else { continue };
        let source = shop.source(item, name::LENGTH);
        shop.set(item, name::LENGTH, Value::Range(Range::between(least.max(Rational::ZERO), most)), source);
    }
    Some(Checked {
        sources: checked.sources.clone(),
        file: checked.file,
        plan: checked.plan.clone(),
        shop,
        wiring: checked.wiring.clone(),
        verdicts: Vec::new(),
        amiss: Vec::new(),
    })
}

/// How far a guessed length may be off, as a share of it; none in a pack that says nothing of it.
fn share(teller: &Teller<'_>) -> Option<Rational> {
    teller.amount(crate::shop::Shop::SHOP, teller.code.vocabulary.name("by-eye")?)
}

/// Which runs are of a length by eye, and how that was taken; none where there is none.
pub(super) fn remark(teller: &Teller<'_>) -> Option<String> {
    let shop = teller.shop();
    let guessed = shop.items(Kind::Run).filter(|run| shop.by_eye.contains_key(run));
    let guessed: Vec<&str> = guessed.map(|run| shop.head(run).name.as_str()).collect();
    let percent = share(teller).filter(|_| !guessed.is_empty())?.times(Rational::whole(100))?;
    Some(format!(
        "The length of {} is by eye: taken as {} percent more or less (`by-eye` in the rules), so that what hangs on it \
         has two ends. Measure it before you cut or buy, or write the ends that you know: `27 ft to 33 ft`.",
        guessed.join(", "),
        percent.decimal(0)
    ))
}

/// The length of a run, circuit or feeder; none where one of its ends is not known.
pub(super) fn of(checked: &Checked, item: ItemRef) -> Option<Bounds> {
    match checked.shop.value(item, name::LENGTH) {
        Value::Number(length) => Some(Bounds::exact(length)),
        Value::Range(Range { low, high: Some(most), .. }) => {
            Some(Bounds { least: low.unwrap_or(Rational::ZERO), most })
        }
        _ => None,
    }
}
