//! `adopt`: which edition is law, for which buildings and permit days.

use super::scope::{made, word};
use super::{EditRecord, State, When, Work};
use crate::law::syntax::layer::{Adopt, Kind, Layer};
use crate::law::syntax::{Comparison, Expr, Message, MessagePiece, Node, Part, Rule, Subject, Touched};
use crate::quantity::{Quantity, Rational, Scale};
use crate::text::{Problem, Span, Spanned};

impl Work {
    /// A rule that holds the plan's edition against what the most local layer adopts, and for a
    /// utility advice where its own document names another: it never picks the edition of a shop.
    pub(super) fn adopt(&mut self, layers: &[&Layer]) {
        let adopts = |layer: &&&Layer| !layer.adopts.is_empty() && layer.kind != Kind::Owner;
        let mut own: Vec<&&Layer> = layers.iter().filter(adopts).collect();
        let utilities: Vec<&&Layer> = own.iter().filter(|layer| layer.kind == Kind::Utility).copied().collect();
        own.retain(|layer| layer.kind != Kind::Utility);
        for layer in own.last().copied().into_iter().chain(utilities) {
            let Some(index) = self.out.layers.iter().position(|head| head.span == layer.span) else { continue };
            let head = self.out.layers.get(index).map_or(When::default(), |head| head.when.clone());
            let edit = self.out.edits.len() as u32;
            let rule = rule(layer, &head, edit);
            self.out.edits.push(EditRecord {
                layer: index,
                target: rule.name.node.clone(),
                title: rule.title.clone(),
                part: "edition".into(),
                verb: "adopt",
                state: State::Applied,
                was: String::new(),
                now: layer.adopts.iter().map(text).collect::<Vec<_>>().join("; "),
                why: rule.why.clone(),
                source: layer.source.clone(),
                when: head,
                place: layer.span,
            });
            self.out.pack.rules.push(rule);
        }
    }
}

impl Work {
    /// `adopt NEC 2020, as of DAY`: later changes of that edition's text are no law. What the pack has of
    /// these asks the figure `text-date`; here it is the day.
    pub(super) fn pin_text(&mut self, layer: &Layer, index: usize, head: &When) {
        for adopt in &layer.adopts {
            let Some(day) = adopt.as_of else { continue };
            let Some(define) = self.out.pack.defines.iter_mut().find(|define| define.name.node == TEXT_DATE) else {
                let problem =
                    Problem::error(adopt.span, "these rules don't tell later changes of an edition's text apart");
                self.out.problems.push(problem.help(format!("`as of` sets the figure `{TEXT_DATE}`, which they lack")));
                continue;
            };
            let span = adopt.span;
            let quantity = |value, scale| made(Node::Quantity(Quantity { value: Rational::whole(value), scale }), span);
            let is_one = |year: &i64| {
                let year = quantity(*year, Scale::Edition);
                made(Node::Compare(Comparison::Equal, word("permit", "edition", span), year), span)
            };
            let editions = super::scope::or(adopt.editions.iter().map(is_one).collect(), span);
            let own = When {
                from: adopt.from,
                before: adopt.before,
                tests: adopt.test.iter().cloned().collect(),
                ..When::default()
            };
            let all = editions.into_iter().chain(own.test(span)).chain(head.test(span)).collect();
            let Some(here) = super::scope::and(all, span) else { continue };
            let was = crate::law::print::expr(&define.body);
            define.body = made(Node::If(here, quantity(day, Scale::Date), define.body.clone()), span);
            let edit = self.out.edits.len() as u32;
            self.reached.push(super::Reached { edit, name: TEXT_DATE.into(), when: head.test(span) });
            self.out.edits.push(EditRecord {
                layer: index,
                target: TEXT_DATE.into(),
                title: "the day up to which later changes of the text count".into(),
                part: "formula".into(),
                verb: "adopt",
                state: State::Applied,
                was,
                now: crate::quantity::day_text(day),
                why: "Later changes of the text wait until somebody here takes them in.".into(),
                source: layer.source.clone(),
                when: head.clone(),
                place: span,
            });
        }
    }
}

/// The figure of a pack that says up to which day later changes of the edition's text count.
const TEXT_DATE: &str = "text-date";

fn text(adopt: &Adopt) -> String {
    let editions: Vec<String> = adopt.editions.iter().map(|year| format!("NEC {year}")).collect();
    let when =
        When { from: adopt.from, before: adopt.before, tests: adopt.test.iter().cloned().collect(), ..When::default() };
    let when = when.text();
    let floating = if adopt.floating_from.is_some() { " or later" } else { "" };
    let as_of = adopt.as_of.map_or(String::new(), |day| format!(", as of {}", crate::quantity::day_text(day)));
    format!("{}{as_of}{floating}{}{when}", editions.join(" or "), if when.is_empty() { "" } else { ", " })
}

fn rule(layer: &Layer, head: &When, edit: u32) -> Rule {
    let span = layer.adopts.first().map_or(layer.span, |adopt| adopt.span);
    let named = |node: &str| Spanned { node: node.to_string(), span };
    let title = format!("The edition that {} goes by", layer.title);
    // The first line that fits holds; where none does, nothing is adopted and nothing can differ.
    let mut test = made(Node::YesNo(true), span);
    for adopt in layer.adopts.iter().rev() {
        let when = When {
            from: adopt.from,
            before: adopt.before,
            tests: adopt.test.iter().cloned().collect(),
            ..When::default()
        };
        let is_one = adopted(adopt);
        test = match when.test(adopt.span) {
            None => is_one,
            Some(when) => made(Node::If(when, is_one, test), adopt.span),
        };
    }
    let in_force = head.test(span).map(|test| Part {
        name: Some(named("in-force")),
        title: Some(format!("law here: {}", layer.title)),
        bounds: Default::default(),
        test,
    });
    let text = |text: String| Message { pieces: vec![MessagePiece::Text(text)], span };
    Rule {
        name: named(&format!("edition-of-{}", layer.name.node)),
        title: title.clone(),
        why: "A plan held against the wrong edition is right in the wrong place.".into(),
        stage: named("permit"),
        level: named(if layer.kind == Kind::Utility { "advised" } else { "required" }),
        subject: Subject { variable: None, kinds: vec![named("permit")], within: None },
        wheres: in_force.into_iter().collect(),
        needs: vec![Part { name: Some(named("adopted")), title: Some(title), bounds: Default::default(), test }],
        points: vec![word("permit", "edition", span)],
        otherwise: text(format!("{} goes by another edition for this building and permit day", layer.title)),
        remedy: Some(text(
            "Ask the office which edition it goes by here, and name it: `code NEC YEAR` under `shop`.".into(),
        )),
        touched: vec![Touched { edit, when: None }],
        span: layer.span,
        ..Rule::default()
    }
}

/// One of the editions; with `floating` a later one too, for permits from the day when somebody looked.
fn adopted(adopt: &Adopt) -> Expr {
    let span = adopt.span;
    let quantity = |value, scale| made(Node::Quantity(Quantity { value: Rational::whole(value), scale }), span);
    let compare = |word, sign, value| made(Node::Compare(sign, word, value), span);
    let edition = || word("permit", "edition", span);
    let mut ways: Vec<Expr> = adopt
        .editions
        .iter()
        .map(|year| compare(edition(), Comparison::Equal, quantity(*year, Scale::Edition)))
        .collect();
    if let (Some(day), Some(year)) = (adopt.floating_from, adopt.editions.iter().max()) {
        let later = compare(edition(), Comparison::AtLeast, quantity(*year, Scale::Edition));
        let after = compare(word("permit", "date", span), Comparison::AtLeast, quantity(day, Scale::Date));
        ways.push(made(Node::And(vec![later, after]), span));
    }
    super::scope::or(ways, span).unwrap_or_else(|| made(Node::YesNo(true), span))
}

/// Where lines leave a gap of days between them, nothing is adopted there.
pub(super) fn gap(adopts: &[Adopt]) -> Option<(i64, i64, Span)> {
    let mut days: Vec<(i64, i64, Span)> = adopts
        .iter()
        .filter(|adopt| adopt.test.is_none())
        .map(|adopt| (adopt.from.unwrap_or(i64::MIN), adopt.before.unwrap_or(i64::MAX), adopt.span))
        .collect();
    days.sort_unstable_by_key(|(from, before, _)| (*from, *before));
    let mut reached = i64::MIN;
    for (i, (from, before, span)) in days.iter().enumerate() {
        if i > 0 && *from > reached {
            return Some((reached, *from, *span));
        }
        reached = reached.max(*before);
    }
    None
}
