//! Facts that a pack declares and nothing in it speaks of.

use crate::law::layer::walk;
use crate::law::syntax::{Define, Expr, Pack};
use crate::text::Problem;
use std::collections::HashSet;

/// Each fact of which no rule, formula, value, list or sheet speaks. Its phrase is read in every plan and changes nothing.
pub(super) fn facts(pack: &Pack) -> Vec<Problem> {
    // The walk is made for changing what it meets, so it goes through a copy.
    let mut copy = pack.clone();
    let mut spoken: HashSet<String> = HashSet::new();
    let mut meet = |e: &mut Expr| spoken.extend(walk::names(e).into_iter().map(str::to_string));
    copy.rules.iter_mut().for_each(|rule| walk::rule(rule, &mut meet));
    for Define { values, lists, body, .. } in &mut copy.defines {
        values.iter_mut().for_each(|value| walk::value(value, &mut meet));
        lists.iter_mut().for_each(|list| walk::list(list, &mut meet));
        walk::expr(body, &mut meet);
    }
    copy.values.iter_mut().for_each(|value| walk::value(value, &mut meet));
    copy.lists.iter_mut().for_each(|list| walk::list(list, &mut meet));
    for sheet in &pack.sheets {
        spoken.extend(sheet.only.iter().chain(&sheet.figures).map(|name| name.node.clone()));
    }
    let is_idle = |name: &str| !spoken.contains(name);
    pack.facts
        .iter()
        .filter(|fact| is_idle(&fact.word.name.node))
        .map(|fact| {
            let message = format!("no rule and no formula speaks of `{}`", fact.word.name.node);
            Problem::warning(fact.word.name.span, message).help("write the rule that it is for, or take it out")
        })
        .collect()
}
