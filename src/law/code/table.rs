//! Tables, compiled.

use crate::law::syntax::{Bounds, Cite, Meet};
use crate::quantity::Rational;
use crate::text::Span;
use crate::words::Type;
use serde::{Deserialize, Serialize};

/// A table.
#[derive(Debug, Default, Serialize, Deserialize)]
pub struct Table {
    /// Its name.
    pub name: String,
    /// What people call it.
    pub title: String,
    /// Where its figures come from.
    pub source: String,
    /// Citations by edition.
    pub cites: Vec<Cite>,
    /// Types of the keys and how each is met.
    pub keys: Vec<(String, Type, Meet)>,
    /// Names and types of the columns.
    pub columns: Vec<(String, Type)>,
    /// What lies beyond the rows.
    pub beyond: Beyond,
    /// Rows in the order of the file.
    pub rows: Vec<Row>,
    /// Where it stands.
    pub span: Span,
    /// How a look-up finds its row without a search; made at the first one, so start with the default.
    #[serde(skip)]
    pub index: std::sync::OnceLock<crate::law::evaluate::TableIndex>,
}

/// What a look-up gives beyond the rows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub enum Beyond {
    /// Unknown.
    #[default]
    Unknown,
    /// What the last row says.
    LastRow,
    /// This.
    Cell(Cell),
}

/// A row.
#[derive(Debug, Serialize, Deserialize)]
pub struct Row {
    /// One for each key.
    pub keys: Box<[Cell]>,
    /// One for each column.
    pub values: Box<[Option<Cell>]>,
    /// When it counts.
    pub bounds: Bounds,
    /// Whether its figures are from memory.
    pub is_memory: bool,
    /// Where.
    pub span: Span,
}

/// A cell.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Cell {
    /// In base units.
    Number(Rational),
    /// Above every quantity.
    NoLimit,
    /// A value of a choice.
    Choice(u8),
    /// Yes or no.
    YesNo(bool),
    /// A proper name, in [`Code::proper_names`] order of the tables.
    Name(u32),
}
