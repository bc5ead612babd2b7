//! The canonical text of what a rule file says: one spelling for each meaning, which reads back as
//! what it was printed from.
//!
//! Guards of layers compare these texts, so that blanks, line breaks and brackets that change
//! nothing make no difference; `rules show` prints them.

use super::syntax::{
    Aggregate, Bounds, Cell, CellContent, Each, Expr, Limit, Message, MessagePiece, Moment, Node, Operator, Options,
    Step,
};
use crate::quantity::{Dimension, Quantity, Rational, Scale, day_text};

/// How tightly a form binds, loosest first, as in the grammar.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Level {
    Whole,
    Or,
    And,
    Not,
    Comparison,
    Rounding,
    Sum,
    Product,
    Path,
}

/// An expression.
pub fn expr(expr: &Expr) -> String {
    at(expr, Level::Whole)
}

/// An expression where the grammar wants something that binds at least as tightly as `level`.
fn at(expr: &Expr, level: Level) -> String {
    let (text, own) = node(&expr.node);
    if own < level { format!("({text})") } else { text }
}

fn list(all: &[Expr], level: Level, between: &str) -> String {
    all.iter().map(|e| at(e, level)).collect::<Vec<_>>().join(between)
}

fn node(node: &Node) -> (String, Level) {
    match node {
        Node::Quantity(q) => (quantity(q), Level::Path),
        Node::YesNo(true) => ("yes".into(), Level::Path),
        Node::YesNo(false) => ("no".into(), Level::Path),
        Node::NoLimit => ("no limit".into(), Level::Path),
        Node::Name(name) => (name.clone(), Level::Path),
        Node::Word(e, word) => (format!("{}.{}", at(e, Level::Path), word.node), Level::Path),
        Node::Call(name, arguments) => {
            (format!("{} of ({})", name.node, list(arguments, Level::Whole, ", ")), Level::Path)
        }
        Node::Lookup { table, column, keys } => {
            let column = column.as_ref().map_or(String::new(), |c| format!(".{}", c.node));
            (format!("{}{column} at ({})", table.node, list(keys, Level::Whole, ", ")), Level::Path)
        }
        Node::Not(e) => (format!("not {}", at(e, Level::Not)), Level::Not),
        Node::And(all) => (list(all, Level::Not, " and "), Level::And),
        Node::Or(all) => (list(all, Level::And, " or "), Level::Or),
        Node::Compare(sign, a, b) => {
            let sign = sign.sign();
            (format!("{} {sign} {}", at(a, Level::Rounding), at(b, Level::Rounding)), Level::Comparison)
        }
        Node::Within(e, name) => (format!("{} within {}", at(e, Level::Rounding), name.node), Level::Comparison),
        Node::Is { left, right, is_denied } => {
            let is = if *is_denied { "is not" } else { "is" };
            (format!("{} {is} {}", at(left, Level::Rounding), at(right, Level::Path)), Level::Comparison)
        }
        Node::IsAnyOf { left, options, is_denied } => {
            let is = if *is_denied { "is not any of" } else { "is any of" };
            let options = match options {
                Options::List(name) => name.node.clone(),
                Options::Values(all) => {
                    format!("({})", all.iter().map(|v| v.node.as_str()).collect::<Vec<_>>().join(", "))
                }
            };
            (format!("{} {is} {options}", at(left, Level::Rounding)), Level::Comparison)
        }
        Node::AnyOf(name) => (format!("any of {}", name.node), Level::Not),
        Node::Arithmetic(operator, a, b) => {
            let (sign, level) = match operator {
                Operator::Plus => ("+", Level::Sum),
                Operator::Minus => ("-", Level::Sum),
                Operator::Times => ("*", Level::Product),
                Operator::Over => ("/", Level::Product),
            };
            let right = if level == Level::Sum { Level::Product } else { Level::Path };
            (format!("{} {sign} {}", at(a, level), at(b, right)), level)
        }
        Node::Quantified { is_all, each, body } => {
            let word = if *is_all { "all" } else { "any" };
            // Its body goes on as far as it can: in brackets it ends where it is meant to.
            (format!("({word} {}: {})", self::each(each), at(body, Level::Or)), Level::Path)
        }
        Node::Count(each) => match &each.variable {
            None => (format!("count of {}", at(&each.list, Level::Path)), Level::Path),
            Some(_) => (format!("(count of {})", self::each(each)), Level::Path),
        },
        Node::Aggregate { kind, body, each } => {
            let word = match kind {
                Aggregate::Sum => "sum",
                Aggregate::Least => "least",
                Aggregate::Largest => "largest",
            };
            (format!("({word} of {} for {})", at(body, Level::Sum), self::each(each)), Level::Path)
        }
        Node::Extreme { is_largest, candidates } => {
            let word = if *is_largest { "largest" } else { "least" };
            (format!("{word} of ({})", list(candidates, Level::Whole, ", ")), Level::Path)
        }
        Node::Rank { item, list, by } => {
            (format!("(rank of {} in {} by {})", item.node, at(list, Level::Path), at(by, Level::Sum)), Level::Path)
        }
        Node::If(a, b, c) => {
            (format!("if {} then {} else {}", at(a, Level::Or), at(b, Level::Whole), at(c, Level::Whole)), Level::Whole)
        }
        Node::ToTable { is_up, value, table } => {
            let way = if *is_up { "up" } else { "down" };
            (format!("{} {way} to {}", at(value, Level::Rounding), table.node), Level::Rounding)
        }
        Node::Rounded { value, step, from } => {
            let value = at(value, Level::Rounding);
            let step = at(step, Level::Product);
            let text = match from {
                None => format!("{value} rounded up to {step}"),
                Some(from) => format!("{value} rounded to {step} from {}", at(from, Level::Product)),
            };
            (text, Level::Rounding)
        }
    }
}

fn each(each: &Each) -> String {
    let variable = each.variable.as_ref().map_or("", |v| v.node.as_str());
    let filter = each.filter.as_ref().map_or(String::new(), |f| format!(" where {}", at(f, Level::Or)));
    format!("{variable} in {}{filter}", at(&each.list, Level::Path))
}

/// An amount, as a rule file writes it.
pub fn quantity(quantity: &Quantity) -> String {
    let Quantity { value, scale } = quantity;
    match scale {
        // Reports give both scales at once, which no file can say.
        Scale::Temperature => {
            let celsius = value.minus(Rational::whole(32)).and_then(|v| v.times(Rational::constant(5, 9)));
            match celsius.filter(|c| c.is_whole()) {
                Some(celsius) => format!("{} C", celsius.decimal(0)),
                None => format!("{} F", number(*value)),
            }
        }
        Scale::Ratio(Dimension::NUMBER) => number(*value),
        Scale::Ratio(Dimension::LENGTH) => {
            let feet = value.over(Rational::whole(12)).filter(|feet| feet.is_whole());
            match feet {
                Some(feet) if *value >= Rational::whole(48) => format!("{} ft", number(feet)),
                _ => format!("{} in", number(*value)),
            }
        }
        Scale::Ratio(_) => {
            let (unit, base) = scale.shown_unit();
            let shown = value.over(base).unwrap_or(*value);
            format!("{} {unit}", number(shown)).trim_end().to_string()
        }
        _ => scale.show(*value),
    }
}

/// In full: a number that was rounded could equal another.
fn number(value: Rational) -> String {
    let short = value.fraction();
    match crate::quantity::number(&short) == Some(value) {
        true => short,
        false => {
            let long = value.decimal(12);
            if crate::quantity::number(&long) == Some(value) {
                long
            } else {
                format!("{}/{}", value.numerator(), value.denominator())
            }
        }
    }
}

/// An edition or a day.
pub fn moment(moment: Moment) -> String {
    match moment {
        Moment::Edition(year) => format!("NEC {year}"),
        Moment::Day(day) => day_text(day),
    }
}

/// `, from X, before Y`, each where it is there.
pub fn bounds(bounds: &Bounds) -> String {
    let from = bounds.from.map_or(String::new(), |m| format!(", from {}", moment(m)));
    let before = bounds.before.map_or(String::new(), |m| format!(", before {}", moment(m)));
    // Between the two no comma is needed, and one spelling is enough.
    if from.is_empty() { before } else { format!("{from}{}", before.trim_start_matches(',')) }
}

/// What a value is: `at most 125 V`.
pub fn limit(limit: &Limit) -> String {
    match limit {
        Limit::Plain(e) => at(e, Level::Rounding),
        Limit::AtLeast(e) => format!("at least {}", at(e, Level::Rounding)),
        Limit::AtMost(e) => format!("at most {}", at(e, Level::Rounding)),
        Limit::Between(a, b) => format!("{} to {}", at(a, Level::Rounding), at(b, Level::Rounding)),
        Limit::Asked { scale, question } => format!("asked {} \"{question}\"", scale.node),
    }
}

/// A value with what it was before: `at most 125 V, from NEC 2020 at most 250 V`.
pub fn steps(steps: &[Step]) -> String {
    let step = |step: &Step| {
        let from = step.from.map_or(String::new(), |m| format!("from {} ", moment(m)));
        format!("{from}{}", limit(&step.limit))
    };
    steps.iter().map(step).collect::<Vec<_>>().join(", ")
}

/// A cell of a table.
pub fn cell(cell: Option<&Cell>) -> String {
    match cell.map(|cell| &cell.content) {
        None => "-".into(),
        Some(CellContent::Quantity(q)) => quantity(q),
        Some(CellContent::NoLimit) => "no limit".into(),
        Some(CellContent::Word(word)) => word.clone(),
    }
}

/// Cells with commas between.
pub fn cells<'c>(cells: impl IntoIterator<Item = Option<&'c Cell>>) -> String {
    cells.into_iter().map(cell).collect::<Vec<_>>().join(", ")
}

/// A text with its holes, without quotes.
pub fn message(message: &Message) -> String {
    let piece = |piece: &MessagePiece| match piece {
        MessagePiece::Text(text) => text.replace('{', "{{").replace('}', "}}"),
        MessagePiece::Hole(e) => format!("{{{}}}", expr(e)),
    };
    message.pieces.iter().map(piece).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::law::{builtin, read, syntax::Pack};
    use crate::text::{FileId, Sources};

    fn bodies(pack: &Pack) -> Vec<&Expr> {
        let of_lists = |lists: &'_ [crate::law::syntax::List]| lists.iter().flat_map(|l| &l.items).count();
        let mut all: Vec<&Expr> = pack.defines.iter().map(|d| &d.body).collect();
        for rule in &pack.rules {
            let _ = of_lists(&rule.lists);
            all.extend(rule.wheres.iter().chain(&rule.needs).map(|p| &p.test));
            all.extend(rule.excepts.iter().map(|e| &e.test));
            all.extend(rule.lists.iter().flat_map(|l| &l.items).filter_map(|i| i.test.as_ref()));
        }
        all
    }

    /// Every condition and formula of the built-in pack reads back as what it was printed from: its
    /// second printing is its first, and a pack of the printed texts compiles to the same tests.
    #[test]
    fn what_is_printed_reads_back() {
        let pack = builtin(&mut Sources::default());
        let bodies = bodies(&pack);
        assert!(bodies.len() > 500, "{}", bodies.len());
        for body in bodies {
            let text = expr(body);
            let file = format!("term t of (x: shop)\n  means {text}\n");
            let (read, problems) = read(FileId(0), &file);
            assert!(problems.is_empty(), "{text}\n{problems:?}");
            assert_eq!(expr(&read.defines[0].body), text);
            assert_eq!(shape(&read.defines[0].body), shape(body), "{text}");
        }
    }

    /// An expression without its places and brackets.
    fn shape(expr: &Expr) -> String {
        let text = format!("{expr:?}");
        let mut out = String::new();
        let mut rest = text.as_str();
        while let Some(at) = rest.find("span: Span") {
            out.push_str(&rest[..at]);
            let end = rest[at..].find(" }").map_or(rest.len(), |e| at + e + 2);
            rest = &rest[end..];
        }
        out + rest
    }

    /// What is the same to the reader is the same here; what differs, differs.
    #[test]
    fn one_spelling_for_each_meaning() {
        let printed = |text: &str| {
            let (pack, problems) = read(FileId(0), &format!("value v: {text}\n"));
            assert!(problems.is_empty(), "{text} {problems:?}");
            steps(&pack.values[0].steps)
        };
        assert_eq!(printed("at least 1.5 ft"), "at least 18 in");
        assert_eq!(printed("at least   18 in"), printed("at least 18.0 in"));
        assert_eq!(printed("75 C"), "75 C");
        assert_eq!(printed("0.0000338 per F"), "0.0000338 per F");
        assert_eq!(printed("125 V, from NEC 2020 at most no limit"), "125 V, from NEC 2020 at most no limit");
        assert_eq!(printed("(2 + 3) * 4 A"), "(2 + 3) * 4 A");
        assert_ne!(printed("at least 18 in"), printed("at least 18-1/16 in"));
    }
}
