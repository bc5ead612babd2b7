//! What to say where a phrase is not understood: what was expected, in trade words, and what is near.

use super::Builder;
use super::amounts::{NoUnit, example};
use super::items::kind_of;
use super::phrases::{Tokens, hosted_kinds};
use super::unread::SHAPED;
use crate::plan::syntax::{Keyword, Token};
use crate::quantity::{Rational, number};
use crate::shop::ItemRef;
use crate::text::{Label, Problem, Span, nearest};
use crate::words::{ChoiceId, Kind, choice};

/// Words that begin phrases of any item.
const COMMON: &[&str] = &["note", "installed", "new", "existing", "indoors", "outdoors", "in", "on", "assume"];

/// What to ask where a word stands in the wrong item or has two meanings: kind, how the phrase
/// begins, the question.
const QUESTIONS: &[(Kind, &str, &str)] = &[
    (Kind::Panel, "breaker", "the panel's own is `main 60 A`; the feeder's stands in `feeder`"),
    (Kind::Panel, "fuse", "the panel's own is `main 60 A`; the feeder's stands in `feeder`"),
    (Kind::Switch, "for", "control stands in the circuit: `feeds L1 through S1`"),
    (Kind::Switch, "feeds", "control stands in the circuit: `feeds L1 through S1`"),
    (Kind::Receptacle, "plug", "the wall part is the receptacle; a plug is part of `equipment`: `plugs into R1`"),
    (Kind::Receptacle, "plugs", "what plugs in says so itself, in its `equipment`: `plugs into R1`"),
    (Kind::Receptacle, "breaker", "a breaker stands in the circuit: `circuit C1: breaker 20 A`"),
    (Kind::Equipment, "breaker", "what its maker asks for is `maker: breaker 50 A`; its circuit's stands in `circuit`"),
    (Kind::Equipment, "wire", "the wire of its circuit stands in `circuit`; its cord is `cord 12 AWG 25 ft`"),
    (
        Kind::Disconnect,
        "main",
        "a main in a panel is `main 60 A` in `panel`; one that stands apart is a disconnect by itself",
    ),
    (Kind::Disconnect, "feeds", "the circuit goes through it: `feeds M1 through D1` in `circuit`"),
    (Kind::Electrode, "wire", "to which panel, and on which bar? `wire 6 AWG Cu to P1, lands on ground bar`"),
    (Kind::Box, "feeds", "what a circuit feeds stands in `circuit`; a box `holds` devices"),
    (Kind::Run, "breaker", "a breaker stands in the circuit: `circuit C1: breaker 20 A`"),
    (Kind::Run, "holds", "a box holds devices; a raceway carries what the circuits need"),
    (
        Kind::Feeder,
        "feeds",
        "a feeder ends in a panel: `feeder F1 from house to P1`; what hangs there stands in circuits",
    ),
    (Kind::Feeder, "main", "the panel's main stands in `panel`; the feeder's own is `breaker 60 A`"),
    (Kind::Circuit, "main", "the panel's main stands in `panel`; the circuit's own is `breaker 20 A`"),
];

/// The same for how the phrase ends.
const ENDINGS: &[(Kind, &str, &str)] = &[
    (Kind::Run, "deep", "a depth counts to the top of the raceway or cable: `buried 18 in`"),
    (Kind::Run, "bend", "say how many, `2 bends`, or the degrees in all, `180 deg`"),
];

/// What to say, and what to write in place of which words, where one known word is near.
struct Hint {
    text: String,
    instead: Option<Label>,
}

impl From<String> for Hint {
    fn from(text: String) -> Hint {
        Hint { text, instead: None }
    }
}

impl Hint {
    /// One word, or one phrase, was meant.
    fn meant(text: String, typed: Span, near: &str) -> Hint {
        Hint { text, instead: Some(Label { span: typed, text: near.to_string() }) }
    }
}

impl Builder {
    /// A phrase that nobody understood: a problem with what was expected, and its facts unread.
    pub fn misread(&mut self, refs: &[ItemRef], kind: Kind, tokens: Tokens, place: Span, no_unit: Option<NoUnit>) {
        let text = Self::text_of(tokens);
        let of = match refs {
            [one] => self.shop.called(*one),
            _ => format!("`{kind}`"),
        };
        let problem = match no_unit {
            Some(at) => Problem::error(at.span, format!("the amount in `{text}` has no unit that fits"))
                .help(format!("expected {}", example(at.scale))),
            None => {
                let hint = self.hint(kind, tokens);
                let problem = Problem::error(place, format!("`{text}` is no phrase of {of}")).help(hint.text);
                Problem { instead: hint.instead.map(Box::new), ..problem }
            }
        };
        self.shop.problems.push(problem);
        let first = tokens.first().map_or("", |t| t.text.as_str());
        for item in refs {
            self.unread_phrase(*item, first, place);
        }
    }

    fn hint(&self, kind: Kind, tokens: Tokens) -> Hint {
        let first = tokens.first().map_or("", |t| t.text.as_str());
        let general = || {
            format!("`ringout rules words` lists what a plan may say of `{kind}`; a `note \"…\"` may say anything")
                .into()
        };
        if self.shop.problems.len() > super::MOST_PROBLEMS {
            return general();
        }
        let is_denial = first == "no" || first == "not";
        let last = tokens.last().map_or("", |t| t.text.as_str());
        let asked = QUESTIONS.iter().find(|(k, begin, _)| *k == kind && *begin == first);
        let asked = asked.or_else(|| ENDINGS.iter().find(|(k, end, _)| *k == kind && *end == last));
        asked
            .map(|(_, _, question)| question.to_string())
            .or_else(|| self.of_another_kind(kind, tokens))
            .map(Hint::from)
            .or_else(|| Self::near_feet_and_inches(tokens))
            .or_else(|| self.near_comma(kind, tokens))
            .or_else(|| self.near_wire(kind, tokens))
            .or_else(|| self.near_rest(kind, tokens))
            .or_else(|| self.near_first(kind, tokens.get(usize::from(is_denial && tokens.len() > 1))?))
            .or_else(|| self.near_end(kind, tokens).map(Hint::from))
            .or_else(|| self.near_within(kind, tokens).map(Hint::from))
            .unwrap_or_else(general)
    }

    /// The phrase is one of another kind of item: `buried 18 in` of a feeder is said of its stretch.
    fn of_another_kind(&self, kind: Kind, tokens: Tokens) -> Option<String> {
        let reads = |k: &Kind| *k != kind && !self.index.read(*k, tokens, &mut None).is_empty();
        let is_way = reads(&Kind::Run) || tokens.first().is_some_and(|t| t.is("buried"));
        if matches!(kind, Kind::Feeder | Kind::Circuit) && is_way {
            let text = Self::text_of(tokens);
            return Some(format!("that is said of a part of its way: `stretch 60 ft: {text}`"));
        }
        let written = Keyword::ALL.iter().filter_map(|k| kind_of(*k));
        let others: Vec<&str> = written.filter(reads).map(Kind::name).collect();
        (!others.is_empty() && others.len() <= 3 && tokens.len() > 1)
            .then(|| format!("that is said of `{}`", others.join("` or `")))
    }

    /// A length in two units: `9 ft 4 in`.
    fn near_feet_and_inches(tokens: Tokens) -> Option<Hint> {
        let mut fours = tokens.windows(4);
        let four = fours.find(|four| matches!(four, [_, feet, _, inches] if feet.is("ft") && inches.is("in")))?;
        let [feet, _, inches, _] = four else { return None };
        let total = number(&feet.text)?.times(Rational::whole(12))?.plus(number(&inches.text)?)?;
        let text = format!("{} in", total.fraction());
        let place = four.iter().map(|t| t.span).reduce(Span::to)?;
        Some(Hint::meant(format!("an amount has one unit: `{text}`"), place, &text))
    }

    /// Two phrases without the comma between them: `5-20R outdoors`.
    fn near_comma(&self, kind: Kind, tokens: Tokens) -> Option<Hint> {
        let kinds = || std::iter::once(kind).chain(hosted_kinds(kind).iter().copied());
        let is_read = |part: Tokens| kinds().any(|k| !self.index.read(k, part, &mut None).is_empty());
        let (before, after) =
            (1..tokens.len()).map(|at| tokens.split_at(at)).find(|(a, b)| is_read(a) && is_read(b))?;
        let text = format!("{}, {}", Self::text_of(before), Self::text_of(after));
        let place = tokens.iter().map(|t| t.span).reduce(Span::to)?;
        Some(Hint::meant(format!("a comma parts the two: `{text}`"), place, &text))
    }

    /// All words of it stand in known phrases: `wood` in `wood frame`.
    fn near_within(&self, kind: Kind, tokens: Tokens) -> Option<String> {
        let words: Vec<&str> = tokens.iter().map(|t| t.text.as_str()).collect();
        let shapes = self.index.holding(kind, &words);
        let some: Vec<String> = shapes.iter().take(4).map(|shape| format!("`{shape}`")).collect();
        let more = if shapes.len() > some.len() { ", …" } else { "" };
        (!some.is_empty()).then(|| format!("did you mean {}{more}?", some.join(" or ")))
    }

    /// A slip within a wire or cable: `wire 12 AWG Cu THNW-2`.
    fn near_wire(&self, kind: Kind, tokens: Tokens) -> Option<Hint> {
        let is_line = matches!(kind, Kind::Feeder | Kind::Circuit | Kind::Run | Kind::Electrode);
        let words: Vec<&str> = tokens.iter().take(2).map(|t| t.text.as_str()).collect();
        let (at, lists): (usize, &[ChoiceId]) = match words.as_slice() {
            ["wire", ..] | ["neutral", ..] if is_line => (1, &[choice::INSULATION, choice::METAL]),
            ["equipment", "ground"] if is_line => (2, &[choice::INSULATION, choice::METAL]),
            ["cable" | "cord", ..] => (1, &[choice::METHOD, choice::METAL]),
            _ => return None,
        };
        let stuck = match words.first() {
            Some(&"cable" | &"cord") => tokens.iter().skip(at).find(|t| self.is_stranger(t, lists)),
            _ => tokens.get(self.wire_text(tokens, at).next),
        }?;
        let known = lists.iter().flat_map(|id| self.index.known(*id));
        let near = nearest(&stuck.text, known).filter(|near| *near != stuck.text)?;
        Some(Hint::meant(format!("did you mean `{near}` for `{}`?", stuck.text), stuck.span, near))
    }

    fn is_stranger(&self, token: &Token, lists: &[ChoiceId]) -> bool {
        let is_letters = token.text.chars().any(char::is_alphabetic);
        is_letters && !token.is("AWG") && lists.iter().all(|id| self.index.form(*id, &token.text).is_none())
    }

    /// The phrase begins as one that is known, and goes on otherwise: `under lwan`.
    fn near_rest(&self, kind: Kind, tokens: Tokens) -> Option<Hint> {
        let kinds = std::iter::once(kind).chain(hosted_kinds(kind).iter().copied());
        let mut shapes: Vec<String> = kinds.flat_map(|k| self.index.shapes(k, tokens)).collect();
        shapes.sort();
        shapes.dedup();
        if shapes.is_empty() || tokens.first().is_some_and(|t| t.is("no") || t.is("not")) {
            return None;
        }
        let text = Self::text_of(tokens);
        let near = nearest(&text, shapes.iter().map(String::as_str));
        match near {
            // It is a phrase of a part that this item has none of: a panel's main.
            Some(near) if near == text => {
                let part = hosted_kinds(kind).iter().find(|k| self.index.shapes(**k, tokens).contains(&text))?;
                Some(format!("`{near}` is said of a {part}, and nothing here says that there is one").into())
            }
            Some(near) => {
                let text = format!("did you mean `{near}`?");
                Some(
                    slip(tokens, near)
                        .map_or_else(|| text.clone().into(), |(at, word)| Hint::meant(text.clone(), at, word)),
                )
            }
            None => {
                let mut some: Vec<String> = shapes.iter().take(4).map(|s| format!("`{s}`")).collect();
                if shapes.len() > some.len() {
                    some.push("…".into());
                }
                Some(format!("expected {}", some.join(", ")).into())
            }
        }
    }

    fn near_first(&self, kind: Kind, first: &Token) -> Option<Hint> {
        let shaped = SHAPED.iter().filter(|(k, _)| *k == kind).flat_map(|(_, words)| *words).copied();
        let own = self.index.firsts(kind);
        let hosted = hosted_kinds(kind).iter().flat_map(|k| self.index.firsts(*k));
        let known = shaped.chain(COMMON.iter().copied()).chain(own).chain(hosted);
        let near = nearest(&first.text, known).filter(|near| *near != first.text)?;
        Some(Hint::meant(format!("did you mean `{near}`?"), first.span, near))
    }

    /// The phrase ends as one that is known, and is about as long: `30 in wide` of a panel.
    fn near_end(&self, kind: Kind, tokens: Tokens) -> Option<String> {
        let last = tokens.last().filter(|t| t.text.chars().all(char::is_alphabetic))?;
        let shape = self.index.ending(kind, &last.text)?;
        let is_amount = |text: &str| text.starts_with(|c: char| c.is_ascii_digit());
        let has_amount = tokens.iter().any(|t| is_amount(&t.text));
        if has_amount != shape.split(' ').any(is_amount) {
            return None;
        }
        Some(format!("did you mean `{shape}`?"))
    }
}

/// The one word in which a phrase differs from a known one, and what stands for it there. Numbers of a
/// known phrase are only examples, so none is ever put in place of what somebody measured.
fn slip<'n>(tokens: Tokens, near: &'n str) -> Option<(Span, &'n str)> {
    let words: Vec<&str> = near.split(' ').collect();
    let mut differing = tokens.iter().zip(&words).filter(|(t, word)| t.text != **word);
    let (token, word) = differing.next()?;
    let is_number = |text: &str| text.starts_with(|c: char| c.is_ascii_digit());
    let is_one = words.len() == tokens.len() && differing.next().is_none();
    (is_one && !is_number(&token.text) && !is_number(word)).then_some((token.span, *word))
}
