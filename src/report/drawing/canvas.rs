//! Where marks go: lines, text that fits, and symbols, each counted for the key.

use super::letters::{Look, clean, fit, width, wrap};
use super::symbols::Symbol;
use std::collections::BTreeSet;
use std::fmt::Write;

/// Marks on one sheet, so far.
#[derive(Clone, Debug, Default)]
pub(super) struct Canvas {
    body: String,
    /// What the key has to explain.
    pub used: BTreeSet<Symbol>,
    /// What is drawn, in sentences, for those who don't see it.
    pub told: Vec<String>,
    /// The lowest mark.
    pub bottom: f64,
}

/// How a line is drawn; what each form means stands in the style sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Pen {
    Hair,
    Line,
    Heavy,
    Bus,
    Dash,
    Cord,
}

impl Pen {
    const fn class(self) -> &'static str {
        match self {
            Pen::Hair => "hair",
            Pen::Line => "line",
            Pen::Heavy => "heavy",
            Pen::Bus => "bus",
            Pen::Dash => "dash",
            Pen::Cord => "cord",
        }
    }
}

/// On which side of its place a text stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    Right,
    Left,
    Middle,
}

/// A step of a line: to a place across, down, or both.
#[derive(Clone, Copy, Debug)]
pub(super) enum Step {
    H(f64),
    V(f64),
}

impl Canvas {
    /// A text at its baseline, cut where it finds no room.
    pub fn text(&mut self, x: f64, y: f64, look: Look, side: Side, text: &str, room: f64) {
        let text = fit(text, look, room);
        if text.is_empty() {
            return;
        }
        let anchor = match side {
            Side::Right => "",
            Side::Left => " end",
            Side::Middle => " middle",
        };
        // The widths of letters outside ASCII are not known: the browser is told to keep to what was reckoned.
        let length = match text.is_ascii() {
            true => String::new(),
            false => {
                format!(" textLength=\"{}\" lengthAdjust=\"spacingAndGlyphs\"", number(width(&text, look).min(room)))
            }
        };
        let _ = writeln!(
            self.body,
            "<text x=\"{}\" y=\"{}\" class=\"{}{anchor}\"{length}>{}</text>",
            number(x),
            number(y),
            look.class(),
            escape(&text)
        );
        self.reach(y + 3.0);
    }

    /// A text in several lines; gives the baseline of the line below it.
    pub fn lines(&mut self, x: f64, y: f64, look: Look, text: &str, room: f64, most: usize) -> f64 {
        // Sentences can be broken early, so that they fit in the widest face that a reader may have; names can't.
        let room = if look == Look::Slanted { room * 0.87 } else { room };
        let mut y = y;
        for line in wrap(text, look, room, most) {
            self.text(x, y, look, Side::Right, &line, room);
            y += LEADING;
        }
        y
    }

    /// A line from a place through steps along the axes.
    pub fn line(&mut self, pen: Pen, x: f64, y: f64, steps: &[Step]) {
        let mut path = format!("M{},{}", number(x), number(y));
        for step in steps {
            match step {
                Step::H(x) => path.push_str(&format!(" H{}", number(*x))),
                Step::V(y) => {
                    path.push_str(&format!(" V{}", number(*y)));
                    self.reach(*y);
                }
            }
        }
        self.path(pen.class(), &path);
        self.reach(y);
    }

    /// A stroke across, of a class of the style sheet.
    pub fn stroke(&mut self, class: &str, from: f64, y: f64, to: f64) {
        let path = format!("M{},{} H{}", number(from), number(y), number(to));
        self.path(class, &path);
        self.reach(y);
    }

    /// A path of a class of the style sheet.
    pub fn path(&mut self, class: &str, path: &str) {
        let _ = writeln!(self.body, "<path d=\"{path}\" class=\"{class}\"/>");
    }

    /// A frame.
    pub fn rect(&mut self, class: &str, x: f64, y: f64, width: f64, height: f64) {
        let (left, top) = (number(x), number(y));
        let _ = writeln!(
            self.body,
            "<rect x=\"{left}\" y=\"{top}\" width=\"{}\" height=\"{}\" class=\"{class}\"/>",
            number(width),
            number(height)
        );
        self.reach(y + height);
    }

    /// A circle.
    pub fn circle(&mut self, class: &str, x: f64, y: f64, r: f64) {
        let (x, y, r) = (number(x), number(y), number(r));
        let _ = writeln!(self.body, "<circle cx=\"{x}\" cy=\"{y}\" r=\"{r}\" class=\"{class}\"/>");
    }

    /// A symbol around its center, to be explained in the key.
    pub fn symbol(&mut self, symbol: Symbol, x: f64, y: f64) {
        self.used.insert(symbol);
        symbol.draw(self, x, y);
    }

    /// Says what is drawn.
    pub fn tell(&mut self, text: &str) {
        self.told.push(clean(text));
    }

    /// Takes over what was drawn apart.
    pub fn add(&mut self, other: Canvas) {
        self.body.push_str(&other.body);
        self.used.extend(other.used);
        self.told.extend(other.told);
        self.reach(other.bottom);
    }

    /// What was drawn.
    pub fn into_body(self) -> String {
        self.body
    }

    fn reach(&mut self, y: f64) {
        self.bottom = self.bottom.max(y);
    }
}

/// From one line of text to the next.
pub(super) const LEADING: f64 = 13.0;

/// A number to a tenth, which is finer than any printer: the same plan gives the same bytes.
pub(super) fn number(value: f64) -> String {
    let text = format!("{value:.1}");
    match text.strip_suffix(".0") {
        Some("-0") => "0".to_string(),
        Some(whole) => whole.to_string(),
        None => text,
    }
}

/// Text inside a drawing. Everything that a plan says passes here.
pub(super) fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
    out
}
