//! The calculation sheet: every figure that the pack shows of an item, with its steps and sources.

pub mod json;

use super::loose::loosened;
use super::teller::Teller;
use super::{About, Missing};
use crate::law::verdict::Why;
use crate::law::{self, Candidate, Told, code::Sheet};
use crate::quantity::{Dimension, Quantity, Rational, Scale, Toward};
use crate::shop::{ItemRef, Range, Shop, Value};
use crate::text::Span;
use crate::words::{NameId, Type};
use crate::{Checked, Rules, parallel};
use std::collections::HashMap;

/// The sheet of one item.
#[derive(Clone, Debug)]
pub struct ItemSheet {
    /// Which item.
    pub about: About,
    /// The words in quotes behind its name.
    pub label: Option<String>,
    /// Where it stands in the plan.
    pub place: Span,
    /// Its figures, in the pack's order.
    pub figures: Vec<ShownFigure>,
}

/// One figure of one item.
#[derive(Clone, Debug)]
pub struct ShownFigure {
    /// Its name.
    pub name: String,
    /// What it means, in a sentence.
    pub doc: String,
    /// The method, where there are several.
    pub note: Option<String>,
    /// The value, in base units; none where it is not known, and for what is no quantity.
    pub value: Option<Quantity>,
    /// The least and the most that it can be, in base units, where it is not one value: an amount has bounds, or a
    /// length by eye went into it.
    pub between: Option<(Quantity, Quantity)>,
    /// What it measures; none for what is no quantity.
    pub scale: Option<Scale>,
    /// Whether people read it as a percentage.
    pub is_percent: bool,
    /// The value, or what is known of it: `52 A`, `55 A to 65 A`, `about 1.2 % (1.04 % to 1.28 %)`, `unknown`.
    pub text: String,
    /// How it comes about; nothing for what the plan states.
    pub why: Option<Why>,
    /// Where the plan states it.
    pub place: Option<Span>,
    /// What it hangs on.
    pub missing: Vec<Missing>,
    /// What it would be with one more answer.
    pub candidates: Vec<Candidate>,
    /// What it leans on, in words.
    pub leans_on: Vec<String>,
}

/// Whether a step only says that the least, the largest or the sum of some counts: those say more.
pub(super) fn is_pick(step: &Why) -> bool {
    ["the least", "the largest", "the sum"].iter().any(|how| step.text.starts_with(how)) && !step.from.is_empty()
}

/// The sheets of every item, or of one by its name; kinds in the order of the pack, items in that of
/// the plan. Items of which nothing is shown are left out.
pub fn sheets(rules: &Rules, checked: &Checked, wanted: Option<&str>) -> Vec<ItemSheet> {
    let teller = Teller::new(rules, checked);
    let loose = loosened(rules, checked);
    let loose = loose.as_ref().map(|loose| Teller::new(rules, loose));
    let shop = &checked.shop;
    let mut all: Vec<ItemSheet> = Vec::new();
    let mut places: HashMap<ItemRef, usize> = HashMap::new();
    for sheet in &rules.code.sheets {
        let is_wanted = |item: &ItemRef| wanted.is_none_or(|name| is_called(shop, *item, name));
        let items: Vec<ItemRef> = shop.items(sheet.kind).filter(is_wanted).collect();
        let told = parallel::map(&items, |item| {
            let is_meant = sheet.only.is_none_or(|word| !is_denied(&teller, *item, word));
            is_meant.then(|| of_item(&teller, loose.as_ref(), sheet, *item))
        });
        for (item, shown) in items.into_iter().zip(told) {
            let Some(shown) = shown else { continue };
            // Two sheets of one item are shown as one.
            match places.get(&item).and_then(|place| all.get_mut(*place)) {
                Some(known) => known.figures.extend(shown.figures),
                None if shown.figures.is_empty() => {}
                None => {
                    places.insert(item, all.len());
                    all.push(shown);
                }
            }
        }
    }
    all
}

fn is_denied(teller: &Teller<'_>, item: ItemRef, word: NameId) -> bool {
    let text = match law::figure_of(teller.code, teller.shop(), item, word) {
        Some(Told::Fact { text, .. }) => text,
        Some(Told::Figure(figure)) => figure.text,
        None => return false,
    };
    text == "no"
}

/// By its tag, as sentences call it, or as a part of what is called so.
fn is_called(shop: &Shop, item: ItemRef, name: &str) -> bool {
    let of = shop.head(item).of;
    shop.head(item).name == name || shop.called(item) == name || of.is_some_and(|of| is_called(shop, of, name))
}

fn of_item(teller: &Teller<'_>, loose: Option<&Teller<'_>>, sheet: &Sheet, item: ItemRef) -> ItemSheet {
    let shop = teller.shop();
    let head = shop.head(item);
    let figure = |name: &NameId| {
        let mut shown = of_word(teller, item, *name)?;
        if let Some(spread) = loose.and_then(|loose| of_word(loose, item, *name)) {
            by_eye(&mut shown, spread);
        }
        Some(shown)
    };
    let figures = sheet.figures.iter().filter_map(figure).collect();
    let (about, label) = (teller.about(item), head.label.clone());
    ItemSheet { about, label, place: teller.place(head.place, item), figures }
}

/// A figure into which a guessed length went has no more digits than the guess allows, and two ends.
fn by_eye(shown: &mut ShownFigure, spread: ShownFigure) {
    if shown.text == spread.text {
        return;
    }
    let few = |value, toward| few_digits(value, shown.is_percent, toward);
    // Its ends are no surer than the guess.
    let ends = match spread.between {
        Some((least, most)) => format!("{} to {}", few(least, Toward::Down), few(most, Toward::Up)),
        None => spread.text,
    };
    match shown.value {
        Some(value) => shown.text = format!("about {} ({ends})", few(value, Toward::Nearest)),
        // What has no one value shows the steps of its ends.
        None => (shown.text, shown.why) = (ends, spread.why),
    }
    shown.between = spread.between;
}

/// Two digits, or the whole ones where there are more.
fn few_digits(quantity: Quantity, is_percent: bool, toward: Toward) -> String {
    let (unit, base) = if is_percent { ("%", Rational::constant(1, 100)) } else { quantity.scale.shown_unit() };
    // Sizes and counts are what they are.
    if unit.is_empty() || matches!(quantity.scale, Scale::WireSize | Scale::TradeSize) {
        return quantity.scale.show_toward(quantity.value, 0, toward);
    }
    let is_long = quantity.scale == Scale::Ratio(Dimension::LENGTH) && quantity.value >= Rational::whole(48);
    let (unit, base) = if is_long { ("ft", Rational::whole(12)) } else { (unit, base) };
    let value = quantity.value.over(base).unwrap_or(quantity.value);
    let places = match value.floor() {
        0 => 2,
        1..=9 => 1,
        _ => 0,
    };
    format!("{} {unit}", value.decimal_toward(places, toward))
}

fn of_word(teller: &Teller<'_>, item: ItemRef, name: NameId) -> Option<ShownFigure> {
    let (code, shop) = (teller.code, teller.shop());
    let word = code.vocabulary.word(item.kind, name)?;
    let mut shown = ShownFigure {
        name: code.vocabulary.text(name).to_string(),
        doc: word.doc.to_string(),
        note: None,
        value: None,
        between: None,
        scale: if let Type::Quantity(scale) = word.ty { Some(scale) } else { None },
        is_percent: false,
        text: String::new(),
        why: None,
        place: None,
        missing: Vec::new(),
        candidates: Vec::new(),
        leans_on: Vec::new(),
    };
    match law::figure_of(code, shop, item, name)? {
        // What nobody said of this item is no figure of it; the report asks for it where it matters.
        Told::Fact { text, .. } if text == "unknown" => return None,
        Told::Fact { value, text, place } => {
            (shown.value, shown.text) = (value, text);
            if let (Value::Range(Range { low: Some(low), high: Some(high), .. }), Type::Quantity(scale)) =
                (shop.value(item, name), word.ty)
            {
                let at = |value| Quantity { value, scale };
                shown.between = Some((at(low), at(high)));
            }
            shown.place = (place.end > place.start).then_some(place);
        }
        Told::Figure(figure) => {
            let define = code.define(figure.define)?;
            shown.note.clone_from(&define.note);
            shown.is_percent = define.is_percent;
            shown.value = figure.value;
            shown.between = figure.bounds.filter(|_| figure.value.is_none());
            shown.text = figure.text;
            shown.missing = figure.missing.iter().map(|fact| teller.ask(fact.item, fact.name)).collect();
            shown.candidates = figure.candidates;
            // Answers that leave it as open as it is tell nobody anything.
            let first = shown.candidates.first().map(|c| c.text.clone());
            if shown.candidates.iter().all(|c| Some(&c.text) == first.as_ref()) {
                shown.candidates.clear();
            }
            shown.leans_on = figure.leans_on.iter().map(|lean| teller.lean(lean)).collect();
            shown.why = Some(figure.why);
        }
    }
    // A pipe that is not buried has no least cover.
    (shown.text != "none" && shown.text != "no limit").then_some(shown)
}
