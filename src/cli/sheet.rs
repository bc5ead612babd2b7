//! What commands that print one sheet of one plan share.

use super::args::{ListFormat, Printing, RuleSource, Sheet};
use super::{End, files, output};
use ringout::report::Look;
use ringout::text::nearest;
use ringout::{Checked, Rules};
use std::path::Path;
use std::sync::Arc;

/// Reads the rules and the plan, makes the sheet and prints it as `text`, told who decides, or `json` writes it. A sheet that
/// can't be made says why.
pub fn run<S>(
    args: &Sheet,
    make: impl FnOnce(&Rules, &Checked) -> Result<S, String>,
    text: impl FnOnce(&S, &str, &Checked, Look) -> String,
    json: impl FnOnce(&S, &Checked, &str) -> Result<String, serde_json::Error>,
) -> End {
    let Some(open) = open(&args.plan, &args.source, &args.printing) else { return End::Wrong };
    let sheet = match make(&open.rules, &open.checked) {
        Ok(sheet) => sheet,
        Err(why) => return open.fail(&args.printing, &why),
    };
    let text = match args.format {
        ListFormat::Text => Ok(text(&sheet, &open.rules.code.authority, &open.checked, output::look(&args.printing))),
        ListFormat::Json => json(&sheet, &open.checked, &open.name),
    };
    let Some(text) = written(args.format, text) else { return End::Wrong };
    open.print(&args.printing, &text)
}

/// A plan with all that follows from it, held against no rule.
pub struct Open {
    pub rules: Arc<Rules>,
    pub checked: Checked,
    /// The plan's file, as the user named it.
    name: String,
    pub rules_are_read: bool,
}

/// Reads the rules and the plan; none where one can't be read, which is said there.
pub fn open(plan: &Path, source: &RuleSource, printing: &Printing) -> Option<Open> {
    let input = files::plan(plan)?;
    let (rules, rules_are_read) = files::rules_for(source, printing, &input)?;
    let nothing = ringout::law::Options { rules: Some(Vec::new()), ..Default::default() };
    let checked = ringout::check(&rules, &input.name, &input.text, &nothing);
    Some(Open { rules, checked, name: input.name, rules_are_read })
}

impl Open {
    /// Prints the sheet, and says what of plan and rules could not be read.
    pub fn print(&self, printing: &Printing, text: &str) -> End {
        let printed = output::print(printing, text);
        End::of(super::is_read(&self.checked, printing) && printed && self.rules_are_read)
    }

    /// Says why there is no sheet, and what of the plan could not be read: that may be the reason.
    pub fn fail(&self, printing: &Printing, why: &str) -> End {
        output::complain(why);
        super::is_read(&self.checked, printing);
        End::Wrong
    }
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
