//! Facts as a drawing writes them: what is known, what is guessed, and blanks.

use super::symbols::Symbol;
use crate::report::teller::Teller;
use crate::shop::{How, ItemRef, Shop, Value};
use crate::words::{Kind, NameId, name};
use crate::{Checked, Rules};

/// What stands where the plan says nothing.
pub(super) const BLANK: &str = "____?";

/// Reads a plan for a drawing.
pub(super) struct Facts<'a> {
    pub teller: Teller<'a>,
    pub checked: &'a Checked,
}

impl<'a> Facts<'a> {
    pub fn new(rules: &'a Rules, checked: &'a Checked) -> Facts<'a> {
        Facts { teller: Teller::new(rules, checked), checked }
    }

    pub fn shop(&self) -> &'a Shop {
        &self.checked.shop
    }

    pub fn name(&self, item: ItemRef) -> &'a str {
        &self.shop().head(item).name
    }

    /// `C1 north bench`.
    pub fn titled(&self, item: ItemRef) -> String {
        let head = self.shop().head(item);
        match &head.label {
            Some(label) => format!("{} {label}", head.name),
            None => head.name.clone(),
        }
    }

    /// What is known, with a remark where it is a guess; none where nothing is known.
    pub fn known(&self, item: ItemRef, word: NameId) -> Option<String> {
        let text = self.teller.known(item, word)?;
        match self.shop().source(item, word).how {
            How::Assumed => Some(format!("{text} (assumed)")),
            _ => Some(text),
        }
    }

    /// The same, or a blank.
    pub fn or_blank(&self, item: ItemRef, word: NameId) -> String {
        self.known(item, word).unwrap_or_else(|| BLANK.to_string())
    }

    pub fn item(&self, item: ItemRef, word: NameId) -> Option<ItemRef> {
        match self.shop().value(item, word) {
            Value::Item(other) => Some(other),
            _ => None,
        }
    }

    pub fn yes(&self, item: ItemRef, word: NameId) -> Option<bool> {
        match self.shop().value(item, word) {
            Value::YesNo(is) => Some(is),
            _ => None,
        }
    }

    /// The symbol of a line's protection; none where it is known that there is none.
    pub fn protection(&self, line: ItemRef, word: NameId) -> Option<Symbol> {
        match self.shop().value(line, word) {
            Value::Item(breaker) => match self.teller.known(breaker, name::TYPE) {
                Some(kind) if kind.contains("fuse") => Some(Symbol::Fuse),
                _ => Some(Symbol::Breaker),
            },
            Value::Absent => None,
            _ => Some(Symbol::Unknown),
        }
    }

    /// `60 A, 2-pole, GFCI`; blanks for what is not said; `none` for what is known to be lacking.
    pub fn breaker(&self, line: ItemRef, word: NameId) -> Vec<String> {
        let breaker = match self.shop().value(line, word) {
            Value::Item(breaker) => breaker,
            Value::Absent => return vec!["none".into()],
            _ => return vec![format!("{BLANK} A")],
        };
        let amps = self.known(breaker, name::AMPS).unwrap_or_else(|| format!("{BLANK} A"));
        let poles = self.known(breaker, name::POLES).unwrap_or_else(|| BLANK.into());
        let mut all = vec![format!("{amps}, {poles}-pole")];
        if self.yes(breaker, name::HAS_GFCI) == Some(true) {
            all.push("GFCI".into());
        }
        if self.yes(breaker, name::HAS_AFCI) == Some(true) {
            all.push("AFCI".into());
        }
        all
    }

    /// `spaces 2, 4`; a blank where nobody said.
    pub fn spaces(&self, line: ItemRef) -> String {
        let breaker = self.item(line, name::BREAKER);
        let of_breaker = |word| breaker.and_then(|b| self.teller.whole(b, word));
        let own = (line.kind == Kind::Circuit).then(|| self.teller.whole(line, name::SPACE)).flatten();
        // Two circuits on one breaker stand in a space each.
        let is_shared = breaker.is_some_and(|b| self.teller.members(b, name::CIRCUITS).sure.len() > 1);
        let second = of_breaker(name::SECOND_SPACE).filter(|_| own.is_none() || !is_shared);
        match (own.or_else(|| of_breaker(name::SPACE)), second) {
            (Some(first), Some(second)) if first != second => format!("spaces {first}, {second}"),
            (Some(first), _) => format!("space {first}"),
            (None, _) => format!("space {BLANK}"),
        }
    }

    /// `6 AWG Cu THWN-2`, as far as it is known.
    pub fn wire(&self, wire: ItemRef) -> String {
        let size = self.known(wire, name::SIZE).unwrap_or_else(|| format!("wire {BLANK}"));
        let metal = self.known(wire, name::METAL).map(|m| match m.as_str() {
            "copper" => "Cu".to_string(),
            "aluminum" => "Al".to_string(),
            _ => m,
        });
        let kind = self.known(wire, name::INSULATION);
        std::iter::once(size).chain(metal).chain(kind).collect::<Vec<_>>().join(" ")
    }

    /// `2 x 12 AWG Cu THWN-2`.
    pub fn wires_of(&self, line: ItemRef) -> String {
        match self.item(line, name::WIRE) {
            Some(wire) => match self.teller.whole(wire, name::COUNT) {
                Some(count) => format!("{count} x {}", self.wire(wire)),
                None => self.wire(wire),
            },
            None => format!("wire {BLANK}"),
        }
    }

    /// How fault current returns: `EGC 10 AWG Cu`, `EGC: raceway`.
    pub fn equipment_ground(&self, line: ItemRef) -> String {
        if let Some(wire) = self.item(line, name::EQUIPMENT_GROUND) {
            return format!("EGC {}", self.wire(wire));
        }
        match self.known(line, name::EQUIPMENT_GROUND_TYPE) {
            Some(by) => format!("EGC: {by}"),
            None if self.shop().value(line, name::EQUIPMENT_GROUND) == Value::Absent => "EGC: none".into(),
            None => format!("EGC {BLANK}"),
        }
    }

    /// `3/4 in EMT, 12 ft, 2 bends`, in parts.
    pub fn run(&self, run: ItemRef) -> Vec<String> {
        let method = self.known(run, name::METHOD);
        let size = self.known(run, name::TRADE_SIZE);
        let is_cable = self.yes(run, name::IS_CABLE) == Some(true);
        let mut parts = vec![match (size, method) {
            (Some(size), Some(method)) => format!("{size} {method}"),
            (Some(size), None) => format!("{size} {BLANK}"),
            (None, Some(method)) if is_cable => method,
            (None, Some(method)) => format!("{BLANK} {method}"),
            (None, None) => format!("raceway or cable {BLANK}"),
        }];
        parts.push(self.known(run, name::LENGTH).unwrap_or_else(|| format!("{BLANK} ft")));
        parts
    }

    /// Whether it is known to stand where weather comes.
    pub fn is_outdoors(&self, item: ItemRef) -> bool {
        self.teller.known(item, name::PLACE).is_some_and(|place| place.starts_with("outdoors"))
    }

    /// The box of a device; anything else is its own place.
    pub fn place(&self, item: ItemRef) -> ItemRef {
        match self.shop().value(item, name::BOX) {
            Value::Item(of) => of,
            _ => item,
        }
    }
}
