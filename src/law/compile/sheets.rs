//! Sheets: what the calculation sheet shows of each kind.

use super::{Compiler, messages};
use crate::law::code::Sheet;
use crate::text::{Spanned, nearest};
use crate::words::{Kind, Kinds, NameId};

impl Compiler<'_> {
    /// Every sheet; a word that the kind does not have is left out with a problem.
    pub(super) fn compile_sheets(&mut self) -> Vec<Sheet> {
        let pack = self.pack;
        let mut sheets = Vec::new();
        for sheet in &pack.sheets {
            let Some(kind) = Kind::named(&sheet.kind.node) else {
                let near = nearest(&sheet.kind.node, Kind::ALL.map(Kind::name));
                self.report(messages::unknown_kind(sheet.kind.span, &sheet.kind.node, near));
                continue;
            };
            let figures = sheet.figures.iter().filter_map(|figure| self.word_of_sheet(kind, figure)).collect();
            let only = sheet.only.as_ref().and_then(|word| self.word_of_sheet(kind, word));
            sheets.push(Sheet { kind, title: sheet.title.clone(), only, figures });
        }
        sheets
    }

    fn word_of_sheet(&mut self, kind: Kind, word: &Spanned<String>) -> Option<NameId> {
        let name = self.vocabulary.name(&word.node).filter(|n| self.vocabulary.word(kind, *n).is_some());
        if let Some(name) = name {
            self.mark_used(name, Kinds::of(kind));
            let define = self.laws.get(usize::from(name.0)).and_then(|row| row.get(kind as usize)).copied().flatten();
            self.used.defines.extend(define);
        } else if !self.broken.contains(word.node.as_str()) {
            let words = self.vocabulary.words().iter().filter(|w| w.kinds.has(kind));
            let near = nearest(&word.node, words.map(|w| self.vocabulary.text(w.name)));
            let (kinds, nowhere) = (Kinds::of(kind), Kinds::default());
            let problem = messages::unknown_word(word.span, &word.node, kinds, nowhere, near, nowhere);
            self.report(problem);
        }
        name
    }
}
