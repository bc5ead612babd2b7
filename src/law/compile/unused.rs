//! What nothing speaks of.

use super::{Compiler, messages};
use crate::law::syntax::{Define, List, Value};
use crate::text::{Span, Spanned};
use crate::words::{Kind, Kinds, Type};

impl<'a> Compiler<'a> {
    /// Warns of values, lists, tables, terms and facts that nothing uses. Not where something did
    /// not compile, since that might have used them.
    pub(super) fn warn_of_unused(&mut self) {
        if self.errors > 0 || !self.broken.is_empty() {
            return;
        }
        let pack = self.pack;
        let mut used = std::mem::take(&mut self.used.places);
        used.sort_unstable();
        used.dedup();
        let owners = pack.rules.iter().map(|rule| (&rule.values, &rule.lists));
        let owners = owners.chain(pack.defines.iter().map(|define| (&define.values, &define.lists)));
        for (values, lists) in owners.chain([(&pack.values, &pack.lists)]) {
            self.warn_of_names("value", values.iter().map(|value: &Value| &value.name), &used);
            self.warn_of_names("list", lists.iter().map(|list: &List| &list.name), &used);
        }
        for table in &pack.tables {
            if !self.used.tables.contains(&table.name.span) {
                self.report(messages::unused(table.name.span, "table", &table.name.node));
            }
        }
        self.warn_of_defines();
        self.warn_of_facts();
    }

    fn warn_of_names(&mut self, what: &str, names: impl Iterator<Item = &'a Spanned<String>>, used: &[Span]) {
        for name in names {
            if used.binary_search(&name.span).is_err() {
                self.report(messages::unused(name.span, what, &name.node));
            }
        }
    }

    /// A figure of one item is printed for people, so that only the others have to be used.
    fn warn_of_defines(&mut self) {
        for (place, define) in self.pack.defines.iter().enumerate() {
            let is_figure = match self.signatures.get(place).and_then(Option::as_ref) {
                Some(signature) => {
                    signature.result != Type::YesNo && matches!(signature.parameters.as_slice(), [Type::Item(_)])
                }
                None => true,
            };
            if !is_figure && !self.used.defines.contains(&(place as u32)) {
                self.report(messages::unused(define.name.span, what(define), &define.name.node));
            }
        }
    }

    fn warn_of_facts(&mut self) {
        for fact in &self.pack.facts {
            let Some(name) = self.vocabulary.name(&fact.word.name.node) else { continue };
            let used = self.used.words.get(usize::from(name.0)).copied().unwrap_or_default();
            let kinds = fact.word.kinds.iter().filter_map(|kind| Kind::named(&kind.node));
            let kinds = kinds.fold(Kinds::default(), |all, kind| all.and(Kinds::of(kind)));
            if used.common(kinds).is_empty() {
                self.report(messages::unused(fact.word.name.span, "fact", &fact.word.name.node));
            }
        }
    }
}

fn what(define: &Define) -> &'static str {
    if define.result.is_none() { "term" } else { "define" }
}
