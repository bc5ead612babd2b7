//! `ringout directory`.

use super::args::{ListFormat, Sheet};
use super::{End, files, output};
use ringout::report::{directory, text};

/// Prints the directory of each panel.
pub fn run(args: &Sheet) -> End {
    let Some((rules, rules_are_read)) = files::rules(&args.source, &args.printing) else { return End::Wrong };
    let Some(input) = files::plan(&args.plan) else { return End::Wrong };
    let checked = super::without_verdicts(&rules, &input);
    let all = directory::directories(&rules, &checked);
    let text = match args.format {
        ListFormat::Text => text::directory(&all, &checked.sources, output::look(&args.printing)),
        ListFormat::Json => match directory::json::pretty(&input.name, &all, &checked.sources) {
            Ok(json) => json + "\n",
            Err(error) => return End::of(output::complain(&format!("can't write JSON: {error}"))),
        },
    };
    let printed = output::print(&args.printing, &text);
    End::of(printed && rules_are_read && super::is_read(&checked, &args.printing))
}
