//! Tables.

use super::{Bounds, Cite, TypeName};
use crate::quantity::Quantity;
use crate::text::{Span, Spanned};
use serde::{Deserialize, Serialize};

/// `table NAME "title"`.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Table {
    /// Its name.
    pub name: Spanned<String>,
    /// What people call it.
    pub title: String,
    /// `source "…"`: where the figures come from.
    pub source: String,
    /// `note "…"`.
    pub notes: Vec<String>,
    /// `cites`, as in a rule.
    pub cites: Vec<Cite>,
    /// `key NAME: TYPE, exact|up|down`.
    pub keys: Vec<Key>,
    /// `column NAME: TYPE`.
    pub columns: Vec<Column>,
    /// `beyond unknown`, `beyond last row`, `beyond no limit`, `beyond 0 A`.
    pub beyond: Beyond,
    /// Its rows, wide ones made long.
    pub rows: Vec<Row>,
    /// From `table` to its last line.
    pub span: Span,
}

/// A key of a table.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Key {
    /// Its name.
    pub name: Spanned<String>,
    /// Its type.
    pub ty: TypeName,
    /// How it is met.
    pub meet: Meet,
}

/// How a key finds its row.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Meet {
    /// The row with this very key.
    Exact,
    /// The first row at or over it.
    Up,
    /// The last row at or under it.
    Down,
}

/// A column of values.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Column {
    /// Its name.
    pub name: Spanned<String>,
    /// Its type.
    pub ty: TypeName,
}

/// What a look-up gives beyond the rows.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub enum Beyond {
    /// Unknown, and the reason says so.
    #[default]
    Unknown,
    /// What the last row says.
    LastRow,
    /// This value.
    Value(Cell),
}

/// One row.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Row {
    /// One for each key.
    pub keys: Vec<Cell>,
    /// One for each column; none where the table has no value (`-`).
    pub values: Vec<Option<Cell>>,
    /// When the row counts.
    pub bounds: Bounds,
    /// Whether its figures are from memory.
    pub is_memory: bool,
    /// Where.
    pub span: Span,
}

/// A key or value of a row: `14 AWG`, `15 A`, `copper`, `yes`, `no limit`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Cell {
    /// What it is.
    pub content: CellContent,
    /// Where.
    pub span: Span,
}

/// What a cell holds.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum CellContent {
    /// A quantity.
    Quantity(Quantity),
    /// `no limit`.
    NoLimit,
    /// A word: a value of a choice, `yes`, `no`, or a proper name.
    Word(String),
}
