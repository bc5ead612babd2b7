use super::{pack, problems};
use crate::law::syntax::{Aggregate, Each, Expr, Message, MessagePiece, Node, Operator, Options};

/// The expression with every bracket written.
fn show(expr: &Expr) -> String {
    let all = |list: &[Expr], between: &str| list.iter().map(show).collect::<Vec<_>>().join(between);
    match &*expr.node {
        Node::Quantity(q) => q.to_string(),
        Node::YesNo(true) => "yes".into(),
        Node::YesNo(false) => "no".into(),
        Node::NoLimit => "no limit".into(),
        Node::Name(name) => name.clone(),
        Node::Word(of, word) => format!("{}.{}", show(of), word.node),
        Node::Call(name, arguments) => format!("{}({})", name.node, all(arguments, ", ")),
        Node::Lookup { table, column, keys } => {
            let column = column.as_ref().map_or(String::new(), |c| format!(".{}", c.node));
            format!("{}{column}[{}]", table.node, all(keys, ", "))
        }
        Node::Not(inner) => format!("not({})", show(inner)),
        Node::And(list) => format!("({})", all(list, " and ")),
        Node::Or(list) => format!("({})", all(list, " or ")),
        Node::Compare(sign, a, b) => {
            let sign = sign.sign();
            format!("({} {sign} {})", show(a), show(b))
        }
        Node::Within(a, value) => format!("({} within {})", show(a), value.node),
        Node::Is { left, right, is_denied } => {
            format!("({} {} {})", show(left), if *is_denied { "is not" } else { "is" }, show(right))
        }
        Node::IsAnyOf { left, options, is_denied } => {
            let options = match options {
                Options::Values(values) => values.iter().map(|v| v.node.as_str()).collect::<Vec<_>>().join("|"),
                Options::List(name) => format!("list {}", name.node),
            };
            format!("({} {} {options})", show(left), if *is_denied { "not in" } else { "in" })
        }
        Node::AnyOf(list) => format!("any({})", list.node),
        Node::Arithmetic(operator, a, b) => {
            let operator = match operator {
                Operator::Plus => "+",
                Operator::Minus => "-",
                Operator::Times => "*",
                Operator::Over => "/",
            };
            format!("({} {operator} {})", show(a), show(b))
        }
        Node::Quantified { is_all, each: e, body } => {
            format!("{}({}: {})", if *is_all { "all" } else { "any" }, each(e), show(body))
        }
        Node::Count(e) => format!("count({})", each(e)),
        Node::Aggregate { kind, body, each: e } => {
            let kind = match kind {
                Aggregate::Sum => "sum",
                Aggregate::Least => "least",
                Aggregate::Largest => "largest",
            };
            format!("{kind}({} for {})", show(body), each(e))
        }
        Node::Extreme { is_largest, candidates } => {
            format!("{}({})", if *is_largest { "largest" } else { "least" }, all(candidates, ", "))
        }
        Node::Rank { item, list, by } => format!("rank({} in {} by {})", item.node, show(list), show(by)),
        Node::If(a, b, c) => format!("if({}, {}, {})", show(a), show(b), show(c)),
        Node::ToTable { is_up, value, table } => {
            format!("{}({}, {})", if *is_up { "up" } else { "down" }, show(value), table.node)
        }
        Node::Rounded { value, step, from: None } => format!("ceiling({}, {})", show(value), show(step)),
        Node::Rounded { value, step, from: Some(share) } => {
            format!("round({}, {}, {})", show(value), show(step), show(share))
        }
    }
}

fn each(each: &Each) -> String {
    let variable = each.variable.as_ref().map_or(String::new(), |v| format!("{} in ", v.node));
    let filter = each.filter.as_ref().map_or(String::new(), |f| format!(" where {}", show(f)));
    format!("{variable}{}{filter}", show(&each.list))
}

fn read(expression: &str) -> String {
    show(&pack(&format!("define x of (c: circuit) as yes/no\n  = {expression}\n")).defines[0].body)
}

/// Precedence as the table of the rule language has it, tightest first: names and brackets, dots and
/// look-ups, aggregates, `× /`, `+ −`, rounding, comparison, `not`, `and`, `or`, quantifiers, `if`.
#[test]
fn binds_as_the_precedence_table_says() {
    for (written, wanted) in [
        ("a or b and not c", "(a or (b and not(c)))"),
        ("not not c.is-x", "not(not(c.is-x))"),
        ("not a = b", "not((a = b))"),
        ("a + b × c - d / e", "((a + (b * c)) - (d / e))"),
        ("a * b × c", "((a * b) * c)"),
        ("(a + b) * c", "((a + b) * c)"),
        ("1 − c.total-drop", "(1 - c.total-drop)"),
        ("a - b - c", "((a - b) - c)"),
        ("125 % × a up to standard-sizes", "up((1.25 * a), standard-sizes)"),
        ("a + b down to steps", "down((a + b), steps)"),
        ("a / b rounded up to 1", "ceiling((a / b), 1)"),
        ("a rounded to 1 from 0.8 <= b", "(round(a, 1, 0.8) <= b)"),
        ("a.b.c >= 18 in", "(a.b.c >= 18 in)"),
        ("a < b", "(a < b)"),
        ("a > b", "(a > b)"),
        ("a is copper", "(a is copper)"),
        ("a is not b.c", "(a is not b.c)"),
        ("a is 5-20R and b is 120/240", "((a is 5-20R) and (b is 120/240))"),
        ("a is any of (rod, pipe, 3-way)", "(a in rod|pipe|3-way)"),
        ("a is not any of metals", "(a not in list metals)"),
        ("any of areas and b", "(any(areas) and b)"),
        ("a within depth or b", "((a within depth) or b)"),
        ("if a then b else if c then d else e", "if(a, b, if(c, d, e))"),
        ("least of (a, b) + c", "(least(a, b) + c)"),
        ("c × largest of (a - b, 0 VA)", "(c * largest((a - b), 0 VA))"),
        (
            "largest of (0 VA, largest of q.load for q in c.equipment)",
            "largest(0 VA, largest(q.load for q in c.equipment))",
        ),
        ("least of (a + b) × 2 for x in l", "least(((a + b) * 2) for x in l)"),
        ("sum of 2 × s.length for s in f.runs", "sum((2 * s.length) for s in f.runs)"),
        (
            "(sum of w.watts for w in c.lights where w.is-x or w.is-y) + 1 VA",
            "(sum(w.watts for w in c.lights where (w.is-x or w.is-y)) + 1 VA)",
        ),
        ("count of c.outlets = 1", "(count(c.outlets) = 1)"),
        ("(count of x in shop.incoming where x.is-first) <= 1", "(count(x in shop.incoming where x.is-first) <= 1)"),
        ("any x in l: a and b or c", "any(x in l: ((a and b) or c))"),
        (
            "a and all x in l where x.is-y: any t in x.tests: t.is-good",
            "(a and all(x in l where x.is-y: any(t in x.tests: t.is-good)))",
        ),
        ("(any x in l: a) and b", "(any(x in l: a) and b)"),
        ("table at (a, 60 C)", "table[a, 140 F (60 C)]"),
        ("table.column at (a) / 2", "(table.column[a] / 2)"),
        ("corrected-in of (z, c.wire, s)", "corrected-in(z, c.wire, s)"),
        ("welder-group at (rank of q in c.equipment by q.amps)", "welder-group[rank(q in c.equipment by q.amps)]"),
        (
            "permit.edition = adoptions at (permit.state, permit.date)",
            "(permit.edition = adoptions[permit.state, permit.date])",
        ),
        ("yes or no", "(yes or no)"),
        ("no limit", "no limit"),
        ("a\n    and # why\n    b", "(a and b)"),
    ] {
        assert_eq!(read(written), wanted, "{written}");
    }
}

/// 30 degrees C are 54 degrees F; the two scales of temperature have the same zero at no point.
#[test]
fn amounts_have_the_units_of_the_trade() {
    for (written, wanted) in [
        ("18 in", "18 in"),
        ("1-1/4 in", "1-1/4 in"),
        ("6 AWG", "6 AWG"),
        ("250 kcmil", "250 kcmil"),
        ("75 C", "167 F (75 C)"),
        ("80 %", "0.8"),
        ("0.0000338 per F", "0.0000338 per F"),
        ("30 degrees F", "30 degrees F"),
        ("30 degrees C", "54 degrees F"),
        ("NEC 2020", "NEC 2020"),
        ("2026-09-01", "2026-09-01"),
        ("120 V", "120 V"),
        ("0.5", "0.5"),
    ] {
        assert_eq!(read(written), wanted, "{written}");
    }
}

fn message(text: &str) -> String {
    let rule = format!("rule a \"A\"\n  stage final\n  level note\n  for shop\n  needs shop.is-x\n  else \"{text}\"\n");
    let Message { pieces, .. } = pack(&rule).rules.remove(0).otherwise;
    let piece = |piece: &MessagePiece| match piece {
        MessagePiece::Text(text) => text.clone(),
        MessagePiece::Hole(expr) => format!("<{}>", show(expr)),
    };
    pieces.iter().map(piece).collect()
}

#[test]
fn messages_have_holes() {
    for (written, wanted) in [
        ("no hole", "no hole"),
        ("{r} of {r.circuit.panel}.", "<r> of <r.circuit.panel>."),
        ("{{x}} and {a + 1}", "{x} and <(a + 1)>"),
        ("{part} is short\"\n       \"and {a}", "<part> is short and <a>"),
        ("# is no comment here", "# is no comment here"),
    ] {
        assert_eq!(message(written), wanted, "{written}");
    }
}

fn nested(depth: usize) -> Vec<(String, String, String)> {
    let expression = format!("{}a{}", "(".repeat(depth), ")".repeat(depth));
    problems(&format!("term x of (c: circuit)\n  means {expression}\n"))
}

/// Both sides of the cap, in brackets and in each form that nests without them.
#[test]
fn depth_is_capped() {
    assert_eq!(nested(30), []);
    for depth in [65, 10_000] {
        let found = nested(depth);
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].1, "this expression is too deep: at most 64 stand in one another");
    }
    for (before, after) in [
        ("not ", ""),
        ("if a then b else ", ""),
        ("any x in l: ", ""),
        ("least of f of (", " ) for x in l"),
        ("a + ", ""),
        ("least of (b, ", ")"),
        ("count of x in l where ", ""),
        ("sum of ", " for x in l"),
    ] {
        for depth in [60, 3000] {
            let expression = format!("{}a{}", before.repeat(depth), after.repeat(depth));
            let found = problems(&format!("term x of (c: circuit)\n  means {expression}\n"));
            assert!(found.len() <= 1, "{before}: {found:?}");
            assert!(depth < 3000 || found.len() == 1, "{before} {depth}");
        }
    }
}
