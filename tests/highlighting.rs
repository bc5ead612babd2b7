//! Editors color every keyword of both languages, and take no part of a text, comment or name for one.
//!
//! The patterns keep to what editors' engine and Rust's both read (no look-around), so that this test
//! runs what an editor runs: at each place of a line the first pattern that fits earliest.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails by panicking")]

use regex::Regex;
use ringout::plan::syntax::Keyword;
use serde_json::Value;
use std::path::Path;

struct Pattern {
    scope: String,
    regex: Regex,
}

/// Every pattern that colors, in order, those behind `include` at their place.
fn patterns(grammar: &Value, list: &Value, out: &mut Vec<Pattern>) {
    for entry in list.as_array().unwrap() {
        if let Some(name) = entry["include"].as_str() {
            let Some(name) = name.strip_prefix('#') else { continue };
            let rule = &grammar["repository"][name];
            assert!(rule.is_object(), "nothing is called {name}");
            patterns(grammar, &Value::Array(vec![rule.clone()]), out);
        }
        for key in ["match", "begin", "while", "end"] {
            if let Some(text) = entry[key].as_str() {
                let regex = Regex::new(text).unwrap_or_else(|e| panic!("{text}: {e}"));
                let scope = entry["name"].as_str().unwrap_or(if key == "match" { "captures" } else { "region" });
                if key == "match" {
                    out.push(Pattern { scope: scope.to_string(), regex });
                }
            }
        }
    }
}

fn grammar(text: &str) -> Vec<Pattern> {
    let grammar: Value = serde_json::from_str(text).unwrap();
    let mut out = Vec::new();
    patterns(&grammar, &grammar["patterns"], &mut out);
    // What stands in a region is read too.
    for rule in grammar["repository"].as_object().unwrap().values() {
        patterns(&grammar, &Value::Array(vec![rule.clone()]), &mut Vec::new());
    }
    out
}

fn shop() -> Vec<Pattern> {
    grammar(include_str!("../grammar/shop.tmLanguage.json"))
}

fn rule() -> Vec<Pattern> {
    grammar(include_str!("../grammar/rule.tmLanguage.json"))
}

/// The colored pieces of a line, as an editor finds them.
fn colored<'a>(patterns: &'a [Pattern], line: &'a str) -> Vec<(&'a str, &'a str)> {
    let mut at = 0;
    let mut pieces = Vec::new();
    while at < line.len() {
        let found = patterns
            .iter()
            .filter_map(|p| p.regex.find_at(line, at).filter(|m| !m.is_empty()).map(|m| (m.start(), p, m)))
            .min_by_key(|(start, ..)| *start);
        let Some((_, pattern, piece)) = found else { break };
        pieces.push((pattern.scope.as_str(), piece.as_str()));
        at = piece.end();
    }
    pieces
}

fn is_keyword(pieces: &[(&str, &str)], word: &str) -> bool {
    pieces.iter().any(|(scope, text)| {
        let is_meant = ["keyword", "constant.language", "storage"].iter().any(|s| scope.starts_with(s));
        is_meant && text.trim() == word
    })
}

/// Words in quotes of a pest grammar: what it takes for a keyword.
fn literals(pest: &str) -> Vec<String> {
    let quoted = Regex::new(r#""([A-Za-z]{2,}(?:/[a-z]+)?)""#).unwrap();
    let mut words: Vec<String> = pest
        .lines()
        .filter(|l| !l.trim_start().starts_with("//"))
        .flat_map(|l| quoted.captures_iter(l).map(|c| c[1].to_string()))
        .collect();
    words.sort();
    words.dedup();
    words
}

#[test]
fn every_keyword_of_the_plan_language_is_colored() {
    let shop = shop();
    assert!(Keyword::ALL.len() > 25);
    for keyword in Keyword::ALL {
        let line = format!("{} X1: indoors", keyword.text());
        let pieces = colored(&shop, &line);
        assert_eq!(pieces.first(), Some(&("keyword.control.item.shop", keyword.text())), "{line}: {pieces:?}");
    }
    let words = literals(include_str!("../grammar/plan.pest"));
    assert_eq!(words, ["by", "feeds", "holds", "of", "way"], "the grammar has a new keyword");
    for line in ["  feeds R1 then R2", "  Holds R1", "  by way of B7"] {
        let pieces = colored(&shop, line);
        assert_eq!(pieces[0].0, "keyword.other.list.shop", "{line}: {pieces:?}");
    }
}

#[test]
fn every_keyword_of_the_rule_language_is_colored() {
    let rule = rule();
    let words = literals(include_str!("../grammar/rule.pest"));
    assert!(words.len() > 50, "{words:?}");
    for word in &words {
        let line = format!("    x {word} y");
        let pieces = colored(&rule, &line);
        assert!(is_keyword(&pieces, word), "{word}: {pieces:?}");
    }
    // What begins a block or a clause stands in no grammar rule; the pack itself says which there are.
    let mut seen = std::collections::BTreeSet::new();
    let mut open = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join("rules")];
    while let Some(path) = open.pop() {
        if path.is_dir() {
            open.extend(std::fs::read_dir(&path).unwrap().map(|e| e.unwrap().path()));
            continue;
        }
        if path.extension().is_none_or(|e| e != "rule") {
            continue;
        }
        let text = std::fs::read_to_string(&path).unwrap();
        let mut is_given = false;
        for line in text.lines() {
            let depth = line.len() - line.trim_start().len();
            let Some(word) = line.split_whitespace().next() else { continue };
            is_given = if depth == 0 { word == "given" } else { is_given };
            let is_word = word.chars().all(|c| c.is_ascii_lowercase());
            if !is_word || depth > 2 || (depth == 2 && is_given) {
                continue;
            }
            let pieces = colored(&rule, line);
            assert!(is_keyword(&pieces, word), "{}: {line}: {pieces:?}", path.display());
            seen.insert(word.to_string());
        }
    }
    for word in ["rule", "define", "table", "fact", "sheet", "needs", "remedy", "rows", "phrase", "means"] {
        assert!(seen.contains(word), "no rule file has {word}");
    }
}

/// What stands in quotes or behind `#` is one piece; a name with hyphens is one word.
#[test]
fn texts_comments_and_names_hold_no_keyword() {
    let (shop, rule) = (shop(), rule());
    let pieces = colored(&shop, "panel P1 \"box and run\": indoors  # feeds R1");
    assert!(pieces.contains(&("string.quoted.double.shop", "\"box and run\"")), "{pieces:?}");
    assert_eq!(pieces.last(), Some(&("comment.line.number-sign.shop", "# feeds R1")));
    let pieces = colored(&shop, "  wire #4 Cu, buried 20 in, on 2027-04-10");
    assert!(pieces.iter().all(|(scope, _)| !scope.starts_with("comment")), "{pieces:?}");
    assert!(pieces.contains(&("constant.numeric.date.shop", "2027-04-10")), "{pieces:?}");
    assert!(pieces.iter().any(|(_, text)| text.starts_with("20 in")), "{pieces:?}");
    let pieces = colored(&rule, "  needs   depth \"least of all\": s.least-cover <= s.is-in-earth # not or");
    let words: Vec<&str> = pieces.iter().filter(|(s, _)| s.starts_with("keyword.other")).map(|(_, t)| *t).collect();
    assert_eq!(words, [""; 0], "{pieces:?}");
    assert!(pieces.contains(&("variable.other.ringout-rule", "is-in-earth")), "{pieces:?}");
}

/// In every plan of this repository the comments that the editor sees are those that the reader sees.
#[test]
fn comments_of_plans_are_those_of_the_reader() {
    let shop = shop();
    let mut comments = 0;
    for name in ["larkspur", "sound", "half-known"] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("examples/{name}.shop"));
        for line in std::fs::read_to_string(path).unwrap().lines() {
            let seen = colored(&shop, line).into_iter().find(|(scope, _)| scope.starts_with("comment"));
            // Quotes come in pairs here, and no plan of these writes `#4`.
            let wanted = line.char_indices().find(|(i, c)| *c == '#' && line[..*i].matches('"').count() % 2 == 0);
            assert_eq!(seen.map(|(_, t)| t), wanted.map(|(i, _)| &line[i..]), "{line}");
            comments += usize::from(wanted.is_some());
        }
    }
    assert!(comments > 10, "{comments}");
}
