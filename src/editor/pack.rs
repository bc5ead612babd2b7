//! Which pack a rule file belongs to, with open texts in place of what the disk holds.

use super::model::RuleModel;
use crate::law;
use crate::packs::{self, Held, real};
use crate::shelf::Shelf;
use crate::text::{FileId, Sources};
use crate::{Rules, law::syntax::layer::Layer};
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// A rule file among the files of its pack: of `own`, where that folder holds it, else of the folder that it
/// stands in; a layer over the pack that it amends. A file that is on no disk yet is a pack by itself.
pub fn of_file(path: Option<&Path>, name: &str, text: &str, own: Option<&Path>, held: &Held) -> RuleModel {
    let found = path.and_then(|path| {
        let path = real(path);
        match is_layer(text) {
            true => layer(&path, own, held),
            false => part(&path, own, held),
        }
    });
    found.unwrap_or_else(|| alone(name, text))
}

/// Whether a text is one of local amendments: its first block says so.
fn is_layer(text: &str) -> bool {
    let first = text.trim_start_matches('\u{FEFF}').lines().find(|l| !l.trim().is_empty() && !l.starts_with('#'));
    first.and_then(|l| l.split_whitespace().next()) == Some("layer")
}

fn part(path: &Path, own: Option<&Path>, held: &Held) -> Option<RuleModel> {
    let root = own.map(real).filter(|own| path.starts_with(own)).unwrap_or_else(|| root(path));
    let mut sources = Sources::default();
    let loaded = packs::from_folder_with(&root, &mut sources, held).ok()?;
    model(Arc::new(Rules::new(sources, loaded.pack, loaded.problems)), path)
}

/// A layer stands over the rules of the command line, over the pack whose folder of layers it is in, or over
/// the built-in rules.
fn layer(path: &Path, own: Option<&Path>, held: &Held) -> Option<RuleModel> {
    let folder = path.parent().filter(|f| f.file_name().is_some_and(|n| n == "layers")).and_then(Path::parent);
    let folder = own.or(folder.filter(|f| holds_rules(f)));
    let shelf = Shelf::open_with(folder, &[path.to_path_buf()], held.clone()).ok()?;
    model(shelf.rules(), path)
}

fn model(rules: Arc<Rules>, path: &Path) -> Option<RuleModel> {
    let file = rules.sources.iter().position(|source| real(Path::new(&source.name)) == path)?;
    Some(RuleModel { rules, file: FileId(file as u32) })
}

/// A pack of one text, for one that no folder holds.
pub fn alone(name: &str, text: &str) -> RuleModel {
    let mut sources = Sources::default();
    let file = sources.add(name, text);
    let rules = match is_layer(text) {
        true => {
            let (layer, amiss) = law::read_layer(file, text);
            let layers: Vec<Layer> = layer.into_iter().collect();
            Rules::amended(sources, &law::builtin(&mut Sources::default()), Vec::new(), &layers, amiss)
        }
        false => {
            let (pack, problems) = law::read(file, text);
            Rules::new(sources, pack, problems)
        }
    };
    RuleModel { rules: Arc::new(rules), file }
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
