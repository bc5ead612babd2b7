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
