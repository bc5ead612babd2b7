//! Every limit of the program by name, with the test that meets it from both sides, or why it needs none: a limit
//! that somebody adds and nobody tests fails here.

use regex::Regex;
use std::collections::BTreeSet;
use std::path::Path;

/// Where a limit is met.
enum Met {
    /// By this test in this file: what just fits works, one more is told or open.
    By(&'static str, &'static str),
    /// It cuts short what is shown of something, and the output says that there is more, or where the whole stands.
    Shown(&'static str),
    /// Past it something takes longer, or less is told of a verdict that is unknown either way.
    Only(&'static str),
}
use Met::{By, Only, Shown};

const MAIN: &str = "tests/limits/main.rs";
const WIRING: &str = "tests/limits/wiring.rs";
const JUDGING: &str = "tests/limits/judging.rs";

const LIMITS: &[(&str, &str, Met)] = &[
    ("cli/files.rs", "LARGEST", By("tests/faults.rs", "files_have_a_largest_size")),
    ("cli/watch.rs", "MOST_NAMED", Shown("further changes are counted")),
    ("cli/why.rs", "MOST_ITEMS", Shown("further items are named")),
    ("editor/complete/expect.rs", "LONGEST_VALUE", Only("no choice has a value of more words")),
    ("editor/hover.rs", "MOST_TOLD", Shown("further verdicts are counted")),
    ("editor/wire.rs", "LARGEST", By("src/editor/wire.rs", "limits_of_messages")),
    ("editor/wire.rs", "LONGEST_HEADER", By("src/editor/wire.rs", "limits_of_messages")),
    ("editor/wire.rs", "MOST_HEADERS", By("src/editor/wire.rs", "limits_of_messages")),
    ("law/compile/frame.rs", "MAX_DEPTH", By(MAIN, "limits_of_packs")),
    ("law/compile/frame.rs", "MAX_SLOTS", By(MAIN, "limits_of_packs")),
    ("law/compile/tables.rs", "MAX_CELLS", By(MAIN, "limits_of_rule_files")),
    ("law/compile/vocabulary.rs", "MAX_NAMES", By(MAIN, "a_pack_has_so_many_names_and_no_more")),
    ("law/compile/vocabulary.rs", "MAX_VALUES", By(MAIN, "limits_of_packs")),
    ("law/evaluate/alike.rs", "ANSWERS_CAP", Only("an item past it is tried by itself")),
    ("law/evaluate/alike.rs", "ITEMS_CAP", Only("an item past it is tried by itself")),
    ("law/evaluate/alike.rs", "LOOKS_CAP", Only("an item past it is tried by itself")),
    ("law/evaluate/finish.rs", "ALSO_CAP", Only("further places of one finding")),
    ("law/evaluate/index.rs", "DENSE_CAP", By(JUDGING, "tables_of_any_size_and_width_give_the_same")),
    ("law/evaluate/index.rs", "KEYS_CAP", By(JUDGING, "tables_of_any_size_and_width_give_the_same")),
    ("law/evaluate/judge.rs", "RULE_NAMED_CAP", By(JUDGING, "so_many_missing_facts_are_named")),
    ("law/evaluate/judge.rs", "RULE_WORK_CAP", By(JUDGING, "so_much_is_read_for_one_rule")),
    ("law/evaluate/memo.rs", "RULE_STEPS_CAP", By(MAIN, "a_rule_goes_through_so_much_and_no_more")),
    ("law/evaluate/memo.rs", "STEPS_CAP", By("src/law/evaluate/memo.rs", "steps_come_to_an_end")),
    ("law/evaluate/search.rs", "COMPARISON_CAP", Only("two open answers count as different, so a fact more is asked")),
    ("law/evaluate/search.rs", "COMPLETIONS_CAP", By(MAIN, "so_many_completions_are_tried_and_no_more")),
    ("law/evaluate/search.rs", "DEPTH_CAP", By(JUDGING, "so_many_facts_are_filled_in_together")),
    ("law/evaluate/search.rs", "ORDER_CAP", Only("missing facts stand in the order in which they were met")),
    ("law/evaluate/search.rs", "PRUNING_CAP", Only("the verdict is unknown already; facts more are asked")),
    ("law/evaluate/search.rs", "PRUNING_WORK_CAP", Only("the verdict is unknown already; facts more are asked")),
    ("law/evaluate/search.rs", "STEPS_CAP", By(JUDGING, "so_much_is_gone_through_for_one_verdict")),
    ("law/evaluate/search.rs", "WORK_CAP", By(JUDGING, "so_much_is_read_for_one_verdict")),
    ("law/evaluate/split.rs", "COUNT_CAP", By("src/law/evaluate/split.rs", "so_wide_counts_are_parted")),
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
    (
        "law/layer/mod.rs",
        "MOST_LAYERS",
        By("src/law/layer/tests.rs", "one_layer_twice_counts_once_and_too_many_are_refused"),
    ),
    ("law/read/mod.rs", "MAX_FILE", By(MAIN, "limits_of_rule_files")),
    ("law/read/mod.rs", "MAX_LINES", By(MAIN, "limits_of_rule_files")),
    ("law/read/mod.rs", "MAX_PROBLEMS", By(MAIN, "limits_of_rule_files")),
    ("law/read/parse.rs", "MAX_CLAUSE", By(MAIN, "limits_of_rule_files")),
    ("law/read/parse.rs", "MAX_DEPTH", By(MAIN, "limits_of_rule_files")),
    ("law/read/parse.rs", "MAX_HOLDERS", By(MAIN, "limits_of_rule_files")),
    ("law/read/table.rs", "MAX_SIDES", By(MAIN, "limits_of_rule_files")),
    ("packs.rs", "MAX_BYTES", By("src/packs.rs", "what_is_no_pack_is_refused")),
    ("packs.rs", "MAX_DEPTH", By("src/packs.rs", "what_is_no_pack_is_refused")),
    ("packs.rs", "MAX_FILES", By("src/packs.rs", "a_folder_holds_so_many_rule_files")),
    ("plan/gather.rs", "DEPTH", By(MAIN, "limits_of_plans")),
    ("plan/read.rs", "LARGEST_PLAN", By(MAIN, "limits_of_plans")),
    ("plan/read.rs", "LONGEST_LINE", By(MAIN, "limits_of_plans")),
    ("plan/read.rs", "MOST_PROBLEMS", By(MAIN, "limits_of_plans")),
    ("report/answer.rs", "MOST_ANSWERS", Only("no answer is told of one question")),
    ("report/drawing/joining.rs", "MOST_ENDS", Only("a card goes on in the next")),
    ("report/excerpt.rs", "LONGEST", By("src/report/excerpt.rs", "a_long_line_is_cut_around_the_word")),
    ("report/packet/asked.rs", "MOST_INLINE", Only("a list in place of a paragraph")),
    ("report/packet/asked.rs", "MOST_LETTERS", Shown("further letters are counted")),
    ("report/packet/figures.rs", "MOST_COLUMNS", Only("a table goes on in the next")),
    ("report/packet/figures.rs", "MOST_STEPS", Shown("further steps are counted")),
    ("report/packet/frame.rs", "LONGEST_HEAD", Shown("the cover has the whole name")),
    ("report/packet/frame.rs", "MOST_PLACES", Shown("items are counted by their kinds")),
    ("report/packet/materials.rs", "MOST_NAMED", Shown("further places are counted")),
    ("report/problems.rs", "LARGEST_SNIPPET", By("src/report/problems.rs", "far_places_do_not_drag_the_file_along")),
    ("report/problems.rs", "MOST_SHOWN", By(MAIN, "so_many_problems_are_shown_and_no_more")),
    ("report/question.rs", "MOST_FACTS", Only("a question more")),
    ("report/text/takeoff.rs", "MOST_NAMED", Shown("further places are counted")),
    ("report/text/why.rs", "MOST_INDENTED", Only("deeper steps are not indented further")),
    ("report/text/why.rs", "MOST_STEPS", Shown("`why` has all steps")),
    ("report/text/wires.rs", "MOST_ROWS", Shown("further positions are counted")),
    ("report/wires/pulled.rs", "MOST_LOADS", Shown("further loads are counted")),
    ("shelf.rs", "MAX_LAYER", By("tests/faults.rs", "files_have_a_largest_size")),
    ("shop/build/electrodes.rs", "MOST_RODS", By(WIRING, "so_many_rods_in_one_line")),
    ("shop/build/items.rs", "MOST_ITEMS", By("tests/bad_input.rs", "a_plan_of_too_many_items_is_cut")),
    ("shop/build/mod.rs", "MOST_PROBLEMS", By(WIRING, "so_many_problems_of_a_plan_are_kept")),
    ("shop/build/names.rs", "LONGEST_RANGE", By(MAIN, "limits_of_plans")),
    ("shop/build/pulled.rs", "MOST_WIRES", By(WIRING, "so_many_wires_in_one_phrase")),
    ("wiring/boxes.rs", "MOST", By(WIRING, "so_many_cables_enter_a_box")),
    ("wiring/hang.rs", "FARTHEST", By(WIRING, "so_many_lie_before_or_behind_a_device")),
    ("wiring/lacking.rs", "MOST_RUNS", By(WIRING, "so_many_lacking_wires_are_tried")),
    ("wiring/lacking.rs", "MOST_WIRES", By(WIRING, "so_many_lacking_wires_are_tried")),
    ("wiring/lists.rs", "MOST_POSSIBLE", By(WIRING, "so_many_possible_places_are_listed")),
    ("wiring/panels.rs", "MOST_FEEDERS", By(WIRING, "so_many_feeders_lie_behind_one")),
    ("wiring/panels.rs", "MOST_GATHERED", By(WIRING, "so_many_circuits_are_gathered_behind_all_feeders")),
    ("wiring/panels.rs", "MOST_POSSIBLE", By(WIRING, "so_many_possible_outlets_of_a_panel_are_gathered")),
    ("wiring/readings.rs", "MOST_ASKED", By("src/wiring/readings.rs", "so_many_mixtures_are_read")),
    ("wiring/readings.rs", "MOST_MIXED", By("src/wiring/readings.rs", "so_many_mixtures_are_read")),
    ("wiring/readings.rs", "MOST_READINGS", By("src/wiring/readings.rs", "so_many_mixtures_are_read")),
    ("wiring/remarks.rs", "MOST_SPACES", By(WIRING, "free_spaces_of_a_panel_are_listed_up_to_a_number")),
    ("wiring/simulate.rs", "MOST_IN_TABLE", By(WIRING, "so_many_switches_stand_in_one_table")),
    ("wiring/spread.rs", "LONGEST", By(WIRING, "so_many_runs_lead_to_a_device")),
    ("wiring/trial.rs", "MOST_SWITCHES", By(WIRING, "so_many_switches_are_tried")),
];

/// Limits in a folder of sources, by file and name.
fn limits(folder: &Path, root: &Path, found: &mut BTreeSet<(String, String)>) {
    let limit = Regex::new(
        r"(?m)^\s*(?:pub(?:\([a-z :]+\))? )?const ((?:MOST|LONGEST|LARGEST|FARTHEST|DEEPEST|MAX|DEPTH)(?:_[A-Z_]+)?|(?:[A-Z_]+_)?CAP): [iu](?:size|\d+)\b",
    )
    .unwrap();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            limits(&path, root, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            let text = std::fs::read_to_string(&path).unwrap();
            let file = path.strip_prefix(root).unwrap().display().to_string();
            found.extend(limit.captures_iter(&text).map(|c| (file.clone(), c[1].to_string())));
        }
    }
}

#[test]
fn every_limit_is_met_or_needs_no_test() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut found = BTreeSet::new();
    limits(&root.join("src"), &root.join("src"), &mut found);
    let told: BTreeSet<(String, String)> =
        LIMITS.iter().map(|(file, name, _)| (file.to_string(), name.to_string())).collect();
    assert_eq!(told.len(), LIMITS.len(), "one stands here twice");
    let (untold, gone): (Vec<_>, Vec<_>) = (found.difference(&told).collect(), told.difference(&found).collect());
    assert!(untold.is_empty(), "limits in src that stand in no test: {untold:?}");
    assert!(gone.is_empty(), "limits that are in src no more: {gone:?}");
    for (file, name, met) in LIMITS {
        match met {
            By(place, test) => {
                let text = std::fs::read_to_string(root.join(place)).unwrap();
                assert!(
                    text.contains(&format!("#[test]\n    fn {test}()"))
                        || text.contains(&format!("#[test]\nfn {test}()")),
                    "{file} {name}: no test `{test}` is in {place}"
                );
            }
            Shown(why) | Only(why) => assert!(!why.is_empty(), "{file} {name}"),
        }
    }
}
