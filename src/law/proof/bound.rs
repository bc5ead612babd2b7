//! What a condition leaves possible for one expression.

use crate::law::print;
use crate::law::syntax::{Expr, Node};
use crate::quantity::{Quantity, Rational};
use crate::text::Span;
use std::collections::BTreeSet;
use std::fmt;

/// Values that are left.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Bound {
    /// Amounts, sizes, days: from the first to the second, each with whether it is itself left out.
    Range(Option<End>, Option<End>),
    /// One of these values of a choice.
    Among(BTreeSet<String>),
    /// Any but these.
    Not(BTreeSet<String>),
    /// Yes, or no.
    Is(bool),
}

/// One end of a range.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct End {
    pub at: Quantity,
    pub is_out: bool,
}

impl Bound {
    /// Both at once; none where the two are of no common kind and nothing is known of them together.
    pub fn and(&self, other: &Bound) -> Option<Bound> {
        Some(match (self, other) {
            (Bound::Range(a, b), Bound::Range(c, d)) => {
                Bound::Range(tighter(*a, *c, |x, y| x > y)?, tighter(*b, *d, |x, y| x < y)?)
            }
            (Bound::Is(a), Bound::Is(b)) if a == b => Bound::Is(*a),
            // Yes and no at once: nothing is left.
            (Bound::Is(_), Bound::Is(_)) => Bound::Among(BTreeSet::new()),
            (Bound::Among(a), Bound::Among(b)) => Bound::Among(a & b),
            (Bound::Among(a), Bound::Not(b)) | (Bound::Not(b), Bound::Among(a)) => {
                Bound::Among(a.difference(b).cloned().collect())
            }
            (Bound::Not(a), Bound::Not(b)) => Bound::Not(a | b),
            _ => return None,
        })
    }

    /// Whether no value is left.
    pub fn is_empty(&self) -> bool {
        match self {
            Bound::Range(Some(low), Some(high)) => {
                low.at.value > high.at.value || low.at.value == high.at.value && (low.is_out || high.is_out)
            }
            Bound::Among(values) => values.is_empty(),
            _ => false,
        }
    }

    /// Whether every value that is left here is left by the other too.
    pub fn is_within(&self, other: &Bound) -> bool {
        self.and(other).is_some_and(|both| both == *self)
    }
}

/// The tighter of two ends; none at all where they are of different scales.
fn tighter(a: Option<End>, b: Option<End>, wins: fn(Rational, Rational) -> bool) -> Option<Option<End>> {
    let (Some(x), Some(y)) = (a, b) else { return Some(a.or(b)) };
    if x.at.scale != y.at.scale {
        return None;
    }
    let first = wins(x.at.value, y.at.value) || x.at.value == y.at.value && x.is_out;
    Some(Some(if first { x } else { y }))
}

impl fmt::Display for Bound {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let list = |values: &BTreeSet<String>| values.iter().cloned().collect::<Vec<_>>().join(" or ");
        let show = |end: &End| print::expr(&Expr { node: Box::new(Node::Quantity(end.at)), span: Span::default() });
        match self {
            Bound::Range(Some(low), Some(high)) if low.at == high.at => write!(f, "is {}", show(low)),
            Bound::Range(Some(low), Some(high)) => write!(f, "is {} to {}", show(low), show(high)),
            Bound::Range(Some(low), None) if low.is_out => write!(f, "is over {}", show(low)),
            Bound::Range(Some(low), None) => write!(f, "is at least {}", show(low)),
            Bound::Range(None, Some(high)) if high.is_out => write!(f, "is under {}", show(high)),
            Bound::Range(None, Some(high)) => write!(f, "is at most {}", show(high)),
            Bound::Range(None, None) => write!(f, "is anything"),
            Bound::Among(values) => write!(f, "is {}", list(values)),
            Bound::Not(values) => write!(f, "is not {}", list(values)),
            Bound::Is(true) => write!(f, "holds"),
            Bound::Is(false) => write!(f, "does not hold"),
        }
    }
}
