//! `ringout check`.

use super::args::{Check, Format};
use super::progress::Progress;
use super::{End, files, output, watch};
use ringout::law;
use ringout::parallel;
use ringout::report::{Depth, Report, json, sarif, text};
use ringout::shelf::Shelf;
use ringout::text::Sources;
use std::path::Path;

/// What came of one plan.
pub(super) struct Done {
    pub report: Report,
    sources: Sources,
}

/// Holds each plan against the rules and prints the reports in the order of the command line.
pub fn run(args: &Check) -> End {
    let stdin = args.plans.iter().filter(|p| *p == Path::new("-")).count();
    if stdin > 1 {
        return End::of(output::complain("standard input can be read once"));
    }
    if args.watch {
        return match stdin {
            0 => watch::run(args),
            _ => End::of(output::complain("standard input can't be watched; name a file")),
        };
    }
    let Some(shelf) = files::shelf(&args.judging.source) else { return End::Wrong };
    let rules_are_read = are_read(&shelf, args);
    let all = each(args, &shelf);
    let printed = match document(args, &all) {
        Ok(text) => output::print(&args.printing, &text),
        Err(error) => output::complain(&format!("the report can't be written: {error}")),
    };
    let end = if printed && rules_are_read { end(args, &all) } else { End::Wrong };
    // The program ends here: to give back thousands of small pieces of memory first takes as long as wiring a plan.
    std::mem::forget((shelf, all));
    end
}

/// Whether every rule could be read, and there are any.
pub(super) fn are_read(shelf: &Shelf, args: &Check) -> bool {
    let (rules, source) = (shelf.rules(), &args.judging.source);
    files::are_read(&rules, &args.printing) && files::holds_rules(&rules, source)
}

/// Each plan's report, in the order of the command line; none where a plan can't be read.
pub(super) fn each(args: &Check, shelf: &Shelf) -> Vec<Option<Done>> {
    let depth = match args.format {
        Format::Text if !args.all && !args.watch => Depth::Overview,
        Format::Text | Format::Sarif => Depth::Verdicts,
        Format::Json => Depth::Derivations,
    };
    let counts_passes = depth == Depth::Overview;
    let options = law::Options { counts_passes, ..super::options(&args.judging) };
    let progress = Progress::new(args.plans.len());
    let all = parallel::map(&args.plans, |path| {
        let done = one(path, shelf, &options, depth);
        progress.step();
        done
    });
    progress.finish();
    all
}

/// How the checks of all plans ended.
pub(super) fn end(args: &Check, all: &[Option<Done>]) -> End {
    let mut done = all.iter().flatten();
    if all.iter().any(Option::is_none) || done.clone().any(|d| d.report.unread().next().is_some()) {
        return End::Wrong;
    }
    let needs_attention = done.any(|d| {
        let counts = d.report.total();
        counts.attention > 0 || (args.strict && counts.unknown > 0)
    });
    if needs_attention { End::Attention } else { End::Fine }
}

fn one(path: &Path, shelf: &Shelf, options: &law::Options, depth: Depth) -> Option<Done> {
    let input = files::plan(path)?;
    let rules = shelf.rules_for(&input.text, path);
    let checked = ringout::check(&rules, &input.name, &input.text, options);
    let report = Report::of(&rules, &checked, depth);
    Some(Done { report, sources: checked.sources })
}

pub(super) fn document(args: &Check, all: &[Option<Done>]) -> Result<String, serde_json::Error> {
    let done: Vec<&Done> = all.iter().flatten().collect();
    match args.format {
        Format::Text => {
            let look = output::look(&args.printing);
            let texts: Vec<String> = done.iter().map(|d| text::check(&d.report, &d.sources, look, args.all)).collect();
            Ok(texts.join(&format!("\n{}\n\n", "=".repeat(look.width))))
        }
        Format::Json => {
            let lines: Result<Vec<String>, _> =
                done.iter().map(|d| json::line(&d.report, &d.sources).map(|line| line + "\n")).collect();
            Ok(lines?.concat())
        }
        Format::Sarif => {
            let all: Vec<(&Report, &Sources)> = done.iter().map(|d| (&d.report, &d.sources)).collect();
            sarif::document(&all, args.all).map(|text| text + "\n")
        }
    }
}
