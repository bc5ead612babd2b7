//! `ringout directory`.

use super::args::Sheet;
use super::{End, sheet};
use ringout::report::{directory, text};

/// Prints the directory of each panel.
pub fn run(args: &Sheet) -> End {
    sheet::run(
        args,
        |rules, checked| Ok(directory::directories(rules, checked)),
        |panels, authority, checked, look| text::directory(panels, &checked.sources, authority, look),
        |panels, checked, plan| directory::json::pretty(plan, panels, &checked.sources),
    )
}
