//! Files in: plans, and rules in place of the built-in ones.

use super::args::{Printing, RuleSource};
use super::output;
use ringout::Rules;
use ringout::plan;
use ringout::report::problems;
use ringout::shelf::Shelf;
use ringout::text::{FileId, Problem, Severity, Sources};
use std::fs;
use std::io::{self, Read};
use std::path::Path;
use std::sync::Arc;

/// More than this is no plan: whoever names such a file means another.
const LARGEST: u64 = 4 << 20;

/// A plan that was read: what to call it, and its text.
pub struct Input {
    pub name: String,
    pub text: String,
}

/// The pack to use, with the layers of the command line. Says here what can't be read; none where
/// there is no pack at all, or a layer is missing.
pub fn shelf(source: &RuleSource) -> Option<Shelf> {
    match (Shelf::open(source.rules.as_deref(), &source.layer), &source.rules) {
        // The path is the wrong one, or all is a comment there: against no rule every plan would pass.
        (Ok(shelf), Some(path)) if shelf.is_empty() => {
            output::complain(&format!("can't read the rules: {}: nothing is defined here", path.display()));
            None
        }
        (Ok(shelf), _) => Some(shelf),
        (Err(error), _) => {
            output::complain(&format!("can't read the rules: {error}"));
            None
        }
    }
}

/// The rules for no plan in particular, and whether every line of them could be read. Problems are
/// shown here, those of layers too.
pub fn rules(source: &RuleSource, printing: &Printing) -> Option<(Arc<Rules>, bool)> {
    let rules = shelf(source)?.rules();
    let are_read = are_read(&rules, printing);
    let layers_are_read = rules.amiss.is_empty();
    if !layers_are_read {
        output::print_problems(&problems::problems(&rules.amiss, &rules.sources, output::look_of_errors(printing)));
    }
    Some((rules, are_read && layers_are_read))
}

/// The rules for a plan, with the layers that it names. What is wrong with a layer stands in the
/// report of the plan.
pub fn rules_for(source: &RuleSource, printing: &Printing, plan: &Input) -> Option<(Arc<Rules>, bool)> {
    let rules = shelf(source)?.rules_for(&plan.text, Path::new(&plan.name));
    let are_read = are_read(&rules, printing);
    Some((rules, are_read))
}

/// Whether every line of the pack could be read; shows what could not.
pub fn are_read(rules: &Rules, printing: &Printing) -> bool {
    // A warning is for the author, who runs `rules check`.
    let errors: Vec<Problem> = rules.problems.iter().filter(|p| p.severity == Severity::Error).cloned().collect();
    if !errors.is_empty() {
        output::print_problems(&problems::problems(&errors, &rules.sources, output::look_of_errors(printing)));
        output::complain("rules with an error are left out: nothing was held against them");
    }
    errors.is_empty()
}

/// Whether there is a rule that a plan can be held against; says so where a pack of the user's has none, which
/// may be right by itself: tables and formulas for the calculation sheet.
pub fn holds_rules(rules: &Rules, source: &RuleSource) -> bool {
    match source.rules.as_deref().filter(|_| rules.code.rules.is_empty()) {
        Some(path) => {
            output::complain(&format!("there is no rule in {} that a plan could be held against", path.display()))
        }
        None => true,
    }
}

/// A plan. None where it can't be read, which is said here.
pub fn plan(path: &Path) -> Option<Input> {
    Some(Input { name: shown(path), text: text(path)? })
}

fn shown(path: &Path) -> String {
    path.display().to_string()
}

fn text(path: &Path) -> Option<String> {
    let name = shown(path);
    let bytes = match bytes(path) {
        Ok(bytes) => bytes,
        Err(error) => {
            let hint = match error.kind() {
                io::ErrorKind::NotFound => "; is the name right?",
                io::ErrorKind::IsADirectory => "; name the files in it",
                _ => "",
            };
            output::complain(&format!("can't read {name}: {}{hint}", output::reason(&error)));
            return None;
        }
    };
    // The decoder counts places in a file that is in no list yet: only its words are used.
    let file = FileId(Sources::default().len() as u32);
    match plan::decode(file, bytes) {
        Ok(text) => Some(text),
        Err(problem) => {
            let help = problem.help.map(|h| format!("; {h}")).unwrap_or_default();
            output::complain(&format!("can't read {name}: {}{help}", problem.message));
            None
        }
    }
}

fn bytes(path: &Path) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    if path == Path::new("-") {
        io::stdin().lock().take(LARGEST + 1).read_to_end(&mut bytes)?;
    } else {
        fs::File::open(path)?.take(LARGEST + 1).read_to_end(&mut bytes)?;
    }
    match bytes.len() as u64 > LARGEST {
        true => Err(io::Error::other(format!("it has more than {} megabytes; is this a plan?", LARGEST >> 20))),
        false => Ok(bytes),
    }
}
