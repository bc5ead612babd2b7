//! Words with an ordinary answer: they may stand in exceptions only, and only where taking the
//! ordinary answer can do no more than deny the exception.

use super::frame::Frame;
use crate::text::Span;
use crate::words::{Kinds, NameId, Ordinary};

/// What a yes at some place does to the whole condition.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) enum Sign {
    /// It can only help it to hold.
    #[default]
    Helps,
    /// It can only keep it from holding.
    Hinders,
    /// It may do either.
    Either,
}

/// What taking the ordinary answer of a word does to the condition that it stands in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Effect(u8);

/// A word with an ordinary answer, met in an expression.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rare {
    pub kinds: Kinds,
    pub name: NameId,
    pub effect: Effect,
    pub place: Span,
}

impl Sign {
    /// Under a `not`.
    pub fn flip(self) -> Sign {
        match self {
            Sign::Helps => Sign::Hinders,
            Sign::Hinders => Sign::Helps,
            Sign::Either => Sign::Either,
        }
    }
}

impl Effect {
    const DENIES: u8 = 1;
    const GRANTS: u8 = 2;
    /// It may do either.
    pub const EITHER: Effect = Effect(Effect::DENIES | Effect::GRANTS);

    /// Of a condition that the ordinary answer makes yes or no.
    pub fn of(is_yes: bool) -> Effect {
        Effect(if is_yes { Effect::GRANTS } else { Effect::DENIES })
    }

    /// The same in a place with a sign.
    pub fn at(self, sign: Sign) -> Effect {
        match sign {
            Sign::Helps => self,
            Sign::Hinders => Effect((self.0 & 1) << 1 | self.0 >> 1),
            Sign::Either => Effect::EITHER,
        }
    }

    /// Whether the condition could come to hold by it.
    pub fn may_grant(self) -> bool {
        self.0 & Effect::GRANTS != 0
    }
}

impl Frame<'_> {
    /// Notes a word with an ordinary answer that a condition asks for.
    pub fn meet_rare(&mut self, kinds: Kinds, name: NameId, ordinary: Ordinary, place: Span) {
        let effect = match ordinary {
            Ordinary::Yes => Effect::of(true),
            Ordinary::No | Ordinary::Absent => Effect::of(false),
            // Which values are asked for is seen by the comparison; see `settle_rare`.
            Ordinary::Value(_) => Effect::EITHER,
        };
        let effect = if matches!(ordinary, Ordinary::Value(_)) { effect } else { effect.at(self.sign) };
        self.rare.push(Rare { kinds, name, effect, place });
    }

    /// Says of a choice's word, met since `before`, whether the comparison holds at its ordinary value.
    pub fn settle_rare(&mut self, before: usize, name: NameId, is_yes: bool) {
        let sign = self.sign;
        let met = self.rare.get_mut(before..).unwrap_or_default().iter_mut();
        met.filter(|rare| rare.name == name).for_each(|rare| rare.effect = Effect::of(is_yes).at(sign));
    }

    /// Takes over what a define met, where it is spoken of.
    pub fn inherit_rare(&mut self, met: &[Rare], place: Span) {
        let sign = self.sign;
        self.rare.extend(met.iter().map(|rare| Rare { effect: rare.effect.at(sign), place, ..*rare }));
    }
}
