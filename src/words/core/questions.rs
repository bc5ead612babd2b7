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
    (kinds!(Shop), name::IS_FRAME_ELECTRODE, "Is steel of the frame one of the electrodes, and tied in?"),
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
    (kinds!(Feeder), name::CIRCUIT_COUNT, "How many branch circuits hang on {item}?"),
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
    // Measured, counted or read off
    (kinds!(Circuit), name::ADDED_LENGTH, "By how much does {item} grow, if it is an old one?"),
    (kinds!(Circuit), name::ADDED_OUTLETS, "How many outlets are added to {item}, if it is an old one?"),
    (kinds!(Run), name::BOX_SUPPORT, "How far is the first strap of {item} from its box?"),
    (kinds!(Run Feeder Circuit), name::CABLE, "Which cable lies in the raceway of {item}?"),
    (kinds!(Panel), name::CLEAR_HEIGHT, "How high is the free space in front of {item}?"),
    (kinds!(Panel), name::CLEAR_WIDTH, "How wide is the free space in front of {item}?"),
    (kinds!(Pulled), name::COLOR, "What color is {item}?"),
    (kinds!(Equipment Light), name::CONNECTION, "How is {item} connected: by cord and plug, or hard-wired?"),
    (kinds!(Wire), name::COUNT, "How many wires is the {item}, the equipment ground left out?"),
    (kinds!(Electrode), name::COUNT, "How many rods is {item}?"),
    (kinds!(Electrode), name::DEPTH_IN_SOIL, "How many feet of {item} are in the soil?"),
    (kinds!(Electrode), name::DIAMETER, "How thick is {item}?"),
    (kinds!(Electrode), name::SPACING, "How far is it from {item} to the nearest other rod?"),
    (kinds!(Box), name::DEPTH, "How deep is {item}?"),
    (kinds!(Box), name::SHAPE, "Is {item} square, octagon, round or for devices?"),
    (kinds!(Box), name::STUDS, "How many fixture studs and hickeys are in {item}?"),
    (kinds!(Box), name::TERMINAL_BLOCKS, "How many terminal blocks are in {item}?"),
    (kinds!(Box Receptacle Switch Device), name::GANGS, "How many gangs wide is {item}?"),
    (kinds!(Disconnect), name::DISTANCE_FROM_ENTRY, "How far is {item} from where the supply comes in?"),
    (kinds!(Disconnect), name::DISTANCE, "How far is {item} from what it turns off?"),
    (kinds!(Panel), name::DOOR_SWING, "How far does the door of {item} open, in degrees?"),
    (kinds!(Equipment), name::DUTY, "What duty cycle does the plate of {item} give?"),
    (kinds!(Disconnect Panel), name::ENCLOSURE, "Which type of enclosure is {item} (1, 3R, 4X …)? Its label says."),
    (kinds!(Panel), name::EXIT, "Where do the feeder wires leave {item}: at the side, or opposite to the lugs?"),
    (kinds!(Panel), name::FACING, "What stands across the free space in front of {item}: wood, masonry or metal, or live parts?"),
    (kinds!(Panel), name::WIDTH, "How wide is the cabinet of {item}?"),
    (kinds!(Feeder Circuit), name::GROUND_BY, "By what is the fault current of {item} said to return: a wire, the raceway, a rod?"),
    (kinds!(Panel Disconnect Switch), name::HANDLE_HEIGHT, "How high over the floor is the highest handle of {item}?"),
    (kinds!(Feeder Circuit), name::HANDLES, "How many handles must be moved to turn all of {item} off?"),
    (kinds!(Receptacle Light Box), name::HEIGHT, "How high over the floor is {item}?"),
    (kinds!(Run), name::HEIGHT, "How high over what it passes is the lowest point of {item}?"),
    (kinds!(Feeder Circuit Disconnect), name::HOTS, "How many hot wires has {item}?"),
    (kinds!(Area), name::HOTTEST, "How hot does it get in {item}, on the worst day of the year?"),
    (kinds!(Breaker), name::INTERRUPTING_RATING, "Which fault current is the {item} marked to break?"),
    (kinds!(Panel), name::INTERRUPTING_RATING, "Which fault current is {item} marked for? Its label says."),
    (kinds!(Pipe), name::LENGTH_IN_EARTH, "How many feet of {item} lie in earth?"),
    (kinds!(ElectrodeConductor), name::METAL, "Is the {item} copper or aluminum?"),
    (kinds!(ElectrodeConductor), name::RACEWAY, "What does the {item} run in?"),
    (kinds!(Run), name::MISSING_CONDUCTORS, "How many wires does {item} still need?"),
    (kinds!(Equipment Light), name::NAMEPLATE_CURRENT, "How many amperes does the plate of {item} give?"),
    (kinds!(Equipment), name::SERVICE_FACTOR, "What service factor does the plate of {item} give?"),
    (kinds!(Equipment), name::SERVICE_RECEPTACLE_DISTANCE, "How far from {item} is the nearest receptacle for those who service it?"),
    (kinds!(Equipment), name::SET_AMPS, "To how many amperes is {item} set?"),
    (kinds!(Equipment), name::TYPE, "What kind of machine is {item}?"),
    (kinds!(Run), name::OVER, "What does {item} pass over: a walk, a yard, a drive, a roof?"),
    (kinds!(Disconnect), name::POLES, "How many poles has {item}?"),
    (kinds!(Circuit), name::RECEPTACLE_COUNT, "How many places to plug in are on {item} (a duplex is two)?"),
    (kinds!(Pulled Conductor), name::ROLE, "What is {item} for: hot, neutral, traveler, or equipment grounding conductor?"),
    (kinds!(Shop), name::ROOF_DECK, "What is the roof deck made of: corrugated metal, flat metal, wood?"),
    (kinds!(Supply), name::SERVICE_WORK, "What does this job do to the service of {item}: nothing, a new one, a new meter only?"),
    (kinds!(Supply), name::SYSTEM, "Which volts does {item} give: 120/240, 120, 240, 208Y/120?"),
    (kinds!(Run), name::SLEEVE_BOTTOM, "How deep in the earth does the sleeve of {item} begin?"),
    (kinds!(Run), name::SLEEVE_TOP, "How high over the earth does the sleeve of {item} go?"),
    (kinds!(Shop Run Electrode), name::SOIL, "What is the earth like at {item}: rock, gravel, wet, filled?"),
    (kinds!(Inspection), name::STAGE, "Which stage was {item}: footing, trench, rough-in, final?"),
    (kinds!(Supply Panel Device), name::SURGE_TYPE, "Which type of surge device has {item}, if any (1, 2 or 3)?"),
    (kinds!(Electrode), name::TYPE, "What is {item}: a rod, a plate, steel in the footing, a water pipe?"),
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
