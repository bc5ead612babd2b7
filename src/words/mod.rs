//! The vocabulary: kinds of items and the words that rules and plans have for their facts.
//!
//! One table ([`core`]) registers each word that the program itself knows, with its type, one
//! sentence, and the plan phrase that states it. Rule files add their own (`fact`, `define`,
//! `term`), so that a rule with a new fact touches no Rust. The plan reader resolves phrases
//! against this table, the rule compiler types words with it, `rules words` prints it, and hints
//! come from it. A word has one [`NameId`] for all kinds that have it, so that reading a fact at
//! run time is two array look-ups and no comparison of names.

mod core;
mod kind;
mod pattern;

pub use self::core::{choice, name};
pub use kind::{KINDS, Kind, Kinds, kind_of_closing};
pub use pattern::{Pattern, PhraseValue, Piece, alternatives, is_blank, pattern, patterns};

use crate::quantity::Scale;
use serde::{Deserialize, Serialize};

/// A word's number, the same for every kind that has the word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct NameId(pub u16);

/// A choice's number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct ChoiceId(pub u16);

/// What kind of value a word has.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Type {
    /// Yes or no.
    #[default]
    YesNo,
    /// A quantity.
    Quantity(Scale),
    /// One value of a choice.
    Choice(ChoiceId),
    /// An item of one of these kinds.
    Item(Kinds),
    /// A list of items of these kinds.
    List(Kinds),
    /// A list of values of a choice.
    Choices(ChoiceId),
    /// A proper name, such as a state's.
    Name,
}

/// Where a word's value comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Origin {
    /// The plan states it.
    Stated,
    /// The plan states it, or it follows from the drawing; both must agree.
    Either,
    /// It follows from the drawing or from physics.
    Derived,
    /// A rule file declared it with `fact`; the plan states it.
    Fact,
    /// A rule file declared it with `define` or `term`.
    Law,
}

/// The answer that a rare fact is taken to have where nobody says otherwise.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Ordinary {
    /// Taken as yes.
    Yes,
    /// Taken as no.
    No,
    /// Taken as this value of its choice.
    Value(u8),
    /// Taken as absent.
    Absent,
}

/// One word of some kinds.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Word {
    /// The kinds that have it.
    pub kinds: Kinds,
    /// Its number.
    pub name: NameId,
    /// Its type.
    pub ty: Type,
    /// Whether it may be absent; then `has-NAME` is a word too, and using it needs that guard.
    pub is_part: bool,
    /// Where its value comes from.
    pub origin: Origin,
    /// One sentence.
    pub doc: String,
    /// How plans state it, in the notation of [`patterns`]; empty where they don't.
    pub phrase: String,
    /// The ordinary answer of a rare fact.
    pub ordinary: Option<Ordinary>,
    /// The question that asks for it, where it has one of its own; may hold `{item}`.
    pub question: Option<String>,
}

/// A closed list of values.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Choice {
    /// Its name.
    pub name: String,
    /// Its values, at most 64, as rules write them.
    pub values: Vec<String>,
    /// What else a plan may write for a value: (spelling, place in `values`).
    pub spellings: Vec<(String, u8)>,
    /// Generic words that stand for any of several values, as bit sets: `raceway`, `shed`.
    pub groups: Vec<(String, u64)>,
}

impl Choice {
    /// The place of a value, by its name or another spelling.
    pub fn value(&self, text: &str) -> Option<u8> {
        let by_name = self.values.iter().position(|v| v == text).map(|i| i as u8);
        by_name.or_else(|| self.spellings.iter().find(|(s, _)| s == text).map(|(_, i)| *i))
    }

    /// What a plan's word stands for, as a bit set: one value, or several for a generic word.
    pub fn bits(&self, text: &str) -> Option<u64> {
        let one = self.value(text).and_then(|place| 1u64.checked_shl(place.into()));
        one.or_else(|| self.groups.iter().find(|(g, _)| g == text).map(|(_, bits)| *bits))
    }

    /// Every word that [`Choice::bits`] knows.
    pub fn forms(&self) -> impl Iterator<Item = &str> {
        let others = self.spellings.iter().map(|(s, _)| s).chain(self.groups.iter().map(|(g, _)| g));
        self.values.iter().chain(others).map(String::as_str)
    }
}

/// Every word and choice in force for one pack.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(from = "Stored", into = "Stored")]
pub struct Vocabulary {
    words: Vec<Word>,
    names: Vec<String>,
    /// The names in the order of their texts.
    by_text: Vec<NameId>,
    /// For each name, for each kind, the word.
    table: Vec<[Option<u16>; KINDS]>,
    choices: Vec<Choice>,
}

/// A vocabulary as it is stored; the rest follows from it.
#[derive(Serialize, Deserialize)]
struct Stored {
    words: Vec<Word>,
    names: Vec<String>,
    by_text: Vec<NameId>,
    choices: Vec<Choice>,
}

impl From<Vocabulary> for Stored {
    fn from(Vocabulary { words, names, by_text, choices, .. }: Vocabulary) -> Stored {
        Stored { words, names, by_text, choices }
    }
}

impl From<Stored> for Vocabulary {
    fn from(Stored { words, names, by_text, choices }: Stored) -> Vocabulary {
        let table = vec![[None; KINDS]; names.len()];
        let mut vocabulary = Vocabulary { words: Vec::with_capacity(words.len()), names, by_text, table, choices };
        words.into_iter().for_each(|word| vocabulary.insert(word));
        vocabulary
    }
}

impl Vocabulary {
    /// The choices that the program itself knows, and no words.
    pub fn core_choices() -> Vocabulary {
        Vocabulary {
            words: Vec::new(),
            names: Vec::new(),
            by_text: Vec::new(),
            table: Vec::new(),
            choices: core::choices(),
        }
    }

    /// The words that the program itself knows.
    pub fn core() -> Vocabulary {
        let mut vocabulary = Vocabulary::core_choices();
        for name in core::NAMES {
            vocabulary.name_or_new(name);
        }
        for word in core::words() {
            vocabulary.insert(word);
        }
        vocabulary
    }

    /// The number of a name that is new to the table, or was there.
    pub fn name_or_new(&mut self, name: &str) -> NameId {
        let place = match self.place(name) {
            Ok(id) => return id,
            Err(place) => place,
        };
        let id = NameId(self.names.len() as u16);
        self.names.push(name.to_string());
        self.by_text.insert(place, id);
        self.table.push([None; KINDS]);
        id
    }

    /// Adds a word. Gives the kind that had one of that name already, if any; then nothing was added.
    pub fn add(&mut self, word: Word) -> Result<(), Kind> {
        if let Some(kind) = word.kinds.iter().find(|k| self.word(*k, word.name).is_some()) {
            return Err(kind);
        }
        self.insert(word);
        Ok(())
    }

    fn insert(&mut self, word: Word) {
        let index = self.words.len() as u16;
        if let Some(row) = self.table.get_mut(word.name.0 as usize) {
            for kind in word.kinds.iter() {
                if let Some(place) = row.get_mut(kind as usize) {
                    *place = Some(index);
                }
            }
        }
        self.words.push(word);
    }

    /// The word that a kind has under a name.
    pub fn word(&self, kind: Kind, name: NameId) -> Option<&Word> {
        let index = (*self.table.get(name.0 as usize)?.get(kind as usize)?)?;
        self.words.get(index as usize)
    }

    /// Gives a word of a kind its ordinary answer, for that kind alone where the word is shared.
    pub fn set_ordinary(&mut self, kind: Kind, name: NameId, answer: Ordinary) {
        let Some(index) = self.table.get(name.0 as usize).and_then(|row| *row.get(kind as usize)?) else { return };
        let Some(word) = self.words.get_mut(index as usize) else { return };
        if word.kinds == Kinds::of(kind) {
            word.ordinary = Some(answer);
            return;
        }
        let mut own = word.clone();
        word.kinds = Kinds(word.kinds.0 & !Kinds::of(kind).0);
        own.kinds = Kinds::of(kind);
        own.ordinary = Some(answer);
        self.insert(own);
    }

    /// Every word.
    pub fn words(&self) -> &[Word] {
        &self.words
    }

    /// The number of a name.
    pub fn name(&self, text: &str) -> Option<NameId> {
        self.place(text).ok()
    }

    /// The number of a name, else where it would stand among the others.
    fn place(&self, text: &str) -> Result<NameId, usize> {
        let found = self.by_text.binary_search_by(|name| self.text(*name).cmp(text));
        found.and_then(|place| self.by_text.get(place).copied().ok_or(place))
    }

    /// The name of a number.
    pub fn text(&self, name: NameId) -> &str {
        self.names.get(name.0 as usize).map_or("", String::as_str)
    }

    /// How many names there are; a [`NameId`] is below it.
    pub fn name_count(&self) -> usize {
        self.names.len()
    }

    /// A choice.
    pub fn choice(&self, id: ChoiceId) -> Option<&Choice> {
        self.choices.get(id.0 as usize)
    }

    /// A choice by its name.
    pub fn choice_named(&self, name: &str) -> Option<ChoiceId> {
        self.choices.iter().position(|c| c.name == name).map(|i| ChoiceId(i as u16))
    }

    /// Every choice.
    pub fn choices(&self) -> &[Choice] {
        &self.choices
    }

    /// Adds a choice, or values to one that is there.
    pub fn add_choice(&mut self, name: &str, values: &[String]) -> ChoiceId {
        let id = self.choice_named(name).unwrap_or(ChoiceId(self.choices.len() as u16));
        if id.0 as usize == self.choices.len() {
            self.choices.push(Choice { name: name.to_string(), ..Choice::default() });
        }
        if let Some(choice) = self.choices.get_mut(id.0 as usize) {
            for value in values {
                if !choice.values.contains(value) && choice.values.len() < 64 {
                    choice.values.push(value.clone());
                }
            }
        }
        id
    }

    /// How a type is called in messages and in `rules words`.
    pub fn type_text(&self, ty: Type) -> String {
        let choice = |id: ChoiceId| self.choice(id).map_or("", |c| c.name.as_str());
        match ty {
            Type::YesNo => "yes/no".into(),
            Type::Quantity(scale) => scale.name().into(),
            Type::Choice(id) => format!("choice {}", choice(id)),
            Type::Item(kinds) => kinds.to_string(),
            Type::List(kinds) => format!("list of {kinds}"),
            Type::Choices(id) => format!("list of choice {}", choice(id)),
            Type::Name => "name".into(),
        }
    }

    /// A value of a choice, as rules write it.
    pub fn choice_text(&self, id: ChoiceId, value: u8) -> &str {
        self.choice(id).and_then(|c| c.values.get(value as usize)).map_or("", String::as_str)
    }
}
