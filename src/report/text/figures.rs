//! The calculation sheet as text.

use super::why::Tree;
use super::{counted, limits, listed, sentence};
use crate::report::Missing;
use crate::report::figures::{ItemSheet, ShownFigure};
use crate::report::page::{Ink, Look, Page, columns};
use crate::text::{FileId, Sources};
use std::collections::HashMap;

/// Steps below this depth are left out unless all are wanted.
const USUAL_DEPTH: usize = 1;
/// Column in which values begin.
const VALUES: usize = 27;
/// Column in which the meaning begins.
const MEANINGS: usize = 43;

/// Every item with its figures; each figure with its steps, every one of them with `all`.
pub fn figures(
    sheets: &[ItemSheet],
    plan: FileId,
    sources: &Sources,
    authority: &str,
    look: Look,
    all: bool,
) -> String {
    let mut page = Page::new(look);
    for sheet in sheets {
        page.gap();
        let label = sheet.label.as_ref().map(|l| format!(" \"{l}\"")).unwrap_or_default();
        let line = sources.place(sheet.place).line;
        page.heading(Ink::Strong, &format!("{}{label}", sheet.about.called), &format!("line {line}"));
        page.gap();
        let mut asked: HashMap<&str, &str> = HashMap::new();
        for shown in &sheet.figures {
            figure(&mut page, shown, &mut asked, plan, sources, all);
        }
    }
    if !all {
        page.gap();
        page.text("`--all` shows every step, down to the rows of tables.");
    }
    page.gap();
    page.text(&limits(authority));
    page.finish()
}

/// A question that stands above on the sheet of the same item is not asked again: `asked` holds the figure that asks it.
fn figure<'a>(
    page: &mut Page,
    shown: &'a ShownFigure,
    asked: &mut HashMap<&'a str, &'a str>,
    plan: FileId,
    sources: &Sources,
    all: bool,
) {
    let source = shown.why.as_ref().and_then(|why| why.source.clone());
    let line = shown.place.map(|p| format!("line {}", sources.place(p).line));
    let beside = source.or(line).map(|s| format!(" ({s})")).unwrap_or_default();
    let meaning = format!("{}{beside}", shown.doc);
    let values = (MEANINGS - VALUES) as isize;
    if page.is_narrow() || columns(&shown.text) >= MEANINGS.saturating_sub(VALUES) {
        page.text(&format!("{}: {}", shown.name, shown.text));
        page.indented(4, &meaning);
    } else {
        page.row(&[VALUES as isize, values], &[&shown.name, &shown.text, &meaning]);
    }
    if let Some(why) = &shown.why {
        let deepest = if all { usize::MAX } else { USUAL_DEPTH };
        let mut tree = Tree { plan, sources, width: page.width(), deepest, is_brief: !all, out: String::new() };
        tree.steps(why);
        tree.out.lines().for_each(|line| page.as_it_stands(line));
    }
    if let Some(note) = &shown.note {
        page.indented(4, &format!("method: {note}"));
    }
    for candidate in &shown.candidates {
        let is = if matches!(candidate.answer.as_str(), "yes" | "no") { ":" } else { " is" };
        page.indented(4, &format!("{} if {}{is} {}", candidate.text, candidate.what, candidate.answer));
    }
    let (mut again, mut above) = (0usize, Vec::new());
    for Missing { ask, place, .. } in &shown.missing {
        match asked.get(ask.as_str()) {
            Some(figure) => {
                again = again.saturating_add(1);
                if !above.contains(figure) {
                    above.push(*figure);
                }
            }
            None => {
                asked.insert(ask, &shown.name);
                page.indented(4, &format!("open: {} (line {})", sentence(ask), sources.place(*place).line));
            }
        }
    }
    if again > 0 {
        let told = listed(&above, above.len());
        page.indented(4, &format!("open: {} asked above, at {told}", counted(again, "question")));
    }
    if !shown.leans_on.is_empty() {
        page.indented(4, &format!("leans on {}", shown.leans_on.join("; ")));
    }
}
