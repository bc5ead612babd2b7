//! What to join in each box, joint by joint, to be ticked as it is done.

use super::frame::tick;
use super::{Packet, Sheet};
use crate::report::drawing::{Part, charts};
use crate::report::wires::BoxSheet;
use maud::{Markup, PreEscaped, html};

impl Packet<'_> {
    /// A chart for each box, panel and machine.
    pub(super) fn joining(&self) -> Result<Markup, &'static str> {
        if self.wires.boxes.is_empty() {
            return Err("The plan draws no box with a run to it, so no joint is known.");
        }
        let charts = charts(self.checked, &self.wires.boxes);
        Ok(self.sheet(
            Sheet::Joining,
            html! {
                p.lead {
                    "In the order in which the joints are made. Before a cover comes off: test the tester on a live part, test here, test the "
                    "tester again. Go by the color of a screw or its mark, never by its place; never two wires under one screw."
                }
                @if let Some(key) = &charts.key { figure { (PreEscaped(key.inline())) } }
                @for (place, parts) in self.wires.boxes.iter().zip(&charts.places) { (self.chart(place, parts)) }
            },
        ))
    }

    /// The list of a box, and beside it the same joints as they hang in the hand.
    fn chart(&self, place: &BoxSheet, parts: &[Part]) -> Markup {
        html! {
            div.chart {
                div.card {
                    h4 { (super::cover::capital(&place.called)) small { (self.line(place.place)) } }
                    p.careful { (place.caution()) }
                    p.small {
                        "Comes in: " (place.comes_in()) ". "
                        @if let Some(bonding) = place.bonding() { (bonding) }
                    }
                    @if let Some(part) = parts.first() { (joints(place, part)) }
                }
                @for part in parts.iter().skip(1) { (joints(place, part)) }
            }
        }
    }
}

/// A part of a list and its picture. Drawings come out of this program, with the texts of the plan escaped by it.
fn joints(place: &BoxSheet, part: &Part) -> Markup {
    html! {
        div.joints {
            table.grid.fixed {
                colgroup { col style="width:.24in"; col style="width:.24in"; col; }
                tbody {
                    @for (number, joint) in place.joints.iter().enumerate().skip(part.joints.start).take(part.joints.len()) {
                        tr { td { (tick()) } th scope="row" { (number.saturating_add(1)) } td { (joint.text) } }
                    }
                }
            }
            figure { (PreEscaped(part.drawing.inline())) }
        }
    }
}
