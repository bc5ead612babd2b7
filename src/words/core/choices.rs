//! The closed lists of values.

use super::choice::{self, CHOICES};
use crate::words::{Choice, ChoiceId};

/// Values of each core choice, in the order of [`choice`]; other spellings stand behind `=`.
const VALUES: &[&str] = &[
    "detached attached within-house",
    "one-family-house two-family-house multifamily-house no-dwelling=business",
    "wood steel masonry=block concrete",
    "metal-corrugated=corrugated-steel metal-flat wood other",
    "workshop garage storage office bedroom living-room kitchen bathroom=bath laundry closet attic crawl-space other basement hall pool-house",
    "open-framing=open boarded drywall masonry",
    "person vehicle",
    "water gas air oil other",
    "owner licensed=electrician qualified",
    "footing trench rough-in final permit",
    "gfci-trips polarity ground-path neutral-isolation insulation torque",
    "house-panel utility-service pole-panel generator solar",
    "120/240 120 240 208Y/120",
    "none new replaced meter-only like-for-like",
    "normal different-voltage different-use standby solar over-one-supply-limit three-way-lighting=3-way-lighting",
    "copper=Cu aluminum=Al copper-clad-aluminum=CCA",
    "THHN THWN THWN-2 THHN/THWN THHN/THWN-2 XHHW XHHW-2 RHW RHW-2 USE USE-2 THW THW-2 TW NM-inside UF-inside bare unmarked",
    "black red blue brown orange yellow white gray white-stripe green green-yellow bare other",
    "hot neutral equipment-ground switched-hot=switched traveler signal spare",
    "EMT IMC RMC PVC-40 PVC-80 HDPE ENT FMC LFMC LFNC surface-metal surface-plastic wireway NM-B=NM UF-B=UF MC AC SE=SEU SER USE-2 mobile-home-feeder quadruplex triplex open-conductors flexible-cord=cord=extension-cord=SO=SOO=SOW=SOOW=SJ=SJO=SJOW=SJOOW=SJT=SJTW=ST=STW plumbing-pipe none USE URD",
    "lawn=garden=yard concrete-2-in slab-4-in building road=street dwelling-drive=drive rock",
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
    "nothing bench storage=goods=stored-goods other steps machine",
    "rod pipe plate ring footing=concrete-encased in-ground-steel=building-steel water-pipe",
    "square octagon round device masonry handhole conduit-body other",
    "structure brace threaded-raceways embedded ceiling-grid EMT-only cord loose",
    "none plate blank-plate=blank weatherproof-closed in-use raised",
    "general bench door-opener welder compressor machine ev-charger=vehicle-charger refrigerator=freezer deicing alarm security hvac-service lights other",
    "single-pole double-pole 3-way 4-way dimmer occupancy=motion-sensor timer remote photocell door-operated",
    "dry damp-location wet-location",
    "wall occupancy photocell timer remote central pull-chain none dimmer door",
    "arc-welder resistance-welder plasma-cutter compressor table-saw planer lathe mill grinder dust-collector hoist pump exhaust-fan ceiling-fan door-opener air-conditioner heat-pump room-air-conditioner space-heater water-heater ev-charger=vehicle-charger refrigerator=freezer range dryer dishwasher alarm-panel lift kiln other motor-driven phase-converter other-appliance lights",
    "cord-and-plug hard-wired",
    "none type-1 type-2 type-3",
    "pendant reel drop machine lift light portable extension fixed-wiring",
    "wire raceway none",
    "A B both",
    "side opposite",
    "plastic aluminum steel",
    "cable heavy-metal other-raceway small-gfci low-voltage",
    "gas water sewer data=coax=phone",
    "5-15R 5-20R 5-30R 5-50R 6-15R 6-20R 6-30R 6-50R 10-30R 10-50R 14-20R 14-30R 14-50R 14-60R L5-15R L5-20R L5-30R L6-15R L6-20R L6-30R L14-20R L14-30R TT-30R",
    "shop house other",
    "rock gravel wet settled",
    "seen out-of-reach none",
    "none wire raceway in-cable electrode water-pipe steel-frame",
    "line-side load-side",
    "ground-bar neutral-bar enclosure",
    "LED fluorescent incandescent",
    "blank-GFCI surge-protector transformer door-button",
    "complete partly blank",
    "hot-to-neutral legs-joined hots-joined neutrals-joined neutral-borrowed same-leg paralleled never-on always-on wrong-control live-when-off reversed neutral-open neutral-switched unbalanced ground-fault-uneven ground-open over-voltage control-unfed",
];

/// Generic words that a plan may write: each stands for any of several values.
const GROUPS: &[(ChoiceId, &str, &str)] = &[
    (choice::METHOD, "PVC", "PVC-40 PVC-80"),
    (choice::METHOD, "metal-raceway", "EMT IMC RMC FMC LFMC surface-metal wireway"),
    (choice::METHOD, "raceway", RACEWAYS),
    (choice::METHOD, "cable", CABLES),
    (choice::AREA_USE, "shed", "storage workshop"),
    (choice::AREA_USE, "barn", "storage workshop garage other"),
    (choice::AREA_USE, "dwelling", "bedroom living-room kitchen bathroom laundry closet hall office other"),
    (choice::UNDER, "slab", "concrete-2-in slab-4-in"),
    (choice::DISCONNECT_TYPE, "fused", "fused-switch pull-out"),
    (choice::DISCONNECT_TYPE, "non-fused", "molded-case-switch general-use-switch snap-switch pull-out"),
    (choice::EQUIPMENT_TYPE, "motor", MOTORS),
    (choice::EQUIPMENT_TYPE, "heater", "space-heater water-heater"),
    (choice::EQUIPMENT_TYPE, "appliance", "refrigerator range dryer dishwasher water-heater other-appliance"),
    (choice::EQUIPMENT_TYPE, "welder", "arc-welder resistance-welder"),
];

const RACEWAYS: &str = "EMT IMC RMC PVC-40 PVC-80 HDPE ENT FMC LFMC LFNC surface-metal surface-plastic wireway";
const CABLES: &str = "NM-B UF-B MC AC SE SER USE-2 mobile-home-feeder quadruplex triplex USE URD";
const MOTORS: &str =
    "compressor table-saw planer lathe mill grinder dust-collector hoist pump exhaust-fan lift motor-driven";

pub(in crate::words) fn choices() -> Vec<Choice> {
    let mut all: Vec<Choice> = CHOICES
        .iter()
        .zip(VALUES)
        .map(|(name, values)| {
            let mut choice = Choice { name: name.to_string(), ..Choice::default() };
            for value in values.split_whitespace() {
                let mut forms = value.split('=');
                let place = choice.values.len() as u8;
                choice.values.extend(forms.next().map(str::to_string));
                choice.spellings.extend(forms.map(|f| (f.to_string(), place)));
            }
            choice
        })
        .collect();
    for (id, word, members) in GROUPS {
        if let Some(choice) = all.get_mut(id.0 as usize) {
            let bits = members.split(' ').filter_map(|m| choice.value(m)).fold(0, |bits, place| bits | 1 << place);
            choice.groups.push((word.to_string(), bits));
        }
    }
    all
}
