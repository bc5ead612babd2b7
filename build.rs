//! Reads and compiles the built-in rule files with the reader and compiler that also take a user's, so
//! that a broken one fails the build and the program starts without reading or compiling any.
#![allow(dead_code, unused_imports)]

#[path = "src/quantity/mod.rs"]
mod quantity;
#[path = "src/text/mod.rs"]
mod text;
#[path = "src/words/mod.rs"]
mod words;
#[path = "src/law"]
mod law {
    pub mod code;
    pub mod compile;
    pub mod read;
    pub mod syntax;
    pub use read::read;

    /// Made by the first look-up; never stored.
    pub mod evaluate {
        #[derive(Debug, Default)]
        pub struct TableIndex;
    }
}
#[path = "src/shop"]
mod shop {
    pub mod value;
    pub use value::{How, ItemRef};

    /// Made for the first plan; never stored.
    #[derive(Debug)]
    pub struct Index;
}

use law::syntax::{Examples, Pack};
use std::error::Error;
use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::{env, fs};
use text::{Severity, Sources};

fn main() -> Result<(), Box<dyn Error>> {
    let root = PathBuf::from(env::var("CARGO_MANIFEST_DIR")?).join("rules");
    println!("cargo::rerun-if-changed={}", root.display());
    let mut files = Vec::new();
    rule_files(&root, "", &mut files)?;

    let mut layers = String::new();
    let mut layer_files = Vec::new();
    if root.join("layers").is_dir() {
        rule_files(&root.join("layers"), "layers/", &mut layer_files)?;
    }
    for name in &layer_files {
        writeln!(layers, "    ({name:?}, include_str!({:?})),", root.join(name).display().to_string())?;
    }

    let mut sources = Sources::default();
    let mut pack = Pack::default();
    let mut problems = Vec::new();
    let mut list = String::new();
    for name in &files {
        let path = root.join(name);
        let text = fs::read_to_string(&path)?;
        let file = sources.add(format!("rules/{name}"), text.clone());
        let (read, found) = law::read(file, &text);
        pack.join(read);
        problems.extend(found);
        writeln!(list, "    ({name:?}, include_str!({:?})),", path.display().to_string())?;
    }
    let examples = Examples::taken_from(&mut pack);
    let (code, found) = law::compile::compile(&pack);
    problems.extend(found);
    for problem in &problems {
        let place = sources.place(problem.span);
        let help = problem.help.as_deref().unwrap_or("");
        eprintln!("{}:{}:{}: {}\n    {help}", place.file, place.line, place.column, problem.message);
    }
    if problems.iter().any(|problem| problem.severity == Severity::Error) {
        return Err("the built-in rules have problems".into());
    }

    let out = PathBuf::from(env::var("OUT_DIR")?);
    fs::write(out.join("pack"), postcard::to_stdvec(&pack)?)?;
    fs::write(out.join("code"), postcard::to_stdvec(&code)?)?;
    fs::write(out.join("examples"), postcard::to_stdvec(&examples)?)?;
    fs::write(out.join("files.rs"), format!("&[\n{list}]\n"))?;
    fs::write(out.join("layers.rs"), format!("&[\n{layers}]\n"))?;
    Ok(())
}

/// The `.rule` files of a folder, sorted, by their names from there. Layers are read when they are asked for.
fn rule_files(folder: &Path, within: &str, found: &mut Vec<String>) -> Result<(), Box<dyn Error>> {
    let mut entries = fs::read_dir(folder)?.collect::<Result<Vec<_>, _>>()?;
    entries.sort_by_key(|entry| entry.file_name());
    for entry in entries {
        let name = format!("{within}{}", entry.file_name().to_string_lossy());
        if entry.file_type()?.is_dir() {
            if name != "layers" {
                rule_files(&entry.path(), &format!("{name}/"), found)?;
            }
        } else if name.ends_with(".rule") {
            found.push(name);
        }
    }
    Ok(())
}
