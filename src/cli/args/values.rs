//! Words that may be typed in one place only, such as a format or a stage.

use clap::ValueEnum;
use clap::builder::PossibleValue;
use ringout::law::code::Stage;
use ringout::report::packet;

/// A day of the calendar as plans write it.
pub fn date(text: &str) -> Result<String, String> {
    match ringout::quantity::day(text) {
        Some(_) => Ok(text.to_string()),
        None => Err("a day is written YEAR-MONTH-DAY, such as 2027-04-20".to_string()),
    }
}

/// The diagrams.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum Diagram {
    /// Supply, feeder, panel, electrodes, and each circuit with what it feeds
    OneLine,
    /// Boxes and the runs between them
    Map,
}

/// How reports are printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For people
    Text,
    /// For programs, one report a line
    Json,
    /// For code hosts and editors, version 2.1.0
    Sarif,
}

/// How lists are printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum ListFormat {
    /// For people
    Text,
    /// For programs
    Json,
}

/// When to use color.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum When {
    /// On a terminal, unless NO_COLOR is set
    Auto,
    /// Always
    Always,
    /// Never
    Never,
}

/// A stage as it is typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StageName(pub Stage);

impl ValueEnum for StageName {
    fn value_variants<'a>() -> &'a [StageName] {
        const ALL: [StageName; Stage::ALL.len()] = [
            StageName(Stage::Footing),
            StageName(Stage::Trench),
            StageName(Stage::RoughIn),
            StageName(Stage::Final),
            StageName(Stage::Permit),
        ];
        &ALL
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        Some(PossibleValue::new(self.0.name()))
    }
}

/// A sheet of the packet as it is typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SheetName(pub packet::Sheet);

impl ValueEnum for SheetName {
    fn value_variants<'a>() -> &'a [SheetName] {
        #[expect(
            clippy::indexing_slicing,
            reason = "worked out when the program is built, where a wrong index is an error"
        )]
        const ALL: [SheetName; packet::Sheet::ALL.len()] = {
            let mut all = [SheetName(packet::Sheet::Cover); packet::Sheet::ALL.len()];
            let mut i = 0;
            while i < all.len() {
                all[i] = SheetName(packet::Sheet::ALL[i]);
                i += 1;
            }
            all
        };
        &ALL
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        Some(PossibleValue::new(self.0.name()))
    }
}

/// A reader of the packet as it is typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ReaderName(pub packet::Reader);

impl ValueEnum for ReaderName {
    fn value_variants<'a>() -> &'a [ReaderName] {
        const ALL: [ReaderName; 3] = [
            ReaderName(packet::Reader::Office),
            ReaderName(packet::Reader::Inspector),
            ReaderName(packet::Reader::Bench),
        ];
        &ALL
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        Some(PossibleValue::new(self.0.name()).help(self.0.who()))
    }
}
