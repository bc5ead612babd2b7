//! `ringout figures`.

use super::args::{Figures, ListFormat};
use super::{End, files, output};
use ringout::report::{figures, text};
use ringout::text::nearest;

/// Prints the calculation sheet.
pub fn run(args: &Figures) -> End {
    let Some((rules, rules_are_read)) = files::rules(&args.source, &args.printing) else { return End::Wrong };
    let Some(input) = files::plan(&args.plan) else { return End::Wrong };
    let nothing = ringout::law::Options { rules: Some(Vec::new()), ..Default::default() };
    let checked = ringout::check(&rules, &input.name, &input.text, &nothing);
    let wanted = args.item.as_deref();
    let sheets = figures::sheets(&rules, &checked, wanted);
    if let (Some(wanted), true) = (wanted, sheets.is_empty()) {
        let hint = nearest(wanted, checked.shop.tags()).map_or(String::new(), |n| format!("; did you mean {n}?"));
        output::complain(&format!("the sheet has no figure of {wanted}{hint}"));
        return End::Wrong;
    }
    let sources = &checked.sources;
    let text = match args.format {
        ListFormat::Text => text::figures(&sheets, checked.file, sources, output::look(&args.printing), args.all),
        ListFormat::Json => match figures::json::pretty(&input.name, &sheets, sources) {
            Ok(json) => json + "\n",
            Err(error) => return End::of(output::complain(&format!("can't write JSON: {error}"))),
        },
    };
    let printed = output::print(&args.printing, &text);
    End::of(printed && rules_are_read && super::is_read(&checked, &args.printing))
}
