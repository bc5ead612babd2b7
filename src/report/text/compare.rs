//! Two plans side by side as text.

use super::limits;
use crate::report::compare::{Comparison, Difference};
use crate::report::page::{Ink, Look, Page};

/// Only what differs, first plan at the left.
pub fn compare(plans: [&str; 2], comparison: &Comparison, authority: &str, look: Look) -> String {
    let mut page = Page::new(look);
    let [first, second] = plans;
    page.text(&format!("First: {first}. Second: {second}. Only what differs is shown."));
    let sheets: [(&str, &[Difference]); 4] = [
        ("Verdicts", &comparison.verdicts),
        ("Figures", &comparison.figures),
        ("Materials", &comparison.materials),
        ("Open questions", &comparison.questions),
    ];
    for (title, rows) in sheets {
        page.heading(Ink::Strong, title, &format!("{} differ", rows.len()));
        page.gap();
        if rows.is_empty() {
            page.indented(3, "No difference.");
            continue;
        }
        for row in rows {
            line(&mut page, row);
        }
    }
    page.gap();
    page.text(&limits(authority));
    page.finish()
}

fn line(page: &mut Page, row: &Difference) {
    let side = |text: &Option<String>| text.clone().unwrap_or_else(|| "-".to_string());
    let at = if row.about.is_empty() { String::new() } else { format!(", {}", row.about) };
    let (first, second) = (side(&row.first), side(&row.second));
    if page.is_narrow() || first.chars().count() > 20 || second.chars().count() > 20 {
        page.indented(3, &format!("{}{at}: {first} | {second}", row.what));
        return;
    }
    page.row(&[3, 22, 22], &["", &first, &second, &format!("{}{at}", row.what)]);
}
