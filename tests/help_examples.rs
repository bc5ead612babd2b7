//! Every command's `--help` ends with examples, and each of them runs as it stands there.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]
#![cfg(unix)]

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

fn program() -> &'static Path {
    Path::new(env!("CARGO_BIN_EXE_ringout"))
}

fn help(words: &[String]) -> String {
    let out = Command::new(program()).args(words).arg("--help").output().unwrap();
    assert!(out.status.success(), "{words:?}");
    String::from_utf8(out.stdout).unwrap()
}

/// The names below `Commands:`, without `help`.
fn commands(help: &str) -> Vec<String> {
    let lines = help.lines().skip_while(|l| *l != "Commands:").skip(1).take_while(|l| !l.is_empty());
    let names =
        lines.filter(|l| l.starts_with("  ") && !l.starts_with("   ")).filter_map(|l| l.split_whitespace().next());
    names.filter(|n| *n != "help").map(str::to_string).collect()
}

fn examples(help: &str) -> Vec<String> {
    let lines = help.lines().skip_while(|l| !l.starts_with("Example:")).skip(1);
    lines.map_while(|l| l.strip_prefix("  ")).map(str::to_string).collect()
}

/// A folder as an owner's: his plan, another one, and rules of his own.
fn folder(number: usize) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("ringout-examples-{}-{number}", std::process::id()));
    std::fs::create_dir_all(folder.join(".local/share/bash-completion/completions")).unwrap();
    folder
}

fn run(line: &str, folder: &Path) -> Output {
    let path = format!("{}:{}", program().parent().unwrap().display(), std::env::var("PATH").unwrap());
    Command::new("sh")
        .args(["-c", line])
        .current_dir(folder)
        .env("PATH", path)
        .env("HOME", folder)
        .stdin(Stdio::null())
        .output()
        .unwrap()
}

#[test]
fn every_example_of_every_help_runs() {
    let mut open: Vec<Vec<String>> = vec![Vec::new()];
    let mut all: Vec<String> = Vec::new();
    while let Some(words) = open.pop() {
        let text = help(&words);
        let below = commands(&text);
        let own = examples(&text);
        assert!(!own.is_empty() || words.is_empty(), "{words:?} shows no example:\n{text}");
        all.extend(own);
        open.extend(below.into_iter().map(|name| words.iter().cloned().chain([name]).collect()));
    }
    all.sort();
    all.dedup();
    assert!(all.len() > 20, "{all:?}");
    let larkspur = include_str!("../examples/larkspur.shop");
    let failed: Vec<String> = all
        .iter()
        .enumerate()
        .filter_map(|(number, line)| {
            let folder = folder(number);
            // What makes a file needs a place where there is none.
            if !line.contains("ringout new") {
                std::fs::write(folder.join("my.shop"), larkspur).unwrap();
                std::fs::write(folder.join("other.shop"), include_str!("../examples/sound.shop")).unwrap();
            }
            if line.contains("--rules my-rules") {
                assert!(run("ringout rules export my-rules", &folder).status.success());
            }
            // Watching never ends by itself.
            let out = run(&line.replace("--watch", ""), &folder);
            std::fs::remove_dir_all(&folder).unwrap();
            // 1 says that the demo plan has something to look at.
            // Whether every example of the pack comes out as it says is held by a test of its own.
            let is_counted = line.contains("rules check") && String::from_utf8_lossy(&out.stdout).contains(" examples");
            let is_well = matches!(out.status.code(), Some(0 | 1)) && out.stderr.is_empty() || is_counted;
            (!is_well).then(|| format!("{line}: {:?} {}", out.status.code(), String::from_utf8_lossy(&out.stderr)))
        })
        .collect();
    assert!(failed.is_empty(), "of {} examples:\n{}", all.len(), failed.join("\n"));
}
