//! Feeders drawn in a circle: power that would come from where it goes to.

use super::Builder;
use crate::shop::{ItemRef, Value};
use crate::text::Problem;
use crate::words::{Kind, name};
use std::collections::HashMap;

/// How many further feeders of a circle are shown.
const ALSO_SHOWN: usize = 8;

/// A feeder and its two ends.
#[derive(Clone, Copy)]
struct Drawn {
    feeder: ItemRef,
    near: ItemRef,
    far: ItemRef,
}

impl Builder {
    /// Which feeder of a circle is the slip nobody can tell, so that none of their ends is known.
    pub fn check_circles(&mut self) {
        let end = |line: ItemRef, word| match self.shop.value(line, word) {
            Value::Item(end) => Some(end),
            _ => None,
        };
        let drawn = |feeder: ItemRef| {
            Some(Drawn { feeder, near: end(feeder, name::NEAR_END)?, far: end(feeder, name::FAR_END)? })
        };
        let all: Vec<Drawn> = self.shop.items(Kind::Feeder).filter_map(drawn).collect();
        // What begins no circle falls away from the front, what ends none from the back.
        let left = without_loose(&without_loose(&all, |d| (d.near, d.far)), |d| (d.far, d.near));
        let Some(first) = left.first() else { return };
        let called = self.shop.called(first.feeder);
        let place = self.shop.head(first.feeder).place;
        let message = format!("{called} is drawn in a circle: its power would come from where it goes to");
        let mut problem = Problem::error(place, message)
            .help("power runs one way: `feeder F1 from house to P1`, then `feeder F2 from P1 to P2`");
        for other in left.iter().skip(1).take(ALSO_SHOWN) {
            problem = problem.also(self.shop.head(other.feeder).place, "a part of the circle");
        }
        self.shop.problems.push(problem);
        for Drawn { feeder, .. } in left {
            let place = self.shop.head(feeder).place;
            for word in [name::NEAR_END, name::PANEL, name::FAR_END, name::FAR_PANEL] {
                self.lose(feeder, word, place);
            }
        }
    }
}

/// Without feeders that leave a place where none arrives, again and again until none does.
fn without_loose(all: &[Drawn], ends: impl Fn(&Drawn) -> (ItemRef, ItemRef)) -> Vec<Drawn> {
    let mut arriving: HashMap<ItemRef, usize> = HashMap::new();
    let mut leaving: HashMap<ItemRef, Vec<ItemRef>> = HashMap::new();
    for drawn in all {
        let (from, to) = ends(drawn);
        let count = arriving.entry(to).or_default();
        *count = count.saturating_add(1);
        leaving.entry(from).or_default().push(to);
    }
    let mut loose: Vec<ItemRef> = leaving.keys().copied().filter(|place| !arriving.contains_key(place)).collect();
    while let Some(place) = loose.pop() {
        for to in leaving.remove(&place).unwrap_or_default() {
            if let Some(count) = arriving.get_mut(&to) {
                *count = count.saturating_sub(1);
                if *count == 0 {
                    loose.push(to);
                }
            }
        }
    }
    all.iter().copied().filter(|drawn| leaving.contains_key(&ends(drawn).0)).collect()
}
