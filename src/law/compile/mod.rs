//! From a pack as written to code that can judge: names, types, guards and what else has to hold.
//!
//! The vocabulary comes first ([`vocabulary`]), then tables, which need nothing else, then defines
//! and rules. A define is compiled when something first speaks of it, so that each stands behind
//! those that it calls. What has a problem is left out, and what speaks of it is left out without a
//! word of its own: one slip gives one problem. All wording is in [`messages`].

mod conditions;
mod defines;
mod demands;
mod each;
mod examples;
mod expressions;
mod frame;
mod guards;
mod lookups;
mod messages;
mod numbers;
mod rare;
mod rules;
mod sheets;
mod tables;
mod texts;
mod types;
mod unused;
mod values;
mod vocabulary;
mod words;

#[cfg(test)]
mod tests;

pub use demands::Demands;

use crate::law::code::{Code, Later, Table, TableId};
use crate::law::syntax::{Bounds, List, Moment, Pack, Value};
use crate::text::{Problem, Severity, Span};
use crate::words::{KINDS, Kinds, Vocabulary};
use defines::{Signature, State};
use std::collections::{BTreeSet, HashMap, HashSet};
use std::sync::Arc;

/// The editions that are possible where a plan names none, beside those that the pack names.
pub(in crate::law) const EDITIONS: [i64; 5] = [2014, 2017, 2020, 2023, 2026];

/// Compiles a pack. What has a problem of severity error is left out of the code.
pub fn compile(pack: &Pack) -> (Code, Vec<Problem>) {
    compile_with(pack, Demands::default())
}

/// Compiles a pack whose first files are held to further demands.
pub fn compile_with(pack: &Pack, demands: Demands) -> (Code, Vec<Problem>) {
    let mut compiler = Compiler::new(pack, demands);
    compiler.declare();
    compiler.compile_tables();
    compiler.check_shared();
    compiler.compile_defines();
    let rules = compiler.compile_rules();
    compiler.check_groups();
    let sheets = compiler.compile_sheets();
    compiler.warn_of_unused();
    if demands.examples {
        compiler.check_examples();
    }
    compiler.finish(rules, sheets)
}

/// A pack on its way into code.
struct Compiler<'a> {
    pack: &'a Pack,
    demands: Demands,
    problems: Vec<Problem>,
    errors: usize,
    vocabulary: Vocabulary,
    /// For each name, for each kind, the place in the pack of the define that gives the word.
    laws: Vec<[Option<u32>; KINDS]>,
    /// Defines that are called with arguments.
    calls: HashMap<&'a str, u32>,
    signatures: Vec<Option<Signature>>,
    states: Vec<State>,
    /// Defines that are being compiled, outermost first.
    doing: Vec<u32>,
    defines: Vec<Later<crate::law::code::Define>>,
    tables: Vec<Later<Table>>,
    table_names: HashMap<&'a str, TableEntry>,
    values: HashMap<&'a str, &'a Value>,
    lists: HashMap<&'a str, &'a List>,
    /// Names of blocks that the reader left out.
    broken: HashSet<&'a str>,
    editions: BTreeSet<i64>,
    days: BTreeSet<i64>,
    proper_names: Vec<String>,
    used: Used,
}

/// What some rule or define speaks of.
#[derive(Default)]
struct Used {
    /// Names of values and lists, by place.
    places: Vec<Span>,
    /// For each name, the kinds whose word is read.
    words: Vec<Kinds>,
    /// Tables, by place.
    tables: HashSet<Span>,
    /// Defines, by place in the pack.
    defines: HashSet<u32>,
}

/// A table, as far as expressions care; no id where it has a problem.
#[derive(Clone, Copy)]
struct TableEntry {
    id: Option<TableId>,
    turns: Turns,
    place: Span,
}

/// What an expression turns on.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Turns {
    edition: bool,
    day: bool,
}

impl<'a> Compiler<'a> {
    fn new(pack: &'a Pack, demands: Demands) -> Compiler<'a> {
        Compiler {
            pack,
            demands,
            problems: Vec::new(),
            errors: 0,
            vocabulary: Vocabulary::core(),
            laws: Vec::new(),
            calls: HashMap::new(),
            signatures: Vec::new(),
            states: Vec::new(),
            doing: Vec::new(),
            defines: Vec::with_capacity(pack.defines.len()),
            tables: Vec::with_capacity(pack.tables.len()),
            table_names: HashMap::new(),
            values: HashMap::new(),
            lists: HashMap::new(),
            broken: pack.broken.iter().map(|name| name.node.as_str()).collect(),
            editions: EDITIONS.into_iter().collect(),
            days: BTreeSet::new(),
            proper_names: Vec::new(),
            used: Used::default(),
        }
    }

    /// Notes a problem.
    fn report(&mut self, problem: Problem) {
        if problem.severity == Severity::Error {
            self.errors = self.errors.saturating_add(1);
        }
        self.problems.push(problem);
    }

    /// Notes an error; gives nothing, so that a caller can end with it.
    fn fail<T>(&mut self, problem: Problem) -> Option<T> {
        self.report(problem);
        None
    }

    /// Notes the editions and days that bounds name, and what turns on them.
    fn note_bounds(&mut self, bounds: &Bounds) -> Turns {
        let mut turns = Turns::default();
        for moment in [bounds.from, bounds.before].into_iter().flatten() {
            turns = turns.and(self.note_moment(moment));
        }
        turns
    }

    fn note_moment(&mut self, moment: Moment) -> Turns {
        match moment {
            Moment::Edition(year) => {
                self.editions.insert(year);
                Turns { edition: true, day: false }
            }
            Moment::Day(day) => {
                self.days.insert(day);
                Turns { edition: false, day: true }
            }
        }
    }

    fn finish(
        mut self,
        rules: Vec<crate::law::code::Rule>,
        sheets: Vec<crate::law::code::Sheet>,
    ) -> (Code, Vec<Problem>) {
        self.problems.sort_by_key(|problem| problem.span);
        // A list that stands in two conditions is compiled twice; its slips are shown once.
        self.problems.dedup_by(|a, b| a.span == b.span && a.message == b.message);
        let words_by_define = self.words_by_define();
        let authority = self.pack.titles.iter().find(|title| title.name.node == "authority");
        let code = Code {
            vocabulary: Arc::new(self.vocabulary),
            rules: rules.into(),
            defines: self.defines,
            words_by_define,
            tables: self.tables,
            sheets,
            authority: authority.map_or("inspector", |title| &title.title).to_string(),
            editions: self.editions.into_iter().collect(),
            days: self.days.into_iter().collect(),
            proper_names: self.proper_names,
            index: Default::default(),
        };
        (code, self.problems)
    }
}

impl Turns {
    fn and(self, other: Turns) -> Turns {
        Turns { edition: self.edition || other.edition, day: self.day || other.day }
    }
}
