//! Shops made by chance: boxes on trees and loops of runs, one to five circuits of every sort.

use std::collections::BTreeMap;
use std::fmt::Write;

/// A plan, and what each load must do.
pub struct Shop {
    pub plan: String,
    /// For each load, or half of one, the switches that stand in series: one alone, or a set of 3-ways and 4-ways.
    pub control: BTreeMap<String, Vec<Vec<String>>>,
    /// Whether the runs close a ring.
    pub has_loop: bool,
}

/// Numbers in the place of decisions; zero when they run out, so that fewer numbers make simpler shops.
pub struct Dice<'a> {
    rolls: std::slice::Iter<'a, u32>,
}

impl<'a> Dice<'a> {
    pub fn new(rolls: &'a [u32]) -> Dice<'a> {
        Dice { rolls: rolls.iter() }
    }

    /// A number below `top`.
    pub fn below(&mut self, top: usize) -> usize {
        self.rolls.next().map_or(0, |roll| *roll as usize % top.max(1))
    }
}

struct Maker<'a, 'd> {
    dice: &'a mut Dice<'d>,
    boxes: Vec<Vec<String>>,
    items: String,
    count: BTreeMap<char, usize>,
    control: BTreeMap<String, Vec<Vec<String>>>,
}

impl Maker<'_, '_> {
    /// A new thing in some box.
    fn thing(&mut self, letter: char, kind: &str, what: &str) -> String {
        let number = self.count.entry(letter).or_default();
        *number += 1;
        let name = format!("{letter}{number}");
        let place = self.dice.below(self.boxes.len());
        self.boxes[place].push(name.clone());
        writeln!(self.items, "{kind} {name}: {what}").expect("text");
        name
    }

    fn receptacle(&mut self) -> String {
        self.thing('R', "receptacle", "5-15R, duplex, no GFCI")
    }

    fn light(&mut self) -> String {
        self.thing('L', "light", "LED, 60 W")
    }

    /// One switch, or a set with up to two 4-ways; as `feeds` names them.
    fn switches(&mut self) -> Vec<String> {
        match self.dice.below(4) {
            0 | 1 => vec![self.thing('S', "switch", "single-pole, 15 A")],
            ways => {
                let mut set = vec![self.thing('S', "switch", "3-way, 15 A")];
                for _ in 0..if ways == 2 { 0 } else { 1 + self.dice.below(2) } {
                    set.push(self.thing('S', "switch", "4-way, 15 A"));
                }
                set.push(self.thing('S', "switch", "3-way, 15 A"));
                set
            }
        }
    }

    /// One `feeds` line.
    fn feeds(&mut self) -> String {
        let mut line = String::from("  feeds ");
        match self.dice.below(6) {
            0 => {
                let (a, b) = (self.receptacle(), self.receptacle());
                line += &format!("{a} then {b}");
                self.control.extend([(a, Vec::new()), (b, Vec::new())]);
            }
            1 => {
                let (a, b) = (self.receptacle(), self.receptacle());
                line += &format!("{a}, {b}");
                self.control.extend([(a, Vec::new()), (b, Vec::new())]);
            }
            2 => {
                let first = self.thing('R', "receptacle", "5-15R, duplex, GFCI");
                let behind = self.receptacle();
                line += &format!("{first} then {behind}");
                self.control.extend([(first, Vec::new()), (behind, Vec::new())]);
            }
            3 => {
                let half = self.receptacle();
                let set = self.switches();
                line += &format!("half of {half} through {}\n  feeds half of {half}", set.join(" and "));
                self.control.insert(format!("{half} through {}", set.join(" and ")), vec![set]);
                self.control.insert(format!("half of {half}"), Vec::new());
            }
            _ => {
                let lights: Vec<String> = (0..1 + self.dice.below(3)).map(|_| self.light()).collect();
                let set = self.switches();
                line += &format!("{} through {}", lights.join(", "), set.join(" and "));
                self.control.extend(lights.into_iter().map(|l| (l, vec![set.clone()])));
            }
        }
        line
    }
}

pub fn shop(rolls: &[u32]) -> Shop {
    let mut dice = Dice::new(rolls);
    let count = 2 + dice.below(12);
    let mut plan = String::from(
        "shop \"random\"\n  code NEC 2023\nsupply house\n  120/240 V, 1-phase\nfeeder F0 from house to P1\npanel P1: bus 100 A, 42 spaces\n",
    );
    let mut runs: Vec<(usize, usize)> = (1..=count).map(|to| (dice.below(to), to)).collect();
    for _ in 0..dice.below(3) {
        let (a, b) = (dice.below(count + 1), dice.below(count + 1));
        let pair = (a.min(b), a.max(b));
        if a != b && !runs.contains(&pair) {
            runs.push(pair);
        }
    }
    let has_loop = runs.len() > count;
    let mut maker = Maker {
        dice: &mut dice,
        boxes: vec![Vec::new(); count],
        items: String::new(),
        count: BTreeMap::new(),
        control: BTreeMap::new(),
    };
    let mut circuits = String::new();
    let wanted = 1 + maker.dice.below(5);
    let mut number = 1;
    while number <= wanted {
        let head = |n: usize, more: &str| {
            format!("circuit C{n}: breaker 15 A, {more}, wire 14 AWG Cu THWN-2, equipment ground by raceway\n")
        };
        match maker.dice.below(4) {
            0 if number < wanted => {
                for (n, other, leg) in [(number, number + 1, "A"), (number + 1, number, "B")] {
                    circuits += &head(n, &format!("phase {leg}, neutral shared with C{other}"));
                    circuits += &(maker.feeds() + "\n");
                }
                number += 2;
            }
            1 => {
                let machine = maker.thing('R', "receptacle", "6-15R, single");
                circuits += &head(number, "2-pole");
                circuits += &format!("  feeds {machine}\n");
                maker.control.insert(machine, Vec::new());
                number += 1;
            }
            _ => {
                circuits += &head(number, if maker.dice.below(2) == 0 { "phase A" } else { "phase B" });
                for _ in 0..1 + maker.dice.below(2) {
                    circuits += &(maker.feeds() + "\n");
                }
                number += 1;
            }
        }
    }
    for (place, things) in maker.boxes.iter().enumerate() {
        let held = if things.is_empty() { "nothing".to_string() } else { things.join(", ") };
        writeln!(plan, "box B{}: 4 in square, 2-1/8 in deep, holds {held}", place + 1).expect("text");
    }
    let (items, control) = (maker.items, maker.control);
    let name = |place: usize| if place == 0 { "P1".to_string() } else { format!("B{place}") };
    for (a, b) in runs {
        writeln!(plan, "run {} to {}: 3/4 in EMT, {} ft", name(a), name(b), 10 + dice.below(990)).expect("text");
    }
    plan += &circuits;
    plan += &items;
    Shop { plan, control, has_loop }
}
