//! The figures of the demo plans against those that were reckoned by hand.
//!
//! `tests/published/demo_figures.csv` holds them with the digits that the reckoner wrote down; a figure agrees
//! when it rounds to them. `figure_differences.txt` names each row where the pack gives something else, with the
//! reason; the test fails when a row differs unnamed, or is named and agrees.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking, its helpers too")]

mod common;

use common::Checked;
use ringout::law;
use ringout::quantity::{Dimension, Quantity, Scale, wire_size};
use ringout::shop::ItemRef;
use ringout::words::Kind;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// The item of `feeder F1 stretch 2`, `run P1 to B1`, `circuit C1`, `electrode-conductor`.
fn item(checked: &Checked, about: &str) -> Option<ItemRef> {
    let (kind, name) = about.split_once(' ').unwrap_or((about, ""));
    if let Some((feeder, number)) = name.split_once(" stretch ") {
        let called = format!("stretch {number} of {feeder}");
        return checked.shop.items(Kind::Run).find(|run| checked.shop.head(*run).name == called);
    }
    let mut items = checked.shop.items(Kind::named(kind)?);
    items.find(|item| name.is_empty() || checked.shop.head(*item).name == name)
}

/// A quantity in the unit of a row.
fn amount(quantity: Quantity, unit: &str) -> f64 {
    let value = quantity.value.approximate();
    match (unit, quantity.scale) {
        ("percent", _) => value * 100.0,
        // Loads between a hot and the neutral are held as power; the sheet divides them by the volts to neutral.
        ("A", Scale::Ratio(Dimension::POWER)) => value / 120.0,
        _ => value,
    }
}

/// Whether a figure rounds to what the sheet says, or is as open as the sheet says.
fn agrees(figure: &law::Figure, value: &str, unit: &str) -> bool {
    match (value.starts_with("unknown"), figure.value) {
        (true, known) => known.is_none(),
        (false, None) => false,
        (false, Some(quantity)) if unit.starts_with("AWG") => {
            wire_size(value).is_some_and(|size| quantity.value.floor() == size)
        }
        (false, Some(quantity)) => {
            let wanted: f64 = match value.split_once('-') {
                Some((whole, part)) => whole.parse::<f64>().unwrap() + fraction(part),
                None => fraction(value),
            };
            let digits = value.split_once('.').map_or(0, |(_, d)| d.len());
            let half = 0.5 / 10f64.powi(digits as i32);
            (amount(quantity, unit) - wanted).abs() <= half * 1.000_001
        }
    }
}

fn fraction(text: &str) -> f64 {
    match text.split_once('/') {
        Some((a, b)) => a.parse::<f64>().unwrap() / b.parse::<f64>().unwrap(),
        None => text.parse().unwrap(),
    }
}

#[test]
fn figures_equal_the_hand_worked_ones() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let read = |name: &str| std::fs::read_to_string(root.join("tests/published").join(name)).unwrap();
    let known: BTreeMap<String, String> = read("figure_differences.txt")
        .lines()
        .filter(|l| !l.trim().is_empty() && !l.starts_with('#'))
        .map(|l| l.split_once(": ").map_or((l.to_string(), String::new()), |(a, b)| (a.to_string(), b.to_string())))
        .collect();
    let mut plans: BTreeMap<String, Checked> = BTreeMap::new();
    let mut differ: BTreeMap<String, String> = BTreeMap::new();
    let mut compared = 0;
    for line in read("demo_figures.csv").lines().filter(|l| !l.starts_with('#')).skip(1) {
        let [plan, about, name, value, unit] = line.split(',').collect::<Vec<_>>()[..] else { panic!("{line}") };
        let checked =
            plans.entry(plan.to_string()).or_insert_with(|| common::check(&root.join(format!("examples/{plan}.shop"))));
        let item = item(checked, about).unwrap_or_else(|| panic!("{plan} has no {about}"));
        let word = checked.code.vocabulary.name(name);
        let define = word.and_then(|w| checked.code.define_of(item.kind, w));
        let define = define.unwrap_or_else(|| panic!("{} has no figure {name}", item.kind));
        let figure = law::figure(checked.code, &checked.shop, define, item);
        compared += 1;
        if !agrees(&figure, value, unit) {
            differ.insert(
                format!("{plan} {about} {name}"),
                format!("sheet says {value} {unit}, pack says {}", figure.text),
            );
            let reason = known.get(&format!("{plan} {about} {name}")).map_or("", String::as_str);
            if reason.contains("a range") {
                let (least, most) = figure.bounds.unwrap_or_else(|| panic!("no range: {line}"));
                let sheet: f64 = value.parse().unwrap();
                assert!(amount(least, unit) <= sheet && sheet <= amount(most, unit), "the sheet is beside it: {line}");
                assert!(!figure.missing.is_empty(), "nobody is asked: {line}");
            }
        }
    }
    for (row, reason) in &known {
        assert!(reason.len() > 20, "{row} differs without a reason");
        assert!(reason.contains("NEC 2023 ") || reason.ends_with("no source"), "{row}: the reason has no source");
    }
    let new: Vec<String> =
        differ.iter().filter(|(k, _)| !known.contains_key(*k)).map(|(k, v)| format!("{k}: {v}")).collect();
    let gone: BTreeSet<&String> = known.keys().filter(|k| !differ.contains_key(*k)).collect();
    assert!(new.is_empty(), "{} of {compared} figures differ:\n{}", new.len(), new.join("\n"));
    assert!(gone.is_empty(), "these figures agree now, strike them from figure_differences.txt: {gone:?}");
    assert!(compared > 400, "only {compared} figures were compared");
}
