//! Fills in what a plan leaves open: every way where there are few, chance ways where there are many.

use super::chance::Chance;
use super::world::{Amount, Answer, Gap, Oracle, Question, STRANGERS, World, stated};
use ringout::law::code::{Code, Rule};
use ringout::law::verdict::Outcome;
use ringout::quantity::{Rational, Scale, WIRE_SIZES};
use ringout::shop::{How, ItemRef, Range, Shop, Value};
use ringout::words::{ChoiceId, Kind, NameId, Ordinary, Type, name};
use std::collections::{BTreeSet, HashMap};

/// Number of the first item that no plan names.
const STRANGER: u32 = 1_000_000;

/// Most nodes that are walked in turn for one verdict.
const IN_TURN_STEPS: usize = 400_000;

/// Most figures of one scale that are kept as such with which something was compared.
const FIGURES_CAP: usize = 40;

/// What a rule gives at an item in one complete world.
#[derive(Debug)]
pub struct Tried {
    pub outcome: Outcome,
    /// What was asked and answered.
    pub answers: Vec<(Question, Answer)>,
    /// Rare facts of which nobody said anything that this world does not answer in the ordinary way.
    pub rare: Vec<(ItemRef, NameId)>,
    pub broken: Option<String>,
    pub is_too_long: bool,
    /// Whether an open amount is looked up that no row has.
    pub is_off_table: bool,
}

/// Worlds of one rule at one item.
pub struct Filler<'f> {
    code: &'f Code,
    shop: &'f Shop,
    rule: &'f Rule,
    item: ItemRef,
    may_belong: bool,
    figures: HashMap<Scale, BTreeSet<Rational>>,
    strangers: Vec<(ItemRef, NameId, Kind)>,
    mode: Mode,
    steps: usize,
    answers: Vec<(Question, Answer)>,
    places: HashMap<Question, usize>,
}

/// How the next answer is found.
enum Mode {
    /// By chance.
    Chance(Chance),
    /// In turn: for each question in the order of asking, its answers and which one is due.
    Turn(Vec<(Vec<Answer>, usize)>),
}

impl<'f> Filler<'f> {
    pub fn new(code: &'f Code, shop: &'f Shop, rule: &'f Rule, (item, may_belong): (ItemRef, bool)) -> Filler<'f> {
        let mode = Mode::Turn(Vec::new());
        let (figures, places) = (HashMap::new(), HashMap::new());
        let (strangers, answers) = (Vec::new(), Vec::new());
        Filler { code, shop, rule, item, may_belong, figures, strangers, mode, steps: 0, answers, places }
    }

    /// One world after another until the visitor has enough or there are so many; true where there are no others.
    pub fn in_turn(&mut self, most: usize, mut visit: impl FnMut(Tried) -> bool) -> bool {
        self.mode = Mode::Turn(Vec::new());
        self.steps = 0;
        for _ in 0..most {
            if self.steps > IN_TURN_STEPS {
                return false;
            }
            if visit(self.run()) {
                return false;
            }
            let Mode::Turn(turns) = &mut self.mode else { return false };
            while turns.last().is_some_and(|(answers, at)| at + 1 >= answers.len()) {
                turns.pop();
            }
            match turns.last_mut() {
                Some((_, at)) => *at += 1,
                None => return true,
            }
        }
        false
    }

    /// So many worlds by chance, or until the visitor has enough.
    pub fn by_chance(&mut self, number: u64, most: usize, mut visit: impl FnMut(Tried) -> bool) {
        self.mode = Mode::Chance(Chance::new(number));
        (0..most).any(|_| visit(self.run()));
    }

    fn run(&mut self) -> Tried {
        self.answers.clear();
        self.places.clear();
        let (code, shop, rule, item, may_belong) = (self.code, self.shop, self.rule, self.item, self.may_belong);
        let mut world = World::new(code, shop, rule, self);
        let outcome = world.outcome(item, may_belong);
        let (broken, is_too_long) = (world.broken.take(), world.steps > super::world::STEPS_CAP);
        let (steps, is_off_table) = (world.steps, world.is_off_table);
        self.steps += steps;
        let answers = self.answers.clone();
        let rare = answers.iter().filter_map(|(question, answer)| self.rare(question, answer)).collect();
        Tried { outcome, answers, rare, broken, is_too_long, is_off_table }
    }

    /// The fact, where it is one that rules presume, nobody said anything of it, and the answer is not the ordinary one.
    fn rare(&self, question: &Question, answer: &Answer) -> Option<(ItemRef, NameId)> {
        let Question::Fact(item, name) = *question else { return None };
        let is_presumed = self.rule.presumed.iter().any(|(kinds, n)| *n == name && kinds.has(item.kind));
        let is_unsaid = item.index < STRANGER && self.shop.source(item, name).how == How::Unsaid;
        let ordinary = match self.code.vocabulary.word(item.kind, name)?.ordinary? {
            Ordinary::Yes => Answer::YesNo(true),
            Ordinary::No => Answer::YesNo(false),
            Ordinary::Value(value) => Answer::Choice(value),
            Ordinary::Absent => Answer::Absent,
        };
        (is_presumed && is_unsaid && *answer != ordinary).then_some((item, name))
    }

    /// Every answer that a question may have; of a quantity the figures that it was compared with, and one between each.
    fn candidates(&mut self, question: &Question) -> Vec<Answer> {
        let yes_or_no = || vec![Answer::YesNo(false), Answer::YesNo(true)];
        match question {
            Question::Fact(item, name) => self.facts(*item, *name),
            Question::IsMember(..) | Question::HasMore(..) | Question::HasValue(..) | Question::Belongs => yes_or_no(),
            Question::Gap(_, Gap::YesNo) => yes_or_no(),
            Question::Gap(_, Gap::Choice(id)) => self.choices(*id, u64::MAX),
            Question::Gap(_, Gap::Number) => {
                let mut all: BTreeSet<Rational> = self.figures.values().flatten().copied().collect();
                while all.len() > FIGURES_CAP {
                    all.pop_last();
                }
                spread(&all, None, false)
            }
            Question::Edition => self.editions().into_iter().map(|n| Answer::Number(Amount::At(n))).collect(),
            Question::Day => self.days().into_iter().map(|n| Answer::Number(Amount::At(n))).collect(),
        }
    }

    fn facts(&mut self, item: ItemRef, name: NameId) -> Vec<Answer> {
        let Some(word) = self.code.vocabulary.word(item.kind, name) else { return vec![Answer::Absent] };
        let stated = stated(self.shop, self.rule, item, name);
        let mut all = match word.ty {
            Type::YesNo => vec![Answer::YesNo(false), Answer::YesNo(true)],
            Type::Choice(id) => self.choices(id, if let Value::Choice(bits) = stated { bits } else { u64::MAX }),
            Type::Quantity(Scale::WireSize) => {
                let range = if let Value::Range(range) = stated { Some(range) } else { None };
                let sizes = (0..WIRE_SIZES.len() as i64).map(Rational::whole);
                let sizes = sizes.filter(|n| range.is_none_or(|range| is_in(*n, &range)));
                sizes.map(|n| Answer::Number(Amount::At(n))).collect()
            }
            Type::Quantity(scale) => {
                let range = if let Value::Range(range) = stated { Some(range) } else { None };
                let figures = self.figures.get(&scale).cloned().unwrap_or_default();
                spread(&figures, range, scale == Scale::Temperature)
            }
            Type::Item(kinds) => {
                let known = kinds.iter().flat_map(|kind| self.shop.items(kind).take(3)).map(Answer::Item);
                let mut all: Vec<Answer> = known.collect();
                for kind in kinds.iter().filter(|kind| !matches!(kind, Kind::Shop | Kind::Permit)) {
                    all.push(Answer::Item(self.stranger((item, name, kind), 0)));
                }
                all
            }
            Type::List(_) | Type::Choices(_) => vec![Answer::Present],
            Type::Name => {
                let names = self.code.proper_names.iter().take(3).cloned();
                names.chain(["nobody's".to_string()]).map(Answer::Name).collect()
            }
        };
        if word.is_part && stated == Value::Unknown {
            all.push(Answer::Absent);
        }
        all
    }

    fn choices(&self, id: ChoiceId, bits: u64) -> Vec<Answer> {
        let count = self.code.vocabulary.choice(id).map_or(0, |choice| choice.values.len()) as u8;
        (0..count).filter(|value| bits & (1 << value) != 0).map(Answer::Choice).collect()
    }

    fn editions(&self) -> Vec<Rational> {
        let all = self.code.editions.iter().copied().map(Rational::whole);
        let possible: Vec<Rational> = match self.shop.value(Shop::PERMIT, name::EDITION) {
            Value::Number(n) => return vec![Rational::whole(n.floor())],
            Value::Range(range) => all.clone().filter(|n| is_in(*n, &range)).collect(),
            _ => Vec::new(),
        };
        if possible.is_empty() { all.collect() } else { possible }
    }

    /// A day before each cut, the cut, and a day before and after all that are possible.
    fn days(&self) -> Vec<Rational> {
        let stated = self.shop.value(Shop::PERMIT, name::DATE);
        if let Value::Number(n) = stated {
            return vec![Rational::whole(n.floor())];
        }
        let around = self.code.days.iter().flat_map(|day| [day - 1, *day]).chain([0, 100_000]).map(Rational::whole);
        let Value::Range(range) = stated else { return around.collect() };
        let ends = [range.low, range.high].into_iter().flatten();
        let days: Vec<Rational> = around.clone().chain(ends).filter(|n| is_in(*n, &range)).collect();
        if days.is_empty() { around.collect() } else { days }
    }
}

impl Oracle for Filler<'_> {
    fn answer(&mut self, question: Question) -> Answer {
        let question = match question {
            Question::Fact(item, name) => Question::Fact(first_alike(item), name),
            Question::HasMore(item, name, kind) => Question::HasMore(first_alike(item), name, kind),
            Question::HasValue(item, name, value) => Question::HasValue(first_alike(item), name, value),
            other => other,
        };
        if let Some(place) = self.places.get(&question) {
            return self.answers[*place].1.clone();
        }
        let depth = self.answers.len();
        let due = if let Mode::Turn(turns) = &self.mode { turns.get(depth) } else { None };
        let answer = match due {
            Some((answers, at)) => answers[*at].clone(),
            None => {
                let candidates = self.candidates(&question);
                assert!(!candidates.is_empty(), "nothing answers {question:?}");
                match &mut self.mode {
                    Mode::Chance(chance) => chance.pick(&candidates).clone(),
                    Mode::Turn(turns) => {
                        let first = candidates[0].clone();
                        turns.push((candidates, 0));
                        first
                    }
                }
            }
        };
        self.places.insert(question.clone(), depth);
        self.answers.push((question, answer.clone()));
        answer
    }

    fn stranger(&mut self, of: (ItemRef, NameId, Kind), number: u32) -> ItemRef {
        let known = self.strangers.iter().position(|s| *s == of);
        let place = known.unwrap_or_else(|| {
            self.strangers.push(of);
            self.strangers.len() - 1
        });
        ItemRef { kind: of.2, index: STRANGER + place as u32 * STRANGERS + number }
    }

    fn met(&mut self, scale: Scale, amount: Amount) {
        let Amount::At(n) = amount else { return };
        // What is tried in turn has to stay as it is.
        if let Mode::Chance(_) = self.mode {
            let figures = self.figures.entry(scale).or_default();
            if figures.len() < FIGURES_CAP {
                figures.insert(n);
            }
        }
    }
}

/// The first of the strangers of one list.
fn first_alike(item: ItemRef) -> ItemRef {
    let number = item.index.checked_sub(STRANGER).map_or(0, |place| place % STRANGERS);
    ItemRef { index: item.index - number, ..item }
}

fn is_in(n: Rational, range: &Range) -> bool {
    range.low.is_none_or(|low| low < n || low == n && !range.low_is_open)
        && range.high.is_none_or(|high| n < high || n == high && !range.high_is_open)
}

/// The figures inside a range, its ends, one amount between each two and one beyond the last; no amount but a
/// temperature is below zero. Where there is no upper bound, `no limit` too.
fn spread(figures: &BTreeSet<Rational>, range: Option<Range>, may_be_negative: bool) -> Vec<Answer> {
    let range = range.unwrap_or(Range { low: None, high: None, low_is_open: false, high_is_open: false });
    let mut points: BTreeSet<Rational> = figures.clone();
    points.extend([range.low, range.high, Some(Rational::ZERO), Some(Rational::ONE)].into_iter().flatten());
    let (first, last) = (*points.first().unwrap(), *points.last().unwrap());
    points.extend(last.plus(last).and_then(|n| n.plus(Rational::ONE)));
    points.extend(first.minus(Rational::ONE));
    let half = Rational::constant(1, 2);
    let between = points.iter().zip(points.iter().skip(1));
    let between: Vec<Rational> = between.filter_map(|(a, b)| a.plus(*b)?.times(half)).collect();
    points.extend(between);
    let is_possible = |n: &Rational| is_in(*n, &range) && (may_be_negative || *n >= Rational::ZERO);
    let mut all: Vec<Answer> = points.into_iter().filter(is_possible).map(|n| Answer::Number(Amount::At(n))).collect();
    if range.high.is_none() {
        all.push(Answer::Number(Amount::NoLimit));
    }
    all
}
