//! Rule packs on disk: reading a folder of `.rule` files, and writing the built-in pack out for editing.
//!
//! The rule language itself knows no file system; this is where the two meet.

use crate::law::{self, syntax::Pack};
use crate::text::{Problem, Sources};
use std::collections::HashMap;
use std::fmt;
use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Deepest folder, most files and largest file that are read: a pack has some dozens, and a
/// mistyped path must not read a whole disk.
const MAX_DEPTH: usize = 8;
const MAX_FILES: usize = 2_000;
const MAX_BYTES: u64 = 4 * 1024 * 1024;

/// Layers stand in this folder of a pack and are read when they are asked for.
const LAYERS: &str = "layers";

/// A pack, and what was wrong with its files.
#[derive(Clone, Debug, Default)]
pub struct Loaded {
    /// What could be read.
    pub pack: Pack,
    /// Everything that could not, in the order of the files.
    pub problems: Vec<Problem>,
}

/// A file or folder that could not be read or written.
#[derive(Debug)]
pub struct DiskError {
    /// Which.
    pub path: PathBuf,
    /// Why, in a few words that go on from the path.
    pub why: String,
}

impl fmt::Display for DiskError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.path.display(), self.why)
    }
}

impl std::error::Error for DiskError {}

fn refused(path: &Path, why: impl Into<String>) -> DiskError {
    DiskError { path: path.to_path_buf(), why: why.into() }
}

fn failed(path: &Path) -> impl FnOnce(io::Error) -> DiskError {
    move |error| refused(path, reason(&error))
}

/// The system's reason without its number, which says nothing to anybody.
pub fn reason(error: &io::Error) -> String {
    let text = error.to_string();
    text.split(" (os error").next().unwrap_or(&text).to_lowercase()
}

/// The built-in pack without its examples (see [`law::builtin_examples`]). It was found without
/// problems when the program was built.
pub fn builtin(sources: &mut Sources) -> Loaded {
    Loaded { pack: law::builtin(sources), problems: Vec::new() }
}

/// Every `.rule` file of a folder and the folders in it, in the order of their names; or one file.
///
/// Problems in the files are listed in [`Loaded`]; an error is a folder that can't be read, holds no
/// rule file, leads back into itself, or is too large to be a pack.
pub fn from_folder(path: &Path, sources: &mut Sources) -> Result<Loaded, DiskError> {
    from_folder_with(path, sources, &Held::new())
}

/// Texts that somebody is writing, in place of what the disk holds, by the real paths of their files.
pub type Held = HashMap<PathBuf, Arc<str>>;

/// The same, with texts that are held.
pub fn from_folder_with(path: &Path, sources: &mut Sources, held: &Held) -> Result<Loaded, DiskError> {
    let mut loaded = Loaded::default();
    for path in files(path)? {
        let text = text_or_held(&path, MAX_BYTES, held)?;
        let file = sources.add(path.display().to_string(), text.as_str());
        let (pack, problems) = law::read(file, &text);
        loaded.pack.join(pack);
        loaded.problems.extend(problems);
    }
    Ok(loaded)
}

/// The rule files that [`from_folder`] reads, in its order, with its errors.
pub fn files(path: &Path) -> Result<Vec<PathBuf>, DiskError> {
    let mut files = Vec::new();
    if fs::metadata(path).map_err(failed(path))?.is_dir() {
        walk(path, &mut Vec::new(), &mut files)?;
        if files.is_empty() {
            return Err(refused(path, "no `.rule` file is in this folder"));
        }
    } else {
        files.push(path.to_path_buf());
    }
    Ok(files)
}

/// The rule files of a folder of layers, itself alone and in order; none where it can't be read.
pub fn layers(folder: &Path) -> Vec<PathBuf> {
    let here = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
    let entries = fs::read_dir(here).into_iter().flatten().filter_map(Result::ok).map(|entry| entry.file_name());
    let mut files: Vec<PathBuf> =
        entries.map(|name| folder.join(name)).filter(|path| path.extension().is_some_and(|e| e == "rule")).collect();
    files.sort();
    files.truncate(MAX_FILES);
    files
}

/// Adds the rule files of a folder. `above` are the real places of the folders it stands in: a link
/// that leads back to one of them would never end.
fn walk(folder: &Path, above: &mut Vec<PathBuf>, files: &mut Vec<PathBuf>) -> Result<(), DiskError> {
    let real = fs::canonicalize(folder).map_err(failed(folder))?;
    if above.contains(&real) {
        return Err(refused(folder, "this link leads back to a folder that it stands in"));
    }
    if above.len() >= MAX_DEPTH {
        return Err(refused(folder, format!("folders go more than {MAX_DEPTH} deep here")));
    }
    above.push(real);
    let mut entries = fs::read_dir(folder)
        .and_then(|entries| entries.map(|entry| entry.map(|e| e.path())).collect::<io::Result<Vec<_>>>())
        .map_err(failed(folder))?;
    entries.sort();
    for path in entries {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        if name.starts_with('.') {
            continue;
        }
        let kind = fs::metadata(&path).map_err(failed(&path))?;
        if kind.is_dir() {
            if !(above.len() == 1 && name == LAYERS) {
                walk(&path, above, files)?;
            }
        } else if kind.is_file() && path.extension().is_some_and(|e| e == "rule") {
            if files.len() >= MAX_FILES {
                return Err(refused(folder, format!("more than {MAX_FILES} rule files are here")));
            }
            files.push(path);
        }
    }
    above.pop();
    Ok(())
}

/// The path without links and detours, so that two names of one file are one.
pub fn real(path: &Path) -> PathBuf {
    fs::canonicalize(path).unwrap_or_else(|_| path.to_path_buf())
}

/// The text of a rule file, as it is held or as the disk has it.
pub(crate) fn text_or_held(path: &Path, most: u64, held: &Held) -> Result<String, DiskError> {
    let found = if held.is_empty() { None } else { held.get(&real(path)) };
    found.map_or_else(|| text_of(path, most), |text| Ok(text.to_string()))
}

/// The text of a rule file of at most so many bytes.
pub(crate) fn text_of(path: &Path, most: u64) -> Result<String, DiskError> {
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(most.saturating_add(1)).read_to_end(&mut bytes))
        .map_err(failed(path))?;
    if bytes.len() as u64 > most {
        return Err(refused(path, "this file is too large for a rule file"));
    }
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        refused(path, format!("byte {at} is no UTF-8 text; save the file as UTF-8"))
    })
}

/// Writes the built-in pack to a folder, for editing: every rule file and the manual. Nothing is
/// overwritten: the folder must not be there yet, or be empty. It is written whole or not at all.
pub fn export(folder: &Path) -> Result<usize, DiskError> {
    match fs::read_dir(folder) {
        Ok(mut entries) => {
            if entries.next().is_some() {
                return Err(refused(folder, "this folder is not empty; give one that is not there yet"));
            }
            fs::remove_dir(folder).map_err(failed(folder))?;
        }
        Err(error) if error.kind() == io::ErrorKind::NotFound => {}
        Err(error) => return Err(failed(folder)(error)),
    }
    let name = folder.file_name().ok_or_else(|| refused(folder, "this is no name for a folder"))?;
    let draft = folder.with_file_name(format!(".{}.part-{}", name.to_string_lossy(), std::process::id()));
    let written = write_all(&draft).and_then(|count| {
        fs::rename(&draft, folder).map_err(failed(folder))?;
        Ok(count)
    });
    if written.is_err() {
        // What stands half written goes; if even that fails, the first error is the one to tell.
        let _ = fs::remove_dir_all(&draft);
    }
    written
}

fn write_all(draft: &Path) -> Result<usize, DiskError> {
    fs::create_dir_all(draft.parent().unwrap_or(Path::new(""))).map_err(failed(draft))?;
    fs::create_dir(draft).map_err(failed(draft))?;
    let manual = [("README.md", include_str!("../rules/README.md"))];
    for (name, text) in law::BUILTIN_FILES.iter().chain(law::BUILTIN_LAYERS).chain(&manual) {
        let path = draft.join(name);
        fs::create_dir_all(path.parent().unwrap_or(draft)).map_err(failed(&path))?;
        fs::write(&path, text).map_err(failed(&path))?;
    }
    Ok(law::BUILTIN_FILES.iter().chain(law::BUILTIN_LAYERS).count())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A folder of its own for one test, taken away at the end.
    struct Folder(PathBuf);

    impl Folder {
        fn new(name: &str) -> Folder {
            let path = std::env::temp_dir().join(format!("ringout-packs-{name}-{}", std::process::id()));
            let _ = fs::remove_dir_all(&path);
            fs::create_dir_all(&path).unwrap();
            Folder(path)
        }

        fn write(&self, name: &str, text: impl AsRef<[u8]>) {
            let path = self.0.join(name);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, text).unwrap();
        }
    }

    impl Drop for Folder {
        fn drop(&mut self) {
            let _ = fs::remove_dir_all(&self.0);
        }
    }

    fn why(path: &Path) -> String {
        from_folder(path, &mut Sources::default()).unwrap_err().why
    }

    #[test]
    fn a_folder_is_read_in_order_with_its_problems() {
        let folder = Folder::new("order");
        folder.write("b.rule", "value y: 2\n");
        folder.write("a.rule", "value x: 1\nvalu z: 3\n");
        folder.write("sub/c.rule", "value w: 4\n");
        folder.write("layers/city.rule", "layer city \"A city\"\n");
        folder.write(".hidden/d.rule", "nonsense");
        folder.write("notes.txt", "nonsense");
        let mut sources = Sources::default();
        sources.add("shop.shop", "shop");
        let loaded = from_folder(&folder.0, &mut sources).unwrap();
        let names: Vec<_> = loaded.pack.values.iter().map(|value| value.name.node.as_str()).collect();
        assert_eq!(names, ["x", "y", "w"]);
        assert_eq!(loaded.problems.len(), 1);
        let place = sources.place(loaded.problems[0].span);
        assert!(place.file.ends_with("a.rule") && place.line == 2, "{place:?}");
        let one = from_folder(&folder.0.join("b.rule"), &mut sources).unwrap();
        assert_eq!(one.pack.values.len(), 1);
    }

    #[test]
    fn what_is_no_pack_is_refused() {
        let folder = Folder::new("refused");
        assert_eq!(why(&folder.0), "no `.rule` file is in this folder");
        folder.write("a.rule", [b'#', 0xFF]);
        assert_eq!(why(&folder.0), "byte 1 is no UTF-8 text; save the file as UTF-8");
        folder.write("a.rule", vec![b'#'; MAX_BYTES as usize + 1]);
        assert_eq!(why(&folder.0), "this file is too large for a rule file");
        folder.write("a.rule", "");
        let size = |path: &Path| from_folder(path, &mut Sources::default()).map(|loaded| loaded.problems.len());
        folder.write("a.rule", vec![b'\n'; MAX_BYTES as usize]);
        assert_eq!(size(&folder.0).unwrap(), 0, "as large as may be");
        folder.write("a.rule", "");
        folder.write(&format!("{}a.rule", "x/".repeat(MAX_DEPTH - 1)), "value deepest: 1\n");
        assert_eq!(from_folder(&folder.0, &mut Sources::default()).unwrap().pack.values.len(), 1);
        folder.write(&format!("{}a.rule", "x/".repeat(MAX_DEPTH)), "");
        assert_eq!(why(&folder.0), "folders go more than 8 deep here");
        assert!(from_folder(&folder.0.join("missing"), &mut Sources::default()).is_err());
    }

    #[test]
    fn a_folder_holds_so_many_rule_files() {
        let folder = Folder::new("files");
        (0..MAX_FILES).for_each(|n| folder.write(&format!("{n}.rule"), format!("value v{n}: 1\n")));
        assert_eq!(from_folder(&folder.0, &mut Sources::default()).unwrap().pack.values.len(), MAX_FILES);
        assert_eq!(layers(&folder.0).len(), MAX_FILES);
        folder.write("one-more.rule", "");
        assert_eq!(why(&folder.0), "more than 2000 rule files are here");
        assert_eq!(layers(&folder.0).len(), MAX_FILES, "no more are watched");
    }

    #[cfg(unix)]
    #[test]
    fn a_link_that_leads_back_is_refused() {
        let folder = Folder::new("loop");
        folder.write("sub/a.rule", "value x: 1\n");
        std::os::unix::fs::symlink(&folder.0, folder.0.join("sub/back")).unwrap();
        assert_eq!(why(&folder.0), "this link leads back to a folder that it stands in");
        fs::remove_file(folder.0.join("sub/back")).unwrap();
        std::os::unix::fs::symlink(folder.0.join("sub"), folder.0.join("too")).unwrap();
        assert_eq!(from_folder(&folder.0, &mut Sources::default()).unwrap().pack.values.len(), 2);
    }

    /// What is exported and read back is the built-in pack.
    #[test]
    fn an_exported_pack_reads_back_the_same() {
        let folder = Folder::new("export");
        let out = folder.0.join("new/my-rules");
        let count = export(&out).unwrap();
        assert!(count > 20 && out.join("README.md").is_file(), "{count}");
        let loaded = from_folder(&out, &mut Sources::default()).unwrap();
        assert!(loaded.problems.is_empty(), "{:?}", loaded.problems);
        let built_in = builtin(&mut Sources::default()).pack;
        let names = |pack: &Pack| {
            let mut names: Vec<_> = pack.rules.iter().map(|r| r.name.node.clone()).collect();
            names.extend(pack.defines.iter().map(|d| d.name.node.clone()));
            names.extend(pack.tables.iter().map(|t| t.name.node.clone()));
            names.sort();
            names
        };
        assert_eq!(names(&loaded.pack), names(&built_in));
    }

    /// A folder with something in it stays as it is, and nothing half written is left beside it.
    #[test]
    fn export_overwrites_nothing() {
        let folder = Folder::new("keep");
        folder.write("mine/a.rule", "# mine\n");
        let error = export(&folder.0.join("mine")).unwrap_err();
        assert_eq!(error.why, "this folder is not empty; give one that is not there yet");
        assert_eq!(fs::read_to_string(folder.0.join("mine/a.rule")).unwrap(), "# mine\n");
        fs::create_dir(folder.0.join("empty")).unwrap();
        assert!(export(&folder.0.join("empty")).is_ok());
        let mut left: Vec<_> = fs::read_dir(&folder.0).unwrap().map(|e| e.unwrap().file_name()).collect();
        left.sort();
        assert_eq!(left, ["empty", "mine"]);
    }
}
