//! The calculation sheet as people and programs get it. That its values are right is held by
//! `figures.rs`; here, that they are shown with their steps, sources and open questions.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]

use ringout::report::{Look, figures, text};
use ringout::{Checked, Rules, law};
use serde_json::Value;

fn checked(rules: &Rules, name: &str, text: &str) -> Checked {
    let nothing = law::Options { rules: Some(Vec::new()), ..Default::default() };
    ringout::check(rules, name, text, &nothing)
}

fn shown(rules: &Rules, checked: &Checked, item: Option<&str>, all: bool) -> String {
    let sheets = figures::sheets(rules, checked, item);
    text::figures(&sheets, checked.file, &checked.sources, Look::new(100, false), all)
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
