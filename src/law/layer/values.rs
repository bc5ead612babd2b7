//! Edits of values and lists, a rule's own and shared ones.

use super::edit::Made;
use super::guard::{self, Found};
use super::part::{near_or_all, sorted};
use super::policy::{self, Settled};
use super::scope::made;
use super::{About, Reached, State, Work, Written, walk};
use crate::law::print;
use crate::law::syntax::layer::{Action, Was};
use crate::law::syntax::{Expr, Limit, List, Moment, Node, Options, Rule, Step, Value};
use crate::text::{Problem, Span, Spanned, nearest};

/// How a new text of a value stands beside the old one.
#[derive(Clone, Debug)]
enum Beside {
    /// In its place.
    Instead,
    /// In its place in the editions of the block.
    Editions,
    /// In its place where this holds.
    Where(Expr),
    /// Both must be met, everywhere or where this holds.
    Both(Option<Expr>),
}

impl Work {
    pub(super) fn set_value(
        &mut self,
        rule: &mut Rule,
        name: &Spanned<String>,
        new: &[Step],
        was: &Was<Vec<Step>>,
        span: Span,
        about: &About,
    ) -> Made {
        let part = format!("value {}", name.node);
        let made = Made::new("set", &part);
        let names: Vec<String> = rule.values.iter().map(|v| v.name.node.clone()).collect();
        let Some(value) = rule.values.iter().find(|v| v.name == *name) else {
            let help = near_or_all(&name.node, &names, "value");
            return made.wrong(
                Problem::error(name.span, format!("{} has no value `{}`", rule.name.node, name.node)).help(help),
            );
        };
        let today = print::steps(&value.steps);
        let made = Made { was: today.clone(), now: print::steps(new), ..made };
        let mut beside = match about.when.test(span) {
            None => Beside::Instead,
            Some(_) if about.when.is_by_edition() => Beside::Editions,
            Some(when) => Beside::Where(when),
        };
        let whole = about.when.test(span);
        match guard::steps(&was.found, &value.steps, new, &about.when) {
            Found::Same => {}
            Found::Absorbed => return made.with(State::Absorbed),
            Found::Other(other) => {
                let rule_name = rule.name.node.clone();
                let Some((by, settled)) = self.settles(&rule_name, &part, &print::steps(&was.found), about) else {
                    return made.wrong(guard::out_of_date(was.span, &rule_name, &part, &other));
                };
                beside = match (settled, beside) {
                    (Settled::Other, _) => return made.with(State::Refused),
                    (Settled::Own, beside) => beside,
                    (Settled::Strictest, _) => Beside::Both(whole.clone()),
                    (Settled::Open, _) => {
                        let which = self.ask_which(rule, &part, by, about);
                        let all = whole.into_iter().chain([which.clone()]).collect();
                        let when = super::scope::and(all, span).unwrap_or(which);
                        self.swap_value(rule, name, new, Beside::Where(when), about, span);
                        return made.with(State::NotSettled);
                    }
                };
            }
        }
        if about.leave.is_stricter_only {
            let inside = policy::is_inside(new, &value.steps);
            let in_where = rule.wheres.iter().any(|p| speaks(&p.test, &name.node));
            let is_limit =
                new.iter().chain(&value.steps).all(|s| !matches!(s.limit, Limit::Plain(_) | Limit::Asked { .. }));
            // In a `where` a narrower value meets less: what is stricter there is wider.
            if !is_limit || in_where || inside == Some(false) && is_outside(new, &value.steps) {
                return self.refused(made, &part, about, span);
            }
            beside = Beside::Both(about.when.test(span));
        }
        let key = (rule.name.node.clone(), part);
        self.written.entry(key).or_default().push(Written { layer: about.index, below: today });
        self.swap_value(rule, name, new, beside, about, span);
        made
    }

    pub(super) fn borrow_value(
        &mut self,
        rule: &mut Rule,
        name: &Spanned<String>,
        year: i64,
        was: &Was<Vec<Step>>,
        span: Span,
        about: &About,
    ) -> Made {
        let borrowed = rule.values.iter().find(|v| v.name == *name).and_then(|v| guard::at(&v.steps, year)).cloned();
        let first = crate::law::compile::EDITIONS.first().copied().unwrap_or_default();
        if year < first {
            let problem = Problem::error(was.span, format!("the pack begins with NEC {first}"));
            return Made::new("borrow", format!("value {}", name.node))
                .wrong(problem.help("write the text out: `set value …`"));
        }
        let steps: Vec<Step> = borrowed.map(|limit| Step { from: None, limit }).into_iter().collect();
        Made { verb: "borrow", ..self.set_value(rule, name, &steps, was, span, about) }
    }

    /// Puts a new text of a value in its place, or beside it.
    fn swap_value(
        &mut self,
        rule: &mut Rule,
        name: &Spanned<String>,
        new: &[Step],
        beside: Beside,
        about: &About,
        span: Span,
    ) {
        let Some(value) = rule.values.iter_mut().find(|v| v.name == *name) else { return };
        let beside = match beside {
            Beside::Instead => {
                value.steps = new.to_vec();
                return;
            }
            Beside::Editions => match spliced(&value.steps, new, &about.when) {
                Some(steps) => {
                    value.steps = steps;
                    return;
                }
                // It turns on days as well, which no list of steps can hold beside editions.
                None => match about.when.test(span) {
                    Some(when) => Beside::Where(when),
                    None => return,
                },
            },
            beside => beside,
        };
        let title = value.title.clone();
        let mut own = format!("{}-{}", name.node, about.layer.name.node);
        while rule.values.iter().any(|v| v.name.node == own) {
            own.push_str("-more");
        }
        let own = Spanned { node: own, span: name.span };
        let is_both = |e: &Expr| matches!(*e.node, Node::Within(..)) && matches!(beside, Beside::Both(_));
        let mut meet = |e: &mut Expr| {
            let (found, new) = match &*e.node {
                Node::Within(inner, limit) if limit == name => (true, Node::Within(inner.clone(), own.clone())),
                Node::Name(found) if *found == name.node => (true, Node::Name(own.node.clone())),
                _ => (false, Node::NoLimit),
            };
            if !found {
                return;
            }
            let (old, new) = (e.clone(), made(new, e.span));
            let when = match &beside {
                Beside::Where(when) | Beside::Both(Some(when)) => Some(when.clone()),
                _ => None,
            };
            let new = match is_both(&old) {
                true => made(Node::And(vec![old.clone(), new]), span),
                false => new,
            };
            *e = match when {
                Some(when) => made(Node::If(when, new, old), e.span),
                None => new,
            };
        };
        walk::rule(rule, &mut meet);
        rule.values.push(Value { name: own, title, steps: new.to_vec() });
    }

    /// A list or value at the left edge of a file, which many rules read.
    pub(super) fn edit_shared(&mut self, name: &Spanned<String>, what: &str, about: &About, shelved: Option<State>) {
        let is_there = match what {
            "list" => self.out.pack.lists.iter().any(|l| l.name == *name),
            _ => self.out.pack.values.iter().any(|v| v.name == *name),
        };
        if !is_there {
            let lists = self.out.pack.lists.iter().map(|l| &l.name);
            let values = self.out.pack.values.iter().map(|v| &v.name);
            let near = nearest(&name.node, lists.chain(values).map(|n| n.node.as_str()))
                .map(|n| format!("the nearest is `{n}`"));
            let problem = Problem::error(name.span, format!("no {what} at the left edge is called `{}`", name.node));
            return self
                .out
                .problems
                .push(problem.maybe_help(near.or(Some("one inside a rule is changed in that rule".into()))));
        }
        for edit in &about.change.edits {
            let made = self.shared(name, edit, about, shelved);
            if made.problem.is_none() && made.state == State::Applied {
                let edit = self.out.edits.len() as u32;
                self.reached.push(Reached { edit, name: name.node.clone(), when: about.when.test(about.change.span) });
            }
            self.note(name.node.clone(), name.node.clone(), edit, about, made);
        }
    }

    fn shared(
        &mut self,
        name: &Spanned<String>,
        edit: &crate::law::syntax::layer::Edit,
        about: &About,
        shelved: Option<State>,
    ) -> Made {
        let wrong = |made: Made, message: &str, help: &str| made.wrong(Problem::error(edit.span, message).help(help));
        match &edit.action {
            Action::SetValue(own, new, was) if own == name => {
                let made = Made::new("set", format!("value {}", name.node));
                let Some(value) = self.out.pack.values.iter_mut().find(|v| v.name == *name) else { return made };
                let made = Made { was: print::steps(&value.steps), now: print::steps(new), ..made };
                if let Some(state) = shelved {
                    return made.with(state);
                }
                match guard::steps(&was.found, &value.steps, new, &about.when) {
                    Found::Absorbed => return made.with(State::Absorbed),
                    Found::Other(today) => {
                        return made.wrong(guard::out_of_date(
                            was.span,
                            &name.node,
                            &format!("value {}", name.node),
                            &today,
                        ));
                    }
                    Found::Same => {}
                }
                if about.leave.is_stricter_only {
                    return self.refused(made, "a shared value", about, edit.span);
                }
                match about.when.is_always() {
                    true => value.steps = new.clone(),
                    false => match spliced(&value.steps, new, &about.when).filter(|_| about.when.is_by_edition()) {
                        Some(steps) => value.steps = steps,
                        None => {
                            return wrong(
                                made,
                                "a shared value can differ by edition alone",
                                "change it in the rules that read it, where each has its day and its `only where`",
                            );
                        }
                    },
                }
                made
            }
            Action::SetList(new, was) if new.name == *name => {
                let made = Made::new("set", format!("list {}", name.node));
                let Some(list) = self.out.pack.lists.iter_mut().find(|l| l.name == *name) else { return made };
                let items = |list: &List| list.items.iter().map(|i| i.name.node.clone()).collect::<Vec<_>>();
                let made = Made { was: items(list).join(", "), now: items(new).join(", "), ..made };
                if let Some(state) = shelved {
                    return made.with(state);
                }
                if sorted(items(list)) != sorted(was.found.clone()) {
                    let today = items(list).join(", ");
                    return made.wrong(guard::out_of_date(was.span, &name.node, "the list", &today));
                }
                if !about.when.is_always() {
                    return wrong(
                        made,
                        "a shared list can't differ by edition or day",
                        "change it in the rules that read it",
                    );
                }
                list.items = new.items.clone();
                made
            }
            _ => wrong(
                Made::new("set", name.node.clone()),
                "this edit does not go with what stands at the left edge",
                "`set value NAME to …, was …` or `set list NAME to …, was …`, with the name of the block",
            ),
        }
    }
}

/// A second text of a list: where the block counts, its readers read that one.
pub(super) fn swap_list(rule: &mut Rule, name: &str, new: List, about: &About, span: Span) {
    let mut own = format!("{name}-{}", about.layer.name.node);
    while rule.lists.iter().any(|l| l.name.node == own) {
        own.push_str("-more");
    }
    let own = Spanned { node: own, span };
    let Some(when) = about.when.test(span) else { return };
    let mut meet = |e: &mut Expr| {
        let new = match &*e.node {
            Node::AnyOf(list) if list.node == name => Node::AnyOf(own.clone()),
            Node::IsAnyOf { left, options: Options::List(list), is_denied } if list.node == name => {
                Node::IsAnyOf { left: left.clone(), options: Options::List(own.clone()), is_denied: *is_denied }
            }
            _ => return,
        };
        *e = made(Node::If(when.clone(), made(new, e.span), e.clone()), e.span);
    };
    walk::rule(rule, &mut meet);
    rule.lists.push(List { name: own, ..new });
}

fn speaks(test: &Expr, name: &str) -> bool {
    let mut found = false;
    walk::expr(&mut test.clone(), &mut |e| found |= walk::names(e).contains(&name));
    found
}

/// Whether a limit is looser, by its figures alone: the old one lies inside it.
fn is_outside(new: &[Step], old: &[Step]) -> bool {
    policy::is_inside(old, new) == Some(true)
}

/// A value whose new text counts in some editions: older steps, the new ones, and the old ones again.
/// None where the old or new text turns on days.
fn spliced(old: &[Step], new: &[Step], when: &super::When) -> Option<Vec<Step>> {
    let year = |step: &Step| match step.from {
        None => Some(i64::MIN),
        Some(Moment::Edition(year)) => Some(year),
        Some(Moment::Day(_)) => None,
    };
    let old_years: Vec<i64> = old.iter().map(year).collect::<Option<_>>()?;
    let new_years: Vec<i64> = new.iter().map(year).collect::<Option<_>>()?;
    let mut cuts: Vec<i64> = old_years.iter().chain(&new_years).copied().collect();
    for (from, before) in &when.editions {
        cuts.push(*from);
        cuts.extend(*before);
    }
    cuts.sort_unstable();
    cuts.dedup();
    let mut steps: Vec<Step> = Vec::new();
    for cut in cuts {
        let text = if when.has_edition(cut) { guard::at(new, cut) } else { guard::at(old, cut) };
        let Some(limit) = text else { continue };
        if steps.last().is_some_and(|last| print::limit(&last.limit) == print::limit(limit)) {
            continue;
        }
        let from = (cut > i64::MIN).then_some(Moment::Edition(cut));
        steps.push(Step { from, limit: limit.clone() });
    }
    (!steps.is_empty()).then_some(steps)
}
