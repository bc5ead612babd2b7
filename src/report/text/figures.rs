//! The calculation sheet as text.

use super::why::Tree;
use super::{limits, sentence};
use crate::report::Missing;
use crate::report::figures::{ItemSheet, ShownFigure};
use crate::report::page::{Ink, Look, Page, columns};
use crate::text::{FileId, Sources};

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
        for shown in &sheet.figures {
            figure(&mut page, shown, plan, sources, all);
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

fn figure(page: &mut Page, shown: &ShownFigure, plan: FileId, sources: &Sources, all: bool) {
    let source = shown.why.as_ref().and_then(|why| why.source.clone());
    let line = shown.place.map(|p| format!("line {}", sources.place(p).line));
    let beside = source.or(line).map(|s| format!(" ({s})")).unwrap_or_default();
    let meaning = format!("{}{beside}", shown.doc);
    let values = (MEANINGS - VALUES) as isize;
    if page.is_narrow() || columns(&shown.text) + 1 > MEANINGS - VALUES {
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
        page.indented(4, &format!("{} if {} is {}", candidate.text, candidate.what, candidate.answer));
    }
    for Missing { ask, place, .. } in &shown.missing {
        page.indented(4, &format!("open: {} (line {})", sentence(ask), sources.place(*place).line));
    }
    if !shown.leans_on.is_empty() {
        page.indented(4, &format!("leans on {}", shown.leans_on.join("; ")));
    }
}
