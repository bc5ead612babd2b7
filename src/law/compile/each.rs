use super::expression::{Hint, Typed};
use super::scope::{LetterType, Scope};
use super::{Compiler, flow, messages as say};
use crate::law::code::*;
use crate::law::syntax::{self, Aggregate, Expr, Node};
use crate::quantity::Scale;
use crate::text::{Span, Spanned};
use crate::words::{Kinds, Type};

/// A letter gone out, with what it goes through; the letter is still in scope.
struct Going {
    slot: Slot,
    over: Over,
    filter: Option<Test>,
    /// Guards before it, to go back to.
    mark: usize,
}

impl<'a> Compiler<'a> {
    fn go(&mut self, each: &syntax::Each, scope: &mut Scope<'a>) -> Option<Going> {
        let mark = scope.mark();
        let (over, ty) = match self.table_letter(&each.list, scope) {
            Some(table) => (Over::Rows(table), Some(LetterType::Row(table))),
            None => match self.typed(&each.list, scope, Hint::default())? {
                Typed::Items(items, kinds) => (Over::Items(items), Some(LetterType::Item(kinds))),
                Typed::Choices(item, word, _) => (Over::Choices(item, word), None),
                other => return self.wrong(each.list.span, "a list", &other),
            },
        };
        let letter = each.variable.as_ref().map_or("", |v| v.node.as_str());
        let ty = match (ty, &each.variable) {
            (Some(ty), _) => ty,
            (None, None) => LetterType::YesNo,
            (None, Some(letter)) => {
                self.problem(say::expected(letter.span, "a list of items", "a list of values, which is only counted"));
                return None;
            }
        };
        let slot = scope.push(letter, ty);
        let filter = match &each.filter {
            Some(filter) => match self.test(filter, scope) {
                Some(test) => {
                    scope.guard(flow::present(filter, true));
                    Some(test)
                }
                None => {
                    scope.pop();
                    scope.forget(mark);
                    return None;
                }
            },
            None => None,
        };
        Some(Going { slot, over, filter, mark })
    }

    fn come_back(&mut self, going: Going, scope: &mut Scope<'a>) -> Each {
        scope.pop();
        scope.forget(going.mark);
        Each { slot: going.slot, over: going.over, filter: going.filter }
    }

    /// The table that a list names, where it is no letter and no word.
    fn table_letter(&mut self, list: &Expr, scope: &mut Scope<'a>) -> Option<TableId> {
        let Node::Name(text) = &*list.node else { return None };
        let number = *self.table_numbers.get(text.as_str())?;
        let table = self.code.tables.get(number as usize)?;
        if table.rows.iter().any(|r| r.bounds != syntax::Bounds::default()) {
            scope.turns_on_edition = true;
        }
        Some(TableId(number))
    }

    pub(super) fn quantified(
        &mut self,
        is_all: bool,
        each: &syntax::Each,
        body: &Expr,
        span: Span,
        scope: &mut Scope<'a>,
    ) -> Option<Typed> {
        let going = self.go(each, scope)?;
        let body = self.test(body, scope);
        let each = Box::new(self.come_back(going, scope));
        Some(Typed::Test(Test { node: TestNode::Quantified { is_all, each, body: Box::new(body?) }, span }))
    }

    pub(super) fn count(&mut self, each: &syntax::Each, span: Span, scope: &mut Scope<'a>) -> Option<Typed> {
        let going = self.go(each, scope)?;
        let each = Box::new(self.come_back(going, scope));
        Some(Typed::Number(Number { node: NumberNode::Count(each), span }, Scale::NUMBER))
    }

    pub(super) fn aggregate(
        &mut self,
        kind: Aggregate,
        body: &Expr,
        each: &syntax::Each,
        span: Span,
        scope: &mut Scope<'a>,
    ) -> Option<Typed> {
        let going = self.go(each, scope)?;
        let body = self.number(body, scope);
        let each = Box::new(self.come_back(going, scope));
        let (body, scale) = body?;
        let node = NumberNode::Aggregate { kind, each, body: Box::new(body) };
        Some(Typed::Number(Number { node, span }, scale.unwrap_or(Scale::NUMBER)))
    }

    pub(super) fn rank(
        &mut self,
        item: &Spanned<String>,
        list: &Expr,
        by: &Expr,
        span: Span,
        scope: &mut Scope<'a>,
    ) -> Option<Typed> {
        let Some(letter) = scope.letter(&item.node) else {
            let known: Vec<&str> = scope.letter_names().collect();
            self.problem(say::unknown("letter", item, known));
            return None;
        };
        let (items, kinds): (Items, Kinds) = match self.typed(list, scope, Hint::default())? {
            Typed::Items(items, kinds) => (items, kinds),
            other => return self.wrong(list.span, "a list of items", &other),
        };
        let member = scope.push(&item.node, LetterType::Item(kinds));
        let by = self.number(by, scope);
        scope.pop();
        let node = NumberNode::Rank { item: letter.slot, list: Box::new(items), by: Box::new(by?.0), member };
        Some(Typed::Number(Number { node, span }, Scale::NUMBER))
    }

    pub(super) fn table_named(&mut self, table: &Spanned<String>, scope: &mut Scope<'a>) -> Option<TableId> {
        let Some(number) = self.table_numbers.get(table.node.as_str()).copied() else {
            let known: Vec<&str> = self.table_numbers.keys().copied().collect();
            self.problem(say::unknown("table", table, known));
            return None;
        };
        if self.code.tables[number as usize].rows.iter().any(|r| r.bounds != syntax::Bounds::default()) {
            scope.turns_on_edition = true;
        }
        Some(TableId(number))
    }

    pub(super) fn lookup(
        &mut self,
        table: &Spanned<String>,
        column: Option<&Spanned<String>>,
        keys: &[Expr],
        span: Span,
        scope: &mut Scope<'a>,
    ) -> Option<Typed> {
        let id = self.table_named(table, scope)?;
        let found = &self.code.tables[id.0 as usize];
        let names: Vec<String> = found.columns.iter().map(|(n, _)| n.clone()).collect();
        let types: Vec<Type> = found.keys.iter().map(|(_, ty, _)| *ty).collect();
        let columns: Vec<Type> = found.columns.iter().map(|(_, ty)| *ty).collect();
        let place = match column {
            Some(column) => match names.iter().position(|n| *n == column.node) {
                Some(place) => place,
                None => {
                    self.problem(say::unknown("column", column, names.iter().map(String::as_str)));
                    return None;
                }
            },
            None if names.len() == 1 => 0,
            None => {
                self.problem(say::column_missing(table, &names));
                return None;
            }
        };
        if keys.len() != types.len() {
            self.problem(say::arity(table, types.len(), keys.len()));
            return None;
        }
        let mut made = Vec::new();
        for (expr, ty) in keys.iter().zip(&types) {
            made.push(self.key(expr, *ty, scope)?);
        }
        let lookup = Box::new(Lookup { table: id, column: place as u8, keys: made.into() });
        match *columns.get(place)? {
            Type::YesNo => Some(Typed::Test(Test { node: TestNode::Lookup(lookup), span })),
            Type::Quantity(scale) => Some(Typed::Number(Number { node: NumberNode::Lookup(lookup), span }, scale)),
            Type::Choice(choice) => Some(Typed::Choice(Choice { node: ChoiceNode::Lookup(lookup), span }, choice)),
            _ => {
                self.problem(say::expected(span, "a quantity, choice or yes/no column", "another"));
                None
            }
        }
    }

    fn key(&mut self, expr: &Expr, ty: Type, scope: &mut Scope<'a>) -> Option<Key> {
        let choice = if let Type::Choice(id) = ty { Some(id) } else { None };
        match (self.typed(expr, scope, Hint { choice })?, ty) {
            (Typed::Number(number, scale), Type::Quantity(wanted)) => match super::expression::joined(scale, wanted) {
                Some(_) => Some(Key::Number(number)),
                None => {
                    self.problem(say::scales(expr.span, scale, wanted));
                    None
                }
            },
            (Typed::NoLimit(span), Type::Quantity(_)) => Some(Key::Number(Number { node: NumberNode::NoLimit, span })),
            (Typed::Choice(choice, id), Type::Choice(wanted)) if id == wanted => Some(Key::Choice(choice)),
            (Typed::Test(test), Type::YesNo) => Some(Key::Test(test)),
            (Typed::Name(item, word), Type::Name) => Some(Key::Name(item, word)),
            (other, _) => {
                let wanted = format!("a key of type {}", self.vocabulary.type_text(ty));
                self.wrong(expr.span, &wanted, &other)
            }
        }
    }

    /// `NAME of (a, b)`.
    pub(super) fn call(
        &mut self,
        called: &Spanned<String>,
        arguments: &[Expr],
        span: Span,
        scope: &mut Scope<'a>,
    ) -> Option<Typed> {
        let Some(numbers) = self.define_numbers.get(called.node.as_str()).cloned() else {
            let known: Vec<&str> = self.define_numbers.keys().copied().collect();
            self.problem(say::unknown("define", called, known));
            return None;
        };
        let parameters = |c: &Self, id: DefineId| c.code.defines[id.0 as usize].parameters.clone();
        let fitting: Vec<DefineId> =
            numbers.into_iter().filter(|id| parameters(self, *id).len() == arguments.len()).collect();
        let Some(first) = fitting.first() else {
            self.problem(say::no_overload(called));
            return None;
        };
        let hints = parameters(self, *first);
        let mut made = Vec::new();
        for (expr, ty) in arguments.iter().zip(&hints) {
            let choice = if let Type::Choice(id) = ty { Some(*id) } else { None };
            made.push(self.typed(expr, scope, Hint { choice })?);
        }
        let fits = |types: &[Type]| types.iter().zip(&made).all(|(ty, argument)| argument_fits(*ty, argument));
        let Some(define) = fitting.into_iter().find(|id| fits(&parameters(self, *id))) else {
            self.problem(say::no_overload(called));
            return None;
        };
        scope.calls.insert(define.0);
        let arguments = made.into_iter().filter_map(as_any).collect();
        let result = self.code.defines[define.0 as usize].result;
        let call = Box::new(Call { define, arguments });
        match result {
            Type::YesNo => Some(Typed::Test(Test { node: TestNode::Call(call), span })),
            Type::Quantity(scale) => Some(Typed::Number(Number { node: NumberNode::Call(call), span }, scale)),
            Type::Choice(id) => Some(Typed::Choice(Choice { node: ChoiceNode::Call(call), span }, id)),
            _ => {
                self.problem(say::no_overload(called));
                None
            }
        }
    }
}

fn argument_fits(ty: Type, argument: &Typed) -> bool {
    match (ty, argument) {
        (Type::Quantity(wanted), Typed::Number(_, scale)) => super::expression::joined(wanted, *scale).is_some(),
        (Type::Quantity(_), Typed::NoLimit(_)) | (Type::YesNo, Typed::Test(_)) => true,
        (Type::Choice(wanted), Typed::Choice(_, id)) => wanted == *id,
        (Type::Item(wanted), Typed::Item(_, kinds)) => wanted.covers(*kinds),
        _ => false,
    }
}

/// An expression as an argument or hole.
pub(super) fn as_any(typed: Typed) -> Option<Any> {
    Some(match typed {
        Typed::Test(test) => Any::Test(test),
        Typed::Number(number, scale) => Any::Number(number, scale),
        Typed::NoLimit(span) => Any::Number(Number { node: NumberNode::NoLimit, span }, Scale::NUMBER),
        Typed::Choice(choice, id) => Any::Choice(choice, id),
        Typed::Item(item, _) => Any::Item(item),
        Typed::Items(items, _) => Any::Items(items),
        Typed::Name(item, word) => Any::Name(item, word),
        Typed::Choices(..) => return None,
    })
}
