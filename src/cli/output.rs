//! Where text goes, and what to do when it can't.

use super::args::{Printing, When};
use ringout::report::Look;
use std::fs::{self, File, OpenOptions};
use std::io::{self, IsTerminal, Write};
use std::path::{Path, PathBuf};

/// How text is laid out for where it goes: the terminal's width, or a sheet's for a file or pipe.
pub fn look(printing: &Printing) -> Look {
    let is_terminal = printing.output.is_none() && io::stdout().is_terminal();
    let width = match terminal_size::terminal_size() {
        Some((terminal_size::Width(columns), _)) if is_terminal => columns as usize,
        _ => Look::USUAL,
    };
    let color = match printing.color {
        When::Always => true,
        When::Never => false,
        When::Auto => is_terminal && std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty()),
    };
    Look::new(width, color)
}

/// The same for standard error, where problems with rule files go.
pub fn look_of_errors(printing: &Printing) -> Look {
    look_of_errors_colored(printing.color)
}

/// The same for commands that print no report.
pub fn look_of_errors_colored(color: When) -> Look {
    let is_terminal = io::stderr().is_terminal();
    let color = match color {
        When::Always => true,
        When::Never => false,
        When::Auto => is_terminal && std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty()),
    };
    let width = terminal_size::terminal_size().filter(|_| is_terminal).map_or(Look::USUAL, |(w, _)| w.0 as usize);
    Look::new(width, color)
}

/// Prints to where it was asked to go. Says on standard error what went wrong, and whether all
/// is well: a reader that stopped reading is no error.
pub fn print(printing: &Printing, text: &str) -> bool {
    if printing.quiet {
        return true;
    }
    match &printing.output {
        None => print_text(text),
        Some(path) => replace(path, text),
    }
}

/// Prints text that is no report, such as a plan, to standard output.
pub fn print_text(text: &str) -> bool {
    let mut out = io::stdout().lock();
    is_printed(out.write_all(text.as_bytes()).and_then(|()| out.flush()))
}

/// Whether printing went well; says here what went wrong. A reader that stopped reading is no error.
pub fn is_printed(printed: io::Result<()>) -> bool {
    match printed {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
            complain(&format!("can't print: {}", reason(&error)))
        }
        _ => true,
    }
}

/// Puts new text in a file's place, whole or not at all.
pub fn replace(path: &Path, text: &str) -> bool {
    match write_whole(path, text) {
        Ok(()) => true,
        Err(error) => complain(&format!("can't write {}: {}", path.display(), reason(&error))),
    }
}

pub use ringout::packs::reason;

/// Says what was done, and whether that could be said.
pub fn say(message: &str) -> bool {
    print_text(&ringout::report::printable(message))
}

/// Says what went wrong. Always `false`, for the caller to hand on.
pub fn complain(message: &str) -> bool {
    // Nobody is left to be told when standard error is gone too.
    let _ = writeln!(io::stderr().lock(), "ringout: {}", ringout::report::printable(message));
    false
}

/// Prints problems that belong to no report, as they are.
pub fn print_problems(text: &str) {
    // As above.
    let _ = io::stderr().lock().write_all(text.as_bytes());
}

/// Writes a file whole or not at all: to a new file beside it that then takes its name and rights.
fn write_whole(path: &Path, text: &str) -> io::Result<()> {
    // A pipe or device has no name to take over: it is written into.
    let path = &behind_links(path)?;
    let old = fs::metadata(path).ok();
    if old.as_ref().is_some_and(|m| !m.is_file()) {
        return fill(OpenOptions::new().write(true).open(path)?, text, false);
    }
    if path.file_name().is_none() {
        return Err(io::Error::other("this is no name of a file"));
    }
    // The target's own name may be as long as a name can be.
    let beside = path.with_file_name(format!(".ringout-{}.part", std::process::id()));
    let file = OpenOptions::new().write(true).create_new(true).open(&beside)?;
    let rights = old.map_or(Ok(()), |m| file.set_permissions(m.permissions()));
    let written = rights.and_then(|()| fill(file, text, true)).and_then(|()| fs::rename(&beside, path));
    if written.is_err() {
        // The half-written file must not stay; the first error is the one to tell.
        let _ = fs::remove_file(&beside);
    }
    written
}

/// The file that a path leads to, also where it is not there yet: a link stays a link.
fn behind_links(path: &Path) -> io::Result<PathBuf> {
    match fs::canonicalize(path) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => {}
        found => return found,
    }
    let mut path = path.to_path_buf();
    // A row of links that leads back into itself was refused above.
    while let Ok(next) = fs::read_link(&path) {
        path = path.parent().unwrap_or(Path::new("")).join(next);
    }
    Ok(path)
}

fn fill(mut file: File, text: &str, is_new: bool) -> io::Result<()> {
    file.write_all(text.as_bytes())?;
    if is_new { file.sync_all() } else { Ok(()) }
}
