//! A pack, compiled: typed, resolved, without names. Made by `compile`, run by `evaluate`.
//!
//! Invariant: whatever stands here was checked. A part is read only behind its guard, a
//! comparison has one scale on both sides, an index is in its list. The evaluator relies on it.

mod expr;
mod later;
mod table;

pub use expr::{
    Alternative, Any, Call, Choice, ChoiceNode, Each, Item, Items, Key, Limit, LimitEnds, Lookup, Number, NumberNode,
    Over, Test, TestNode,
};
pub use later::Later;
pub use table::{Beyond, Cell, Row, Table};

use crate::law::syntax::{Bounds, Cite};
use crate::shop::How;
use crate::text::Span;
use crate::words::{Kind, Kinds, NameId, Type, Vocabulary};
use serde::{Deserialize, Serialize};
use std::sync::{Arc, OnceLock};

/// A pack that can judge.
#[derive(Debug, Serialize, Deserialize)]
pub struct Code {
    /// The words in force.
    pub vocabulary: Arc<Vocabulary>,
    /// The rules, in the order of their files.
    pub rules: Later<Vec<Rule>>,
    /// Every define and term, each after those that it calls.
    pub defines: Vec<Later<Define>>,
    /// For each name, for each kind, the define that gives the word; see [`Code::define_of`].
    #[serde(with = "by_define")]
    pub words_by_define: Vec<[Option<DefineId>; crate::words::KINDS]>,
    /// Every table.
    pub tables: Vec<Later<Table>>,
    /// What the calculation sheet shows, in the order of the files.
    pub sheets: Vec<Sheet>,
    /// What reports call whoever decides, as the pack names it (`name authority`).
    pub authority: String,
    /// The editions that the pack knows, oldest first.
    pub editions: Vec<i64>,
    /// The days that `from` and `before` name anywhere, in order: between two of them nothing changes.
    pub days: Vec<i64>,
    /// Proper names that stand in tables; [`Cell::Name`] is a place here.
    pub proper_names: Vec<String>,
    /// The phrases of the words; see [`Code::phrases`].
    #[serde(skip)]
    pub index: OnceLock<Arc<crate::shop::Index>>,
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
    /// What is said of it.
    pub texts: Later<RuleTexts>,
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

/// What is said of a rule and its findings; judging needs none of it.
#[derive(Debug, Default, Serialize, Deserialize)]
pub struct RuleTexts {
    /// Other ids that it answers for.
    pub aliases: Vec<String>,
    /// Its title.
    pub title: String,
    /// The hazard.
    pub why: String,
    /// Citations by edition.
    pub cites: Vec<Cite>,
    /// The finding's sentence.
    pub otherwise: Message,
    /// What to do.
    pub remedy: Option<Message>,
    /// The hazard of doing it.
    pub caution: Option<Message>,
    /// Questions for missing facts: kinds, word, question.
    pub asks: Vec<(Kinds, NameId, Message)>,
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
#[derive(Debug, Default, Serialize, Deserialize)]
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

/// A define.
#[derive(Debug, Default, Serialize, Deserialize)]
pub struct Define {
    /// Its name.
    pub name: String,
    /// One sentence.
    pub doc: String,
    /// The method, where there are several.
    pub note: Option<String>,
    /// Citations.
    pub cites: Vec<Cite>,
    /// Where it comes from, if not from the code: `common practice, no source`.
    pub source: Option<String>,
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

/// A formula of which nothing is known.
impl Default for Body {
    fn default() -> Body {
        Body::Number(Number { node: NumberNode::Asked(String::new()), span: Span::default() })
    }
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
        self.words_by_define.get(name.0 as usize).and_then(|row| *row.get(kind as usize)?)
    }

    /// A define by its number.
    #[inline]
    pub fn define(&self, id: DefineId) -> Option<&Define> {
        self.defines.get(id.0 as usize).map(|define| &**define)
    }

    /// A table by its number.
    #[inline]
    pub fn table(&self, id: TableId) -> Option<&Table> {
        self.tables.get(id.0 as usize).map(|table| &**table)
    }
}

impl Rule {
    /// Whether it answers for an id.
    pub fn is_called(&self, id: &str) -> bool {
        self.name == id || self.texts.aliases.iter().any(|alias| alias == id)
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
