//! The pre-inspection report.

use super::layers::layers;
use super::{code_field, counted, items, lean_field, limits, lines, listed, moment, phrases, sentence};
use crate::law::code::Stage;
use crate::law::verdict::Outcome;
use crate::report::excerpt::excerpts;
use crate::report::page::{Ink, Look, Page, columns};
use crate::report::problems::problems;
use crate::report::{About, Counts, Finding, Reason, Report};
use crate::text::Sources;

/// How many questions stand in the report; `ask` has them all.
const QUESTIONS_SHOWN: usize = 12;
/// How many items of one rule get a sentence of their own.
const ITEMS_SHOWN: usize = 6;
/// How many rules with passes that deserve a line are named.
const REMARKS_SHOWN: usize = 8;

/// The report as text: counts by stage, attention, advice, unknown as questions, what deserves a
/// second look, passes (each one with `all`).
pub fn check(report: &Report, sources: &Sources, look: Look, all: bool) -> String {
    let mut page = Page::new(look);
    head(&mut page, report);
    unread(&mut page, report, sources);
    if report.total() == Counts::default() {
        page.gap();
        page.text("No rule met anything in this plan: nothing was checked.");
        return page.finish();
    }
    counts(&mut page, report);
    attention(&mut page, report, sources);
    advice(&mut page, report, sources);
    unknown(&mut page, report, sources, all);
    layers(&mut page, report);
    passes(&mut page, report, all);
    page.gap();
    page.text(&limits(&report.authority));
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
    let local = local(report);
    page.text(&format!("{edition} {local}"));
}

/// Whose amendments the rules were read with.
pub(in crate::report) fn local(report: &Report) -> String {
    let titles: Vec<&str> = report.layers.iter().map(|layer| layer.title.as_str()).collect();
    match titles.as_slice() {
        [] => "No local amendments are applied: ask your office for them.".to_string(),
        _ => format!("With the amendments of {}.", listed(&titles, 5)),
    }
}

/// What could not be read, before everything else: it may change the rest.
fn unread(page: &mut Page, report: &Report, sources: &Sources) {
    if report.problems.is_empty() {
        return;
    }
    let (heading, remark) = match report.unread().count() {
        0 => ("WORTH A LOOK", ""),
        _ => ("NOT READ", "what these places might say counts as unknown below"),
    };
    page.heading(Ink::Alarm, heading, remark);
    page.gap();
    for line in problems(&report.problems, sources, page.look()).lines() {
        page.as_it_stands(line);
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
pub(in crate::report) type Group<'r> = Vec<&'r Finding>;

/// In the order in which their rules first come.
pub(in crate::report) fn grouped<'r>(findings: impl Iterator<Item = &'r Finding>) -> Vec<Group<'r>> {
    let mut groups: Vec<Group<'r>> = Vec::new();
    let mut by_rule = std::collections::HashMap::new();
    for finding in findings {
        let index = *by_rule.entry(&*finding.rule).or_insert(groups.len());
        match groups.get_mut(index) {
            Some(group) => group.push(finding),
            None => groups.push(vec![finding]),
        }
    }
    groups
}

fn attention(page: &mut Page, report: &Report, sources: &Sources) {
    let places = report.with(Outcome::Attention, false).count();
    if places == 0 {
        page.heading(Ink::Strong, "ATTENTION", "nothing that was checked asks for it");
        return;
    }
    let remark = if places == 1 { "1 place where plan and code do not meet" } else { "" };
    let many = format!("{places} places where plan and code do not meet");
    page.heading(Ink::Alarm, "ATTENTION", if remark.is_empty() { &many } else { remark });
    for (i, group) in grouped(report.with(Outcome::Attention, false)).iter().enumerate() {
        entry(page, Ink::Alarm, &i.saturating_add(1).to_string(), group, sources);
    }
}

fn advice(page: &mut Page, report: &Report, sources: &Sources) {
    let places = report.with(Outcome::Attention, true).count();
    if places == 0 {
        return;
    }
    page.heading(Ink::Strong, "ADVICE", "good practice; the code does not ask it");
    for group in &grouped(report.with(Outcome::Attention, true)) {
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
    let rest = items(group.iter().skip(ITEMS_SHOWN).flat_map(|f| &f.about), 24);
    if !rest.is_empty() {
        page.below(&format!("The same at {rest}."));
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
    let open = counted(report.questions.len(), "open question");
    let hang = if checks == 1 { "hangs" } else { "hang" };
    page.heading(Ink::Doubt, "UNKNOWN", &format!("{} {hang} on {open}", counted(checks, "check")));
    page.gap();
    let shown = if all { report.questions.len() } else { QUESTIONS_SHOWN };
    for question in report.questions.iter().take(shown) {
        page.entry(Ink::Doubt, &question.letter, question.stage.name(), &question.ask);
        let settles = format!("{}, {}", counted(question.settles.len(), "rule"), counted(question.checks(), "check"));
        let write = match phrases(question) {
            phrases if phrases.is_empty() => String::new(),
            phrases => format!(", {phrases}"),
        };
        page.below(&format!("{}{write}; {settles}", lines(question, sources, 6)));
    }
    page.gap();
    further(page, report, shown);
    page.text(&format!("`ringout ask {}` explains each question and lists them all.", report.plan));
}

/// Questions that are not shown, counted by what they are about.
fn further(page: &mut Page, report: &Report, shown: usize) {
    let mut owners: Vec<(&str, usize)> = Vec::new();
    for owner in report.questions.iter().skip(shown).filter_map(|q| q.owners.first()) {
        match owners.iter_mut().find(|(name, _)| name == owner) {
            Some((_, count)) => *count = count.saturating_add(1),
            None => owners.push((owner, 1)),
        }
    }
    if owners.is_empty() {
        return;
    }
    owners.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    let rest = report.questions.len().saturating_sub(shown);
    let each: Vec<String> = owners.iter().map(|(name, count)| format!("{name} {count}")).collect();
    let each: Vec<&str> = each.iter().map(String::as_str).collect();
    page.text(&format!("{} more: {}.", counted(rest, "question"), listed(&each, 12)));
}

fn passes(page: &mut Page, report: &Report, all: bool) {
    let passes = report.total().pass;
    let hint = if all || passes == 0 { "" } else { "`--all` lists them" };
    page.heading(Ink::Strong, &format!("PASS     {}", counted(passes, "check")), hint);
    remarks(page, report, Reason::JustEnough, "Just enough, so don't change them unaware");
    remarks(page, report, Reason::ByException, "Let off by an exception, so look twice");
    if !all {
        return;
    }
    let passing = || report.findings.iter().filter(|f| f.verdict == Outcome::Pass);
    let widest = passing().map(|f| columns(&f.rule)).max().unwrap_or_default().saturating_add(2) as isize;
    for stage in Stage::ALL {
        let groups = grouped(passing().filter(|f| f.stage == stage));
        if !groups.is_empty() {
            page.heading(Ink::Strong, stage.name(), moment(stage));
        }
        for group in &groups {
            let Some(first) = group.first() else { continue };
            let what = format!("{}: {}", first.title, items(group.iter().flat_map(|f| &f.about), 12));
            if page.is_narrow() {
                page.entry(Ink::Plain, "-", &first.rule, &what);
            } else {
                page.row(&[2, widest], &["", &first.rule, &what]);
            }
        }
    }
}

/// What was remarked of one rule for one reason stands together.
fn remarks(page: &mut Page, report: &Report, reason: Reason, intro: &str) {
    let mut groups: Vec<(&str, &str, Vec<&About>)> = Vec::new();
    for remark in report.remarks.iter().filter(|r| r.reason == reason) {
        match groups.iter_mut().find(|(rule, text, _)| *rule == remark.rule && *text == remark.text) {
            Some((_, _, all)) => all.push(&remark.about),
            None => groups.push((&remark.rule, &remark.text, vec![&remark.about])),
        }
    }
    if groups.is_empty() {
        return;
    }
    page.gap();
    page.text(&format!("{intro}:"));
    for (rule, text, all) in groups.iter().take(REMARKS_SHOWN) {
        page.indented(3, &format!("{}: {text} ({rule})", items(all.iter().copied(), 3)));
    }
    if let Some(rest) = groups.len().checked_sub(REMARKS_SHOWN).filter(|n| *n > 0) {
        page.indented(3, &format!("and {rest} more of the kind"));
    }
}
