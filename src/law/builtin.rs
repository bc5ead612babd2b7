//! The pack that comes with the program, as `build.rs` left it.

use super::read;
use super::syntax::{Examples, Pack};
use crate::text::Sources;

/// The files of the built-in pack: their names within `rules/` and their texts, in the order they were read.
pub const BUILTIN_FILES: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/files.rs"));

static PACK: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/pack"));
static EXAMPLES: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/examples"));

/// The built-in pack, without the examples of its rules (see [`builtin_examples`]). Its files go into
/// `sources`; where `sources` is not empty they get other numbers than they were stored under, and the
/// texts are read instead, which takes some tens of milliseconds.
pub fn builtin(sources: &mut Sources) -> Pack {
    let is_first = sources.is_empty();
    let files = BUILTIN_FILES.iter().map(|(name, text)| (sources.add_built_in(format!("rules/{name}"), text), *text));
    let files: Vec<_> = files.collect();
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

    /// Behind other files the spans still point into the right ones.
    #[test]
    fn it_may_come_second() {
        let mut sources = Sources::default();
        sources.add("shop.shop", "shop");
        let pack = builtin(&mut sources);
        assert!(pack.tables.iter().all(|table| sources.text(table.span).starts_with("table ")));
        assert!(pack.defines.len() > 100);
    }

    /// Starting costs no reading of text. Run in release: `cargo test --release --lib loading -- --ignored --nocapture`.
    #[test]
    #[ignore = "a measure of an optimized build"]
    fn loading_takes_a_few_milliseconds_at_most() {
        let once = |_| {
            let began = std::time::Instant::now();
            let pack = builtin(&mut Sources::default());
            (began.elapsed(), pack.rules.len())
        };
        let (best, rules) = (0..50).map(once).min().unwrap();
        println!("{rules} rules in {best:?}, {} bytes", PACK.len());
        assert!(best.as_millis() < 5, "{best:?}");
    }
}
