//! The directory as text, to print and stick on the panel's door.

use super::{limits, sentence};
use crate::report::Missing;
use crate::report::directory::{Directory, Row, Stands};
use crate::report::page::{Ink, Look, Page};
use crate::text::Sources;

/// Widths of space, poles, amperes and letter of the question; what it turns off takes the rest.
const WIDTHS: [isize; 4] = [8, 7, 15, 9];

/// Every panel with its spaces; below each the questions that its blanks stand for.
pub fn directory(all: &[Directory], sources: &Sources, authority: &str, look: Look) -> String {
    let mut page = Page::new(look);
    for panel in all {
        one(&mut page, panel, sources);
    }
    if all.is_empty() {
        page.text("The plan draws no panel, so there is no directory to print.");
    }
    page.gap();
    page.text(&limits(authority));
    page.finish()
}

fn one(page: &mut Page, panel: &Directory, sources: &Sources) {
    let label = panel.label.as_ref().map(|l| format!(" \"{l}\"")).unwrap_or_default();
    page.heading(Ink::Strong, &format!("{}{label}", panel.about.called), "directory");
    page.gap();
    page.row(&WIDTHS, &["space", "poles", "amperes", "", "turns off"]);
    let mut questions: Vec<&Missing> = Vec::new();
    for row in &panel.rows {
        let first = questions.len();
        questions.extend(&row.asks);
        let marks: Vec<String> = (first..questions.len()).map(letter).collect();
        line(page, row, &marks.join(" "));
    }
    questions.extend(&panel.asks);
    page.gap();
    if let Some(caution) = panel.caution() {
        page.text(&caution);
        page.gap();
    }
    if !questions.is_empty() {
        page.text("A blank is for what the plan doesn't say:");
        for (number, ask) in questions.iter().enumerate() {
            let line = sources.place(ask.place).line;
            page.entry(Ink::Doubt, &letter(number), "", &format!("{} (line {line})", sentence(&ask.ask)));
        }
        page.gap();
    }
    page.text("Checked against the panel on ____________ by ____________________");
}

fn line(page: &mut Page, row: &Row, marks: &str) {
    let spaces: Vec<String> = row.spaces.iter().map(i64::to_string).collect();
    let spaces = match (spaces.is_empty(), row.is) {
        (true, Stands::BuiltIn) => "main".to_string(),
        (true, _) => "____".to_string(),
        (false, _) => spaces.join(", "),
    };
    let blank = if row.is == Stands::Spare { "" } else { "____" };
    let poles = row.poles.map_or(blank.to_string(), |p| p.to_string());
    let amps = row.amps.as_deref().unwrap_or(blank);
    let description = row.description.as_deref().unwrap_or("____________________");
    let note = if row.note.is_empty() { String::new() } else { format!(" [{}]", row.note) };
    page.row(&WIDTHS, &[&spaces, &poles, amps, marks, &format!("{description}{note}")]);
}

/// `a` to `z`, then `a2` and on.
pub(in crate::report) fn letter(number: usize) -> String {
    let letter = ('a'..='z').nth(number % 26).unwrap_or('a');
    match number / 26 {
        0 => letter.to_string(),
        round => format!("{letter}{}", round.saturating_add(1)),
    }
}
