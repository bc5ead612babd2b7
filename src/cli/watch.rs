//! `ringout check --watch`.
//!
//! The files are looked at twice a second. Editors save by writing beside and renaming, and shared
//! disks tell of no change at all; a look at some dozens of files costs nothing and sees both.

use super::args::Check;
use super::check::{self, Done};
use super::{End, files, output};
use ringout::law::verdict::Outcome;
use ringout::packs;
use ringout::report::printable;
use ringout::shelf::Shelf;
use std::collections::BTreeMap;
use std::fs;
use std::io::{self, IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

/// Between two looks.
const PAUSE: Duration = Duration::from_millis(500);
/// More changes than this are counted, not named.
const MOST_NAMED: usize = 4;

/// Checks, and checks again whenever a file changes. Ends with the program.
pub fn run(args: &Check) -> End {
    let out = io::stdout();
    let is_terminal = out.is_terminal();
    let wait = || {
        std::thread::sleep(PAUSE);
        true
    };
    watch(args, wait, &mut out.lock(), is_terminal)
}

/// What a file looked like: when it was written, and how long it is; none where it can't be seen.
type Stamp = (PathBuf, Option<(SystemTime, u64)>);

/// The verdict of each rule at each item of each plan.
type Verdicts = BTreeMap<(String, String, String), Outcome>;

/// Goes on until `wait` says no.
fn watch(args: &Check, mut wait: impl FnMut() -> bool, out: &mut impl Write, is_terminal: bool) -> End {
    let mut rules: Option<(Shelf, bool)> = None;
    let mut of_rules: Option<Vec<Stamp>> = None;
    let mut shown: Option<(String, Verdicts)> = None;
    loop {
        let now = (rule_stamps(args), stamps(args.plans.iter().cloned()));
        if of_rules.as_ref() != Some(&now.0) {
            rules = files::shelf(&args.judging.source).map(|shelf| {
                let are_read = check::are_read(&shelf, args);
                (shelf, are_read)
            });
            of_rules = Some(now.0.clone());
        }
        let mut end = End::Wrong;
        if let Some((rules, are_read)) = &rules {
            let all = check::each(args, rules);
            end = if *are_read { check::end(args, &all) } else { End::Wrong };
            let text = check::document(args, &all).unwrap_or_else(|error| format!("no report: {error}\n"));
            let verdicts = verdicts(&all, shown.as_ref().map(|(_, v)| v));
            let line = match &shown {
                None => "Watching; Ctrl-C ends.".to_string(),
                Some((_, before)) => changes(before, &verdicts, args.plans.len() > 1),
            };
            // While a plan can't be read, which is said where errors go, its last report stays.
            let is_new = all.iter().all(Option::is_some) && shown.as_ref().is_none_or(|(before, _)| *before != text);
            // A reader that stopped reading ends the watch.
            let shown_now = show(out, (is_new && !args.printing.quiet).then_some(&text), &line, is_terminal);
            if shown_now.is_err() {
                return if output::is_printed(shown_now) { end } else { End::Wrong };
            }
            shown = Some((text, verdicts));
        }
        if !until_changed(args, &now, &mut wait) {
            return end;
        }
    }
}

/// Waits for a change, and then until a whole pause goes by without a further one.
fn until_changed(args: &Check, seen: &(Vec<Stamp>, Vec<Stamp>), wait: &mut impl FnMut() -> bool) -> bool {
    let mut last = None;
    loop {
        if !wait() {
            return false;
        }
        let now = (rule_stamps(args), stamps(args.plans.iter().cloned()));
        if now != *seen && last.as_ref() == Some(&now) {
            return true;
        }
        last = Some(now);
    }
}

fn stamps(paths: impl Iterator<Item = PathBuf>) -> Vec<Stamp> {
    let stamp = |path: &Path| fs::metadata(path).and_then(|m| Ok((m.modified()?, m.len()))).ok();
    paths.map(|path| (path.clone(), stamp(&path))).collect()
}

fn rule_stamps(args: &Check) -> Vec<Stamp> {
    let source = &args.judging.source;
    let folder = source.rules.as_deref();
    let files = folder.and_then(|folder| packs::files(folder).ok()).unwrap_or_default();
    // Layers that plans name may stand in the pack's folder of layers, or beside a plan: every rule
    // file there is looked at, also one that is only just being written.
    let beside = args.plans.iter().filter_map(|plan| plan.parent()).map(Path::to_path_buf);
    let folders = folder.map(|folder| folder.join("layers")).into_iter().chain(beside);
    let layers = folders.flat_map(|folder| packs::layers(&folder));
    let mut files: Vec<PathBuf> = files.into_iter().chain(source.layer.iter().cloned()).chain(layers).collect();
    files.sort();
    files.dedup();
    stamps(files.into_iter())
}

/// The verdicts now. Those of a plan that can't be read just now stay as they were.
fn verdicts(all: &[Option<Done>], before: Option<&Verdicts>) -> Verdicts {
    let mut verdicts = Verdicts::new();
    for report in all.iter().flatten().map(|done| &done.report) {
        for finding in &report.findings {
            let about: Vec<&str> = finding.about.iter().map(|a| a.name.as_str()).collect();
            verdicts.insert((report.plan.clone(), finding.rule.to_string(), about.join(", ")), finding.verdict);
        }
    }
    if all.iter().any(Option::is_none) {
        for (key, outcome) in before.into_iter().flatten() {
            let is_read = all.iter().flatten().any(|done| done.report.plan == key.0);
            if !is_read {
                verdicts.insert(key.clone(), *outcome);
            }
        }
    }
    verdicts
}

/// `gfci-125v at R1: attention, now pass`: what is different, in one line; what needs attention first.
fn changes(before: &Verdicts, now: &Verdicts, are_several: bool) -> String {
    let word = |outcome: Option<&Outcome>| match outcome {
        Some(Outcome::Attention) => "attention",
        Some(Outcome::Unknown) => "unknown",
        Some(Outcome::Pass) => "pass",
        Some(Outcome::NotApplicable) | None => "not met",
    };
    let mut all: Vec<(bool, String)> = Vec::new();
    let mut keys: Vec<_> = before.keys().chain(now.keys()).collect();
    keys.sort();
    keys.dedup();
    for key in keys {
        let (was, is) = (word(before.get(key)), word(now.get(key)));
        if was != is {
            let plan = if are_several { format!("{}: ", key.0) } else { String::new() };
            let text = format!("{plan}{} at {}: {was}, now {is}", key.1, key.2);
            all.push((was != "attention" && is != "attention", text));
        }
    }
    all.sort();
    let more = all.len().saturating_sub(MOST_NAMED);
    let mut named: Vec<String> = all.into_iter().take(MOST_NAMED).map(|(_, text)| text).collect();
    if named.is_empty() {
        return "Changed; every verdict is as it was.".into();
    }
    if more > 0 {
        named.push(format!("{more} more"));
    }
    format!("Changed: {}.", named.join("; "))
}

/// On a terminal a new report takes the old one's place; elsewhere it follows. The line comes last.
fn show(out: &mut impl Write, text: Option<&String>, line: &str, is_terminal: bool) -> io::Result<()> {
    if let Some(text) = text {
        if is_terminal {
            out.write_all(b"\x1b[H\x1b[2J\x1b[3J")?;
        }
        out.write_all(text.as_bytes())?;
        out.write_all(b"\n")?;
    }
    out.write_all(printable(line).as_bytes())?;
    out.write_all(b"\n")?;
    out.flush()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cli::args::{Command, Ringout};
    use clap::Parser;

    const SHIPPED: &str = include_str!("../../examples/larkspur.shop");
    const SHALLOW: &str = "stretch 24 ft: 1 in PVC-40, buried 16 in, under drive";

    fn args(words: &[&str]) -> Check {
        let words = ["ringout", "check", "--watch"].iter().chain(words);
        match Ringout::parse_from(words).command {
            Command::Check(args) => args,
            other => panic!("{other:?}"),
        }
    }

    /// Runs the watch; each step of the script is a look, and those with text write it to the plan first.
    fn watched(name: &str, script: &[Option<&str>], is_terminal: bool, more: &[&str]) -> (String, End) {
        let folder = std::env::temp_dir().join(format!("ringout-watch-{name}-{}", std::process::id()));
        fs::create_dir_all(&folder).unwrap();
        let plan = folder.join("my.shop");
        fs::write(&plan, SHIPPED).unwrap();
        let shown = plan.display().to_string();
        let args = args(&[&[shown.as_str()], more].concat());
        let mut steps = script.iter();
        let mut out = Vec::new();
        let wait = || match steps.next() {
            None => false,
            Some(None) => true,
            Some(Some("")) => fs::remove_file(&plan).is_ok(),
            Some(Some(text)) => fs::write(&plan, text).is_ok(),
        };
        let end = watch(&args, wait, &mut out, is_terminal);
        fs::remove_dir_all(&folder).unwrap();
        (String::from_utf8(out).unwrap().replace(&format!("{}/", folder.display()), ""), end)
    }

    #[test]
    fn a_change_is_checked_and_told_in_one_line() {
        assert!(SHIPPED.contains(SHALLOW));
        let deep = SHIPPED.replace(SHALLOW, &SHALLOW.replace("16 in", "24 in"));
        let (text, end) = watched("change", &[None, Some(&deep), None, None], false, &["--quiet"]);
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(lines.len(), 2, "{text}");
        assert_eq!(lines[0], "Watching; Ctrl-C ends.");
        assert!(lines[1].contains("cover-drive at stretch 2 of F1: attention, now pass"), "{text}");
        assert_eq!(end, End::Attention, "three mistakes are left");
    }

    /// A layer that the plan names is followed like the plan: written, changed, taken away.
    #[test]
    fn a_layer_beside_the_plan_is_followed() {
        let layer = |most: &str| {
            format!(
                "layer pine \"Pine County\"\n  kind county\n  over any edition\n  status in force\n  source \"s\"\n\n\
                 change rule raceway-bends \"x\"\n  why x\n  set value most to at most {most} deg, was at most 360 deg\n"
            )
        };
        let folder = std::env::temp_dir().join(format!("ringout-watch-layer-{}", std::process::id()));
        fs::create_dir_all(&folder).unwrap();
        let plan = folder.join("my.shop");
        let text =
            "shop \"s\"\n  code NEC 2023\n  amended by pine\nbox B1, B2\nrun B1 to B2: 3/4 in EMT, 8 ft, 300 deg\n";
        fs::write(&plan, text).unwrap();
        fs::write(folder.join("pine.rule"), layer("300")).unwrap();
        let shown = plan.display().to_string();
        let args = args(&[shown.as_str(), "--quiet"]);
        let steps = [None, Some(layer("270")), None, None, Some(layer("330")), None, None];
        let mut steps = steps.into_iter();
        let mut out = Vec::new();
        let wait = || match steps.next() {
            None => false,
            Some(None) => true,
            Some(Some(text)) => fs::write(folder.join("pine.rule"), text).is_ok(),
        };
        let end = watch(&args, wait, &mut out, false);
        fs::remove_dir_all(&folder).unwrap();
        let text = String::from_utf8(out).unwrap();
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(lines.len(), 3, "{text}");
        assert!(lines[1].contains("raceway-bends at B1 to B2: pass, now attention"), "{text}");
        assert!(lines[2].contains("raceway-bends at B1 to B2: attention, now pass"), "{text}");
        assert_eq!(end, End::Fine);
    }

    /// Nothing is printed while nothing changes, and a change of a comment leaves the report alone.
    #[test]
    fn the_screen_stays_calm() {
        let (text, _) = watched("calm", &[None, None, None], true, &[]);
        assert_eq!(text.matches("Watching").count(), 1);
        assert_eq!(text.matches("\x1b[2J").count(), 1);
        let comment = SHIPPED.replacen("# Larkspur Lane", "# The Larkspur Lane", 1);
        let (text, _) = watched("comment", &[Some(&comment), None, None], true, &[]);
        assert_eq!(text.matches("\x1b[2J").count(), 1, "the report is not drawn again");
        assert!(text.ends_with("Changed; every verdict is as it was.\n"), "{text}");
    }

    /// An editor that takes the file away and writes it anew is waited for; a plan that stays away is said.
    #[test]
    fn a_plan_that_goes_and_comes_back_is_read_again() {
        let (text, end) = watched("back", &[Some(""), Some(SHIPPED), None, None], false, &["--quiet"]);
        assert_eq!(text, "Watching; Ctrl-C ends.\nChanged; every verdict is as it was.\n");
        assert_eq!(end, End::Attention);
        let (text, end) = watched("away", &[Some(""), None, None], false, &["--quiet"]);
        assert_eq!(text, "Watching; Ctrl-C ends.\nChanged; every verdict is as it was.\n");
        assert_eq!(end, End::Wrong);
    }
}
