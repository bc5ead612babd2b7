//! Going through every expression of a rule, to see or change what it speaks of.

use crate::law::syntax::{Each, Expr, Limit, List, Message, MessagePiece, Node, Options, Rule, Value, purpose_of};

/// Meets an expression and all in it, the inner ones first.
pub(in crate::law) fn expr(e: &mut Expr, meet: &mut dyn FnMut(&mut Expr)) {
    match &mut *e.node {
        Node::Quantity(_) | Node::YesNo(_) | Node::NoLimit | Node::Name(_) | Node::AnyOf(_) => {}
        Node::Word(e, _) | Node::Not(e) | Node::Within(e, _) | Node::IsAnyOf { left: e, .. } => expr(e, meet),
        Node::Call(_, all) | Node::And(all) | Node::Or(all) => all.iter_mut().for_each(|e| expr(e, meet)),
        Node::Lookup { keys, .. } => keys.iter_mut().for_each(|e| expr(e, meet)),
        Node::Extreme { candidates, .. } => candidates.iter_mut().for_each(|e| expr(e, meet)),
        Node::Compare(_, a, b) | Node::Arithmetic(_, a, b) => {
            expr(a, meet);
            expr(b, meet);
        }
        Node::Is { left, right, .. } => {
            expr(left, meet);
            expr(right, meet);
        }
        Node::Quantified { each, body, .. } | Node::Aggregate { each, body, .. } => {
            self::each(each, meet);
            expr(body, meet);
        }
        Node::Count(each) => self::each(each, meet),
        Node::Rank { list, by, .. } => {
            expr(list, meet);
            expr(by, meet);
        }
        Node::If(a, b, c) => [a, b, c].into_iter().for_each(|e| expr(e, meet)),
        Node::ToTable { value, .. } => expr(value, meet),
        Node::Rounded { value, step, from } => {
            expr(value, meet);
            expr(step, meet);
            if let Some(from) = from {
                expr(from, meet);
            }
        }
    }
    meet(e);
}

fn each(each: &mut Each, meet: &mut dyn FnMut(&mut Expr)) {
    expr(&mut each.list, meet);
    if let Some(filter) = &mut each.filter {
        expr(filter, meet);
    }
}

/// Every expression of a value.
pub(in crate::law) fn value(value: &mut Value, meet: &mut dyn FnMut(&mut Expr)) {
    for step in &mut value.steps {
        match &mut step.limit {
            Limit::Plain(e) | Limit::AtLeast(e) | Limit::AtMost(e) => expr(e, meet),
            Limit::Between(a, b) => {
                expr(a, meet);
                expr(b, meet);
            }
            Limit::Asked { .. } => {}
        }
    }
}

/// Every condition of a list.
pub(in crate::law) fn list(list: &mut List, meet: &mut dyn FnMut(&mut Expr)) {
    list.items.iter_mut().filter_map(|item| item.test.as_mut()).for_each(|e| expr(e, meet));
}

fn message(message: &mut Message, meet: &mut dyn FnMut(&mut Expr)) {
    for piece in &mut message.pieces {
        if let MessagePiece::Hole(e) = piece {
            expr(e, meet);
        }
    }
}

/// Every condition of a rule that can decide a verdict: `where`, `needs`, exceptions, items of lists.
pub(in crate::law) fn tests(rule: &mut Rule, meet: &mut dyn FnMut(&mut Expr)) {
    rule.wheres.iter_mut().chain(&mut rule.needs).for_each(|part| expr(&mut part.test, meet));
    rule.excepts.iter_mut().for_each(|except| expr(&mut except.test, meet));
    rule.lists.iter_mut().for_each(|l| list(l, meet));
}

/// Every expression of a rule.
pub(in crate::law) fn rule(rule: &mut Rule, meet: &mut dyn FnMut(&mut Expr)) {
    tests(rule, meet);
    rule.values.iter_mut().for_each(|v| value(v, meet));
    if let Some(within) = &mut rule.subject.within {
        expr(within, meet);
    }
    rule.awaits.iter_mut().chain(&mut rule.points).for_each(|e| expr(e, meet));
    let texts = [Some(&mut rule.otherwise), rule.remedy.as_mut(), rule.caution.as_mut()];
    texts.into_iter().flatten().for_each(|m| message(m, meet));
    rule.asks.iter_mut().for_each(|ask| message(&mut ask.question, meet));
}

/// The names that an expression itself speaks of: values, lists, tables, words, formulas.
pub(in crate::law) fn names(e: &Expr) -> Vec<&str> {
    match &*e.node {
        Node::Name(name) => vec![name],
        // A term for a purpose is also the term by itself, which stands in where it has no meaning of its own.
        Node::Word(_, name) => {
            std::iter::once(name.node.as_str()).chain(purpose_of(&name.node).map(|(term, _)| term)).collect()
        }
        Node::Call(name, _) | Node::Within(_, name) | Node::AnyOf(name) => vec![&name.node],
        Node::Lookup { table, .. } | Node::ToTable { table, .. } => vec![&table.node],
        Node::IsAnyOf { options: Options::List(name), .. } => vec![&name.node],
        _ => Vec::new(),
    }
}
