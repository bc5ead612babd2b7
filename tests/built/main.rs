//! Wiring as built, held against what its plan asks for: right wiring is left alone, wrong wiring is named.

#![allow(clippy::expect_used, clippy::panic, reason = "a test fails by panicking")]

mod brute;
mod cases;
mod mutate;
mod random;

use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};
use ringout::plan;
use ringout::shop::{self, ItemRef, Shop};
use ringout::text::{Severity, Sources};
use ringout::wiring::joints::{Built, joints};
use ringout::wiring::{self, Fault, Wiring, faults};
use ringout::words::{Kind, Vocabulary};
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, LazyLock};

static VOCABULARY: LazyLock<Arc<Vocabulary>> = LazyLock::new(|| Arc::new(Vocabulary::core()));

fn wire(text: &str) -> (Shop, Wiring, Built) {
    let mut sources = Sources::default();
    let file = sources.add("case.shop", text);
    let plan = plan::read(file, text);
    let mut shop = shop::build(&plan, &[], &[], VOCABULARY.clone());
    let wiring = wiring::complete(&mut shop);
    let built = joints(&shop, &wiring);
    (shop, wiring, built)
}

fn told(shop: &Shop, fault: &Fault) -> String {
    let name = |item| shop.head(item).name.as_str();
    let with = fault.with.map(|w| format!(" with {}", name(w))).unwrap_or_default();
    format!("{:?} {}{with}", fault.kind, name(fault.item))
}

/// Whatever a plan asks for, built as asked, has nothing wrong; except where the plan itself asks for
/// something wrong.
#[test]
fn wiring_as_planned_has_no_fault() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/cases/switching");
    let mut seen = 0;
    let mut wrong = Vec::new();
    for file in std::fs::read_dir(folder).expect("the folder of cases").map(|f| f.expect("a file").path()) {
        let text = std::fs::read_to_string(&file).expect("a readable case");
        let Some((plan_text, _)) = text.split_once("\nexpect\n") else { continue };
        let (shop, wiring, built) = wire(plan_text);
        seen += 1;
        for fault in faults(&wiring.nets, &built, &built) {
            let case = file.file_stem().unwrap_or_default().to_string_lossy();
            wrong.push(format!("{case} {}", told(&shop, &fault)));
        }
    }
    assert!(seen > 60, "{seen} cases");
    wrong.sort();
    // Both cases ask for two hots of one busbar over one neutral.
    assert_eq!(wrong, ["066 SameLeg C1 with C2", "081 SameLeg C1 with C2"]);
}

/// Shops that are made for each property.
const SHOPS: u32 = 1_000;

fn run(mut body: impl FnMut(&random::Shop, &[u32])) {
    let config = Config { cases: SHOPS, failure_persistence: None, ..Config::default() };
    let mut runner =
        TestRunner::new_with_rng(config, proptest::test_runner::TestRng::deterministic_rng(Default::default()));
    let body = RefCell::new(&mut body);
    let rolls = proptest::collection::vec(any::<u32>(), 160);
    let result = runner.run(&rolls, |rolls| {
        (body.borrow_mut())(&random::shop(&rolls), &rolls);
        Ok(())
    });
    result.unwrap_or_else(|e| panic!("{e}"));
}

/// Whether a load named by the simulation is the one that the maker named.
fn load_name(shop: &Shop, wiring: &Wiring, load: &wiring::Load) -> String {
    let name = |item: ItemRef| shop.head(item).name.clone();
    match load.half.and_then(|net| wiring.nets.get(net as usize)) {
        None => name(load.item),
        Some(net) if net.switches.is_empty() => format!("half of {}", name(load.item)),
        Some(net) => {
            let switches: Vec<String> = net.switches.iter().map(|s| name(*s)).collect();
            format!("{} through {}", name(load.item), switches.join(" and "))
        }
    }
}

/// Every load of every random shop follows its switches, and only them, in every position; and the joints
/// have no fault. What a load must do is said by the maker of the shop, not by the program.
#[test]
fn random_shops_work_as_meant() {
    let (mut loads, mut asked) = (0, 0);
    run(|made, _| {
        let (shop, wiring, built) = wire(&made.plan);
        assert!(shop.problems.iter().all(|p| p.severity != Severity::Error), "{}\n{:?}", made.plan, shop.problems);
        if !wiring.asks.is_empty() {
            asked += 1;
            return;
        }
        let mut seen = BTreeSet::new();
        for table in wiring::simulate(&shop, &wiring) {
            assert!(!table.rows.is_empty(), "too many switches for a table\n{}", made.plan);
            for (place, load) in table.loads.iter().enumerate() {
                let called = load_name(&shop, &wiring, load);
                let control = made.control.get(&called).unwrap_or_else(|| panic!("{called} unasked\n{}", made.plan));
                for row in &table.rows {
                    let is_up = |name: &String| {
                        let at = table.switches.iter().position(|s| shop.head(s.item).name == *name);
                        at.map(|i| row.up[i]).unwrap_or_else(|| panic!("{name} is not in the table"))
                    };
                    let wanted = control.iter().all(|set| set.iter().filter(|s| !is_up(s)).count() % 2 == 0);
                    assert_eq!(row.on[place], wanted, "{called} in {:?}\n{}", row.up, made.plan);
                }
                seen.insert(called);
            }
        }
        assert_eq!(seen, made.control.keys().cloned().collect(), "loads\n{}", made.plan);
        loads += seen.len();
        let found = faults(&wiring.nets, &built, &built);
        let found: Vec<String> = found.iter().map(|f| told(&shop, f)).collect();
        assert!(found.is_empty(), "{found:?}\n{}", made.plan);
    });
    assert!(loads > 4 * SHOPS as usize && asked < SHOPS as usize / 20, "{loads} loads, {asked} shops with a question");
}

/// On trees, no run has a conductor more or less than what must cross when it is cut: one for each net
/// with ends on both sides. Taken out, each conductor is missed, unless it leads only to a cap.
#[test]
fn conductors_are_as_few_as_can_be() {
    let (mut runs, mut wires) = (0, 0);
    run(|made, _| {
        let (shop, wiring, built) = wire(&made.plan);
        if made.has_loop || !wiring.asks.is_empty() {
            return;
        }
        let place_of: BTreeMap<u32, Vec<ItemRef>> = built.joints.iter().fold(BTreeMap::new(), |mut all, joint| {
            joint.terminals.iter().for_each(|t| all.entry(t.net).or_insert_with(Vec::new).extend(joint.place));
            all
        });
        let ends = |run: ItemRef| shop.ends[run.index as usize].ends.iter().flatten().copied().collect::<Vec<_>>();
        let all: Vec<ItemRef> = shop.items(Kind::Run).filter(|r| ends(*r).len() == 2).collect();
        for cut in &all {
            let mut side: BTreeSet<ItemRef> = BTreeSet::from([ends(*cut)[0]]);
            for _ in 0..all.len() {
                for other in all.iter().filter(|r| *r != cut).map(|r| ends(*r)) {
                    if other.iter().any(|e| side.contains(e)) {
                        side.extend(other);
                    }
                }
            }
            let crosses = |places: &Vec<ItemRef>| {
                places.iter().any(|p| side.contains(p)) && places.iter().any(|p| !side.contains(p))
            };
            let least = place_of.values().filter(|p| crosses(p)).count();
            let there = built.wires.iter().filter(|w| w.run == *cut).count();
            assert_eq!(there, least, "{}\n{}", shop.called(*cut), made.plan);
            runs += 1;
        }
        // A dozen of each shop's wires, spread over it.
        for wire in (0..built.wires.len() as u32).step_by(1 + built.wires.len() / 12) {
            let mut without = built.clone();
            mutate::remove(&mut without, wire);
            let is_missed = !faults(&wiring.nets, &built, &without).is_empty();
            assert!(is_missed, "nobody needs {:?}\n{}", built.wires[wire as usize], made.plan);
            wires += 1;
        }
    });
    assert!(runs > 2_000 && wires > 2_000, "{runs} runs, {wires} wires");
}

/// Each class of mistakes is found in at least 95 of 100 tries; what does no harm is left alone.
#[test]
fn mistakes_are_found() {
    let mut tally: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
    let mut escaped = String::new();
    run(|made, rolls| {
        let (shop, wiring, built) = wire(&made.plan);
        if !wiring.asks.is_empty() {
            return;
        }
        let backward: Vec<u32> = rolls.iter().rev().copied().collect();
        for (number, (class, make)) in mutate::WRONG.iter().chain(&mutate::HARMLESS).enumerate() {
            let mut wrong = built.clone();
            if make(&wiring.nets, &mut wrong, &mut random::Dice::new(&backward[number..])).is_none() {
                continue;
            }
            let found = faults(&wiring.nets, &built, &wrong);
            let entry = tally.entry(class).or_default();
            entry.0 += 1;
            entry.1 += usize::from(!found.is_empty());
            let is_harmless = number >= mutate::WRONG.len();
            if found.is_empty() != is_harmless && escaped.len() < 6_000 {
                let found: Vec<String> = found.iter().map(|f| told(&shop, f)).collect();
                escaped += &format!("{class}: {found:?}\n{}\n", made.plan);
            }
        }
    });
    println!("{tally:#?}");
    for (class, (tried, found)) in &tally {
        assert!(*tried >= 50, "{class} was tried {tried} times");
        match mutate::HARMLESS.iter().any(|(name, _)| name == class) {
            true => assert_eq!(*found, 0, "{class} does no harm\n{escaped}"),
            false => assert!(found * 100 >= tried * 95, "{class}: {found} of {tried}\n{escaped}"),
        }
    }
}
