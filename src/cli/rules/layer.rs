//! `ringout rules check --layer`.

use super::check::strict;
use crate::cli::args::RulesCheck;
use crate::cli::{End, files, output};
use ringout::law::syntax::Pack;
use ringout::law::syntax::layer::Layer;
use ringout::report::problems;
use ringout::report::text::counted;
use ringout::selftest;
use ringout::text::{Problem, Sources};
use ringout::{Rules, law};

/// Applies each layer to the pack by itself, runs its examples with it and without it, and then
/// applies all of them together.
pub fn check(args: &RulesCheck, base: &Pack) -> End {
    let Some(shelf) = files::shelf(&args.source) else { return End::Wrong };
    let together = shelf.rules();
    let (layers, unread) = layers(&together);
    let mut found: Vec<Problem> = unread;
    found.extend(together.amiss.iter().cloned());
    let mut text = String::new();
    for layer in &layers {
        let outcomes = selftest::run_layer(base, layer, &layers);
        let failures = outcomes.iter().filter(|outcome| outcome.failure.is_some()).count();
        let edits: usize = layer.changes.iter().map(|change| change.edits.len()).sum();
        text.push_str(&format!(
            "{}: {}, {}, {}: {}\n",
            layer.title,
            counted(edits, "edit"),
            counted(layer.pack.rules.len(), "new rule"),
            counted(outcomes.len(), "example"),
            if failures == 0 {
                "every example comes out as it says".to_string()
            } else {
                format!("{failures} come out otherwise")
            },
        ));
        found.extend(outcomes.into_iter().filter_map(|outcome| outcome.failure));
        if args.strict {
            text.push_str(&strict(&selftest::layer_strictness(base, layer, &layers), &together.sources));
        }
    }
    // What the layers make of the rules together; what the base has by itself was told of it.
    let own = law::proof::problems(base, &together.code.vocabulary);
    let is_new = |problem: &Problem| !own.iter().any(|o| o.span == problem.span && o.message == problem.message);
    found.extend(law::proof::problems(together.pack(), &together.code.vocabulary).into_iter().filter(is_new));
    found.dedup();
    output::print_problems(&problems::problems(&found, &together.sources, output::look_of_errors(&args.printing)));
    End::of(output::print(&args.printing, &text) && found.is_empty() && !layers.is_empty())
}

/// The layers of the command line, read again by themselves.
fn layers(rules: &Rules) -> (Vec<Layer>, Vec<Problem>) {
    let (mut layers, mut problems) = (Vec::new(), Vec::new());
    let files: Vec<_> = files_of(&rules.sources, rules);
    for (file, text) in files {
        let (layer, wrong) = law::read_layer(file, text);
        layers.extend(layer);
        problems.extend(wrong);
    }
    (layers, problems)
}

fn files_of<'s>(sources: &'s Sources, rules: &Rules) -> Vec<(ringout::text::FileId, &'s str)> {
    let of_layers = rules.layers.iter().map(|layer| layer.span.file);
    let mut files: Vec<_> = of_layers.filter_map(|file| Some((file, sources.get(file)?.text.as_ref()))).collect();
    files.sort_by_key(|(file, _)| *file);
    files
}
