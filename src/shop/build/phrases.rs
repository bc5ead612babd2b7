//! What one phrase states: first the code that knows its shape, then the vocabulary.

use super::Builder;
use super::amounts::NoUnit;
use super::building::kind_listed;
use super::index::{Match, Stated};
use super::items::kind_of;
use super::names::Named;
use super::state::Said;
use crate::plan::syntax::{Item, Keyword, Phrase, Plan, Token, TokenKind};
use crate::shop::{How, ItemRef, List, Note, Shop, Value};
use crate::text::Span;
use crate::words::{Kind, Kinds, Type, name};

/// Tokens of a phrase, those of its group in front.
pub(super) type Tokens<'a, 'b> = &'a [&'b Token];

impl Builder {
    /// Reads the heads and phrases of a plan's items.
    pub fn read_items(&mut self, plan: &Plan, declared: &[Vec<ItemRef>]) {
        // The building comes first: others say that they are in one of its areas or bays.
        let is_building = |i: &Item| matches!(i.keyword, Keyword::Shop | Keyword::Area);
        for building in [true, false] {
            for (item, refs) in plan.items.iter().zip(declared) {
                if kind_of(item.keyword).is_some() && is_building(item) == building {
                    self.read_head(item, refs);
                    self.expect_main(item, refs);
                    self.read_lines(item, refs, Said::planned(item.span));
                }
            }
        }
    }

    /// The phrases of an item, said of these.
    pub fn read_lines(&mut self, item: &Item, refs: &[ItemRef], said: Said) {
        for line in &item.lines {
            let mut phrases = line.phrases.as_slice();
            while let Some((phrase, rest)) = phrases.split_first() {
                match all_listed(phrases) {
                    Some((whole, taken)) => {
                        self.phrase(refs, &whole, said);
                        phrases = phrases.get(taken..).unwrap_or(&[]);
                    }
                    None => {
                        self.phrase(refs, phrase, said);
                        phrases = rest;
                    }
                }
            }
        }
    }

    /// One phrase, said of these items, which are of one kind.
    pub fn phrase(&mut self, refs: &[ItemRef], phrase: &Phrase, said: Said) {
        let Some(kind) = refs.first().map(|r| r.kind) else { return };
        let mut said = said.at(phrase.span);
        let mut tokens: Vec<&Token> = phrase.tokens.iter().collect();
        if tokens.first().is_some_and(|t| t.is("assume")) {
            tokens.remove(0);
            said.how = How::Assumed;
        }
        match &phrase.owned {
            Some(owned) if self.stretch(refs, kind, &tokens, owned, said) => {}
            Some(owned) => self.group(refs, kind, &tokens, owned, said),
            None => self.say(refs, kind, &tokens, said),
        }
    }

    /// Phrases behind a colon: each is read with the words before the colon in front.
    fn group(&mut self, refs: &[ItemRef], kind: Kind, head: Tokens, owned: &[Phrase], said: Said) {
        if owned.is_empty() {
            return self.say(refs, kind, head, said);
        }
        if !self.knows(kind, head) {
            // The word before the colon is the mistake: say it once.
            let place =
                head.first().map_or(said.place, |first| head.last().map_or(first.span, |l| first.span.to(l.span)));
            return self.misread(refs, kind, head, place, None);
        }
        for phrase in owned {
            let inner: Vec<&Token> = head.iter().copied().chain(&phrase.tokens).collect();
            let said = said.at(phrase.span);
            match &phrase.owned {
                Some(deeper) => self.group(refs, kind, &inner, deeper, said),
                None => self.say(refs, kind, &inner, said),
            }
        }
    }

    /// One phrase without a group; a problem where nobody understands it.
    pub fn say(&mut self, refs: &[ItemRef], kind: Kind, tokens: Tokens, said: Said) {
        let mut no_unit = None;
        if !self.try_say(refs, kind, tokens, said, &mut no_unit) {
            self.misread(refs, kind, tokens, said.place, no_unit);
        }
    }

    /// Whether somebody understood it.
    pub fn try_say(
        &mut self,
        refs: &[ItemRef],
        kind: Kind,
        tokens: Tokens,
        said: Said,
        no_unit: &mut Option<NoUnit>,
    ) -> bool {
        let Some(first) = tokens.first() else { return true };
        if first.is("note") && tokens.get(1).is_some_and(|t| t.kind == TokenKind::Quoted) {
            self.note(refs, tokens, said.place);
            return true;
        }
        let understood = match kind {
            Kind::Shop | Kind::Permit => self.shop_phrase(kind, tokens, said),
            Kind::Feeder | Kind::Circuit => self.line_phrase(refs, kind, tokens, said),
            Kind::Run => self.way_phrase(refs, tokens, said),
            Kind::Supply => self.supply_phrase(refs, tokens, said),
            Kind::Panel => self.panel_phrase(refs, tokens, said),
            Kind::Electrode => self.electrode_phrase(refs, tokens, said),
            Kind::Area => self.area_phrase(refs, tokens, said),
            Kind::Box => self.box_phrase(refs, tokens, said),
            _ => self.device_phrase(refs, kind, tokens, said),
        };
        understood
            || self.age(refs, tokens, said)
            || self.place(refs, kind, tokens, said)
            || self.general(refs, kind, tokens, said, no_unit)
            || self.is_left_open(kind, tokens)
            || self.is_unasked(kind, tokens)
    }

    fn note(&mut self, refs: &[ItemRef], tokens: Tokens, place: Span) {
        let text = tokens.iter().skip(1).map(|t| t.text.as_str()).collect::<Vec<_>>().join(" ");
        for item in refs {
            self.shop.notes.push(Note { item: Some(*item), text: text.clone(), place });
        }
    }

    /// The phrases of the vocabulary: those of the items, then those of what they host.
    pub fn general(
        &mut self,
        refs: &[ItemRef],
        kind: Kind,
        tokens: Tokens,
        said: Said,
        no_unit: &mut Option<NoUnit>,
    ) -> bool {
        let index = self.index.clone();
        let mut found = index.read(kind, tokens, no_unit);
        if !found.is_empty() {
            self.apply(refs, &found, tokens, said);
            return true;
        }
        for hosted in hosted_kinds(kind) {
            found = index.read(*hosted, tokens, no_unit);
            let parts = if found.is_empty() { Vec::new() } else { self.hosted(refs, *hosted) };
            if !parts.is_empty() {
                self.apply(&parts, &found, tokens, said);
                return true;
            }
            // An example took the part away that these given lines speak of.
            if !found.is_empty() && self.rank > 0 {
                return true;
            }
        }
        false
    }

    /// The parts of these items that their phrases may speak of.
    fn hosted(&mut self, refs: &[ItemRef], kind: Kind) -> Vec<ItemRef> {
        let mut parts = Vec::new();
        for item in refs {
            match (item.kind, kind) {
                (Kind::Shop, Kind::Permit) => parts.push(Shop::PERMIT),
                (Kind::Shop, Kind::Area) => parts.extend(self.own_areas()),
                // `2-pole` speaks of a main that the panel has, and makes none.
                (Kind::Panel, Kind::Breaker) => {
                    if let Value::Item(main) = self.shop.value(*item, name::MAIN) {
                        parts.push(main);
                    }
                }
                (Kind::Electrode, Kind::ElectrodeConductor) => parts.extend(self.conductor_of(*item)),
                _ => {
                    if let Value::Item(part) = self.shop.value(*item, name::BREAKER) {
                        parts.push(part);
                    }
                }
            }
        }
        parts.dedup();
        parts
    }

    /// States what a phrase of the vocabulary says.
    pub fn apply(&mut self, refs: &[ItemRef], found: &[Match], tokens: Tokens, said: Said) {
        for m in found {
            let said = said.guess_if(m.is_guess);
            match &m.state {
                Stated::Value(value) => {
                    let value = match (value, m.ty) {
                        (Value::Choice(bits), Type::Choices(_)) => {
                            Value::List(self.shop.add_list(List { choices: *bits, ..List::default() }))
                        }
                        (value, _) => *value,
                    };
                    for item in refs {
                        self.state(*item, m.name, value, said);
                    }
                }
                Stated::Names(range) => {
                    let names = tokens.get(range.clone()).unwrap_or(&[]);
                    self.apply_names(refs, m, names, said);
                }
                Stated::Wire(range) => {
                    let text = tokens.get(range.clone()).unwrap_or(&[]);
                    for item in refs {
                        if !self.wire_part(*item, m.name, text, said) {
                            self.misread(&[*item], item.kind, tokens, said.place, None);
                        }
                    }
                }
            }
        }
    }

    fn apply_names(&mut self, refs: &[ItemRef], m: &Match, names: Tokens, said: Said) {
        let value = match m.ty {
            Type::Name => {
                let text = names.iter().map(|t| t.text.as_str()).collect::<Vec<_>>().join(" ");
                self.shop.add_proper_name(&text)
            }
            Type::Item(kinds) => match names.first().map(|t| self.resolve_kind(t, kinds)) {
                Some(Named::Item(item)) => Value::Item(item),
                _ => return,
            },
            Type::List(kinds) => {
                let (mut sure, mut is_open) = (Vec::new(), false);
                for (named, _) in self.resolve_all(names, kinds) {
                    match named {
                        Named::Item(item) => sure.push(item),
                        Named::Unknown | Named::Undefined => is_open = true,
                    }
                }
                Value::List(self.shop.add_list(List { sure, is_open, ..List::default() }))
            }
            // A name that only stands in the phrase: `gap at B1`.
            _ => {
                for token in names {
                    self.resolve(token);
                }
                Value::YesNo(true)
            }
        };
        for item in refs {
            self.state(*item, m.name, value, said);
        }
    }

    /// Whether some phrase of an item begins with the first of these words.
    fn knows(&self, kind: Kind, tokens: Tokens) -> bool {
        let Some(first) = tokens.first() else { return false };
        let kinds = std::iter::once(kind).chain(hosted_kinds(kind).iter().copied());
        let begins = |k: Kind| self.index.begins(k, &first.text) || self.unasked.begins(k, &first.text);
        kinds.into_iter().any(begins) || super::unread::is_shaped(kind, &first.text)
    }

    /// `resistance unknown`: said, and says nothing.
    fn is_left_open(&self, kind: Kind, tokens: Tokens) -> bool {
        let [first, .., last] = tokens else { return false };
        let begins = |kind: &Kind| self.index.begins(*kind, &first.text);
        last.is("unknown") && (begins(&kind) || hosted_kinds(kind).iter().any(begins))
    }
}

/// `all feeders, circuits and lights listed`: commas part kinds here, so the phrases are one.
fn all_listed(phrases: &[Phrase]) -> Option<(Phrase, usize)> {
    let (first, rest) = phrases.split_first()?;
    let is_kinds = |p: &Phrase| {
        p.owned.is_none() && p.tokens.iter().all(|t| t.is("and") || t.is("listed") || kind_listed(&t.text).is_some())
    };
    let begins = first.tokens.first().is_some_and(|t| t.is("all")) && first.owned.is_none();
    let kinds_behind = first.tokens.iter().skip(1).all(|t| t.is("and") || kind_listed(&t.text).is_some());
    if !begins || !kinds_behind || first.tokens.len() < 2 {
        return None;
    }
    let ends = |p: &Phrase| p.tokens.last().is_some_and(|t| t.is("listed"));
    let end = rest.iter().position(ends)?;
    let others = rest.get(..=end)?;
    let last = others.last()?;
    others.iter().all(is_kinds).then(|| {
        let tokens = first.tokens.iter().chain(others.iter().flat_map(|p| &p.tokens)).cloned().collect();
        (Phrase { tokens, owned: None, span: first.span.to(last.span) }, others.len().saturating_add(1))
    })
}

/// What else the phrases of an item may speak of: a circuit's of its breaker.
pub fn hosted_kinds(kind: Kind) -> &'static [Kind] {
    match kind {
        Kind::Feeder | Kind::Circuit | Kind::Panel => &[Kind::Breaker],
        Kind::Shop => &[Kind::Permit, Kind::Area],
        Kind::Electrode => &[Kind::ElectrodeConductor],
        _ => &[],
    }
}

/// Every kind.
pub(super) fn all_kinds() -> Kinds {
    Kind::ALL.into_iter().fold(Kinds::default(), |all, k| all.and(Kinds::of(k)))
}
