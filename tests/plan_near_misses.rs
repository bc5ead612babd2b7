//! What owners type in place of the trade's words, item by item, and what becomes of it.
//!
//! The list comes from two people who wrote down 110 real situations in the plan language and noted
//! what an owner would have typed instead. Where the two disagree, and where a spelling looks as if
//! it had one meaning and has two, the choice made is the one that can't let a wrong plan pass.

#![allow(clippy::unwrap_used, clippy::panic)] // A test fails by panicking.

use ringout::plan::{self, syntax::Phrase};
use ringout::text::FileId;

/// What a near miss must come to.
enum Then {
    /// Read as this, without a problem.
    Reads(&'static str),
    /// Refused; the help holds this.
    Asks(&'static str),
}
use Then::{Asks, Reads};

/// (item, phrase typed below it, what becomes of it)
const PHRASES: &[(&str, &str, Then)] = &[
    // shop
    ("shop", "size 24x30", Asks("`24 ft x 30 ft`")),
    ("shop", "24x30", Asks("feet or meters?")),
    ("shop", "24 by 30", Asks("`24 ft x 30 ft`")),
    ("shop", "24' x 30'", Reads("24 ft x 30 ft")),
    ("shop", "24 ft by 30 ft", Reads("24 ft x 30 ft")),
    ("shop", "code 2023", Asks("`code NEC 2023`")),
    ("shop", "NEC 2023", Asks("`code NEC 2023`")),
    ("shop", "metal building", Asks("`steel frame` or `metal siding`")),
    ("shop", "max temp 104", Asks("`hottest 104 F`")),
    ("shop", "hottest 40", Asks("`hottest 40 F` or `hottest 40 C`")),
    ("shop", "hottest 104°F", Reads("hottest 104 F")),
    ("shop", "hottest 104 degrees F", Reads("hottest 104 F")),
    ("shop", "hottest 40 °C", Reads("hottest 40 C")),
    ("shop", "coldest −10 F", Reads("coldest -10 F")),
    ("shop", "county Pine", Asks("`amended by Pine.rule`")),
    ("shop", "permit yes", Asks("`permit planned`")),
    ("shop", "use shop", Asks("`workshop`")),
    ("shop", "unattached", Reads("detached")),
    ("shop", "Hawaii", Asks("`state`")),
    ("shop", "panel none", Reads("no panel")),
    ("shop", "electrode: none", Reads("no electrode")),
    ("shop", "all wire copper", Reads("all wire Cu")),
    ("shop", "no permit", Reads("no permit")),
    ("shop", "no panel", Reads("no panel")),
    // supply
    ("supply house", "service 200", Asks("`service 200 A`")),
    ("supply house", "service 200 amp", Reads("service 200 A")),
    ("supply house", "200 amp service", Reads("service 200 A")),
    ("supply house", "200 A", Asks("`service 200 A`, or a panel's rating, `panel 200 A`")),
    ("supply house", "240 V", Reads("240 V")),
    ("supply house", "220 V", Asks("`120/240 V`")),
    ("supply house", "single phase", Reads("1-phase")),
    ("supply house", "meter main 200 A", Asks("`disconnect outdoors`")),
    ("supply house", "AIC 10k", Asks("`fault current 10000 A`")),
    ("supply house", "fault current 10,000 A", Reads("fault current 10000 A")),
    ("supply house", "240/120", Asks("`120/240 V`")),
    ("supply house", "120/240", Asks("`120/240 V`")),
    ("supply house", "120/240 volts", Reads("120/240 V")),
    ("supply house", "bonded", Asks("`neutral bonded`")),
    ("supply house", "two phase", Asks("`phase A` and `phase B`")),
    ("supply house", "panel full", Asks("`0 spaces free`")),
    ("supply house", "from utility", Asks("`supply shop`")),
    // feeder
    ("feeder F1 from house to P1", "breaker 60", Asks("`breaker 60 A`")),
    ("feeder F1 from house to P1", "breaker: 60 amps", Reads("breaker 60 A")),
    ("feeder F1 from house to P1", "60 amp double breaker", Asks("`breaker 60 A, 2-pole`")),
    ("feeder F1 from house to P1", "wire #4 copper", Reads("wire 4 AWG Cu")),
    ("feeder F1 from house to P1", "wire #6", Reads("wire 6 AWG")),
    ("feeder F1 from house to P1", "wire 3 x #6 aluminum", Reads("wire 3 x 6 AWG Al")),
    ("feeder F1 from house to P1", "breaker 60 A #6", Asks("`#` begins a comment")),
    ("feeder F1 from house to P1", "4-wire", Asks("`wire 3 x 6 AWG`, and `equipment ground 10 AWG`")),
    ("feeder F1 from house to P1", "3-wire", Asks("`no equipment ground`")),
    ("feeder F1 from house to P1", "4 wire", Asks("`4 wires`")),
    ("feeder F1 from house to P1", "4 wires", Reads("4 wires")),
    ("feeder F1 from house to P1", "ground #10", Reads("equipment ground 10 AWG")),
    ("feeder F1 from house to P1", "ground wire 10 AWG", Reads("equipment ground 10 AWG")),
    ("feeder F1 from house to P1", "ground by raceway", Reads("equipment ground by raceway")),
    ("feeder F1 from house to P1", "ground", Asks("`equipment ground 10 AWG`")),
    ("feeder F1 from house to P1", "no ground", Asks("`no equipment ground`")),
    ("feeder F1 from house to P1", "ground no", Asks("`no equipment ground`")),
    ("feeder F1 from house to P1", "ground rod", Asks("`electrode E1: 1 rod`")),
    ("feeder F1 from house to P1", "equipment ground none", Reads("no equipment ground")),
    ("feeder F1 from house to P1", "house wire 6/3", Asks("`cable 12/2 NM-B`")),
    ("feeder F1 from house to P1", "6-3 wire", Asks("of which cable?")),
    ("feeder F1 from house to P1", "6/3 nm-b", Reads("cable 6/3 NM-B")),
    ("feeder F1 from house to P1", "wire 2-2-2-4", Reads("cable 2-2-2-4")),
    ("feeder F1 from house to P1", "wire 2-2-2-4 Al SER", Reads("cable 2-2-2-4 Al SER")),
    ("feeder F1 from house to P1", "wire 4/0 Al", Reads("wire 4/0 Al")),
    ("feeder F1 from house to P1", "wire 3 x 2/0 AWG aluminum", Reads("wire 3 x 2/0 AWG Al")),
    ("feeder F1 from house to P1", "2.5 mm2", Asks("`14 AWG` (2.1 mm2) and `12 AWG` (3.3 mm2)")),
    ("feeder F1 from house to P1", "wire 3 x 25 mm²", Asks("`4 AWG` (21.2 mm2) and `3 AWG` (26.7 mm2)")),
    ("feeder F1 from house to P1", "100 amp service", Asks("`breaker 100 A`")),
    ("feeder F1 from house to P1", "sch 40 1-1/4", Asks("`1-1/4 in PVC-40`")),
    ("feeder F1 from house to P1", "stretch 85: PVC-40", Asks("`stretch 85 ft:`")),
    ("feeder F1 from house to P1", "stretch 85 ft: 18 deep", Asks("`buried 18 in`")),
    ("feeder F1 from house to P1", "stretch 85 ft: 18 in deep", Asks("`buried 18 in`")),
    ("feeder F1 from house to P1", "stretch 85 ft: buried 18", Asks("`buried 18 in`")),
    (
        "feeder F1 from house to P1",
        "stretch 85 ft: buried 2', under grass",
        Reads("stretch 85 ft: buried 2 ft, under lawn"),
    ),
    (
        "feeder F1 from house to P1",
        "stretch 85 ft: buried 24\", under driveway",
        Reads("stretch 85 ft: buried 24 in, under drive"),
    ),
    ("feeder F1 from house to P1", "stretch 85 ft: gray pipe", Asks("`PVC-40` or `PVC-80`?")),
    ("feeder F1 from house to P1", "stretch 85 ft: 1 in sch 40 PVC", Reads("stretch 85 ft: 1 in PVC-40")),
    ("feeder F1 from house to P1", "stretch 85 ft: conduit", Asks("`raceway` if not known")),
    ("feeder F1 from house to P1", "stretch 85 ft: burial cable", Asks("`cable UF-B` or `cable USE-2`")),
    ("feeder F1 from house to P1", "stretch 85 ft: 12x12 trench", Asks("to the top of the pipe or cable")),
    // panel
    ("panel P1", "100 A panel", Asks("`bus 100 A`, a main breaker, `main 100 A`")),
    ("panel P1", "100 A", Asks("`bus 100 A`, or a main breaker, `main 100 A`")),
    ("panel P1", "breaker 60 A", Asks("`main 60 A`")),
    ("panel P1", "main lug", Reads("main-lug")),
    ("panel P1", "main lugs only", Reads("main-lug")),
    ("panel P1", "MLO", Reads("main-lug")),
    ("panel P1", "main none", Reads("no main")),
    ("panel P1", "no main breaker", Reads("no main")),
    ("panel P1", "backfed 60", Asks("`main 60 A, back-fed`")),
    ("panel P1", "neutral floating", Reads("neutral isolated")),
    ("panel P1", "ground and neutral together", Asks("`neutral bonded`")),
    ("panel P1", "grounds and neutrals together", Asks("`neutral bonded`")),
    ("panel P1", "ground rod 8 ft", Asks("`electrode E1: 1 rod")),
    ("panel P1", "rebar ground", Asks("`electrode E1: concrete-encased rebar`")),
    ("panel P1", "electrode: 1 rod", Asks("an item of its own")),
    ("panel P1", "wire #6 to rod", Asks("`electrode E1: 1 rod, wire 6 AWG Cu to P1")),
    ("panel P1", "12 slots", Reads("12 spaces")),
    ("panel P1", "6 breakers and main", Asks("`6 breakers, main 60 A`")),
    ("panel P1", "bus 100", Asks("`bus 100 A`")),
    ("panel P1", "clear: 36 deep", Asks("`36 in deep`")),
    ("panel P1", "clear: 36\" deep, 30 inches wide", Reads("clear: 36 in deep, 30 in wide")),
    ("panel P1", "ground", Asks("`ground bar`")),
    // electrode
    ("electrode E1", "water pipe", Reads("water pipe")), // a kind; what it is made of is unknown
    ("electrode E1", "footing ground", Reads("concrete-encased")),
    ("electrode E1", "rebar", Asks("`concrete-encased rebar`")),
    ("electrode E1", "2 ground rods", Reads("2 rods")),
    ("electrode E1", "1 ground rod", Reads("1 rod")),
    ("electrode E1", "8 ft rod", Asks("`1 rod, 8 ft long`")),
    ("electrode E1", "5/8 x 8", Asks("`5/8 in x 8 ft`")),
    ("electrode E1", "6 AWG", Asks("`wire 6 AWG Cu to P1`")),
    ("electrode E1", "wire to neutral", Asks("lands on neutral bar")),
    ("electrode E1", "25", Asks("`tested E1: 25 ohm`")),
    ("electrode E1", "resistance 25 ohms", Reads("resistance 25 ohm")),
    ("electrode E1", "wire #6 copper to P1", Reads("wire 6 AWG Cu to P1")),
    // box
    ("box B1", "4x4", Asks("`4 in square, 2-1/8 in deep`")),
    ("box B1", "22 cubic inch", Reads("22 in3")),
    ("box B1", "22.5 cu in", Reads("22.5 in3")),
    ("box B1", "22.5 in³", Reads("22.5 in3")),
    ("box B1", "18 in", Asks("`18 in3`; a depth is `18 in deep`")),
    ("box B1", "single gang", Reads("1-gang")),
    ("box B1", "2 gang", Reads("2-gang")),
    ("box B1", "deep box", Asks("how deep?")),
    ("box B1", "handy box", Asks("stamped in it")),
    ("box B1", "contains R1", Asks("`holds R1`")),
    ("box B1", "cover none", Reads("no cover")),
    ("box B1", "blank", Asks("`cover blank`")),
    ("box B1", "4 house cables", Asks("`cables 4 x 12/2 NM-B`")),
    ("box B1", "octagon", Reads("octagon")), // a size is missing, and nothing is required
    ("box B1", "2 1/8 in deep", Reads("2-1/8 in deep")),
    ("box B1", "4 11/16 in square", Reads("4-11/16 in square")),
    ("run P1 to B1", "2 1/2 in EMT", Asks("`2-1/2 in`, or 2 of them?")), // or two pipes
    ("electrode E1", "2 5/8 in x 8 ft", Asks("`2 rods, 5/8 in x 8 ft`")),
    ("run P1 to B1", "12 1/2 ft", Reads("12-1/2 ft")),
    ("equipment M1", "1 1/2 HP", Reads("1-1/2 hp")),
    ("box B1", "holds outlet", Asks("`holds R1`")),
    ("box B1", "holds: R1, R2", Reads("holds R1 , R2")),
    ("box B1", "holds R1 R2", Asks("`R1, R2`")),
    ("box B1", "holds R1, 18 in3", Asks("owns the rest of its line")),
    ("box B1", "bubble cover", Reads("cover in-use")),
    ("box B1", "empty", Reads("holds nothing")),
    ("box B1", "4 in. square", Reads("4 in square")),
    // run
    ("run P1 to B1", "conduit 3/4", Asks("`3/4 in EMT`")),
    ("run P1 to B1", "3/4 EMT", Asks("`3/4 in EMT`")),
    ("run P1 to B1", "3/4 in emt", Reads("3/4 in EMT")),
    ("run P1 to B1", "3/4in EMT", Reads("3/4 in EMT")),
    ("run P1 to B1", "thinwall", Asks("`EMT`")),
    ("run P1 to B1", "rigid", Asks("`RMC`")),
    ("run P1 to B1", "1 in rigid", Asks("`RMC`")),
    ("run P1 to B1", "flex", Asks("`FMC`, `LFMC`, `LFNC` or `ENT`")),
    ("run P1 to B1", "metal conduit", Asks("`metal raceway` if not known")),
    ("run P1 to B1", "gray pipe", Asks("`PVC-40` or `PVC-80`?")),
    ("run P1 to B1", "2 90s", Asks("`2 bends`")),
    ("run P1 to B1", "two 90s", Asks("`2 bends`")),
    ("run P1 to B1", "14 feet", Reads("14 ft")),
    ("run P1 to B1", "14'", Reads("14 ft")),
    ("run P1 to B1", "14ft", Reads("14 ft")),
    ("run P1 to B1", "house wire", Asks("printed on its jacket")),
    ("run P1 to B1", "12-2 NM", Asks("`cable 12/2 NM-B`")),
    ("run P1 to B1", "12/2 NM-B", Reads("cable 12/2 NM-B")),
    ("run P1 to B1", "12/2 cable", Reads("cable 12/2")),
    // circuit
    ("circuit C1", "20 amp", Asks("`breaker 20 A`")),
    ("circuit C1", "20 amp breaker", Reads("breaker 20 A")),
    ("circuit C1", "Breaker 20 amps", Reads("breaker 20 A")),
    ("circuit C1", "20A", Asks("`breaker 20 A`")),
    ("circuit C1", "breaker 20A", Reads("breaker 20 A")),
    ("circuit C1", "20 A double", Asks("`breaker 20 A, 2-pole`")),
    ("circuit C1", "double pole", Reads("2-pole")),
    ("circuit C1", "single-pole", Reads("1-pole")),
    ("circuit C1", "220 V", Reads("240 V")),
    ("circuit C1", "110 volts", Reads("120 V")),
    ("circuit C1", "wire 12-2", Asks("of which cable?")),
    ("circuit C1", "wire 12 gauge", Reads("wire 12 AWG")),
    ("circuit C1", "12 gauge", Asks("`wire 12 AWG`")),
    ("circuit C1", "wire 12", Asks("`wire 12 AWG`")),
    ("circuit C1", "cable 12/2 w/g", Reads("cable 12/2 with ground")),
    ("circuit C1", "2.5 mm2", Asks("`12 AWG`")),
    ("circuit C1", "GFI", Reads("GFCI")),
    ("circuit C1", "no gfi", Reads("no GFCI")),
    ("circuit C1", "feeds R1 -> R2", Asks("`then`")),
    ("circuit C1", "feeds R1 R2", Asks("`R1 then R2` if R2 is wired on through R1")),
    ("circuit C1", "feeds outlets", Asks("`feeds R1, R2`")),
    ("circuit C1", "feeds L1 from S1", Asks("`feeds L1 through S1`")),
    ("circuit C1", "feeds R1, breaker 20 A", Asks("owns the rest of its line")),
    ("circuit C1", "feeds none", Reads("feeds nothing")),
    ("circuit C1", "dedicated", Asks("`feeds R1`")),
    ("circuit C1", "shared neutral", Asks("`neutral shared with C2`")),
    ("circuit C1", "shared neutral with C2", Reads("neutral shared with C2")),
    // receptacle
    ("receptacle R1", "20 amp", Reads("20 A")),
    ("receptacle R1", "20 A outlet", Asks("`20 A`, or the configuration")),
    ("receptacle R1", "welder plug 50", Asks("`6-50R` or `14-50R`")),
    ("receptacle R1", "NEMA 5-20", Reads("5-20R")),
    ("receptacle R1", "NEMA 5-20R", Reads("5-20R")),
    ("receptacle R1", "5-20", Reads("5-20R")),
    ("receptacle R1", "5-20r", Reads("5-20R")),
    ("receptacle R1", "5-20P", Asks("the receptacle has an R")),
    ("receptacle R1", "bubble cover", Reads("cover in-use")),
    ("receptacle R1", "GFCI none", Reads("no GFCI")),
    ("receptacle R1", "GFI outlet", Reads("GFCI")),
    ("receptacle R1", "double", Asks("`duplex`")),
    ("receptacle R1", "waterproof", Asks("`WR`")),
    ("receptacle R1", "weatherproof", Asks("`cover in-use`")),
    ("receptacle R1", "220", Asks("`220 V`")),
    ("receptacle R1", "220 V", Reads("240 V")),
    // switch
    ("switch S1", "dimmer", Reads("dimmer")), // its poles are unknown
    ("switch S1", "double-pole", Reads("double-pole")),
    ("switch S1", "three way", Reads("3-way")),
    ("switch S1", "3way", Reads("3-way")),
    ("switch S1", "3 way", Reads("3-way")),
    ("switch S1", "S3", Asks("`3-way`")),
    ("switch S1", "single pole", Reads("single-pole")),
    ("switch S1", "1-pole", Reads("single-pole")),
    ("switch S1", "double switch", Asks("`double-pole`")),
    ("switch S1", "15 amp", Reads("15 A")),
    ("switch S1", "15", Asks("`15 A`")),
    ("switch S1", "switches L1", Asks("`feeds L1 through S1`")),
    ("switch S1", "neutral", Reads("neutral")), // what was seen in its box
    ("switch S1", "in neutral", Asks("`breaks neutral`")),
    // light
    ("light L1", "80 watts", Reads("80 W")),
    ("light L1", "80", Asks("`80 W`")),
    ("light L1", "LED 80", Asks("`LED, 80 W`")),
    ("light L1", "led", Reads("LED")),
    ("light L1", "6 lights", Asks("name each")),
    ("light L1", "hardwired", Reads("hard-wired")),
    ("light L1", "outside", Reads("outdoors")),
    ("light L1", "wet rated", Asks("`wet-marked`")),
    ("light L1", "plug-in", Reads("plug-in")), // where is unknown
    ("light L1", "motion", Reads("motion sensor")),
    ("light L1", "on R1", Asks("`hard-wired` or `plugs into R1`")),
    // equipment
    ("equipment M1", "5 horse", Reads("5 hp")),
    ("equipment M1", "5 HP", Reads("5 hp")),
    ("equipment M1", "220 V", Reads("220 V")),
    ("equipment M1", "30 A plug", Reads("plug 30 A")),
    ("equipment M1", "20% duty", Reads("20 % duty")),
    ("equipment M1", "60 % duty cycle", Reads("60 % duty")),
    ("equipment M1", "duty 20", Asks("`20 % duty`")),
    ("equipment M1", "FLA 22", Asks("`22 A`")),
    ("equipment M1", "MCA 25", Asks("`minimum circuit 25 A`")),
    ("equipment M1", "MOCP 40 A", Reads("maximum breaker 40 A")),
    ("equipment M1", "plugged in R1", Reads("plugs into R1")),
    ("equipment M1", "compressor", Reads("compressor")), // a kind of its own; one that cools is an `air conditioner`
    ("equipment M1", "welder", Reads("welder")),         // either kind: the rules settle what both settle
    ("equipment M1", "32 amps", Reads("32 A")),
    ("equipment M1", "50 A breaker", Asks("`maximum breaker 50 A`")),
    ("equipment M1", "uses W1", Asks("`plugs into W1`")),
    ("equipment M1", "runs all day", Asks("`continuous`")),
    ("equipment M1", "EV charger", Reads("vehicle charger")),
    // disconnect
    ("disconnect D1", "lockable", Reads("lockable")),
    ("disconnect D1", "60 A unfused", Asks("`60 A, non-fused`")),
    ("disconnect D1", "unfused", Reads("non-fused")),
    ("disconnect D1", "near M1", Asks("`in sight of M1`")),
    ("disconnect D1", "pull-out 60", Asks("`60 A`")),
    ("disconnect D1", "breaker at house", Asks("feeder's line")),
    // pulled
    ("pulled P1 to B1", "3 #12 THHN", Reads("3 x 12 AWG THHN")),
    ("pulled P1 to B1", "3 #12 black", Reads("3 x 12 AWG black")),
    ("pulled P1 to B1", "stripped cable wires", Asks("`unmarked out of NM-B`")),
    ("pulled P1 to B1", "1 x white taped black", Reads("1 x white re-marked black")),
    ("pulled P1 to B1", "1 x green hot", Reads("1 x green as hot")),
    ("pulled P1 to B1", "1 x red traveler", Reads("1 x red as traveler")),
    ("pulled P1 to B1", "old wire", Asks("`used`")),
    ("pulled P1 to B1", "12 AWG x 3", Reads("3 x 12 AWG")),
    ("pulled P1 to B1", "3 x 12 AWG copper", Reads("3 x 12 AWG Cu")),
    ("pulled P1 to B1", "2 hots 1 neutral", Asks("`2 x 12 AWG as hot`")),
    ("pulled P1 to B1", "2 x 12 AWG THHN-2", Asks("`THWN-2`")),
    ("pulled P1 to B1", "12/2", Asks("stands in its run")),
    ("pulled P1 to B1", "THHN", Reads("THHN")), // for dry places, until more is said
    ("pulled P1 to B1", "2 x 12 AWG copper clad aluminum", Reads("2 x 12 AWG CCA")),
    ("pulled P1 to B1", "green", Reads("1 x green")),
    ("pulled P1 to B1", "ground", Asks("`1 x bare`")),
    // tested
    ("tested R1", "GFCI ok", Asks("`GFCI trips`")),
    ("tested R1", "on 5/2/27", Asks("`2027-05-02`")),
    ("tested R1", "on 2027-13-02", Asks("`2027-05-02`")),
    ("tested E1", "25 ohms", Reads("25 ohm")),
    ("tested R1", "polarity wrong", Reads("polarity reversed")),
];

/// (a whole line at the left edge, what becomes of it)
const EDGES: &[(&str, Then)] = &[
    ("garage", Asks("`shop \"garage\"`, and in it `use garage`")),
    ("Shop \"x\"", Reads("shop")),
    ("house panel 200 A", Asks("`supply house`, and in it `service 200 A`")),
    ("service house 200 A", Asks("`supply house`")),
    ("main panel house", Asks("`supply house`")),
    ("meter house", Asks("`supply`")),
    ("sub feed F1", Asks("`feeder F1 from house to P1`")),
    ("service F1", Asks("`feeder`")),
    ("line F1 from house", Asks("`feeder F1 from house to P1`")),
    ("feeder F1 from house panel to P1", Reads("feeder F1 from house to P1")),
    ("subpanel P1", Reads("panel P1")),
    ("sub panel P1", Reads("panel P1")),
    ("load center P1", Reads("panel P1")),
    ("Panel P1:", Reads("panel P1")),
    ("ground rod E1", Asks("`electrode E1: 1 rod")),
    ("junction box B1", Reads("box B1")),
    ("4x4 box B1", Asks("an item begins with its kind")),
    ("box B1 weatherproof", Asks("a colon parts the names")),
    ("box B1 18 in3", Asks("a colon parts the names")),
    ("box B1 and B2", Reads("box B1 , B2")),
    ("box panel", Asks("names are short tags")),
    ("box nothing", Asks("names are short tags")),
    ("pipe P1 to B1", Asks("`run P1 to B1: 3/4 in EMT`")),
    ("conduit P1 to B1", Asks("a run: `run P1 to B1")),
    ("run from P1 to B1", Reads("run P1 to B1")),
    ("run P1 - B1", Asks("`to`")),
    ("run P1-B1", Asks("`P1 to B1`")),
    ("run P1 to B1 to B2", Asks("a run for each")),
    ("run P1", Asks("a run joins two places")),
    ("breaker C1", Asks("`circuit C1: breaker 20 A`")),
    ("outlet R1", Asks("`receptacle`")),
    ("plug R1", Asks("`receptacle`; the cord's part")),
    ("receptacles R1 to R3", Reads("receptacle R1 to R3")),
    ("light switch S1", Reads("switch S1")),
    ("kill switch D1", Asks("`disconnect`; one for a light is a `switch`")),
    ("switch S1 for L1", Asks("`feeds L1 through S1`")),
    ("switch S1 to L1", Asks("`feeds L1 through S1`")),
    ("lamp L1", Reads("light L1")),
    ("fixture L1", Reads("light L1")),
    ("lights L1 to L8", Reads("light L1 to L8")),
    ("shop light", Asks("`light L1 \"shop light\"`")),
    ("light L1 on S1", Asks("`feeds L1 through S1`")),
    ("welder TIG", Asks("arc welder`, or a `resistance welder`")),
    ("shutoff D1", Reads("disconnect D1")),
    ("main D1", Asks("`disconnect D1`")),
    ("AC disconnect", Asks("`through D1`")),
    ("pulled P1-B1", Asks("`P1 to B1`")),
    ("recepticle R1", Asks("`receptacle`")),
    ("fedeer F1", Asks("`feeder`")),
    ("zebra Z1", Asks("an item begins with its kind")),
];

fn words(phrases: &[Phrase]) -> String {
    let one = |phrase: &Phrase| {
        let own: Vec<&str> = phrase.tokens.iter().map(|t| t.text.as_str()).collect();
        match &phrase.owned {
            Some(owned) => format!("{}: {}", own.join(" "), words(owned)),
            None => own.join(" "),
        }
    };
    phrases.iter().map(one).collect::<Vec<_>>().join(", ")
}

fn judge(name: &str, text: &str, then: &Then, said: impl Fn(&plan::syntax::Plan) -> String) -> Option<String> {
    let plan = plan::read(FileId(0), text);
    match then {
        Reads(wanted) => {
            let said = said(&plan);
            (!plan.problems.is_empty() || said != *wanted)
                .then(|| format!("{name}: wanted `{wanted}`, got `{said}` {:?}", plan.problems))
        }
        Asks(wanted) => {
            let helps: Vec<_> = plan.problems.iter().map(|p| p.help.clone().unwrap_or_default()).collect();
            let is_right = helps.len() == 1 && helps[0].contains(wanted) && plan.unread.len() == 1;
            (!is_right).then(|| {
                format!("{name}: wanted help with `{wanted}`, got {:?}, read `{}`", plan.problems, said(&plan))
            })
        }
    }
}

/// Each is read as the trade's word, or refused with what to write, and then nothing of it is believed.
#[test]
fn phrases_are_read_or_answered() {
    let wrong: Vec<String> = PHRASES
        .iter()
        .filter_map(|(item, typed, then)| {
            judge(&format!("{item}: {typed}"), &format!("{item}\n  {typed}\n"), then, |plan| {
                plan.items.iter().flat_map(|i| &i.lines).map(|l| words(&l.phrases)).collect()
            })
        })
        .collect();
    assert!(wrong.is_empty(), "{} of {}:\n{}", wrong.len(), PHRASES.len(), wrong.join("\n"));
}

#[test]
fn first_words_are_read_or_answered() {
    let wrong: Vec<String> = EDGES
        .iter()
        .filter_map(|(typed, then)| {
            judge(typed, typed, then, |plan| {
                let item = |i: &plan::syntax::Item| {
                    let head: Vec<&str> = i.head.iter().map(|t| t.text.as_str()).collect();
                    format!("{} {}", i.keyword.text(), head.join(" ")).trim().to_string()
                };
                plan.items.iter().map(item).collect()
            })
        })
        .collect();
    assert!(wrong.is_empty(), "{} of {}:\n{}", wrong.len(), EDGES.len(), wrong.join("\n"));
}
