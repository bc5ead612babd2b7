use serde::{Deserialize, Serialize};
use std::fmt;

/// How many kinds there are.
pub const KINDS: usize = Kind::ALL.len();

macro_rules! kinds_of_items {
    ($($kind:ident $name:literal $plural:literal $doc:literal;)*) => {
        /// A kind of thing that a plan writes or implies.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[repr(u8)]
        pub enum Kind { $(#[doc = $doc] $kind,)* }

        impl Kind {
            /// Every kind.
            pub const ALL: [Kind; [$($name),*].len()] = [$(Kind::$kind),*];

            /// Its name, the same in plans, rules and JSON.
            pub const fn name(self) -> &'static str {
                match self { $(Kind::$kind => $name,)* }
            }

            /// Its plural, the name of lists of it.
            pub const fn plural(self) -> &'static str {
                match self { $(Kind::$kind => $plural,)* }
            }

            /// What one is, in a sentence.
            pub const fn doc(self) -> &'static str {
                match self { $(Kind::$kind => $doc,)* }
            }
        }
    };
}

kinds_of_items! {
    Shop "shop" "shops" "the building; one a plan";
    Permit "permit" "permits" "the permit, the edition, who does the work; one a plan";
    Area "area" "areas" "a part of the building with one use";
    Bay "bay" "bays" "one place for a vehicle";
    Door "door" "doors" "a door";
    Pipe "pipe" "pipes" "a pipe, tank line or duct of metal or plastic";
    Inspection "inspection" "inspections" "a visit of the inspector and its state";
    Test "test" "tests" "one test, its result, its date";
    Supply "supply" "supplies" "what a feeder starts at: the house panel or the utility";
    Feeder "feeder" "feeders" "conductors from a supply to a panel; its stretches are runs";
    Circuit "circuit" "circuits" "a branch circuit, from a panel of the shop or from the house";
    Breaker "breaker" "breakers" "an overcurrent device, fuses too";
    Disconnect "disconnect" "disconnects" "a means that opens a supply or a machine";
    Panel "panel" "panels" "a panelboard in its cabinet";
    Electrode "electrode" "electrodes" "one grounding electrode; `2 rods` makes two";
    ElectrodeConductor "electrode-conductor" "electrode-conductors" "the conductor to some electrodes";
    Box "box" "boxes" "a box, conduit body or handhole";
    Entry "entry" "entries" "one wire as it stands in one box; one that passes unbroken once";
    Run "run" "runs" "one raceway or cable between two ends, or one stretch of a feeder or circuit";
    Conductor "conductor" "conductors" "one wire that the plan needs in one run";
    Pulled "pulled" "pulled" "one wire really pulled in one run";
    Wire "wire" "wires" "a size, metal and insulation; the value of `wire`, `equipment ground` and the like";
    Receptacle "receptacle" "receptacles" "one receptacle yoke";
    Switch "switch" "switches" "one switch";
    Light "light" "lights" "a luminaire";
    Device "device" "devices" "a blank GFCI, surge protector, transformer or door button";
    Equipment "equipment" "equipment" "a machine with its plate, plugged in or hard-wired";
    Cord "cord" "cords" "a flexible cord that is part of the shop";
}

impl Kind {
    /// The kind of a name.
    pub fn named(name: &str) -> Option<Kind> {
        Kind::ALL.into_iter().find(|k| k.name() == name)
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// The kind of `has-all-boxes-listed`, which is how an example's `unsaid` takes back that a plan
/// names every item of a kind.
pub fn kind_of_closing(text: &str) -> Option<Kind> {
    let plural = text.strip_prefix("has-all-")?.strip_suffix("-listed")?;
    Kind::ALL.into_iter().find(|kind| kind.plural() == plural)
}

/// A set of kinds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Kinds(pub u32);

impl Kinds {
    /// The set of one kind.
    pub const fn of(kind: Kind) -> Kinds {
        Kinds(1 << kind as u32)
    }

    /// Both sets together.
    pub const fn and(self, other: Kinds) -> Kinds {
        Kinds(self.0 | other.0)
    }

    /// What both hold.
    pub const fn common(self, other: Kinds) -> Kinds {
        Kinds(self.0 & other.0)
    }

    /// Whether the kind is in it.
    pub const fn has(self, kind: Kind) -> bool {
        self.0 & (1 << kind as u32) != 0
    }

    /// Whether all of `other` is in it.
    pub const fn covers(self, other: Kinds) -> bool {
        self.0 & other.0 == other.0
    }

    /// Whether it is empty.
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// Its kinds, in the order of [`Kind::ALL`].
    pub fn iter(self) -> impl Iterator<Item = Kind> {
        Kind::ALL.into_iter().filter(move |k| self.has(*k))
    }
}

impl fmt::Display for Kinds {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, kind) in self.iter().enumerate() {
            f.write_str(if i == 0 { "" } else { " or " })?;
            f.write_str(kind.name())?;
        }
        Ok(())
    }
}
