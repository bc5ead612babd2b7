//! Words of rules as plain English: the prefix of a yes/no word makes the sentence and its denial.

/// `equipment-ground` as people say it; letters that are spoken one by one in capitals.
pub(super) fn plain(name: &str) -> String {
    let speak = |part: &str| match part {
        "gfci" | "afci" | "hvac" | "dc" | "ev" | "pvc" | "nm" | "va" => part.to_uppercase(),
        _ => part.to_string(),
    };
    name.split('-').map(speak).collect::<Vec<_>>().join(" ")
}

/// A word for a value as people say it: `amps` is a rating.
pub(super) fn noun(name: &str) -> String {
    match name {
        "amps" => "rating".into(),
        "volts" => "voltage".into(),
        "volts-to-ground" => "voltage to ground".into(),
        "watts" => "power".into(),
        name => plain(name),
    }
}

/// `is-wet` of `box B1` as `box B1 is wet` or `box B1 is not wet`; `has-neutral` as `… has a neutral`,
/// `… has no neutral`.
pub(super) fn clause(subject: &str, word: &str, holds: bool) -> String {
    match (word.strip_prefix("is-"), word.strip_prefix("has-"), holds) {
        (Some(rest), _, true) => format!("{subject} is {}", plain(rest)),
        (Some(rest), _, false) => format!("{subject} is not {}", plain(rest)),
        (_, Some(rest), true) => format!("{subject} has {}", with_article(&plain(rest))),
        (_, Some(rest), false) => format!("{subject} has no {}", plain(rest)),
        (None, None, true) => format!("{subject}: {}", plain(word)),
        (None, None, false) => format!("{subject}: not {}", plain(word)),
    }
}

/// `is-wet` of `box B1` as a question: `Is box B1 wet?`.
pub(super) fn ask(subject: &str, word: &str) -> String {
    match (word.strip_prefix("is-"), word.strip_prefix("has-")) {
        (Some(rest), _) => format!("Is {subject} {}?", plain(rest)),
        (_, Some(rest)) => format!("Does {subject} have {}?", with_article(&plain(rest))),
        _ => format!("What is the {} of {subject}?", noun(word)),
    }
}

/// With `a` or `an`, unless it is many or no thing that is counted.
fn with_article(noun: &str) -> String {
    let last = noun.rsplit(' ').next().unwrap_or(noun);
    let is_many = last.ends_with('s') && !last.ends_with("ss");
    if is_many || last.ends_with("ing") || last.ends_with("ment") || last == "metal" {
        return noun.to_string();
    }
    let first = noun.chars().next().unwrap_or('x');
    let sounds_open = match noun.split(' ').next() {
        Some(letters) if letters.len() > 1 && letters.chars().all(char::is_uppercase) => "AEFHILMNORSX".contains(first),
        _ => "aeiou".contains(first),
    };
    format!("{} {noun}", if sounds_open { "an" } else { "a" })
}

/// `a`, `a and b`, `a, b and c`; past eight how many more.
pub(super) fn join(parts: &[String], word: &str) -> String {
    const CAP: usize = 8;
    let more = format!("{} more", parts.len().saturating_sub(CAP));
    let mut shown: Vec<&str> = parts.iter().take(CAP).map(String::as_str).collect();
    if parts.len() > CAP {
        shown.push(&more);
    }
    match shown.split_last() {
        None => String::new(),
        Some((last, [])) => last.to_string(),
        Some((last, rest)) => format!("{} {word} {last}", rest.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_make_sentences() {
        for (word, yes, no) in [
            ("is-wet", "box B1 is wet", "box B1 is not wet"),
            ("has-neutral", "box B1 has a neutral", "box B1 has no neutral"),
            ("has-gfci", "box B1 has a GFCI", "box B1 has no GFCI"),
            ("has-afci", "box B1 has an AFCI", "box B1 has no AFCI"),
            ("has-splices", "box B1 has splices", "box B1 has no splices"),
            ("has-welding", "box B1 has welding", "box B1 has no welding"),
            ("is-gfci-protected", "box B1 is GFCI protected", "box B1 is not GFCI protected"),
        ] {
            assert_eq!((clause("box B1", word, true), clause("box B1", word, false)), (yes.into(), no.into()));
        }
        assert_eq!(ask("box B1", "has-equipment-ground"), "Does box B1 have an equipment ground?");
        assert_eq!(ask("run R1", "length"), "What is the length of run R1?");
    }

    #[test]
    fn lists_end_somewhere() {
        let names = |n: usize| (1..=n).map(|i| i.to_string()).collect::<Vec<_>>();
        assert_eq!(join(&names(1), "and"), "1");
        assert_eq!(join(&names(3), "or"), "1, 2 or 3");
        assert_eq!(join(&names(11), "and"), "1, 2, 3, 4, 5, 6, 7, 8 and 3 more");
    }
}
