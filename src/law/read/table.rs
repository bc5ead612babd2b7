//! `table`: its head, and its rows in wide and long form.

use super::lines::{Clause, Line};
use super::rule::put;
use super::{Reader, Rule};
use crate::law::syntax::{Beyond, Bounds, Cell, CellContent, Column, Key, Meet, Row, Table};
use std::collections::HashSet;
use std::ops::Range;

/// Every clause of a table.
const CLAUSES: [&str; 8] = ["source", "note", "cites", "key", "column", "beyond", "rows", "figures"];

/// What a table can't do without, and how it is written. One without keys is a list of rows.
const DEMANDED: [(&str, &str); 3] = [
    ("column", "say what a row gives: `column amps: current`"),
    ("beyond", "say what holds beyond the rows: `beyond unknown`, or last row, no limit, 0 A"),
    ("rows", "add `rows`, a line of names and the rows below it"),
];

/// Most keys and columns together. The widest table of the built-in pack has fewer than ten.
const MAX_SIDES: usize = 32;

/// What one header cell announces for the cells below it.
enum Heading {
    /// The key with this place.
    Key(usize),
    /// The column with this place.
    Column(usize),
    /// The only column, for these further keys: the wide form.
    Wide(Vec<Cell>),
    /// `status`: verified or memory.
    Status,
    /// `when`: bounds.
    When,
}

impl<'a> Reader<'a> {
    /// Reads a table. Every row is read, whatever is wrong with the others.
    pub(super) fn table(&mut self, block: &Clause) {
        let before = self.problems.len();
        let mut table = Table { span: block.whole(), ..Table::default() };
        self.titled(block, &mut table.name, &mut table.title);
        let clauses = self.clauses(block.rest);
        self.twice(&clauses);
        let has = |keyword: &str| clauses.iter().any(|clause| clause.keyword == keyword);
        for (keyword, help) in DEMANDED {
            if !has(keyword) && (keyword != "beyond" || has("key")) {
                let line = block.span.start as usize..block.first().end;
                self.error(line, format!("this table has no `{keyword}`"), help);
            }
        }
        for clause in clauses.iter().filter(|clause| clause.keyword != "rows") {
            self.table_clause(clause, &mut table);
        }
        self.sides(block, &table);
        // With a key or column missing, each header cell would be called unknown once more.
        if !self.errors_since(before) {
            for clause in clauses.iter().filter(|clause| clause.keyword == "rows") {
                self.rows(clause, &mut table);
            }
        }
        if !self.errors_since(before) {
            self.pack.tables.push(table);
        }
    }

    /// Keys and columns have names of their own, and are few: each header cell is looked up among them.
    fn sides(&mut self, block: &Clause, table: &Table) {
        let names: Vec<_> = table.keys.iter().map(|k| &k.name).chain(table.columns.iter().map(|c| &c.name)).collect();
        if names.len() > MAX_SIDES {
            let line = block.span.start as usize..block.first().end;
            return self.error(
                line,
                format!("this table has more than {MAX_SIDES} keys and columns"),
                "split it in two",
            );
        }
        for (i, name) in names.iter().enumerate() {
            if names.iter().take(i).any(|before| before == name) {
                let place = name.span.start as usize..name.span.end as usize;
                self.error(place, format!("a second `{}`", name.node), "each key and column has a name of its own");
            }
        }
    }

    pub(super) fn table_clause(&mut self, clause: &Clause, table: &mut Table) {
        match clause.keyword {
            "source" => put(&mut table.source, self.text_clause(clause)),
            "note" => table.notes.extend(self.text_clause(clause)),
            "cites" => table.cites.extend(self.cites(clause)),
            "key" => table.keys.extend(self.key(clause)),
            "column" => table.columns.extend(self.column(clause)),
            "beyond" => put(&mut table.beyond, self.beyond(clause)),
            unknown => self.unknown_word(clause, unknown, "begins no clause of a table", &CLAUSES),
        }
    }

    fn key(&mut self, clause: &Clause) -> Option<Key> {
        self.read(Rule::key_line, clause.all(), |reader, parts| {
            let name = reader.name(&parts.next()?);
            let ty = reader.type_name(parts.next()?);
            let meet = match parts.next()?.rule() {
                Rule::meet_up => Meet::Up,
                Rule::meet_down => Meet::Down,
                _ => Meet::Exact,
            };
            Some(Key { name, ty, meet })
        })
    }

    fn column(&mut self, clause: &Clause) -> Option<Column> {
        self.read(Rule::column_line, clause.all(), |reader, parts| {
            Some(Column { name: reader.name(&parts.next()?), ty: reader.type_name(parts.next()?) })
        })
    }

    fn beyond(&mut self, clause: &Clause) -> Option<Beyond> {
        self.read(Rule::beyond_line, clause.all(), |reader, parts| {
            let found = parts.next()?;
            Some(match found.rule() {
                Rule::unknown => Beyond::Unknown,
                Rule::last_row => Beyond::LastRow,
                _ => Beyond::Value(reader.cell_of(found)?),
            })
        })
    }

    pub(super) fn rows(&mut self, clause: &Clause, table: &mut Table) {
        let Some((header, rows)) = clause.rest.split_first() else {
            let span = clause.span.start as usize..clause.span.end as usize;
            return self.error(
                span,
                "no rows stand below `rows`",
                "begin with a line of names: the keys, then the columns",
            );
        };
        let Some(headings) = self.headings(*header, table) else { return };
        for row in rows {
            self.row(*row, &headings, table);
        }
    }

    /// What each cell of the header line announces; none with a problem said where it doesn't add up.
    fn headings(&mut self, header: Line, table: &Table) -> Option<Vec<Heading>> {
        let mut headings = Vec::new();
        let mut left: Vec<usize> = (0..table.keys.len()).collect();
        let mut seen = HashSet::new();
        for range in self.cells(header) {
            let text = self.text.get(range.clone()).unwrap_or("");
            if !seen.insert(text) {
                self.error(range, format!("a second `{text}`"), "each cell of the header stands once");
                return None;
            }
            let key = table.keys.iter().position(|key| key.name.node == text);
            let column = table.columns.iter().position(|column| column.name.node == text);
            headings.push(match (key, column, text) {
                (Some(key), _, _) => {
                    left.retain(|k| *k != key);
                    Heading::Key(key)
                }
                (_, Some(column), _) => Heading::Column(column),
                (_, _, "status") => Heading::Status,
                (_, _, "when") => Heading::When,
                _ => Heading::Wide(self.wide_heading(range, left.len(), table)?),
            });
        }
        let has_wide = headings.iter().any(|h| matches!(h, Heading::Wide(_)));
        let unnamed = left.iter().filter_map(|k| table.keys.get(*k)).map(|key| &key.name);
        let missing_column = (0..table.columns.len())
            .find(|c| !has_wide && !headings.iter().any(|h| matches!(h, Heading::Column(i) if i == c)))
            .and_then(|c| table.columns.get(c))
            .map(|column| &column.name);
        let lacking = unnamed.filter(|_| !has_wide).chain(missing_column).next();
        if let Some(name) = lacking {
            let message = format!("the header has no cell for `{}`", name.node);
            self.error(
                header.start..header.end,
                message,
                "name every key and column, or give each further cell the keys it stands for",
            );
            return None;
        }
        Some(headings)
    }

    /// `copper, 60 C`: what the keys that no header cell names are in the cells below.
    fn wide_heading(&mut self, range: Range<usize>, left: usize, table: &Table) -> Option<Vec<Cell>> {
        let text = self.text.get(range.clone()).unwrap_or("");
        let mut cells = Vec::new();
        let mut start = range.start;
        for piece in text.split(',') {
            let blank = piece.len() - piece.trim_start().len();
            cells.push(start + blank..start + blank + piece.trim().len());
            start += piece.len() + 1;
        }
        if left == 0 || table.columns.len() != 1 || cells.len() != left {
            let names = table.keys.iter().map(|k| &k.name).chain(table.columns.iter().map(|c| &c.name));
            let names: Vec<&str> = names.map(|name| name.node.as_str()).collect();
            let help = match crate::text::nearest(text, names.iter().copied()) {
                Some(near) => format!("perhaps `{near}` is meant"),
                None if left == 0 || table.columns.len() != 1 => {
                    format!("known here: {}, status, when", names.join(", "))
                }
                None => format!("{left} of the keys are not named; write a value for each, with commas between"),
            };
            self.error(range, format!("`{text}` is no key or column of this table"), help);
            return None;
        }
        let read: Vec<_> = cells.into_iter().map(|cell| self.cell(cell)).collect();
        read.into_iter().map(Option::flatten).collect()
    }

    fn row(&mut self, line: Line, headings: &[Heading], table: &mut Table) {
        let cells = self.cells(line);
        if cells.len() != headings.len() {
            let message = format!("this row has {} cells, the header has {}", cells.len(), headings.len());
            return self.error(line.start..line.end, message, "a cell without a value is `-`");
        }
        let mut keys: Vec<Option<Cell>> = table.keys.iter().map(|_| None).collect();
        let mut values: Vec<Option<Cell>> = table.columns.iter().map(|_| None).collect();
        let mut wide = Vec::new();
        let mut bounds = Bounds::default();
        let mut is_memory = false;
        for (heading, range) in headings.iter().zip(cells) {
            match heading {
                Heading::Status => is_memory = self.status(range).unwrap_or(false),
                Heading::When => put(&mut bounds, self.when(range)),
                Heading::Key(i) => {
                    let read = self.cell(range.clone());
                    if let (Some(None), Some(key)) = (&read, table.keys.get(*i)) {
                        let message = format!("`{}` has no value here", key.name.node);
                        self.error(range, message, "each row has a value for each key");
                    }
                    if let Some(place) = keys.get_mut(*i) {
                        *place = read.flatten();
                    }
                }
                Heading::Column(i) => {
                    if let (Some(read), Some(place)) = (self.cell(range), values.get_mut(*i)) {
                        *place = read;
                    }
                }
                Heading::Wide(others) => wide.push((others, self.cell(range).flatten())),
            }
        }
        let span = self.span(line.start..line.end);
        if wide.is_empty() {
            let Some(keys) = keys.into_iter().collect() else { return };
            return table.rows.push(Row { keys, values, bounds, is_memory, span });
        }
        for (others, value) in wide {
            let mut others = others.iter().cloned();
            let Some(keys) = keys.iter().cloned().map(|key| key.or_else(|| others.next())).collect() else { continue };
            table.rows.push(Row { keys, values: vec![value], bounds, is_memory, span });
        }
    }

    /// The cells of a line, parted by `|`.
    fn cells(&self, line: Line) -> Vec<Range<usize>> {
        let text = self.text.get(line.start..line.end).unwrap_or("");
        let mut start = line.start;
        let mut cells = Vec::new();
        for piece in text.split('|') {
            let blank = piece.len() - piece.trim_start().len();
            cells.push(start + blank..start + blank + piece.trim().len());
            start += piece.len() + 1;
        }
        cells
    }

    /// A cell; `Some(None)` where it says that there is no value.
    fn cell(&mut self, range: Range<usize>) -> Option<Option<Cell>> {
        self.read(Rule::cell_line, range, |reader, parts| {
            let found = parts.next()?;
            if found.rule() == Rule::no_value { Some(None) } else { reader.cell_of(found).map(Some) }
        })
    }

    fn cell_of(&mut self, found: super::parse::Found<'a>) -> Option<Cell> {
        let inner = found.children().next()?;
        Some(Cell { content: self.cell_content(inner)?, span: self.place(&found) })
    }

    pub(super) fn cell_content(&mut self, inner: super::parse::Found<'a>) -> Option<CellContent> {
        Some(match inner.rule() {
            Rule::quantity => CellContent::Quantity(self.quantity(inner)?),
            Rule::no_limit => CellContent::NoLimit,
            _ => CellContent::Word(inner.text().to_string()),
        })
    }

    /// Whether a `status` cell says memory. One that says nothing counts as verified: it stands beside `-`.
    fn status(&mut self, range: Range<usize>) -> Option<bool> {
        if range.is_empty() {
            return Some(false);
        }
        self.read(Rule::status_line, range, |_, parts| Some(parts.next()?.rule() == Rule::figures_memory))
    }

    fn when(&mut self, range: Range<usize>) -> Option<Bounds> {
        if range.is_empty() || self.text.get(range.clone()) == Some("-") {
            return Some(Bounds::default());
        }
        self.read(Rule::bounds_line, range, |reader, parts| reader.bounds(parts.next()))
    }
}
