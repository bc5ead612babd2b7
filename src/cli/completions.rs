//! `ringout completions`.

use super::args::{Completions, Ringout};
use super::{End, output};
use clap::CommandFactory;

/// Prints completions for a shell, from the one definition of the command line.
pub fn run(args: &Completions) -> End {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut Ringout::command(), "ringout", &mut script);
    End::of(output::print_text(&String::from_utf8_lossy(&script)))
}
