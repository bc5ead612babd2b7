//! Edits of terms, formulas and names.

use super::edit::Made;
use super::guard::{self, Found};
use super::part::is_taken;
use super::scope::made;
use super::{About, Reached, State, When, Work, walk};
use crate::law::print;
use crate::law::syntax::layer::{Action, Edit, Text};
use crate::law::syntax::{Define, Expr, Node, for_purpose, purpose_of};
use crate::text::{Problem, Spanned, nearest};

impl Work {
    /// `change name N`: what reports call somebody.
    pub(super) fn edit_title(&mut self, name: &Spanned<String>, about: &About, shelved: Option<State>) {
        let Some(index) = self.out.pack.titles.iter().position(|title| title.name == *name) else {
            let near = nearest(&name.node, self.out.pack.titles.iter().map(|title| title.name.node.as_str()));
            let problem = Problem::error(name.span, format!("reports have no name `{}`", name.node));
            return self.out.problems.push(problem.maybe_help(near.map(|near| format!("the nearest is `{near}`"))));
        };
        for edit in &about.change.edits {
            let today = self.out.pack.titles.get(index).map_or(String::new(), |title| title.title.clone());
            let made = match &edit.action {
                Action::SetText(Text::Title, to, was) => {
                    let made = Made::new("set", "title").from_to(&today, print::message(to));
                    match guard::title(&print::message(&was.found), &today) {
                        _ if print::message(to) == today => made.with(State::Absorbed),
                        Found::Other(today) => {
                            made.wrong(guard::out_of_date(was.span, &name.node, "the title", &today))
                        }
                        _ if !about.when.is_always() => {
                            let message = "a name is one for all plans: it has no bounds and no `only where`";
                            made.wrong(Problem::error(edit.span, message).help("write `over any edition`"))
                        }
                        _ => made,
                    }
                }
                _ => Made::new("set", "title").wrong(
                    Problem::error(edit.span, "a name has nothing but its title")
                        .help("`set title to \"…\", was \"…\"`"),
                ),
            };
            let made = match shelved {
                Some(state) => Made { problem: None, ..made }.with(state),
                None => made,
            };
            if made.problem.is_none()
                && made.state == State::Applied
                && let Some(title) = self.out.pack.titles.get_mut(index)
            {
                title.title.clone_from(&made.now);
            }
            self.note(name.node.clone(), name.node.clone(), edit, about, made);
        }
    }

    /// The purposes that something in the pack, or in this layer, asks a term for.
    fn purposes(&mut self, term: &str, about: &About) -> Vec<String> {
        let mut all = std::collections::BTreeSet::new();
        let mut meet = |e: &mut Expr| {
            let asked = walk::names(e).into_iter().filter_map(purpose_of).filter(|(name, _)| *name == term);
            all.extend(asked.map(|(_, purpose)| purpose.to_string()));
        };
        self.out.pack.rules.iter_mut().for_each(|rule| walk::rule(rule, &mut meet));
        self.out.pack.defines.iter_mut().for_each(|define| walk::expr(&mut define.body, &mut meet));
        let mut layer = about.layer.clone();
        layer.adopts.iter_mut().filter_map(|adopt| adopt.test.as_mut()).for_each(|e| walk::expr(e, &mut meet));
        layer.changes.iter_mut().filter_map(|c| c.only_where.as_mut()).for_each(|e| walk::expr(e, &mut meet));
        all.into_iter().collect()
    }

    /// What a term means where it is asked for one purpose; `general` is what it means for any other.
    fn add_meaning(
        &mut self,
        general: Option<usize>,
        name: &Spanned<String>,
        purpose: &Spanned<String>,
        new: &Expr,
        about: &About,
        made: Made,
    ) -> Made {
        let whole = for_purpose(&name.node, &purpose.node);
        if let Some(taken) = self.out.pack.defines.iter().find(|define| define.name.node == whole) {
            return made.wrong(is_taken(&name.node, "a meaning for", purpose, taken.name.span));
        }
        let purposes = self.purposes(&name.node, about);
        if !purposes.contains(&purpose.node) {
            let message = format!("nothing asks for `{}` for {}", name.node, purpose.node);
            let help = match purposes.as_slice() {
                [] => "no rule asks for it for any purpose".to_string(),
                all => format!("it is asked for: {}", all.join(", ")),
            };
            return made.wrong(Problem::error(purpose.span, message).help(help));
        }
        let Some(general) = general.and_then(|at| self.out.pack.defines.get(at)).cloned() else { return made };
        let body = match about.when.test(purpose.span) {
            None => new.clone(),
            Some(when) => self::made(Node::If(when, new.clone(), general.body.clone()), new.span),
        };
        let named = Spanned { node: whole, span: purpose.span };
        let doc = format!("{}, for {}", general.doc, purpose.node);
        let define = Define { name: named, purpose: Some(purpose.clone()), doc, body, examples: Vec::new(), ..general };
        self.out.pack.defines.push(define);
        made
    }

    pub(super) fn edit_define(&mut self, name: &Spanned<String>, about: &About, shelved: Option<State>) {
        let defines = &self.out.pack.defines;
        let found: Vec<usize> =
            (0..defines.len()).filter(|i| defines.get(*i).is_some_and(|d| d.name == *name)).collect();
        if found.is_empty() {
            let near = nearest(&name.node, defines.iter().map(|d| d.name.node.as_str()));
            let problem = Problem::error(name.span, format!("no term or figure is called `{}`", name.node));
            return self.out.problems.push(problem.maybe_help(near.map(|near| format!("the nearest is `{near}`"))));
        }
        for edit in &about.change.edits {
            let made = self.write_define(&found, name, edit, about, shelved);
            if made.problem.is_none() && made.state == State::Applied {
                // Its condition is written in the letters of the term, which no rule knows.
                let when = When { tests: Vec::new(), ..about.when.clone() };
                self.reached.push(Reached {
                    edit: self.out.edits.len() as u32,
                    name: name.node.clone(),
                    when: when.test(about.change.span),
                });
            }
            self.note(name.node.clone(), name.node.clone(), edit, about, made);
        }
    }

    fn write_define(
        &mut self,
        found: &[usize],
        name: &Spanned<String>,
        edit: &Edit,
        about: &About,
        shelved: Option<State>,
    ) -> Made {
        let is_wish = about.layer.kind == crate::law::syntax::layer::Kind::Owner || about.layer.source.is_none();
        let defines = &self.out.pack.defines;
        let bodies = |name: &str| -> Vec<(usize, String)> {
            let all = defines.iter().enumerate().filter(|(_, define)| define.name.node == name);
            all.map(|(i, define)| (i, print::expr(&define.body))).collect()
        };
        // A term may have a meaning for each kind of item: the quoted one is meant.
        let (purpose, new, was, bodies) = match &edit.action {
            Action::AddMeaning(purpose, new) => (Some(purpose), new, None, Vec::new()),
            Action::SetBody(Some(purpose), new, was) => {
                let own = bodies(&for_purpose(&name.node, &purpose.node));
                // Where it has none for this purpose yet, the general one holds there.
                let purpose = own.is_empty().then_some(purpose);
                (purpose, new, Some(was), if own.is_empty() { bodies(&name.node) } else { own })
            }
            Action::SetBody(None, new, was) => (None, new, Some(was), bodies(&name.node)),
            _ => {
                let problem = Problem::error(edit.span, "of a term or figure this can't be changed");
                let help = "`set meaning to CONDITION, was CONDITION`, `set formula to …, was …`, `add meaning for PURPOSE: …`";
                return Made::new("set", "meaning").wrong(problem.help(help));
            }
        };
        let now = print::expr(new);
        let mut made = Made { now: now.clone(), ..Made::new(if was.is_some() { "set" } else { "add" }, "meaning") };
        if let Some(purpose) = purpose {
            made.part = format!("meaning for {}", purpose.node);
        }
        let mut hit = found.first().copied();
        if let Some(was) = was {
            let today = bodies.first().map_or(String::new(), |(_, text)| text.clone());
            let quoted = print::expr(&was.found);
            made.was.clone_from(&today);
            hit = bodies.iter().find(|(_, text)| *text == quoted).map(|(i, _)| *i);
            if hit.is_none() {
                if bodies.iter().any(|(_, text)| *text == now) {
                    return made.with(State::Absorbed);
                }
                return made.wrong(guard::out_of_date(was.span, &name.node, "the meaning", &today));
            }
        }
        if let Some(state) = shelved {
            return made.with(state);
        }
        if is_wish {
            let problem = Problem::error(edit.span, "a wish changes no term: every rule that uses it would change");
            return made.wrong(problem.help("write a rule of your own"));
        }
        if about.leave.is_stricter_only {
            return self.refused(made, "a term", about, edit.span);
        }
        if let Some(purpose) = purpose {
            return self.add_meaning(hit, name, purpose, new, about, made);
        }
        if let Some(define) = hit.and_then(|hit| self.out.pack.defines.get_mut(hit)) {
            define.body = match about.when.test(edit.span) {
                None => new.clone(),
                Some(when) => self::made(Node::If(when, new.clone(), define.body.clone()), new.span),
            };
        }
        made
    }
}
