//! A rule file, read: what its author wrote, with places, before names and types are looked at.
//!
//! Everything here can be stored (`serde`), so that the built-in pack is read once, when the
//! program is built, by the same reader that reads a user's pack.

pub mod layer;

use crate::quantity::Quantity;
use crate::text::{Span, Spanned};
use serde::{Deserialize, Serialize};
use std::collections::HashMap;

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
    /// Names of blocks that were left out because of a problem in them: nobody need call them unknown.
    pub broken: Vec<Spanned<String>>,
}

impl Pack {
    /// Takes everything of another pack in, behind what is here. Names that stand in both are the
    /// compiler's matter.
    pub fn join(&mut self, other: Pack) {
        let Pack { rules, defines, tables, values, lists, facts, choices, ordinaries, givens, groups, sheets, broken } =
            other;
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
        self.broken.extend(broken);
    }
}

/// The examples of a pack, kept apart so that a run that checks no rules does not load them.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Examples {
    rules: Vec<(Span, Vec<Example>)>,
    defines: Vec<(Span, Vec<FigureExample>)>,
    givens: Vec<Given>,
}

impl Examples {
    /// Takes the examples out of a pack, and the plan lines that they share.
    pub fn taken_from(pack: &mut Pack) -> Examples {
        let taken = |rule: &mut Rule| (rule.name.span, std::mem::take(&mut rule.examples));
        let rules = pack.rules.iter_mut().filter(|rule| !rule.examples.is_empty()).map(taken).collect();
        let taken = |define: &mut Define| (define.name.span, std::mem::take(&mut define.examples));
        let defines = pack.defines.iter_mut().filter(|define| !define.examples.is_empty()).map(taken).collect();
        Examples { rules, defines, givens: std::mem::take(&mut pack.givens) }
    }

    /// Puts them back: each to the rule or formula that stands where it stood.
    pub fn put_back(self, pack: &mut Pack) {
        let mut by_place: HashMap<Span, Vec<Example>> = self.rules.into_iter().collect();
        for rule in &mut pack.rules {
            if let Some(examples) = by_place.remove(&rule.name.span) {
                rule.examples = examples;
            }
        }
        let mut by_place: HashMap<Span, Vec<FigureExample>> = self.defines.into_iter().collect();
        for define in &mut pack.defines {
            if let Some(examples) = by_place.remove(&define.name.span) {
                define.examples = examples;
            }
        }
        pack.givens.splice(0..0, self.givens);
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

/// `example …`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Example {
    /// What must come out.
    pub expected: Expected,
    /// In quotes.
    pub title: Option<String>,
    /// The lines under it.
    pub body: ExampleBody,
    /// The `example` line.
    pub span: Span,
}

/// What an example must give.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub enum Expected {
    /// `example pass`: at least one verdict, and every one is pass.
    Pass,
    /// `example pass except NAME`: pass, by this exception.
    PassExcept(Spanned<String>),
    /// `example attention [at NAME]`: attention, at this item.
    Attention(Option<Spanned<String>>),
    /// `example unknown [missing WORD [of NAME], …]`: unknown, and each of these facts is listed as missing.
    Unknown(Vec<Missing>),
    /// `example not applicable [at NAME]`: the rule meets nothing, or `where` says no; with a name, at this item.
    NotApplicable(Option<Spanned<String>>),
}

/// `example C1 gives 40 A "title"`: what a formula must come to for an item.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct FigureExample {
    /// The item's tag.
    pub item: Spanned<String>,
    /// A figure as digits and unit, a choice's value, `yes`, `no` or `unknown`.
    pub value: Spanned<String>,
    /// In quotes.
    pub title: Option<String>,
    /// The lines under it.
    pub body: ExampleBody,
    /// The `example` line.
    pub span: Span,
}

/// `WORD of NAME`, as an example's `missing` writes it.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Missing {
    /// The word.
    pub word: Spanned<String>,
    /// The item's tag; none for any item.
    pub item: Option<Spanned<String>>,
}

/// The lines under an example or a `given`.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct ExampleBody {
    /// Plan lines, indentation to the body cut off. Inside an example they take the place of what
    /// a `given` says of the same fact.
    pub plan: Vec<Spanned<String>>,
    /// `unsaid WORD [of NAME], …`: facts of the given lines that are taken away.
    pub unsaid: Vec<Missing>,
    /// `set NAME.word = VALUE`: what topology or a formula gives, stated to keep the example short.
    pub sets: Vec<Set>,
}

/// `set NAME.word = VALUE`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Set {
    /// The item's tag (`P1-B1` for an unnamed run).
    pub item: Spanned<String>,
    /// The word.
    pub word: Spanned<String>,
    /// An amount, `yes`, `no`, a value of a choice, or names with commas.
    pub value: Spanned<String>,
}

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

/// An expression and its place.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Expr {
    /// What it is.
    pub node: Box<Node>,
    /// Where.
    pub span: Span,
}

/// What an expression is.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub enum Node {
    /// `18 in`, `80 %`, `6 AWG`, `75 C`, `3`, `NEC 2020`, `2026-09-01`.
    Quantity(Quantity),
    /// `yes`, `no`.
    YesNo(bool),
    /// `no limit`.
    #[default]
    NoLimit,
    /// A bare name: a letter, a value, a list, a value of a choice, `shop`, `permit`, a table.
    Name(String),
    /// `x.word`.
    Word(Expr, Spanned<String>),
    /// `NAME of (a, b)`.
    Call(Spanned<String>, Vec<Expr>),
    /// `TABLE at (k, …)`, `TABLE.column at (k, …)`.
    Lookup {
        /// The table.
        table: Spanned<String>,
        /// The column; none where the table has one.
        column: Option<Spanned<String>>,
        /// The keys.
        keys: Vec<Expr>,
    },
    /// `not a`.
    Not(Expr),
    /// `a and b and …`.
    And(Vec<Expr>),
    /// `a or b or …`.
    Or(Vec<Expr>),
    /// `a < b` and the like.
    Compare(Comparison, Expr, Expr),
    /// `a within VALUE`.
    Within(Expr, Spanned<String>),
    /// `a is b`, `a is not b`.
    Is {
        /// Left side.
        left: Expr,
        /// Right side: a value of a choice or an item.
        right: Expr,
        /// `is not`.
        is_denied: bool,
    },
    /// `a is any of (x, y)`, `a is any of LIST`, `a is not any of …`.
    IsAnyOf {
        /// Left side.
        left: Expr,
        /// The values, or one name of a list.
        options: Options,
        /// `is not any of`.
        is_denied: bool,
    },
    /// `any of LIST`, a list of named conditions.
    AnyOf(Spanned<String>),
    /// `a + b`, `a - b`, `a * b`, `a / b`.
    Arithmetic(Operator, Expr, Expr),
    /// `any x in L where Q: P`, `all x in L where Q: P`.
    Quantified {
        /// `all`, else `any`.
        is_all: bool,
        /// The letter and where it goes.
        each: Each,
        /// What must hold.
        body: Expr,
    },
    /// `count of L`, `count of x in L where Q`.
    Count(Each),
    /// `sum of E for x in L where Q`, `least of …`, `largest of …`.
    Aggregate {
        /// Which.
        kind: Aggregate,
        /// What is added or compared.
        body: Expr,
        /// The letter and where it goes.
        each: Each,
    },
    /// `least of (a, b)`, `largest of (a, b)`.
    Extreme {
        /// `largest`, else `least`.
        is_largest: bool,
        /// The candidates.
        candidates: Vec<Expr>,
    },
    /// `rank of q in L by E`: 1 is the largest, ties in plan order.
    Rank {
        /// The item.
        item: Spanned<String>,
        /// The list.
        list: Expr,
        /// What it is ranked by; the letter of `item` stands for each member.
        by: Expr,
    },
    /// `if a then b else c`.
    If(Expr, Expr, Expr),
    /// `x up to TABLE`, `x down to TABLE`.
    ToTable {
        /// `up`, else `down`.
        is_up: bool,
        /// What is rounded.
        value: Expr,
        /// The table of steps.
        table: Spanned<String>,
    },
    /// `x rounded up to STEP`, `x rounded to STEP from SHARE`.
    Rounded {
        /// What is rounded.
        value: Expr,
        /// The step.
        step: Expr,
        /// From which share of a step on it goes up; none always goes up.
        from: Option<Expr>,
    },
}

/// The options of `is any of`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub enum Options {
    /// `(a, b)`.
    Values(Vec<Spanned<String>>),
    /// The name of a list.
    List(Spanned<String>),
}

/// A letter that goes through a list or the rows of a table.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Each {
    /// The letter; none in `count of L`.
    pub variable: Option<Spanned<String>>,
    /// The list, or a table's name.
    pub list: Expr,
    /// `where Q`.
    pub filter: Option<Expr>,
}

/// Which comparison.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Comparison {
    /// `=`
    Equal,
    /// `<`
    Less,
    /// `<=`
    AtMost,
    /// `>`
    More,
    /// `>=`
    AtLeast,
}

impl Comparison {
    /// As it is written.
    pub fn sign(self) -> &'static str {
        match self {
            Comparison::Equal => "=",
            Comparison::Less => "<",
            Comparison::AtMost => "<=",
            Comparison::More => ">",
            Comparison::AtLeast => ">=",
        }
    }
}

/// Which operation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Operator {
    /// `+`
    Plus,
    /// `-`
    Minus,
    /// `*` or `×`
    Times,
    /// `/`
    Over,
}

/// Which aggregate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Aggregate {
    /// All added; 0 of an empty list.
    Sum,
    /// The smallest; `no limit` of an empty list.
    Least,
    /// The largest; below everything of an empty list.
    Largest,
}
