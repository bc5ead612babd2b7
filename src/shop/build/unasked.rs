//! Phrases that the plan language has and no core word takes. A rule file's `fact` may take them;
//! where no rule in force asks, they are read all the same and say nothing to anybody.

use super::Builder;
use super::index::Index;
use super::phrases::{Tokens, hosted_kinds};
use crate::words::{Kind, Kinds, Origin, Type, Vocabulary, Word};
use std::sync::{Arc, LazyLock};

/// Kinds, and phrases in the notation of a word's phrase.
const UNASKED: &[(&[Kind], &str)] = &[
    (
        &[Kind::Shop, Kind::Permit],
        "with inspections / number NAME / owner may wire / replacement / metal studs bonded / walls insulated",
    ),
    (&[Kind::Shop], "frost line AMOUNT / footing installed AMOUNT / steel forms the frame"),
    (&[Kind::Pipe], "in earth / corrugated gas tube / isolated short piece / may become live / bonded"),
    (
        &[Kind::Supply],
        "disconnect outdoors / disconnect indoors / outdoor disconnect / ground-fault protection / tandem breakers",
    ),
    (
        &[Kind::Feeder, Kind::Circuit],
        "listed for 100 percent / fault path shown / own raceway / grouped / terminal AMOUNT wires / terminal AMOUNT wire / terminal marked for AMOUNT / terminal Al with Cu / terminal pigtail to AMOUNT wires / terminal torque AMOUNT / marked for the welder only",
    ),
    (&[Kind::Breaker], "hold-down / bolted / listed for this panel"),
    (
        &[Kind::Panel],
        "terminal AMOUNT wires / terminal marked for AMOUNT / terminal Al with Cu / terminal torque AMOUNT / ground bar bonded / one neutral to a screw / neutral shares a screw / cables clamped / unused openings open / main marked / directory on the door / directory at breakers / directory spares unmarked / way out AMOUNT wide / level floor / nothing foreign above / over steps / torqued / torque noted / load at most AMOUNT / light in front",
    ),
    (
        &[Kind::Disconnect],
        "clear AMOUNT wide / clear AMOUNT high / marked / service-rated / purpose plain to see / hidden / letters AMOUNT",
    ),
    (
        &[Kind::Electrode],
        "driven flush / bare / concrete on earth / clamp exposed / clamp for burial / terminal AMOUNT wires / terminal AMOUNT wire / terminal marked for AMOUNT / terminal Al with Cu / top above grade / top below grade / protected / sawn off / laid flat / AMOUNT down",
    ),
    (&[Kind::ElectrodeConductor], "fastened / open to knocks / splice"),
    (
        &[Kind::Box],
        "accessible / exposed / grounded to box / free wire AMOUNT / equipment grounds spliced / listed connectors / corners flat / locking fasteners / below NAME / fan-rated / AMOUNT up / surface-mounted",
    ),
    (
        &[Kind::Run],
        "protected / warning tape / sleeve / held by pole / held by building / held by messenger / held by tree / held by mast / stapled flat / AMOUNT together / clamped / shares trench with NAMES / shares raceway with NAMES / below NAME / tied to NAME / follows the surface / sealed / bushings / bedded in sand / terminal AMOUNT wires / to a machine that shakes",
    ),
    (&[Kind::Receptacle], "on cover / pigtailed / listed / grounded by screws / below NAME"),
    (&[Kind::Switch], "listed / on the wall"),
    (&[Kind::Light], "listed / guard / recessed / IC / in insulation / open to knocks / motion sensor"),
    (&[Kind::Device], "listed / timer / motion sensor"),
    (
        &[Kind::Equipment],
        "listed / double insulated / own switch / no-restart switch / load-managed to AMOUNT / load-managed within NAME / rotary / AMOUNT up / maker cord AMOUNT",
    ),
    (&[Kind::Inspection], "wiring in place / grounds made up / devices in"),
    (&[Kind::Pulled], "AMOUNT current-carrying"),
];

/// The phrases of the language that nobody may ask for, findable. They depend on nothing that a plan
/// or a rule file says, so they are compiled once for the program.
pub(super) fn index() -> &'static Index {
    static INDEX: LazyLock<Index> = LazyLock::new(compile);
    &INDEX
}

fn compile() -> Index {
    let mut vocabulary = Vocabulary::core_choices();
    for (i, (kinds, phrase)) in UNASKED.iter().enumerate() {
        let name = vocabulary.name_or_new(&format!("unasked-{i}"));
        let kinds = kinds.iter().fold(Kinds::default(), |all, k| all.and(Kinds::of(*k)));
        let word = Word {
            kinds,
            name,
            ty: Type::YesNo,
            is_part: false,
            origin: Origin::Stated,
            doc: String::new(),
            phrase: phrase.to_string(),
            ordinary: None,
            question: None,
        };
        let _: Result<(), Kind> = vocabulary.add(word);
    }
    Index::new(Arc::new(vocabulary))
}

impl Builder {
    /// Whether the language has this phrase, though no word in force takes it.
    pub fn is_unasked(&self, kind: Kind, tokens: Tokens) -> bool {
        let kinds = std::iter::once(kind).chain(hosted_kinds(kind).iter().copied());
        kinds.into_iter().any(|k| !self.unasked.read(k, tokens, &mut None).is_empty())
    }
}
