//! What a circuit feeds: `feeds R1 then R2, R3`, `feeds L1, L2 through S1 and S2`.

use super::names::Named;
use super::phrases::Tokens;
use super::state::Said;
use super::{Builder, Listed};
use crate::plan::syntax::{Token, TokenKind};
use crate::shop::{Branch, ItemRef, Load, Stage};
use crate::text::Problem;
use crate::words::{Kind, Kinds};

const LOADS: Kinds = Kinds::of(Kind::Receptacle)
    .and(Kinds::of(Kind::Light))
    .and(Kinds::of(Kind::Equipment))
    .and(Kinds::of(Kind::Device))
    .and(Kinds::of(Kind::Box))
    .and(Kinds::of(Kind::Switch))
    .and(Kinds::of(Kind::Panel))
    .and(Kinds::of(Kind::Area))
    .and(Kinds::of(Kind::Shop));
const CONTROLS: Kinds = Kinds::of(Kind::Switch).and(Kinds::of(Kind::Disconnect)).and(Kinds::of(Kind::Device));

/// One `feeds` line taken apart.
#[derive(Default)]
struct Line {
    branch: Branch,
    is_open: bool,
    is_nothing: bool,
}

impl Builder {
    /// Reads a `feeds` line for each of these circuits. A line with a mistake leaves the list open.
    pub fn feeds(&mut self, refs: &[ItemRef], tokens: Tokens, said: Said) -> bool {
        let mut line = Line { branch: Branch { stages: Vec::new(), place: said.place }, ..Line::default() };
        let names = tokens.get(1..).unwrap_or(&[]);
        if names.is_empty() {
            return false;
        }
        for stage in names.split(|t| t.is("then")) {
            self.stage(stage, &mut line, said);
        }
        for circuit in refs {
            if !self.may_list(*circuit, Listed::Feeds) {
                continue;
            }
            let is_opened = self.opened.contains(&(*circuit, Listed::Feeds));
            let Some(feeds) = self.shop.feeds.get_mut(circuit.index as usize) else { continue };
            // Nothing was said so far: the list is closed unless a line of it ends open.
            if feeds.branches.is_empty() && !feeds.is_nothing {
                feeds.is_open = is_opened;
            }
            feeds.is_open |= line.is_open;
            feeds.is_nothing |= line.is_nothing;
            if !line.branch.stages.is_empty() {
                feeds.branches.push(line.branch.clone());
            }
        }
        true
    }

    fn stage(&mut self, tokens: Tokens, line: &mut Line, said: Said) {
        let mut stage = Stage::default();
        let at = tokens.iter().position(|t| t.is("through")).unwrap_or(tokens.len());
        let (loads, controls) = tokens.split_at(at);
        let mut is_half = false;
        let mut follows = true;
        for token in loads {
            let joins = token.kind == TokenKind::Comma || token.is("and");
            if joins {
                follows = true;
                continue;
            }
            if !follows {
                self.unparted(token);
                line.is_open = true;
            }
            follows = false;
            match token.text.as_str() {
                "half" => (is_half, follows) = (true, true),
                "of" if is_half => follows = true,
                "nothing" | "none" if loads.len() == 1 => line.is_nothing = true,
                "unknown" => {
                    line.is_open = true;
                    // `feeds unknown through S1`: something is there, whatever it is.
                    if loads.len() == 1 {
                        stage.loads.push(Load { item: None, is_half: false, place: token.span });
                    }
                }
                _ => {
                    let item = match self.resolve_kind(token, LOADS) {
                        Named::Item(item) => Some(item),
                        Named::Unknown | Named::Undefined => {
                            line.is_open = true;
                            None
                        }
                    };
                    stage.loads.push(Load { item, is_half, place: token.span });
                    is_half = false;
                }
            }
        }
        for token in controls.iter().filter(|t| t.kind == TokenKind::Word && !t.is("through") && !t.is("and")) {
            match self.resolve_kind(token, CONTROLS) {
                Named::Item(item) => stage.through.push(item),
                Named::Unknown | Named::Undefined => {
                    // Without its control nothing is known of what hangs behind it.
                    line.is_open = true;
                    stage.loads.iter_mut().for_each(|load| load.item = None);
                }
            }
        }
        if loads.is_empty() {
            let problem = Problem::error(said.place, "`then` or `through` stands where a load is expected")
                .help("`feeds R1 then R2, R3`, `feeds L1 through S1 and S2`");
            self.shop.problems.push(problem);
            line.is_open = true;
        }
        if !stage.loads.is_empty() || !stage.through.is_empty() {
            line.branch.stages.push(stage);
        }
    }

    fn unparted(&mut self, token: &Token) {
        let problem = Problem::error(token.span, format!("a comma or `then` is missing before `{}`", token.text))
            .help("a comma: on the same splice; `then`: on through the device before it");
        self.shop.problems.push(problem);
    }
}
