//! `ringout rules show`.

use crate::cli::args::RulesShow;
use crate::cli::{End, files, is_read, output, sheet};
use ringout::report::{in_force, pack};
use ringout::text::nearest;

/// Prints the text of a rule, table, formula, term, value, list or fact, with its file and line; or a
/// rule as it is in force, part by part.
pub fn run(args: &RulesShow) -> End {
    let found = match &args.plan {
        // A line that could not be read may be the one that names a layer.
        Some(plan) => sheet::open(plan, &args.source, &args.printing).map(|open| {
            let are_read = is_read(&open.checked, &args.printing) && open.rules_are_read;
            (open.rules, are_read)
        }),
        None => files::rules(&args.source, &args.printing),
    };
    let Some((rules, are_read)) = found else { return End::Wrong };
    let texts = match (&args.plan, args.for_edit) {
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
    super::printed(Ok(texts.join("\n")), &args.printing, are_read)
}
