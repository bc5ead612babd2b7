//! `ringout new`.

use super::args::New;
use super::{End, output};
use ringout::plan;
use std::io::{self, BufRead, IsTerminal, Write};
use std::path::{Path, PathBuf};

/// What was answered; empty where nothing was.
#[derive(Debug, Default, PartialEq)]
struct Answers {
    title: String,
    feet: String,
    edition: String,
    welder: bool,
    compressor: bool,
    cooling: bool,
}

/// Writes a commented plan to start from. On a terminal it asks a few questions first.
pub fn run(args: &New) -> End {
    let path = named(&args.name);
    if path.exists() && !args.replace {
        return End::of(output::complain(&format!("{} is there already; `--replace` writes over it", path.display())));
    }
    let is_dialog = !args.yes && io::stdin().is_terminal() && io::stdout().is_terminal();
    let answers = match is_dialog {
        true => match ask(&mut io::stdin().lock(), &mut io::stdout().lock()) {
            Ok(answers) => answers,
            Err(error) => return End::of(output::complain(&format!("can't ask: {}", output::reason(&error)))),
        },
        false => Answers::default(),
    };
    let text = written(&answers);
    if !output::replace(&path, &text) {
        return End::Wrong;
    }
    output::say(&format!("{} is written. Change it, then: ringout check {}\n", path.display(), path.display()));
    End::Fine
}

fn named(name: &Path) -> PathBuf {
    match name.extension() {
        Some(_) => name.to_path_buf(),
        None => name.with_extension("shop"),
    }
}

/// A few plain questions; an empty answer leaves a blank in the plan.
fn ask(input: &mut impl BufRead, out: &mut impl Write) -> io::Result<Answers> {
    let mut question = |text: &str| -> io::Result<String> {
        write!(out, "{text} ")?;
        out.flush()?;
        let mut line = String::new();
        input.read_line(&mut line)?;
        Ok(line.trim().to_string())
    };
    let is_yes = |answer: String| answer.to_lowercase().starts_with('y');
    Ok(Answers {
        title: question("What do you call the building?")?,
        feet: question("How many feet of trench from the house to it?")?,
        edition: question(
            "Which edition of the code does your office go by (2014, 2017, 2020, 2023, 2026)? Enter if you don't know.",
        )?,
        welder: is_yes(question("Will there be a welder (y or n)?")?),
        compressor: is_yes(question("An air compressor (y or n)?")?),
        cooling: is_yes(question("An air conditioner (y or n)?")?),
    })
}

/// The plan, in its canonical form.
fn written(answers: &Answers) -> String {
    // A quote would end the name early.
    let title: String = answers.title.chars().filter(|c| *c != '"' && !c.is_control()).take(60).collect();
    let title = if title.is_empty() { "my shop".to_string() } else { title };
    let edition: String = answers.edition.chars().filter(char::is_ascii_digit).collect();
    let code = match ["2014", "2017", "2020", "2023", "2026"].contains(&edition.as_str()) {
        true => format!("  code NEC {edition}\n"),
        false => {
            "  # code NEC 2023  # ask the office which edition it goes by, and take the first # away\n".to_string()
        }
    };
    let feet: Option<u32> = answers.feet.split_whitespace().next().and_then(|f| f.parse().ok());
    let stretch = match feet {
        Some(feet) => format!("  stretch {feet} ft: 1 in PVC-40, buried, under lawn  # how much earth will lie over it: `buried 20 in`\n"),
        None => "  stretch: 1 in PVC-40, buried, under lawn  # say its length, `stretch 60 ft`, and the earth over it, `buried 20 in`\n".to_string(),
    };
    let mut text = format!(
        "# A plan to start from. Change what is not so, strike what you don't have, and leave away what you don't know:\n\
         # `ringout check` turns that into questions. Text behind # is for you.\n\n\
         shop \"{title}\"\n{code}  detached, beside one-family house, use workshop, floor at grade\n  indoors and dry unless said\n\n\
         supply house\n  120/240 V, 1-phase\n\n\
         feeder F1 from house to P1  # the wires from the house\n  breaker unknown, 2-pole  # as `breaker 60 A`\n\
         \x20 wire unknown  # as `wire 3 x 6 AWG Cu THWN-2`\n{stretch}\n\
         panel P1: indoors\n  # bus 100 A, 12 spaces, main 60 A  # read them off the label\nelectrode E1: 2 rods\n\n\
         # A box holds what is screwed into it; a run leads from one to the next.\n\
         box B1: 4 in square, 2-1/8 in deep, holds R1\nbox B2: 4 in square, 2-1/8 in deep, holds S1\nbox B3: 4 in octagon, holds L1\n\
         run P1 to B1: 1/2 in EMT\nrun P1 to B2: 1/2 in EMT\nrun B2 to B3: 1/2 in EMT\n\n\
         circuit C1 \"bench\"\n  breaker 20 A, 1-pole\n  wire 12 AWG Cu THWN-2\n  feeds R1\n\
         circuit C2 \"lights\"\n  breaker 15 A, 1-pole\n  wire 14 AWG Cu THWN-2\n  feeds L1 through S1\n"
    );
    let mut machines = String::new();
    let mut number = 3;
    let mut circuit = |label: &str, feeds: &str| {
        text.push_str(&format!("circuit C{number} \"{label}\"\n  breaker unknown, 2-pole\n  feeds {feeds}\n"));
        number += 1;
    };
    if answers.welder {
        circuit("welder", "W1");
        machines.push_str(
            "receptacle W1: 6-50R\nequipment WELDER: arc welder, 240 V, plugs into W1  # its plate says amperes and duty, as `34 A, 40 % duty`\n",
        );
    }
    if answers.compressor {
        circuit("air compressor", "AIR");
        machines.push_str(
            "equipment AIR \"air compressor\": motor, 240 V, hard-wired  # its plate says horsepower, as `3 hp`\n",
        );
    }
    if answers.cooling {
        circuit("air conditioner", "AC");
        machines.push_str(
            "equipment AC: air conditioner, 240 V, hard-wired, outdoors  # its plate: `minimum circuit 11 A, maximum breaker 15 A`\n",
        );
    }
    text.push_str("\nreceptacle R1: 5-20R, duplex, GFCI\nswitch S1: single-pole\nlight L1: LED, hard-wired\n");
    text.push_str(&machines);
    // The form that `tidy` gives; the plan as it stands where that can't be had.
    plan::tidy(&text).unwrap_or(text)
}

#[cfg(test)]
mod tests {
    use super::*;
    use ringout::{Rules, law, report::problems_of_plan};

    /// Whatever is answered, every line of the plan can be read, and there is something to ask.
    #[test]
    fn what_is_written_can_be_read() {
        let rules = Rules::builtin();
        let full = "Pole barn\n60\n2023\ny\nyes\ny\n";
        let odd = "a \"quoted\" name\nsixty feet\n1999\nn\nmaybe\n\n";
        for typed in [full, odd, ""] {
            let answers = ask(&mut typed.as_bytes(), &mut Vec::new()).unwrap_or_default();
            let text = written(&answers);
            let checked = ringout::check(&rules, "new.shop", &text, &law::Options::default());
            let problems = problems_of_plan(&checked);
            assert!(problems.is_empty(), "{typed:?}: {problems:?}\n{text}");
            assert_eq!(plan::tidy(&text).as_deref(), Ok(text.as_str()), "it is written tidy");
            let open = checked.verdicts.iter().filter(|v| v.outcome == law::verdict::Outcome::Unknown).count();
            assert!(open > 10, "{typed:?}: {open} open");
            assert_eq!(text.contains("WELDER"), typed == full);
        }
    }

    #[test]
    fn answers_are_taken_as_typed() {
        let mut shown = Vec::new();
        let answers = ask(&mut "Barn\n 45 \n2020\ny\nn\nn\n".as_bytes(), &mut shown).unwrap_or_default();
        let wanted = Answers {
            title: "Barn".into(),
            feet: "45".into(),
            edition: "2020".into(),
            welder: true,
            ..Answers::default()
        };
        assert_eq!(answers, wanted);
        assert!(String::from_utf8_lossy(&shown).contains("feet of trench"));
        let text = written(&answers);
        assert!(
            text.contains("stretch 45 ft") && text.contains("code NEC 2020") && text.contains("\"Barn\""),
            "{text}"
        );
    }
}
