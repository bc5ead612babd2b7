//! Real local amendments as layers over the built-in pack: each comes out as its examples say, with
//! it and without it, and each of its edits, bounds and guards is noticed by one.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails by panicking")]

use ringout::law::syntax::layer::Layer;
use ringout::law::{self, syntax::Pack};
use ringout::report::problems::at;
use ringout::selftest;
use ringout::text::Sources;
use std::collections::BTreeSet;
use std::fs;
use std::path::PathBuf;
use std::process::Command;

const FOLDERS: [&str; 2] = ["tests/cases/layers", "rules/layers"];

/// The built-in pack with its examples, and every layer of the folders by the name of its file.
fn all() -> (Sources, Pack, Vec<(String, Layer)>) {
    let mut sources = Sources::default();
    let mut pack = law::builtin(&mut sources);
    law::builtin_examples(&mut pack);
    let mut layers = Vec::new();
    for folder in FOLDERS {
        let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(folder);
        let Ok(entries) = fs::read_dir(&folder) else { continue };
        let mut paths: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
        paths.retain(|path| path.extension().is_some_and(|e| e == "rule"));
        paths.sort();
        for path in paths {
            let name = path.file_stem().unwrap().to_string_lossy().into_owned();
            let text = fs::read_to_string(&path).unwrap();
            let file = sources.add(path.display().to_string(), text.as_str());
            let (layer, problems) = law::read_layer(file, &text);
            for problem in &problems {
                println!("{}: {} ({:?})", at(&sources, problem.span), problem.message, problem.help);
            }
            assert!(problems.is_empty(), "{name} can't be read");
            layers.push((name, layer.unwrap()));
        }
    }
    (sources, pack, layers)
}

/// Each file is called like its layer, says where its text is to be found, and shows each block by
/// an example with `was`.
#[test]
fn every_layer_says_where_it_comes_from_and_shows_what_it_does() {
    let (_, _, layers) = all();
    assert!(layers.len() >= 50, "{} layers", layers.len());
    for (name, layer) in &layers {
        assert_eq!(*name, layer.name.node);
        let source = layer.source.as_ref().unwrap_or_else(|| panic!("{name} has no source"));
        assert!(!source.title.is_empty(), "{name}");
        let examples: usize = layer.changes.iter().map(|change| change.examples.len()).sum();
        let own: usize = layer.pack.rules.iter().map(|rule| rule.examples.len()).sum();
        assert!(examples + own > 0, "{name} shows nothing");
    }
}

/// The amendments of the collection that run, by the numbers in the first lines; those that the program brings as
/// examples have none there.
#[test]
fn all_amendments_of_the_collection_run() {
    const BROUGHT: [(&str, &str); 5] = [
        ("utah-gfci", "A036"),
        ("louisburg", "A045"),
        ("north-dakota-opener", "A069"),
        ("lake-forest", "A114"),
        ("alabama-coop", "A135"),
    ];
    let (sources, _, layers) = all();
    let mut numbers: BTreeSet<String> = BTreeSet::new();
    for (name, layer) in &layers {
        let text = &sources.get(layer.span.file).unwrap().text;
        let first = text.lines().next().unwrap();
        let own = first.trim_start_matches('#').split(',').map(str::trim).filter(|word| word.starts_with('A'));
        let own = own.filter(|word| word.len() == 4 && word[1..].parse::<u32>().is_ok()).map(str::to_string);
        let brought = BROUGHT.iter().filter(|(n, _)| n == name).map(|(_, number)| number.to_string());
        let both: Vec<String> = own.chain(brought).collect();
        // Before and after: an edit shows both, and a rule of the layer's own was not there before.
        let shown: usize = layer.changes.iter().map(|change| change.examples.len()).sum();
        let own_rules: usize = layer.pack.rules.iter().map(|rule| rule.examples.len()).sum();
        assert!(both.is_empty() || shown + own_rules >= 1, "{name} shows nothing");
        numbers.extend(both);
    }
    println!("{} amendments run", numbers.len());
    assert_eq!(numbers.len(), 83, "{numbers:?}");
}

#[test]
fn every_example_comes_out_as_it_says() {
    let (sources, pack, layers) = all();
    let only: Vec<Layer> = layers.iter().map(|(_, layer)| layer.clone()).collect();
    let mut failures = 0;
    let mut run = 0;
    for (name, layer) in &layers {
        let amended = law::layer::amend(&pack, std::slice::from_ref(layer));
        let problems = law::compile(&amended.pack).1;
        for problem in amended.problems.iter().chain(problems.iter().filter(|p| p.span.file == layer.span.file)) {
            println!("{}: {} ({:?})", at(&sources, problem.span), problem.message, problem.help);
            failures += 1;
        }
        for outcome in selftest::run_layer(&pack, layer, &only) {
            run += 1;
            if let Some(problem) = outcome.failure {
                println!("{name}: {}: {} ({:?})", at(&sources, problem.span), problem.message, problem.help);
                failures += 1;
            }
        }
    }
    assert_eq!(failures, 0, "of {run} examples");
}

/// An edit that no example notices could be lost, or wrong, without anybody seeing it.
#[test]
fn every_edit_bound_and_guard_is_noticed() {
    let (sources, pack, layers) = all();
    let only: Vec<Layer> = layers.iter().map(|(_, layer)| layer.clone()).collect();
    let mut tried = 0;
    let mut asleep = 0;
    for (name, layer) in &layers {
        let strictness = selftest::layer_strictness(&pack, layer, &only);
        tried += strictness.tried;
        for unnoticed in strictness.unnoticed {
            println!("{name}: {}: no example notices {}", at(&sources, unnoticed.span), unnoticed.change);
            asleep += 1;
        }
    }
    assert!(tried > layers.len(), "{tried} changes");
    assert_eq!(asleep, 0, "of {tried} changes");
}

/// Layers that touch different targets commute: applied in either order they make the same rules,
/// tables and terms. Each pair of one kind, since those of two kinds have an order of their own.
#[test]
fn layers_with_different_targets_commute() {
    let (_, pack, layers) = all();
    let targets = |layer: &Layer| -> BTreeSet<String> {
        let changed = layer.changes.iter().map(|change| change.target.text());
        changed.chain(layer.pack.rules.iter().map(|rule| format!("rule {}", rule.name.node))).collect()
    };
    let is_wide = |layer: &Layer| targets(layer).iter().any(|t| t.starts_with("every") || t.starts_with("rules in"));
    let has_policy = |layer: &Layer| !layer.below.is_empty() || layer.differ.is_some() || !layer.adopts.is_empty();
    let narrow: Vec<&Layer> = layers.iter().map(|(_, l)| l).filter(|l| !is_wide(l) && !has_policy(l)).collect();
    let mut tried = 0;
    for (i, a) in narrow.iter().enumerate() {
        for b in narrow.iter().skip(i + 1).filter(|b| b.kind == a.kind) {
            if !targets(a).is_disjoint(&targets(b)) {
                continue;
            }
            tried += 1;
            let one = law::layer::amend(&pack, &[(*a).clone(), (*b).clone()]).pack;
            let two = law::layer::amend(&pack, &[(*b).clone(), (*a).clone()]).pack;
            assert_eq!(contents(one), contents(two), "{} and {}", a.name.node, b.name.node);
        }
    }
    assert!(tried > 900, "{tried} pairs");
}

/// What a pack says, whatever the order of its blocks; the numbers of edits count from the first layer.
fn contents(pack: Pack) -> BTreeSet<String> {
    // A rule that nobody touched is the base's, or came whole from a layer: its name tells.
    let names = pack.rules.iter().map(|rule| rule.name.node.clone()).collect::<Vec<_>>();
    let touched = pack.rules.into_iter().filter(|rule| !rule.touched.is_empty());
    let rules = touched.map(|mut rule| {
        rule.touched.clear();
        rule.examples.clear();
        format!("{rule:?}")
    });
    let defines = pack.defines.into_iter().map(|define| format!("{define:?}"));
    rules.chain(names).chain(defines).chain(pack.tables.into_iter().map(|table| format!("{table:?}"))).collect()
}

/// The order in which files are given means nothing between kinds: a state comes before its cities.
#[test]
fn the_order_of_files_means_nothing_between_kinds() {
    let (_, pack, layers) = all();
    let named = |name: &str| layers.iter().find(|(n, _)| n == name).map(|(_, layer)| layer.clone()).unwrap();
    let mut three = vec![named("colorado"), named("shallow-town"), named("strict-utility")];
    let first = contents(law::layer::amend(&pack, &three).pack);
    for _ in 0..2 {
        three.rotate_left(1);
        assert_eq!(contents(law::layer::amend(&pack, &three).pack), first);
    }
    three.reverse();
    assert_eq!(contents(law::layer::amend(&pack, &three).pack), first);
}

/// A folder of its own for one test, taken away at the end.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Folder {
        let path = std::env::temp_dir().join(format!("ringout-layers-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&path);
        fs::create_dir_all(&path).unwrap();
        Folder(path)
    }

    fn run(&self, words: &[&str]) -> (i32, String, String) {
        let output = Command::new(env!("CARGO_BIN_EXE_ringout")).args(words).current_dir(&self.0).output().unwrap();
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
        (output.status.code().unwrap(), text(output.stdout), text(output.stderr))
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

const BENDS: &str = "layer pine \"Pine County\"\n  kind county\n  over any edition\n  status in force, checked 2026-11-25\n  \
                     source \"Ordinance 7\", pine.example\n\nchange rule raceway-bends \"270 degrees\"\n  why Wet clay.\n  \
                     set value most to at most 270 deg, was at most 360 deg\n";
const PLAN: &str =
    "shop \"a shop\"\n  code NEC 2023\n  amended by pine\nbox B1, B2\nrun B1 to B2: 3/4 in EMT, 8 ft, 300 deg\n";

/// A plan's layer is found beside it, named in the report, and its source cited; one that is not found, or that quotes
/// what is not there, ends with status 2 and is said first.
#[test]
fn a_plan_finds_its_layer_or_says_that_it_did_not() {
    let folder = Folder::new("found");
    fs::write(folder.0.join("a.shop"), PLAN).unwrap();
    let (status, text, _) = folder.run(&["check", "a.shop"]);
    assert_eq!(status, 2, "{text}");
    assert!(text.contains("the local amendments in `pine` were not found"), "{text}");
    assert!(!text.contains("300 deg of bends"), "{text}");

    fs::write(folder.0.join("pine.rule"), BENDS).unwrap();
    let (status, text, _) = folder.run(&["check", "a.shop"]);
    assert_eq!(status, 1, "{text}");
    for part in [
        "With the amendments of Pine County.",
        "has 300 deg of bends",
        "Pine County: Ordinance 7",
        "looked up 2026-11-25",
    ] {
        assert!(text.contains(part), "{part}\n{text}");
    }
    let (_, json, _) = folder.run(&["check", "--format", "json", "a.shop"]);
    let report: serde_json::Value = serde_json::from_str(&json).unwrap();
    let schema = serde_json::from_str(include_str!("../grammar/report.schema.json")).unwrap();
    let errors: Vec<String> =
        jsonschema::validator_for(&schema).unwrap().iter_errors(&report).map(|e| e.to_string()).collect();
    assert!(errors.is_empty(), "{errors:?}");
    assert_eq!(report["layers"][0]["name"], "pine");
    assert_eq!(report["edits"][0]["state"], "applied");
    let bends = report["findings"].as_array().unwrap().iter().find(|f| f["rule"] == "raceway-bends").unwrap();
    assert_eq!(bends["edits"], serde_json::json!([0]));

    fs::write(folder.0.join("pine.rule"), BENDS.replace("was at most 360", "was at most 350")).unwrap();
    let (status, text, _) = folder.run(&["check", "a.shop"]);
    assert_eq!(status, 2, "{text}");
    assert!(text.contains("out of date: value most of raceway-bends says at most 360 deg today"), "{text}");
    assert!(!text.contains("has 300 deg of bends"), "the rule stands as it was\n{text}");

    fs::write(folder.0.join("pine.rule"), BENDS.replace("over any edition", "over NEC 2020")).unwrap();
    let (_, text, _) = folder.run(&["check", "a.shop"]);
    assert!(text.contains("It was not written for the edition of this plan"), "{text}");

    let stranger = PLAN.replace("amended by pine", "amended by ../pine");
    fs::create_dir(folder.0.join("inner")).unwrap();
    fs::write(folder.0.join("inner/b.shop"), stranger).unwrap();
    let (status, _, _) = folder.run(&["check", "inner/b.shop"]);
    assert_eq!(status, 2, "a plan reaches no folder but its own");
}

/// A struck rule is named with who struck it, in the report, by `why` and by `rules show`.
#[test]
fn what_is_switched_off_stays_in_sight() {
    let folder = Folder::new("off");
    let off = "change rule raceway-bends \"Out\"\n  why Not here.\n  strike rule, was \"Bends between pull points\"\n";
    let head = BENDS.split("change").next().unwrap();
    fs::write(folder.0.join("pine.rule"), format!("{head}{off}")).unwrap();
    fs::write(folder.0.join("a.shop"), PLAN.replace("300 deg", "400 deg")).unwrap();
    let (_, text, _) = folder.run(&["check", "a.shop"]);
    assert!(text.contains("Switched off:") && text.contains("raceway-bends: \"Bends between pull points\""), "{text}");
    let (status, _, said) = folder.run(&["why", "a.shop", "raceway-bends"]);
    assert_eq!(status, 2);
    assert!(said.contains("switched off by pine: Pine County"), "{said}");
    let (_, _, said) = folder.run(&["rules", "show", "raceway-bends", "--for", "a.shop"]);
    assert!(said.contains("switched off by Pine County"), "{said}");
}

/// The rule in force shows where each part comes from, and what it prints for an edit is a guard that holds.
#[test]
fn a_rule_is_shown_as_it_is_in_force_and_ready_to_be_edited() {
    let folder = Folder::new("show");
    fs::write(folder.0.join("pine.rule"), BENDS).unwrap();
    fs::write(folder.0.join("a.shop"), PLAN).unwrap();
    for words in [
        &["rules", "show", "raceway-bends", "--for", "a.shop"][..],
        &["rules", "show", "raceway-bends", "--layer", "pine.rule"],
    ] {
        let (status, text, said) = folder.run(words);
        assert_eq!(status, 0, "{said}");
        let value = text.lines().find(|line| line.trim_start().starts_with("value")).unwrap();
        assert!(value.contains("at most 270 deg") && value.contains("# Pine County, pine.rule:9"), "{text}");
        let needs = text.lines().find(|line| line.trim_start().starts_with("needs")).unwrap();
        assert!(!needs.contains('#'), "{text}");
    }
    let (_, text, _) = folder.run(&["rules", "show", "raceway-bends", "--for-edit"]);
    let line = text.lines().find(|line| line.contains("value most")).unwrap().replace('…', "at most 200 deg");
    let head = BENDS.split("change").next().unwrap();
    fs::write(folder.0.join("pine.rule"), format!("{head}change rule raceway-bends \"x\"\n  why x\n{line}\n")).unwrap();
    let (_, text, _) = folder.run(&["check", "a.shop"]);
    assert!(!text.contains("out of date") && text.contains("300 deg of bends"), "{text}");
}

/// Another name for whoever decides stands in the report and in the packet.
#[test]
fn reports_call_the_authority_as_the_place_does() {
    let folder = Folder::new("name");
    let layer = include_str!("cases/layers/new-jersey-name.rule");
    fs::write(folder.0.join("new-jersey-name.rule"), layer).unwrap();
    fs::write(folder.0.join("a.shop"), PLAN.replace("  amended by pine\n", "")).unwrap();
    let (_, before, _) = folder.run(&["check", "a.shop"]);
    assert!(before.contains("The inspector") && !before.contains("subcode official"), "{before}");
    let with = ["--layer", "new-jersey-name.rule", "a.shop"];
    let (_, after, said) = folder.run(&[&["check"][..], &with].concat());
    let after = after.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        after.contains("The electrical subcode official and the code") && !after.contains("inspector and"),
        "{after}{said}"
    );
    let (_, packet, said) = folder.run(&[&["packet"][..], &with].concat());
    assert!(packet.contains("electrical subcode official, result"), "{said}");
}

/// A layer's meaning of a term for a purpose that nothing asks for is told, with those that are asked for.
#[test]
fn a_meaning_that_nobody_asks_for_is_told() {
    let folder = Folder::new("purpose");
    let head = BENDS.split("change").next().unwrap();
    let change =
        "change term is-part-of-home \"Barns too\"\n  why So it is here.\n  add meaning for barns: s.is-business\n";
    fs::write(folder.0.join("pine.rule"), format!("{head}{change}")).unwrap();
    let (status, _, said) = folder.run(&["rules", "check", "--layer", "pine.rule"]);
    assert_eq!(status, 2);
    assert!(said.contains("nothing asks for `is-part-of-home` for barns") && said.contains("wiring"), "{said}");
    fs::write(folder.0.join("pine.rule"), format!("{head}{}", change.replace("barns:", "wiring:"))).unwrap();
    let (_, _, said) = folder.run(&["rules", "check", "--layer", "pine.rule"]);
    assert!(!said.contains("nothing asks"), "{said}");
}

/// What is exported holds the layers, and they are found there by plans that are held against that folder.
#[test]
fn exported_layers_are_found_by_name() {
    let folder = Folder::new("export");
    let (status, _, said) = folder.run(&["rules", "export", "mine"]);
    assert_eq!(status, 0, "{said}");
    assert!(folder.0.join("mine/layers/utah-gfci.rule").is_file());
    fs::write(folder.0.join("a.shop"), PLAN.replace("amended by pine", "amended by utah-gfci")).unwrap();
    for more in [&[][..], &["--rules", "mine"]] {
        let (_, text, said) = folder.run(&[&["check", "a.shop"], more].concat());
        assert!(text.contains("With the amendments of State of Utah, GFCI."), "{text}\n{said}");
    }
    let (status, text, said) = folder.run(&["rules", "check", "--layer", "mine/layers/louisburg.rule", "--strict"]);
    assert_eq!(status, 0, "{text}\n{said}");
    assert!(text.contains("every example comes out as it says") && text.contains("(100.0 percent)"), "{text}");
}

/// A layer past any size is refused, not read to its end.
#[test]
fn a_layer_of_any_size_ends_soon() {
    let folder = Folder::new("large");
    fs::write(folder.0.join("pine.rule"), "# x\n".repeat(100_000)).unwrap();
    fs::write(folder.0.join("a.shop"), PLAN).unwrap();
    let (status, _, said) = folder.run(&["check", "--layer", "pine.rule", "a.shop"]);
    assert_eq!(status, 2);
    assert!(said.contains("this file is too large for a rule file"), "{said}");
}
