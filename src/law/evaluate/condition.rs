use super::machine::{Letter, Machine};
use super::memo::Out;
use super::reader::{Reader, Split};
use super::{Interval, Truth};
use crate::law::code::{Cell, Choice, ChoiceNode, Item, Limit, Number, NumberNode, Slot, TableId, Test, TestNode};
use crate::law::syntax::Comparison;
use crate::shop::{ItemRef, Value};
use crate::words::NameId;

impl<R: Reader> Machine<'_, '_, R> {
    /// Whether a condition holds.
    pub fn test(&mut self, test: &Test) -> Truth {
        match &test.node {
            TestNode::Constant(yes) => (*yes).into(),
            TestNode::Word(owner, name) => self.test_word(owner, *name),
            TestNode::Has(owner, name) => self.has(owner, *name),
            TestNode::Letter(slot) => match self.letter(*slot) {
                Letter::Test(truth) => *truth,
                _ => Truth::Unknown,
            },
            TestNode::Cell(slot, cell) => match self.cell(*slot, *cell) {
                Some(Cell::YesNo(yes)) => yes.into(),
                _ => Truth::Unknown,
            },
            TestNode::Lookup(lookup) => self.lookup_test(lookup),
            TestNode::Call(call) => match self.call(call) {
                Out::Test(truth) => truth,
                _ => Truth::Unknown,
            },
            TestNode::Not(inner) => self.test(inner).not(),
            TestNode::All(tests) => self.all(tests.iter(), false),
            TestNode::Any(ways) => {
                let now = self.now;
                self.all(ways.iter().filter(|w| now.is_in(&w.bounds)).map(|w| &w.test), true)
            }
            TestNode::Compare(comparison, left, right, _) => self.compare(*comparison, left, right),
            TestNode::Within(number, limit, _) => self.within(number, limit),
            TestNode::IsOneOf(choice, wanted, id) => {
                let all = self.ground.all_values(*id);
                self.is_one_of(choice, *wanted, all)
            }
            TestNode::IsInList(choice, values, id) => {
                let wanted =
                    values.iter().filter(|(_, bounds)| self.now.is_in(bounds)).fold(0, |w, (bits, _)| w | bits);
                let all = self.ground.all_values(*id);
                self.is_one_of(choice, wanted, all)
            }
            TestNode::SameChoice(a, b, _) => {
                let mark = self.reader.mark();
                let (a, b) = (self.choice(a), self.choice(b));
                let same = a.count_ones() == 1 && a == b;
                self.decided(
                    mark,
                    if a & b == 0 {
                        Truth::No
                    } else if same {
                        Truth::Yes
                    } else {
                        Truth::Unknown
                    },
                )
            }
            TestNode::SameItem(a, b) => {
                let mark = self.reader.mark();
                let out = match (self.item(a), self.item(b)) {
                    (Some(a), Some(b)) => (a == b).into(),
                    _ => Truth::Unknown,
                };
                self.decided(mark, out)
            }
            TestNode::SameName(a, a_name, b, b_name) => {
                let mark = self.reader.mark();
                let out = match (self.proper_name(a, *a_name), self.proper_name(b, *b_name)) {
                    (Some(a), Some(b)) => (a == b).into(),
                    _ => Truth::Unknown,
                };
                self.decided(mark, out)
            }
            TestNode::Holds(owner, name, value, _) => self.holds(owner, *name, *value),
            TestNode::Quantified { is_all, each, body } => self.quantified(*is_all, each, body),
            TestNode::If(parts) => {
                let (condition, yes, no) = &**parts;
                let mark = self.reader.mark();
                match self.test(condition) {
                    Truth::Yes => self.test(yes),
                    Truth::No => self.test(no),
                    Truth::Unknown => {
                        let out = self.test(yes).hull(self.test(no));
                        self.decided(mark, out)
                    }
                }
            }
        }
    }

    /// Drops the notes behind a result that is decided.
    #[inline]
    pub fn decided(&mut self, mark: usize, out: Truth) -> Truth {
        if out.is_decided() {
            self.reader.settle(mark);
        }
        out
    }

    /// All of them, or with `is_any` at least one. The first that decides is enough.
    fn all<'t>(&mut self, tests: impl Iterator<Item = &'t Test>, is_any: bool) -> Truth {
        let stop: Truth = is_any.into();
        let start = self.reader.mark();
        let mut out = stop.not();
        for test in tests {
            let mark = self.reader.mark();
            match self.test(test) {
                Truth::Unknown => out = Truth::Unknown,
                truth if truth == stop => {
                    self.reader.only(start, mark);
                    return stop;
                }
                _ => {}
            }
        }
        self.decided(start, out)
    }

    fn test_word(&mut self, owner: &Item, name: NameId) -> Truth {
        let Some(item) = self.item(owner) else { return Truth::Unknown };
        match self.ground.define_of(item, name) {
            Some(define) => match self.define(define, item) {
                Out::Test(truth) => truth,
                _ => Truth::Unknown,
            },
            None => match self.value(item, name) {
                Value::YesNo(yes) => yes.into(),
                _ => Truth::Unknown,
            },
        }
    }

    /// Whether a part is there. A range, even one without bounds, says that it is.
    fn has(&mut self, owner: &Item, name: NameId) -> Truth {
        let Some(item) = self.item(owner) else { return Truth::Unknown };
        let mark = self.reader.mark();
        let out = match self.value(item, name) {
            Value::Unknown => Truth::Unknown,
            Value::Absent => Truth::No,
            Value::YesNo(_) | Value::Number(_) | Value::Range(_) | Value::Choice(_) => Truth::Yes,
            Value::Item(_) | Value::List(_) | Value::Name(_) => Truth::Yes,
        };
        self.decided(mark, out)
    }

    fn compare(&mut self, comparison: Comparison, left: &Number, right: &Number) -> Truth {
        if let Some(truth) = self.plain_comparison(comparison, left, right) {
            return truth;
        }
        let mark = self.reader.mark();
        let a = self.number(left);
        let middle = self.reader.mark();
        let b = self.number(right);
        let out = a.compare(comparison, &b);
        if out == Truth::Unknown {
            if let (NumberNode::Word(..), Some(cut)) = (&right.node, a.point()) {
                self.reader.hint(middle, Split::At(cut));
            }
            if let (NumberNode::Word(..), Some(cut)) = (&left.node, b.point()) {
                self.reader.hint(mark, Split::At(cut));
            }
        }
        self.decided(mark, out)
    }

    fn within(&mut self, number: &Number, limit: &Limit) -> Truth {
        let Some((_, ends)) = limit.steps.iter().rev().find(|(bounds, _)| self.now.is_in(bounds)) else {
            return Truth::Unknown;
        };
        let low = ends.low.as_ref().map_or(Truth::Yes, |low| self.compare(Comparison::AtLeast, number, low));
        if low == Truth::No {
            return Truth::No;
        }
        let high = ends.high.as_ref().map_or(Truth::Yes, |high| self.compare(Comparison::AtMost, number, high));
        low.and(high)
    }

    fn is_one_of(&mut self, choice: &Choice, wanted: u64, all: u64) -> Truth {
        let mark = self.reader.mark();
        let bits = self.choice(choice) & all;
        if bits & !wanted == 0 {
            self.decided(mark, if bits == 0 { Truth::Unknown } else { Truth::Yes })
        } else if bits & wanted == 0 {
            self.decided(mark, Truth::No)
        } else {
            if let ChoiceNode::Word(..) = choice.node {
                self.reader.hint(mark, Split::Values(wanted));
            }
            Truth::Unknown
        }
    }

    fn proper_name(&mut self, owner: &Item, name: NameId) -> Option<u32> {
        let item = self.item(owner)?;
        match self.value(item, name) {
            Value::Name(n) => Some(n),
            _ => None,
        }
    }

    /// The possible values of a choice, as a bit set.
    pub fn choice(&mut self, choice: &Choice) -> u64 {
        match &choice.node {
            ChoiceNode::Constant(bits) => *bits,
            ChoiceNode::Word(owner, name) => match self.item(owner) {
                Some(item) => self.choice_word(item, *name),
                None => u64::MAX,
            },
            ChoiceNode::Letter(slot) => match self.letter(*slot) {
                Letter::Choice(bits) => *bits,
                _ => u64::MAX,
            },
            ChoiceNode::Cell(slot, cell) => match self.cell(*slot, *cell) {
                Some(Cell::Choice(value)) => 1u64.checked_shl(value.into()).unwrap_or(u64::MAX),
                _ => u64::MAX,
            },
            ChoiceNode::Lookup(lookup) => self.lookup_choice(lookup),
            ChoiceNode::Call(call) => match self.call(call) {
                Out::Choice(bits) => bits,
                _ => u64::MAX,
            },
            ChoiceNode::If(parts) => {
                let (condition, yes, no) = &**parts;
                let mark = self.reader.mark();
                match self.test(condition) {
                    Truth::Yes => self.choice(yes),
                    Truth::No => self.choice(no),
                    Truth::Unknown => {
                        let bits = self.choice(yes) | self.choice(no);
                        if bits.count_ones() == 1 {
                            self.reader.settle(mark);
                        }
                        bits
                    }
                }
            }
        }
    }

    fn choice_word(&mut self, item: ItemRef, name: NameId) -> u64 {
        match self.ground.define_of(item, name) {
            Some(define) => match self.define(define, item) {
                Out::Choice(bits) => bits,
                _ => u64::MAX,
            },
            None => match self.value(item, name) {
                Value::Choice(bits) => bits,
                _ => self.ground.values_of(item.kind, name),
            },
        }
    }

    /// A cell of the row that a letter stands for: keys first, then columns.
    pub fn cell(&self, slot: Slot, cell: u8) -> Option<Cell> {
        let Letter::Row(table, row) = self.letter(slot) else { return None };
        self.cell_of(*table, *row, cell)
    }

    /// A cell of a row: keys first, then columns.
    pub fn cell_of(&self, table: TableId, row: u32, cell: u8) -> Option<Cell> {
        let row = self.ground.code.table(table)?.rows.get(row as usize)?;
        match row.keys.get(cell as usize) {
            Some(key) => Some(*key),
            None => row.values.get((cell as usize).checked_sub(row.keys.len())?).copied().flatten(),
        }
    }

    /// A cell as a quantity.
    pub fn cell_number(cell: Option<Cell>) -> Interval {
        match cell {
            Some(Cell::Number(n)) => Interval::of(n),
            Some(Cell::NoLimit) => Interval::NO_LIMIT,
            _ => Interval::ANYTHING,
        }
    }
}
