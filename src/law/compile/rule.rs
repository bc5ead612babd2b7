use super::each::as_any;
use super::expression::{Hint, Typed};
use super::scope::{LetterType, Scope};
use super::types::kinds_of;
use super::{Compiler, flow, messages as say};
use crate::law::code::*;
use crate::law::syntax::{self, MessagePiece, Node};
use crate::shop::How;
use crate::text::Spanned;
use crate::words::{Kinds, NameId};
use std::collections::HashSet;

impl<'a> Compiler<'a> {
    pub(super) fn rules(&mut self) {
        let mut names: HashSet<&str> = HashSet::new();
        for rule in &self.pack.rules {
            for name in std::iter::once(&rule.name).chain(&rule.aliases) {
                if !names.insert(&name.node) {
                    self.problem(say::twice("rule", name));
                }
            }
            let before = self.problems.len();
            let made = self.rule(rule);
            let is_clean = self.problems[before..].iter().all(|p| p.severity == crate::text::Severity::Warning);
            if let Some(made) = made.filter(|_| is_clean) {
                self.code.rules.push(made);
            }
        }
        self.check_ordinary();
    }

    fn rule(&mut self, rule: &'a syntax::Rule) -> Option<Rule> {
        let mut scope = Scope::default();
        scope.values = rule.values.iter().collect();
        scope.lists = rule.lists.iter().collect();
        let stage = self.named_stage(&rule.stage);
        let level = self.named_level(&rule.level);
        let kinds = kinds_of(&rule.subject.kinds, &mut self.problems)?;
        let bounds = self.bounds(rule.bounds, &mut scope);
        let within = match &rule.subject.within {
            Some(list) => match self.typed(list, &mut scope, Hint::default())? {
                Typed::Items(items, members) if kinds.covers(members) || !kinds.common(members).is_empty() => {
                    Some(items)
                }
                other => return self.wrong(list.span, &format!("a list of {kinds}"), &other),
            },
            None => None,
        };
        if let Some(letter) = &rule.subject.variable {
            scope.push(&letter.node, LetterType::Item(kinds));
        } else {
            // Slot 0 is the subject's in every rule, named or not.
            scope.push("", LetterType::Item(kinds));
        }
        let mut wheres = Vec::new();
        for part in &rule.wheres {
            wheres.extend(self.part(part, &mut scope));
            scope.guard(flow::present(&part.test, true));
        }
        let known = scope.mark();
        let mut needs = Vec::new();
        for part in &rule.needs {
            needs.extend(self.part(part, &mut scope));
            scope.guard(flow::present(&part.test, true));
        }
        scope.forget(known);
        let mut excepts = Vec::new();
        for except in &rule.excepts {
            let part = match &except.part {
                Some(name) => {
                    let place = rule.needs.iter().position(|p| p.name.as_ref().is_some_and(|n| n.node == name.node));
                    if place.is_none() {
                        let known = rule.needs.iter().filter_map(|p| p.name.as_ref()).map(|n| n.node.as_str());
                        self.problem(say::unknown("part of `needs`", name, known));
                    }
                    place
                }
                None => None,
            };
            let bounds = self.bounds(except.bounds, &mut scope);
            if let Some(test) = self.test(&except.test, &mut scope) {
                let title = except.title.clone().unwrap_or_else(|| except.name.node.clone());
                excepts.push(Except { name: except.name.node.clone(), title, part, bounds, test });
            }
        }
        let evidence = rule.evidence.iter().filter_map(|e| self.evidence(e)).collect();
        let awaits = rule.awaits.iter().filter_map(|e| self.path(e, &mut scope)).collect();
        scope.is_free = true;
        let points = rule.points.iter().filter_map(|e| self.path(e, &mut scope)).collect();
        let otherwise = self.message(&rule.otherwise, &mut scope);
        let remedy = rule.remedy.as_ref().map(|m| self.message(m, &mut scope));
        let caution = rule.caution.as_ref().map(|m| self.message(m, &mut scope));
        let mut asks = Vec::new();
        for ask in &rule.asks {
            if let Some((kinds, name)) = self.asked(&ask.word) {
                asks.push((kinds, name, self.question(&ask.question, &mut scope)));
            }
        }
        let (mut edition, mut day) = (scope.turns_on_edition, scope.turns_on_day);
        for called in &scope.calls {
            let define = &self.code.defines[*called as usize];
            edition |= define.turns_on_edition;
            day |= define.turns_on_day;
        }
        let mut made = Rule {
            name: rule.name.node.clone(),
            aliases: rule.aliases.iter().map(|a| a.node.clone()).collect(),
            title: rule.title.clone(),
            why: rule.why.clone(),
            cites: rule.cites.clone(),
            is_memory: rule.figures.as_ref().is_some_and(|f| !f.is_verified),
            bounds,
            stage: stage?,
            level: level?,
            kinds,
            within,
            wheres,
            needs,
            excepts,
            evidence,
            awaits,
            points,
            otherwise,
            remedy,
            caution,
            asks,
            turns_on_edition: edition,
            turns_on_day: day,
            slots: scope.slots,
            span: rule.span,
            presumed: Vec::new(),
        };
        made.presumed = self.presumed(&made);
        Some(made)
    }

    fn part(&mut self, part: &'a syntax::Part, scope: &mut Scope<'a>) -> Option<Part> {
        let bounds = self.bounds(part.bounds, scope);
        let test = self.test(&part.test, scope)?;
        let name = part.name.as_ref().map_or(String::new(), |n| n.node.clone());
        let title = part.title.clone().unwrap_or_else(|| name.replace('-', " "));
        Some(Part { name, title, bounds, test })
    }

    fn named_stage(&mut self, name: &Spanned<String>) -> Option<Stage> {
        let found = Stage::named(&name.node);
        if found.is_none() {
            self.problem(say::unknown("stage", name, Stage::ALL.map(Stage::name)));
        }
        found
    }

    fn named_level(&mut self, name: &Spanned<String>) -> Option<Level> {
        let found = Level::named(&name.node);
        if found.is_none() {
            self.problem(say::unknown("level", name, ["required", "advised", "note"]));
        }
        found
    }

    /// `KIND.WORD` of `ask` and `evidence`.
    fn asked(&mut self, word: &syntax::WordName) -> Option<(Kinds, NameId)> {
        let kinds = kinds_of(&word.kinds, &mut self.problems)?;
        let vocabulary = self.vocabulary.clone();
        let plain = word.name.node.strip_prefix("has-").filter(|p| {
            let part = vocabulary.name(p);
            part.is_some_and(|p| kinds.iter().all(|k| vocabulary.word(k, p).is_some_and(|w| w.is_part)))
        });
        let name = vocabulary.name(plain.unwrap_or(&word.name.node));
        match name.filter(|n| kinds.iter().all(|k| vocabulary.word(k, *n).is_some())) {
            Some(name) => Some((kinds, name)),
            None => {
                self.problem(say::unknown_word(&word.name, kinds, &vocabulary));
                None
            }
        }
    }

    fn evidence(&mut self, evidence: &syntax::Evidence) -> Option<(Kinds, NameId, How)> {
        let (kinds, name) = self.asked(&evidence.word)?;
        let how = match evidence.how.node.as_str() {
            "seen" => How::Seen,
            "measured" => How::Measured,
            "on-paper" => How::OnPaper,
            _ => {
                self.problem(say::unknown("kind of evidence", &evidence.how, ["seen", "measured", "on-paper"]));
                return None;
            }
        };
        Some((kinds, name, how))
    }

    /// A path `x.word`, as `points` and `awaits` take it; a plain letter points at its own line anyway.
    fn path(&mut self, expr: &syntax::Expr, scope: &mut Scope<'a>) -> Option<(Item, NameId)> {
        let Node::Word(inner, word) = &*expr.node else {
            if let Node::Name(_) = &*expr.node {
                self.typed(expr, scope, Hint::default())?;
                return None;
            }
            self.problem(say::expected(expr.span, "a word of an item", "another expression"));
            return None;
        };
        self.typed(expr, scope, Hint::default())?;
        match self.typed(inner, scope, Hint::default())? {
            Typed::Item(item, _) => Some((item, self.vocabulary.name(&word.node)?)),
            _ => None,
        }
    }

    fn message(&mut self, message: &'a syntax::Message, scope: &mut Scope<'a>) -> Message {
        self.pieces(message, scope, true)
    }

    /// A question may name letters that only the asked item has (`{q}`): what can't be read stays as it is written.
    fn question(&mut self, message: &'a syntax::Message, scope: &mut Scope<'a>) -> Message {
        self.pieces(message, scope, false)
    }

    fn pieces(&mut self, message: &'a syntax::Message, scope: &mut Scope<'a>, is_strict: bool) -> Message {
        let mut pieces = Vec::new();
        for piece in &message.pieces {
            match piece {
                MessagePiece::Text(text) => pieces.push(Piece::Text(text.clone())),
                MessagePiece::Hole(expr) => {
                    if matches!(&*expr.node, Node::Name(n) if n == "part") && scope.letter("part").is_none() {
                        pieces.push(Piece::Part);
                        continue;
                    }
                    let letter = matches!(&*expr.node, Node::Name(n) if scope.letter(n).is_none() && !matches!(n.as_str(), "shop" | "permit"));
                    if !is_strict && letter {
                        pieces.push(Piece::Asked);
                        continue;
                    }
                    if let Some(any) = self.typed(expr, scope, Hint::default()).and_then(as_any) {
                        pieces.push(Piece::Hole(any));
                    }
                }
            }
        }
        Message { pieces }
    }
}
