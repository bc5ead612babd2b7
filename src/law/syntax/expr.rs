//! Expressions: conditions, quantities, values of choices, items.

use crate::quantity::Quantity;
use crate::text::{Span, Spanned};
use serde::{Deserialize, Serialize};

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
