//! What it comes to when fewer wires were pulled than the plan needs: which load then fails, and how.

use crate::shop::{ItemRef, Shop};
use crate::wiring::joints::Wire;
use crate::wiring::{Fault, FaultKind, Role, Wiring, lacking};

/// Loads that one sentence names.
const MOST_LOADS: usize = 3;

/// A sentence for each run that lacks a wire by what was pulled. Which wire it is that lacks may be open:
/// then each that it can be is told. One more for all runs where it was not worked out.
pub(super) fn lacks(shop: &Shop, wiring: &Wiring, is_wanted: impl Fn(&str) -> bool) -> Vec<String> {
    let (mut all, mut untold) = (Vec::new(), Vec::new());
    let lacking = lacking(shop, wiring);
    for lack in lacking.iter().filter(|lack| is_wanted(&shop.head(lack.run).name)) {
        let mut told: Vec<(String, String)> = Vec::new();
        for case in &lack.cases {
            let what = called(shop, wiring, &case.wire);
            if !told.iter().any(|(known, _)| *known == what) {
                told.push((what, outcome(shop, &case.faults)));
            }
        }
        let cases: Vec<String> = told.iter().map(|(what, then)| format!("without {what}, {then}")).collect();
        let run = &shop.head(lack.run).name;
        match cases.is_empty() {
            true => untold.push(run.as_str()),
            false => all.push(format!("{run} lacks a wire by what was pulled: {}", cases.join("; or "))),
        }
    }
    if !untold.is_empty() {
        let lack = if untold.len() == 1 { "lacks" } else { "lack" };
        let left = lacking.iter().filter(|lack| lack.cases.is_empty()).count();
        let (runs, of) = (untold.join(", "), lacking.len());
        all.push(format!(
            "{runs} {lack} wires by what was pulled, too; what fails then was not worked out: {left} of {of} runs were left untried"
        ));
    }
    all
}

/// `the traveler of C1`.
fn called(shop: &Shop, wiring: &Wiring, wire: &Wire) -> String {
    let circuits = wiring.nets.get(wire.net as usize).map(|n| n.circuits.as_slice()).unwrap_or_default();
    let names: Vec<&str> = circuits.iter().map(|c| shop.head(*c).name.as_str()).collect();
    let article = if wire.role == Role::Traveler { "one" } else { "the" };
    format!("{article} {} of {}", wire.role.noun(), names.join(" and "))
}

/// What then happens, load by load, each once.
fn outcome(shop: &Shop, found: &[Fault]) -> String {
    let mut seen: Vec<ItemRef> = Vec::new();
    let mut all: Vec<String> = Vec::new();
    for fault in found {
        let Some(text) = consequence(fault.kind) else { continue };
        if !seen.contains(&fault.item) {
            seen.push(fault.item);
            if seen.len() <= MOST_LOADS {
                all.push(format!("{} {text}", shop.head(fault.item).name));
            }
        }
    }
    match seen.len().saturating_sub(MOST_LOADS) {
        _ if all.is_empty() => "nothing that is drawn fails".to_string(),
        0 => all.join(", "),
        more => format!("{}, and so for {more} more", all.join(", ")),
    }
}

/// What a fault means at a load; none for those of runs and joints.
fn consequence(kind: FaultKind) -> Option<&'static str> {
    Some(match kind {
        FaultKind::OverVoltage => "may get the voltage of both legs, in series with a load of the other one",
        FaultKind::ControlUnfed => "has no power for its own control",
        FaultKind::NeverOn => "never gets power",
        FaultKind::AlwaysOn => "is on whichever way its switches stand",
        FaultKind::WrongControl => "does not follow its switches",
        FaultKind::LiveWhenOff => "stays live when its switch is off",
        FaultKind::NeutralOpen => "has no way back for its current",
        FaultKind::NeutralSwitched => "has its way back switched",
        FaultKind::Reversed => "has hot and neutral exchanged",
        FaultKind::Untried => "hangs on too many switches to be tried",
        _ => return None,
    })
}
