//! Near misses in the first words of items and in lists of names.

use super::Where::{Edge, Head, List};
use super::{DAY, Group, read, two, write};
use crate::plan::syntax::Keyword::{
    Circuit, Feeder, Inspected, Light, Measured, Pipe, Pulled, Run, Seen, Supply, Switch, Tested, Work,
};

#[rustfmt::skip] // One row, one line: the table is read by the column.
pub(super) static ROWS: &[Group] = &[
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
            two("^kill switch", "one that shuts a machine or building off is a `disconnect`; one for a light is a `switch`"),
            write("^ac disconnect", "a disconnect has a name, `disconnect D1`, and the machine is fed `through D1`"),
            write("^garage|barn|shed|workshop|building", "an item begins with its kind: `shop \"{0}\"`, and in it `use {0}`"),
            write("^shop light", "an item begins with its kind: `light L1 \"shop light\"`"),
            write("^house panel|service", "what feeds the shop is `supply house`, and in it `service 200 A` or `panel 200 A`"),
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
            write("^compressor|saw|lathe|heater|motor|charger|kiln", "a machine is `equipment`, and its kind a phrase: `equipment M1: {0}`"),
            write("^bedroom|kitchen|office|loft|room", "a part of the building is an area: `area A1 \"{0}\"`"),
        ],
    ),
    // Names and joining words behind an item's first word.
    (Head(&[Feeder, Circuit]), &[read("from house panel", "from house"), read("from main panel", "from house")]),
    (
        Head(&[Pipe]),
        &[write("W to W", "what joins two places is a run: `run {1} to {2}: 3/4 in EMT`; a `pipe` carries water or gas")],
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
            write("^T to W", "a switch joins nothing: draw `run {1} to {2}`; control stands in the circuit: `feeds L1 through {1}`"),
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
    (Head(&[Seen, Measured, Tested, Inspected, Work]), &[two("D", DAY)]),
    // Lists of names.
    (
        List,
        &[
            write("feeds outlet|outlets|receptacles|plugs|lights|switches|everything", "name what it feeds: `feeds R1, R2`; where nothing is named, `feeds shop`"),
            write("by|with|via|off T", "control stands behind `through`: `feeds L1 through {1}`"),
            write("feeds T from T", "control stands behind `through`: `feeds {1} through {2}`"),
            write("holds outlet|outlets|receptacle|receptacles|switch|switches|light|device|devices", "name what it holds: `holds R1`"),
            read("feeds none", "feeds nothing"),
            read("holds none|empty", "holds nothing"),
            read("none", "nothing"),
        ],
    ),
];
