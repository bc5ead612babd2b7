//! `ringout tidy`.

use super::args::Tidy;
use super::{End, files, output};
use ringout::report::problems;
use ringout::text::{FileId, Problem, Sources};
use ringout::{Rules, plan, shop};
use std::path::Path;

/// Puts plans into their one form, or only says which are not in it.
pub fn run(args: &Tidy) -> End {
    let mut end = End::Fine;
    for path in &args.plans {
        end = worse(end, one(args, path));
    }
    end
}

fn one(args: &Tidy, path: &Path) -> End {
    let Some(input) = files::plan(path) else { return End::Wrong };
    let tidied = match plan::tidy(&input.text) {
        Ok(tidied) => tidied,
        Err(found) => return refuse(args, &input, &found),
    };
    // Tidying must change nothing but the look; a plan for which that can't be shown is left alone.
    if plan::tidy(&tidied).as_deref() != Ok(tidied.as_str()) || !says_the_same(&input.text, &tidied) {
        return End::of(output::complain(&format!(
            "{} is left as it is: tidied, it might say something else",
            input.name
        )));
    }
    let is_tidy = tidied == input.text;
    if args.check {
        return match is_tidy {
            true => End::Fine,
            false if output::say(&format!("{} is not tidy\n", input.name)) => End::Attention,
            false => End::Wrong,
        };
    }
    if path == Path::new("-") {
        return End::of(output::print_text(&tidied));
    }
    match is_tidy {
        true => End::Fine,
        false => End::of(output::replace(path, &tidied)),
    }
}

/// Whether two plans say the same: the same phrases, and, since those are only words, one model.
fn says_the_same(one: &str, other: &str) -> bool {
    let vocabulary = Rules::builtin().code.vocabulary;
    let model = |text| shop::build(&plan::read(FileId(0), text), &[], &[], vocabulary.clone());
    plan::says_the_same(one, other) && model(one).says_the_same(&model(other))
}

/// Says which lines can't be read: nothing is written over what nobody understands.
fn refuse(args: &Tidy, input: &files::Input, found: &[Problem]) -> End {
    let mut sources = Sources::default();
    sources.add(input.name.as_str(), input.text.as_str());
    output::print_problems(&problems::problems(found, &sources, output::look_of_errors_colored(args.color)));
    End::of(output::complain(&format!("{} is left as it is", input.name)))
}

fn worse(a: End, b: End) -> End {
    match (a, b) {
        (End::Wrong, _) | (_, End::Wrong) => End::Wrong,
        (End::Attention, _) | (_, End::Attention) => End::Attention,
        _ => End::Fine,
    }
}
