//! `ringout directory`.

use super::args::Sheet;
use super::{End, sheet};
use ringout::report::{directory, text};

/// Prints the directory of each panel.
pub fn run(args: &Sheet) -> End {
    sheet::run(
        args,
        |rules, checked, look| text::directory(&directory::directories(rules, checked), &checked.sources, look),
        |rules, checked, plan| directory::json::pretty(plan, &directory::directories(rules, checked), &checked.sources),
    )
}
