//! `ringout compare`.

use super::args::{Compare, ListFormat};
use super::{End, files, output, sheet};
use ringout::report::{compare, text};
use ringout::text::FileId;

/// Prints what differs between two plans.
pub fn run(args: &Compare) -> End {
    let (Some(first), Some(second)) = (files::plan(&args.first), files::plan(&args.second)) else { return End::Wrong };
    // Two laws at once would tell apart what the plans did not change.
    let named = |input: &files::Input| ringout::shelf::named(&ringout::plan::read(FileId(u32::MAX), &input.text));
    if named(&first) != named(&second) {
        let message = "the plans name different local amendments (`amended by`); comparing needs one law for both";
        return End::of(output::complain(message));
    }
    let Some((rules, rules_are_read)) = files::rules_for(&args.source, &args.printing, &first) else {
        return End::Wrong;
    };
    let options = ringout::law::Options::default();
    let checked = [&first, &second].map(|input| ringout::check(&rules, &input.name, &input.text, &options));
    let [one, two] = &checked;
    let comparison = compare::compare(&rules, one, two);
    let plans = [first.name.as_str(), second.name.as_str()];
    let document = match args.format {
        ListFormat::Text => Ok(text::compare(plans, &comparison, &rules.code.authority, output::look(&args.printing))),
        ListFormat::Json => compare::pretty(plans, &comparison),
    };
    let Some(text) = sheet::written(args.format, document) else { return End::Wrong };
    let printed = output::print(&args.printing, &text);
    // Both are told, whatever the first one lacks.
    let are_read = checked.each_ref().map(|c| super::is_read(c, &args.printing));
    let holds_rules = files::holds_rules(&rules, &args.source);
    End::of(printed && rules_are_read && holds_rules && are_read == [true, true])
}
