//! The table of core words. Facts that only one rule wants are declared in rule files instead.

use super::{Kind, Kinds, NameId, Origin, Type, Word};
use crate::quantity::{Dimension, Scale};
use Origin::{Derived, Either, Stated};

macro_rules! kinds {
    ($($kind:ident)*) => { Kinds(0)$(.and(Kinds::of(Kind::$kind)))* };
}

macro_rules! numbered {
    ($all:ident $id:ident $($constant:ident $text:literal)*) => {
        #[allow(non_camel_case_types, clippy::upper_case_acronyms)]
        #[repr(u16)]
        enum Order { $($constant),* }
        $(#[doc = concat!("`", $text, "`")] pub const $constant: super::super::$id = super::super::$id(Order::$constant as u16);)*
        pub(in crate::words) const $all: &[&str] = &[$($text),*];
    };
}

/// Numbers of the core names.
pub mod name {
    numbered! { NAMES NameId
        ADDED_LENGTH "added-length"
        ADDED_OUTLETS "added-outlets"
        AMPACITY_SAID "ampacity-said"
        AMPS "amps"
        APPLIANCE_LOAD "appliance-load"
        AREA "area"
        AREAS "areas"
        BAY "bay"
        BAYS "bays"
        BENDING_SPACE "bending-space"
        BENDS "bends"
        BESIDE "beside"
        BOND "bond"
        BOX "box"
        BOX_SUPPORT "box-support"
        BOXES "boxes"
        BREAKER "breaker"
        BREAKER_COUNT "breaker-count"
        BREAKERS "breakers"
        BUILDING "building"
        BUNDLED_CONDUCTORS "bundled-conductors"
        BUS_AMPS "bus-amps"
        CABLE "cable"
        CABLE_CONDUCTORS "cable-conductors"
        CABLE_COUNT "cable-count"
        CARRIES "carries"
        CIRCUIT "circuit"
        CIRCUIT_COUNT "circuit-count"
        CIRCUITS "circuits"
        CLEAR_DEPTH "clear-depth"
        CLEAR_HEIGHT "clear-height"
        CLEAR_WIDTH "clear-width"
        CLIMATE_LOAD "climate-load"
        COLDEST "coldest"
        COLOR "color"
        CONDUCTORS "conductors"
        CONFIGURATION "configuration"
        CONNECTION "connection"
        CONTROL "control"
        CORD "cord"
        CORD_LENGTH "cord-length"
        COUNT "count"
        COVER "cover"
        DATE "date"
        DECK_GAP "deck-gap"
        DEPTH "depth"
        DEPTH_IN_SOIL "depth-in-soil"
        DEVICES "devices"
        DIAMETER "diameter"
        DIRECTORY "directory"
        DISCONNECTS "disconnects"
        DISTANCE "distance"
        DISTANCE_FROM_ENTRY "distance-from-entry"
        DOOR "door"
        DOOR_SWING "door-swing"
        DOWNSTREAM "downstream"
        DUTY "duty"
        EDGE_DISTANCE "edge-distance"
        EDITION "edition"
        EFFECTIVE_AMPS "effective-amps"
        ELECTRODES "electrodes"
        ENCLOSURE "enclosure"
        ENTERS_AT "enters-at"
        ENTRIES "entries"
        EQUIPMENT "equipment"
        EQUIPMENT_GROUND "equipment-ground"
        EQUIPMENT_GROUND_TYPE "equipment-ground-type"
        EXIT "exit"
        EXTENSION_VOLUME "extension-volume"
        FACING "facing"
        FAR_END "far-end"
        FAR_PANEL "far-panel"
        FAULT_CURRENT "fault-current"
        FED_BY "fed-by"
        FEEDER "feeder"
        FIRST_OUTLETS "first-outlets"
        FLOOR_AREA "floor-area"
        FLOORS "floors"
        FOOTING_STEEL "footing-steel"
        FRAME "frame"
        FRAME_BOND "frame-bond"
        GANGS "gangs"
        GFCI_CLASS "gfci-class"
        GROUND_BY "ground-by"
        GROUND_ENTRIES "ground-entries"
        HANDLE_HEIGHT "handle-height"
        HANDLES "handles"
        HAS_AFCI "has-afci"
        HAS_BATH "has-bath"
        HAS_BUILT_IN_OVERLOAD "has-built-in-overload"
        HAS_CLAMPS "has-clamps"
        HAS_COMMUNICATIONS "has-communications"
        HAS_COOKING "has-cooking"
        HAS_COVER "has-cover"
        HAS_DIRECTORY "has-directory"
        HAS_DWELLING_UNIT "has-dwelling-unit"
        HAS_ENERGY_MANAGEMENT "has-energy-management"
        HAS_EXPANSION_FITTING "has-expansion-fitting"
        HAS_GAP "has-gap"
        HAS_GFCI "has-gfci"
        HAS_GROUND_BAR "has-ground-bar"
        HAS_GROUND_CONTACT "has-ground-contact"
        HAS_GROUPED_DISCONNECTS "has-grouped-disconnects"
        HAS_HANDLE_TIE "has-handle-tie"
        HAS_HARD_START "has-hard-start"
        HAS_LABEL "has-label"
        HAS_NEUTRAL "has-neutral"
        HAS_OPEN_STRETCHES "has-open-stretches"
        HAS_OTHER_METAL_PATH "has-other-metal-path"
        HAS_OTHER_ROD "has-other-rod"
        HAS_OTHER_STEEL_IN_EARTH "has-other-steel-in-earth"
        HAS_PLATE "has-plate"
        HAS_SIGNAL_WIRES "has-signal-wires"
        HAS_SLEEPING "has-sleeping"
        HAS_SPLICE "has-splice"
        HAS_WELDING "has-welding"
        HAS_WET_BAR "has-wet-bar"
        HEIGHT "height"
        HOME_RUNS "home-runs"
        HORSEPOWER "horsepower"
        HOTS "hots"
        HOTTEST "hottest"
        INCOMING "incoming"
        INSPECTIONS "inspections"
        INSTALLED "installed"
        INSULATION "insulation"
        INTERRUPTING_RATING "interrupting-rating"
        IS_ALL_DRAWN "is-all-drawn"
        IS_ALONG_FRAMING "is-along-framing"
        IS_ALTERNATE "is-alternate"
        IS_AT_GRADE "is-at-grade"
        IS_AUTO_START "is-auto-start"
        IS_BACK_FED "is-back-fed"
        IS_BALANCED_NEUTRAL "is-balanced-neutral"
        IS_BARE "is-bare"
        IS_BOOKED "is-booked"
        IS_BRANCH "is-branch"
        IS_BUILDING_DISCONNECT "is-building-disconnect"
        IS_BUILDING_ENTRY "is-building-entry"
        IS_BUSINESS "is-business"
        IS_CABLE "is-cable"
        IS_COMMON_TRIP "is-common-trip"
        IS_CONNECTED "is-connected"
        IS_CONTINUOUS "is-continuous"
        IS_COOL_RISE "is-cool-rise"
        IS_DC "is-dc"
        IS_DUPLEX "is-duplex"
        IS_EDITION_NAMED "is-edition-named"
        IS_EMPTY "is-empty"
        IS_ENDING "is-ending"
        IS_EXISTING "is-existing"
        IS_EXPOSED "is-exposed"
        IS_EXPOSED_TO_DAMAGE "is-exposed-to-damage"
        IS_EXTRA_DUTY "is-extra-duty"
        IS_FIRST_OF_NEUTRAL "is-first-of-neutral"
        IS_FIXED "is-fixed"
        IS_FIXTURE_WIRE "is-fixture-wire"
        IS_FOR_ONE "is-for-one"
        IS_FRAME_IN_EARTH "is-frame-in-earth"
        IS_GOOD "is-good"
        IS_GROUND_UPSIZED "is-ground-upsized"
        IS_HABITABLE "is-habitable"
        IS_IDENTIFIED_FOR_BURIAL "is-identified-for-burial"
        IS_IN_CABLE "is-in-cable"
        IS_IN_NEUTRAL "is-in-neutral"
        IS_IN_SIGHT "is-in-sight"
        IS_ISSUED "is-issued"
        IS_JOINING_BUILDINGS "is-joining-buildings"
        IS_LAWFUL_WHEN_MADE "is-lawful-when-made"
        IS_LIMIT_LOCKED "is-limit-locked"
        IS_LOCKABLE "is-lockable"
        IS_LOCKING "is-locking"
        IS_MARKED "is-marked"
        IS_MARKED_IN_AMPS "is-marked-in-amps"
        IS_METAL "is-metal"
        IS_MOTOR_GENERATOR "is-motor-generator"
        IS_NEUTRAL_BONDED "is-neutral-bonded"
        IS_NEUTRAL_NEEDED "is-neutral-needed"
        IS_NEUTRAL_PIGTAILED "is-neutral-pigtailed"
        IS_ONE_SIZE "is-one-size"
        IS_OPEN "is-open"
        IS_OPENING_ALL "is-opening-all"
        IS_OTHER_PATH_BONDED "is-other-path-bonded"
        IS_OUT_OF_CABLE "is-out-of-cable"
        IS_OWNER_RESIDENT "is-owner-resident"
        IS_PASSED "is-passed"
        IS_PLUG_MATCHING "is-plug-matching"
        IS_PROTECTED_AT_SOURCE "is-protected-at-source"
        IS_PULLED "is-pulled"
        IS_RACEWAY "is-raceway"
        IS_READILY_REACHABLE "is-readily-reachable"
        IS_REMARKED "is-remarked"
        IS_REPLACEMENT "is-replacement"
        IS_SEEN_BEFORE_POUR "is-seen-before-pour"
        IS_SERVICE "is-service"
        IS_SERVICE_RUN "is-service-run"
        IS_SIDING_BONDED "is-siding-bonded"
        IS_STRAPPED "is-strapped"
        IS_SUNLIT "is-sunlit"
        IS_TAMPER_RESISTANT "is-tamper-resistant"
        IS_TANDEM "is-tandem"
        IS_TAPPED "is-tapped"
        IS_TERMINAL_MIXED "is-terminal-mixed"
        IS_TERMINAL_UNMARKED "is-terminal-unmarked"
        IS_THROUGH_FRAMING "is-through-framing"
        IS_THROUGH_WALL "is-through-wall"
        IS_TIED_TO_RACEWAY "is-tied-to-raceway"
        IS_TO_PULL "is-to-pull"
        IS_TWO_WAY "is-two-way"
        IS_UNDER_ROOF_DECK "is-under-roof-deck"
        IS_UPSIZED "is-upsized"
        IS_USED "is-used"
        IS_VIBRATING "is-vibrating"
        IS_WEATHER_RESISTANT "is-weather-resistant"
        IS_WEATHERPROOF "is-weatherproof"
        IS_WET_LISTED "is-wet-listed"
        IS_WHITE_REMARKED "is-white-remarked"
        IS_WHOLE_DWELLING_SUPPLY "is-whole-dwelling-supply"
        LAMP "lamp"
        LANDS_IN "lands-in"
        LANDS_ON "lands-on"
        LARGEST_WIRE "largest-wire"
        LAUNDRY_CIRCUITS "laundry-circuits"
        LENGTH "length"
        LENGTH_IN_EARTH "length-in-earth"
        LIGHTS "lights"
        LINE "line"
        LIVING_AREA "living-area"
        LOOPS "loops"
        MAIN "main"
        MAKER_BREAKER "maker-breaker"
        MARKED_VOLUME "marked-volume"
        MARKING "marking"
        MAXIMUM_BREAKER "maximum-breaker"
        MEANT_FOR "meant-for"
        METAL "metal"
        METHOD "method"
        MINIMUM_CIRCUIT "minimum-circuit"
        MISSING_CONDUCTORS "missing-conductors"
        MISSING_ROLES "missing-roles"
        NAMEPLATE_CURRENT "nameplate-current"
        NEAR_END "near-end"
        NEUTRAL_PARTNERS "neutral-partners"
        NEUTRAL_WIRE "neutral-wire"
        OUT_OF "out-of"
        OUTLETS "outlets"
        OVER "over"
        OVERLOAD_AMPS "overload-amps"
        PANEL "panel"
        PANELS "panels"
        PARTNERS "partners"
        PHASE "phase"
        PHASES "phases"
        PIGTAIL_WIRES "pigtail-wires"
        PIPES "pipes"
        PLACE "place"
        PLACEMENT "placement"
        PLUG "plug"
        PLUG_AMPS "plug-amps"
        POLES "poles"
        PRESENT_LOAD "present-load"
        PULLED "pulled"
        PURPOSE "purpose"
        RACEWAY "raceway"
        RECEPTACLE "receptacle"
        RECEPTACLE_COUNT "receptacle-count"
        RECEPTACLES "receptacles"
        RESISTANCE "resistance"
        ROLE "role"
        ROOF_DECK "roof-deck"
        RUN "run"
        RUNS "runs"
        SECOND_SPACE "second-space"
        SERVES "serves"
        SERVICE_FACTOR "service-factor"
        SERVICE_RECEPTACLE "service-receptacle"
        SERVICE_RECEPTACLE_DISTANCE "service-receptacle-distance"
        SERVICE_WORK "service-work"
        SET_AMPS "set-amps"
        SHAPE "shape"
        SIZE "size"
        SLEEVE "sleeve"
        SLEEVE_BOTTOM "sleeve-bottom"
        SLEEVE_TOP "sleeve-top"
        SMALL_APPLIANCE_CIRCUITS "small-appliance-circuits"
        SOIL "soil"
        SOURCES "sources"
        SPACE "space"
        SPACE_HOLDS "space-holds"
        SPACES "spaces"
        SPACING "spacing"
        SPLICE "splice"
        SPLICES "splices"
        STAGE "stage"
        STATE "state"
        STATED_SPACES_FREE "stated-spaces-free"
        STRAY_CONDUCTORS "stray-conductors"
        STUDS "studs"
        SUPPLY "supply"
        SUPPORT_SPACING "support-spacing"
        SURGE_DISCHARGE "surge-discharge"
        SURGE_TYPE "surge-type"
        SWITCHES "switches"
        SYSTEM "system"
        TAPPED_AT "tapped-at"
        TERMINAL_BLOCKS "terminal-blocks"
        TERMINAL_LIMIT "terminal-limit"
        TERMINAL_MARKING "terminal-marking"
        TERMINAL_TORQUE "terminal-torque"
        TERMINAL_WIRES "terminal-wires"
        TESTS "tests"
        TIED_TO "tied-to"
        TOLD_TERMINALS "told-terminals"
        TRADE_SIZE "trade-size"
        TYPE "type"
        UNDER "under"
        UNIT_WATTS "unit-watts"
        UNITS "units"
        UNMARKED_CIRCUITS "unmarked-circuits"
        UPSTREAM "upstream"
        USE "use"
        VOLTS "volts"
        VOLTS_TO_GROUND "volts-to-ground"
        WALL_FINISH "wall-finish"
        WATTS "watts"
        WAY "way"
        WIDTH "width"
        WINDOW_DISTANCE "window-distance"
        WIRE "wire"
        WIRE_COUNT "wire-count"
        WIRE_SIZE "wire-size"
        WIRING_FAULTS "wiring-faults"
        WORKER "worker"
        YOKES "yokes"
    }
}

/// Numbers of the core choices.
pub mod choice {
    numbered! { CHOICES ChoiceId
        PLACEMENT "placement"
        BESIDE "beside"
        FRAME "frame"
        ROOF_DECK "roof-deck"
        AREA_USE "area-use"
        WALL_FINISH "wall-finish"
        DOOR_TYPE "door-type"
        CARRIES "carries"
        WORKER "worker"
        STAGE "stage"
        TEST_TYPE "test-type"
        SUPPLY_TYPE "supply-type"
        SYSTEM "system"
        SERVICE_WORK "service-work"
        PURPOSE "purpose"
        METAL "metal"
        INSULATION "insulation"
        COLOR "color"
        ROLE "role"
        METHOD "method"
        UNDER "under"
        OVER "over"
        PLACE "place"
        BACKFILL "backfill"
        SPLICE "splice"
        HUNG_FROM "hung-from"
        BREAKER_TYPE "breaker-type"
        GFCI_CLASS "gfci-class"
        DISCONNECT_TYPE "disconnect-type"
        TORQUE_MEANS "torque-means"
        ENCLOSURE "enclosure"
        FACING "facing"
        SPACE_HOLDS "space-holds"
        ELECTRODE_TYPE "electrode-type"
        SHAPE "shape"
        BOX_SUPPORT "box-support"
        COVER_KIND "cover-kind"
        SERVES "serves"
        SWITCH_TYPE "switch-type"
        LIGHT_MARKING "light-marking"
        CONTROL "control"
        EQUIPMENT_TYPE "equipment-type"
        CONNECTION "connection"
        SURGE_TYPE "surge-type"
        CORD_USE "cord-use"
        EQUIPMENT_GROUND_TYPE "equipment-ground-type"
        PHASE "phase"
        EXIT "exit"
        CONDUIT_CLASS "conduit-class"
        COVER_COLUMN "cover-column"
        TRENCH_MATE "trench-mate"
        CONFIGURATION "configuration"
        BUILDING "building"
        SOIL "soil"
        FOOTING_STEEL "footing-steel"
        GROUND_BY "ground-by"
        TAPPED_AT "tapped-at"
        LANDS_ON "lands-on"
        LAMP "lamp"
        DEVICE_TYPE "device-type"
        DIRECTORY "directory"
        WIRING_FAULT "wiring-fault"
    }
}

mod building;
mod choices;
mod devices;
mod power;
mod questions;
mod ways;

pub(super) use choices::choices;
pub(super) use name::NAMES;

const LENGTH: Type = Type::Quantity(Scale::Ratio(Dimension::LENGTH));
const AREA: Type = Type::Quantity(Scale::Ratio(Dimension::AREA));
const VOLUME: Type = Type::Quantity(Scale::Ratio(Dimension::VOLUME));
const CURRENT: Type = Type::Quantity(Scale::Ratio(Dimension::CURRENT));
const VOLTAGE: Type = Type::Quantity(Scale::Ratio(Dimension::VOLTAGE));
const POWER: Type = Type::Quantity(Scale::Ratio(Dimension::POWER));
const RESISTANCE: Type = Type::Quantity(Scale::Ratio(Dimension::RESISTANCE));
const NUMBER: Type = Type::Quantity(Scale::NUMBER);
const ANGLE: Type = Type::Quantity(Scale::Ratio(Dimension::ANGLE));
const HORSEPOWER: Type = Type::Quantity(Scale::Ratio(Dimension::HORSEPOWER));
const TEMPERATURE: Type = Type::Quantity(Scale::Temperature);
const DATE: Type = Type::Quantity(Scale::Date);
const EDITION: Type = Type::Quantity(Scale::Edition);
const WIRE_SIZE: Type = Type::Quantity(Scale::WireSize);
const TRADE_SIZE: Type = Type::Quantity(Scale::TradeSize);

/// Kinds, name, whether it may be absent, type, origin, one sentence, phrase in the notation of
/// [`super::patterns`]. An empty phrase of a stated word says that code reads it: see the test below.
type Row = (Kinds, NameId, bool, Type, Origin, &'static str, &'static str);

pub(super) fn words() -> impl Iterator<Item = Word> {
    [building::WORDS, power::WORDS, ways::WORDS, devices::WORDS].into_iter().flatten().map(
        |(kinds, name, is_part, ty, origin, doc, phrase)| Word {
            kinds: *kinds,
            name: *name,
            ty: *ty,
            is_part: *is_part,
            origin: *origin,
            doc: doc.to_string(),
            phrase: phrase.to_string(),
            ordinary: None,
            question: questions::question(*kinds, *name),
        },
    )
}

#[cfg(test)]
mod tests {
    use super::super::{Kind, Origin, Vocabulary, patterns};

    /// Stated words without a phrase of their own: how the plan says them.
    const SHAPED: &[(Kind, &str, &str)] = &[
        (Kind::Shop, "bays", "2 vehicle bays"),
        (Kind::Shop, "electrodes", "the electrode items"),
        (Kind::Shop, "tests", "tested shop"),
        (Kind::Shop, "inspections", "the inspected items"),
        (Kind::Shop, "pipes", "the pipe items, and water pipe, gas pipe in shop"),
        (Kind::Test, "type", "tested R1: GFCI trips"),
        (Kind::Test, "is-good", "tested R1: GFCI trips"),
        (Kind::Feeder, "far-panel", "to P1 in the head"),
        (Kind::Feeder, "supply", "from house in the head"),
        (Kind::Feeder, "breaker", "each has one"),
        (Kind::Feeder, "equipment-ground-type", "what equipment ground says"),
        (Kind::Feeder, "near-end", "from X in the head"),
        (Kind::Feeder, "far-end", "to Y in the head"),
        (Kind::Feeder, "panel", "from P1 in the head"),
        (Kind::Feeder, "has-open-stretches", "stretch unknown"),
        (Kind::Feeder, "pulled", "pulled F1"),
        (Kind::Feeder, "trade-size", "1 in PVC-40"),
        (Kind::Feeder, "cable", "cable UF-B in PVC-80"),
        (Kind::Circuit, "panel", "from P1 in the head"),
        (Kind::Breaker, "second-space", "spaces 1 and 3"),
        (Kind::Disconnect, "equipment", "in sight of M1"),
        (Kind::Panel, "main", "main 60 A, no main"),
        (Kind::Electrode, "diameter", "5/8 in x 8 ft"),
        (Kind::Electrode, "wire", "concrete-encased 20 ft of 4 AWG bare Cu"),
        (Kind::Electrode, "count", "2 rods"),
        (Kind::ElectrodeConductor, "electrodes", "the electrode item that it stands in"),
        (Kind::ElectrodeConductor, "insulation", "wire 6 AWG Cu THWN-2"),
        (Kind::ElectrodeConductor, "lands-in", "wire 6 AWG Cu to P1"),
        (Kind::Box, "cable-count", "cables 3 x 12/2 NM-B"),
        (Kind::Box, "cable-conductors", "cables 3 x 12/2 NM-B"),
        (Kind::Box, "wire", "cables 3 x 12/2 NM-B"),
        (Kind::Box, "equipment-ground", "cables 3 x 12/2 NM-B"),
        (Kind::Entry, "loops", "topology says it"),
        (Kind::Entry, "is-fixture-wire", "topology says it"),
        (Kind::Run, "boxes", "run B1 to B2"),
        (Kind::Run, "panels", "run P1 to B1"),
        (Kind::Run, "devices", "run B1 to R1"),
        (Kind::Run, "area", "in loft"),
        (Kind::Run, "pulled", "pulled B1 to B2"),
        (Kind::Pulled, "is-out-of-cable", "out of NM-B"),
        (Kind::Wire, "count", "wire 3 x 4 AWG"),
        (Kind::Receptacle, "bay", "in bay 2"),
        (Kind::Receptacle, "tests", "tested R1"),
        (Kind::Receptacle, "is-for-one", "for M1 only"),
        (Kind::Receptacle, "area", "in loft"),
        (Kind::Receptacle, "box", "holds R1 of the box"),
        (Kind::Light, "door", "for D1"),
        (Kind::Equipment, "receptacle", "plugs into R1"),
        (Kind::Equipment, "receptacles", "plugs into R1 and R2"),
        (Kind::Equipment, "wire", "cord 12 AWG 25 ft"),
    ];

    /// Nobody can state a word that has neither a phrase nor code that reads it.
    #[test]
    fn every_stated_word_can_be_said() {
        let vocabulary = Vocabulary::core();
        let is_listed = |word: &super::super::Word| {
            let name = vocabulary.text(word.name);
            SHAPED.iter().any(|(kind, shaped, how)| word.kinds.has(*kind) && *shaped == name && !how.is_empty())
        };
        for word in vocabulary.words() {
            let is_stated = matches!(word.origin, Origin::Stated | Origin::Either);
            let name = vocabulary.text(word.name);
            assert_eq!(is_stated && word.phrase.is_empty(), is_listed(word), "{} {name}", word.kinds);
        }
    }

    /// A phrase that the notation can't read would be lost without a sound.
    #[test]
    fn every_phrase_is_a_pattern() {
        let vocabulary = Vocabulary::core();
        for word in vocabulary.words() {
            let written = word.phrase.split(" / ").filter(|p| !p.trim().is_empty()).count();
            let name = vocabulary.text(word.name);
            assert_eq!(patterns(word, &vocabulary).len(), written, "{} {name}: `{}`", word.kinds, word.phrase);
        }
    }

    /// Each group names values of its choice, and a choice has room for a bit set.
    #[test]
    fn groups_stand_for_several_values() {
        for choice in Vocabulary::core().choices() {
            assert!(choice.values.len() <= 64, "{}", choice.name);
            for (word, bits) in &choice.groups {
                assert!(bits.count_ones() > 1, "{word} of {}", choice.name);
                assert!(choice.value(word).is_none(), "{word} of {} is a value already", choice.name);
            }
        }
    }
}
