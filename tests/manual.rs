//! The manual of the plan language, `grammar/README.md`, is run: what it shows is read, what it
//! says is refused is refused, and every phrase of its tables is understood.
//!
//! Pieces in the manual name things that stand elsewhere; [`STAGE`] brings those that they leave out.

#![allow(clippy::unwrap_used, clippy::panic)] // A test fails by panicking.

use ringout::law;
use ringout::plan;
use ringout::plan::syntax::{Item, Keyword};
use ringout::shop;
use ringout::text::{FileId, Problem, Sources};
use ringout::words::Vocabulary;
use std::collections::HashSet;
use std::sync::{Arc, OnceLock};

const MANUAL: &str = include_str!("../grammar/README.md");

/// What pieces may name without saying what it is.
const STAGE: &[(&str, &str)] = &[
    ("P1", "panel P1"),
    ("P2", "panel P2"),
    ("F1", "feeder F1 from house to P1"),
    ("C1", "circuit C1 from P1"),
    ("C2", "circuit C2 from P1"),
    ("C3", "circuit C3 from P1"),
    ("B1", "box B1"),
    ("B2", "box B2"),
    ("B3", "box B3"),
    ("B9", "box B9"),
    ("N1", "run N1 from P1 to B1"),
    ("R1", "receptacle R1"),
    ("R2", "receptacle R2"),
    ("R3", "receptacle R3"),
    ("R4", "receptacle R4"),
    ("W1", "receptacle W1"),
    ("S1", "switch S1"),
    ("S2", "switch S2"),
    ("S3", "switch S3"),
    ("L1", "light L1"),
    ("L2", "light L2"),
    ("M1", "equipment M1"),
    ("M2", "equipment M2"),
    ("D1", "disconnect D1"),
    ("E1", "electrode E1"),
    ("G1", "device G1: blank GFCI"),
    ("K1", "cord K1"),
    ("loft", "area loft"),
    ("north", "door north: walk door, at grade"),
];

/// A fenced block: its kind, its text, and its first line in the manual.
struct Block {
    kind: &'static str,
    text: String,
    line: usize,
    /// The heading that it stands under.
    heading: &'static str,
}

fn blocks() -> Vec<Block> {
    let mut blocks = Vec::new();
    let mut open: Option<Block> = None;
    let mut heading = "";
    for (number, line) in MANUAL.lines().enumerate() {
        match (line.strip_prefix("```"), &mut open) {
            (Some(kind), None) => open = Some(Block { kind, text: String::new(), line: number + 2, heading }),
            (Some(_), Some(_)) => blocks.extend(open.take()),
            (None, Some(block)) => block.text += &format!("{line}\n"),
            (None, None) if line.starts_with('#') => heading = line,
            (None, None) => {}
        }
    }
    assert!(open.is_none(), "a block of the manual is not closed");
    blocks
}

/// Everything that is wrong with a piece, with the rest of the shop around it.
fn problems(text: &str) -> Vec<Problem> {
    let own = plan::read(FileId(0), text);
    let mut defined: HashSet<String> = own.items.iter().flat_map(names).collect();
    // What the stage brings stands behind the piece, so that places stay; it may name more of the stage.
    let mut whole = format!("{}\n", text.trim_end_matches('\n'));
    while let Some((tag, line)) = STAGE.iter().find(|(tag, _)| !defined.contains(*tag) && is_word_of(tag, &whole)) {
        defined.insert(tag.to_string());
        whole += &format!("{line}\n");
    }
    let plan = plan::read(FileId(0), &whole);
    let mut all = plan.problems.clone();
    all.extend(shop::build(&plan, &[], &[], vocabulary()).problems);
    all
}

/// The words of the built-in rules, facts that they declare included.
fn vocabulary() -> Arc<Vocabulary> {
    static WORDS: OnceLock<Arc<Vocabulary>> = OnceLock::new();
    WORDS.get_or_init(|| law::compile(&law::builtin(&mut Sources::default())).0.vocabulary.clone()).clone()
}

fn is_word_of(word: &str, text: &str) -> bool {
    text.split(|c: char| !c.is_alphanumeric()).any(|w| w == word)
}

/// The names that an item gives; a range is spelled out far enough for the stage.
fn names(item: &Item) -> Vec<String> {
    let gives = match item.keyword {
        Keyword::Run => item.head.iter().any(|t| t.is("from")),
        Keyword::Pulled => false,
        other => ringout::words::Kind::named(other.text()).is_some(),
    };
    let mut names: Vec<String> = Vec::new();
    for token in item.head.iter().filter(|_| gives) {
        match token.text.as_str() {
            "from" | "by" => break,
            "to" if matches!(item.keyword, Keyword::Feeder | Keyword::Circuit) => break,
            "to" => {
                let letters =
                    names.last().map(|n| n.trim_end_matches(char::is_numeric).to_string()).unwrap_or_default();
                names.extend((1..=9).map(|n| format!("{letters}{n}")));
            }
            "," => {}
            name => names.push(name.to_string()),
        }
    }
    names
}

fn said(problem: &Problem) -> String {
    format!("{} ({})", problem.message, problem.help.as_deref().unwrap_or(""))
}

#[test]
fn what_the_manual_shows_is_read() {
    let mut wrong = Vec::new();
    let mut count = 0;
    for block in blocks().iter().filter(|b| b.kind == "shop") {
        count += 1;
        let found = problems(&block.text);
        wrong.extend(found.iter().map(|p| {
            let mut sources = Sources::default();
            sources.add("manual", block.text.clone());
            let line = block.line + sources.place(p.span).line as usize - 1;
            format!("grammar/README.md:{line} {}: {}", block.heading, said(p))
        }));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(count >= 30, "only {count} blocks");
}

/// In a refused block, `#!` at the end of a line holds a piece of the problem that the line gets;
/// lines without it get none.
#[test]
fn what_the_manual_refuses_is_refused() {
    let mut wrong = Vec::new();
    let mut count = 0;
    for block in blocks().iter().filter(|b| b.kind == "shop-refused") {
        let mut sources = Sources::default();
        sources.add("manual", block.text.clone());
        let found = problems(&block.text);
        for (number, line) in block.text.lines().enumerate() {
            let here: Vec<String> =
                found.iter().filter(|p| sources.place(p.span).line as usize == number + 1).map(said).collect();
            let place = format!("grammar/README.md:{}", block.line + number);
            match line.split_once("#! ") {
                Some((_, wanted)) => {
                    count += 1;
                    if !here.iter().any(|p| p.contains(wanted)) {
                        wrong.push(format!("{place}: wanted `{wanted}`, got {here:?}"));
                    }
                }
                None if !here.is_empty() => wrong.push(format!("{place}: {here:?}")),
                None => {}
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(count >= 20, "only {count} refusals");
}

/// The first column of a table below an item's heading holds phrases of that item, parted by ` · `.
/// The item is the first line of the section's first block.
#[test]
fn every_phrase_of_the_tables_is_understood() {
    let mut wrong = Vec::new();
    let mut count = 0;
    let mut head: Option<String> = None;
    let mut is_wanted = false;
    let mut in_block = false;
    let mut in_table = false;
    for (number, line) in MANUAL.lines().enumerate() {
        if let Some(kind) = line.strip_prefix("```") {
            in_block = !in_block;
            is_wanted |= in_block && kind == "shop" && head.is_none();
        } else if in_block {
            if is_wanted && head.is_none() {
                head =
                    Some(line.split(':').next().unwrap_or(line).split('#').next().unwrap_or(line).trim().to_string());
            }
        } else if line.starts_with('#') {
            (head, is_wanted) = (None, false);
        } else if !line.starts_with('|') {
            in_table = false;
        } else if line == "| phrase | says |" {
            in_table = true;
        } else if let (true, Some(head), Some(row)) = (in_table, &head, line.strip_prefix("| `")) {
            let cell = row.split(" | ").next().unwrap_or(row);
            for phrase in cell.split(" · ").map(|p| p.trim_matches(['`', ' '])) {
                count += 1;
                let text = format!("{head}\n  {phrase}\n");
                wrong.extend(
                    problems(&text)
                        .iter()
                        .map(|p| format!("grammar/README.md:{}: {head}: `{phrase}`: {}", number + 1, said(p))),
                );
            }
        }
    }
    assert!(wrong.is_empty(), "{} of {count}:\n{}", wrong.len(), wrong.join("\n"));
    assert!(count >= 250, "only {count} phrases");
}

/// The sample plan says something about every kind of item that a first plan needs, and is tidy.
#[test]
fn the_sample_plan_is_tidy() {
    let blocks = blocks();
    let sample = blocks.iter().max_by_key(|b| b.text.len()).unwrap();
    assert_eq!(plan::tidy(&sample.text).as_deref(), Ok(sample.text.as_str()));
}

/// The manual is for everybody: it cites no section and names no folder of the makers.
#[test]
fn the_manual_cites_no_code() {
    assert!(!MANUAL.contains("shared/") && !MANUAL.contains("../trade"));
    for word in ["safe", "legal", "compliant", "approved", "will pass"] {
        let found = MANUAL.lines().position(|l| {
            l.split(|c: char| !c.is_alphabetic()).any(|w| w == word) || (word.contains(' ') && l.contains(word))
        });
        assert_eq!(found, None, "`{word}` on line {}", found.unwrap_or(0) + 1);
    }
}
