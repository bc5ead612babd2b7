//! `ringout drawing`.

use super::args::{Diagram, Drawing};
use super::{End, files, output};
use ringout::report::drawing;

/// Prints one page of a diagram as SVG.
pub fn run(args: &Drawing) -> End {
    let Some(input) = files::plan(&args.plan) else { return End::Wrong };
    let Some((rules, rules_are_read)) = files::rules_for(&args.source, &args.printing, &input) else {
        return End::Wrong;
    };
    let nothing = ringout::law::Options { rules: Some(Vec::new()), ..Default::default() };
    let checked = ringout::check(&rules, &input.name, &input.text, &nothing);
    let pages = match args.diagram {
        Diagram::OneLine => drawing::one_line(&rules, &checked),
        Diagram::Map => drawing::map(&rules, &checked),
    };
    let Some(page) = args.page.checked_sub(1).and_then(|index| pages.get(index)) else {
        return End::of(output::complain(&match pages.len() {
            0 => "the plan says no run between boxes, so there is no map".to_string(),
            1 => "this diagram has one page".to_string(),
            count => format!("this diagram has {count} pages"),
        }));
    };
    let printed = output::print(&args.printing, &page.alone());
    End::of(printed && rules_are_read && super::is_read(&checked, &args.printing))
}
