//! The materials list: the demo's equals the one counted by hand, and what can't be counted is said.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails by panicking")]

use ringout::report::takeoff::{Group, Takeoff, json, takeoff};
use ringout::report::{Look, text};
use ringout::{Checked, Rules, law, packs};
use std::collections::BTreeMap;

fn count(rules: &Rules, plan: &str) -> (Checked, Takeoff) {
    let nothing = law::Options { rules: Some(Vec::new()), ..Default::default() };
    let checked = ringout::check(rules, "plan.shop", plan, &nothing);
    let list = takeoff(rules, &checked);
    (checked, list)
}

const LARKSPUR: &str = include_str!("../examples/larkspur.shop");

#[test]
fn the_demo_list_equals_the_hand_counted_one() {
    let (_, list) = count(&Rules::builtin(), LARKSPUR);
    let own = |line: &ringout::report::takeoff::Line| line.quantity.map_or(String::new(), |q| q.to_string());
    let mut got: BTreeMap<(String, String), (String, String)> = list
        .lines
        .iter()
        .filter(|l| l.group != Group::Label)
        .map(|l| ((l.group.name().to_string(), l.item.clone()), (own(l), l.unit.to_string())))
        .collect();
    let mut rows = 0;
    for row in include_str!("published/demo_takeoff.txt").lines().filter(|l| !l.starts_with('#')).skip(1) {
        let cells: Vec<&str> = row.split('|').collect();
        let [group, item, quantity, unit, differs] = cells[..] else { panic!("{row}") };
        // A row that differs says what the program gives, and why.
        let wanted = match differs.split_once(": ") {
            Some((ours, why)) => {
                assert!(why.len() > 20 && ours != quantity, "{row}");
                ours
            }
            None => quantity,
        };
        let key = (group.to_string(), item.to_string());
        let (count, in_) = got.remove(&key).unwrap_or_else(|| panic!("not on the list: {row}"));
        assert_eq!((count.as_str(), in_.as_str()), (wanted, unit), "{row}");
        rows += 1;
    }
    assert_eq!(rows, 78);
    assert!(got.is_empty(), "not in the hand-counted list: {got:?}");
}

/// The allowance is data: a pack that says 20 percent buys more, and raceway stays as it was.
#[test]
fn the_allowance_is_the_packs() {
    let folder = std::env::temp_dir().join(format!("ringout-takeoff-{}", std::process::id()));
    packs::export(&folder).unwrap();
    let file = folder.join("takeoff.rule");
    let pack = std::fs::read_to_string(&file).unwrap();
    assert_eq!(pack.matches("  = 1.1\n").count(), 2);
    std::fs::write(&file, pack.replacen("  = 1.1\n", "  = 1.2\n", 1)).unwrap();
    let rules = Rules::from_folder(&folder);
    std::fs::remove_dir_all(&folder).unwrap();
    let (_, list) = count(&rules.unwrap(), LARKSPUR);
    let of = |item: &str| list.lines.iter().find(|l| l.item == item).unwrap().quantity;
    // 9 ft of cut wire: 10.8 ft. 140 ft of tube: 15.4 sticks.
    assert_eq!((of("14 AWG Cu THWN-2 black"), of("1/2 in EMT")), (Some(11), Some(16)));
}

/// A missing length makes a least amount with its question; a missing method, run or box is said.
#[test]
fn what_cannot_be_counted_is_said() {
    let rules = Rules::builtin();
    let run = "run B6 to B8: 3/4 in EMT, 10 ft, 2 bends";
    assert!(LARKSPUR.contains(run));
    let (_, list) = count(&rules, &LARKSPUR.replace(run, "run B6 to B8: 3/4 in EMT, 2 bends"));
    let tube = list.lines.iter().find(|l| l.item == "3/4 in EMT").unwrap();
    // 70 ft are left: 77 ft with the allowance.
    assert_eq!((tube.quantity, tube.is_least), (Some(8), true));
    assert_eq!(tube.asks.len(), 1);
    assert!(tube.asks[0].fact.starts_with("length "), "{:?}", tube.asks);
    let (_, list) = count(&rules, &LARKSPUR.replace(run, "run B6 to B8: 10 ft, 2 bends"));
    let open = list.lines.iter().find(|l| l.item.contains("kind not said")).unwrap();
    assert_eq!((open.quantity, open.asks.len()), (Some(11), 1));
    let fittings = list.lines.iter().find(|l| l.item == "connectors, couplings and straps of it").unwrap();
    assert_eq!((fittings.quantity, fittings.is_least), (None, true), "they go by the kind that is not said");

    let (checked, list) = count(&rules, include_str!("../examples/half-known.shop"));
    let said = list.remarks.join("\n");
    for wanted in ["C1, C2 can't be counted", "Boxes and plates of R1, R2, W1, L1", "`all lights listed`"] {
        assert!(said.contains(wanted), "{wanted}:\n{said}");
    }
    assert!(list.lines.iter().any(|l| l.item.starts_with("rating not said") && !l.asks.is_empty()));
    insta::assert_snapshot!(
        "half_known",
        text::takeoff(&list, &checked.sources, &rules.code.authority, Look::new(100, false))
    );
    let (_, list) = count(&rules, "bix B1: 4 in square\n");
    assert!(list.remarks.iter().any(|r| r.contains("could not be read")), "{:?}", list.remarks);
}

/// What was there before is not bought.
#[test]
fn old_things_are_not_bought() {
    let rules = Rules::builtin();
    let plan = "circuit C1: breaker 20 A, 1-pole, existing\n  feeds R1\nreceptacle R1: 5-20R, existing\nreceptacle R2: 5-20R\n";
    let (_, list) = count(&rules, plan);
    let bought: Vec<&str> = list.lines.iter().flat_map(|l| &l.of).map(String::as_str).collect();
    assert_eq!(bought, ["R2"]);
}

#[test]
fn the_document_is_as_its_schema_says() {
    let rules = Rules::builtin();
    let schema = serde_json::from_str(include_str!("../grammar/takeoff.schema.json")).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    for plan in [LARKSPUR, include_str!("../examples/sound.shop"), include_str!("../examples/half-known.shop"), ""] {
        let (checked, list) = count(&rules, plan);
        let document = serde_json::from_str(&json::pretty("plan.shop", &list, &checked.sources).unwrap()).unwrap();
        let errors: Vec<String> = validator.iter_errors(&document).map(|e| e.to_string()).collect();
        assert!(errors.is_empty(), "{errors:?}");
    }
}

/// 100 ft by eye is 90 to 110, with a tenth more 99 to 121: 10 to 13 sticks of 10 ft. Wire has 3 ft for the panel and
/// 1 ft for the box besides. What to buy is the most.
#[test]
fn lengths_by_eye_have_two_ends() {
    let plan = "panel P1\nbox B1: 4 in square, holds R1\nrun P1 to B1: 1/2 in EMT, about 100 ft\n\
                circuit C1 from P1: breaker 20 A, 1-pole, wire 12 AWG Cu THWN-2\n  feeds R1\nreceptacle R1: 5-20R\n";
    let (checked, list) = count(&Rules::builtin(), plan);
    let line = |item: &str| list.lines.iter().find(|line| line.item == item).expect(item);
    assert_eq!(line("1/2 in EMT").told().unwrap(), "10 to 13");
    let wire = line("12 AWG Cu THWN-2 black");
    // 90 + 3 + 1 and 110 + 3 + 1 ft, a tenth more: 103.4 and 125.4.
    assert_eq!((wire.least, wire.quantity), (Some(104), Some(126)), "{wire:?}");
    assert!(list.remarks.iter().any(|r| r.contains("P1 to B1 is by eye")), "{:?}", list.remarks);
    let document: serde_json::Value =
        serde_json::from_str(&json::pretty("plan", &list, &checked.sources).unwrap()).unwrap();
    let schema = serde_json::from_str(include_str!("../grammar/takeoff.schema.json")).unwrap();
    assert!(jsonschema::validator_for(&schema).unwrap().is_valid(&document));
}

/// What is bought follows from the factors that are shown, digit by digit: `25 to 29 ft x 1.1` is 28 to 32 ft.
#[test]
fn the_shown_factors_give_what_is_bought() {
    let rules = Rules::builtin();
    let odd = "panel P1\nbox B1: 4 in square, holds R1\nbox B2: 4 in square, holds R2\nrun P1 to B1: 1/2 in EMT, about 27 ft\n\
               run B1 to B2: NM cable, 12-2 with ground, 7 ft 5-3/16 in\n\
               circuit C1 from P1: breaker 20 A, 1-pole, wire 12 AWG Cu THWN-2\n  feeds R1 and R2\n\
               receptacle R1, R2: 5-20R\n";
    let mut seen = 0;
    for plan in [LARKSPUR, include_str!("../examples/sound.shop"), odd] {
        for line in count(&rules, plan).1.lines {
            let Some((factors, rest)) = line.how.split_once(": ") else { continue };
            let Some((feet, more)) = factors.split_once(" ft x ") else { continue };
            let number = |text: &str| text.parse::<f64>().expect(text);
            let stick = rest.split_once("sticks of ").map_or(1.0, |(_, of)| number(of.split(' ').next().unwrap()));
            let (least, most) = feet.split_once(" to ").unwrap_or((feet, feet));
            // What is whole but for the way a computer adds is whole.
            let bought = |feet: &str| (number(feet) * number(more) / stick - 1e-9).ceil() as i64;
            assert_eq!(line.quantity, Some(bought(most)), "{line:?}");
            assert_eq!(line.least.unwrap_or(bought(most)), bought(least), "{line:?}");
            seen += 1;
        }
    }
    assert!(seen > 30, "{seen} lines");
}
