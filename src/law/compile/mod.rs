//! From a pack as written to one that can judge: names resolved, types and guards proven.
//!
//! Everything that an author can get wrong is told here, each at its place, and nothing stops at
//! the first. What is left out because of a problem is left out whole: a rule with a mistake
//! judges nothing, since half a rule could pass what the whole would stop.

mod define;
mod each;
mod expression;
mod flow;
mod house;
mod messages;
mod ordinary;
mod rule;
mod scope;
mod table;
mod types;
mod vocabulary;

pub use house::house_rules;

use crate::law::code::{Code, DefineId};
use crate::law::syntax::{Moment, Pack};
use crate::text::Problem;
use crate::words::{KINDS, Vocabulary};
use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;

/// Editions that the program tries where a plan states none. A pack adds those that it names.
const EDITIONS: [i64; 5] = [2014, 2017, 2020, 2023, 2026];

/// Compiles a pack. What could be compiled judges; what could not is told.
pub fn compile(pack: &Pack) -> (Code, Vec<Problem>) {
    let mut problems = Vec::new();
    let vocabulary = vocabulary::vocabulary(pack, &mut problems);
    let mut compiler = Compiler::new(pack, vocabulary, problems);
    compiler.tables();
    compiler.signatures();
    compiler.defines();
    compiler.rules();
    compiler.finish()
}

/// What is known while a pack is compiled.
struct Compiler<'a> {
    pack: &'a Pack,
    vocabulary: Arc<Vocabulary>,
    problems: Vec<Problem>,
    code: Code,
    table_numbers: HashMap<&'a str, u32>,
    /// Defines by name; several where they are told apart by their parameters.
    define_numbers: HashMap<&'a str, Vec<DefineId>>,
    /// What each define calls, for recursion and for what it turns on.
    calls: Vec<BTreeSet<u32>>,
    editions: BTreeSet<i64>,
    days: BTreeSet<i64>,
    used: scope::Used,
}

impl<'a> Compiler<'a> {
    fn new(pack: &'a Pack, vocabulary: Vocabulary, problems: Vec<Problem>) -> Compiler<'a> {
        let vocabulary = Arc::new(vocabulary);
        let code = Code {
            vocabulary: vocabulary.clone(),
            rules: Vec::new(),
            defines: Vec::new(),
            words_by_define: vec![[None; KINDS]; vocabulary.name_count()],
            tables: Vec::new(),
            editions: Vec::new(),
            days: Vec::new(),
            proper_names: Vec::new(),
        };
        Compiler {
            pack,
            vocabulary,
            problems,
            code,
            table_numbers: HashMap::new(),
            define_numbers: HashMap::new(),
            calls: Vec::new(),
            editions: EDITIONS.into(),
            days: BTreeSet::new(),
            used: scope::Used::default(),
        }
    }

    fn problem(&mut self, problem: Problem) {
        self.problems.push(problem);
    }

    /// Remembers a moment that something turns on.
    fn moment(&mut self, moment: Option<Moment>) {
        match moment {
            Some(Moment::Edition(year)) => drop(self.editions.insert(year)),
            Some(Moment::Day(day)) => drop(self.days.insert(day)),
            None => {}
        }
    }

    fn finish(mut self) -> (Code, Vec<Problem>) {
        self.code.editions = self.editions.iter().copied().filter(|year| *year > 2000).collect();
        self.code.days = self.days.iter().copied().filter(|day| *day > 0).collect();
        self.unused();
        (self.code, self.problems)
    }
}
