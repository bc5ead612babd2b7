//! Items: what a plan's lines at the left edge name, before anybody reads their phrases.

use super::Builder;
use super::building::kind_listed;
use super::names::{head_names, is_reserved};
use crate::plan::syntax::{Item, Keyword, Phrase, Plan, Token};
use crate::shop::{Feeds, Head, ItemRef, RunEnds, Shop, Source, Value};
use crate::text::{Problem, Span};
use crate::words::{Kind, choice, name};

/// The most items that a plan may name: `R1 to R1000` on every line would fill any machine's memory.
const MOST_ITEMS: usize = 150_000;

impl Builder {
    /// Adds the items of a plan and gives, for each of its lines at the left edge, those that it names.
    pub fn declare(&mut self, plan: &Plan) -> Vec<Vec<ItemRef>> {
        let mut count = 0usize;
        let mut all = Vec::with_capacity(plan.items.len());
        for item in &plan.items {
            if count < MOST_ITEMS {
                let named = self.declare_item(item);
                count = count.saturating_add(named.len());
                all.push(named);
                continue;
            }
            if self.unlisted.is_empty() {
                let problem = Problem::error(item.span, "the items from this line on were not read")
                    .help(format!("a plan may name {MOST_ITEMS}; is this a plan?"));
                self.shop.problems.push(problem);
            }
            self.unlisted.push(item.span);
            all.push(Vec::new());
        }
        all
    }

    /// A shop that names no area is one area, which carries the shop's use, floor and walls.
    pub fn declare_areas(&mut self, layers: &[&Plan]) {
        let items = || layers.iter().flat_map(|plan| &plan.items);
        let shops = || items().filter(|i| i.keyword == Keyword::Shop);
        let phrases = shops().flat_map(|i| &i.lines).flat_map(|l| &l.phrases);
        let uses: Vec<&Phrase> = phrases.filter(|p| p.tokens.first().is_some_and(|t| t.is("use"))).collect();
        if !uses.is_empty() || !items().any(|i| i.keyword == Keyword::Area) {
            let place = shops().map(|i| i.span).next().unwrap_or_default();
            self.shop.add(Kind::Area, Head { name: "shop".into(), place, ..Head::default() });
            self.own_area_names.insert("shop".into());
        }
        uses.into_iter().for_each(|phrase| self.declare_further_uses(phrase));
    }

    /// `use garage and workshop`: each use behind the first is an area of its own.
    fn declare_further_uses(&mut self, phrase: &Phrase) {
        let tokens: Vec<&Token> = phrase.tokens.iter().skip(1).collect();
        for part in tokens.split(|t| t.is("and")).skip(1) {
            if self.index.choice(choice::AREA_USE, part).is_none() {
                continue;
            }
            let tag = use_tag(part);
            if self.shop.named(&tag).is_none() {
                let head = Head { name: tag.clone(), place: phrase.span, ..Head::default() };
                let area = self.shop.add(Kind::Area, head);
                self.shop.call(&tag, area);
                self.own_area_names.insert(tag);
            }
        }
    }

    /// `no panel` in an example leaves out the panels of its given lines.
    pub fn rule_out(&mut self, plan: &Plan) {
        let shops = plan.items.iter().filter(|i| i.keyword == Keyword::Shop);
        for phrase in shops.flat_map(|i| &i.lines).flat_map(|l| &l.phrases) {
            if let [no, what] = phrase.tokens.as_slice()
                && no.is("no")
                && let Some(kind) = kind_listed(&what.text)
            {
                let rank = self.rank;
                self.ruled_out.entry(kind).or_insert(rank);
            }
        }
    }

    fn declare_item(&mut self, item: &Item) -> Vec<ItemRef> {
        let label = item.label.as_ref().map(|l| l.text.clone());
        match item.keyword {
            Keyword::Shop => return self.one_of_a_plan(Shop::SHOP, item, label),
            Keyword::Work => {
                let items = self.one_of_a_plan(Shop::PERMIT, item, label);
                if let Some(tag) = item.head.first() {
                    self.shop.call(&tag.text, Shop::PERMIT);
                }
                return items;
            }
            Keyword::Run => return self.declare_runs(item, label),
            _ => {}
        }
        let Some(kind) = kind_of(item.keyword) else { return Vec::new() };
        let has_ends = matches!(kind, Kind::Feeder | Kind::Circuit);
        let (names, rest, problems) = head_names(&item.head, has_ends);
        if self.ruled_out.get(&kind).is_some_and(|rank| *rank < self.rank) {
            self.left_out.extend(names.into_iter().map(|name| name.text));
            return Vec::new();
        }
        self.shop.problems.extend(problems);
        if !has_ends && let Some(stray) = rest.first() {
            let problem = Problem::error(stray.span, format!("`{}` does not belong here", stray.text))
                .help(format!("`{} NAME: phrases`, or the phrases on indented lines", item.keyword.text()));
            self.shop.problems.push(problem);
        }
        if names.is_empty() {
            let problem = Problem::error(item.span, format!("this {kind} has no name"))
                .help(format!("a short tag behind the word, such as `{kind} {}`", example_tag(kind)));
            self.shop.problems.push(problem);
            return vec![self.add(kind, kind.name().to_string(), label, item.span)];
        }
        let named: Vec<ItemRef> = names.iter().map(|tag| self.declare_named(kind, tag, label.clone(), item)).collect();
        if kind == Kind::Electrode { self.declare_rods(named, item) } else { named }
    }

    fn one_of_a_plan(&mut self, of: ItemRef, item: &Item, label: Option<String>) -> Vec<ItemRef> {
        let head = self.shop.head_mut(of);
        if head.place == Span::default() {
            head.place = item.span;
            head.label = label;
        } else if of == Shop::SHOP && self.rank == 0 && head.place.file == item.span.file {
            let problem = Problem::error(item.keyword_span, "a plan has one shop")
                .help("put these phrases under the first; two shops are two plans")
                .also(head.place, "the first");
            self.shop.problems.push(problem);
        }
        vec![of]
    }

    fn declare_named(&mut self, kind: Kind, tag: &Token, label: Option<String>, item: &Item) -> ItemRef {
        if is_reserved(&tag.text) {
            let problem =
                Problem::error(tag.span, format!("`{}` is a word of the language and can't be a name", tag.text))
                    .help(format!("a short tag, such as `{}`", example_tag(kind)));
            self.shop.problems.push(problem);
        }
        if let Some(other) = self.shop.named(&tag.text) {
            if other.kind == kind && (self.rank > 0 || self.is_known_name(kind, tag, item)) {
                return other;
            }
            let first = self.shop.head(other).place;
            let problem = Problem::error(tag.span, format!("the name `{}` is taken", tag.text))
                .help("each item has a name of its own; what adds to an item is indented under it")
                .also(first, "first used here");
            self.shop.problems.push(problem);
            if other.kind == kind {
                return other;
            }
        }
        let made = self.add(kind, tag.text.clone(), label, item.span);
        self.shop.call(&tag.text, made);
        made
    }

    /// `supply house` adds facts to a known name that was used above.
    fn is_known_name(&mut self, kind: Kind, tag: &Token, item: &Item) -> bool {
        let is_known = kind == Kind::Supply && matches!(tag.text.as_str(), "house" | "utility");
        if let Some(of) = self.shop.named(&tag.text).filter(|_| is_known) {
            let head = self.shop.head_mut(of);
            if head.label.is_none() {
                head.place = item.span;
            }
        }
        is_known
    }

    /// Adds an item with the parts that every one of its kind has.
    pub fn add(&mut self, kind: Kind, tag: String, label: Option<String>, place: Span) -> ItemRef {
        let item = self.shop.add(kind, Head { name: tag.clone(), label, place, of: None });
        match kind {
            Kind::Circuit => self.shop.feeds.push(Feeds { is_open: true, ..Feeds::default() }),
            Kind::Run => self.shop.ends.push(RunEnds::default()),
            _ => {}
        }
        if matches!(kind, Kind::Feeder | Kind::Circuit) {
            self.part(item, name::WIRE, Kind::Wire, "wire");
        }
        item
    }

    /// A part that an item always has, its facts unsaid.
    fn part(&mut self, of: ItemRef, word: crate::words::NameId, kind: Kind, what: &str) -> ItemRef {
        let part = self.sub_item(of, kind, what);
        let place = self.shop.head(of).place;
        let source = Source { how: crate::shop::How::Planned, place, ..Source::default() };
        self.shop.set(of, word, Value::Item(part), source);
        part
    }

    /// An item that is a part of another, called after it.
    pub fn sub_item(&mut self, of: ItemRef, kind: Kind, what: &str) -> ItemRef {
        let head = self.shop.head(of);
        let (name, place) = (format!("{what} of {}", head.name), head.place);
        let part = self.shop.add(kind, Head { name, label: None, place, of: Some(of) });
        if kind == Kind::Run {
            self.shop.ends.push(RunEnds::default());
        }
        part
    }

    /// A run's ends are known only when every item has its name; its items are made here all the same.
    fn declare_runs(&mut self, item: &Item, label: Option<String>) -> Vec<ItemRef> {
        let Some(shape) = super::ends::run_shape(&item.head) else {
            let problem = Problem::error(item.span, "a run goes from one end to another")
                .help("`run P1 to B1: 3/4 in EMT, 12 ft`, or `run N1 from P1 to B1` with a name of its own");
            self.shop.problems.push(problem);
            return Vec::new();
        };
        let mut made = Vec::new();
        for (i, to) in shape.to.iter().enumerate() {
            let text = format!("{} to {}", shape.from.text, to.text);
            let is_joint = shape.from.text != "unknown" || to.text != "unknown";
            let tag = match (&shape.name, i) {
                (Some(name), 0) => Some(name.text.clone()),
                (Some(name), _) => Some(format!("{}-{}", name.text, i.saturating_add(1))),
                (None, _) if is_joint => Some(format!("{}-{}", shape.from.text, to.text)),
                (None, _) => None,
            };
            let known = tag.as_deref().and_then(|t| self.shop.named(t)).filter(|r| r.kind == Kind::Run);
            if let Some(run) = known {
                if self.rank > 0 {
                    made.push(run);
                    continue;
                }
                if let Some(name) = &shape.name {
                    let first = self.shop.head(run).place;
                    let problem = Problem::error(name.span, format!("the name `{}` is taken", name.text))
                        .help("each run has a name of its own")
                        .also(first, "first used here");
                    self.shop.problems.push(problem);
                }
            }
            let called = if shape.name.is_some() { tag.clone().unwrap_or(text) } else { text };
            let run = self.add(Kind::Run, called, label.clone(), item.span);
            if let Some(tag) = tag {
                self.shop.call(&tag, run);
            }
            made.push(run);
        }
        made
    }

    /// The breaker of each feeder and circuit. `common trip with C2` makes one breaker of two, so
    /// these phrases are looked for first.
    pub fn make_breakers(&mut self, layers: &[&Plan], declared: &[Vec<Vec<ItemRef>>]) {
        let mut leader: Vec<u32> = (0..self.shop.count(Kind::Circuit) as u32).collect();
        let items = layers.iter().zip(declared).flat_map(|(plan, items)| plan.items.iter().zip(items));
        for (item, refs) in items.filter(|(i, _)| i.keyword == Keyword::Circuit) {
            for phrase in item.lines.iter().flat_map(|l| &l.phrases) {
                let [a, b, c, partners @ ..] = phrase.tokens.as_slice() else { continue };
                if !(a.is("common") && b.is("trip") && c.is("with")) {
                    continue;
                }
                let partners = partners.iter().filter_map(|t| self.shop.named(&t.text));
                let group: Vec<u32> =
                    partners.chain(refs.iter().copied()).filter(|r| r.kind == Kind::Circuit).map(|r| r.index).collect();
                let leaders = group.iter().map(|i| lead(&leader, *i));
                if let Some(first) = leaders.min() {
                    for circuit in group {
                        let own = lead(&leader, circuit);
                        if let Some(slot) = leader.get_mut(own as usize) {
                            *slot = first;
                        }
                    }
                }
            }
        }
        for feeder in self.shop.items(Kind::Feeder) {
            self.part(feeder, name::BREAKER, Kind::Breaker, "breaker");
        }
        for circuit in self.shop.items(Kind::Circuit) {
            let first = ItemRef { kind: Kind::Circuit, index: lead(&leader, circuit.index) };
            if first == circuit {
                self.part(circuit, name::BREAKER, Kind::Breaker, "breaker");
            } else {
                let shared = self.shop.value(first, name::BREAKER);
                let source = self.shop.source(first, name::BREAKER);
                self.shop.set(circuit, name::BREAKER, shared, source);
            }
        }
    }
}

/// The tag of an area that `use … and …` makes.
pub(super) fn use_tag(words: &[&Token]) -> String {
    words.iter().map(|t| t.text.as_str()).collect::<Vec<_>>().join("-")
}

fn lead(leader: &[u32], mut circuit: u32) -> u32 {
    while let Some(next) = leader.get(circuit as usize).filter(|n| **n != circuit) {
        circuit = *next;
    }
    circuit
}

/// What an item's first word makes; none for records and claims, which make nothing.
pub fn kind_of(keyword: Keyword) -> Option<Kind> {
    Some(match keyword {
        Keyword::Shop => Kind::Shop,
        Keyword::Area => Kind::Area,
        Keyword::Work => Kind::Permit,
        Keyword::Supply => Kind::Supply,
        Keyword::Feeder => Kind::Feeder,
        Keyword::Panel => Kind::Panel,
        Keyword::Disconnect => Kind::Disconnect,
        Keyword::Electrode => Kind::Electrode,
        Keyword::Box => Kind::Box,
        Keyword::Run => Kind::Run,
        Keyword::Circuit => Kind::Circuit,
        Keyword::Receptacle => Kind::Receptacle,
        Keyword::Switch => Kind::Switch,
        Keyword::Light => Kind::Light,
        Keyword::Device => Kind::Device,
        Keyword::Equipment => Kind::Equipment,
        Keyword::Door => Kind::Door,
        Keyword::Pipe => Kind::Pipe,
        Keyword::Cord => Kind::Cord,
        _ => return None,
    })
}

fn example_tag(kind: Kind) -> &'static str {
    match kind {
        Kind::Area => "loft",
        Kind::Supply => "house",
        Kind::Feeder => "F1",
        Kind::Panel => "P1",
        Kind::Disconnect => "D1",
        Kind::Electrode => "E1",
        Kind::Box => "B1",
        Kind::Circuit => "C1",
        Kind::Receptacle => "R1",
        Kind::Switch => "S1",
        Kind::Light => "L1",
        _ => "M1",
    }
}
