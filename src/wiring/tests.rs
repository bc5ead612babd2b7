//! What holds of the wiring whatever the plan is.

use crate::plan;
use crate::shop::{self, ItemRef, List, Shop, Value};
use crate::text::FileId;
use crate::words::{Kind, NameId, Origin, Vocabulary, name};
use proptest::prelude::*;
use std::collections::BTreeMap;
use std::fmt::Write;
use std::sync::{Arc, OnceLock};

fn wired(text: &str) -> Shop {
    static WORDS: OnceLock<Arc<Vocabulary>> = OnceLock::new();
    let words = WORDS.get_or_init(|| Arc::new(Vocabulary::core())).clone();
    let mut shop = shop::build(&plan::read(FileId(0), text), &[], &[], words);
    super::complete(&mut shop);
    shop
}

/// A plan as items with phrases; those marked may be left out, and nothing that is said becomes false.
struct Draft(Vec<(String, Vec<(String, bool)>, Vec<String>)>);

impl Draft {
    fn text(&self, keeps: &mut dyn FnMut() -> bool) -> String {
        let mut text = String::new();
        for (head, phrases, lines) in &self.0 {
            let kept: Vec<&str> =
                phrases.iter().filter(|(_, may_go)| !may_go || keeps()).map(|(p, _)| p.as_str()).collect();
            let colon = if kept.is_empty() { "" } else { ": " };
            let _ = writeln!(text, "{head}{colon}{}", kept.join(", "));
            for line in lines {
                let _ = writeln!(text, "  {line}");
            }
        }
        text
    }
}

/// A small generator of numbers: one number makes one plan, so that a failure can be shown again.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % sides
    }

    fn is(&mut self, one_in: u64) -> bool {
        self.roll(one_in) == 0
    }
}

/// A shop with up to seven boxes, now and then a ring of runs, and up to four circuits.
fn draft(start: u64) -> Draft {
    let mut dice = Dice(start);
    let mut items = Vec::new();
    let said = |phrases: &[&str]| phrases.iter().map(|p| (p.to_string(), true)).collect::<Vec<_>>();
    let listed = "all feeders and circuits and receptacles and switches and lights and equipment listed";
    items.push(("shop \"any\"".to_string(), said(&["indoors and dry unless said", listed]), Vec::new()));
    items.push(("supply house".to_string(), said(&["120/240 V"]), Vec::new()));
    items.push((
        "feeder F1 from house to P1".to_string(),
        said(&["breaker 60 A", "2-pole", "wire 3 x 6 AWG Cu THWN-2"]),
        Vec::new(),
    ));
    items.push(("panel P1".to_string(), said(&["main 60 A", "12 spaces", "all drawn"]), Vec::new()));
    let has_cable = dice.is(3);
    let boxes = 2 + dice.roll(6);
    let mut held: Vec<Vec<String>> = vec![Vec::new(); boxes as usize];
    for b in 0..boxes {
        let from = if b == 0 || dice.is(3) { "P1".to_string() } else { format!("B{}", dice.roll(b)) };
        run(&mut items, &mut dice, &from, b, has_cable);
    }
    if dice.is(2) && boxes > 2 {
        run(&mut items, &mut dice, "P1", boxes - 1, has_cable);
    }
    let mut devices = Vec::new();
    let mut was_single = false;
    for c in 0..1 + dice.roll(4) {
        let is_double = dice.is(4);
        let poles = if is_double { "2-pole" } else { "1-pole" };
        // A cable brings its equipment ground: saying `by raceway` there would be two truths.
        let ground = match has_cable || dice.is(2) {
            true => "equipment ground 12 AWG Cu",
            false => "equipment ground by raceway",
        };
        let space = format!("space {}", 1 + 2 * c);
        let wire = if has_cable { "wire 12 AWG Cu" } else { "wire 12 AWG Cu THWN-2" };
        let mut phrases = said(&["breaker 20 A", poles, wire, ground]);
        if !is_double {
            phrases.push((space, true));
        }
        let mut lines = Vec::new();
        // Sharing a neutral is a fact that changes the wiring: it stays.
        let is_shared = !is_double && was_single && dice.is(3);
        if is_shared {
            lines.push(format!("neutral shared with C{}", c - 1));
        }
        was_single = !is_double && !is_shared;
        for l in 0..1 + dice.roll(3) {
            let mut place = |tag: &str, dice: &mut Dice| held[dice.roll(boxes) as usize].push(tag.to_string());
            let r = format!("R{c}{l}");
            if is_double && dice.is(2) {
                devices.push((format!("equipment {r}"), said(&["240 V", "hard-wired", "10 A"]), Vec::new()));
                devices.push((format!("disconnect D{c}{l}"), said(&["2-pole"]), Vec::new()));
                let tag = format!("S{c}{l}");
                devices.push((format!("switch {tag}"), said(&["double-pole"]), Vec::new()));
                place(&tag, &mut dice);
                place(&r, &mut dice);
                lines.push(format!("feeds {r} through {tag}"));
                continue;
            }
            if is_double {
                let pattern = ["6-20R", "14-30R"][dice.roll(2) as usize];
                devices.push((format!("receptacle {r}"), said(&[pattern, "single"]), Vec::new()));
                devices.push((
                    format!("equipment M{c}{l}"),
                    vec![("240 V".into(), true), (format!("plugs into {r}"), true)],
                    Vec::new(),
                ));
                place(&r, &mut dice);
                lines.push(format!("feeds {r}"));
                continue;
            }
            match dice.roll(5) {
                4 => {
                    devices.push((format!("receptacle {r}"), said(&["5-20R", "duplex"]), Vec::new()));
                    devices.push((format!("switch S{c}{l}"), said(&["single-pole"]), Vec::new()));
                    place(&r, &mut dice);
                    place(&format!("S{c}{l}"), &mut dice);
                    lines.push(format!("feeds half of {r}"));
                    lines.push(format!("feeds half of {r} through S{c}{l}"));
                }
                0 | 1 => {
                    let mut chain = Vec::new();
                    for i in 0..1 + dice.roll(3) {
                        let tag = format!("{r}{i}");
                        let gfci = if dice.is(3) { "GFCI" } else { "no GFCI" };
                        devices.push((format!("receptacle {tag}"), said(&["5-20R", "duplex", gfci]), Vec::new()));
                        place(&tag, &mut dice);
                        chain.push(tag);
                    }
                    lines.push(format!("feeds {}", chain.join(" then ")));
                }
                n => {
                    let (kind, switches) = if n == 2 { ("single-pole", 1) } else { ("3-way", 2) };
                    let mut tags = Vec::new();
                    for s in 0..switches {
                        let tag = format!("S{c}{l}{s}");
                        devices.push((format!("switch {tag}"), said(&[kind]), Vec::new()));
                        place(&tag, &mut dice);
                        tags.push(tag);
                    }
                    let light = format!("L{c}{l}");
                    devices.push((format!("light {light}"), said(&["12 W"]), Vec::new()));
                    place(&light, &mut dice);
                    lines.push(format!("feeds {light} through {}", tags.join(" and ")));
                }
            }
        }
        items.push((format!("circuit C{c}"), phrases, lines));
    }
    for (b, devices) in held.iter().enumerate() {
        let holds = if devices.is_empty() { "holds nothing".into() } else { format!("holds {}", devices.join(", ")) };
        items.push((format!("box B{b}"), said(&["all drawn", "metal"]), vec![holds]));
    }
    items.extend(devices);
    Draft(items)
}

type Item = (String, Vec<(String, bool)>, Vec<String>);

fn run(items: &mut Vec<Item>, dice: &mut Dice, from: &str, to: u64, has_cable: bool) {
    let method = ["1/2 in EMT", "1/2 in PVC-40", "cable 12/3 NM-B"][dice.roll(if has_cable { 3 } else { 2 }) as usize];
    // Lengths of their own, so that no two ways are equal by chance.
    let length = format!("{} ft", 10 + dice.roll(400));
    items.push((format!("run {from} to B{to}"), vec![(method.to_string(), true), (length, true)], Vec::new()));
}

/// Whether a value allows another: adding facts may narrow it, never change it.
fn allows(before: &Shop, a: Value, after: &Shop, b: Value) -> bool {
    match (a, b) {
        (Value::Unknown, _) => true,
        (Value::Range(r), Value::Number(n)) => r.low.is_none_or(|l| l <= n) && r.high.is_none_or(|h| h >= n),
        (Value::Range(r), Value::Range(s)) => {
            r.low.is_none_or(|l| s.low.is_some_and(|x| x >= l)) && r.high.is_none_or(|h| s.high.is_some_and(|x| x <= h))
        }
        (Value::Choice(x), Value::Choice(y)) => y & !x == 0 && y != 0,
        (Value::List(x), Value::List(y)) => {
            let (x, y) = (before.list(x), after.list(y));
            match x.sure.iter().chain(&x.possible).chain(&y.sure).next().map(|i| i.kind) {
                Some(Kind::Conductor | Kind::Entry) => {
                    let (low, high) = (count(before, x, false), count(before, x, true));
                    let (least, most) = (count(after, y, false), count(after, y, true));
                    low.iter().all(|(k, n)| least.get(k).is_some_and(|m| m >= n))
                        && (x.is_open || !y.is_open && most.iter().all(|(k, n)| high.get(k).is_some_and(|m| m >= n)))
                }
                _ => {
                    let may = |i: &ItemRef| x.sure.contains(i) || x.possible.contains(i);
                    x.sure.iter().all(|i| y.sure.contains(i))
                        && (x.is_open || !y.is_open && y.sure.iter().chain(&y.possible).all(may))
                        && x.choices & !y.choices == 0
                }
            }
        }
        (a, b) => a == b,
    }
}

/// Wires by role: conductors have no names of their own.
fn count(shop: &Shop, list: &List, with_possible: bool) -> BTreeMap<u64, usize> {
    let mut count = BTreeMap::new();
    let possible = list.possible.iter().filter(|_| with_possible);
    for item in list.sure.iter().chain(possible) {
        if let Value::Choice(role) = shop.value(*item, name::ROLE) {
            *count.entry(role).or_default() += 1;
        }
    }
    count
}

/// Every derived word of every item that the plan itself names.
fn derived(shop: &Shop) -> Vec<(ItemRef, NameId)> {
    let words = shop.vocabulary.words().iter().filter(|w| matches!(w.origin, Origin::Derived | Origin::Either));
    let mut all = Vec::new();
    for word in words {
        for kind in word.kinds.iter().filter(|k| !matches!(k, Kind::Conductor | Kind::Entry | Kind::Disconnect)) {
            all.extend(shop.items(kind).map(|i| (i, word.name)));
        }
    }
    all
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, failure_persistence: None, ..ProptestConfig::default() })]

    /// Adding facts never contradicts what was derived before: known stays the same, bounds only
    /// narrow, sure members stay and a closed list takes nobody in. Without this, a plan that
    /// passes could stop passing because the owner told more of the truth.
    #[test]
    fn more_facts_never_contradict(start in any::<u64>(), mask in any::<u64>(), odds in 2u64..12) {
        let draft = draft(start);
        let mut dice = Dice(mask);
        let less = draft.text(&mut || !dice.is(odds));
        let more = draft.text(&mut || true);
        let (before, after) = (wired(&less), wired(&more));
        prop_assert!(before.problems.iter().chain(&after.problems).all(|p| p.severity != crate::text::Severity::Error), "{:?}\n{more}", after.problems);
        for (item, word) in derived(&before) {
            let (a, b) = (before.value(item, word), after.value(item, word));
            prop_assert!(
                allows(&before, a, &after, b),
                "{} of {}: {} became {}\n--- less\n{less}\n--- more\n{more}",
                before.vocabulary.text(word), before.called(item), show(&before, a), show(&after, b),
            );
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, failure_persistence: None, ..ProptestConfig::default() })]

    /// A second reading of the same wiring: cut a run, and exactly the conductors with ends on both
    /// sides cross it. Holds where runs make no ring, for then the sides are plain.
    #[test]
    fn a_cut_run_parts_what_lies_in_it(start in any::<u64>()) {
        let text = draft(start).text(&mut || true);
        let mut shop = shop::build(&plan::read(FileId(0), &text), &[], &[], Arc::new(Vocabulary::core()));
        let wiring = super::complete(&mut shop);
        let boxes = super::graph::boxes(&shop);
        let place = |item: ItemRef| boxes.get(item).copied().flatten().unwrap_or(item);
        let runs: Vec<ItemRef> = shop.items(Kind::Run).filter(|r| shop.head(*r).of.is_none()).collect();
        let ends = |run: ItemRef| shop.ends[run.index as usize].ends.iter().flatten().copied().map(place).collect::<Vec<_>>();
        let places: std::collections::HashSet<ItemRef> = runs.iter().flat_map(|r| ends(*r)).collect();
        prop_assume!(runs.len() + 1 == places.len());
        for run in &runs {
            let mut side = vec![ends(*run)[0]];
            let mut at = 0;
            while at < side.len() {
                let here = side[at];
                for other in runs.iter().filter(|r| *r != run && ends(**r).contains(&here)) {
                    for next in ends(*other) {
                        if !side.contains(&next) {
                            side.push(next);
                        }
                    }
                }
                at += 1;
            }
            let crosses = |net: &super::Net| {
                let (near, far): (Vec<&super::End>, Vec<&super::End>) = net.ends.iter().partition(|e| side.contains(&place(e.item)));
                !near.is_empty() && !far.is_empty()
            };
            let mut wanted: Vec<u32> =
                (0..wiring.nets.len() as u32).filter(|n| crosses(&wiring.nets[*n as usize])).collect();
            wanted.retain(|n| wiring.nets[*n as usize].circuits.iter().all(|c| c.kind == Kind::Circuit));
            let mut found: Vec<u32> = wiring.runs[run.index as usize].wires.iter().filter_map(|w| w.net).collect();
            found.sort_unstable();
            prop_assert_eq!(found, wanted, "{}\n{}", shop.called(*run), text);
        }
    }
}

fn show(shop: &Shop, value: Value) -> String {
    match value {
        Value::List(id) => {
            let list = shop.list(id);
            let names =
                |items: &[ItemRef]| items.iter().map(|i| shop.head(*i).name.clone()).collect::<Vec<_>>().join(", ");
            format!(
                "[{}] perhaps [{}] open {} {:b}",
                names(&list.sure),
                names(&list.possible),
                list.is_open,
                list.choices
            )
        }
        other => format!("{other:?}"),
    }
}
