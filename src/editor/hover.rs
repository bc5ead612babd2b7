//! What a place of a text means: the item, the facts that the phrase states, and the verdicts at the line.

use super::model::{Model, Of, PlanModel, RuleModel, meanings};
use super::place::{Encoding, Text};
use super::shift::Shift;
use super::word;
use crate::law::verdict::Outcome;
use crate::report::Finding;
use crate::shop::{How, ItemRef, Shop};
use crate::text::Span;
use crate::words::{Kind, NameId};
use gen_lsp_types::{Contents, Hover, MarkupContent, MarkupKind, Range};
use std::fmt::Write;

/// More verdicts of one kind at a line than these are counted, not told.
const MOST_TOLD: usize = 8;

/// What stands at a byte; none where there is nothing to say. `model` knows the words, `judged` the verdicts.
pub fn hover(model: &Model, judged: Option<&Model>, now: &Text, byte: usize, encoding: Encoding) -> Option<Hover> {
    let (text, range) = match &model.of {
        Of::Plan(plan) => of_plan(plan, model, judged, now, byte)?,
        Of::Rules(rules) => of_rules(rules, now, byte)?,
    };
    let range = range.map(|(start, end)| now.range(start, end, encoding));
    Some(told(text, range))
}

fn told(text: String, range: Option<Range>) -> Hover {
    Hover::new(Contents::MarkupContent(MarkupContent::new(MarkupKind::Markdown, text.trim_end().to_string())), range)
}

type Told = (String, Option<(usize, usize)>);

fn of_plan(plan: &PlanModel, model: &Model, judged: Option<&Model>, now: &Text, byte: usize) -> Option<Told> {
    let shift = Shift::between(&model.text, now.as_str());
    let line = now.line_of(byte);
    let before = now.as_str().get(now.line_start(line)..byte).unwrap_or("");
    let (is_comment, is_quoted) = word::aside(before);
    let (mut text, mut range) = (String::new(), None);
    if !is_comment && !is_quoted {
        if let Some((start, end)) = word::around(now.as_str(), byte) {
            let named = now.as_str().get(start..end).and_then(|name| plan.checked.shop.named(name));
            if let Some(item) = named {
                text += &item_text(&plan.checked.shop, item);
                range = Some((start, end));
            }
        }
        if let Some((span, facts)) = shift.to_old(byte).and_then(|old| plan.facts_at(old as u32)) {
            text += &facts_text(plan, &facts);
            range = range.or(shift.stretch_to_new(span.start, span.end));
        }
    }
    if let Some(judged) = judged
        && let Of::Plan(of) = &judged.of
    {
        text += &verdicts_text(of, &judged.text, now, line);
    }
    (!text.is_empty()).then_some((text, range))
}

fn item_text(shop: &Shop, item: ItemRef) -> String {
    let label = shop.head(item).label.as_ref().map(|l| format!(" “{}”", plain(l))).unwrap_or_default();
    format!("**{}**{label}: {}\n\n", plain(&shop.called(item)), item.kind.doc())
}

/// `**cover** of stretch 2 of F1: least earth over the top`, once for all items that one phrase is said of.
fn facts_text(plan: &PlanModel, facts: &[(ItemRef, NameId)]) -> String {
    let shop = &plan.checked.shop;
    let mut text = String::new();
    let mut told: Vec<(Kind, NameId)> = Vec::new();
    for (item, name) in facts {
        if told.contains(&(item.kind, *name)) {
            continue;
        }
        told.push((item.kind, *name));
        let Some(word) = shop.vocabulary.word(item.kind, *name) else { continue };
        let same = facts.iter().filter(|(i, n)| i.kind == item.kind && n == name).count();
        let of = if same == 1 { shop.called(*item) } else { format!("{same} {}", item.kind.plural()) };
        let how = how_text(shop.source(*item, *name).how);
        let _ = writeln!(text, "**{}** of {}: {}{how}\n", shop.vocabulary.text(*name), plain(&of), word.doc);
    }
    text
}

fn how_text(how: How) -> &'static str {
    match how {
        How::Assumed => " (assumed)",
        How::Seen => " (as seen)",
        How::Measured => " (as measured)",
        How::OnPaper => " (on paper)",
        How::Conflict => " (the plan says two things that differ)",
        _ => "",
    }
}

/// What the rules say of a line, as far as it still reads as it did when they were asked.
fn verdicts_text(of: &PlanModel, then: &str, now: &Text, line: usize) -> String {
    let shift = Shift::between(then, now.as_str());
    let (start, end) = (now.line_start(line), now.line_start(line + 1));
    let is_here = |span: &Span| {
        span.file == of.checked.file
            && shift.stretch_to_new(span.start, span.end).is_some_and(|(s, _)| (start..end.max(start + 1)).contains(&s))
    };
    let here: Vec<&Finding> = of.findings.iter().filter(|f| is_here(&f.place) || f.also.iter().any(is_here)).collect();
    let mut text = String::new();
    for (outcome, title) in [(Outcome::Attention, "attention"), (Outcome::Unknown, "unknown"), (Outcome::Pass, "pass")]
    {
        let all: Vec<&&Finding> = here.iter().filter(|f| f.verdict == outcome).collect();
        if all.is_empty() {
            continue;
        }
        let _ = writeln!(text, "---\n*{title}*, {}\n", all.len());
        for f in all.iter().take(MOST_TOLD) {
            let said = match outcome {
                Outcome::Pass => plain(&f.title),
                Outcome::Unknown => f.missing.first().map_or_else(|| plain(&f.message), |m| plain(&m.ask)),
                _ => plain(&f.message),
            };
            let cites = if f.cites.is_empty() { String::new() } else { format!(" ({})", plain(&f.cites.join(", "))) };
            let _ = writeln!(text, "- `{}`: {said}{cites}", f.rule);
        }
        if all.len() > MOST_TOLD {
            let _ = writeln!(text, "- and {} more", all.len() - MOST_TOLD);
        }
        text.push('\n');
    }
    text
}

fn of_rules(rules: &RuleModel, now: &Text, byte: usize) -> Option<Told> {
    let (start, end) = word::around(now.as_str(), byte)?;
    let typed = now.as_str().get(start..end)?;
    let vocabulary = &rules.rules.code.vocabulary;
    let mut text = String::new();
    let kind = Kind::ALL.into_iter().find(|k| k.name() == typed || k.plural() == typed);
    if let Some(kind) = kind {
        let _ = writeln!(text, "**{kind}**: {}\n", kind.doc());
    }
    let word = vocabulary.name(typed).or_else(|| vocabulary.name(typed.strip_prefix("has-")?));
    for (kind, doc, phrase) in word.map(|name| meanings(&rules.rules, name)).unwrap_or_default() {
        let _ = writeln!(text, "**{typed}** of a {kind}: {doc}\n");
        if !phrase.is_empty() {
            let _ = writeln!(text, "in a plan: `{phrase}`\n");
        }
    }
    let pack = rules.rules.pack();
    for define in pack.defines.iter().filter(|d| d.name.node == typed) {
        let _ = writeln!(text, "**{typed}**: {}\n", plain(&define.doc));
    }
    for table in pack.tables.iter().filter(|t| t.name.node == typed) {
        let _ = writeln!(text, "table **{typed}**: {}; {}\n", plain(&table.title), plain(&table.source));
    }
    for rule in pack.rules.iter().filter(|r| r.name.node == typed || r.aliases.iter().any(|a| a.node == typed)) {
        let _ = writeln!(text, "rule **{typed}**: {}\n\n{}\n", plain(&rule.title), plain(&rule.why));
    }
    (!text.is_empty()).then_some((text, Some((start, end))))
}

/// Text of a plan or rule file in Markdown: as it stands there, whatever signs it holds.
fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if matches!(c, '\\' | '`' | '*' | '_' | '{' | '}' | '[' | ']' | '<' | '>' | '#' | '|' | '!' | '&') {
            out.push('\\');
        }
        out.push(if c.is_control() { ' ' } else { c });
    }
    out
}
