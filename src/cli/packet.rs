//! `ringout packet`.

use super::args::Packet;
use super::{End, files, output};
use ringout::report::packet::{Options, packet};

/// Writes the packet: one HTML file to print.
pub fn run(args: &Packet) -> End {
    if let Some(path) = args.printing.output.as_ref().filter(|path| path.is_file() && !args.replace) {
        return End::of(output::complain(&format!("{} is there already; `--replace` writes over it", path.display())));
    }
    let Some(input) = files::plan(&args.plan) else { return End::Wrong };
    let Some((rules, rules_are_read)) = files::rules_for(&args.judging.source, &args.printing, &input) else {
        return End::Wrong;
    };
    let judged = super::options(&args.judging);
    let checked = ringout::check(&rules, &input.name, &input.text, &judged);
    let options = Options {
        sheets: match args.reader {
            Some(reader) => reader.0.sheets().to_vec(),
            None => args.sheet.iter().map(|sheet| sheet.0).collect(),
        },
        date: args.date.clone(),
        stages: judged.stages.unwrap_or_default(),
    };
    let printed = output::print(&args.printing, &packet(&rules, &checked, &options));
    let holds_rules = files::holds_rules(&rules, &args.judging.source);
    End::of(super::is_read(&checked, &args.printing) && printed && rules_are_read && holds_rules)
}
