//! The model of every example plan and scenario.

use ringout::plan;
use ringout::shop;
use ringout::text::Sources;
use ringout::words::Vocabulary;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

fn plans() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut all: Vec<PathBuf> = ["tests/cases/scenarios", "examples"]
        .iter()
        .flat_map(|dir| fs::read_dir(root.join(dir)).into_iter().flatten().flatten())
        .map(|entry| entry.path())
        .filter(|path| path.extension().is_some_and(|e| e == "shop"))
        .collect();
    all.sort();
    all
}

/// Every plan that people wrote is understood, phrase by phrase.
#[test]
fn every_plan_is_understood() {
    let vocabulary = Arc::new(Vocabulary::core());
    let mut count = 0;
    let mut faults = Vec::new();
    for path in plans() {
        let text = fs::read_to_string(&path).unwrap();
        let mut sources = Sources::default();
        let file = sources.add(path.file_name().unwrap().to_string_lossy(), text.clone());
        let shop = shop::build(&plan::read(file, &text), &[], &[], vocabulary.clone());
        for problem in &shop.problems {
            let place = sources.place(problem.span);
            let help = problem.help.as_deref().unwrap_or("");
            faults.push(format!("{}:{}:{}: {} ({help})", place.file, place.line, place.column, problem.message));
        }
        count += 1;
    }
    assert!(count >= 200, "only {count} plans were found");
    assert!(faults.is_empty(), "{} problems:\n{}", faults.len(), faults.join("\n"));
}
