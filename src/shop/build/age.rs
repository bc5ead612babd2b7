//! How old a thing is: `installed 2005`, `installed before 2005`, `installed unknown`.

use super::Builder;
use super::amounts::amount;
use super::phrases::Tokens;
use super::state::Said;
use crate::quantity::Scale;
use crate::shop::{ItemRef, Value};
use crate::words::name;

impl Builder {
    pub fn age(&mut self, refs: &[ItemRef], tokens: Tokens, said: Said) -> bool {
        let has_word = refs.first().is_some_and(|item| self.shop.vocabulary.word(item.kind, name::INSTALLED).is_some());
        // `existing panel` says no more than `existing`.
        if let [age, kind] = tokens
            && refs.first().is_some_and(|item| kind.text == item.kind.name())
            && (age.is("existing") || age.is("new"))
        {
            self.state_each(refs, name::IS_EXISTING, Value::YesNo(age.is("existing")), said);
            return true;
        }
        if !has_word || !tokens.first().is_some_and(|t| t.is("installed")) {
            return false;
        }
        if tokens.len() == 2 && tokens.last().is_some_and(|t| t.is("unknown")) {
            return true;
        }
        match amount(tokens, 1, Some(Scale::Date), &mut None) {
            Some(when) if when.next == tokens.len() => {
                for item in refs {
                    self.state(*item, name::INSTALLED, when.value, said.guess_if(when.is_guess));
                }
                true
            }
            _ => false,
        }
    }
}
