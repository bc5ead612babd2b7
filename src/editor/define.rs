//! Where a name comes from: the item of a plan, the block of a rule file.

use super::model::{Model, Of, PlanModel, RuleModel};
use super::place::{Encoding, Text};
use super::shift::Shift;
use super::{uri, word};
use crate::Rules;
use crate::law::syntax::Pack;
use crate::text::{FileId, Span, Spanned};
use gen_lsp_types::{Location, Uri};
use std::path::Path;

/// Where the name at a byte is defined; several places where several blocks define it.
pub fn definition(model: &Model, now: &Text, byte: usize, own: &Uri, encoding: Encoding) -> Vec<Location> {
    let Some((start, end)) = word::around(now.as_str(), byte) else { return Vec::new() };
    let name = now.as_str().get(start..end).unwrap_or("");
    let line_start = now.line_start(now.line_of(start));
    if word::aside(now.as_str().get(line_start..start).unwrap_or("")) != (false, false) {
        return Vec::new();
    }
    let shift = Shift::between(&model.text, now.as_str());
    match &model.of {
        Of::Plan(plan) => {
            let here =
                item(plan, name, &shift, now).map(|(s, e)| Location::new(own.clone(), now.range(s, e, encoding)));
            match here {
                Some(here) => vec![here],
                None => in_files(&plan.rules, rule_ids(plan.rules.pack(), name), None, encoding),
            }
        }
        Of::Rules(rules) => {
            let spans = blocks(rules, name);
            let (mine, others): (Vec<Span>, Vec<Span>) = spans.into_iter().partition(|s| s.file == rules.file);
            let mine = mine.into_iter().filter_map(|s| shift.stretch_to_new(s.start, s.end));
            let mut all: Vec<Location> =
                mine.map(|(s, e)| Location::new(own.clone(), now.range(s, e, encoding))).collect();
            all.extend(in_files(&rules.rules, others, Some(rules.file), encoding));
            all
        }
    }
}

/// Where a plan's item is named first: the name in its head line, or the whole line where `R1 to R9` names it.
fn item(plan: &PlanModel, name: &str, shift: &Shift, now: &Text) -> Option<(usize, usize)> {
    let item = plan.checked.shop.named(name)?;
    let place = plan.checked.shop.head(item).place;
    if place.file != plan.checked.file || place.end <= place.start {
        return None;
    }
    let (start, end) = (shift.to_new(place.start as usize)?, shift.to_new(place.end as usize)?);
    let head = now.as_str().get(start..end)?;
    let mut at = 0;
    while let Some(found) = head.get(at..).and_then(|rest| rest.find(name)) {
        let from = at + found;
        if word::around(head, from) == Some((from, from + name.len())) {
            return Some((start + from, start + from + name.len()));
        }
        at = from + name.len().max(1);
    }
    Some((start, end))
}

fn rule_ids(pack: &Pack, name: &str) -> Vec<Span> {
    let rules = pack.rules.iter();
    let names = rules.flat_map(|r| std::iter::once(&r.name).chain(&r.aliases));
    names.filter(|n| n.node == name).map(|n| n.span).collect()
}

/// The blocks of a pack that a name stands for, wherever their names are written.
fn blocks(rules: &RuleModel, name: &str) -> Vec<Span> {
    let pack = rules.rules.pack();
    let wanted = |n: &&Spanned<String>| n.node == name;
    let mut spans = rule_ids(pack, name);
    spans.extend(pack.defines.iter().map(|d| &d.name).filter(wanted).map(|n| n.span));
    spans.extend(pack.tables.iter().map(|t| &t.name).filter(wanted).map(|n| n.span));
    spans.extend(pack.givens.iter().map(|g| &g.name).filter(wanted).map(|n| n.span));
    spans.extend(pack.groups.iter().map(|g| &g.name).filter(wanted).map(|n| n.span));
    spans.extend(pack.choices.iter().map(|c| &c.name).filter(wanted).map(|n| n.span));
    spans.extend(pack.facts.iter().filter(|f| f.word.name.node == name).map(|f| f.word.name.span));
    // Values and lists of a rule are its own; those at the left edge are everybody's.
    let values = pack.values.iter().chain(pack.rules.iter().flat_map(|r| &r.values));
    spans.extend(
        values.chain(pack.defines.iter().flat_map(|d| &d.values)).map(|v| &v.name).filter(wanted).map(|n| n.span),
    );
    let lists = pack.lists.iter().chain(pack.rules.iter().flat_map(|r| &r.lists));
    spans.extend(
        lists.chain(pack.defines.iter().flat_map(|d| &d.lists)).map(|l| &l.name).filter(wanted).map(|n| n.span),
    );
    spans
}

/// Places in files of a pack that are on the disk; the built-in ones are in the program alone.
fn in_files(rules: &Rules, spans: Vec<Span>, but: Option<FileId>, encoding: Encoding) -> Vec<Location> {
    let places = spans.into_iter().filter(|s| Some(s.file) != but).filter_map(|span| {
        let source = rules.sources.get(span.file)?;
        let path = Path::new(&source.name).canonicalize().ok()?;
        let text = Text::new(source.text.to_string());
        Some(Location::new(uri::of_path(&path), text.range(span.start as usize, span.end as usize, encoding)))
    });
    places.collect()
}
