//! A sheet that is drawn on: text that fits, lines, symbols. Everything is escaped here and nowhere else.

use super::metrics;
use crate::report::printable;
use std::fmt::Write;

/// A face of the drawings: size and weight.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Face {
    /// Names: 13.3 units (10 point), bold.
    Name,
    /// Bold labels: 11 units.
    Bold,
    /// All else: 11 units, the least that a print is read at.
    Label,
    /// Spoken by the program, not by the plan: 11 units, slanted.
    Slant,
}

impl Face {
    pub fn size(self) -> f64 {
        if self == Face::Name { 13.3 } else { 11.0 }
    }

    pub fn is_bold(self) -> bool {
        matches!(self, Face::Name | Face::Bold)
    }

    fn class(self) -> &'static str {
        match self {
            Face::Name => "n",
            Face::Bold => "b",
            Face::Label => "l",
            Face::Slant => "i",
        }
    }

    pub fn width(self, text: &str) -> f64 {
        metrics::width(text, self.size(), self.is_bold())
    }

    pub fn wrap(self, text: &str, most: f64, lines: usize) -> Vec<String> {
        metrics::wrap(text, most, self.size(), self.is_bold(), lines)
    }
}

/// Where a text stands against its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum At {
    Start,
    Middle,
    End,
}

/// What has been drawn so far, in units of 1/96 inch.
#[derive(Clone, Debug, Default)]
pub struct Canvas {
    body: String,
}

/// Height of a line of labels.
pub const LINE: f64 = 14.0;

impl Canvas {
    /// A text on one line, cut where it would be wider than `most`.
    pub fn text(&mut self, (x, y): (f64, f64), face: Face, at: At, most: f64, text: &str) {
        let text = metrics::fit(text, most, face.size(), face.is_bold());
        if text.is_empty() {
            return;
        }
        let at = match at {
            At::Start => "",
            At::Middle => " m",
            At::End => " e",
        };
        let (x, y) = (number(x), number(y));
        self.put(format_args!("<text x=\"{x}\" y=\"{y}\" class=\"{}{at}\">{}</text>", face.class(), escaped(&text)));
    }

    /// Lines of text under each other; gives the place under the last.
    pub fn lines(&mut self, (x, y): (f64, f64), face: Face, at: At, most: f64, lines: &[String]) -> f64 {
        let mut y = y;
        for line in lines {
            self.text((x, y), face, at, most, line);
            y += LINE;
        }
        y
    }

    /// A path from absolute points: `M`, then `L` to each.
    pub fn line(&mut self, class: &str, points: &[(f64, f64)]) {
        let mut path = String::new();
        for (i, (x, y)) in points.iter().enumerate() {
            let _ = write!(path, "{}{},{} ", if i == 0 { "M" } else { "L" }, number(*x), number(*y));
        }
        self.path(class, path.trim_end());
    }

    /// A path as it is written; only for paths that stand in this program.
    pub fn path(&mut self, class: &str, path: &str) {
        self.put(format_args!("<path class=\"{class}\" d=\"{path}\"/>"));
    }

    /// The same, moved to a place.
    pub fn path_at(&mut self, class: &str, (x, y): (f64, f64), path: &str) {
        let (x, y) = (number(x), number(y));
        self.put(format_args!("<path class=\"{class}\" transform=\"translate({x},{y})\" d=\"{path}\"/>"));
    }

    pub fn rect(&mut self, class: &str, (x, y): (f64, f64), (w, h): (f64, f64)) {
        let (x, y, w, h) = (number(x), number(y), number(w), number(h));
        self.put(format_args!("<rect class=\"{class}\" x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\"/>"));
    }

    pub fn circle(&mut self, class: &str, (x, y): (f64, f64), r: f64) {
        let (x, y, r) = (number(x), number(y), number(r));
        self.put(format_args!("<circle class=\"{class}\" cx=\"{x}\" cy=\"{y}\" r=\"{r}\"/>"));
    }

    fn put(&mut self, element: std::fmt::Arguments<'_>) {
        let _ = self.body.write_fmt(element);
        self.body.push('\n');
    }

    pub fn finish(self) -> String {
        self.body
    }
}

/// A coordinate to a tenth of a unit, so that the same plan gives the same bytes everywhere.
pub fn number(value: f64) -> String {
    let tenths = (value * 10.0).round() / 10.0;
    // Minus zero is zero.
    format!("{}", tenths + 0.0)
}

/// Text fit for the inside of an element or a quoted attribute; controls and marks that turn the direction of
/// writing are shown, not obeyed.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in printable(text).chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            _ => out.push(c),
        }
    }
    out
}
