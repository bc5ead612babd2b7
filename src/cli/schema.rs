//! `ringout schema`.

use super::args::Schema;
use super::{End, output};
use ringout::report::schemas;

/// Prints the schema of one document, or the names of those that have one.
pub fn run(args: &Schema) -> End {
    let text = match &args.document {
        Some(wanted) => schemas::ALL.iter().filter(|s| s.name == wanted).map(|s| s.text).collect(),
        None => schemas::ALL.iter().map(|s| format!("{:<10} {}\n", s.name, s.command)).collect::<String>(),
    };
    End::of(output::print_text(&text))
}
