//! What to pull through each run, with room for what was really pulled.

use super::frame::tick;
use super::{Packet, Sheet};
use crate::report::text::counted;
use crate::report::wires::{PullRow, RunSheet, feet};
use crate::wiring::Role;
use maud::{Markup, html};

impl Packet<'_> {
    /// A table, run by run.
    pub(super) fn pull(&self) -> Result<Markup, &'static str> {
        if self.wires.runs.is_empty() {
            return Err("The plan draws no run, so nothing can be listed.");
        }
        Ok(self.sheet(
            Sheet::Pull,
            html! {
                p.lead {
                    "Pull all wires of a run at once. Colors other than white and green are suggested: take what you have, and write down "
                    "what you took. Lengths are those of the run with what is left over at its ends (common practice, in the rules)."
                }
                table.grid.fixed.pulls {
                    colgroup {
                        col style="width:.24in"; col style="width:1.55in"; col; col style="width:.7in"; col style="width:.7in";
                        col style="width:2.05in";
                    }
                    thead { tr {
                        th scope="col" { "" } th scope="col" { "pull" } th scope="col" { "for" } th scope="col" { "color" }
                        th.number scope="col" { "cut" } th scope="col" { "goes" }
                    } }
                    @for run in &self.wires.runs { (self.run(run)) }
                }
                (self.open_ends())
            },
        ))
    }

    fn run(&self, run: &RunSheet) -> Markup {
        let total: usize = run.conductors.iter().filter(|wire| wire.is_sure).map(|wire| wire.count).sum();
        html! {
            tbody {
                tr.group {
                    th colspan="6" scope="rowgroup" {
                        div.beside {
                            span {
                                (run.run) " "
                                span.plain {
                                    (run.what) ", " (self.line(run.place)) ": " (counted(total, "wire"))
                                    @if let Some(count) = run.current_carrying { ", " (count) " count for heat" }
                                    @if run.is_open { "; there may be more, the plan leaves it open" }
                                }
                            }
                            span.plain.pulled { "pulled, if different " span.blank.mid {} }
                        }
                    }
                }
                @for wire in &run.conductors { (conductor(wire)) }
            }
        }
    }

    /// What the drawing does not settle.
    pub(super) fn open_ends(&self) -> Markup {
        let all = [("As pulled", &self.wires.pulled), ("Ask", &self.wires.asks), ("Not told", &self.wires.missing)];
        html! {
            @for (title, lines) in all.into_iter().filter(|(_, lines)| !lines.is_empty()) {
                h3 { (title) }
                @for line in lines { p { (line) } }
            }
        }
    }
}

fn conductor(wire: &PullRow) -> Markup {
    html! {
        tr {
            td { (tick()) }
            td { (wire.count) " x " @match &wire.size { Some(size) => (size), None => span.blank.short {} } " " (wire.kind) }
            td { @if !wire.is_sure { "perhaps: " } (wire.what()) @if !wire.circuits.is_empty() { " of " (wire.circuits.join(", ")) } }
            td { (wire.look()) }
            td.number { @match wire.cut { Some(cut) => (feet(cut)), None => span.blank.short {} } }
            td { (wire.goes()) }
        }
    }
}

/// What a wire is for, as the cover says it.
pub(super) fn role(role: Role) -> &'static str {
    match role {
        Role::EquipmentGround => "equipment ground",
        other => other.noun(),
    }
}
