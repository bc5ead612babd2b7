//! What each position of the switches turns on, and ways that are to be settled.

use super::{SwitchSheet, Writer};
use crate::wiring::{Ask, Load, Table};

impl Writer<'_> {
    pub(super) fn table(&self, table: &Table) -> SwitchSheet {
        let loads: Vec<String> = table.loads.iter().map(|load| self.load(load)).collect();
        let rows = table.rows.iter().map(|row| {
            let words = table.switches.iter().zip(&row.up).map(|(switch, up)| match (switch.has_on, *up) {
                (true, true) => "on",
                (true, false) => "off",
                (false, true) => "up",
                (false, false) => "down",
            });
            let on = loads.iter().zip(&row.on).filter(|(_, on)| **on).map(|(load, _)| load.clone());
            (words.collect(), on.collect())
        });
        let rows = rows.collect();
        SwitchSheet { switches: table.switches.iter().map(|s| self.name(s.item)).collect(), loads, rows }
    }

    fn load(&self, load: &Load) -> String {
        let name = self.name(load.item);
        match self.net(load.half) {
            None => name,
            Some(net) if net.switches.is_empty() => {
                format!("half of {name} on {}", self.names(&net.circuits).join(" and "))
            }
            Some(net) => format!("half of {name} through {}", self.names(&net.switches).join(" and ")),
        }
    }

    pub(super) fn ask(&self, ask: &Ask) -> String {
        let ways: Vec<String> = ask.ways.iter().map(|way| self.names(way).join(", ")).collect();
        format!(
            "Which way goes {} from {} to {}: {}? Say `by way of NAME` in the plan.",
            self.checked.shop.called(ask.circuit),
            self.name(ask.from),
            self.name(ask.to),
            ways.join(", or ")
        )
    }
}
