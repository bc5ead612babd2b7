//! The pre-inspection report.

use super::{LIMITS, code_field, counted, lean_field, listed, moment, sentence};
use crate::law::code::Stage;
use crate::law::verdict::Outcome;
use crate::report::excerpt::excerpts;
use crate::report::page::{Ink, Look, Page};
use crate::report::{Counts, Finding, Reason, Report};
use crate::text::Sources;

/// How many questions stand in the report; `ask` has them all.
const QUESTIONS_SHOWN: usize = 12;
/// How many items of one rule get a sentence of their own.
const ITEMS_SHOWN: usize = 6;
/// How many names of passes that deserve a line are listed.
const REMARKS_SHOWN: usize = 8;

/// The report as text: counts by stage, attention, advice, unknown as questions, what deserves a
/// second look, passes (each one with `all`).
pub fn check(report: &Report, sources: &Sources, look: Look, all: bool) -> String {
    let mut page = Page::new(look);
    head(&mut page, report);
    counts(&mut page, report);
    attention(&mut page, report, sources);
    advice(&mut page, report, sources);
    unknown(&mut page, report, sources, all);
    passes(&mut page, report, all);
    page.gap();
    page.text(LIMITS);
    page.finish()
}

fn head(page: &mut Page, report: &Report) {
    let unread = report.unread().count();
    let read = match unread {
        0 => "all read".to_string(),
        n => format!("{} NOT read", counted(n, "place")),
    };
    let lines = counted(report.line_count as usize, "line");
    let title = report.title.as_deref().unwrap_or("A plan without a name");
    page.heading(Ink::Strong, title, &format!("{}, {lines}, {read}", report.plan));
    let edition = match (report.edition, report.editions.first(), report.editions.last()) {
        (Some(year), _, _) => format!("Held against NEC {year}."),
        (None, Some(first), Some(last)) if first != last => format!(
            "The plan names no edition of the code: every one from NEC {first} to NEC {last} was tried, and where they \
             differ the answer is unknown. Ask your office which one is law, and write `code NEC YEAR` under `shop`."
        ),
        _ => "Held against the rules given.".to_string(),
    };
    page.text(&format!("{edition} Local amendments are not applied: ask your office for them."));
    if unread > 0 {
        page.text("What the unread places might say counts as unknown below. Mend them first.");
    }
}

fn counts(page: &mut Page, report: &Report) {
    page.gap();
    let has_advice = report.total().advice > 0;
    let narrow = page.width() < 92;
    let widths: &[isize] = if narrow { &[10, -6, -8, -6, -6] } else { &[14, 28, -11, -11, -9, -18] };
    let cells = |name: &str, when: &str, c: Option<Counts>| -> Vec<String> {
        let number = |n: usize| n.to_string();
        let (a, u, p, n) = match c {
            Some(c) => (number(c.attention), number(c.unknown), number(c.pass), number(c.not_applicable)),
            None if narrow => ("attn".into(), "unknown".into(), "pass".into(), "n/a".into()),
            None => ("attention".into(), "unknown".into(), "pass".into(), "does not apply".into()),
        };
        if narrow { vec![name.into(), a, u, p, n] } else { vec![format!("  {name}"), when.into(), a, u, p, n] }
    };
    let mut row = |cells: Vec<String>| {
        let cells: Vec<&str> = cells.iter().map(String::as_str).collect();
        page.row(widths, &cells);
    };
    row(cells("", "", None));
    for (stage, count) in report.counts.iter().filter(|(_, c)| *c != Counts::default()) {
        row(cells(stage.name(), moment(*stage), Some(*count)));
    }
    row(cells("", "", Some(report.total())));
    if has_advice {
        page.indented(
            2,
            &format!("and {} of advice that the code does not ask for", counted(report.total().advice, "piece")),
        );
    }
}

/// Findings of one rule: said once, with each item's sentence.
type Group<'r> = Vec<&'r Finding>;

fn grouped<'r>(findings: impl Iterator<Item = &'r Finding>) -> Vec<Group<'r>> {
    let mut groups: Vec<Group<'r>> = Vec::new();
    let mut by_rule = std::collections::HashMap::new();
    for finding in findings {
        let index = *by_rule.entry(finding.rule.as_str()).or_insert(groups.len());
        match groups.get_mut(index) {
            Some(group) => group.push(finding),
            None => groups.push(vec![finding]),
        }
    }
    groups
}

fn attention(page: &mut Page, report: &Report, sources: &Sources) {
    let places = report.of(Outcome::Attention, false).count();
    if places == 0 {
        page.heading(Ink::Strong, "ATTENTION", "nothing that was checked asks for it");
        return;
    }
    let remark = if places == 1 { "1 place where plan and code do not meet" } else { "" };
    let many = format!("{places} places where plan and code do not meet");
    page.heading(Ink::Alarm, "ATTENTION", if remark.is_empty() { &many } else { remark });
    for (i, group) in grouped(report.of(Outcome::Attention, false)).iter().enumerate() {
        entry(page, Ink::Alarm, &(i + 1).to_string(), group, sources);
    }
}

fn advice(page: &mut Page, report: &Report, sources: &Sources) {
    let places = report.of(Outcome::Attention, true).count();
    if places == 0 {
        return;
    }
    page.heading(Ink::Strong, "ADVICE", "good practice; the code does not ask it");
    for group in &grouped(report.of(Outcome::Attention, true)) {
        entry(page, Ink::Strong, "-", group, sources);
    }
}

fn entry(page: &mut Page, ink: Ink, mark: &str, group: &Group<'_>, sources: &Sources) {
    let Some(first) = group.first() else { return };
    page.gap();
    page.entry(ink, mark, first.stage.name(), &sentence(&first.message));
    for finding in group.iter().skip(1).take(ITEMS_SHOWN - 1) {
        page.below(&sentence(&finding.message));
    }
    let rest: Vec<&str> =
        group.iter().skip(ITEMS_SHOWN).flat_map(|f| f.about.iter().map(|a| a.name.as_str())).collect();
    if !rest.is_empty() {
        page.below(&format!("The same at {}.", listed(&rest, 24)));
    }
    page.gap();
    let spans: Vec<_> =
        group.iter().take(ITEMS_SHOWN).flat_map(|f| std::iter::once(f.place).chain(f.also.iter().copied())).collect();
    for excerpt in excerpts(sources, &spans) {
        page.quote(&format!("line {}", excerpt.line), &excerpt.text);
    }
    page.gap();
    code_field(page, first);
    page.field("why", &sentence(&first.hazard));
    let mut said: Vec<&str> = Vec::new();
    for remedy in group.iter().take(ITEMS_SHOWN).filter_map(|f| f.remedy.as_deref()) {
        if !said.contains(&remedy) {
            said.push(remedy);
        }
    }
    if !said.is_empty() {
        page.field("do", &said.iter().map(|r| sentence(r)).collect::<Vec<_>>().join("\n"));
    }
    if let Some(caution) = &first.caution {
        page.field("careful", &sentence(caution));
    }
    lean_field(page, first);
    page.field("rule", &first.rule);
}

fn unknown(page: &mut Page, report: &Report, sources: &Sources, all: bool) {
    let checks = report.total().unknown;
    if checks == 0 {
        page.heading(Ink::Strong, "UNKNOWN", "nothing: the plan says what these checks ask for");
        return;
    }
    let answers = counted(report.questions.len(), "answer");
    page.heading(Ink::Doubt, "UNKNOWN", &format!("{} that {answers} would settle", counted(checks, "check")));
    page.gap();
    let shown = if all { report.questions.len() } else { QUESTIONS_SHOWN };
    for question in report.questions.iter().take(shown) {
        page.entry(Ink::Doubt, &question.letter, question.stage.name(), &question.ask);
        let lines: Vec<String> = question.places.iter().map(|p| sources.place(*p).line.to_string()).collect();
        let lines: Vec<&str> = lines.iter().map(String::as_str).collect();
        let line = if lines.len() == 1 { "line" } else { "lines" };
        let checks: usize = question.settles.iter().map(|(_, n)| n).sum();
        let rules = counted(question.settles.len(), "rule");
        let write = question.write.first().map(|w| format!(", `{w}`")).unwrap_or_default();
        page.below(&format!("{line} {}{write}; {rules}, {}", listed(&lines, 6), counted(checks, "check")));
    }
    page.gap();
    let rest = report.questions.len().saturating_sub(shown);
    let more =
        if rest > 0 { format!("{} more, which settle less. ", counted(rest, "question")) } else { String::new() };
    page.text(&format!("{more}`ringout ask {}` explains each question.", report.plan));
}

fn passes(page: &mut Page, report: &Report, all: bool) {
    let passes = report.total().pass;
    let hint = if all || passes == 0 { "" } else { "`--all` lists them" };
    page.heading(Ink::Strong, &format!("PASS     {}", counted(passes, "check")), hint);
    remarks(page, report, Reason::JustEnough, "Just enough, so don't change them unaware");
    remarks(page, report, Reason::LooksWrong, "Looks wrong at first and passes");
    if !all {
        return;
    }
    for stage in Stage::ALL {
        let here = report.findings.iter().filter(|f| f.verdict == Outcome::Pass && f.stage == stage);
        for group in &grouped(here) {
            let Some(first) = group.first() else { continue };
            let names: Vec<&str> = group.iter().flat_map(|f| f.about.iter().map(|a| a.called.as_str())).collect();
            let title = sentence(&first.title);
            let what = format!("{title} {}", listed(&names, 12));
            if page.is_narrow() {
                page.entry(Ink::Plain, "-", &first.rule, &what);
            } else {
                page.row(&[11, 32], &[stage.name(), &first.rule, &what]);
            }
        }
    }
}

fn remarks(page: &mut Page, report: &Report, reason: Reason, intro: &str) {
    let all: Vec<String> = report
        .remarks
        .iter()
        .filter(|r| r.reason == reason)
        .map(|r| format!("{} ({}, {})", r.about, r.text, r.rule))
        .collect();
    if !all.is_empty() {
        let all: Vec<&str> = all.iter().map(String::as_str).collect();
        page.text(&format!("{intro}: {}.", listed(&all, REMARKS_SHOWN)));
    }
}
