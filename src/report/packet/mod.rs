//! The packet: one HTML file to print for the permit office, the inspector and the owner.
//!
//! It computes nothing. Reports, lists and drawings that the other outputs print are laid out as sheets on
//! letter paper. What the plan doesn't say is a blank with its question; what it says is linked to its line.
//!
//! Every text goes through [`maud`]'s escaping and, once the file is whole, through
//! [`printable`](super::printable): there is no third way into the file.

mod asked;
mod checks;
mod cover;
mod directory;
mod drawings;
mod figures;
mod frame;
mod joining;
mod materials;
mod plan;
mod pull;
mod questions;
mod record;
mod sketch;

use super::teller::Teller;
use super::text::grouped;
use super::wires::WireSheets;
use super::{Depth, Finding, Report, printable};
use crate::law::code::Stage;
use crate::law::verdict::Outcome;
use crate::report::{figures::ItemSheet, wires};
use crate::{Checked, Rules};
use maud::{DOCTYPE, Markup, PreEscaped, html};

/// What may be printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sheet {
    /// Job, what is built, what the check found, room for signatures, the other sheets.
    Cover,
    /// From the supply down to what each circuit feeds, as a diagram.
    OneLine,
    /// Boxes and the runs between them, as a diagram.
    Map,
    /// Grids to draw on: where things are stands in no plan.
    Sketch,
    /// What stands in each space of each panel, and what the plan says of the panel.
    Directory,
    /// How every figure comes about.
    Figures,
    /// What to pull through each run.
    Pull,
    /// What to join in each box.
    Joining,
    /// What to buy.
    Materials,
    /// What is looked at in each stage, with room for initials.
    Checks,
    /// What the plan leaves open, with room for answers.
    Questions,
    /// What to test, with room for readings.
    Tests,
    /// The plan, line by line.
    Plan,
}

/// Whom a packet is printed for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reader {
    /// Who looks at plans before anything is built.
    Office,
    /// Who comes to the shop.
    Inspector,
    /// Who pulls wire and joins it.
    Bench,
}

impl Reader {
    /// Its name on the command line.
    pub fn name(self) -> &'static str {
        match self {
            Reader::Office => "office",
            Reader::Inspector => "inspector",
            Reader::Bench => "bench",
        }
    }

    /// Who that is, for help.
    pub fn who(self) -> &'static str {
        match self {
            Reader::Office => "Who looks at plans: cover, diagrams, sketch, directory, figures, plan",
            Reader::Inspector => "Who comes to the shop: cover, one-line diagram, checks, questions, tests",
            Reader::Bench => "Who pulls and joins wire: map, pull list, joining charts, materials",
        }
    }

    /// The sheets that this reader works with.
    pub fn sheets(self) -> &'static [Sheet] {
        match self {
            Reader::Office => &[
                Sheet::Cover,
                Sheet::OneLine,
                Sheet::Map,
                Sheet::Sketch,
                Sheet::Directory,
                Sheet::Figures,
                Sheet::Plan,
            ],
            Reader::Inspector => &[Sheet::Cover, Sheet::OneLine, Sheet::Checks, Sheet::Questions, Sheet::Tests],
            Reader::Bench => &[Sheet::Map, Sheet::Pull, Sheet::Joining, Sheet::Materials],
        }
    }
}

/// What goes into a packet.
#[derive(Clone, Debug, Default)]
pub struct Options {
    /// These sheets only; all of them where none is named.
    pub sheets: Vec<Sheet>,
    /// The day that stands on the cover; none leaves a blank for it.
    pub date: Option<String>,
    /// Stages that were checked; all of them where none is named.
    pub stages: Vec<Stage>,
}

impl Sheet {
    /// Every sheet, in the order of the packet.
    pub const ALL: [Sheet; 13] = [
        Sheet::Cover,
        Sheet::OneLine,
        Sheet::Map,
        Sheet::Sketch,
        Sheet::Directory,
        Sheet::Figures,
        Sheet::Pull,
        Sheet::Joining,
        Sheet::Materials,
        Sheet::Checks,
        Sheet::Questions,
        Sheet::Tests,
        Sheet::Plan,
    ];

    /// Its name on the command line.
    pub fn name(self) -> &'static str {
        match self {
            Sheet::Cover => "cover",
            Sheet::OneLine => "one-line",
            Sheet::Map => "map",
            Sheet::Sketch => "sketch",
            Sheet::Directory => "directory",
            Sheet::Figures => "figures",
            Sheet::Pull => "pull",
            Sheet::Joining => "joining",
            Sheet::Materials => "materials",
            Sheet::Checks => "checks",
            Sheet::Questions => "questions",
            Sheet::Tests => "tests",
            Sheet::Plan => "plan",
        }
    }

    /// Its heading.
    pub fn title(self) -> &'static str {
        match self {
            Sheet::Cover => "Electrical plan",
            Sheet::OneLine => "One-line diagram",
            Sheet::Map => "Boxes and runs",
            Sheet::Sketch => "Site and floor sketch",
            Sheet::Directory => "Panel directory",
            Sheet::Figures => "Calculation sheet",
            Sheet::Pull => "Pull list",
            Sheet::Joining => "Joining charts",
            Sheet::Materials => "Materials",
            Sheet::Checks => "Checks by stage",
            Sheet::Questions => "Open questions",
            Sheet::Tests => "Test record",
            Sheet::Plan => "The plan, line by line",
        }
    }

    /// Its number, the same whichever sheets are printed: `E5`.
    pub fn number(self) -> String {
        let place = Sheet::ALL.iter().position(|s| *s == self).unwrap_or_default();
        format!("E{}", place.saturating_add(1))
    }
}

/// The packet of a checked plan as one HTML document.
pub fn packet(rules: &Rules, checked: &Checked, options: &Options) -> String {
    // Trying every answer takes longer than all the rest, and only the questions show it.
    let is_asked = options.sheets.is_empty() || options.sheets.contains(&Sheet::Questions);
    let report = Report::of(rules, checked, if is_asked { Depth::Answers } else { Depth::Verdicts });
    let packet = Packet {
        teller: Teller::new(rules, checked),
        figures: super::figures::sheets(rules, checked, None),
        wires: wires::sheets(rules, checked, None),
        report: &report,
        attention: grouped(report.with(Outcome::Attention, false)),
        advice: grouped(report.with(Outcome::Attention, true)),
        rules,
        checked,
        options,
    };
    printable(&packet.document().into_string()).into_owned()
}

/// What every sheet is made from.
struct Packet<'a> {
    rules: &'a Rules,
    checked: &'a Checked,
    options: &'a Options,
    teller: Teller<'a>,
    report: &'a Report,
    figures: Vec<ItemSheet>,
    wires: WireSheets,
    /// What does not meet the code, rule by rule; numbered A1, A2 ….
    attention: Vec<Vec<&'a Finding>>,
    /// What good practice asks for, rule by rule; numbered D1, D2 ….
    advice: Vec<Vec<&'a Finding>>,
}

impl Packet<'_> {
    fn document(&self) -> Markup {
        // A sheet with nothing on it is left out, and the cover says why.
        let mut bodies = Vec::new();
        let mut left_out = Vec::new();
        for sheet in Sheet::ALL.into_iter().filter(|s| *s != Sheet::Cover && self.prints(*s)) {
            match self.body(sheet) {
                Ok(body) => bodies.push((sheet, body)),
                Err(why) if self.options.sheets.is_empty() => left_out.push((sheet, why)),
                Err(why) => bodies.push((sheet, self.sheet(sheet, html! { p { (why) } }))),
            }
        }
        let printed: Vec<Sheet> = bodies.iter().map(|(sheet, _)| *sheet).collect();
        html! {
            (DOCTYPE)
            html lang="en" {
                head {
                    meta charset="utf-8";
                    meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'";
                    meta name="viewport" content="width=device-width, initial-scale=1";
                    meta name="referrer" content="no-referrer";
                    title { (self.job()) ": electrical plan" }
                    style { (PreEscaped(include_str!("style.css"))) (PreEscaped(super::drawing::STYLE)) }
                }
                body {
                    main {
                        @if self.prints(Sheet::Cover) { (self.cover(&printed, &left_out)) }
                        @for (_, body) in &bodies { (body) }
                    }
                }
            }
        }
    }

    /// Whether a sheet is wanted.
    fn prints(&self, sheet: Sheet) -> bool {
        self.options.sheets.is_empty() || self.options.sheets.contains(&sheet)
    }

    /// A sheet; where there is nothing to print, why.
    fn body(&self, sheet: Sheet) -> Result<Markup, &'static str> {
        match sheet {
            Sheet::Cover => Ok(html! {}),
            Sheet::OneLine => self.one_line(),
            Sheet::Map => self.map(),
            Sheet::Sketch => Ok(self.sketch()),
            Sheet::Directory => self.directory(),
            Sheet::Figures => self.figures(),
            Sheet::Pull => self.pull(),
            Sheet::Joining => self.joining(),
            Sheet::Materials => self.materials(),
            Sheet::Checks => self.checks(),
            Sheet::Questions => self.questions(),
            Sheet::Tests => self.record(),
            Sheet::Plan => Ok(self.plan()),
        }
    }
}
