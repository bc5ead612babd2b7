use super::show::{self, Digits};
use super::tree::{Teller, gathering, leaf, titled, truth_text};
use super::words::{clause, join, plain};
use crate::law::code::{Alternative, Choice, Each, Item, Items, Limit, Number, Over, Test, TestNode};
use crate::law::evaluate::Truth;
use crate::law::evaluate::list::{Standing, standing_of};
use crate::law::evaluate::machine::Letter;
use crate::law::syntax::Comparison;
use crate::law::verdict::Why;
use crate::quantity::Scale;
use crate::text::Span;
use crate::words::{ChoiceId, Type};

/// Most members of a list that are told one by one.
const MEMBERS_CAP: usize = 12;

impl<'a> Teller<'_, 'a, '_> {
    /// A condition: what it asks, what it came to, and why.
    pub(super) fn test(&mut self, test: &Test) -> Why {
        let truth = self.machine.test(test);
        let mut why = leaf(self.says(test, true), truth_text(truth));
        why.places = self.places_of(test);
        if self.may_tell() {
            let digits = self.digits_apart(test);
            let before = std::mem::replace(&mut self.carried, Digits::USUAL);
            why.from = self.deeper(|teller| teller.apart(digits, |teller| teller.reasons(test, truth)));
            self.carried = before;
        }
        if let [only] = why.from.as_slice()
            && only.text == why.text
        {
            why.from = only.from.clone();
        }
        why
    }

    /// How many digits more it takes to show the sides of a comparison apart, if they are: 0 for anything else.
    pub(super) fn digits_apart(&mut self, test: &Test) -> u32 {
        match &test.node {
            TestNode::Compare(_, left, right, scale) => {
                let (left, right) = (self.machine.number(left), self.machine.number(right));
                show::digits_apart(Some(*scale), &left, &right)
            }
            TestNode::Within(number, limit, scale) => {
                let now = self.machine.now;
                let step = limit.steps.iter().rev().find(|(bounds, _)| now.is_in(bounds));
                let Some((_, ends)) = step else { return 0 };
                let number = self.machine.number(number);
                let ends = [&ends.low, &ends.high].into_iter().flatten();
                let ends: Vec<_> = ends.map(|end| self.machine.number(end)).collect();
                ends.iter().map(|end| show::digits_apart(Some(*scale), &number, end)).max().unwrap_or(0)
            }
            TestNode::Not(inner) => self.digits_apart(inner),
            TestNode::All(tests) => tests.iter().map(|test| self.digits_apart(test)).max().unwrap_or(0),
            TestNode::Any(ways) => ways.iter().map(|way| self.digits_apart(&way.test)).max().unwrap_or(0),
            _ => 0,
        }
    }

    /// What led to a condition's answer: only what decided it, or what is open.
    fn reasons(&mut self, test: &Test, truth: Truth) -> Vec<Why> {
        match &test.node {
            TestNode::Constant(_) | TestNode::Letter(_) | TestNode::Cell(..) | TestNode::Has(..) => Vec::new(),
            TestNode::Word(owner, name) => {
                let Some(item) = self.machine.item(owner) else { return self.item_steps(owner) };
                let Some(define) = self.machine.ground.define_of(item, *name) else { return Vec::new() };
                let told = self.inside(define, item, |teller, define| match &define.body {
                    crate::law::code::Body::Test(body) => teller.flat(body),
                    _ => Vec::new(),
                });
                told.unwrap_or_default()
            }
            TestNode::Call(call) => {
                let told = self.inside_call(call, |teller, define| match &define.body {
                    crate::law::code::Body::Test(body) => teller.flat(body),
                    _ => Vec::new(),
                });
                told.unwrap_or_default()
            }
            TestNode::Lookup(lookup) => self.row(lookup).into_iter().collect(),
            TestNode::Not(inner) => self.reasons(inner, truth.not()),
            TestNode::All(tests) => {
                let tests: Vec<&Test> = tests.iter().collect();
                self.deciding(&tests, truth, Truth::No)
            }
            TestNode::Any(ways) => self.ways(ways, truth),
            TestNode::Compare(_, left, right, scale) => {
                [left, right].into_iter().filter_map(|side| self.number(side, Some(*scale))).collect()
            }
            TestNode::Within(number, limit, scale) => {
                let mut steps: Vec<Why> = self.number(number, Some(*scale)).into_iter().collect();
                if let Some((_, ends)) = limit.steps.iter().rev().find(|(bounds, _)| self.machine.now.is_in(bounds)) {
                    let ends = [&ends.low, &ends.high].into_iter().flatten();
                    steps.extend(ends.filter_map(|end| self.number(end, Some(*scale))));
                }
                steps
            }
            TestNode::IsOneOf(choice, _, id) | TestNode::IsInList(choice, _, id) => {
                self.choice_step(choice, *id).into_iter().collect()
            }
            TestNode::SameChoice(a, b, id) => {
                [a, b].into_iter().filter_map(|side| self.choice_step(side, *id)).collect()
            }
            TestNode::SameItem(a, b) => {
                let mut steps = self.item_steps(a);
                steps.extend(self.item_steps(b));
                steps
            }
            TestNode::SameName(a, a_name, b, b_name) => {
                [(a, a_name), (b, b_name)].into_iter().filter_map(|(item, name)| self.fact_step(item, *name)).collect()
            }
            TestNode::Holds(owner, name, ..) => self.fact_step(owner, *name).into_iter().collect(),
            TestNode::Quantified { is_all, each, body } => self.members_told(*is_all, each, body, truth),
            TestNode::If(parts) => {
                let (condition, yes, no) = &**parts;
                let mut steps = vec![self.test(condition)];
                match self.machine.test(condition) {
                    Truth::Yes => steps.push(self.test(yes)),
                    Truth::No => steps.push(self.test(no)),
                    Truth::Unknown => steps.extend([self.test(yes), self.test(no)]),
                }
                steps
            }
        }
    }

    /// A define's condition: its parts where it is made of parts, else itself.
    fn flat(&mut self, body: &Test) -> Vec<Why> {
        match &body.node {
            TestNode::All(_) | TestNode::Any(_) => {
                let truth = self.machine.test(body);
                self.reasons(body, truth)
            }
            _ => vec![self.test(body)],
        }
    }

    /// Of several conditions the one that decided, or all of them where it took all.
    fn deciding(&mut self, tests: &[&Test], truth: Truth, stop: Truth) -> Vec<Why> {
        let mut steps = Vec::new();
        for test in tests {
            let own = self.machine.test(test);
            if truth == stop && own != stop || truth == Truth::Unknown && own != Truth::Unknown {
                continue;
            }
            steps.push(self.test(test));
            if truth == stop {
                break;
            }
        }
        steps
    }

    fn ways(&mut self, ways: &[Alternative], truth: Truth) -> Vec<Why> {
        let mut steps = Vec::new();
        for way in ways.iter().filter(|w| self.machine.now.is_in(&w.bounds)).collect::<Vec<_>>() {
            let own = self.machine.test(&way.test);
            if truth == Truth::Yes && own != Truth::Yes || truth == Truth::Unknown && own == Truth::No {
                continue;
            }
            let why = self.test(&way.test);
            steps.push(titled(&way.title, why));
            if truth == Truth::Yes {
                break;
            }
        }
        steps
    }

    fn members_told(&mut self, is_all: bool, each: &Each, body: &Test, truth: Truth) -> Vec<Why> {
        // The member that decides an `any` says yes, of an `all` no; else all members count.
        let found = if is_all { Truth::No } else { Truth::Yes };
        let mut steps = Vec::new();
        let (letters, is_open) = self.letters_of(each);
        for (letter, standing) in letters {
            self.machine.bind(each.slot, letter);
            let filter = each.filter.as_ref().map_or(Truth::Yes, |f| self.machine.test(f));
            if filter == Truth::No {
                continue;
            }
            let own = self.machine.test(body);
            if truth == found && own != found || truth == Truth::Unknown && own == found.not() {
                continue;
            }
            if steps.len() == MEMBERS_CAP {
                steps.push(leaf("and so for the others".into(), String::new()));
                break;
            }
            let mut why = self.test(body);
            if let Letter::Row(table, row) = letter {
                why = Why { from: vec![why.clone()], ..self.row_step(table.0, row, why.value) };
            }
            if standing == Standing::Perhaps {
                why.text = format!("perhaps in it: {}", why.text);
            }
            steps.push(why);
            if truth == found {
                break;
            }
        }
        if is_open && truth != found {
            let Over::Items(Items::Word(owner, name)) = &each.over else { return steps };
            steps.push(leaf(
                format!("there may be other {} of {}", self.word(*name), self.item_text(owner)),
                "unknown".into(),
            ));
        } else if steps.is_empty() {
            steps.push(leaf(format!("{}: there are none", self.over(&each.over)), String::new()));
        }
        steps
    }

    /// What a letter goes through, and whether there may be more.
    pub(super) fn letters_of(&mut self, each: &Each) -> (Vec<(Letter, Standing)>, bool) {
        match &each.over {
            Over::Items(items) => {
                let members = self.machine.members(items);
                let letters = standing_of(&members).map(|(item, s)| (Letter::Item(Some(item)), s)).collect();
                (letters, members.is_open)
            }
            Over::Rows(table) => {
                let now = self.machine.now;
                let rows = self.code().table(*table).map_or(&[][..], |t| &t.rows);
                let rows = rows.iter().enumerate().filter(|(_, row)| now.is_in(&row.bounds));
                (rows.map(|(row, _)| (Letter::Row(*table, row as u32), Standing::Sure)).collect(), false)
            }
            Over::Choices(..) => (Vec::new(), true),
        }
    }

    /// What a condition asks, in words, or its denial.
    pub(super) fn says(&mut self, test: &Test, holds: bool) -> String {
        match &test.node {
            TestNode::Constant(yes) => if *yes == holds { "always" } else { "never" }.into(),
            TestNode::Word(owner, name) => {
                let (subject, word) = (self.item_text(owner), self.name(*name));
                clause(&subject, word, holds)
            }
            TestNode::Has(owner, name) => {
                let (subject, word) = (self.item_text(owner), format!("has-{}", self.name(*name)));
                clause(&subject, &word, holds)
            }
            TestNode::Letter(_) => if holds { "it is so" } else { "it is not so" }.into(),
            TestNode::Cell(slot, cell) => clause("the row", &self.cell_name(*slot, *cell), holds),
            TestNode::Lookup(lookup) => {
                let table = self.code().table(lookup.table);
                let column = table.and_then(|t| t.columns.get(lookup.column as usize)).map_or("", |c| c.0.as_str());
                let title = table.map(show::table).unwrap_or_default();
                clause(&title, column, holds)
            }
            TestNode::Call(call) => {
                let (subject, word) = self.call_text(call);
                clause(&subject, &word, holds)
            }
            TestNode::Not(inner) => self.says(inner, !holds),
            TestNode::All(tests) => match &**tests {
                [a, b] if holds => format!("{} and {}", self.says(a, true), self.says(b, true)),
                _ => gathering(false, holds),
            },
            TestNode::Any(ways) => match &**ways {
                [a, b] if holds && a.title.is_empty() => {
                    format!("{} or {}", self.says(&a.test, true), self.says(&b.test, true))
                }
                ways if ways.iter().all(|w| !w.title.is_empty()) => {
                    let titles: Vec<String> = ways.iter().map(|w| w.title.clone()).collect();
                    format!("{}one of: {}", if holds { "" } else { "not " }, join(&titles, "or"))
                }
                _ => gathering(true, holds),
            },
            TestNode::Compare(comparison, left, right, scale) => {
                let digits = self.digits_apart(test);
                let (left, right) = self.apart(digits, |teller| {
                    (teller.number_text(left, Some(*scale)), teller.number_text(right, Some(*scale)))
                });
                format!("{left} {} {right}", relation(*comparison, holds))
            }
            TestNode::Within(number, limit, scale) => {
                let digits = self.digits_apart(test);
                self.apart(digits, |teller| teller.within_text(number, limit, *scale, holds))
            }
            TestNode::IsOneOf(choice, wanted, id) => self.one_of_text(choice, *wanted, *id, holds),
            TestNode::IsInList(choice, values, id) => {
                let now = self.machine.now;
                let wanted = values.iter().filter(|(_, bounds)| now.is_in(bounds)).fold(0, |w, (bits, _)| w | bits);
                self.one_of_text(choice, wanted, *id, holds)
            }
            TestNode::SameChoice(a, b, _) => {
                format!("{} {} {}", self.choice_text(a), is(holds), self.choice_text(b))
            }
            TestNode::SameItem(a, b) => format!("{} {} {}", self.item_path(a), is(holds), self.item_path(b)),
            TestNode::SameName(a, a_name, b, b_name) => {
                format!("{} {} {}", self.of(*a_name, a), is(holds), self.of(*b_name, b))
            }
            TestNode::Holds(owner, name, value, id) => {
                let values = show::choice(self.code(), Some(*id), *value);
                format!("{} {} {values}", self.of(*name, owner), if holds { "hold" } else { "do not hold" })
            }
            TestNode::Quantified { is_all, each, body } => self.quantified_text(*is_all, each, body, holds),
            TestNode::If(parts) => match self.machine.test(&parts.0) {
                Truth::Yes => self.says(&parts.1, holds),
                Truth::No => self.says(&parts.2, holds),
                Truth::Unknown => format!("{} or {}", self.says(&parts.1, holds), self.says(&parts.2, holds)),
            },
        }
    }

    /// `each of the circuits of receptacle R1 has a neutral`, or longer where more is said of a member.
    fn quantified_text(&mut self, is_all: bool, each: &Each, body: &Test, holds: bool) -> String {
        let over = self.over(&each.over);
        let is_letter = |item: &Item| matches!(item, Item::Letter(slot) if *slot == each.slot);
        let word = match (&body.node, &each.filter) {
            (TestNode::Word(owner, name), None) if is_letter(owner) => Some(self.name(*name).to_string()),
            (TestNode::Has(owner, name), None) if is_letter(owner) => Some(format!("has-{}", self.name(*name))),
            _ => None,
        };
        if let Some(word) = word {
            let how = match (is_all, holds) {
                (true, true) => "each of",
                (true, false) => "not each of",
                (false, true) => "one of",
                (false, false) => "none of",
            };
            return clause(&format!("{how} {over}"), &word, true);
        }
        let how = if is_all == holds { "for each of" } else { "for one of" };
        self.among(each, |teller| {
            let filter = each.filter.as_ref().map(|f| format!(", where {}", teller.says(f, true))).unwrap_or_default();
            format!("{how} {over}{filter}: {}", teller.says(body, holds))
        })
    }

    /// Says something of any member of a list: `that circuit`.
    pub(super) fn among(&mut self, each: &Each, say: impl FnOnce(&mut Self) -> String) -> String {
        let noun = match &each.over {
            Over::Items(Items::Word(_, name)) => {
                let mut words = self.code().vocabulary.words().iter().filter(|w| w.name == *name);
                let kind = words.find_map(|w| match w.ty {
                    Type::List(kinds) if kinds.iter().count() == 1 => kinds.iter().next(),
                    _ => None,
                });
                kind.map_or("that one".to_string(), |kind| format!("that {kind}"))
            }
            Over::Rows(_) => "the row".into(),
            Over::Choices(..) => "it".into(),
        };
        self.machine.bind(each.slot, Letter::Empty);
        self.nouns.push((each.slot, noun));
        let text = say(self);
        self.nouns.pop();
        text
    }

    fn within_text(&mut self, number: &Number, limit: &Limit, scale: Scale, holds: bool) -> String {
        let left = self.number_text(number, Some(scale));
        let step = limit.steps.iter().rev().find(|(bounds, _)| self.machine.now.is_in(bounds));
        match step.map(|(_, ends)| (&ends.low, &ends.high)) {
            Some((Some(low), None)) => {
                format!("{left} {} {}", relation(Comparison::AtLeast, holds), self.number_text(low, Some(scale)))
            }
            Some((None, Some(high))) => {
                format!("{left} {} {}", relation(Comparison::AtMost, holds), self.number_text(high, Some(scale)))
            }
            Some((Some(low), Some(high))) => {
                let (low, high) = (self.number_text(low, Some(scale)), self.number_text(high, Some(scale)));
                format!("{left} {} from {low} to {high}", is(holds))
            }
            _ => format!("{left} {} within {}", is(holds), plain(&limit.name)),
        }
    }

    fn one_of_text(&mut self, choice: &Choice, wanted: u64, id: ChoiceId, holds: bool) -> String {
        format!("{} {} {}", self.choice_text(choice), is(holds), show::choice(self.code(), Some(id), wanted))
    }

    fn places_of(&mut self, test: &Test) -> Vec<Span> {
        match &test.node {
            TestNode::Word(owner, name) | TestNode::Has(owner, name) => {
                self.machine.item(owner).map(|item| self.places(item, *name)).unwrap_or_default()
            }
            TestNode::Not(inner) => self.places_of(inner),
            _ => Vec::new(),
        }
    }
}

fn is(holds: bool) -> &'static str {
    if holds { "is" } else { "is not" }
}

fn relation(comparison: Comparison, holds: bool) -> &'static str {
    match (comparison, holds) {
        (Comparison::Equal, true) => "is",
        (Comparison::Equal, false) => "is not",
        (Comparison::Less, true) | (Comparison::AtLeast, false) => "is under",
        (Comparison::AtMost, true) | (Comparison::More, false) => "is at most",
        (Comparison::More, true) | (Comparison::AtMost, false) => "is over",
        (Comparison::AtLeast, true) | (Comparison::Less, false) => "is at least",
    }
}
