//! What an edit adds to a rule, and whole lists.

use super::edit::Made;
use super::guard;
use super::part::{as_list, is_taken, made_and, made_or, near_or_all, not, part_text, sorted};
use super::policy::{self, Role};
use super::{About, Work};
use crate::law::print;
use crate::law::syntax::layer::{Place, Was};
use crate::law::syntax::{Except, List, ListItem, Part, Rule};
use crate::text::{Problem, Span};

impl Work {
    pub(super) fn add_item(
        &mut self,
        rule: &mut Rule,
        item: &ListItem,
        place: &Place,
        span: Span,
        about: &About,
    ) -> Made {
        let (list, into) = match place {
            Place::List(list) => (list.clone(), format!("item {} of {}", item.name.node, list.node)),
            Place::Part(part) => {
                let into = format!("item {} of {}", item.name.node, part_text(part));
                match as_list(rule, part) {
                    Some(list) => (list, into),
                    None => return self.no_part(rule, "add", part),
                }
            }
        };
        let made = Made::new("add", into).from_to("", item.test.as_ref().map_or(item.name.node.clone(), print::expr));
        let role = policy::role_of_list(rule, &list.node);
        if about.leave.is_stricter_only && role != Role::Widens {
            return self.refused(made, &format!("list {}", list.node), about, span);
        }
        let name = rule.name.node.clone();
        let names: Vec<String> = rule.lists.iter().map(|list| list.name.node.clone()).collect();
        let Some(found) = rule.lists.iter_mut().find(|l| l.name == list) else {
            let help = near_or_all(&list.node, &names, "list");
            return made.wrong(Problem::error(list.span, format!("{name} has no list `{}`", list.node)).help(help));
        };
        if let Some(taken) = found.items.iter().find(|i| i.name == item.name) {
            return made.wrong(is_taken(&format!("{} of {name}", list.node), "item", &item.name, taken.name.span));
        }
        let mut item = item.clone();
        match (&mut item.test, found.choice.is_some()) {
            (None, false) => {
                let help = "write what it stands for: `add item NAME \"title\" to LIST: CONDITION`";
                return made.wrong(
                    Problem::error(item.name.span, format!("the items of `{}` are conditions", list.node)).help(help),
                );
            }
            (Some(test), true) => {
                let help = "an item of it is a value alone: `add item VALUE to LIST`";
                return made
                    .wrong(Problem::error(test.span, format!("`{}` is a list of values", list.node)).help(help));
            }
            (Some(test), false) => {
                if let Some(when) = about.when.test(span) {
                    *test = made_and(when, test.clone());
                }
                found.items.push(item);
            }
            (None, true) => {
                if about.when.is_always() {
                    found.items.push(item);
                } else {
                    let mut new = found.clone();
                    new.items.push(item);
                    super::values::swap_list(rule, &list.node, new, about, span);
                }
            }
        }
        made
    }

    pub(super) fn set_list(
        &mut self,
        rule: &mut Rule,
        new: &List,
        was: &Was<Vec<String>>,
        span: Span,
        about: &About,
    ) -> Made {
        let made = Made::new("set", format!("list {}", new.name.node));
        let name = rule.name.node.clone();
        let names: Vec<String> = rule.lists.iter().map(|list| list.name.node.clone()).collect();
        let role = policy::role_of_list(rule, &new.name.node);
        let Some(list) = rule.lists.iter_mut().find(|l| l.name == new.name) else {
            let help = near_or_all(&new.name.node, &names, "list");
            return made
                .wrong(Problem::error(new.name.span, format!("{name} has no list `{}`", new.name.node)).help(help));
        };
        let items = |list: &List| list.items.iter().map(|i| i.name.node.clone()).collect::<Vec<_>>();
        let today = items(list);
        let made = made.from_to(today.join(", "), items(new).join(", "));
        if sorted(today.clone()) != sorted(was.found.clone()) {
            return made.wrong(guard::out_of_date(
                was.span,
                &name,
                &format!("list {}", new.name.node),
                &today.join(", "),
            ));
        }
        if about.leave.is_stricter_only {
            let is_inside = items(new).iter().all(|item| today.contains(item));
            if role != Role::LetsOff || !is_inside {
                return self.refused(made, &format!("list {}", new.name.node), about, span);
            }
        }
        let new = List {
            title: list.title.clone(),
            choice: list.choice.clone(),
            name: list.name.clone(),
            items: new.items.clone(),
        };
        if about.when.is_always() {
            *list = new;
        } else {
            super::values::swap_list(rule, &new.name.node.clone(), new, about, span);
        }
        made
    }

    pub(super) fn add_except(&mut self, rule: &mut Rule, except: &Except, span: Span, about: &About) -> Made {
        let made = Made::new("add", format!("exception {}", except.name.node)).from_to("", print::expr(&except.test));
        if let Some(taken) = rule.excepts.iter().find(|e| e.name == except.name) {
            return made.wrong(is_taken(&rule.name.node, "exception", &except.name, taken.name.span));
        }
        if about.leave.is_stricter_only {
            return self.refused(made, "an exception", about, span);
        }
        let mut except = except.clone();
        if let Some(when) = about.when.test(span) {
            except.test = made_and(when, except.test);
        }
        rule.excepts.push(except);
        made
    }

    pub(super) fn add_part(&mut self, rule: &mut Rule, part: &Part, is_needs: bool, span: Span, about: &About) -> Made {
        let what = if is_needs { "needs" } else { "where" };
        let Some(name) = &part.name else {
            let problem = Problem::error(part.test.span, format!("this `{what}` has no name"));
            return Made::new("add", what).wrong(problem.help(format!("write `add {what} NAME \"title\": CONDITION`")));
        };
        let made = Made::new("add", format!("{what} {}", name.node)).from_to("", print::expr(&part.test));
        let mut parts = rule.wheres.iter().chain(&rule.needs).filter_map(|p| p.name.as_ref());
        if let Some(taken) = parts.find(|n| *n == name) {
            return made.wrong(is_taken(&rule.name.node, what, name, taken.span));
        }
        if about.leave.is_stricter_only && !is_needs {
            return self.refused(made, "a further `where`", about, span);
        }
        let mut part = part.clone();
        if let Some(when) = about.when.test(span) {
            part.test = made_or(not(when), part.test);
        }
        if is_needs {
            rule.needs.push(part)
        } else {
            rule.wheres.push(part)
        }
        made
    }
}
