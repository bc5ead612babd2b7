//! The rule files of the repository compile together, held to what the built-in pack is held to.

use ringout::law::{self, BUILTIN_FILES, Demands};
use ringout::text::{Problem, Sources};

fn shown(sources: &Sources, problem: &Problem) -> String {
    let place = sources.place(problem.span);
    let help = problem.help.as_deref().unwrap_or_default();
    format!("{}:{}:{}: {} ({help})", place.file, place.line, place.column, problem.message)
}

/// Two exceptions whose examples are still to be written; the list may only shrink.
fn is_known_lack(problem: &Problem) -> bool {
    let lacks = ["`example pass except high-volts`", "`example pass except counted-outside`"];
    lacks.iter().any(|lack| problem.message.ends_with(&format!("{lack} missing")))
}

#[test]
fn the_pack_compiles() {
    let mut sources = Sources::default();
    let mut pack = law::builtin(&mut sources);
    law::builtin_examples(&mut pack);
    let demands = Demands { strict_files: BUILTIN_FILES.len() as u32, examples: true };
    let (code, problems) = law::compile_with(&pack, demands);
    let complaints = problems.iter().filter(|p| !is_known_lack(p)).map(|p| shown(&sources, p)).collect::<Vec<_>>();
    assert!(complaints.is_empty(), "{}", complaints.join("\n"));
    assert_eq!(code.tables.len(), pack.tables.len());
    assert_eq!(code.defines.len(), pack.defines.len());
    assert_eq!(code.rules.len(), pack.rules.len());
}

/// Whatever is taken out of the pack is missed by what spoke of it, and what is left still compiles.
#[test]
fn what_is_taken_out_is_missed() {
    let pack = law::builtin(&mut Sources::default());
    let whole = law::compile(&pack).0;
    let shown = |code: &law::code::Code| {
        code.sheets.iter().map(|s| s.figures.len() + usize::from(s.only.is_some())).sum::<usize>()
    };
    let mut taken_out = 0;
    for place in (0..pack.tables.len()).step_by(3) {
        let mut less = pack.clone();
        let name = less.tables.remove(place).name.node;
        let (code, problems) = law::compile(&less);
        let missed = format!("there is no table `{name}`");
        let is_kind = |message: &str| message == missed || message == format!("`{name}` is not known");
        assert!(problems.iter().any(|problem| is_kind(&problem.message)), "{name}: {problems:#?}");
        assert!(code.rules.len() <= whole.rules.len() && code.defines.len() < whole.defines.len() + 1);
        taken_out += 1;
    }
    for place in (0..pack.defines.len()).step_by(7) {
        let mut less = pack.clone();
        let name = less.defines.remove(place).name.node;
        let (code, problems) = law::compile(&less);
        let is_used = code.rules.len() < whole.rules.len() || code.defines.len() + 1 < whole.defines.len();
        let is_used = is_used || shown(&code) < shown(&whole);
        let is_missed = problems.iter().any(|problem| problem.message.contains(&format!("`{name}`")));
        assert_eq!(is_used, is_missed, "{name}: {problems:#?}");
        taken_out += 1;
    }
    for place in (0..pack.facts.len()).step_by(11) {
        let mut less = pack.clone();
        let name = less.facts.remove(place).word.name.node;
        let (code, problems) = law::compile(&less);
        assert!(code.rules.len() < whole.rules.len(), "{name} is used by some rule");
        assert!(problems.iter().all(|problem| problem.message.contains(&name)), "{name}: {problems:#?}");
        taken_out += 1;
    }
    assert!(taken_out > 40, "{taken_out}");
}
