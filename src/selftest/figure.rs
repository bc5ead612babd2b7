//! What an example of a formula must give, held against what comes out.

use super::set::{amount, tagged};
use crate::law::code::Code;
use crate::law::syntax::FigureExample;
use crate::law::{Told, figure_of};
use crate::quantity::{Quantity, Rational, Scale};
use crate::shop::Shop;
use crate::text::Problem;

/// Why the formula does not come to what the example says; none where it does. A figure has to
/// agree as far as the example writes it out: `0.22 in` takes 0.215 in to 0.225 in.
pub(super) fn failure(code: &Code, shop: &Shop, formula: &str, example: &FigureExample) -> Option<Problem> {
    let items = tagged(shop, &example.item.node);
    if items.is_empty() {
        return Some(Problem::error(example.item.span, format!("no item is called `{}`", example.item.node)));
    }
    let name = code.vocabulary.name(formula)?;
    let told = items.into_iter().filter_map(|item| figure_of(code, shop, item, name)).find_map(|told| match told {
        Told::Figure(figure) => Some(figure),
        Told::Fact { .. } => None,
    });
    let Some(figure) = told else {
        let message = format!("`{formula}` is no formula of `{}`", example.item.node);
        return Some(Problem::error(example.item.span, message));
    };
    let wanted = &example.value.node;
    if figure.text == *wanted || figure.value.is_some_and(|value| is_close(value, wanted)) {
        return None;
    }
    let missing: Vec<String> = figure
        .missing
        .iter()
        .map(|m| format!("{} of {}", code.vocabulary.text(m.name), shop.head(m.item).name))
        .take(6)
        .collect();
    let lacks = if missing.is_empty() { String::new() } else { format!(" (missing {})", missing.join(", ")) };
    let is_percent = code.define(figure.define).is_some_and(|define| define.is_percent);
    let hundredfold = figure.value.filter(|_| is_percent).and_then(|v| v.value.times(Rational::whole(100)));
    let given = hundredfold.map_or(figure.text, |percent| format!("{} %", percent.decimal(1)));
    let message = format!("`{formula}` of `{}` is not {wanted}", example.item.node);
    Some(Problem::error(example.span, message).help(format!("it gives {given}{lacks}")))
}

/// Whether a value rounds to what is written, at the digits that are written.
fn is_close(value: Quantity, wanted: &str) -> bool {
    let Some(figure) = amount(wanted, value.scale) else { return false };
    let (digits, unit) = wanted.split_once(' ').unwrap_or((wanted, ""));
    let decimals = digits.split_once('.').map(|(_, decimals)| "0".repeat(decimals.len()));
    let step = match (value.scale, decimals) {
        (Scale::Ratio(_), Some(decimals)) => amount(format!("0.{decimals}5 {unit}").trim_end(), value.scale),
        (Scale::Ratio(_), None) => amount(format!("0.5 {unit}").trim_end(), value.scale),
        _ => Some(Rational::ZERO),
    };
    let (above, below) = (value.value.minus(figure), figure.minus(value.value));
    step.is_some_and(|step| [above, below].iter().all(|far| far.is_some_and(|far| far <= step)))
}
