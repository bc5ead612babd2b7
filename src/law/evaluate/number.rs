use super::machine::{Letter, Machine};
use super::memo::Out;
use super::moment::Now;
use super::reader::Reader;
use super::{End, Interval, Truth};
use crate::law::code::{Beyond, Cell, Item, Number, NumberNode, Table, TableId};
use crate::law::syntax::Operator;
use crate::quantity::Rational;
use crate::words::NameId;

impl<R: Reader> Machine<'_, '_, R> {
    /// The possible values of a quantity.
    pub fn number(&mut self, number: &Number) -> Interval {
        match &number.node {
            NumberNode::Constant(n) => Interval::of(*n),
            NumberNode::NoLimit => Interval::NO_LIMIT,
            NumberNode::Word(owner, name) => self.number_word(owner, *name),
            NumberNode::Letter(slot) => match self.letter(*slot) {
                Letter::Number(n) => *n,
                _ => Interval::ANYTHING,
            },
            NumberNode::Cell(slot, cell) => Self::cell_number(self.cell(*slot, *cell)),
            NumberNode::Lookup(lookup) => self.lookup_number(lookup),
            NumberNode::Call(call) => match self.call(call) {
                Out::Number(n) => n,
                _ => Interval::ANYTHING,
            },
            NumberNode::Steps(steps) => {
                let now = self.now;
                let step = steps.iter().rev().find(|(bounds, _)| now.is_in(bounds));
                step.map_or(Interval::ANYTHING, |(_, n)| self.number(n))
            }
            NumberNode::Asked(_) => Interval::ANYTHING,
            NumberNode::Edition => Interval::of(Rational::whole(self.now.edition)),
            NumberNode::Day => self.now.day(),
            NumberNode::Arithmetic(operator, left, right) => self.arithmetic(*operator, left, right),
            NumberNode::Extreme { is_largest, candidates } => self.extreme(*is_largest, candidates),
            NumberNode::Aggregate { kind, each, body } => self.aggregate(*kind, each, body),
            NumberNode::Count(each) => self.count(each),
            NumberNode::Rank { item, list, by, member } => self.rank(*item, list, by, *member),
            NumberNode::If(parts) => {
                let (condition, yes, no) = &**parts;
                let mark = self.reader.mark();
                match self.test(condition) {
                    Truth::Yes => self.number(yes),
                    Truth::No => self.number(no),
                    Truth::Unknown => {
                        let out = self.number(yes).hull(self.number(no));
                        self.known(mark, out)
                    }
                }
            }
            NumberNode::ToTable { is_up, value, table } => {
                let value = self.number(value);
                self.to_table(value, *is_up, *table)
            }
            NumberNode::Rounded { value, step, from } => {
                let value = self.number(value);
                value.rising(|n| round(n, *step, *from))
            }
        }
    }

    /// Drops the notes behind a quantity that is decided.
    pub fn known(&mut self, mark: usize, out: Interval) -> Interval {
        if out.is_decided() {
            self.reader.settle(mark);
        }
        out
    }

    fn number_word(&mut self, owner: &Item, name: NameId) -> Interval {
        let Some(item) = self.item(owner) else { return Interval::ANYTHING };
        if let Some(moment) = self.moment(item, name) {
            return moment;
        }
        match self.ground.define_of(item, name) {
            Some(define) => match self.define(define, item) {
                Out::Number(n) => n,
                _ => Interval::ANYTHING,
            },
            None => Interval::of_value(&self.value(item, name)),
        }
    }

    fn arithmetic(&mut self, operator: Operator, left: &Number, right: &Number) -> Interval {
        let mark = self.reader.mark();
        let (a, b) = (self.number(left), self.number(right));
        let out = a.calculate(operator, b);
        self.known(mark, out)
    }

    /// The least or largest. A candidate that lies wholly on the far side of another can't be it,
    /// so what it hangs on is of no interest.
    fn extreme(&mut self, is_largest: bool, candidates: &[Number]) -> Interval {
        let start = self.reader.mark();
        let mut out: Option<Interval> = None;
        for candidate in candidates {
            let mark = self.reader.mark();
            let value = self.number(candidate);
            out = Some(match out {
                None => value,
                Some(so_far) => {
                    let (lesser, larger) = (value.high <= so_far.low, value.low >= so_far.high);
                    if if is_largest { lesser } else { larger } {
                        self.reader.discard(mark, self.reader.mark());
                    } else if if is_largest { larger } else { lesser } {
                        self.reader.discard(start, mark);
                    }
                    if is_largest { so_far.largest(value) } else { so_far.least(value) }
                }
            });
        }
        let none = if is_largest { Interval::BELOW } else { Interval::NO_LIMIT };
        self.known(start, out.unwrap_or(none))
    }

    /// The next step of a table at or over a quantity, or at or under it.
    fn to_table(&mut self, value: Interval, is_up: bool, table: TableId) -> Interval {
        let Some(table) = self.ground.code.table(table) else { return Interval::ANYTHING };
        let now = self.now;
        let at = |end: End, far: Interval| match next_step(table, &now, end, is_up) {
            Some(step) => Interval::of(step),
            None => match table.beyond {
                Beyond::Unknown => far,
                Beyond::LastRow => next_step(table, &now, if is_up { End::NoLimit } else { End::Below }, !is_up)
                    .map_or(far, Interval::of),
                Beyond::Cell(cell) => Self::cell_number(Some(cell)),
            },
        };
        if value.is_decided() {
            // No row tells what comes next, but it lies that way.
            let far = match is_up {
                true => Interval::between(value.low, End::NoLimit),
                false => Interval::between(End::Below, value.low),
            };
            return at(value.low, far);
        }
        at(value.low, Interval::BELOW).hull(at(value.high, Interval::NO_LIMIT))
    }
}

/// The first step at or over an end, or the last at or under it.
fn next_step(table: &Table, now: &Now, end: End, is_up: bool) -> Option<Rational> {
    let rows = table.rows.iter().filter(|row| now.is_in(&row.bounds));
    let steps = rows.filter_map(|row| match row.keys.first().or(row.values.first().and_then(Option::as_ref)) {
        Some(Cell::Number(n)) => Some(*n),
        _ => None,
    });
    if is_up {
        steps.filter(|step| End::At(*step) >= end).min()
    } else {
        steps.filter(|step| End::At(*step) <= end).max()
    }
}

/// Up to the next step, or with a share `from` to the nearer one: up from that share of a step on.
fn round(value: Rational, step: Rational, from: Option<Rational>) -> Option<Rational> {
    let steps = value.over(step)?;
    let whole = match from {
        None => steps.ceiling(),
        Some(share) => {
            let down = steps.floor();
            let rest = steps.minus(Rational::whole(down))?;
            if rest >= share { down.checked_add(1)? } else { down }
        }
    };
    Rational::whole(whole).times(step)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Chapter 9 note 7: a count goes up only from 0.8 on; plain `rounded up` always does.
    /// Source: the rounding rule as written out in the vocabulary of expressions.
    #[test]
    fn rounds_from_a_share() {
        let at = |text: (i64, i64), from: Option<(i64, i64)>| {
            let value = Rational::constant(text.0, text.1);
            round(value, Rational::ONE, from.map(|(a, b)| Rational::constant(a, b)))
        };
        assert_eq!(at((379, 100), Some((8, 10))), Some(Rational::whole(3)));
        assert_eq!(at((38, 10), Some((8, 10))), Some(Rational::whole(4)));
        assert_eq!(at((301, 100), None), Some(Rational::whole(4)));
        assert_eq!(at((3, 1), None), Some(Rational::whole(3)));
        assert_eq!(round(Rational::ONE, Rational::ZERO, None), None, "a step of nothing is no step");
    }
}
