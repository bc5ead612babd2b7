//! `ringout drawing`.

use super::args::{Diagram, Drawing as Args};
use super::{End, sheet};
use ringout::report::drawing::{self, Drawing};
use ringout::report::wires;
use ringout::{Checked, Rules};

/// Prints a diagram as SVG: one page of it, or all of them below each other.
pub fn run(args: &Args) -> End {
    let Some(open) = sheet::open(&args.plan, &args.source, &args.printing) else { return End::Wrong };
    let wanted = pages(&open.rules, &open.checked, args).and_then(|all| chosen(all, args));
    match wanted {
        Ok(pages) => open.print(&args.printing, &drawing::document(&pages)),
        Err(why) => open.fail(&args.printing, &why),
    }
}

fn pages(rules: &Rules, checked: &Checked, args: &Args) -> Result<Vec<Drawing>, String> {
    if let Some(place) = &args.place {
        let boxes = wires::sheets(rules, checked, Some(place)).boxes;
        let pages: Vec<Drawing> = boxes.iter().flat_map(|sheet| drawing::joining(rules, checked, sheet)).collect();
        return match pages.is_empty() {
            true => Err(sheet::nothing_of(checked, "nothing is joined in", place)),
            false => Ok(pages),
        };
    }
    match args.diagram {
        Diagram::OneLine => Ok(drawing::one_line(rules, checked)),
        Diagram::Map => match drawing::map(rules, checked) {
            pages if pages.is_empty() => Err("the plan says no run between boxes, so there is no map".into()),
            pages => Ok(pages),
        },
    }
}

fn chosen(all: Vec<Drawing>, args: &Args) -> Result<Vec<Drawing>, String> {
    let Some(number) = args.page else { return Ok(all) };
    let count = all.len();
    let page = all.into_iter().nth(number.get().saturating_sub(1));
    page.map(|page| vec![page]).ok_or_else(|| match count {
        1 => "this diagram has one page".to_string(),
        _ => format!("this diagram has {count} pages"),
    })
}
