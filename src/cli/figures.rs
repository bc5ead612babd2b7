//! `ringout figures`.

use super::args::Figures;
use super::{End, sheet};
use ringout::report::{figures, text};

/// Prints the calculation sheet.
pub fn run(args: &Figures) -> End {
    let wanted = args.item.as_deref();
    sheet::run(
        &args.sheet,
        |rules, checked| match (figures::sheets(rules, checked, wanted), wanted) {
            (sheets, Some(wanted)) if sheets.is_empty() => {
                Err(sheet::nothing_of(checked, "the sheet has no figure of", wanted))
            }
            (sheets, _) => Ok(sheets),
        },
        |sheets, authority, checked, look| {
            text::figures(sheets, checked.file, &checked.sources, authority, look, args.all)
        },
        |sheets, checked, plan| figures::json::pretty(plan, sheets, &checked.sources),
    )
}
