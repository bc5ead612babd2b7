//! What commands that print one sheet of one plan share.

use super::args::{ListFormat, Sheet};
use super::{End, files, output};
use ringout::report::Look;
use ringout::{Checked, Rules};

/// Reads the rules and the plan, and prints the sheet as `text` or `json` writes it.
pub fn run(
    args: &Sheet,
    text: impl FnOnce(&Rules, &Checked, Look) -> String,
    json: impl FnOnce(&Rules, &Checked, &str) -> Result<String, serde_json::Error>,
) -> End {
    let Some((rules, rules_are_read)) = files::rules(&args.source, &args.printing) else { return End::Wrong };
    let Some(input) = files::plan(&args.plan) else { return End::Wrong };
    let checked = super::without_verdicts(&rules, &input);
    let sheet = match args.format {
        ListFormat::Text => text(&rules, &checked, output::look(&args.printing)),
        ListFormat::Json => match json(&rules, &checked, &input.name) {
            Ok(json) => json + "\n",
            Err(error) => return End::of(output::complain(&format!("can't write JSON: {error}"))),
        },
    };
    let printed = output::print(&args.printing, &sheet);
    End::of(printed && rules_are_read && super::is_read(&checked, &args.printing))
}
