//! A condition taken apart: what it says for sure of which expression.

use super::bound::{Bound, End};
use super::{Known, counts};
use crate::law::layer::walk;
use crate::law::print;
use crate::law::syntax::{Comparison, Expr, Limit, List, Moment, Node, Options, Rule, Value};
use crate::quantity::Quantity;
use std::collections::{BTreeMap, BTreeSet};

/// What must hold: bounds on expressions, and conditions that stand for themselves.
#[derive(Clone, Debug, Default)]
pub(super) struct Facts {
    /// By the text of the expression, the rule's letter written `_`.
    pub bounds: BTreeMap<String, Bound>,
    /// Conditions by their text.
    pub others: BTreeSet<String>,
    /// Bounds on one expression that leave nothing.
    torn: Option<(String, Bound, Bound)>,
}

impl Facts {
    fn put(&mut self, what: String, bound: Bound) {
        let Some(before) = self.bounds.get(&what) else {
            self.bounds.insert(what, bound);
            return;
        };
        match before.and(&bound) {
            Some(both) if both.is_empty() => {
                self.torn.get_or_insert((what, before.clone(), bound));
            }
            Some(both) => {
                self.bounds.insert(what, both);
            }
            None => {}
        }
    }

    /// An expression for which both leave nothing, with what each says of it.
    pub fn clash<'f>(&'f self, other: &'f Facts) -> Option<(String, &'f Bound, &'f Bound)> {
        if let Some((what, one, two)) = self.torn.as_ref().or(other.torn.as_ref()) {
            return Some((what.clone(), one, two));
        }
        self.bounds.iter().find_map(|(what, one)| {
            let two = other.bounds.get(what)?;
            one.and(two).is_some_and(|both| both.is_empty()).then(|| (what.clone(), one, two))
        })
    }

    /// Whether this holds wherever the other does.
    pub fn covers(&self, other: &Facts) -> bool {
        self.torn.is_none()
            && self.others.is_subset(&other.others)
            && self.bounds.iter().all(|(what, bound)| other.bounds.get(what).is_some_and(|o| o.is_within(bound)))
    }
}

/// A rule in one edition.
pub(super) struct Reading<'p> {
    pack: &'p Known<'p>,
    rule: &'p Rule,
    pub year: i64,
    /// All of its `where` lines that are sure to count.
    pub wheres: Facts,
}

impl<'p> Reading<'p> {
    pub fn of(pack: &'p Known<'p>, rule: &'p Rule, year: i64) -> Reading<'p> {
        let mut reading = Reading { pack, rule, year, wheres: Facts::default() };
        let mut wheres = Facts::default();
        for part in &rule.wheres {
            match counts(&part.bounds, year) {
                Some(true) => reading.say(&part.test, false, &mut wheres),
                Some(false) => {}
                // It may count: wherever the rule applies is not known by the rest alone.
                None => drop(wheres.others.insert(format!("{}: {}", rule.name.node, print::expr(&part.test)))),
            }
        }
        reading.wheres = wheres;
        reading
    }

    /// What a condition says for sure.
    pub fn facts(&self, test: &Expr) -> Facts {
        let mut facts = Facts::default();
        self.say(test, false, &mut facts);
        facts
    }

    fn say(&self, test: &Expr, is_denied: bool, facts: &mut Facts) {
        let bound = match (&*test.node, is_denied) {
            (Node::And(all), false) | (Node::Or(all), true) => {
                return all.iter().for_each(|each| self.say(each, is_denied, facts));
            }
            (Node::Not(inner), _) => return self.say(inner, !is_denied, facts),
            (Node::Word(..), _) => Some((test, Bound::Is(!is_denied))),
            (Node::Compare(sign, a, b), _) => match (quantity(a), quantity(b)) {
                (None, Some(q)) => range(*sign, q, is_denied).map(|range| (a, range)),
                (Some(q), None) => range(turned(*sign), q, is_denied).map(|range| (b, range)),
                _ => None,
            },
            (Node::Within(e, name), false) => self.limit(&name.node).map(|bound| (e, bound)),
            (Node::Is { left, right, is_denied: is_not }, _) => match &*right.node {
                // A letter or a thing is no value of a choice.
                Node::Name(value) if !is_thing(self.rule, value) && !self.is_of_several(left) => {
                    Some((left, among(BTreeSet::from([value.clone()]), is_denied != *is_not)))
                }
                _ => None,
            },
            (Node::IsAnyOf { left, options, is_denied: is_not }, _) if !self.is_of_several(left) => {
                self.options(options).map(|values| (left, among(values, is_denied != *is_not)))
            }
            _ => None,
        };
        match bound {
            Some((of, bound)) => facts.put(self.text(of), bound),
            None => {
                let not = if is_denied { "not " } else { "" };
                facts.others.insert(format!("{not}{}", self.text(test)));
            }
        }
    }

    /// The text of an expression with the rule's letter as `_`. What speaks of a value or list of the rule's own is
    /// another rule's never.
    fn text(&self, e: &Expr) -> String {
        let letter = self.rule.subject.variable.as_ref().map(|v| v.node.as_str());
        let mut e = e.clone();
        let mut is_own = false;
        walk::expr(&mut e, &mut |inner| {
            is_own |= walk::names(inner).into_iter().any(|name| {
                self.rule.values.iter().any(|v| v.name.node == name)
                    || self.rule.lists.iter().any(|l| l.name.node == name)
            });
            if let Node::Name(name) = &mut *inner.node
                && Some(name.as_str()) == letter
            {
                *name = "_".into();
            }
        });
        let text = print::expr(&e);
        if is_own { format!("{text} [{}]", self.rule.name.node) } else { text }
    }

    fn is_of_several(&self, e: &Expr) -> bool {
        matches!(&*e.node, Node::Word(_, word) if self.pack.of_several.contains(word.node.as_str()))
    }

    fn value(&self, name: &str) -> Option<&'p Value> {
        let own = self.rule.values.iter().find(|value| value.name.node == name);
        own.or_else(|| self.pack.pack.values.iter().find(|value| value.name.node == name))
    }

    fn list(&self, name: &str) -> Option<&'p List> {
        let own = self.rule.lists.iter().find(|list| list.name.node == name);
        own.or_else(|| self.pack.pack.lists.iter().find(|list| list.name.node == name))
    }

    /// What a value allows in this edition; none where a day or a formula decides.
    fn limit(&self, name: &str) -> Option<Bound> {
        let steps = &self.value(name)?.steps;
        if steps.iter().any(|step| matches!(step.from, Some(Moment::Day(_)))) {
            return None;
        }
        let here = |from: Option<Moment>| from.is_none_or(|m| matches!(m, Moment::Edition(at) if at <= self.year));
        let end = |e: &Expr| quantity(e).map(|at| End { at, is_out: false });
        match &steps.iter().rev().find(|step| here(step.from))?.limit {
            Limit::AtLeast(e) => Some(Bound::Range(Some(end(e)?), None)),
            Limit::AtMost(e) => Some(Bound::Range(None, Some(end(e)?))),
            Limit::Between(a, b) => Some(Bound::Range(Some(end(a)?), Some(end(b)?))),
            Limit::Plain(_) | Limit::Asked { .. } => None,
        }
    }

    fn options(&self, options: &Options) -> Option<BTreeSet<String>> {
        match options {
            Options::Values(values) => Some(values.iter().map(|value| value.node.clone()).collect()),
            Options::List(name) => {
                let list = self.list(&name.node)?;
                list.choice.as_ref()?;
                let mut values = BTreeSet::new();
                for item in &list.items {
                    if counts(&item.bounds, self.year)? {
                        values.insert(item.name.node.clone());
                    }
                }
                Some(values)
            }
        }
    }
}

fn is_thing(rule: &Rule, name: &str) -> bool {
    matches!(name, "shop" | "permit") || rule.subject.variable.as_ref().is_some_and(|v| v.node == name)
}

fn quantity(e: &Expr) -> Option<Quantity> {
    match &*e.node {
        Node::Quantity(q) => Some(*q),
        _ => None,
    }
}

fn among(values: BTreeSet<String>, is_denied: bool) -> Bound {
    if is_denied { Bound::Not(values) } else { Bound::Among(values) }
}

/// `b < a` for `a > b`.
fn turned(sign: Comparison) -> Comparison {
    match sign {
        Comparison::Equal => Comparison::Equal,
        Comparison::Less => Comparison::More,
        Comparison::AtMost => Comparison::AtLeast,
        Comparison::More => Comparison::Less,
        Comparison::AtLeast => Comparison::AtMost,
    }
}

fn range(sign: Comparison, at: Quantity, is_denied: bool) -> Option<Bound> {
    let (inside, outside) = (End { at, is_out: false }, End { at, is_out: true });
    Some(match (sign, is_denied) {
        (Comparison::Equal, false) => Bound::Range(Some(inside), Some(inside)),
        // All but one amount is no range.
        (Comparison::Equal, true) => return None,
        (Comparison::Less, false) | (Comparison::AtLeast, true) => Bound::Range(None, Some(outside)),
        (Comparison::AtMost, false) | (Comparison::More, true) => Bound::Range(None, Some(inside)),
        (Comparison::More, false) | (Comparison::AtMost, true) => Bound::Range(Some(outside), None),
        (Comparison::AtLeast, false) | (Comparison::Less, true) => Bound::Range(Some(inside), None),
    })
}
