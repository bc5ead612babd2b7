//! `ringout rules show`.

use crate::cli::args::RulesShow;
use crate::cli::{End, files, output};
use ringout::report::{in_force, pack};
use ringout::text::nearest;

/// Prints the text of a rule, table, formula, term, value, list or fact, with its file and line; or a
/// rule as it is in force, part by part.
pub fn run(args: &RulesShow) -> End {
    let input = match &args.plan {
        None => None,
        Some(plan) => match files::plan(plan) {
            Some(input) => Some(input),
            None => return End::Wrong,
        },
    };
    let found = match &input {
        Some(input) => files::rules_for(&args.source, &args.printing, input),
        None => files::rules(&args.source, &args.printing),
    };
    let Some((rules, are_read)) = found else { return End::Wrong };
    if input.is_some() && !rules.amiss.is_empty() {
        let look = output::look_of_errors(&args.printing);
        output::print_problems(&ringout::report::problems::problems(&rules.amiss, &rules.sources, look));
    }
    let texts = match (&input, args.for_edit) {
        (_, true) => in_force::for_edit(&rules, &args.rule).into_iter().collect(),
        (Some(_), _) => in_force::rule(&rules, &args.rule).into_iter().collect(),
        (None, false) if !args.source.layer.is_empty() => in_force::rule(&rules, &args.rule).into_iter().collect(),
        (None, false) => pack::definitions(&rules, &args.rule),
    };
    let texts = if texts.is_empty() { pack::definitions(&rules, &args.rule) } else { texts };
    if texts.is_empty() {
        if let Some(layer) = in_force::switched_off(&rules, &args.rule) {
            return End::of(output::complain(&format!("{} is switched off by {layer}", args.rule)));
        }
        let hint = nearest(&args.rule, pack::names(&rules))
            .map_or("; `ringout rules list` names the rules".to_string(), |n| format!("; did you mean {n}?"));
        return End::of(output::complain(&format!("nothing in the rules is called {}{hint}", args.rule)));
    }
    super::printed(Ok(texts.join("\n")), &args.printing, are_read && rules.amiss.is_empty())
}
