//! Edits of a rule as a whole, and of its texts.

use super::edit::Made;
use super::guard::{self, Found};
use super::part::{made_and, made_or, named_part, not};
use super::scope::or;
use super::{About, State, Work};
use crate::law::print;
use crate::law::syntax::layer::{RuleGuard, Text, Was};
use crate::law::syntax::{Fact, Message, MessagePiece, OLD_WORK, Rule, TypeName, WordName};
use crate::text::{Problem, Span, Spanned};
use crate::words::{Kind, Kinds, Vocabulary, name};

impl Work {
    pub(super) fn strike_rule(&mut self, rule: &mut Rule, was: &Was<RuleGuard>, span: Span, about: &About) -> Made {
        let mut made = Made::new("strike", "rule").from_to(&rule.title, "");
        if let RuleGuard::Title(title) = &was.found
            && let Found::Other(today) = guard::title(title, &rule.title)
        {
            return made.wrong(guard::out_of_date(was.span, &rule.name.node, "the title", &today));
        }
        if was.found == RuleGuard::None {
            let problem = Problem::error(was.span, "a rule that is not there can't be struck");
            return made.wrong(problem.help(format!("write `was \"{}\"`", rule.title)));
        }
        if about.leave.is_stricter_only {
            return self.refused(made, "the rule", about, span);
        }
        if let Some(undone) = self.undoes(rule, &made, about, span) {
            return undone;
        }
        if let Some(when) = about.when.test(span) {
            let name = format!("not-{}", about.layer.name.node);
            rule.wheres.insert(
                0,
                named_part(&name, format!("not switched off here by {}", about.layer.title), not(when), span),
            );
        }
        made.strikes = true;
        made
    }

    pub(super) fn set_rule(
        &mut self,
        rule: &mut Rule,
        new: &Rule,
        was: &Was<String>,
        about: &About,
        span: Span,
    ) -> Made {
        let made =
            Made::new("set", "rule").from_to(&rule.title, if new.title.is_empty() { &rule.title } else { &new.title });
        if let Found::Other(today) = guard::title(&was.found, &rule.title) {
            return made.wrong(guard::out_of_date(was.span, &rule.name.node, "the title", &today));
        }
        if about.leave.is_stricter_only {
            return self.refused(made, "the whole rule", about, span);
        }
        if let Some(undone) = self.undoes(rule, &made, about, span) {
            return undone;
        }
        let mut new = new.clone();
        new.name = rule.name.clone();
        new.aliases = rule.aliases.clone();
        if new.title.is_empty() {
            new.title = rule.title.clone();
        }
        if new.why.is_empty() {
            new.why = about.change.why.clone();
        }
        if new.given.is_empty() {
            new.given = rule.given.clone();
        }
        new.touched = rule.touched.clone();
        // Bounds that a split put in stand for the layer, not for the rule.
        let kept = rule.wheres.iter().filter(|part| part.name.as_ref().is_some_and(|name| name.node == "in-force"));
        new.wheres.splice(0..0, kept.cloned());
        *rule = new;
        made
    }

    /// `borrow rule from NEC 2020, was none`: the rule reaches back to editions that have none.
    pub(super) fn borrow_rule(
        &mut self,
        rule: &mut Rule,
        year: i64,
        was: &Was<RuleGuard>,
        span: Span,
        about: &About,
    ) -> Made {
        use crate::law::syntax::Moment;
        let made = Made::new("borrow", "rule").from_to("none", &rule.title);
        let Some(Moment::Edition(first)) = rule.bounds.from else {
            return made.with(State::Absorbed);
        };
        if year < first || !matches!(was.found, RuleGuard::None) {
            let problem = Problem::error(
                was.span,
                format!("out of date: {} begins with NEC {first} in the base", rule.name.node),
            );
            return made.wrong(problem.help(format!("`borrow rule from NEC {first}, was none`")));
        }
        if !crate::law::compile::EDITIONS.into_iter().any(|y| y < first && about.when.has_edition(y)) {
            return made.with(State::Absorbed);
        }
        rule.bounds.from = None;
        // Where the base has it, it holds as before; elsewhere only where the layer counts.
        let here = super::When { editions: vec![(first, None)], ..super::When::default() };
        if let Some(when) = about.when.test(span) {
            let base = here.test(span);
            let test = or(base.into_iter().chain([when]).collect(), span);
            rule.wheres.extend(
                test.map(|test| named_part("in-force", format!("law here: {}", about.layer.title), test, span)),
            );
        }
        let own = |moment: &mut Option<Moment>| {
            if matches!(moment, Some(Moment::Edition(y)) if *y <= first) {
                *moment = None;
            }
        };
        rule.wheres.iter_mut().chain(&mut rule.needs).for_each(|part| own(&mut part.bounds.from));
        rule.excepts.iter_mut().for_each(|except| own(&mut except.bounds.from));
        rule.lists.iter_mut().flat_map(|list| &mut list.items).for_each(|item| own(&mut item.bounds.from));
        made
    }

    /// `set reach to old and new, was new`: whether what was there before the work is looked at. A rule
    /// that looks at new work alone has an exception for the rest.
    pub(super) fn set_reach(
        &mut self,
        rule: &mut Rule,
        to_new: bool,
        was: &Was<bool>,
        span: Span,
        about: &About,
    ) -> Made {
        let said = |is_new: bool| if is_new { "new" } else { "old and new" };
        let old = rule.excepts.iter_mut().find(|except| except.name.node == OLD_WORK);
        let is_new = old.is_some();
        let made = Made::new("set", "reach").from_to(said(is_new), said(to_new));
        if is_new == to_new {
            return made.with(State::Absorbed);
        }
        if was.found != is_new {
            return made.wrong(guard::out_of_date(was.span, &rule.name.node, "reach", said(is_new)));
        }
        if to_new && about.leave.is_stricter_only {
            return self.refused(made, "reach", about, span);
        }
        match (old, about.when.test(span)) {
            (Some(old), Some(when)) => old.test = made_and(not(when), old.test.clone()),
            (Some(_), None) => rule.excepts.retain(|except| except.name.node != OLD_WORK),
            (None, when) => {
                let subject = &rule.subject;
                let letter = subject.variable.as_ref().or(subject.kinds.first());
                let mut old = crate::law::read::old_work(letter.map_or("shop", |name| &name.node), span);
                if let Some(when) = when {
                    old.test = made_and(when, old.test);
                }
                rule.excepts.push(old);
            }
        }
        made
    }

    /// `defer to WHO: "question"`: somebody's answer in place of the rule's demands.
    pub(super) fn defer(&mut self, rule: &mut Rule, who: &str, question: &str, span: Span, about: &About) -> Made {
        // `defer to authority` asks whoever the authority is here.
        let who = self.title_of(who).map_or(who.to_string(), |title| format!("the {title}"));
        let made = Made::new("defer", "rule").from_to("", format!("{who}: {question}"));
        if about.leave.is_stricter_only {
            return self.refused(made, "the rule", about, span);
        }
        if let Some(undone) = self.undoes(rule, &made, about, span) {
            return undone;
        }
        let word = format!("is-{}-agreed", rule.name.node);
        let kinds = rule.subject.kinds.clone();
        let name = Spanned { node: word.clone(), span };
        if !self.out.pack.facts.iter().any(|fact| fact.word.name == name) {
            self.out.pack.facts.push(Fact {
                word: WordName { kinds: kinds.clone(), name: name.clone(), span },
                is_part: false,
                ty: TypeName { words: vec!["yes/no".into()], span },
                doc: format!("{who} agreed: {}", rule.title),
                phrase: String::new(),
                ordinary: None,
                question: Some(format!("Ask {who}: {question}")),
            });
        }
        let letter = rule.subject.variable.as_ref().map(|v| v.node.clone());
        let owner = letter.unwrap_or_else(|| kinds.first().map_or("shop".into(), |kind| kind.node.clone()));
        let answer = super::scope::word(&owner, &word, span);
        let when = about.when.test(span);
        let agreed = match &when {
            Some(when) => made_or(not(when.clone()), answer),
            None => answer,
        };
        match when {
            Some(when) => {
                rule.needs.iter_mut().for_each(|part| part.test = made_or(when.clone(), part.test.clone()));
                rule.excepts.iter_mut().for_each(|e| e.test = made_and(not(when.clone()), e.test.clone()));
            }
            None => {
                rule.needs.clear();
                rule.excepts.clear();
            }
        }
        rule.needs.push(named_part("agreed", format!("what {who} says"), agreed, span));
        let text = Message { pieces: vec![MessagePiece::Text(format!("{who} did not agree: {}", rule.title))], span };
        if about.when.is_always() {
            rule.otherwise = text;
        }
        made
    }
}

pub(super) fn set_text(rule: &mut Rule, text: Text, to: &Message, was: &Was<Message>) -> Made {
    let (part, today) = match text {
        Text::Title => ("title", rule.title.clone()),
        Text::Otherwise => ("else", print::message(&rule.otherwise)),
        Text::Remedy => ("remedy", rule.remedy.as_ref().map_or(String::new(), print::message)),
        Text::Caution => ("caution", rule.caution.as_ref().map_or(String::new(), print::message)),
    };
    let made = Made::new("set", part).from_to(&today, print::message(to));
    if guard::words(&print::message(&was.found)) != guard::words(&today) {
        return made.wrong(guard::out_of_date(was.span, &rule.name.node, part, &format!("\"{today}\"")));
    }
    match text {
        Text::Title => rule.title = print::message(to),
        Text::Otherwise => rule.otherwise = to.clone(),
        Text::Remedy => rule.remedy = Some(to.clone()),
        Text::Caution => rule.caution = Some(to.clone()),
    }
    made
}

/// The sections of the editions that a line names; the rest keep theirs.
pub(super) fn set_cites(rule: &mut Rule, cite: &crate::law::syntax::Cite, was: &Was<Vec<String>>) -> Made {
    let here = rule.cites.iter().position(|c| c.first <= cite.first && cite.last <= c.last);
    let today = here.and_then(|i| rule.cites.get(i)).map_or(Vec::new(), |c| c.sections.clone());
    let made = Made::new("set", "cites").from_to(today.join(", "), cite.sections.join(", "));
    let said: Vec<String> = was.found.iter().filter(|s| !s.is_empty() && *s != "none").cloned().collect();
    if said != today {
        return made.wrong(guard::out_of_date(
            was.span,
            &rule.name.node,
            "cites",
            if today.is_empty() { "none".into() } else { today.join(", ") }.as_str(),
        ));
    }
    if let Some(old) = here.and_then(|i| (i < rule.cites.len()).then(|| rule.cites.remove(i))) {
        if old.first < cite.first {
            rule.cites.push(crate::law::syntax::Cite { last: cite.first.saturating_sub(1), ..old.clone() });
        }
        if cite.last < old.last {
            rule.cites.push(crate::law::syntax::Cite { first: cite.last.saturating_add(1), ..old });
        }
    }
    rule.cites.push(cite.clone());
    made
}

/// The kinds of items of which a plan says whether they were there before the work.
pub(super) fn kinds_with_age() -> Kinds {
    let vocabulary = Vocabulary::core();
    let has_age = |kind: &Kind| vocabulary.word(*kind, name::IS_EXISTING).is_some();
    Kind::ALL.into_iter().filter(has_age).fold(Kinds::default(), |all, kind| all.and(Kinds::of(kind)))
}

/// Whether all that a rule is about is of these kinds.
pub(super) fn is_among(rule: &Rule, kinds: Kinds) -> bool {
    rule.subject.kinds.iter().all(|kind| Kind::named(&kind.node).is_some_and(|kind| kinds.has(kind)))
}
