use crate::law::code::{
    Any, Body, Call, Cell, Choice, ChoiceNode, Code, DefineId, Each, Key, Limit, Lookup, Number, NumberNode, Rule,
    TableId, Test, TestNode,
};
use crate::quantity::{Rational, Scale};
use crate::words::{NameId, Type};

/// Where the quantities that a rule reads may be parted: the figures that they are compared with
/// and the rows of tables in which they are looked up, in its conditions and in every formula below.
///
/// Taken from the text of the rule and not from a run, so that what is tried, and with it the
/// verdict, does not hang on the order of conditions.
#[derive(Debug, Default)]
pub(in crate::law) struct Cuts {
    by_name: Vec<(NameId, Rational)>,
    trade_sizes: Vec<Rational>,
}

impl Cuts {
    /// Of a rule.
    pub fn of(code: &Code, rule: &Rule) -> Cuts {
        let mut walk = Walk::new(code);
        rule.wheres.iter().chain(&rule.needs).for_each(|part| walk.test(&part.test));
        rule.excepts.iter().for_each(|except| walk.test(&except.test));
        walk.finish()
    }

    /// Of a formula.
    pub fn of_define(code: &Code, define: DefineId) -> Cuts {
        let mut walk = Walk::new(code);
        walk.define(define);
        walk.finish()
    }

    /// Those of a word; of a trade size those of every table with trade sizes.
    pub fn get(&self, name: NameId, scale: Scale) -> impl Iterator<Item = Rational> + '_ {
        let trade = if scale == Scale::TradeSize { self.trade_sizes.as_slice() } else { &[] };
        self.by_name.iter().filter(move |(n, _)| *n == name).map(|(_, cut)| *cut).chain(trade.iter().copied())
    }
}

struct Walk<'c> {
    code: &'c Code,
    seen: Vec<bool>,
    cuts: Cuts,
}

impl<'c> Walk<'c> {
    fn new(code: &'c Code) -> Walk<'c> {
        Walk { code, seen: vec![false; code.defines.len()], cuts: Cuts::default() }
    }

    fn finish(mut self) -> Cuts {
        self.cuts.by_name.sort();
        self.cuts.by_name.dedup();
        self.cuts.trade_sizes.sort();
        self.cuts.trade_sizes.dedup();
        self.cuts
    }

    fn test(&mut self, test: &Test) {
        match &test.node {
            TestNode::Constant(_) | TestNode::Has(..) | TestNode::Letter(_) | TestNode::Cell(..) => {}
            TestNode::SameItem(..) | TestNode::SameName(..) | TestNode::Holds(..) => {}
            TestNode::Word(_, name) => self.word(*name),
            TestNode::Lookup(lookup) => self.lookup(lookup),
            TestNode::Call(call) => self.call(call),
            TestNode::Not(inner) => self.test(inner),
            TestNode::All(tests) => tests.iter().for_each(|test| self.test(test)),
            TestNode::Any(ways) => ways.iter().for_each(|way| self.test(&way.test)),
            TestNode::Compare(_, left, right, _) => {
                self.compare(left, right);
                self.compare(right, left);
                self.number(left);
                self.number(right);
            }
            TestNode::Within(number, limit, _) => self.within(number, limit),
            TestNode::IsOneOf(choice, ..) | TestNode::IsInList(choice, ..) => self.choice(choice),
            TestNode::SameChoice(a, b, _) => [a, b].into_iter().for_each(|choice| self.choice(choice)),
            TestNode::Quantified { each, body, .. } => {
                self.each(each);
                self.test(body);
            }
            TestNode::If(parts) => [&parts.0, &parts.1, &parts.2].into_iter().for_each(|test| self.test(test)),
        }
    }

    fn within(&mut self, number: &Number, limit: &Limit) {
        self.number(number);
        for end in limit.steps.iter().flat_map(|(_, ends)| [&ends.low, &ends.high]).flatten() {
            self.compare(number, end);
            self.number(end);
        }
    }

    /// A word against figures.
    fn compare(&mut self, word: &Number, figure: &Number) {
        let NumberNode::Word(_, name) = &word.node else { return };
        match &figure.node {
            NumberNode::Constant(n) => self.cuts.by_name.push((*name, *n)),
            NumberNode::Steps(steps) => steps.iter().for_each(|(_, step)| self.compare(word, step)),
            _ => {}
        }
    }

    fn number(&mut self, number: &Number) {
        match &number.node {
            NumberNode::Constant(_) | NumberNode::NoLimit | NumberNode::Letter(_) | NumberNode::Cell(..) => {}
            NumberNode::Asked(_) | NumberNode::Edition | NumberNode::Day => {}
            NumberNode::Word(_, name) => self.word(*name),
            NumberNode::Lookup(lookup) => self.lookup(lookup),
            NumberNode::Call(call) => self.call(call),
            NumberNode::Steps(steps) => steps.iter().for_each(|(_, step)| self.number(step)),
            NumberNode::Arithmetic(_, left, right) => [left, right].into_iter().for_each(|side| self.number(side)),
            NumberNode::Extreme { candidates, .. } => candidates.iter().for_each(|candidate| self.number(candidate)),
            NumberNode::Aggregate { each, body, .. } => {
                self.each(each);
                self.number(body);
            }
            NumberNode::Count(each) => self.each(each),
            NumberNode::Rank { by, .. } => self.number(by),
            NumberNode::If(parts) => {
                self.test(&parts.0);
                self.number(&parts.1);
                self.number(&parts.2);
            }
            NumberNode::ToTable { value, .. } | NumberNode::Rounded { value, .. } => self.number(value),
        }
    }

    fn choice(&mut self, choice: &Choice) {
        match &choice.node {
            ChoiceNode::Constant(_) | ChoiceNode::Letter(_) | ChoiceNode::Cell(..) => {}
            ChoiceNode::Word(_, name) => self.word(*name),
            ChoiceNode::Lookup(lookup) => self.lookup(lookup),
            ChoiceNode::Call(call) => self.call(call),
            ChoiceNode::If(parts) => {
                self.test(&parts.0);
                self.choice(&parts.1);
                self.choice(&parts.2);
            }
        }
    }

    fn each(&mut self, each: &Each) {
        each.filter.iter().for_each(|filter| self.test(filter));
    }

    fn lookup(&mut self, lookup: &Lookup) {
        for (number, key) in lookup.keys.iter().enumerate() {
            match key {
                Key::Number(key) => {
                    self.rows(lookup.table, number, key);
                    self.number(key);
                }
                Key::Choice(choice) => self.choice(choice),
                Key::Test(test) => self.test(test),
                Key::Name(..) => {}
            }
        }
    }

    /// The rows of a table along a key: cuts of the word that is the key, and of all trade sizes.
    fn rows(&mut self, table: TableId, number: usize, key: &Number) {
        let Some(table) = self.code.table(table) else { return };
        let cells = table.rows.iter().filter_map(|row| row.keys.get(number));
        let cells = cells.filter_map(|cell| if let Cell::Number(n) = cell { Some(*n) } else { None });
        if let NumberNode::Word(_, name) = &key.node {
            self.cuts.by_name.extend(cells.clone().map(|n| (*name, n)));
        }
        if matches!(table.keys.get(number), Some((_, Type::Quantity(Scale::TradeSize), _))) {
            self.cuts.trade_sizes.extend(cells);
        }
    }

    fn call(&mut self, call: &Call) {
        for argument in &call.arguments {
            match argument {
                Any::Test(test) => self.test(test),
                Any::Number(number, _) => self.number(number),
                Any::Choice(choice, _) => self.choice(choice),
                Any::Item(_) | Any::Items(_) | Any::Name(..) => {}
            }
        }
        self.define(call.define);
    }

    /// Every define that gives a word, of whichever kind.
    fn word(&mut self, name: NameId) {
        let defines = self.code.words_by_define.get(name.0 as usize);
        defines.into_iter().flatten().flatten().for_each(|define| self.define(*define));
    }

    fn define(&mut self, id: DefineId) {
        match self.seen.get_mut(id.0 as usize) {
            Some(seen) if !*seen => *seen = true,
            _ => return,
        }
        match self.code.define(id).map(|define| &define.body) {
            Some(Body::Test(test)) => self.test(test),
            Some(Body::Number(number)) => self.number(number),
            Some(Body::Choice(choice)) => self.choice(choice),
            Some(Body::Item(_)) | None => {}
        }
    }
}
