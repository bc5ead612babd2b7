//! The symbols of a drawing: shapes of American practice, drawn anew, and some of our own where practice
//! has none. Every sheet explains those that it uses.
//!
//! Receptacles, switches, luminaires and boxes follow ANSI Y32.9, breakers, switches of power and earth IEEE 315
//! (from memory; neither was at hand in print). Bars, cords, buried lines and marks of doubt are our own.

use super::canvas::{Canvas, Pen, Side, Step, number};
use super::letters::Look;
use crate::wiring::Role;

/// What a sheet may show, in the order of its key.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Symbol {
    Bus,
    Breaker,
    Fuse,
    Disconnect,
    Duplex,
    Single,
    Special,
    ReceptacleUnsaid,
    Switch,
    ThreeWay,
    FourWay,
    DoublePole,
    Light,
    Motor,
    Machine,
    Junction,
    Unknown,
    Load,
    Cord,
    Buried,
    Rod,
    OtherElectrode,
    NeutralBar,
    GroundBar,
    Panel,
    Outdoors,
    Mark,
    Cap,
    Screw,
    Through,
    Open,
    Hot,
    Switched,
    Traveler,
    Neutral,
    Bonding,
    Other,
}

impl Symbol {
    /// The form of a wire that is for this.
    pub const fn of_role(role: Role) -> Symbol {
        match role {
            Role::Hot => Symbol::Hot,
            Role::SwitchedHot => Symbol::Switched,
            Role::Traveler => Symbol::Traveler,
            Role::Neutral => Symbol::Neutral,
            Role::EquipmentGround => Symbol::Bonding,
            Role::Signal | Role::Spare => Symbol::Other,
        }
    }

    /// What the key says of it.
    pub fn said(self) -> &'static str {
        match self {
            Symbol::Bus => "bus",
            Symbol::Breaker => "breaker",
            Symbol::Fuse => "fuse",
            Symbol::Disconnect => "disconnect",
            Symbol::Duplex => "receptacle, duplex",
            Symbol::Single => "receptacle, single",
            Symbol::Special => "receptacle, other pattern",
            Symbol::ReceptacleUnsaid => "receptacle, kind not said",
            Symbol::Switch => "switch",
            Symbol::ThreeWay => "3-way switch",
            Symbol::FourWay => "4-way switch",
            Symbol::DoublePole => "double-pole switch",
            Symbol::Light => "light",
            Symbol::Motor => "machine with a motor",
            Symbol::Machine => "machine or device",
            Symbol::Junction => "box without a device",
            Symbol::Unknown => "the plan does not say",
            Symbol::Load => "fed by the LOAD terminals before it",
            Symbol::Cord => "cord and plug",
            Symbol::Buried => "buried",
            Symbol::Rod => "ground rod",
            Symbol::OtherElectrode => "other electrode",
            Symbol::NeutralBar => "neutral bar",
            Symbol::GroundBar => "equipment ground bar",
            Symbol::Panel => "panel",
            Symbol::Outdoors => "outdoors",
            Symbol::Mark => "goes on where the same number stands",
            Symbol::Cap => "joint",
            Symbol::Screw => "terminal",
            Symbol::Through => "uncut",
            Symbol::Open => "cut or uncut: not said",
            Symbol::Hot => "hot, always live",
            Symbol::Switched => "hot, switched",
            Symbol::Traveler => "traveler",
            Symbol::Neutral => "neutral",
            Symbol::Bonding => "equipment grounding conductor",
            Symbol::Other => "signal or spare wire",
        }
    }

    /// Its marks around a center.
    pub fn draw(self, on: &mut Canvas, x: f64, y: f64) {
        let at = |template: &str| place(template, x, y);
        match self {
            Symbol::Bus => on.line(Pen::Bus, x - 14.0, y, &[Step::H(x + 14.0)]),
            // Along a line that goes across; the upright form is drawn by `protection_down`.
            Symbol::Breaker => breaker(on, x, y, false),
            Symbol::Fuse => {
                on.rect("open", x - 9.0, y - 4.0, 18.0, 8.0);
                on.path("line", &at("M-14,0 L14,0"));
            }
            Symbol::Disconnect => {
                on.path("line", &at("M-14,0 L-8,0 M8,0 L14,0 M-8,0 L7,-9"));
                on.circle("solid", x - 8.0, y, 1.8);
                on.circle("solid", x + 8.0, y, 1.8);
            }
            Symbol::Duplex => {
                on.circle("open", x, y, 8.0);
                on.path("line", &at("M-3,-12 L-3,12 M3,-12 L3,12"));
            }
            Symbol::Single => {
                on.circle("open", x, y, 8.0);
                on.path("line", &at("M0,-12 L0,12"));
            }
            Symbol::Special => {
                on.circle("open", x, y, 10.0);
                on.path("solid", &at("M0,-7 L6.2,4.2 L-6.2,4.2 Z"));
            }
            Symbol::ReceptacleUnsaid => {
                on.circle("open", x, y, 9.0);
                on.text(x, y + 4.0, Look::Strong, Side::Middle, "R?", 18.0);
            }
            Symbol::Switch => letter(on, x, y, "S"),
            Symbol::ThreeWay => letter(on, x, y, "S3"),
            Symbol::FourWay => letter(on, x, y, "S4"),
            Symbol::DoublePole => letter(on, x, y, "S2"),
            Symbol::Light => {
                on.circle("open", x, y, 7.0);
                on.path("line", &at("M-12,0 L-7,0 M7,0 L12,0 M0,-12 L0,-7 M0,7 L0,12"));
            }
            Symbol::Motor => {
                on.circle("open", x, y, 10.0);
                on.text(x, y + 4.0, Look::Strong, Side::Middle, "M", 18.0);
            }
            Symbol::Machine => on.rect("open", x - 11.0, y - 8.0, 22.0, 16.0),
            Symbol::Junction => {
                on.circle("open", x, y, 8.0);
                on.text(x, y + 4.0, Look::Strong, Side::Middle, "J", 14.0);
            }
            Symbol::Unknown => {
                on.circle("doubt", x, y, 8.0);
                on.text(x, y + 4.0, Look::Strong, Side::Middle, "?", 14.0);
            }
            Symbol::Load => on.path("solid", &at("M-4,-5 L5,0 L-4,5 Z")),
            Symbol::Cord => on.line(Pen::Cord, x - 14.0, y, &[Step::H(x + 14.0)]),
            Symbol::Buried => {
                on.line(Pen::Heavy, x, y - 11.0, &[Step::V(y + 11.0)]);
                buried(on, x, y - 9.0, y + 10.0);
            }
            Symbol::Rod => {
                on.path("heavy", &at("M0,-12 L0,4"));
                earth(on, x, y + 4.0);
            }
            Symbol::OtherElectrode => {
                on.path("line", &at("M0,-12 L0,4"));
                earth(on, x, y + 4.0);
            }
            Symbol::NeutralBar => {
                on.rect("open", x - 14.0, y - 6.0, 28.0, 7.0);
                on.path("hair", &at("M-10,1 L-10,6 M10,1 L10,6 M-13,6 L-7,6 M7,6 L13,6"));
            }
            Symbol::GroundBar => on.rect("solid", x - 14.0, y - 4.0, 28.0, 7.0),
            Symbol::Panel => {
                on.rect("open", x - 13.0, y - 9.0, 26.0, 18.0);
                on.rect("solid", x - 13.0, y - 9.0, 26.0, 5.0);
            }
            Symbol::Outdoors => on.rect("outdoors", x - 13.0, y - 8.0, 26.0, 16.0),
            Symbol::Mark => {
                on.circle("open", x, y, 10.0);
                on.text(x, y + 4.0, Look::Strong, Side::Middle, "1", 20.0);
            }
            Symbol::Cap => on.path("cap", &at("M-7,10 L-4,-10 L4,-10 L7,10 Z")),
            Symbol::Screw => {
                on.circle("open", x, y, 7.0);
                on.path("line", &at("M-4.5,0 L4.5,0"));
            }
            Symbol::Through => on.path("heavy", &at("M-12,0 L12,0")),
            Symbol::Open => on.rect("doubt", x - 10.0, y - 8.0, 20.0, 16.0),
            Symbol::Hot => on.stroke("hot", x - 16.0, y, x + 16.0),
            Symbol::Switched => on.stroke("switched", x - 16.0, y, x + 16.0),
            Symbol::Traveler => on.stroke("traveler", x - 16.0, y, x + 16.0),
            Symbol::Neutral => {
                on.stroke("neutral", x - 16.0, y, x + 16.0);
                on.stroke("inside", x - 16.0, y, x + 16.0);
            }
            Symbol::Bonding => on.stroke("bonding", x - 16.0, y, x + 16.0),
            Symbol::Other => on.stroke("signal", x - 16.0, y, x + 16.0),
        }
    }
}

/// A breaker in a line that goes across, or down.
fn breaker(on: &mut Canvas, x: f64, y: f64, is_down: bool) {
    let (arc, stubs, ends) = match is_down {
        false => ("M-8,-1 A11,11 0 0 1 8,-1", "M-14,0 L-8,0 M8,0 L14,0", [(-8.0, 0.0), (8.0, 0.0)]),
        true => ("M-1,-8 A11,11 0 0 0 -1,8", "M0,-14 L0,-8 M0,8 L0,14", [(0.0, -8.0), (0.0, 8.0)]),
    };
    let (arc, stubs) = (place(arc, x, y), place(stubs, x, y));
    on.path("line", &arc);
    on.path("heavy", &stubs);
    for (dx, dy) in ends {
        on.circle("solid", x + dx, y + dy, 1.8);
    }
}

/// What protects a line that goes down, from 14 above the center to 14 below.
pub(super) fn protection_down(on: &mut Canvas, symbol: Option<Symbol>, x: f64, y: f64) {
    on.used.extend(symbol);
    match symbol {
        Some(Symbol::Breaker) => breaker(on, x, y, true),
        Some(Symbol::Fuse) => {
            on.rect("open", x - 4.0, y - 9.0, 8.0, 18.0);
            on.path("line", &place("M0,-14 L0,14", x, y));
        }
        Some(other) => {
            on.path("heavy", &place("M0,-14 L0,-8 M0,8 L0,14", x, y));
            other.draw(on, x, y);
        }
        None => on.path("heavy", &place("M0,-14 L0,14", x, y)),
    }
}

/// Slanted hairs on both sides of a line that goes down.
pub(super) fn buried(on: &mut Canvas, x: f64, top: f64, bottom: f64) {
    let mut y = top;
    let mut path = String::new();
    while y + 5.0 <= bottom {
        let mut mark = |from: f64| {
            path.push_str(&format!("M{},{} L{},{} ", number(from), number(y + 5.0), number(from + 5.0), number(y)));
        };
        mark(x - 9.0);
        mark(x + 4.0);
        y += 6.0;
    }
    on.path("hair", path.trim_end());
}

fn earth(on: &mut Canvas, x: f64, y: f64) {
    on.path("line", &place("M-9,0 L9,0 M-6,3.5 L6,3.5 M-3,7 L3,7", x, y));
}

/// The letter S of a switch with its number, on paper that hides the line.
fn letter(on: &mut Canvas, x: f64, y: f64, text: &str) {
    on.rect("paper", x - 10.0, y - 9.0, 20.0, 18.0);
    on.text(x, y + 5.0, Look::Name, Side::Middle, text, 20.0);
}

/// A path around 0,0, moved: every `x,y` of it.
fn place(template: &str, x: f64, y: f64) -> String {
    let mut out = String::new();
    for part in template.split(' ') {
        let (letter, rest) = match part.chars().next() {
            Some(c) if c.is_ascii_alphabetic() => part.split_at(1),
            _ => ("", part),
        };
        if !out.is_empty() {
            out.push(' ');
        }
        out.push_str(letter);
        // Radii and flags of an arc stay; only ends move.
        let is_radius = letter == "A";
        match rest.split_once(',').and_then(|(a, b)| Some((a.parse::<f64>().ok()?, b.parse::<f64>().ok()?))) {
            Some((dx, dy)) if !is_radius => out.push_str(&format!("{},{}", number(x + dx), number(y + dy))),
            _ => out.push_str(rest),
        }
    }
    out
}
