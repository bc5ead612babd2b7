//! The printed lists of the demo, followed by hand: only what `ringout wires` says is used, word for word. Wires are
//! told apart as somebody in front of the box does, by the place that they come from, their color and their mark. What
//! comes of it must be the circuits that the plan asks for.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::expect_used,
    reason = "a test fails by panicking, its helpers too"
)]

use ringout::report::wires;
use ringout::{Rules, law};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

/// Points that are one piece of metal, by name.
#[derive(Default)]
struct Metal {
    before: BTreeMap<String, String>,
}

impl Metal {
    fn root(&self, of: &str) -> String {
        let mut at = of.to_string();
        while let Some(next) = self.before.get(&at) {
            at.clone_from(next);
        }
        at
    }

    fn join(&mut self, a: &str, b: &str) {
        let (a, b) = (self.root(a), self.root(b));
        if a != b {
            self.before.insert(a, b);
        }
    }

    fn is_one(&self, a: &str, b: &str) -> bool {
        self.root(a) == self.root(b)
    }
}

fn list(rules: &Rules, name: &str, plan: &str) -> Value {
    let nothing = law::Options { rules: Some(Vec::new()), ..Default::default() };
    let checked = ringout::check(rules, name, plan, &nothing);
    serde_json::from_str(&wires::json::pretty(name, &wires::sheets(rules, &checked, None)).unwrap()).unwrap()
}

fn text<'v>(value: &'v Value, key: &str) -> &'v str {
    value[key].as_str().unwrap_or_else(|| panic!("no {key} in {value}"))
}

/// Two pieces of one color without a mark may be taken for each other: only the two travelers of a set are so.
fn wires_by_look(list: &Value) -> BTreeMap<(String, String, String), usize> {
    let mut all: BTreeMap<(String, String, String), usize> = BTreeMap::new();
    for run in list["runs"].as_array().unwrap() {
        let (Some(from), Some(to)) = (run["from"].as_str(), run["to"].as_str()) else { continue };
        for wire in run["conductors"].as_array().unwrap() {
            let mark = wire["mark"].as_str().map(|m| format!(" marked {m}")).unwrap_or_default();
            let look = format!("{}{mark}", text(wire, "color"));
            let count = wire["count"].as_u64().unwrap() as usize;
            let entry = all.entry((from.into(), to.into(), look.clone())).or_default();
            *entry += count;
            let is_pair = text(wire, "role") == "traveler" && *entry == 2;
            assert!(*entry == 1 || is_pair, "{look} from {from} to {to} lies there twice and has no mark");
        }
    }
    all
}

/// The metal that comes of following every list: `turn` says how the two travelers of a color are taken, either way.
fn followed(list: &Value, turn: bool) -> (Metal, BTreeSet<String>) {
    let wires = wires_by_look(list);
    let mut metal = Metal::default();
    let mut screws = BTreeSet::new();
    let mut used: BTreeMap<String, usize> = BTreeMap::new();
    for in_box in list["boxes"].as_array().unwrap() {
        let here = text(in_box, "box");
        for (number, joint) in in_box["joints"].as_array().unwrap().iter().enumerate() {
            let mut points = Vec::new();
            for end in joint["ends"].as_array().unwrap().iter().map(|e| e.as_str().unwrap()) {
                match end.strip_prefix("the ").and_then(|e| e.split_once(" from ")) {
                    Some((look, other)) => {
                        let at = |a: &str, b: &str| (a.to_string(), b.to_string(), look.to_string());
                        let (key, from) = match wires.get(&at(here, other)) {
                            Some(_) => (at(here, other), here),
                            None => (at(other, here), other),
                        };
                        let count = wires.get(&key).unwrap_or_else(|| panic!("{here}: no wire is {end}"));
                        let taken = used.entry(format!("{here} {end}")).or_default();
                        assert!(*taken < *count, "{here}: {end} is used twice");
                        let piece = if *count == 2 && turn && from == here { 1 - *taken } else { *taken };
                        *taken += 1;
                        points.push(format!("wire {key:?} {piece}"));
                    }
                    // The breakers are told apart by the circuit that the row names.
                    None if end == "its breaker" || end == "the neutral bar" => {
                        let sentence = text(joint, "text");
                        let circuits = sentence.split(" of ").nth(1).and_then(|s| s.split(": ").next()).unwrap();
                        points.push(match end {
                            "its breaker" => format!("breaker {circuits} {number}"),
                            _ => "bar".to_string(),
                        });
                    }
                    None if end.contains(", ") => points.push(end.to_string()),
                    None => points.push(format!("{here}, {end}")),
                }
            }
            screws.extend(points.iter().filter(|p| !p.starts_with("wire ")).cloned());
            let sentence = text(joint, "text");
            for end in joint["ends"].as_array().unwrap() {
                assert!(sentence.contains(end.as_str().unwrap()), "{here}: the sentence leaves out {end}: {sentence}");
            }
            for pair in points.windows(2) {
                metal.join(&pair[0], &pair[1]);
            }
        }
        for (run, count) in in_box["entering"].as_object().unwrap() {
            let of_run = |key: &&(String, String, String)| {
                format!("{} to {}", key.0, key.1) == *run || format!("{} to {}", key.1, key.0) == *run
            };
            let there: usize = wires.keys().filter(of_run).map(|k| wires[k]).sum();
            assert_eq!(there as u64, count.as_u64().unwrap(), "{here}: what comes in by {run}");
        }
    }
    (metal, screws)
}

/// Every circuit of the demo by its lists alone: what is live with each switch closed and open. Worked out from the
/// plan by hand: C1 welder W1, C2 R1, R2 and R3 behind R2, C3 R4, R5 and R6 behind R4, C4 lamps and their switches,
/// C5 AIR through D1, C6 AC through D2.
#[test]
fn the_demo_followed_from_its_lists() {
    let list = list(&Rules::builtin(), "larkspur", include_str!("../examples/larkspur.shop"));
    assert_eq!(list["boxes"].as_array().unwrap().iter().filter(|b| text(b, "box").starts_with('B')).count(), 14);
    for turn in [false, true] {
        let (metal, screws) = followed(&list, turn);
        let breakers = |circuit: &str| -> Vec<&String> {
            screws.iter().filter(|s| s.starts_with(&format!("breaker {circuit} "))).collect()
        };
        let is_live = |metal: &Metal, circuit: &str, screw: &str| {
            breakers(circuit).iter().any(|breaker| metal.is_one(breaker, screw))
        };
        // Whites: to the bar, but behind a ground-fault receptacle to its own.
        for (neutral, back) in [
            ("R1, neutral (silver) screw", "bar"),
            ("R2, neutral (silver) screw", "bar"),
            ("R3, neutral (silver) screw", "R2, neutral screw marked LOAD"),
            ("R4, neutral (silver) screw", "bar"),
            ("R5, neutral (silver) screw", "R4, neutral screw marked LOAD"),
            ("R6, neutral (silver) screw", "R4, neutral screw marked LOAD"),
            ("R7, neutral (silver) screw", "bar"),
            ("R8, neutral (silver) screw", "bar"),
            ("L1, neutral (silver) screw", "bar"),
            ("L2, neutral (silver) screw", "bar"),
        ] {
            assert!(metal.is_one(neutral, back), "{neutral} does not come to {back}");
        }
        for (hot, circuit) in
            [("R1, hot (brass) screw", "C2"), ("R2, hot (brass) screw", "C2"), ("R4, hot (brass) screw", "C3")]
        {
            assert!(is_live(&metal, circuit, hot), "{hot} does not come from {circuit}");
        }
        for (hot, device) in [("R3", "R2"), ("R5", "R4"), ("R6", "R4")] {
            let (hot, load) = (format!("{hot}, hot (brass) screw"), format!("{device}, hot screw marked LOAD"));
            assert!(metal.is_one(&hot, &load), "{hot} does not hang on {load}");
            assert!(!metal.is_one(&hot, "R2, hot (brass) screw") && !metal.is_one(&hot, "R4, hot (brass) screw"));
        }
        // 240 V: each of the two screws on a breaker pole of its own.
        for (circuit, first, second) in [
            ("C1", "W1, hot (brass) screw", "W1, second hot screw"),
            ("C5", "D1, line screw", "D1, second line screw"),
            ("C6", "D2, line screw", "D2, second line screw"),
        ] {
            let poles = breakers(circuit);
            assert_eq!(poles.len(), 2, "{circuit}");
            assert!(is_live(&metal, circuit, first) && is_live(&metal, circuit, second), "{circuit}");
            assert!(!metal.is_one(first, second), "{circuit}: both poles are joined");
        }
        for (machine, disconnect) in [("AIR", "D1"), ("AC", "D2")] {
            for (screw, load) in [("hot (brass) screw", "load screw"), ("second hot screw", "second load screw")] {
                assert!(metal.is_one(&format!("{machine}, {screw}"), &format!("{disconnect}, {load}")), "{machine}");
            }
        }
        // The lights in every position: S1 closes line on load; a 3-way its common on one traveler.
        let mut seen = BTreeSet::new();
        for position in 0..8u8 {
            let (mut live, _) = followed(&list, turn);
            if position & 1 != 0 {
                live.join("S1, line screw", "S1, load screw");
            }
            for (switch, bit) in [("S2", 2), ("S3", 4)] {
                let traveler =
                    if position & bit != 0 { "a traveler screw" } else { "the other traveler screw of that pair" };
                live.join(&format!("{switch}, common (odd-colored) screw"), &format!("{switch}, {traveler}"));
            }
            for lamp in ["L1", "R7", "R8"] {
                let is_on = is_live(&live, "C4", &format!("{lamp}, hot (brass) screw"));
                assert_eq!(is_on, position & 1 != 0, "{lamp} in position {position}");
            }
            let is_on = is_live(&live, "C4", "L2, hot (brass) screw");
            let is_same = (position & 2 != 0) == (position & 4 != 0);
            assert_eq!(is_on, is_same != turn, "L2 in position {position}");
            seen.insert(is_on);
            assert!(!live.is_one("bar", "L2, hot (brass) screw") && !live.is_one("bar", "L1, hot (brass) screw"));
        }
        assert_eq!(seen.len(), 2);
        // No breaker on the bar, none on another.
        let poles: Vec<&String> = screws.iter().filter(|s| s.starts_with("breaker ")).collect();
        assert_eq!(poles.len(), 9, "three of one pole and three of two: {poles:?}");
        for (i, one) in poles.iter().enumerate() {
            assert!(!metal.is_one(one, "bar"), "{one} is on the bar");
            assert!(poles.iter().skip(i + 1).all(|two| !metal.is_one(one, two)), "{one} is joined to another");
        }
    }
}
