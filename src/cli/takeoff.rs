//! `ringout takeoff`.

use super::args::Sheet;
use super::{End, sheet};
use ringout::report::{takeoff, text};

/// Prints the materials list.
pub fn run(args: &Sheet) -> End {
    sheet::run(
        args,
        |rules, checked, look| text::takeoff(&takeoff::takeoff(rules, checked), &checked.sources, look),
        |rules, checked, plan| takeoff::json::pretty(plan, &takeoff::takeoff(rules, checked), &checked.sources),
    )
}
