//! `ringout ask`.

use super::args::Ask;
use super::{End, files, output};
use ringout::report::{Depth, Report, text};

/// Prints the open questions of a plan.
pub fn run(args: &Ask) -> End {
    let Some(input) = files::plan(&args.plan) else { return End::Wrong };
    let Some((rules, rules_are_read)) = files::rules_for(&args.judging.source, &args.printing, &input) else {
        return End::Wrong;
    };
    let checked = ringout::check(&rules, &input.name, &input.text, &super::options(&args.judging));
    let report = Report::of(&rules, &checked, Depth::Answers);
    let printed = output::print(&args.printing, &text::ask(&report, &checked.sources, output::look(&args.printing)));
    let holds_rules = files::holds_rules(&rules, &args.judging.source);
    // The questions by themselves don't show what could not be read.
    End::of(printed && rules_are_read && super::is_read(&checked, &args.printing) && holds_rules)
}
