//! A layer, read: what a state, a county, a city, a utility or the owner changes in a pack.

use super::{Ask, Cite, Except, ListItem, WordName};
use super::{Cell, Evidence, ExampleBody, Expected, Expr, List, Message, Pack, Part, Row, Rule, Step, Value};
use crate::text::{Span, Spanned};
use serde::{Deserialize, Serialize};

/// One layer file.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Layer {
    /// Its name, as a plan writes it behind `amended by`.
    pub name: Spanned<String>,
    /// Its full name.
    pub title: String,
    /// Who speaks.
    pub kind: Kind,
    /// When it counts; a block narrows it.
    pub scope: Scope,
    /// On what authority; none makes it a wish.
    pub source: Option<Origin>,
    /// `adopt` lines, from the top.
    pub adopts: Vec<Adopt>,
    /// `below` lines: what layers further down may do.
    pub below: Vec<Below>,
    /// `differ`: who wins where two texts claim one part.
    pub differ: Option<Spanned<Differ>>,
    /// `change` blocks.
    pub changes: Vec<Change>,
    /// What it adds that the base has nothing about.
    pub pack: Pack,
    /// From `layer` to the last line of its head.
    pub span: Span,
}

/// Who speaks in a layer; in the order of the chain, a utility beside it, owners on top.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Kind {
    /// A state.
    State,
    /// A county.
    County,
    /// A city, town, village, borough or township.
    City,
    /// The utility that serves the lot.
    Utility,
    /// The owner: wishes, never law.
    #[default]
    Owner,
}

impl Kind {
    /// Every kind, in the order in which layers are applied.
    pub const ALL: [Kind; 5] = [Kind::State, Kind::County, Kind::City, Kind::Utility, Kind::Owner];

    /// As written.
    pub fn name(self) -> &'static str {
        match self {
            Kind::State => "state",
            Kind::County => "county",
            Kind::City => "city",
            Kind::Utility => "utility",
            Kind::Owner => "owner",
        }
    }
}

/// What a text is called and where it is to be found.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Origin {
    /// In quotes.
    pub title: String,
    /// Behind the comma, as written.
    pub address: Option<String>,
}

/// `over`, `from`, `before` and `status`: when a layer or one of its blocks counts.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Scope {
    /// `over`; none where the line is missing.
    pub over: Option<Vec<Reach>>,
    /// From this day of the permit on.
    pub from: Option<i64>,
    /// Up to this day, excluded.
    pub before: Option<i64>,
    /// `status`.
    pub status: Option<Spanned<Status>>,
}

/// `NEC 2020`, `NEC 2017 and later`; any edition is an empty list of these.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Reach {
    /// The edition's year.
    pub year: i64,
    /// `and later`.
    pub is_open: bool,
}

/// `status STATE, checked DAY`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Status {
    /// Whether it is law.
    pub standing: Standing,
    /// When somebody last looked.
    pub checked: Option<i64>,
}

/// Whether a text is law.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Standing {
    /// `in force`.
    InForce,
    /// `proposed`: shown, not applied.
    Proposed,
    /// `withdrawn`, from a day on or altogether.
    Withdrawn(Option<i64>),
    /// `absorbed in NEC X`: the base says it itself from there on.
    Absorbed(i64),
    /// `unsettled "question"`: whether it is law is asked, and both are tried.
    Unsettled(String),
}

/// `adopt NEC 2017 where CONDITION`: which edition is law for which buildings and permit days.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Adopt {
    /// The editions; of several the applicant chooses.
    pub editions: Vec<i64>,
    /// `as of`: later changes of the edition's text are no law.
    pub as_of: Option<i64>,
    /// From this day of the permit on.
    pub from: Option<i64>,
    /// Up to this day, excluded.
    pub before: Option<i64>,
    /// `where`; none for all, and for `otherwise`.
    pub test: Option<Expr>,
    /// `floating`: any edition that came later may be law too, for permits from the day behind
    /// `checked` on.
    pub floating_from: Option<i64>,
    /// The line.
    pub span: Span,
}

/// `below city: stricter only`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Below {
    /// Whom it binds.
    pub kinds: Vec<Kind>,
    /// What they may do.
    pub leave: Leave,
    /// `binding licensed`: their edits count for licensed people alone.
    pub is_for_licensed: bool,
    /// The line.
    pub span: Span,
}

/// What lower layers may do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Leave {
    /// `free`.
    Free,
    /// `stricter only`.
    StricterOnly,
    /// `no edits`.
    NoEdits,
}

/// `differ`: who wins where two texts claim one part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Differ {
    /// `strictest wins`: both must be met.
    Strictest,
    /// `this layer wins`.
    ThisLayer,
    /// `ask`: both are tried.
    Ask,
}

/// A `change` block: edits of one target.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Change {
    /// What is changed.
    pub target: Target,
    /// In quotes behind it.
    pub title: String,
    /// `why`.
    pub why: String,
    /// `source` of its own.
    pub source: Option<Origin>,
    /// `only where`.
    pub only_where: Option<Expr>,
    /// Bounds of its own.
    pub scope: Scope,
    /// What it does.
    pub edits: Vec<Edit>,
    /// What must come out, with the layer and without.
    pub examples: Vec<LayerExample>,
    /// From `change` to its last line.
    pub span: Span,
}

/// What a block changes.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub enum Target {
    /// `rule R`.
    Rule(Spanned<String>),
    /// `rules in GROUP`.
    Group(Spanned<String>),
    /// `every rule`, `every rule with stage S`.
    EveryRule(Option<Spanned<String>>),
    /// `table T`.
    Table(Spanned<String>),
    /// `term T` or `figure F`.
    Define(Spanned<String>),
    /// `name N`.
    Name(Spanned<String>),
    /// `list L` at the left edge.
    List(Spanned<String>),
    /// `value V` at the left edge.
    Value(Spanned<String>),
}

/// One line that begins with a verb.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Edit {
    /// What it does.
    pub action: Action,
    /// The line, with those that go on with it.
    pub span: Span,
}

/// What the author found in a part, quoted behind `was`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Was<T> {
    /// What was quoted.
    pub found: T,
    /// Where.
    pub span: Span,
}

/// A title in quotes, or the condition itself.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub enum Quoted {
    /// `was "title"`.
    Title(String),
    /// `was CONDITION`.
    Test(Expr),
}

/// A named condition of a rule.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum TestPart {
    /// `where NAME`.
    Where(Spanned<String>),
    /// `needs NAME`.
    Needs(Spanned<String>),
    /// `exception NAME`.
    Except(Spanned<String>),
    /// `item NAME of LIST`.
    Item(Spanned<String>, Spanned<String>),
}

/// What an edit does.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub enum Action {
    /// `set value NAME to STEPS, was STEPS`.
    SetValue(Spanned<String>, Vec<Step>, Was<Vec<Step>>),
    /// `set PART to CONDITION, was …`.
    SetTest(TestPart, Expr, Was<Quoted>),
    /// `set level to required, was advised`.
    SetLevel(Spanned<String>, Was<String>),
    /// `set stage to final, was trench`.
    SetStage(Spanned<String>, Was<String>),
    /// `set reach to old and new, was new`: whether the rule looks at what was there before.
    SetReach(bool, Was<bool>),
    /// `set list NAME, was a, b`, with the new items below.
    SetList(List, Was<Vec<String>>),
    /// `set cell (KEYS) to CELL, was CELL`; the column where there are several.
    SetCell(CellAt, Option<Cell>, Was<Option<Cell>>),
    /// `set table, was "title"`, with a whole table below.
    SetRows(Vec<Row>, Was<String>),
    /// `set rule, was "title"`, with a whole rule below.
    SetRule(Box<Rule>, Was<String>),
    /// `set formula to E, was E`; of a term `set meaning [for PURPOSE] to …`.
    SetBody(Option<Spanned<String>>, Expr, Was<Expr>),
    /// `add meaning for PURPOSE: E`.
    AddMeaning(Spanned<String>, Expr),
    /// `set title to "…", was "…"`; `else`, `remedy`, `caution` likewise.
    SetText(Text, Message, Was<Message>),
    /// `set cites to NEC X: S, was S`.
    SetCites(Cite, Was<Vec<String>>),
    /// `add item NAME "title" to LIST: CONDITION`; to `needs NAME` or `where NAME` as a second way.
    AddItem(ListItem, Place),
    /// `add exception …`.
    AddExcept(Except),
    /// `add needs …`.
    AddNeeds(Part),
    /// `add where …`.
    AddWhere(Part),
    /// `add value …`.
    AddValue(Value),
    /// `add list …`.
    AddList(List),
    /// `add row (KEYS): CELLS`.
    AddRow(Row),
    /// `add evidence KIND.WORD: seen`.
    AddEvidence(Evidence),
    /// `add ask KIND.WORD: "…"`.
    AddAsk(Ask),
    /// `strike PART, was …`.
    StrikeTest(TestPart, Was<Quoted>),
    /// `strike row (KEYS), was CELLS`.
    StrikeRow(Vec<Cell>, Was<Vec<Option<Cell>>>),
    /// `strike evidence KIND.WORD, was seen`.
    StrikeEvidence(WordName, Was<String>),
    /// `strike rule, was "title"`; for a group `was 7 rules`.
    StrikeRule(Was<RuleGuard>),
    /// `limit PART to CONDITION, was …`.
    Limit(TestPart, Expr, Was<Quoted>),
    /// `borrow value NAME from NEC X, was STEPS`.
    BorrowValue(Spanned<String>, i64, Was<Vec<Step>>),
    /// `borrow rule from NEC X, was none`.
    BorrowRule(i64, Was<RuleGuard>),
    /// `defer to WHO: "question"`.
    Defer(String, String),
}

/// Which text of a rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Text {
    /// `title`.
    Title,
    /// `else`.
    Otherwise,
    /// `remedy`.
    Remedy,
    /// `caution`.
    Caution,
}

/// Where an item is added.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub enum Place {
    /// A list.
    List(Spanned<String>),
    /// A `needs` or `where` line, which counts as a list of one.
    Part(TestPart),
}

/// A cell of a table: the keys of its row in their order, and the column where there are several.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct CellAt {
    /// The column.
    pub column: Option<Spanned<String>>,
    /// The keys.
    pub keys: Vec<Cell>,
    /// The brackets.
    pub span: Span,
}

/// What `was` says of a whole rule.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum RuleGuard {
    /// Its title.
    Title(String),
    /// `none`: this edition has no such rule.
    None,
    /// `7 rules`, of a group or of every rule with a stage.
    Count(usize),
}

/// `example pass of rule R, was attention "title"`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct LayerExample {
    /// The rule that is asked; the block's where none is named.
    pub rule: Option<Spanned<String>>,
    /// With the layer.
    pub now: CameOut,
    /// Without it.
    pub was: CameOut,
    /// In quotes.
    pub title: Option<String>,
    /// The lines under it.
    pub body: ExampleBody,
    /// The `example` line.
    pub span: Span,
}

/// What comes out of an example of a layer.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub enum CameOut {
    /// `switched off` with the layer, `no rule` without it.
    NoRule,
    /// `advice [at NAME]`: attention of a rule that is only advised.
    Advice(Option<Spanned<String>>),
    /// `stage NAME`: when the rule's work is looked at.
    Stage(Spanned<String>),
    /// `called "title"`: what reports print for a name.
    Called(String),
    /// A verdict.
    Verdict(Expected),
}

impl Target {
    /// Its words as written.
    pub fn text(&self) -> String {
        match self {
            Target::Rule(name) => format!("rule {}", name.node),
            Target::Group(name) => format!("rules in {}", name.node),
            Target::EveryRule(None) => "every rule".into(),
            Target::EveryRule(Some(stage)) => format!("every rule with stage {}", stage.node),
            Target::Table(name) => format!("table {}", name.node),
            Target::Define(name) => format!("term {}", name.node),
            Target::Name(name) => format!("name {}", name.node),
            Target::List(name) => format!("list {}", name.node),
            Target::Value(name) => format!("value {}", name.node),
        }
    }

    /// The place of its name; none for every rule.
    pub fn place(&self) -> Option<Span> {
        match self {
            Target::Rule(n)
            | Target::Group(n)
            | Target::Table(n)
            | Target::Define(n)
            | Target::Name(n)
            | Target::List(n)
            | Target::Value(n) => Some(n.span),
            Target::EveryRule(stage) => stage.as_ref().map(|stage| stage.span),
        }
    }
}
