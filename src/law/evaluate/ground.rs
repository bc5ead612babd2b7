use super::moment::Moments;
use super::reader::Fact;
use crate::law::code::{Code, DefineId};
use crate::shop::{How, ItemRef, Shop, Value};
use crate::words::{KINDS, Kind, NameId, Ordinary, Type};

/// What is worked out once for a pack and a shop.
#[derive(Debug)]
pub(in crate::law) struct Ground<'a> {
    /// The rules.
    pub code: &'a Code,
    /// The model.
    pub shop: &'a Shop,
    /// Editions and days that the plan leaves possible.
    pub moments: Moments,
    /// For each kind and name what reading it takes. Empty where nobody judges: it takes a look at every fact,
    /// and a message is made for each of many verdicts.
    words: Vec<Read>,
    /// For each proper name of the shop, its place among the proper names of the pack.
    names: Vec<Option<u32>>,
}

/// What reading a word of items of a kind takes.
#[derive(Clone, Copy, Debug)]
pub(in crate::law) struct Read {
    /// Whether any of them has an assumption or claim there.
    pub is_weak: bool,
    /// Whether it is what the plan says: no formula gives it, and it is none of the permit's, which differ by moment.
    pub is_plain: bool,
}

impl<'a> Ground<'a> {
    /// For judging many items the quick way.
    pub fn for_judging(code: &'a Code, shop: &'a Shop) -> Ground<'a> {
        Ground { words: words(code, shop), ..Ground::new(code, shop) }
    }

    /// For a few items, with care.
    pub fn new(code: &'a Code, shop: &'a Shop) -> Ground<'a> {
        let place = |name: &String| code.proper_names.iter().position(|n| n == name).map(|i| i as u32);
        let names = shop.proper_names().iter().map(place).collect();
        Ground { code, shop, moments: Moments::of(code, shop), words: Vec::new(), names }
    }

    /// What reading a word of items of a kind takes.
    #[inline]
    pub fn read(&self, kind: Kind, name: NameId) -> Read {
        self.words
            .get(name.0 as usize * KINDS + kind as usize)
            .copied()
            .unwrap_or(Read { is_weak: true, is_plain: false })
    }

    /// Whether any item of the kind has an assumption or claim under this name.
    #[inline]
    pub fn is_weak(&self, kind: Kind, name: NameId) -> bool {
        self.read(kind, name).is_weak
    }

    /// Whether the fact is an assumption, or rests on a claim for many.
    pub fn is_weak_fact(&self, (item, name): Fact) -> bool {
        let source = self.shop.source(item, name);
        source.how == How::Assumed || source.claim.is_some()
    }

    /// Whether somebody stated the fact: there is a phrase to point at.
    pub fn is_stated(&self, (item, name): Fact) -> bool {
        let how = self.shop.source(item, name).how;
        matches!(how, How::Planned | How::Assumed | How::Seen | How::Measured | How::OnPaper)
    }

    /// The ordinary answer of a rare fact, where nobody said anything of it.
    pub fn ordinary(&self, (item, name): Fact) -> Option<Value> {
        if self.shop.source(item, name).how != How::Unsaid {
            return None;
        }
        Some(match self.code.vocabulary.word(item.kind, name)?.ordinary? {
            Ordinary::Yes => Value::YesNo(true),
            Ordinary::No => Value::YesNo(false),
            Ordinary::Value(value) => Value::choice(value),
            Ordinary::Absent => Value::Absent,
        })
    }

    /// The pack's number of one of the shop's proper names.
    pub fn name_in_pack(&self, name: u32) -> Option<u32> {
        self.names.get(name as usize).copied().flatten()
    }

    /// The type of a word.
    pub fn type_of(&self, kind: Kind, name: NameId) -> Option<Type> {
        self.code.vocabulary.word(kind, name).map(|w| w.ty)
    }

    /// Every value of a choice word, as a bit set.
    pub fn values_of(&self, kind: Kind, name: NameId) -> u64 {
        match self.type_of(kind, name) {
            Some(Type::Choice(id) | Type::Choices(id)) => self.all_values(id),
            _ => u64::MAX,
        }
    }

    /// Every value of a choice, as a bit set.
    pub fn all_values(&self, id: crate::words::ChoiceId) -> u64 {
        let count = self.code.vocabulary.choice(id).map_or(64, |c| c.values.len().min(64));
        1u64.checked_shl(count as u32).map_or(u64::MAX, |bit| bit - 1)
    }

    /// The define that gives a word, unless an example set the word itself.
    #[inline]
    pub fn define_of(&self, item: ItemRef, name: NameId) -> Option<DefineId> {
        let define = self.code.define_of(item.kind, name)?;
        matches!(self.shop.fact(item, name), Value::Unknown).then_some(define)
    }
}

fn words(code: &Code, shop: &Shop) -> Vec<Read> {
    let mut words = vec![Read { is_weak: false, is_plain: true }; code.vocabulary.name_count() * KINDS];
    for (own, defines) in words.chunks_exact_mut(KINDS).zip(&code.words_by_define) {
        own.iter_mut().zip(defines).for_each(|(word, define)| word.is_plain = define.is_none());
    }
    words.iter_mut().skip(Kind::Permit as usize).step_by(KINDS).for_each(|word| word.is_plain = false);
    for (kind, name, sources) in shop.sources() {
        if let Some(word) = words.get_mut(name.0 as usize * KINDS + kind as usize) {
            word.is_weak = sources.iter().any(|s| s.how == How::Assumed || s.claim.is_some());
        }
    }
    words
}
