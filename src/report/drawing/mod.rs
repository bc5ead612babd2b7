//! Diagrams of a plan as SVG, on sheets that print at true size: the one-line diagram, the map of boxes and
//! runs, and the chart of joints in a box.
//!
//! Nothing is placed by chance or by eye: every text is measured and has room of its own, so that the same
//! plan gives the same bytes and no name, however long, covers another. The plan holds no places; a drawing
//! shows what hangs on what, not where. What the plan does not say is a blank with a question mark.

mod canvas;
mod electrodes;
mod facts;
mod joining;
pub mod letters;
mod loads;
mod map;
mod one_line;
mod row;
mod sheets;
mod symbols;

use crate::{Checked, Rules};
use canvas::{escape, number};
use facts::Facts;
use std::fmt::Write;

pub use joining::{Charts, Part, charts, joining};

/// The style of every drawing; an HTML page that holds drawings ([`Drawing::inline`]) needs it once.
pub const STYLE: &str = include_str!("style.css");

/// One sheet of one drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    /// Unlike any other drawing's of the same plan, fit for an XML id: `one-line-1`, `box-3-1`.
    pub id: String,
    /// Its name: `One-line diagram, sheet 1 of 2`.
    pub title: String,
    /// What it shows, in sentences, for those who don't see it.
    pub description: String,
    /// In units of 1/96 inch; at most 696, so that it fits letter and A4 upright.
    pub width: f64,
    /// In units of 1/96 inch; at most 808.
    pub height: f64,
    body: String,
}

impl Drawing {
    /// An element to stand in an HTML page that has [`STYLE`].
    pub fn inline(&self) -> String {
        self.element("", 0.0)
    }

    /// The same as a file of its own.
    pub fn alone(&self) -> String {
        document(std::slice::from_ref(self))
    }

    fn element(&self, style: &str, y: f64) -> String {
        let mut out = String::new();
        let (width, height) = (number(self.width), number(self.height));
        let _ = writeln!(
            out,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"drawing\" role=\"img\" \
             aria-labelledby=\"{id}-title {id}-desc\" {}width=\"{:.3}in\" height=\"{:.3}in\" \
             viewBox=\"0 0 {width} {height}\">",
            if y > 0.0 { format!("y=\"{}\" ", number(y)) } else { String::new() },
            self.width / 96.0,
            self.height / 96.0,
            id = self.id,
        );
        let _ = writeln!(out, "<title id=\"{}-title\">{}</title>", self.id, escape(&self.title));
        let _ = writeln!(out, "<desc id=\"{}-desc\">{}</desc>", self.id, escape(&self.description));
        let _ =
            writeln!(out, "{style}<rect width=\"{width}\" height=\"{height}\" class=\"sheet\"/>\n{}</svg>", self.body);
        out
    }
}

/// Sheets as one file of their own: a single one at true size, several below each other.
pub fn document(sheets: &[Drawing]) -> String {
    const HEAD: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n";
    const GAP: f64 = 16.0;
    let style = format!("<style>\n{STYLE}</style>\n");
    if let [only] = sheets {
        return format!("{HEAD}{}", only.element(&style, 0.0));
    }
    let mut y = 0.0;
    let mut all = String::new();
    for sheet in sheets {
        all.push_str(&sheet.element("", y));
        y += sheet.height + GAP;
    }
    let width = number(sheets.iter().fold(0.0, |most, sheet| sheet.width.max(most)));
    let height = number((y - GAP).max(0.0));
    format!(
        "{HEAD}<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" \
         viewBox=\"0 0 {width} {height}\">\n{style}{all}</svg>\n"
    )
}

/// The one-line diagram: supplies, feeders, panels, breakers, circuits and what they feed, electrodes. One
/// sheet, or as many as it takes; a sheet at least, even of an empty plan.
pub fn one_line(rules: &Rules, checked: &Checked) -> Vec<Drawing> {
    one_line::draw(&Facts::new(rules, checked))
}

/// The map of boxes, the runs between them and what each run carries. One sheet, or as many as it takes;
/// none where the plan draws no run.
pub fn map(rules: &Rules, checked: &Checked) -> Vec<Drawing> {
    map::draw(&Facts::new(rules, checked))
}
