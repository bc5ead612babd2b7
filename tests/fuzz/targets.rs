//! What every input goes through, and what must hold of what comes out.

use super::chance::Chance;
use super::mutate::{Corpus, noise};
use ringout::law::code::{DefineId, RuleId};
use ringout::law::syntax::Pack;
use ringout::law::{self, Options};
use ringout::report::{
    self, Depth, Look, Report, compare, directory, drawing, json, packet, sarif, takeoff, text, wires,
};
use ringout::selftest;
use ringout::text::{FileId, Problem, Sources, Span};
use ringout::words::Kind;
use ringout::{Checked, Rules, plan};

/// Most problems that one file may have: past it a reader gives up with a word.
const MOST_PROBLEMS: usize = 502;

/// What inputs are made from; made once.
pub struct Bench {
    pub plans: Corpus,
    pub packs: Corpus,
    rules: Rules,
    /// The files of the built-in pack, each read by itself.
    parts: Vec<Pack>,
    /// Layers that the tests run.
    layers: Vec<String>,
}

/// One way through the program.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Target {
    /// A few lines of a plan through the reader.
    PlanReader,
    /// A few lines of a rule file through the reader.
    RuleReader,
    /// A plan through everything, to every output.
    Plan,
    /// A rule file with the rest of the pack through everything.
    Pack,
    /// A layer over the pack through everything.
    Layer,
}

impl Bench {
    pub fn new() -> Bench {
        let read = |(number, (_, text)): (usize, &(&str, &str))| law::read(FileId(number as u32), text).0;
        Bench {
            plans: Corpus::plans(),
            packs: Corpus::packs(),
            rules: Rules::builtin(),
            parts: law::BUILTIN_FILES.iter().enumerate().map(read).collect(),
            layers: layers(),
        }
    }

    /// The input with this number.
    pub fn input(&self, target: Target, number: u64) -> String {
        let chance = &mut Chance::new(number);
        match target {
            Target::PlanReader if chance.one_in(10) => noise(chance, &self.plans),
            Target::PlanReader => self.plans.piece(chance, 14),
            Target::RuleReader if chance.one_in(10) => noise(chance, &self.packs),
            Target::RuleReader => self.packs.piece(chance, 14),
            Target::Plan => {
                let (_, text) = chance.pick(&self.plans.files);
                if chance.one_in(2) { self.plans.piece(chance, 60) } else { self.plans.changed_text(text, chance) }
            }
            Target::Pack => {
                let (_, text) = law::BUILTIN_FILES[self.replaced(number)];
                self.packs.changed_text(text, chance)
            }
            Target::Layer => {
                let text = chance.pick(&self.layers);
                if chance.one_in(10) { text.clone() } else { self.packs.changed_text(text, chance) }
            }
        }
    }

    /// Which file of the pack an input stands for.
    fn replaced(&self, number: u64) -> usize {
        Chance::new(!number).below(self.parts.len())
    }

    /// Runs one input. A panic is the failure.
    pub fn run(&self, target: Target, number: u64, text: &str) {
        match target {
            Target::PlanReader => read_plan(text),
            Target::RuleReader => drop(read_pack(text)),
            Target::Plan => self.whole(&self.rules, text, number),
            Target::Pack => self.with_pack(text, number),
            Target::Layer => self.with_layer(text, number),
        }
    }

    /// A layer over the built-in pack, on a small plan, and its own examples.
    fn with_layer(&self, text: &str, number: u64) {
        let mut sources = self.rules.sources.clone();
        let file = sources.add("fuzz.rule", text);
        let (layer, problems) = law::read_layer(file, text);
        check_problems(&problems, file, text);
        let layers: Vec<_> = layer.into_iter().collect();
        let rules = Rules::amended(sources, self.rules.pack(), Vec::new(), &layers, problems);
        for problem in rules.amiss.iter().chain(&rules.problems) {
            check_span(&rules.sources, problem.span);
        }
        for edit in &rules.edits {
            check_span(&rules.sources, edit.place);
            assert!(!edit.part.is_empty() && edit.layer < rules.layers.len());
        }
        if let (Some(layer), true) = (layers.first(), Chance::new(number).one_in(4)) {
            selftest::run_layer(self.rules.pack(), layer, &[]);
        }
        for edit in rules.edits.iter().take(3) {
            report::in_force::rule(&rules, &edit.target);
            report::in_force::for_edit(&rules, &edit.target);
        }
        let (_, plan) = Chance::new(number).pick(&self.plans.files);
        self.whole(&rules, plan, number);
    }

    /// The built-in pack with one file put for another, on a small plan.
    fn with_pack(&self, text: &str, number: u64) {
        let replaced = self.replaced(number);
        let mut sources = Sources::default();
        let mut pack = Pack::default();
        for (place, (name, builtin)) in law::BUILTIN_FILES.iter().enumerate() {
            if place == replaced {
                let file = sources.add(*name, text);
                let (part, problems) = law::read(file, text);
                check_problems(&problems, file, text);
                pack.join(part);
            } else {
                sources.add(*name, *builtin);
                pack.join(self.parts[place].clone());
            }
        }
        let rules = Rules::new(sources, pack, Vec::new());
        // As `rules check` does, but seldom with every example.
        if Chance::new(number).one_in(12) {
            selftest::run(rules.pack(), &rules.code);
        }
        let demands = law::Demands { strict_files: 0, examples: true };
        let (_, problems) = law::compile_with(rules.pack(), demands);
        for problem in &problems {
            check_span(&rules.sources, problem.span);
        }
        let (_, plan) = Chance::new(number).pick(&self.plans.files);
        self.whole(&rules, plan, number);
    }

    /// One plan to every output.
    fn whole(&self, rules: &Rules, text: &str, number: u64) {
        let chance = &mut Chance::new(number.wrapping_mul(31));
        // Mostly some of the rules: many plans with a few rules each find more than few plans with all.
        let count = rules.code.rules.len();
        let some = (0..20.min(count)).map(|_| RuleId(chance.below(count) as u32)).collect();
        let options = Options { rules: (!chance.one_in(16)).then_some(some), ..Options::default() };
        let checked = ringout::check(rules, "fuzz.shop", text, &options);
        check_problems(&checked.plan.problems, checked.file, text);
        for verdict in &checked.verdicts {
            check_span(&checked.sources, verdict.place);
            verdict.also.iter().for_each(|span| check_span(&checked.sources, *span));
        }
        let depth = match chance.below(24) {
            0 => Depth::Answers,
            1 => Depth::Derivations,
            _ => Depth::Verdicts,
        };
        outputs(rules, &checked, depth, chance);
        figures(rules, &checked, chance);
        sheets(rules, &checked, chance);
        drawings(rules, &checked, chance);
        if chance.one_in(8) {
            let (_, other) = chance.pick(&self.plans.files);
            let other = ringout::check(rules, "other.shop", other, &options);
            let comparison = compare::compare(rules, &checked, &other);
            let names = ["fuzz.shop", "other.shop"];
            is_printable(&text::compare(names, &comparison, &rules.code.authority, look(chance)));
            is_json(&compare::pretty(names, &comparison).unwrap());
        }
        tidied(text);
    }
}

/// The texts of the layers that the tests run, and of those that come with the program.
fn layers() -> Vec<String> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/cases/layers");
    let mut paths: Vec<_> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.retain(|path| path.extension().is_some_and(|e| e == "rule"));
    paths.sort();
    let mut texts: Vec<String> = paths.iter().map(|path| std::fs::read_to_string(path).unwrap()).collect();
    texts.extend(law::BUILTIN_LAYERS.iter().map(|(_, text)| text.to_string()));
    texts
}

fn outputs(rules: &Rules, checked: &Checked, depth: Depth, chance: &mut Chance) {
    let report = Report::of(rules, checked, depth);
    let sources = &checked.sources;
    let look = look(chance);
    let printed = text::check(&report, sources, look, chance.one_in(2)) + &text::ask(&report, sources, look);
    is_printable(&printed);
    assert!(look.color || !printed.contains('\u{1b}'), "an escape is printed without color");
    let line = json::line(&report, sources).unwrap();
    assert!(!line.contains('\n'));
    is_json(&line);
    is_json(&sarif::document(&[(&report, sources)], true).unwrap());
    if let Some(finding) = report.findings.get(chance.below(report.findings.len())) {
        assert!(!text::finding(finding, checked.file, sources, look, true).is_empty());
    }
}

/// A few formulas on a few items, whatever the item lacks.
fn figures(rules: &Rules, checked: &Checked, chance: &mut Chance) {
    let defines = rules.code.defines.len();
    for _ in 0..4.min(defines) {
        let define = DefineId(chance.below(defines) as u32);
        let kind = *chance.pick(&Kind::ALL);
        let items: Vec<_> = checked.shop.items(kind).collect();
        if let Some(item) = items.get(chance.below(items.len())) {
            let figure = law::figure(&rules.code, &checked.shop, define, *item);
            assert!(!figure.text.is_empty());
        }
    }
}

/// Diagrams, and now and then the packet, which holds everything.
fn drawings(rules: &Rules, checked: &Checked, chance: &mut Chance) {
    let mut pages = drawing::one_line(rules, checked);
    pages.extend(drawing::map(rules, checked));
    let boxes = wires::sheets(rules, checked, None).boxes;
    if let Some(sheet) = boxes.get(chance.below(boxes.len())) {
        pages.extend(drawing::joining(rules, checked, sheet));
    }
    is_svg(&drawing::document(&pages));
    if chance.one_in(6) {
        let all = packet::Sheet::ALL;
        let sheets = if chance.one_in(4) { Vec::new() } else { vec![*chance.pick(&all), *chance.pick(&all)] };
        let html = packet::packet(rules, checked, &packet::Options { sheets, ..packet::Options::default() });
        assert!(html.starts_with("<!DOCTYPE html>") && html.trim_end().ends_with("</html>"));
        is_printable(&html);
    }
}

/// Well-formed, and with nothing in it that XML 1.0 refuses (section 2.2: no control character but tab and line ends).
fn is_svg(text: &str) {
    roxmltree::Document::parse(text).unwrap();
}

/// Every sheet, as people and as programs read it.
fn sheets(rules: &Rules, checked: &Checked, chance: &mut Chance) {
    let (look, sources, plan) = (look(chance), &checked.sources, "fuzz.shop");
    let authority = &rules.code.authority;
    let sheets = wires::sheets(rules, checked, None);
    is_printable(&text::wires(&sheets, sources, authority, look));
    is_json(&wires::json::pretty(plan, &sheets).unwrap());
    let list = takeoff::takeoff(rules, checked);
    is_printable(&text::takeoff(&list, sources, authority, look));
    is_json(&takeoff::json::pretty(plan, &list, sources).unwrap());
    let panels = directory::directories(rules, checked);
    is_printable(&text::directory(&panels, sources, authority, look));
    is_json(&directory::json::pretty(plan, &panels, sources).unwrap());
    // The longest sheet; the formulas above were each had already.
    if chance.one_in(6) {
        let sheets = report::figures::sheets(rules, checked, None);
        is_printable(&text::figures(&sheets, checked.file, sources, authority, look, chance.one_in(2)));
        is_json(&report::figures::json::pretty(plan, &sheets, sources).unwrap());
    }
}

fn look(chance: &mut Chance) -> Look {
    Look::new(36 + chance.below(80), chance.one_in(2))
}

fn is_printable(text: &str) {
    let control = text.chars().find(|c| *c != '\n' && *c != '\u{1b}' && c.is_control());
    assert_eq!(control, None, "a control character is printed");
}

fn is_json(text: &str) {
    serde_json::from_str::<serde_json::Value>(text).unwrap();
}

/// Tidying twice is tidying once, and says the same.
fn tidied(text: &str) {
    if let Ok(tidy) = plan::tidy(text) {
        assert_eq!(plan::tidy(&tidy).ok().as_deref(), Some(tidy.as_str()), "tidying goes on");
        assert!(plan::says_the_same(text, &tidy), "tidied, it says something else");
    }
}

fn read_plan(text: &str) {
    let file = FileId(0);
    let read = plan::read(file, text);
    check_problems(&read.problems, file, text);
    let lost = read.unread.iter().map(|u| u.span);
    let items = read.items.iter().flat_map(|i| [i.span, i.keyword_span]);
    lost.chain(items).for_each(|span| check_place(span, text));
    tidied(text);
}

fn read_pack(text: &str) -> Pack {
    let file = FileId(0);
    let (pack, problems) = law::read(file, text);
    check_problems(&problems, file, text);
    pack
}

fn check_problems(problems: &[Problem], file: FileId, text: &str) {
    assert!(problems.len() <= MOST_PROBLEMS, "{} problems", problems.len());
    for problem in problems.iter().filter(|p| p.span.file == file) {
        assert!(!problem.message.is_empty());
        check_place(problem.span, text);
    }
}

fn check_place(span: Span, text: &str) {
    assert!(text.get(span.start as usize..span.end as usize).is_some(), "{span:?} is no place in the text");
}

fn check_span(sources: &Sources, span: Span) {
    let place = sources.place(span);
    assert!(place.line > 0 && place.column > 0, "{place:?}");
}
