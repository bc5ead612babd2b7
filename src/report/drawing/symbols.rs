//! Symbols, drawn anew after the common forms of ANSI Y32.9 (plans) and IEEE 315 (diagrams), both from memory.

use super::canvas::{At, Canvas, Face};
use std::collections::BTreeSet;

/// What a symbol stands for, in the order of the key.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Symbol {
    Breaker,
    Disconnect,
    Receptacle,
    Special,
    Switch,
    Light,
    Motor,
    Machine,
    Other,
    Earth,
    Cord,
    Buried,
    Open,
}

impl Symbol {
    /// What the key says.
    pub fn name(self) -> &'static str {
        match self {
            Symbol::Breaker => "breaker",
            Symbol::Disconnect => "disconnect",
            Symbol::Receptacle => "receptacle",
            Symbol::Special => "special receptacle",
            Symbol::Switch => "switch (3, 4: 3-way, 4-way)",
            Symbol::Light => "light",
            Symbol::Motor => "motor",
            Symbol::Machine => "machine",
            Symbol::Other => "device",
            Symbol::Earth => "electrode",
            Symbol::Cord => "cord and plug",
            Symbol::Buried => "in earth",
            Symbol::Open => "not said",
        }
    }

    /// Draws it around a point; a line through comes from the left and goes on to the right.
    pub fn draw(self, canvas: &mut Canvas, at: (f64, f64), mark: &str) {
        let (x, y) = at;
        match self {
            Symbol::Breaker => {
                canvas.path_at("line", at, "M-16,0H-8M8,0H16M-8,-1A11,11 0 0 1 8,-1");
                canvas.circle("solid", (x - 8.0, y), 1.8);
                canvas.circle("solid", (x + 8.0, y), 1.8);
            }
            Symbol::Disconnect => {
                canvas.path_at("line", at, "M-14,0H-8L7,-9M8,0H14");
                canvas.circle("solid", (x - 8.0, y), 1.8);
                canvas.circle("solid", (x + 8.0, y), 1.8);
            }
            Symbol::Receptacle => {
                canvas.circle("paper", at, 8.0);
                canvas.path_at("line", at, "M-3,-13V13M3,-13V13");
            }
            Symbol::Special => {
                canvas.circle("paper", at, 10.0);
                canvas.path_at("solid", at, "M0,-7L6.2,4.2H-6.2Z");
            }
            Symbol::Switch => {
                canvas.rect("paper", (x - 10.0, y - 9.0), (20.0, 18.0));
                canvas.text((x, y + 4.0), Face::Bold, At::Middle, 20.0, &format!("S{mark}"));
            }
            Symbol::Light => {
                canvas.circle("paper", at, 8.0);
                canvas.path_at("line", at, "M-13,0H-8M8,0H13M0,-13V-8M0,8V13");
            }
            Symbol::Motor => {
                canvas.circle("paper", at, 10.0);
                canvas.text((x, y + 4.0), Face::Bold, At::Middle, 16.0, "M");
            }
            Symbol::Machine => canvas.rect("paper", (x - 12.0, y - 9.0), (24.0, 18.0)),
            Symbol::Other => {
                canvas.circle("paper", at, 8.0);
                canvas.text((x, y + 4.0), Face::Bold, At::Middle, 14.0, "D");
            }
            Symbol::Earth => canvas.path_at("line", at, "M0,-8V0M-10,0H10M-6.5,4H6.5M-3,8H3"),
            Symbol::Cord => canvas.path_at("cord", at, "M-14,0H14"),
            Symbol::Buried => canvas.path_at("hair", at, "M-12,-6L-6,-12M-4,-6L2,-12M4,-6L10,-12M-14,-4H14"),
            Symbol::Open => {
                canvas.circle("paper", at, 9.0);
                canvas.text((x, y + 4.0), Face::Bold, At::Middle, 14.0, "?");
            }
        }
    }
}

/// The key of the symbols that a sheet uses, in rows from a height down. Gives the height under it.
pub fn key(canvas: &mut Canvas, used: &BTreeSet<Symbol>, y: f64, width: f64) -> f64 {
    let mut at = (24.0, y + 16.0);
    for symbol in used {
        let room = 40.0 + Face::Label.width(symbol.name());
        if at.0 + room > width - 8.0 {
            at = (24.0, at.1 + 32.0);
        }
        symbol.draw(canvas, at, "");
        canvas.text((at.0 + 20.0, at.1 + 4.0), Face::Label, At::Start, room, symbol.name());
        at.0 += room + 14.0;
    }
    at.1 + 20.0
}
