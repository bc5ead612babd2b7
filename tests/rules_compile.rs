//! The rule files of the repository compile together, held to what the built-in pack is held to.

use ringout::law::syntax::Pack;
use ringout::law::{self, Demands};
use ringout::text::{Problem, Sources};
use std::fs;
use std::path::{Path, PathBuf};

fn rule_files(folder: &Path, found: &mut Vec<PathBuf>) {
    let mut entries: Vec<_> = fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    entries.sort();
    for path in entries {
        if path.is_dir() {
            rule_files(&path, found);
        } else if path.extension().is_some_and(|e| e == "rule") {
            found.push(path);
        }
    }
}

fn read_all() -> (Sources, Pack) {
    let mut files = Vec::new();
    rule_files(Path::new("rules"), &mut files);
    let (mut sources, mut pack) = (Sources::default(), Pack::default());
    for path in &files {
        let text = fs::read_to_string(path).unwrap();
        let file = sources.add(path.display().to_string(), text.clone());
        pack.join(law::read(file, &text).0);
    }
    (sources, pack)
}

fn shown(sources: &Sources, problem: &Problem) -> String {
    let place = sources.place(problem.span);
    let help = problem.help.as_deref().unwrap_or_default();
    format!("{}:{}:{}: {} ({help})", place.file, place.line, place.column, problem.message)
}

/// Two exceptions whose examples are still to be written; the list may only shrink.
fn is_known_lack(problem: &Problem) -> bool {
    let lacks = ["`example pass except high-volts`", "`example pass except counted-outside`"];
    lacks.iter().any(|lack| problem.message.ends_with(&format!("{lack} missing")))
}

#[test]
fn the_pack_compiles() {
    let (sources, pack) = read_all();
    let demands = Demands { strict_files: sources.len() as u32, examples: true };
    let (code, problems) = law::compile_with(&pack, demands);
    let complaints = problems.iter().filter(|p| !is_known_lack(p)).map(|p| shown(&sources, p)).collect::<Vec<_>>();
    assert!(complaints.is_empty(), "{}", complaints.join("\n"));
    assert_eq!(code.tables.len(), pack.tables.len());
    assert_eq!(code.defines.len(), pack.defines.len());
    assert_eq!(code.rules.len(), pack.rules.len());
}
