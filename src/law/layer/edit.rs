//! Edits of rules.

use super::guard::{self, Found};
use super::policy::{self, Role};
use super::scope::{and, made, or};
use super::{About, EditRecord, State, Work, Written};
use crate::law::print;
use crate::law::syntax::layer::{Action, Edit, Kind, Layer, Place, Quoted, RuleGuard, TestPart, Text, Was};
use crate::law::syntax::{
    Except, Expr, Fact, List, ListItem, Message, MessagePiece, Node, Part, Rule, Touched, TypeName, WordName,
};
use crate::text::{Problem, Severity, Span, Spanned, nearest};

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

    fn from_to(self, was: impl Into<String>, now: impl Into<String>) -> Made {
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
        let mut name = wanted.to_string();
        let mut number = 2usize;
        while self.rule_named(&name).is_some() {
            name = format!("{wanted}-{number}");
            number += 1;
        }
        name
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
            Action::SetBody(..) => {
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
        let problem = Problem { severity: Severity::Warning, ..Problem::error(span, message) };
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

    fn set_test(
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
            Found::Same => {}
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

    fn strike_test(&mut self, rule: &mut Rule, part: &TestPart, was: &Was<Quoted>, span: Span, about: &About) -> Made {
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
    fn way_left(&mut self, rule: &mut Rule, part: &TestPart, span: Span) {
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

    fn limit(
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

    fn add_item(&mut self, rule: &mut Rule, item: &ListItem, place: &Place, span: Span, about: &About) -> Made {
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

    fn strike_value_of_choice(
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

    fn set_list(&mut self, rule: &mut Rule, new: &List, was: &Was<Vec<String>>, span: Span, about: &About) -> Made {
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

    fn add_except(&mut self, rule: &mut Rule, except: &Except, span: Span, about: &About) -> Made {
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

    fn add_part(&mut self, rule: &mut Rule, part: &Part, is_needs: bool, span: Span, about: &About) -> Made {
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

    fn strike_rule(&mut self, rule: &mut Rule, was: &Was<RuleGuard>, span: Span, about: &About) -> Made {
        let mut made = Made::new("strike", "rule").from_to(&rule.title, "");
        if let RuleGuard::Title(title) = &was.found
            && let Found::Other(today) = guard::title(title, &rule.title)
        {
            return made.wrong(guard::out_of_date(was.span, &rule.name.node, "the title", &today));
        }
        if was.found == RuleGuard::None {
            let problem = Problem::error(was.span, "a rule that is not there can't be struck");
            return made.wrong(problem.help(format!("write `was \"{}\"`", rule.title)));
        }
        if about.leave.is_stricter_only {
            return self.refused(made, "the rule", about, span);
        }
        if let Some(when) = about.when.test(span) {
            let name = format!("not-{}", about.layer.name.node);
            rule.wheres.insert(
                0,
                named_part(&name, format!("not switched off here by {}", about.layer.title), not(when), span),
            );
        }
        made.strikes = true;
        made
    }

    fn set_rule(&mut self, rule: &mut Rule, new: &Rule, was: &Was<String>, about: &About, span: Span) -> Made {
        let made =
            Made::new("set", "rule").from_to(&rule.title, if new.title.is_empty() { &rule.title } else { &new.title });
        if let Found::Other(today) = guard::title(&was.found, &rule.title) {
            return made.wrong(guard::out_of_date(was.span, &rule.name.node, "the title", &today));
        }
        if about.leave.is_stricter_only {
            return self.refused(made, "the whole rule", about, span);
        }
        let mut new = new.clone();
        new.name = rule.name.clone();
        new.aliases = rule.aliases.clone();
        if new.title.is_empty() {
            new.title = rule.title.clone();
        }
        if new.why.is_empty() {
            new.why = about.change.why.clone();
        }
        if new.given.is_empty() {
            new.given = rule.given.clone();
        }
        new.touched = rule.touched.clone();
        // Bounds that a split put in stand for the layer, not for the rule.
        let kept = rule.wheres.iter().filter(|part| part.name.as_ref().is_some_and(|name| name.node == "in-force"));
        new.wheres.splice(0..0, kept.cloned());
        *rule = new;
        made
    }

    /// `borrow rule from NEC 2020, was none`: the rule reaches back to editions that have none.
    fn borrow_rule(&mut self, rule: &mut Rule, year: i64, was: &Was<RuleGuard>, span: Span, about: &About) -> Made {
        use crate::law::syntax::Moment;
        let made = Made::new("borrow", "rule").from_to("none", &rule.title);
        let Some(Moment::Edition(first)) = rule.bounds.from else {
            return made.with(State::Absorbed);
        };
        if year < first || !matches!(was.found, RuleGuard::None) {
            let problem = Problem::error(
                was.span,
                format!("out of date: {} begins with NEC {first} in the base", rule.name.node),
            );
            return made.wrong(problem.help(format!("`borrow rule from NEC {first}, was none`")));
        }
        if !crate::law::compile::EDITIONS.into_iter().any(|y| y < first && about.when.has_edition(y)) {
            return made.with(State::Absorbed);
        }
        rule.bounds.from = None;
        // Where the base has it, it holds as before; elsewhere only where the layer counts.
        let here = super::When { editions: vec![(first, None)], ..super::When::default() };
        if let Some(when) = about.when.test(span) {
            let base = here.test(span);
            let test = or(base.into_iter().chain([when]).collect(), span);
            rule.wheres.extend(
                test.map(|test| named_part("in-force", format!("law here: {}", about.layer.title), test, span)),
            );
        }
        let own = |moment: &mut Option<Moment>| {
            if matches!(moment, Some(Moment::Edition(y)) if *y <= first) {
                *moment = None;
            }
        };
        rule.wheres.iter_mut().chain(&mut rule.needs).for_each(|part| own(&mut part.bounds.from));
        rule.excepts.iter_mut().for_each(|except| own(&mut except.bounds.from));
        rule.lists.iter_mut().flat_map(|list| &mut list.items).for_each(|item| own(&mut item.bounds.from));
        made
    }

    /// `defer to WHO: "question"`: somebody's answer in place of the rule's demands.
    fn defer(&mut self, rule: &mut Rule, who: &str, question: &str, span: Span, about: &About) -> Made {
        let made = Made::new("defer", "rule").from_to("", format!("{who}: {question}"));
        if about.leave.is_stricter_only {
            return self.refused(made, "the rule", about, span);
        }
        let word = format!("is-{}-agreed", rule.name.node);
        let kinds = rule.subject.kinds.clone();
        let name = Spanned { node: word.clone(), span };
        if !self.out.pack.facts.iter().any(|fact| fact.word.name == name) {
            self.out.pack.facts.push(Fact {
                word: WordName { kinds: kinds.clone(), name: name.clone(), span },
                is_part: false,
                ty: TypeName { words: vec!["yes/no".into()], span },
                doc: format!("{who} agreed: {}", rule.title),
                phrase: String::new(),
                ordinary: None,
                question: Some(format!("Ask {who}: {question}")),
            });
        }
        let letter = rule.subject.variable.as_ref().map(|v| v.node.clone());
        let owner = letter.unwrap_or_else(|| kinds.first().map_or("shop".into(), |kind| kind.node.clone()));
        let answer = super::scope::word(&owner, &word, span);
        let when = about.when.test(span);
        let agreed = match &when {
            Some(when) => made_or(not(when.clone()), answer),
            None => answer,
        };
        match when {
            Some(when) => {
                rule.needs.iter_mut().for_each(|part| part.test = made_or(when.clone(), part.test.clone()));
                rule.excepts.iter_mut().for_each(|e| e.test = made_and(not(when.clone()), e.test.clone()));
            }
            None => {
                rule.needs.clear();
                rule.excepts.clear();
            }
        }
        rule.needs.push(named_part("agreed", format!("what {who} says"), agreed, span));
        let text = Message { pieces: vec![MessagePiece::Text(format!("{who} did not agree: {}", rule.title))], span };
        if about.when.is_always() {
            rule.otherwise = text;
        }
        made
    }

    fn no_part(&mut self, rule: &Rule, verb: &'static str, part: &TestPart) -> Made {
        let made = Made::new(verb, part_text(part));
        if let Some(by) =
            self.struck.get(&(rule.name.node.clone(), part_text(part))).and_then(|by| self.out.layers.get(*by))
        {
            let message = format!("nothing is left to change: {} struck {} already", by.title, part_text(part));
            let problem = Problem { severity: Severity::Warning, ..Problem::error(name_of(part).span, message) };
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
    fn clash(
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
        let own = about.layer.differ.as_ref().map(|differ| (about.index, about.layer.kind, differ.node));
        Some((other.layer, policy::settled(&self.policies, own, about.index)))
    }

    /// Both texts of a part, as they were settled.
    #[allow(clippy::too_many_arguments)]
    fn both(
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

/// Writes a condition: everywhere, or where the block counts.
fn put(test: &mut Expr, new: Expr, about: &About, span: Span) {
    *test = match about.when.test(span) {
        None => new,
        Some(when) => {
            let place = new.span;
            made(Node::If(when, new, test.clone()), place)
        }
    };
}

fn not(e: Expr) -> Expr {
    let span = e.span;
    made(Node::Not(e), span)
}

/// Both, at the place of the second: what an edit brings in.
fn made_and(a: Expr, b: Expr) -> Expr {
    let span = b.span;
    and(vec![a, b], span).unwrap_or_default()
}

fn made_or(a: Expr, b: Expr) -> Expr {
    let span = b.span;
    or(vec![a, b], span).unwrap_or_default()
}

pub(super) fn named_part(name: &str, title: String, test: Expr, span: Span) -> Part {
    let name = Some(Spanned { node: name.to_string(), span });
    Part { name, title: Some(title), bounds: Default::default(), test }
}

/// The title and the condition of a part; its name where it has no title.
fn slot<'r>(rule: &'r mut Rule, part: &TestPart) -> Option<(String, &'r mut Expr)> {
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

fn remove(rule: &mut Rule, part: &TestPart) {
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
fn as_list(rule: &mut Rule, part: &TestPart) -> Option<Spanned<String>> {
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

fn role(rule: &Rule, part: &TestPart) -> Role {
    match part {
        TestPart::Where(_) => Role::Widens,
        TestPart::Needs(_) => Role::Demands,
        TestPart::Except(_) => Role::LetsOff,
        TestPart::Item(_, list) => policy::role_of_list(rule, &list.node),
    }
}

fn name_of(part: &TestPart) -> &Spanned<String> {
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

fn word_text(word: &WordName) -> String {
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

fn set_text(rule: &mut Rule, text: Text, to: &Message, was: &Was<Message>) -> Made {
    let (part, today) = match text {
        Text::Title => ("title", rule.title.clone()),
        Text::Otherwise => ("else", print::message(&rule.otherwise)),
        Text::Remedy => ("remedy", rule.remedy.as_ref().map_or(String::new(), print::message)),
        Text::Caution => ("caution", rule.caution.as_ref().map_or(String::new(), print::message)),
    };
    let made = Made::new("set", part).from_to(&today, print::message(to));
    if guard::words(&print::message(&was.found)) != guard::words(&today) {
        return made.wrong(guard::out_of_date(was.span, &rule.name.node, part, &format!("\"{today}\"")));
    }
    match text {
        Text::Title => rule.title = print::message(to),
        Text::Otherwise => rule.otherwise = to.clone(),
        Text::Remedy => rule.remedy = Some(to.clone()),
        Text::Caution => rule.caution = Some(to.clone()),
    }
    made
}

/// The sections of the editions that a line names; the rest keep theirs.
fn set_cites(rule: &mut Rule, cite: &crate::law::syntax::Cite, was: &Was<Vec<String>>) -> Made {
    let here = rule.cites.iter().position(|c| c.first <= cite.first && cite.last <= c.last);
    let today = here.and_then(|i| rule.cites.get(i)).map_or(Vec::new(), |c| c.sections.clone());
    let made = Made::new("set", "cites").from_to(today.join(", "), cite.sections.join(", "));
    let said: Vec<String> = was.found.iter().filter(|s| !s.is_empty() && *s != "none").cloned().collect();
    if said != today {
        return made.wrong(guard::out_of_date(
            was.span,
            &rule.name.node,
            "cites",
            if today.is_empty() { "none".into() } else { today.join(", ") }.as_str(),
        ));
    }
    if let Some(old) = here.and_then(|i| (i < rule.cites.len()).then(|| rule.cites.remove(i))) {
        if old.first < cite.first {
            rule.cites.push(crate::law::syntax::Cite { last: cite.first - 1, ..old.clone() });
        }
        if cite.last < old.last {
            rule.cites.push(crate::law::syntax::Cite { first: cite.last + 1, ..old });
        }
    }
    rule.cites.push(cite.clone());
    made
}

/// The layer's head, for questions that it brings in.
impl Work {
    /// `status unsettled "question"`: a fact of the shop that says whether the text is law.
    pub(super) fn ask_whether(&mut self, layer: &Layer, question: &str) -> Expr {
        let word = format!("is-{}-in-force", layer.name.node);
        self.fact_of_shop(&word, &format!("{} is in force", layer.title), question, layer.span)
    }

    /// Which of two texts holds: yes for the later one.
    pub(super) fn ask_which(&mut self, rule: &Rule, part: &str, by: usize, about: &About) -> Expr {
        let title = self.out.layers.get(by).map_or(String::new(), |layer| layer.title.clone());
        let word = format!(
            "is-{}-over-{}",
            about.layer.name.node,
            self.out.layers.get(by).map_or("other", |l| l.name.as_str())
        );
        let question = format!(
            "Two texts speak of {part} of {}: {} and {title}. Ask the inspector: does the one of {} hold?",
            rule.title, about.layer.title, about.layer.title
        );
        self.fact_of_shop(
            &word,
            &format!("{} holds where it differs from {title}", about.layer.title),
            &question,
            about.change.span,
        )
    }

    fn fact_of_shop(&mut self, word: &str, doc: &str, question: &str, span: Span) -> Expr {
        let name = Spanned { node: word.to_string(), span };
        if !self.out.pack.facts.iter().any(|fact| fact.word.name == name) {
            self.out.pack.facts.push(Fact {
                word: WordName { kinds: vec![Spanned { node: "shop".into(), span }], name, span },
                is_part: false,
                ty: TypeName { words: vec!["yes/no".into()], span },
                doc: doc.to_string(),
                phrase: String::new(),
                ordinary: None,
                question: Some(question.to_string()),
            });
        }
        super::scope::word("shop", word, span)
    }
}
