//! What to buy, to be ticked in the store.

use super::asked::Asked;
use super::frame::tick;
use super::{Packet, Sheet};
use crate::report::takeoff::{Line, takeoff};
use crate::report::text::listed;
use maud::{Markup, html};

/// Places that a line names.
const MOST_NAMED: usize = 6;

impl Packet<'_> {
    /// The list, group by group.
    pub(super) fn materials(&self) -> Result<Markup, &'static str> {
        let list = takeoff(self.rules, self.checked);
        if list.lines.is_empty() {
            return Err("The plan names nothing that could be counted.");
        }
        let mut asked = Asked::default();
        let groups: Vec<(&str, Vec<Markup>)> = list
            .lines
            .chunk_by(|a, b| a.group == b.group)
            .filter_map(|lines| Some((lines.first()?.group.name(), lines)))
            .map(|(name, lines)| (name, lines.iter().map(|line| self.material(line, &mut asked)).collect()))
            .collect();
        let open = asked.blank(&list.asks, "wide");
        Ok(self.sheet(
            Sheet::Materials,
            html! {
                table.grid.fixed.dense {
                    colgroup { col style="width:.24in"; col style="width:.62in"; col style="width:.42in"; col style="width:2.45in"; col; }
                    thead { tr {
                        th scope="col" { "" } th.number scope="col" { "quantity" } th scope="col" { "" } th scope="col" { "what" }
                        th scope="col" { "for, and how it was counted" }
                    } }
                    @for (name, rows) in &groups {
                        tbody {
                            tr.group { th colspan="5" scope="rowgroup" { (super::cover::capital(name)) } }
                            @for row in rows { (row) }
                        }
                    }
                }
                @if !list.asks.is_empty() { p.small { "Of the whole list: " (open) } }
                (self.asked(&asked))
                h3 { "What the list leaves out" }
                @for remark in &list.remarks { p.small { (remark) } }
            },
        ))
    }

    fn material(&self, line: &Line, asked: &mut Asked) -> Markup {
        let of: Vec<&str> = line.of.iter().map(String::as_str).collect();
        let letters = asked.letters(&line.asks);
        html! {
            tr {
                td { (tick()) }
                td.number {
                    @match line.told() { Some(told) => (told), None => span.blank.short {} }
                    (letters)
                }
                td { (line.unit) }
                td { (line.item) }
                td { (listed(&of, MOST_NAMED)) @if !of.is_empty() && !line.how.is_empty() { "; " } (line.how) }
            }
        }
    }
}
