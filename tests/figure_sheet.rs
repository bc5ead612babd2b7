//! The calculation sheet as people and programs get it. That its values are right is held by
//! `figures.rs`; here, that they are shown with their steps, sources and open questions.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails by panicking")]

use ringout::report::{Look, figures, text};
use ringout::{Checked, Rules, law};
use serde_json::Value;

fn checked(rules: &Rules, name: &str, text: &str) -> Checked {
    let nothing = law::Options { rules: Some(Vec::new()), ..Default::default() };
    ringout::check(rules, name, text, &nothing)
}

fn shown(rules: &Rules, checked: &Checked, item: Option<&str>, all: bool) -> String {
    let sheets = figures::sheets(rules, checked, item);
    text::figures(&sheets, checked.file, &checked.sources, &rules.code.authority, Look::new(100, false), all)
}

fn json(rules: &Rules, checked: &Checked) -> Value {
    let sheets = figures::sheets(rules, checked, None);
    serde_json::from_str(&figures::json::pretty("larkspur.shop", &sheets, &checked.sources).unwrap()).unwrap()
}

fn larkspur(rules: &Rules) -> Checked {
    checked(rules, "examples/larkspur.shop", include_str!("../examples/larkspur.shop"))
}

#[test]
fn the_sheet_of_a_circuit_and_a_feeder() {
    let rules = Rules::builtin();
    let checked = larkspur(&rules);
    let circuit = shown(&rules, &checked, Some("C1"), false);
    // Reckoned by hand, see demo_figures.csv: 34 A at 40 % duty, 0.91 for 104 F, 0.8 for four live wires.
    for wanted in
        ["ambient-factor             0.91", "corrected-ampacity         29.1 A", "1.16 %", "34 A × 1.24 ohm/kft"]
    {
        assert!(circuit.contains(wanted), "{wanted}:\n{circuit}");
    }
    insta::assert_snapshot!("circuit", circuit);
    let feeder = shown(&rules, &checked, Some("F1"), false);
    for wanted in ["65 A if terminal marking of feeder F1 is", "open: ", "Missing"] {
        assert_eq!(feeder.contains(wanted), wanted != "Missing", "{wanted}:\n{feeder}");
    }
    assert!(feeder.contains("stretch 2 of F1"), "a feeder is shown with its stretches");
    insta::assert_snapshot!("feeder", feeder);
}

#[test]
fn every_figure_has_a_source_or_steps() {
    let rules = Rules::builtin();
    for (name, text) in [
        ("larkspur", include_str!("../examples/larkspur.shop")),
        ("sound", include_str!("../examples/sound.shop")),
        ("half-known", include_str!("../examples/half-known.shop")),
    ] {
        let checked = checked(&rules, name, text);
        let sheets = figures::sheets(&rules, &checked, None);
        assert!(sheets.iter().map(|s| s.figures.len()).sum::<usize>() > 10, "{name}");
        for sheet in &sheets {
            for figure in &sheet.figures {
                let at = format!("{name}, {}, {}: {}", sheet.about.called, figure.name, figure.text);
                let is_open = figure.text.starts_with("unknown") && figure.value.is_none();
                assert!(
                    !is_open || !figure.missing.is_empty() || figure.why.as_ref().is_some_and(|w| !w.from.is_empty()),
                    "{at}: nobody is told what is missing"
                );
                assert!(figure.doc.len() > 5, "{at}: without a meaning");
            }
        }
    }
}

#[test]
fn json_keeps_to_its_schema() {
    let rules = Rules::builtin();
    let document = json(&rules, &larkspur(&rules));
    let schema: Value = serde_json::from_str(include_str!("../grammar/figures.schema.json")).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let errors: Vec<String> = validator.iter_errors(&document).map(|e| e.to_string()).collect();
    assert!(errors.is_empty(), "{errors:?}");
    let find = |about: &str, figure: &str| {
        let all = document["figures"].as_array().unwrap();
        all.iter().find(|f| f["about"]["name"] == about && f["figure"] == figure).expect(figure).clone()
    };
    let ampacity = find("C1", "ampacity");
    assert!((ampacity["value"].as_f64().unwrap() - 29.12).abs() < 1e-9 && ampacity["unit"] == "A", "{ampacity}");
    let drop = find("C1", "voltage-drop");
    assert!(drop["unit"] == "%" && drop["method"].as_str().is_some_and(|m| m.contains("75 C")), "{drop}");
    let open = find("F1", "terminal-ampacity");
    assert!(open["value"].is_null() && open["candidates"].as_array().unwrap().len() == 2, "{open}");
    assert!(open["missing"][0]["ask"].as_str().unwrap().contains("terminals"), "{open}");
}

/// The sheet is the pack's: a formula that a user changes, and a figure that he adds, are shown.
#[test]
fn a_changed_formula_is_shown() {
    let pack = "sheet circuit \"circuits\": spare\n\ndefine spare of (c: circuit) in A\n  doc \"what its breaker leaves\"\n  \
                = c.breaker.amps - 7 A\n";
    let mut sources = ringout::text::Sources::default();
    let file = sources.add("mine.rule", pack);
    let (read, problems) = law::read(file, pack);
    let rules = Rules::new(sources, read, problems);
    assert!(rules.problems.is_empty(), "{:?}", rules.problems);
    let checked = checked(&rules, "plan", "circuit C1: breaker 20 A\n");
    let text = shown(&rules, &checked, None, false);
    assert!(text.contains("spare") && text.contains("13 A") && text.contains("20 A − 7 A"), "{text}");
}

/// 40 ft by eye is 36 to 44 ft: the drop of 16 A over it in 12 AWG is 2 x 40 x 16 x 1.98 / 1000 / 120 = 2.11 percent,
/// 1.9008 to 2.3232, ends that are rounded outward, and no figure of it has more digits than that allows. A stated range is shown by its ends.
#[test]
fn a_figure_of_a_length_by_eye_has_two_ends() {
    let rules = Rules::builtin();
    let plan = |length: &str| {
        format!(
            "circuit C1 from P1: breaker 20 A, 1-pole, wire 12 AWG Cu THWN-2, length {length}\n  feeds M1\npanel P1\n\
             equipment M1: heater, 120 V, 16 A, hard-wired\n"
        )
    };
    let find = |length: &str| {
        let document = json(&rules, &checked(&rules, "plan", &plan(length)));
        let all = document["figures"].as_array().unwrap().clone();
        let schema: Value = serde_json::from_str(include_str!("../grammar/figures.schema.json")).unwrap();
        assert!(jsonschema::validator_for(&schema).unwrap().is_valid(&document));
        all.into_iter().find(|f| f["figure"] == "voltage-drop").unwrap()
    };
    assert_eq!(find("40 ft")["text"], "2.11 %");
    let by_eye = find("about 40 ft");
    assert_eq!(by_eye["text"], "about 2.1 % (1.9 % to 2.33 %)");
    assert!((by_eye["between"][0].as_f64().unwrap() - 1.9008).abs() < 1e-9, "{by_eye}");
    let leans: Vec<&str> = by_eye["leans_on"].as_array().unwrap().iter().filter_map(Value::as_str).collect();
    assert!(leans.iter().any(|lean| lean.contains("about 40 ft")), "{leans:?}");
    let bounds = find("36 ft to 44 ft");
    assert!(bounds["value"].is_null() && bounds["unit"] == "%", "{bounds}");
    assert_eq!(bounds["text"], "1.9 % to 2.33 %");
}

/// The contract with those who read the document: each figure of each kind has this one spelling and unit. A unit
/// of `-` is a size or a bare number. A figure may be lacking where it means nothing (a light has no least wire).
const NAMES: [(&str, &str); 12] = [
    (
        "circuit",
        "load VA, load-current A, design-current A, ambient-factor -, adjustment-factor -, corrected-ampacity A, \
         terminal-ampacity A, ampacity A, largest-breaker A, least-conductor AWG or kcmil, least-ampacity A, \
         least-ground AWG or kcmil, voltage-drop %, voltage-at-load V, length in",
    ),
    (
        "feeder",
        "load VA, load-current A, design-current A, ambient-factor -, adjustment-factor -, corrected-ampacity A, \
         terminal-ampacity A, ampacity A, largest-breaker A, least-conductor AWG or kcmil, least-ampacity A, \
         least-ground AWG or kcmil, voltage-drop %, voltage-at-load V, length in, least-disconnect A, neutral-load VA, \
         fault-current A, least-ground-proportional AWG or kcmil",
    ),
    ("stretch", "cover in, least-cover in, thermal-movement in, fill %, fill-limit %"),
    (
        "run",
        "fill %, fill-limit %, conductors -, current-carrying -, smallest-raceway trade size, bends deg, supports -",
    ),
    ("box", "volume-needed in3, volume in3"),
    ("panel", "spaces-used -, spaces-free -, phase-a VA, phase-b VA"),
    ("electrode-conductor", "least-electrode-conductor AWG or kcmil"),
    ("welder", "nameplate-current A, supply-ampacity A, least-conductor AWG or kcmil, largest-breaker A"),
    ("motor", "nameplate-current A, largest-overload A, least-conductor AWG or kcmil, largest-breaker A"),
    // Its plate gives the least ampacity of its circuit in the place of a current.
    ("air conditioner", "least-circuit-ampacity A, least-conductor AWG or kcmil, largest-breaker A"),
    // What would still fit.
    ("spare in a feeder", "spare-current A"),
    ("spare in a panel, raceway and box", "spare-current A, spare-area in2, spare-volume in3"),
];

#[test]
fn every_figure_of_the_contract_is_there() {
    let rules = Rules::builtin();
    let mut found: std::collections::BTreeMap<(String, String), std::collections::BTreeSet<String>> =
        Default::default();
    for (name, text) in
        [("larkspur", include_str!("../examples/larkspur.shop")), ("sound", include_str!("../examples/sound.shop"))]
    {
        let document = json(&rules, &checked(&rules, name, text));
        for figure in document["figures"].as_array().unwrap() {
            let (kind, item) = (figure["about"]["kind"].as_str().unwrap(), figure["about"]["name"].as_str().unwrap());
            let kinds: Vec<&str> = match (kind, item) {
                ("run", name) if name.starts_with("stretch ") => vec!["stretch"],
                ("equipment", "TIG" | "MIG") => vec!["welder"],
                ("equipment", "AIR" | "DUST") => vec!["motor"],
                ("equipment", "AC") => vec!["air conditioner"],
                ("feeder", _) => vec!["feeder", "spare in a feeder"],
                ("run" | "box" | "panel", _) => vec![kind, "spare in a panel, raceway and box"],
                (kind, _) => vec![kind],
            };
            let unit = figure["unit"].as_str().unwrap_or("-").to_string();
            for kind in kinds {
                let name = figure["figure"].as_str().unwrap().to_string();
                found.entry((kind.to_string(), name)).or_default().insert(unit.clone());
            }
        }
    }
    for (kind, list) in NAMES {
        for row in list.split(", ") {
            let (name, unit) = row.split_once(' ').unwrap();
            let units = found.get(&(kind.to_string(), name.to_string()));
            let units = units.unwrap_or_else(|| panic!("no {kind} has {name}"));
            assert!(units.contains(unit) && units.len() == 1, "{name} of a {kind} is in {unit}, not in {units:?}");
        }
    }
}

/// A figure that is reckoned shows how, by which source or method, and what it lacks.
#[test]
fn every_reckoned_figure_has_steps_and_a_source() {
    let rules = Rules::builtin();
    let document = json(&rules, &larkspur(&rules));
    let figures = document["figures"].as_array().unwrap();
    let mut bare = Vec::new();
    for figure in figures {
        let at = format!("{} of {}", figure["figure"], figure["about"]["name"]);
        let steps = figure["steps"].as_array().unwrap();
        if steps.is_empty() {
            bare.push(at.clone());
        }
        let is_open = figure["value"].is_null() && figure["text"].as_str().unwrap().starts_with("unknown");
        assert!(!is_open || !figure["missing"].as_array().unwrap().is_empty(), "{at}: unknown, and nobody is asked");
    }
    assert!(figures.len() > 300, "{}", figures.len());
    // A program is told the section that a figure follows, as people are.
    let overload = figures.iter().find(|f| f["figure"] == "largest-overload").unwrap();
    assert!(overload["source"].as_str().unwrap().contains("NEC 2023 430.32"), "{overload}");
    // Facts of the drawing follow from the plan as a whole: what lies in a run.
    bare.retain(|at| !at.starts_with("\"conductors\"") && !at.starts_with("\"length\""));
    assert!(bare.is_empty(), "without a step: {bare:?}");
}
