//! Terminal, JSON and SARIF give one column for one word, whatever stands before it on its line.
//!
//! JSON counts Unicode characters from 1 and its end is one past the last; SARIF says
//! `unicodeCodePoints` and counts the same; the terminal's `file:line:column` too, while its marks
//! stand under the word as it is seen. The expected columns are counted here, character by
//! character, from a mark in the text: no index of lines, no bytes.

#[path = "common/program.rs"]
mod program;

use program::RULE;
use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Lines whose marked words are too low, each with something awkward before or in between: two
/// cells wide, no cell wide, outside the first plane, joined from several characters, tabs.
const LINES: &[&str] = &[
    "panel P1: «5 in up»",
    "panel P2 \"配電盤\": «5 in up»",
    "panel P3 \"cafe\u{301} a\u{308}o\u{308}\": «5 in up»",
    "panel P4 \"🔧🔌\": «5 in up», note \"後\"",
    "panel P5 \"👩\u{200D}🔧 👍🏽 🇺🇸\": «5 in up»",
    "panel P6\t\"a\tb\":\t«5 in up»",
    "panel P7\n\tnote \"界\té\u{301}\u{327} 𝔘\", «5 in up»  # 🔧",
    "panel P8 \"שלום عربى\"\n  note \"ｆｕｌｌ\", «5\t in   up»",
    "panel P9 \"한국어 각\":\u{3000}«5\u{A0}in up»",
];

/// Line, column, end column.
type Column = (u64, u64, u64);

/// The plan without its marks, and where they stood.
fn marked(lines: &[&str], line_end: &str) -> (String, Vec<Column>) {
    let (mut plan, mut columns) = (String::new(), Vec::new());
    let all: Vec<&str> = lines.iter().flat_map(|l| l.split('\n')).collect();
    for (number, line) in (1..).zip(all) {
        let (mut column, mut start) = (1, 0);
        for c in line.chars() {
            match c {
                '«' => start = column,
                '»' => columns.push((number, start, column)),
                _ => {
                    plan.push(c);
                    column += 1;
                }
            }
        }
        plan += line_end;
    }
    (plan, columns)
}

struct Folder(PathBuf);

impl Folder {
    fn new(name: &str, plan: &str) -> Folder {
        let path = std::env::temp_dir().join(format!("ringout-columns-{name}-{}", std::process::id()));
        std::fs::create_dir_all(&path).unwrap();
        std::fs::write(path.join("one.rule"), RULE).unwrap();
        std::fs::write(path.join("wide.shop"), plan).unwrap();
        Folder(path)
    }

    fn check(&self, format: &str) -> String {
        let out = Command::new(Path::new(env!("CARGO_BIN_EXE_ringout")))
            .args(["check", "wide.shop", "--rules", ".", "--format", format])
            .current_dir(&self.0)
            .output()
            .unwrap();
        String::from_utf8(out.stdout).unwrap()
    }

    fn json(&self, format: &str) -> Value {
        serde_json::from_str(&self.check(format)).unwrap()
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

fn column(of: &Value, keys: [&str; 4]) -> Column {
    let [line, start, end_line, end] = keys.map(|key| of[key].as_u64().unwrap());
    assert_eq!(line, end_line);
    (line, start, end)
}

fn by_line(mut columns: Vec<Column>) -> Vec<Column> {
    columns.sort();
    columns
}

/// Findings.
#[test]
fn a_finding_has_one_column_in_json_and_sarif() {
    for line_end in ["\n", "\r\n"] {
        let (plan, wanted) = marked(LINES, line_end);
        assert_eq!(wanted.len(), LINES.len());
        let folder = Folder::new(if line_end == "\n" { "unix" } else { "windows" }, &plan);
        let report = folder.json("json");
        assert_eq!(report["unread"], serde_json::json!([]));
        let keys = ["line", "column", "end_line", "end_column"];
        let places = report["findings"].as_array().unwrap().iter().map(|f| column(&f["place"], keys));
        assert_eq!(by_line(places.collect()), wanted, "JSON");
        let log = folder.json("sarif");
        let run = &log["runs"][0];
        assert_eq!(run["columnKind"], "unicodeCodePoints");
        let keys = ["startLine", "startColumn", "endLine", "endColumn"];
        let regions = run["results"].as_array().unwrap().iter();
        let regions = regions.map(|r| column(&r["locations"][0]["physicalLocation"]["region"], keys));
        assert_eq!(by_line(regions.collect()), wanted, "SARIF");
    }
}

/// The terminal shows the line's number and puts the words in brackets.
#[test]
fn the_terminal_marks_the_same_words() {
    for (number, line) in LINES.iter().enumerate() {
        let (plan, wanted) = marked(&[line], "\n");
        let text = Folder::new(&format!("text-{number}"), &plan).check("text");
        // A report may show one blank for another, and shows a plain one for a tab.
        let blank = |c: char| if matches!(c, '\u{A0}' | '\t') { ' ' } else { c };
        let word: String = format!("[{}]", line.split(['«', '»']).nth(1).unwrap()).chars().map(blank).collect();
        let shown = text.lines().find(|l| l.contains(&word));
        let start = shown.and_then(|l| l.trim().strip_prefix("line ")?.split_whitespace().next()?.parse().ok());
        assert_eq!(start, Some(wanted[0].0), "{word}:\n{text}");
    }
}

/// How many cells of a terminal the marks' own characters take, for those that stand in [`LINES`] and
/// that terminals agree on.
fn cells(text: &str) -> usize {
    text.chars()
        .map(|c| match c {
            '\u{300}'..='\u{36F}' => 0,
            '\u{1100}'..='\u{115F}' | '\u{3000}'..='\u{9FFF}' | '\u{AC00}'..='\u{D7A3}' | '\u{1F300}'..='\u{1FAFF}' => {
                2
            }
            _ => 1,
        })
        .sum()
}

/// Lines that can't be read: the header's column is JSON's, the marks stand under the word.
#[test]
fn an_unread_word_has_one_column_and_its_marks_stand_under_it() {
    let lines = [
        "panel P1: «colour green»",
        "panel P2 \"配電盤 e\u{301} 🔧\": «colour green»",
        "panel P3\n  note \"界\", «colour green»",
    ];
    let (plan, wanted) = marked(&lines, "\n");
    let folder = Folder::new("unread", &plan);
    let report = folder.json("json");
    let keys = ["line", "column", "end_line", "end_column"];
    let unread = report["unread"].as_array().unwrap();
    assert_eq!(unread.iter().map(|p| column(&p["place"], keys)).collect::<Vec<_>>(), wanted);
    let log = folder.json("sarif");
    let keys = ["startLine", "startColumn", "endLine", "endColumn"];
    let told = log["runs"][0]["invocations"][0]["toolExecutionNotifications"].as_array().unwrap().iter();
    let told = told.map(|n| column(&n["locations"][0]["physicalLocation"]["region"], keys));
    assert_eq!(told.collect::<Vec<_>>(), wanted);
    let text = folder.check("text");
    for (line, start, _) in &wanted {
        assert!(text.contains(&format!("wide.shop:{line}:{start}]")), "{line}:{start}\n{text}");
    }
    let shown: Vec<&str> = text.lines().collect();
    let marks = shown.windows(2).filter(|w| w[1].contains('·') && w[0].contains('│'));
    let mut count = 0;
    for pair in marks {
        let under = pair[1].find('─').unwrap();
        let word = pair[0].find("colour green").unwrap();
        assert_eq!(cells(&pair[1][..under]), cells(&pair[0][..word]), "\n{}\n{}", pair[0], pair[1]);
        assert_eq!(pair[1].chars().filter(|c| *c == '─').count(), "colour green".len());
        count += 1;
    }
    assert_eq!(count, lines.len(), "{text}");
}
