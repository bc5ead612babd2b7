//! Facts that a layer brings in by itself: whether a text is law, and which of two holds.

use super::{About, Work};
use crate::law::syntax::layer::Layer;
use crate::law::syntax::{Expr, Fact, Rule, TypeName, WordName};
use crate::text::{Span, Spanned};

impl Work {
    /// `status unsettled "question"`: a fact of the shop that says whether the text is law.
    pub(super) fn ask_whether(&mut self, layer: &Layer, question: &str) -> Expr {
        let word = format!("is-{}-in-force", layer.name.node);
        self.fact_of_shop(&word, &format!("{} is in force", layer.title), question, layer.span)
    }

    /// Which of two texts holds: yes for the later one.
    pub(super) fn ask_which(&mut self, rule: &Rule, part: &str, by: usize, about: &About) -> Expr {
        let title = self.out.layers.get(by).map_or(String::new(), |layer| layer.title.clone());
        let word = format!(
            "is-{}-over-{}",
            about.layer.name.node,
            self.out.layers.get(by).map_or("other", |l| l.name.as_str())
        );
        let question = format!(
            "Two texts speak of {part} of {}: {} and {title}. Ask the {}: does the one of {} hold?",
            rule.title,
            about.layer.title,
            self.title_of("authority").unwrap_or("inspector"),
            about.layer.title
        );
        self.fact_of_shop(
            &word,
            &format!("{} holds where it differs from {title}", about.layer.title),
            &question,
            about.change.span,
        )
    }

    /// What reports call somebody.
    pub(super) fn title_of(&self, name: &str) -> Option<&str> {
        self.out.pack.titles.iter().find(|title| title.name.node == name).map(|title| title.title.as_str())
    }

    pub(super) fn fact_of_shop(&mut self, word: &str, doc: &str, question: &str, span: Span) -> Expr {
        let name = Spanned { node: word.to_string(), span };
        if !self.out.pack.facts.iter().any(|fact| fact.word.name == name) {
            self.out.pack.facts.push(Fact {
                word: WordName { kinds: vec![Spanned { node: "shop".into(), span }], name, span },
                is_part: false,
                ty: TypeName { words: vec!["yes/no".into()], span },
                doc: doc.to_string(),
                phrase: String::new(),
                ordinary: None,
                question: Some(question.to_string()),
            });
        }
        super::scope::word("shop", word, span)
    }
}
