//! Whether two models are of one shop.

use super::{Branch, Column, Feeds, Head, Load, Shop, Source, Stage, Value};
use crate::words::{Kind, NameId};

impl Shop {
    /// Whether the other model says the same, wherever it is written: the same items by the same names, the
    /// same facts, known in the same way, hanging together alike, and the same problems. Both must have been
    /// built with the same words; what `wiring` adds is compared too where both were completed.
    pub fn says_the_same(&self, other: &Shop) -> bool {
        alike(&self.heads, &other.heads, |a, b| alike(a, b, same_head))
            && self.by_name == other.by_name
            && self.has_the_facts_of(other)
            && alike(&self.feeds, &other.feeds, same_feeds)
            && alike(&self.ends, &other.ends, |a, b| a.ends == b.ends)
            && self.ways == other.ways
            && alike(&self.notes, &other.notes, |a, b| (a.item, &a.text) == (b.item, &b.text))
            && alike(&self.claims, &other.claims, |a, b| (&a.text, a.yields) == (&b.text, b.yields))
            && self.listed.len() == other.listed.len()
            && self.listed.iter().all(|(kind, a)| other.listed.get(kind).is_some_and(|b| same_source(a, b)))
            && alike(&self.layers, &other.layers, |a, b| a.node == b.node)
            && alike(&self.problems, &other.problems, |a, b| (&a.message, &a.help) == (&b.message, &b.help))
    }

    fn has_the_facts_of(&self, other: &Shop) -> bool {
        let (mut own, mut theirs) = (self.said(), other.said());
        own.sort_by_key(|(word, _)| *word);
        theirs.sort_by_key(|(word, _)| *word);
        alike(&own, &theirs, |(word, a), (other_word, b)| {
            word == other_word
                && alike(&a.values, &b.values, |a, b| self.is_same_value(*a, other, *b))
                && alike(&a.sources, &b.sources, same_source)
        })
    }

    fn said(&self) -> Vec<((Kind, NameId), &Column)> {
        self.columns.iter().filter_map(|column| Some((column.word?, column))).collect()
    }

    /// Lists and proper names are compared by what they hold: their numbers mean nothing elsewhere.
    fn is_same_value(&self, value: Value, other: &Shop, theirs: Value) -> bool {
        match (value, theirs) {
            (Value::List(a), Value::List(b)) => self.list(a) == other.list(b),
            (Value::Name(a), Value::Name(b)) => self.proper_name(a) == other.proper_name(b),
            (a, b) => a == b,
        }
    }
}

fn alike<T>(a: &[T], b: &[T], is_same: impl Fn(&T, &T) -> bool) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(a, b)| is_same(a, b))
}

fn same_head(a: &Head, b: &Head) -> bool {
    (&a.name, &a.label, a.of) == (&b.name, &b.label, b.of)
}

fn same_source(a: &Source, b: &Source) -> bool {
    (a.how, a.claim, a.day) == (b.how, b.claim, b.day)
}

fn same_feeds(a: &Feeds, b: &Feeds) -> bool {
    let same_load = |a: &Load, b: &Load| (a.item, a.is_half) == (b.item, b.is_half);
    let same_stage = |a: &Stage, b: &Stage| a.through == b.through && alike(&a.loads, &b.loads, same_load);
    let same_branch = |a: &Branch, b: &Branch| alike(&a.stages, &b.stages, same_stage);
    (a.is_open, a.is_nothing) == (b.is_open, b.is_nothing) && alike(&a.branches, &b.branches, same_branch)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan;
    use crate::shop::build;
    use crate::text::FileId;
    use crate::words::Vocabulary;
    use std::sync::Arc;

    fn shop(text: &str) -> Shop {
        build(&plan::read(FileId(0), text), &[], &[], Arc::new(Vocabulary::core()))
    }

    const PLAN: &str = "\
shop \"A\": use garage, state Ohio
feeder F1 from house to P1: 60 A, no neutral
panel P1: bus 100 A
box B1, B2: 18 in3
  holds R1
run P1 to B1: 1/2 in EMT, 12 ft
circuit C1 from P1: breaker 20 A
  feeds R1 then L1 through S1
  by way of B1
receptacle R1: 5-20R
light L1: LED, note \"a\"
switch S1
every box: all drawn
assume all wire Cu
";

    #[test]
    fn the_look_makes_no_difference() {
        let rough = PLAN.replace(", ", " ,\t ").replace("  ", "       ").replace('\n', "  # why\r\n");
        assert_ne!(rough, PLAN);
        assert!(shop(PLAN).says_the_same(&shop(&rough)));
    }

    /// One word changed anywhere, and another shop is meant.
    #[test]
    fn every_word_makes_one() {
        for (word, other) in [
            ("\"A\"", "\"B\""),
            ("garage", "storage"),
            ("Ohio", "Utah"),
            ("60 A", "70 A"),
            ("no neutral", "new"),
            ("bus 100 A", "bus at least 100 A"),
            ("bus 100 A", "assume bus 100 A"),
            ("18 in3", "20 in3"),
            ("holds R1", "holds S1"),
            ("P1 to B1", "P1 to B2"),
            ("12 ft", "13 ft"),
            ("R1 then L1", "R1, L1"),
            ("R1 then L1", "half of R1 then L1"),
            ("through S1", ""),
            ("way of B1", "way of B2"),
            ("\"a\"", "\"b\""),
            ("LED", "LED, quite bright"),
            ("every box", "every run"),
            ("assume all wire Cu", "assume all wire Al"),
            ("switch S1", "switch S2"),
            ("then L1 through S1", "then L1 through S1 and unknown"),
        ] {
            let changed = PLAN.replacen(word, other, 1);
            assert_ne!(changed, PLAN, "{word}");
            assert!(!shop(PLAN).says_the_same(&shop(&changed)), "{word} and {other}");
        }
    }
}
