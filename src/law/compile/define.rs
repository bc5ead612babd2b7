use super::expression::Typed;
use super::scope::{LetterType, Scope};
use super::types::type_of;
use super::{Compiler, messages as say};
use crate::law::code::{Body, Define, DefineId, Test, TestNode};
use crate::law::syntax;
use crate::quantity::Scale;
use crate::words::Type;

impl<'a> Compiler<'a> {
    /// Types of every define, before any formula is read: formulas may name each other in any order.
    pub(super) fn signatures(&mut self) {
        let vocabulary = self.vocabulary.clone();
        for define in &self.pack.defines {
            let id = DefineId(self.code.defines.len() as u32);
            let mut problems = Vec::new();
            let parameters: Vec<Type> =
                define.parameters.iter().filter_map(|p| type_of(&p.ty, &vocabulary, &mut problems)).collect();
            let result = match &define.result {
                None => Some(Type::YesNo),
                Some(result) => type_of(result, &vocabulary, &mut problems),
            };
            let is_whole = parameters.len() == define.parameters.len();
            self.problems.extend(problems);
            if let [Type::Item(kinds)] = parameters.as_slice()
                && is_whole
                && let Some(name) = vocabulary.name(&define.name.node)
            {
                for kind in kinds.iter() {
                    if let Some(row) = self.code.words_by_define.get_mut(name.0 as usize) {
                        row[kind as usize] = Some(id);
                    }
                }
            }
            if is_whole && result.is_some() {
                self.define_numbers.entry(&define.name.node).or_default().push(id);
            }
            let body = Body::Test(Test { node: TestNode::Constant(false), span: define.body.span });
            self.code.defines.push(Define {
                name: define.name.node.clone(),
                doc: define.doc.clone(),
                note: define.note.clone(),
                cites: define.cites.clone(),
                parameters,
                result: result.unwrap_or(Type::YesNo),
                body,
                slots: 0,
                turns_on_edition: false,
                turns_on_day: false,
                span: define.span,
            });
        }
    }

    /// Every formula, then what each turns on through those that it calls.
    pub(super) fn defines(&mut self) {
        for (index, define) in self.pack.defines.iter().enumerate() {
            let mut scope = Scope::default();
            scope.values = define.values.iter().collect();
            scope.lists = define.lists.iter().collect();
            let parameters = self.code.defines[index].parameters.clone();
            for (parameter, ty) in define.parameters.iter().zip(&parameters) {
                let ty = match ty {
                    Type::Item(kinds) => LetterType::Item(*kinds),
                    Type::Quantity(scale) => LetterType::Number(*scale),
                    Type::Choice(id) => LetterType::Choice(*id),
                    _ => LetterType::YesNo,
                };
                scope.push(&parameter.name.node, ty);
            }
            let body = self.body(define, self.code.defines[index].result, &mut scope);
            let made = &mut self.code.defines[index];
            if let Some(body) = body {
                made.body = body;
            }
            made.slots = scope.slots;
            made.turns_on_edition = scope.turns_on_edition;
            made.turns_on_day = scope.turns_on_day;
            self.calls.push(scope.calls);
        }
        self.follow_calls();
    }

    fn body(&mut self, define: &'a syntax::Define, result: Type, scope: &mut Scope<'a>) -> Option<Body> {
        let hint = super::expression::Hint { choice: if let Type::Choice(id) = result { Some(id) } else { None } };
        let typed = self.typed(&define.body, scope, hint)?;
        let span = define.body.span;
        match (typed, result) {
            (Typed::Test(test), Type::YesNo) => Some(Body::Test(test)),
            (Typed::Choice(choice, id), Type::Choice(wanted)) if id == wanted => Some(Body::Choice(choice)),
            (Typed::Item(item, kinds), Type::Item(wanted)) if wanted.covers(kinds) => Some(Body::Item(item)),
            (Typed::NoLimit(span), Type::Quantity(_)) => {
                Some(Body::Number(crate::law::code::Number { node: crate::law::code::NumberNode::NoLimit, span }))
            }
            (Typed::Number(number, scale), Type::Quantity(wanted)) => match super::expression::joined(scale, wanted) {
                Some(_) => Some(Body::Number(number)),
                None => {
                    let nameless = matches!(scale, Scale::Ratio(d) if d.name().is_none());
                    self.problem(if nameless { say::no_product(span) } else { say::scales(span, scale, wanted) });
                    None
                }
            },
            (other, wanted) => {
                let wanted = self.vocabulary.type_text(wanted);
                self.wrong(span, &format!("a formula that gives {wanted}"), &other)
            }
        }
    }

    /// Carries "turns on the edition" up along calls, and tells of formulas that come back to themselves.
    fn follow_calls(&mut self) {
        #[derive(Clone, Copy, PartialEq)]
        enum Seen {
            No,
            Open,
            Done,
        }
        let mut seen = vec![Seen::No; self.calls.len()];
        for start in 0..self.calls.len() as u32 {
            // An explicit stack: a pack of strangers may be deep.
            let mut stack = vec![(start, false)];
            while let Some((at, is_back)) = stack.pop() {
                let place = at as usize;
                if is_back {
                    let (mut edition, mut day) = (false, false);
                    for called in &self.calls[place] {
                        let define = &self.code.defines[*called as usize];
                        edition |= define.turns_on_edition;
                        day |= define.turns_on_day;
                    }
                    let made = &mut self.code.defines[place];
                    made.turns_on_edition |= edition;
                    made.turns_on_day |= day;
                    seen[place] = Seen::Done;
                    continue;
                }
                match seen[place] {
                    Seen::Done => continue,
                    Seen::Open => continue,
                    Seen::No => seen[place] = Seen::Open,
                }
                stack.push((at, true));
                for called in self.calls[place].clone() {
                    match seen[called as usize] {
                        Seen::No => stack.push((called, false)),
                        Seen::Open => {
                            let name = &self.pack.defines[called as usize].name;
                            self.problems.push(say::recursion(name));
                            // Without this edge the rest can still be worked out.
                            self.code.defines[place].body =
                                Body::Test(Test { node: TestNode::Constant(false), span: name.span });
                        }
                        Seen::Done => {}
                    }
                }
            }
        }
    }
}
