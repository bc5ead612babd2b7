use super::messages as say;
use super::types::{kinds_of, type_of};
use crate::law::syntax::{Pack, WordName};
use crate::text::Problem;
use crate::words::{Ordinary, Origin, Type, Vocabulary, Word, patterns};

/// The core words with those that the pack declares: choices, facts, defines and terms.
pub(super) fn vocabulary(pack: &Pack, problems: &mut Vec<Problem>) -> Vocabulary {
    let mut all = Vocabulary::core();
    for choice in &pack.choices {
        let values: Vec<String> = choice.values.iter().map(|v| v.node.clone()).collect();
        match (all.choice_named(&choice.name.node), choice.adds) {
            (None, true) => {
                let names = all.choices().iter().map(|c| c.name.as_str());
                problems.push(say::unknown("choice", &choice.name, names));
            }
            (Some(_), false) => problems.push(say::twice("choice", &choice.name)),
            _ => drop(all.add_choice(&choice.name.node, &values)),
        }
    }
    for fact in &pack.facts {
        let Some(kinds) = kinds_of(&fact.word.kinds, problems) else { continue };
        let Some(ty) = type_of(&fact.ty, &all, problems) else { continue };
        let name = all.name_or_new(&fact.word.name.node);
        let ordinary = fact.ordinary.as_ref().and_then(|o| {
            ordinary(&o.node, ty, fact.is_part, &all).or_else(|| {
                problems.push(say::no_answer(o, &all.type_text(ty)));
                None
            })
        });
        let word = Word {
            kinds,
            name,
            ty,
            is_part: fact.is_part,
            origin: Origin::Fact,
            doc: fact.doc.clone(),
            phrase: fact.phrase.clone(),
            ordinary,
            question: fact.question.clone(),
        };
        let written = fact.phrase.split(" / ").filter(|p| !p.trim().is_empty()).count();
        if patterns(&word, &all).len() < written {
            problems.push(say::bad_phrase(&fact.word));
        }
        if let Err(kind) = all.add(word) {
            problems.push(say::word_twice(&fact.word, kind));
        }
    }
    for define in &pack.defines {
        let [parameter] = define.parameters.as_slice() else { continue };
        let Some(Type::Item(kinds)) = type_of(&parameter.ty, &all, &mut Vec::new()) else { continue };
        let ty = match &define.result {
            None => Some(Type::YesNo),
            Some(result) => type_of(result, &all, &mut Vec::new()),
        };
        let Some(ty) = ty else { continue };
        let name = all.name_or_new(&define.name.node);
        let word = Word {
            kinds,
            name,
            ty,
            is_part: false,
            origin: Origin::Law,
            doc: define.doc.clone(),
            phrase: String::new(),
            ordinary: None,
            question: None,
        };
        if let Err(kind) = all.add(word) {
            let word = WordName { kinds: Vec::new(), name: define.name.clone(), span: define.name.span };
            problems.push(say::word_twice(&word, kind));
        }
    }
    for declared in &pack.ordinaries {
        let Some(kinds) = kinds_of(&declared.word.kinds, problems) else { continue };
        let Some(name) = all.name(&declared.word.name.node) else {
            problems.push(say::unknown_word(&declared.word.name, kinds, &all));
            continue;
        };
        for kind in kinds.iter() {
            let Some(word) = all.word(kind, name) else {
                problems.push(say::unknown_word(&declared.word.name, kinds, &all));
                continue;
            };
            match ordinary(&declared.answer.node, word.ty, word.is_part, &all) {
                Some(answer) => all.set_ordinary(kind, name, answer),
                None => problems.push(say::no_answer(&declared.answer, &all.type_text(word.ty))),
            }
        }
    }
    all
}

fn ordinary(text: &str, ty: Type, is_part: bool, vocabulary: &Vocabulary) -> Option<Ordinary> {
    match (text, ty) {
        ("yes", Type::YesNo) => Some(Ordinary::Yes),
        ("no", Type::YesNo) => Some(Ordinary::No),
        ("none", _) if is_part => Some(Ordinary::Absent),
        (value, Type::Choice(id)) => vocabulary.choice(id).and_then(|c| c.value(value)).map(Ordinary::Value),
        _ => None,
    }
}
