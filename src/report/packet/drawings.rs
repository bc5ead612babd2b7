//! The diagrams, each on a page of its own at true size.

use super::{Packet, Sheet};
use crate::report::drawing::{Drawing, map, one_line};
use crate::words::Kind;
use maud::{Markup, PreEscaped, html};

/// Wider than this does not fit an upright page: 7.25 in.
const UPRIGHT: f64 = 696.0;

impl Packet<'_> {
    /// From the supply down to what each circuit feeds.
    pub(super) fn one_line(&self) -> Result<Markup, &'static str> {
        let shop = &self.checked.shop;
        match [Kind::Supply, Kind::Feeder, Kind::Panel, Kind::Circuit].into_iter().all(|kind| shop.count(kind) == 0) {
            true => Err("The plan names no supply, feeder, panel or circuit."),
            false => self.drawings(Sheet::OneLine, &one_line(self.rules, self.checked)),
        }
    }

    /// Boxes and the runs between them.
    pub(super) fn map(&self) -> Result<Markup, &'static str> {
        self.drawings(Sheet::Map, &map(self.rules, self.checked))
    }

    /// Drawings come out of this program, with the texts of the plan escaped by it.
    fn drawings(&self, sheet: Sheet, all: &[Drawing]) -> Result<Markup, &'static str> {
        if all.is_empty() {
            return Err("The plan draws no run between boxes.");
        }
        // The drawing says itself which of its sheets it is.
        Ok(html! {
            @for (i, drawing) in all.iter().enumerate() {
                @let number = match i { 0 => sheet.number(), _ => format!("{}.{}", sheet.number(), i.saturating_add(1)) };
                (self.framed(&number, sheet.title(), drawing.width > UPRIGHT, html! { figure { (PreEscaped(drawing.inline())) } }))
            }
        })
    }
}
