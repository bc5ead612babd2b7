//! `ringout editor`.

use super::args::Editor;
use super::{End, output};
use std::io;

/// Serves an editor over standard input and output until it says that it is done.
pub fn run(args: &Editor) -> End {
    let input = io::BufReader::new(io::stdin());
    let from = ringout::editor::From { folder: args.source.rules.clone(), layers: args.source.layer.clone() };
    match ringout::editor::serve(input, &mut io::stdout().lock(), from) {
        // The protocol has its own exit status: 1 for an editor that went away without a word.
        Ok(is_well) => {
            if is_well {
                End::Fine
            } else {
                End::Attention
            }
        }
        Err(error) => End::of(output::complain(&format!("can't read the rules: {error}"))),
    }
}
