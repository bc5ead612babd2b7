//! Questions for core words that the word's own name asks badly: what to look at, measure, read
//! off a plate, or ask. Rules may ask in words of their own.

use super::*;

/// Kinds, word, question; `{item}` is what it is asked about.
#[rustfmt::skip]
pub(super) const QUESTIONS: &[(Kinds, NameId, &str)] = &[
    // The building and its papers
    (kinds!(Permit), name::EDITION, "Which edition of the NEC is law for this permit? The permit office says."),
    (kinds!(Permit), name::IS_EDITION_NAMED, "Which edition of the NEC is law for this permit? The permit office says."),
    (kinds!(Permit), name::DATE, "On which day was the permit issued, or will it be?"),
    (kinds!(Permit), name::WORKER, "Who does the wiring: the owner, a licensed electrician, somebody else?"),
    (kinds!(Shop), name::BESIDE, "What does the shop belong to: a one-family house, a two-family house, an apartment house, or no dwelling?"),
    (kinds!(Shop), name::PLACEMENT, "Does the shop stand apart from the house, against it, or inside it?"),
    (kinds!(Shop), name::FRAME, "What carries the building: wood, steel, masonry or concrete?"),
    (kinds!(Shop), name::HAS_DWELLING_UNIT, "Can somebody live in the building: is there a kitchen, bath and bed, or will there be?"),
    (kinds!(Shop), name::HOTTEST, "How hot does it get where the wires lie, on the worst day of the year?"),
    (kinds!(Shop), name::COLDEST, "How cold does it get, on the worst night of the year?"),
    (kinds!(Area), name::USE, "What is {item} used for: workshop, garage, storage, or what else?"),
    (kinds!(Shop), name::IS_FRAME_IN_EARTH, "Does the steel frame itself go into the earth, or is it bolted to a slab?"),
    (kinds!(Shop), name::HAS_GROUPED_DISCONNECTS, "Do all the disconnects of the building stand side by side?"),
    (kinds!(Shop), name::INCOMING, "Does any other feeder or circuit come into the building?"),
    (kinds!(Shop), name::SOURCES, "Does power come from anywhere else: a generator, solar, a second service?"),
    (kinds!(Shop), name::PANELS, "Is there any other panel in the building?"),
    (kinds!(Shop), name::ELECTRODES, "Which grounding electrodes are there: rods, footing steel, a water pipe, a steel frame in earth?"),
    (kinds!(Shop), name::PIPES, "Which pipes come in: water, gas, air; are they metal?"),
    (kinds!(Shop), name::BAYS, "How many places for vehicles are there?"),
    (kinds!(Shop), name::RECEPTACLES, "Are all receptacles written down?"),
    (kinds!(Shop), name::LIGHTS, "Are all lights written down?"),
    // Feeders, circuits, panels
    (kinds!(Feeder Circuit), name::LENGTH, "How long is the wire of {item}, one way?"),
    (kinds!(Feeder Circuit), name::EQUIPMENT_GROUND, "Does {item} have an equipment grounding conductor of wire, and of what size?"),
    (kinds!(Feeder Circuit), name::EQUIPMENT_GROUND_TYPE, "What carries fault current back along {item}: a wire, the raceway, or nothing?"),
    (kinds!(Feeder Circuit), name::IS_LAWFUL_WHEN_MADE, "Was {item} as the code of its day asked when it was made?"),
    (kinds!(Feeder Circuit), name::VOLTS, "How many volts does {item} have, between its hot wires or to neutral?"),
    (kinds!(Feeder Circuit), name::TERMINAL_MARKING, "For what temperature are the terminals at both ends of {item} marked: 60 C or 75 C? The label at the lugs says."),
    (kinds!(Feeder Circuit), name::RUNS, "Through which raceways or cables does {item} go?"),
    (kinds!(Feeder Circuit), name::EQUIPMENT, "Which machines does {item} feed?"),
    (kinds!(Feeder Circuit), name::HAS_OTHER_METAL_PATH, "Beside {item}, does any other metal join the two buildings: a pipe, a raceway, a cable shield?"),
    (kinds!(Feeder), name::CIRCUITS, "Which circuits does {item} feed?"),
    (kinds!(Breaker), name::AMPS, "What rating stands on the {item} (handle or side)?"),
    (kinds!(Breaker), name::IS_BACK_FED, "Is the {item} fed through its plug-on end, so that it serves as the main?"),
    (kinds!(Breaker Receptacle Device), name::HAS_GFCI, "Is {item} a GFCI (does it have a test button)?"),
    (kinds!(Breaker Receptacle), name::HAS_AFCI, "Is {item} an AFCI (what does its test button say)?"),
    (kinds!(Panel), name::UNMARKED_CIRCUITS, "How many circuits of {item} does its directory leave out?"),
    (kinds!(Panel), name::MAIN, "Does {item} have a main breaker, and of what rating?"),
    (kinds!(Supply Panel), name::SURGE_DISCHARGE, "What discharge current (In, in kA) is marked on the surge device at {item}?"),
    (kinds!(Supply Panel Disconnect Receptacle Switch Equipment), name::TERMINAL_MARKING, "For what temperature are the terminals of {item} marked: 60 C or 75 C?"),
    // Runs and wires
    (kinds!(Run Feeder Circuit), name::METHOD, "What is {item}: which raceway, or which cable?"),
    (kinds!(Run Box Panel Receptacle Switch Light Device Equipment Disconnect), name::PLACE, "Where is {item}: indoors, outdoors, in the earth, somewhere damp?"),
    (kinds!(Run), name::LENGTH, "How long is {item}?"),
    (kinds!(Run Feeder Circuit), name::TRADE_SIZE, "What trade size is the raceway of {item}?"),
    (kinds!(Run), name::COVER, "How much earth lies over the top of {item} (not the depth of the trench)?"),
    (kinds!(Run), name::UNDER, "What lies over {item}: lawn, a drive, a slab, a street?"),
    (kinds!(Run), name::IS_EXPOSED, "Is {item} in the open, or behind a finish?"),
    (kinds!(Circuit Run Receptacle Switch Light Device Equipment), name::WIRING_FAULTS, "A wire is lacking on the way of {item}: which one, or what does not work there? Try it with a tester before the wall is closed."),
    (kinds!(Box), name::STUDS, "Does a lamp hang on a threaded stud or hickey in {item}, and how many of these are there?"),
    (kinds!(Box), name::HAS_CLAMPS, "Are there cable clamps inside {item}?"),
    (kinds!(Run), name::IS_THROUGH_FRAMING, "Does {item} go through holes in studs or joists?"),
    (kinds!(Run), name::HAS_PLATE, "Are there steel plates over {item}?"),
    (kinds!(Run), name::IS_UNDER_ROOF_DECK, "Does {item} run under the roof deck?"),
    (kinds!(Run), name::BUNDLED_CONDUCTORS, "Do other cables lie against {item} for more than a couple of feet, and how many current-carrying wires are that together?"),
    (kinds!(Run), name::CONDUCTORS, "Which wires run in {item}?"),
    (kinds!(Run), name::BOXES, "At which boxes does {item} end?"),
    (kinds!(Wire Pulled Conductor), name::INSULATION, "What type is printed on the {item} (THWN-2, XHHW-2, …)?"),
    (kinds!(Wire Pulled Conductor), name::SIZE, "What size is the {item}?"),
    (kinds!(Wire Pulled Conductor), name::METAL, "Is the {item} copper or aluminum?"),
    // Devices and machines
    (kinds!(Receptacle), name::EQUIPMENT, "What plugs into {item}?"),
    (kinds!(Equipment), name::DISCONNECTS, "What turns {item} off for work on it: a disconnect in sight, a plug, its breaker?"),
    (kinds!(Equipment), name::MINIMUM_CIRCUIT, "What minimum circuit does the plate of {item} give, if it gives one?"),
    (kinds!(Equipment), name::MAXIMUM_BREAKER, "What maximum breaker does the plate of {item} give, if it gives one?"),
    (kinds!(Equipment), name::EFFECTIVE_AMPS, "What effective input current does the plate of {item} give (I1eff), if it gives one?"),
    (kinds!(Light), name::CORD, "Does {item} hang on a cord and plug?"),
    (kinds!(Breaker), name::POLES, "How many poles has the {item}?"),
    (kinds!(Breaker), name::SPACE, "Which spaces of its panel does the {item} take?"),
    (kinds!(Panel), name::SPACES, "How many breaker spaces has {item}?"),
    (kinds!(Receptacle), name::CONFIGURATION, "Which pattern is {item}, such as 5-20R or 6-50R (it stands on its face)?"),
    (kinds!(Feeder Circuit), name::WIRE, "Which wire has {item}: what size, copper or aluminum, what type?"),
    (kinds!(Panel), name::BUS_AMPS, "How many amperes does the label of {item} give for its bus?"),
    (kinds!(Light), name::WATTS, "How many watts does the plate of {item} give?"),
    (kinds!(Run), name::BENDS, "How many bends has {item} between its pull points?"),
    (kinds!(ElectrodeConductor), name::SIZE, "What size is the {item}?"),
    (kinds!(Electrode), name::LENGTH, "How long is {item}?"),
    (kinds!(Box), name::WIDTH, "What size is {item}: trade size and depth, or the volume stamped in it?"),
    (kinds!(Switch), name::TYPE, "What kind of switch is {item}: single-pole, 3-way, 4-way?"),
];

/// The question of a row of the word tables.
pub(super) fn question(kinds: Kinds, name: NameId) -> Option<String> {
    let is_of = |(own, n, _): &&(Kinds, NameId, &str)| *n == name && !own.common(kinds).is_empty();
    QUESTIONS.iter().find(is_of).map(|(_, _, text)| text.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::Vocabulary;

    /// Each question reaches a word of each of its kinds, and names the item where there are several.
    #[test]
    fn each_question_is_asked() {
        let vocabulary = Vocabulary::core();
        for (kinds, name, text) in QUESTIONS {
            for kind in kinds.iter() {
                let word = vocabulary.word(kind, *name);
                let asked = word.and_then(|w| w.question.clone());
                assert!(asked.is_some(), "{kind}.{} is not asked", vocabulary.text(*name));
                let is_one = matches!(kind, Kind::Shop | Kind::Permit);
                assert!(is_one || text.contains("{item}"), "{text}");
            }
            assert!(text.contains('?') && !text.contains(" ground?"), "{text}");
        }
    }
}
