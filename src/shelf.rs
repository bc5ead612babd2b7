//! A pack with the layers over it, for any plan: the layers of the command line, and those that a
//! plan names with `amended by`.

use crate::law::syntax::Pack;
use crate::law::syntax::layer::Layer;
use crate::law::{self, BUILTIN_LAYERS};
use crate::packs::{self, DiskError, Held};
use crate::plan::syntax::{Keyword, Plan, TokenKind};
use crate::text::{FileId, Problem, Sources};
use crate::{Rules, plan};
use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

/// Where layers that plans name are looked for, within a pack's folder.
const LAYERS: &str = "layers";

/// Largest layer, in bytes: the longest that were met in the wild have a hundredth of it.
const MAX_LAYER: u64 = 256 * 1024;

/// Rule files, read once, and what is made of them for plans of this or that place.
#[derive(Debug)]
pub struct Shelf {
    sources: Sources,
    /// Of the built-in pack only when a layer asks for it: compiled it is there already.
    base: OnceLock<Pack>,
    problems: Vec<Problem>,
    /// The folder of the pack; none for the built-in one.
    folder: Option<PathBuf>,
    /// The layers of the command line.
    own: Vec<LayerFile>,
    /// Texts that an editor holds.
    held: Held,
    made: Mutex<HashMap<Vec<PathBuf>, Arc<Rules>>>,
}

/// A layer's file, not read yet.
#[derive(Clone, Debug)]
struct LayerFile {
    path: PathBuf,
    text: String,
}

impl Shelf {
    /// The built-in pack, or the one in `folder`, with the layers in these files. An error is a
    /// folder or file that can't be read; what is wrong inside stands in the rules.
    pub fn open(folder: Option<&Path>, layers: &[PathBuf]) -> Result<Shelf, DiskError> {
        Shelf::open_with(folder, layers, Held::new())
    }

    /// The same, with texts that an editor holds in place of what the disk has.
    pub fn open_with(folder: Option<&Path>, layers: &[PathBuf], held: Held) -> Result<Shelf, DiskError> {
        let mut sources = Sources::default();
        let (base, problems) = match folder {
            Some(folder) => {
                let loaded = packs::from_folder_with(folder, &mut sources, &held)?;
                (OnceLock::from(loaded.pack), loaded.problems)
            }
            None => (OnceLock::new(), Vec::new()),
        };
        let own = layers.iter().map(|path| read(path, &held)).collect::<Result<Vec<_>, _>>()?;
        Ok(Shelf { sources, base, problems, folder: folder.map(Path::to_path_buf), own, held, made: Mutex::default() })
    }

    /// Whether the pack in the folder defines nothing at all, and no line of it is at fault for that.
    pub fn is_empty(&self) -> bool {
        self.problems.is_empty() && self.base.get().is_some_and(Pack::is_empty)
    }

    /// The rules for plans that name no layer.
    pub fn rules(&self) -> Arc<Rules> {
        self.made(&self.own)
    }

    /// The rules for a plan: with the layers that it names. One that is not found is told in the
    /// report of the plan. `path` is where the plan stands; layers are looked for beside it after
    /// the folder `layers` of the pack.
    pub fn rules_for(&self, text: &str, path: &Path) -> Arc<Rules> {
        let named = named_in(text);
        let mut files = self.own.clone();
        for name in named {
            if let Some(file) = self.find(&name, path)
                && !files.iter().any(|f| f.path == file.path)
            {
                files.push(file);
            }
        }
        self.made(&files)
    }

    /// The files that the layers of a plan come from, for whoever watches them.
    pub fn layer_files(&self, text: &str, path: &Path) -> Vec<PathBuf> {
        let named = named_in(text);
        let found = named.iter().filter_map(|name| self.find(name, path));
        self.own.iter().cloned().chain(found).map(|file| file.path).collect()
    }

    fn made(&self, files: &[LayerFile]) -> Arc<Rules> {
        let key: Vec<PathBuf> = files.iter().map(|file| file.path.clone()).collect();
        let mut made = self.made.lock().unwrap_or_else(PoisonError::into_inner);
        let rules = made.entry(key).or_insert_with(|| Arc::new(self.make(files)));
        rules.clone()
    }

    fn make(&self, files: &[LayerFile]) -> Rules {
        if files.is_empty() && self.folder.is_none() {
            return Rules::builtin();
        }
        let mut sources = self.sources.clone();
        let base = self.base.get_or_init(|| law::builtin(&mut Sources::default()));
        if self.folder.is_none() {
            law::builtin(&mut sources);
        }
        let mut layers: Vec<Layer> = Vec::new();
        let mut amiss = Vec::new();
        for file in files {
            let id = sources.add(file.path.display().to_string(), file.text.clone());
            let (layer, problems) = law::read_layer(id, &file.text);
            layers.extend(layer);
            amiss.extend(problems);
        }
        Rules::amended(sources, base, self.problems.clone(), &layers, amiss)
    }

    /// The file of a layer that a plan names: in the pack's folder of layers, then beside the plan.
    fn find(&self, name: &str, plan: &Path) -> Option<LayerFile> {
        // A plan from a stranger must not make the program read all over a disk.
        let is_plain =
            Path::new(name).components().count() == 1 && !name.starts_with('.') && !name.contains(['/', '\\']);
        if !is_plain {
            return None;
        }
        let file = if name.ends_with(".rule") { name.to_string() } else { format!("{name}.rule") };
        let beside = plan.parent().unwrap_or(Path::new(""));
        let own = self.folder.as_ref().map(|folder| folder.join(LAYERS));
        let built_in = || {
            let wanted = format!("{LAYERS}/{file}");
            let found = BUILTIN_LAYERS.iter().filter(|_| self.folder.is_none()).find(|(name, _)| *name == wanted);
            found.map(|(name, text)| LayerFile { path: PathBuf::from(format!("rules/{name}")), text: (*text).into() })
        };
        let first = own.map(|folder| folder.join(&file)).and_then(|path| read(&path, &self.held).ok());
        first.or_else(built_in).or_else(|| read(&beside.join(&file), &self.held).ok())
    }
}

fn read(path: &Path, held: &Held) -> Result<LayerFile, DiskError> {
    let text = packs::text_or_held(path, MAX_LAYER, held)?;
    Ok(LayerFile { path: path.to_path_buf(), text })
}

/// The layers that the text of a plan names.
fn named_in(text: &str) -> Vec<String> {
    // Most plans name none, and to read one takes as long as to judge it.
    let says_amended = text.as_bytes().windows(7).any(|word| word.eq_ignore_ascii_case(b"amended"));
    if says_amended { named(&plan::read(FileId(u32::MAX), text)) } else { Vec::new() }
}

/// The layers that a plan names, each once, as written.
pub fn named(plan: &Plan) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    let items = plan.items.iter().filter(|item| matches!(item.keyword, Keyword::Shop | Keyword::Work));
    for phrase in items.flat_map(|item| &item.lines).flat_map(|line| &line.phrases) {
        let [amended, by, rest @ ..] = phrase.tokens.as_slice() else { continue };
        if amended.is("amended") && by.is("by") {
            let words = rest.iter().filter(|token| token.kind != TokenKind::Comma).map(|token| token.text.as_str());
            let name = words.collect::<Vec<_>>().join(" ");
            if !name.is_empty() && !names.contains(&name) {
                names.push(name);
            }
        }
    }
    names
}

/// Whether a layer is the one that a plan names: by its own name or by that of its file.
pub(crate) fn is_named(name: &str, layer: &str, file: &str) -> bool {
    let bare = name.strip_suffix(".rule").unwrap_or(name);
    let stem = Path::new(file).file_stem().map(|stem| stem.to_string_lossy());
    bare == layer || stem.is_some_and(|stem| stem == bare)
}
