//! `ringout rules check`.

use crate::cli::args::{RuleSource, RulesCheck};
use crate::cli::{End, files, output};
use ringout::law;
use ringout::report::problems;
use ringout::selftest::{self, Strictness, Unnoticed};
use ringout::text::{Problem, Severity, Sources};

/// Compiles the rules, runs every example, and shows what is wrong with its place.
pub fn run(args: &RulesCheck) -> End {
    let bare = RuleSource { layer: Vec::new(), ..args.source.clone() };
    let Some((rules, are_read)) = files::rules(&bare, &args.printing) else { return End::Wrong };
    let mut pack = rules.pack().clone();
    if args.source.rules.is_none() {
        law::builtin_examples(&mut pack);
    }
    if !args.source.layer.is_empty() {
        return super::layer::check(args, &pack);
    }
    let outcomes = selftest::run(&pack, &rules.code);
    // In the pack of the program a rule that is not tried out is refused; a user is only told.
    let strict_files = if args.source.rules.is_none() { law::BUILTIN_FILES.len() as u32 } else { 0 };
    let (_, problems) = law::compile_with(&pack, law::Demands { strict_files, examples: true });
    let failures = outcomes.iter().filter(|o| o.failure.is_some()).count();
    // Errors of the rules alone were shown when they were read.
    let is_new = |p: &Problem| p.severity == Severity::Warning || !rules.problems.contains(p);
    let proved =
        law::proof::problems(&pack, &rules.code.vocabulary).into_iter().chain(selftest::idle(&pack, &outcomes));
    let failed = outcomes.iter().filter_map(|o| o.failure.clone());
    let found: Vec<Problem> = failed.chain(problems.into_iter().filter(is_new)).chain(proved).collect();
    output::print_problems(&problems::problems(&found, &rules.sources, output::look_of_errors(&args.printing)));
    let text = format!(
        "{} rules, {} tables, {} formulas and terms, {} examples: {}\n",
        rules.code.rules.len(),
        rules.code.tables.len(),
        rules.code.defines.len(),
        outcomes.len(),
        if failures == 0 {
            "every example comes out as it says".to_string()
        } else {
            format!("{failures} come out otherwise")
        },
    );
    let is_fine = !found.iter().any(|p| p.severity == Severity::Error);
    let text = if args.strict { text + &strict(&selftest::strictness(&pack), &rules.sources) } else { text };
    End::of(output::print(&args.printing, &text) && are_read && is_fine)
}

/// Every change that no example noticed, then the count.
pub(super) fn strict(strictness: &Strictness, sources: &Sources) -> String {
    let Strictness { tried, unnoticed } = strictness;
    let mut text = String::new();
    for Unnoticed { block, span, change } in unnoticed {
        text.push_str(&format!("{}: {block}: no example notices {change}\n", problems::at(sources, *span)));
    }
    let noticed = tried.saturating_sub(unnoticed.len());
    // In tenths of a percent, rounded down: a share that may only rise must not be rounded up.
    let share = noticed.saturating_mul(1000).checked_div(*tried).unwrap_or(1000);
    text.push_str(&format!(
        "{noticed} of {tried} changes are noticed by an example ({}.{} percent)\n",
        share / 10,
        share % 10
    ));
    text
}
