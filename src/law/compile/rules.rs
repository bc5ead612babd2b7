//! Rules.

use super::frame::{Frame, Letter};
use super::rare::{Rare, Sign};
use super::types::Typed;
use super::{Compiler, Turns, messages};
use crate::law::code::{Except, Item, Items, Later, Level, Part, Rule, RuleTexts, Stage, Test};
use crate::law::syntax::{self, Bounds, Expr, Node};
use crate::shop::How;
use crate::text::{Span, Spanned, nearest};
use crate::words::{Kind, Kinds, NameId};
use std::collections::HashMap;
use std::collections::hash_map::Entry;

/// What a file may ask of a fact, as `evidence` writes it.
const EVIDENCE: [(&str, How); 3] = [("seen", How::Seen), ("measured", How::Measured), ("on-paper", How::OnPaper)];

impl<'a> Compiler<'a> {
    pub(super) fn compile_rules(&mut self) -> Vec<Rule> {
        let pack = self.pack;
        let mut ids: HashMap<&'a str, Span> = HashMap::with_capacity(pack.rules.len());
        for name in pack.rules.iter().flat_map(|rule| std::iter::once(&rule.name).chain(&rule.aliases)) {
            match ids.entry(&name.node) {
                Entry::Vacant(free) => drop(free.insert(name.span)),
                Entry::Occupied(first) => {
                    self.report(messages::twice(name.span, "rule", &name.node, *first.get()));
                }
            }
        }
        let mut rules = Vec::with_capacity(pack.rules.len());
        for rule in &pack.rules {
            let errors = self.errors;
            let is_first = ids.get(rule.name.node.as_str()) == Some(&rule.name.span);
            if let Some(compiled) = self.rule(rule)
                && self.errors == errors
                && is_first
            {
                rules.push(compiled);
            }
        }
        rules
    }

    fn rule(&mut self, rule: &'a syntax::Rule) -> Option<Rule> {
        let mut frame = Frame { values: &rule.values, lists: &rule.lists, ..Frame::default() };
        let stage = self.stage(&rule.stage);
        let level = self.level(&rule.level);
        let kinds = self.kinds_of(&rule.subject.kinds)?;
        let within = self.subject(&mut frame, rule, kinds);
        frame.turns = frame.turns.and(self.note_bounds(&rule.bounds));
        let used = self.used.places.len();
        self.check_own(&frame);
        self.check_parts(rule);
        self.check_cites(&rule.cites, rule.name.span);

        let mut is_whole = within.is_some();
        let mut wheres = Vec::with_capacity(rule.wheres.len());
        for part in &rule.wheres {
            match self.part(&mut frame, part) {
                Some(part) => {
                    frame.bounds = part.bounds;
                    frame.assume(&part.test, true);
                    wheres.push(part);
                }
                None => {
                    frame.is_lost = true;
                    is_whole = false;
                }
            }
        }
        let mark = frame.mark();
        let mut needs = Vec::with_capacity(rule.needs.len());
        for part in &rule.needs {
            match self.part(&mut frame, part) {
                Some(compiled) => {
                    // All must hold, as in an `and`, unless an exception may free this one.
                    if !rule.excepts.iter().any(|except| except.part.is_some() && except.part == part.name) {
                        frame.bounds = compiled.bounds;
                        frame.assume(&compiled.test, true);
                    }
                    needs.push(compiled);
                }
                None => {
                    frame.is_lost = true;
                    is_whole = false;
                }
            }
        }
        frame.reset(mark);
        self.refuse_rare(&frame.rare);
        frame.rare.clear();
        let excepts: Vec<Except> = rule.excepts.iter().filter_map(|e| self.except(&mut frame, e, rule)).collect();
        is_whole &= excepts.len() == rule.excepts.len();
        let presumed = self.presumed(&frame.rare);
        frame.bounds = Bounds::default();

        let turns = frame.turns;
        frame.is_unguarded = true;
        self.check_unused(&mut frame, used);
        let evidence = self.evidence(&rule.evidence);
        let awaits: Option<Vec<_>> = rule.awaits.iter().map(|expr| self.awaited(&mut frame, expr)).collect();
        let points = self.points(&mut frame, &rule.points);
        let otherwise = self.message(&mut frame, &rule.otherwise);
        let remedy = rule.remedy.as_ref().map(|message| self.message(&mut frame, message));
        let caution = rule.caution.as_ref().map(|message| self.message(&mut frame, message));
        let asks = self.asks(&mut frame, &rule.asks);
        let touched = rule.touched.iter().map(|touched| {
            let when = touched.when.as_ref().map(|when| self.test(&mut frame, when));
            (touched.edit, when.flatten())
        });
        let touched = touched.collect();
        if !is_whole {
            return None;
        }
        let Turns { edition, day } = turns;
        Some(Rule {
            name: rule.name.node.clone(),
            texts: Later::now(RuleTexts {
                aliases: rule.aliases.iter().map(|alias| alias.node.clone()).collect(),
                title: rule.title.clone(),
                why: rule.why.clone(),
                cites: rule.cites.clone(),
                otherwise: otherwise?,
                remedy: optional(remedy)?,
                caution: optional(caution)?,
                asks: asks?,
            }),
            is_memory: rule.figures.as_ref().is_some_and(|figures| !figures.is_verified),
            bounds: rule.bounds,
            stage: stage?,
            level: level?,
            kinds,
            within: within?,
            wheres,
            needs,
            excepts,
            evidence: evidence?,
            awaits: awaits?,
            points: points?,
            turns_on_edition: edition,
            turns_on_day: day,
            slots: frame.slots.max(1),
            span: rule.span,
            presumed,
            touched,
        })
    }

    fn stage(&mut self, stage: &Spanned<String>) -> Option<Stage> {
        Stage::named(&stage.node).or_else(|| {
            let near = nearest(&stage.node, Stage::ALL.into_iter().map(Stage::name));
            self.fail(messages::unknown_stage(stage.span, &stage.node, near))
        })
    }

    fn level(&mut self, level: &Spanned<String>) -> Option<Level> {
        Level::named(&level.node).or_else(|| self.fail(messages::unknown_level(level.span, &level.node)))
    }

    /// Puts the rule's letter in slot 0, and gives the list that narrows what it is met on.
    fn subject(&mut self, frame: &mut Frame<'a>, rule: &'a syntax::Rule, kinds: Kinds) -> Option<Option<Items>> {
        let within = match &rule.subject.within {
            None => None,
            Some(list) => match self.typed(frame, list, None)? {
                Typed::Items(items, members) if !members.common(kinds).is_empty() => Some(items),
                Typed::Items(_, members) => {
                    return self.fail(messages::strange_members(list.span, kinds, members));
                }
                other => {
                    let found = self.described(&other);
                    return self.fail(messages::no_list(list.span, &found));
                }
            },
        };
        match &rule.subject.variable {
            Some(variable) if matches!(variable.node.as_str(), "shop" | "permit") => {
                return self.fail(messages::letter_twice(variable.span, &variable.node));
            }
            Some(variable) => {
                frame.push(&variable.node, Letter::Item(kinds))?;
            }
            None if kinds == Kinds::of(Kind::Shop) || kinds == Kinds::of(Kind::Permit) => {
                frame.take_slot()?;
            }
            None => {
                let span = rule.subject.kinds.first().map_or(rule.name.span, |kind| kind.span);
                return self.fail(messages::no_letter(span, kinds));
            }
        }
        frame.base = frame.letters.len();
        Some(within)
    }

    fn part(&mut self, frame: &mut Frame<'a>, part: &'a syntax::Part) -> Option<Part> {
        frame.bounds = part.bounds;
        let test = self.named_test(frame, &part.test, &part.bounds);
        if part.name.is_none() && self.demands.is_strict(part.test.span) {
            self.report(messages::unnamed(part.test.span));
        }
        let name = part.name.as_ref().map_or("", |name| name.node.as_str());
        Some(Part {
            name: name.into(),
            title: super::texts::title(part.title.as_deref(), name),
            bounds: part.bounds,
            test: test?,
        })
    }

    fn named_test(&mut self, frame: &mut Frame<'a>, expr: &'a Expr, bounds: &Bounds) -> Option<Test> {
        frame.turns = frame.turns.and(self.note_bounds(bounds));
        frame.set_sign(Sign::Helps);
        let mark = frame.mark();
        let test = self.test(frame, expr);
        frame.reset(mark);
        test
    }

    fn except(&mut self, frame: &mut Frame<'a>, except: &'a syntax::Except, rule: &'a syntax::Rule) -> Option<Except> {
        frame.bounds = except.bounds;
        let test = self.named_test(frame, &except.test, &except.bounds);
        let part = match &except.part {
            None => None,
            Some(part) => {
                let names = || rule.needs.iter().filter_map(|need| need.name.as_ref()).map(|name| name.node.as_str());
                let place = rule.needs.iter().position(|need| need.name.as_ref() == Some(part));
                if place.is_none() {
                    return self.fail(messages::unknown_part(part.span, &part.node, nearest(&part.node, names())));
                }
                place
            }
        };
        Some(Except {
            name: except.name.node.clone(),
            title: super::texts::title(except.title.as_deref(), &except.name.node),
            part,
            bounds: except.bounds,
            test: test?,
        })
    }

    /// Words with an ordinary answer outside exceptions.
    fn refuse_rare(&mut self, rare: &[Rare]) {
        for rare in rare {
            let problem = messages::rare_outside(rare.place, self.vocabulary.text(rare.name));
            self.report(problem);
        }
    }

    /// Words with an ordinary answer in exceptions, where taking it can only deny them.
    fn presumed(&mut self, rare: &[Rare]) -> Vec<(Kinds, NameId)> {
        let mut presumed: Vec<(Kinds, NameId)> = Vec::new();
        for rare in rare {
            if rare.effect.may_grant() {
                let problem = messages::rare_grants(rare.place, self.vocabulary.text(rare.name));
                self.report(problem);
            }
            match presumed.iter_mut().find(|(_, name)| *name == rare.name) {
                Some((kinds, _)) => *kinds = kinds.and(rare.kinds),
                None => presumed.push((rare.kinds, rare.name)),
            }
        }
        presumed
    }

    fn evidence(&mut self, evidence: &'a [syntax::Evidence]) -> Option<Vec<(Kinds, NameId, How)>> {
        let mut all = Vec::with_capacity(evidence.len());
        for line in evidence {
            let word = self.word_named(&line.word);
            let how = EVIDENCE.iter().find(|(name, _)| *name == line.how.node).map(|(_, how)| *how);
            if how.is_none() {
                self.report(messages::unknown_evidence(line.how.span, &line.how.node));
            }
            all.extend(word.zip(how).map(|((kinds, name), how)| (kinds, name, how)));
        }
        (all.len() == evidence.len()).then_some(all)
    }

    fn awaited(&mut self, frame: &mut Frame<'a>, expr: &'a Expr) -> Option<(Item, NameId)> {
        match self.typed(frame, expr, None)? {
            Typed::Items(Items::Word(item, name), _) | Typed::Choices(item, name, _) => Some((item, name)),
            other => {
                let found = self.described(&other);
                self.fail(messages::no_list(expr.span, &found))
            }
        }
    }

    /// Facts whose phrase is pointed at. Behind a bare item nothing is looked at: it always has a place.
    fn points(&mut self, frame: &mut Frame<'a>, points: &'a [Expr]) -> Option<Vec<(Item, NameId)>> {
        let mut all = Vec::with_capacity(points.len());
        for expr in points {
            match &*expr.node {
                Node::Word(owner, word) => match self.typed(frame, owner, None)? {
                    Typed::Item(item, kinds) => {
                        let names = word.node.strip_prefix("has-").and_then(|part| self.vocabulary.name(part));
                        self.word_of(frame, item, kinds, word, expr.span)?;
                        let item = match self.typed(frame, owner, None)? {
                            Typed::Item(item, _) => item,
                            _ => return None,
                        };
                        let own = self.vocabulary.name(&word.node);
                        let is_word = own.is_some_and(|id| kinds.iter().all(|k| self.vocabulary.word(k, id).is_some()));
                        all.extend(if is_word { own } else { names }.map(|name| (item, name)));
                    }
                    _ => return self.fail(messages::no_point(expr.span)),
                },
                _ => match self.typed(frame, expr, None)? {
                    Typed::Item(..) => break,
                    _ => return self.fail(messages::no_point(expr.span)),
                },
            }
        }
        Some(all)
    }

    fn asks(
        &mut self,
        frame: &mut Frame<'a>,
        asks: &'a [syntax::Ask],
    ) -> Option<Vec<(Kinds, NameId, crate::law::code::Message)>> {
        let mut all = Vec::with_capacity(asks.len());
        for ask in asks {
            let word = self.word_named(&ask.word);
            let question = self.question(frame, &ask.question);
            all.extend(word.zip(question).map(|((kinds, name), question)| (kinds, name, question)));
        }
        (all.len() == asks.len()).then_some(all)
    }

    /// Names inside a rule that have to differ.
    fn check_parts(&mut self, rule: &'a syntax::Rule) {
        let names = |parts: &'a [syntax::Part]| parts.iter().filter_map(|part| part.name.as_ref());
        self.check_names("part", &names(&rule.wheres).chain(names(&rule.needs)).collect::<Vec<_>>());
        self.check_names("exception", &rule.excepts.iter().map(|except| &except.name).collect::<Vec<_>>());
        for part in rule.wheres.iter().chain(&rule.needs) {
            // A part may be called like the limit that it tests.
            let value = part.name.as_ref().and_then(|name| rule.values.iter().find(|value| value.name == *name));
            if let (Some(name), Some(value)) = (&part.name, value)
                && !super::each::speaks_of(&part.test, &name.node)
            {
                self.report(messages::value_and_part(value.name.span, &name.node, name.span));
            }
        }
    }

    /// Names of the values and lists of a rule or define.
    pub(super) fn check_own(&mut self, frame: &Frame<'a>) {
        let (values, lists) = (frame.values, frame.lists);
        self.check_names("value", &values.iter().map(|value| &value.name).collect::<Vec<_>>());
        self.check_names("list", &lists.iter().map(|list| &list.name).collect::<Vec<_>>());
        lists.iter().for_each(|list| self.check_item_names(list));
    }

    /// Citations of one rule don't overlap, and run forward.
    pub(super) fn check_cites(&mut self, cites: &[syntax::Cite], span: Span) {
        for (place, cite) in cites.iter().enumerate() {
            let before = cites.get(..place).unwrap_or_default();
            if let Some(other) = before.iter().find(|other| other.first <= cite.last && cite.first <= other.last) {
                self.report(messages::cites_overlap(span, (other.first, other.last), (cite.first, cite.last)));
            }
            if cite.first > cite.last {
                self.report(messages::cites_backwards(span, cite.first, cite.last));
            }
        }
    }
}

/// What is optional and, where it is there, has to have compiled.
fn optional<T>(compiled: Option<Option<T>>) -> Option<Option<T>> {
    match compiled {
        None => Some(None),
        Some(None) => None,
        Some(some) => Some(some),
    }
}
