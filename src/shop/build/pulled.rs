//! Wires really pulled: `pulled B1 to B2: 2 x 12 AWG Cu THWN-2 black, unmarked out of NM-B`.

#![expect(clippy::arithmetic_side_effects, reason = "places among the words of a line, whose length is limited")]

use super::Builder;
use super::phrases::Tokens;
use super::state::Said;
use crate::plan::syntax::{Item, Phrase, Token};
use crate::shop::{Head, ItemRef, List, Value};
use crate::text::Problem;
use crate::words::{Kind, Kinds, choice, name};

/// The most wires of one phrase.
const MOST_WIRES: i64 = 200;

/// What stands behind the wire itself: marks, role, origin.
#[derive(Default)]
struct Rest {
    role: Option<u64>,
    is_remarked: Option<bool>,
    out_of: Option<u64>,
    is_out_of_cable: bool,
}

impl Builder {
    /// One `pulled` item: its wires join the run, or the feeder or circuit, that it names. Where part
    /// of it could not be read there may be more.
    pub fn pulled(&mut self, item: &Item, has_unread: bool) {
        let Some(of) = self.pulled_in(item) else { return };
        let phrases: Vec<&Phrase> = item.lines.iter().flat_map(|l| &l.phrases).collect();
        let mut all: Vec<ItemRef> = Vec::new();
        let mut is_open = has_unread;
        // `used`, `out of cable`, `to pull` alone speak of every wire of the item.
        let (of_all, of_one): (Vec<&Phrase>, Vec<&Phrase>) =
            phrases.into_iter().partition(|p| !self.begins_wire(&p.tokens.iter().collect::<Vec<_>>()));
        for phrase in of_one {
            let said = Said::planned(phrase.span);
            match self.pulled_wires(of, phrase, said) {
                Some((wires, open)) => {
                    is_open |= open;
                    all.extend(wires);
                }
                None => {
                    is_open = true;
                    let tokens: Vec<&Token> = phrase.tokens.iter().collect();
                    self.not_a_wire(&tokens, said);
                }
            }
        }
        for phrase in of_all {
            let said = Said::planned(phrase.span);
            let tokens: Vec<&Token> = phrase.tokens.iter().collect();
            let first = tokens.first().map_or("", |t| t.text.as_str());
            match first {
                "note" => {
                    self.try_say(&[of], of.kind, &tokens, said, &mut None);
                }
                "and" if tokens.get(1).is_some_and(|t| t.is("unknown")) => is_open = true,
                _ => match self.rest(&tokens) {
                    Some(rest) => all.iter().for_each(|wire| self.state_rest(*wire, &rest, said)),
                    None => is_open |= !self.say_of_pulled(&all, &tokens, said),
                },
            }
        }
        let list = self.shop.add_list(List { sure: all, is_open, ..List::default() });
        self.state(of, name::PULLED, Value::List(list), Said::planned(item.span));
    }

    /// Whether somebody understood it.
    fn say_of_pulled(&mut self, wires: &[ItemRef], tokens: Tokens, said: Said) -> bool {
        let index = self.index.clone();
        let found = index.read(Kind::Pulled, tokens, &mut None);
        if found.is_empty() && !self.is_unasked(Kind::Pulled, tokens) {
            self.not_a_wire(tokens, said);
            return false;
        }
        self.apply(wires, &found, tokens, said);
        true
    }

    fn not_a_wire(&mut self, tokens: Tokens, said: Said) {
        let is_cable = tokens.iter().any(|t| t.text.contains('/') && !t.text.contains("/0"));
        let help = if is_cable {
            "that is a cable; it stands in `run`, and what is pulled are its wires one by one"
        } else {
            "count, size, metal, insulation, color, then what it is for: `2 x 12 AWG Cu THWN-2 black as hot`"
        };
        let text = Self::text_of(tokens);
        let problem = Problem::error(said.place, format!("`{text}` is no wire that was pulled")).help(help);
        self.shop.problems.push(problem);
    }

    /// `A to B` or a name.
    fn pulled_in(&mut self, item: &Item) -> Option<ItemRef> {
        match item.head.as_slice() {
            [a, to, b] if to.is("to") => {
                let run = self.run_between(a, b);
                if run.is_none() {
                    let text = format!("no run goes from `{}` to `{}`", a.text, b.text);
                    let problem = Problem::error(a.span.to(b.span), text)
                        .help(format!("draw it: `run {} to {}: 3/4 in EMT, 12 ft`", a.text, b.text));
                    self.shop.problems.push(problem);
                }
                run
            }
            [name] => {
                let kinds = Kinds::of(Kind::Run).and(Kinds::of(Kind::Feeder)).and(Kinds::of(Kind::Circuit));
                match self.resolve_kind(name, kinds) {
                    super::names::Named::Item(item) => Some(item),
                    _ => None,
                }
            }
            _ => {
                let problem = Problem::error(item.span, "`pulled` names a run")
                    .help("`pulled P1 to B1: 2 x 12 AWG Cu THWN-2 black`, or `pulled N1: …` by the run's name");
                self.shop.problems.push(problem);
                None
            }
        }
    }

    fn pulled_wires(&mut self, of: ItemRef, phrase: &Phrase, said: Said) -> Option<(Vec<ItemRef>, bool)> {
        let tokens: Vec<&Token> = phrase.tokens.iter().collect();
        let text = self.wire_text(&tokens, 0);
        let rest = self.rest(tokens.get(text.next..).unwrap_or(&[]))?;
        let (count, is_open) = match text.count {
            Some(Value::Number(n)) => (n.floor(), false),
            Some(Value::Range(r)) => (r.low.map_or(0, |low| low.ceiling()), true),
            // Without a count: at least one.
            _ => (1, true),
        };
        if count > MOST_WIRES {
            let problem = Problem::error(said.place, format!("one phrase names {MOST_WIRES} wires at most"))
                .help(format!("the other {} are not counted; is the number right?", count.saturating_sub(MOST_WIRES)));
            self.shop.problems.push(problem);
        }
        let is_open = is_open || count > MOST_WIRES;
        let mut wires = Vec::new();
        for _ in 0..count.clamp(0, MOST_WIRES) {
            let number = self.wires_pulled.entry(of).or_insert(0);
            *number = number.saturating_add(1);
            let name = format!("wire {number} of {}", self.shop.head(of).name);
            let wire = self.shop.add(Kind::Pulled, Head { name, label: None, place: said.place, of: Some(of) });
            self.state_wire(wire, &text, said);
            if let Some(color) = text.color {
                self.state(wire, name::COLOR, Value::Choice(color), said);
            }
            self.state_rest(wire, &rest, said);
            wires.push(wire);
        }
        Some((wires, is_open))
    }

    /// `re-marked black as hot`, `not re-marked`, `out of NM-B`; none where something else stands there.
    fn rest(&self, tokens: Tokens) -> Option<Rest> {
        let mut rest = Rest::default();
        let mut at = 0;
        while let Some(token) = tokens.get(at) {
            let next = |i: usize| tokens.get(at + i);
            match token.text.as_str() {
                "not" if next(1).is_some_and(|t| t.is("re-marked")) => {
                    rest.is_remarked = Some(false);
                    at += 2;
                }
                "re-marked" => {
                    rest.is_remarked = Some(true);
                    at += 1;
                    if let Some((_, next)) = self.index.choices(choice::COLOR, tokens, at, false).first() {
                        at = *next;
                    }
                }
                "as" => {
                    let (bits, next) = self.index.choices(choice::ROLE, tokens, at + 1, false).first().copied()?;
                    rest.role = Some(bits);
                    at = next;
                }
                "out" if next(1).is_some_and(|t| t.is("of")) => {
                    let (bits, next) = self.index.choices(choice::METHOD, tokens, at + 2, false).first().copied()?;
                    rest.out_of = Some(bits);
                    rest.is_out_of_cable = true;
                    at = next;
                }
                _ => return None,
            }
        }
        Some(rest)
    }

    fn state_rest(&mut self, wire: ItemRef, rest: &Rest, said: Said) {
        if let Some(bits) = rest.role {
            self.state(wire, name::ROLE, Value::Choice(bits), said);
        }
        if let Some(yes) = rest.is_remarked {
            self.state(wire, name::IS_REMARKED, Value::YesNo(yes), said);
        }
        if rest.is_out_of_cable {
            self.state(wire, name::IS_OUT_OF_CABLE, Value::YesNo(true), said);
        }
        if let Some(bits) = rest.out_of {
            self.state(wire, name::OUT_OF, Value::Choice(bits), said);
        }
    }
}
