//! A rule as it is in force: every part with the layer that it comes from, or ready to be edited.

use super::problems::at;
use crate::Rules;
use crate::law::print;
use crate::law::syntax::{Bounds, Except, Expr, List, Node, OLD_WORK, Rule, Value};
use crate::text::Span;

/// Where the words of a clause begin.
const MARGIN: usize = 10;

/// A rule part by part, each part of a layer with its layer behind `#`. None where there is no such rule.
pub fn rule(rules: &Rules, name: &str) -> Option<String> {
    let found: Vec<&Rule> = named(rules, name).collect();
    let texts: Vec<String> = found.iter().map(|rule| text(rules, rule)).collect();
    (!texts.is_empty()).then(|| texts.join("\n"))
}

/// The full name of the layer that took a rule out.
pub fn switched_off(rules: &Rules, name: &str) -> Option<String> {
    let edit = rules.edits.iter().find(|e| e.target == name && e.part == "rule" && e.verb == "strike")?;
    rules.layers.get(edit.layer).map(|layer| layer.title.clone())
}

/// The rule of a name or alias, and the copies that layers set beside it.
fn named<'r>(rules: &'r Rules, name: &'r str) -> impl Iterator<Item = &'r Rule> {
    let is_copy = move |rule: &Rule| {
        let rest = rule.name.node.strip_prefix(name).and_then(|rest| rest.strip_prefix('-'));
        rest.is_some_and(|rest| rules.layers.iter().any(|layer| layer.name == rest))
    };
    rules
        .pack()
        .rules
        .iter()
        .filter(move |rule| rule.name.node == name || rule.aliases.iter().any(|a| a.node == name) || is_copy(rule))
}

struct Lines<'r> {
    rules: &'r Rules,
    text: String,
}

impl Lines<'_> {
    fn line(&mut self, keyword: &str, text: &str, place: Span) {
        let origin = match self.rules.layers.iter().find(|layer| layer.span.file == place.file) {
            Some(layer) => format!("    # {}, {}", layer.title, at(&self.rules.sources, place)),
            None => String::new(),
        };
        self.text.push_str(&format!("  {keyword:<width$}{text}{origin}\n", width = MARGIN - 2));
    }
}

fn text(rules: &Rules, rule: &Rule) -> String {
    let mut lines = Lines { rules, text: format!("# {}\n", at(&rules.sources, rule.span)) };
    lines.text.push_str(&format!("rule {} \"{}\"\n", rule.name.node, rule.title));
    lines.line("stage", &rule.stage.node, rule.stage.span);
    lines.line("level", &rule.level.node, rule.level.span);
    for value in &rule.values {
        lines.line("value", &self::value(value), first_step(value));
    }
    for list in &rule.lists {
        list_lines(&mut lines, list);
    }
    let kinds: Vec<&str> = rule.subject.kinds.iter().map(|kind| kind.node.as_str()).collect();
    let within = rule.subject.within.as_ref().map_or(String::new(), |e| format!(" in {}", print::expr(e)));
    let subject = match &rule.subject.variable {
        Some(letter) => format!("each {} {}{within}", kinds.join(" or "), letter.node),
        None => kinds.join(" or "),
    };
    lines.line("for", &subject, rule.span);
    for (keyword, parts) in [("where", &rule.wheres), ("needs", &rule.needs)] {
        for part in parts {
            let name = part.name.as_ref().map_or("", |name| name.node.as_str());
            lines.line(keyword, &labelled(name, part.title.as_deref(), &part.bounds, &part.test), part.test.span);
        }
    }
    let old = rule.excepts.iter().find(|except| except.name.node == OLD_WORK);
    if let Some(old) = old.filter(|old| matches!(&*old.test.node, Node::Word(..))) {
        lines.line("reach", "new", old.test.span);
    }
    let others = |except: &&Except| except.name.node != OLD_WORK || !matches!(&*except.test.node, Node::Word(..));
    for except in rule.excepts.iter().filter(others) {
        let part = except.part.as_ref().map_or(String::new(), |part| format!(" of {}", part.node));
        let name = format!("{}{part}", except.name.node);
        lines.line("except", &labelled(&name, except.title.as_deref(), &except.bounds, &except.test), except.test.span);
    }
    for evidence in &rule.evidence {
        lines.line("evidence", &format!("{}: {}", word(&evidence.word), evidence.how.node), evidence.word.span);
    }
    lines.line("else", &format!("\"{}\"", print::message(&rule.otherwise)), rule.otherwise.span);
    for (keyword, message) in [("remedy", &rule.remedy), ("caution", &rule.caution)] {
        if let Some(message) = message {
            lines.line(keyword, &format!("\"{}\"", print::message(message)), message.span);
        }
    }
    lines.text
}

fn word(word: &crate::law::syntax::WordName) -> String {
    let kinds: Vec<&str> = word.kinds.iter().map(|kind| kind.node.as_str()).collect();
    format!("{}.{}", kinds.join(" or "), word.name.node)
}

fn list_lines(lines: &mut Lines, list: &List) {
    let title = list.title.as_ref().map_or(String::new(), |title| format!(" \"{title}\""));
    let head = match &list.choice {
        Some(choice) => {
            let item = |item: &crate::law::syntax::ListItem| {
                format!("{} {}", print::bounds(&item.bounds).trim_start_matches(", "), item.name.node)
                    .trim_start()
                    .to_string()
            };
            let items: Vec<String> = list.items.iter().map(item).collect();
            format!("{}{title} of choice {}: {}", list.name.node, choice.node, items.join(", "))
        }
        None => format!("{}{title}", list.name.node),
    };
    let place = list.items.first().map_or(list.name.span, |item| item.name.span);
    lines.line("list", &head, if list.choice.is_some() { place } else { list.name.span });
    for item in &list.items {
        if let Some(test) = &item.test {
            lines.line("", &labelled(&item.name.node, item.title.as_deref(), &item.bounds, test), test.span);
        }
    }
}

fn labelled(name: &str, title: Option<&str>, bounds: &Bounds, test: &Expr) -> String {
    let title = title.map_or(String::new(), |title| format!(" \"{title}\""));
    format!("{name}{title}{}: {}", print::bounds(bounds), print::expr(test))
}

fn value(value: &Value) -> String {
    let title = value.title.as_ref().map_or(String::new(), |title| format!(" \"{title}\""));
    format!("{}{title}: {}", value.name.node, print::steps(&value.steps))
}

/// Where the newest step of a value that a layer wrote stands, else its name.
fn first_step(value: &Value) -> Span {
    use crate::law::syntax::Limit;
    let place = |limit: &Limit| match limit {
        Limit::Plain(e) | Limit::AtLeast(e) | Limit::AtMost(e) | Limit::Between(e, _) => e.span,
        Limit::Asked { scale, .. } => scale.span,
    };
    let mut steps = value.steps.iter().map(|step| place(&step.limit));
    steps.rfind(|span| span.file != value.name.span.file).unwrap_or(value.name.span)
}

/// Each part of a rule as the line of a layer that begins with it, guard included. None where there is no such rule.
pub fn for_edit(rules: &Rules, name: &str) -> Option<String> {
    let rule = named(rules, name).next()?;
    let mut text = format!("change rule {} \"what is changed, in a few words\"\n", rule.name.node);
    let mut line = |edit: String, was: &str| text.push_str(&format!("  {edit}, was {was}\n"));
    for value in &rule.values {
        line(format!("set     value {} to …", value.name.node), &print::steps(&value.steps));
    }
    for list in &rule.lists {
        let items: Vec<&str> = list.items.iter().map(|item| item.name.node.as_str()).collect();
        line(format!("set     list {} to …", list.name.node), &items.join(", "));
        for item in &list.items {
            let title = item.title.as_deref().unwrap_or(&item.name.node);
            line(format!("strike  item {} of {}", item.name.node, list.name.node), &format!("\"{title}\""));
        }
    }
    for (keyword, parts) in [("where", &rule.wheres), ("needs", &rule.needs)] {
        for part in parts {
            let Some(name) = &part.name else { continue };
            line(format!("set     {keyword} {} to …", name.node), &print::expr(&part.test));
        }
    }
    for except in rule.excepts.iter().filter(|except| except.name.node != OLD_WORK) {
        let title = except.title.as_deref().unwrap_or(&except.name.node);
        line(format!("strike  exception {}", except.name.node), &format!("\"{title}\""));
    }
    line("set     level to …".into(), &rule.level.node);
    line("set     stage to …".into(), &rule.stage.node);
    let is_new = rule.excepts.iter().any(|except| except.name.node == OLD_WORK);
    line("set     reach to …".into(), if is_new { "new" } else { "old and new" });
    line("strike  rule".into(), &format!("\"{}\"", rule.title));
    Some(text)
}
