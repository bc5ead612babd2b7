//! Every rule file of the repository is read without a problem.

use ringout::law;
use ringout::text::Sources;
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

#[test]
fn no_file_has_a_problem() {
    let mut files = Vec::new();
    rule_files(Path::new("rules"), &mut files);
    let mut sources = Sources::default();
    let mut complaints = Vec::new();
    let mut defines = 0;
    for path in &files {
        let text = fs::read_to_string(path).unwrap();
        let file = sources.add(path.display().to_string(), text.clone());
        let (pack, problems) = law::read(file, &text);
        defines += pack.defines.len();
        for problem in problems {
            let place = sources.place(problem.span);
            complaints.push(format!(
                "{}:{}:{}: {} ({})",
                place.file,
                place.line,
                place.column,
                problem.message,
                problem.help.unwrap_or_default()
            ));
        }
    }
    assert!(complaints.is_empty(), "{}", complaints.join("\n"));
    assert!(files.len() >= 20 && defines >= 100, "{} files, {defines} defines", files.len());
}
