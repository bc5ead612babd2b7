use super::types::type_of;
use super::{Compiler, messages as say};
use crate::law::code::{Beyond, Cell, Row, Table};
use crate::law::syntax::{self, CellContent, Meet};
use crate::quantity::{Dimension, Scale};
use crate::words::{Kind, Kinds, Type};

impl<'a> Compiler<'a> {
    pub(super) fn tables(&mut self) {
        for table in &self.pack.tables {
            if self.table_numbers.contains_key(table.name.node.as_str()) {
                self.problem(say::twice("table", &table.name));
                continue;
            }
            if let Some(made) = self.table(table) {
                self.table_numbers.insert(&table.name.node, self.code.tables.len() as u32);
                self.code.tables.push(made);
            }
        }
    }

    fn table(&mut self, table: &'a syntax::Table) -> Option<Table> {
        let vocabulary = self.vocabulary.clone();
        let mut problems = Vec::new();
        let keys: Vec<_> = table
            .keys
            .iter()
            .filter_map(|k| Some((k.name.node.clone(), type_of(&k.ty, &vocabulary, &mut problems)?, k.meet)))
            .collect();
        let columns: Vec<_> = table
            .columns
            .iter()
            .filter_map(|c| Some((c.name.node.clone(), measured(type_of(&c.ty, &vocabulary, &mut problems)?))))
            .collect();
        let is_whole = problems.is_empty() && keys.len() == table.keys.len() && columns.len() == table.columns.len();
        self.problems.extend(problems);
        if !is_whole {
            return None;
        }
        let mut rows: Vec<Row> = Vec::new();
        for row in &table.rows {
            let made_keys: Option<Vec<Cell>> =
                row.keys.iter().zip(&keys).map(|(cell, (_, ty, _))| self.cell_of(cell, *ty)).collect();
            let values: Option<Vec<Option<Cell>>> = row
                .values
                .iter()
                .zip(&columns)
                .map(|(cell, (_, ty))| match cell {
                    Some(cell) => self.cell_of(cell, *ty).map(Some),
                    None => Some(None),
                })
                .collect();
            for moment in [row.bounds.from, row.bounds.before] {
                self.moment(moment);
            }
            if let (Some(made_keys), Some(values)) = (made_keys, values) {
                let (keys, values) = (made_keys.into(), values.into());
                rows.push(Row { keys, values, bounds: row.bounds, is_memory: row.is_memory, span: row.span });
            }
        }
        self.check_rows(&keys, &rows);
        let beyond = match &table.beyond {
            syntax::Beyond::Unknown => Beyond::Unknown,
            syntax::Beyond::LastRow => Beyond::LastRow,
            syntax::Beyond::Value(cell) => match columns.first().and_then(|(_, ty)| self.cell_of(cell, *ty)) {
                Some(cell) => Beyond::Cell(cell),
                None => Beyond::Unknown,
            },
        };
        Some(Table {
            name: table.name.node.clone(),
            title: table.title.clone(),
            source: table.source.clone(),
            cites: table.cites.clone(),
            keys,
            columns,
            beyond,
            rows,
            span: table.span,
            index: Default::default(),
        })
    }

    fn cell_of(&mut self, cell: &syntax::Cell, ty: Type) -> Option<Cell> {
        let found = match (&cell.content, ty) {
            (CellContent::NoLimit, Type::Quantity(_)) => Some(Cell::NoLimit),
            (CellContent::Quantity(q), Type::Quantity(scale)) if fits(q.scale, scale) => Some(Cell::Number(q.value)),
            (CellContent::Word(word), Type::YesNo) if word == "yes" => Some(Cell::YesNo(true)),
            (CellContent::Word(word), Type::YesNo) if word == "no" => Some(Cell::YesNo(false)),
            (CellContent::Word(word), Type::Choice(id)) => {
                let typed = crate::text::Spanned { node: word.clone(), span: cell.span };
                let bits = self.bits(std::slice::from_ref(&typed), id)?;
                Some(Cell::Choice(bits.trailing_zeros() as u8))
            }
            (CellContent::Word(word), Type::Name) => {
                let names = &mut self.code.proper_names;
                let place = names.iter().position(|n| n == word).unwrap_or_else(|| {
                    names.push(word.clone());
                    names.len() - 1
                });
                Some(Cell::Name(place as u32))
            }
            _ => None,
        };
        if found.is_none() {
            let wanted = self.vocabulary.type_text(ty);
            let written = match &cell.content {
                CellContent::Quantity(q) => format!("{} ({})", q, q.scale.name()),
                CellContent::NoLimit => "no limit".into(),
                CellContent::Word(word) => format!("`{word}`"),
            };
            self.problem(say::expected(cell.span, &format!("a cell of type {wanted}"), &written));
        }
        found
    }

    /// Two rows that answer one question at one time can't both be right.
    fn check_rows(&mut self, keys: &[(String, Type, Meet)], rows: &[Row]) {
        if keys.is_empty() {
            return;
        }
        let text = |row: &Row| format!("{:?}", row.keys);
        let mut order: Vec<&Row> = rows.iter().collect();
        order.sort_by_key(|row| text(row));
        for pair in order.windows(2) {
            let [one, other] = pair else { continue };
            let both = |a: Option<syntax::Moment>, b: Option<syntax::Moment>| match (a, b) {
                (Some(syntax::Moment::Edition(from)), Some(syntax::Moment::Edition(before))) => from >= before,
                (Some(syntax::Moment::Day(from)), Some(syntax::Moment::Day(before))) => from >= before,
                _ => false,
            };
            let apart = both(one.bounds.from, other.bounds.before) || both(other.bounds.from, one.bounds.before);
            if text(one) == text(other) && !apart {
                let problem = say::table_rows(other.span, "another row has the same keys at the same time");
                self.problem(problem.also(one.span, "the other row"));
            }
        }
    }
}

/// Whether a written quantity may stand in a column: a trade size is written like a length.
fn fits(written: Scale, wanted: Scale) -> bool {
    written == wanted || wanted == Scale::TradeSize && written == Scale::Ratio(Dimension::LENGTH)
}

/// In a table `area` is the measure: a cell can't hold an item.
fn measured(ty: Type) -> Type {
    if ty == Type::Item(Kinds::of(Kind::Area)) { Type::Quantity(Scale::Ratio(Dimension::AREA)) } else { ty }
}
