//! `ringout rules try`.

use crate::cli::args::RulesTry;
use crate::cli::{End, files, is_read, output, rule_id, why};

/// Holds a plan against one rule and prints how every verdict came about.
pub fn run(args: &RulesTry) -> End {
    let Some(input) = files::plan(&args.plan) else { return End::Wrong };
    let Some((rules, are_read)) = files::rules_for(&args.source, &args.printing, &input) else { return End::Wrong };
    let Some(id) = rule_id(&rules, &args.rule) else { return End::Wrong };
    let options = ringout::law::Options { rules: Some(vec![id]), ..Default::default() };
    let checked = ringout::check(&rules, &input.name, &input.text, &options);
    let printed = match why::told(&rules, &checked, None, output::look(&args.printing), true) {
        Ok(text) => output::print(&args.printing, &text),
        Err(why) => output::complain(&why),
    };
    End::of(is_read(&checked, &args.printing) && printed && are_read)
}
