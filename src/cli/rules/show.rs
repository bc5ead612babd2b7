//! `ringout rules show`.

use crate::cli::args::RulesShow;
use crate::cli::{End, files, output};
use ringout::report::pack;
use ringout::text::nearest;

/// Prints the text of a rule, table, formula, term, value, list or fact, with its file and line.
pub fn run(args: &RulesShow) -> End {
    let Some((rules, are_read)) = files::rules(&args.source, &args.printing) else { return End::Wrong };
    let texts = pack::definitions(&rules, &args.rule);
    if texts.is_empty() {
        let hint = nearest(&args.rule, pack::names(&rules))
            .map_or("; `ringout rules list` names the rules".to_string(), |n| format!("; did you mean {n}?"));
        return End::of(output::complain(&format!("nothing in the rules is called {}{hint}", args.rule)));
    }
    super::printed(Ok(texts.join("\n")), &args.printing, are_read)
}
