//! What owners type, and what it is read as or what they are asked. All the wording stands here.
//!
//! A spelling with one meaning is read as the trade's, and `tidy` rewrites it. One with two, or
//! with a piece missing, is refused with what to write or the question that settles it. Where the
//! trade has one word and the owner another for the same thing, that is one meaning; where his
//! word leaves out which thing he has (`flex`, `plug`), it is two.
//!
//! In `typed`, `|` parts other words for the same place, whatever their case; `^` and `$` are the
//! start and end of the phrase. Capitals are blanks: `N` a number, `W` a word, `G` `#4`, `C` `5-20`,
//! `P` `5-20P`, `R` `5-20R`, `K` `12-2`, `M` `12/2`, `S` `2-2-2-4`, `T` a tag such as `R1`, `X` `P1-B1`, `D` `5/2/27`.
//! `{1}` is what filled the first blank, `{0}` the first fixed word that had a choice, or the first. Of two rows that match, the upper holds.

use super::syntax::{Keyword, Token};
use crate::text::{Problem, Span};
use Keyword::{
    Area, Box, Circuit, Cord, Device, Disconnect, Electrode, Equipment, Feeder, Inspected, Light, Panel, Pipe, Pulled,
    Receptacle, Run, Shop, Supply, Switch, Tested,
};
use Then::{Amount, Case, Read, TwoMeanings, Write};
use Where::{Anywhere, Edge, Head, In, List, Under};

/// One near miss.
pub(super) struct Row {
    pub typed: &'static str,
    pub then: Then,
}

/// What becomes of it.
pub(super) enum Then {
    /// It is read as this.
    Read(&'static str),
    /// It is read as its spelling in [`CASE`].
    Case,
    /// It has two meanings: the question.
    TwoMeanings(&'static str),
    /// A number lacks its unit: what to write.
    Amount(&'static str),
    /// The plan language has another word or place for it: what to write.
    Write(&'static str),
}

/// Where it is typed.
pub(super) enum Where {
    /// At the left edge, first word included.
    Edge,
    /// Behind the first word of these items.
    Head(&'static [Keyword]),
    /// In a phrase of these items.
    In(&'static [Keyword]),
    /// Behind the colon of a phrase that begins with this word.
    Under(&'static str),
    /// Behind `feeds`, `holds`, `by way of`.
    List,
    /// In any phrase.
    Anywhere,
}

/// A refusal in words.
pub(super) fn refusal(then: &Then, typed: &str, span: Span, fill: &dyn Fn(&str) -> String) -> Problem {
    match then {
        TwoMeanings(help) => Problem::error(span, format!("`{typed}` can mean two things")).help(fill(help)),
        Amount(help) => Problem::error(span, format!("`{typed}` lacks a unit")).help(fill(help)),
        Write(help) => Problem::error(span, format!("`{typed}` is not how a plan says it")).help(fill(help)),
        Read(_) | Case => Problem::error(span, format!("`{typed}` can't be read")),
    }
}

pub(super) fn no_such_day(token: &Token) -> Problem {
    Problem::error(token.span, format!("there is no day `{}`", token.text))
        .help("write year, month and day: `2027-05-02`")
}

/// A metric wire size is answered with its neighbors in gauge.
pub(super) fn metric_wire(token: &Token, neighbors: &str) -> Problem {
    Problem::error(token.span, format!("`{} mm2`: wire is sized in AWG or kcmil here", token.text)).help(neighbors)
}

const fn read(typed: &'static str, as_typed: &'static str) -> Row {
    Row { typed, then: Read(as_typed) }
}
const fn two(typed: &'static str, question: &'static str) -> Row {
    Row { typed, then: TwoMeanings(question) }
}
const fn amount(typed: &'static str, help: &'static str) -> Row {
    Row { typed, then: Amount(help) }
}
const fn write(typed: &'static str, help: &'static str) -> Row {
    Row { typed, then: Write(help) }
}

/// Units that owners glue to their number.
pub(super) const GLUED_UNITS: &[&str] = &[
    "a", "amp", "amps", "ka", "ma", "v", "volt", "volts", "kv", "w", "watt", "watts", "kw", "va", "kva", "hp", "in",
    "in2", "in3", "in²", "in³", "ft", "ft2", "ft²", "yd", "mm", "mm2", "mm²", "cm", "m", "awg", "ga", "kcmil", "mcm",
    "f", "c", "°f", "°c", "ohm", "ohms", "megohm", "lb", "in-lb", "deg", "x", "×",
];

/// Words behind which a name stands, so that no spelling is corrected there.
pub(super) const BEFORE_NAMES: &[&str] =
    &["to", "into", "from", "of", "below", "beside", "with", "at", "for", "and", "or", "within", "by", "in", "through"];

/// Trade words whose capitals matter.
const CASE: &[&str] = &[
    "GFCI", "AFCI", "WR", "TR", "LED", "NEC", "AWG", "Cu", "Al", "EMT", "RMC", "IMC", "PVC", "PVC-40", "PVC-80",
    "HDPE", "ENT", "FMC", "LFMC", "LFNC", "NM", "NM-B", "UF-B", "SER", "SEU", "MC", "AC", "URD", "USE-2", "THHN",
    "THWN", "THWN-2", "XHHW", "XHHW-2", "RHW", "RHW-2", "TW", "THW", "THW-2",
];

/// A word of [`CASE`] as the trade writes it.
pub(super) fn canonical(text: &str) -> String {
    // 5-20r and l6-30r are configurations.
    if text.starts_with(|c: char| c.is_ascii_digit()) || text.contains('-') && text.ends_with('r') {
        return text.to_uppercase();
    }
    CASE.iter().find(|c| c.eq_ignore_ascii_case(text)).map_or_else(|| text.to_string(), |c| c.to_string())
}

pub(super) static TABLE: &[(Where, &[Row])] = &[
    // The first word of an item.
    (
        Edge,
        &[
            read("^subpanel|sub-panel|panelboard|loadcenter", "panel"),
            read("^sub panel", "panel"),
            read("^load center", "panel"),
            read("^breaker panel|box", "panel"),
            read("^lamp|fixture|luminaire", "light"),
            read("^light fixture", "light"),
            read("^light switch", "switch"),
            read("^junction box", "box"),
            read("^shutoff|shut-off", "disconnect"),
            read("^shut off", "disconnect"),
            read("^machine|tool", "equipment"),
            read("^subfeeder|subfeed|sub-feed", "feeder"),
            read("^receptacles", "receptacle"),
            read("^switches", "switch"),
            read("^lights", "light"),
            read("^boxes", "box"),
            read("^circuits", "circuit"),
            read("^panels", "panel"),
            read("^runs", "run"),
            read("^feeders", "feeder"),
            read("^electrodes", "electrode"),
            read("^disconnects", "disconnect"),
            read("^devices", "device"),
            read("^doors", "door"),
            read("^areas", "area"),
            two("^outlet|outlets", "a place to plug in is a `receptacle`; a light is a `light`, its box a `box`"),
            two("^plug|plugs", "the wall part is a `receptacle`; the cord's part is `plug 50 A` in `equipment`"),
            two(
                "^kill switch",
                "one that shuts a machine or building off is a `disconnect`; one for a light is a `switch`",
            ),
            write("^ac disconnect", "a disconnect has a name, `disconnect D1`, and the machine is fed `through D1`"),
            write(
                "^garage|barn|shed|workshop|building",
                "an item begins with its kind: `shop \"{0}\"`, and in it `use {0}`",
            ),
            write("^shop light", "an item begins with its kind: `light L1 \"shop light\"`"),
            write(
                "^house panel|service",
                "what feeds the shop is `supply house`, and in it `service 200 A` or `panel 200 A`",
            ),
            write("^main panel", "what feeds the shop is `supply house`; the shop's own is `panel P1`"),
            write("^main", "a main in a panel is `main 60 A`; a shut-off of its own is `disconnect D1`"),
            write("^service T", "a line from the house to the shop is a `feeder`; a `service` comes from the utility"),
            write("^service", "an item begins with its kind: `supply house`, and in it `service 200 A`"),
            write("^meter", "what the utility feeds is a `supply`; a meter is not asked for"),
            write("^sub feed", "a line from the house to a panel is `feeder F1 from house to P1`"),
            write("^line", "a line from the house to a panel is `feeder F1 from house to P1`"),
            write("^conduit|raceway|cable|wire", "what joins two places is a run: `run P1 to B1: 3/4 in EMT`"),
            write("^stretch|leg", "a stretch is indented below its `feeder`, `run` or `circuit`"),
            write("^breaker", "a breaker is a phrase of its circuit, `circuit C1: breaker 20 A`, or of its feeder"),
            write("^ground rod|rods", "an earth connection is an electrode: `electrode E1: 1 rod, 5/8 in x 8 ft`"),
            write("^rod|rods|grounding", "an earth connection is an electrode: `electrode E1: 1 rod, 5/8 in x 8 ft`"),
            write("^welder", "a machine is `equipment`: `equipment W1: arc welder`, or a `resistance welder`"),
            write(
                "^compressor|saw|lathe|heater|motor|charger|kiln",
                "a machine is `equipment`, and its kind a phrase: `equipment M1: {0}`",
            ),
            write("^bedroom|kitchen|office|loft|room", "a part of the building is an area: `area A1 \"{0}\"`"),
        ],
    ),
    // Names and joining words behind an item's first word.
    (Head(&[Feeder, Circuit]), &[read("from house panel", "from house"), read("from main panel", "from house")]),
    (
        Head(&[Pipe]),
        &[write(
            "W to W",
            "what joins two places is a run: `run {1} to {2}: 3/4 in EMT`; a `pipe` carries water or gas",
        )],
    ),
    (
        Head(&[Run, Pulled]),
        &[
            read("^from W to", "{1} to"),
            write("to W to", "a run joins two places: write a run for each"),
            write("^X$", "write the two ends with `to` between: `P1 to B1`"),
        ],
    ),
    (Head(&[Run]), &[write("^W$", "a run joins two places: `run P1 to {1}`, or `run {1} to unknown`")]),
    (
        Head(&[Switch]),
        &[
            write("for", "control stands in the circuit: `feeds L1 through S1`"),
            write(
                "^T to W",
                "a switch joins nothing: draw `run {1} to {2}`; control stands in the circuit: `feeds L1 through {1}`",
            ),
        ],
    ),
    (
        Head(&[Light]),
        &[write("T on T", "control stands in the circuit: `feeds {1} through {2}`; a plug is `plugs into {2}`")],
    ),
    (
        Head(&[Supply]),
        &[write("^house panel", "the source is named by its building: `supply house`, and in it `panel 200 A`")],
    ),
    // Lists of names.
    (
        List,
        &[
            write(
                "feeds outlet|outlets|receptacles|plugs|lights|switches|everything",
                "name what it feeds: `feeds R1, R2`; where nothing is named, `feeds shop`",
            ),
            write("feeds T from T", "control stands behind `through`: `feeds {1} through {2}`"),
            write(
                "holds outlet|outlets|receptacle|receptacles|switch|switches|light|device|devices",
                "name what it holds: `holds R1`",
            ),
            read("feeds none", "feeds nothing"),
            read("holds none|empty", "holds nothing"),
            read("none", "nothing"),
        ],
    ),
    // Stretches.
    (
        Under("stretch"),
        &[
            read("under grass|turf|yard", "under lawn"),
            read("under driveway", "under drive"),
            amount("^N deep|down", "cover goes to the top of the pipe or cable: `buried {1} in`"),
            write(
                "^N in|ft deep|down",
                "cover goes to the top of the pipe or cable, not to the trench's floor: `buried {1} {0}`",
            ),
            write(
                "^N x N trench",
                "the trench's own size is not asked for; write the cover, `buried 18 in`, to the top of the pipe or cable",
            ),
        ],
    ),
    (
        In(&[Shop]),
        &[
            read("unattached|freestanding|free-standing", "detached"),
            amount("^size N x|by N", "feet or meters? Write `{1} ft x {2} ft`"),
            amount("^N x|by N$", "feet or meters? Write `{1} ft x {2} ft`"),
            write("^size N ft x N ft", "the size needs no word before it: `{1} ft x {2} ft`"),
            write("^code N$", "which code? Write `code NEC {1}`"),
            write("^nec N$", "write `code NEC {1}`"),
            two("^metal|steel building", "is the frame steel, or only the skin? Write `steel frame` or `metal siding`"),
            amount("^max temp|temperature N", "degrees of what? Write `hottest {1} F` or `hottest {1} C`"),
            write("^max temp|temperature N F|C", "write `hottest {1} {0}`"),
            amount("^hottest N$", "degrees of what? Write `hottest {1} F` or `hottest {1} C`"),
            amount("^coldest N$", "degrees of what? Write `coldest {1} F` or `coldest {1} C`"),
            write("^county W", "local changes come from a file: `amended by {1}.rule`; `state` names the state"),
            write("^permit yes", "write its day, `permit 2027-02-15`, or `permit planned`"),
            write("^use shop", "a use is `workshop`, `garage`, `storage` or `shed`"),
            write(
                "^hawaii|alaska|texas|kentucky|washington|california|oregon|ohio|florida|colorado$",
                "write `state` before it",
            ),
        ],
    ),
    (
        In(&[Supply]),
        &[
            read("^N A service$", "service {1} A"),
            amount("^service N$", "amperes? Write `service {1} A`"),
            amount("^panel N$", "amperes? Write `panel {1} A`"),
            two("^N A$", "is it what the utility brings, `service {1} A`, or a panel's rating, `panel {1} A`?"),
            write("^220|230|240|110|115|120 V$", "what is the service? Write `120/240 V`"),
            write("^meter main N A", "write `service {1} A` and `disconnect outdoors`"),
            write("^aic W", "that is a panel's own rating; what the supply can deliver is `fault current 10000 A`"),
            write("^aic N", "that is a panel's own rating; what the supply can deliver is `fault current {1} A`"),
            two("^bonded", "what is bonded? Write `neutral bonded`"),
            write("^panel full", "write `0 spaces free`"),
            write("^from utility", "the shop's own service is `supply shop`"),
        ],
    ),
    (In(&[Feeder, Circuit, Receptacle]), &[read("^220|230 V", "240 V"), read("^110|115 V", "120 V")]),
    (
        In(&[Feeder, Circuit]),
        &[
            read("^N A breaker", "breaker {1} A"),
            read("^single-pole$", "1-pole"),
            read("^wire S", "cable {1}"),
            read("^wire M", "cable {1}"),
            read("^M wire", "cable {1}"),
            read("^ground|grounding wire N AWG", "equipment ground {1} AWG"),
            read("^ground|egc N AWG", "equipment ground {1} AWG"),
            read("^ground by raceway|conduit", "equipment ground by raceway"),
            read("^ground in cable", "equipment ground in cable"),
            read("^ground wire G", "equipment ground {1} AWG"),
            read("^ground G", "equipment ground {1} AWG"),
            read("shared neutral with", "neutral shared with"),
            two("^ground$", GROUND),
            two("^no ground$", GROUND),
            two("^ground no|none$", GROUND),
            two("^ground wire$", GROUND),
            write("^ground rod", "a rod is an item of its own, `electrode E1: 1 rod`; it is no equipment ground"),
            two(
                "^3-wire|3wire|three-wire$",
                "hot, hot, neutral, or hot, neutral, ground wire? Write `wire 3 x 6 AWG` and `equipment ground …` or `no equipment ground`",
            ),
            two(
                "^3|three wire$",
                "hot, hot, neutral, or hot, neutral, ground wire? Write `wire 3 x 6 AWG` and `equipment ground …` or `no equipment ground`",
            ),
            two(
                "^4-wire|4wire|four-wire$",
                "write the hots and the neutral, `wire 3 x 6 AWG`, and `equipment ground 10 AWG`; or `4 wires` if no more is known",
            ),
            two(
                "^4|four wire$",
                "write the hots and the neutral, `wire 3 x 6 AWG`, and `equipment ground 10 AWG`; or `4 wires` if no more is known",
            ),
            write(
                "^N A service",
                "from the utility it is a `supply` with `service {1} A`; from the house a `feeder` with `breaker {1} A`",
            ),
            write("^N A double|double-pole|2-pole breaker", "write `breaker {1} A, 2-pole`"),
            write("^N A double|2-pole$", "write `breaker {1} A, 2-pole`"),
            write("^breaker N A double|2-pole", "a comma parts the two: `breaker {1} A, 2-pole`"),
            write("^N A$", "is it the breaker? Write `breaker {1} A`"),
            write("^N AWG", "is it the wire? Write `wire {1} AWG`"),
            amount("^wire N$", "which size is it? Write `wire {1} AWG`; a count comes first: `wire 3 x 6 AWG`"),
            write("^dedicated", "what `feeds` lists is all that it feeds: `feeds R1` says it alone"),
            two("^shared neutral$", "with which circuit? Write `neutral shared with C2`"),
            write("^N|one|two circuits", "name each circuit: `circuit C1`, `circuit C2`"),
        ],
    ),
    (
        In(&[Panel]),
        &[
            read("^main lug|lugs only", "main-lug"),
            read("^main lug|lugs$", "main-lug"),
            read("^mlo$", "main-lug"),
            read("^no main breaker", "no main"),
            read("^N slots", "{1} spaces"),
            read("^neutral floating|floated|isolated", "neutral isolated"),
            read("^floating|isolated neutral", "neutral isolated"),
            two(
                "N A panel",
                "is it the bus, `bus {1} A`, a main breaker, `main {1} A`, or what feeds it, `breaker {1} A` in its `feeder`?",
            ),
            two("^N A$", "is it the bus, `bus {1} A`, or a main breaker, `main {1} A`?"),
            write(
                "^breaker N A",
                "the panel's own breaker is `main {1} A`; the one that feeds it stands in its `feeder`",
            ),
            amount("^bus N$", "amperes? Write `bus {1} A`"),
            amount("^main N$", "amperes? Write `main {1} A`"),
            amount("^back-fed N", "amperes? Write `main {1} A, back-fed`"),
            write("^back-fed N A", "write `main {1} A, back-fed`"),
            write(
                "^ground|grounds and neutral|neutrals together",
                "write `neutral bonded`, and by what: `neutral bonded by bar`",
            ),
            write(
                "^neutral|neutrals and ground|grounds together",
                "write `neutral bonded`, and by what: `neutral bonded by bar`",
            ),
            write("^ground rod", "an electrode is an item of its own: `electrode E1: 1 rod, 5/8 in x 8 ft`"),
            write("^rebar", "an electrode is an item of its own: `electrode E1: concrete-encased rebar`"),
            write("^electrode", "an electrode is an item of its own: `electrode E1: 1 rod, 5/8 in x 8 ft`"),
            write("wire N AWG to rod|rods", ROD),
            write("^G to rod|rods", ROD),
            write("^N breakers and main", "a comma parts the two: `{1} breakers, main 60 A`"),
            two("^ground$", "is there a bar, `ground bar`, or a rod, which is an `electrode`?"),
        ],
    ),
    (
        In(&[Electrode]),
        &[
            read("^footing ground", "concrete-encased"),
            read("^1 ground rod", "1 rod"),
            read("^N ground rod|rods", "{1} rods"),
            write(
                "^rebar$",
                "where is it? Write `concrete-encased rebar`, or `concrete-encased 20 ft of 4 AWG bare Cu`",
            ),
            write("^N ft rod", "write `1 rod, {1} ft long`"),
            amount("^N x N$", "thickness and length: `{1} in x {2} ft`"),
            write("^N AWG$", "which wire is it? Write `wire {1} AWG Cu to P1`"),
            write("^N AWG cu|al$", "which wire is it? Write `wire {1} AWG Cu to P1`"),
            write("^G to W", "write `wire {1} AWG Cu to P1, lands on ground bar`, or the bar that it lands on"),
            write(
                "^wire to neutral|ground$",
                "write the panel, and then the bar: `wire 6 AWG Cu to P1, lands on {0} bar`",
            ),
            amount("^N$", "a measured resistance is `tested E1: {1} ohm`"),
            amount("^resistance N$", "ohms? Write `resistance {1} ohm`"),
        ],
    ),
    (
        In(&[Box]),
        &[
            read("^empty$", "holds nothing"),
            amount("^N x N", "its side in inches, and its depth: `{1} in square, 2-1/8 in deep`"),
            write("^deep|shallow box$", "how deep? Write `2-1/8 in deep`, or the volume stamped in it: `18 in3`"),
            write("^deep|shallow$", "how deep? Write `2-1/8 in deep`, or the volume stamped in it: `18 in3`"),
            write("^handy|utility box", "write its size or the volume stamped in it: `1-gang, metal, 13 in3`"),
            write("^contains|has|with W", "write `holds {1}`"),
            write("^blank$", "is it the cover? Write `cover blank`"),
            write("^N house|nm cables", "write `cables {1} x 12/2 NM-B`, with what is printed on the jacket"),
            two("^N in$", "a volume is `{1} in3`; a depth is `{1} in deep`"),
            amount("^N deep", "inches? Write `{1} in deep`"),
            amount("^octagon|square|round$", "its size is missing: `4 in {0}, 2-1/8 in deep`"),
        ],
    ),
    (
        In(&[Feeder, Circuit, Run]),
        &[
            read("^M nm-b|nm|uf-b|ser|seu|mc|ac|use-2", "cable {1} {0}"),
            read("^S cu|al", "cable {1} {0}"),
            read("^M cable", "cable {1}"),
        ],
    ),
    (Under("stretch"), &[read("^M nm-b|nm|uf-b|ser|seu|mc|ac|use-2", "cable {1} {0}"), read("^M cable", "cable {1}")]),
    (
        In(&[Receptacle]),
        &[
            read("^nema C", "{1}R"),
            read("^nema W", "{1}"),
            read("^C$", "{1}R"),
            Row { typed: "R", then: Case },
            read("^gfci outlet|receptacle", "GFCI"),
            write("P", "that is a plug; the receptacle has an R: `5-20R`"),
            write("^N A outlet|receptacle", "write `{1} A`, or the configuration: `5-20R`"),
            two(
                "^welder|dryer|range plug|outlet",
                "which configuration? `6-50R` or `14-50R`, for example; it is molded into its face",
            ),
            write("^double$", "write `duplex`"),
            two("^waterproof|weatherproof$", "the receptacle is marked `WR`, or its cover is `cover in-use`?"),
            amount("^220|230|240|250|110|115|120|125$", "volts? Write `{0} V`"),
            amount("^N$", "amperes or volts? Write `{1} A` or `{1} V`"),
        ],
    ),
    (
        In(&[Switch]),
        &[
            read("^1-pole|one-pole$", "single-pole"),
            read("^single|one|1 pole$", "single-pole"),
            read("^2-pole|two-pole$", "double-pole"),
            read("^double|two|2 pole$", "double-pole"),
            write("^s3|s4$", "`{0}` is a name here; the kinds are `3-way` and `4-way`"),
            two("^double|double-switch switch$", "two switches, or one that breaks two wires, `double-pole`?"),
            two("^double$", "two switches, or one that breaks two wires, `double-pole`?"),
            write("^switches W", "control stands in the circuit: `feeds L1 through S1`"),
            two("^neutral$", "in its box, `neutral at the box`, or in the wire that it breaks, `breaks neutral`?"),
            write("^in neutral", "write `breaks neutral`"),
            amount("^N$", "amperes? Write `{1} A`"),
        ],
    ),
    (
        In(&[Light]),
        &[
            read("^motion$", "motion sensor"),
            read("^wet listed|marked$", "wet-marked"),
            two("^wet rated", "the place is a `wet location`; the mark on the light is `wet-marked`"),
            two("^wet-rated", "the place is a `wet location`; the mark on the light is `wet-marked`"),
            two("^on T$", "wired or plugged? Write `hard-wired` or `plugs into {1}`"),
            write("^plug-in|plug-in$", "where? Write `plugs into R1`"),
            write("^plug in$", "where? Write `plugs into R1`"),
            write("^N lights$", "name each: `light L1, L2`"),
            amount("^led|fluorescent|incandescent N$", "watts or amperes? Write `{0}, {1} W`"),
            amount("^N$", "watts? Write `{1} W`"),
        ],
    ),
    (
        In(&[Equipment]),
        &[
            read("^N A plug", "plug {1} A"),
            read("^duty cycle N %", "{1} % duty"),
            read("^N % duty cycle", "{1} % duty"),
            read("^duty N %", "{1} % duty"),
            read("^mca N A", "minimum circuit {1} A"),
            read("^mop|mocp N A", "maximum breaker {1} A"),
            read("^ev|car charger", "vehicle charger"),
            two("^welder$", "an `arc welder` (TIG, stick, wire feed) or a `resistance welder` (spot)?"),
            two(
                "^N A breaker",
                "does its plate ask for it, `maximum breaker {1} A`, or is it the circuit's, `breaker {1} A`?",
            ),
            amount("^duty N$", "percent? Write `{1} % duty`"),
            amount("^mca N$", "amperes? Write `minimum circuit {1} A`"),
            amount("^mop|mocp N$", "amperes? Write `maximum breaker {1} A`"),
            write(
                "^fla N",
                "write the amperes of its plate: `{1} A`; a motor's table value is looked up by `hp` and `V`",
            ),
            write("^uses T", "write `plugs into {1}`, or what feeds it"),
            write("^runs all day", "write `continuous` if it runs for three hours or more"),
            two("^compressor$", "does it pack air, `motor`, or does it cool, `air conditioner`?"),
            amount("^N$", "amperes, watts, horsepower? Write `{1} A`, `{1} W` or `{1} hp`"),
        ],
    ),
    (
        In(&[Disconnect]),
        &[
            write("^N A non-fused|fused", "a comma parts the two: `{1} A, {0}`"),
            amount("^pull-out N$", "amperes? Write `{1} A`, and `fused` or `non-fused`"),
            write("^near T", "can it be seen from there? Write `in sight of {1}`"),
            write(
                "^breaker at house",
                "that one stands in the feeder's line; the building's own is a `disconnect` or a `main`",
            ),
            amount("^N$", "amperes? Write `{1} A`"),
        ],
    ),
    (
        In(&[Pulled]),
        &[
            read("^N G", "{1} x {2} AWG"),
            read("N AWG x N", "{2} x {1} AWG"),
            read("white taped black|red|blue", "white re-marked {0}"),
            read("^green|black|white|red|blue|yellow|orange|brown|gray|bare$", "1 x {0}"),
            read("green hot", "green as hot"),
            read("red|blue|black|yellow traveler", "{0} as traveler"),
            write("^N hots N neutral", "write `{1} x 12 AWG as hot`, then `{2} x 12 AWG as neutral`"),
            write("^stripped cable", "write the wires, and `unmarked out of NM-B`"),
            two("^old wire", "wire that was in service is `used`; write too what is printed on it, or `unmarked`"),
            two("^thhn$", "is `THWN-2` printed on it too? Write all of it: `3 x 12 AWG THHN`"),
            write("^ground$", "write its color: `1 x bare` or `1 x green`"),
            write("^M$", "a cable stands in its run: `run P1 to B1: cable {1} NM-B`"),
        ],
    ),
    (
        In(&[Tested, Inspected]),
        &[
            read("polarity wrong", "polarity reversed"),
            read("polarity ok|correct|good", "polarity right"),
            write("^gfci ok|good|works", "what was seen? Write `GFCI trips`"),
            two("D", "write year, month and day: `2027-05-02`"),
        ],
    ),
    (In(&[Cord, Device, Area]), &[amount("^N$", "what does `{1}` measure? Write its unit")]),
    // Any phrase: units.
    (
        Anywhere,
        &[
            read("N a|amp|amps|ampere|amperes", "{1} A"),
            read("N v|volt|volts", "{1} V"),
            read("120/240 v|volt|volts", "120/240 V"),
            read("208y/120 v|volt|volts", "208Y/120 V"),
            read("N w|watt|watts", "{1} W"),
            read("N kw|kilowatt|kilowatts", "{1} kW"),
            read("N hp|horse|horsepower", "{1} hp"),
            read("N ft|foot|feet", "{1} ft"),
            read("N in|inch|inches", "{1} in"),
            read("N awg|gauge|ga", "{1} AWG"),
            read("1/0|2/0|3/0|4/0 awg|gauge", "{0} AWG"),
            read("N kcmil|mcm", "{1} kcmil"),
            read("N cubic|cu in|inch|inches", "{1} in3"),
            read("N in³|cuin|in.3", "{1} in3"),
            read("N sq ft|feet", "{1} ft2"),
            read("N f|°f|fahrenheit", "{1} F"),
            read("N deg|degrees|degree f|fahrenheit", "{1} F"),
            read("N c|°c|celsius", "{1} C"),
            read("N deg|degrees|degree c|celsius", "{1} C"),
            read("N percent|pct", "{1} %"),
            read("N ohm|ohms|ω", "{1} ohm"),
            read("N megohm|megohms|megaohm|megaohms", "{1} megohm"),
            read("N m|meter|meters", "{1} m"),
            read("N lb|lbs|pounds", "{1} lb"),
            read("N in-lbs|inch-pounds", "{1} in-lb"),
            read("in|ft by N", "{0} x {1}"),
            read("×", "x"),
            read("wire G", "wire {1} AWG"),
            read("x G", "x {1} AWG"),
            read("neutral G", "neutral {1} AWG"),
            two("G", "a `#` begins a comment; the wire's size is `{1} AWG`"),
            two("^240/120", "volts? Write `120/240 V`"),
            amount("^120/240$", "volts? Write `120/240 V`"),
            amount("^breaker N$", "amperes? Write `breaker {1} A`"),
            amount("^fault current N$", "amperes? Write `fault current {1} A`"),
            amount("^buried N$", "inches or feet? Write `buried {1} in`, to the top of the pipe or cable"),
            amount("^stretch N$", "feet? Write `stretch {1} ft:`"),
            amount("^terminals N$", "degrees of what? Write `terminals {1} C`"),
            amount("^N deep", "inches? Write `{1} in deep`"),
            amount("^N wide", "inches? Write `{1} in wide`"),
            amount("^N high", "inches? Write `{1} in high`"),
            amount("^N up", "feet or inches? Write `{1} in up`"),
            amount("^N long", "feet or inches? Write `{1} ft long`"),
            amount("^N apart", "feet or inches? Write `{1} ft apart`"),
            amount("^supports every N$", "feet? Write `supports every {1} ft`"),
            amount("^first support N$", "inches? Write `first support {1} in`"),
            amount("^free wire N$", "inches? Write `free wire {1} in`"),
            amount(
                "N emt|rmc|imc|pvc|pvc-40|pvc-80|ent|fmc|lfmc|lfnc|raceway",
                "the trade size is in inches: `{1} in {0}`",
            ),
        ],
    ),
    // Any phrase: trade words.
    (
        Anywhere,
        &[
            read("three|3 way", "3-way"),
            read("three-way|3way", "3-way"),
            read("four|4 way", "4-way"),
            read("four-way|4way", "4-way"),
            read("double|two|2 pole", "2-pole"),
            read("^double-pole|two-pole|2pole", "2-pole"),
            read("^single|one|1 pole", "1-pole"),
            read("^one-pole|1pole", "1-pole"),
            read("single|one|1 gang", "1-gang"),
            read("single-gang|one-gang|1gang", "1-gang"),
            read("double|two|2 gang", "2-gang"),
            read("double-gang|two-gang|2gang", "2-gang"),
            read("three|3 gang", "3-gang"),
            read("three-gang|3gang", "3-gang"),
            read("single|one|1 phase", "1-phase"),
            read("^single-phase|one-phase|1phase", "1-phase"),
            read("three|3 phase", "3-phase"),
            read("^three-phase|3phase", "3-phase"),
            two("^two|2 phase", "a house supply is `1-phase`; its two hots are `phase A` and `phase B`"),
            two("^two-phase|2-phase", "a house supply is `1-phase`; its two hots are `phase A` and `phase B`"),
            read("gfi", "GFCI"),
            read("afi", "AFCI"),
            read("^hardwired", "hard-wired"),
            read("^hard wired", "hard-wired"),
            read("^plugged|plug in|into", "plugs into"),
            read("^outside$", "outdoors"),
            read("^inside$", "indoors"),
            read("^back fed", "back-fed"),
            read("^backfed", "back-fed"),
            read("unfused|nonfused", "non-fused"),
            read("non fused", "non-fused"),
            read("cover bubble|while-in-use", "cover in-use"),
            read("bubble|in-use|while-in-use cover", "cover in-use"),
            read("w/g|w/ground", "with ground"),
            read("awg copper", "AWG Cu"),
            read("awg aluminum|aluminium", "AWG Al"),
            read("kcmil copper", "kcmil Cu"),
            read("kcmil aluminum|aluminium", "kcmil Al"),
            read("wire copper", "wire Cu"),
            read("wire aluminum|aluminium", "wire Al"),
            read("M copper", "{1} Cu"),
            read("M aluminum|aluminium", "{1} Al"),
            read("S copper", "{1} Cu"),
            read("S aluminum|aluminium", "{1} Al"),
            read("sch|schedule 40 pvc", "PVC-40"),
            read("sch|schedule 80 pvc", "PVC-80"),
            read("pvc sch|schedule 40", "PVC-40"),
            read("pvc sch|schedule 80", "PVC-80"),
            read("pvc conduit|pipe", "PVC"),
            read("pvc-40 conduit|pipe", "PVC-40"),
            read("pvc-80 conduit|pipe", "PVC-80"),
            read("emt conduit|pipe", "EMT"),
            read("rigid metal conduit", "RMC"),
            read("in by raceway", "by raceway"),
            Row {
                typed: "gfci|afci|wr|tr|led|nec|cu|al|emt|rmc|imc|pvc|pvc-40|pvc-80|hdpe|ent|fmc|lfmc|lfnc|nm|nm-b|uf-b|ser|seu|mc|ac|urd|use-2|thhn|thwn|thwn-2|xhhw|xhhw-2|rhw|rhw-2|tw|thw|thw-2",
                then: Case,
            },
            write("sch|schedule 40|80 N", "write the size, then the kind: `{1} in PVC-40` or `{1} in PVC-80`"),
            write("sch|schedule 40|80", "write the size, then the kind: `1 in PVC-40` or `1 in PVC-80`"),
            two("gray|grey pipe|conduit", "`PVC-40` or `PVC-80`? It is printed on the pipe"),
            two("thhn-2", "`THWN-2` (for wet places too) or `THHN` (dry)? It is printed on the jacket"),
            two(
                "K",
                "`12/2` of which cable? Write `cable 12/2 NM-B` or `cable 12/2 UF-B`, as printed on the jacket, or `cable 12/2` if no more is known",
            ),
            two("^burial cable", "which one? Write what is printed on it: `cable UF-B` or `cable USE-2`"),
            two("^direct burial|bury", "which cable? Write what is printed on it: `cable UF-B` or `cable USE-2`"),
            two("^house wire", "what is printed on its jacket? Write `cable 12/2 NM-B`, for example"),
            write("thinwall|thin-wall", "the trade's name is `EMT`, with its size: `3/4 in EMT`"),
            two("^rigid", "rigid metal is `RMC`, rigid plastic is `PVC-40` or `PVC-80`"),
            two("in rigid", "rigid metal is `RMC`, rigid plastic is `PVC-40` or `PVC-80`"),
            two("^flex", "which one? `FMC`, `LFMC`, `LFNC` or `ENT`"),
            two("in flex", "which one? `FMC`, `LFMC`, `LFNC` or `ENT`"),
            two("liquidtight|liquid-tight", "with metal inside, `LFMC`, or all plastic, `LFNC`?"),
            two("metal conduit", "which one? `EMT`, `IMC` or `RMC`; `metal raceway` if not known"),
            two("^conduit", "which kind? `3/4 in EMT`, `3/4 in PVC-40`; `raceway` if not known"),
            two("in conduit", "which kind? `3/4 in EMT`, `3/4 in PVC-40`; `raceway` if not known"),
            write("one|two|three|four 90s|nineties", "write how many: `2 bends`; or the degrees in all: `180 deg`"),
            write("N 90s|90's|nineties", "write how many: `2 bends`; or the degrees in all: `180 deg`"),
        ],
    ),
];

const GROUND: &str = "the wire that carries fault current is `equipment ground 10 AWG`, `equipment ground by wire`, `by raceway`, `in cable`, \
                      or `no equipment ground`; a rod is an `electrode`";

/// Phrases that take a colon; behind any other it is dropped where one thing follows.
pub(super) const OWNERS: &[&str] =
    &["stretch", "clear", "footing", "water pipe", "gas pipe", "other metal", "directory", "maker", "terminal", "note"];

pub(super) fn no_colon(span: Span, owner: &str) -> Problem {
    Problem::error(span, format!("`{owner}` takes no colon"))
        .help("a colon owns the rest of its line; without it a comma parts the phrases: `breaker 20 A, 2-pole`")
}

pub(super) fn number_in_list(token: &Token, opener: &str) -> Problem {
    Problem::error(token.span, format!("`{}` is no name", token.text))
        .help(format!("`{opener}` owns the rest of its line: write other phrases on lines of their own"))
}

pub(super) fn names_side_by_side(first: &Token, second: &Token, is_feeds: bool) -> Problem {
    let help = match is_feeds {
        true => format!(
            "`{0}, {1}` if both hang on one splice, `{0} then {1}` if {1} is wired on through {0}",
            first.text, second.text
        ),
        false => format!("a comma parts names: `{}, {}`", first.text, second.text),
    };
    Problem::error(first.span.to(second.span), format!("nothing parts `{}` and `{}`", first.text, second.text))
        .help(help)
}

pub(super) fn no_colon_in_head(token: &Token, keyword: Keyword) -> Problem {
    Problem::error(token.span, format!("`{}` stands where only names may stand", token.text))
        .help(format!("a colon parts the names from what follows: `{} NAME: …`", keyword.text()))
}

pub(super) fn reserved(token: &Token) -> Problem {
    Problem::error(token.span, format!("`{}` is a word of the plan language and can't be a name", token.text))
        .help("names are short tags, such as `R1` or `north-lights`")
}

pub(super) fn unknown_kind(token: &Token, nearest: Option<&str>) -> Problem {
    let problem = Problem::error(token.span, format!("`{}` is no kind of item", token.text));
    match nearest {
        Some(word) => problem.help(format!("did you mean `{word}`? Until then its indented lines are unread too")),
        None => problem.help("an item begins with its kind, such as `panel`, `box` or `circuit`; a line that adds to an item is indented"),
    }
}

/// What stands nowhere in a plan: an arrow, a bracket.
pub(super) fn stray(text: &str, span: Span) -> Problem {
    let is_arrow = text.chars().all(|c| matches!(c, '-' | '>' | '–' | '—' | '→' | '='));
    let shown: String = text.chars().take(20).collect();
    Problem::error(span, format!("`{shown}` means nothing in a plan")).help(match is_arrow {
        true => "write `to` between the two ends of a run, and `then` between things fed one after the other",
        false => "a phrase is words, numbers with their units, and text in quotes",
    })
}

const ROD: &str =
    "an electrode's wire stands in its item: `electrode E1: 1 rod, wire {1} AWG Cu to P1, lands on ground bar`";
