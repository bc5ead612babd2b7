//! Layers: what states, counties, cities, utilities and owners change in a pack.
//!
//! A layer is read into [`Layer`] and applied to the syntax of a pack, before it is compiled:
//! everything behind (compiling, judging, explaining) sees a pack like any other. What an edit
//! writes keeps its place in the layer's file, so that each part tells by its place where it comes
//! from. An edit that counts only for some editions, days or items becomes a condition in the part
//! that it writes; what is not known then is tried both ways by the evaluator, as any condition is.
//!
//! Nothing is lost in silence: each edit leaves an [`EditRecord`] with what it found, what it made,
//! and whether it was made at all.

mod additions;
mod adopt;
mod conditions;
mod edit;
mod guard;
mod part;
mod policy;
mod questions;
mod reach;
mod scope;
mod table;
mod term;
mod values;
pub(in crate::law) mod walk;
mod whole;

#[cfg(test)]
mod tests;

pub use scope::When;

use super::syntax::layer::{Action, Change, Kind, Layer, Origin, Standing, Target};
use super::syntax::{Pack, Part};
use crate::text::{Problem, Span, nearest};
use std::collections::{HashMap, HashSet};

/// Most layers over one pack: a state, a county, a city, a utility and a wish are five.
pub const MOST_LAYERS: usize = 16;

/// A pack with layers applied.
#[derive(Clone, Debug, Default)]
pub struct Amended {
    /// The pack as it is in force.
    pub pack: Pack,
    /// The layers, in the order in which they were applied.
    pub layers: Vec<LayerHead>,
    /// What each edit came to, in the same order.
    pub edits: Vec<EditRecord>,
    /// Edits that could not be made, and what else is wrong with a layer.
    pub problems: Vec<Problem>,
}

/// A layer without its edits.
#[derive(Clone, Debug)]
pub struct LayerHead {
    /// Its name.
    pub name: String,
    /// Its full name.
    pub title: String,
    /// Who speaks.
    pub kind: Kind,
    /// On what authority.
    pub source: Option<Origin>,
    /// Whether it is law: `in force`, `proposed` and the like.
    pub standing: Standing,
    /// When somebody last looked, in days from 1970-01-01.
    pub checked: Option<i64>,
    /// When it counts.
    pub when: When,
    /// Its `layer` line and head.
    pub span: Span,
}

/// What one edit came to at one target.
#[derive(Clone, Debug)]
pub struct EditRecord {
    /// The layer, among [`Amended::layers`].
    pub layer: usize,
    /// The rule, table, term, list or value that it changes.
    pub target: String,
    /// What people call that target.
    pub title: String,
    /// The part: `value top-volts`, `exception alarm`, `rule`.
    pub part: String,
    /// The verb.
    pub verb: &'static str,
    /// What came of it.
    pub state: State,
    /// What stood there, as a rule file writes it.
    pub was: String,
    /// What stands there now; empty where nothing does.
    pub now: String,
    /// Why, by the author.
    pub why: String,
    /// On what authority.
    pub source: Option<Origin>,
    /// When it counts.
    pub when: When,
    /// Its line.
    pub place: Span,
}

/// What came of an edit. Whether it counts for the edition and day of a plan is told by
/// [`EditRecord::when`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum State {
    /// It was made.
    Applied,
    /// The base says so already.
    Absorbed,
    /// It quotes what is not there: not made.
    OutOfDate,
    /// A layer above does not let it off: not made, or made only where it is stricter.
    Refused,
    /// A layer above takes no edits here.
    NotValidHere,
    /// It is no law yet.
    Proposed,
    /// It is law no more.
    Withdrawn,
    /// Two texts claim the part and no text says which one holds: both are tried.
    NotSettled,
    /// An owner's wish: asked for beside the law.
    Wish,
}

impl State {
    /// As reports and JSON write it.
    pub fn name(self) -> &'static str {
        match self {
            State::Applied => "applied",
            State::Absorbed => "absorbed",
            State::OutOfDate => "out-of-date",
            State::Refused => "refused",
            State::NotValidHere => "not-valid-here",
            State::Proposed => "proposed",
            State::Withdrawn => "withdrawn",
            State::NotSettled => "not-settled",
            State::Wish => "wish",
        }
    }
}

/// Applies layers to a pack: states first, then counties, cities, utilities, owners; those of one
/// kind in the order given. A layer given twice counts once.
pub fn amend(base: &Pack, layers: &[Layer]) -> Amended {
    let mut sorted: Vec<&Layer> = Vec::new();
    for layer in layers {
        if !sorted.iter().any(|l| l.span == layer.span) {
            sorted.push(layer);
        }
    }
    sorted.sort_by_key(|layer| layer.kind);
    let mut work = Work { out: Amended { pack: base.clone(), ..Amended::default() }, ..Work::default() };
    work.names(&sorted);
    if let Some(first) = sorted.get(MOST_LAYERS) {
        let message =
            format!("more than {MOST_LAYERS} layers over one pack; this one and those behind it are not applied");
        work.out.problems.push(Problem::error(first.span, message).help("join what belongs together in one file"));
        sorted.truncate(MOST_LAYERS);
    }
    for layer in &sorted {
        work.layer(layer);
    }
    work.adopt(&sorted);
    reach::note(&mut work.out.pack, &work.reached);
    work.out.problems.sort_by_key(|problem| problem.span);
    work.out
}

/// A pack that is being amended.
#[derive(Default)]
struct Work {
    out: Amended,
    /// Who wrote a part, and what stood there under that layer.
    written: HashMap<(String, String), Vec<Written>>,
    /// Rules and parts that a layer took out, and which layer.
    struck: HashMap<(String, String), usize>,
    /// Tables, terms, values and lists that an edit changed, by name: what rests on them is touched.
    reached: Vec<Reached>,
    /// What upper layers say of lower ones.
    policies: Vec<policy::Policy>,
}

/// A part that a layer wrote.
#[derive(Clone, Debug)]
struct Written {
    layer: usize,
    /// What stood there before, as printed.
    below: String,
}

/// An edit, and the names that were changed by it.
struct Reached {
    edit: u32,
    name: String,
    when: Option<super::syntax::Expr>,
}

/// What an edit is about: the layer, the block, when it counts.
struct About<'l> {
    layer: &'l Layer,
    index: usize,
    change: &'l Change,
    when: When,
    leave: policy::Leeway,
}

impl Work {
    /// Two layers of one name can't be told apart in a plan or a report.
    fn names(&mut self, layers: &[&Layer]) {
        for (i, layer) in layers.iter().enumerate() {
            if let Some(first) = layers.iter().take(i).find(|l| l.name == layer.name) {
                let message = format!("a second layer `{}`", layer.name.node);
                let problem = Problem::error(layer.name.span, message).help("each layer has a name of its own");
                self.out.problems.push(problem.also(first.name.span, "the first"));
            }
        }
    }

    fn layer(&mut self, layer: &Layer) {
        let index = self.out.layers.len();
        let status = layer.scope.status.as_ref().map(|status| &status.node);
        let standing = status.map_or(Standing::InForce, |status| status.standing.clone());
        let mut when = When::of(&layer.scope, &layer.scope);
        if let Standing::Unsettled(question) = &standing {
            when.tests.push(self.ask_whether(layer, question));
        }
        self.out.layers.push(LayerHead {
            name: layer.name.node.clone(),
            title: layer.title.clone(),
            kind: layer.kind,
            source: layer.source.clone(),
            checked: status.and_then(|status| status.checked),
            when: when.clone(),
            standing: standing.clone(),
            span: layer.span,
        });
        if let Some((from, to, place)) = adopt::gap(&layer.adopts) {
            let (from, to) = (crate::quantity::day_text(from), crate::quantity::day_text(to.saturating_sub(1)));
            let problem = Problem::error(place, format!("nothing is adopted for permits from {from} to {to}"));
            self.out.problems.push(problem.help("let the lines meet: `before DAY` on one, `from DAY` on the next"));
        }
        if let Some(adopt) = layer.adopts.last().filter(|adopt| adopt.test.is_some()) {
            let problem = Problem::error(adopt.span, "nothing is adopted for the other buildings");
            self.out.problems.push(problem.help("add a last line: `adopt NEC YEAR otherwise`"));
        }
        self.pin_text(layer, index, &when);
        let is_law = !matches!(standing, Standing::Proposed | Standing::Withdrawn(None));
        self.join(layer, index, &when, is_law);
        for change in &layer.changes {
            self.change(layer, index, change, &when);
        }
        if is_law {
            self.policies.extend(layer.below.iter().map(|below| policy::Policy::below(index, layer, below)));
            self.policies.extend(layer.differ.iter().map(|differ| policy::Policy::differ(index, layer, differ)));
        }
    }

    /// Takes in what the layer adds that the base has nothing about.
    fn join(&mut self, layer: &Layer, index: usize, when: &When, is_law: bool) {
        let mut own = layer.pack.clone();
        if !is_law {
            own.rules.clear();
            own.groups.clear();
        }
        let taken: HashSet<&str> = self.out.pack.rules.iter().map(|rule| rule.name.node.as_str()).collect();
        let tables: HashSet<&str> = self.out.pack.tables.iter().map(|table| table.name.node.as_str()).collect();
        let mut problems = Vec::new();
        for name in own.rules.iter().map(|rule| &rule.name).filter(|name| taken.contains(name.node.as_str())) {
            let message = format!("there is a rule `{}` already", name.node);
            problems.push(
                Problem::error(name.span, message)
                    .help("`change rule` changes it; a rule of your own has a name of its own"),
            );
        }
        for name in own.tables.iter().map(|table| &table.name).filter(|name| tables.contains(name.node.as_str())) {
            let message = format!("there is a table `{}` already", name.node);
            problems.push(
                Problem::error(name.span, message)
                    .help("`change table` changes it; a table of your own has a name of its own"),
            );
        }
        self.out.problems.extend(problems);
        for rule in &mut own.rules {
            let test = when.test(rule.name.span);
            if let Some(test) = &test {
                let name = Some(crate::text::Spanned { node: "in-force".to_string(), span: rule.name.span });
                let title = Some(format!("law here: {}", layer.title));
                rule.wheres.insert(0, Part { name, title, bounds: Default::default(), test: test.clone() });
            }
            if layer.kind == Kind::Owner || layer.source.is_none() {
                rule.level.node = "advised".into();
            }
            let edit = self.out.edits.len() as u32;
            rule.touched.push(super::syntax::Touched { edit, when: test });
            self.out.edits.push(EditRecord {
                layer: index,
                target: rule.name.node.clone(),
                title: rule.title.clone(),
                part: "rule".into(),
                verb: "add",
                state: if layer.source.is_none() || layer.kind == Kind::Owner { State::Wish } else { State::Applied },
                was: String::new(),
                now: rule.title.clone(),
                why: rule.why.clone(),
                source: layer.source.clone(),
                when: when.clone(),
                place: rule.name.span,
            });
        }
        self.out.pack.join(own);
    }

    fn change(&mut self, layer: &Layer, index: usize, change: &Change, head: &When) {
        let mut when = When::of(&layer.scope, &change.scope);
        when.tests.extend(head.tests.iter().cloned());
        let own = change.scope.status.as_ref().map(|status| status.node.standing.clone());
        if let Some(Standing::Unsettled(question)) = &own {
            when.tests.push(self.ask_whether(layer, question));
        }
        when.tests.extend(change.only_where.iter().cloned());
        let standing = own.or_else(|| layer.scope.status.as_ref().map(|status| status.node.standing.clone()));
        let leave = policy::leeway(&self.policies, layer);
        if leave.is_for_licensed {
            when.tests.push(policy::licensed(change.span));
        }
        let mut about = About { layer, index, change, when, leave };
        let shelved = match standing {
            Some(Standing::Proposed) => Some(State::Proposed),
            Some(Standing::Withdrawn(None)) => Some(State::Withdrawn),
            _ if about.leave.is_closed => Some(State::NotValidHere),
            _ => None,
        };
        let before = self.out.edits.len();
        match &change.target {
            Target::Rule(name) => match self.rule_named(&name.node) {
                Some(rule) => self.edit_rule(rule, &about, shelved),
                None => self.no_rule(name, &mut about),
            },
            Target::Group(name) => {
                let group = self.out.pack.groups.iter().find(|group| group.name == *name);
                let Some(rules) = group.map(|group| group.rules.clone()) else {
                    let near = nearest(&name.node, self.out.pack.groups.iter().map(|g| g.name.node.as_str()));
                    let help = near.map(|near| format!("the nearest is `{near}`"));
                    let problem = Problem::error(name.span, format!("there is no group `{}`", name.node));
                    return self.out.problems.push(problem.maybe_help(help));
                };
                self.edit_rules(rules.iter().map(|rule| rule.node.clone()).collect(), &about, shelved);
            }
            Target::EveryRule(stage) => {
                let all = self.out.pack.rules.iter();
                let met = all.filter(|rule| stage.as_ref().is_none_or(|stage| rule.stage == *stage));
                let to_new = change.edits.iter().any(|edit| matches!(edit.action, Action::SetReach(true, _)));
                let ages = to_new.then(whole::kinds_with_age);
                let met = met.filter(|rule| ages.is_none_or(|ages| whole::is_among(rule, ages)));
                let names: Vec<String> = met.map(|rule| rule.name.node.clone()).collect();
                if let Some(stage) = stage.as_ref().filter(|_| names.is_empty()) {
                    let help = "stages: footing, trench, rough-in, final, permit";
                    let problem = Problem::error(stage.span, format!("no rule has the stage `{}`", stage.node));
                    return self.out.problems.push(problem.help(help));
                }
                self.edit_rules(names, &about, shelved);
            }
            Target::Table(name) => self.edit_table(name, &about, shelved),
            Target::Define(name) => self.edit_define(name, &about, shelved),
            Target::Name(name) => self.edit_title(name, &about, shelved),
            Target::List(name) => self.edit_shared(name, "list", &about, shelved),
            Target::Value(name) => self.edit_shared(name, "value", &about, shelved),
        }
        self.check_twice(before);
    }

    /// Two edits of one block that write the same part hide one another.
    fn check_twice(&mut self, from: usize) {
        let mut seen: HashMap<(&str, &str), Span> = HashMap::new();
        let mut problems = Vec::new();
        for edit in self.out.edits.iter().skip(from).filter(|edit| edit.verb != "limit" && edit.verb != "defer") {
            if let Some(first) = seen.insert((&edit.target, &edit.part), edit.place) {
                let problem = Problem::error(edit.place, format!("a second edit of {} in one block", edit.part));
                problems.push(
                    problem.help("strike one, or give each a block with bounds of its own").also(first, "the first"),
                );
            }
        }
        self.out.problems.extend(problems);
    }

    /// The place of a rule by its name or another that it answers to.
    fn rule_named(&self, name: &str) -> Option<usize> {
        self.out
            .pack
            .rules
            .iter()
            .position(|rule| rule.name.node == name || rule.aliases.iter().any(|a| a.node == name))
    }

    fn no_rule(&mut self, name: &crate::text::Spanned<String>, about: &mut About) {
        if let Some(by) =
            self.struck.get(&(name.node.clone(), "rule".to_string())).and_then(|by| self.out.layers.get(*by))
        {
            let message = format!("nothing is left to change in `{}`: {} took the rule out", name.node, by.title);
            return self.out.problems.push(Problem::warning(name.span, message));
        }
        let names = self.out.pack.rules.iter().flat_map(|rule| std::iter::once(&rule.name).chain(&rule.aliases));
        let near = nearest(&name.node, names.map(|name| name.node.as_str()));
        let help =
            near.map_or("`ringout rules list` names them all".to_string(), |near| format!("the nearest is `{near}`"));
        self.out.problems.push(Problem::error(name.span, format!("there is no rule `{}`", name.node)).help(help));
        about.when.tests.clear();
    }
}
