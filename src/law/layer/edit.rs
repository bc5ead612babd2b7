//! Edits of rules.

use super::guard;
use super::part::{is_taken, named_part, word_text};
use super::scope::made;
use super::whole::{set_cites, set_text};
use super::{About, EditRecord, State, Work};
use crate::law::print;
use crate::law::syntax::layer::{Action, Edit, Kind, RuleGuard, Was};
use crate::law::syntax::{Node, Rule, Touched};
use crate::text::{Problem, Span, Spanned};
use std::iter;

/// What came of an edit at one rule.
pub(super) struct Made {
    pub part: String,
    pub verb: &'static str,
    pub was: String,
    pub now: String,
    pub state: State,
    pub problem: Option<Problem>,
    /// The rule is out, altogether.
    pub strikes: bool,
}

impl Made {
    pub fn new(verb: &'static str, part: impl Into<String>) -> Made {
        Made {
            part: part.into(),
            verb,
            was: String::new(),
            now: String::new(),
            state: State::Applied,
            problem: None,
            strikes: false,
        }
    }

    pub fn from_to(self, was: impl Into<String>, now: impl Into<String>) -> Made {
        Made { was: was.into(), now: now.into(), ..self }
    }

    pub fn with(self, state: State) -> Made {
        Made { state, ..self }
    }

    pub fn wrong(self, problem: Problem) -> Made {
        Made { problem: Some(problem), state: State::OutOfDate, ..self }
    }
}

impl Work {
    /// Edits of several rules at once: a group, or every rule of a stage.
    pub(super) fn edit_rules(&mut self, names: Vec<String>, about: &About, shelved: Option<State>) {
        for edit in &about.change.edits {
            if let Action::StrikeRule(Was { found: RuleGuard::Count(count), span }) = &edit.action
                && *count != names.len()
            {
                let message =
                    format!("out of date: {} rules are met here today, not {count}; the edit is not made", names.len());
                self.out
                    .problems
                    .push(Problem::error(*span, message).help("look at the local text again, and count anew"));
                return;
            }
        }
        for name in names {
            if let Some(rule) = self.rule_named(&name) {
                self.edit_rule(rule, about, shelved);
            }
        }
    }

    /// All edits of a block, at one rule.
    pub(super) fn edit_rule(&mut self, index: usize, about: &About, shelved: Option<State>) {
        let Some(mut rule) = self.out.pack.rules.get(index).cloned() else { return };
        if let Some(state) = shelved {
            let mut idle = rule.clone();
            for edit in &about.change.edits {
                let made = self.write(&mut idle, edit, about);
                self.record(&rule, edit, about, Made { problem: None, ..made }.with(state));
            }
            return;
        }
        let is_wish = about.layer.kind == Kind::Owner || source(about).is_none();
        let needs_copy = about.change.edits.iter().any(|edit| is_of_whole(&edit.action)) && !about.when.is_always();
        if is_wish || needs_copy {
            return self.edit_copy(index, &rule, about, is_wish);
        }
        let mut strikes = false;
        for edit in &about.change.edits {
            let made = self.write(&mut rule, edit, about);
            strikes |= made.strikes;
            self.touch(&mut rule, &made, about);
            let made = if made.strikes { self.strike_whole(&rule, made, about) } else { made };
            self.record(&rule, edit, about, made);
        }
        if strikes && about.when.is_always() {
            self.take_out(index, about.index);
        } else if let Some(place) = self.out.pack.rules.get_mut(index) {
            *place = rule;
        }
    }

    /// A second rule for where the block counts, and the first one for everywhere else: what a rule has
    /// once, such as its stage, can't be two things. An owner's wish stands beside the law as advice.
    fn edit_copy(&mut self, index: usize, rule: &Rule, about: &About, is_wish: bool) {
        let mut copy = rule.clone();
        copy.name.node = self.free_name(&format!("{}-{}", rule.name.node, about.layer.name.node));
        copy.name.span = about.change.span;
        copy.aliases.clear();
        copy.examples.clear();
        let test = about.when.test(about.change.span);
        if let Some(test) = &test {
            copy.wheres.insert(
                0,
                named_part("in-force", format!("law here: {}", about.layer.title), test.clone(), about.change.span),
            );
        }
        let whole = About { when: super::When::default(), leave: about.leave.clone(), ..*about };
        let mut is_made = true;
        let mut strikes = false;
        for edit in &about.change.edits {
            let made = self.write(&mut copy, edit, &whole);
            is_made &= made.problem.is_none();
            strikes |= made.strikes;
            let made = if is_wish && made.state == State::Applied { made.with(State::Wish) } else { made };
            if made.state != State::Absorbed && made.problem.is_none() {
                copy.touched.push(Touched { edit: self.out.edits.len() as u32, when: None });
            }
            self.record(rule, edit, about, made);
        }
        if !is_made {
            return;
        }
        if is_wish {
            copy.level.node = "advised".into();
        } else if let (Some(test), Some(first)) = (test, self.out.pack.rules.get_mut(index)) {
            let denied = made(Node::Not(test), about.change.span);
            let name = format!("not-{}", about.layer.name.node);
            first.wheres.insert(
                0,
                named_part(&name, format!("not changed here by {}", about.layer.title), denied, about.change.span),
            );
        }
        if !strikes {
            self.out.pack.rules.push(copy);
        }
    }

    fn free_name(&self, wanted: &str) -> String {
        let mut names = iter::once(wanted.to_string()).chain((2..).map(|number: usize| format!("{wanted}-{number}")));
        names.find(|name| self.rule_named(name).is_none()).unwrap_or_default()
    }

    fn record(&mut self, rule: &Rule, edit: &Edit, about: &About, made: Made) {
        self.note(rule.name.node.clone(), rule.title.clone(), edit, about, made);
    }

    pub(super) fn note(&mut self, target: String, title: String, edit: &Edit, about: &About, made: Made) {
        self.out.problems.extend(made.problem);
        self.out.edits.push(EditRecord {
            layer: about.index,
            target,
            title,
            part: made.part,
            verb: made.verb,
            state: made.state,
            was: made.was,
            now: made.now,
            why: about.change.why.clone(),
            source: source(about).cloned(),
            when: about.when.clone(),
            place: edit.span,
        });
    }

    fn touch(&self, rule: &mut Rule, made: &Made, about: &About) {
        if made.problem.is_none() && matches!(made.state, State::Applied | State::NotSettled) {
            let edit = self.out.edits.len() as u32;
            rule.touched.push(Touched { edit, when: about.when.test(about.change.span) });
        }
    }

    fn strike_whole(&mut self, rule: &Rule, made: Made, about: &About) -> Made {
        self.struck.insert((rule.name.node.clone(), "rule".into()), about.index);
        made
    }

    fn take_out(&mut self, index: usize, _by: usize) {
        let rule = self.out.pack.rules.remove(index);
        for group in &mut self.out.pack.groups {
            group.rules.retain(|name| *name != rule.name && !rule.aliases.contains(name));
        }
        self.out.pack.groups.retain(|group| !group.rules.is_empty());
    }

    /// Makes one edit.
    fn write(&mut self, rule: &mut Rule, edit: &Edit, about: &About) -> Made {
        match &edit.action {
            Action::SetValue(name, steps, was) => self.set_value(rule, name, steps, was, edit.span, about),
            Action::BorrowValue(name, year, was) => self.borrow_value(rule, name, *year, was, edit.span, about),
            Action::SetTest(part, test, was) => self.set_test(rule, part, test, was, edit.span, about),
            Action::StrikeTest(part, was) => self.strike_test(rule, part, was, edit.span, about),
            Action::Limit(part, test, was) => self.limit(rule, part, test, was, edit.span, about),
            Action::SetLevel(to, was) => {
                let made = Made::new("set", "level").from_to(&rule.level.node, &to.node);
                if about.leave.is_stricter_only && to.node != "required" {
                    return self.refused(made, "level", about, edit.span);
                }
                self.set_word(&rule.name.node.clone(), &mut rule.level, to, was, made)
            }
            Action::SetStage(to, was) => {
                let made = Made::new("set", "stage").from_to(&rule.stage.node, &to.node);
                self.set_word(&rule.name.node.clone(), &mut rule.stage, to, was, made)
            }
            Action::SetReach(to, was) => self.set_reach(rule, *to, was, edit.span, about),
            Action::SetText(text, to, was) => set_text(rule, *text, to, was),
            Action::SetCites(cite, was) => set_cites(rule, cite, was),
            Action::SetList(list, was) => self.set_list(rule, list, was, edit.span, about),
            Action::SetRule(new, was) => self.set_rule(rule, new, was, about, edit.span),
            Action::AddItem(item, place) => self.add_item(rule, item, place, edit.span, about),
            Action::AddExcept(except) => self.add_except(rule, except, edit.span, about),
            Action::AddNeeds(part) => self.add_part(rule, part, true, edit.span, about),
            Action::AddWhere(part) => self.add_part(rule, part, false, edit.span, about),
            Action::AddValue(value) => {
                let made =
                    Made::new("add", format!("value {}", value.name.node)).from_to("", print::steps(&value.steps));
                if let Some(taken) = rule.values.iter().find(|v| v.name == value.name) {
                    return made.wrong(is_taken(&rule.name.node, "value", &value.name, taken.name.span));
                }
                rule.values.push(value.clone());
                made
            }
            Action::AddList(list) => {
                let made = Made::new("add", format!("list {}", list.name.node));
                if let Some(taken) = rule.lists.iter().find(|l| l.name == list.name) {
                    return made.wrong(is_taken(&rule.name.node, "list", &list.name, taken.name.span));
                }
                rule.lists.push(list.clone());
                made
            }
            Action::AddEvidence(evidence) => {
                let word = word_text(&evidence.word);
                let made = Made::new("add", format!("evidence {word}")).from_to("", &evidence.how.node);
                if let Some(taken) = rule.evidence.iter().find(|e| word_text(&e.word) == word) {
                    return made.wrong(is_taken(&rule.name.node, "evidence", &evidence.word.name, taken.word.span));
                }
                rule.evidence.push(evidence.clone());
                made
            }
            Action::StrikeEvidence(word, was) => {
                let word = word_text(word);
                let made = Made::new("strike", format!("evidence {word}")).from_to(&was.found, "");
                let found = rule.evidence.iter().position(|e| word_text(&e.word) == word && e.how.node == was.found);
                let Some(found) = found else {
                    let today =
                        rule.evidence.iter().find(|e| word_text(&e.word) == word).map_or("nothing", |e| &e.how.node);
                    return made.wrong(guard::out_of_date(
                        was.span,
                        &rule.name.node,
                        &format!("evidence {word}"),
                        today,
                    ));
                };
                if about.leave.is_stricter_only {
                    return self.refused(made, "evidence", about, edit.span);
                }
                rule.evidence.remove(found);
                made
            }
            Action::AddAsk(ask) => {
                rule.asks.push(ask.clone());
                Made::new("add", format!("ask {}", word_text(&ask.word))).from_to("", print::message(&ask.question))
            }
            Action::StrikeRule(was) => self.strike_rule(rule, was, edit.span, about),
            Action::BorrowRule(year, was) => self.borrow_rule(rule, *year, was, edit.span, about),
            Action::Defer(who, question) => self.defer(rule, who, question, edit.span, about),
            Action::SetCell(..) | Action::SetRows(..) | Action::AddRow(_) | Action::StrikeRow(..) => {
                let problem =
                    Problem::error(edit.span, "a rule has no rows").help("`change table NAME` changes a table");
                Made::new("set", "row").wrong(problem)
            }
            Action::SetBody(..) | Action::AddMeaning(..) => {
                let problem = Problem::error(edit.span, "a rule has no formula")
                    .help("`change term NAME` or `change figure NAME` changes one");
                Made::new("set", "formula").wrong(problem)
            }
        }
    }

    /// A layer above lets nothing off: not made.
    pub(super) fn refused(&mut self, made: Made, part: &str, about: &About, span: Span) -> Made {
        let by =
            about.leave.by.and_then(|by| self.out.layers.get(by)).map_or("a layer above", |layer| layer.title.as_str());
        let message = format!(
            "not made: this edit of {part} is looser, or it can't be told, and {by} lets {} be stricter only",
            about.layer.kind.name()
        );
        let problem = Problem::warning(span, message);
        Made { problem: Some(problem.help("the part stands as it was")), state: State::Refused, ..made }
    }

    fn set_word(
        &mut self,
        rule: &str,
        word: &mut Spanned<String>,
        to: &Spanned<String>,
        was: &Was<String>,
        made: Made,
    ) -> Made {
        if word.node == was.found {
            *word = to.clone();
            return made;
        }
        if word.node == to.node {
            return made.with(State::Absorbed);
        }
        let part = made.part.clone();
        made.wrong(guard::out_of_date(was.span, rule, &part, &word.node))
    }
}

fn source<'l>(about: &About<'l>) -> Option<&'l crate::law::syntax::layer::Origin> {
    about.change.source.as_ref().or(about.layer.source.as_ref())
}

/// What a rule has once, and no condition can make two of.
fn is_of_whole(action: &Action) -> bool {
    matches!(
        action,
        Action::SetLevel(..)
            | Action::SetStage(..)
            | Action::SetText(..)
            | Action::SetCites(..)
            | Action::SetRule(..)
            | Action::AddEvidence(_)
            | Action::StrikeEvidence(..)
    )
}
