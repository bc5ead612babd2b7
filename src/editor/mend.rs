//! Quick fixes: where a problem says which word was meant, that word is put in.

use super::diagnose::{self, Shown};
use super::model::{Model, Of};
use super::place::{Encoding, Text};
use super::shift::Shift;
use crate::text::Problem;
use gen_lsp_types::{CodeAction, CodeActionKind, CodeActionResponse, Range, TextEdit, Uri, WorkspaceEdit};
use std::collections::HashMap;

/// The fixes of problems that touch a range.
pub fn actions(model: &Model, now: &Text, range: Range, uri: &Uri, encoding: Encoding) -> Vec<CodeActionResponse> {
    let shift = Shift::between(&model.text, now.as_str());
    let (from, to) = (now.byte(range.start, encoding), now.byte(range.end, encoding));
    let (problems, file): (Vec<&Problem>, _) = match &model.of {
        Of::Plan(plan) => (plan.problems.iter().collect(), plan.checked.file),
        Of::Rules(rules) => (rules.problems().collect(), rules.file),
    };
    let then = Text::new(model.text.to_string());
    let mut actions = Vec::new();
    for problem in problems {
        let Some(instead) = problem.instead.as_ref().filter(|i| i.span.file == file) else { continue };
        let Some((start, end)) = shift.stretch_to_new(instead.span.start, instead.span.end) else { continue };
        let whole = shift.stretch_to_new(problem.span.start, problem.span.end).unwrap_or((start, end));
        if whole.0.min(start) > to || whole.1.max(end) < from {
            continue;
        }
        let typed = now.as_str().get(start..end).unwrap_or("");
        let edit = TextEdit::new(now.range(start, end, encoding), instead.text.clone());
        let changes = HashMap::from([(uri.clone(), vec![edit])]);
        actions.push(CodeActionResponse::CodeAction(CodeAction {
            title: format!("Write `{}` for `{typed}`", instead.text),
            kind: Some(CodeActionKind::QuickFix),
            diagnostics: Some(vec![diagnose::problem(problem, file, Shown { text: &then, uri, encoding })]),
            is_preferred: Some(true),
            edit: Some(WorkspaceEdit { changes: Some(changes), ..WorkspaceEdit::default() }),
            ..CodeAction::default()
        }));
    }
    actions
}
