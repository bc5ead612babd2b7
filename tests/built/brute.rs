//! How few conductors a run can have, found by trying everything, for small trees of runs.
//!
//! Nothing of the program takes part in the search. Screws are put together in every possible way; a way that works in
//! every position of the switches needs one conductor in a run for each piece of metal with screws on both sides of it,
//! and no fewer. On a tree the least of all ways is what no wiring can go below, wherever the joints are made.
//! What is asked of a way: each load on exactly when its switches say so (a set of 3-ways may be turned over), its neutral at
//! the bar of its circuit whatever the switches do, nothing shorted, neutrals of two circuits apart unless shared. The plan names
//! the switch that has the line, so its common lies on the source, and the last one's on the load.

use crate::{told, wire};
use ringout::wiring::faults;
use std::collections::BTreeMap;
use std::fmt::Write;

/// What joins two screws of a device in a position.
#[derive(Clone, Copy)]
enum Device {
    /// Two screws, joined when it is up.
    Single,
    /// A common, joined with one of two travelers.
    ThreeWay,
    /// Two pairs, straight or crossed.
    FourWay,
    /// A hot and a neutral screw.
    Load,
    /// Two hot screws and a neutral one.
    Halves,
}

impl Device {
    fn screws(self) -> usize {
        match self {
            Device::Single | Device::Load => 2,
            Device::ThreeWay | Device::Halves => 3,
            Device::FourWay => 4,
        }
    }

    fn joined(self, is_up: bool) -> Vec<(usize, usize)> {
        match (self, is_up) {
            (Device::Single, true) => vec![(0, 1)],
            (Device::ThreeWay, true) => vec![(0, 1)],
            (Device::ThreeWay, false) => vec![(0, 2)],
            (Device::FourWay, true) => vec![(0, 2), (1, 3)],
            (Device::FourWay, false) => vec![(0, 3), (1, 2)],
            _ => Vec::new(),
        }
    }
}

/// A thing that must be on, by which switches; screws are a device's number and its screw's.
struct Wanted {
    hot: (usize, usize),
    circuit: usize,
    switches: Vec<usize>,
}

/// One sort of circuits, wherever its devices stand.
struct Sort {
    circuits: &'static str,
    /// Of each circuit the number of its bar: a shared neutral has one.
    bars: &'static [usize],
    devices: Vec<(&'static str, &'static str, Device)>,
    wanted: Vec<Wanted>,
    /// Screws that the plan puts on one piece of metal: a device's, and a circuit's source or a device's.
    commons: Vec<((usize, usize), Result<usize, (usize, usize)>)>,
    /// Neutral screws and their circuits.
    neutrals: Vec<((usize, usize), usize)>,
}

fn sorts() -> Vec<Sort> {
    let single = ("S1", "switch S1: single-pole, 15 A", Device::Single);
    let light = ("L1", "light L1: LED, 60 W", Device::Load);
    let outlet = ("R1", "receptacle R1: 5-15R, duplex, no GFCI", Device::Load);
    let lamp = |hot, switches: &[usize]| Wanted { hot, circuit: 0, switches: switches.to_vec() };
    let three = |name| (name, if name == "S1" { "switch S1: 3-way, 15 A" } else { "switch S2: 3-way, 15 A" });
    let ((s1, s1_is), (s2, s2_is)) = (three("S1"), three("S2"));
    let (first, last) = ((s1, s1_is, Device::ThreeWay), (s2, s2_is, Device::ThreeWay));
    let middle = ("S3", "switch S3: 4-way, 15 A", Device::FourWay);
    let two = |bars| Sort {
        circuits: if bars == [0, 0] {
            "circuit C1: breaker 15 A, phase A, neutral shared with C2, WIRE\n  feeds L1 through S1\n\
             circuit C2: breaker 15 A, phase B, neutral shared with C1, WIRE\n  feeds R1\n"
        } else {
            "circuit C1: breaker 15 A, phase A, WIRE\n  feeds L1 through S1\n\
             circuit C2: breaker 15 A, phase B, WIRE\n  feeds R1\n"
        },
        bars,
        devices: vec![single, light, outlet],
        wanted: vec![lamp((1, 0), &[0]), Wanted { hot: (2, 0), circuit: 1, switches: Vec::new() }],
        commons: Vec::new(),
        neutrals: vec![((1, 1), 0), ((2, 1), 1)],
    };
    vec![
        Sort {
            circuits: "circuit C1: breaker 15 A, phase A, WIRE\n  feeds R1\n  feeds L1 through S1\n",
            bars: &[0],
            devices: vec![single, light, outlet],
            wanted: vec![lamp((1, 0), &[0]), lamp((2, 0), &[])],
            commons: Vec::new(),
            neutrals: vec![((1, 1), 0), ((2, 1), 0)],
        },
        Sort {
            circuits: "circuit C1: breaker 15 A, phase A, WIRE\n  feeds L1 through S1 and S2\n",
            bars: &[0],
            devices: vec![first, last, light],
            wanted: vec![lamp((2, 0), &[0, 1])],
            commons: vec![((0, 0), Ok(0)), ((1, 0), Err((2, 0)))],
            neutrals: vec![((2, 1), 0)],
        },
        Sort {
            circuits: "circuit C1: breaker 15 A, phase A, WIRE\n  feeds L1 through S1 and S3 and S2\n",
            bars: &[0],
            devices: vec![first, last, middle, light],
            wanted: vec![lamp((3, 0), &[0, 1, 2])],
            commons: vec![((0, 0), Ok(0)), ((1, 0), Err((3, 0)))],
            neutrals: vec![((3, 1), 0)],
        },
        Sort {
            circuits: "circuit C1: breaker 15 A, phase A, WIRE\n  feeds half of R1 through S1\n  feeds half of R1\n",
            bars: &[0],
            devices: vec![single, ("R1", "receptacle R1: 5-15R, duplex, no GFCI", Device::Halves)],
            wanted: vec![lamp((1, 0), &[0]), lamp((1, 1), &[])],
            commons: Vec::new(),
            neutrals: vec![((1, 2), 0)],
        },
        two(&[0, 0]),
        two(&[0, 1]),
    ]
}

/// Pieces of metal: each number's piece is the one at the end of its chain.
fn end(of: &[usize], mut at: usize) -> usize {
    while of[at] != at {
        at = of[at];
    }
    at
}

impl Sort {
    fn bars(&self) -> usize {
        self.bars.iter().max().map_or(0, |b| b + 1)
    }

    /// Numbers of screws: sources, bars, then those of each device.
    fn screw(&self, (device, screw): (usize, usize)) -> usize {
        let before: usize = self.devices[..device].iter().map(|d| d.2.screws()).sum();
        self.bars.len() + self.bars() + before + screw
    }

    fn count(&self) -> usize {
        self.screw((self.devices.len(), 0))
    }

    /// Whether screws put together like this do what the plan says, in every position.
    fn works(&self, pieces: &[usize]) -> bool {
        let switches: Vec<usize> =
            (0..self.devices.len()).filter(|d| !self.devices[*d].2.joined(true).is_empty()).collect();
        let mut turned: Vec<Option<bool>> = vec![None; self.wanted.len()];
        for position in 0..1usize << switches.len() {
            let mut metal: Vec<usize> = (0..self.count()).collect();
            let is_up =
                |device: usize| switches.iter().position(|s| *s == device).is_some_and(|p| position >> p & 1 == 1);
            for device in &switches {
                for (a, b) in self.devices[*device].2.joined(is_up(*device)) {
                    let (a, b) = (pieces[self.screw((*device, a))], pieces[self.screw((*device, b))]);
                    let (a, b) = (end(&metal, a), end(&metal, b));
                    metal[a] = b;
                }
            }
            let at = |screw: usize| end(&metal, pieces[screw]);
            let fixed: Vec<usize> = (0..self.bars.len() + self.bars()).map(at).collect();
            if fixed.iter().enumerate().any(|(i, piece)| fixed[..i].contains(piece)) {
                return false;
            }
            for (wanted, turned) in self.wanted.iter().zip(&mut turned) {
                let hot = at(self.screw(wanted.hot));
                let is_on = hot == at(wanted.circuit);
                // Neither another circuit nor a bar may come to it.
                if !is_on && fixed.contains(&hot) {
                    return false;
                }
                let downs = wanted.switches.iter().filter(|s| !is_up(**s)).count();
                let differs = is_on != (downs % 2 == 0);
                let may_turn = wanted.switches.len() > 1;
                if differs != *turned.get_or_insert(differs) || (differs && !may_turn) {
                    return false;
                }
            }
        }
        true
    }

    /// The fewest conductors between the panel's side and the devices named by bits, for all sets of these.
    fn least(&self) -> Vec<usize> {
        let mut forced: Vec<usize> = (0..self.count()).collect();
        let mut force = |a: usize, b: usize| {
            let (a, b) = (end(&forced, a), end(&forced, b));
            forced[a.max(b)] = a.min(b);
        };
        for (screw, circuit) in &self.neutrals {
            force(self.screw(*screw), self.bars.len() + self.bars[*circuit]);
        }
        for (screw, other) in &self.commons {
            force(self.screw(*screw), other.map_or_else(|screw| self.screw(screw), |circuit| circuit));
        }
        let forced: Vec<usize> = (0..forced.len()).map(|s| end(&forced, s)).collect();
        let free: Vec<usize> = (0..forced.len()).filter(|s| forced[*s] == *s).collect();
        let device_of: Vec<Option<usize>> =
            (0..self.count()).map(|s| (0..self.devices.len()).rfind(|d| self.screw((*d, 0)) <= s)).collect();
        let mut least = vec![usize::MAX; 1 << self.devices.len()];
        let mut groups: Vec<usize> = Vec::new();
        self.spread(&free, &mut groups, 0, &mut |groups| {
            let group = |screw: usize| free.iter().position(|f| *f == forced[screw]).map_or(0, |p| groups[p]);
            let pieces: Vec<usize> = (0..self.count()).map(group).collect();
            if !self.works(&pieces) {
                return;
            }
            for (far, least) in least.iter_mut().enumerate() {
                let mut sides: BTreeMap<usize, (bool, bool)> = BTreeMap::new();
                for (screw, piece) in pieces.iter().enumerate() {
                    let sides = sides.entry(*piece).or_default();
                    match device_of[screw].is_some_and(|d| far >> d & 1 == 1) {
                        true => sides.1 = true,
                        false => sides.0 = true,
                    }
                }
                *least = (*least).min(sides.values().filter(|s| s.0 && s.1).count());
            }
        });
        least
    }

    /// Every way to put `free` into groups.
    fn spread(&self, free: &[usize], groups: &mut Vec<usize>, used: usize, each: &mut impl FnMut(&[usize])) {
        if groups.len() == free.len() {
            return each(groups);
        }
        // Sources and bars come first, and never lie together.
        let is_fixed = free[groups.len()] < self.bars.len() + self.bars();
        for group in if is_fixed { used } else { 0 }..=used {
            groups.push(group);
            self.spread(free, groups, used.max(group + 1), each);
            groups.pop();
        }
    }
}

/// Each run of each tree of up to four boxes has exactly as many conductors as the search says are needed.
#[test]
fn no_wiring_needs_fewer_conductors() {
    let (mut plans, mut runs) = (0, 0);
    for sort in sorts() {
        let least = sort.least();
        assert!(least[1..].iter().all(|n| (1..=6).contains(n)), "{}: {least:?}", sort.circuits);
        for boxes in 1..=4usize {
            let trees: usize = (1..=boxes).product();
            let places = boxes.pow(sort.devices.len() as u32);
            // Of many boxes some arrangements only: there are thousands.
            for number in (0..trees * places).step_by([1, 1, 5, 31][boxes - 1]) {
                let (mut tree, mut place) = (number % trees, number / trees);
                // Box n hangs on one of the n before it, the panel among them.
                let parents: Vec<usize> = (1..=boxes)
                    .map(|n| {
                        let parent = tree % n;
                        tree /= n;
                        parent
                    })
                    .collect();
                let mut held: Vec<Vec<usize>> = vec![Vec::new(); boxes + 1];
                for device in 0..sort.devices.len() {
                    held[1 + place % boxes].push(device);
                    place /= boxes;
                }
                let text = plan(&sort, &parents, &held);
                let (shop, wiring, built) = wire(&text);
                assert!(shop.problems.is_empty() && wiring.asks.is_empty(), "{text}\n{:?}", shop.problems);
                let found: Vec<String> = faults(&wiring.nets, &built, &built).iter().map(|f| told(&shop, f)).collect();
                assert!(found.is_empty(), "{found:?}\n{text}");
                plans += 1;
                for child in 1..=boxes {
                    let parent = parents[child - 1];
                    let mut far: Vec<usize> = vec![child];
                    (child + 1..=boxes).for_each(|b| {
                        if far.contains(&parents[b - 1]) {
                            far.push(b)
                        }
                    });
                    let beyond: usize = far.iter().flat_map(|b| &held[*b]).map(|d| 1usize << d).sum();
                    let wanted = if beyond == 0 { 0 } else { least[beyond] };
                    let run = shop.named(&format!("{}-B{child}", name(parent))).expect("the run");
                    let there = built.wires.iter().filter(|w| w.run == run).count();
                    assert_eq!(there, wanted, "{} to B{child}\n{text}", name(parent));
                    runs += 1;
                }
            }
        }
    }
    assert!(plans > 600 && runs > 2_000, "{plans} plans, {runs} runs");
}

fn name(place: usize) -> String {
    if place == 0 { "P1".into() } else { format!("B{place}") }
}

fn plan(sort: &Sort, parents: &[usize], held: &[Vec<usize>]) -> String {
    let mut plan = String::from(
        "shop \"small\"\nsupply house\n  120/240 V, 1-phase\nfeeder F0 from house to P1\npanel P1: bus 100 A, 12 spaces\n",
    );
    for (place, devices) in held.iter().enumerate().skip(1) {
        let names: Vec<&str> = devices.iter().map(|d| sort.devices[*d].0).collect();
        let holds = if names.is_empty() { "nothing".into() } else { names.join(", ") };
        writeln!(plan, "box B{place}: 4 in square, 2-1/8 in deep, holds {holds}").expect("text");
    }
    for (child, parent) in parents.iter().enumerate() {
        writeln!(plan, "run {} to B{}: 3/4 in EMT, 10 ft", name(*parent), child + 1).expect("text");
    }
    plan += &sort.circuits.replace("WIRE", "wire 14 AWG Cu THWN-2, equipment ground by raceway");
    sort.devices.iter().for_each(|(_, line, _)| plan += &format!("{line}\n"));
    plan
}

/// The search by itself gives what the trade knows: a lamp beyond its switch takes two wires, a switch at the end of a loop
/// two, a lamp and both of its 3-ways beyond a cut two, the second 3-way alone three (two travelers and the way back).
#[test]
fn the_search_finds_what_every_electrician_knows() {
    let sorts = sorts();
    let ways = sorts[1].least();
    assert_eq!((ways[0b111], ways[0b010], ways[0b110], ways[0b100]), (2, 3, 3, 2));
    let lamp = sorts[0].least();
    assert_eq!((lamp[0b001], lamp[0b010], lamp[0b110], lamp[0b111]), (2, 2, 3, 2));
    assert_eq!((sorts[4].least()[0b111], sorts[5].least()[0b111]), (3, 4), "a shared neutral saves one");
}
