//! `ringout rules export`.

use crate::cli::args::RulesExport;
use crate::cli::{End, output};
use ringout::packs;

/// Writes the built-in rules and their manual to a folder that is not there yet.
pub fn run(args: &RulesExport) -> End {
    match packs::export(&args.folder) {
        Ok(count) => {
            let folder = args.folder.display();
            End::of(output::say(&format!(
                "{count} files in {folder}; begin with {folder}/README.md. When you have edited them:\n  \
                 ringout rules check --rules {folder}\n  ringout check --rules {folder} PLAN\n"
            )))
        }
        Err(error) => End::of(output::complain(&format!("can't write the rules: {error}"))),
    }
}
