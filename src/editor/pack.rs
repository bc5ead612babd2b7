//! Which pack a rule file belongs to, with open texts in place of what the disk holds.

use super::model::RuleModel;
use crate::Rules;
use crate::packs::{self, DiskError};
use crate::text::{FileId, Sources};
use std::collections::HashMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Texts that are open, by the real path of the file that they are of.
pub type Open = HashMap<PathBuf, Arc<str>>;

/// The pack in a folder or file, and the numbers of its files.
pub fn read(folder: &Path, open: &Open) -> Result<(Rules, HashMap<PathBuf, FileId>), DiskError> {
    let mut sources = Sources::default();
    let mut numbers = HashMap::new();
    let loaded = packs::from_folder_with(folder, &mut sources, |path, file| {
        let real = real(path);
        numbers.insert(real.clone(), file);
        open.get(&real).map(|text| text.to_string())
    })?;
    Ok((Rules::new(sources, loaded.pack, loaded.problems), numbers))
}

/// A rule file among the files of its pack: of `own`, where that folder holds it, else of the folder
/// that it stands in. A file that is on no disk yet is a pack by itself.
pub fn of_file(path: Option<&Path>, name: &str, text: &str, own: Option<&Path>, open: &Open) -> RuleModel {
    let found = path.and_then(|path| {
        let path = real(path);
        let root = own.map(real).filter(|own| path.starts_with(own)).unwrap_or_else(|| root(&path));
        let (rules, numbers) = read(&root, open).ok()?;
        let file = *numbers.get(&path)?;
        Some(RuleModel { rules: Arc::new(rules), file })
    });
    found.unwrap_or_else(|| RuleModel::alone(name, text))
}

/// The outermost folder above a file whose rule files form one pack with it: `rules/` of `rules/tables/wire.rule`.
fn root(path: &Path) -> PathBuf {
    let mut root = path.parent().unwrap_or(path);
    while let Some(above) = root.parent().filter(|above| holds_rules(above)) {
        root = above;
    }
    root.to_path_buf()
}

fn holds_rules(folder: &Path) -> bool {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    entries.map(|e| e.path()).any(|p| p.extension().is_some_and(|e| e == "rule"))
}

/// The path without links and detours, so that two names of one file are one.
pub fn real(path: &Path) -> PathBuf {
    fs::canonicalize(path).unwrap_or_else(|_| path.to_path_buf())
}

/// The rules that plans are held against: the built-in ones, or those of a folder.
pub fn in_force(own: Option<&Path>, open: &Open) -> Result<Rules, DiskError> {
    match own {
        None => Ok(Rules::builtin()),
        Some(folder) => read(folder, open).map(|(rules, _)| rules),
    }
}
