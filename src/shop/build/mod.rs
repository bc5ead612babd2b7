//! From a plan's lines to the model: items and names first, then what each phrase states, then
//! what is said of many at once, then what one item has from another.
//!
//! A phrase goes first to the code that knows its shape (wires, raceways, `feeds` …), then to the
//! phrases of the vocabulary, core words and facts of rule files alike. What nobody understands is
//! a problem with a place, and the facts that it might have stated are marked as unread.

mod age;
mod amounts;
mod building;
mod cables;
mod circles;
mod claims;
mod devices;
mod electrodes;
mod ends;
mod feeds;
mod finish;
mod hints;
mod index;
mod items;
mod lines;
mod names;
mod panels;
mod phrases;
mod place;
mod pulled;
mod records;
mod state;
mod unasked;
mod unread;
mod ways;
mod wires;

pub use index::Index;
pub use items::kind_of;
pub use phrases::hosted_kinds;

use super::{ItemRef, Shop};
use crate::law::syntax::Missing;
use crate::plan::syntax::Plan;
use crate::text::{Problem, Span};
use crate::words::{NameId, Vocabulary};
use std::collections::{HashMap, HashSet};
use std::sync::Arc;

/// The model of a plan, as far as the plan states it; `wiring` adds what follows.
///
/// `given` plans give way: what `plan` says of a fact of the same item stands in place of theirs.
/// Then `unsaid` takes stated facts away. Both serve the examples of rule files.
pub fn build(plan: &Plan, given: &[&Plan], unsaid: &[Missing], vocabulary: Arc<Vocabulary>) -> Shop {
    build_with(plan, given, unsaid, &Arc::new(Index::new(vocabulary)))
}

/// The same, by phrases that serve several plans.
pub fn build_with(plan: &Plan, given: &[&Plan], unsaid: &[Missing], phrases: &Arc<Index>) -> Shop {
    let mut builder = Builder::new(phrases.clone());
    builder.shop.line_count = plan.line_count;
    let layers: Vec<&Plan> = std::iter::once(plan).chain(given.iter().copied()).collect();
    let mut declared: Vec<Vec<Vec<ItemRef>>> = Vec::new();
    builder.declare_areas(&layers);
    for (layer, plan) in layers.iter().enumerate() {
        builder.enter(layer);
        builder.rule_out(plan);
        declared.push(builder.declare(plan));
    }
    builder.make_breakers(&layers, &declared);
    for layer in 0..layers.len() {
        if let (Some(plan), Some(items)) = (layers.get(layer), declared.get(layer)) {
            builder.enter(layer);
            builder.read_items(plan, items);
        }
    }
    for layer in 0..layers.len() {
        if let (Some(plan), Some(items)) = (layers.get(layer), declared.get(layer)) {
            builder.enter(layer);
            builder.read_records(plan);
            builder.claim_for_many(plan);
            builder.mark_unread(plan, items);
        }
    }
    builder.enter(0);
    builder.finish();
    builder.unsay(unsaid);
    let mut shop = builder.shop;
    let more = shop.problems.len().saturating_sub(MOST_PROBLEMS);
    shop.problems.truncate(MOST_PROBLEMS);
    if more > 0
        && let Some(last) = shop.problems.last().map(|p| p.span)
    {
        shop.problems.push(Problem::error(last, format!("{more} more problems are not shown")));
    }
    shop.problems.splice(0..0, layers.iter().flat_map(|p| p.problems.iter().cloned()));
    shop
}

/// How many problems of one plan are kept; for more than these nobody looks for a hint.
const MOST_PROBLEMS: usize = 200;

/// A model in the making.
struct Builder {
    shop: Shop,
    index: Arc<Index>,
    /// 0 for the plan itself, more for lines that give way.
    rank: usize,
    /// Facts said by lines that give way, and their rank.
    weak_facts: HashMap<(ItemRef, NameId), usize>,
    /// Lists (what a circuit feeds, stretches …) and the rank of the lines that wrote them.
    lists: HashMap<(ItemRef, Listed), usize>,
    /// Claims for many that wait until every item has had its say.
    claims: Vec<claims::Waiting>,
    /// Circuits that share a neutral, as said: circuit, partner, place.
    neutral_pairs: Vec<(ItemRef, ItemRef, Span)>,
    /// What was said of a circuit's neutral, and whether it is shared.
    neutral_said: HashMap<ItemRef, (state::Said, bool)>,
    /// `plain`: features to deny once every phrase was read.
    plain: Vec<(ItemRef, Vec<NameId>, state::Said, usize)>,
    /// Stretches of each item so far.
    stretches: HashMap<ItemRef, usize>,
    /// Wires pulled in each run so far.
    wires_pulled: HashMap<ItemRef, usize>,
    /// The run between two ends, once somebody asked.
    run_of_ends: HashMap<(ItemRef, ItemRef), ItemRef>,
    /// The area of a use that `in ROOM` named.
    area_of: HashMap<u64, ItemRef>,
    /// All rods of the electrode line whose tag names the first.
    rods: HashMap<ItemRef, Vec<ItemRef>>,
    /// Where phrases stand that begin as none does, or lines that could not be read.
    strange: Vec<Span>,
    /// Items of which a phrase was not understood.
    misread: HashSet<ItemRef>,
    /// Phrases that the language has and that state no word of the core.
    unasked: &'static Index,
    /// Whether a bad name or line leaves a list open.
    opened: HashSet<(ItemRef, Listed)>,
    /// Whether an electrode line leaves open how many there are, and whether one said so at all.
    electrodes_open: bool,
    electrodes_said: Option<state::Said>,
    /// What each box holds, as far as it was read.
    held: HashMap<ItemRef, devices::Held>,
    /// Kinds that the plan says it has none of, and where.
    denied: Vec<(crate::words::Kind, Span)>,
    /// Pipes that were spoken of: `water`, `gas`, `other`.
    pipes_said: HashSet<String>,
    pipes_place: Option<state::Said>,
    /// The door that `shop` speaks of.
    shop_door: Option<ItemRef>,
    /// Areas that `shop` itself makes.
    own_area_names: HashSet<String>,
    /// What `main-lug` says of a panel where nothing else is said of a main.
    main_lugs: Vec<(ItemRef, state::Said)>,
    /// Where each conductor to electrodes hangs.
    electrode_wires: HashMap<ItemRef, ItemRef>,
    /// Items that could not be read at all.
    unlisted: Vec<Span>,
    /// Kinds that the plan says it has none of, and the rank of the lines that say so.
    ruled_out: HashMap<crate::words::Kind, usize>,
    /// Names of given items that an example rules out.
    left_out: HashSet<String>,
    /// Names that were reported as undefined already.
    undefined: HashSet<String>,
}

/// A list that a plan writes out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
enum Listed {
    Feeds,
    Stretches,
    Holds,
    Way,
    Ends,
    Neutrals,
}

impl Builder {
    fn new(index: Arc<Index>) -> Builder {
        Builder {
            shop: Shop::new(index.vocabulary.clone()),
            index,
            rank: 0,
            weak_facts: HashMap::new(),
            lists: HashMap::new(),
            claims: Vec::new(),
            neutral_pairs: Vec::new(),
            neutral_said: HashMap::new(),
            plain: Vec::new(),
            stretches: HashMap::new(),
            wires_pulled: HashMap::new(),
            run_of_ends: HashMap::new(),
            rods: HashMap::new(),
            strange: Vec::new(),
            misread: HashSet::new(),
            area_of: HashMap::new(),
            unasked: unasked::index(),
            opened: HashSet::new(),
            electrodes_open: false,
            electrodes_said: None,
            held: HashMap::new(),
            denied: Vec::new(),
            pipes_said: HashSet::new(),
            pipes_place: None,
            shop_door: None,
            own_area_names: HashSet::new(),
            main_lugs: Vec::new(),
            electrode_wires: HashMap::new(),
            unlisted: Vec::new(),
            ruled_out: HashMap::new(),
            left_out: HashSet::new(),
            undefined: HashSet::new(),
        }
    }

    fn enter(&mut self, layer: usize) {
        self.rank = layer;
    }

    /// Whether a list may be written to: not by lines that give way, where stronger ones wrote it.
    fn may_list(&mut self, item: ItemRef, list: Listed) -> bool {
        *self.lists.entry((item, list)).or_insert(self.rank) == self.rank
    }
}
