//! `ringout takeoff`.

use super::args::Sheet;
use super::{End, sheet};
use ringout::report::{takeoff, text};

/// Prints the materials list.
pub fn run(args: &Sheet) -> End {
    sheet::run(
        args,
        |rules, checked| Ok(takeoff::takeoff(rules, checked)),
        |list, authority, checked, look| text::takeoff(list, &checked.sources, authority, look),
        |list, checked, plan| takeoff::json::pretty(plan, list, &checked.sources),
    )
}
