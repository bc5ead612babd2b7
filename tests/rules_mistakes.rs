//! A pack full of mistakes: each is told at its line, and nothing else is.

use ringout::law::{self, Demands};
use ringout::text::Sources;
use std::collections::BTreeMap;
use std::path::Path;

/// What is said of each line, by number; what a line expects stands behind `#!`, parted by `; `.
fn expected(text: &str) -> BTreeMap<u32, Vec<String>> {
    let lines = text.lines().enumerate().filter_map(|(place, line)| Some((place as u32 + 1, line.split_once("#!")?.1)));
    lines.map(|(line, said)| (line, said.trim().split("; ").map(str::to_string).collect())).collect()
}

#[test]
fn each_mistake_is_told_at_its_line() {
    let path = Path::new("tests/cases/rules/mistakes.rule");
    let text = std::fs::read_to_string(path).unwrap();
    let mut sources = Sources::default();
    let file = sources.add(path.display().to_string(), text.clone());
    let (pack, slips) = law::read(file, &text);
    assert!(slips.is_empty(), "the reader has nothing to say: {slips:?}");
    let (code, problems) = law::compile_with(&pack, Demands { strict_files: 1, examples: false });

    let mut wanted = expected(&text);
    let count: usize = wanted.values().map(Vec::len).sum();
    assert!(count >= 20, "{count} mistakes");
    let mut strangers = Vec::new();
    for problem in &problems {
        let line = sources.place(problem.span).line;
        let here = wanted.entry(line).or_default();
        match here.iter().position(|said| problem.message.contains(said)) {
            Some(place) => drop(here.remove(place)),
            None => strangers.push(format!("{line}: {}", problem.message)),
        }
    }
    let missed: Vec<String> =
        wanted.iter().flat_map(|(line, said)| said.iter().map(move |said| format!("{line}: {said}"))).collect();
    assert!(
        strangers.is_empty() && missed.is_empty(),
        "not expected:\n{}\nnot told:\n{}",
        strangers.join("\n"),
        missed.join("\n")
    );
    let left: Vec<&str> = code.rules.iter().map(|rule| rule.name.as_str()).collect();
    assert!(left.is_empty(), "a rule with a mistake judges nothing: {left:?}");
}
