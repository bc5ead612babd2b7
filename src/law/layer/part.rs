//! The parts of a rule, by their names, and what is made of their conditions.

use super::About;
use super::policy::{self, Role};
use super::scope::{and, made, or};
use crate::law::syntax::layer::TestPart;
use crate::law::syntax::{Expr, List, ListItem, Node, Part, Rule, WordName};
use crate::text::{Problem, Span, Spanned, nearest};

/// Writes a condition: everywhere, or where the block counts.
pub(super) fn put(test: &mut Expr, new: Expr, about: &About, span: Span) {
    *test = match about.when.test(span) {
        None => new,
        Some(when) => {
            let place = new.span;
            made(Node::If(when, new, test.clone()), place)
        }
    };
}

pub(super) fn not(e: Expr) -> Expr {
    let span = e.span;
    made(Node::Not(e), span)
}

/// Both, at the place of the second: what an edit brings in.
pub(super) fn made_and(a: Expr, b: Expr) -> Expr {
    let span = b.span;
    and(vec![a, b], span).unwrap_or_default()
}

pub(super) fn made_or(a: Expr, b: Expr) -> Expr {
    let span = b.span;
    or(vec![a, b], span).unwrap_or_default()
}

pub(super) fn named_part(name: &str, title: String, test: Expr, span: Span) -> Part {
    let name = Some(Spanned { node: name.to_string(), span });
    Part { name, title: Some(title), bounds: Default::default(), test }
}

/// The title and the condition of a part; its name where it has no title.
pub(super) fn slot<'r>(rule: &'r mut Rule, part: &TestPart) -> Option<(String, &'r mut Expr)> {
    let titled = |title: &Option<String>, name: &str| title.clone().unwrap_or_else(|| name.to_string());
    match part {
        TestPart::Where(name) | TestPart::Needs(name) => {
            let parts = if matches!(part, TestPart::Where(_)) { &mut rule.wheres } else { &mut rule.needs };
            let found = parts.iter_mut().find(|p| p.name.as_ref() == Some(name))?;
            Some((titled(&found.title, &name.node), &mut found.test))
        }
        TestPart::Except(name) => {
            let found = rule.excepts.iter_mut().find(|e| e.name == *name)?;
            Some((titled(&found.title, &name.node), &mut found.test))
        }
        TestPart::Item(name, list) => {
            let list = rule.lists.iter_mut().find(|l| l.name == *list)?;
            let found = list.items.iter_mut().find(|i| i.name == *name)?;
            Some((titled(&found.title, &name.node), found.test.as_mut()?))
        }
    }
}

pub(super) fn remove(rule: &mut Rule, part: &TestPart) {
    match part {
        TestPart::Where(name) => rule.wheres.retain(|p| p.name.as_ref() != Some(name)),
        TestPart::Needs(name) => rule.needs.retain(|p| p.name.as_ref() != Some(name)),
        TestPart::Except(name) => rule.excepts.retain(|e| e.name != *name),
        TestPart::Item(name, list) => {
            rule.lists.iter_mut().filter(|l| l.name == *list).for_each(|l| l.items.retain(|i| i.name != *name));
        }
    }
    // With no `needs` left a rule asks for nothing, and says so.
    if rule.needs.is_empty() {
        rule.needs.push(Part {
            name: None,
            title: None,
            bounds: Default::default(),
            test: made(Node::YesNo(true), rule.span),
        });
    }
}

/// A `needs` or `where` line as a list of one: the name of the list that it reads, made where it has none.
pub(super) fn as_list(rule: &mut Rule, part: &TestPart) -> Option<Spanned<String>> {
    let (TestPart::Needs(name) | TestPart::Where(name)) = part else { return None };
    let own: Vec<Spanned<String>> = rule.lists.iter().map(|l| l.name.clone()).collect();
    let (title, test) = slot(rule, part)?;
    if let Node::AnyOf(list) = &*test.node
        && own.contains(list)
    {
        return Some(list.clone());
    }
    let mut ways = format!("{}-ways", name.node);
    while own.iter().any(|list| list.node == ways) {
        ways.push_str("-more");
    }
    let list = Spanned { node: ways, span: name.span };
    let old = std::mem::replace(test, made(Node::AnyOf(list.clone()), test.span));
    let first = ListItem { name: name.clone(), title: Some(title), bounds: Default::default(), test: Some(old) };
    rule.lists.push(List { name: list.clone(), title: None, choice: None, items: vec![first] });
    Some(list)
}

pub(super) fn role(rule: &Rule, part: &TestPart) -> Role {
    match part {
        TestPart::Where(_) => Role::Widens,
        TestPart::Needs(_) => Role::Demands,
        TestPart::Except(_) => Role::LetsOff,
        TestPart::Item(_, list) => policy::role_of_list(rule, &list.node),
    }
}

pub(super) fn name_of(part: &TestPart) -> &Spanned<String> {
    match part {
        TestPart::Where(name) | TestPart::Needs(name) | TestPart::Except(name) | TestPart::Item(name, _) => name,
    }
}

/// `item garage of areas`, `exception alarm`.
pub(super) fn part_text(part: &TestPart) -> String {
    match part {
        TestPart::Where(name) => format!("where {}", name.node),
        TestPart::Needs(name) => format!("needs {}", name.node),
        TestPart::Except(name) => format!("exception {}", name.node),
        TestPart::Item(name, list) => format!("item {} of {}", name.node, list.node),
    }
}

pub(super) fn word_text(word: &WordName) -> String {
    let kinds: Vec<&str> = word.kinds.iter().map(|kind| kind.node.as_str()).collect();
    format!("{}.{}", kinds.join(" or "), word.name.node)
}

pub(super) fn near_or_all(name: &str, known: &[String], what: &str) -> String {
    match nearest(name, known.iter().map(String::as_str)) {
        Some(near) => format!("the nearest is `{near}`"),
        None if known.is_empty() => format!("it has no {what} at all"),
        None => format!("it has: {}", known.join(", ")),
    }
}

pub(super) fn is_taken(owner: &str, what: &str, name: &Spanned<String>, first: Span) -> Problem {
    Problem::error(name.span, format!("{owner} has {what} `{}` already", name.node))
        .help("`set` changes it; what is added has a name of its own")
        .also(first, "it stands here")
}

pub(super) fn sorted(mut all: Vec<String>) -> Vec<String> {
    all.sort();
    all
}
