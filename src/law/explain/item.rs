//! What sentences call items, their words, choices, lists and rows of tables.

use super::show;
use super::tree::{Teller, leaf};
use super::words::{clause, join, noun, plain};
use crate::law::code::{Call, Cell, Choice, ChoiceNode, Item, Items, Key, Lookup, Over, Row, Slot, Table};
use crate::law::evaluate::machine::Letter;
use crate::law::evaluate::reader::{Fact, Reader};
use crate::law::syntax::Meet;
use crate::law::verdict::Why;
use crate::quantity::Toward;
use crate::words::{ChoiceId, NameId, Type};

impl<'a> Teller<'_, 'a, '_> {
    /// A choice as a sentence calls it: `use of area loft`.
    pub(super) fn choice_text(&mut self, choice: &Choice) -> String {
        match &choice.node {
            ChoiceNode::Word(owner, name) => self.of(*name, owner),
            ChoiceNode::Constant(_) | ChoiceNode::Letter(_) | ChoiceNode::Cell(..) | ChoiceNode::If(_) => "it".into(),
            ChoiceNode::Lookup(lookup) => self.code().table(lookup.table).map(show::table).unwrap_or_default(),
            ChoiceNode::Call(call) => {
                let (subject, word) = self.call_text(call);
                format!("{} of {subject}", plain(&word))
            }
        }
    }

    /// A choice's value and where it comes from.
    pub(super) fn choice_step(&mut self, choice: &Choice, id: ChoiceId) -> Option<Why> {
        let bits = self.machine.choice(choice);
        let value = show::choice(self.code(), Some(id), bits);
        match &choice.node {
            ChoiceNode::Word(owner, name) => match self.machine.item(owner) {
                Some(item) if self.machine.ground.define_of(item, *name).is_none() => self.fact_step(owner, *name),
                _ => Some(leaf(self.choice_text(choice), value)),
            },
            ChoiceNode::Lookup(lookup) => self.row(lookup),
            ChoiceNode::Call(_) => Some(leaf(self.choice_text(choice), value)),
            ChoiceNode::Constant(_) | ChoiceNode::Letter(_) | ChoiceNode::Cell(..) | ChoiceNode::If(_) => None,
        }
    }

    /// A fact, its value and its line.
    pub(super) fn fact_step(&mut self, owner: &Item, name: NameId) -> Option<Why> {
        let Some(item) = self.machine.item(owner) else { return self.item_steps(owner).pop() };
        let value = self.machine.value(item, name);
        let ty = self.machine.ground.type_of(item.kind, name);
        let value = show::value(self.code(), self.shop(), ty, &value);
        let mut why = leaf(format!("{}{}", self.of(name, owner), self.manner(item, name)), value);
        why.places = self.places(item, name);
        Some(why)
    }

    /// The words that lead to an item, each with what it is.
    pub(super) fn item_steps(&mut self, item: &Item) -> Vec<Why> {
        match item {
            Item::Word(owner, name) => self.fact_step(owner, *name).into_iter().collect(),
            Item::Letter(_) | Item::Only(_) => Vec::new(),
        }
    }

    /// An item as sentences call it.
    pub(super) fn item_text(&mut self, item: &Item) -> String {
        match (self.machine.item(item), item) {
            (Some(known), _) => self.shop().called(known),
            (None, Item::Word(owner, name)) => format!("the {} of {}", self.word(*name), self.item_text(owner)),
            (None, Item::Letter(slot)) => {
                let noun = self.nouns.iter().rev().find(|(s, _)| s == slot);
                noun.map_or("it".into(), |(_, noun)| noun.clone())
            }
            (None, Item::Only(_)) => "it".into(),
        }
    }

    /// An item by how one gets to it: `the circuit of receptacle R1`.
    pub(super) fn item_path(&mut self, item: &Item) -> String {
        match item {
            Item::Word(owner, name) => self.of(*name, owner),
            Item::Letter(_) | Item::Only(_) => self.item_text(item),
        }
    }

    /// `cover of stretch 2 of F1`.
    pub(super) fn of(&mut self, name: NameId, owner: &Item) -> String {
        format!("{} of {}", self.word(name), self.item_text(owner))
    }

    /// The denial of a yes/no fact.
    pub(super) fn denial(&self, (item, name): Fact) -> String {
        clause(&self.shop().called(item), self.name(name), false)
    }

    /// What a letter goes through, as a sentence calls it.
    pub(super) fn over(&mut self, over: &Over) -> String {
        match over {
            Over::Items(Items::Word(owner, name)) | Over::Choices(owner, name) => {
                format!("the {}", self.of(*name, owner))
            }
            Over::Rows(table) => {
                let title = self.code().table(*table).map(show::table).unwrap_or_default();
                format!("the rows of {title}")
            }
        }
    }

    /// A call's items and its name.
    pub(super) fn call_text(&mut self, call: &Call) -> (String, String) {
        let name = self.code().define(call.define).map_or(String::new(), |d| d.name.clone());
        let arguments: Vec<String> = call.arguments.iter().map(|argument| self.any_text(argument)).collect();
        (join(&arguments, "and"), name)
    }

    pub(super) fn name(&self, name: NameId) -> &'a str {
        self.code().vocabulary.text(name)
    }

    /// A word without hyphens.
    pub(super) fn word(&self, name: NameId) -> String {
        noun(self.name(name))
    }

    pub(super) fn cell_name(&self, slot: Slot, cell: u8) -> String {
        let Letter::Row(table, _) = self.machine.letter(slot) else { return String::new() };
        let Some(table) = self.code().table(*table) else { return String::new() };
        let cell = cell as usize;
        match table.keys.get(cell) {
            Some((name, ..)) => name.clone(),
            None => table.columns.get(cell.saturating_sub(table.keys.len())).map_or(String::new(), |c| c.0.clone()),
        }
    }

    /// The row that a look-up with known keys meets.
    pub(super) fn row(&mut self, lookup: &Lookup) -> Option<Why> {
        let table = self.code().table(lookup.table)?;
        let mark = self.machine.reader.mark();
        let keys: Vec<_> = lookup.keys.iter().map(|key| self.machine.key(key)).collect();
        self.machine.reader.discard(mark, self.machine.reader.mark());
        let met = self.machine.rows_met(table, &keys);
        let mut why = match (met.rows.as_slice(), met.is_beyond) {
            ([row], false) => {
                let ty = table.columns.get(lookup.column as usize).map(|c| c.1);
                let found = table.rows.get(*row as usize)?;
                let cell = found.values.get(lookup.column as usize).copied().flatten();
                let mut why = self.row_step(lookup.table.0, *row, self.cell_text(cell, ty));
                why.text.push_str(&self.rounded_keys(lookup, table, found));
                why
            }
            ([], _) => leaf(format!("{}: beyond its rows", show::table(table)), String::new()),
            (rows, _) => leaf(format!("{}: {} rows are possible", show::table(table), rows.len()), "unknown".into()),
        };
        why.source = show::source_of_table(table, self.machine.now.edition);
        why.from =
            lookup.keys.iter().zip(&table.keys).filter_map(|(key, (_, ty, _))| self.key_step(key, *ty)).collect();
        Some(why)
    }

    /// Where a key lies between the rows: `, the next up from 100 F`.
    fn rounded_keys(&mut self, lookup: &Lookup, table: &Table, row: &Row) -> String {
        let mut text = String::new();
        for ((key, (_, ty, meet)), cell) in lookup.keys.iter().zip(&table.keys).zip(&row.keys) {
            let (Key::Number(number), Type::Quantity(scale), Cell::Number(met)) = (key, ty, cell) else { continue };
            let side = match meet {
                Meet::Up => "up",
                Meet::Down => "down",
                _ => continue,
            };
            let value = self.machine.number(number);
            if value.point().is_some_and(|value| value != *met) {
                text.push_str(&format!(", the next {side} from {}", self.shown(Some(*scale), &value)));
            }
        }
        text
    }

    fn key_step(&mut self, key: &Key, ty: Type) -> Option<Why> {
        if !self.may_tell() {
            return None;
        }
        self.deeper(|teller| match (key, ty) {
            (Key::Number(number), Type::Quantity(scale)) => teller.number(number, Some(scale)),
            (Key::Number(number), _) => teller.number(number, None),
            (Key::Choice(choice), Type::Choice(id)) => teller.choice_step(choice, id),
            (Key::Choice(_), _) => None,
            (Key::Test(test), _) => Some(teller.test(test)),
            (Key::Name(owner, name), _) => teller.fact_step(owner, *name),
        })
    }

    /// A row by its keys.
    pub(super) fn row_step(&self, table: u32, row: u32, value: String) -> Why {
        let Some(table) = self.code().tables.get(table as usize) else { return leaf(String::new(), value) };
        let Some(row) = table.rows.get(row as usize) else { return leaf(show::table(table), value) };
        let keys: Vec<String> =
            row.keys.iter().zip(&table.keys).map(|(cell, (_, ty, _))| self.cell_text(Some(*cell), Some(*ty))).collect();
        let doubt = if row.is_memory { ", from memory" } else { "" };
        let mut why = leaf(format!("{}, row {}{doubt}", show::table(table), keys.join(", ")), value);
        why.places = vec![row.span];
        why.source = show::source_of_table(table, self.machine.now.edition);
        why
    }

    pub(super) fn cell_text(&self, cell: Option<Cell>, ty: Option<Type>) -> String {
        match (cell, ty) {
            (None, _) => "no value".into(),
            (Some(Cell::Number(n)), Some(Type::Quantity(scale))) => scale.show_toward(n, self.more, Toward::Nearest),
            (Some(Cell::Number(n)), _) => n.to_string(),
            (Some(Cell::NoLimit), _) => "no limit".into(),
            (Some(Cell::Choice(value)), Some(Type::Choice(id))) => self.code().vocabulary.choice_text(id, value).into(),
            (Some(Cell::Choice(_)), _) => String::new(),
            (Some(Cell::YesNo(yes)), _) => if yes { "yes" } else { "no" }.into(),
            (Some(Cell::Name(n)), _) => self.code().proper_names.get(n as usize).cloned().unwrap_or_default(),
        }
    }
}
