//! `ringout wires`.

use super::args::Wires;
use super::{End, sheet};
use ringout::report::{text, wires};

/// Prints what to pull through each run and what to join in each box.
pub fn run(args: &Wires) -> End {
    let wanted = args.place.as_deref();
    sheet::run(
        &args.sheet,
        |rules, checked| match (wires::sheets(rules, checked, wanted), wanted) {
            (sheets, Some(wanted)) if sheets.runs.is_empty() && sheets.boxes.is_empty() => {
                Err(sheet::nothing_of(checked, "no wire goes through or into", wanted))
            }
            (sheets, _) => Ok(sheets),
        },
        |sheets, authority, checked, look| text::wires(sheets, &checked.sources, authority, look),
        |sheets, _, plan| wires::json::pretty(plan, sheets),
    )
}
