//! Every plan of this repository is read without a problem, line for line.

use ringout::plan;
use ringout::text::FileId;
use std::path::PathBuf;

fn plans() -> Vec<PathBuf> {
    let root = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    let mut found: Vec<PathBuf> = ["examples", "tests/cases/scenarios"]
        .iter()
        .flat_map(|dir| std::fs::read_dir(root.join(dir)).unwrap())
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "shop"))
        .collect();
    found.sort();
    found
}

/// The demo plans and 200 states of 110 real situations, written by people who had only the
/// language's description, hold no line that the reader gives up.
#[test]
fn every_plan_is_read() {
    let plans = plans();
    assert_eq!(plans.len(), 203, "a plan was added or lost");
    let mut wrong = Vec::new();
    for path in plans {
        let text = plan::decode(FileId(0), std::fs::read(&path).unwrap()).unwrap();
        let plan = plan::read(FileId(0), &text);
        for problem in &plan.problems {
            let at = problem.span.start as usize;
            let line = text[..at].matches('\n').count() + 1;
            wrong.push(format!("{}:{line}: {} ({:?})", path.display(), problem.message, problem.help));
        }
        assert!(plan.unread.len() <= plan.problems.len(), "{}: unread without a problem", path.display());
        assert!(!plan.items.is_empty(), "{}: no item", path.display());
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
