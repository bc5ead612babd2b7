//! `ringout rules try`.

use crate::cli::args::RulesTry;
use crate::cli::{End, files, output, rule_id, why};

/// Holds a plan against one rule and prints how every verdict came about.
pub fn run(args: &RulesTry) -> End {
    let Some(input) = files::plan(&args.plan) else { return End::Wrong };
    let Some((rules, are_read)) = files::rules_for(&args.source, &args.printing, &input) else { return End::Wrong };
    let Some(id) = rule_id(&rules, &args.rule) else { return End::Wrong };
    let options = ringout::law::Options { rules: Some(vec![id]), ..Default::default() };
    let checked = ringout::check(&rules, &input.name, &input.text, &options);
    match why::told(&rules, &checked, None, output::look(&args.printing), true) {
        Some(text) => End::of(output::print(&args.printing, &text) && are_read),
        None => End::Wrong,
    }
}
