use super::index::TableIndex;
use super::machine::Machine;
use super::reader::Reader;
use crate::law::code::{Cell, Choice, ChoiceNode, Each, Item, Items, Key, Lookup, Number, NumberNode, Over};
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
impl<R: Reader> Machine<'_, '_, R> {
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
                Cell::Number(n) => Some(n),
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
            NumberNode::Aggregate { kind: Aggregate::Sum, each, body } => self.exact_sum(each, body),
            _ => None,
        }
    }

    /// Whether a comparison of two such quantities holds.
    #[inline]
    pub fn exact_comparison(&mut self, comparison: Comparison, left: &Number, right: &Number) -> Option<bool> {
        if !R::IS_PLAIN {
            return None;
        }
        let order = self.exact(left)?.cmp(&self.exact(right)?);
        Some(match comparison {
            Comparison::Equal => order == Ordering::Equal,
            Comparison::Less => order == Ordering::Less,
            Comparison::AtMost => order != Ordering::Greater,
            Comparison::More => order == Ordering::Greater,
            Comparison::AtLeast => order != Ordering::Less,
        })
    }

    /// The cell that a look-up meets.
    #[inline]
    pub fn exact_cell(&mut self, lookup: &Lookup) -> Option<Cell> {
        if !R::IS_PLAIN {
            return None;
        }
        let table = self.ground.code.tables.get(lookup.table.0 as usize)?;
        let index = table.index.get_or_init(|| TableIndex::of(table));
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
            place = index.rank(table, number, cell, place)?;
        }
        let now = self.now;
        let (_, row) = index.row(table, place, |bounds| now.is_in(bounds))?;
        row.values.get(lookup.column as usize).copied().flatten()
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

    /// The sum of a word over a list of which every member is known.
    fn exact_sum(&mut self, each: &Each, body: &Number) -> Option<Rational> {
        let (Over::Items(Items::Word(owner, list)), None) = (&each.over, &each.filter) else { return None };
        let NumberNode::Word(of, name) = &body.node else { return None };
        if !matches!(**of, Item::Letter(slot) if slot == each.slot) {
            return None;
        }
        let owner = self.exact_item(owner)?;
        let members = self.members_of((owner, *list));
        let list = members.list.filter(|list| !members.is_open && list.possible.is_empty())?;
        let mut sum = Rational::ZERO;
        let mut column: (Option<Kind>, &[Value]) = (None, &[]);
        for member in &list.sure {
            if column.0 != Some(member.kind) {
                self.has_exact(member.kind, *name)?;
                column = (Some(member.kind), self.ground.shop.column_of(member.kind, *name));
            }
            sum = sum.plus(number_of(column.1.get(member.index as usize)?)?)?;
        }
        self.memo.spend(list.sure.len()).then_some(sum)
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
        if kind == Kind::Permit || self.ground.code.define_of(kind, name).is_some() {
            return None;
        }
        self.reader.read_plainly(self.ground, kind, name);
        Some(())
    }
}

#[inline]
fn number_of(value: &Value) -> Option<Rational> {
    if let Value::Number(n) = value { Some(*n) } else { None }
}
