//! A pack, compiled: typed, resolved, without names. Made by `compile`, run by `evaluate`.
//!
//! Invariant: whatever stands here was checked. A part is read only behind its guard, a
//! comparison has one scale on both sides, an index is in its list. The evaluator relies on it.

use crate::law::syntax::{Bounds, Cite, Comparison, Meet, Operator};
use crate::quantity::{Rational, Scale};
use crate::shop::How;
use crate::text::Span;
use crate::words::{ChoiceId, Kind, Kinds, NameId, Type, Vocabulary};
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// A pack that can judge.
#[derive(Debug, Serialize, Deserialize)]
pub struct Code {
    /// The words in force.
    pub vocabulary: Arc<Vocabulary>,
    /// The rules, in the order of their files.
    pub rules: Vec<Rule>,
    /// Every define and term, each after those that it calls.
    pub defines: Vec<Define>,
    /// For each name, for each kind, the define that gives the word; see [`Code::define_of`].
    #[serde(with = "by_define")]
    pub words_by_define: Vec<[Option<DefineId>; crate::words::KINDS]>,
    /// Every table.
    pub tables: Vec<Table>,
    /// What the calculation sheet shows, in the order of the files.
    pub sheets: Vec<Sheet>,
    /// The editions that the pack knows, oldest first.
    pub editions: Vec<i64>,
    /// The days that `from` and `before` name anywhere, in order: between two of them nothing changes.
    pub days: Vec<i64>,
    /// Proper names that stand in tables; [`Cell::Name`] is a place here.
    pub proper_names: Vec<String>,
}

/// What the calculation sheet shows of items of one kind.
#[derive(Debug, Serialize, Deserialize)]
pub struct Sheet {
    /// The kind.
    pub kind: Kind,
    /// What the sheet calls such items.
    pub title: String,
    /// A yes/no word: only items of which it is not denied.
    pub only: Option<NameId>,
    /// Words of the kind: columns, or defines.
    pub figures: Vec<NameId>,
}

/// Number of a define.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct DefineId(pub u32);

/// Number of a table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct TableId(pub u32);

/// Number of a rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub struct RuleId(pub u32);

/// Place of a letter in the frame of the expression that runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Slot(pub u8);

/// A rule.
#[derive(Debug, Serialize, Deserialize)]
pub struct Rule {
    /// Its id.
    pub name: String,
    /// Other ids that it answers for.
    pub aliases: Vec<String>,
    /// Its title.
    pub title: String,
    /// The hazard.
    pub why: String,
    /// Citations by edition.
    pub cites: Vec<Cite>,
    /// Whether its figures are from memory.
    pub is_memory: bool,
    /// When it is a rule at all.
    pub bounds: Bounds,
    /// When its work is looked at.
    pub stage: Stage,
    /// How much it weighs.
    pub level: Level,
    /// What it is met on; the item stands in slot 0.
    pub kinds: Kinds,
    /// The list that narrows what it is met on (`in shop.incoming`).
    pub within: Option<Items>,
    /// Conditions of `where`.
    pub wheres: Vec<Part>,
    /// Conditions of `needs`.
    pub needs: Vec<Part>,
    /// Exceptions.
    pub excepts: Vec<Except>,
    /// Words that need better evidence here.
    pub evidence: Vec<(Kinds, NameId, How)>,
    /// Lists that the rule waits for where it meets nothing.
    pub awaits: Vec<(Item, NameId)>,
    /// Whose phrase a finding points at; the first that is stated.
    pub points: Vec<(Item, NameId)>,
    /// The finding's sentence.
    pub otherwise: Message,
    /// What to do.
    pub remedy: Option<Message>,
    /// The hazard of doing it.
    pub caution: Option<Message>,
    /// Questions for missing facts: kinds, word, question.
    pub asks: Vec<(Kinds, NameId, Message)>,
    /// Whether its text, its tables or its formulas differ by edition: then each possible edition is tried.
    pub turns_on_edition: bool,
    /// Whether it turns on the day of the permit.
    pub turns_on_day: bool,
    /// How many slots its frame needs.
    pub slots: usize,
    /// Where it stands.
    pub span: Span,
    /// Words that stand in exceptions only and have an ordinary answer.
    pub presumed: Vec<(Kinds, NameId)>,
    /// Edits of layers that it rests on, by their numbers, and when each counts.
    pub touched: Vec<(u32, Option<Test>)>,
}

/// When a rule's work is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Stage {
    /// Before the footing is poured.
    Footing,
    /// Before the trench is filled.
    Trench,
    /// Before walls are closed.
    RoughIn,
    /// Before the shop is used.
    Final,
    /// Papers.
    Permit,
}

/// How much a rule weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Level {
    /// The code asks it.
    Required,
    /// Good practice; never sets the exit status.
    Advised,
    /// A remark that can only pass or not apply.
    Note,
}

/// A named condition.
#[derive(Debug, Serialize, Deserialize)]
pub struct Part {
    /// Its name; empty in a user's own rule that gives none.
    pub name: String,
    /// What messages call it.
    pub title: String,
    /// When it counts.
    pub bounds: Bounds,
    /// The condition.
    pub test: Test,
}

/// An exception.
#[derive(Debug, Serialize, Deserialize)]
pub struct Except {
    /// Its name.
    pub name: String,
    /// What messages call it.
    pub title: String,
    /// The part that it frees, as an index into `needs`; none frees the rule.
    pub part: Option<usize>,
    /// When it counts.
    pub bounds: Bounds,
    /// The condition.
    pub test: Test,
}

/// Text with holes.
#[derive(Debug, Serialize, Deserialize)]
pub struct Message {
    /// Text and holes in turn.
    pub pieces: Vec<Piece>,
}

/// Text or a hole.
#[derive(Debug, Serialize, Deserialize)]
pub enum Piece {
    /// As it stands.
    Text(String),
    /// The title of the part that failed.
    Part,
    /// In a question: the item that is asked about.
    Asked,
    /// A value.
    Hole(Any),
}

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

/// A define.
#[derive(Debug, Serialize, Deserialize)]
pub struct Define {
    /// Its name.
    pub name: String,
    /// One sentence.
    pub doc: String,
    /// The method, where there are several.
    pub note: Option<String>,
    /// Citations.
    pub cites: Vec<Cite>,
    /// Types of its parameters, in slots from 0.
    pub parameters: Vec<Type>,
    /// Its result's type.
    pub result: Type,
    /// Whether people read it as a percentage (`in %`).
    pub is_percent: bool,
    /// The formula.
    pub body: Body,
    /// How many slots its frame needs.
    pub slots: usize,
    /// Whether it differs by edition, by itself or through what it calls.
    pub turns_on_edition: bool,
    /// Whether it turns on the day of the permit.
    pub turns_on_day: bool,
    /// Where it stands.
    pub span: Span,
}

/// A define's formula.
#[derive(Debug, Serialize, Deserialize)]
pub enum Body {
    /// Yes or no.
    Test(Test),
    /// A quantity.
    Number(Number),
    /// A value of a choice.
    Choice(Choice),
    /// An item.
    Item(Item),
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

/// A table.
#[derive(Debug, Serialize, Deserialize)]
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
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Beyond {
    /// Unknown.
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

/// [`Code::words_by_define`] as it is stored: only what is there, as (name, kind, define).
mod by_define {
    use super::DefineId;
    use crate::words::{KINDS, Kind};
    use serde::{Deserialize, Deserializer, Serialize, Serializer};

    type Table = Vec<[Option<DefineId>; KINDS]>;

    pub fn serialize<S: Serializer>(table: &Table, to: S) -> Result<S::Ok, S::Error> {
        let of_row = |(name, row): (usize, &[Option<DefineId>; KINDS])| {
            let given = Kind::ALL.into_iter().zip(*row);
            given.filter_map(|(kind, id)| Some((name as u32, kind as u8, id?))).collect::<Vec<_>>()
        };
        let given: Vec<(u32, u8, DefineId)> = table.iter().enumerate().flat_map(of_row).collect();
        (table.len(), given).serialize(to)
    }

    pub fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Table, D::Error> {
        let (names, given) = <(usize, Vec<(u32, u8, DefineId)>)>::deserialize(from)?;
        let mut table = vec![[None; KINDS]; names];
        for (name, kind, id) in given {
            if let Some(place) = table.get_mut(name as usize).and_then(|row| row.get_mut(usize::from(kind))) {
                *place = Some(id);
            }
        }
        Ok(table)
    }
}

impl Code {
    /// The define that gives a word of a kind, if one does.
    #[inline]
    pub fn define_of(&self, kind: Kind, name: NameId) -> Option<DefineId> {
        self.words_by_define.get(name.0 as usize).and_then(|row| row[kind as usize])
    }
}

impl Stage {
    /// Every stage, in order.
    pub const ALL: [Stage; 5] = [Stage::Footing, Stage::Trench, Stage::RoughIn, Stage::Final, Stage::Permit];

    /// Its name, the same in rules, options and JSON.
    pub const fn name(self) -> &'static str {
        match self {
            Stage::Footing => "footing",
            Stage::Trench => "trench",
            Stage::RoughIn => "rough-in",
            Stage::Final => "final",
            Stage::Permit => "permit",
        }
    }

    /// The stage of a name.
    pub fn named(name: &str) -> Option<Stage> {
        Stage::ALL.into_iter().find(|s| s.name() == name)
    }
}

impl Level {
    /// Its name, the same in rules and JSON.
    pub const fn name(self) -> &'static str {
        match self {
            Level::Required => "required",
            Level::Advised => "advised",
            Level::Note => "note",
        }
    }

    /// The level of a name.
    pub fn named(name: &str) -> Option<Level> {
        [Level::Required, Level::Advised, Level::Note].into_iter().find(|l| l.name() == name)
    }
}
