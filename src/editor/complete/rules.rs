//! Rule files: the words that begin blocks and clauses, and the words of kinds.

use super::offer::Offer;
use super::{Ask, items};
use crate::editor::model::RuleModel;
use crate::editor::word;
use crate::law::{BLOCKS, RULE_CLAUSES};
use crate::words::Kind;
use gen_lsp_types::{CompletionItem, CompletionItemKind};

/// What a rule file may say here; nothing in a comment or in quotes.
pub fn of_rules(ask: &Ask<'_>, model: &RuleModel) -> Vec<CompletionItem> {
    let number = ask.text.line_of(ask.byte);
    let before = ask.text.as_str().get(ask.text.line_start(number)..ask.byte).unwrap_or("");
    if word::aside(before) != (false, false) {
        return Vec::new();
    }
    let typed = before.rsplit(|c: char| !c.is_alphanumeric() && c != '-').next().unwrap_or("");
    let done = before.get(..before.len() - typed.len()).unwrap_or("");
    let offers = if done.is_empty() {
        BLOCKS.iter().map(|b| Offer::word(*b, "", CompletionItemKind::Keyword)).collect()
    } else if done.trim().is_empty() {
        RULE_CLAUSES.iter().map(|c| Offer::word(*c, "", CompletionItemKind::Keyword)).collect()
    } else if done.ends_with('.') {
        words_of(ask, model, number, done)
    } else {
        anywhere(model)
    };
    items(ask, typed, offers)
}

/// The words of the item that stands before the dot; of every kind where nobody knows what it is.
fn words_of(ask: &Ask<'_>, model: &RuleModel, number: usize, done: &str) -> Vec<Offer> {
    let letter = done.trim_end_matches('.').rsplit(|c: char| !c.is_alphanumeric() && c != '-').next().unwrap_or("");
    let kinds = kinds_of(ask, number, letter);
    let vocabulary = &model.rules.code.vocabulary;
    let words = vocabulary.words().iter().filter(|w| kinds.is_empty() || kinds.iter().any(|k| w.kinds.has(*k)));
    words.map(|w| Offer::word(vocabulary.text(w.name), &w.doc, CompletionItemKind::Field)).collect()
}

/// The kinds that a letter stands for in its block: `for each receptacle r`, `(c: feeder or circuit)`,
/// `any a in …` stays open.
fn kinds_of(ask: &Ask<'_>, number: usize, letter: &str) -> Vec<Kind> {
    if let Some(kind) = Kind::named(letter) {
        return vec![kind];
    }
    for line in (0..=number).rev().map(|n| ask.text.line(n)) {
        let words: Vec<&str> =
            line.split(|c: char| !c.is_alphanumeric() && c != '-').filter(|w| !w.is_empty()).collect();
        let at = words.iter().position(|w| *w == letter);
        let kinds = match (words.first(), at) {
            (Some(&"for"), Some(at)) => words.get(..at),
            (Some(&("define" | "term")), Some(at)) => words.get(at + 1..),
            _ => None,
        };
        let kinds = kinds.into_iter().flatten().skip_while(|w| Kind::named(w).is_none() && **w != "or");
        let kinds: Vec<Kind> =
            kinds.map_while(|w| Kind::named(w).map(Some).or((*w == "or").then_some(None))).flatten().collect();
        if !kinds.is_empty() || !line.starts_with([' ', '\t', '#']) && !line.is_empty() {
            return kinds;
        }
    }
    Vec::new()
}

/// Formulas, terms, tables, values, lists and kinds of the pack.
fn anywhere(model: &RuleModel) -> Vec<Offer> {
    let pack = model.rules.pack();
    let defines = pack.defines.iter().map(|d| Offer::word(&d.name.node, &d.doc, CompletionItemKind::Function));
    let tables = pack.tables.iter().map(|t| Offer::word(&t.name.node, &t.title, CompletionItemKind::Struct));
    let values = pack.values.iter().map(|v| v.name.node.clone()).chain(pack.lists.iter().map(|l| l.name.node.clone()));
    let values = values.map(|name| Offer::word(name, "", CompletionItemKind::Constant));
    let kinds = Kind::ALL.into_iter().map(|k| Offer::word(k.name(), k.doc(), CompletionItemKind::Class));
    defines.chain(tables).chain(values).chain(kinds).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Rules;
    use crate::editor::place::{Encoding, Text};

    fn labels(text: &str) -> Vec<String> {
        let byte = text.find('|').unwrap();
        let text = text.replace('|', "");
        let model = crate::editor::pack::alone("x.rule", &text);
        let rules = Rules::builtin();
        let text = Text::new(text);
        let ask = Ask { rules: &rules, shop: None, text: &text, byte, encoding: Encoding::Utf16, has_snippets: false };
        of_rules(&ask, &model).into_iter().map(|i| i.label).collect()
    }

    #[test]
    fn blocks_clauses_and_words() {
        assert!(labels("ru|").contains(&"rule".to_string()));
        assert!(labels("rule a \"A\"\n  ne|").contains(&"needs".to_string()));
        let words = labels("rule a \"A\"\n  for each receptacle r\n  needs x: r.has-|");
        assert!(words.contains(&"has-gfci".to_string()) && !words.contains(&"cover-kind-of-run".to_string()));
        assert!(!words.contains(&"bus-amps".to_string()), "a panel's word");
        let words = labels("term t of (c: feeder or circuit)\n  means c.|");
        assert!(words.contains(&"breaker".to_string()) && !words.contains(&"handle-height".to_string()));
        let value = labels("value deep: 18 in\nrule a \"A\"\n  needs x: d|");
        assert!(value.contains(&"deep".to_string()) && value.contains(&"panel".to_string()));
        assert!(labels("rule a \"in |").is_empty());
    }
}
