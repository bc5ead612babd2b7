//! The panel directory: what stands in each space of the demo panel equals what was read by hand,
//! and what a plan leaves open stays a blank with its question.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]

use ringout::report::directory::{Directory, Stands, directories, json};
use ringout::report::{Look, text};
use ringout::{Checked, Rules, law};

fn read(plan: &str) -> (Checked, Vec<Directory>) {
    let rules = Rules::builtin();
    let nothing = law::Options { rules: Some(Vec::new()), ..Default::default() };
    let checked = ringout::check(&rules, "plan.shop", plan, &nothing);
    let all = directories(&rules, &checked);
    (checked, all)
}

fn printed(plan: &str) -> String {
    let (checked, all) = read(plan);
    text::directory(&all, &checked.sources, "inspector", Look::new(100, false))
}

/// `9 1 20 A C2`, a line for each row.
fn rows(directory: &Directory) -> Vec<String> {
    let row = |row: &ringout::report::directory::Row| {
        let spaces: Vec<String> = row.spaces.iter().map(i64::to_string).collect();
        let of = match row.is {
            Stands::Main | Stands::BuiltIn => "main",
            Stands::Spare => "spare",
            Stands::Breaker => row.note.split(';').next().unwrap(),
        };
        let poles = row.poles.map_or(String::new(), |p| p.to_string());
        format!("{}|{poles}|{}|{of}", spaces.join(", "), row.amps.as_deref().unwrap_or(""))
    };
    directory.rows.iter().map(row).collect()
}

#[test]
fn the_demo_panel_is_as_read_by_hand() {
    let wanted: Vec<String> = include_str!("published/demo_directory.csv")
        .lines()
        .filter(|l| !l.starts_with('#') && !l.starts_with("space,"))
        .map(|l| match l.strip_prefix('"').and_then(|l| l.split_once("\",")) {
            Some((spaces, rest)) => format!("{spaces}|{}", rest.replace(',', "|")),
            None => l.replace(',', "|"),
        })
        .collect();
    assert_eq!(wanted.len(), 8);
    let (_, all) = read(include_str!("../examples/larkspur.shop"));
    assert_eq!(all.len(), 1);
    assert_eq!(rows(&all[0]), wanted);
    let asks: Vec<&str> = all[0].rows.iter().flat_map(|r| &r.asks).map(|a| a.fact.as_str()).collect();
    assert_eq!(asks.len(), 1, "only the worn-off rating is asked: {asks:?}");
    assert!(asks[0].starts_with("amps "), "{asks:?}");
    insta::assert_snapshot!("larkspur", printed(include_str!("../examples/larkspur.shop")));
}

/// A main that is built in takes no space, and two circuits on one breaker stand in a space each.
#[test]
fn a_shared_breaker_and_a_built_in_main() {
    let (_, all) = read(include_str!("../examples/sound.shop"));
    let rows = rows(&all[0]);
    assert_eq!(rows[0], "|2|60 A|main");
    assert!(rows.contains(&"6|2|20 A|C1".to_string()) && rows.contains(&"8|2|20 A|C2".to_string()), "{rows:?}");
    // 20 spaces; 1 to 9 and 11 are taken.
    assert_eq!(rows.iter().filter(|r| r.ends_with("|spare")).count(), 10);
    assert!(all[0].rows.iter().all(|r| r.asks.is_empty()) && all[0].asks.is_empty());
}

/// Nothing is called a spare while a breaker's place, or whether there are more, is open.
#[test]
fn what_is_open_is_a_blank_and_no_spare() {
    let said = "panel P1: 4 spaces, all drawn, no main\ncircuit C1\n  breaker 20 A, 1-pole, space 1\n  feeds R1\nreceptacle R1: 5-20R\n";
    let spares = |plan: &str| {
        let (_, all) = read(plan);
        all[0].rows.iter().filter(|r| r.is == Stands::Spare).flat_map(|r| r.spaces.clone()).collect::<Vec<_>>()
    };
    assert_eq!(spares(said), [2, 3, 4]);
    for (was, now) in [
        (", space 1", ""),
        (", all drawn", ""),
        (", 1-pole", ", 2-pole"),
        (", no main", ""),
        (", no main", ", main 60 A, back-fed"),
        ("4 spaces, ", ""),
        ("receptacle R1", "circut C2: breaker 20 A, space 2\nreceptacle R1"),
    ] {
        assert!(said.contains(was), "{was}");
        assert_eq!(spares(&said.replace(was, now)), [0; 0], "without `{was}`, with `{now}`");
    }
    insta::assert_snapshot!("half_known", printed(include_str!("../examples/half-known.shop")));
    assert!(printed("receptacle R1: 5-20R\n").contains("draws no panel"));
}

#[test]
fn the_document_is_as_its_schema_says() {
    let schema = serde_json::from_str(include_str!("../grammar/directory.schema.json")).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    for plan in [
        include_str!("../examples/larkspur.shop"),
        include_str!("../examples/sound.shop"),
        include_str!("../examples/half-known.shop"),
        "",
    ] {
        let (checked, all) = read(plan);
        let document = serde_json::from_str(&json::pretty("plan.shop", &all, &checked.sources).unwrap()).unwrap();
        let errors: Vec<String> = validator.iter_errors(&document).map(|e| e.to_string()).collect();
        assert!(errors.is_empty(), "{errors:?}");
    }
}
