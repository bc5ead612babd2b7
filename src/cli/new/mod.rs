//! `ringout new`.

mod template;

use super::args::New;
use super::{End, output};
use ringout::Rules;
use std::io::{self, BufRead, IsTerminal, Write};
use std::path::{Path, PathBuf};

/// What was answered; empty or none where nothing was.
#[derive(Debug, Default, PartialEq)]
struct Answers {
    title: String,
    is_apart: Option<bool>,
    has_panel: Option<bool>,
    feet: Option<u32>,
    edition: String,
    state: String,
    machines: Vec<String>,
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
    if !output::replace(&path, &template::plan(&answers, &Rules::builtin().code.editions)) {
        return End::Wrong;
    }
    End::of(output::say(&format!("{} is written. Change it, then: ringout check {}\n", path.display(), path.display())))
}

fn named(name: &Path) -> PathBuf {
    match name.extension() {
        Some(_) => name.to_path_buf(),
        None => name.with_extension("shop"),
    }
}

/// How often a question is asked whose answer can't be used.
const TRIES: usize = 3;

/// A few plain questions; an empty answer leaves a blank in the plan.
fn ask(input: &mut impl BufRead, out: &mut impl Write) -> io::Result<Answers> {
    writeln!(out, "Press Enter where you don't know: the plan then has a blank, and `ringout check` asks.")?;
    let yes_or_no = "That is neither yes nor no: type y or n, or press Enter.";
    let number = "That is no number of feet: type one such as 60, or press Enter.";
    Ok(Answers {
        title: question(input, out, "What do you call the building?")?,
        is_apart: usable(input, out, "Does it stand apart from the house (y or n)?", yes_or_no, yes_no)?,
        has_panel: usable(
            input,
            out,
            "Will it have a panel of its own (y), or one circuit straight from the house (n)?",
            yes_or_no,
            yes_no,
        )?,
        feet: usable(input, out, "How many feet do the wires go from the house to it?", number, feet)?,
        edition: question(input, out, "Which edition of the code does your office go by, such as 2023?")?,
        state: question(input, out, "In which state is it?")?,
        machines: list(&question(
            input,
            out,
            "Which machines, with commas, such as: welder, air compressor, table saw?",
        )?),
    })
}

fn question(input: &mut impl BufRead, out: &mut impl Write, text: &str) -> io::Result<String> {
    write!(out, "{text} ")?;
    out.flush()?;
    let mut line = String::new();
    input.read_line(&mut line)?;
    Ok(line.trim().to_string())
}

/// An answer that can be used, asked for again with a hint; none where nothing or nothing of use is typed.
fn usable<T>(
    input: &mut impl BufRead,
    out: &mut impl Write,
    text: &str,
    hint: &str,
    read: fn(&str) -> Option<T>,
) -> io::Result<Option<T>> {
    for _ in 0..TRIES {
        let answer = question(input, out, text)?;
        if answer.is_empty() {
            return Ok(None);
        }
        match read(&answer) {
            Some(value) => return Ok(Some(value)),
            None => writeln!(out, "{hint}")?,
        }
    }
    Ok(None)
}

/// Yes or no; anything else is no answer, and nothing is guessed from it.
fn yes_no(answer: &str) -> Option<bool> {
    match answer.to_lowercase().as_str() {
        "y" | "yes" => Some(true),
        "n" | "no" => Some(false),
        _ => None,
    }
}

/// `60`, `60 ft`, `60 feet`; none for anything else.
fn feet(answer: &str) -> Option<u32> {
    let digits = answer.trim_end_matches(|c: char| c.is_alphabetic() || c == '.' || c == '\'').trim_end();
    digits.parse().ok().filter(|feet| (1..=5_000).contains(feet))
}

fn list(answer: &str) -> Vec<String> {
    answer.split(',').map(|m| m.trim().to_lowercase()).filter(|m| !m.is_empty()).take(30).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use ringout::{law, plan, report::problems_of_plan};

    fn answered(typed: &str) -> Answers {
        ask(&mut typed.as_bytes(), &mut Vec::new()).unwrap_or_default()
    }

    const FULL: &str = "Pole barn\ny\ny\n60 ft\n2023\nNorth Carolina\n\
        welder, air compressor, mini-split, table saw, planer, lathe, mill, grinder, dust collector, heater, kiln, \
        car charger, door opener, plasma cutter, band saw\n";
    const SMALL: &str = "Shed\nyes\nno\n25\n\nOhio\nheater\n";
    const ODD: &str = "a \"quoted\" #name\nperhaps\n\n?\n?\n?\nsixty feet\n\n1999\n12 #\n\"x\", #, a: b,,welder\n";

    /// Whatever is answered, every line of the plan can be read, it is in its canonical form, and there is
    /// something to ask. No fact that nobody gave is in it, so nothing of it can pass for the owner's word.
    #[test]
    fn what_is_written_can_be_read() {
        let rules = Rules::builtin();
        for typed in [FULL, SMALL, ODD, ""] {
            let text = template::plan(&answered(typed), &rules.code.editions);
            let checked = ringout::check(&rules, "new.shop", &text, &law::Options::default());
            let problems = problems_of_plan(&checked);
            assert!(problems.is_empty(), "{typed:?}: {problems:?}\n{text}");
            assert_eq!(plan::tidy(&text).as_deref(), Ok(text.as_str()), "it is written tidy");
            let open = checked.verdicts.iter().filter(|v| v.outcome == law::verdict::Outcome::Unknown).count();
            assert!(open > 10, "{typed:?}: {open} open");
            let said: Vec<&str> = text.lines().map(|l| l.split('#').next().unwrap_or("")).collect();
            for invented in [" GFCI", " A,", "AWG", "bus"] {
                assert!(said.iter().all(|l| !l.contains(invented)), "{invented}:\n{text}");
            }
        }
    }

    #[test]
    fn answers_are_taken_as_typed() {
        let mut shown = Vec::new();
        let answers = ask(&mut FULL.as_bytes(), &mut shown).unwrap_or_default();
        assert_eq!(answers.machines.len(), 15);
        assert_eq!((answers.feet, answers.is_apart, answers.has_panel), (Some(60), Some(true), Some(true)));
        assert!(String::from_utf8_lossy(&shown).contains("How many feet"));
        let editions = Rules::builtin().code.editions;
        let text = template::plan(&answers, &editions);
        let wanted = [
            "shop \"Pole barn\"",
            "code NEC 2023",
            "state North Carolina",
            "detached",
            "stretch 60 ft",
            "panel P1",
            "arc welder",
            "table saw",
            "vehicle charger",
            "\"band saw\"",
        ];
        for phrase in wanted {
            assert!(text.contains(phrase), "{phrase}:\n{text}");
        }
        let small = template::plan(&answered(SMALL), &editions);
        for phrase in
            ["no panel", "circuit C1 \"shed\" from house to shop", "stretch 25 ft", "state Ohio", "# code NEC YEAR"]
        {
            assert!(small.contains(phrase), "{phrase}:\n{small}");
        }
        assert!(!small.contains("P1") && !small.contains("feeder"), "{small}");
        let odd = answered(ODD);
        assert_eq!((odd.is_apart, odd.has_panel, odd.feet), (None, None, None), "nothing is guessed");
        let second = answered("Barn\nmaybe\ny\n");
        assert_eq!(second.is_apart, Some(true), "what can't be used is asked again");
        assert_eq!(answered(""), Answers::default(), "an input that ends answers nothing");
    }
}
