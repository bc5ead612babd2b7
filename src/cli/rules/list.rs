//! `ringout rules list`.

use crate::cli::args::{ListFormat, RulesList};
use crate::cli::{End, files, output};
use ringout::report::pack;

/// Prints every rule with its stage, level and title.
pub fn run(args: &RulesList) -> End {
    let Some((rules, are_read)) = files::rules(&args.source, &args.printing) else { return End::Wrong };
    let text = match args.format {
        ListFormat::Text => Ok(pack::rules_text(&rules, output::look(&args.printing))),
        ListFormat::Json => pack::rules_json(&rules),
    };
    super::printed(text, &args.printing, are_read && files::holds_rules(&rules, &args.source))
}
