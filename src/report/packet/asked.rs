//! Blanks, and the questions that they stand for.

use super::Packet;
use crate::report::Missing;
use crate::report::text::{letter, sentence};
use crate::shop::{How, ItemRef};
use crate::words::NameId;
use maud::{Markup, html};

/// Questions that stand in one paragraph; more of them are a list.
const MOST_INLINE: usize = 8;
/// Letters behind one value.
const MOST_LETTERS: usize = 4;

/// The questions behind the blanks of one table, each with its letter.
#[derive(Default)]
pub(super) struct Asked {
    all: Vec<Missing>,
}

impl Asked {
    /// The letter of a question; one that was asked before keeps its own.
    pub fn letter(&mut self, missing: &Missing) -> String {
        let place = self.all.iter().position(|known| known == missing).unwrap_or_else(|| {
            self.all.push(missing.clone());
            self.all.len().saturating_sub(1)
        });
        letter(place)
    }

    /// The letters of questions, small behind a value; where they are many, how many more there are.
    pub fn letters(&mut self, missing: &[Missing]) -> Markup {
        let mut letters: Vec<String> = Vec::new();
        for letter in missing.iter().map(|m| self.letter(m)) {
            if !letters.contains(&letter) {
                letters.push(letter);
            }
        }
        let more = letters.len().saturating_sub(MOST_LETTERS);
        html! {
            @if !letters.is_empty() {
                " " sup { (letters.iter().take(MOST_LETTERS).map(String::as_str).collect::<Vec<_>>().join(" ")) @if more > 0 { " +" (more) } }
            }
        }
    }

    /// A blank to write in, and the letters of the questions that it stands for.
    pub fn blank(&mut self, missing: &[Missing], class: &str) -> Markup {
        html! { span class={ "blank " (class) } {} (self.letters(missing)) }
    }
}

impl Packet<'_> {
    /// The questions of a table, with the lines that their answers go to.
    pub(super) fn asked(&self, asked: &Asked) -> Markup {
        html! {
            @if !asked.all.is_empty() {
                div.asked.fine[asked.all.len() > MOST_INLINE] {
                    "What the plan doesn't say: "
                    @for (number, missing) in asked.all.iter().enumerate() {
                        p { b { (letter(number)) } " " (sentence(&missing.ask)) " (" (self.line(missing.place)) ") " }
                    }
                }
            }
        }
    }

    /// What the plan says of one fact: plain where it is stated, italic where it is assumed, a blank with its
    /// question where nobody said.
    pub(super) fn fact(&self, item: ItemRef, word: NameId, asked: &mut Asked) -> Markup {
        let source = self.teller.shop().source(item, word);
        match self.teller.known(item, word) {
            Some(text) if source.how == How::Assumed => {
                html! { span.assumed { (text) " (assumed, " (self.line(source.place)) ")" } }
            }
            Some(text) => html! { (text) },
            None => asked.blank(&[self.teller.ask(item, word)], "short"),
        }
    }
}
