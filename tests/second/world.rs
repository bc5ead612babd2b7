//! One rule at one item in one complete world, read straight from the compiled tree.
//!
//! Nothing here is clever: no intervals, no index, no order of trying, and nothing is kept from one world to the
//! next. Every value is one value. What the plan leaves open is asked of the world the moment it is read.

use ringout::law::code::*;
use ringout::law::syntax::{Aggregate, Bounds, Comparison, Meet, Moment, Operator};
use ringout::law::verdict::Outcome;
use ringout::quantity::{Rational, Scale};
use ringout::shop::{How, ItemRef, Shop, Value};
use ringout::words::{ChoiceId, Kind, NameId, Type, name};
use std::collections::HashMap;

/// A quantity. The order of the variants is the order of the values.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Amount {
    /// What the largest of nothing is.
    Below,
    At(Rational),
    NoLimit,
}

/// Something that neither plan nor rules say.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Question {
    /// A fact of an item.
    Fact(ItemRef, NameId),
    /// Whether an item is in a list in which it is perhaps.
    IsMember(ItemRef, NameId, ItemRef),
    /// Whether an open list has further members of this kind.
    HasMore(ItemRef, NameId, Kind),
    /// Whether an open list of values has this one.
    HasValue(ItemRef, NameId, u8),
    /// Whether the item is in the list that the rule goes through.
    Belongs,
    /// The edition in force.
    Edition,
    /// The day of the permit.
    Day,
    /// What a table, a division by zero or the office leaves open, and of which type it is.
    Gap(String, Gap),
}

/// What kind of answer a gap takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Gap {
    YesNo,
    Number,
    Choice(ChoiceId),
}

/// One answer.
#[derive(Clone, Debug, PartialEq)]
pub enum Answer {
    YesNo(bool),
    Number(Amount),
    Choice(u8),
    Item(ItemRef),
    Name(String),
    /// A part that is not there.
    Absent,
    /// A list that is there.
    Present,
}

/// Who answers.
pub trait Oracle {
    fn answer(&mut self, question: Question) -> Answer;
    /// An item that the plan does not name: what an open word or list of another leads to. Those of one list are
    /// alike but for their numbers.
    fn stranger(&mut self, of: (ItemRef, NameId, Kind), number: u32) -> ItemRef;
    /// That a quantity was held against another.
    fn met(&mut self, scale: Scale, amount: Amount);
}

/// What a letter stands for.
#[derive(Clone, Debug, PartialEq)]
enum Letter {
    Empty,
    Item(ItemRef),
    Row(TableId, usize),
    Number(Amount),
    Choice(u8),
    Test(bool),
}

/// The tree walk. `broken` holds what the compiler promised and did not keep.
pub struct World<'w, O> {
    pub code: &'w Code,
    pub shop: &'w Shop,
    pub rule: &'w Rule,
    pub oracle: &'w mut O,
    pub broken: Option<String>,
    pub steps: usize,
    /// Whether an amount that is not settled was looked up, and no row of the table has it. See [`World::look_up`].
    pub is_off_table: bool,
    has_open_amount: bool,
    /// What formulas of one item gave in this world, so that a walk through the rows of a table ends.
    given: HashMap<(ItemRef, NameId), Answer>,
    letters: Vec<Letter>,
}

/// So many members of a kind are added to a list that may have others: enough to pass the counts in rules.
pub const STRANGERS: u32 = 4;

/// Most nodes that are walked in one world.
pub const STEPS_CAP: usize = 100_000;

impl<'w, O: Oracle> World<'w, O> {
    pub fn new(code: &'w Code, shop: &'w Shop, rule: &'w Rule, oracle: &'w mut O) -> Self {
        World {
            code,
            shop,
            rule,
            oracle,
            broken: None,
            steps: 0,
            is_off_table: false,
            has_open_amount: false,
            given: HashMap::new(),
            letters: Vec::new(),
        }
    }

    /// What the rule gives for an item.
    pub fn outcome(&mut self, item: ItemRef, may_belong: bool) -> Outcome {
        let rule = self.rule;
        self.letters = vec![Letter::Empty; rule.slots.max(1)];
        self.letters[0] = Letter::Item(item);
        if !self.counts(&rule.bounds) || may_belong && !self.yes(Question::Belongs) {
            return Outcome::NotApplicable;
        }
        for part in &rule.wheres {
            if self.counts(&part.bounds) && !self.test(&part.test) {
                return Outcome::NotApplicable;
            }
        }
        // A part may be read behind the `needs` that asks for it, so that what comes after an unmet one is not looked at.
        let mut needs = rule.needs.iter().enumerate();
        let is_met = needs.all(|(number, part)| {
            !self.counts(&part.bounds) || self.test(&part.test) || self.is_excepted(Some(number))
        });
        match (is_met || self.is_excepted(None), rule.level) {
            (true, _) => Outcome::Pass,
            (false, Level::Note) => Outcome::NotApplicable,
            (false, _) => Outcome::Attention,
        }
    }

    fn is_excepted(&mut self, part: Option<usize>) -> bool {
        let rule = self.rule;
        let mut these = rule.excepts.iter().filter(|except| except.part == part);
        these.any(|except| self.counts(&except.bounds) && self.test(&except.test))
    }

    fn yes(&mut self, question: Question) -> bool {
        match self.oracle.answer(question) {
            Answer::YesNo(yes) => yes,
            other => self.breaks(format!("{other:?} is no yes or no")),
        }
    }

    fn breaks<T: Default>(&mut self, what: String) -> T {
        self.broken.get_or_insert(what);
        T::default()
    }

    fn counts(&mut self, bounds: &Bounds) -> bool {
        let has_come = |world: &mut Self, moment: Moment| match moment {
            Moment::Edition(year) => world.edition() >= Amount::At(Rational::whole(year)),
            Moment::Day(day) => world.day() >= Amount::At(Rational::whole(day)),
        };
        bounds.from.is_none_or(|m| has_come(self, m)) && bounds.before.is_none_or(|m| !has_come(self, m))
    }

    fn edition(&mut self) -> Amount {
        self.asked_amount(Question::Edition)
    }

    fn day(&mut self) -> Amount {
        self.asked_amount(Question::Day)
    }

    fn asked_amount(&mut self, question: Question) -> Amount {
        match self.oracle.answer(question) {
            Answer::Number(n) => n,
            other => self.breaks(format!("{other:?} is no amount")),
        }
    }

    fn gap(&mut self, what: String) -> Amount {
        self.has_open_amount = true;
        self.asked_amount(Question::Gap(what, Gap::Number))
    }

    /// A fact; one that is not settled is asked for. Where the rule wants better evidence than there is, nothing is settled.
    fn fact(&mut self, item: ItemRef, name: NameId) -> Answer {
        match stated(self.shop, self.rule, item, name) {
            Value::Absent => Answer::Absent,
            Value::YesNo(yes) => Answer::YesNo(yes),
            Value::Number(n) => Answer::Number(Amount::At(n)),
            Value::Choice(bits) if bits.count_ones() == 1 => Answer::Choice(bits.trailing_zeros() as u8),
            Value::Item(item) => Answer::Item(item),
            Value::Name(n) => Answer::Name(self.shop.proper_name(n).to_string()),
            Value::List(_) => Answer::Present,
            Value::Unknown | Value::Range(_) | Value::Choice(_) => {
                let answer = self.oracle.answer(Question::Fact(item, name));
                self.has_open_amount |= matches!(answer, Answer::Number(_));
                answer
            }
        }
    }

    /// The formula that gives a word of an item, unless the word itself was stated.
    fn define_of(&self, item: ItemRef, name: NameId) -> Option<&'w Define> {
        let id = self.code.define_of(item.kind, name)?;
        (self.shop.value(item, name) == Value::Unknown).then(|| &*self.code.defines[id.0 as usize])
    }

    fn word(&mut self, owner: &Item, name: NameId) -> Answer {
        let item = self.item(owner);
        if item.kind == Kind::Permit && name == name::EDITION {
            return Answer::Number(self.edition());
        }
        if item.kind == Kind::Permit && name == name::DATE {
            return Answer::Number(self.day());
        }
        let Some(define) = self.define_of(item, name) else { return self.fact(item, name) };
        if let Some(given) = self.given.get(&(item, name)) {
            return given.clone();
        }
        let given = self.run(define, vec![Letter::Item(item)]);
        self.given.insert((item, name), given.clone());
        given
    }

    /// A formula, in a frame of its own.
    fn run(&mut self, define: &'w Define, mut letters: Vec<Letter>) -> Answer {
        if letters.len() < define.slots {
            letters.resize(define.slots, Letter::Empty);
        }
        let before = std::mem::replace(&mut self.letters, letters);
        let out = match &define.body {
            Body::Test(test) => Answer::YesNo(self.test(test)),
            Body::Number(number) => Answer::Number(self.number(number)),
            Body::Choice(choice) => Answer::Choice(self.choice(choice)),
            Body::Item(item) => Answer::Item(self.item(item)),
        };
        self.letters = before;
        out
    }

    fn call(&mut self, call: &Call) -> Answer {
        let letters = call.arguments.iter().map(|argument| match argument {
            Any::Test(test) => Letter::Test(self.test(test)),
            Any::Number(number, _) => Letter::Number(self.number(number)),
            Any::Choice(choice, _) => Letter::Choice(self.choice(choice)),
            Any::Item(item) => Letter::Item(self.item(item)),
            Any::Items(_) | Any::Name(..) => Letter::Empty,
        });
        let letters = letters.collect();
        self.run(&self.code.defines[call.define.0 as usize], letters)
    }

    fn letter(&self, slot: Slot) -> Letter {
        self.letters.get(slot.0 as usize).cloned().unwrap_or(Letter::Empty)
    }

    fn bind(&mut self, slot: Slot, letter: Letter) {
        self.letters[slot.0 as usize] = letter;
    }

    fn item(&mut self, item: &Item) -> ItemRef {
        let given = match item {
            Item::Letter(slot) => match self.letter(*slot) {
                Letter::Item(item) => return item,
                other => format!("{other:?} in a letter"),
            },
            Item::Only(kind) => return ItemRef { kind: *kind, index: 0 },
            Item::Word(owner, name) => match self.word(owner, *name) {
                Answer::Item(item) => return item,
                other => format!("{other:?} under `{}`", self.code.vocabulary.text(*name)),
            },
        };
        self.broken.get_or_insert(format!("{given} is no item"));
        Shop::SHOP
    }

    /// A condition.
    pub fn test(&mut self, test: &Test) -> bool {
        self.steps += 1;
        if self.steps > STEPS_CAP {
            return false;
        }
        match &test.node {
            TestNode::Constant(yes) => *yes,
            TestNode::Word(owner, name) => {
                let answer = self.word(owner, *name);
                self.as_test(answer)
            }
            TestNode::Has(owner, name) => {
                let item = self.item(owner);
                self.fact(item, *name) != Answer::Absent
            }
            TestNode::Letter(slot) => match self.letter(*slot) {
                Letter::Test(yes) => yes,
                other => self.breaks(format!("{other:?} is no yes or no")),
            },
            TestNode::Cell(slot, cell) => match self.cell(*slot, *cell) {
                (Some(Cell::YesNo(yes)), _) => yes,
                (_, place) => self.yes(Question::Gap(place, Gap::YesNo)),
            },
            TestNode::Lookup(lookup) => match self.look_up(lookup) {
                (Some(Cell::YesNo(yes)), _) => yes,
                (_, place) => self.yes(Question::Gap(place, Gap::YesNo)),
            },
            TestNode::Call(call) => {
                let answer = self.call(call);
                self.as_test(answer)
            }
            TestNode::Not(inner) => !self.test(inner),
            TestNode::All(tests) => tests.iter().all(|test| self.test(test)),
            TestNode::Any(ways) => ways.iter().any(|way| self.counts(&way.bounds) && self.test(&way.test)),
            TestNode::Compare(comparison, left, right, scale) => {
                let (left, right) = (self.number(left), self.number(right));
                self.meet(*scale, [left, right]);
                compare(*comparison, left, right)
            }
            TestNode::Within(number, limit, scale) => self.is_within(number, limit, *scale),
            TestNode::IsOneOf(choice, wanted, _) => wanted & (1 << self.choice(choice)) != 0,
            TestNode::IsInList(choice, values, _) => {
                let value = self.choice(choice);
                values.iter().any(|(bits, bounds)| bits & (1 << value) != 0 && self.counts(bounds))
            }
            TestNode::SameChoice(a, b, _) => self.choice(a) == self.choice(b),
            TestNode::SameItem(a, b) => self.item(a) == self.item(b),
            TestNode::SameName(a, a_name, b, b_name) => self.proper_name(a, *a_name) == self.proper_name(b, *b_name),
            TestNode::Holds(owner, name, wanted, _) => {
                let item = self.item(owner);
                self.values(item, *name) & wanted != 0
            }
            TestNode::Quantified { is_all, each, body } => {
                let mut says = *is_all;
                for letter in self.over(&each.over) {
                    self.bind(each.slot, letter);
                    if each.filter.as_ref().is_none_or(|filter| self.test(filter)) && self.test(body) != *is_all {
                        says = !*is_all;
                        break;
                    }
                }
                says
            }
            TestNode::If(parts) => {
                let branch = if self.test(&parts.0) { &parts.1 } else { &parts.2 };
                self.test(branch)
            }
        }
    }

    fn as_test(&mut self, answer: Answer) -> bool {
        match answer {
            Answer::YesNo(yes) => yes,
            other => self.breaks(format!("{other:?} is no yes or no")),
        }
    }

    fn meet(&mut self, scale: Scale, amounts: impl IntoIterator<Item = Amount>) {
        amounts.into_iter().for_each(|amount| self.oracle.met(scale, amount));
    }

    fn is_within(&mut self, number: &Number, limit: &Limit, scale: Scale) -> bool {
        let mut ends = None;
        for (bounds, step) in &limit.steps {
            if self.counts(bounds) {
                ends = Some(step);
            }
        }
        let Some(ends) = ends else { return self.yes(Question::Gap(limit.name.clone(), Gap::YesNo)) };
        let value = self.number(number);
        let (low, high) = (ends.low.as_ref(), ends.high.as_ref());
        let (low, high) = (low.map(|low| self.number(low)), high.map(|high| self.number(high)));
        self.meet(scale, [Some(value), low, high].into_iter().flatten());
        low.is_none_or(|low| value >= low) && high.is_none_or(|high| value <= high)
    }

    fn proper_name(&mut self, owner: &Item, name: NameId) -> String {
        let item = self.item(owner);
        match self.fact(item, name) {
            Answer::Name(text) => text,
            other => self.breaks(format!("{other:?} is no name")),
        }
    }

    /// A quantity.
    pub fn number(&mut self, number: &Number) -> Amount {
        self.steps += 1;
        if self.steps > STEPS_CAP {
            return Amount::Below;
        }
        match &number.node {
            NumberNode::Constant(n) => Amount::At(*n),
            NumberNode::NoLimit => Amount::NoLimit,
            NumberNode::Word(owner, name) => {
                let answer = self.word(owner, *name);
                self.as_number(answer)
            }
            NumberNode::Letter(slot) => match self.letter(*slot) {
                Letter::Number(n) => n,
                other => self.breaks(format!("{other:?} is no amount")),
            },
            NumberNode::Cell(slot, cell) => {
                let found = self.cell(*slot, *cell);
                self.cell_number(found)
            }
            NumberNode::Lookup(lookup) => {
                let found = self.look_up(lookup);
                self.cell_number(found)
            }
            NumberNode::Call(call) => {
                let answer = self.call(call);
                self.as_number(answer)
            }
            NumberNode::Steps(steps) => {
                let mut last = None;
                for (bounds, step) in steps {
                    if self.counts(bounds) {
                        last = Some(step);
                    }
                }
                match last {
                    Some(step) => self.number(step),
                    None => self.gap(format!("before the first step at {:?}", number.span)),
                }
            }
            NumberNode::Asked(question) => self.gap(question.clone()),
            NumberNode::Edition => self.edition(),
            NumberNode::Day => self.day(),
            NumberNode::Arithmetic(operator, left, right) => {
                let (a, b) = (self.number(left), self.number(right));
                match calculate(*operator, a, b) {
                    Some(n) => n,
                    None => self.gap(format!("{a:?} {operator:?} {b:?}")),
                }
            }
            NumberNode::Extreme { is_largest, candidates } => {
                let all: Vec<Amount> = candidates.iter().map(|candidate| self.number(candidate)).collect();
                extreme(*is_largest, all)
            }
            NumberNode::Aggregate { kind, each, body } => {
                let terms = self.terms(each, |world| world.number(body));
                match kind {
                    Aggregate::Least => extreme(false, terms),
                    Aggregate::Largest => extreme(true, terms),
                    Aggregate::Sum => terms.into_iter().fold(Amount::At(Rational::ZERO), |sum, term| {
                        calculate(Operator::Plus, sum, term).unwrap_or_else(|| self.gap(format!("{sum:?} + {term:?}")))
                    }),
                }
            }
            NumberNode::Count(each) => match &each.over {
                Over::Choices(owner, name) => {
                    let item = self.item(owner);
                    whole(self.values(item, *name).count_ones() as usize)
                }
                _ => whole(self.terms(each, |_| Amount::Below).len()),
            },
            NumberNode::Rank { item, list, by, member } => {
                let item = self.item(&Item::Letter(*item));
                let Items::Word(owner, name) = &**list;
                let owner = self.item(owner);
                let others = self.members(owner, *name);
                self.bind(*member, Letter::Item(item));
                let own = self.number(by);
                let is_before = |world: &mut Self, other: &ItemRef| {
                    world.bind(*member, Letter::Item(*other));
                    let value = world.number(by);
                    *other != item && (value > own || value == own && *other < item)
                };
                whole(1 + others.iter().filter(|other| is_before(self, other)).count())
            }
            NumberNode::If(parts) => {
                let branch = if self.test(&parts.0) { &parts.1 } else { &parts.2 };
                self.number(branch)
            }
            NumberNode::ToTable { is_up, value, table } => {
                let value = self.number(value);
                self.to_table(value, *is_up, *table)
            }
            NumberNode::Rounded { value, step, from } => match self.number(value) {
                Amount::At(n) => match round(n, *step, *from) {
                    Some(n) => Amount::At(n),
                    None => self.gap(format!("{n} by steps of {step}")),
                },
                far => far,
            },
        }
    }

    fn as_number(&mut self, answer: Answer) -> Amount {
        match answer {
            Answer::Number(n) => n,
            other => self.breaks(format!("{other:?} is no amount")),
        }
    }

    fn cell_number(&mut self, (cell, place): (Option<Cell>, String)) -> Amount {
        match cell {
            Some(Cell::Number(n)) => Amount::At(n),
            Some(Cell::NoLimit) => Amount::NoLimit,
            _ => self.gap(place),
        }
    }

    /// What an expression gives for each member that the filter lets through.
    fn terms(&mut self, each: &Each, mut of: impl FnMut(&mut Self) -> Amount) -> Vec<Amount> {
        let mut terms = Vec::new();
        for letter in self.over(&each.over) {
            self.bind(each.slot, letter);
            if each.filter.as_ref().is_none_or(|filter| self.test(filter)) {
                terms.push(of(self));
            }
        }
        terms
    }

    fn over(&mut self, over: &Over) -> Vec<Letter> {
        match over {
            Over::Items(Items::Word(owner, name)) => {
                let owner = self.item(owner);
                self.members(owner, *name).into_iter().map(Letter::Item).collect()
            }
            Over::Rows(table) => {
                let count = self.code.tables[table.0 as usize].rows.len();
                (0..count).filter(|row| self.row_counts(*table, *row)).map(|row| Letter::Row(*table, row)).collect()
            }
            Over::Choices(..) => self.breaks("a list of values that is not counted".into()),
        }
    }

    fn row_counts(&mut self, table: TableId, row: usize) -> bool {
        let code = self.code;
        self.counts(&code.tables[table.0 as usize].rows[row].bounds)
    }

    /// The members of a list in this world. One that may have others has a few more of each kind, or none.
    fn members(&mut self, owner: ItemRef, name: NameId) -> Vec<ItemRef> {
        let Some(Type::List(kinds)) = self.code.vocabulary.word(owner.kind, name).map(|word| word.ty) else {
            return self.breaks(format!("`{}` is no list", self.code.vocabulary.text(name)));
        };
        let (mut all, mut is_open) = (Vec::new(), true);
        match self.shop.value(owner, name) {
            Value::List(id) => {
                let list = self.shop.list(id);
                all.extend(&list.sure);
                all.extend(list.possible.iter().filter(|m| self.yes(Question::IsMember(owner, name, **m))));
                is_open = list.is_open;
            }
            Value::Absent => is_open = false,
            _ => {}
        }
        for kind in kinds.iter().filter(|_| is_open) {
            if self.yes(Question::HasMore(owner, name, kind)) {
                all.extend((0..STRANGERS).map(|number| self.oracle.stranger((owner, name, kind), number)));
            }
        }
        all
    }

    /// The values in a list of values, as a bit set.
    fn values(&mut self, owner: ItemRef, name: NameId) -> u64 {
        let (mut bits, is_open) = match self.shop.value(owner, name) {
            Value::List(id) => (self.shop.list(id).choices, self.shop.list(id).is_open),
            Value::Absent => (0, false),
            _ => (0, true),
        };
        let Some(Type::Choices(id)) = self.code.vocabulary.word(owner.kind, name).map(|word| word.ty) else {
            return self.breaks("no list of values".into());
        };
        let count = self.code.vocabulary.choice(id).map_or(0, |choice| choice.values.len()) as u8;
        for value in (0..count).filter(|_| is_open) {
            if bits & (1 << value) == 0 && self.yes(Question::HasValue(owner, name, value)) {
                bits |= 1 << value;
            }
        }
        bits
    }

    /// A value of a choice, as its place.
    fn choice(&mut self, choice: &Choice) -> u8 {
        self.steps += 1;
        let answer = match &choice.node {
            ChoiceNode::Constant(bits) if bits.count_ones() == 1 => return bits.trailing_zeros() as u8,
            ChoiceNode::Constant(bits) => return self.breaks(format!("{bits:b} is not one value")),
            ChoiceNode::Word(owner, name) => self.word(owner, *name),
            ChoiceNode::Letter(slot) => match self.letter(*slot) {
                Letter::Choice(value) => return value,
                other => return self.breaks(format!("{other:?} is no value")),
            },
            ChoiceNode::Cell(slot, cell) => {
                let letter = self.letter(*slot);
                let found = self.cell(*slot, *cell);
                let Letter::Row(table, _) = letter else { return self.breaks("no row".into()) };
                let table = &self.code.tables[table.0 as usize];
                let key = table.keys.get(*cell as usize).map(|key| key.1);
                let ty = key.unwrap_or_else(|| table.columns[*cell as usize - table.keys.len()].1);
                return self.cell_choice(found, ty);
            }
            ChoiceNode::Lookup(lookup) => {
                let found = self.look_up(lookup);
                let ty = self.code.tables[lookup.table.0 as usize].columns[lookup.column as usize].1;
                return self.cell_choice(found, ty);
            }
            ChoiceNode::Call(call) => self.call(call),
            ChoiceNode::If(parts) => {
                let branch = if self.test(&parts.0) { &parts.1 } else { &parts.2 };
                return self.choice(branch);
            }
        };
        match answer {
            Answer::Choice(value) => value,
            other => self.breaks(format!("{other:?} is no value")),
        }
    }

    fn cell_choice(&mut self, (cell, place): (Option<Cell>, String), ty: Type) -> u8 {
        match (cell, ty) {
            (Some(Cell::Choice(value)), _) => value,
            (_, Type::Choice(id)) => match self.oracle.answer(Question::Gap(place, Gap::Choice(id))) {
                Answer::Choice(value) => value,
                other => self.breaks(format!("{other:?} is no value")),
            },
            _ => self.breaks("no column of values".into()),
        }
    }

    /// A cell of the row that a letter stands for, keys first, and what to call it.
    fn cell(&mut self, slot: Slot, cell: u8) -> (Option<Cell>, String) {
        let Letter::Row(table, row) = self.letter(slot) else { return (None, self.breaks("no row".into())) };
        let place = format!("cell {cell} of row {row} of table {}", table.0);
        let row = &self.code.tables[table.0 as usize].rows[row];
        let cells = row.keys.iter().map(|key| Some(*key)).chain(row.values.iter().copied());
        (cells.into_iter().nth(cell as usize).flatten(), place)
    }

    /// The cell that a look-up meets, and what to call it.
    ///
    /// A table says `beyond unknown` of keys that nobody rates, sells or prints, such as a wire of 63 F. So an amount
    /// of which the plan leaves several values open is taken to be one of the rows; a world where it is not is
    /// marked, since the evaluator leaves it out of count on purpose.
    fn look_up(&mut self, lookup: &Lookup) -> (Option<Cell>, String) {
        let code = self.code;
        let table = &code.tables[lookup.table.0 as usize];
        let keys: Vec<Option<Cell>> = lookup.keys.iter().map(|key| self.key(key)).collect();
        let place = format!("table {}, column {}, at {keys:?}", lookup.table.0, lookup.column);
        self.steps += table.rows.len();
        let mut rows: Vec<&Row> = Vec::new();
        for (number, row) in table.rows.iter().enumerate() {
            let is_met = |key: usize| table.keys[key].2 != Meet::Exact || keys[key] == Some(row.keys[key]);
            if (0..keys.len()).all(is_met) && self.row_counts(lookup.table, number) {
                rows.push(row);
            }
        }
        let is_missing = |key: usize| {
            let is_amount = matches!(keys[key], Some(Cell::Number(_) | Cell::NoLimit) | None);
            is_amount
                && table.keys[key].2 == Meet::Exact
                && !table.rows.iter().any(|row| Some(row.keys[key]) == keys[key])
        };
        let is_off = table.beyond == Beyond::Unknown && rows.is_empty() && (0..keys.len()).any(is_missing);
        self.is_off_table |= is_off && self.has_open_amount;
        let last = rows.last().copied();
        for (key, (_, ty, meet)) in table.keys.iter().enumerate() {
            if let Type::Quantity(scale) = ty {
                self.meet(*scale, table.rows.iter().map(|row| amount_of(&row.keys[key])));
            }
            let at = |row: &&Row| amount_of(&row.keys[key]);
            let wanted = keys[key].map_or(Amount::Below, |cell| amount_of(&cell));
            let found = match meet {
                Meet::Exact => continue,
                Meet::Up => rows.iter().map(at).filter(|n| *n >= wanted).min(),
                Meet::Down => rows.iter().map(at).filter(|n| *n <= wanted).max(),
            };
            rows.retain(|row| Some(at(row)) == found);
        }
        let column = lookup.column as usize;
        match (rows.first(), table.beyond) {
            (Some(row), _) => (row.values[column], place),
            (None, Beyond::LastRow) => (last.and_then(|row| row.values[column]), place),
            (None, Beyond::Cell(cell)) => (Some(cell), place),
            (None, Beyond::Unknown) => (None, place),
        }
    }

    /// A key as the cell that it has to be; none where no cell can be it.
    fn key(&mut self, key: &Key) -> Option<Cell> {
        Some(match key {
            Key::Number(number) => match self.number(number) {
                Amount::At(n) => Cell::Number(n),
                Amount::NoLimit => Cell::NoLimit,
                Amount::Below => return None,
            },
            Key::Choice(choice) => Cell::Choice(self.choice(choice)),
            Key::Test(test) => Cell::YesNo(self.test(test)),
            Key::Name(owner, name) => {
                let text = self.proper_name(owner, *name);
                Cell::Name(self.code.proper_names.iter().position(|n| *n == text)? as u32)
            }
        })
    }

    fn to_table(&mut self, value: Amount, is_up: bool, id: TableId) -> Amount {
        let code = self.code;
        let table = &code.tables[id.0 as usize];
        let mut steps: Vec<Amount> = Vec::new();
        for (number, row) in table.rows.iter().enumerate() {
            if self.row_counts(id, number) {
                steps.extend(row.keys.first().or(row.values.first().and_then(Option::as_ref)).map(amount_of));
            }
        }
        let ty = table.keys.first().map_or(table.columns[0].1, |key| key.1);
        if let Type::Quantity(scale) = ty {
            self.meet(scale, steps.iter().copied());
        }
        let (least, most) = (steps.iter().copied().min(), steps.iter().copied().max());
        let found = if is_up {
            steps.into_iter().filter(|step| *step >= value).min()
        } else {
            steps.into_iter().filter(|step| *step <= value).max()
        };
        let place = || format!("beyond table {} at {value:?}, up: {is_up}", id.0);
        match (found, table.beyond) {
            (Some(step), _) => step,
            (None, Beyond::LastRow) => match if is_up { most } else { least } {
                Some(step) => step,
                None => self.gap(place()),
            },
            (None, Beyond::Cell(cell)) => self.cell_number((Some(cell), place())),
            // Nobody prints that step, but up it is no less, and down no more.
            (None, Beyond::Unknown) if is_up => self.gap(place()).max(value),
            (None, Beyond::Unknown) => self.gap(place()).min(value),
        }
    }
}

/// What the plan says of a fact. Where the rule wants better evidence than there is, it says nothing.
pub fn stated(shop: &Shop, rule: &Rule, item: ItemRef, name: NameId) -> Value {
    let how = shop.source(item, name).how;
    let lacks = rule.evidence.iter().any(|(kinds, word, wanted)| {
        let suffices = how == *wanted || *wanted == How::Seen && how == How::Measured;
        *word == name && kinds.has(item.kind) && !suffices
    });
    if lacks { Value::Unknown } else { shop.value(item, name) }
}

impl Default for Amount {
    fn default() -> Amount {
        Amount::At(Rational::ZERO)
    }
}

fn whole(count: usize) -> Amount {
    Amount::At(Rational::whole(count as i64))
}

fn amount_of(cell: &Cell) -> Amount {
    match cell {
        Cell::Number(n) => Amount::At(*n),
        _ => Amount::NoLimit,
    }
}

fn compare(comparison: Comparison, left: Amount, right: Amount) -> bool {
    match comparison {
        Comparison::Equal => left == right,
        Comparison::Less => left < right,
        Comparison::AtMost => left <= right,
        Comparison::More => left > right,
        Comparison::AtLeast => left >= right,
    }
}

fn extreme(is_largest: bool, all: Vec<Amount>) -> Amount {
    let found = if is_largest { all.into_iter().max() } else { all.into_iter().min() };
    found.unwrap_or(if is_largest { Amount::Below } else { Amount::NoLimit })
}

/// None where there is no such number, or no room for it.
fn calculate(operator: Operator, a: Amount, b: Amount) -> Option<Amount> {
    use Amount::{At, Below, NoLimit};
    let zero = Rational::ZERO;
    let is_negative = |n: Amount| n < At(zero);
    let far = |negative: bool| Some(if negative { Below } else { NoLimit });
    match (operator, a, b) {
        (Operator::Plus, At(a), At(b)) => a.plus(b).map(At),
        (Operator::Minus, At(a), At(b)) => a.minus(b).map(At),
        (Operator::Times, At(a), At(b)) => a.times(b).map(At),
        (Operator::Over, At(a), At(b)) => a.over(b).map(At),
        (Operator::Plus, At(_), far) | (Operator::Plus, far, At(_)) => Some(far),
        (Operator::Plus, a, b) => (a == b).then_some(a),
        (Operator::Minus, far, At(_)) => Some(far),
        (Operator::Minus, At(_), b) => far(b == NoLimit),
        (Operator::Minus, a, b) => (a != b).then_some(a),
        (Operator::Times, At(n), _) | (Operator::Times, _, At(n)) if n == zero => Some(At(zero)),
        (Operator::Times, a, b) => far(is_negative(a) != is_negative(b)),
        (Operator::Over, _, At(b)) if b == zero => None,
        (Operator::Over, a, At(b)) => far(is_negative(a) != (b < zero)),
        (Operator::Over, At(_), _) => Some(At(zero)),
        (Operator::Over, _, _) => None,
    }
}

fn round(n: Rational, step: Rational, from: Option<Rational>) -> Option<Rational> {
    let steps = n.over(step)?;
    let down = Rational::whole(steps.floor());
    let is_up = match from {
        None => down < steps,
        Some(share) => steps.minus(down)? >= share,
    };
    if is_up { down.plus(Rational::ONE)?.times(step) } else { down.times(step) }
}
