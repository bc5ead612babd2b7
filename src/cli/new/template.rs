//! The plan that `ringout new` writes: what was answered, and blanks with a hint beside them.

use super::Answers;
use ringout::plan;

/// A machine as people call it, as the plan language does, and what its plate says.
type Machine = (&'static [&'static str], &'static str, &'static str);

const MACHINES: &[Machine] = &[
    (&["welder", "arc welder", "tig welder", "mig welder"], "arc welder", "240 V, 34 A, 40 % duty"),
    (&["plasma cutter"], "plasma cutter", "240 V, 30 A"),
    (&["air compressor", "compressor"], "compressor", "230 V, 3 hp, 15 A"),
    (&["table saw"], "table saw", "230 V, 3 hp, 13 A"),
    (&["planer"], "planer", "120 V, 15 A"),
    (&["lathe"], "lathe", "230 V, 2 hp, 12 A"),
    (&["mill"], "mill", "230 V, 2 hp, 12 A"),
    (&["grinder"], "grinder", "120 V, 6 A"),
    (&["dust collector"], "dust collector", "230 V, 1-1/2 hp, 9 A"),
    (
        &["air conditioner", "mini-split", "mini split", "minisplit"],
        "air conditioner",
        "230 V, minimum circuit 11 A, maximum breaker 15 A",
    ),
    (&["heater"], "heater", "240 V, 4000 W"),
    (&["kiln"], "kiln", "240 V, 27 A"),
    (&["vehicle charger", "car charger", "ev charger", "charger"], "vehicle charger", "240 V, 32 A"),
    (&["door opener", "garage door opener"], "door opener", "120 V, 5 A"),
];

/// The plan, in its canonical form. A year that is none of `editions`, which rules know, is no answer.
pub fn plan(answers: &Answers, editions: &[i64]) -> String {
    let mut text = String::from(
        "# A plan to start from. Change what is not so, strike what you don't have, and put in what you know.\n\
         # `ringout check` asks for the rest. Text behind # is for you: take the # away where a line fits.\n\n",
    );
    shop(answers, editions, &mut text);
    let has_panel = answers.has_panel != Some(false);
    if has_panel {
        with_panel(answers, &mut text)
    } else {
        one_circuit(answers, &mut text)
    }
    text.push_str(
        "\nreceptacle R1  # as `receptacle R1: 5-20R, duplex, GFCI, 44 in up`\n\
         switch S1  # as `switch S1: single-pole, 15 A`\nlight L1  # as `light L1: LED, 30 W, hard-wired`\n",
    );
    for (number, machine) in answers.machines.iter().enumerate() {
        text.push_str(&equipment(number, machine));
    }
    // The form that `tidy` gives; the plan as it stands where that can't be had.
    plan::tidy(&text).unwrap_or(text)
}

fn shop(answers: &Answers, editions: &[i64], text: &mut String) {
    let title = label(&answers.title);
    let title = if title.is_empty() { "my shop".to_string() } else { title };
    text.push_str(&format!("shop \"{title}\"\n"));
    text.push_str(&match editions.iter().find(|year| answers.edition.parse() == Ok(**year)) {
        Some(year) => format!(
            "  code NEC {year}
"
        ),
        None => "  # code NEC YEAR  # ask the office which edition it goes by
"
        .to_string(),
    });
    let state: String = answers.state.chars().filter(|c| c.is_alphabetic() || *c == ' ').take(40).collect();
    let state = state.split_whitespace().collect::<Vec<_>>().join(" ");
    if !state.is_empty() {
        text.push_str(&format!("  state {state}\n"));
    }
    text.push_str(match answers.is_apart {
        Some(true) => "  detached\n",
        Some(false) => "  attached\n",
        None => "  # detached  # or attached, within the house\n",
    });
    if answers.has_panel == Some(false) {
        text.push_str("  no panel\n");
    }
    text.push_str(
        "  # use workshop, beside one-family house, floor at grade\n  # hottest 95 F, coldest 15 F\n  \
         # indoors and dry unless said\n  # all circuits and receptacles and switches and lights and equipment listed\n\n\
         supply house\n  # service 200 A, 120/240 V, 1-phase\n\n",
    );
}

/// Words in quotes: no quote inside, nothing that breaks a line.
fn label(text: &str) -> String {
    let clean: String =
        text.chars().filter(|c| !matches!(c, '"' | '“' | '”' | '#') && !c.is_control()).take(60).collect();
    clean.trim().to_string()
}

fn stretch(answers: &Answers) -> String {
    match answers.feet {
        Some(feet) => format!("  stretch {feet} ft  # as `stretch {feet} ft: 1 in PVC-40, buried 20 in, under lawn`\n"),
        None => "  # stretch 60 ft: 1 in PVC-40, buried 20 in, under lawn\n".to_string(),
    }
}

fn with_panel(answers: &Answers, text: &mut String) {
    text.push_str(&format!(
        "feeder F1 from house to P1  # the wires from the house\n  breaker unknown  # as `breaker 60 A, 2-pole`\n  \
         wire unknown  # as `wire 3 x 6 AWG Cu THWN-2`\n  # equipment ground 10 AWG Cu THWN-2\n{}\n\
         panel P1\n  # indoors, bus 100 A, 12 spaces, main 60 A  # read them off the label\n  \
         # clear: 36 in deep, 30 in wide, 80 in high\n# electrode E1: 2 rods, 5/8 in x 8 ft, 6 ft apart\n\n",
        stretch(answers)
    ));
    text.push_str(
        "# A box holds what is screwed into it; a run leads from one to the next.\n\
         box B1: holds R1  # as `box B1: 4 in square, 2-1/8 in deep, holds R1`\nbox B2: holds S1\nbox B3: holds L1\n\
         run P1 to B1  # as `run P1 to B1: 1/2 in EMT, 12 ft, 2 bends`\nrun P1 to B2\nrun B2 to B3\n\n\
         circuit C1 \"bench\" from P1\n  breaker unknown  # as `breaker 20 A, 1-pole, space 3`\n  \
         wire unknown  # as `wire 12 AWG Cu THWN-2`\n  feeds R1\n\
         circuit C2 \"lights\" from P1\n  breaker unknown\n  wire unknown\n  feeds L1 through S1\n",
    );
    for (number, machine) in answers.machines.iter().enumerate() {
        let (circuit, tag) = (number.saturating_add(3), tag(number));
        let label = label(machine);
        text.push_str(&format!(
            "circuit C{circuit} \"{label}\" from P1\n  breaker unknown\n  wire unknown\n  feeds {tag}\n"
        ));
    }
}

fn one_circuit(answers: &Answers, text: &mut String) {
    let label = label(&answers.title).to_lowercase();
    let label = if label.is_empty() { "shop".to_string() } else { label };
    text.push_str(&format!(
        "circuit C1 \"{label}\" from house to shop\n  breaker unknown  # as `breaker 20 A, 1-pole, GFCI`\n  \
         wire unknown  # as `wire 12 AWG Cu THWN-2`\n  # equipment ground 12 AWG Cu THWN-2\n{}  feeds R1\n  \
         feeds L1 through S1\n",
        stretch(answers)
    ));
    for number in 0..answers.machines.len() {
        text.push_str(&format!("  feeds {}\n", tag(number)));
    }
    text.push_str(
        "\n# disconnect D1: snap switch  # what turns the building off, where the wires come in\n\n\
         # A box holds what is screwed into it; a run leads from one to the next.\n\
         box B1: holds R1  # as `box B1: 4 in square, 2-1/8 in deep, holds R1`\nbox B2: holds S1\nbox B3: holds L1\n\
         run B1 to B2  # as `run B1 to B2: 1/2 in EMT, 12 ft, 2 bends`\nrun B2 to B3\n",
    );
}

fn tag(number: usize) -> String {
    format!("M{}", number.saturating_add(1))
}

/// A machine's line: its kind where it is known, and what to read off its plate.
fn equipment(number: usize, machine: &str) -> String {
    let (tag, label) = (tag(number), label(machine));
    match MACHINES.iter().find(|(names, ..)| names.contains(&machine)) {
        Some((_, kind, plate)) => {
            format!(
                "equipment {tag} \"{label}\": {kind}  # off its plate, as `{plate}`, and `hard-wired` or `plugs into R2`\n"
            )
        }
        None => format!(
            "equipment {tag} \"{label}\"  # say what it is, as `motor, 230 V, 1 hp`, and `hard-wired` or `plugs into R2`\n"
        ),
    }
}
