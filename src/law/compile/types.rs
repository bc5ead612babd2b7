use super::messages as say;
use crate::law::syntax::TypeName;
use crate::quantity::{Scale, UNITS};
use crate::text::{Problem, Spanned};
use crate::words::{Kind, Kinds, Type, Vocabulary};

/// The kinds of some names, or none after telling what is wrong.
pub(super) fn kinds_of(names: &[Spanned<String>], problems: &mut Vec<Problem>) -> Option<Kinds> {
    let mut all = Kinds::default();
    for name in names {
        match Kind::named(&name.node) {
            Some(kind) => all = all.and(Kinds::of(kind)),
            None => {
                problems.push(say::unknown("kind", name, Kind::ALL.map(Kind::name)));
                return None;
            }
        }
    }
    (!all.is_empty()).then_some(all)
}

/// The type of a name as written: `yes/no`, `length`, `A`, `choice metal`, `feeder or circuit`, `list light`.
pub(super) fn type_of(name: &TypeName, vocabulary: &Vocabulary, problems: &mut Vec<Problem>) -> Option<Type> {
    let words: Vec<&str> = name.words.iter().map(String::as_str).filter(|w| *w != "or").collect();
    let choice = |text: &str, problems: &mut Vec<Problem>| {
        let found = vocabulary.choice_named(text);
        if found.is_none() {
            let typed = Spanned { node: text.to_string(), span: name.span };
            problems.push(say::unknown("choice", &typed, vocabulary.choices().iter().map(|c| c.name.as_str())));
        }
        found
    };
    let kinds = |words: &[&str]| -> Option<Kinds> {
        words.iter().try_fold(Kinds::default(), |all, w| Some(all.and(Kinds::of(Kind::named(w)?))))
    };
    let found = match words.as_slice() {
        ["yes/no"] => Some(Type::YesNo),
        ["name"] => Some(Type::Name),
        ["choice", text] => return choice(text, problems).map(Type::Choice),
        ["list", "choice", text] => return choice(text, problems).map(Type::Choices),
        ["list", rest @ ..] => kinds(rest).map(Type::List),
        // `area` is a kind and a measure: the measure is written `in2` or `ft2`.
        [one] if Kind::named(one).is_none() => scale(one).map(Type::Quantity),
        rest => kinds(rest).map(Type::Item),
    };
    if found.is_none() {
        problems.push(say::unknown_type(name));
    }
    found
}

fn scale(text: &str) -> Option<Scale> {
    Scale::named(text).or_else(|| UNITS.iter().find(|u| u.name == text).map(|u| u.scale))
}
