use super::show::{self, Digits};
use super::words::join;
use crate::law::code::{Code, DefineId, Except, Part, Rule, RuleId, Slot};
use crate::law::evaluate::Truth;
use crate::law::evaluate::ground::Ground;
use crate::law::evaluate::machine::Machine;
use crate::law::evaluate::memo::Memo;
use crate::law::evaluate::moment::Now;
use crate::law::evaluate::reader::{Careful, Noting, Reader};
use crate::law::verdict::{Outcome, Verdict, Why};
use crate::quantity::{Scale, day_text};
use crate::shop::{How, ItemRef, Shop};
use crate::text::Span;
use crate::words::{NameId, Type};

/// Deepest step that is told.
const DEPTH_CAP: usize = 24;

/// Most steps that are told.
const STEPS_CAP: usize = 2000;

/// How a verdict came about: the parts of the rule, what each came to and by which facts, rows and
/// formulas. Where the possible editions or days differ, one branch for each outcome.
pub fn explain(code: &Code, shop: &Shop, verdict: &Verdict) -> Why {
    let Some(rule) = code.rules.get(verdict.rule.0 as usize) else { return leaf(String::new(), String::new()) };
    let ground = Ground::new(code, shop);
    let mut memo = Memo::new();
    let moments = moments_to_tell(&ground, rule, verdict);
    let mut root = leaf(rule.texts.title.clone(), show::outcome(verdict.outcome).into());
    root.places = vec![verdict.place];
    let is_one = moments.len() == 1;
    for (now, text, outcome) in moments {
        let mut teller = Teller::new(&ground, &mut memo, now, rule);
        let steps = teller.rule(rule, verdict);
        if is_one {
            root.source = show::cite(&rule.texts.cites, now.edition);
            root.from = steps;
        } else {
            let source = show::cite(&rule.texts.cites, now.edition);
            let mut branch = leaf(text, show::outcome(outcome).into());
            (branch.source, branch.from) = (source, steps);
            root.from.push(branch);
        }
    }
    root
}

/// The moments worth telling: the newest possible one, or one for each stretch with one outcome.
fn moments_to_tell(ground: &Ground, rule: &Rule, verdict: &Verdict) -> Vec<(Now, String, Outcome)> {
    let all: Vec<Now> = ground.moments.that_matter(rule.turns_on_edition, rule.turns_on_day).collect();
    if verdict.worlds.len() != all.len() || verdict.worlds.is_empty() {
        return all.last().map(|now| (*now, String::new(), verdict.outcome)).into_iter().collect();
    }
    let mut stretches: Vec<(Now, Now, Outcome)> = Vec::new();
    for (now, (_, outcome)) in all.iter().zip(&verdict.worlds) {
        match stretches.last_mut() {
            Some((_, last, same)) if same == outcome => *last = *now,
            _ => stretches.push((*now, *now, *outcome)),
        }
    }
    let by_day = rule.turns_on_day && !ground.moments.has_one_stretch();
    let told = stretches.into_iter().map(|(first, last, outcome)| {
        let (a, b) = (moment_text(&first, by_day), moment_text(&last, by_day));
        (last, if a == b { a } else { format!("{a} to {b}") }, outcome)
    });
    told.collect()
}

fn moment_text(now: &Now, by_day: bool) -> String {
    let edition = Scale::Edition.show(crate::quantity::Rational::whole(now.edition));
    match (by_day, now.first_day, now.last_day) {
        (true, Some(first), _) => format!("{edition}, permit from {} on", day_text(first)),
        (true, None, Some(last)) => format!("{edition}, permit up to {}", day_text(last)),
        _ => edition,
    }
}

/// A step without steps below it.
pub(super) fn leaf(text: String, value: String) -> Why {
    Why { text, value, places: Vec::new(), source: None, from: Vec::new() }
}

/// Yes, no, unknown.
pub(super) fn truth_text(truth: Truth) -> String {
    match truth {
        Truth::Yes => "yes",
        Truth::No => "no",
        Truth::Unknown => "unknown",
    }
    .into()
}

/// Runs parts of a rule once more and tells what they come to.
pub(super) struct Teller<'m, 'a, 'r> {
    pub(super) machine: Machine<'m, 'a, Careful<'r>>,
    /// Types of the letters of each frame that is entered.
    pub(super) types: Vec<Vec<Type>>,
    /// What letters are called while nothing is bound to them.
    pub(super) nouns: Vec<(Slot, String)>,
    /// Digits more than usual that quantities are now shown with.
    pub(super) more: u32,
    /// How what comes next is shown where it is what a formula gives: a branch of its `if`.
    pub(super) carried: Digits,
    depth: usize,
    steps: usize,
}

impl<'m, 'a, 'r> Teller<'m, 'a, 'r> {
    pub(super) fn new(ground: &'m Ground<'a>, memo: &'m mut Memo, now: Now, rule: &'r Rule) -> Self {
        let reader = Careful::new(&rule.evidence, &rule.presumed, Noting::Undecided);
        Teller::with_reader(ground, memo, now, reader)
    }

    pub(super) fn with_reader(ground: &'m Ground<'a>, memo: &'m mut Memo, now: Now, reader: Careful<'r>) -> Self {
        memo.forget();
        let machine = Machine::new(ground, now, reader, memo, None);
        Teller { machine, types: Vec::new(), nouns: Vec::new(), more: 0, carried: Digits::USUAL, depth: 0, steps: 0 }
    }

    pub(super) fn shop(&self) -> &'a Shop {
        self.machine.ground.shop
    }

    pub(super) fn code(&self) -> &'a Code {
        self.machine.ground.code
    }

    /// Begins with the letters of a rule at an item.
    pub(super) fn enter_rule(&mut self, rule: &Rule, item: ItemRef) {
        self.machine.enter_rule(rule.slots.max(1), item);
        self.types = vec![Vec::new()];
    }

    /// Whether one more step may be told.
    pub(super) fn may_tell(&mut self) -> bool {
        self.steps = self.steps.saturating_add(1);
        self.depth < DEPTH_CAP && self.steps < STEPS_CAP
    }

    /// Tells something a step deeper.
    pub(super) fn deeper<T>(&mut self, tell: impl FnOnce(&mut Self) -> T) -> T {
        let outside = self.depth;
        self.depth = outside.saturating_add(1);
        let told = tell(self);
        self.depth = outside;
        told
    }

    fn rule(&mut self, rule: &Rule, verdict: &Verdict) -> Vec<Why> {
        let item = verdict.item;
        self.enter_rule(rule, item);
        let now = self.machine.now;
        if !now.is_in(&rule.bounds) {
            return vec![leaf("not in this edition, or not on this day".into(), "yes".into())];
        }
        let mut steps: Vec<Why> = Vec::new();
        let wheres: Vec<Why> =
            rule.wheres.iter().filter(|part| now.is_in(&part.bounds)).map(|part| self.part(part)).collect();
        if !wheres.is_empty() {
            let value = all_of(&wheres);
            let mut about = leaf(format!("it is about {}", self.shop().called(item)), value);
            about.from = wheres;
            steps.push(about);
        }
        for part in rule.needs.iter().filter(|part| now.is_in(&part.bounds)) {
            steps.push(self.part(part));
        }
        for except in rule.excepts.iter().filter(|e| now.is_in(&e.bounds)) {
            steps.push(self.except(rule, except));
        }
        steps
    }

    fn part(&mut self, part: &Part) -> Why {
        let why = self.test(&part.test);
        titled(&part.title, why)
    }

    fn except(&mut self, rule: &Rule, except: &Except) -> Why {
        let title = if except.title.is_empty() { &except.name } else { &except.title };
        let freed = except.part.and_then(|part| rule.needs.get(part));
        let of = freed.map(|part| format!(" for {}", if part.title.is_empty() { &part.name } else { &part.title }));
        let title = format!("exception{}: {title}", of.unwrap_or_default());
        let why = self.test(&except.test);
        let mut why = titled(&title, why);
        if why.value == "unknown" {
            self.machine.memo.forget();
            self.machine.reader.taken.clear();
            let before = self.machine.reader.presume(true);
            let presumed = self.machine.test(&except.test);
            self.machine.reader.presume(before);
            self.machine.memo.forget();
            if presumed == Truth::No {
                let taken = std::mem::take(&mut self.machine.reader.taken);
                let rare: Vec<String> = taken.into_iter().map(|fact| self.denial(fact)).collect();
                why.value = "taken as no, the ordinary case".into();
                why.from = if rare.is_empty() {
                    Vec::new()
                } else {
                    vec![leaf(join(&rare, "and"), "nobody says otherwise".into())]
                };
            }
        }
        why
    }

    /// Where a fact is said, if it is.
    pub(super) fn places(&self, item: ItemRef, name: NameId) -> Vec<Span> {
        let source = self.shop().source(item, name);
        match source.how {
            How::Unsaid => Vec::new(),
            _ => vec![source.place],
        }
    }

    /// Tells something with so many digits that quantities which differ look different.
    pub(super) fn apart<T>(&mut self, digits: u32, tell: impl FnOnce(&mut Self) -> T) -> T {
        let before = self.more;
        self.more = before.max(digits);
        let told = tell(self);
        self.more = before;
        told
    }

    /// Tells what a define says, with its letters bound to one item.
    pub(super) fn inside<T>(
        &mut self,
        id: DefineId,
        item: ItemRef,
        tell: impl FnOnce(&mut Self, &'a crate::law::code::Define) -> T,
    ) -> Option<T> {
        let code: &'a Code = self.machine.ground.code;
        let define = code.define(id)?;
        let frame = self.machine.enter(define.slots, item);
        self.types.push(define.parameters.clone());
        let told = self.deeper(|teller| tell(teller, define));
        self.types.pop();
        self.machine.leave(frame);
        Some(told)
    }

    /// The same for a call with several arguments.
    pub(super) fn inside_call<T>(
        &mut self,
        call: &crate::law::code::Call,
        tell: impl FnOnce(&mut Self, &'a crate::law::code::Define) -> T,
    ) -> Option<T> {
        let (define, frame) = self.machine.enter_call(call)?;
        self.types.push(define.parameters.clone());
        let told = self.deeper(|teller| tell(teller, define));
        self.types.pop();
        self.machine.leave(frame);
        Some(told)
    }

    /// How a fact is known, where that is more than that the plan says so.
    pub(super) fn manner(&self, item: ItemRef, name: NameId) -> &'static str {
        match self.shop().source(item, name).how {
            How::Assumed => ", assumed",
            How::Seen => ", seen",
            How::Measured => ", measured",
            How::OnPaper => ", on paper",
            How::Unread => ", on a line that could not be read",
            How::Conflict => ", said in two ways",
            How::Unsaid | How::Planned | How::Derived => "",
        }
    }
}

/// A step under a title of its own, unless it has none or says the same. A step that only gathers
/// others leaves its place to them.
pub(super) fn titled(title: &str, why: Why) -> Why {
    if title.is_empty() || title == why.text {
        return why;
    }
    let mut titled = leaf(title.to_string(), why.value.clone());
    let is_gathering = GATHERING.contains(&why.text.as_str()) && !why.from.is_empty();
    titled.from = if is_gathering { why.from } else { vec![why] };
    titled
}

/// What a step says that only gathers others.
const GATHERING: [&str; 4] =
    ["all of these hold", "not all of these hold", "one of these holds", "none of these holds"];

/// What is said of several conditions together.
pub(super) fn gathering(is_any: bool, holds: bool) -> String {
    let [all, not_all, one, none] = GATHERING;
    match (is_any, holds) {
        (false, true) => all,
        (false, false) => not_all,
        (true, true) => one,
        (true, false) => none,
    }
    .into()
}

fn all_of(steps: &[Why]) -> String {
    match steps.iter().any(|s| s.value == "no") {
        true => "no".into(),
        false if steps.iter().all(|s| s.value == "yes") => "yes".into(),
        false => "unknown".into(),
    }
}

/// A rule by its number.
pub(super) fn rule_of(code: &Code, id: RuleId) -> Option<&Rule> {
    code.rules.get(id.0 as usize)
}
