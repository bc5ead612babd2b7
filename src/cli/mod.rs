//! Arguments to calls, one file a command.

mod args;
mod ask;
mod check;
mod compare;
mod completions;
mod directory;
mod drawing;
mod editor;
mod figures;
mod files;
mod manual;
mod new;
mod output;
mod packet;
mod progress;
mod rules;
mod schema;
mod sheet;
mod takeoff;
mod tidy;
mod watch;
mod why;
mod wires;

use args::{Command, Ringout, RulesCommand};
use clap::{ArgMatches, CommandFactory, FromArgMatches};
use std::fs;
use std::io::{self, Write};
use std::path::PathBuf;
use std::process::ExitCode;

/// How a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum End {
    /// Nothing needs attention.
    Fine,
    /// Something does.
    Attention,
    /// Something could not be read, written or understood.
    Wrong,
}

impl End {
    /// Fine or wrong, for commands that judge nothing.
    fn of(is_fine: bool) -> End {
        if is_fine { End::Fine } else { End::Wrong }
    }
}

/// Does what the command line says.
pub fn run() -> ExitCode {
    let matches = match Ringout::command().try_get_matches() {
        Ok(matches) => matches,
        Err(error) => return told(&error),
    };
    if let Some(path) = overwritten(&matches) {
        output::complain(&format!("{} is what you wrote yourself; a report is not put in its place", path.display()));
        return ExitCode::from(2);
    }
    let command = match Ringout::from_arg_matches(&matches) {
        Ok(ringout) => ringout.command,
        Err(error) => return told(&error),
    };
    let end = match command {
        Command::Check(args) => check::run(&args),
        Command::Ask(args) => ask::run(&args),
        Command::Why(args) => why::run(&args),
        Command::Figures(args) => figures::run(&args),
        Command::Wires(args) => wires::run(&args),
        Command::Drawing(args) => drawing::run(&args),
        Command::Takeoff(args) => takeoff::run(&args),
        Command::Directory(args) => directory::run(&args),
        Command::Packet(args) => packet::run(&args),
        Command::Compare(args) => compare::run(&args),
        Command::Tidy(args) => tidy::run(&args),
        Command::New(args) => new::run(&args),
        Command::Editor(args) => editor::run(&args),
        Command::Schema(args) => schema::run(&args),
        Command::Completions(args) => completions::run(&args),
        Command::Manual => manual::run(),
        Command::Rules(RulesCommand::List(args)) => rules::list::run(&args),
        Command::Rules(RulesCommand::Show(args)) => rules::show::run(&args),
        Command::Rules(RulesCommand::Words(args)) => rules::words::run(&args),
        Command::Rules(RulesCommand::Check(args)) => rules::check::run(&args),
        Command::Rules(RulesCommand::Try(args)) => rules::try_one::run(&args),
        Command::Rules(RulesCommand::Export(args)) => rules::export::run(&args),
    };
    ExitCode::from(match end {
        End::Fine => 0,
        End::Attention => 1,
        End::Wrong => 2,
    })
}

/// Prints help, the version, or what is wrong with the command line.
fn told(error: &clap::Error) -> ExitCode {
    let printed = error.print();
    // When standard error is gone, nobody is left to be told so.
    if error.use_stderr() {
        return ExitCode::from(2);
    }
    ExitCode::from(if output::is_printed(printed.and_then(|()| io::stdout().flush())) { 0 } else { 2 })
}

/// The file that `--output` names, where it is a plan or rule file that is there: a slip of the keys
/// must not cost anybody a plan.
fn overwritten(matches: &ArgMatches) -> Option<PathBuf> {
    let mut command = matches;
    while let Some((_, inner)) = command.subcommand() {
        command = inner;
    }
    let output = command.try_get_one::<PathBuf>("output").ok().flatten()?;
    let real = fs::canonicalize(output).ok()?;
    let inputs = command.ids().filter(|id| id.as_str() != "output");
    let paths = inputs.filter_map(|id| command.try_get_many::<PathBuf>(id.as_str()).ok().flatten()).flatten();
    let is_own = real.extension().is_some_and(|e| e == "shop" || e == "rule");
    let is_read = paths.filter_map(|path| fs::canonicalize(path).ok()).any(|path| path == real);
    (is_own || is_read).then(|| output.clone())
}

/// What to judge.
fn options(judging: &args::Judging) -> ringout::law::Options {
    let stages: Vec<_> = judging.stage.iter().map(|s| s.0).collect();
    ringout::law::Options { stages: (!stages.is_empty()).then_some(stages), ..Default::default() }
}

/// Whether every line of a plan could be used; says on standard error what could not.
fn is_read(checked: &ringout::Checked, printing: &args::Printing) -> bool {
    let all = ringout::report::problems_of_plan(checked).into_iter();
    let errors: Vec<_> = all.filter(|p| p.severity == ringout::text::Severity::Error).collect();
    if !errors.is_empty() {
        let look = output::look_of_errors(printing);
        output::print_problems(&ringout::report::problems::problems(&errors, &checked.sources, look));
    }
    errors.is_empty()
}

/// The rule of a name or alias. Says so where there is none.
fn rule_id(rules: &ringout::Rules, wanted: &str) -> Option<ringout::law::code::RuleId> {
    let all = &rules.code.rules;
    let found = all.iter().position(|rule| rule.is_called(wanted));
    if found.is_none() {
        let struck = rules.edits.iter().find(|e| e.target == wanted && e.part == "rule" && e.verb == "strike");
        if let Some(layer) = struck.and_then(|edit| rules.layers.get(edit.layer)) {
            output::complain(&format!("{wanted} is switched off by {}: {}", layer.name, layer.title));
            return None;
        }
        let names = all.iter().flat_map(|r| std::iter::once(&r.name).chain(&r.texts.aliases)).map(String::as_str);
        let hint = ringout::text::nearest(wanted, names)
            .map_or("; `ringout rules list` names them all".to_string(), |n| format!("; did you mean {n}?"));
        output::complain(&format!("there is no rule {wanted}{hint}"));
    }
    found.map(|index| ringout::law::code::RuleId(index as u32))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// clap's own check of the definitions, and an example in the help of every command.
    #[test]
    fn every_command_shows_an_example() {
        let mut command = Ringout::command();
        command.clone().debug_assert();
        command.build();
        let mut open = vec![command];
        while let Some(command) = open.pop() {
            let help = command.clone().render_long_help().to_string();
            let has_commands = command.has_subcommands();
            assert!(has_commands || help.contains("Example:"), "{}:\n{help}", command.get_name());
            open.extend(command.get_subcommands().filter(|c| c.get_name() != "help").cloned());
        }
        assert!(Ringout::command().render_long_help().to_string().contains("Exit status:"));
    }
}
