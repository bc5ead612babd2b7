//! Every plan of this repository is read without a problem, line for line.

#![allow(clippy::unwrap_used, clippy::panic)] // A test fails by panicking.

use ringout::plan;
use ringout::plan::syntax::{Phrase, Token};
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

/// In plans that are written as the language has it, no word is taken for an owner's spelling of
/// another: every token is what stands at its place. (`and` may join names, and a colon or quotes stand apart.)
#[test]
fn no_right_word_is_rewritten() {
    for path in plans() {
        let text = plan::decode(FileId(0), std::fs::read(&path).unwrap()).unwrap();
        let plan = plan::read(FileId(0), &text);
        let mut tokens = Vec::new();
        for item in &plan.items {
            tokens.extend(&item.head);
            item.lines.iter().for_each(|line| gather(&line.phrases, &mut tokens));
        }
        for token in tokens {
            let typed = text[token.span.start as usize..token.span.end as usize].trim_matches('"');
            assert_eq!(typed, token.text, "{}", path.display());
        }
    }
}

fn gather<'p>(phrases: &'p [Phrase], to: &mut Vec<&'p Token>) {
    for phrase in phrases {
        to.extend(&phrase.tokens);
        gather(phrase.owned.as_deref().unwrap_or(&[]), to);
    }
}
