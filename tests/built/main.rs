//! Wiring as built, held against what its plan asks for: right wiring is left alone, wrong wiring is named.

#![allow(clippy::expect_used, clippy::panic, reason = "a test fails by panicking")]

use ringout::plan;
use ringout::shop::{self, Shop};
use ringout::text::Sources;
use ringout::wiring::joints::{Built, joints};
use ringout::wiring::{self, Fault, FaultKind, Wiring, faults};
use ringout::words::Vocabulary;
use std::sync::Arc;

fn wire(text: &str) -> (Shop, Wiring, Built) {
    let mut sources = Sources::default();
    let file = sources.add("case.shop", text);
    let plan = plan::read(file, text);
    let mut shop = shop::build(&plan, &[], &[], Arc::new(Vocabulary::core()));
    let wiring = wiring::complete(&mut shop);
    let built = joints(&shop, &wiring);
    (shop, wiring, built)
}

fn told(shop: &Shop, fault: &Fault) -> String {
    let name = |item| shop.head(item).name.as_str();
    let with = fault.with.map(|w| format!(" with {}", name(w))).unwrap_or_default();
    format!("{:?} {}{with}", fault.kind, name(fault.item))
}

/// Whatever a plan asks for, built as asked, has nothing wrong; except where the plan itself asks for
/// something wrong.
#[test]
fn wiring_as_planned_has_no_fault() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/cases/switching");
    let mut seen = 0;
    let mut wrong = Vec::new();
    for file in std::fs::read_dir(folder).expect("the folder of cases").map(|f| f.expect("a file").path()) {
        let text = std::fs::read_to_string(&file).expect("a readable case");
        let Some((plan_text, _)) = text.split_once("\nexpect\n") else { continue };
        let (shop, wiring, built) = wire(plan_text);
        seen += 1;
        for fault in faults(&wiring.nets, &built, &built) {
            let case = file.file_stem().unwrap_or_default().to_string_lossy();
            wrong.push(format!("{case} {}", told(&shop, &fault)));
        }
    }
    assert!(seen > 60, "{seen} cases");
    wrong.sort();
    // Both cases ask for two hots of one busbar over one neutral.
    assert_eq!(wrong, ["066 SameLeg C1 with C2", "081 SameLeg C1 with C2"]);
}
