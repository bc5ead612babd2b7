//! The pack that comes with the program, as `build.rs` left it.

use super::code::Code;
use super::syntax::{Examples, Pack};
use super::{compile, read};
use crate::text::{FileId, Sources};

/// The files of the built-in pack: their names within `rules/` and their texts, in the order they were read.
pub const BUILTIN_FILES: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/files.rs"));

/// The layers that come with the pack, as examples of the form: their names within `rules/` and their texts.
pub const BUILTIN_LAYERS: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/layers.rs"));

static PACK: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/pack"));
static CODE: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/code"));
static EXAMPLES: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/examples"));

/// The built-in pack as it was compiled when the program was built, and its files. The build ends where
/// it has an error.
pub fn builtin_code() -> (Sources, Code) {
    let mut sources = Sources::default();
    match postcard::from_bytes(CODE) {
        Ok(code) => {
            add_files(&mut sources);
            (sources, code)
        }
        Err(_) => {
            let pack = builtin(&mut sources);
            (sources, compile(&pack).0)
        }
    }
}

fn add_files(sources: &mut Sources) -> Vec<(FileId, &'static str)> {
    let add = |(name, text): &(&str, &'static str)| (sources.add_built_in(format!("rules/{name}"), text), *text);
    BUILTIN_FILES.iter().map(add).collect()
}

/// The built-in pack, without the examples of its rules (see [`builtin_examples`]). Its files go into
/// `sources`; where `sources` is not empty they get other numbers than they were stored under, and the
/// texts are read instead, which takes some tens of milliseconds.
pub fn builtin(sources: &mut Sources) -> Pack {
    let is_first = sources.is_empty();
    let files = add_files(sources);
    if is_first && let Ok(pack) = postcard::from_bytes(PACK) {
        return pack;
    }
    let mut pack = Pack::default();
    for (file, text) in files {
        pack.join(read(file, text).0);
    }
    Examples::taken_from(&mut pack);
    pack
}

/// Puts the examples of the built-in rules and their shared plan lines back into a pack that began
/// with [`builtin`] on empty sources, for whoever runs them.
pub fn builtin_examples(pack: &mut Pack) {
    if let Ok(examples) = postcard::from_bytes::<Examples>(EXAMPLES) {
        examples.put_back(pack);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::Severity;

    fn read_now(sources: &mut Sources) -> Pack {
        let mut pack = Pack::default();
        for (name, text) in BUILTIN_FILES {
            let (read, problems) = read(sources.add(*name, *text), text);
            assert!(problems.is_empty(), "{name}: {problems:?}");
            pack.join(read);
        }
        pack
    }

    fn stored(pack: &Pack) -> Vec<u8> {
        postcard::to_stdvec(pack).unwrap()
    }

    /// What was stored when the program was built is what the reader makes of the files, examples included.
    #[test]
    fn stored_pack_is_what_its_files_say() {
        let mut sources = Sources::default();
        let mut pack = builtin(&mut sources);
        builtin_examples(&mut pack);
        assert_eq!(sources.len(), BUILTIN_FILES.len());
        assert_eq!(stored(&pack), stored(&read_now(&mut Sources::default())));
        let first = pack.tables.first().unwrap();
        assert!(sources.text(first.span).starts_with("table "));
    }

    /// So is what was stored compiled, to the last letter of its messages.
    #[test]
    fn stored_code_is_what_the_pack_compiles_to() {
        let (sources, code) = builtin_code();
        let (compiled, problems) = compile(&builtin(&mut Sources::default()));
        assert!(problems.iter().all(|problem| problem.severity != Severity::Error), "{problems:?}");
        assert_eq!(sources.len(), BUILTIN_FILES.len());
        assert_eq!(format!("{code:?}"), format!("{compiled:?}"));
        assert!(code.rules.len() > 100 && code.tables.len() > 10);
    }

    /// Behind other files the spans still point into the right ones.
    #[test]
    fn it_may_come_second() {
        let mut sources = Sources::default();
        sources.add("shop.shop", "shop");
        let pack = builtin(&mut sources);
        assert!(pack.tables.iter().all(|table| sources.text(table.span).starts_with("table ")));
        assert!(pack.defines.len() > 100);
    }
}
