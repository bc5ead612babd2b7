//! Tables: types of keys and cells, gaps and overlaps.

use super::types::TypePlace;
use super::{Compiler, TableEntry, Turns, messages};
use crate::law::code::{Beyond, Cell, Row, Table, TableId};
use crate::law::syntax::{self, Bounds, CellContent, Meet, Moment};
use crate::quantity::{Dimension, Scale};
use crate::text::Spanned;
use crate::words::Type;
use std::cmp::Ordering;

/// Most keys and columns together.
const MAX_CELLS: usize = 200;

impl<'a> Compiler<'a> {
    pub(super) fn compile_tables(&mut self) {
        for table in &self.pack.tables {
            let errors = self.errors;
            let mut turns = Turns::default();
            let compiled = self.table(table, &mut turns).filter(|_| self.errors == errors);
            let id = compiled.map(|table| {
                let id = TableId(self.tables.len() as u32);
                self.tables.push(table.into());
                id
            });
            let entry = TableEntry { id, turns, place: table.name.span };
            if let Some(other) = self.table_names.insert(&table.name.node, entry) {
                self.report(messages::twice(table.name.span, "table", &table.name.node, other.place));
            }
        }
    }

    fn table(&mut self, table: &'a syntax::Table, turns: &mut Turns) -> Option<Table> {
        let names: Vec<&Spanned<String>> = table.keys.iter().map(|key| &key.name).collect();
        self.check_names("key", &names);
        let names: Vec<&Spanned<String>> = table.columns.iter().map(|column| &column.name).collect();
        self.check_names("column", &names);
        if table.keys.len().saturating_add(table.columns.len()) > MAX_CELLS {
            return self.fail(messages::too_wide(table.name.span, MAX_CELLS));
        }
        let mut keys = Vec::with_capacity(table.keys.len());
        for key in &table.keys {
            let Some(ty) = self.type_named(&key.ty, TypePlace::Table) else { continue };
            let is_ordered = matches!(ty, Type::Quantity(_));
            if key.meet != Meet::Exact && !is_ordered {
                let ty = self.described_type(ty);
                self.report(messages::no_order_of_key(key.name.span, &key.name.node, &ty));
            }
            keys.push((key.name.node.clone(), ty, key.meet));
        }
        let mut columns = Vec::with_capacity(table.columns.len());
        for column in &table.columns {
            columns.extend(self.type_named(&column.ty, TypePlace::Table).map(|ty| (column.name.node.clone(), ty)));
        }
        if keys.len() < table.keys.len() || columns.len() < table.columns.len() {
            return None;
        }
        self.check_cites(&table.cites, table.name.span);
        let rows = self.rows(table, &keys, &columns, turns)?;
        self.check_rows(table, &keys, &rows);
        Some(Table {
            name: table.name.node.clone(),
            title: table.title.clone(),
            source: table.source.clone(),
            cites: table.cites.clone(),
            beyond: self.beyond(&table.beyond, &columns)?,
            keys,
            columns,
            rows,
            span: table.span,
            index: Default::default(),
        })
    }

    fn rows(
        &mut self,
        table: &'a syntax::Table,
        keys: &[(String, Type, Meet)],
        columns: &[(String, Type)],
        turns: &mut Turns,
    ) -> Option<Vec<Row>> {
        let mut rows = Vec::with_capacity(table.rows.len());
        for row in &table.rows {
            if row.keys.len() != keys.len() || row.values.len() != columns.len() {
                self.report(messages::cells_missing(row.span, keys.len().saturating_add(columns.len())));
                continue;
            }
            *turns = turns.and(self.note_bounds(&row.bounds));
            let key_cells: Vec<Cell> =
                row.keys.iter().zip(keys).filter_map(|(cell, (_, ty, _))| self.cell_of(cell, *ty)).collect();
            let mut values = Vec::with_capacity(columns.len());
            for (cell, (_, ty)) in row.values.iter().zip(columns) {
                match cell {
                    None => values.push(None),
                    Some(cell) => values.extend(self.cell_of(cell, *ty).map(Some)),
                }
            }
            if key_cells.len() < keys.len() || values.len() < columns.len() {
                continue;
            }
            for (cell, (_, ty, _)) in key_cells.iter().zip(keys) {
                // From one such day to the next nothing changes; in between the table may.
                if let (Cell::Number(day), Type::Quantity(Scale::Date)) = (cell, ty) {
                    self.days.insert(day.floor());
                }
            }
            let (keys, values) = (key_cells.into(), values.into());
            rows.push(Row { keys, values, bounds: row.bounds, is_memory: row.is_memory, span: row.span });
        }
        (rows.len() == table.rows.len()).then_some(rows)
    }

    /// A cell as a value of its key's or column's type.
    fn cell_of(&mut self, cell: &syntax::Cell, ty: Type) -> Option<Cell> {
        match (&cell.content, ty) {
            (CellContent::Quantity(q), Type::Quantity(want)) => {
                let is_trade_size = q.scale == Scale::Ratio(Dimension::LENGTH) && want == Scale::TradeSize;
                if q.scale == want || is_trade_size {
                    return Some(Cell::Number(q.value));
                }
                self.fail(if q.scale == Scale::NUMBER {
                    messages::bare_number(cell.span, want, Some(q.value))
                } else {
                    messages::not_wanted(cell.span, &messages::a_scale(q.scale), &messages::a_scale(want))
                })
            }
            (CellContent::NoLimit, Type::Quantity(_)) => Some(Cell::NoLimit),
            (CellContent::Word(word), Type::Choice(id)) => match self.value_of_choice(id, word) {
                Some(bits) => Some(Cell::Choice(bits.trailing_zeros() as u8)),
                None => self.unknown_value(id, word, cell.span),
            },
            (CellContent::Word(word), Type::YesNo) if word == "yes" || word == "no" => Some(Cell::YesNo(word == "yes")),
            (CellContent::Word(word), Type::Name) => {
                let place = self.proper_names.iter().position(|name| name == word).unwrap_or_else(|| {
                    self.proper_names.push(word.clone());
                    self.proper_names.len().saturating_sub(1)
                });
                Some(Cell::Name(place as u32))
            }
            (content, ty) => {
                let want = self.described_type(ty);
                self.fail(messages::cell_type(cell.span, content, &want))
            }
        }
    }

    fn beyond(&mut self, beyond: &syntax::Beyond, columns: &[(String, Type)]) -> Option<Beyond> {
        match beyond {
            syntax::Beyond::Unknown => Some(Beyond::Unknown),
            syntax::Beyond::LastRow => Some(Beyond::LastRow),
            syntax::Beyond::Value(cell) => {
                let mut found = None;
                for (_, ty) in columns {
                    found = Some(self.cell_of(cell, *ty)?);
                }
                found.map(Beyond::Cell)
            }
        }
    }

    /// Keys are not given twice, and keys met up or down ascend.
    fn check_rows(&mut self, table: &syntax::Table, keys: &[(String, Type, Meet)], rows: &[Row]) {
        let ascends = rows.windows(2).all(|pair| match pair {
            [a, b] => order(&a.keys, &b.keys) == Ordering::Less,
            _ => true,
        });
        // Rows in strict order of their keys have no double and ascend along each key.
        if ascends || keys.is_empty() {
            return;
        }
        let mut sorted: Vec<usize> = (0..rows.len()).collect();
        let row = |place: usize| rows.get(place);
        let by = |a: &usize, b: &usize, compare: &dyn Fn(&[Cell], &[Cell]) -> Ordering| match (row(*a), row(*b)) {
            (Some(x), Some(y)) => compare(&x.keys, &y.keys),
            _ => Ordering::Equal,
        };
        sorted.sort_by(|a, b| by(a, b, &order));
        let mut first = 0;
        for place in 1..=sorted.len() {
            let (Some(begin), next) = (sorted.get(first), sorted.get(place)) else { break };
            if next.is_some_and(|next| by(begin, next, &order) == Ordering::Equal) {
                continue;
            }
            let same: Vec<&Row> = sorted.get(first..place).unwrap_or_default().iter().filter_map(|p| row(*p)).collect();
            self.check_same_keys(&same);
            first = place;
        }
        for (number, (name, _, meet)) in keys.iter().enumerate() {
            if *meet == Meet::Exact {
                continue;
            }
            // Rows that agree on every other key, in the order of the file.
            let others = |a: &[Cell], b: &[Cell]| order_but(a, b, number);
            sorted.sort_by(|a, b| by(a, b, &others).then(a.cmp(b)));
            for pair in sorted.windows(2) {
                let [a, b] = pair else { continue };
                let (Some(x), Some(y)) = (row(*a), row(*b)) else { continue };
                if others(&x.keys, &y.keys) == Ordering::Equal
                    && let (Some(p), Some(q)) = (x.keys.get(number), y.keys.get(number))
                    && order_of(p, q) == Ordering::Greater
                {
                    self.report(messages::not_ascending(y.span, name, &table.name.node, x.span));
                }
            }
        }
    }

    /// Rows with the same keys count one after the other, without a gap.
    fn check_same_keys(&mut self, rows: &[&Row]) {
        let mut rows: Vec<&Row> = rows.to_vec();
        rows.sort_by_key(|row| start(&row.bounds));
        for pair in rows.windows(2) {
            let [a, b] = pair else { continue };
            match (a.bounds.before, b.bounds.from) {
                (Some(end), Some(begin)) if end == begin => {}
                (Some(Moment::Edition(end)), Some(Moment::Edition(begin))) if end < begin => {
                    self.report(messages::gap(b.span, end, begin, a.span));
                }
                _ => self.report(messages::row_twice(b.span, a.span)),
            }
        }
    }
}

fn start(bounds: &Bounds) -> i64 {
    match bounds.from {
        None => i64::MIN,
        Some(Moment::Edition(n) | Moment::Day(n)) => n,
    }
}

fn order(a: &[Cell], b: &[Cell]) -> Ordering {
    order_but(a, b, usize::MAX)
}

fn order_but(a: &[Cell], b: &[Cell], left_out: usize) -> Ordering {
    let pairs = a.iter().zip(b).enumerate().filter(|(place, _)| *place != left_out);
    pairs.fold(Ordering::Equal, |order, (_, (a, b))| order.then_with(|| order_of(a, b)))
}

fn order_of(a: &Cell, b: &Cell) -> Ordering {
    let rank = |cell: &Cell| match cell {
        Cell::Number(_) => 0,
        Cell::NoLimit => 1,
        Cell::Choice(_) => 2,
        Cell::YesNo(_) => 3,
        Cell::Name(_) => 4,
    };
    match (a, b) {
        (Cell::Number(a), Cell::Number(b)) => a.cmp(b),
        (Cell::Choice(a), Cell::Choice(b)) => a.cmp(b),
        (Cell::YesNo(a), Cell::YesNo(b)) => a.cmp(b),
        (Cell::Name(a), Cell::Name(b)) => a.cmp(b),
        _ => rank(a).cmp(&rank(b)),
    }
}
