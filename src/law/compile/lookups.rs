//! Look-ups in tables, and calls of defines with arguments.

use super::frame::Frame;
use super::types::Typed;
use super::{Compiler, messages};
use crate::law::code::{Any, Call, Choice, ChoiceNode, Key, Lookup, Number, NumberNode, TableId, Test, TestNode};
use crate::law::syntax::Expr;
use crate::text::{Span, Spanned, nearest};
use crate::words::{Kinds, Type};

impl<'a> Compiler<'a> {
    /// `TABLE at (…)`, `TABLE.column at (…)`.
    pub(super) fn lookup(
        &mut self,
        frame: &mut Frame<'a>,
        table: &'a Spanned<String>,
        column: Option<&'a Spanned<String>>,
        keys: &'a [Expr],
        span: Span,
    ) -> Option<Typed> {
        let id = self.find_table(frame, table)?;
        let found = self.tables.get(id.0 as usize)?;
        let types: Vec<(String, Type)> = found.keys.iter().map(|(name, ty, _)| (name.clone(), *ty)).collect();
        let columns = &found.columns;
        let place = match column {
            Some(column) => columns.iter().position(|(name, _)| *name == column.node),
            None if columns.len() == 1 => Some(0),
            None => None,
        };
        let Some((place, (_, ty))) = place.and_then(|place| Some((place, columns.get(place)?))) else {
            let names: Vec<&str> = columns.iter().map(|(name, _)| name.as_str()).collect();
            let problem = match column {
                Some(column) => messages::unknown_column(column.span, &column.node, &table.node, &names),
                None => messages::which_column(span, &table.node, &names),
            };
            return self.fail(problem);
        };
        let (ty, place) = (*ty, place as u8);
        if keys.len() != types.len() {
            let names: Vec<&str> = types.iter().map(|(name, _)| name.as_str()).collect();
            return self.fail(messages::how_many_keys(span, &table.node, &names, keys.len()));
        }
        let mut compiled = Vec::with_capacity(keys.len());
        for (key, (_, ty)) in keys.iter().zip(types) {
            compiled.extend(self.key(frame, key, ty));
        }
        if compiled.len() < keys.len() {
            return None;
        }
        let lookup = Box::new(Lookup { table: id, column: place, keys: compiled.into() });
        match ty {
            Type::YesNo => Some(Typed::Test(Test { node: TestNode::Lookup(lookup), span })),
            Type::Quantity(scale) => Some(Typed::Number(Number { node: NumberNode::Lookup(lookup), span }, scale)),
            Type::Choice(id) => Some(Typed::Choice(Choice { node: ChoiceNode::Lookup(lookup), span }, id)),
            _ => self.fail(messages::cell_of_names(span)),
        }
    }

    fn key(&mut self, frame: &mut Frame<'a>, expr: &'a Expr, ty: Type) -> Option<Key> {
        match (self.typed_either(frame, expr, Some(ty))?, ty) {
            (Typed::Name(item, name), Type::Name) => Some(Key::Name(item, name)),
            (typed, ty) => match self.fitted(typed, ty, expr.span)? {
                Any::Number(number, _) => Some(Key::Number(number)),
                Any::Choice(choice, _) => Some(Key::Choice(choice)),
                Any::Test(test) => Some(Key::Test(test)),
                _ => None,
            },
        }
    }

    /// The table of a name that has to be one.
    pub(super) fn find_table(&mut self, frame: &mut Frame<'a>, table: &Spanned<String>) -> Option<TableId> {
        if self.table_names.contains_key(table.node.as_str()) {
            return self.table_of(frame, &table.node);
        }
        if self.broken.contains(table.node.as_str()) {
            return None;
        }
        let near = nearest(&table.node, self.table_names.keys().copied()).map(str::to_string);
        self.fail(messages::unknown_table(table.span, &table.node, near))
    }

    /// The table of a name, with what turns on it; none where the table has a problem of its own.
    pub(super) fn table_of(&mut self, frame: &mut Frame<'a>, name: &str) -> Option<TableId> {
        let entry = *self.table_names.get(name)?;
        frame.turns = frame.turns.and(entry.turns);
        self.used.tables.insert(entry.place);
        entry.id
    }

    /// `NAME of (a, b)`.
    pub(super) fn call(
        &mut self,
        frame: &mut Frame<'a>,
        name: &'a Spanned<String>,
        arguments: &'a [Expr],
        span: Span,
    ) -> Option<Typed> {
        let Some(place) = self.calls.get(name.node.as_str()).copied() else {
            return self.call_of_word(frame, name, arguments, span);
        };
        let signature = self.signatures.get(place as usize)?.clone()?;
        if arguments.len() != signature.parameters.len() {
            let types: Vec<String> = signature.parameters.iter().map(|ty| self.described_type(*ty)).collect();
            return self.fail(messages::how_many_arguments(span, &name.node, &types, arguments.len()));
        }
        let mut compiled = Vec::with_capacity(arguments.len());
        for (argument, ty) in arguments.iter().zip(signature.parameters) {
            let typed = self.typed_either(frame, argument, Some(ty));
            compiled.extend(typed.and_then(|typed| self.fitted(typed, ty, argument.span)));
        }
        let define = self.depend_on(frame, place, span)?;
        if compiled.len() < arguments.len() {
            return None;
        }
        let call = Box::new(Call { define, arguments: compiled.into() });
        match signature.result {
            Type::YesNo => Some(Typed::Test(Test { node: TestNode::Call(call), span })),
            Type::Quantity(scale) => Some(Typed::Number(Number { node: NumberNode::Call(call), span }, scale)),
            Type::Choice(id) => Some(Typed::Choice(Choice { node: ChoiceNode::Call(call), span }, id)),
            _ => self.fail(messages::call_of_item(span, &name.node)),
        }
    }

    /// `NAME of (x)` of a define with one item is its word.
    fn call_of_word(
        &mut self,
        frame: &mut Frame<'a>,
        name: &'a Spanned<String>,
        arguments: &'a [Expr],
        span: Span,
    ) -> Option<Typed> {
        if self.broken.contains(name.node.as_str()) {
            return None;
        }
        if let [argument] = arguments
            && self.vocabulary.name(&name.node).is_some()
        {
            return match self.typed_either(frame, argument, None)? {
                Typed::Item(item, kinds) => self.word_of(frame, item, kinds, name, span),
                other => {
                    let found = self.described(&other);
                    self.fail(messages::word_of_no_item(span, &found, &name.node))
                }
            };
        }
        let is_word = self.vocabulary.name(&name.node).is_some_and(|id| {
            self.vocabulary.words().iter().any(|word| word.name == id && word.kinds != Kinds::default())
        });
        let near = nearest(&name.node, self.calls.keys().copied()).map(str::to_string);
        self.fail(messages::unknown_call(name.span, &name.node, is_word, near))
    }
}
