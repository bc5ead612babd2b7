//! What to join in each box, joint by joint, to be ticked as it is done.

use super::frame::tick;
use super::{Packet, Sheet};
use crate::report::wires::BoxSheet;
use maud::{Markup, html};

impl Packet<'_> {
    /// A chart for each box, panel and machine.
    pub(super) fn joining(&self) -> Result<Markup, &'static str> {
        if self.wires.boxes.is_empty() {
            return Err("The plan draws no box with a run to it, so no joint is known.");
        }
        Ok(self.sheet(
            Sheet::Joining,
            html! {
                p.lead {
                    "In the order in which the joints are made. Before a cover comes off: test the tester on a live part, test here, test the "
                    "tester again. Go by the color of a screw or its mark, never by its place; never two wires under one screw."
                }
                @for place in &self.wires.boxes { (self.chart(place)) }
            },
        ))
    }

    fn chart(&self, place: &BoxSheet) -> Markup {
        html! {
            div.card {
                h4 { (super::cover::capital(&place.called)) small { (self.line(place.place)) } }
                p.careful { (place.caution()) }
                p.small { @if place.entering.is_empty() { "No wire comes in, by the plan." } @else { "Comes in: " (place.comes_in()) } }
                @if let Some(bonding) = place.bonding() { p.small { (bonding) } }
                @if !place.joints.is_empty() { table.grid.fixed {
                    colgroup { col style="width:.3in"; col style="width:.3in"; col; }
                    tbody {
                        @for (number, joint) in place.joints.iter().enumerate() {
                            tr { td { (tick()) } th scope="row" { (number.saturating_add(1)) } td { (joint.text) } }
                        }
                    }
                } }
            }
        }
    }
}
