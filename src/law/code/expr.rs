//! Expressions, compiled: one type for each type of value.

use super::{DefineId, Slot, TableId};
use crate::law::syntax::{Bounds, Comparison, Operator};
use crate::quantity::{Rational, Scale};
use crate::text::Span;
use crate::words::{ChoiceId, Kind, NameId};
use serde::{Deserialize, Serialize};

/// An expression of any type, for holes and arguments.
#[derive(Debug, Serialize, Deserialize)]
pub enum Any {
    /// Yes or no.
    Test(Test),
    /// A quantity, and how to print it.
    Number(Number, Scale),
    /// A value of a choice.
    Choice(Choice, ChoiceId),
    /// An item.
    Item(Item),
    /// A list of items.
    Items(Items),
    /// A proper name.
    Name(Item, NameId),
}

/// A call of a define with arguments. A call with one item is [`Test::Word`] and the like.
#[derive(Debug, Serialize, Deserialize)]
pub struct Call {
    /// Which.
    pub define: DefineId,
    /// Its arguments, by slot.
    pub arguments: Box<[Any]>,
}

/// A condition and its place.
#[derive(Debug, Serialize, Deserialize)]
pub struct Test {
    /// What it is.
    pub node: TestNode,
    /// Where.
    pub span: Span,
}

/// What a condition is.
#[derive(Debug, Serialize, Deserialize)]
pub enum TestNode {
    /// `yes` or `no`.
    Constant(bool),
    /// A yes/no word of an item: a column, or a define with one item.
    Word(Box<Item>, NameId),
    /// `has-X`: whether part X is there.
    Has(Box<Item>, NameId),
    /// A yes/no letter.
    Letter(Slot),
    /// A yes/no column of a table's row: cells are counted through the keys first, then the columns.
    Cell(Slot, u8),
    /// A yes/no look-up.
    Lookup(Box<Lookup>),
    /// A yes/no define with arguments.
    Call(Box<Call>),
    /// Not.
    Not(Box<Test>),
    /// Every one.
    All(Box<[Test]>),
    /// At least one. The names are those of list items, empty where it is a plain `or`.
    Any(Box<[Alternative]>),
    /// Two quantities of one scale.
    Compare(Comparison, Box<Number>, Box<Number>, Scale),
    /// A quantity inside a limit.
    Within(Box<Number>, Box<Limit>, Scale),
    /// A choice that is one of these values, as a bit set.
    IsOneOf(Box<Choice>, u64, ChoiceId),
    /// A choice that is one of a list's values, which may differ by edition.
    IsInList(Box<Choice>, Box<[(u64, Bounds)]>, ChoiceId),
    /// Two choices that are the same.
    SameChoice(Box<Choice>, Box<Choice>, ChoiceId),
    /// Two items that are the same.
    SameItem(Box<Item>, Box<Item>),
    /// Two proper names that are the same.
    SameName(Box<Item>, NameId, Box<Item>, NameId),
    /// A choice's value in a list of values (`choices` word).
    Holds(Box<Item>, NameId, u64, ChoiceId),
    /// `any`, `all`.
    Quantified {
        /// `all`, else `any`.
        is_all: bool,
        /// Where it goes.
        each: Box<Each>,
        /// What must hold.
        body: Box<Test>,
    },
    /// `if`.
    If(Box<(Test, Test, Test)>),
}

/// One way of several.
#[derive(Debug, Serialize, Deserialize)]
pub struct Alternative {
    /// Name of the list item; empty in a plain `or`.
    pub name: String,
    /// Title of the list item.
    pub title: String,
    /// When it counts.
    pub bounds: Bounds,
    /// The condition.
    pub test: Test,
}

/// A quantity and its place.
#[derive(Debug, Serialize, Deserialize)]
pub struct Number {
    /// What it is.
    pub node: NumberNode,
    /// Where.
    pub span: Span,
}

/// What a quantity is.
#[derive(Debug, Serialize, Deserialize)]
pub enum NumberNode {
    /// In base units.
    Constant(Rational),
    /// Above every quantity.
    NoLimit,
    /// A word of an item: a column, or a define with one item.
    Word(Box<Item>, NameId),
    /// A quantity letter.
    Letter(Slot),
    /// A column of a table's row: cells are counted through the keys first, then the columns.
    Cell(Slot, u8),
    /// A look-up.
    Lookup(Box<Lookup>),
    /// A define with arguments.
    Call(Box<Call>),
    /// A value that differs by edition or day, oldest first: the last whose moment has come holds.
    Steps(Box<[(Bounds, Number)]>),
    /// A value that the authority gives; unknown. The question.
    Asked(String),
    /// The edition in force, in the world that is tried.
    Edition,
    /// The day of the permit, in the world that is tried.
    Day,
    /// Arithmetic.
    Arithmetic(Operator, Box<Number>, Box<Number>),
    /// The least or largest of some.
    Extreme {
        /// `largest`, else `least`.
        is_largest: bool,
        /// The candidates.
        candidates: Box<[Number]>,
    },
    /// `sum`, `least`, `largest` over a list or the rows of a table.
    Aggregate {
        /// Which.
        kind: crate::law::syntax::Aggregate,
        /// Where it goes.
        each: Box<Each>,
        /// What is added or compared.
        body: Box<Number>,
    },
    /// How many members a list has.
    Count(Box<Each>),
    /// Rank in a list, 1 the largest.
    Rank {
        /// The item, a letter.
        item: Slot,
        /// The list.
        list: Box<Items>,
        /// What it is ranked by; reads `member`.
        by: Box<Number>,
        /// The slot that each member stands in while `by` runs.
        member: Slot,
    },
    /// `if`.
    If(Box<(Test, Number, Number)>),
    /// `x up to TABLE`, `x down to TABLE`, along its first cell: its first key, or its first column where it has no key.
    ToTable {
        /// `up`, else `down`.
        is_up: bool,
        /// What is rounded.
        value: Box<Number>,
        /// The steps.
        table: TableId,
    },
    /// `x rounded up to STEP`, `x rounded to STEP from SHARE`.
    Rounded {
        /// What is rounded.
        value: Box<Number>,
        /// The step.
        step: Rational,
        /// From which share of a step on it goes up; none always.
        from: Option<Rational>,
    },
}

/// A limit with a direction, by edition: the last step whose moment has come holds.
#[derive(Debug, Serialize, Deserialize)]
pub struct Limit {
    /// Name of the value, for derivations and layers.
    pub name: String,
    /// Its steps.
    pub steps: Box<[(Bounds, LimitEnds)]>,
}

/// The ends of a limit.
#[derive(Debug, Serialize, Deserialize)]
pub struct LimitEnds {
    /// Not under this.
    pub low: Option<Number>,
    /// Not over this.
    pub high: Option<Number>,
}

/// A value of a choice and its place.
#[derive(Debug, Serialize, Deserialize)]
pub struct Choice {
    /// What it is.
    pub node: ChoiceNode,
    /// Where.
    pub span: Span,
}

/// What a value of a choice is.
#[derive(Debug, Serialize, Deserialize)]
pub enum ChoiceNode {
    /// One value, as a bit set.
    Constant(u64),
    /// A word of an item: a column, or a define with one item.
    Word(Box<Item>, NameId),
    /// A letter.
    Letter(Slot),
    /// A column of a table's row: cells are counted through the keys first, then the columns.
    Cell(Slot, u8),
    /// A look-up.
    Lookup(Box<Lookup>),
    /// A define with arguments.
    Call(Box<Call>),
    /// `if`.
    If(Box<(Test, Choice, Choice)>),
}

/// An item.
#[derive(Debug, Serialize, Deserialize)]
pub enum Item {
    /// A letter.
    Letter(Slot),
    /// The shop or the permit.
    Only(Kind),
    /// A word of an item that is an item.
    Word(Box<Item>, NameId),
}

/// A list of items.
#[derive(Debug, Serialize, Deserialize)]
pub enum Items {
    /// A list word of an item.
    Word(Item, NameId),
}

/// Where a letter goes.
#[derive(Debug, Serialize, Deserialize)]
pub struct Each {
    /// The letter's slot.
    pub slot: Slot,
    /// What it goes through.
    pub over: Over,
    /// `where`.
    pub filter: Option<Test>,
}

/// What a letter goes through.
#[derive(Debug, Serialize, Deserialize)]
pub enum Over {
    /// A list of items.
    Items(Items),
    /// The rows of a table.
    Rows(TableId),
    /// The values of a list of choice values; only counted.
    Choices(Item, NameId),
}

/// A look-up.
#[derive(Debug, Serialize, Deserialize)]
pub struct Lookup {
    /// The table.
    pub table: TableId,
    /// The column, counted without the keys.
    pub column: u8,
    /// One for each key.
    pub keys: Box<[Key]>,
}

/// A key of a look-up.
#[derive(Debug, Serialize, Deserialize)]
pub enum Key {
    /// A quantity.
    Number(Number),
    /// A value of a choice.
    Choice(Choice),
    /// Yes or no.
    Test(Test),
    /// A proper name.
    Name(Item, NameId),
}
