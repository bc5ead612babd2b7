use super::show::{self, Digits};
use super::tree::{Teller, leaf};
use super::words::plain;
use crate::law::code::{Any, Body, Define, Each, Number, NumberNode, Over};
use crate::law::evaluate::machine::Letter;
use crate::law::evaluate::{Interval, Truth};
use crate::law::syntax::{Aggregate, Operator};
use crate::law::verdict::Why;
use crate::quantity::{Rational, Scale, Toward};
use crate::words::Type;

/// Most terms of a sum that are told one by one.
const TERMS_CAP: usize = 16;

impl<'a> Teller<'_, 'a, '_> {
    /// A quantity: what it is, its value and what it comes from. None for a plain figure.
    pub(super) fn number(&mut self, number: &Number, scale: Option<Scale>) -> Option<Why> {
        if matches!(number.node, NumberNode::Constant(_) | NumberNode::NoLimit) {
            return None;
        }
        let scale = self.scale(number).or(scale);
        let value = self.machine.number(number);
        let is_percent = self.define_of(number).is_some_and(|d| d.is_percent);
        let digits = self.digits_of(number);
        let told = if is_percent { show::percent(&value, digits) } else { show::interval(scale, &value, digits) };
        let is_limit = digits.toward != Toward::Nearest && matches!(number.node, NumberNode::Arithmetic(..));
        let more = self.more.saturating_add(u32::from(is_limit));
        let why = leaf(self.apart(more, |teller| teller.number_text(number, scale)), told);
        let carried = match number.node {
            NumberNode::If(_) | NumberNode::Extreme { .. } | NumberNode::Steps(_) => self.carried,
            _ => Digits::USUAL,
        };
        let before = std::mem::replace(&mut self.carried, carried);
        let why = self.with_steps(number, scale, &value, why);
        self.carried = before;
        Some(why)
    }

    /// A quantity with what it comes from.
    fn with_steps(&mut self, number: &Number, scale: Option<Scale>, value: &Interval, mut why: Why) -> Why {
        let edition = self.machine.now.edition;
        match &number.node {
            NumberNode::Word(owner, name) => match self.machine.item(owner) {
                Some(item) => {
                    why.text.push_str(self.manner(item, *name));
                    why.places = self.places(item, *name);
                    if let Some(define) = self.machine.ground.define_of(item, *name)
                        && self.may_tell()
                    {
                        let told = self.inside(define, item, |teller, define| {
                            (show::source_of(define, edition), teller.body(define, scale))
                        });
                        (why.source, why.from) = told.unwrap_or_default();
                        in_the_same_words(&mut why);
                    }
                }
                None => why.from = self.lost(owner),
            },
            NumberNode::Call(call) if self.may_tell() => {
                let told = self
                    .inside_call(call, |teller, define| (show::source_of(define, edition), teller.body(define, scale)));
                (why.source, why.from) = told.unwrap_or_default();
                in_the_same_words(&mut why);
            }
            NumberNode::Lookup(lookup) => return self.row(lookup).unwrap_or(why),
            _ if self.may_tell() => why.from = self.deeper(|teller| teller.steps(number, scale, value)),
            _ => {}
        }
        if let NumberNode::ToTable { table, .. } = &number.node {
            let table = self.code().table(*table);
            why.source = table.and_then(|table| show::source_of_table(table, edition));
        }
        why
    }

    /// The formula that gives it.
    fn define_of(&mut self, number: &Number) -> Option<&'a Define> {
        let define = match &number.node {
            NumberNode::Word(owner, name) => {
                self.machine.item(owner).and_then(|item| self.machine.ground.define_of(item, *name))
            }
            NumberNode::Call(call) => Some(call.define),
            _ => None,
        };
        self.code().define(define?)
    }

    fn digits_of(&mut self, number: &Number) -> Digits {
        let of_figure = self.define_of(number).map(|define| Digits::of_figure(&define.name));
        Digits { more: self.more, ..of_figure.unwrap_or(self.carried) }
    }

    /// A quantity with its unit, in as many digits as are now wanted.
    pub(super) fn shown(&self, scale: Option<Scale>, value: &Interval) -> String {
        show::interval(scale, value, Digits { more: self.more, ..Digits::USUAL })
    }

    /// What a define's formula is made of: its own steps, without itself.
    pub(super) fn body(&mut self, define: &Define, scale: Option<Scale>) -> Vec<Why> {
        match &define.body {
            Body::Number(number) => match &number.node {
                NumberNode::Arithmetic(..) | NumberNode::If(_) | NumberNode::Extreme { .. } => {
                    let value = self.machine.number(number);
                    let own = Digits::of_figure(&define.name);
                    let is_formula = matches!(number.node, NumberNode::Arithmetic(..));
                    let carried = if is_formula { Digits::USUAL } else { own };
                    let before = std::mem::replace(&mut self.carried, carried);
                    let mut steps = self.steps(number, scale, &value);
                    self.carried = before;
                    if is_formula {
                        // What is rounded one way follows from terms that are not rounded the other.
                        let digits = self.more.saturating_add(u32::from(own.toward != Toward::Nearest));
                        let text = self.apart(digits, |teller| teller.formula(number, scale));
                        steps.insert(0, leaf(text, self.shown(scale, &value)));
                    }
                    steps
                }
                _ => self.number(number, scale).into_iter().collect(),
            },
            Body::Test(test) => vec![self.test(test)],
            Body::Choice(_) | Body::Item(_) => Vec::new(),
        }
    }

    fn steps(&mut self, number: &Number, scale: Option<Scale>, value: &Interval) -> Vec<Why> {
        match &number.node {
            NumberNode::Arithmetic(..) => self.terms(number, scale),
            NumberNode::Extreme { candidates, .. } => {
                candidates.iter().filter_map(|candidate| self.number(candidate, scale)).collect()
            }
            NumberNode::Steps(steps) => {
                let now = self.machine.now;
                let step = steps.iter().rev().find(|(bounds, _)| now.is_in(bounds));
                step.and_then(|(_, step)| self.number(step, scale)).into_iter().collect()
            }
            NumberNode::If(parts) => {
                let (condition, yes, no) = &**parts;
                let mut told = vec![self.test(condition)];
                let truth = self.machine.test(condition);
                let branches = [(Truth::No, yes), (Truth::Yes, no)];
                for (_, branch) in branches.into_iter().filter(|(other, _)| *other != truth) {
                    let value = self.machine.number(branch);
                    let why = self.number(branch, scale);
                    told.push(why.unwrap_or_else(|| leaf("then it is".into(), self.shown(scale, &value))));
                }
                told
            }
            NumberNode::ToTable { value, .. } | NumberNode::Rounded { value, .. } => self.terms(value, scale),
            NumberNode::Aggregate { kind, each, body } => self.members_counted(*kind, each, body, scale, value),
            NumberNode::Count(each) => self.count_told(each),
            _ => Vec::new(),
        }
    }

    /// The parts of a product or sum one by one.
    fn terms(&mut self, number: &Number, scale: Option<Scale>) -> Vec<Why> {
        match &number.node {
            NumberNode::Arithmetic(operator, left, right) => {
                let (a, b) = self.scales(*operator, left, right, scale);
                let mut terms = self.terms(left, a);
                terms.extend(self.terms(right, b));
                // What stands twice in a formula is told one time.
                terms.dedup_by(|a, b| a.from.is_empty() && b.from.is_empty() && a.text == b.text && a.value == b.value);
                terms
            }
            _ => self.number(number, scale).into_iter().collect(),
        }
    }

    /// The terms of a sum, or the winner of a `least` or `largest`.
    fn members_counted(
        &mut self,
        kind: Aggregate,
        each: &Each,
        body: &Number,
        scale: Option<Scale>,
        out: &Interval,
    ) -> Vec<Why> {
        let mut steps = Vec::new();
        let (letters, is_open) = self.letters_of(each);
        for (letter, _) in letters {
            self.machine.bind(each.slot, letter);
            let filter = each.filter.as_ref().map_or(Truth::Yes, |f| self.machine.test(f));
            let value = self.machine.number(body);
            let counts = match kind {
                Aggregate::Sum => value != Interval::ZERO,
                Aggregate::Least => value.low <= out.high,
                Aggregate::Largest => value.high >= out.low,
            };
            if filter == Truth::No || !counts {
                continue;
            }
            if steps.len() == TERMS_CAP {
                steps.push(leaf("and others".into(), String::new()));
                break;
            }
            let value_text = self.shown(scale, &value);
            let why = match letter {
                Letter::Row(table, row) => self.row_step(table.0, row, value_text),
                Letter::Item(Some(item)) => {
                    let mut why = self.number(body, scale);
                    if let (Some(why), NumberNode::Arithmetic(..)) = (&mut why, &body.node) {
                        why.text = format!("{}: {}", self.shop().called(item), why.text);
                    }
                    why.unwrap_or_else(|| leaf(self.shop().called(item), value_text))
                }
                _ => continue,
            };
            steps.push(why);
            if kind != Aggregate::Sum && out.is_decided() {
                break;
            }
        }
        if is_open {
            steps.push(leaf(format!("there may be others of {}", self.over(&each.over)), "unknown".into()));
        }
        steps
    }

    fn count_told(&mut self, each: &Each) -> Vec<Why> {
        let Over::Items(_) = &each.over else { return Vec::new() };
        let (letters, is_open) = self.letters_of(each);
        let mut names = Vec::new();
        for (letter, _) in letters {
            self.machine.bind(each.slot, letter);
            let filter = each.filter.as_ref().map_or(Truth::Yes, |f| self.machine.test(f));
            if let (Letter::Item(Some(item)), false) = (letter, filter == Truth::No) {
                names.push(self.shop().called(item));
            }
        }
        let mut steps = Vec::new();
        if !names.is_empty() {
            steps.push(leaf(super::words::join(&names, "and"), String::new()));
        }
        if is_open {
            steps.push(leaf(format!("there may be others of {}", self.over(&each.over)), "unknown".into()));
        }
        steps
    }

    fn lost(&mut self, owner: &crate::law::code::Item) -> Vec<Why> {
        match owner {
            crate::law::code::Item::Word(before, name) => self.fact_step(before, *name).into_iter().collect(),
            _ => Vec::new(),
        }
    }

    /// A quantity as a sentence calls it: `cover of stretch 2 of F1`, `18 in`.
    pub(super) fn number_text(&mut self, number: &Number, scale: Option<Scale>) -> String {
        match &number.node {
            NumberNode::Word(owner, name) => self.of(*name, owner),
            NumberNode::Call(call) => {
                let (subject, name) = self.call_text(call);
                format!("{} of {subject}", plain(&name))
            }
            NumberNode::Lookup(lookup) => self.code().table(lookup.table).map(show::table).unwrap_or_default(),
            NumberNode::Count(each) => {
                let over = self.over(&each.over);
                let filter = each.filter.as_ref();
                let filter = filter.map(|f| format!(" where {}", self.among(each, |teller| teller.says(f, true))));
                format!("the number of {}{}", over.trim_start_matches("the "), filter.unwrap_or_default())
            }
            NumberNode::Aggregate { kind, each, body } => {
                let how = match kind {
                    Aggregate::Sum => "the sum",
                    Aggregate::Least => "the least",
                    Aggregate::Largest => "the largest",
                };
                let over = self.over(&each.over);
                // A formula over letters that stand for nothing yet has no values to show.
                match body.node {
                    NumberNode::Word(..) | NumberNode::Call(_) => {
                        let body = self.among(each, |teller| teller.number_text(body, scale));
                        format!("{how} of {body} over {over}")
                    }
                    _ => format!("{how} over {over}"),
                }
            }
            NumberNode::Extreme { is_largest, .. } => if *is_largest { "the largest" } else { "the least" }.into(),
            NumberNode::Rank { list, .. } => {
                let crate::law::code::Items::Word(owner, name) = &**list;
                format!("its rank among the {}", self.of(*name, owner))
            }
            NumberNode::ToTable { is_up, value, table } => {
                let value = self.machine.number(value);
                let title = self.code().table(*table).map(show::table).unwrap_or_default();
                let side = if *is_up { "over" } else { "under" };
                format!("{} at or {side} {}", title.to_lowercase(), self.shown(scale, &value))
            }
            NumberNode::Asked(question) => question.clone(),
            NumberNode::Edition => "the edition in force".into(),
            NumberNode::Day => "the day of the permit".into(),
            NumberNode::Constant(_) | NumberNode::NoLimit | NumberNode::Letter(_) | NumberNode::Cell(..) => {
                let value = self.machine.number(number);
                self.shown(scale, &value)
            }
            NumberNode::Rounded { value, step, from } => {
                let what = self.formula(value, scale);
                let whole = match *step == Rational::ONE {
                    true => "a whole number".to_string(),
                    false => format!("whole {}", self.shown(scale, &Interval::of(*step))),
                };
                match from {
                    None => format!("{what}, rounded up to {whole}"),
                    Some(share) if *share >= Rational::ONE => format!("{what}, rounded down to {whole}"),
                    Some(share) => format!("{what}, rounded to {whole}, up from {} of it on", share.decimal(3)),
                }
            }
            NumberNode::Steps(_) | NumberNode::If(_) => {
                let value = self.machine.number(number);
                self.shown(scale, &value)
            }
            NumberNode::Arithmetic(..) => self.formula(number, scale),
        }
    }

    /// A formula with its values: `34 A × 0.63`.
    fn formula(&mut self, number: &Number, scale: Option<Scale>) -> String {
        if let NumberNode::Arithmetic(operator, left, right) = &number.node {
            let (a, b) = self.scales(*operator, left, right, scale);
            let sign = match operator {
                Operator::Plus => "+",
                Operator::Minus => "−",
                Operator::Times => "×",
                Operator::Over => "/",
            };
            let wrap = |text: String, side: &Number| {
                let is_sum = matches!(side.node, NumberNode::Arithmetic(Operator::Plus | Operator::Minus, ..));
                let is_product = matches!(operator, Operator::Times | Operator::Over);
                if is_sum && is_product { format!("({text})") } else { text }
            };
            let (left_text, right_text) = (self.formula(left, a), self.formula(right, b));
            return format!("{} {sign} {}", wrap(left_text, left), wrap(right_text, right));
        }
        let value = self.machine.number(number);
        let scale = self.scale(number).or(scale);
        self.shown(scale, &value)
    }

    /// The scales of both sides of an operation, the missing one from the result's.
    fn scales(
        &self,
        operator: Operator,
        left: &Number,
        right: &Number,
        out: Option<Scale>,
    ) -> (Option<Scale>, Option<Scale>) {
        let (a, b) = (self.scale(left), self.scale(right));
        let ratio = |s: Option<Scale>| if let Some(Scale::Ratio(d)) = s { Some(d) } else { None };
        match (operator, a, b) {
            (_, Some(_), Some(_)) => (a, b),
            (Operator::Plus | Operator::Minus, ..) => (a.or(b).or(out), b.or(a).or(out)),
            (Operator::Times, ..) => {
                let other = |known: Option<Scale>| {
                    ratio(out).zip(ratio(known)).map(|(out, known)| Scale::Ratio(out.over(known)))
                };
                (a.or(other(b)), b.or(other(a)))
            }
            (Operator::Over, ..) => {
                let upper = ratio(out).zip(ratio(b)).map(|(out, b)| Scale::Ratio(out.times(b)));
                let lower = ratio(a).zip(ratio(out)).map(|(a, out)| Scale::Ratio(a.over(out)));
                (a.or(upper), b.or(lower))
            }
        }
    }

    /// The scale of a quantity, as far as its words tell.
    pub(super) fn scale(&self, number: &Number) -> Option<Scale> {
        let of_type = |ty: Option<Type>| if let Some(Type::Quantity(scale)) = ty { Some(scale) } else { None };
        match &number.node {
            NumberNode::Word(_, name) => {
                let words = self.code().vocabulary.words();
                of_type(words.iter().find(|w| w.name == *name && matches!(w.ty, Type::Quantity(_))).map(|w| w.ty))
            }
            NumberNode::Letter(slot) => of_type(self.types.last().and_then(|t| t.get(slot.0 as usize)).copied()),
            NumberNode::Cell(slot, cell) => {
                let Letter::Row(table, _) = self.machine.letter(*slot) else { return None };
                let table = self.code().table(*table)?;
                let cell = *cell as usize;
                of_type(match table.keys.get(cell) {
                    Some((_, ty, _)) => Some(*ty),
                    None => table.columns.get(cell.saturating_sub(table.keys.len())).map(|c| c.1),
                })
            }
            NumberNode::Lookup(lookup) => {
                let table = self.code().table(lookup.table)?;
                of_type(table.columns.get(lookup.column as usize).map(|c| c.1))
            }
            NumberNode::Call(call) => of_type(self.code().define(call.define).map(|d| d.result)),
            NumberNode::Count(_) | NumberNode::Rank { .. } => Some(Scale::NUMBER),
            NumberNode::Edition => Some(Scale::Edition),
            NumberNode::Day => Some(Scale::Date),
            NumberNode::Arithmetic(operator, left, right) => {
                let (a, b) = (self.scale(left), self.scale(right));
                // Only what is alike is added: a plain figure in the rules is of its neighbor's scale.
                if let Operator::Plus | Operator::Minus = operator {
                    return a.or(b);
                }
                match (operator, a?, b?) {
                    (Operator::Times, Scale::Ratio(a), Scale::Ratio(b)) => Some(Scale::Ratio(a.times(b))),
                    (Operator::Over, Scale::Ratio(a), Scale::Ratio(b)) => Some(Scale::Ratio(a.over(b))),
                    _ => None,
                }
            }
            NumberNode::Extreme { candidates, .. } => candidates.iter().find_map(|c| self.scale(c)),
            NumberNode::Aggregate { body, .. } => self.scale(body),
            NumberNode::If(parts) => self.scale(&parts.1).or_else(|| self.scale(&parts.2)),
            NumberNode::ToTable { value, .. } | NumberNode::Rounded { value, .. } => self.scale(value),
            NumberNode::Steps(steps) => steps.iter().find_map(|(_, n)| self.scale(n)),
            NumberNode::Constant(_) | NumberNode::NoLimit | NumberNode::Asked(_) => None,
        }
    }

    /// An argument or a hole as text.
    pub(super) fn any_text(&mut self, any: &Any) -> String {
        match any {
            Any::Test(test) => match self.machine.test(test) {
                Truth::Yes => "yes".into(),
                Truth::No => "no".into(),
                Truth::Unknown => "unknown".into(),
            },
            Any::Number(number, scale) => {
                let value = self.machine.number(number);
                let digits = self.digits_of(number);
                show::interval(Some(*scale), &value, digits)
            }
            Any::Choice(choice, id) => {
                let bits = self.machine.choice(choice);
                show::choice(self.code(), Some(*id), bits)
            }
            Any::Item(item) => self.item_text(item),
            Any::Items(items) => {
                let members = self.machine.members(items);
                let sure = members.list.map(|l| l.sure.as_slice()).unwrap_or_default();
                let names: Vec<String> = sure.iter().map(|item| self.shop().called(*item)).collect();
                match (names.is_empty(), members.is_open) {
                    (false, false) => super::words::join(&names, "and"),
                    (false, true) => format!("{}, perhaps others", super::words::join(&names, "and")),
                    (true, true) => "things not named yet".into(),
                    (true, false) => "nothing".into(),
                }
            }
            Any::Name(owner, name) => {
                let item = self.machine.item(owner);
                match item.map(|item| self.machine.value(item, *name)) {
                    Some(crate::shop::Value::Name(n)) => self.shop().proper_name(n).to_string(),
                    _ => "not known".into(),
                }
            }
        }
    }
}

/// A formula by itself, the first step below what it gives, comes to the same in the same words: a percentage, and
/// what is rounded one way.
pub(super) fn in_the_same_words(why: &mut Why) {
    if let Some(formula) = why.from.first_mut()
        && formula.places.is_empty()
        && formula.from.is_empty()
        && formula.source.is_none()
        && [" × ", " / ", " + ", " − "].iter().any(|sign| formula.text.contains(sign))
    {
        formula.value.clone_from(&why.value);
    }
}
