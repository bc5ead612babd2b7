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
/// 1.9008 to 2.3232, and its ends, rounded outward, are no surer; so no figure of it has more digits than that allows. A stated range is shown by its ends.
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
    assert_eq!(by_eye["text"], "about 2.1 % (1.9 % to 2.4 %)");
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

/// For each figure of the contract, what it comes from: a section that stands at it or at one of its steps, `plan` for what
/// follows from the drawing alone. Where there are several methods, words of the one that is named; where it rounds, how its
/// step names that. Sections by the 2023 edition, from memory.
const WHENCE: [(&str, &str); 8] = [
    (
        "circuit",
        "load: 220.14 | load-current: 220.14 | design-current: 210.20(A) | ambient-factor: 310.15(B) | \
         adjustment-factor: 310.15(C)(1) | corrected-ampacity: 310.15, Not rounded | terminal-ampacity: 110.14(C)(1) | \
         ampacity: Table 310.16, Not rounded | largest-breaker: 240.4, machine, at or over | least-conductor: 240.4 | \
         least-ampacity: 210.19(A) | least-ground: 250.122(A), , the next up from | voltage-drop: Chapter 9 Table 8, at 75 C | \
         voltage-at-load: Chapter 9 Table 8 | length: plan | drop-by-impedance: Chapter 9 Table 9, second method | \
         drop-by-constant: common practice; third method | total-drop: Chapter 9 Table 8 | least-breaker: 240.6(A), , at or over",
    ),
    (
        "feeder",
        "load: 220.40, no dwelling | load-current: 220.40 | design-current: 215.3 | ambient-factor: 310.15(B) | \
         adjustment-factor: 310.15(C)(1) | corrected-ampacity: 310.15, Not rounded | terminal-ampacity: 110.14(C)(1) | \
         ampacity: Table 310.16, Not rounded | largest-breaker: 240.4, , at or over | least-conductor: 240.4 | \
         least-ampacity: 215.2(A) | least-ground: 250.122(A) | voltage-drop: Chapter 9 Table 8, at 75 C | \
         voltage-at-load: Chapter 9 Table 8 | length: plan | least-disconnect: 225.39 | neutral-load: 220.61, half counts | \
         fault-current: common practice, From point to point | least-ground-proportional: 250.122(B) | \
         spare-current: 215.2(A), less the design current",
    ),
    ("stretch", "cover: plan | least-cover: Table 300.5(A) | thermal-movement: 352.44, heat of the sun"),
    (
        "run",
        "fill: Chapter 9 Table 4 | fill-limit: Chapter 9 Table 1 | conductors: plan | current-carrying: 310.15(C)(1), Cables | \
         smallest-raceway: Chapter 9 Table 4 | bends: plan | supports: 358.30, One in the middle, rounded up to a whole number | \
         spare-area: Chapter 9 Table 1, the strictest | spare-12-wires: Chapter 9 Table 5, , rounded down to a whole number",
    ),
    ("box", "volume-needed: Table 314.16(B)(1) | volume: Table 314.16(A) | spare-volume: 314.16"),
    (
        "panel",
        "spaces-used: common practice | spaces-free: common practice | phase-a: 220.14, half on each | phase-b: 220.14, half on each",
    ),
    ("electrode-conductor", "least-electrode-conductor: Table 250.66, , the next up from"),
    (
        "equipment",
        "nameplate-current: plan | supply-ampacity: Table 630.11(A) | largest-overload: 430.32(A)(1) | \
         largest-breaker: 430.52, , at or over | least-conductor: 430.22 | least-circuit-ampacity: 430.22, motor",
    ),
];

/// What people and programs are told of where a figure comes from, how, and how it was rounded.
#[test]
fn every_figure_of_the_contract_says_where_it_comes_from() {
    let rules = Rules::builtin();
    let plans =
        [("larkspur", include_str!("../examples/larkspur.shop")), ("sound", include_str!("../examples/sound.shop"))];
    let (mut documents, mut sheets) = (Vec::new(), String::new());
    for (name, text) in plans {
        let checked = checked(&rules, name, text);
        documents.extend(json(&rules, &checked)["figures"].as_array().unwrap().clone());
        sheets += &shown(&rules, &checked, None, true);
    }
    // Lines of the sheet are broken and set in columns: only the words count.
    let sheets = sheets.split_whitespace().collect::<Vec<_>>().join(" ");
    let words = |value: &Value| value.as_str().unwrap_or_default().to_string();
    let mut bare = Vec::new();
    for (kind, list) in WHENCE {
        for row in list.split('|').map(str::trim) {
            let (name, rest) = row.split_once(": ").unwrap();
            let mut parts = rest.splitn(3, [',', ';']).map(str::trim);
            // A name with a comma in it stands before a semicolon.
            let (source, method, rounding) =
                (parts.next().unwrap(), parts.next().unwrap_or_default(), parts.next().unwrap_or_default());
            let is_kind = |figure: &&Value| match (figure["about"]["kind"].as_str().unwrap(), kind) {
                ("run", "stretch") => figure["about"]["name"].as_str().unwrap().starts_with("stretch "),
                (own, kind) => own == kind,
            };
            let found: Vec<&Value> = documents.iter().filter(is_kind).filter(|f| f["figure"] == name).collect();
            assert!(!found.is_empty(), "no {kind} has {name}");
            let any = |is_so: &dyn Fn(&Value) -> bool| found.iter().any(|figure| is_so(figure));
            let steps = |figure: &Value| figure["steps"].as_array().unwrap().clone();
            let sources = |figure: &Value| -> Vec<String> {
                let all = steps(figure).into_iter().chain([figure.clone()]);
                all.map(|of| words(&of["source"])).filter(|source| !source.is_empty()).collect()
            };
            if source == "plan" {
                assert!(found.iter().all(|figure| sources(figure).is_empty()), "{name} of a {kind} has a source");
                continue;
            }
            let told = any(&|figure| sources(figure).iter().any(|own| own.contains(source)));
            assert!(told, "{name} of a {kind} is not said to come from {source}");
            for own in found.iter().flat_map(|figure| sources(figure)) {
                assert!(sheets.contains(&format!("({own})")), "{name} of a {kind}: {own} is not on the sheet");
            }
            if !method.is_empty() {
                let all = found.iter().all(|figure| words(&figure["method"]).contains(method));
                assert!(all, "{name} of a {kind} does not name its method: {method}");
                assert!(sheets.contains(method), "{method}");
            }
            if !rounding.is_empty() {
                let is_named =
                    |figure: &Value| steps(figure).iter().any(|step| words(&step["text"]).contains(rounding));
                assert!(any(&is_named), "{name} of a {kind} does not name its rounding: {rounding}");
                assert!(sheets.contains(rounding), "{rounding}");
            }
        }
    }
    // Whatever is read off a row has the table's source, or says that it is from memory or practice.
    for figure in &documents {
        for step in figure["steps"].as_array().unwrap() {
            let text = words(&step["text"]);
            let source = words(&step["source"]);
            if (text.contains(", row ") || text.contains(" at or over ") && text.contains("standard ratings"))
                && source.is_empty()
            {
                bare.push(format!("{} of {}: {text}", figure["figure"], figure["about"]["name"]));
            }
        }
    }
    assert!(bare.is_empty(), "without a source: {bare:#?}");
}

/// What the plan leaves to a guess is named at each figure that leans on it, with its line, for people and for programs.
#[test]
fn assumptions_are_named_where_a_figure_leans_on_them() {
    let rules = Rules::builtin();
    let plan = "shop \"guessed\"\n  code NEC 2023\n  assume terminals 75 C\npanel P1\ncircuit C1 from P1: 1-pole, length 40 ft\n  \
                assume breaker 20 A, wire 12 AWG Cu THWN-2\n  feeds M1\n\
                equipment M1: heater, 120 V, 12 A, hard-wired\n";
    let checked = checked(&rules, "plan", plan);
    let document = json(&rules, &checked);
    let leans = |figure: &str| -> Vec<String> {
        let all = document["figures"].as_array().unwrap();
        let found = all.iter().find(|f| f["figure"] == figure && f["about"]["name"] == "C1").expect(figure);
        found["leans_on"].as_array().unwrap().iter().map(|lean| lean.as_str().unwrap().to_string()).collect()
    };
    let guess = "assumed on line 6: assume breaker 20 A";
    for figure in ["terminal-ampacity", "least-ground", "spare-current"] {
        assert!(leans(figure).iter().any(|lean| lean == guess), "{figure}: {:?}", leans(figure));
    }
    // A length that is stated leans on nothing.
    assert!(leans("length").is_empty() && leans("load").is_empty(), "{:?}", leans("load"));
    let sheet = shown(&rules, &checked, Some("C1"), false).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(sheet.contains(&format!("leans on {guess}")), "{sheet}");
}

/// A sheet asks each question once for an item; below that it says where. What would not change with an answer is not told.
#[test]
fn a_question_is_asked_once_for_an_item() {
    let rules = Rules::builtin();
    let plan = "shop \"boats\"\n  code NEC 2023\nsupply house\n  120/240 V, 1-phase\nfeeder F1 from house to P1\n  breaker 50 A\n  \
                stretch about 85 ft: 1 in PVC-40, buried 18 in\npanel P1\ncircuit C1: breaker 20 A, feeds R1, L1\n\
                receptacle R1: 5-20R\nlight L1: LED, 25 W\n";
    let checked = checked(&rules, "plan", plan);
    for item in ["F1", "C1"] {
        let sheet = shown(&rules, &checked, Some(item), false);
        let lines: Vec<&str> = sheet.lines().map(str::trim).collect();
        let start = lines.iter().position(|line| line.contains(item)).unwrap();
        // The sheet of a feeder goes on with those of its stretches.
        let own = lines[start + 1..].iter().take_while(|line| !line.starts_with("stretch "));
        let asked: Vec<&&str> = own.filter(|line| line.starts_with("open: ") && line.ends_with(')')).collect();
        let once: std::collections::BTreeSet<&&&str> = asked.iter().collect();
        assert!(asked.len() > 3 && once.len() == asked.len(), "{item}: {asked:#?}");
        assert!(sheet.contains("asked above, at load"), "{sheet}");
    }
    let sheets = figures::sheets(&rules, &checked, None);
    for figure in sheets.iter().flat_map(|sheet| &sheet.figures).filter(|f| f.candidates.len() > 1) {
        assert!(figure.candidates.iter().any(|c| c.text != figure.candidates[0].text), "{:?}", figure.candidates);
        assert!(figure.candidates.iter().all(|c| !c.what.starts_with("is ")), "{:?}", figure.candidates);
    }
    // No digit is surer than a length that was paced off: 76.5 to 93.5 ft.
    let length = sheets[0].figures.iter().find(|f| f.name == "length").unwrap();
    assert_eq!(length.text, "about 85 ft (76 ft to 94 ft)");
}
