//! The quick way to read facts, for plans that leave little open.

use super::alike::Look;
use super::ground::Ground;
use super::reader::{Begun, Fact, Kept, Reader, Split};
use crate::shop::Value;

/// The quick way: reads the plan as it is and keeps whether an assumption or a claim was read.
#[derive(Debug, Default)]
pub(in crate::law) struct Quick {
    /// Whether an assumption or claim was read.
    pub is_weak: bool,
}

impl Reader for Quick {
    const CAN_PRESUME: bool = false;
    const IS_PLAIN: bool = true;

    #[inline]
    fn read_plainly(&mut self, is_weak: bool) {
        self.is_weak |= is_weak;
    }

    #[inline]
    fn value(&mut self, ground: &Ground, (item, name): Fact) -> Value {
        self.is_weak |= ground.is_weak(item.kind, name);
        *ground.shop.fact(item, name)
    }

    #[inline]
    fn loose(&mut self, _: &Ground, _: Fact) {}

    #[inline]
    fn is_opened(&mut self, ground: &Ground, (item, name): Fact) -> bool {
        self.is_weak |= ground.is_weak(item.kind, name);
        false
    }

    #[inline]
    fn mark(&self) -> usize {
        0
    }

    #[inline]
    fn settle(&mut self, _: usize) {}

    #[inline]
    fn only(&mut self, _: usize, _: usize) {}

    #[inline]
    fn discard(&mut self, _: usize, _: usize) {}

    #[inline]
    fn hint(&mut self, _: usize, _: Split) {}

    #[inline]
    fn presume(&mut self, _: bool) -> bool {
        false
    }

    #[inline]
    fn taken(&self) -> usize {
        0
    }

    #[inline]
    fn give_back(&mut self, _: usize) {}

    #[inline]
    fn may_recall(&self, _: bool) -> bool {
        true
    }

    #[inline]
    fn begin(&mut self) -> Begun {
        let begun = Begun { mark: 0, was_weak: self.is_weak, work: 0 };
        self.is_weak = false;
        begun
    }

    #[inline]
    fn end(&mut self, begun: Begun) -> Kept {
        let kept = Kept { is_weak: self.is_weak, from: 0, to: 0 };
        self.is_weak |= begun.was_weak;
        kept
    }

    #[inline]
    fn recall(&mut self, kept: Kept) {
        self.is_weak |= kept.is_weak;
    }

    #[inline]
    fn is_untouched(&self, _: Kept) -> bool {
        true
    }

    #[inline]
    fn work(&mut self, _: usize) {}

    #[inline]
    fn looked(&mut self, _: Look) {}
}
