//! The materials list as text, to take along when buying.

use super::{limits, listed, sentence};
use crate::report::page::{Ink, Look, Page};
use crate::report::takeoff::{Line, Takeoff};
use crate::text::Sources;

/// Widths of quantity and unit; the thing takes the rest.
const WIDTHS: [isize; 3] = [-11, 1, 7];
/// More than this many places are not named behind a line.
const MOST_NAMED: usize = 12;

/// The list, group by group, each line with what it is for and how it was counted.
pub fn takeoff(takeoff: &Takeoff, sources: &Sources, authority: &str, look: Look) -> String {
    let mut page = Page::new(look);
    let mut group = None;
    for line in &takeoff.lines {
        if group != Some(line.group) {
            page.heading(Ink::Strong, line.group.name(), "");
            group = Some(line.group);
        }
        one(&mut page, line, sources);
    }
    if takeoff.lines.is_empty() {
        page.text("The plan names nothing that could be counted.");
    }
    page.gap();
    takeoff.remarks.iter().for_each(|remark| page.text(remark));
    page.gap();
    page.text("What is added to lengths stands in takeoff.rule among the rules: `ringout rules show wire-allowance`.");
    page.text(&limits(authority));
    page.finish()
}

fn one(page: &mut Page, line: &Line, sources: &Sources) {
    let quantity = line.told().unwrap_or_else(|| "____".to_string());
    let of: Vec<&str> = line.of.iter().map(String::as_str).collect();
    let of = listed(&of, MOST_NAMED);
    let behind = [of, line.how.clone()].into_iter().filter(|t| !t.is_empty()).collect::<Vec<_>>().join("; ");
    let unit = if line.unit == "stick" && quantity != "1" { "sticks" } else { line.unit };
    page.row(&WIDTHS, &[&quantity, "", unit, &line.item]);
    page.indented(20, &behind);
    for ask in &line.asks {
        page.indented(20, &format!("open: {} (line {})", sentence(&ask.ask), sources.place(ask.place).line));
    }
}
