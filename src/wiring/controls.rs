//! Controls on the way to a load: switches, sets of 3-way and 4-way switches, disconnects.

use super::facts::{Facts, within};
use super::make::{Key, Maker, Point};
use super::nets::{Role, Screw};
use crate::shop::{ItemRef, Shop};
use crate::words::{Kind, choice, name};

/// Bits of the choice `switch-type`.
pub(super) struct Types {
    three: u64,
    four: u64,
    double: u64,
    electronic: u64,
}

impl Types {
    pub fn new(shop: &Shop) -> Types {
        let bit = |v| shop.bit(choice::SWITCH_TYPE, v);
        Types {
            three: bit("3-way"),
            four: bit("4-way"),
            double: bit("double-pole"),
            electronic: bit("timer") | bit("photocell") | bit("occupancy"),
        }
    }
}

impl Maker<'_> {
    /// Past the controls of a stage, in order.
    pub fn go_through(&mut self, point: &mut Point, through: &[ItemRef]) {
        let mut rest = through;
        while let Some((first, others)) = rest.split_first() {
            let set = self.set(rest);
            if set > 1 {
                let (members, after) = rest.split_at(set.min(rest.len()));
                self.through_set(point, members);
                rest = after;
                continue;
            }
            rest = others;
            match first.kind {
                Kind::Switch => self.through_switch(point, *first),
                // What goes through a device hangs on its load terminals.
                Kind::Device => {
                    self.land_ahead(point, *first);
                    if self.is_gfci(*first) {
                        self.go_behind(point, *first);
                    }
                }
                _ => self.through_disconnect(point, *first),
            }
        }
    }

    /// How many of these switches make one set: a 3-way, 4-ways, a 3-way (C9). 1 where they don't.
    fn set(&mut self, switches: &[ItemRef]) -> usize {
        let bits: Vec<u64> =
            switches.iter().map(|s| if s.kind == Kind::Switch { self.shop.bits(*s, name::TYPE) } else { 0 }).collect();
        let may = |i: usize, set: u64| bits.get(i).and_then(|b| within(*b, set)) != Some(false);
        let (three, four) = (self.types.three, self.types.four);
        if bits.len() < 2 || !may(0, three) {
            return 1;
        }
        let mut last = 1;
        for i in 1..bits.len() {
            if may(i, three) {
                last = i.saturating_add(1);
            }
            if !may(i, four) {
                break;
            }
        }
        if last == 1 {
            return 1;
        }
        let must = |i: usize, set: u64| bits.get(i).and_then(|b| within(*b, set)) == Some(true);
        let end = last.saturating_sub(1);
        let is_sure = must(0, three) && must(end, three) && (1..end).all(|i| must(i, four));
        self.asked.sets |= !is_sure;
        if is_sure || self.reading.sets { last } else { 1 }
    }

    /// A set of 3-way and 4-way switches. It opens one hot; a second goes past it.
    fn through_set(&mut self, point: &mut Point, members: &[ItemRef]) {
        let (Some(line), Some(first), Some(last)) =
            (point.hots.first().copied(), members.first().copied(), members.last().copied())
        else {
            return;
        };
        self.land_once(line, first, Screw::Common);
        let set = members.to_vec();
        for (pair, two) in members.windows(2).enumerate() {
            let [a, b] = two else { continue };
            for no in 0..2u8 {
                let key = Key::Traveler(line, set.clone(), pair.min(255) as u8, no);
                let net = self.after(line, key, |net| {
                    net.role = Role::Traveler;
                    net.switches.extend(&set);
                    net.pair = no;
                });
                self.land_once(net, *a, Screw::Out(no));
                self.land_once(net, *b, Screw::In(no));
            }
        }
        let switched = self.after(line, Key::Switched(line, set.clone()), |net| {
            net.role = Role::SwitchedHot;
            net.switches.extend(&set);
        });
        self.land_once(switched, last, Screw::Common);
        for member in members {
            self.neutral_at(point, *member);
        }
        if let Some(slot) = point.hots.first_mut() {
            *slot = switched;
        }
    }

    fn through_switch(&mut self, point: &mut Point, switch: ItemRef) {
        let is_double = point.hots.len() > 1 && {
            let bits = self.shop.bits(switch, name::TYPE);
            let said = within(bits, self.types.double);
            self.asked.doubles = self.asked.doubles.saturating_add(usize::from(said.is_none()));
            said.unwrap_or(self.reading.doubles)
        };
        for (i, slot) in point.hots.iter_mut().enumerate() {
            if i > 0 && !is_double {
                break;
            }
            let line = *slot;
            self.land_once(line, switch, Screw::Line(i as u8));
            let switched = self.after(line, Key::Switched(line, vec![switch]), |net| {
                net.role = Role::SwitchedHot;
                net.switches.push(switch);
            });
            self.land_once(switched, switch, Screw::Load(i as u8));
            *slot = switched;
        }
        self.neutral_at(point, switch);
    }

    /// The plan says where a neutral is brought to a switch (C19): a timer, photocell or motion
    /// sensor lands it, any other switch leaves it capped.
    fn neutral_at(&mut self, point: &Point, switch: ItemRef) {
        if self.shop.yes(switch, name::HAS_NEUTRAL) != Some(true) {
            return;
        }
        let is_electronic =
            within(self.shop.bits(switch, name::TYPE), self.types.electronic) == Some(true) || self.is_moved(switch);
        let net = point.neutral;
        let screw = if is_electronic { Screw::Neutral } else { Screw::Capped };
        if let Some(net) = net {
            self.land_once(net, switch, screw);
        }
    }

    /// Whether something else than a hand moves it.
    fn is_moved(&self, switch: ItemRef) -> bool {
        let movers = ["timer", "photocell", "occupancy"];
        let set = movers.iter().fold(0, |set, v| set | self.shop.bit(choice::CONTROL, v));
        within(self.shop.bits(switch, name::CONTROL), set) == Some(true)
    }

    /// A disconnect opens every hot; what leaves it is a hot still.
    fn through_disconnect(&mut self, point: &mut Point, disconnect: ItemRef) {
        for (i, slot) in point.hots.iter_mut().enumerate() {
            let line = *slot;
            self.land_once(line, disconnect, Screw::Line(i as u8));
            let after = self.after(line, Key::Switched(line, vec![disconnect]), |_| {});
            self.land_once(after, disconnect, Screw::Load(i as u8));
            *slot = after;
        }
    }
}
