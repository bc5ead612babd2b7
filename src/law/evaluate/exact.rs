use super::Truth;
use super::machine::Machine;
use super::reader::Reader;
use crate::law::code::{Cell, Choice, ChoiceNode, Code, Each, Item, Items, Key, Lookup, Number, NumberNode, Over};
use crate::law::syntax::{Aggregate, Comparison, Operator};
use crate::quantity::Rational;
use crate::shop::{ItemRef, Value};
use crate::words::{Kind, NameId};
use std::cmp::Ordering;

/// The short way for what is one value and plainly read: figures, stated words, rows of tables, arithmetic and
/// sums of these. No interval is made, and nothing is copied but the value.
///
/// Invariant: what it gives is what the long way gives. `None` says nothing at all; whoever asks goes the long way.
/// Only a reader that keeps no notes goes it, since no note is made here.
impl<'a, R: Reader> Machine<'_, 'a, R> {
    /// The one value of a quantity.
    pub fn exact(&mut self, number: &Number) -> Option<Rational> {
        match &number.node {
            NumberNode::Constant(n) => Some(*n),
            NumberNode::Word(owner, name) => {
                let item = self.exact_item(owner)?;
                number_of(self.exact_fact(item, *name)?)
            }
            NumberNode::Steps(steps) => {
                let now = self.now;
                let (_, step) = steps.iter().rev().find(|(bounds, _)| now.is_in(bounds))?;
                self.exact(step)
            }
            NumberNode::Lookup(lookup) => match self.exact_cell(lookup)? {
                Cell::Number(n) => Some(*n),
                _ => None,
            },
            NumberNode::Arithmetic(operator, left, right) => {
                let (a, b) = (self.exact(left)?, self.exact(right)?);
                match operator {
                    Operator::Plus => a.plus(b),
                    Operator::Minus => a.minus(b),
                    Operator::Times => a.times(b),
                    Operator::Over => a.over(b),
                }
            }
            NumberNode::Aggregate { kind: Aggregate::Sum, each, body } => {
                let (least, most) = self.plain_sum(each, body)?;
                if most == Some(least) { most } else { None }
            }
            _ => None,
        }
    }

    /// Whether a comparison of two such quantities holds, or of what is open in a plain way.
    #[inline]
    pub fn plain_comparison(&mut self, comparison: Comparison, left: &Number, right: &Number) -> Option<Truth> {
        if !R::IS_PLAIN {
            return None;
        }
        if matches!(left.node, NumberNode::Aggregate { .. }) || matches!(right.node, NumberNode::Aggregate { .. }) {
            return self.open_comparison(comparison, left, right);
        }
        let Some(left_value) = self.exact(left) else { return self.open_comparison(comparison, left, right) };
        let Some(right_value) = self.exact(right) else { return self.open_comparison(comparison, left, right) };
        let order = left_value.cmp(&right_value);
        let holds = match comparison {
            Comparison::Equal => order == Ordering::Equal,
            Comparison::Less => order == Ordering::Less,
            Comparison::AtMost => order != Ordering::Greater,
            Comparison::More => order == Ordering::Greater,
            Comparison::AtLeast => order != Ordering::Less,
        };
        Some(holds.into())
    }

    /// The same by the ends, where a side may be open.
    #[inline(never)]
    fn open_comparison(&mut self, comparison: Comparison, left: &Number, right: &Number) -> Option<Truth> {
        let (left, right) = (self.plain_ends(left)?, self.plain_ends(right)?);
        Some(match comparison {
            Comparison::Less => left.is_less(&right),
            Comparison::AtMost => right.is_less(&left).not(),
            Comparison::More => right.is_less(&left),
            Comparison::AtLeast => left.is_less(&right).not(),
            Comparison::Equal => return None,
        })
    }

    /// What a word, a sum or an exact quantity can be.
    fn plain_ends(&mut self, number: &Number) -> Option<Ends> {
        match &number.node {
            NumberNode::Word(owner, name) => {
                let item = self.exact_item(owner)?;
                match self.exact_fact(item, *name)? {
                    Value::Number(n) => Some(Ends::of(*n)),
                    Value::Unknown => Some(Ends { least: None, most: None }),
                    _ => None,
                }
            }
            NumberNode::Aggregate { kind: Aggregate::Sum, each, body } => {
                let (least, most) = self.plain_sum(each, body)?;
                Some(Ends { least: Some(least), most })
            }
            _ => self.exact(number).map(Ends::of),
        }
    }

    /// The cell that a look-up meets.
    #[inline]
    pub fn exact_cell(&mut self, lookup: &Lookup) -> Option<&'a Cell> {
        if !R::IS_PLAIN {
            return None;
        }
        let code: &'a Code = self.ground.code;
        let table = code.table(lookup.table)?;
        let index = table.indexed();
        if !index.is_dense() {
            return None;
        }
        let mut place = 0;
        for (number, key) in lookup.keys.iter().enumerate() {
            let cell = match key {
                Key::Number(number) => Cell::Number(self.exact(number)?),
                Key::Choice(choice) => Cell::Choice(self.exact_choice(choice)?),
                Key::Test(_) | Key::Name(..) => return None,
            };
            place = index.rank(number, cell, place)?;
        }
        let now = self.now;
        let (_, row) = index.row(table, place, |bounds| now.is_in(bounds))?;
        row.values.get(lookup.column as usize)?.as_ref()
    }

    fn exact_choice(&mut self, choice: &Choice) -> Option<u8> {
        let bits = match &choice.node {
            ChoiceNode::Constant(bits) => *bits,
            ChoiceNode::Word(owner, name) => {
                let item = self.exact_item(owner)?;
                match self.exact_fact(item, *name)? {
                    Value::Choice(bits) => *bits,
                    _ => return None,
                }
            }
            _ => return None,
        };
        bits.is_power_of_two().then_some(bits.trailing_zeros() as u8)
    }

    /// The least and the most that a sum of a word over a list can be of which every member is known; there is no
    /// most where an amount was not said.
    fn plain_sum(&mut self, each: &Each, body: &Number) -> Option<(Rational, Option<Rational>)> {
        let (Over::Items(Items::Word(owner, list)), None) = (&each.over, &each.filter) else { return None };
        let NumberNode::Word(of, name) = &body.node else { return None };
        if !matches!(**of, Item::Letter(slot) if slot == each.slot) {
            return None;
        }
        let owner = self.exact_item(owner)?;
        let members = self.members_of((owner, *list));
        let list = members.list.filter(|list| !members.is_open && list.possible.is_empty())?;
        let mut sum = Rational::ZERO;
        let mut is_open = false;
        let mut column: (Option<Kind>, &[Value]) = (None, &[]);
        for member in &list.sure {
            if column.0 != Some(member.kind) {
                self.has_exact(member.kind, *name)?;
                column = (Some(member.kind), self.ground.shop.column_of(member.kind, *name));
            }
            match column.1.get(member.index as usize) {
                Some(Value::Number(n)) => sum = sum.plus(*n)?,
                // No amount of a sum is under zero.
                Some(Value::Unknown) | None => is_open = true,
                _ => return None,
            }
        }
        self.memo.spend(list.sure.len()).then_some((sum, if is_open { None } else { Some(sum) }))
    }

    fn exact_item(&mut self, item: &Item) -> Option<ItemRef> {
        match item {
            Item::Letter(slot) => self.letter(*slot).item(),
            Item::Only(kind) => Some(ItemRef { kind: *kind, index: 0 }),
            Item::Word(owner, name) => {
                let owner = self.exact_item(owner)?;
                match self.exact_fact(owner, *name)? {
                    Value::Item(item) => Some(*item),
                    _ => None,
                }
            }
        }
    }

    #[inline]
    fn exact_fact(&mut self, item: ItemRef, name: NameId) -> Option<&Value> {
        self.has_exact(item.kind, name)?;
        Some(self.ground.shop.fact(item, name))
    }

    /// Goes on only with a word that the plan states, and notes that it is read.
    #[inline]
    fn has_exact(&mut self, kind: Kind, name: NameId) -> Option<()> {
        let word = self.ground.read(kind, name);
        self.reader.read_plainly(word.is_weak);
        word.is_plain.then_some(())
    }
}

#[inline]
fn number_of(value: &Value) -> Option<Rational> {
    if let Value::Number(n) = value { Some(*n) } else { None }
}

/// The least and the most that a quantity can be, both included; none is the far end on that side.
#[derive(Clone, Copy)]
struct Ends {
    least: Option<Rational>,
    most: Option<Rational>,
}

impl Ends {
    fn of(value: Rational) -> Ends {
        Ends { least: Some(value), most: Some(value) }
    }

    /// As [`super::Interval`] compares.
    fn is_less(&self, other: &Ends) -> Truth {
        match (self.most, other.least) {
            (Some(most), Some(least)) if most < least => return Truth::Yes,
            _ => {}
        }
        match (self.least, other.most) {
            (Some(least), Some(most)) if least >= most => Truth::No,
            _ => Truth::Unknown,
        }
    }
}
