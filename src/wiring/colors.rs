//! Colors to pull, and the values of choices that conductors need.

use super::facts::Facts;
use super::nets::{Net, Role};
use crate::shop::{Shop, Value};
use crate::words::choice;

/// Values of choices that conductors need.
pub(super) struct Bits {
    roles: [u64; 7],
    pub bare: u64,
    /// Equipment ground carried by a wire.
    pub wire: u64,
    pub colors: Colors,
}

/// Places in the choice `color`.
pub(super) struct Colors {
    pub black: u8,
    pub red: u8,
    pub blue: u8,
    pub orange: u8,
    pub brown: u8,
    pub yellow: u8,
    pub white: u8,
    pub green: u8,
    pub bare: u8,
}

impl Bits {
    pub fn new(shop: &Shop) -> Bits {
        let color = |v| shop.vocabulary.choice(choice::COLOR).and_then(|c| c.value(v)).unwrap_or(0);
        Bits {
            roles: Role::ALL.map(|role| shop.bit(choice::ROLE, role.name())),
            bare: shop.bit(choice::INSULATION, "bare"),
            wire: shop.bit(choice::EQUIPMENT_GROUND_TYPE, "wire"),
            colors: Colors {
                black: color("black"),
                red: color("red"),
                blue: color("blue"),
                orange: color("orange"),
                brown: color("brown"),
                yellow: color("yellow"),
                white: color("white"),
                green: color("green"),
                bare: color("bare"),
            },
        }
    }

    /// The value of a role.
    pub fn role(&self, role: Role) -> Value {
        self.roles.get(role as usize).copied().filter(|b| *b != 0).map_or(Value::Unknown, Value::Choice)
    }

    /// A color to pull in raceway. White for a neutral and green for an equipment grounding conductor
    /// are the rule; the rest is custom: black and red for the two busbars, blue, orange and brown
    /// behind switches, yellow for travelers (common practice, no source). `switched` numbers the
    /// switched hots of a circuit, so that two in one box can be told apart and each keeps its
    /// color from box to box.
    pub fn color(&self, net: &Net, is_on_b: bool, switched: usize) -> u8 {
        let c = &self.colors;
        match net.role {
            Role::Neutral => c.white,
            Role::Traveler => c.yellow,
            Role::SwitchedHot => [c.blue, c.orange, c.brown].get(switched % 3).copied().unwrap_or(c.blue),
            Role::EquipmentGround => c.green,
            _ if net.hot == 1 || is_on_b => c.red,
            _ if net.hot == 2 => c.blue,
            _ => c.black,
        }
    }

    /// Colors of the insulated wires of a cable: black, white, red and blue, as they are made. White
    /// is the neutral; without one it serves as a hot, else as a traveler, re-marked, and the
    /// switched return takes it last (C17; custom).
    pub fn in_cable(&self, roles: &[Role]) -> Vec<u8> {
        let c = &self.colors;
        let order = [Role::Neutral, Role::Spare, Role::Hot, Role::Traveler, Role::SwitchedHot];
        let white = order.iter().find_map(|wanted| roles.iter().position(|r| r == wanted));
        let mut others = [c.black, c.red, c.blue].into_iter();
        let color = |i: usize| match Some(i) == white {
            true => c.white,
            false => others.next().unwrap_or(c.black),
        };
        (0..roles.len()).map(color).collect()
    }
}
