//! Sheets: a new one begins where the former is full; head and key are put on at the end.

use super::Drawing;
use super::canvas::{Canvas, Pen, Side, Step};
use super::letters::{Look, clean, width};
use super::symbols::Symbol;
use std::collections::BTreeSet;

/// Width of a sheet.
pub(super) const WIDTH: f64 = 696.0;
/// From its edges to what is drawn.
pub(super) const MARGIN: f64 = 8.0;
/// Height that fits below the head of a page in print.
const HEIGHT: f64 = 808.0;
/// Where the drawing begins, below its head.
const TOP: f64 = 58.0;
/// A row of the key.
const KEY_ROW: f64 = 27.0;

/// Room for the mark that a drawing goes on, or for what ends it.
const ENDING: f64 = 32.0;

/// A drawing under way.
pub(super) struct Sheets {
    /// The sheet that is being filled.
    pub on: Canvas,
    /// Where the next thing goes.
    pub y: f64,
    done: Vec<Canvas>,
    key: Vec<(Symbol, &'static str)>,
}

/// What stands at the head of each sheet.
pub(super) struct Heading<'a> {
    /// See [`Drawing::id`].
    pub id: &'a str,
    /// `One-line diagram`.
    pub title: &'a str,
    /// What the plan is called.
    pub subject: &'a str,
    /// What the reader must know.
    pub remark: &'a str,
}

impl Sheets {
    /// Begins the first sheet.
    pub fn new() -> Sheets {
        Sheets { on: Canvas::default(), y: TOP, done: Vec::new(), key: Vec::new() }
    }

    /// Says something else of a symbol in the key.
    pub fn say(&mut self, symbol: Symbol, text: &'static str) {
        self.key.push((symbol, text));
    }

    /// Draws something at the next place, if it finds room there with the key that it needs. What is drawn gives
    /// the place below itself.
    pub fn put(&mut self, draw: impl Fn(&mut Canvas, f64) -> f64) -> bool {
        let mut trial = Canvas::default();
        let below = draw(&mut trial, self.y);
        self.put_drawn(trial, below)
    }

    /// The same for something that was drawn at [`Sheets::y`] and ends at `below`.
    pub fn put_drawn(&mut self, trial: Canvas, below: f64) -> bool {
        let used: BTreeSet<Symbol> = self.on.used.union(&trial.used).copied().collect();
        let key = self.key(&used, &mut Canvas::default(), 0.0);
        if below.max(trial.bottom) + ENDING + key + 14.0 > HEIGHT && self.y > TOP {
            return false;
        }
        self.on.add(trial);
        self.y = below;
        true
    }

    /// Draws something on this sheet or the next.
    pub fn place(&mut self, draw: impl Fn(&mut Canvas, f64) -> f64) {
        if !self.put(&draw) {
            self.turn();
            self.put(&draw);
        }
    }

    /// Draws what ends the thing above on its sheet, no higher than the room that is kept for that.
    pub fn end(&mut self, draw: impl Fn(&mut Canvas, f64) -> f64) {
        self.y = draw(&mut self.on, self.y);
    }

    /// Begins a new sheet.
    pub fn turn(&mut self) {
        self.done.push(std::mem::take(&mut self.on));
        self.y = TOP;
    }

    /// The number of the sheet that is being filled, from 1.
    pub fn number(&self) -> usize {
        self.done.len().saturating_add(1)
    }

    /// Puts heads and keys on.
    pub fn finish(mut self, heading: &Heading<'_>) -> Vec<Drawing> {
        self.turn();
        let done = std::mem::take(&mut self.done);
        let count = done.len();
        let finish = |(index, on): (usize, Canvas)| self.finished(heading, index.saturating_add(1), count, on);
        done.into_iter().enumerate().map(finish).collect()
    }

    fn finished(&self, heading: &Heading<'_>, number: usize, count: usize, mut on: Canvas) -> Drawing {
        let title = match count {
            1 => heading.title.to_string(),
            _ => format!("{}, sheet {number} of {count}", heading.title),
        };
        let right = WIDTH - MARGIN;
        let room = right - MARGIN;
        on.text(MARGIN, 18.0, Look::Head, Side::Right, &title, room);
        let left = room - width(&title, Look::Head) - 16.0;
        on.text(right, 18.0, Look::Plain, Side::Left, heading.subject, left.max(0.0));
        on.lines(MARGIN, 34.0, Look::Slanted, heading.remark, room, 2);
        let used = on.used.clone();
        let top = on.bottom + 8.0;
        let height = top + self.key(&used, &mut on, top) + 6.0;
        Drawing {
            id: format!("{}-{number}", heading.id),
            description: std::mem::take(&mut on.told).join(" "),
            title: match heading.subject {
                "" => title,
                subject => format!("{title}: {}", clean(subject)),
            },
            width: WIDTH,
            height,
            body: on.into_body(),
        }
    }

    /// Explains what was used, in rows; gives how high they are.
    fn key(&self, used: &BTreeSet<Symbol>, on: &mut Canvas, top: f64) -> f64 {
        if used.is_empty() {
            return 0.0;
        }
        let said = |symbol: Symbol| {
            let own = self.key.iter().find(|(s, _)| *s == symbol);
            own.map_or_else(|| symbol.said(), |(_, text)| text)
        };
        on.line(Pen::Hair, MARGIN, top, &[Step::H(WIDTH - MARGIN)]);
        let mut x = MARGIN;
        let mut y = top + 18.0;
        for symbol in used {
            let text = said(*symbol);
            let wide = 36.0 + width(text, Look::Plain) + 12.0;
            if x + wide > WIDTH - MARGIN + 12.0 {
                x = MARGIN;
                y += KEY_ROW;
            }
            symbol.draw(on, x + 16.0, y);
            on.text(x + 36.0, y + 4.0, Look::Plain, Side::Right, text, wide);
            x += wide;
        }
        y + 12.0 - top
    }
}

/// What symbols mean, as a drawing by itself; none where none is used.
pub(super) fn key_alone(id: &str, title: &str, used: &BTreeSet<Symbol>) -> Option<Drawing> {
    if used.is_empty() {
        return None;
    }
    let mut on = Canvas::default();
    let height = Sheets::new().key(used, &mut on, 1.0);
    let said: Vec<&str> = used.iter().map(|symbol| symbol.said()).collect();
    let description = format!("Marks for: {}.", said.join(", "));
    Some(Drawing { id: id.into(), title: title.into(), description, width: WIDTH, height, body: on.into_body() })
}
