//! Findings and problems as an editor shows them: at their words, by weight.
//!
//! What can't be read is an error; what needs attention a warning, advice information, and what can't be
//! told a hint that asks the question. What passes shows nothing here; hovering a line tells it.

use super::model::{Model, Of};
use super::place::{Encoding, Text};
use super::shift::Shift;
use crate::law::code::Level;
use crate::law::verdict::Outcome;
use crate::report::Finding;
use crate::text::{FileId, Problem, Severity, Span};
use gen_lsp_types::{Code, Diagnostic, DiagnosticRelatedInformation, DiagnosticSeverity, Location, Message, Uri};

/// Where a diagnostic is shown: the text, its name, and how the editor counts.
#[derive(Clone, Copy)]
pub struct Shown<'a> {
    /// The text.
    pub text: &'a Text,
    /// Its name.
    pub uri: &'a Uri,
    /// How the editor counts.
    pub encoding: Encoding,
}

/// Everything that a model says of its text. Where the rules were not asked yet, what they said of an
/// `earlier` text stands, as far as its words are still there.
pub fn diagnostics(model: &Model, earlier: Option<&Model>, uri: &Uri, encoding: Encoding) -> Vec<Diagnostic> {
    let text = Text::new(model.text.to_string());
    let shown = Shown { text: &text, uri, encoding };
    match &model.of {
        Of::Rules(rules) => rules.problems().map(|p| problem(p, rules.file, shown)).collect(),
        Of::Plan(plan) => {
            let file = plan.checked.file;
            let mut all: Vec<Diagnostic> = plan.problems.iter().map(|p| problem(p, file, shown)).collect();
            let (found, shift) = match earlier.map(|e| (&e.of, Shift::between(&e.text, &model.text))) {
                Some((Of::Plan(earlier), shift)) => (earlier, Some(shift)),
                _ => (plan, None),
            };
            for f in found.open() {
                let moved = |span: Span| match &shift {
                    None => Some(span),
                    Some(shift) => shift.stretch_to_new(span.start, span.end).map(|(s, e)| Span::new(span.file, s, e)),
                };
                all.extend(moved(f.place).map(|place| finding(f, place, moved, found.checked.file, shown)));
            }
            all
        }
    }
}

/// What is wrong with a line.
pub fn problem(problem: &Problem, file: FileId, shown: Shown<'_>) -> Diagnostic {
    let severity = match problem.severity {
        Severity::Error => DiagnosticSeverity::Error,
        Severity::Warning => DiagnosticSeverity::Warning,
    };
    let help = problem.help.iter().map(|h| format!("\n{h}")).collect::<String>();
    let also = problem.also.iter().map(|label| (label.span, label.text.clone()));
    diagnostic(problem.span, severity, None, format!("{}{help}", problem.message), also, file, shown)
}

fn finding(
    f: &Finding,
    place: Span,
    moved: impl Fn(Span) -> Option<Span>,
    file: FileId,
    shown: Shown<'_>,
) -> Diagnostic {
    let severity = match (f.verdict, f.level) {
        (Outcome::Unknown, _) => DiagnosticSeverity::Hint,
        (_, Level::Required) => DiagnosticSeverity::Warning,
        _ => DiagnosticSeverity::Information,
    };
    let also = f.also.iter().filter_map(|span| Some((moved(*span)?, "this decides it too".to_string())));
    diagnostic(place, severity, Some(f.rule.to_string()), said(f), also, file, shown)
}

/// A finding in a few lines: what is wrong or asked, where the code says so, what to do, what to beware of.
fn said(f: &Finding) -> String {
    let mut lines = vec![f.message.clone()];
    if f.verdict == Outcome::Unknown {
        lines.extend(f.missing.iter().map(|m| m.ask.clone()));
    }
    if !f.cites.is_empty() {
        lines.push(f.cites.join(", "));
    }
    if f.verdict == Outcome::Attention {
        lines.extend(f.leans_on.iter().cloned());
        lines.extend(f.remedy.iter().chain(&f.caution).cloned());
    }
    lines.dedup();
    lines.join("\n")
}

fn diagnostic(
    span: Span,
    severity: DiagnosticSeverity,
    rule: Option<String>,
    message: String,
    also: impl Iterator<Item = (Span, String)>,
    file: FileId,
    shown: Shown<'_>,
) -> Diagnostic {
    let range = |span: Span| shown.text.range(span.start as usize, span.end as usize, shown.encoding);
    let further = also
        .filter(|(s, _)| s.file == file)
        .map(|(s, text)| DiagnosticRelatedInformation::new(Location::new(shown.uri.clone(), range(s)), text));
    let further: Vec<_> = further.collect();
    Diagnostic {
        range: range(span),
        severity: Some(severity),
        code: rule.map(Code::String),
        code_description: None,
        source: Some("ringout".to_string()),
        message: Message::String(message),
        tags: None,
        related_information: (!further.is_empty()).then_some(further),
        data: None,
    }
}
