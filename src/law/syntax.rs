//! A rule file, read: what its author wrote, with places, before names and types are looked at.
//!
//! Everything here can be stored (`serde`), so that the built-in pack is read once, when the
//! program is built, by the same reader that reads a user's pack.

mod example;
mod expr;
pub mod layer;
mod table;

pub use example::{Example, ExampleBody, Examples, Expected, FigureExample, Missing, Set};
pub use expr::{Aggregate, Comparison, Each, Expr, Node, Operator, Options};
pub use table::{Beyond, Cell, CellContent, Column, Key, Meet, Row, Table};

use crate::text::{Span, Spanned};
use serde::{Deserialize, Serialize};

/// One or more rule files together.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Pack {
    /// `rule NAME "title"`.
    pub rules: Vec<Rule>,
    /// `define NAME of (x: KIND) in UNIT` and `term NAME of (x: KIND)`.
    pub defines: Vec<Define>,
    /// `table NAME "title"`.
    pub tables: Vec<Table>,
    /// `value` lines at the left edge.
    pub values: Vec<Value>,
    /// `list` lines at the left edge.
    pub lists: Vec<List>,
    /// `fact KIND.NAME TYPE "doc"`.
    pub facts: Vec<Fact>,
    /// `choice NAME: a, b, c`, or `choice NAME adds d`.
    pub choices: Vec<Choice>,
    /// `ordinary KIND.NAME: no` for words that the program itself knows.
    pub ordinaries: Vec<Ordinary>,
    /// `given NAME` and the plan lines under it, shared by examples.
    pub givens: Vec<Given>,
    /// `group NAME "title": rule, rule`.
    pub groups: Vec<Group>,
    /// `sheet KIND "title": figure, figure`.
    pub sheets: Vec<Sheet>,
    /// `name NAME "title"`: what people are called in reports.
    pub titles: Vec<Title>,
    /// Names of blocks that were left out because of a problem in them: nobody need call them unknown.
    pub broken: Vec<Spanned<String>>,
}

impl Pack {
    /// Whether nothing is in it, not even a block that was left out because of a problem.
    pub fn is_empty(&self) -> bool {
        let Pack { rules, defines, tables, values, lists, facts, .. } = self;
        let Pack { choices, ordinaries, givens, groups, sheets, titles, broken, .. } = self;
        rules.is_empty()
            && (defines.is_empty() && tables.is_empty() && values.is_empty() && lists.is_empty() && facts.is_empty())
            && (choices.is_empty() && ordinaries.is_empty() && givens.is_empty() && groups.is_empty())
            && (sheets.is_empty() && titles.is_empty() && broken.is_empty())
    }

    /// Takes everything of another pack in, behind what is here. Names that stand in both are the
    /// compiler's matter.
    pub fn join(&mut self, other: Pack) {
        let Pack {
            rules,
            defines,
            tables,
            values,
            lists,
            facts,
            choices,
            ordinaries,
            givens,
            groups,
            sheets,
            titles,
            broken,
        } = other;
        self.rules.extend(rules);
        self.defines.extend(defines);
        self.tables.extend(tables);
        self.values.extend(values);
        self.lists.extend(lists);
        self.facts.extend(facts);
        self.choices.extend(choices);
        self.ordinaries.extend(ordinaries);
        self.givens.extend(givens);
        self.groups.extend(groups);
        self.sheets.extend(sheets);
        self.titles.extend(titles);
        self.broken.extend(broken);
    }
}

/// An edition or a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Moment {
    /// `NEC 2023`, by its year.
    Edition(i64),
    /// A day, from 1970-01-01; of the permit.
    Day(i64),
}

/// `from X` (included) and `before X` (excluded).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Bounds {
    /// From here on, included.
    pub from: Option<Moment>,
    /// Up to here, excluded.
    pub before: Option<Moment>,
}

/// A rule.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Rule {
    /// Its id; never a section number, since sections move.
    pub name: Spanned<String>,
    /// `aliases`: other ids that this rule answers for.
    pub aliases: Vec<Spanned<String>>,
    /// In quotes behind the name.
    pub title: String,
    /// `why`: the hazard, for people.
    pub why: String,
    /// `cites`: one line each.
    pub cites: Vec<Cite>,
    /// `figures memory` or `figures verified "source"`: how sure its figures are.
    pub figures: Option<Figures>,
    /// `from`, `before` of the whole rule.
    pub bounds: Bounds,
    /// `stage`: footing, trench, rough-in, final or permit.
    pub stage: Spanned<String>,
    /// `level`: required, advised or note.
    pub level: Spanned<String>,
    /// `value` lines.
    pub values: Vec<Value>,
    /// `list` lines.
    pub lists: Vec<List>,
    /// `for`.
    pub subject: Subject,
    /// `where`: all must hold, or the rule does not apply.
    pub wheres: Vec<Part>,
    /// `needs`: all must hold.
    pub needs: Vec<Part>,
    /// `except`: one that holds lets off the rule, or one part.
    pub excepts: Vec<Except>,
    /// `evidence KIND.WORD: measured`.
    pub evidence: Vec<Evidence>,
    /// `awaits shop.doors`: a rule that meets nothing is unknown while this list is open.
    pub awaits: Vec<Expr>,
    /// `points f.wire, f.breaker`: whose phrase the finding points at; the first that is stated.
    pub points: Vec<Expr>,
    /// `else "…"`.
    pub otherwise: Message,
    /// `remedy "…"`.
    pub remedy: Option<Message>,
    /// `caution "…"`: the hazard of doing the remedy, said where it is.
    pub caution: Option<Message>,
    /// `ask KIND.WORD: "…"`.
    pub asks: Vec<Ask>,
    /// `given NAME, NAME`.
    pub given: Vec<Spanned<String>>,
    /// `example …`.
    pub examples: Vec<Example>,
    /// Edits of layers that it rests on; none in a file.
    pub touched: Vec<Touched>,
    /// From `rule` to its last line.
    pub span: Span,
}

/// An edit of a layer that a rule rests on.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Touched {
    /// Its number among the edits that were made.
    pub edit: u32,
    /// When it counts, in the letter of the rule; none where always.
    pub when: Option<Expr>,
}

/// One line of `cites`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Cite {
    /// First edition, by year.
    pub first: i64,
    /// Last edition, by year.
    pub last: i64,
    /// Sections or tables; empty where the number in this edition is not known.
    pub sections: Vec<String>,
    /// `, memory`: the number was not found in a public text.
    pub is_memory: bool,
}

/// How sure the figures of a rule or table are.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Figures {
    /// Whether some public text was met that gives them.
    pub is_verified: bool,
    /// Which, or a remark.
    pub source: String,
}

/// `for each receptacle or light x in LIST`, or `for shop`.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Subject {
    /// The letter that stands for the item; none for `shop` and `permit`.
    pub variable: Option<Spanned<String>>,
    /// The kinds met, by name.
    pub kinds: Vec<Spanned<String>>,
    /// `in LIST`.
    pub within: Option<Expr>,
}

/// A named condition of `where` or `needs`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Part {
    /// Its name; none only in a user's own rule.
    pub name: Option<Spanned<String>>,
    /// What messages call it.
    pub title: Option<String>,
    /// When it counts.
    pub bounds: Bounds,
    /// The condition.
    pub test: Expr,
}

/// `except NAME [of PART] "title"[, from X]: condition`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Except {
    /// Its name.
    pub name: Spanned<String>,
    /// The one part that it frees; none frees the rule.
    pub part: Option<Spanned<String>>,
    /// What messages call it.
    pub title: Option<String>,
    /// When it counts.
    pub bounds: Bounds,
    /// The condition.
    pub test: Expr,
}

/// `value NAME: at least 18 in, from NEC 2020 at least 24 in`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Value {
    /// Its name.
    pub name: Spanned<String>,
    /// What messages call it.
    pub title: Option<String>,
    /// From oldest to newest; the first holds before the second's `from`.
    pub steps: Vec<Step>,
}

/// What a value is from some edition or day on.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Step {
    /// From when; none for the first.
    pub from: Option<Moment>,
    /// What it is.
    pub limit: Limit,
}

/// A value's content.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub enum Limit {
    /// A plain number, without a direction.
    Plain(Expr),
    /// `at least E`.
    AtLeast(Expr),
    /// `at most E`.
    AtMost(Expr),
    /// `A to B`.
    Between(Expr, Expr),
    /// `asked TYPE "question"`: the authority gives the figure; unknown until somebody does.
    Asked {
        /// The scale's name.
        scale: Spanned<String>,
        /// The question.
        question: String,
    },
}

/// `list NAME "title"` and its items: values of a choice, or named conditions.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct List {
    /// Its name.
    pub name: Spanned<String>,
    /// What messages call it.
    pub title: Option<String>,
    /// `of choice NAME`, where the items are values.
    pub choice: Option<Spanned<String>>,
    /// Its items.
    pub items: Vec<ListItem>,
}

/// One item of a list.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct ListItem {
    /// Its name; for a list of values, the value.
    pub name: Spanned<String>,
    /// What messages call it.
    pub title: Option<String>,
    /// When it counts.
    pub bounds: Bounds,
    /// Its condition; none for a list of values.
    pub test: Option<Expr>,
}

/// `evidence KIND.WORD: measured`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Evidence {
    /// `electrode.resistance`.
    pub word: WordName,
    /// `seen`, `measured` or `on-paper`: what a fact needs to count here.
    pub how: Spanned<String>,
}

/// `ask KIND.WORD: "…"`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Ask {
    /// What is asked for.
    pub word: WordName,
    /// The question.
    pub question: Message,
}

/// `KIND.WORD`, as `fact`, `ask`, `evidence` and `ordinary` write it. Several kinds: `receptacle or light.word`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct WordName {
    /// Kinds, by name.
    pub kinds: Vec<Spanned<String>>,
    /// The word.
    pub name: Spanned<String>,
    /// All of it.
    pub span: Span,
}

/// Text with holes: `"{r} has no GFCI protection"`.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Message {
    /// Text and holes in turn.
    pub pieces: Vec<MessagePiece>,
    /// With its quotes.
    pub span: Span,
}

/// Text or a hole.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub enum MessagePiece {
    /// As it stands.
    Text(String),
    /// Filled with a value. `{part}` is the title of the part that failed.
    Hole(Expr),
}

/// `define` or `term`.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Define {
    /// Its name.
    pub name: Spanned<String>,
    /// `for PURPOSE`, of a term with one meaning for each purpose.
    pub purpose: Option<Spanned<String>>,
    /// `(c: feeder or circuit, m: choice metal)`.
    pub parameters: Vec<Parameter>,
    /// `in UNIT` or `as TYPE`; none for a term, which is yes/no.
    pub result: Option<TypeName>,
    /// One sentence (`doc "…"`).
    pub doc: String,
    /// `note`: the method, where there are several.
    pub note: Option<String>,
    /// `source "…"`.
    pub source: Option<String>,
    /// `cites`, as in a rule.
    pub cites: Vec<Cite>,
    /// `value` lines of its own.
    pub values: Vec<Value>,
    /// `list` lines of its own.
    pub lists: Vec<List>,
    /// `= …` or `means …`.
    pub body: Expr,
    /// `given` lines that its examples start from.
    pub given: Vec<Spanned<String>>,
    /// Its examples.
    pub examples: Vec<FigureExample>,
    /// From `define` to its last line.
    pub span: Span,
}

/// One parameter of a define.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Parameter {
    /// Its letter.
    pub name: Spanned<String>,
    /// Its type.
    pub ty: TypeName,
}

/// A type as written: `feeder or circuit`, `choice metal`, `wire-size`, `yes/no`, `A`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct TypeName {
    /// Its words: kinds, or `choice` and a name, or a scale, or a unit.
    pub words: Vec<String>,
    /// Where.
    pub span: Span,
}

/// `fact KIND.NAME TYPE "doc"`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Fact {
    /// What it is a fact of, and its name.
    pub word: WordName,
    /// Whether it may be absent (`part wire`).
    pub is_part: bool,
    /// Its type.
    pub ty: TypeName,
    /// One sentence.
    pub doc: String,
    /// `phrase …`, in the notation of [`crate::words::patterns`].
    pub phrase: String,
    /// `ordinary no`.
    pub ordinary: Option<Spanned<String>>,
    /// `ask "…"`; may hold `{item}`.
    pub question: Option<String>,
}

/// `choice NAME: a, b` or `choice NAME adds c`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Choice {
    /// Its name.
    pub name: Spanned<String>,
    /// Whether the values are added to a choice that is there.
    pub adds: bool,
    /// Its values.
    pub values: Vec<Spanned<String>>,
}

/// `ordinary KIND.NAME: no`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Ordinary {
    /// The word.
    pub word: WordName,
    /// `yes`, `no`, `none` or a value of its choice.
    pub answer: Spanned<String>,
}

/// `given NAME` and plan lines.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Given {
    /// Its name.
    pub name: Spanned<String>,
    /// The lines under it.
    pub body: ExampleBody,
}

/// `group NAME "title": rule, rule`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Group {
    /// Its name.
    pub name: Spanned<String>,
    /// What reports call it.
    pub title: String,
    /// Its rules.
    pub rules: Vec<Spanned<String>>,
}

/// `sheet KIND "title": figure, figure`: what the calculation sheet shows of items of a kind.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Sheet {
    /// The kind.
    pub kind: Spanned<String>,
    /// What the sheet calls such items.
    pub title: String,
    /// A yes/no word: only items of which it is not denied.
    pub only: Option<Spanned<String>>,
    /// Words of the kind, in the order in which they are shown.
    pub figures: Vec<Spanned<String>>,
}

/// `name authority "inspector"`: the title of somebody whom reports speak of.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Title {
    /// Its name, which texts write in braces.
    pub name: Spanned<String>,
    /// What reports print.
    pub title: String,
}

/// The exception that a rule with `reach new` has: what was there before the work.
pub const OLD_WORK: &str = "old-work";

/// A term's name where it is asked for one purpose: `is-part-of-home for wiring`.
pub fn for_purpose(term: &str, purpose: &str) -> String {
    format!("{term} for {purpose}")
}

/// The term behind a name with a purpose, and the purpose.
pub fn purpose_of(name: &str) -> Option<(&str, &str)> {
    name.split_once(" for ")
}
