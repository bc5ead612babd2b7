//! Every block of the rule manual marked as a rule is one: it is read, and runs where rules run.

use ringout::law;
use ringout::selftest;
use ringout::text::{Sources, Span};

const MANUAL: &str = include_str!("../rules/README.md");

/// The fenced blocks of a mark, `rule` or `layer`, each behind as many empty lines as stand before it in the
/// manual, so that a place in one is a place in the manual.
fn blocks(fence: &str) -> Vec<String> {
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
            None if line == format!("```{fence}") => open = Some("\n".repeat(number + 1)),
            None if ["```rule", "```layer", "```"].contains(&line) => {}
            None => assert!(!line.starts_with("```"), "line {}: a fence without a known name", number + 1),
        }
    }
    assert!(open.is_none(), "the last block is not closed");
    blocks
}

#[test]
fn every_block_is_read() {
    let blocks = blocks("rule");
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

/// Each layer of the manual goes over the built-in pack, comes out as its examples say, and shows each of its edits.
#[test]
fn every_layer_runs() {
    let blocks = blocks("layer");
    assert!(!blocks.is_empty());
    let mut sources = Sources::default();
    let mut pack = law::builtin(&mut sources);
    law::builtin_examples(&mut pack);
    for block in blocks {
        let file = sources.add("rules/README.md", block.clone());
        let (layer, mut problems) = law::read_layer(file, &block);
        let layer = layer.unwrap();
        let amended = law::layer::amend(&pack, std::slice::from_ref(&layer));
        problems.extend(amended.problems);
        problems.extend(law::compile(&amended.pack).1.into_iter().filter(|p| p.span.file == file));
        problems.extend(selftest::run_layer(&pack, &layer, &[]).into_iter().filter_map(|outcome| outcome.failure));
        for problem in &problems {
            let place = sources.place(problem.span);
            println!("{}:{}: {} ({:?})", place.file, place.line, problem.message, problem.help);
        }
        assert!(problems.is_empty());
        let strictness = selftest::layer_strictness(&pack, &layer, &[]);
        assert!(strictness.tried > 0 && strictness.unnoticed.is_empty(), "{:?}", strictness.unnoticed);
    }
}

/// Each verb, each line of a head and each part that an edit takes is explained.
#[test]
fn every_word_of_a_layer_is_explained() {
    let words = law::LAYER_WORDS;
    assert!(words.len() > 20);
    for word in words {
        let is_there = MANUAL.contains(&format!("`{word} "))
            || MANUAL.contains(&format!("`{word}`"))
            || MANUAL.contains(&format!(" {word} "));
        assert!(is_there, "`{word}` is not in the manual");
    }
}
