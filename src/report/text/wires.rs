//! What to pull and what to join, for a person with a screwdriver.

use super::{counted, limits};
use crate::report::page::{Ink, Look, Page};
use crate::report::wires::{BoxSheet, RunSheet, SwitchSheet, WireSheets, feet};
use crate::text::Sources;

/// Longest table of positions that is printed whole.
const MOST_ROWS: usize = 64;

/// Pull lists, joining lists, switching, open questions.
pub fn wires(sheets: &WireSheets, sources: &Sources, authority: &str, look: Look) -> String {
    let mut page = Page::new(look);
    for run in &sheets.runs {
        pull_list(&mut page, run, sources);
    }
    for sheet in &sheets.boxes {
        joining_list(&mut page, sheet, sources);
    }
    for table in &sheets.switching {
        switching(&mut page, table);
    }
    for (label, all) in [("As pulled", &sheets.pulled), ("Ask", &sheets.asks), ("Not told", &sheets.missing)] {
        if !all.is_empty() {
            page.heading(Ink::Doubt, label, "");
            all.iter().for_each(|line| page.indented(3, line));
        }
    }
    page.gap();
    if sheets.runs.iter().any(|run| run.is_open) {
        page.text(
            "Perhaps more: the plan leaves open what else lies in those runs. Where it names every circuit, receptacle, switch \
             and light, write `all circuits listed` and so on below `shop`.",
        );
    }
    sheets.by_eye.iter().for_each(|remark| page.text(remark));
    page.text(
        "Colors other than white and green are custom, take what you have. Lengths are measured along the run, with what is \
         left over at its ends (`panel-tail`, `box-tail`, `passing-slack` in the rules: common practice).",
    );
    page.text(&limits(authority));
    page.finish()
}

fn pull_list(page: &mut Page, run: &RunSheet, sources: &Sources) {
    let line = sources.place(run.place).line;
    let kind = if run.ends.is_empty() { "" } else { "run " };
    page.heading(Ink::Strong, &format!("{kind}{}   {}", run.run, run.what), &format!("line {line}"));
    page.gap();
    if !run.conductors.is_empty() {
        row(page, ["pull", "for", "what it is", "color", "cut", ""]);
    }
    for wire in &run.conductors {
        let size = wire.size.as_deref().unwrap_or("size not said");
        let pull = format!("{} x {size}", wire.count);
        let cut = wire.cut.map_or("length not said".to_string(), feet);
        let doubt = (!wire.is_sure).then(|| "perhaps".to_string());
        let mark = wire.mark.as_ref().map(|mark| format!("mark it {mark}"));
        let goes = Some(wire.goes()).filter(|goes| !goes.is_empty());
        let last = doubt.into_iter().chain(mark).chain(goes).collect::<Vec<_>>().join("; ");
        row(page, [&pull, &wire.circuits.join(", "), &wire.what(), &wire.color, &cut, &last]);
    }
    let total: usize = run.conductors.iter().filter(|w| w.is_sure).map(|w| w.count).sum();
    let live = run.current_carrying.map(|n| format!(", {n} of them counted for heat")).unwrap_or_default();
    let mut kinds: Vec<&str> = run.conductors.iter().map(|w| w.kind.as_str()).filter(|k| !k.is_empty()).collect();
    kinds.dedup();
    let kind = if kinds.is_empty() { String::new() } else { format!("; {}", kinds.join(", ")) };
    let more = if run.is_open { ", perhaps more" } else { "" };
    page.indented(3, &format!("{}{more}{live}{kind}.", counted(total, "wire")));
}

fn row(page: &mut Page, cells: [&str; 6]) {
    if page.is_narrow() {
        let filled: Vec<&str> = cells.iter().copied().filter(|c| !c.is_empty()).collect();
        page.indented(3, &filled.join("; "));
        return;
    }
    let [a, b, c, d, e, f] = cells;
    page.row(&[14, 9, 28, 9, 16], &[a, b, c, d, e, f]);
}

fn joining_list(page: &mut Page, sheet: &BoxSheet, sources: &Sources) {
    let line = sources.place(sheet.place).line;
    page.heading(Ink::Strong, &sheet.called, &format!("line {line}"));
    page.gap();
    page.field("careful", &sheet.caution());
    page.field("comes in", &sheet.comes_in());
    if let Some(bonding) = sheet.bonding() {
        page.field("bonding", &bonding);
    }
    for (number, joint) in sheet.joints.iter().enumerate() {
        page.field(&number.saturating_add(1).to_string(), &joint.text);
    }
}

fn switching(page: &mut Page, table: &SwitchSheet) {
    page.heading(Ink::Strong, &format!("switching by {}", table.switches.join(", ")), "");
    page.gap();
    for (words, on) in table.rows.iter().take(MOST_ROWS) {
        let positions: Vec<String> = table.switches.iter().zip(words).map(|(s, w)| format!("{s} {w}")).collect();
        let on = if on.is_empty() { "nothing is on".to_string() } else { format!("on: {}", on.join(", ")) };
        page.indented(3, &format!("{}: {on}", positions.join(", ")));
    }
    let more = table.rows.len().saturating_sub(MOST_ROWS);
    if more > 0 {
        page.indented(3, &format!("and {more} more positions"));
    }
}
