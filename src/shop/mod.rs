//! The model: items, their facts, and what the plan says of how they hang together.
//!
//! A fact is a set of possible values ([`Value`]) and where it comes from ([`Source`]), held in
//! columns: one for each word of each kind. Rules read the columns by number. `shop` knows no
//! rule and no output; what follows from topology is written into the columns by `wiring`.

mod build;
mod same;
mod value;

pub use build::{Index, build, build_with, hosted_kinds, kind_of};
pub use value::{How, ItemRef, List, ListId, Range, Source, Value};

use crate::quantity::Rational;
use crate::text::{Problem, Span};
use crate::words::{KINDS, Kind, NameId, Vocabulary};
use std::collections::HashMap;
use std::sync::Arc;

/// One state of one shop, as a plan tells it.
#[derive(Clone, Debug)]
pub struct Shop {
    /// The words in force.
    pub vocabulary: Arc<Vocabulary>,
    /// Layers that the plan names (`amended by`).
    pub layers: Vec<crate::text::Spanned<String>>,
    /// Lines that could not be read, or that say what can't be.
    pub problems: Vec<Problem>,
    /// Claims for many, as written: `every box: all drawn`.
    pub claims: Vec<Claim>,
    /// Kinds whose items the plan says it names all of (`all receptacles listed`), and where it says so.
    pub listed: HashMap<Kind, Source>,
    /// What each circuit feeds, by the circuit's index.
    pub feeds: Vec<Feeds>,
    /// The two or more ends of each run, by the run's index.
    pub ends: Vec<RunEnds>,
    /// How each circuit or feeder is told to go (`by way of`), where it is.
    pub ways: HashMap<ItemRef, Vec<ItemRef>>,
    /// The part of a length that the plan guesses (`about 30 ft`, `assume`), in inches; only where there is one.
    pub by_eye: HashMap<ItemRef, Rational>,
    /// What was written and is read by no rule: `note`, `inspected`, answers. For the packet.
    pub notes: Vec<Note>,
    /// Number of lines in the plan.
    pub line_count: u32,
    heads: Vec<Vec<Head>>,
    /// For each kind, for each name, the place of its column; 0 is a column that stays empty.
    slots: Vec<u32>,
    columns: Vec<Column>,
    lists: Vec<List>,
    proper_names: Vec<String>,
    by_name: HashMap<String, ItemRef>,
}

/// What an item is called and where it is written.
#[derive(Clone, Debug, Default)]
pub struct Head {
    /// Its tag, `R1`; for items without one a short text such as `P1 to B1` or `stretch 2 of F1`.
    pub name: String,
    /// The words in quotes behind it.
    pub label: Option<String>,
    /// Its first line.
    pub place: Span,
    /// The item that it is a part of: a stretch's feeder, a wire's circuit, a breaker's circuit.
    pub of: Option<ItemRef>,
}

/// One word of one kind, for every item of that kind; made when somebody says something.
#[derive(Clone, Debug, Default)]
struct Column {
    /// The kind and the word; none of the empty column.
    word: Option<(Kind, NameId)>,
    values: Vec<Value>,
    sources: Vec<Source>,
}

/// A claim for many.
#[derive(Clone, Debug)]
pub struct Claim {
    /// As written.
    pub text: String,
    /// Where.
    pub place: Span,
    /// Whether an item that says otherwise simply is as it says (`unless said`).
    pub yields: bool,
}

/// What one circuit feeds.
#[derive(Clone, Debug, Default)]
pub struct Feeds {
    /// One branch for each `feeds` line, parallel to each other.
    pub branches: Vec<Branch>,
    /// Whether it may feed more than it names (`and unknown`, or nothing said).
    pub is_open: bool,
    /// Whether `feeds nothing` was said.
    pub is_nothing: bool,
}

/// One `feeds` line.
#[derive(Clone, Debug, Default)]
pub struct Branch {
    /// Stages in order; each hangs on the load terminals of the last load of the one before (`then`).
    pub stages: Vec<Stage>,
    /// Where the line stands.
    pub place: Span,
}

/// What stands between two `then`s: loads on one splice, behind some controls.
#[derive(Clone, Debug, Default)]
pub struct Stage {
    /// What is fed, in order.
    pub loads: Vec<Load>,
    /// Switches and disconnects that this stage goes through, in order.
    pub through: Vec<ItemRef>,
}

/// One load of a stage.
#[derive(Clone, Copy, Debug)]
pub struct Load {
    /// What it is; none for `unknown`. A box, area or the shop may be named too.
    pub item: Option<ItemRef>,
    /// Only half of a split duplex (`half of R4`).
    pub is_half: bool,
    /// Where it is named.
    pub place: Span,
}

/// Where a run begins and ends.
#[derive(Clone, Debug, Default)]
pub struct RunEnds {
    /// The ends as named: a panel, box, device, machine or building; none for `unknown`.
    pub ends: Vec<Option<ItemRef>>,
}

/// A note, inspection or answer: shown, read by no rule.
#[derive(Clone, Debug)]
pub struct Note {
    /// The item that it is about, if it is about one.
    pub item: Option<ItemRef>,
    /// What it says.
    pub text: String,
    /// Where.
    pub place: Span,
}

impl Shop {
    /// An empty model that knows these words. It has one shop and one permit, always.
    pub fn new(vocabulary: Arc<Vocabulary>) -> Shop {
        let names = vocabulary.name_count();
        let mut shop = Shop {
            vocabulary,
            layers: Vec::new(),
            problems: Vec::new(),
            claims: Vec::new(),
            listed: HashMap::new(),
            feeds: Vec::new(),
            ends: Vec::new(),
            ways: HashMap::new(),
            by_eye: HashMap::new(),
            notes: Vec::new(),
            line_count: 0,
            heads: vec![Vec::new(); KINDS],
            slots: vec![0; KINDS.saturating_mul(names)],
            columns: vec![Column::default()],
            lists: Vec::new(),
            proper_names: Vec::new(),
            by_name: HashMap::new(),
        };
        shop.add(Kind::Shop, Head { name: "shop".into(), ..Head::default() });
        shop.add(Kind::Permit, Head { name: "permit".into(), ..Head::default() });
        shop
    }

    /// The shop itself.
    pub const SHOP: ItemRef = ItemRef { kind: Kind::Shop, index: 0 };
    /// The permit.
    pub const PERMIT: ItemRef = ItemRef { kind: Kind::Permit, index: 0 };

    /// Adds an item.
    #[expect(clippy::indexing_slicing, reason = "there is a row for each kind")]
    pub fn add(&mut self, kind: Kind, head: Head) -> ItemRef {
        let heads = &mut self.heads[kind as usize];
        let item = ItemRef { kind, index: heads.len() as u32 };
        heads.push(head);
        item
    }

    /// Gives an item its tag. The item that had it already, if any, keeps it.
    pub fn call(&mut self, name: &str, item: ItemRef) -> Option<ItemRef> {
        match self.by_name.entry(name.to_string()) {
            std::collections::hash_map::Entry::Occupied(o) => Some(*o.get()),
            std::collections::hash_map::Entry::Vacant(v) => {
                v.insert(item);
                None
            }
        }
    }

    /// The item of a tag.
    pub fn named(&self, name: &str) -> Option<ItemRef> {
        self.by_name.get(name).copied()
    }

    /// Every tag, in no order; for hints.
    pub fn tags(&self) -> impl Iterator<Item = &str> {
        self.by_name.keys().map(String::as_str)
    }

    /// Items of a kind, in the order of the plan.
    pub fn items(&self, kind: Kind) -> impl Iterator<Item = ItemRef> + use<> {
        (0..self.count(kind) as u32).map(move |index| ItemRef { kind, index })
    }

    /// How many items of a kind there are.
    #[expect(clippy::indexing_slicing, reason = "there is a row for each kind")]
    pub fn count(&self, kind: Kind) -> usize {
        self.heads[kind as usize].len()
    }

    /// What an item is called and where it stands.
    #[expect(
        clippy::indexing_slicing,
        reason = "a reference to an item comes from `add`, and nothing is ever taken out"
    )]
    pub fn head(&self, item: ItemRef) -> &Head {
        &self.heads[item.kind as usize][item.index as usize]
    }

    /// The same, to be filled in.
    #[expect(
        clippy::indexing_slicing,
        reason = "a reference to an item comes from `add`, and nothing is ever taken out"
    )]
    pub fn head_mut(&mut self, item: ItemRef) -> &mut Head {
        &mut self.heads[item.kind as usize][item.index as usize]
    }

    /// The possible values of a fact.
    #[inline]
    pub fn value(&self, item: ItemRef, name: NameId) -> Value {
        *self.fact(item, name)
    }

    /// The possible values of a fact, by reference: a rule reads dozens of them.
    #[inline]
    pub fn fact(&self, item: ItemRef, name: NameId) -> &Value {
        let column = self.column(item.kind, name);
        column.and_then(|c| c.values.get(item.index as usize)).unwrap_or(&Value::Unknown)
    }

    /// The possible values of a word for the items of a kind, by their indexes; past the end nobody said anything.
    pub fn column_of(&self, kind: Kind, name: NameId) -> &[Value] {
        self.column(kind, name).map_or(&[], |column| &column.values)
    }

    /// Where a fact comes from.
    pub fn source(&self, item: ItemRef, name: NameId) -> Source {
        let column = self.column(item.kind, name);
        column.and_then(|c| c.sources.get(item.index as usize)).copied().unwrap_or_default()
    }

    /// Every word of which anything is said, and where it comes from, by the items' indexes.
    pub fn sources(&self) -> impl Iterator<Item = (Kind, NameId, &[Source])> {
        self.columns.iter().filter_map(|column| column.word.map(|(kind, name)| (kind, name, column.sources.as_slice())))
    }

    #[inline]
    fn column(&self, kind: Kind, name: NameId) -> Option<&Column> {
        self.columns.get(*self.slots.get(self.slot(kind, name))? as usize)
    }

    #[inline]
    #[expect(clippy::arithmetic_side_effects, reason = "a place among the slots of all kinds and names")]
    fn slot(&self, kind: Kind, name: NameId) -> usize {
        kind as usize * self.vocabulary.name_count() + name.0 as usize
    }

    /// States a fact, whatever stood there.
    #[expect(
        clippy::indexing_slicing,
        reason = "slots are made for all kinds and names, and the column is as long as the kind has items"
    )]
    pub fn set(&mut self, item: ItemRef, name: NameId, value: Value, source: Source) {
        let count = self.count(item.kind);
        let slot = self.slot(item.kind, name);
        if self.slots[slot] == 0 {
            self.slots[slot] = self.columns.len() as u32;
            self.columns.push(Column { word: Some((item.kind, name)), ..Column::default() });
        }
        let column = &mut self.columns[self.slots[slot] as usize];
        if column.values.len() < count {
            column.values.resize(count, Value::Unknown);
            column.sources.resize(count, Source::default());
        }
        column.values[item.index as usize] = value;
        column.sources[item.index as usize] = source;
    }

    /// States a fact that follows from others.
    pub fn derive(&mut self, item: ItemRef, name: NameId, value: Value) {
        let place = self.head(item).place;
        self.set(item, name, value, Source { how: How::Derived, place, claim: None, day: None });
    }

    /// States a list that follows from others.
    pub fn derive_list(&mut self, item: ItemRef, name: NameId, list: List) {
        let id = self.add_list(list);
        self.derive(item, name, Value::List(id));
    }

    /// Keeps a list and gives its number.
    pub fn add_list(&mut self, list: List) -> ListId {
        self.lists.push(list);
        ListId((self.lists.len() as u32).saturating_sub(1))
    }

    /// A list.
    #[expect(clippy::indexing_slicing, reason = "a list's number comes from `add_list`, and none is ever taken out")]
    pub fn list(&self, id: ListId) -> &List {
        &self.lists[id.0 as usize]
    }

    /// Keeps a proper name and gives its value.
    pub fn add_proper_name(&mut self, name: &str) -> Value {
        let index = self.proper_names.iter().position(|n| n == name).unwrap_or_else(|| {
            self.proper_names.push(name.to_string());
            self.proper_names.len().saturating_sub(1)
        });
        Value::Name(index as u32)
    }

    /// Every proper name, by its number.
    pub fn proper_names(&self) -> &[String] {
        &self.proper_names
    }

    /// A proper name.
    pub fn proper_name(&self, index: u32) -> &str {
        self.proper_names.get(index as usize).map_or("", String::as_str)
    }

    /// An item as messages call it: `receptacle R1`, `the shop`, `run P1 to B1`, `stretch 2 of F1`.
    pub fn called(&self, item: ItemRef) -> String {
        let head = self.head(item);
        match item.kind {
            Kind::Shop | Kind::Permit => format!("the {}", item.kind),
            kind if head.name.contains(" of ") || head.name.ends_with(kind.name()) => head.name.clone(),
            kind => [kind.name(), " ", &head.name].concat(),
        }
    }
}
