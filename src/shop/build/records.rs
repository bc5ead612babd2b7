//! Records: what somebody saw, measured, tested, inspected or answered.

use super::Builder;
use super::names::{Named, head_names};
use super::phrases::{Tokens, all_kinds};
use super::state::Said;
use crate::plan::syntax::{Item, Keyword, Phrase, Plan, Token, TokenKind};
use crate::quantity::day;
use crate::shop::{Head, How, ItemRef, List, Note, Shop, Value};
use crate::text::Problem;
use crate::words::{Kind, choice, name};
use std::collections::HashSet;

/// Test phrases, the test that each is, and its result.
const RESULTS: &[(&str, &str, bool)] = &[
    ("GFCI trips", "gfci-trips", true),
    ("GFCI does not trip", "gfci-trips", false),
    ("no GFCI trips", "gfci-trips", false),
    ("polarity right", "polarity", true),
    ("polarity reversed", "polarity", false),
    ("continuity", "ground-path", true),
    ("no continuity", "ground-path", false),
    ("neutral isolated", "neutral-isolation", true),
    ("neutral bonded", "neutral-isolation", false),
    ("torqued", "torque", true),
    ("not torqued", "torque", false),
];

impl Builder {
    /// The records of a plan, in the order of their lines.
    pub fn read_records(&mut self, plan: &Plan) {
        let unread: HashSet<usize> = plan.unread.iter().filter_map(|u| u.item).collect();
        for (i, item) in plan.items.iter().enumerate() {
            match item.keyword {
                Keyword::Pulled => self.pulled(item, unread.contains(&i)),
                Keyword::Seen => self.looked_at(item, How::Seen),
                Keyword::Measured => self.looked_at(item, How::Measured),
                Keyword::Tested => self.tested(item),
                Keyword::Inspected => self.inspected(item),
                Keyword::Answer => self.answered(item),
                Keyword::Assume => {
                    let said = Said { how: How::Assumed, ..Said::planned(item.span) };
                    self.read_lines(item, &[Shop::SHOP], said);
                }
                Keyword::Note => {
                    let text = item.label.as_ref().map(|l| l.text.clone()).unwrap_or_default();
                    self.shop.notes.push(Note { item: None, text, place: item.span });
                }
                _ => {}
            }
        }
    }

    /// What is spoken of, by whom and on which day: `D1, D2, by owner, on 2027-04-19`, `every EMT run`.
    fn record_head(&mut self, item: &Item, how: How) -> (Vec<ItemRef>, Said) {
        let on = item.head.iter().position(|t| t.is("on")).unwrap_or(item.head.len());
        let end = item.head.iter().position(|t| t.is("by")).unwrap_or(on).min(on);
        let mut names = item.head.get(..end).unwrap_or(&[]);
        while let [inner @ .., last] = names
            && last.kind == TokenKind::Comma
        {
            names = inner;
        }
        let mut date = item.head.get(on.saturating_add(1)).and_then(record_day);
        if date.is_none() {
            let mut phrases = item.lines.iter().flat_map(|l| &l.phrases);
            date = phrases.find_map(|p| on_day(&p.tokens));
        }
        let mut claim = None;
        let items = match names {
            [every, rest @ ..] if every.is("every") => {
                let rest: Vec<&Token> = rest.iter().collect();
                match self.group_of(&rest) {
                    Some(group) => {
                        let many = Self::text_of(&rest);
                        let text = format!("{} every {many}", item.keyword.text());
                        claim = Some(self.claim(text, item.span, false));
                        self.members(&group)
                    }
                    None => {
                        let problem = Problem::error(item.span, "`every` needs a kind of item behind it")
                            .help("`seen every box, on 2027-04-10: …`");
                        self.shop.problems.push(problem);
                        Vec::new()
                    }
                }
            }
            names => self.record_names(names),
        };
        (items, Said { how, day: date, claim, ..Said::planned(item.span) })
    }

    fn record_names(&mut self, names: &[Token]) -> Vec<ItemRef> {
        let mut items = Vec::new();
        for part in names.split(|t| t.kind == TokenKind::Comma || t.is("and")) {
            // The kind may stand before a name: `seen panel P1`.
            let part = match part {
                [kind, rest @ ..] if !rest.is_empty() && Kind::named(&kind.text).is_some() => rest,
                part => part,
            };
            match part {
                [a, to, b] if to.is("to") => match self.run_between(a, b) {
                    Some(run) => items.push(run),
                    None => {
                        let (all, _, problems) = head_names(part, false);
                        self.shop.problems.extend(problems);
                        for token in &all {
                            if let Named::Item(item) = self.resolve_kind(token, all_kinds()) {
                                items.push(item);
                            }
                        }
                    }
                },
                [name] => {
                    if let Named::Item(item) = self.resolve(name) {
                        // `E1` names every rod of its line.
                        match self.rods.get(&item) {
                            Some(rods) => items.extend(rods),
                            None => items.push(item),
                        }
                    }
                }
                [first, .., last] => {
                    // `main of P1`, a name that the program gives.
                    let all: Vec<&Token> = part.iter().collect();
                    if let Some(item) = self.shop.named(&Self::text_of(&all)) {
                        items.push(item);
                        continue;
                    }
                    let problem = Problem::error(first.span.to(last.span), "this is no name of an item")
                        .help("`seen P1, R2, by owner, on 2027-04-10: …`: names with commas, then who and when");
                    self.shop.problems.push(problem);
                }
                [] => {}
            }
        }
        items
    }

    /// The run between two ends, whichever way round it was written.
    pub fn run_between(&mut self, a: &Token, b: &Token) -> Option<ItemRef> {
        let tags = [format!("{}-{}", a.text, b.text), format!("{}-{}", b.text, a.text)];
        let unnamed = tags.iter().find_map(|tag| self.shop.named(tag)).filter(|r| r.kind == Kind::Run);
        if unnamed.is_some() {
            return unnamed;
        }
        let (a, b) = (self.shop.named(&a.text)?, self.shop.named(&b.text)?);
        if self.run_of_ends.is_empty() {
            for run in self.shop.items(Kind::Run) {
                let ends = self.shop.ends.get(run.index as usize).map(|e| e.ends.as_slice());
                if let Some([Some(x), Some(y)]) = ends {
                    self.run_of_ends.entry((*x.min(y), *x.max(y))).or_insert(run);
                }
            }
        }
        self.run_of_ends.get(&(a.min(b), a.max(b))).copied()
    }

    /// `seen P1, on 2027-04-19: …`: any phrases of those items.
    fn looked_at(&mut self, item: &Item, how: How) {
        let (items, said) = self.record_head(item, how);
        let is_about = |p: &&Phrase| on_day(&p.tokens).is_none() && !is_remark(&p.tokens);
        for phrase in item.lines.iter().flat_map(|l| &l.phrases).filter(is_about) {
            for kind in Kind::ALL {
                let same: Vec<ItemRef> = items.iter().copied().filter(|i| i.kind == kind).collect();
                self.phrase(&same, phrase, said);
            }
        }
    }

    /// `tested R1: GFCI trips, polarity right, on 2027-05-02`.
    fn tested(&mut self, item: &Item) {
        let (items, said) = self.record_head(item, How::Measured);
        for phrase in item.lines.iter().flat_map(|l| &l.phrases) {
            if on_day(&phrase.tokens).is_some() || is_remark(&phrase.tokens) {
                continue;
            }
            let said = said.at(phrase.span);
            let tokens: Vec<&Token> = phrase.tokens.iter().collect();
            let result = result(&tokens);
            if let Some((kind, is_good)) = result {
                items.iter().for_each(|of| self.test(*of, kind, is_good, said));
            }
            for kind in Kind::ALL {
                let same: Vec<ItemRef> = items.iter().copied().filter(|i| i.kind == kind).collect();
                match result {
                    // A rule may ask for the same words as a fact of the item.
                    Some(_) if same.is_empty() => {}
                    Some(_) => {
                        self.general(&same, kind, &tokens, said, &mut None);
                    }
                    None => self.phrase(&same, phrase, said),
                }
            }
        }
    }

    fn test(&mut self, of: ItemRef, kind: &str, is_good: bool, said: Said) {
        let name = format!("test of {}", self.shop.head(of).name);
        let test = self.shop.add(Kind::Test, Head { name, label: None, place: said.place, of: Some(of) });
        let bits = self.bits(choice::TEST_TYPE, &[kind]);
        self.state(test, name::TYPE, Value::Choice(bits), said);
        self.state(test, name::IS_GOOD, Value::YesNo(is_good), said);
        if self.shop.vocabulary.word(of.kind, name::TESTS).is_some() {
            let list = self.shop.add_list(List { sure: vec![test], is_open: true, ..List::default() });
            self.state(of, name::TESTS, Value::List(list), said);
        }
    }

    /// `inspected F1: trench, passed, on 2027-03-08`. Shown, never a pass by itself.
    fn inspected(&mut self, item: &Item) {
        let (items, said) = self.record_head(item, How::OnPaper);
        let text: Vec<String> = item
            .lines
            .iter()
            .flat_map(|l| &l.phrases)
            .map(|p| Self::text_of(&p.tokens.iter().collect::<Vec<_>>()))
            .collect();
        // Without a name it is a visit of the whole; with a name that nobody defines, of nothing known.
        let of: Vec<Option<ItemRef>> =
            if item.head.is_empty() { vec![None] } else { items.iter().copied().map(Some).collect() };
        for item_of in of {
            self.shop.notes.push(Note {
                item: item_of,
                text: format!("inspected: {}", text.join(", ")),
                place: item.span,
            });
            let inspection = self.inspection(item_of.filter(|i| *i != Shop::SHOP), said);
            for phrase in item.lines.iter().flat_map(|l| &l.phrases) {
                if on_day(&phrase.tokens).is_some() || is_remark(&phrase.tokens) {
                    continue;
                }
                let tokens: Vec<&Token> = phrase.tokens.iter().filter(|t| t.kind != TokenKind::Quoted).collect();
                self.say(&[inspection], Kind::Inspection, &tokens, said.at(phrase.span));
            }
        }
    }

    /// `answer NAME [of ITEM]: yes, on paper "…", by "…", on DATE`.
    fn answered(&mut self, item: &Item) {
        let (question, of) = match item.head.as_slice() {
            [question] => (Some(question), None),
            [question, of, name] if of.is("of") => (Some(question), Some(name)),
            _ => (None, None),
        };
        let Some(question) = question else {
            let problem = Problem::error(item.span, "an answer names the rule or fact that it is about")
                .help("`answer NAME: yes`, or `answer NAME of ITEM: yes, by \"…\", on 2027-04-10`");
            return self.shop.problems.push(problem);
        };
        let of = match of.map(|name| self.resolve(name)) {
            Some(Named::Item(item)) => Some(item),
            Some(_) => return,
            None => None,
        };
        let phrases: Vec<&Phrase> = item.lines.iter().flat_map(|l| &l.phrases).collect();
        let text = phrases.iter().map(|p| Self::text_of(&p.tokens.iter().collect::<Vec<_>>())).collect::<Vec<_>>();
        let note = format!("answer to {}: {}", question.text, text.join(", "));
        self.shop.notes.push(Note { item: of, text: note, place: item.span });
        let day = phrases.iter().find_map(|p| on_day(&p.tokens));
        let is_on_paper = phrases.iter().any(|p| p.tokens.first().is_some_and(|t| t.is("on")) && day_of(p).is_none());
        let is_seen = phrases.iter().any(|p| p.tokens.first().is_some_and(|t| t.is("seen")));
        let how = match (is_on_paper, is_seen) {
            (true, _) => How::OnPaper,
            (false, true) => How::Seen,
            (false, false) => How::Planned,
        };
        let Some(word) = self.shop.vocabulary.name(&question.text) else { return };
        let Some(first) = phrases.first() else { return };
        let tokens: Vec<&Token> = first.tokens.iter().collect();
        let said = Said { how, day, ..Said::planned(first.span) };
        let target = of.or_else(|| {
            [Shop::SHOP, Shop::PERMIT].into_iter().find(|i| self.shop.vocabulary.word(i.kind, word).is_some())
        });
        if let Some(target) = target {
            self.answer_word(target, word, &tokens, said);
        }
    }

    fn answer_word(&mut self, target: ItemRef, word: crate::words::NameId, tokens: Tokens, said: Said) {
        use crate::words::Type;
        let Some(known) = self.shop.vocabulary.word(target.kind, word) else { return };
        let (ty, what) = (known.ty, self.shop.vocabulary.text(word).to_string());
        let value = match (ty, tokens) {
            (Type::YesNo, [yes]) if yes.is("yes") => Some(Value::YesNo(true)),
            (Type::YesNo, [no]) if no.is("no") => Some(Value::YesNo(false)),
            (Type::Choice(id), tokens) => self.index.choice(id, tokens).map(Value::Choice),
            (Type::Quantity(scale), tokens) => super::amounts::amount(tokens, 0, Some(scale), &mut None)
                .filter(|a| a.next == tokens.len())
                .map(|a| a.value),
            _ => None,
        };
        match value {
            Some(value) => self.state(target, word, value, said),
            None => {
                let expected = self.shop.vocabulary.type_text(ty);
                let problem = Problem::error(said.place, format!("this does not answer `{what}`"))
                    .help(format!("expected: {expected}"));
                self.shop.problems.push(problem);
                self.unread_fact(target, word, said.place);
            }
        }
    }
}

fn result(tokens: Tokens) -> Option<(&'static str, bool)> {
    let text = tokens.iter().filter(|t| t.kind != TokenKind::Quoted).map(|t| t.text.as_str()).collect::<Vec<_>>();
    let text = text.join(" ");
    let found = RESULTS.iter().find(|(phrase, ..)| *phrase == text).map(|(_, kind, good)| (*kind, *good));
    // `torqued with a torque tool …`: how it was done stands behind.
    found.or_else(|| text.starts_with("torqued ").then_some(("torque", true)))
}

fn is_remark(tokens: &[Token]) -> bool {
    tokens.first().is_some_and(|t| t.is("by") || t.kind == TokenKind::Quoted)
}

fn record_day(token: &Token) -> Option<i32> {
    match token.kind {
        TokenKind::Day => day(&token.text).and_then(|d| i32::try_from(d).ok()),
        // A year alone: its last day, so that a later look in the same year still overtakes it.
        TokenKind::Number if token.text.len() == 4 => {
            day(&format!("{}-01-01", token.text)).and_then(|d| i32::try_from(d).ok())
        }
        _ => None,
    }
}

fn day_of(phrase: &Phrase) -> Option<i32> {
    on_day(&phrase.tokens)
}

fn on_day(tokens: &[Token]) -> Option<i32> {
    match tokens {
        [on, date] if on.is("on") => record_day(date),
        _ => None,
    }
}
