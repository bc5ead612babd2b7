//! Every command of the program in one table, so that a fault is tried with all of them. That none is left out is
//! held against the program's own help, which comes from its definition of the command line.

#![allow(dead_code, reason = "each test file uses its part")]

use crate::program::{Folder, RULE, command, out, ringout};
use std::collections::BTreeSet;
use std::fs::File;
use std::process::{Command, Output, Stdio};

/// A command as it is typed. `PLAN` stands for a plan that is read, `TARGET` for what is written, `RULES` for a
/// folder of rules.
pub type Row = &'static [&'static str];

/// Every command, and once more for every place where a plan may be named.
pub const ALL: [Row; 28] = [
    &["check", "PLAN"],
    &["check", "--all", "--format", "json", "PLAN"],
    &["check", "--format", "sarif", "PLAN"],
    &["ask", "PLAN"],
    &["why", "PLAN", "gfci-125v"],
    &["figures", "PLAN"],
    &["wires", "PLAN"],
    &["directory", "PLAN"],
    &["packet", "PLAN", "--replace"],
    &["drawing", "PLAN"],
    &["drawing", "PLAN", "B9"],
    &["drawing", "PLAN", "--diagram", "map"],
    &["compare", "PLAN", "examples/sound.shop"],
    &["compare", "examples/sound.shop", "PLAN"],
    &["tidy", "PLAN"],
    &["tidy", "PLAN", "--check"],
    &["takeoff", "PLAN"],
    &["new", "TARGET", "--yes", "--replace"],
    &["rules", "list"],
    &["rules", "show", "gfci-125v"],
    &["rules", "show", "gfci-125v", "--for", "PLAN"],
    &["rules", "words"],
    &["rules", "check", "--rules", "RULES"],
    &["rules", "try", "gfci-125v", "PLAN"],
    &["rules", "export", "TARGET"],
    &["schema", "report"],
    &["completions", "bash"],
    &["manual"],
];

/// The one command that speaks a protocol in place of printing; its faults have tests of their own.
pub const EDITOR: Row = &["editor"];

/// What stands for the words in capitals.
pub struct Given<'a> {
    pub plan: &'a str,
    pub target: &'a str,
    pub rules: &'a str,
}

impl<'a> Given<'a> {
    pub fn plan(plan: &'a str) -> Given<'a> {
        Given { plan, target: "TARGET", rules: "RULES" }
    }

    pub fn fill(&self, row: &[&'a str]) -> Vec<&'a str> {
        let one = |word: &&'a str| match *word {
            "PLAN" => self.plan,
            "TARGET" => self.target,
            "RULES" => self.rules,
            other => other,
        };
        row.iter().map(one).collect()
    }
}

/// A plan with all sorts of things in it that is read whole and is not tidy, and a pack of one rule.
pub fn plan_and_rules(folder: &Folder) -> (String, String) {
    let plan = include_str!("../../examples/larkspur.shop").replacen("panel ", "panel   ", 1);
    std::fs::create_dir_all(folder.0.join("rules")).unwrap();
    folder.write("rules/a.rule", RULE.as_bytes());
    (folder.write("untidy.shop", plan.as_bytes()), folder.file("rules"))
}

/// The words that name the command of a row.
pub fn name(row: Row) -> Vec<&'static str> {
    row.iter().take(if row[0] == "rules" { 2 } else { 1 }).copied().collect()
}

pub fn help(name: &[&str]) -> String {
    out(&ringout(&[name, &["--help"]].concat(), ""))
}

/// Commands that read a plan.
pub fn readers() -> impl Iterator<Item = Row> {
    ALL.into_iter().filter(|row| row.contains(&"PLAN"))
}

/// Those that understand it: `tidy` looks at its words alone.
pub fn judges() -> impl Iterator<Item = Row> {
    readers().filter(|row| row[0] != "tidy")
}

/// Commands that take an option, by their own help.
pub fn takers(option: &str) -> Vec<Row> {
    let option = format!("{option} <");
    ALL.into_iter().filter(|row| help(&name(row)).contains(&option)).collect()
}

/// Commands that write a file, with `TARGET` for it.
pub fn writers() -> Vec<Vec<&'static str>> {
    let made = ALL.into_iter().filter(|row| row[0] == "new").map(<[_]>::to_vec);
    takers("--output").into_iter().map(|row| [row, &["--output", "TARGET"]].concat()).chain(made).collect()
}

/// Commands that go by rules, with these in place of the built-in ones.
pub fn ruled<'a>(rules: &'a str, plan: &'a str) -> Vec<Vec<&'a str>> {
    let given = Given { plan, target: "TARGET", rules };
    let with = |row: Row| {
        if row.contains(&"--rules") { given.fill(row) } else { [&given.fill(row)[..], &["--rules", rules]].concat() }
    };
    takers("--rules").into_iter().map(with).collect()
}

/// Runs a command with a file for its standard input.
pub fn fed(args: &[&str], input: &str) -> Output {
    command(args).stdin(File::open(input).unwrap()).output().unwrap()
}

/// Runs a command without an input, with standard output going elsewhere.
pub fn into(args: &[&str], to: impl Into<Stdio>) -> Output {
    command(args).stdin(Stdio::null()).stdout(to).output().unwrap()
}

/// Runs a copy of the program without the rights of whoever administers the machine, which know no limits.
#[cfg(unix)]
pub fn as_nobody(folder: &Folder, args: &[&str]) -> Output {
    use std::os::unix::fs::PermissionsExt;
    use std::os::unix::process::CommandExt;
    let copy = folder.0.join("ringout");
    if !copy.exists() {
        std::fs::copy(env!("CARGO_BIN_EXE_ringout"), &copy).unwrap();
        std::fs::set_permissions(&copy, std::fs::Permissions::from_mode(0o755)).unwrap();
    }
    let run = |command: &mut Command| {
        command.args(args).current_dir(env!("CARGO_MANIFEST_DIR")).stdin(Stdio::null()).output()
    };
    // Only an administrator may become somebody else; anybody else has no such rights to give up.
    match run(Command::new(&copy).uid(65_534).gid(65_534)) {
        Err(error) if error.kind() == std::io::ErrorKind::PermissionDenied => run(&mut Command::new(&copy)).unwrap(),
        other => other.unwrap(),
    }
}

/// A fault was said: status 2, the words wanted, no number that says nothing, no panic.
pub fn is_said(output: &Output, wanted: &str, what: &str) {
    let said = format!("{}{}", String::from_utf8_lossy(&output.stderr), String::from_utf8_lossy(&output.stdout));
    let begin: String = said.chars().take(2_000).collect();
    assert_eq!(output.status.code(), Some(2), "{what}:\n{begin}");
    assert!(said.to_lowercase().contains(&wanted.to_lowercase()), "{what}: `{wanted}` is not said:\n{begin}");
    assert!(!said.contains("panicked") && !said.contains("os error"), "{what}:\n{begin}");
    assert!(output.stderr.len() < 100_000, "{what}: {} bytes of complaint", output.stderr.len());
}

/// The commands that the help names, down to those that have none below.
fn named_by_help(above: &[String]) -> Vec<Vec<String>> {
    let words: Vec<&str> = above.iter().map(String::as_str).collect();
    let text = help(&words);
    let Some((_, list)) = text.split_once("\nCommands:\n") else { return vec![above.to_vec()] };
    let lines = list.lines().take_while(|line| !line.is_empty()).filter_map(|line| line.strip_prefix("  "));
    let names = lines.filter(|line| !line.starts_with(' ')).filter_map(|line| line.split(' ').next());
    names
        .filter(|name| *name != "help")
        .flat_map(|name| named_by_help(&[above, &[name.to_string()]].concat()))
        .collect()
}

/// Whether the table has every command, every place for a plan, and every option that takes a path.
pub fn holds_every_command() {
    let wanted: BTreeSet<Vec<String>> = named_by_help(&[]).into_iter().collect();
    assert!(wanted.len() > 20, "the help is read wrongly: {wanted:?}");
    let rows: Vec<Row> = ALL.into_iter().chain([EDITOR]).collect();
    let found: BTreeSet<Vec<String>> =
        rows.iter().map(|row| name(row).iter().map(|word| word.to_string()).collect()).collect();
    assert_eq!(wanted, found, "a command is in the help or in the table of faults, not in both");
    for command in &wanted {
        let words: Vec<&str> = command.iter().map(String::as_str).collect();
        let own: Vec<Row> = rows.iter().copied().filter(|row| name(row) == words).collect();
        let text = help(&words);
        let usage = text.lines().find_map(|line| line.strip_prefix("Usage: ringout ")).unwrap();
        let places = usage.split_whitespace().filter(|w| w.starts_with(['<', '[']) && !w.starts_with("[OPTIONS"));
        for (at, place) in places.enumerate() {
            let stands_for = match place.trim_matches(['<', '>', '[', ']', '.']) {
                "PLAN" | "OTHER" => "PLAN",
                "NAME" | "DIR" => "TARGET",
                _ => continue,
            };
            let has = |row: &Row| row.get(words.len() + at) == Some(&stands_for);
            assert!(own.iter().any(has), "no row of {command:?} has {stands_for} for {place}");
        }
        for option in text.lines().filter_map(|line| line.trim_start().split_once("--")).map(|(_, rest)| rest) {
            match option.split_once(" <") {
                Some((name, "PLAN>")) => {
                    let option = format!("--{name}");
                    let has = |row: &Row| row.windows(2).any(|pair| pair == [option.as_str(), "PLAN"]);
                    assert!(own.iter().any(has), "no row of {command:?} has {option} PLAN");
                }
                Some((name, "FILE>" | "DIR>")) => {
                    assert!(["output", "layer", "rules"].contains(&name), "no fault is tried with --{name}");
                }
                _ => {}
            }
        }
    }
}
