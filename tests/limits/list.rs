//! Every limit of the program by name, with the test that meets it from both sides, or why it needs none: a limit
//! that somebody adds and nobody tests fails here.

use regex::Regex;
use std::collections::BTreeSet;
use std::path::Path;

/// Where a limit is met.
enum Met {
    /// By this test, wherever it stands: what just fits works, one more is told or open.
    By(&'static str),
    /// It cuts short what is shown of something, and the output says that there is more, or where the whole stands.
    Shown(&'static str),
    /// Past it something takes longer, or less is told of a verdict that is unknown either way.
    Only(&'static str),
}
use Met::{By, Only, Shown};

const LIMITS: &[(&str, &str, Met)] = &[
    ("cli/files.rs", "LARGEST", By("files_have_a_largest_size")),
    ("cli/watch.rs", "MOST_NAMED", Shown("further changes are counted")),
    ("cli/why.rs", "MOST_ITEMS", Shown("further items are named")),
    ("editor/complete/expect.rs", "LONGEST_VALUE", Only("no choice has a value of more words")),
    ("editor/hover.rs", "MOST_TOLD", Shown("further verdicts are counted")),
    ("editor/wire.rs", "LARGEST", By("limits_of_messages")),
    ("editor/wire.rs", "LONGEST_HEADER", By("limits_of_messages")),
    ("editor/wire.rs", "MOST_HEADERS", By("limits_of_messages")),
    ("law/compile/frame.rs", "MAX_DEPTH", By("limits_of_packs")),
    ("law/compile/frame.rs", "MAX_SLOTS", By("limits_of_packs")),
    ("law/compile/tables.rs", "MAX_CELLS", By("limits_of_rule_files")),
    ("law/compile/vocabulary.rs", "MAX_NAMES", By("a_pack_has_so_many_names_and_no_more")),
    ("law/compile/vocabulary.rs", "MAX_VALUES", By("limits_of_packs")),
    ("law/evaluate/alike.rs", "ANSWERS_CAP", Only("an item past it is tried by itself")),
    ("law/evaluate/alike.rs", "ITEMS_CAP", Only("an item past it is tried by itself")),
    ("law/evaluate/alike.rs", "LOOKS_CAP", Only("an item past it is tried by itself")),
    ("law/evaluate/finish.rs", "ALSO_CAP", Only("further places of one finding")),
    ("law/evaluate/index.rs", "DENSE_CAP", By("tables_of_any_size_and_width_give_the_same")),
    ("law/evaluate/index.rs", "KEYS_CAP", By("tables_of_any_size_and_width_give_the_same")),
    ("law/evaluate/judge.rs", "RULE_NAMED_CAP", By("so_many_missing_facts_are_named")),
    ("law/evaluate/judge.rs", "RULE_WORK_CAP", By("so_much_is_read_for_one_rule")),
    ("law/evaluate/memo.rs", "RULE_STEPS_CAP", By("a_rule_goes_through_so_much_and_no_more")),
    ("law/evaluate/memo.rs", "STEPS_CAP", By("steps_come_to_an_end")),
    ("law/evaluate/search.rs", "COMPARISON_CAP", Only("two open answers count as different, so a fact more is asked")),
    ("law/evaluate/search.rs", "COMPLETIONS_CAP", By("so_many_completions_are_tried_and_no_more")),
    ("law/evaluate/search.rs", "DEPTH_CAP", By("so_many_facts_are_filled_in_together")),
    ("law/evaluate/search.rs", "ORDER_CAP", Only("missing facts stand in the order in which they were met")),
    ("law/evaluate/search.rs", "PRUNING_CAP", Only("the verdict is unknown already; facts more are asked")),
    ("law/evaluate/search.rs", "PRUNING_WORK_CAP", Only("the verdict is unknown already; facts more are asked")),
    ("law/evaluate/search.rs", "STEPS_CAP", By("so_much_is_gone_through_for_one_verdict")),
    ("law/evaluate/search.rs", "WORK_CAP", By("so_much_is_read_for_one_verdict")),
    ("law/evaluate/split.rs", "COUNT_CAP", By("so_wide_counts_are_parted")),
    ("law/explain/change.rs", "FACTS_CAP", Only("fewer changes of a verdict are told")),
    ("law/explain/change.rs", "PIECES_CAP", Only("an answer is told as unknown")),
    ("law/explain/change.rs", "WORK_CAP", Only("an answer is told as unknown")),
    ("law/explain/clause.rs", "MEMBERS_CAP", Shown("`and so for the others`")),
    ("law/explain/figure.rs", "CANDIDATES_CAP", Only("a figure is told between its two ends")),
    ("law/explain/quantity.rs", "TERMS_CAP", Shown("`and others`")),
    ("law/explain/show.rs", "MORE_CAP", Only("digits of a quantity")),
    ("law/explain/tree.rs", "DEPTH_CAP", Only("deeper steps of a derivation; each step has its value")),
    ("law/explain/tree.rs", "STEPS_CAP", Only("further steps of a derivation; each step has its value")),
    ("law/explain/words.rs", "CAP", Shown("further names are counted")),
    ("law/layer/mod.rs", "MOST_LAYERS", By("one_layer_twice_counts_once_and_too_many_are_refused")),
    ("law/read/mod.rs", "MAX_FILE", By("limits_of_rule_files")),
    ("law/read/mod.rs", "MAX_LINES", By("limits_of_rule_files")),
    ("law/read/mod.rs", "MAX_PROBLEMS", By("limits_of_rule_files")),
    ("law/read/parse.rs", "MAX_CLAUSE", By("limits_of_rule_files")),
    ("law/read/parse.rs", "MAX_DEPTH", By("limits_of_rule_files")),
    ("law/read/parse.rs", "MAX_HOLDERS", By("limits_of_rule_files")),
    ("law/read/table.rs", "MAX_SIDES", By("limits_of_rule_files")),
    ("packs.rs", "MAX_BYTES", By("what_is_no_pack_is_refused")),
    ("packs.rs", "MAX_DEPTH", By("what_is_no_pack_is_refused")),
    ("packs.rs", "MAX_FILES", By("a_folder_holds_so_many_rule_files")),
    ("plan/gather.rs", "DEPTH", By("limits_of_plans")),
    ("plan/read.rs", "LARGEST_PLAN", By("limits_of_plans")),
    ("plan/read.rs", "LONGEST_LINE", By("limits_of_plans")),
    ("plan/read.rs", "MOST_PROBLEMS", By("limits_of_plans")),
    ("report/answer.rs", "MOST_ANSWERS", Only("no answer is told of one question")),
    ("report/drawing/joining.rs", "MOST_ENDS", Only("a card goes on in the next")),
    ("report/excerpt.rs", "LONGEST", By("a_long_line_is_cut_around_the_word")),
    ("report/packet/asked.rs", "MOST_INLINE", Only("a list in place of a paragraph")),
    ("report/packet/asked.rs", "MOST_LETTERS", Shown("further letters are counted")),
    ("report/packet/figures.rs", "MOST_COLUMNS", Only("a table goes on in the next")),
    ("report/packet/figures.rs", "MOST_STEPS", Shown("further steps are counted")),
    ("report/packet/frame.rs", "LONGEST_HEAD", Shown("the cover has the whole name")),
    ("report/packet/frame.rs", "MOST_PLACES", Shown("items are counted by their kinds")),
    ("report/packet/materials.rs", "MOST_NAMED", Shown("further places are counted")),
    ("report/problems.rs", "LARGEST_SNIPPET", By("far_places_do_not_drag_the_file_along")),
    ("report/problems.rs", "MOST_SHOWN", By("so_many_problems_are_shown_and_no_more")),
    ("report/question.rs", "MOST_FACTS", Only("a question more")),
    ("report/text/takeoff.rs", "MOST_NAMED", Shown("further places are counted")),
    ("report/text/why.rs", "MOST_INDENTED", Only("deeper steps are not indented further")),
    ("report/text/why.rs", "MOST_STEPS", Shown("`why` has all steps")),
    ("report/text/wires.rs", "MOST_ROWS", By("so_many_positions_are_printed")),
    ("report/wires/pulled.rs", "MOST_LOADS", By("so_many_failing_loads_are_named")),
    ("shelf.rs", "MAX_LAYER", By("files_have_a_largest_size")),
    ("shop/build/electrodes.rs", "MOST_RODS", By("so_many_rods_in_one_line")),
    ("shop/build/items.rs", "MOST_ITEMS", By("a_plan_of_too_many_items_is_cut")),
    ("shop/build/mod.rs", "MOST_PROBLEMS", By("so_many_problems_of_a_plan_are_kept")),
    ("shop/build/names.rs", "LONGEST_RANGE", By("limits_of_plans")),
    ("shop/build/pulled.rs", "MOST_WIRES", By("so_many_wires_in_one_phrase")),
    ("wiring/boxes.rs", "MOST", By("so_many_cables_enter_a_box")),
    ("wiring/hang.rs", "FARTHEST", By("so_many_lie_before_or_behind_a_device")),
    ("wiring/lacking.rs", "MOST_RUNS", By("so_many_lacking_wires_are_tried")),
    ("wiring/lacking.rs", "MOST_WIRES", By("so_many_lacking_wires_are_tried")),
    ("wiring/lists.rs", "MOST_POSSIBLE", By("so_many_possible_places_are_listed")),
    ("wiring/panels.rs", "MOST_FEEDERS", By("so_many_feeders_lie_behind_one")),
    ("wiring/panels.rs", "MOST_GATHERED", By("so_many_circuits_are_gathered_behind_all_feeders")),
    ("wiring/panels.rs", "MOST_POSSIBLE", By("so_many_possible_outlets_of_a_panel_are_gathered")),
    ("wiring/readings.rs", "MOST_ASKED", By("so_many_mixtures_are_read")),
    ("wiring/readings.rs", "MOST_MIXED", By("so_many_mixtures_are_read")),
    ("wiring/readings.rs", "MOST_READINGS", By("so_many_mixtures_are_read")),
    ("wiring/remarks.rs", "MOST_SPACES", By("free_spaces_of_a_panel_are_listed_up_to_a_number")),
    ("wiring/simulate.rs", "MOST_IN_TABLE", By("so_many_switches_stand_in_one_table")),
    ("wiring/spread.rs", "LONGEST", By("so_many_runs_lead_to_a_device")),
    ("wiring/trial.rs", "MOST_SWITCHES", By("so_many_switches_are_tried")),
];

/// Every file of Rust in a folder: its path from there, and its text.
fn sources(folder: &Path, root: &Path, found: &mut Vec<(String, String)>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, root, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            let file = path.strip_prefix(root).unwrap().display().to_string();
            found.push((file, std::fs::read_to_string(&path).unwrap()));
        }
    }
}

#[test]
fn every_limit_is_met_or_needs_no_test() {
    let limit = Regex::new(
        r"(?m)^\s*(?:pub(?:\([a-z :]+\))? )?const ((?:MOST|LONGEST|LARGEST|FARTHEST|DEEPEST|MAX|DEPTH)(?:_[A-Z_]+)?|(?:[A-Z_]+_)?CAP): [iu](?:size|\d+)\b",
    )
    .unwrap();
    let test = Regex::new(r"#\[test\]\s+fn ([a-z0-9_]+)\(").unwrap();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = Vec::new();
    sources(&root.join("src"), &root.join("src"), &mut files);
    let limits = |(file, text): &(String, String)| -> Vec<(String, String)> {
        limit.captures_iter(text).map(|c| (file.clone(), c[1].to_string())).collect()
    };
    let found: BTreeSet<(String, String)> = files.iter().flat_map(limits).collect();
    let told: BTreeSet<(String, String)> =
        LIMITS.iter().map(|(file, name, _)| (file.to_string(), name.to_string())).collect();
    assert_eq!(told.len(), LIMITS.len(), "one stands here twice");
    let (untold, gone): (Vec<_>, Vec<_>) = (found.difference(&told).collect(), told.difference(&found).collect());
    assert!(untold.is_empty(), "limits in src that stand in no test: {untold:?}");
    assert!(gone.is_empty(), "limits that are in src no more: {gone:?}");
    sources(&root.join("tests"), root, &mut files);
    let tests: BTreeSet<&str> =
        files.iter().flat_map(|(_, text)| test.captures_iter(text)).filter_map(|c| Some(c.get(1)?.as_str())).collect();
    for (file, name, met) in LIMITS {
        match met {
            By(own) => assert!(tests.contains(own), "{file} {name}: there is no test `{own}`"),
            Shown(why) | Only(why) => assert!(!why.is_empty(), "{file} {name}"),
        }
    }
}
