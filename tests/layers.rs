//! Real local amendments as layers over the built-in pack: each comes out as its examples say, with
//! it and without it, and each of its edits, bounds and guards is noticed by one.

use ringout::law::syntax::layer::Layer;
use ringout::law::{self, syntax::Pack};
use ringout::report::problems::at;
use ringout::selftest;
use ringout::text::Sources;
use std::fs;
use std::path::PathBuf;

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
    assert!(tried > 2 * layers.len());
    assert_eq!(asleep, 0, "of {tried} changes");
}
