//! `ringout wires`.

use super::args::{ListFormat, Wires};
use super::{End, files, output};
use ringout::report::{text, wires};
use ringout::text::nearest;

/// Prints what to pull through each run and what to join in each box.
pub fn run(args: &Wires) -> End {
    let Some((rules, rules_are_read)) = files::rules(&args.source, &args.printing) else { return End::Wrong };
    let Some(input) = files::plan(&args.plan) else { return End::Wrong };
    let nothing = ringout::law::Options { rules: Some(Vec::new()), ..Default::default() };
    let checked = ringout::check(&rules, &input.name, &input.text, &nothing);
    let wanted = args.place.as_deref();
    let sheets = wires::sheets(&rules, &checked, wanted);
    if let (Some(wanted), true, true) = (wanted, sheets.runs.is_empty(), sheets.boxes.is_empty()) {
        let hint = nearest(wanted, checked.shop.tags()).map_or(String::new(), |n| format!("; did you mean {n}?"));
        output::complain(&format!("no wire goes through or into {wanted}{hint}"));
        return End::Wrong;
    }
    let text = match args.format {
        ListFormat::Text => text::wires(&sheets, &checked.sources, output::look(&args.printing)),
        ListFormat::Json => match wires::json::pretty(&input.name, &sheets) {
            Ok(json) => json + "\n",
            Err(error) => return End::of(output::complain(&format!("can't write JSON: {error}"))),
        },
    };
    let printed = output::print(&args.printing, &text);
    End::of(printed && rules_are_read && super::is_read(&checked, &args.printing))
}
