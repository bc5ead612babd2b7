//! The table of core words. Facts that only one rule wants are declared in rule files instead.

use super::{Choice, Kind, Kinds, NameId, Origin, Type, Word};
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
        BREAKERS "breakers"
        BUILDING "building"
        BUNDLED_CONDUCTORS "bundled-conductors"
        BUS_AMPS "bus-amps"
        CARRIES "carries"
        CIRCUIT "circuit"
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
        COUNT "count"
        COVER "cover"
        DATE "date"
        DECK_GAP "deck-gap"
        DEPTH "depth"
        DEPTH_IN_SOIL "depth-in-soil"
        DEVICES "devices"
        DIAMETER "diameter"
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
        ENTRIES "entries"
        EQUIPMENT "equipment"
        EQUIPMENT_GROUND "equipment-ground"
        EQUIPMENT_GROUND_TYPE "equipment-ground-type"
        EXIT "exit"
        EXTENSION_VOLUME "extension-volume"
        FACING "facing"
        FAR_PANEL "far-panel"
        FAULT_CURRENT "fault-current"
        FEEDER "feeder"
        FIRST_OUTLETS "first-outlets"
        FLOOR_AREA "floor-area"
        FRAME "frame"
        FRAME_BOND "frame-bond"
        GANGS "gangs"
        GFCI_CLASS "gfci-class"
        GROUND_ENTRIES "ground-entries"
        HANDLE_HEIGHT "handle-height"
        HANDLES "handles"
        HAS_AFCI "has-afci"
        HAS_BUILT_IN_OVERLOAD "has-built-in-overload"
        HAS_CLAMPS "has-clamps"
        HAS_COMMUNICATIONS "has-communications"
        HAS_COVER "has-cover"
        HAS_DIRECTORY "has-directory"
        HAS_DWELLING_UNIT "has-dwelling-unit"
        HAS_ENERGY_MANAGEMENT "has-energy-management"
        HAS_EXPANSION_FITTING "has-expansion-fitting"
        HAS_GFCI "has-gfci"
        HAS_GROUND_BAR "has-ground-bar"
        HAS_GROUND_CONTACT "has-ground-contact"
        HAS_GROUPED_DISCONNECTS "has-grouped-disconnects"
        HAS_HANDLE_TIE "has-handle-tie"
        HAS_HARD_START "has-hard-start"
        HAS_LABEL "has-label"
        HAS_NEUTRAL "has-neutral"
        HAS_OTHER_METAL_PATH "has-other-metal-path"
        HAS_OTHER_ROD "has-other-rod"
        HAS_PLATE "has-plate"
        HAS_SIGNAL_WIRES "has-signal-wires"
        HAS_SPLICE "has-splice"
        HAS_WELDING "has-welding"
        HEIGHT "height"
        HOME_RUNS "home-runs"
        HORSEPOWER "horsepower"
        HOTS "hots"
        HOTTEST "hottest"
        INCOMING "incoming"
        INSPECTIONS "inspections"
        INSULATION "insulation"
        INTERRUPTING_RATING "interrupting-rating"
        IS_ALL_DRAWN "is-all-drawn"
        IS_ALONG_FRAMING "is-along-framing"
        IS_ALTERNATE "is-alternate"
        IS_AT_GRADE "is-at-grade"
        IS_AUTO_START "is-auto-start"
        IS_BACK_FED "is-back-fed"
        IS_BALANCED_NEUTRAL "is-balanced-neutral"
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
        IS_ENDING "is-ending"
        IS_EXISTING "is-existing"
        IS_EXPOSED "is-exposed"
        IS_EXPOSED_TO_DAMAGE "is-exposed-to-damage"
        IS_EXTRA_DUTY "is-extra-duty"
        IS_FIRST_OF_NEUTRAL "is-first-of-neutral"
        IS_FIXED "is-fixed"
        IS_FIXTURE_WIRE "is-fixture-wire"
        IS_GOOD "is-good"
        IS_HABITABLE "is-habitable"
        IS_IDENTIFIED_FOR_BURIAL "is-identified-for-burial"
        IS_IN_CABLE "is-in-cable"
        IS_IN_NEUTRAL "is-in-neutral"
        IS_IN_SIGHT "is-in-sight"
        IS_ISSUED "is-issued"
        IS_JOINING_BUILDINGS "is-joining-buildings"
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
        IS_OWNER_RESIDENT "is-owner-resident"
        IS_PASSED "is-passed"
        IS_PLUG_MATCHING "is-plug-matching"
        IS_PROTECTED_AT_SOURCE "is-protected-at-source"
        IS_RACEWAY "is-raceway"
        IS_READILY_REACHABLE "is-readily-reachable"
        IS_REMARKED "is-remarked"
        IS_REPLACEMENT "is-replacement"
        IS_SERVICE "is-service"
        IS_SERVICE_RUN "is-service-run"
        IS_SUNLIT "is-sunlit"
        IS_TAMPER_RESISTANT "is-tamper-resistant"
        IS_TANDEM "is-tandem"
        IS_THROUGH_FRAMING "is-through-framing"
        IS_THROUGH_WALL "is-through-wall"
        IS_TWO_WAY "is-two-way"
        IS_UNDER_ROOF_DECK "is-under-roof-deck"
        IS_USED "is-used"
        IS_WEATHER_RESISTANT "is-weather-resistant"
        IS_WEATHERPROOF "is-weatherproof"
        IS_WET_LISTED "is-wet-listed"
        IS_WHOLE_DWELLING_SUPPLY "is-whole-dwelling-supply"
        LARGEST_WIRE "largest-wire"
        LAUNDRY_CIRCUITS "laundry-circuits"
        LENGTH "length"
        LIGHTS "lights"
        LINE "line"
        LIVING_AREA "living-area"
        LOOPS "loops"
        MAIN "main"
        MARKED_VOLUME "marked-volume"
        MARKING "marking"
        MAXIMUM_BREAKER "maximum-breaker"
        METAL "metal"
        METHOD "method"
        MINIMUM_CIRCUIT "minimum-circuit"
        MISSING_ROLES "missing-roles"
        NAMEPLATE_CURRENT "nameplate-current"
        NEUTRAL_PARTNERS "neutral-partners"
        NEUTRAL_WIRE "neutral-wire"
        OUTLETS "outlets"
        OVER "over"
        OVERLOAD_AMPS "overload-amps"
        PANEL "panel"
        PANELS "panels"
        PARTNERS "partners"
        PHASE "phase"
        PHASES "phases"
        PLACE "place"
        PLACEMENT "placement"
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
        RUNS "runs"
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
        SOURCES "sources"
        SPACE "space"
        SPACE_HOLDS "space-holds"
        SPACES "spaces"
        SPACING "spacing"
        SPLICE "splice"
        STAGE "stage"
        STATE "state"
        STRAY_CONDUCTORS "stray-conductors"
        STUDS "studs"
        SUPPLY "supply"
        SUPPORT_SPACING "support-spacing"
        SURGE_DISCHARGE "surge-discharge"
        SURGE_TYPE "surge-type"
        SWITCHES "switches"
        SYSTEM "system"
        TERMINAL_MARKING "terminal-marking"
        TESTS "tests"
        TRADE_SIZE "trade-size"
        TYPE "type"
        UNDER "under"
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
        WIRE_SIZE "wire-size"
        WORKER "worker"
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
    }
}

pub(super) use name::NAMES;

/// Values of each core choice, in the order of [`choice`]; other spellings stand behind `=`.
const VALUES: &[&str] = &[
    "detached attached within-house",
    "one-family-house two-family-house multifamily-house no-dwelling",
    "wood steel masonry concrete",
    "metal-corrugated metal-flat wood other",
    "workshop garage storage office bedroom living-room kitchen bathroom laundry closet attic crawl-space other",
    "open-framing boarded drywall masonry",
    "person vehicle",
    "water gas air oil other",
    "owner licensed qualified",
    "footing trench rough-in final permit",
    "gfci-trips polarity ground-path neutral-isolation insulation",
    "house-panel utility-service pole-panel generator solar",
    "120/240 120 240 208Y/120",
    "none new replaced meter-only like-for-like",
    "normal different-voltage different-use standby solar over-one-supply-limit three-way-lighting",
    "copper=Cu aluminum=Al copper-clad-aluminum=CCA",
    "THHN THWN THWN-2 THHN/THWN THHN/THWN-2 XHHW XHHW-2 RHW RHW-2 USE USE-2 THW THW-2 TW NM-inside UF-inside bare unmarked",
    "black red blue brown orange yellow white gray white-stripe green green-yellow bare other",
    "hot neutral equipment-ground switched-hot traveler signal spare",
    "EMT IMC RMC PVC-40 PVC-80 HDPE ENT FMC LFMC LFNC surface-metal surface-plastic wireway NM-B UF-B MC AC SE SER USE-2 mobile-home-feeder quadruplex triplex open-conductors flexible-cord plumbing-pipe none",
    "lawn concrete-2-in slab-4-in building road dwelling-drive rock",
    "walkway residential-yard drive truck-way roof",
    "indoors indoors-damp washed-down outdoors outdoors-under-roof buried in-slab overhead",
    "clean-soil sand screened-soil rocks rubble slag",
    "none listed-for-burial in-reachable-box irreversible welded twist-on taped",
    "building-wall mast pole tree",
    "inverse-time-breaker instantaneous-breaker time-delay-fuse fuse",
    "A C equipment",
    "breaker molded-case-switch general-use-switch snap-switch pull-out fused-switch cord-and-plug approved-other",
    "maker-instructions calibrated-tool shear-bolt torque-indicator maker-method by-feel",
    "type-1 type-3R type-3 type-4 type-4X type-12",
    "insulated-wall grounded-wall live-parts",
    "nothing bench storage other",
    "rod pipe plate ring footing in-ground-steel water-pipe",
    "square octagon round device masonry handhole conduit-body other",
    "structure brace threaded-raceways embedded ceiling-grid EMT-only cord loose",
    "none plate blank-plate weatherproof-closed in-use",
    "general bench door-opener welder compressor machine ev-charger refrigerator deicing alarm security hvac-service lights other",
    "single-pole double-pole 3-way 4-way dimmer occupancy=motion-sensor timer remote photocell door-operated",
    "dry damp-location wet-location",
    "wall occupancy photocell timer remote central pull-chain none",
    "arc-welder resistance-welder plasma-cutter compressor table-saw planer lathe mill grinder dust-collector hoist pump exhaust-fan ceiling-fan door-opener air-conditioner heat-pump room-air-conditioner space-heater water-heater ev-charger refrigerator range dryer dishwasher alarm-panel lift kiln other",
    "cord-and-plug hard-wired",
    "none type-1 type-2 type-3",
    "pendant reel drop machine lift light portable extension fixed-wiring",
    "wire raceway none",
    "A B both",
    "side opposite",
    "plastic aluminum steel",
    "cable heavy-metal other-raceway small-gfci low-voltage",
    "gas water sewer data",
    "5-15R 5-20R 5-30R 5-50R 6-15R 6-20R 6-30R 6-50R 10-30R 10-50R 14-20R 14-30R 14-50R 14-60R L5-15R L5-20R L5-30R L6-15R L6-20R L6-30R L14-20R L14-30R TT-30R",
    "shop house other",
];

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

type Row = (Kinds, NameId, bool, Type, Origin, &'static str, &'static str);

/// Kinds, name, whether it may be absent, type, origin, one sentence, phrase.
#[rustfmt::skip]
const WORDS: &[Row] = &[
    (kinds!(Shop), name::PLACEMENT, false, Type::Choice(choice::PLACEMENT), Stated, "where the building stands to the house", "detached / attached / within the house"),
    (kinds!(Shop), name::BESIDE, false, Type::Choice(choice::BESIDE), Stated, "the dwelling it belongs to", "beside one-family house / no dwelling here"),
    (kinds!(Shop), name::FRAME, false, Type::Choice(choice::FRAME), Stated, "what carries the building", "steel frame"),
    (kinds!(Shop), name::FRAME_BOND, true, Type::Item(kinds!(Wire)), Stated, "the jumper from the steel frame to the panel, disconnect or electrode conductor", "frame bonded with 6 AWG Cu / frame not bonded"),
    (kinds!(Shop), name::ROOF_DECK, false, Type::Choice(choice::ROOF_DECK), Stated, "what the roof deck is made of", "roof deck metal-corrugated"),
    (kinds!(Shop), name::FLOOR_AREA, false, AREA, Either, "from the stated size or stated itself", "24 ft x 30 ft"),
    (kinds!(Shop), name::IS_EXISTING, false, Type::YesNo, Stated, "the building stood before this work", "existing building / new building"),
    (kinds!(Shop), name::HAS_DWELLING_UNIT, false, Type::YesNo, Stated, "somebody can live in it: kitchen, bath, bed", "dwelling unit upstairs / no dwelling unit"),
    (kinds!(Shop), name::IS_BUSINESS, false, Type::YesNo, Stated, "used for a trade, not a hobby", "used for business / hobby use"),
    (kinds!(Shop), name::COLDEST, false, TEMPERATURE, Stated, "coldest air that outdoor wiring meets", "coldest -10 F"),
    (kinds!(Shop), name::HOTTEST, false, TEMPERATURE, Stated, "hottest air that outdoor wiring meets", "hottest 104 F"),
    (kinds!(Shop), name::HAS_COMMUNICATIONS, false, Type::YesNo, Stated, "telephone, cable or antenna wires enter", "telephone enters / no communications"),
    (kinds!(Shop), name::HAS_GROUPED_DISCONNECTS, false, Type::YesNo, Either, "all disconnects of the building stand together; yes when they are handles of one panel", "disconnects side by side"),
    (kinds!(Shop), name::INCOMING, false, Type::List(kinds!(Feeder Circuit)), Derived, "feeders and circuits whose far end is in this building and whose near end is not", ""),
    (kinds!(Shop), name::SOURCES, false, Type::List(kinds!(Supply)), Derived, "supplies that the incoming ones start at", ""),
    (kinds!(Shop), name::AREAS, false, Type::List(kinds!(Area)), Derived, "areas of the plan; a shop that names none is one area", ""),
    (kinds!(Shop), name::BAYS, false, Type::List(kinds!(Bay)), Stated, "vehicle bays", "2 vehicle bays / no vehicle bays"),
    (kinds!(Shop), name::CIRCUITS, false, Type::List(kinds!(Circuit)), Derived, "every branch circuit that starts in the shop or reaches it", ""),
    (kinds!(Shop), name::RECEPTACLES, false, Type::List(kinds!(Receptacle)), Derived, "every receptacle", ""),
    (kinds!(Shop), name::LIGHTS, false, Type::List(kinds!(Light)), Derived, "every light", ""),
    (kinds!(Shop), name::EQUIPMENT, false, Type::List(kinds!(Equipment)), Derived, "every machine", ""),
    (kinds!(Shop), name::RUNS, false, Type::List(kinds!(Run)), Derived, "every run, legs included", ""),
    (kinds!(Shop), name::ELECTRODES, false, Type::List(kinds!(Electrode)), Stated, "every electrode at the building", "electrode: 2 rods, 5/8 in x 8 ft, 6 ft apart, no others"),
    (kinds!(Shop), name::DISCONNECTS, false, Type::List(kinds!(Disconnect)), Derived, "stated disconnects, mains, and the handles that stand for a main", ""),
    (kinds!(Shop), name::TESTS, false, Type::List(kinds!(Test)), Stated, "tests of the whole installation", "tested shop: neutral isolated, on 2027-05-02"),
    (kinds!(Shop), name::INSPECTIONS, false, Type::List(kinds!(Inspection)), Stated, "gates, each with its state", "inspection trench: open, booked"),
    (kinds!(Area), name::USE, false, Type::Choice(choice::AREA_USE), Stated, "what is done there", "area loft: storage / use workshop"),
    (kinds!(Area), name::IS_AT_GRADE, false, Type::YesNo, Stated, "floor at or below grade", "at grade / above grade"),
    (kinds!(Area), name::IS_HABITABLE, false, Type::YesNo, Stated, "finished to live in", "habitable / not habitable"),
    (kinds!(Area), name::WALL_FINISH, false, Type::Choice(choice::WALL_FINISH), Stated, "what covers the framing", "walls open framing"),
    (kinds!(Area), name::HAS_WELDING, false, Type::YesNo, Stated, "welding is done here", "welding here / no welding"),
    (kinds!(Area), name::HOTTEST, false, TEMPERATURE, Stated, "hottest air in the area; one phrase on the shop lists all areas", "hottest 104 F outdoors, 120 F in loft"),
    (kinds!(Bay), name::RECEPTACLES, false, Type::List(kinds!(Receptacle)), Derived, "receptacles that say they are in this bay", ""),
    (kinds!(Door), name::TYPE, false, Type::Choice(choice::DOOR_TYPE), Stated, "for people or for vehicles", "door D1: person"),
    (kinds!(Door), name::IS_AT_GRADE, false, Type::YesNo, Stated, "opens at grade", "at grade"),
    (kinds!(Door), name::LIGHTS, false, Type::List(kinds!(Light)), Derived, "lights that say they serve this door", ""),
    (kinds!(Pipe), name::CARRIES, false, Type::Choice(choice::CARRIES), Stated, "what is in it", "pipe W: water, copper"),
    (kinds!(Pipe), name::IS_METAL, false, Type::YesNo, Stated, "metal, so that it can carry current", "metal / plastic"),
    (kinds!(Pipe), name::IS_JOINING_BUILDINGS, false, Type::YesNo, Stated, "metal all the way to the house", "joins both buildings"),
    (kinds!(Pipe), name::BOND, true, Type::Item(kinds!(Wire)), Stated, "its bonding jumper", "bonded with 6 AWG Cu / not bonded"),
    (kinds!(Pipe), name::EQUIPMENT, false, Type::List(kinds!(Equipment)), Stated, "machines that it serves", "serves AC1"),
    (kinds!(Permit), name::IS_ISSUED, false, Type::YesNo, Stated, "an electrical permit is open", "permit E-1234 / no permit yet"),
    (kinds!(Permit), name::EDITION, false, EDITION, Stated, "edition of the code in force for this permit", "code NEC 2023"),
    (kinds!(Permit), name::DATE, false, DATE, Stated, "date of the permit", "permit date 2027-03-01"),
    (kinds!(Permit), name::STATE, false, Type::Name, Stated, "state of the US", "in Ohio"),
    (kinds!(Permit), name::WORKER, false, Type::Choice(choice::WORKER), Stated, "who does the work", "work by owner"),
    (kinds!(Permit), name::IS_OWNER_RESIDENT, false, Type::YesNo, Stated, "the owner lives in the house", "owner lives here"),
    (kinds!(Inspection), name::STAGE, false, Type::Choice(choice::STAGE), Stated, "which gate", "inspection trench"),
    (kinds!(Inspection), name::IS_OPEN, false, Type::YesNo, Stated, "the work of this stage can still be seen", "open / covered"),
    (kinds!(Inspection), name::IS_BOOKED, false, Type::YesNo, Stated, "the visit is asked for", "booked for 2027-03-08"),
    (kinds!(Inspection), name::IS_PASSED, false, Type::YesNo, Stated, "signed by the inspector", "passed on 2027-03-08"),
    (kinds!(Test), name::TYPE, false, Type::Choice(choice::TEST_TYPE), Stated, "what was tested", "tested R1: GFCI trips"),
    (kinds!(Test), name::IS_GOOD, false, Type::YesNo, Stated, "the result", "trips / does not trip"),
    (kinds!(Supply), name::TYPE, false, Type::Choice(choice::SUPPLY_TYPE), Stated, "what the feeder starts at", "supply house: house panel"),
    (kinds!(Supply), name::SYSTEM, false, Type::Choice(choice::SYSTEM), Stated, "volts and wires", "120/240 V, 1-phase"),
    (kinds!(Supply), name::AMPS, false, CURRENT, Stated, "rating of its main or service", "service 200 A"),
    (kinds!(Supply), name::FAULT_CURRENT, false, CURRENT, Stated, "available fault current at its panel", "fault current 10 kA"),
    (kinds!(Supply), name::SERVICE_WORK, false, Type::Choice(choice::SERVICE_WORK), Stated, "what this job does to the house service", "service replaced / service not touched"),
    (kinds!(Supply), name::SURGE_TYPE, false, Type::Choice(choice::SURGE_TYPE), Stated, "surge device at the service", "surge type-2, 20 kA / no surge device"),
    (kinds!(Supply), name::SURGE_DISCHARGE, false, CURRENT, Stated, "its nominal discharge current", "surge type-2, 20 kA"),
    (kinds!(Supply), name::PANELS, false, Type::List(kinds!(Panel)), Derived, "panels next downstream", ""),
    (kinds!(Supply), name::PRESENT_LOAD, false, POWER, Stated, "calculated or measured load of the house before the shop", "present load 96 A"),
    (kinds!(Supply), name::LIVING_AREA, false, AREA, Stated, "floor area of the house for the load calculation", "house 1800 ft2"),
    (kinds!(Supply), name::SMALL_APPLIANCE_CIRCUITS, false, NUMBER, Stated, "kitchen circuits of the house", "2 small-appliance circuits"),
    (kinds!(Supply), name::LAUNDRY_CIRCUITS, false, NUMBER, Stated, "laundry circuits of the house", "1 laundry circuit"),
    (kinds!(Supply), name::APPLIANCE_LOAD, false, POWER, Stated, "plates of ranges, dryers, heaters and fixed appliances, added", "appliances 22 kVA"),
    (kinds!(Supply), name::CLIMATE_LOAD, false, POWER, Stated, "largest heating or cooling load as the optional method takes it", "heating 9 kVA"),
    (kinds!(Supply), name::VOLTS, false, VOLTAGE, Derived, "largest voltage between its conductors, from system", ""),
    (kinds!(Feeder), name::FAR_PANEL, false, Type::Item(kinds!(Panel)), Stated, "the panel that it ends in", "feeder F1 from house to P1"),
    (kinds!(Feeder), name::IS_NEUTRAL_NEEDED, false, Type::YesNo, Derived, "some load downstream is line to neutral", ""),
    (kinds!(Feeder), name::IS_WHOLE_DWELLING_SUPPLY, false, Type::YesNo, Stated, "it alone carries a whole dwelling unit", "feeds the whole dwelling unit / not a dwelling feeder"),
    (kinds!(Feeder Circuit), name::SUPPLY, false, Type::Item(kinds!(Supply)), Either, "where power comes from; for a circuit through its panel", "from house"),
    (kinds!(Feeder Circuit), name::SYSTEM, false, Type::Choice(choice::SYSTEM), Derived, "of its supply, as far as its poles and neutral take it", ""),
    (kinds!(Feeder Circuit), name::BREAKER, false, Type::Item(kinds!(Breaker)), Stated, "the overcurrent device at its near end", "breaker 60 A, 2-pole"),
    (kinds!(Feeder Circuit), name::WIRE, false, Type::Item(kinds!(Wire)), Stated, "its ungrounded conductors", "wire 3 x 4 AWG Cu THWN-2"),
    (kinds!(Feeder Circuit), name::NEUTRAL_WIRE, false, Type::Item(kinds!(Wire)), Stated, "its neutral, where the plan gives it a size of its own", "neutral 8 AWG"),
    (kinds!(Feeder Circuit), name::EQUIPMENT_GROUND, true, Type::Item(kinds!(Wire)), Stated, "wire-type equipment grounding conductor", "ground 10 AWG Cu / no ground wire"),
    (kinds!(Feeder Circuit), name::EQUIPMENT_GROUND_TYPE, false, Type::Choice(choice::EQUIPMENT_GROUND_TYPE), Either, "how the equipment ground is carried on the whole way", "ground by raceway"),
    (kinds!(Feeder Circuit), name::HAS_NEUTRAL, false, Type::YesNo, Either, "a grounded conductor runs with it", "no neutral"),
    (kinds!(Feeder Circuit), name::RUNS, false, Type::List(kinds!(Run)), Derived, "legs of a feeder, runs on the way of a circuit", ""),
    (kinds!(Feeder Circuit), name::LENGTH, false, LENGTH, Either, "one way to the farthest point; sum of the way", "length 105 ft"),
    (kinds!(Feeder Circuit), name::VOLTS, false, VOLTAGE, Derived, "between its ungrounded conductors, or to neutral where there is one hot", ""),
    (kinds!(Feeder Circuit), name::VOLTS_TO_GROUND, false, VOLTAGE, Derived, "from system", ""),
    (kinds!(Feeder Circuit), name::PHASES, false, NUMBER, Derived, "1 or 3, from system", ""),
    (kinds!(Feeder Circuit), name::HOTS, false, NUMBER, Derived, "count of ungrounded conductors", ""),
    (kinds!(Feeder Circuit), name::PURPOSE, false, Type::Choice(choice::PURPOSE), Stated, "why it is there when it is not the only supply", "standby supply / normal supply"),
    (kinds!(Feeder Circuit), name::IS_BRANCH, false, Type::YesNo, Derived, "no for a feeder", ""),
    (kinds!(Feeder Circuit), name::IS_FIRST_OF_NEUTRAL, false, Type::YesNo, Derived, "no for the second circuit of a shared neutral, so that a multiwire pair counts once", ""),
    (kinds!(Feeder Circuit), name::DISCONNECTS, false, Type::List(kinds!(Disconnect)), Derived, "those that open it at the building", ""),
    (kinds!(Feeder Circuit), name::HANDLES, false, NUMBER, Derived, "hand movements that open all of it; a tied pair is one", ""),
    (kinds!(Feeder), name::IS_EXISTING, false, Type::YesNo, Stated, "was there before this work", "existing feeder / new"),
    (kinds!(Circuit), name::IS_EXISTING, false, Type::YesNo, Stated, "was there before this work", "existing circuit / new"),
    (kinds!(Feeder Circuit), name::HAS_OTHER_METAL_PATH, false, Type::YesNo, Either, "metal joins both buildings beside it; from pipes or stated", "other metal between buildings: none"),
    (kinds!(Feeder Circuit), name::TERMINAL_MARKING, false, TEMPERATURE, Stated, "lowest marking of the terminals at both ends", "terminals 75 C / terminals unmarked"),
    (kinds!(Feeder Circuit), name::IS_PROTECTED_AT_SOURCE, false, Type::YesNo, Stated, "its overcurrent device stands where it starts", "breaker in the house panel"),
    (kinds!(Circuit), name::PANEL, false, Type::Item(kinds!(Panel)), Stated, "the panel it starts in", "circuit C2 from P1"),
    (kinds!(Circuit), name::OUTLETS, false, Type::List(kinds!(Receptacle Light Equipment)), Derived, "what it feeds, hard-wired machines included", ""),
    (kinds!(Circuit), name::RECEPTACLES, false, Type::List(kinds!(Receptacle)), Derived, "receptacles it feeds", ""),
    (kinds!(Circuit), name::LIGHTS, false, Type::List(kinds!(Light)), Derived, "lights it feeds", ""),
    (kinds!(Circuit), name::EQUIPMENT, false, Type::List(kinds!(Equipment)), Derived, "machines hard-wired to it or plugged in on it", ""),
    (kinds!(Circuit), name::AREAS, false, Type::List(kinds!(Area)), Derived, "areas of its outlets", ""),
    (kinds!(Circuit), name::RECEPTACLE_COUNT, false, NUMBER, Derived, "places to plug in; a duplex is two", ""),
    (kinds!(Circuit), name::NEUTRAL_PARTNERS, false, Type::List(kinds!(Circuit)), Either, "circuits that share its neutral", "neutral shared with C3 / own neutral"),
    (kinds!(Circuit), name::PHASE, false, Type::Choice(choice::PHASE), Either, "busbar of the panel, from its space or stated", "on leg A"),
    (kinds!(Circuit), name::IS_NEUTRAL_PIGTAILED, false, Type::YesNo, Stated, "taking out a device does not open the neutral", "neutral pigtailed"),
    (kinds!(Circuit), name::HAS_LABEL, false, Type::YesNo, Derived, "a label stands on the item", ""),
    (kinds!(Circuit), name::ADDED_LENGTH, false, LENGTH, Stated, "length by which an old circuit grows", "extended by 5 ft"),
    (kinds!(Circuit), name::ADDED_OUTLETS, false, NUMBER, Stated, "outlets added to an old circuit", "2 outlets added"),
    (kinds!(Circuit), name::IS_CONTINUOUS, false, Type::YesNo, Stated, "its load runs three hours or more at a time", "continuous / not continuous"),
    (kinds!(Breaker), name::AMPS, false, CURRENT, Stated, "rating", "breaker 20 A"),
    (kinds!(Breaker), name::POLES, false, NUMBER, Stated, "poles", "2-pole"),
    (kinds!(Breaker), name::SPACE, false, NUMBER, Stated, "the lowest space that it takes in its panel", "space 9 / spaces 2 and 4"),
    (kinds!(Breaker), name::TYPE, false, Type::Choice(choice::BREAKER_TYPE), Stated, "breaker or kind of fuse", "fuse, time-delay"),
    (kinds!(Breaker), name::HAS_GFCI, false, Type::YesNo, Stated, "protects people against ground faults", "GFCI / plain"),
    (kinds!(Breaker), name::GFCI_CLASS, false, Type::Choice(choice::GFCI_CLASS), Stated, "class of the device", "GFCI class C"),
    (kinds!(Breaker Receptacle Device), name::HAS_AFCI, false, Type::YesNo, Stated, "protects against arcs", "AFCI / plain"),
    (kinds!(Breaker), name::IS_COMMON_TRIP, false, Type::YesNo, Stated, "all poles trip together", "common trip / single-pole"),
    (kinds!(Breaker), name::HAS_HANDLE_TIE, false, Type::YesNo, Stated, "listed handle tie to its neighbor", "handle tie"),
    (kinds!(Breaker), name::INTERRUPTING_RATING, false, CURRENT, Stated, "fault current it is marked to break", "interrupting 10 kA"),
    (kinds!(Breaker), name::IS_TANDEM, false, Type::YesNo, Stated, "two in one space", "tandem"),
    (kinds!(Breaker), name::IS_BACK_FED, false, Type::YesNo, Stated, "plug-on, fed from its load side as a main", "back-fed"),
    (kinds!(Breaker), name::CIRCUITS, false, Type::List(kinds!(Feeder Circuit)), Derived, "what it protects; two circuits on one two-pole breaker", ""),
    (kinds!(Breaker), name::PANEL, false, Type::Item(kinds!(Panel)), Derived, "the panel it stands in", ""),
    (kinds!(Breaker), name::IS_READILY_REACHABLE, false, Type::YesNo, Derived, "as its panel", ""),
    (kinds!(Disconnect), name::TYPE, false, Type::Choice(choice::DISCONNECT_TYPE), Either, "kind of switch", "disconnect D1: general-use switch"),
    (kinds!(Disconnect), name::AMPS, false, CURRENT, Either, "rating", "60 A"),
    (kinds!(Disconnect), name::POLES, false, NUMBER, Either, "poles that open together", "2-pole"),
    (kinds!(Disconnect), name::HOTS, false, NUMBER, Derived, "ungrounded conductors that pass it", ""),
    (kinds!(Disconnect), name::IS_BUILDING_DISCONNECT, false, Type::YesNo, Derived, "it opens a supply of the building, not one machine", ""),
    (kinds!(Disconnect), name::EQUIPMENT, false, Type::List(kinds!(Equipment)), Either, "machines that it opens", "for AC1"),
    (kinds!(Disconnect), name::LINE, false, Type::Item(kinds!(Feeder Circuit)), Derived, "what it opens", ""),
    (kinds!(Disconnect), name::PANEL, false, Type::Item(kinds!(Panel)), Derived, "the panel it stands in or feeds", ""),
    (kinds!(Disconnect), name::DISTANCE_FROM_ENTRY, false, LENGTH, Stated, "from where the supply comes in to the disconnect", "4 ft from the entry"),
    (kinds!(Disconnect), name::IS_READILY_REACHABLE, false, Type::YesNo, Stated, "without ladder, tool or moving things", "readily reached"),
    (kinds!(Disconnect), name::IS_MARKED, false, Type::YesNo, Stated, "says what it is and what it turns off", "marked"),
    (kinds!(Disconnect), name::IS_IN_SIGHT, false, Type::YesNo, Stated, "seen from what it turns off", "in sight"),
    (kinds!(Disconnect), name::DISTANCE, false, LENGTH, Stated, "to what it turns off", "30 ft away"),
    (kinds!(Disconnect), name::IS_LOCKABLE, false, Type::YesNo, Stated, "can be locked open, lock part stays on", "lockable"),
    (kinds!(Disconnect), name::CLEAR_DEPTH, false, LENGTH, Stated, "free floor in front of it", "clear 36 in deep"),
    (kinds!(Panel), name::FEEDER, true, Type::Item(kinds!(Feeder)), Derived, "the feeder that ends in it; none where the service does", ""),
    (kinds!(Panel), name::MAIN, true, Type::Item(kinds!(Breaker)), Stated, "its main breaker", "main 60 A / main lugs"),
    (kinds!(Panel), name::BUS_AMPS, false, CURRENT, Stated, "rating of its bus", "bus 100 A"),
    (kinds!(Panel), name::SPACES, false, NUMBER, Stated, "breaker spaces", "12 spaces"),
    (kinds!(Panel Box), name::IS_ALL_DRAWN, false, Type::YesNo, Stated, "every run at it, and every circuit of a panel, stands in the plan", "all drawn"),
    (kinds!(Panel Box Run Receptacle Switch Light Device Equipment Disconnect), name::BUILDING, false, Type::Choice(choice::BUILDING), Stated, "building that it is in; one that doesn't say is in the shop", "in house / in shop"),
    (kinds!(Panel), name::CIRCUITS, false, Type::List(kinds!(Circuit)), Derived, "circuits that start in it", ""),
    (kinds!(Panel), name::BREAKERS, false, Type::List(kinds!(Breaker)), Derived, "distinct breakers in it; a tied or two-pole pair once", ""),
    (kinds!(Panel), name::LIGHTS, false, Type::List(kinds!(Light)), Derived, "lights of its circuits", ""),
    (kinds!(Panel), name::RECEPTACLES, false, Type::List(kinds!(Receptacle)), Derived, "receptacles of its circuits", ""),
    (kinds!(Panel), name::EQUIPMENT, false, Type::List(kinds!(Equipment)), Derived, "machines of its circuits", ""),
    (kinds!(Panel), name::IS_SERVICE, false, Type::YesNo, Derived, "fed by the utility, not by a feeder", ""),
    (kinds!(Panel), name::IS_NEUTRAL_BONDED, false, Type::YesNo, Stated, "neutral bar joined to the cabinet by screw or strap", "neutral isolated / neutral bonded"),
    (kinds!(Panel), name::HAS_GROUND_BAR, false, Type::YesNo, Stated, "own bar for equipment grounds", "ground bar / no ground bar"),
    (kinds!(Panel), name::HAS_DIRECTORY, false, Type::YesNo, Stated, "list of circuits at the panel", "directory"),
    (kinds!(Panel), name::SURGE_TYPE, false, Type::Choice(choice::SURGE_TYPE), Stated, "surge device in it", "surge type-2, 10 kA / no surge device"),
    (kinds!(Panel), name::SURGE_DISCHARGE, false, CURRENT, Stated, "its nominal discharge current", "surge type-2, 10 kA"),
    (kinds!(Panel), name::CLEAR_DEPTH, false, LENGTH, Stated, "free floor in front, from the cover", "clear 36 in deep"),
    (kinds!(Panel), name::CLEAR_WIDTH, false, LENGTH, Stated, "free width in front", "30 in wide"),
    (kinds!(Panel), name::CLEAR_HEIGHT, false, LENGTH, Stated, "free height in front", "80 in high"),
    (kinds!(Panel), name::WIDTH, false, LENGTH, Stated, "width of the cabinet", "cabinet 14-1/2 in wide"),
    (kinds!(Panel), name::DOOR_SWING, false, ANGLE, Stated, "how far its door opens", "door opens 90 deg"),
    (kinds!(Panel), name::FACING, false, Type::Choice(choice::FACING), Stated, "what is across the free space", "facing concrete wall"),
    (kinds!(Panel), name::SPACE_HOLDS, false, Type::Choice(choice::SPACE_HOLDS), Stated, "what stands in the free space", "nothing in front / bench in front"),
    (kinds!(Panel), name::ENCLOSURE, false, Type::Choice(choice::ENCLOSURE), Stated, "type of the cabinet", "type 3R"),
    (kinds!(Panel), name::IS_EXISTING, false, Type::YesNo, Stated, "was there before this work", "existing panel"),
    (kinds!(Panel), name::VOLTS_TO_GROUND, false, VOLTAGE, Derived, "of its supply", ""),
    (kinds!(Panel), name::BENDING_SPACE, false, LENGTH, Stated, "from lug to the wall of the cabinet", "6 in at the lugs"),
    (kinds!(Panel), name::EXIT, false, Type::Choice(choice::EXIT), Stated, "where its feeder wires leave", "feeder wires leave opposite"),
    (kinds!(Electrode), name::TYPE, false, Type::Choice(choice::ELECTRODE_TYPE), Stated, "kind", "electrode: rod"),
    (kinds!(Electrode), name::IS_CONNECTED, false, Type::YesNo, Stated, "tied into the electrode system", "tied in / not tied in"),
    (kinds!(Electrode), name::LENGTH, false, LENGTH, Stated, "rod, bar or wire length", "8 ft"),
    (kinds!(Electrode), name::DIAMETER, false, LENGTH, Stated, "rod or bar diameter", "5/8 in"),
    (kinds!(Electrode), name::DEPTH_IN_SOIL, false, LENGTH, Stated, "length in contact with soil", "8 ft in soil"),
    (kinds!(Electrode), name::HAS_OTHER_ROD, false, Type::YesNo, Derived, "another rod stands at this building", ""),
    (kinds!(Electrode), name::SPACING, false, LENGTH, Stated, "to the nearest other rod", "6 ft apart"),
    (kinds!(Electrode), name::RESISTANCE, false, RESISTANCE, Stated, "measured to earth", "measured 21 ohm"),
    (kinds!(Electrode), name::WIRE, true, Type::Item(kinds!(Wire)), Stated, "bare copper in the footing in place of bar", "4 AWG Cu bare in the footing"),
    (kinds!(ElectrodeConductor), name::SIZE, false, WIRE_SIZE, Stated, "size", "electrode wire 6 AWG Cu"),
    (kinds!(ElectrodeConductor), name::METAL, false, Type::Choice(choice::METAL), Stated, "metal", "electrode wire 6 AWG Cu"),
    (kinds!(ElectrodeConductor), name::ELECTRODES, false, Type::List(kinds!(Electrode)), Either, "electrodes that hang on it", "to both rods"),
    (kinds!(ElectrodeConductor), name::LINE, false, Type::Item(kinds!(Feeder Circuit)), Derived, "supply whose conductors set its size", ""),
    (kinds!(ElectrodeConductor), name::RACEWAY, false, Type::Choice(choice::METHOD), Stated, "what it runs in", "in PVC-40 / no raceway"),
    (kinds!(Box), name::SHAPE, false, Type::Choice(choice::SHAPE), Stated, "shape", "4 in square"),
    (kinds!(Box), name::WIDTH, false, LENGTH, Stated, "trade width", "4 in square"),
    (kinds!(Box), name::DEPTH, false, LENGTH, Stated, "depth", "2-1/8 in deep"),
    (kinds!(Box), name::MARKED_VOLUME, true, VOLUME, Stated, "volume marked on it; excludes a trade size", "18 in3"),
    (kinds!(Box), name::EXTENSION_VOLUME, false, VOLUME, Stated, "rings and extensions, 0 in3 when none", "extension 21 in3 / no extension"),
    (kinds!(Box), name::IS_METAL, false, Type::YesNo, Stated, "metal box", "metal / plastic"),
    (kinds!(Box), name::GANGS, false, NUMBER, Stated, "gangs", "2-gang"),
    (kinds!(Box), name::HAS_CLAMPS, false, Type::YesNo, Stated, "clamps inside", "clamps inside / no clamps"),
    (kinds!(Box), name::STUDS, false, NUMBER, Stated, "fixture studs and hickeys", "fixture stud / no studs"),
    (kinds!(Box), name::HAS_COVER, false, Type::YesNo, Stated, "cover or plate", "cover / no cover yet"),
    (kinds!(Box), name::IS_WEATHERPROOF, false, Type::YesNo, Stated, "keeps water out", "weatherproof"),
    (kinds!(Box), name::IS_WET_LISTED, false, Type::YesNo, Stated, "listed for wet places", "listed for wet places"),
    (kinds!(Box), name::DEVICES, false, Type::List(kinds!(Receptacle Switch Device)), Either, "devices in it", "holds R1"),
    (kinds!(Box), name::RUNS, false, Type::List(kinds!(Run)), Derived, "runs that end here", ""),
    (kinds!(Box), name::ENTRIES, false, Type::List(kinds!(Entry)), Derived, "wires that come in, one that passes unbroken once, grounds left out", ""),
    (kinds!(Box), name::GROUND_ENTRIES, false, Type::List(kinds!(Entry)), Derived, "equipment grounds that come in", ""),
    (kinds!(Box), name::HAS_NEUTRAL, false, Type::YesNo, Derived, "a neutral of the circuit is in it", ""),
    (kinds!(Box), name::LARGEST_WIRE, false, WIRE_SIZE, Derived, "of all its entries", ""),
    (kinds!(Entry), name::ROLE, false, Type::Choice(choice::ROLE), Derived, "what the wire is for", ""),
    (kinds!(Entry), name::SIZE, false, WIRE_SIZE, Derived, "from its circuit", ""),
    (kinds!(Entry), name::IS_ENDING, false, Type::YesNo, Derived, "spliced or landed here, not passing", ""),
    (kinds!(Entry), name::LOOPS, false, NUMBER, Either, "1, or 2 for a long unbroken loop", "looped"),
    (kinds!(Entry), name::IS_FIXTURE_WIRE, false, Type::YesNo, Either, "small wire from a canopy that may be left out", "small fixture wires"),
    (kinds!(Run), name::BOXES, false, Type::List(kinds!(Box)), Stated, "boxes at its ends", "run B1 to B2"),
    (kinds!(Run), name::PANELS, false, Type::List(kinds!(Panel)), Stated, "panels at its ends", "run P1 to B3"),
    (kinds!(Run), name::METHOD, false, Type::Choice(choice::METHOD), Stated, "raceway or cable", "3/4 in EMT / 12/2 NM-B"),
    (kinds!(Run), name::WIRE, false, Type::Item(kinds!(Wire)), Stated, "wire or cable conductors named on the run itself; wins over that of a circuit", "wire 12 AWG Cu THWN-2 / cable 12/2 NM-B"),
    (kinds!(Run), name::EQUIPMENT_GROUND, true, Type::Item(kinds!(Wire)), Stated, "equipment grounding conductor named on the run, or that of its cable", "with ground / without ground"),
    (kinds!(Run), name::TRADE_SIZE, false, TRADE_SIZE, Stated, "trade size of the raceway", "3/4 in"),
    (kinds!(Run), name::LENGTH, false, LENGTH, Stated, "length", "16 ft"),
    (kinds!(Run), name::BENDS, false, ANGLE, Stated, "sum of bends between pull points; 2 bends are 180 deg", "2 bends / 270 deg"),
    (kinds!(Run), name::AREA, false, Type::Item(kinds!(Area)), Stated, "area it runs through", "in loft"),
    (kinds!(Run), name::COVER, false, LENGTH, Stated, "earth over the top of the raceway or cable", "buried 20 in"),
    (kinds!(Run), name::UNDER, false, Type::Choice(choice::UNDER), Stated, "what lies over it", "under lawn"),
    (kinds!(Run), name::OVER, false, Type::Choice(choice::OVER), Stated, "what it passes over", "over the drive"),
    (kinds!(Run), name::HEIGHT, false, LENGTH, Stated, "lowest point over that", "12 ft up"),
    (kinds!(Run), name::WINDOW_DISTANCE, false, LENGTH, Stated, "to the nearest window that opens", "4 ft from a window"),
    (kinds!(Run), name::IS_RACEWAY, false, Type::YesNo, Derived, "by method", ""),
    (kinds!(Run), name::IS_CABLE, false, Type::YesNo, Derived, "by method", ""),
    (kinds!(Run), name::VOLTS_TO_GROUND, false, VOLTAGE, Derived, "largest of its circuits", ""),
    (kinds!(Run), name::CIRCUITS, false, Type::List(kinds!(Feeder Circuit)), Derived, "those whose way goes through it", ""),
    (kinds!(Run), name::CONDUCTORS, false, Type::List(kinds!(Conductor)), Derived, "wires that the plan needs in it", ""),
    (kinds!(Run), name::PULLED, false, Type::List(kinds!(Pulled)), Stated, "wires really pulled", "pulled B1 to B2: 2 x 12 AWG Cu THWN-2 black"),
    (kinds!(Run), name::MISSING_ROLES, false, Type::Choices(choice::ROLE), Derived, "what the plan needs in it that the wires pulled, or the cable, do not have", ""),
    (kinds!(Run), name::STRAY_CONDUCTORS, false, Type::List(kinds!(Conductor)), Derived, "wires whose companions of the same circuit lie elsewhere", ""),
    (kinds!(Run), name::IS_BUILDING_ENTRY, false, Type::YesNo, Derived, "goes from outside or earth into the building", ""),
    (kinds!(Run), name::IS_SERVICE_RUN, false, Type::YesNo, Derived, "ahead of the first disconnect of a utility service", ""),
    (kinds!(Run), name::BUNDLED_CONDUCTORS, false, NUMBER, Stated, "current-carrying wires of cables lying together for over 24 in, own ones included", "bundled with 3 cables"),
    (kinds!(Run), name::IS_EXPOSED, false, Type::YesNo, Stated, "on the surface, not behind a finish", "exposed"),
    (kinds!(Run), name::IS_EXPOSED_TO_DAMAGE, false, Type::YesNo, Stated, "can be struck where it is", "open to knocks / out of reach"),
    (kinds!(Run), name::IS_SUNLIT, false, Type::YesNo, Stated, "sun on it", "in the sun"),
    (kinds!(Run), name::HAS_EXPANSION_FITTING, false, Type::YesNo, Stated, "expansion fitting in it", "expansion fitting"),
    (kinds!(Run), name::SUPPORT_SPACING, false, LENGTH, Stated, "farthest from strap to strap", "strapped each 4 ft"),
    (kinds!(Run), name::BOX_SUPPORT, false, LENGTH, Stated, "from box to first strap", "8 in from the box"),
    (kinds!(Run), name::IS_THROUGH_FRAMING, false, Type::YesNo, Stated, "through holes in studs or joists", "through framing"),
    (kinds!(Run), name::IS_ALONG_FRAMING, false, Type::YesNo, Stated, "along a stud or joist", "along framing"),
    (kinds!(Run), name::EDGE_DISTANCE, false, LENGTH, Stated, "to the nearest nailing edge", "1-1/2 in from the edge"),
    (kinds!(Run), name::HAS_PLATE, false, Type::YesNo, Stated, "steel plate over it", "plates"),
    (kinds!(Run), name::IS_UNDER_ROOF_DECK, false, Type::YesNo, Stated, "under roof decking", "under the roof deck"),
    (kinds!(Run), name::DECK_GAP, false, LENGTH, Stated, "from the deck underside", "2 in below the deck"),
    (kinds!(Run), name::SLEEVE, false, Type::Choice(choice::METHOD), Stated, "what guards a cable that comes up", "sleeved PVC-80"),
    (kinds!(Run), name::SLEEVE_TOP, false, LENGTH, Stated, "how high the sleeve goes over grade", "to 8 ft up"),
    (kinds!(Run), name::SLEEVE_BOTTOM, false, LENGTH, Stated, "how deep it starts", "from 18 in down"),
    (kinds!(Run), name::HAS_SPLICE, false, Type::YesNo, Stated, "spliced between its ends", "splice / no splice"),
    (kinds!(Run), name::SPLICE, false, Type::Choice(choice::SPLICE), Stated, "how", "splice listed for burial"),
    (kinds!(Run), name::IS_IDENTIFIED_FOR_BURIAL, false, Type::YesNo, Stated, "cable marked for direct burial", "marked for direct burial"),
    (kinds!(Run), name::HAS_SIGNAL_WIRES, false, Type::YesNo, Stated, "phone, data or alarm wires in it", "with data cable / power only"),
    (kinds!(Run), name::IS_ONE_SIZE, false, Type::YesNo, Derived, "all wires have one size and insulation", ""),
    (kinds!(Conductor), name::ROLE, false, Type::Choice(choice::ROLE), Derived, "what it is for", ""),
    (kinds!(Conductor), name::SIZE, false, WIRE_SIZE, Derived, "from its circuit", ""),
    (kinds!(Conductor), name::METAL, false, Type::Choice(choice::METAL), Derived, "from its circuit", ""),
    (kinds!(Conductor), name::INSULATION, false, Type::Choice(choice::INSULATION), Derived, "from its circuit or cable", ""),
    (kinds!(Conductor), name::IS_ALTERNATE, false, Type::YesNo, Derived, "never live together with another wire of the run", ""),
    (kinds!(Conductor), name::IS_BALANCED_NEUTRAL, false, Type::YesNo, Derived, "neutral that carries only the unbalance of two legs", ""),
    (kinds!(Pulled), name::SIZE, false, WIRE_SIZE, Stated, "size", "2 x 12 AWG Cu THWN-2 black"),
    (kinds!(Pulled), name::METAL, false, Type::Choice(choice::METAL), Stated, "metal", "2 x 12 AWG Cu THWN-2 black"),
    (kinds!(Pulled), name::INSULATION, false, Type::Choice(choice::INSULATION), Stated, "type printed on it, or unmarked", "unmarked"),
    (kinds!(Pulled), name::COLOR, false, Type::Choice(choice::COLOR), Stated, "color", "black"),
    (kinds!(Pulled), name::ROLE, false, Type::Choice(choice::ROLE), Either, "stated, or the only role left in this run", "as neutral"),
    (kinds!(Pulled), name::IS_USED, false, Type::YesNo, Stated, "taken from another job or out of a cable", "used before / new"),
    (kinds!(Pulled), name::IS_REMARKED, false, Type::YesNo, Stated, "marked with another color at its ends", "taped white at both ends"),
    (kinds!(Pulled), name::IS_IN_CABLE, false, Type::YesNo, Derived, "the run is a cable", ""),
    (kinds!(Wire), name::SIZE, false, WIRE_SIZE, Stated, "size", "4 AWG"),
    (kinds!(Wire), name::METAL, false, Type::Choice(choice::METAL), Stated, "metal", "Cu"),
    (kinds!(Wire), name::INSULATION, false, Type::Choice(choice::INSULATION), Stated, "insulation type", "THWN-2"),
    (kinds!(Wire), name::COUNT, false, NUMBER, Stated, "how many of them, equipment grounding conductor left out", "3 x 4 AWG"),
    (kinds!(Receptacle), name::CONFIGURATION, false, Type::Choice(choice::CONFIGURATION), Stated, "trade pattern", "5-20R"),
    (kinds!(Receptacle), name::VOLTS, false, VOLTAGE, Derived, "by pattern: 125 or 250", ""),
    (kinds!(Receptacle), name::AMPS, false, CURRENT, Derived, "by pattern", ""),
    (kinds!(Receptacle), name::IS_LOCKING, false, Type::YesNo, Derived, "by pattern", ""),
    (kinds!(Receptacle), name::HAS_GROUND_CONTACT, false, Type::YesNo, Derived, "by pattern", ""),
    (kinds!(Receptacle Device), name::HAS_GFCI, false, Type::YesNo, Stated, "a GFCI device itself", "GFCI / plain"),
    (kinds!(Receptacle), name::IS_DUPLEX, false, Type::YesNo, Stated, "two places to plug in on its yoke", "duplex / single = no"),
    (kinds!(Receptacle), name::IS_WEATHER_RESISTANT, false, Type::YesNo, Stated, "marked WR", "WR / plain"),
    (kinds!(Receptacle), name::IS_TAMPER_RESISTANT, false, Type::YesNo, Stated, "marked TR", "TR / plain"),
    (kinds!(Receptacle), name::COVER, false, Type::Choice(choice::COVER_KIND), Stated, "its cover", "cover in-use"),
    (kinds!(Receptacle), name::IS_EXTRA_DUTY, false, Type::YesNo, Stated, "hood marked extra duty", "extra-duty"),
    (kinds!(Receptacle), name::SERVES, false, Type::Choice(choice::SERVES), Stated, "what it is for", "for door opener"),
    (kinds!(Receptacle), name::IS_REPLACEMENT, false, Type::YesNo, Stated, "put in place of an old one", "replacement"),
    (kinds!(Receptacle), name::EQUIPMENT, false, Type::List(kinds!(Equipment)), Derived, "machines that plug in here", ""),
    (kinds!(Receptacle), name::BAY, true, Type::Item(kinds!(Bay)), Stated, "its vehicle bay", "in bay 2"),
    (kinds!(Receptacle), name::IS_READILY_REACHABLE, false, Type::YesNo, Stated, "without ladder, tool or moving things", "readily reached"),
    (kinds!(Receptacle), name::TESTS, false, Type::List(kinds!(Test)), Stated, "its tests", "tested R1: polarity right"),
    (kinds!(Receptacle), name::HEIGHT, false, LENGTH, Stated, "over the floor", "48 in up"),
    (kinds!(Switch), name::TYPE, false, Type::Choice(choice::SWITCH_TYPE), Stated, "kind", "single-pole / 3-way"),
    (kinds!(Switch), name::OUTLETS, false, Type::List(kinds!(Receptacle Light Device Equipment)), Derived, "what it controls", ""),
    (kinds!(Switch), name::LIGHTS, false, Type::List(kinds!(Light)), Derived, "lights it controls", ""),
    (kinds!(Switch), name::PARTNERS, false, Type::List(kinds!(Switch)), Derived, "other switches of the same light", ""),
    (kinds!(Switch), name::IS_IN_NEUTRAL, false, Type::YesNo, Either, "it opens a neutral", "breaks neutral / breaks hot = no"),
    (kinds!(Switch), name::HAS_NEUTRAL, false, Type::YesNo, Stated, "a neutral is brought to its box for it", "neutral at the box"),
    (kinds!(Switch), name::IS_OPENING_ALL, false, Type::YesNo, Derived, "it opens all conductors together", ""),
    (kinds!(Light), name::WATTS, false, POWER, Stated, "plate", "80 W"),
    (kinds!(Light), name::MARKING, false, Type::Choice(choice::LIGHT_MARKING), Stated, "place it is marked for", "wet location"),
    (kinds!(Light), name::CORD, true, Type::Item(kinds!(Cord)), Stated, "cord that feeds it", "on a cord K1"),
    (kinds!(Light Receptacle Device Equipment), name::SWITCHES, false, Type::List(kinds!(Switch)), Derived, "switches that control it", ""),
    (kinds!(Light), name::CONTROL, false, Type::Choice(choice::CONTROL), Stated, "control other than a wall switch", "occupancy sensor"),
    (kinds!(Light), name::DOOR, false, Type::Item(kinds!(Door)), Stated, "door that it lights", "for door NAME"),
    (kinds!(Equipment), name::TYPE, false, Type::Choice(choice::EQUIPMENT_TYPE), Stated, "kind of machine", "equipment TIG: arc welder"),
    (kinds!(Equipment), name::VOLTS, false, VOLTAGE, Stated, "plate volts", "240 V"),
    (kinds!(Equipment), name::NAMEPLATE_CURRENT, false, CURRENT, Either, "plate amps; or watts over volts, exact for heaters and a least value for others", "32 A"),
    (kinds!(Equipment), name::HORSEPOWER, true, HORSEPOWER, Stated, "plate horsepower", "3 hp / no horsepower marked"),
    (kinds!(Equipment), name::DUTY, false, NUMBER, Stated, "duty cycle", "60 % duty"),
    (kinds!(Equipment), name::IS_MOTOR_GENERATOR, false, Type::YesNo, Stated, "welder with a rotating converter", "motor-generator"),
    (kinds!(Equipment), name::EFFECTIVE_AMPS, true, CURRENT, Stated, "effective supply current on a welder plate", "25 A effective / no effective current marked"),
    (kinds!(Equipment), name::MINIMUM_CIRCUIT, true, CURRENT, Stated, "minimum circuit ampacity on the plate", "minimum circuit 18 A"),
    (kinds!(Equipment), name::MAXIMUM_BREAKER, false, CURRENT, Stated, "maximum overcurrent device on the plate", "maximum breaker 30 A"),
    (kinds!(Equipment), name::CONNECTION, false, Type::Choice(choice::CONNECTION), Stated, "how it connects", "plugs into W1 / hard-wired"),
    (kinds!(Equipment), name::RECEPTACLE, true, Type::Item(kinds!(Receptacle)), Stated, "receptacle it plugs into", "plugs into W1"),
    (kinds!(Equipment), name::IS_PLUG_MATCHING, false, Type::YesNo, Derived, "its plug fits that receptacle", ""),
    (kinds!(Equipment), name::IS_CONTINUOUS, false, Type::YesNo, Stated, "runs three hours or more", "continuous / not continuous"),
    (kinds!(Equipment), name::DISCONNECTS, false, Type::List(kinds!(Disconnect)), Derived, "disconnects stated for it", ""),
    (kinds!(Equipment), name::HAS_BUILT_IN_OVERLOAD, false, Type::YesNo, Stated, "overload protector inside", "overload built in"),
    (kinds!(Equipment), name::OVERLOAD_AMPS, true, CURRENT, Stated, "setting of a separate overload device", "overload 15 A"),
    (kinds!(Equipment), name::SERVICE_FACTOR, false, NUMBER, Stated, "plate service factor", "service factor 1.15"),
    (kinds!(Equipment), name::IS_COOL_RISE, false, Type::YesNo, Stated, "marked temperature rise 40 C or less", "rise 40 C"),
    (kinds!(Equipment), name::IS_AUTO_START, false, Type::YesNo, Stated, "starts by itself", "starts by itself"),
    (kinds!(Equipment), name::HAS_HARD_START, false, Type::YesNo, Stated, "will not start on the usual breaker", "does not start on 40 A"),
    (kinds!(Equipment), name::SET_AMPS, false, CURRENT, Stated, "limit set in a charger", "set to 32 A"),
    (kinds!(Equipment), name::IS_LIMIT_LOCKED, false, Type::YesNo, Stated, "only qualified persons can change it", "setting locked"),
    (kinds!(Equipment), name::IS_TWO_WAY, false, Type::YesNo, Stated, "charger that can feed back", "two-way"),
    (kinds!(Equipment), name::IS_DC, false, Type::YesNo, Stated, "direct-current charging outlet", "DC"),
    (kinds!(Equipment), name::HAS_ENERGY_MANAGEMENT, false, Type::YesNo, Stated, "a load manager holds it down", "energy management"),
    (kinds!(Equipment), name::SERVICE_RECEPTACLE, true, Type::Item(kinds!(Receptacle)), Stated, "receptacle for servicing it", "service receptacle R7 at 12 ft"),
    (kinds!(Equipment), name::SERVICE_RECEPTACLE_DISTANCE, false, LENGTH, Stated, "distance to that, same level", "service receptacle R7 at 12 ft"),
    (kinds!(Equipment), name::IS_MARKED_IN_AMPS, false, Type::YesNo, Stated, "listed machine marked in amps, not horsepower", "marked in amps"),
    (kinds!(Cord), name::USE, false, Type::Choice(choice::CORD_USE), Stated, "what it is for", "cord K1: reel"),
    (kinds!(Cord), name::IS_FIXED, false, Type::YesNo, Stated, "fastened to the building", "stapled to the joists / hangs free"),
    (kinds!(Cord), name::IS_THROUGH_WALL, false, Type::YesNo, Stated, "through a wall, ceiling, floor or door", "through the wall"),
    (kinds!(Cord), name::RECEPTACLE, true, Type::Item(kinds!(Receptacle)), Stated, "what it plugs into", "plugs into R3"),
    (kinds!(Run Box Panel Receptacle Switch Light Device Equipment Disconnect), name::PLACE, false, Type::Choice(choice::PLACE), Stated, "what weather it stands in; a device has that of its box", "outdoors / indoors / outdoors under roof"),
    (kinds!(Receptacle Switch Light Device Equipment Box Panel), name::AREA, false, Type::Item(kinds!(Area)), Either, "area it is in; a device has that of its box", "in loft"),
    (kinds!(Receptacle Switch Light Device Equipment), name::BOX, true, Type::Item(kinds!(Box)), Either, "box it hangs on", "box B1 holds R1"),
    (kinds!(Receptacle Switch Light Device Equipment), name::CIRCUIT, false, Type::Item(kinds!(Circuit)), Derived, "circuit that feeds it; unknown where two halves hang on two", ""),
    (kinds!(Receptacle Switch Light Device Equipment), name::CIRCUITS, false, Type::List(kinds!(Circuit)), Derived, "circuits that feed it: two where its halves hang on two", ""),
    (kinds!(Receptacle Switch Light Device Equipment), name::UPSTREAM, false, Type::List(kinds!(Receptacle Device)), Derived, "devices on whose load terminals it hangs, nearest first; a machine also hangs on the receptacle that it plugs into", ""),
    (kinds!(Receptacle Device), name::DOWNSTREAM, false, Type::List(kinds!(Receptacle Switch Light Device Equipment)), Derived, "what hangs on its load terminals", ""),
    (kinds!(Receptacle Switch Light Device Equipment), name::WAY, false, Type::List(kinds!(Run)), Derived, "runs between it and where its circuit starts", ""),
    (kinds!(Conductor), name::CIRCUIT, false, Type::Item(kinds!(Feeder Circuit)), Derived, "what it belongs to; the first where circuits share a neutral or an equipment grounding conductor", ""),
    (kinds!(Conductor), name::UPSTREAM, false, Type::List(kinds!(Receptacle Device)), Derived, "devices on whose load terminals it hangs, nearest first", ""),
    (kinds!(Circuit), name::HOME_RUNS, false, Type::List(kinds!(Run)), Derived, "runs from where it starts to its first outlet", ""),
    (kinds!(Circuit), name::FIRST_OUTLETS, false, Type::List(kinds!(Receptacle Light Device Equipment)), Derived, "outlets that hang on its breaker with no other outlet's terminals between", ""),
    (kinds!(Receptacle Switch Device), name::WIRE_SIZE, false, WIRE_SIZE, Derived, "largest wire that lands on it", ""),
    (kinds!(Receptacle Switch Device), name::GANGS, false, NUMBER, Stated, "gangs its yoke needs", "2-gang device"),
    (kinds!(Panel Disconnect Switch), name::HANDLE_HEIGHT, false, LENGTH, Stated, "center of the highest handle, up", "62 in up"),
];

pub(super) fn choices() -> Vec<Choice> {
    choice::CHOICES
        .iter()
        .zip(VALUES)
        .map(|(name, values)| {
            let mut choice = Choice { name: name.to_string(), values: Vec::new(), spellings: Vec::new() };
            for value in values.split_whitespace() {
                let mut forms = value.split('=');
                choice.values.extend(forms.next().map(str::to_string));
                let place = choice.values.len() as u8 - 1;
                choice.spellings.extend(forms.map(|f| (f.to_string(), place)));
            }
            choice
        })
        .collect()
}

pub(super) fn words() -> impl Iterator<Item = Word> {
    WORDS.iter().map(|(kinds, name, is_part, ty, origin, doc, phrase)| Word {
        kinds: *kinds,
        name: *name,
        ty: *ty,
        is_part: *is_part,
        origin: *origin,
        doc: doc.to_string(),
        phrase: phrase.to_string(),
        ordinary: None,
        question: None,
    })
}
