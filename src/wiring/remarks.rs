//! Questions that only the owner can settle, and plans that hardly mean what they say.

use super::Ask;
use super::facts::{Facts, within};
use crate::shop::{ItemRef, Shop};
use crate::text::Problem;
use crate::words::{Kind, choice, name};

/// A question about a way, as a warning at the circuit.
pub(super) fn question(shop: &Shop, ask: &Ask) -> Problem {
    let name = |item: ItemRef| shop.head(item).name.clone();
    let text = format!(
        "{} may go from {} to {} by more than one way, and none is known to be the shortest",
        shop.called(ask.circuit),
        name(ask.from),
        name(ask.to),
    );
    let by = |way: &Vec<ItemRef>| {
        let inner: Vec<String> = way.iter().skip(1).rev().skip(1).rev().map(|i| name(*i)).collect();
        if inner.is_empty() { "directly".to_string() } else { format!("by {}", inner.join(", ")) }
    };
    let ways: Vec<String> = ask.ways.iter().map(by).collect();
    let settle = ask.ways.iter().flatten().find(|p| **p != ask.from && **p != ask.to).map(|p| name(*p));
    let help = match settle {
        Some(place) => format!("which way: {}? Write `by way of {place}` or the like under it", ways.join(" or ")),
        None => format!("which way: {}? Give the run a name and write `by way of` it", ways.join(" or ")),
    };
    Problem::warning(shop.head(ask.circuit).place, text).help(help)
}

/// Two single-pole switches one after the other: the load is on only when both are. Seldom meant.
pub(super) fn series(shop: &Shop) -> Vec<Problem> {
    let single = shop.bit(choice::SWITCH_TYPE, "single-pole");
    let mut found = Vec::new();
    for feeds in &shop.feeds {
        for branch in &feeds.branches {
            for stage in &branch.stages {
                let is_single =
                    |s: &&ItemRef| s.kind == Kind::Switch && within(shop.bits(**s, name::TYPE), single) == Some(true);
                let names: Vec<&str> =
                    stage.through.iter().filter(is_single).map(|s| shop.head(*s).name.as_str()).collect();
                if names.len() > 1 {
                    let text = format!("{} are single-pole switches one after the other", names.join(" and "));
                    let help = "what hangs behind them is on only when all are; to switch from two places take 3-way";
                    found.push(Problem::warning(branch.place, text).help(help));
                }
            }
        }
    }
    found
}

/// The most spaces of a panel of which the free ones are listed; more are a slip of the pen.
pub const MOST_SPACES: i64 = 200;

/// Panels with more spaces than any has: their free ones are not listed.
pub(super) fn many_spaces(shop: &Shop) -> Vec<Problem> {
    let remark = |panel: ItemRef| {
        let count = shop.whole(panel, name::SPACES).filter(|count| *count > MOST_SPACES)?;
        let text = format!("{} has {count} spaces, and its free ones are not listed", shop.called(panel));
        let help = format!("they are for {MOST_SPACES} spaces at most; is the number right?");
        Some(Problem::error(shop.source(panel, name::SPACES).place, text).help(help))
    };
    shop.items(Kind::Panel).filter_map(remark).collect()
}

/// Places that `by way of` names and that no conductor of the circuit passes.
pub(super) fn not_passed(shop: &Shop, places: &[(ItemRef, ItemRef)]) -> Vec<Problem> {
    let remark = |(line, place): &(ItemRef, ItemRef)| {
        let (called, name) = (shop.called(*line), &shop.head(*place).name);
        Problem::error(shop.head(*line).place, format!("the way of {called} does not pass {name}"))
            .help("`by way of` picks among ways; name a place on the way that is meant, or draw the runs to it")
    };
    places.iter().map(remark).collect()
}
