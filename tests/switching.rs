//! Every case in `cases/switching`: a plan, and the conductors that follow from it.

#![allow(clippy::expect_used, clippy::panic)] // a test fails by panicking

use ringout::plan;
use ringout::quantity::{Rational, wire_size_text};
use ringout::shop::{self, ItemRef, Shop, Value};
use ringout::text::Sources;
use ringout::wiring::{self, JointKind, Wiring};
use ringout::words::{Kind, NameId, Vocabulary, choice, name};
use std::collections::BTreeMap;
use std::sync::Arc;

/// The wiring of each case is what its file expects, line by line.
#[test]
fn every_case_is_wired_as_worked_out() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/cases/switching");
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .expect("the folder of cases")
        .map(|f| f.expect("a file").path())
        .filter(|p| p.extension().is_some_and(|e| e == "shop-case"))
        .collect();
    files.sort();
    assert!(files.len() >= 60, "cases went missing: {} left", files.len());
    let mut failures = Vec::new();
    for file in files {
        let text = std::fs::read_to_string(&file).expect("a readable case");
        let (plan_text, expected) = text.split_once("\nexpect\n").expect("an `expect` line");
        let example = plan_text.lines().find(|l| l.starts_with("examples/"));
        let plan_text = match example {
            Some(path) => {
                std::fs::read_to_string(format!("{}/{path}", env!("CARGO_MANIFEST_DIR"))).expect("the example")
            }
            None => plan_text.to_string(),
        };
        let (shop, wiring) = wire(&plan_text);
        let expected: Vec<&str> = expected.lines().map(str::trim).filter(|l| !l.is_empty()).collect();
        let found = describe(&shop, &wiring, &expected);
        if found != expected {
            let name = file.file_stem().unwrap_or_default().to_string_lossy();
            let lines = expected
                .iter()
                .zip(&found)
                .filter(|(e, f)| e != f)
                .map(|(e, f)| format!("  expected {e}\n  found    {f}"));
            let lines: Vec<String> = lines.chain(found.iter().skip(expected.len()).cloned()).collect();
            failures.push(format!("{name}\n{}\n  {:?}", lines.join("\n"), shop.problems));
        }
    }
    assert!(failures.is_empty(), "{} cases differ:\n{}", failures.len(), failures.join("\n"));
}

fn wire(text: &str) -> (Shop, Wiring) {
    let mut sources = Sources::default();
    let file = sources.add("case.shop", text);
    let plan = plan::read(file, text);
    let mut shop = shop::build(&plan, &[], &[], Arc::new(Vocabulary::core()));
    let wiring = wiring::complete(&mut shop);
    (shop, wiring)
}

/// Our findings in the words of the case, one line for each line that the case expects.
fn describe(shop: &Shop, wiring: &Wiring, expected: &[&str]) -> Vec<String> {
    let found = expected.iter().map(|line| {
        let (what, rest) = line.split_once(' ').unwrap_or((line, ""));
        let tag = rest.split([':', ' ']).next().unwrap_or_default();
        match what {
            "run" => run(shop, tag),
            "box" => the_box(shop, wiring, tag),
            "ask" => wiring.asks.first().map_or("no question".into(), |a| {
                let name = |i: &ItemRef| shop.head(*i).name.clone();
                let ways: Vec<String> =
                    a.ways.iter().map(|w| w.iter().map(name).collect::<Vec<_>>().join(" ")).collect();
                format!("ask {} to {}: {}", name(&a.from), name(&a.to), ways.join(" or "))
            }),
            "lacks" => {
                let run = shop.named(tag).expect("a run of that name");
                match shop.value(run, name::MISSING_CONDUCTORS) {
                    Value::Number(n) => format!("lacks {tag}: {}", n.decimal(0)),
                    Value::Range(r) if r.low > Some(Rational::ZERO) => {
                        format!("lacks {tag}: {}", r.low.expect("a bound").decimal(0))
                    }
                    other => format!("lacks {tag}: {other:?}"),
                }
            }
            "length" => {
                let item = shop.named(tag).expect("a circuit or feeder of that name");
                match shop.value(item, name::LENGTH) {
                    Value::Number(n) => {
                        format!("length {tag}: {} ft", n.over(Rational::whole(12)).expect("feet").decimal(2))
                    }
                    other => format!("length {tag}: {other:?}"),
                }
            }
            "everything" => closed(shop),
            "switching" => switching(shop, wiring, rest),
            _ => {
                let is_empty = shop.count(Kind::Conductor) == feeder_conductors(shop);
                (if is_empty { "no runs" } else { "conductors without a run" }).into()
            }
        }
    });
    let mut found: Vec<String> = found.collect();
    if !expected.iter().any(|l| l.starts_with("ask")) && !wiring.asks.is_empty() {
        found.push(format!("unexpected questions: {:?}", wiring.asks));
    }
    found
}

/// `switching S1 on, S2 up: L1 L2`: what is on in these positions, by the simulation. The published
/// answers take one sense of a 3-way set; its exact opposite is as right.
fn switching(shop: &Shop, wiring: &Wiring, rest: &str) -> String {
    let positions = rest.split(':').next().unwrap_or_default();
    let wanted: BTreeMap<&str, bool> = positions
        .split(", ")
        .filter_map(|p| p.split_once(' '))
        .map(|(switch, position)| (switch, ["on", "up", "dark", "open"].iter().any(|up| position.ends_with(up))))
        .collect();
    let name = |item: ItemRef| shop.head(item).name.as_str();
    let called = |load: &wiring::Load| match load.half.and_then(|net| wiring.nets.get(net as usize)) {
        None => name(load.item).to_string(),
        Some(net) => {
            let list = |items: &[ItemRef]| items.iter().map(|i| name(*i)).collect::<Vec<_>>().join(" and ");
            let through =
                if net.switches.is_empty() { String::new() } else { format!(" through {}", list(&net.switches)) };
            format!("half of {} on {}{through}", name(load.item), list(&net.circuits))
        }
    };
    let mut on: Vec<String> = Vec::new();
    for table in wiring::simulate(shop, wiring) {
        let fits = |up: &[bool]| table.switches.iter().zip(up).all(|(s, up)| wanted.get(name(s.item)) == Some(up));
        let row = table.rows.iter().find(|row| fits(&row.up)).expect("a row for these positions");
        on.extend(table.loads.iter().zip(&row.on).filter(|(_, on)| **on).map(|(load, _)| called(load)));
    }
    on.sort_unstable();
    let on = if on.is_empty() { "nothing".to_string() } else { on.join(" ") };
    format!("switching {positions}: {on}")
}

/// Whether every list of wires is closed.
fn closed(shop: &Shop) -> String {
    let lists = [(Kind::Run, name::CONDUCTORS), (Kind::Run, name::CIRCUITS), (Kind::Box, name::ENTRIES)];
    for (kind, word) in lists {
        for item in shop.items(kind) {
            if let Value::List(id) = shop.value(item, word)
                && shop.list(id).is_open
            {
                return format!("{} of {} is open", shop.vocabulary.text(word), shop.called(item));
            }
        }
    }
    "everything is closed".into()
}

fn feeder_conductors(shop: &Shop) -> usize {
    shop.items(Kind::Conductor).filter(|c| shop.head(*c).of.is_some_and(|o| o.kind == Kind::Feeder)).count()
}

fn members(shop: &Shop, item: ItemRef, word: NameId) -> (Vec<ItemRef>, Vec<ItemRef>) {
    match shop.value(item, word) {
        Value::List(id) => {
            let list = shop.list(id);
            (list.sure.clone(), list.possible.clone())
        }
        other => panic!("{} of {} is no list but {other:?}", shop.vocabulary.text(word), shop.called(item)),
    }
}

fn role(shop: &Shop, item: ItemRef) -> &str {
    match shop.value(item, name::ROLE) {
        Value::Choice(bits) if bits.count_ones() == 1 => {
            match shop.vocabulary.choice_text(choice::ROLE, bits.trailing_zeros() as u8) {
                "equipment-ground" => "ground",
                "switched-hot" => "switched",
                other => other,
            }
        }
        other => panic!("a conductor without a role: {other:?}"),
    }
}

fn size(shop: &Shop, item: ItemRef) -> String {
    match shop.value(item, name::SIZE) {
        Value::Number(n) => wire_size_text(n.floor()).trim_end_matches(" AWG").to_string(),
        other => format!("{other:?}"),
    }
}

/// `run P1-B1: live 2; 1 hot 14; …`, roles in the order that the cases use.
fn run(shop: &Shop, tag: &str) -> String {
    let run = shop.named(tag).expect("a run of that name");
    let (sure, possible) = members(shop, run, name::CONDUCTORS);
    let (low, high) = live(shop, &sure);
    let mut text =
        if low == high { format!("run {tag}: live {low}") } else { format!("run {tag}: live {low} to {high}") };
    // Circuits in the order of the plan within each role, neighbors of one size and circuit together.
    for wanted in ["hot", "switched", "traveler", "neutral", "ground", "spare"] {
        let mut groups: Vec<(Vec<ItemRef>, String, usize)> = Vec::new();
        for wire in sure.iter().filter(|w| role(shop, **w) == wanted) {
            let of = shop.head(*wire).of.into_iter().collect::<Vec<_>>();
            let size = size(shop, *wire);
            match groups.last_mut() {
                Some((o, s, n)) if wanted == "traveler" && *o == of && *s == size => *n += 1,
                _ => groups.push((of, size, 1)),
            }
        }
        for (_, size, count) in groups {
            text += &format!("; {count} {wanted} {size}");
        }
    }
    for wire in possible {
        text += &format!("; perhaps {}", role(shop, wire));
    }
    text
}

/// How many carry current, as a rule would count: alternates and balanced neutrals left out.
fn live(shop: &Shop, wires: &[ItemRef]) -> (usize, usize) {
    let mut count = (0, 0);
    for wire in wires {
        match (role(shop, *wire), shop.value(*wire, name::IS_ALTERNATE), shop.value(*wire, name::IS_BALANCED_NEUTRAL)) {
            ("ground" | "spare", ..) | (_, Value::YesNo(true), _) | ("neutral", _, Value::YesNo(true)) => {}
            ("neutral", _, Value::Unknown) => count.1 += 1,
            _ => count = (count.0 + 1, count.1 + 1),
        }
    }
    count
}

fn the_box(shop: &Shop, wiring: &Wiring, tag: &str) -> String {
    let item = shop.named(tag).expect("a box of that name");
    let (entries, possible) = members(shop, item, name::ENTRIES);
    let (grounds, possible_grounds) = members(shop, item, name::GROUND_ENTRIES);
    let perhaps = possible.len() + possible_grounds.len();
    let joints = wiring.boxes.iter().find(|b| b.item == item).map(|b| b.joints.as_slice()).unwrap_or(&[]);
    let unbroken = joints.iter().filter(|j| j.kind == JointKind::Unbroken && j.net.is_some()).count();
    let mut sizes: BTreeMap<String, usize> = BTreeMap::new();
    for entry in &entries {
        *sizes.entry(size(shop, *entry)).or_default() += 1;
    }
    let sizes: Vec<String> = sizes.iter().map(|(s, n)| format!("{n} x {s}")).collect();
    let colon = if sizes.is_empty() { "" } else { ": " };
    let perhaps = if perhaps > 0 { format!(", perhaps {perhaps} more") } else { String::new() };
    format!(
        "box {tag}: {} wires, {} grounds, {unbroken} unbroken{colon}{}{perhaps}",
        entries.len(),
        grounds.len(),
        sizes.join(", ")
    )
}
