//! The places in compiled rules and formulas where one small slip of an author would change a verdict.

use crate::law::code::{
    Alternative, Any, Body, Call, Choice, ChoiceNode, Define, DefineId, Each, Except, Item, Items, Key, Limit, Lookup,
    Number, NumberNode, Over, Part, Rule, Test, TestNode,
};
use crate::law::syntax::{Comparison, Operator};
use crate::quantity::{Rational, Scale};
use crate::text::Span;
use crate::words::NameId;

/// One place that can be spoiled, in a fixed order for one text.
pub(super) enum Spot<'a> {
    /// A comparison.
    Comparison(&'a mut Comparison),
    /// A figure written in the rule.
    Figure(&'a mut Rational, Option<Scale>),
    /// A condition that can be left out; the answer that stands for its absence.
    Condition(&'a mut Test, bool, String),
    /// A word that may be given by a formula.
    Word(NameId),
    /// A formula that is called.
    Formula(DefineId),
}

/// Calls `see` for each spot with its place.
pub(super) struct Walk<F> {
    /// What is done with each.
    pub see: F,
}

impl<F: FnMut(Spot<'_>, Span)> Walk<F> {
    /// Every spot of a rule. What it says to readers is left out: it judges nothing.
    pub fn rule(&mut self, rule: &mut Rule) {
        if let Some(Items::Word(item, name)) = &mut rule.within {
            self.word(item, *name, rule.span);
        }
        for part in &mut rule.wheres {
            self.part(part, "condition");
        }
        let is_only_need = rule.needs.len() == 1;
        for part in &mut rule.needs {
            match is_only_need {
                // A rule without its only demand is not the slip of an author but no rule.
                true => self.test(&mut part.test),
                false => self.part(part, "demand"),
            }
        }
        for Except { name, test, .. } in &mut rule.excepts {
            self.condition(test, false, || format!("exception `{name}`"));
        }
    }

    /// Every spot of a formula.
    pub fn define(&mut self, define: &mut Define) {
        let scale = match define.result {
            crate::words::Type::Quantity(scale) => scale,
            _ => Scale::NUMBER,
        };
        match &mut define.body {
            Body::Test(test) => self.test(test),
            Body::Number(number) => self.number(number, Some(scale)),
            Body::Choice(choice) => self.choice(choice),
            Body::Item(item) => self.item(item, define.span),
        }
    }

    fn condition(&mut self, test: &mut Test, absent: bool, title: impl FnOnce() -> String) {
        let span = test.span;
        (self.see)(Spot::Condition(test, absent, title()), span);
        self.test(test);
    }

    fn part(&mut self, part: &mut Part, kind: &str) {
        let name = &part.name;
        // A condition that guards a part of the plan can't be missing: the compiler asks for it.
        match guards(&part.test) {
            true => self.test(&mut part.test),
            false => self.condition(&mut part.test, true, || format!("{kind} `{name}`")),
        }
    }

    fn word(&mut self, item: &mut Item, name: NameId, span: Span) {
        (self.see)(Spot::Word(name), span);
        self.item(item, span);
    }

    fn item(&mut self, item: &mut Item, span: Span) {
        match item {
            Item::Letter(_) | Item::Only(_) => {}
            Item::Word(of, name) => self.word(of, *name, span),
        }
    }

    fn test(&mut self, test: &mut Test) {
        let span = test.span;
        match &mut test.node {
            TestNode::Constant(_) | TestNode::Letter(_) | TestNode::Cell(..) => {}
            TestNode::Word(item, name) | TestNode::Has(item, name) | TestNode::Holds(item, name, ..) => {
                self.word(item, *name, span);
            }
            TestNode::Lookup(lookup) => self.lookup(lookup, span),
            TestNode::Call(call) => self.call(call, span),
            TestNode::Not(inner) => self.test(inner),
            TestNode::All(tests) => tests.iter_mut().for_each(|t| self.test(t)),
            TestNode::Any(ways) => {
                for Alternative { name, test, .. } in ways.iter_mut() {
                    match name.is_empty() {
                        true => self.test(test),
                        false => self.condition(test, false, || format!("item `{name}`")),
                    }
                }
            }
            TestNode::Compare(comparison, left, right, scale) => {
                (self.see)(Spot::Comparison(comparison), span);
                self.number(left, Some(*scale));
                self.number(right, Some(*scale));
            }
            TestNode::Within(number, limit, scale) => {
                self.number(number, Some(*scale));
                let Limit { steps, .. } = limit.as_mut();
                for (_, ends) in steps.iter_mut() {
                    for end in [&mut ends.low, &mut ends.high].into_iter().flatten() {
                        self.number(end, Some(*scale));
                    }
                }
            }
            TestNode::IsOneOf(choice, ..) | TestNode::IsInList(choice, ..) => self.choice(choice),
            TestNode::SameChoice(left, right, _) => {
                self.choice(left);
                self.choice(right);
            }
            TestNode::SameItem(left, right) => {
                self.item(left, span);
                self.item(right, span);
            }
            TestNode::SameName(left, a, right, b) => {
                self.word(left, *a, span);
                self.word(right, *b, span);
            }
            TestNode::Quantified { each, body, .. } => {
                self.each(each, span);
                self.test(body);
            }
            TestNode::If(branches) => {
                let (condition, yes, no) = branches.as_mut();
                [condition, yes, no].into_iter().for_each(|t| self.test(t));
            }
        }
    }

    fn number(&mut self, number: &mut Number, scale: Option<Scale>) {
        let span = number.span;
        match &mut number.node {
            NumberNode::Constant(value) => (self.see)(Spot::Figure(value, scale), span),
            NumberNode::NoLimit
            | NumberNode::Letter(_)
            | NumberNode::Cell(..)
            | NumberNode::Asked(_)
            | NumberNode::Edition
            | NumberNode::Day => {}
            NumberNode::Word(item, name) => self.word(item, *name, span),
            NumberNode::Lookup(lookup) => self.lookup(lookup, span),
            NumberNode::Call(call) => self.call(call, span),
            NumberNode::Steps(steps) => steps.iter_mut().for_each(|(_, n)| self.number(n, scale)),
            NumberNode::Arithmetic(operator, left, right) => {
                // What stands in a product has a unit of its own.
                let scales = match operator {
                    Operator::Plus | Operator::Minus => scale,
                    _ => None,
                };
                self.number(left, scales);
                self.number(right, scales);
            }
            NumberNode::Extreme { candidates, .. } => candidates.iter_mut().for_each(|n| self.number(n, scale)),
            NumberNode::Aggregate { each, body, .. } => {
                self.each(each, span);
                self.number(body, scale);
            }
            NumberNode::Count(each) => self.each(each, span),
            NumberNode::Rank { by, list, .. } => {
                let Items::Word(item, name) = list.as_mut();
                self.word(item, *name, span);
                self.number(by, scale);
            }
            NumberNode::If(branches) => {
                let (condition, yes, no) = branches.as_mut();
                self.test(condition);
                self.number(yes, scale);
                self.number(no, scale);
            }
            NumberNode::ToTable { value, .. } | NumberNode::Rounded { value, .. } => self.number(value, scale),
        }
    }

    fn choice(&mut self, choice: &mut Choice) {
        let span = choice.span;
        match &mut choice.node {
            ChoiceNode::Constant(_) | ChoiceNode::Letter(_) | ChoiceNode::Cell(..) => {}
            ChoiceNode::Word(item, name) => self.word(item, *name, span),
            ChoiceNode::Lookup(lookup) => self.lookup(lookup, span),
            ChoiceNode::Call(call) => self.call(call, span),
            ChoiceNode::If(branches) => {
                let (condition, yes, no) = branches.as_mut();
                self.test(condition);
                self.choice(yes);
                self.choice(no);
            }
        }
    }

    fn each(&mut self, each: &mut Each, span: Span) {
        match &mut each.over {
            Over::Items(Items::Word(item, name)) | Over::Choices(item, name) => self.word(item, *name, span),
            Over::Rows(_) => {}
        }
        if let Some(filter) = &mut each.filter {
            self.test(filter);
        }
    }

    fn lookup(&mut self, lookup: &mut Lookup, span: Span) {
        for key in lookup.keys.iter_mut() {
            match key {
                Key::Number(number) => self.number(number, None),
                Key::Choice(choice) => self.choice(choice),
                Key::Test(test) => self.test(test),
                Key::Name(item, name) => self.word(item, *name, span),
            }
        }
    }

    fn call(&mut self, call: &mut Call, span: Span) {
        (self.see)(Spot::Formula(call.define), span);
        for argument in call.arguments.iter_mut() {
            match argument {
                Any::Test(test) => self.test(test),
                Any::Number(number, scale) => self.number(number, Some(*scale)),
                Any::Choice(choice, _) => self.choice(choice),
                Any::Item(item) => self.item(item, span),
                Any::Items(Items::Word(item, name)) | Any::Name(item, name) => self.word(item, *name, span),
            }
        }
    }
}

/// Whether a condition says that some part is there, which conditions after it lean on.
fn guards(test: &Test) -> bool {
    match &test.node {
        TestNode::Has(..) => true,
        TestNode::All(tests) => tests.iter().any(guards),
        TestNode::Not(inner) => guards(inner),
        TestNode::Any(ways) => ways.iter().any(|way| guards(&way.test)),
        _ => false,
    }
}
