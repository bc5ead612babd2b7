//! The open questions.

use super::{counted, items, limits, lines, listed, phrases};
use crate::report::page::{Ink, Look, Page, columns};
use crate::report::{Question, Report};
use crate::text::Sources;

/// How many places of one question are listed.
const PLACES_SHOWN: usize = 8;

/// The open questions as text: what to find out, what it settles, what each answer would do, and
/// where to write it.
pub fn ask(report: &Report, sources: &Sources, look: Look) -> String {
    let mut page = Page::new(look);
    let checks = report.total().unknown;
    if report.questions.is_empty() {
        page.text(&format!("No open question for {}: nothing that was checked is unknown.", report.plan));
        page.gap();
        page.text(&limits(&report.authority));
        return page.finish();
    }
    page.text(&format!(
        "{} for {}, behind {}. The ones that settle most come first, and at a tie the ones that are hardest to mend \
         later.",
        counted(report.questions.len(), "open question"),
        report.plan,
        counted(checks, "unknown check"),
    ));
    for question in &report.questions {
        one(&mut page, question, sources);
    }
    page.gap();
    page.text(&limits(&report.authority));
    page.finish()
}

fn one(page: &mut Page, question: &Question, sources: &Sources) {
    page.gap();
    page.entry(Ink::Doubt, &question.letter, question.stage.name(), &question.ask);
    // The question itself names a few.
    if question.items.len() > 6 {
        page.field("for each", &items(&question.items, 24));
    }
    let rules: Vec<String> = question
        .settles
        .iter()
        .map(|(rule, n)| if *n == 1 { rule.clone() } else { format!("{rule} ({n} checks)") })
        .collect();
    let rules: Vec<&str> = rules.iter().map(String::as_str).collect();
    page.field("settles", &format!("{}: {}", counted(question.settles.len(), "rule"), listed(&rules, 12)));
    let checks = question.checks();
    if question.alone < checks {
        let waiting = checks.saturating_sub(question.alone);
        let who = if waiting == checks { "Each waits".into() } else { format!("{waiting} of {checks} checks wait") };
        page.field("", &format!("{who} for other answers too."));
    }
    let widest = question.answers.iter().map(|a| columns(&a.text)).max().unwrap_or_default().min(28);
    for (i, answer) in question.answers.iter().enumerate() {
        let pad = " ".repeat(widest.saturating_sub(columns(&answer.text)));
        page.field(if i == 0 { "if" } else { "" }, &format!("{}{pad}   {}", answer.text, answer.effect));
    }
    page.field("write", &format!("{}   {}", lines(question, sources, PLACES_SHOWN), phrases(question)));
}
