//! Edits of named conditions: `where`, `needs`, exceptions, items of lists.

use super::edit::Made;
use super::guard::{self, Found};
use super::part::{made_and, made_or, name_of, near_or_all, not, part_text, put, remove, role, slot, sorted};
use super::policy::{self, Role};
use super::scope::made;
use super::{About, State, Work, Written};
use crate::law::print;
use crate::law::syntax::layer::{Quoted, TestPart, Was};
use crate::law::syntax::{Expr, Node, Rule};
use crate::text::{Problem, Span};

impl Work {
    pub(super) fn set_test(
        &mut self,
        rule: &mut Rule,
        part: &TestPart,
        new: &Expr,
        was: &Was<Quoted>,
        span: Span,
        about: &About,
    ) -> Made {
        let name = rule.name.node.clone();
        let role = role(rule, part);
        let Some((title, test)) = slot(rule, part) else { return self.no_part(rule, "set", part) };
        let today = print::expr(test);
        let made = Made::new("set", part_text(part)).from_to(&today, print::expr(new));
        match guard::quoted(&was.found, &title, Some(test), Some(new)) {
            // A title stays what it was when another layer words the condition anew: who quotes it alone
            // need not have read that.
            Found::Same => {
                if let (Quoted::Title(_), Some((by, settled))) = (&was.found, self.written_over(&name, part, about)) {
                    let both = self.both(rule, role, part, new, by, settled, about, span);
                    return both.from_to(today, print::expr(new));
                }
            }
            Found::Absorbed => return made.with(State::Absorbed),
            Found::Other(today) => {
                if let Some((by, differ)) = self.clash(&name, part, &was.found, &today, about) {
                    let both = self.both(rule, role, part, new, by, differ, about, span);
                    return both.from_to(today, print::expr(new));
                }
                return made.wrong(guard::out_of_date(was.span, &name, &part_text(part), &today));
            }
        }
        let new = match (about.leave.is_stricter_only, role) {
            (false, _) => new.clone(),
            (true, Role::Widens) => made_or(test.clone(), new.clone()),
            (true, Role::Demands | Role::LetsOff) => made_and(test.clone(), new.clone()),
            (true, Role::Unclear) => return self.refused(made, &part_text(part), about, span),
        };
        put(test, new, about, span);
        self.wrote(&name, part, today, about);
        made
    }

    pub(super) fn strike_test(
        &mut self,
        rule: &mut Rule,
        part: &TestPart,
        was: &Was<Quoted>,
        span: Span,
        about: &About,
    ) -> Made {
        let name = rule.name.node.clone();
        let role = role(rule, part);
        if let Some(made) = self.strike_value_of_choice(rule, part, was, about, span) {
            return made;
        }
        let Some((title, test)) = slot(rule, part) else { return self.no_part(rule, "strike", part) };
        let made = Made::new("strike", part_text(part)).from_to(print::expr(test), "");
        if let Found::Other(today) = guard::quoted(&was.found, &title, Some(test), None) {
            return made.wrong(guard::out_of_date(was.span, &name, &part_text(part), &today));
        }
        let is_condition = matches!(part, TestPart::Needs(_) | TestPart::Where(_));
        let loosens = match part {
            TestPart::Needs(_) => true,
            TestPart::Where(_) | TestPart::Except(_) => false,
            TestPart::Item(..) => role != Role::LetsOff,
        };
        if about.leave.is_stricter_only && loosens {
            return self.refused(made, &part_text(part), about, span);
        }
        self.struck.insert((name, part_text(part)), about.index);
        match about.when.test(span) {
            Some(when) => {
                let old = test.clone();
                *test = if is_condition { made_or(when, old) } else { made_and(not(when), old) };
            }
            None => remove(rule, part),
        }
        self.way_left(rule, part, span);
        made
    }

    /// After a strike, a list that a `needs` reads must have something left.
    pub(super) fn way_left(&mut self, rule: &mut Rule, part: &TestPart, span: Span) {
        let TestPart::Item(_, list) = part else { return };
        let is_empty = rule.lists.iter().any(|l| l.name == *list && l.items.is_empty());
        if is_empty && role(rule, part) != Role::Widens {
            let message =
                format!("no way is left to meet `{}`: the last item of `{}` is struck", rule.name.node, list.node);
            let help = "if nothing is allowed any more, say so: `add needs none \"…\": no`";
            let by: Vec<String> = self
                .struck
                .iter()
                .filter(|((name, part), _)| *name == rule.name.node && part.ends_with(&format!(" of {}", list.node)))
                .filter_map(|((_, part), by)| Some(format!("{part} by {}", self.out.layers.get(*by)?.title)))
                .collect();
            let help = if by.len() > 1 { format!("{help}; struck: {}", sorted(by).join(", ")) } else { help.into() };
            self.out.problems.push(Problem::error(span, message).help(help));
        }
    }

    pub(super) fn limit(
        &mut self,
        rule: &mut Rule,
        part: &TestPart,
        new: &Expr,
        was: &Was<Quoted>,
        span: Span,
        about: &About,
    ) -> Made {
        let name = rule.name.node.clone();
        let role = role(rule, part);
        let Some((title, test)) = slot(rule, part) else { return self.no_part(rule, "limit", part) };
        let made = Made::new("limit", part_text(part))
            .from_to(print::expr(test), print::expr(&made_and(test.clone(), new.clone())));
        if let Found::Other(today) = guard::quoted(&was.found, &title, Some(test), None) {
            return made.wrong(guard::out_of_date(was.span, &name, &part_text(part), &today));
        }
        if about.leave.is_stricter_only && matches!(role, Role::Widens | Role::Unclear) {
            return self.refused(made, &part_text(part), about, span);
        }
        let further = match about.when.test(span) {
            Some(when) => made_or(not(when), new.clone()),
            None => new.clone(),
        };
        *test = made_and(test.clone(), further);
        made
    }

    pub(super) fn strike_value_of_choice(
        &mut self,
        rule: &mut Rule,
        part: &TestPart,
        was: &Was<Quoted>,
        about: &About,
        span: Span,
    ) -> Option<Made> {
        let TestPart::Item(item, list) = part else { return None };
        let role = role(rule, part);
        let found = rule.lists.iter_mut().find(|l| l.name == *list && l.choice.is_some())?;
        let place = found.items.iter().position(|i| i.name == *item)?;
        let made = Made::new("strike", part_text(part)).from_to(&item.node, "");
        let quoted = match &was.found {
            Quoted::Title(title) => title.clone(),
            Quoted::Test(e) => print::expr(e),
        };
        if guard::words(&quoted) != item.node {
            return Some(made.wrong(guard::out_of_date(
                was.span,
                &rule.name.node,
                &part_text(part),
                &format!("\"{}\"", item.node),
            )));
        }
        if about.leave.is_stricter_only && role != Role::LetsOff {
            return Some(self.refused(made, &part_text(part), about, span));
        }
        self.struck.insert((rule.name.node.clone(), part_text(part)), about.index);
        if about.when.is_always() {
            found.items.remove(place);
        } else {
            let mut new = found.clone();
            new.items.remove(place);
            super::values::swap_list(rule, &list.node, new, about, span);
        }
        self.way_left(rule, part, span);
        Some(made)
    }

    pub(super) fn no_part(&mut self, rule: &Rule, verb: &'static str, part: &TestPart) -> Made {
        let made = Made::new(verb, part_text(part));
        if let Some(by) =
            self.struck.get(&(rule.name.node.clone(), part_text(part))).and_then(|by| self.out.layers.get(*by))
        {
            let message = format!("nothing is left to change: {} struck {} already", by.title, part_text(part));
            let problem = Problem::warning(name_of(part).span, message);
            return Made { problem: Some(problem), state: State::Absorbed, ..made };
        }
        let name = name_of(part);
        let (what, names): (&str, Vec<String>) = match part {
            TestPart::Needs(_) => {
                ("needs", rule.needs.iter().filter_map(|p| p.name.as_ref()).map(|n| n.node.clone()).collect())
            }
            TestPart::Where(_) => {
                ("where", rule.wheres.iter().filter_map(|p| p.name.as_ref()).map(|n| n.node.clone()).collect())
            }
            TestPart::Except(_) => ("exception", rule.excepts.iter().map(|e| e.name.node.clone()).collect()),
            TestPart::Item(_, list) => match rule.lists.iter().find(|l| l.name == *list) {
                Some(found) => ("item", found.items.iter().map(|i| i.name.node.clone()).collect()),
                None => {
                    let names: Vec<String> = rule.lists.iter().map(|l| l.name.node.clone()).collect();
                    let help = near_or_all(&list.node, &names, "list");
                    let message = format!("{} has no list `{}`", rule.name.node, list.node);
                    return made.wrong(Problem::error(list.span, message).help(help));
                }
            },
        };
        let help = near_or_all(&name.node, &names, what);
        made.wrong(Problem::error(name.span, format!("{} has no {what} `{}`", rule.name.node, name.node)).help(help))
    }

    pub(super) fn wrote(&mut self, rule: &str, part: &TestPart, below: String, about: &About) {
        let key = (rule.to_string(), part_text(part));
        self.written.entry(key).or_default().push(Written { layer: about.index, below });
    }

    /// A guard that quotes what stood under another layer: two texts side by side. Gives the other
    /// layer and who settles it.
    pub(super) fn clash(
        &self,
        rule: &str,
        part: &TestPart,
        was: &Quoted,
        _today: &str,
        about: &About,
    ) -> Option<(usize, policy::Settled)> {
        let Quoted::Test(quoted) = was else { return None };
        let quoted = print::expr(quoted);
        self.settles(rule, &part_text(part), &quoted, about)
    }

    /// Another layer that wrote a part, and who settles the two texts.
    fn written_over(&self, rule: &str, part: &TestPart, about: &About) -> Option<(usize, policy::Settled)> {
        let written = self.written.get(&(rule.to_string(), part_text(part)))?;
        let other = written.iter().rev().find(|written| written.layer != about.index)?;
        Some((other.layer, self.settled(about)))
    }

    fn settled(&self, about: &About) -> policy::Settled {
        let own = about.layer.differ.as_ref().map(|differ| (about.index, about.layer.kind, differ.node));
        policy::settled(&self.policies, own, about.index)
    }

    /// Whether an edit of a rule as a whole would undo what another layer made of it: what comes of the
    /// edit then. None where no other layer changed the rule, or where this one wins.
    pub(super) fn undoes(&self, rule: &Rule, made: &Made, about: &About, span: Span) -> Option<Made> {
        let edits = rule.touched.iter().filter_map(|touched| self.out.edits.get(touched.edit as usize));
        let other = edits.filter(|edit| edit.layer != about.index).find_map(|edit| self.out.layers.get(edit.layer))?;
        let made = Made { was: made.was.clone(), now: made.now.clone(), ..Made::new(made.verb, made.part.clone()) };
        match self.settled(about) {
            policy::Settled::Own => None,
            policy::Settled::Other => Some(made.with(State::Refused)),
            policy::Settled::Strictest | policy::Settled::Open => {
                let message =
                    format!("`{}` was changed by {} as well, and this would undo it", rule.name.node, other.title);
                let help = "no text says which one holds: ask the office, then take one out, or write `differ this layer wins` where that is the law";
                Some(made.wrong(Problem::error(span, message).help(help).also(other.span, "the other layer")))
            }
        }
    }

    /// Who wrote over the text that a guard quotes, and who settles the two.
    pub(super) fn settles(
        &self,
        rule: &str,
        part: &str,
        quoted: &str,
        about: &About,
    ) -> Option<(usize, policy::Settled)> {
        let written = self.written.get(&(rule.to_string(), part.to_string()))?;
        let other = written.iter().find(|w| w.below == quoted && w.layer != about.index)?;
        Some((other.layer, self.settled(about)))
    }

    /// Both texts of a part, as they were settled.
    #[allow(clippy::too_many_arguments)]
    pub(super) fn both(
        &mut self,
        rule: &mut Rule,
        role: Role,
        part: &TestPart,
        new: &Expr,
        by: usize,
        settled: policy::Settled,
        about: &About,
        span: Span,
    ) -> Made {
        let made = Made::new("set", part_text(part));
        let which = self.ask_which(rule, &part_text(part), by, about);
        let Some((_, test)) = slot(rule, part) else { return made };
        match settled {
            policy::Settled::Own => put(test, new.clone(), about, span),
            policy::Settled::Other => return made.with(State::Refused),
            policy::Settled::Strictest => {
                let both = match role {
                    Role::Widens => made_or(test.clone(), new.clone()),
                    _ => made_and(test.clone(), new.clone()),
                };
                put(test, both, about, span);
            }
            policy::Settled::Open => {
                let one = self::made(Node::If(which, new.clone(), test.clone()), span);
                put(test, one, about, span);
                return made.with(State::NotSettled);
            }
        }
        made
    }
}
