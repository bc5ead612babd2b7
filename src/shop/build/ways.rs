//! Runs and stretches: raceways, cables, bends, trenches.

use super::amounts::amount;
use super::index::{Match, Stated};
use super::phrases::Tokens;
use super::state::Said;
use super::{Builder, Listed};
use crate::plan::syntax::{Phrase, Token, TokenKind};
use crate::quantity::{Rational, Scale};
use crate::shop::{ItemRef, List, Value};
use crate::words::{Kind, choice, name};

/// Degrees of one bend as owners count them.
const BEND: i64 = 90;

/// A raceway as written: `3/4 in EMT`, `metal raceway`, `LFMC or LFNC`.
pub(super) struct MethodText {
    size: Option<(Value, bool)>,
    kind: u64,
}

impl Builder {
    /// What is said of a run or a stretch beside the vocabulary's phrases.
    pub fn way_phrase(&mut self, refs: &[ItemRef], tokens: Tokens, said: Said) -> bool {
        let Some(first) = tokens.first() else { return false };
        match first.text.as_str() {
            "wire" => return self.wire_phrase(refs, tokens, said),
            "stretch" => return self.stretch(refs, Kind::Run, tokens, &[], said),
            "shares" => return self.shares_trench(refs, tokens, said),
            "equipment" if tokens.get(1).is_some_and(|t| t.is("ground")) => {
                return self.equipment_ground(refs, Kind::Run, tokens, said);
            }
            "no" if tokens.get(1).is_some_and(|t| t.is("equipment"))
                && tokens.get(2).is_some_and(|t| t.is("ground")) =>
            {
                return tokens.len() == 3 && self.no_equipment_ground(refs, Kind::Run, said);
            }
            _ => {}
        }
        self.cable_phrase(refs, Kind::Run, tokens, said)
            || self.raceway_phrase(refs, tokens, said)
            || self.bends(refs, tokens, said)
    }

    /// A raceway or cable by its kind.
    pub fn raceway_phrase(&mut self, refs: &[ItemRef], tokens: Tokens, said: Said) -> bool {
        let Some(method) = self.method_text(tokens) else { return false };
        for item in refs {
            self.state_method(*item, &method, said);
        }
        true
    }

    /// Reads a raceway that takes all these tokens.
    pub fn method_text(&self, tokens: Tokens) -> Option<MethodText> {
        let size = amount(tokens, 0, Some(Scale::TradeSize), &mut None);
        let at = size.map_or(0, |s| s.next);
        let readings = self.index.choices(choice::METHOD, tokens, at, false);
        let (kind, _) = readings.into_iter().find(|(_, next)| *next == tokens.len())?;
        Some(MethodText { size: size.map(|s| (s.value, s.is_guess)), kind })
    }

    /// States a raceway.
    pub fn state_method(&mut self, item: ItemRef, method: &MethodText, said: Said) {
        self.state(item, name::METHOD, Value::Choice(method.kind), said);
        if let Some((size, is_guess)) = method.size {
            self.state(item, name::TRADE_SIZE, size, said.guess_if(is_guess));
        }
    }

    /// `2 bends` are 180 degrees; `270 deg` stands in the vocabulary.
    fn bends(&mut self, refs: &[ItemRef], tokens: Tokens, said: Said) -> bool {
        let [.., last] = tokens else { return false };
        if !(last.is("bends") || last.is("bend")) {
            return false;
        }
        let count = match tokens {
            [no, _] if no.is("no") => Some((Value::Number(Rational::ZERO), false)),
            _ => amount(tokens, 0, Some(Scale::NUMBER), &mut None)
                .filter(|a| a.next.saturating_add(1) == tokens.len())
                .map(|a| (a.value, a.is_guess)),
        };
        let Some((count, is_guess)) = count else { return false };
        let degrees = |n: Rational| n.times(Rational::whole(BEND)).unwrap_or(n);
        let angle = match count {
            Value::Number(n) => Value::Number(degrees(n)),
            Value::Range(r) => {
                Value::Range(crate::shop::Range { low: r.low.map(degrees), high: r.high.map(degrees), ..r })
            }
            other => other,
        };
        self.state_each(refs, name::BENDS, angle, said.guess_if(is_guess));
        true
    }

    /// `stretch 24 ft: 1 in PVC-40, buried 16 in, under drive` of a feeder, circuit or run: a run of
    /// its own, part of the whole. False where the phrase is no stretch.
    pub fn stretch(&mut self, refs: &[ItemRef], kind: Kind, tokens: Tokens, owned: &[Phrase], said: Said) -> bool {
        let Some(first) = tokens.first().filter(|t| t.is("stretch")) else { return false };
        if !matches!(kind, Kind::Feeder | Kind::Circuit | Kind::Run) {
            return false;
        }
        for parent in refs.iter().copied() {
            if !self.may_list(parent, Listed::Stretches) {
                continue;
            }
            if tokens.get(1).is_some_and(|t| t.is("unknown")) && tokens.len() == 2 && owned.is_empty() {
                self.opened.insert((parent, Listed::Stretches));
                continue;
            }
            let number = self.stretches.get(&parent).copied().unwrap_or(0).saturating_add(1);
            self.stretches.insert(parent, number);
            let stretch = self.sub_item(parent, Kind::Run, &format!("stretch {number}"));
            self.shop.head_mut(stretch).place = said.place;
            let tag = format!("{}-{number}", self.tag_of(parent));
            self.shop.call(&tag, stretch);
            let behind = tokens.get(1..).unwrap_or(&[]);
            if !behind.is_empty() {
                match amount(tokens, 1, Some(Scale::Ratio(crate::quantity::Dimension::LENGTH)), &mut None) {
                    Some(length) if length.next == tokens.len() => {
                        let said = said.guess_if(length.is_guess).at(first.span.to(said_end(tokens, said)));
                        self.state(stretch, name::LENGTH, length.value, said);
                    }
                    _ => {
                        let mut no_unit = None;
                        amount(tokens, 1, Some(Scale::Ratio(crate::quantity::Dimension::LENGTH)), &mut no_unit);
                        self.misread(&[stretch], Kind::Run, behind, said_end(tokens, said), no_unit);
                    }
                }
            }
            for phrase in owned {
                self.phrase(&[stretch], phrase, said);
            }
        }
        true
    }

    /// `shares trench with water at 12 in and coax`: what lies beside, and how near.
    fn shares_trench(&mut self, refs: &[ItemRef], tokens: Tokens, said: Said) -> bool {
        let [shares, what, with, rest @ ..] = tokens else { return false };
        let (rest, is_open) = match rest {
            [inner @ .., and, unknown] if and.is("and") && unknown.is("unknown") => (inner, true),
            rest => (rest, false),
        };
        if !(shares.is("shares") && what.is("trench") && with.is("with")) || rest.is_empty() {
            return false;
        }
        let length = Some(Scale::Ratio(crate::quantity::Dimension::LENGTH));
        let (mut mates, mut distances, mut at) = (vec![*shares, *what, *with], Vec::new(), 0);
        while let Some(token) = rest.get(at) {
            if token.is("at")
                && let Some(distance) = amount(rest, at.saturating_add(1), length, &mut None)
            {
                distances.extend(rest.get(at..distance.next).map(<[_]>::to_vec));
                at = distance.next;
                continue;
            }
            mates.push(token);
            at = at.saturating_add(1);
        }
        // The facts are those of the rules in force; without such a rule the phrase says nothing to anybody.
        let index = self.index.clone();
        let found = index.read(Kind::Run, &mates, &mut None);
        self.apply(refs, &found, &mates, said);
        if is_open {
            self.leave_open(refs, &found);
        }
        let mut nearest: Option<Match> = None;
        for distance in distances {
            // `at 12 in` is what `12 in from other lines` says; the nearest counts.
            let word = |text: &str| Token { kind: TokenKind::Word, text: text.into(), span: said.place };
            let behind = [word("from"), word("other"), word("lines")];
            let phrase: Vec<&Token> = distance.into_iter().skip(1).chain(&behind).collect();
            let found = index.read(Kind::Run, &phrase, &mut None);
            nearest = nearest_of(nearest, found);
        }
        self.apply(refs, nearest.as_slice(), tokens, said);
        !found.is_empty() || self.is_unasked(Kind::Run, &mates)
    }

    /// `and unknown`: the lists that a phrase stated may have more members.
    fn leave_open(&mut self, refs: &[ItemRef], found: &[Match]) {
        for (item, m) in refs.iter().flat_map(|item| found.iter().map(move |m| (*item, m))) {
            if let Value::List(id) = self.shop.value(item, m.name) {
                let list = List { is_open: true, ..self.shop.list(id).clone() };
                let source = self.shop.source(item, m.name);
                let id = self.shop.add_list(list);
                self.shop.set(item, m.name, Value::List(id), source);
            }
        }
    }

    /// The tag that an item was given, or what stands for it.
    pub fn tag_of(&self, item: ItemRef) -> String {
        self.shop.head(item).name.replace(" to ", "-")
    }
}

/// The smaller of two distances.
fn nearest_of(so_far: Option<Match>, found: Vec<Match>) -> Option<Match> {
    let number = |m: &Match| match m.state {
        Stated::Value(Value::Number(n)) => Some(n),
        _ => None,
    };
    so_far.into_iter().chain(found).min_by_key(number)
}

fn said_end(tokens: Tokens, said: Said) -> crate::text::Span {
    tokens.last().map_or(said.place, |t| t.span)
}
