//! Conductors as nets: what each is for, and which terminals it joins.

use super::facts::Facts;
use super::wires::{Kinds, is_sized, wire_facts};
use crate::shop::{ItemRef, Shop};
use crate::words::name;

/// What a conductor is for: the values of the choice `role`, in its order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[repr(u8)]
pub enum Role {
    /// Live whenever the breaker is on.
    Hot,
    /// Grounded return.
    Neutral,
    /// Carries fault current only.
    EquipmentGround,
    /// Live when its switches say so.
    SwitchedHot,
    /// One of two between 3-way or 4-way switches.
    Traveler,
    /// Signals.
    Signal,
    /// Joined to nothing.
    Spare,
}

impl Role {
    /// Every role, in the order of the choice.
    pub const ALL: [Role; 7] =
        [Role::Hot, Role::Neutral, Role::EquipmentGround, Role::SwitchedHot, Role::Traveler, Role::Signal, Role::Spare];

    /// Its value of the choice `role`, the same in JSON.
    pub const fn name(self) -> &'static str {
        match self {
            Role::Hot => "hot",
            Role::Neutral => "neutral",
            Role::EquipmentGround => "equipment-ground",
            Role::SwitchedHot => "switched-hot",
            Role::Traveler => "traveler",
            Role::Signal => "signal",
            Role::Spare => "spare",
        }
    }

    /// What sentences call a wire that is for this.
    pub const fn noun(self) -> &'static str {
        match self {
            Role::Hot => "hot",
            Role::Neutral => "neutral",
            Role::EquipmentGround => "equipment grounding conductor",
            Role::SwitchedHot => "switched hot",
            Role::Traveler => "traveler",
            Role::Signal => "signal wire",
            Role::Spare => "spare wire",
        }
    }
}

/// A terminal that a conductor ends on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Screw {
    /// Breaker, or the supply's own terminal.
    Source,
    /// The neutral bar.
    Bar,
    /// Hot terminal of a load; the number tells two hots apart.
    Hot(u8),
    /// Neutral terminal of a load or control.
    Neutral,
    /// Line terminal of a switch or disconnect.
    Line(u8),
    /// Its load terminal.
    Load(u8),
    /// Common of a 3-way.
    Common,
    /// First or second traveler terminal, toward the switch before.
    In(u8),
    /// First or second traveler terminal, toward the switch behind.
    Out(u8),
    /// Load terminal of a GFCI device.
    Behind(u8),
    /// Its neutral load terminal.
    BehindNeutral,
    /// Left under a cap for later.
    Capped,
}

/// One end of a net.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct End {
    /// The device, machine, panel or box.
    pub item: ItemRef,
    /// Its terminal.
    pub screw: Screw,
    /// Busbars whose current comes back here over a neutral: bit 0 A, bit 1 B, bit 2 not known which.
    pub(super) phases: u8,
    /// Tells apart whose current that is.
    pub(super) who: u32,
}

/// One conductor of a circuit, through however many runs it goes.
#[derive(Clone, Debug)]
pub struct Net {
    /// What it is for.
    pub role: Role,
    /// Its circuit; two or more that share a neutral.
    pub circuits: Vec<ItemRef>,
    /// Which hot of a circuit with several, from 0.
    pub hot: u8,
    /// The switches that control it, as named.
    pub switches: Vec<ItemRef>,
    /// Which of two travelers, 0 or 1.
    pub pair: u8,
    /// What it joins.
    pub ends: Vec<End>,
    /// The last device on whose load terminals it hangs.
    pub(super) behind: Option<u32>,
}

impl Net {
    /// Whether it hangs on the load terminals of a ground-fault device.
    pub fn is_behind(&self) -> bool {
        self.behind.is_some()
    }
}

/// What a net is made of in a run: what the run names wins, then what its circuit names; a shared
/// neutral is as large as the largest of its circuits asks.
pub(super) fn wire_of(shop: &Shop, run: ItemRef, net: &Net) -> Kinds {
    if let Some(wire) = shop.item(run, name::WIRE).filter(|w| is_sized(shop, *w)) {
        return wire_facts(shop, Some(wire));
    }
    let of_line = |line: &ItemRef| {
        let own = shop.item(*line, name::NEUTRAL_WIRE).filter(|_| net.role == Role::Neutral);
        wire_facts(shop, own.or_else(|| shop.item(*line, name::WIRE)))
    };
    net.circuits.iter().map(of_line).reduce(Kinds::larger).unwrap_or(Kinds::UNKNOWN)
}
