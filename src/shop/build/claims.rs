//! One phrase for many: `every box: all drawn`, `all wire Cu`, `indoors and dry unless said`.
//!
//! Claims wait until every item has had its say. Under `every` an item that says otherwise is a
//! conflict; under `unless said`, and under `all …` in `shop`, it is as it says.

use super::Builder;
use super::building::kind_listed;
use super::phrases::Tokens;
use super::state::Said;
use crate::plan::syntax::{Item, Keyword, Plan, Token, TokenKind};
use crate::shop::{Claim, ItemRef, Value};
use crate::text::{Problem, Span, nearest};
use crate::words::{Kind, choice, name};
use std::collections::HashSet;

/// A claim of `shop` that waits.
pub(super) struct Waiting {
    what: What,
    said: Said,
    rank: usize,
}

enum What {
    Place(u64),
    Phrase(Vec<Token>),
}

/// `every box but B9`, `every EMT run`.
pub(super) struct Group {
    kind: Kind,
    /// For runs: the methods that are meant.
    methods: Option<u64>,
    but: HashSet<ItemRef>,
}

impl Builder {
    /// Keeps `indoors and dry unless said` until every item has had its say.
    pub fn wait_for_places(&mut self, place: u64, said: Said) {
        let rank = self.rank;
        self.claims.push(Waiting { what: What::Place(place), said, rank });
    }

    /// Keeps `all wire Cu`, `all work new` and the like. False where no kind has such a phrase.
    pub fn wait_for_all(&mut self, tokens: Tokens, said: Said) -> bool {
        if tokens.is_empty() || self.all_targets(tokens).is_empty() {
            return false;
        }
        let rank = self.rank;
        let phrase = tokens.iter().map(|t| (*t).clone()).collect();
        self.claims.push(Waiting { what: What::Phrase(phrase), said, rank });
        true
    }

    /// The kinds that a phrase of `all …` speaks to, and the phrase as each of them reads it.
    fn all_targets<'b>(&self, tokens: Tokens<'_, 'b>) -> Vec<(Kind, Vec<&'b Token>)> {
        let [first, rest @ ..] = tokens else { return Vec::new() };
        match first.text.as_str() {
            "wire" if !rest.is_empty() && self.wire_text(rest, 0).next == rest.len() => {
                vec![(Kind::Wire, rest.to_vec()), (Kind::ElectrodeConductor, rest.to_vec())]
            }
            "work" => self.kinds_that_read(rest).into_iter().map(|k| (k, rest.to_vec())).collect(),
            "buried" if rest.first().is_some_and(|t| t.is("under")) => vec![(Kind::Run, rest.to_vec())],
            _ => self.kinds_that_read(tokens).into_iter().map(|k| (k, tokens.to_vec())).collect(),
        }
    }

    fn kinds_that_read(&self, tokens: Tokens) -> Vec<Kind> {
        let of_shop = [Kind::Shop, Kind::Permit, Kind::Area, Kind::Inspection];
        let reads = |k: &Kind| !of_shop.contains(k) && !self.index.read(*k, tokens, &mut None).is_empty();
        let kinds: Vec<Kind> = Kind::ALL.into_iter().filter(reads).collect();
        if kinds.is_empty() && Kind::ALL.iter().any(|k| self.is_unasked(*k, tokens)) {
            return vec![Kind::Permit];
        }
        kinds
    }

    /// A claim's number, for the sources of what leans on it.
    pub fn claim(&mut self, text: String, place: Span, yields: bool) -> u32 {
        self.shop.claims.push(Claim { text, place, yields });
        (self.shop.claims.len() as u32).saturating_sub(1)
    }

    /// The `every` items of a plan.
    pub fn claim_for_many(&mut self, plan: &Plan) {
        for item in plan.items.iter().filter(|i| i.keyword == Keyword::Every) {
            let tokens: Vec<&Token> = item.head.iter().collect();
            let (group, yields) = match tokens.as_slice() {
                [inner @ .., a, b] if a.is("unless") && b.is("said") => (self.group_of(inner), true),
                all => (self.group_of(all), false),
            };
            let Some(group) = group else {
                self.no_group(item);
                continue;
            };
            let targets = self.members(&group);
            for phrase in item.lines.iter().flat_map(|l| &l.phrases) {
                let head = Self::text_of(&tokens);
                let text = format!("every {head}: {}", Self::text_of(&phrase.tokens.iter().collect::<Vec<_>>()));
                let claim = self.claim(text, phrase.span, yields);
                let said = Said { claim: Some(claim), yields, ..Said::planned(phrase.span) };
                if targets.is_empty() {
                    // A slip in a claim about nothing is still a slip.
                    continue;
                }
                self.phrase(&targets, phrase, said);
            }
        }
    }

    fn no_group(&mut self, item: &Item) {
        let typed = item.head.first();
        let hint = typed.and_then(|t| nearest(&t.text, Kind::ALL.iter().map(|k| k.name())));
        let problem = Problem::error(item.span, "`every` needs a kind of item behind it");
        let problem = match typed.zip(hint) {
            Some((typed, kind)) => problem.help(format!("did you mean `every {kind}`?")).instead(typed.span, kind),
            None => problem.help("`every box: …`, `every EMT run but B9 to B14: …`, `every cable: …`"),
        };
        self.shop.problems.push(problem);
    }

    /// Reads `box but B9, B10`, `EMT run`, `cable`.
    pub fn group_of(&mut self, tokens: Tokens) -> Option<Group> {
        let at = tokens.iter().position(|t| t.is("but")).unwrap_or(tokens.len());
        let (what, but) = tokens.split_at(at);
        let (kind, methods) = match what {
            [one] => match kind_listed(&one.text) {
                Some(kind) => (kind, None),
                None => (Kind::Run, Some(self.index.form(choice::METHOD, &one.text)?)),
            },
            [inner @ .., run] if run.is("run") || run.is("runs") => {
                (Kind::Run, Some(self.index.choice(choice::METHOD, inner)?))
            }
            _ => return None,
        };
        let names: Vec<Token> = but.iter().skip(1).map(|t| (*t).clone()).collect();
        let but = self.excepted(kind, &names).into_iter().collect();
        Some(Group { kind, methods, but })
    }

    /// Names behind `but`: items, ranges, or `A to B` of a run.
    fn excepted(&mut self, kind: Kind, names: &[Token]) -> Vec<ItemRef> {
        let mut but = Vec::new();
        if kind == Kind::Run {
            for part in names.split(|t| t.kind == TokenKind::Comma || t.is("and")) {
                match part {
                    [a, to, b] if to.is("to") => {
                        let both = [format!("{}-{}", a.text, b.text), format!("{}-{}", b.text, a.text)];
                        match both.iter().find_map(|tag| self.shop.named(tag)) {
                            Some(run) => but.push(run),
                            None => self.undefined(a),
                        }
                    }
                    [name] => match self.shop.named(&name.text) {
                        Some(run) => but.push(run),
                        None => self.undefined(name),
                    },
                    _ => {}
                }
            }
            return but;
        }
        let (names, _, problems) = super::names::head_names(names, false);
        self.shop.problems.extend(problems);
        for name in names {
            match self.shop.named(&name.text) {
                Some(item) => but.push(item),
                None => self.undefined(&name),
            }
        }
        but
    }

    /// The items that a group names now. A run of unknown method is no member: the claim is not about it.
    pub fn members(&self, group: &Group) -> Vec<ItemRef> {
        let fits = |item: &ItemRef| match (group.methods, self.shop.value(*item, name::METHOD)) {
            (None, _) => true,
            (Some(methods), Value::Choice(bits)) => bits & !methods == 0,
            _ => false,
        };
        self.shop.items(group.kind).filter(|i| !group.but.contains(i)).filter(fits).collect()
    }

    /// What `shop` says of all, said now that every item has had its say.
    pub fn settle_claims(&mut self) {
        for waiting in std::mem::take(&mut self.claims) {
            self.rank = waiting.rank;
            let said = Said { yields: true, ..waiting.said };
            match waiting.what {
                What::Place(bits) => {
                    let claim = self.claim("indoors and dry unless said".into(), said.place, true);
                    let said = Said { claim: Some(claim), ..said };
                    for kind in Kind::ALL {
                        let is_thing = !matches!(kind, Kind::Supply | Kind::Area | Kind::Electrode);
                        if is_thing && self.shop.vocabulary.word(kind, name::PLACE).is_some() {
                            for item in self.shop.items(kind) {
                                self.state(item, name::PLACE, Value::Choice(bits), said);
                            }
                        }
                    }
                }
                What::Phrase(tokens) => {
                    let tokens: Vec<&Token> = tokens.iter().collect();
                    let claim = self.claim(format!("all {}", Self::text_of(&tokens)), said.place, true);
                    let said = Said { claim: Some(claim), ..said };
                    for (kind, phrase) in self.all_targets(&tokens) {
                        self.say_of_kind(kind, &phrase, said);
                    }
                }
            }
        }
        self.rank = 0;
    }

    fn say_of_kind(&mut self, kind: Kind, phrase: Tokens, said: Said) {
        let mut items: Vec<ItemRef> = self.shop.items(kind).collect();
        if kind == Kind::Run && phrase.first().is_some_and(|t| t.is("under")) {
            let buried = self.bits(choice::PLACE, &["buried"]);
            items.retain(|run| self.shop.value(*run, name::PLACE) == Value::Choice(buried));
        }
        if matches!(kind, Kind::Wire | Kind::ElectrodeConductor) {
            let text = self.wire_text(phrase, 0);
            for wire in items {
                self.state_wire_claim(wire, &text, said);
            }
            return;
        }
        let index = self.index.clone();
        let found = index.read(kind, phrase, &mut None);
        self.apply(&items, &found, phrase, said);
    }

    fn state_wire_claim(&mut self, wire: ItemRef, text: &super::wires::WireText, said: Said) {
        let place = self.shop.head(wire).place;
        self.state_wire(wire, text, said);
        self.shop.head_mut(wire).place = place;
    }
}
