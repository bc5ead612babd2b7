//! What the drawings write beside their symbols. What nobody said is a rule to write on, never a value.

use super::symbols::Symbol;
use crate::report::teller::Teller;
use crate::shop::{ItemRef, Value};
use crate::words::{Kind, NameId, name};

/// A rule to write on.
pub const BLANK: &str = "______";

/// The fact as text, or a blank with a unit.
pub fn or_blank(teller: &Teller<'_>, item: ItemRef, word: NameId, unit: &str) -> String {
    teller.known(item, word).unwrap_or_else(|| format!("{BLANK} {unit}").trim_end().to_string())
}

/// `60 A, 2-pole`.
pub fn breaker(teller: &Teller<'_>, line: ItemRef) -> String {
    match teller.shop().value(line, name::BREAKER) {
        Value::Item(breaker) => {
            let mut text = or_blank(teller, breaker, name::AMPS, "A");
            if let Some(poles) = teller.whole(breaker, name::POLES) {
                text.push_str(&format!(", {poles}-pole"));
            }
            if teller.is(breaker, name::HAS_GFCI) {
                text.push_str(", GFCI");
            }
            if teller.is(breaker, name::HAS_AFCI) {
                text.push_str(", AFCI");
            }
            text
        }
        _ => format!("{BLANK} A"),
    }
}

/// `spaces 2 and 4`; none where nobody said.
pub fn spaces(teller: &Teller<'_>, line: ItemRef) -> Option<String> {
    let Value::Item(breaker) = teller.shop().value(line, name::BREAKER) else { return None };
    let both = [name::SPACE, name::SECOND_SPACE].into_iter().filter_map(|word| teller.whole(breaker, word));
    match both.collect::<Vec<i64>>().as_slice() {
        [one] => Some(format!("space {one}")),
        [one, two] => Some(format!("spaces {one} and {two}")),
        _ => None,
    }
}

/// `3 x 6 AWG Cu THWN-2`; a blank for what is not said.
pub fn wire(teller: &Teller<'_>, line: ItemRef, word: NameId) -> String {
    let wire = match teller.shop().value(line, word) {
        Value::Item(wire) => wire,
        Value::Absent => return "none".into(),
        _ => return BLANK.into(),
    };
    let count = teller.whole(wire, name::COUNT).filter(|n| *n > 1).map(|n| format!("{n} x "));
    let size = or_blank(teller, wire, name::SIZE, "");
    let kinds = [name::METAL, name::INSULATION].into_iter().filter_map(|word| teller.known(wire, word));
    let kinds: String = kinds.map(|kind| format!(" {}", short(&kind))).collect();
    format!("{}{size}{kinds}", count.unwrap_or_default())
}

fn short(kind: &str) -> &str {
    match kind {
        "copper" => "Cu",
        "aluminum" => "Al",
        other => other,
    }
}

/// How the equipment ground goes.
pub fn ground(teller: &Teller<'_>, line: ItemRef) -> String {
    if let Value::Item(_) = teller.shop().value(line, name::EQUIPMENT_GROUND) {
        return wire(teller, line, name::EQUIPMENT_GROUND);
    }
    let by = [name::GROUND_BY, name::EQUIPMENT_GROUND_TYPE].into_iter().find_map(|word| teller.known(line, word));
    match (by, teller.shop().value(line, name::EQUIPMENT_GROUND)) {
        (Some(by), _) => format!("by {by}"),
        (None, Value::Absent) => "none".into(),
        (None, _) => BLANK.into(),
    }
}

/// The symbol of an outlet or device, the mark inside, and what it is in at most two lines.
pub fn device(teller: &Teller<'_>, item: ItemRef) -> (Symbol, String, Vec<String>) {
    let known = |word| teller.known(item, word);
    let outdoors = known(name::PLACE).filter(|p| p.starts_with("outdoors")).map(|_| "outdoors".to_string());
    let lines = |parts: Vec<Option<String>>| {
        let what = parts.into_iter().flatten().collect::<Vec<_>>().join(", ");
        [Some(what).filter(|w| !w.is_empty()), outdoors.clone()].into_iter().flatten().collect::<Vec<String>>()
    };
    match item.kind {
        Kind::Receptacle => {
            let kind = known(name::CONFIGURATION).or_else(|| known(name::AMPS));
            let is_common = kind.as_deref().is_none_or(|k| k.starts_with("5-15") || k.starts_with("5-20"));
            let gfci = teller.is(item, name::HAS_GFCI).then(|| "GFCI".to_string());
            let symbol = if is_common { Symbol::Receptacle } else { Symbol::Special };
            (symbol, String::new(), lines(vec![kind, gfci]))
        }
        Kind::Switch => {
            let kind = known(name::TYPE);
            let mark = match kind.as_deref() {
                Some("3-way") => "3",
                Some("4-way") => "4",
                Some("double-pole") => "2",
                _ => "",
            };
            (Symbol::Switch, mark.into(), lines(vec![kind]))
        }
        Kind::Light => (Symbol::Light, String::new(), lines(vec![known(name::WATTS)])),
        Kind::Disconnect => (Symbol::Disconnect, String::new(), lines(vec![known(name::AMPS)])),
        Kind::Equipment => {
            let label = teller.shop().head(item).label.clone().or_else(|| known(name::TYPE));
            let is_motor = known(name::TYPE).as_deref() == Some("motor");
            (if is_motor { Symbol::Motor } else { Symbol::Machine }, String::new(), lines(vec![label]))
        }
        _ => (Symbol::Other, String::new(), lines(vec![known(name::TYPE)])),
    }
}

/// `3/4 in EMT, 12 ft, bends 180 deg`.
pub fn run(teller: &Teller<'_>, run: ItemRef) -> String {
    let method = teller.known(run, name::METHOD).unwrap_or_else(|| "raceway or cable not said".into());
    let size = teller.known(run, name::TRADE_SIZE).map(|size| format!("{size} ")).unwrap_or_default();
    let length = or_blank(teller, run, name::LENGTH, "ft");
    let bends = teller.known(run, name::BENDS).filter(|b| b != "0 deg").map(|b| format!(", bends {b}"));
    format!("{size}{method}, {length}{}", bends.unwrap_or_default())
}

/// Names in the order in which a person counts: B2 before B10.
pub fn counted(text: &str) -> (String, u64, String) {
    let letters = text.chars().take_while(|c| !c.is_ascii_digit()).count();
    let split = text.char_indices().nth(letters).map_or(text.len(), |(i, _)| i);
    let (head, tail) = text.split_at_checked(split).unwrap_or((text, ""));
    let digits = tail.chars().take_while(char::is_ascii_digit).count();
    let (number, rest) = tail.split_at_checked(digits).unwrap_or((tail, ""));
    (head.to_string(), number.parse().unwrap_or(0), rest.to_string())
}

/// How neutral and cabinet stand to each other.
pub fn neutral(teller: &Teller<'_>, panel: ItemRef) -> String {
    match teller.shop().value(panel, name::IS_NEUTRAL_BONDED) {
        Value::YesNo(true) => "neutral joined to the cabinet".into(),
        Value::YesNo(false) => "neutral apart from the cabinet".into(),
        _ => format!("neutral and cabinet joined? {BLANK}"),
    }
}
