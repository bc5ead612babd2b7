//! Every block of the rule manual marked as a rule is one: it is read, and runs where rules run.

use ringout::law;
use ringout::text::{Sources, Span};

const MANUAL: &str = include_str!("../rules/README.md");

/// The fenced blocks marked `rule`, each behind as many empty lines as stand before it in the
/// manual, so that a place in one is a place in the manual.
fn blocks() -> Vec<String> {
    let mut blocks = Vec::new();
    let mut open: Option<String> = None;
    for (number, line) in MANUAL.lines().enumerate() {
        match &mut open {
            Some(block) if line == "```" => {
                blocks.push(std::mem::take(block));
                open = None;
            }
            Some(block) => {
                block.push_str(line);
                block.push('\n');
            }
            None if line == "```rule" => open = Some("\n".repeat(number + 1)),
            None => assert!(!line.starts_with("```") || line == "```", "line {}: a fence without a name", number + 1),
        }
    }
    assert!(open.is_none(), "the last block is not closed");
    blocks
}

#[test]
fn every_block_is_read() {
    let blocks = blocks();
    assert!(blocks.len() >= 6, "{} blocks", blocks.len());
    let mut sources = Sources::default();
    let mut rules = 0;
    for block in blocks {
        let file = sources.add("rules/README.md", block.clone());
        let (pack, problems) = law::read(file, &block);
        rules += pack.rules.len();
        for problem in &problems {
            let place = sources.place(problem.span);
            println!("{}:{}: {} ({:?})", place.file, place.line, problem.message, problem.help);
        }
        assert!(problems.is_empty());
        assert!(pack.rules.iter().all(|rule| rule.span != Span::default()));
    }
    assert!(rules >= 2, "{rules} rules");
}

/// Each clause that the reader knows is explained.
#[test]
fn every_clause_is_explained() {
    for clause in law::RULE_CLAUSES {
        assert!(MANUAL.contains(&format!("`{clause}")), "`{clause}` is not in the manual");
    }
}
