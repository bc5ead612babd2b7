//! What a pack of rules holds, for its authors: its rules, its words, its text.

use super::page::{Ink, Look, Page, columns};
use super::problems::at;
use crate::Rules;
use crate::text::Span;
use crate::words::{KINDS, Kind, NameId, Origin, Vocabulary, Word};
use serde::Serialize;

/// Every rule by stage: its name, level and title.
pub fn rules_text(rules: &Rules, look: Look) -> String {
    let mut page = Page::new(look);
    let name_width =
        rules.code.rules.iter().map(|r| columns(&r.name)).max().unwrap_or_default().saturating_add(2) as isize;
    for stage in crate::law::code::Stage::ALL {
        let here: Vec<_> = rules.code.rules.iter().filter(|r| r.stage == stage).collect();
        if here.is_empty() {
            continue;
        }
        page.heading(Ink::Strong, stage.name(), &format!("{} rules", here.len()));
        for rule in here {
            page.row(&[name_width, 10], &[&rule.name, rule.level.name(), &rule.texts.title]);
        }
    }
    page.finish()
}

#[derive(Serialize)]
struct RuleList<'r> {
    rules: Vec<ListedRule<'r>>,
}

#[derive(Serialize)]
struct ListedRule<'r> {
    id: &'r str,
    aliases: &'r [String],
    title: &'r str,
    stage: &'static str,
    level: &'static str,
    cites: Vec<String>,
    file: String,
    line: u32,
}

/// The same as JSON: `{"rules":[{"id", "aliases", "title", "stage", "level", "cites", "file", "line"}]}`.
pub fn rules_json(rules: &Rules) -> Result<String, serde_json::Error> {
    let listed = rules.code.rules.iter().map(|rule| {
        let place = rules.sources.place(rule.span);
        ListedRule {
            id: &rule.name,
            aliases: &rule.texts.aliases,
            title: &rule.texts.title,
            stage: rule.stage.name(),
            level: rule.level.name(),
            cites: super::citation::citations(&rule.texts.cites, &rules.code.editions),
            file: place.file,
            line: place.line,
        }
    });
    serde_json::to_string(&RuleList { rules: listed.collect() }).map(|text| text + "\n")
}

/// Which words to print.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Words {
    /// Every word of every kind.
    All,
    /// Those of one kind.
    Of(Kind),
    /// Those of one name, whatever the kind.
    Called(NameId),
}

impl Words {
    fn has(self, kind: Kind, word: &Word) -> bool {
        word.kinds.has(kind)
            && match self {
                Words::All => true,
                Words::Of(wanted) => wanted == kind,
                Words::Called(name) => word.name == name,
            }
    }
}

/// Words by kind, in the order of the alphabet: name, type, where the value comes from, what it
/// is, and how a plan says it.
pub fn words_text(vocabulary: &Vocabulary, which: Words, look: Look) -> String {
    let mut page = Page::new(look);
    for (kind, words) in by_kind(vocabulary, which) {
        page.heading(Ink::Strong, kind.name(), &format!("{}; plural {}", kind.doc(), kind.plural()));
        for word in words {
            let name = vocabulary.text(word.name);
            page.text(&format!("  {name}   {}, {}", type_text(vocabulary, word), origin(word.origin)));
            page.indented(6, &word.doc);
            if !word.phrase.is_empty() {
                page.indented(6, &format!("in a plan: {}", word.phrase));
            }
            if let Some(question) = &word.question {
                page.indented(6, &format!("asked as: {question}"));
            }
            if let Some(ordinary) = word.ordinary {
                page.indented(6, &format!("taken as {} in exceptions", ordinary.text(word.ty, vocabulary)));
            }
        }
    }
    page.finish()
}

#[derive(Serialize)]
struct WordList<'v> {
    words: Vec<ListedWord<'v>>,
}

#[derive(Serialize)]
struct ListedWord<'v> {
    kind: &'static str,
    word: &'v str,
    #[serde(rename = "type")]
    ty: String,
    part: bool,
    origin: &'static str,
    doc: &'v str,
    phrase: Option<&'v str>,
    ordinary: Option<String>,
    question: Option<&'v str>,
}

/// The same as JSON: `{"words":[{"kind", "word", "type", "part", "origin", "doc", "phrase", "ordinary", "question"}]}`.
pub fn words_json(vocabulary: &Vocabulary, which: Words) -> Result<String, serde_json::Error> {
    let words = by_kind(vocabulary, which).into_iter().flat_map(|(kind, words)| {
        words.into_iter().map(move |word| ListedWord {
            kind: kind.name(),
            word: vocabulary.text(word.name),
            ty: vocabulary.type_text(word.ty),
            part: word.is_part,
            origin: origin(word.origin),
            doc: &word.doc,
            phrase: (!word.phrase.is_empty()).then_some(word.phrase.as_str()),
            ordinary: word.ordinary.map(|o| o.text(word.ty, vocabulary)),
            question: word.question.as_deref(),
        })
    });
    serde_json::to_string(&WordList { words: words.collect() }).map(|text| text + "\n")
}

fn by_kind(vocabulary: &Vocabulary, which: Words) -> Vec<(Kind, Vec<&Word>)> {
    let mut all: Vec<(Kind, Vec<&Word>)> = Vec::with_capacity(KINDS);
    for kind in Kind::ALL {
        let mut words: Vec<&Word> = vocabulary.words().iter().filter(|w| which.has(kind, w)).collect();
        words.sort_by_key(|w| vocabulary.text(w.name));
        if !words.is_empty() {
            all.push((kind, words));
        }
    }
    all
}

fn type_text(vocabulary: &Vocabulary, word: &Word) -> String {
    let part = if word.is_part { " that may be absent" } else { "" };
    format!("{}{part}", vocabulary.type_text(word.ty))
}

fn origin(origin: Origin) -> &'static str {
    match origin {
        Origin::Stated => "stated",
        Origin::Either => "stated or derived",
        Origin::Derived => "derived",
        Origin::Fact => "fact of a rule file",
        Origin::Law => "formula or term",
    }
}

/// The texts of everything in the pack that has this name, each headed by its file and line. A
/// rule answers to its aliases.
pub fn definitions(rules: &Rules, name: &str) -> Vec<String> {
    let spans = all(rules).filter(|(n, _)| *n == name).map(|(_, span)| span);
    spans.map(|span| format!("# {}\n{}\n", at(&rules.sources, span), rules.sources.text(span).trim_end())).collect()
}

/// Every name that [`definitions`] knows, for hints.
pub fn names(rules: &Rules) -> impl Iterator<Item = &str> {
    all(rules).map(|(name, _)| name)
}

fn all(rules: &Rules) -> impl Iterator<Item = (&str, Span)> {
    let pack = rules.pack();
    let by_rule = pack
        .rules
        .iter()
        .flat_map(|r| std::iter::once(&r.name).chain(&r.aliases).map(move |name| (name.node.as_str(), r.span)));
    by_rule
        .chain(pack.defines.iter().map(|d| (d.name.node.as_str(), d.span)))
        .chain(pack.tables.iter().map(|t| (t.name.node.as_str(), t.span)))
}
