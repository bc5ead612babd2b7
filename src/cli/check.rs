//! `ringout check`.

use super::args::{Check, Format};
use super::{End, files, output};
use ringout::law;
use ringout::report::{Depth, Report, json, sarif, text};
use ringout::text::Sources;
use ringout::{Rules, parallel};
use std::path::Path;

/// What came of one plan.
struct Done {
    report: Report,
    sources: Sources,
}

/// Holds each plan against the rules and prints the reports in the order of the command line.
pub fn run(args: &Check) -> End {
    if args.plans.iter().filter(|p| *p == Path::new("-")).count() > 1 {
        return End::of(output::complain("standard input can be read once"));
    }
    let Some((rules, rules_are_read)) = files::rules(&args.judging.source, &args.printing) else {
        return End::Wrong;
    };
    let options = super::options(&args.judging);
    let depth = if args.format == Format::Json { Depth::Derivations } else { Depth::Verdicts };
    let all: Vec<Option<Done>> = parallel::map(&args.plans, |path| one(path, &rules, &options, depth));
    let done: Vec<&Done> = all.iter().flatten().collect();
    let printed = match document(args, &done) {
        Ok(text) => output::print(&args.printing, &text),
        Err(error) => output::complain(&format!("the report can't be written: {error}")),
    };
    let has_unread = done.iter().any(|d| d.report.unread().next().is_some());
    let needs_attention = done.iter().any(|d| {
        let counts = d.report.total();
        counts.attention > 0 || (args.strict && counts.unknown > 0)
    });
    if !printed || !rules_are_read || has_unread || done.len() < all.len() {
        End::Wrong
    } else if needs_attention {
        End::Attention
    } else {
        End::Fine
    }
}

fn one(path: &Path, rules: &Rules, options: &law::Options, depth: Depth) -> Option<Done> {
    let input = files::plan(path)?;
    let checked = ringout::check(rules, &input.name, &input.text, options);
    let report = Report::of(rules, &checked, depth);
    Some(Done { report, sources: checked.sources })
}

fn document(args: &Check, done: &[&Done]) -> Result<String, serde_json::Error> {
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
