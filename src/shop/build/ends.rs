//! Where runs, feeders and circuits begin and end.

use super::names::{Named, head_names};
use super::state::Said;
use super::{Builder, Listed};
use crate::plan::syntax::{Item, Token, TokenKind};
use crate::shop::{ItemRef, List, RunEnds, Shop, Value};
use crate::text::Problem;
use crate::words::{Kind, Kinds, name};

/// `[NAME from] A to ENDS`.
pub(super) struct RunShape<'a> {
    pub name: Option<&'a Token>,
    pub from: &'a Token,
    pub to: Vec<&'a Token>,
}

/// The head of a run taken apart; none where it has no two ends.
pub(super) fn run_shape(head: &[Token]) -> Option<RunShape<'_>> {
    let at = head.iter().position(|t| t.is("to"))?;
    let (left, right) = (head.get(..at)?, head.get(at.saturating_add(1)..)?);
    let (name, from) = match left {
        [from] => (None, from),
        [name, joint, from] if joint.is("from") => (Some(name), from),
        _ => return None,
    };
    let to: Vec<&Token> = right.iter().filter(|t| t.kind == TokenKind::Word && !t.is("and")).collect();
    let is_sound = !to.is_empty() && from.kind == TokenKind::Word && !to.iter().any(|t| t.is("to"));
    is_sound.then_some(RunShape { name, from, to })
}

/// What a run, feeder or circuit may end at.
pub(super) const ENDS: Kinds = Kinds::of(Kind::Shop)
    .and(Kinds::of(Kind::Area))
    .and(Kinds::of(Kind::Supply))
    .and(Kinds::of(Kind::Panel))
    .and(Kinds::of(Kind::Disconnect))
    .and(Kinds::of(Kind::Box))
    .and(Kinds::of(Kind::Receptacle))
    .and(Kinds::of(Kind::Switch))
    .and(Kinds::of(Kind::Light))
    .and(Kinds::of(Kind::Device))
    .and(Kinds::of(Kind::Equipment));

/// What stands at the end of a run and is neither box nor panel.
const DEVICES: Kinds = Kinds::of(Kind::Receptacle)
    .and(Kinds::of(Kind::Switch))
    .and(Kinds::of(Kind::Light))
    .and(Kinds::of(Kind::Device))
    .and(Kinds::of(Kind::Equipment));

impl Builder {
    /// What the head of an item says beside its names.
    pub fn read_head(&mut self, item: &Item, refs: &[ItemRef]) {
        match refs.first().map(|r| r.kind) {
            Some(Kind::Run) => self.run_ends(item, refs),
            Some(Kind::Feeder | Kind::Circuit) => self.ends_of_line(item, refs),
            _ => {}
        }
    }

    fn run_ends(&mut self, item: &Item, refs: &[ItemRef]) {
        let Some(shape) = run_shape(&item.head) else { return };
        let from = self.end(shape.from);
        for (run, to) in refs.iter().zip(shape.to) {
            let to = self.end(to);
            if !self.may_list(*run, Listed::Ends) {
                continue;
            }
            let said = Said::planned(item.span);
            // An end that is unknown, or somewhere in a building, may be any box, panel or device.
            let is_vague = |e: Option<ItemRef>| e.is_none_or(|e| matches!(e.kind, Kind::Shop | Kind::Area));
            let is_open = is_vague(from) || is_vague(to);
            let words =
                [(Kinds::of(Kind::Box), name::BOXES), (Kinds::of(Kind::Panel), name::PANELS), (DEVICES, name::DEVICES)];
            for (kinds, word) in words {
                let sure = [from, to].into_iter().flatten().filter(|e| kinds.has(e.kind)).collect();
                let id = self.shop.add_list(List { sure, is_open, ..List::default() });
                self.state(*run, word, Value::List(id), said);
            }
            if let Some(slot) = self.shop.ends.get_mut(run.index as usize) {
                *slot = RunEnds { ends: vec![from, to] };
            }
        }
    }

    fn end(&mut self, token: &Token) -> Option<ItemRef> {
        match self.resolve_kind(token, ENDS) {
            Named::Item(item) => Some(item),
            Named::Unknown | Named::Undefined => None,
        }
    }

    fn ends_of_line(&mut self, item: &Item, refs: &[ItemRef]) {
        let (_, rest, _) = head_names(&item.head, true);
        let mut rest = rest.iter();
        while let Some(joint) = rest.next() {
            let said = Said::planned(item.span);
            match joint.text.as_str() {
                "by" => {
                    let way: Vec<&Token> = rest.by_ref().skip(2).collect();
                    self.by_way_of(refs, &way);
                    return;
                }
                joining @ ("from" | "to") => {
                    let Some(end) = rest.next() else {
                        let problem = Problem::error(joint.span, format!("`{joining}` needs a name behind it"))
                            .help("a supply, panel, disconnect, machine or `unknown`");
                        self.shop.problems.push(problem);
                        return;
                    };
                    let Some(end) = self.end(end) else {
                        // Where it starts is not known, so no default may say.
                        self.opened.extend(refs.iter().map(|line| (*line, Listed::Ends)));
                        continue;
                    };
                    for line in refs {
                        if joining == "from" {
                            self.starts_at(*line, end, said)
                        } else {
                            self.goes_to(*line, end, said)
                        }
                    }
                }
                other => {
                    let problem = Problem::error(joint.span, format!("`{other}` does not belong here")).help(
                        "behind the names come `from X`, `to Y` and `by way of Z`; phrases stand behind a colon or on \
                         indented lines",
                    );
                    self.shop.problems.push(problem);
                    return;
                }
            }
        }
    }

    fn starts_at(&mut self, line: ItemRef, end: ItemRef, said: Said) {
        self.state(line, name::NEAR_END, Value::Item(end), said);
        match end.kind {
            Kind::Supply => {
                self.state(line, name::SUPPLY, Value::Item(end), said);
                if line.kind == Kind::Feeder {
                    self.state(line, name::PANEL, Value::Absent, said);
                }
            }
            Kind::Panel => self.state(line, name::PANEL, Value::Item(end), said),
            _ => {}
        }
    }

    fn goes_to(&mut self, line: ItemRef, end: ItemRef, said: Said) {
        self.state(line, name::FAR_END, Value::Item(end), said);
        if line.kind == Kind::Feeder && end.kind == Kind::Panel {
            self.state(line, name::FAR_PANEL, Value::Item(end), said);
        }
    }

    /// `by way of B1, B2`: boxes and runs that a feeder or circuit is told to pass.
    pub fn by_way_of(&mut self, refs: &[ItemRef], names: &[&Token]) {
        let kinds = ENDS.and(Kinds::of(Kind::Run));
        let mut way: Vec<ItemRef> = Vec::new();
        let mut is_known = true;
        for (named, _) in self.resolve_all(names, kinds) {
            match named {
                Named::Item(item) if item != Shop::SHOP => way.push(item),
                Named::Item(_) => {}
                // Part of the way is not known.
                Named::Unknown | Named::Undefined => is_known = false,
            }
        }
        for line in refs {
            if self.may_list(*line, Listed::Way) {
                if !is_known {
                    self.opened.insert((*line, Listed::Stretches));
                }
                self.shop.ways.entry(*line).or_default().extend(way.iter().copied());
            }
        }
    }
}
