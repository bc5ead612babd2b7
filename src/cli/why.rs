//! `ringout why`.

use super::args::Why;
use super::{End, files, output};
use ringout::Checked;
use ringout::law::verdict::{Outcome, Verdict};
use ringout::report::{Look, finding, text};
use ringout::text::nearest;

/// How many items are told of where none is named.
const MOST_ITEMS: usize = 4;

/// Prints how the verdicts of one rule came about.
pub fn run(args: &Why) -> End {
    let Some(input) = files::plan(&args.plan) else { return End::Wrong };
    let Some((rules, rules_are_read)) = files::rules_for(&args.source, &args.printing, &input) else {
        return End::Wrong;
    };
    let Some(id) = super::rule_id(&rules, &args.rule) else { return End::Wrong };
    let options = ringout::law::Options { rules: Some(vec![id]), ..Default::default() };
    let checked = ringout::check(&rules, &input.name, &input.text, &options);
    let look = output::look(&args.printing);
    let printed = match told(&rules, &checked, args.item.as_deref(), look, args.all) {
        Ok(text) => output::print(&args.printing, &text),
        Err(why) => output::complain(&why),
    };
    // A line that could not be read may be the one that was asked about.
    End::of(super::is_read(&checked, &args.printing) && printed && rules_are_read)
}

/// The verdicts at an item, or at every item that the rule met, what needs attention first; with
/// `all` every step of them. An error says that the rule does not meet the item.
pub(super) fn told(
    rules: &ringout::Rules,
    checked: &Checked,
    item: Option<&str>,
    look: Look,
    all: bool,
) -> Result<String, String> {
    let mut verdicts: Vec<&Verdict> = checked.verdicts.iter().collect();
    if let Some(wanted) = item {
        verdicts.retain(|v| is_called(checked, v, wanted));
        if verdicts.is_empty() {
            let names = checked.verdicts.iter().map(|v| checked.shop.head(v.item).name.as_str());
            let hint = nearest(wanted, names.clone()).map(|n| format!("; did you mean {n}?"));
            let met: Vec<&str> = names.take(12).collect();
            let met = if met.is_empty() { "nothing in this plan".to_string() } else { met.join(", ") };
            return Err(format!("the rule does not meet {wanted}; it meets {met}{}", hint.unwrap_or_default()));
        }
    }
    if verdicts.is_empty() {
        return Ok("The rule meets nothing in this plan.\n".to_string());
    }
    // Where the rule has nothing to say is told only if it says nothing anywhere.
    if item.is_none() && verdicts.iter().any(|v| v.outcome != Outcome::NotApplicable) {
        verdicts.retain(|v| v.outcome != Outcome::NotApplicable);
    }
    verdicts.sort_by_key(|v| match v.outcome {
        Outcome::Attention => 0,
        Outcome::Unknown => 1,
        Outcome::Pass => 2,
        Outcome::NotApplicable => 3,
    });
    let shown = verdicts.iter().take(MOST_ITEMS).filter_map(|v| finding(rules, checked, v));
    let texts: Vec<String> = shown.map(|f| text::finding(&f, checked.file, &checked.sources, look, all)).collect();
    let rest: Vec<&str> = verdicts.iter().skip(MOST_ITEMS).map(|v| checked.shop.head(v.item).name.as_str()).collect();
    let mut text = texts.join(&format!("\n{}\n\n", "-".repeat(look.width)));
    if !rest.is_empty() {
        text.push_str(&format!("\nThe rule also meets {}; name one to see it.\n", rest.join(", ")));
    }
    Ok(text)
}

/// By its tag, or as sentences call it: `R1`, `receptacle R1`.
fn is_called(checked: &Checked, verdict: &Verdict, wanted: &str) -> bool {
    checked.shop.head(verdict.item).name == wanted || checked.shop.called(verdict.item) == wanted
}
