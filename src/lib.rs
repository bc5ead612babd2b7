//! Ringout turns a workshop wiring plan, written as plain text, into what an inspector would ask
//! about: rule by rule pass, attention or unknown, each pointing at the plan's lines.
//!
//! The pipeline, which is all of [`check()`]:
//!
//! ```text
//! .shop text ─ plan::read ─ shop::build ─ wiring::complete ─┐
//!                                                           ├─ law::judge ─ report::Report ─ text, JSON, SARIF
//! .rule text ─ law::read ─── law::compile ──────────────────┘
//! ```
//!
//! Each stage takes the former one's value and gives its own. Positions ride along as byte
//! offsets; lines and columns exist only in a report. Mistakes of the texts are values with a
//! place ([`text::Problem`]), collected and never returned at the first: what could be read is
//! judged all the same, and what could not counts as unread, never as a pass.
//!
//! Physics and topology live in this crate. Every figure, table and section of the code lives in
//! rule files; see [`Rules`].
//!
//! ```
//! let rules = ringout::Rules::builtin();
//! let plan = "receptacle R1: 5-20R, no GFCI\n";
//! let checked = ringout::check(&rules, "shed.shop", plan, &ringout::law::Options::default());
//! let report = ringout::report::Report::of(&rules, &checked, ringout::report::Depth::Verdicts);
//! assert!(report.total().unknown > 0, "one line leaves much to ask");
//! ```

pub mod editor;
mod hash;
pub mod law;
pub mod packs;
pub mod parallel;
pub mod plan;
pub mod quantity;
pub mod report;
pub mod selftest;
pub mod shelf;
pub mod shop;
pub mod text;
pub mod wiring;
pub mod words;

use law::code::Code;
use law::layer::{Amended, EditRecord, LayerHead};
use law::syntax::Pack;
use law::verdict::Verdict;
use plan::syntax::Plan;
use shop::Shop;
use std::path::Path;
use std::sync::OnceLock;
use text::{FileId, Problem, Sources};

/// A pack of rules, read and compiled, to hold any number of plans against.
#[derive(Debug)]
pub struct Rules {
    /// The rule files.
    pub sources: Sources,
    /// What their authors wrote; of the built-in ones only when somebody asks.
    pack: OnceLock<Pack>,
    /// What it means.
    pub code: Code,
    /// What could not be read or understood. A rule with a problem is not in [`Rules::code`].
    pub problems: Vec<Problem>,
    /// The layers over the pack, in the order in which they were applied.
    pub layers: Vec<LayerHead>,
    /// What each of their edits came to.
    pub edits: Vec<EditRecord>,
    /// What is wrong with a layer: lines that can't be read, edits that quote what is not there. Each
    /// report says so first.
    pub amiss: Vec<Problem>,
}

/// A plan with everything that was said of it.
#[derive(Debug)]
pub struct Checked {
    /// The rule files and the plan.
    pub sources: Sources,
    /// The plan, among the sources.
    pub file: FileId,
    /// Its lines.
    pub plan: Plan,
    /// The model: what it states and what follows from that.
    pub shop: Shop,
    /// What the drawing comes to: conductors in each run, joints in each box.
    pub wiring: wiring::Wiring,
    /// What every rule says at every item that it meets.
    pub verdicts: Vec<Verdict>,
    /// Layers that the plan names and that were not found, and what is wrong with those that were.
    pub amiss: Vec<Problem>,
}

/// Reads a plan, works out what follows from it, and holds it against the rules.
///
/// `name` is what reports call the file. Never fails: lines that can't be read stand in
/// [`Shop::problems`], and what they might have said is unknown.
pub fn check(rules: &Rules, name: &str, text: &str, options: &law::Options) -> Checked {
    let mut sources = rules.sources.clone();
    let file = sources.add(name, text);
    let drawn = || {
        let plan = plan::read(file, text);
        let mut shop = shop::build_with(&plan, &[], &[], rules.code.phrases());
        let wiring = wiring::complete(&mut shop);
        (plan, shop, wiring)
    };
    let (plan, shop, wiring) = match rules.code.is_ready() {
        true => drawn(),
        false => parallel::beside(drawn, rules.code.make_ready()),
    };
    let verdicts = law::judge(&rules.code, &shop, options);
    let is_met = |name: &str| {
        let file = |layer: &LayerHead| rules.sources.get(layer.span.file).map_or("", |source| &source.name);
        rules.layers.iter().any(|layer| shelf::is_named(name, &layer.name, file(layer)))
            || rules.amiss.iter().any(|problem| {
                let source = rules.sources.get(problem.span.file);
                source.is_some_and(|source| shelf::is_named(name, "", &source.name))
            })
    };
    let lost = shop.layers.iter().filter(|layer| !is_met(&layer.node)).map(|layer| {
        Problem::error(layer.span, format!("the local amendments in `{}` were not found", layer.node))
            .help("a layer stands in the folder `layers` of the rules, or beside the plan; the report holds the plan against the code without it")
    });
    let amiss = rules.amiss.iter().cloned().chain(lost).collect();
    Checked { sources, file, plan, shop, wiring, verdicts, amiss }
}

impl Rules {
    /// The pack that is part of the program, without its examples.
    pub fn builtin() -> Rules {
        let (sources, code) = law::builtin_code();
        Rules::bare(sources, OnceLock::new(), code, Vec::new())
    }

    /// The pack in a folder, or in one file. An error is a folder or file that can't be read;
    /// what is wrong inside a file stands in [`Rules::problems`].
    pub fn from_folder(folder: &Path) -> Result<Rules, packs::DiskError> {
        let mut sources = Sources::default();
        let loaded = packs::from_folder(folder, &mut sources)?;
        Ok(Rules::new(sources, loaded.pack, loaded.problems))
    }

    /// A pack that was read from `sources`, compiled; `problems` are those of reading it.
    pub fn new(sources: Sources, pack: Pack, mut problems: Vec<Problem>) -> Rules {
        let (code, wrong) = law::compile(&pack);
        problems.extend(wrong);
        Rules::bare(sources, OnceLock::from(pack), code, problems)
    }

    /// A pack with layers over it, all read from `sources`, the layers last. `problems` are those of
    /// reading the pack, `amiss` those of reading the layers.
    pub fn amended(
        sources: Sources,
        base: &Pack,
        mut problems: Vec<Problem>,
        layers: &[law::syntax::layer::Layer],
        mut amiss: Vec<Problem>,
    ) -> Rules {
        let Amended { pack, layers, edits, problems: wrong } = law::layer::amend(base, layers);
        let (code, compiled) = law::compile(&pack);
        let first = layers.iter().map(|layer| layer.span.file).min();
        amiss.extend(wrong);
        for problem in compiled {
            let is_of_layer = |span: text::Span| first.is_some_and(|first| span.file >= first);
            let is_amiss = is_of_layer(problem.span) || problem.also.iter().any(|label| is_of_layer(label.span));
            if is_amiss { amiss.push(problem) } else { problems.push(problem) }
        }
        amiss.retain(|problem| problem.severity == text::Severity::Error);
        Rules { layers, edits, amiss, ..Rules::bare(sources, OnceLock::from(pack), code, problems) }
    }

    fn bare(sources: Sources, pack: OnceLock<Pack>, code: Code, problems: Vec<Problem>) -> Rules {
        Rules { sources, pack, code, problems, layers: Vec::new(), edits: Vec::new(), amiss: Vec::new() }
    }

    /// What their authors wrote.
    pub fn pack(&self) -> &Pack {
        self.pack.get_or_init(|| law::builtin(&mut Sources::default()))
    }
}
