//! `ringout manual`.

use super::args::Ringout;
use super::{End, output};
use clap::{Command, CommandFactory};

/// Prints the manual page: the program, then each command.
pub fn run() -> End {
    let mut command = Ringout::command();
    command.build();
    let mut page = Vec::new();
    let mut written = clap_mangen::Man::new(command.clone()).render(&mut page);
    for sub in subcommands(&command) {
        let man = clap_mangen::Man::new(sub.clone());
        written = written
            .and_then(|()| man.render_name_section(&mut page))
            .and_then(|()| man.render_synopsis_section(&mut page))
            .and_then(|()| man.render_options_section(&mut page))
            .and_then(|()| man.render_extra_section(&mut page));
    }
    match written {
        Ok(()) => End::of(output::print_text(&String::from_utf8_lossy(&page))),
        Err(error) => End::of(output::complain(&format!("can't write the manual: {error}"))),
    }
}

fn subcommands(command: &Command) -> Vec<&Command> {
    let own = command.get_subcommands().filter(|c| c.get_name() != "help");
    own.flat_map(|c| std::iter::once(c).chain(c.get_subcommands().filter(|s| s.get_name() != "help"))).collect()
}
