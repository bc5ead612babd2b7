//! Plans made by chance: the small plans of the pack's own examples and pieces of real ones, with lines
//! changed, facts taken away and other values put in.

use super::chance::Chance;
use super::mutate::Corpus;
use ringout::law;
use ringout::law::code::Code;
use ringout::law::syntax::{ExampleBody, Given, Pack};
use ringout::plan::{self, syntax::Plan};
use ringout::quantity::Rational;
use ringout::shop::{How, ItemRef, Range, Shop, Source, Value, build};
use ringout::text::{FileId, Sources};
use ringout::wiring;
use ringout::words::{Kind, NameId, Type};

pub struct Plans {
    pub code: Code,
    pack: Pack,
    corpus: Corpus,
}

/// A plan in three parts, so that it can be shown.
pub struct Made {
    pub text: String,
    pub givens: Vec<String>,
    pub changes: Vec<String>,
    pub shop: Shop,
}

impl Plans {
    pub fn new() -> Plans {
        let mut pack = law::builtin(&mut Sources::default());
        law::builtin_examples(&mut pack);
        Plans { code: law::builtin_code().1, pack, corpus: Corpus::plans() }
    }

    /// The plan of a number: always the same.
    pub fn plan(&self, number: u64) -> Made {
        let mut chance = Chance::new(number);
        let (text, givens) =
            if chance.one_in(5) { (self.corpus.piece(&mut chance, 25), Vec::new()) } else { self.example(&mut chance) };
        let givens: Vec<&Given> = givens.iter().filter_map(|name| self.given(name)).collect();
        let plans: Vec<Plan> = givens.iter().map(|given| plan::read_lines(&given.body.plan)).collect();
        let read = plan::read(FileId(999), &text);
        let unsaid: Vec<_> = givens.iter().flat_map(|given| given.body.unsaid.iter().cloned()).collect();
        let mut shop = build(&read, &plans.iter().collect::<Vec<_>>(), &unsaid, self.code.vocabulary.clone());
        let mut changes = Vec::new();
        let is_late = chance.one_in(3);
        if is_late {
            wiring::complete(&mut shop);
        }
        self.change(&mut shop, &mut chance, &mut changes);
        if !is_late {
            wiring::complete(&mut shop);
        }
        Made { text, givens: givens.iter().map(|given| given.name.node.clone()).collect(), changes, shop }
    }

    fn given(&self, name: &str) -> Option<&Given> {
        self.pack.givens.iter().find(|given| given.name.node == name)
    }

    /// The plan of an example of some rule or formula, every other time with lines changed.
    fn example(&self, chance: &mut Chance) -> (String, Vec<String>) {
        let (bodies, given): (Vec<&ExampleBody>, _) = if chance.one_in(8) {
            let define = chance.pick(&self.pack.defines);
            (define.examples.iter().map(|example| &example.body).collect(), &define.given)
        } else {
            let rule = chance.pick(&self.pack.rules);
            (rule.examples.iter().map(|example| &example.body).collect(), &rule.given)
        };
        let body = if bodies.is_empty() { return self.example(chance) } else { chance.pick(&bodies) };
        let lines: Vec<&str> = body.plan.iter().map(|line| line.node.as_str()).collect();
        let text = lines.join("\n") + "\n";
        let text = if chance.one_in(2) || lines.is_empty() { text } else { self.corpus.changed_text(&text, chance) };
        (text, given.iter().map(|name| name.node.clone()).collect())
    }

    /// Takes facts away and gives others another value.
    fn change(&self, shop: &mut Shop, chance: &mut Chance, changes: &mut Vec<String>) {
        let one_in = *chance.pick(&[4, 12, 40, usize::MAX]);
        let facts: Vec<(ItemRef, NameId)> = stated(shop);
        for (item, name) in facts {
            if !chance.one_in(one_in) {
                continue;
            }
            let value = if chance.one_in(2) { Value::Unknown } else { self.other(shop, (item, name), chance) };
            let how = *chance.pick(&[How::Planned, How::Planned, How::Measured, How::Seen, How::OnPaper]);
            let how = if value == Value::Unknown { How::Unsaid } else { how };
            let word = self.code.vocabulary.text(name);
            changes.push(format!("{word} of {} = {value:?} ({how:?})", shop.called(item)));
            shop.set(item, name, value, Source { how, ..shop.source(item, name) });
        }
    }

    /// Another value of a fact: one value, or for amounts and choices some.
    fn other(&self, shop: &Shop, (item, name): (ItemRef, NameId), chance: &mut Chance) -> Value {
        let was = shop.value(item, name);
        let Some(word) = self.code.vocabulary.word(item.kind, name) else { return was };
        let number = |chance: &mut Chance| {
            let others: Vec<Rational> = shop.items(item.kind).filter_map(|i| amount(shop.value(i, name))).collect();
            let near = if others.is_empty() { Rational::ONE } else { *chance.pick(&others) };
            let by = *chance.pick(&[(1, 2), (4, 5), (1, 1), (5, 4), (2, 1)]);
            let near = near.times(Rational::constant(by.0, by.1)).unwrap_or(near);
            if matches!(word.ty, Type::Quantity(scale) if is_whole(scale)) {
                Rational::whole(near.floor())
            } else {
                near
            }
        };
        if word.is_part && chance.one_in(6) {
            return Value::Absent;
        }
        match word.ty {
            Type::YesNo => Value::YesNo(chance.one_in(2)),
            Type::Choice(id) => {
                let count = self.code.vocabulary.choice(id).map_or(1, |choice| choice.values.len());
                let bits = 1u64 << chance.below(count);
                Value::Choice(if chance.one_in(3) { bits | 1 << chance.below(count) } else { bits })
            }
            Type::Quantity(_) => match chance.below(4) {
                0 => Value::Range(Range::at_least(number(chance))),
                1 => Value::Range(Range::at_most(number(chance))),
                _ => Value::Number(number(chance)),
            },
            Type::Item(kinds) => {
                let all: Vec<ItemRef> = kinds.iter().flat_map(|kind| shop.items(kind)).collect();
                if all.is_empty() { was } else { Value::Item(*chance.pick(&all)) }
            }
            Type::List(_) | Type::Choices(_) | Type::Name => was,
        }
    }
}

fn is_whole(scale: ringout::quantity::Scale) -> bool {
    use ringout::quantity::Scale;
    matches!(scale, Scale::WireSize | Scale::Edition | Scale::Date)
}

fn amount(value: Value) -> Option<Rational> {
    if let Value::Number(n) = value { Some(n) } else { None }
}

/// Every fact that is stated or derived.
fn stated(shop: &Shop) -> Vec<(ItemRef, NameId)> {
    let found = shop.sources().flat_map(|(kind, name, sources)| {
        let said = sources.iter().enumerate().filter(|(_, source)| source.how != How::Unsaid);
        said.map(move |(index, _)| (ItemRef { kind, index: index as u32 }, name))
    });
    let mut found: Vec<_> = found.filter(|(item, _)| item.kind != Kind::Entry).collect();
    found.sort();
    found
}
