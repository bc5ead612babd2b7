//! What commands that print one sheet of one plan share.

use super::args::{ListFormat, Sheet};
use super::{End, files, output};
use ringout::report::Look;
use ringout::text::nearest;
use ringout::{Checked, Rules};

/// Reads the rules and the plan, makes the sheet and prints it as `text` or `json` writes it. A sheet that
/// can't be made says why.
pub fn run<S>(
    args: &Sheet,
    make: impl FnOnce(&Rules, &Checked) -> Result<S, String>,
    text: impl FnOnce(&S, &Checked, Look) -> String,
    json: impl FnOnce(&S, &Checked, &str) -> Result<String, serde_json::Error>,
) -> End {
    let Some(input) = files::plan(&args.plan) else { return End::Wrong };
    let Some((rules, rules_are_read)) = files::rules_for(&args.source, &args.printing, &input) else {
        return End::Wrong;
    };
    // A plan with all that follows from it, held against no rule.
    let nothing = ringout::law::Options { rules: Some(Vec::new()), ..Default::default() };
    let checked = ringout::check(&rules, &input.name, &input.text, &nothing);
    let sheet = match make(&rules, &checked) {
        Ok(sheet) => sheet,
        Err(why) => return End::of(output::complain(&why)),
    };
    let text = match args.format {
        ListFormat::Text => Ok(text(&sheet, &checked, output::look(&args.printing))),
        ListFormat::Json => json(&sheet, &checked, &input.name),
    };
    let Some(text) = written(args.format, text) else { return End::Wrong };
    let printed = output::print(&args.printing, &text);
    End::of(printed && rules_are_read && super::is_read(&checked, &args.printing))
}

/// A document with its line end; none where it can't be written, which is said here.
pub fn written(format: ListFormat, document: Result<String, serde_json::Error>) -> Option<String> {
    match (document, format) {
        (Ok(text), ListFormat::Text) => Some(text),
        (Ok(json), ListFormat::Json) => Some(json + "\n"),
        (Err(error), _) => {
            output::complain(&format!("can't write JSON: {error}"));
            None
        }
    }
}

/// Why a sheet has nothing of what was named, with the nearest name of the plan.
pub fn nothing_of(checked: &Checked, lacks: &str, wanted: &str) -> String {
    let hint = nearest(wanted, checked.shop.tags()).map_or(String::new(), |n| format!("; did you mean {n}?"));
    format!("{lacks} {wanted}{hint}")
}
