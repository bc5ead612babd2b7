//! `ringout takeoff`.

use super::args::{ListFormat, Sheet};
use super::{End, files, output};
use ringout::report::{takeoff, text};

/// Prints the materials list.
pub fn run(args: &Sheet) -> End {
    let Some((rules, rules_are_read)) = files::rules(&args.source, &args.printing) else { return End::Wrong };
    let Some(input) = files::plan(&args.plan) else { return End::Wrong };
    let checked = super::without_verdicts(&rules, &input);
    let list = takeoff::takeoff(&rules, &checked);
    let text = match args.format {
        ListFormat::Text => text::takeoff(&list, &checked.sources, output::look(&args.printing)),
        ListFormat::Json => match takeoff::json::pretty(&input.name, &list, &checked.sources) {
            Ok(json) => json + "\n",
            Err(error) => return End::of(output::complain(&format!("can't write JSON: {error}"))),
        },
    };
    let printed = output::print(&args.printing, &text);
    End::of(printed && rules_are_read && super::is_read(&checked, &args.printing))
}
