use super::scope::{LetterType, Scope};
use super::{Compiler, flow, messages as say};
use crate::law::code::{self, *};
use crate::law::syntax::{self, Comparison, Expr, Node, Operator, Options};
use crate::quantity::{Dimension, Rational, Scale};
use crate::text::{Span, Spanned};
use crate::words::{ChoiceId, Kind, Kinds, NameId, Type, Vocabulary, name};

/// An expression with its type.
pub(super) enum Typed {
    Test(Test),
    Number(Number, Scale),
    Choice(Choice, ChoiceId),
    Item(Item, Kinds),
    Items(Items, Kinds),
    Choices(Item, NameId, ChoiceId),
    Name(Item, NameId),
    /// `no limit`, which takes the scale of what stands beside it.
    NoLimit(Span),
}

/// What a bare name may be looked up in where an expression stands.
#[derive(Clone, Copy, Default)]
pub(super) struct Hint {
    pub choice: Option<ChoiceId>,
}

impl Typed {
    pub fn called(&self, vocabulary: &Vocabulary) -> String {
        match self {
            Typed::Test(_) => "a yes/no condition".into(),
            Typed::Number(_, scale) => format!("a {}", scale.name()),
            Typed::Choice(_, id) => {
                format!("a value of the choice `{}`", vocabulary.choice(*id).map_or("", |c| c.name.as_str()))
            }
            Typed::Item(_, kinds) => format!("a {kinds}"),
            Typed::Items(_, kinds) => format!("a list of {kinds}"),
            Typed::Choices(..) => "a list of values".into(),
            Typed::Name(..) => "a proper name".into(),
            Typed::NoLimit(_) => "`no limit`".into(),
        }
    }
}

impl<'a> Compiler<'a> {
    /// A condition; guards on its left hold on its right.
    pub(super) fn test(&mut self, expr: &Expr, scope: &mut Scope<'a>) -> Option<Test> {
        match self.typed(expr, scope, Hint::default())? {
            Typed::Test(test) => Some(test),
            other => self.wrong(expr.span, "a yes/no condition", &other),
        }
    }

    pub(super) fn number(&mut self, expr: &Expr, scope: &mut Scope<'a>) -> Option<(Number, Option<Scale>)> {
        match self.typed(expr, scope, Hint::default())? {
            Typed::Number(number, scale) => Some((number, Some(scale))),
            Typed::NoLimit(span) => Some((Number { node: NumberNode::NoLimit, span }, None)),
            other => self.wrong(expr.span, "a quantity", &other),
        }
    }

    pub(super) fn wrong<T>(&mut self, span: Span, wanted: &str, found: &Typed) -> Option<T> {
        let found = found.called(&self.vocabulary);
        self.problem(say::expected(span, wanted, &found));
        None
    }

    pub(super) fn typed(&mut self, expr: &Expr, scope: &mut Scope<'a>, hint: Hint) -> Option<Typed> {
        let span = expr.span;
        let test = |node| Some(Typed::Test(Test { node, span }));
        match &*expr.node {
            Node::Quantity(q) => Some(Typed::Number(Number { node: NumberNode::Constant(q.value), span }, q.scale)),
            Node::YesNo(value) => test(TestNode::Constant(*value)),
            Node::NoLimit => Some(Typed::NoLimit(span)),
            Node::Name(text) => self.name(&Spanned { node: text.clone(), span }, scope, hint),
            Node::Word(inner, word) => self.word(inner, word, scope),
            Node::Call(called, arguments) => self.call(called, arguments, span, scope),
            Node::Lookup { table, column, keys } => self.lookup(table, column.as_ref(), keys, span, scope),
            Node::Not(inner) => {
                let inner = self.test(inner, scope)?;
                test(TestNode::Not(Box::new(inner)))
            }
            Node::And(all) => {
                let parts = self.in_turn(all, true, scope)?;
                test(TestNode::All(parts.into()))
            }
            Node::Or(all) => {
                let parts = self.in_turn(all, false, scope)?;
                let bounds = syntax::Bounds::default();
                let plain = |test| Alternative { name: String::new(), title: String::new(), bounds, test };
                test(TestNode::Any(parts.into_iter().map(plain).collect()))
            }
            Node::Compare(how, left, right) => self.compare(*how, left, right, span, scope),
            Node::Within(left, limit) => self.within(left, limit, span, scope),
            Node::Is { left, right, is_denied } => {
                let node = self.is(left, right, span, scope)?;
                test(deny(node, *is_denied, span))
            }
            Node::IsAnyOf { left, options, is_denied } => {
                let node = self.is_any_of(left, options, scope)?;
                test(deny(node, *is_denied, span))
            }
            Node::AnyOf(list) => {
                let alternatives = self.alternatives(list, scope)?;
                test(TestNode::Any(alternatives.into()))
            }
            Node::Arithmetic(operator, left, right) => self.arithmetic(*operator, left, right, span, scope),
            Node::Quantified { is_all, each, body } => self.quantified(*is_all, each, body, span, scope),
            Node::Count(each) => self.count(each, span, scope),
            Node::Aggregate { kind, body, each } => self.aggregate(*kind, body, each, span, scope),
            Node::Extreme { is_largest, candidates } => self.extreme(*is_largest, candidates, span, scope),
            Node::Rank { item, list, by } => self.rank(item, list, by, span, scope),
            Node::If(condition, then, other) => self.conditional(condition, then, other, span, scope, hint),
            Node::ToTable { is_up, value, table } => self.to_table(*is_up, value, table, span, scope),
            Node::Rounded { value, step, from } => self.rounded(value, step, from.as_ref(), span, scope),
        }
    }

    /// Conditions side by side, each with what the ones before it leave known.
    fn in_turn(&mut self, all: &[Expr], holds: bool, scope: &mut Scope<'a>) -> Option<Vec<Test>> {
        let mark = scope.mark();
        let mut parts = Vec::with_capacity(all.len());
        let mut is_whole = true;
        for expr in all {
            match self.test(expr, scope) {
                Some(test) => parts.push(test),
                None => is_whole = false,
            }
            scope.guard(flow::present(expr, holds));
        }
        scope.forget(mark);
        is_whole.then_some(parts)
    }

    fn name(&mut self, text: &Spanned<String>, scope: &mut Scope<'a>, hint: Hint) -> Option<Typed> {
        let span = text.span;
        if let Some(letter) = scope.letter(&text.node) {
            return Some(match letter.ty {
                LetterType::Item(kinds) => Typed::Item(Item::Letter(letter.slot), kinds),
                LetterType::Number(scale) => {
                    Typed::Number(Number { node: NumberNode::Letter(letter.slot), span }, scale)
                }
                LetterType::Choice(id) => Typed::Choice(Choice { node: ChoiceNode::Letter(letter.slot), span }, id),
                LetterType::YesNo => Typed::Test(Test { node: TestNode::Letter(letter.slot), span }),
                LetterType::Row(_) => {
                    self.problem(say::expected(span, "a column of this row", "the row itself"));
                    return None;
                }
            });
        }
        if let Some(value) = hint.choice.and_then(|id| self.vocabulary.choice(id)).and_then(|c| c.value(&text.node)) {
            let id = hint.choice?;
            return Some(Typed::Choice(Choice { node: ChoiceNode::Constant(1 << value), span }, id));
        }
        match text.node.as_str() {
            "shop" => return Some(Typed::Item(Item::Only(Kind::Shop), Kinds::of(Kind::Shop))),
            "permit" => return Some(Typed::Item(Item::Only(Kind::Permit), Kinds::of(Kind::Permit))),
            _ => {}
        }
        if let Some(value) = self.value_named(&text.node, scope) {
            return self.value(value, span, scope);
        }
        if let Some(id) = hint.choice {
            let choice = self.vocabulary.choice(id)?;
            let problem = say::not_a_value(text, &choice.name, &choice.values);
            self.problem(problem);
            return None;
        }
        let values = self.pack.values.iter().map(|v| v.name.node.as_str());
        let own = scope.values.iter().map(|v| v.name.node.as_str());
        let known: Vec<&str> = scope.letter_names().chain(own).chain(values).chain(["shop", "permit"]).collect();
        self.problem(say::unknown("letter or value", text, known));
        None
    }

    fn value_named(&mut self, text: &str, scope: &Scope<'a>) -> Option<&'a syntax::Value> {
        let own = scope.values.iter().copied().find(|v| v.name.node == text);
        own.or_else(|| {
            let shared = self.pack.values.iter().find(|v| v.name.node == text)?;
            self.used.values.insert(text.to_string());
            Some(shared)
        })
    }

    /// A value as a plain number: of a limit, the end that it has.
    fn value(&mut self, value: &'a syntax::Value, span: Span, scope: &mut Scope<'a>) -> Option<Typed> {
        let mut scale = None;
        let mut steps = Vec::new();
        for step in &value.steps {
            let (number, its) = match &step.limit {
                syntax::Limit::Plain(e) | syntax::Limit::AtLeast(e) | syntax::Limit::AtMost(e) => {
                    self.number(e, scope)?
                }
                syntax::Limit::Between(low, _) => self.number(low, scope)?,
                syntax::Limit::Asked { scale, question } => {
                    let node = NumberNode::Asked(question.clone());
                    (Number { node, span }, Scale::named(&scale.node))
                }
            };
            scale = self.same_scale(scale, its, step_span(step).unwrap_or(span))?;
            steps.push((self.step_bounds(step, scope), number));
        }
        let scale = scale.unwrap_or(Scale::NUMBER);
        if steps.len() == 1 {
            return steps.pop().map(|(_, number)| Typed::Number(number, scale));
        }
        Some(Typed::Number(Number { node: NumberNode::Steps(steps.into()), span }, scale))
    }

    fn step_bounds(&mut self, step: &syntax::Step, scope: &mut Scope<'a>) -> syntax::Bounds {
        self.bounds(syntax::Bounds { from: step.from, before: None }, scope)
    }

    /// Remembers what some bounds turn on.
    pub(super) fn bounds(&mut self, bounds: syntax::Bounds, scope: &mut Scope<'a>) -> syntax::Bounds {
        for moment in [bounds.from, bounds.before] {
            self.moment(moment);
            match moment {
                Some(syntax::Moment::Edition(_)) => scope.turns_on_edition = true,
                Some(syntax::Moment::Day(_)) => scope.turns_on_day = true,
                None => {}
            }
        }
        bounds
    }

    fn same_scale(&mut self, one: Option<Scale>, other: Option<Scale>, span: Span) -> Option<Option<Scale>> {
        match (one, other) {
            (Some(a), Some(b)) => match joined(a, b) {
                Some(scale) => Some(Some(scale)),
                None => {
                    self.problem(say::scales(span, a, b));
                    None
                }
            },
            (a, b) => Some(a.or(b)),
        }
    }

    fn within(&mut self, left: &Expr, limit: &Spanned<String>, span: Span, scope: &mut Scope<'a>) -> Option<Typed> {
        let (number, scale) = self.number(left, scope)?;
        let Some(value) = self.value_named(&limit.node, scope) else {
            let known: Vec<&str> = scope.values.iter().map(|v| v.name.node.as_str()).collect();
            self.problem(say::unknown("value", limit, known));
            return None;
        };
        let mut steps = Vec::new();
        for step in &value.steps {
            let (low, high) = match &step.limit {
                syntax::Limit::AtLeast(e) => (Some(e), None),
                syntax::Limit::AtMost(e) => (None, Some(e)),
                syntax::Limit::Between(a, b) => (Some(a), Some(b)),
                syntax::Limit::Plain(_) | syntax::Limit::Asked { .. } => {
                    self.problem(say::no_direction(limit));
                    return None;
                }
            };
            let mut end =
                |expr: Option<&'a Expr>, compiler: &mut Self, scope: &mut Scope<'a>| -> Option<Option<Number>> {
                    let Some(expr) = expr else { return Some(None) };
                    let (number, its) = compiler.number(expr, scope)?;
                    compiler.same_scale(scale, its, span)?;
                    Some(Some(number))
                };
            let ends = LimitEnds { low: end(low, self, scope)?, high: end(high, self, scope)? };
            steps.push((self.step_bounds(step, scope), ends));
        }
        let limit = code::Limit { name: value.name.node.clone(), steps: steps.into() };
        let scale = scale.unwrap_or(Scale::NUMBER);
        Some(Typed::Test(Test { node: TestNode::Within(Box::new(number), Box::new(limit), scale), span }))
    }

    fn compare(
        &mut self,
        how: Comparison,
        left: &Expr,
        right: &Expr,
        span: Span,
        scope: &mut Scope<'a>,
    ) -> Option<Typed> {
        let (a, b) = (self.number(left, scope), self.number(right, scope));
        let ((a, a_scale), (b, b_scale)) = (a?, b?);
        let scale = self.same_scale(a_scale, b_scale, span)?.unwrap_or(Scale::NUMBER);
        Some(Typed::Test(Test { node: TestNode::Compare(how, Box::new(a), Box::new(b), scale), span }))
    }

    fn is(&mut self, left: &Expr, right: &Expr, span: Span, scope: &mut Scope<'a>) -> Option<TestNode> {
        match self.typed(left, scope, Hint::default())? {
            Typed::Choice(choice, id) => match self.typed(right, scope, Hint { choice: Some(id) })? {
                Typed::Choice(Choice { node: ChoiceNode::Constant(bits), .. }, other) if other == id => {
                    Some(TestNode::IsOneOf(Box::new(choice), bits, id))
                }
                Typed::Choice(other, other_id) if other_id == id => {
                    Some(TestNode::SameChoice(Box::new(choice), Box::new(other), id))
                }
                other => self.wrong(right.span, "a value of the same choice", &other),
            },
            Typed::Item(item, _) => match self.typed(right, scope, Hint::default())? {
                Typed::Item(other, _) => Some(TestNode::SameItem(Box::new(item), Box::new(other))),
                other => self.wrong(right.span, "an item", &other),
            },
            Typed::Choices(item, word, id) => match self.typed(right, scope, Hint { choice: Some(id) })? {
                Typed::Choice(Choice { node: ChoiceNode::Constant(bits), .. }, _) => {
                    Some(TestNode::Holds(Box::new(item), word, bits, id))
                }
                other => self.wrong(right.span, "a value of the same choice", &other),
            },
            Typed::Name(item, word) => match self.typed(right, scope, Hint::default())? {
                Typed::Name(other, its) => Some(TestNode::SameName(Box::new(item), word, Box::new(other), its)),
                other => self.wrong(right.span, "a proper name", &other),
            },
            other => {
                self.wrong::<()>(span, "a choice or an item; quantities compare with =", &other);
                None
            }
        }
    }

    fn is_any_of(&mut self, left: &Expr, options: &Options, scope: &mut Scope<'a>) -> Option<TestNode> {
        let (choice, id) = match self.typed(left, scope, Hint::default())? {
            Typed::Choice(choice, id) => (choice, id),
            other => return self.wrong(left.span, "a choice", &other),
        };
        match options {
            Options::Values(values) => {
                let bits = self.bits(values, id)?;
                Some(TestNode::IsOneOf(Box::new(choice), bits, id))
            }
            Options::List(list) => {
                let found = self.list_named(list, scope)?;
                let Some(of) = found.choice.as_ref().and_then(|c| self.vocabulary.choice_named(&c.node)) else {
                    self.problem(say::expected(list.span, "a list of values", "a list of conditions"));
                    return None;
                };
                if of != id {
                    self.problem(say::expected(list.span, "a list of the same choice", "a list of another"));
                    return None;
                }
                let mut values = Vec::new();
                for item in &found.items {
                    let bits = self.bits(std::slice::from_ref(&item.name), id)?;
                    values.push((bits, self.bounds(item.bounds, scope)));
                }
                if values.iter().all(|(_, b)| *b == syntax::Bounds::default()) {
                    let bits = values.iter().fold(0, |all, (b, _)| all | b);
                    return Some(TestNode::IsOneOf(Box::new(choice), bits, id));
                }
                Some(TestNode::IsInList(Box::new(choice), values.into(), id))
            }
        }
    }

    pub(super) fn bits(&mut self, values: &[Spanned<String>], id: ChoiceId) -> Option<u64> {
        let vocabulary = self.vocabulary.clone();
        let choice = vocabulary.choice(id)?;
        let mut bits = 0;
        let mut is_whole = true;
        for value in values {
            match choice.bits(&value.node) {
                Some(b) => bits |= b,
                None => {
                    self.problem(say::not_a_value(value, &choice.name, &choice.values));
                    is_whole = false;
                }
            }
        }
        is_whole.then_some(bits)
    }

    fn list_named(&mut self, name: &Spanned<String>, scope: &Scope<'a>) -> Option<&'a syntax::List> {
        if let Some(own) = scope.lists.iter().copied().find(|l| l.name.node == name.node) {
            return Some(own);
        }
        if let Some(shared) = self.pack.lists.iter().find(|l| l.name.node == name.node) {
            self.used.lists.insert(name.node.clone());
            return Some(shared);
        }
        let known: Vec<&str> =
            scope.lists.iter().copied().chain(&self.pack.lists).map(|l| l.name.node.as_str()).collect();
        self.problem(say::unknown("list", name, known));
        None
    }

    fn alternatives(&mut self, list: &Spanned<String>, scope: &mut Scope<'a>) -> Option<Vec<Alternative>> {
        let found = self.list_named(list, scope)?;
        let mut all = Vec::new();
        for item in &found.items {
            let Some(test) = &item.test else {
                self.problem(say::expected(list.span, "a list of conditions", "a list of values"));
                return None;
            };
            let bounds = self.bounds(item.bounds, scope);
            let test = self.test(test, scope)?;
            let title = item.title.clone().unwrap_or_else(|| item.name.node.clone());
            all.push(Alternative { name: item.name.node.clone(), title, bounds, test });
        }
        Some(all)
    }

    fn arithmetic(
        &mut self,
        operator: Operator,
        left: &Expr,
        right: &Expr,
        span: Span,
        scope: &mut Scope<'a>,
    ) -> Option<Typed> {
        let (a, b) = (self.number(left, scope), self.number(right, scope));
        let ((a, a_scale), (b, b_scale)) = (a?, b?);
        let a_scale = a_scale.or(b_scale).unwrap_or(Scale::NUMBER);
        let b_scale = b_scale.unwrap_or(a_scale);
        let degrees = Scale::Ratio(Dimension::DEGREES);
        let scale = match (operator, a_scale, b_scale) {
            (Operator::Minus, Scale::Temperature, Scale::Temperature) => Some(degrees),
            (Operator::Plus | Operator::Minus, Scale::Temperature, d) if d == degrees => Some(Scale::Temperature),
            (Operator::Plus | Operator::Minus, Scale::Ratio(x), Scale::Ratio(y)) if x == y => Some(a_scale),
            (Operator::Plus | Operator::Minus, ..) => {
                self.problem(say::adds(span, a_scale, b_scale));
                return None;
            }
            (Operator::Times, Scale::Ratio(x), Scale::Ratio(y)) => Some(Scale::Ratio(x.times(y))),
            (Operator::Over, Scale::Ratio(x), Scale::Ratio(y)) => Some(Scale::Ratio(x.over(y))),
            _ => None,
        };
        let Some(scale) = scale else {
            self.problem(say::no_product(span));
            return None;
        };
        Some(Typed::Number(Number { node: NumberNode::Arithmetic(operator, Box::new(a), Box::new(b)), span }, scale))
    }

    fn extreme(&mut self, is_largest: bool, all: &[Expr], span: Span, scope: &mut Scope<'a>) -> Option<Typed> {
        let mut scale = None;
        let mut candidates = Vec::new();
        for expr in all {
            let (number, its) = self.number(expr, scope)?;
            scale = self.same_scale(scale, its, expr.span)?;
            candidates.push(number);
        }
        let node = NumberNode::Extreme { is_largest, candidates: candidates.into() };
        Some(Typed::Number(Number { node, span }, scale.unwrap_or(Scale::NUMBER)))
    }

    #[allow(clippy::too_many_arguments, reason = "the three parts of an `if` and where they stand")]
    fn conditional(
        &mut self,
        condition: &Expr,
        then: &Expr,
        other: &Expr,
        span: Span,
        scope: &mut Scope<'a>,
        hint: Hint,
    ) -> Option<Typed> {
        let test = self.test(condition, scope);
        let mark = scope.mark();
        scope.guard(flow::present(condition, true));
        let a = self.typed(then, scope, hint);
        scope.forget(mark);
        scope.guard(flow::present(condition, false));
        let b = self.typed(other, scope, hint);
        scope.forget(mark);
        let (test, a, b) = (test?, a?, b?);
        Some(match (a, b) {
            (Typed::Test(a), Typed::Test(b)) => Typed::Test(Test { node: TestNode::If(Box::new((test, a, b))), span }),
            (Typed::Choice(a, id), Typed::Choice(b, other)) if id == other => {
                Typed::Choice(Choice { node: ChoiceNode::If(Box::new((test, a, b))), span }, id)
            }
            (a, b) => {
                let (a, a_scale) = self.as_number(a, then.span)?;
                let (b, b_scale) = self.as_number(b, other.span)?;
                let scale = self.same_scale(a_scale, b_scale, span)?.unwrap_or(Scale::NUMBER);
                Typed::Number(Number { node: NumberNode::If(Box::new((test, a, b))), span }, scale)
            }
        })
    }

    fn as_number(&mut self, typed: Typed, span: Span) -> Option<(Number, Option<Scale>)> {
        match typed {
            Typed::Number(number, scale) => Some((number, Some(scale))),
            Typed::NoLimit(span) => Some((Number { node: NumberNode::NoLimit, span }, None)),
            other => self.wrong(span, "a quantity", &other),
        }
    }

    fn to_table(
        &mut self,
        is_up: bool,
        value: &Expr,
        table: &Spanned<String>,
        span: Span,
        scope: &mut Scope<'a>,
    ) -> Option<Typed> {
        let (number, scale) = self.number(value, scope)?;
        let id = self.table_named(table, scope)?;
        let found = &self.code.tables[id.0 as usize];
        let first = found.keys.first().map(|(_, ty, _)| *ty).or(found.columns.first().map(|(_, ty)| *ty));
        let Some(Type::Quantity(steps)) = first else {
            self.problem(say::expected(table.span, "a table of quantities", "another"));
            return None;
        };
        let scale = self.same_scale(scale, Some(steps), span)?.unwrap_or(steps);
        Some(Typed::Number(
            Number { node: NumberNode::ToTable { is_up, value: Box::new(number), table: id }, span },
            scale,
        ))
    }

    fn rounded(
        &mut self,
        value: &Expr,
        step: &Expr,
        from: Option<&Expr>,
        span: Span,
        scope: &mut Scope<'a>,
    ) -> Option<Typed> {
        let (number, scale) = self.number(value, scope)?;
        let scale = scale.unwrap_or(Scale::NUMBER);
        let (step, step_scale) = self.constant(step, scope)?;
        self.same_scale(Some(scale), Some(step_scale), span)?;
        let from = match from {
            Some(expr) => Some(self.constant(expr, scope)?.0),
            None => None,
        };
        Some(Typed::Number(Number { node: NumberNode::Rounded { value: Box::new(number), step, from }, span }, scale))
    }

    fn constant(&mut self, expr: &Expr, scope: &mut Scope<'a>) -> Option<(Rational, Scale)> {
        match self.typed(expr, scope, Hint::default())? {
            Typed::Number(Number { node: NumberNode::Constant(value), .. }, scale) => Some((value, scale)),
            _ => {
                self.problem(say::no_constant(expr.span));
                None
            }
        }
    }

    /// `x.word`.
    fn word(&mut self, inner: &Expr, word: &Spanned<String>, scope: &mut Scope<'a>) -> Option<Typed> {
        let span = inner.span.to(word.span);
        if let Node::Name(letter) = &*inner.node
            && let Some(found) = scope.letter(letter)
            && let LetterType::Row(table) = found.ty
        {
            return self.cell(table, found.slot, word, span, scope);
        }
        let (item, kinds) = match self.typed(inner, scope, Hint::default())? {
            Typed::Item(item, kinds) => (item, kinds),
            other => return self.wrong(inner.span, "an item", &other),
        };
        let vocabulary = self.vocabulary.clone();
        if let Some(part) = word.node.strip_prefix("has-").and_then(|p| vocabulary.name(p)) {
            let is_part = kinds.iter().all(|k| vocabulary.word(k, part).is_some_and(|w| w.is_part));
            if is_part {
                return Some(Typed::Test(Test { node: TestNode::Has(Box::new(item), part), span }));
            }
        }
        let id = vocabulary.name(&word.node);
        let found: Option<Vec<_>> = id.and_then(|id| kinds.iter().map(|k| vocabulary.word(k, id)).collect());
        let (Some(id), Some(found)) = (id, found) else {
            self.problem(say::unknown_word(word, kinds, &vocabulary));
            return None;
        };
        let first = found.first()?;
        if found.iter().any(|w| w.ty != first.ty) {
            self.problem(say::differs_by_kind(word, kinds));
            return None;
        }
        for kind in kinds.iter() {
            if let Some(define) = self.code.define_of(kind, id) {
                scope.calls.insert(define.0);
            }
        }
        if found.iter().any(|w| w.is_part)
            && let Some(path) = flow::path(inner)
            && !scope.is_guarded(&format!("{path}.{}", word.node))
        {
            self.problem(say::unguarded(span, &format!("{path}.{}", word.node), &format!("{path}.has-{}", word.node)));
            return None;
        }
        if kinds == Kinds::of(Kind::Permit) && id == name::EDITION {
            scope.turns_on_edition = true;
            return Some(Typed::Number(Number { node: NumberNode::Edition, span }, Scale::Edition));
        }
        if kinds == Kinds::of(Kind::Permit) && id == name::DATE {
            scope.turns_on_day = true;
            return Some(Typed::Number(Number { node: NumberNode::Day, span }, Scale::Date));
        }
        Some(match first.ty {
            Type::YesNo => Typed::Test(Test { node: TestNode::Word(Box::new(item), id), span }),
            Type::Quantity(scale) => Typed::Number(Number { node: NumberNode::Word(Box::new(item), id), span }, scale),
            Type::Choice(choice) => Typed::Choice(Choice { node: ChoiceNode::Word(Box::new(item), id), span }, choice),
            Type::Item(kinds) => Typed::Item(Item::Word(Box::new(item), id), kinds),
            Type::List(kinds) => Typed::Items(Items::Word(item, id), kinds),
            Type::Choices(choice) => Typed::Choices(item, id, choice),
            Type::Name => Typed::Name(item, id),
        })
    }

    fn cell(
        &mut self,
        table: TableId,
        slot: Slot,
        word: &Spanned<String>,
        span: Span,
        scope: &mut Scope<'a>,
    ) -> Option<Typed> {
        let found = &self.code.tables[table.0 as usize];
        let names = found.keys.iter().map(|(n, ty, _)| (n, *ty)).chain(found.columns.iter().map(|(n, ty)| (n, *ty)));
        let place = names.clone().position(|(n, _)| *n == word.node);
        let Some((place, (_, ty))) = place.zip(place.and_then(|p| names.clone().nth(p))) else {
            let known: Vec<String> = names.map(|(n, _)| n.clone()).collect();
            self.problem(say::unknown("column", word, known.iter().map(String::as_str)));
            return None;
        };
        if found.rows.iter().any(|r| r.bounds != syntax::Bounds::default()) {
            scope.turns_on_edition = true;
        }
        let place = place as u8;
        match ty {
            Type::YesNo => Some(Typed::Test(Test { node: TestNode::Cell(slot, place), span })),
            Type::Quantity(scale) => Some(Typed::Number(Number { node: NumberNode::Cell(slot, place), span }, scale)),
            Type::Choice(id) => Some(Typed::Choice(Choice { node: ChoiceNode::Cell(slot, place), span }, id)),
            _ => {
                self.problem(say::expected(span, "a quantity, choice or yes/no column", "another"));
                None
            }
        }
    }
}

/// One scale for both sides, where they go together. A trade size is written like a length.
pub(super) fn joined(a: Scale, b: Scale) -> Option<Scale> {
    let length = Scale::Ratio(Dimension::LENGTH);
    match (a, b) {
        _ if a == b => Some(a),
        (Scale::TradeSize, l) | (l, Scale::TradeSize) if l == length => Some(Scale::TradeSize),
        _ => None,
    }
}

fn step_span(step: &syntax::Step) -> Option<Span> {
    match &step.limit {
        syntax::Limit::Plain(e)
        | syntax::Limit::AtLeast(e)
        | syntax::Limit::AtMost(e)
        | syntax::Limit::Between(e, _) => Some(e.span),
        syntax::Limit::Asked { .. } => None,
    }
}

fn deny(node: TestNode, is_denied: bool, span: Span) -> TestNode {
    if is_denied { TestNode::Not(Box::new(Test { node, span })) } else { node }
}
