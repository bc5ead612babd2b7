//! What a plan needs of a pack and the program does not store, made once.

use super::code::Code;
use crate::shop::Index;
use std::sync::Arc;

impl Code {
    /// The phrases of its words, to build shops with.
    pub fn phrases(&self) -> &Arc<Index> {
        self.index.get_or_init(|| Arc::new(Index::new(self.vocabulary.clone())))
    }

    /// Whether [`Code::make_ready`] has little left to do.
    pub fn is_ready(&self) -> bool {
        self.index.get().is_some()
    }

    /// Makes, step by step, what a check is going to look at, so that another thread can read the plan meanwhile.
    pub fn make_ready(&self) -> impl Iterator<Item = ()> {
        let phrases = std::iter::once_with(|| _ = self.phrases());
        let rules = std::iter::once_with(|| self.rules.make());
        let tables = self.tables.iter().map(|table| _ = table.indexed());
        let defines = self.defines.iter().map(|define| define.make());
        phrases.chain(rules).chain(tables).chain(defines)
    }
}
