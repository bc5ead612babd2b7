//! Expressions: from the grammar's parts to [`Node`]s.

use super::parse::{Children, Found, MAX_DEPTH};
use super::{Reader, Rule};
use crate::law::syntax::{Aggregate, Comparison, Each, Expr, Node, Operator, Options, for_purpose};
use crate::text::{Span, Spanned};

impl<'a> Reader<'a> {
    /// Reads the whole of an expression. `depth` is how many others it stands in.
    pub(super) fn expression(&mut self, found: Found<'a>, depth: usize) -> Option<Expr> {
        let span = self.place(&found);
        if depth > MAX_DEPTH {
            self.report_depth(found.range());
            return None;
        }
        let found = meat(found);
        let parts = found.children();
        let expr = match found.rule() {
            Rule::disjunction => self.joined(parts, Rule::kw_or, depth),
            Rule::conjunction => self.joined(parts, Rule::kw_and, depth),
            Rule::sum | Rule::product => self.arithmetic(parts, depth),
            Rule::negation => self.negation(parts, depth),
            Rule::comparison => self.comparison(parts, depth),
            Rule::rounding => self.rounding(parts, depth),
            Rule::path => self.path(parts, depth),
            rule => self.form(rule, found, depth).map(|node| Expr { node: Box::new(node), span }),
        };
        // A bracket belongs to what it holds, so that no message underlines half a pair.
        expr.map(|expr| Expr { span, ..expr })
    }

    /// What begins with a word of its own, and what holds nothing.
    fn form(&mut self, rule: Rule, found: Found<'a>, depth: usize) -> Option<Node> {
        let mut parts = found.children();
        Some(match rule {
            Rule::conditional => {
                let condition = self.behind(&mut parts, Rule::kw_if, depth)?;
                let then = self.behind(&mut parts, Rule::kw_then, depth)?;
                let otherwise = self.behind(&mut parts, Rule::kw_else, depth)?;
                Node::If(condition, then, otherwise)
            }
            Rule::quantified => {
                let is_all = parts.next()?.rule() == Rule::kw_all;
                let each = self.each(parts.next()?, depth + 1)?;
                Node::Quantified { is_all, each, body: self.expression(parts.next()?, depth + 1)? }
            }
            Rule::any_of => Node::AnyOf(self.name(&parts.last()?)),
            Rule::count_of => Node::Count(self.counted(parts.last()?, depth + 1)?),
            Rule::sum_of | Rule::extreme => self.aggregate(parts, depth + 1)?,
            Rule::rank_of => {
                let mut parts = parts.filter(|part| !is_keyword(part.rule()));
                let item = self.name(&parts.next()?);
                let list = self.expression(parts.next()?, depth + 1)?;
                Node::Rank { item, list, by: self.expression(parts.next()?, depth + 1)? }
            }
            Rule::call => {
                let name = self.name(&parts.next()?);
                Node::Call(name, self.arguments(parts.last()?, depth + 1)?)
            }
            Rule::name | Rule::option => Node::Name(found.text().to_string()),
            Rule::kw_yes => Node::YesNo(true),
            Rule::kw_no => Node::YesNo(false),
            Rule::no_limit => Node::NoLimit,
            Rule::quantity => Node::Quantity(self.quantity(found)?),
            _ => return None,
        })
    }

    /// The expression behind a keyword.
    fn behind(&mut self, parts: &mut Children<'a>, word: Rule, depth: usize) -> Option<Expr> {
        parts.maybe(word)?;
        self.expression(parts.next()?, depth + 1)
    }

    /// `a and b and …`; one alone stays itself.
    fn joined(&mut self, parts: Children<'a>, word: Rule, depth: usize) -> Option<Expr> {
        let read: Vec<_> =
            parts.filter(|part| part.rule() != word).map(|part| self.expression(part, depth + 1)).collect();
        let members = read.into_iter().collect::<Option<Vec<_>>>()?;
        let node = if word == Rule::kw_or { Node::Or(members) } else { Node::And(members) };
        Some(unplaced(node))
    }

    fn negation(&mut self, mut parts: Children<'a>, depth: usize) -> Option<Expr> {
        let mut denials = Vec::new();
        while let Some(not) = parts.maybe(Rule::kw_not) {
            denials.push(self.place(&not));
        }
        let mut inner = self.expression(parts.next()?, depth + denials.len())?;
        for not in denials.into_iter().rev() {
            let span = not.to(inner.span);
            inner = Expr { node: Box::new(Node::Not(inner)), span };
        }
        Some(inner)
    }

    fn comparison(&mut self, mut parts: Children<'a>, depth: usize) -> Option<Expr> {
        let first = parts.next()?;
        let second = parts.next()?;
        let left = self.expression(first, depth + 1);
        let mut inner = second.children().peekable();
        let node = match second.rule() {
            Rule::within => Node::Within(left?, self.name(&inner.last()?)),
            Rule::is => {
                inner.next();
                let is_denied = inner.next_if(|part| part.rule() == Rule::kw_not).is_some();
                Node::Is { right: self.expression(inner.next()?, depth + 1)?, left: left?, is_denied }
            }
            Rule::is_any_of => {
                inner.next();
                let is_denied = inner.next_if(|part| part.rule() == Rule::kw_not).is_some();
                let last = inner.last()?;
                let options = match last.rule() {
                    Rule::options => Options::Values(last.children().map(|value| self.name(&value)).collect()),
                    _ => Options::List(self.name(&last)),
                };
                Node::IsAnyOf { left: left?, options, is_denied }
            }
            sign => {
                let comparison = match sign {
                    Rule::less => Comparison::Less,
                    Rule::at_most => Comparison::AtMost,
                    Rule::more => Comparison::More,
                    Rule::at_least => Comparison::AtLeast,
                    _ => Comparison::Equal,
                };
                let right = self.expression(parts.next()?, depth + 1)?;
                Node::Compare(comparison, left?, right)
            }
        };
        Some(unplaced(node))
    }

    /// `a + b - c`, from the left. A long chain nests as deep as it is long.
    fn arithmetic(&mut self, parts: Children<'a>, depth: usize) -> Option<Expr> {
        let parts: Vec<_> = parts.collect();
        let deepest = depth + parts.len() / 2;
        let mut left = None;
        let mut operator = None;
        for part in parts {
            match part.rule() {
                Rule::plus => operator = Some(Operator::Plus),
                Rule::minus => operator = Some(Operator::Minus),
                Rule::times => operator = Some(Operator::Times),
                Rule::over => operator = Some(Operator::Over),
                _ => {
                    let right = self.expression(part, deepest)?;
                    left = Some(match (left, operator) {
                        (Some(left), Some(operator)) => binary(operator, left, right),
                        _ => right,
                    });
                }
            }
        }
        left
    }

    fn rounding(&mut self, mut parts: Children<'a>, depth: usize) -> Option<Expr> {
        let first = parts.next()?;
        let steps: Vec<_> = parts.collect();
        let mut value = self.expression(first, depth + steps.len())?;
        for step in steps {
            let span = value.span.to(self.place(&step));
            let mut inner = step.children();
            let node = match step.rule() {
                Rule::to_table => {
                    let is_up = inner.next()?.rule() == Rule::kw_up;
                    Node::ToTable { is_up, value, table: self.name(&inner.last()?) }
                }
                _ => {
                    let mut inner = inner.filter(|part| !is_keyword(part.rule()));
                    let step = self.expression(inner.next()?, depth + 1)?;
                    let from = match inner.next() {
                        Some(share) => Some(self.expression(share, depth + 1)?),
                        None => None,
                    };
                    Node::Rounded { value, step, from }
                }
            };
            value = Expr { node: Box::new(node), span };
        }
        Some(value)
    }

    /// `x.word.word`, `table.column at (…)`.
    fn path(&mut self, mut parts: Children<'a>, depth: usize) -> Option<Expr> {
        let first = parts.next()?;
        let rest: Vec<_> = parts.collect();
        let words = rest.iter().filter(|part| part.rule() == Rule::ident).count();
        let mut expr = self.expression(first, depth + words)?;
        for part in rest {
            match part.rule() {
                Rule::ident => {
                    let word = self.name(&part);
                    let span = expr.span.to(word.span);
                    expr = Expr { node: Box::new(Node::Word(expr, word)), span };
                }
                Rule::arguments => {
                    let keys = self.arguments(part, depth + 1)?;
                    let Some((table, column)) = table_and_column(&expr) else {
                        let range = expr.span.start as usize..expr.span.end as usize;
                        self.error(
                            range,
                            "no table stands before `at`",
                            "write `TABLE at (…)` or `TABLE.column at (…)`",
                        );
                        return None;
                    };
                    expr = Expr { node: Box::new(Node::Lookup { table, column, keys }), ..expr };
                }
                Rule::purpose => {
                    let purpose = self.purpose(part)?;
                    match &mut *expr.node {
                        Node::Word(_, word) => word.node = for_purpose(&word.node, &purpose.node),
                        _ => {
                            let range = purpose.span.start as usize..purpose.span.end as usize;
                            self.error(
                                range,
                                "only a term has a meaning for a purpose",
                                "write `x.TERM for PURPOSE`, the term behind a dot",
                            );
                            return None;
                        }
                    }
                }
                _ => {}
            }
        }
        Some(expr)
    }

    /// `for PURPOSE`.
    pub(super) fn purpose(&mut self, found: Found<'a>) -> Option<Spanned<String>> {
        Some(self.name(&found.children().last()?))
    }

    fn arguments(&mut self, found: Found<'a>, depth: usize) -> Option<Vec<Expr>> {
        let read: Vec<_> = found.children().map(|part| self.expression(part, depth)).collect();
        read.into_iter().collect()
    }

    fn each(&mut self, found: Found<'a>, depth: usize) -> Option<Each> {
        let mut parts = found.children().filter(|part| !is_keyword(part.rule()));
        let variable = Some(self.name(&parts.next()?));
        let list = self.expression(parts.next()?, depth)?;
        let filter = match parts.next() {
            Some(filter) => Some(self.expression(filter, depth)?),
            None => None,
        };
        Some(Each { variable, list, filter })
    }

    /// `count of L`, or of an `x in L where Q`.
    fn counted(&mut self, found: Found<'a>, depth: usize) -> Option<Each> {
        match found.rule() {
            Rule::each => self.each(found, depth),
            _ => Some(Each { variable: None, list: self.expression(found, depth)?, filter: None }),
        }
    }

    /// `sum of E for x in L`, `least of (a, b)` and the like.
    fn aggregate(&mut self, mut parts: Children<'a>, depth: usize) -> Option<Node> {
        let word = parts.next()?.rule();
        parts.maybe(Rule::kw_of)?;
        let body = parts.next()?;
        if body.rule() == Rule::arguments {
            let candidates = self.arguments(body, depth)?;
            return Some(Node::Extreme { is_largest: word == Rule::kw_largest, candidates });
        }
        let kind = match word {
            Rule::kw_least => Aggregate::Least,
            Rule::kw_largest => Aggregate::Largest,
            _ => Aggregate::Sum,
        };
        let body = self.expression(body, depth)?;
        let each = self.each(parts.next()?.children().last()?, depth)?;
        Some(Node::Aggregate { kind, body, each })
    }
}

/// What stands inside brackets, and inside each level of the grammar that has nothing to say.
fn meat(mut found: Found) -> Found {
    while matches!(
        found.rule(),
        Rule::expression
            | Rule::bracket
            | Rule::disjunction
            | Rule::conjunction
            | Rule::negation
            | Rule::comparison
            | Rule::rounding
            | Rule::sum
            | Rule::product
            | Rule::path
    ) {
        let mut parts = found.children();
        match (parts.next(), parts.next()) {
            (Some(only), None) => found = only,
            _ => break,
        }
    }
    found
}

/// A node whose place the caller knows.
fn unplaced(node: Node) -> Expr {
    Expr { node: Box::new(node), span: Span::default() }
}

fn binary(operator: Operator, left: Expr, right: Expr) -> Expr {
    let span = left.span.to(right.span);
    Expr { node: Box::new(Node::Arithmetic(operator, left, right)), span }
}

/// The table and the column of what stands before `at`.
fn table_and_column(expr: &Expr) -> Option<(Spanned<String>, Option<Spanned<String>>)> {
    match &*expr.node {
        Node::Name(name) => Some((Spanned { node: name.clone(), span: expr.span }, None)),
        Node::Word(table, column) => match &*table.node {
            Node::Name(name) => Some((Spanned { node: name.clone(), span: table.span }, Some(column.clone()))),
            _ => None,
        },
        _ => None,
    }
}

/// Keywords inside a form whose parts are told by their order.
fn is_keyword(rule: Rule) -> bool {
    matches!(
        rule,
        Rule::kw_by
            | Rule::kw_for
            | Rule::kw_from
            | Rule::kw_in
            | Rule::kw_of
            | Rule::kw_rank
            | Rule::kw_rounded
            | Rule::kw_to
            | Rule::kw_up
            | Rule::kw_where
    )
}
