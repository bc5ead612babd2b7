//! What may be typed. Help, shell hints and errors all come from these definitions.

mod rules;
mod values;

use clap::builder::PossibleValuesParser;
use clap::{Args, Parser, Subcommand};
use ringout::report::schemas;
use std::path::PathBuf;
use values::date;

pub use rules::{RulesCheck, RulesCommand, RulesExport, RulesList, RulesShow, RulesTry, RulesWords};
pub use values::{Diagram, Format, ListFormat, ReaderName, SheetName, StageName, When};

/// How the program ends, said once for `--help`.
const EXIT_STATUS: &str = "\
Exit status:
  0  nothing needs attention
  1  something does (with --strict, an unknown counts too)
  2  the command line is wrong, a file can't be read or written, or a plan or
     rule file holds lines that could not be read; what could be is reported";

/// What an editor is told, and a session without one.
const EDITOR_HELP: &str = "\
An editor starts this itself for .shop and .rule files and speaks with it over
standard input and output.

Example:
  ringout editor --help

Exit status:
  0  the editor said that it is done
  1  it went away without a word
  2  the rules can't be read";

/// Reads a workshop wiring plan and says, rule by rule, what an inspector would ask about.
///
/// A plan is plain text: what feeds the shop, what is in the panel, what each circuit feeds. The
/// rules are text too, and yours to edit. The inspector and the locally adopted code decide.
#[derive(Debug, Parser)]
#[command(name = "ringout", version, max_term_width = 100, after_help = EXIT_STATUS, arg_required_else_help = true)]
pub struct Ringout {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Hold plans against the rules: attention, unknown, pass, each at its line
    #[command(after_help = format!("Example:\n  ringout check my.shop\n  ringout check --stage trench --strict my.shop\n  ringout check --watch my.shop\n\n{EXIT_STATUS}"))]
    Check(Check),
    /// The open questions, the one that settles most rules first
    #[command(after_help = "Example:\n  ringout ask my.shop")]
    Ask(Ask),
    /// How a verdict came about, step by step
    #[command(after_help = "Example:\n  ringout why my.shop gfci-shop R1")]
    Why(Why),
    /// The calculation sheet: every figure with its steps and sources
    #[command(after_help = "Example:\n  ringout figures my.shop\n  ringout figures my.shop F1 --all")]
    Figures(Figures),
    /// What to pull through each run, and what to join in each box
    #[command(
        after_help = "Example:\n  ringout wires my.shop\n  ringout wires my.shop B9\n  ringout wires my.shop \"P1 to B1\""
    )]
    Wires(Wires),
    /// The panel directory, to print and stick on the door
    #[command(after_help = "Example:\n  ringout directory my.shop")]
    Directory(Sheet),
    /// The packet to print for the permit office and the inspector: one HTML file
    #[command(
        after_help = "Example:\n  ringout packet my.shop --output my-packet.html\n  ringout packet my.shop --for inspector --stage trench > trench.html\n  ringout packet my.shop --sheet cover,checks,plan --date 2027-04-20 > visit.html"
    )]
    Packet(Packet),
    /// Diagrams as SVG: the one-line diagram, the map of boxes and runs, the joints of a box
    #[command(
        after_help = "Example:\n  ringout drawing my.shop --output one-line.svg\n  ringout drawing my.shop --diagram map --page 2 --output map-2.svg\n  ringout drawing my.shop B9 > b9.svg"
    )]
    Drawing(Drawing),
    /// Two ways of doing it side by side: verdicts, figures, materials and questions that differ
    #[command(after_help = "Example:\n  ringout compare my.shop other.shop")]
    Compare(Compare),
    /// Plans in their one canonical form; comments and meaning stay
    #[command(after_help = "Example:\n  ringout tidy my.shop\n  ringout tidy --check my.shop")]
    Tidy(Tidy),
    /// A commented plan to start from
    #[command(after_help = "Example:\n  ringout new my.shop\n  ringout new --yes my.shop")]
    New(New),
    /// The materials list: wire, raceway, fittings, boxes, devices, breakers
    #[command(after_help = "Example:\n  ringout takeoff my.shop")]
    Takeoff(Sheet),
    /// The rules in force, their words and their own tests
    #[command(subcommand, arg_required_else_help = true, after_help = "Example:\n  ringout rules show gfci-shop")]
    Rules(RulesCommand),
    /// Problems, findings, hints and completion inside an editor, by the language server protocol
    #[command(after_help = EDITOR_HELP)]
    Editor(Editor),
    /// The JSON schema of what a command prints with `--format json`
    #[command(after_help = "Example:\n  ringout schema\n  ringout schema report")]
    Schema(Schema),
    /// Completions for a shell, to be kept where it looks for them
    #[command(after_help = "Example:\n  ringout completions bash > ~/.local/share/bash-completion/completions/ringout")]
    Completions(Completions),
    /// The manual page, in the form that `man` reads
    #[command(after_help = "Example:\n  ringout manual > ringout.1")]
    Manual,
}

/// Arguments of `check`.
#[derive(Debug, Args)]
pub struct Check {
    /// Plans to check; `-` reads standard input
    #[arg(required = true, value_name = "PLAN")]
    pub plans: Vec<PathBuf>,
    #[command(flatten)]
    pub judging: Judging,
    /// An unknown ends with status 1 too
    #[arg(long)]
    pub strict: bool,
    /// List what passes as well, and every question
    #[arg(long)]
    pub all: bool,
    /// Check again whenever a plan or rule file changes, until Ctrl-C; one line says what changed
    #[arg(long, conflicts_with_all = ["format", "output"])]
    pub watch: bool,
    /// How to print: text for people, json (one report a line) and sarif for programs
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,
    #[command(flatten)]
    pub printing: Printing,
}

/// Arguments of `ask`.
#[derive(Debug, Args)]
pub struct Ask {
    /// The plan; `-` reads standard input
    #[arg(value_name = "PLAN")]
    pub plan: PathBuf,
    #[command(flatten)]
    pub judging: Judging,
    #[command(flatten)]
    pub printing: Printing,
}

/// Arguments of `why`.
#[derive(Debug, Args)]
pub struct Why {
    /// The plan; `-` reads standard input
    #[arg(value_name = "PLAN")]
    pub plan: PathBuf,
    /// The rule's name, or another name that it answers to
    #[arg(value_name = "RULE")]
    pub rule: String,
    /// The item, such as `R1`; every item that the rule met if left out
    #[arg(value_name = "ITEM")]
    pub item: Option<String>,
    #[command(flatten)]
    pub source: RuleSource,
    /// Every step, down to how each figure was reckoned
    #[arg(long)]
    pub all: bool,
    #[command(flatten)]
    pub printing: Printing,
}

/// Arguments of `figures`.
#[derive(Debug, Args)]
pub struct Figures {
    #[command(flatten)]
    pub sheet: Sheet,
    /// One item and its parts, such as `F1`; every item if left out
    #[arg(value_name = "ITEM")]
    pub item: Option<String>,
    /// Every step, down to the rows of tables and the lines of the plan
    #[arg(long)]
    pub all: bool,
}

/// Arguments of `wires`.
#[derive(Debug, Args)]
pub struct Wires {
    #[command(flatten)]
    pub sheet: Sheet,
    /// One box or run, such as `B9` or `"P1 to B1"`; everything if left out
    #[arg(value_name = "BOX or RUN")]
    pub place: Option<String>,
}

/// Arguments of `drawing`.
#[derive(Debug, Args)]
pub struct Drawing {
    /// The plan; `-` reads standard input
    #[arg(value_name = "PLAN")]
    pub plan: PathBuf,
    /// A box, panel or machine, such as `B9`: the chart of what is joined in it
    #[arg(value_name = "BOX", conflicts_with = "diagram")]
    pub place: Option<String>,
    /// Which diagram
    #[arg(long, value_enum, default_value_t = Diagram::OneLine)]
    pub diagram: Diagram,
    /// Which of its pages, where one would be too full; all below each other if left out
    #[arg(long, value_name = "NUMBER")]
    pub page: Option<std::num::NonZeroUsize>,
    #[command(flatten)]
    pub source: RuleSource,
    #[command(flatten)]
    pub printing: Printing,
}

/// Arguments of commands that print one sheet of one plan.
#[derive(Debug, Args)]
pub struct Sheet {
    /// The plan; `-` reads standard input
    #[arg(value_name = "PLAN")]
    pub plan: PathBuf,
    #[command(flatten)]
    pub source: RuleSource,
    /// How to print
    #[arg(long, value_enum, default_value_t = ListFormat::Text)]
    pub format: ListFormat,
    #[command(flatten)]
    pub printing: Printing,
}

/// Arguments of `packet`.
#[derive(Debug, Args)]
pub struct Packet {
    /// The plan; `-` reads standard input
    #[arg(value_name = "PLAN")]
    pub plan: PathBuf,
    #[command(flatten)]
    pub judging: Judging,
    /// Only these sheets; several with commas [default: all]
    #[arg(long, value_enum, value_delimiter = ',', value_name = "SHEET")]
    pub sheet: Vec<SheetName>,
    /// Only the sheets that this reader works with
    #[arg(long = "for", value_enum, value_name = "READER", conflicts_with = "sheet")]
    pub reader: Option<ReaderName>,
    /// The day that stands on the cover, such as 2027-04-20; left out, the cover has room for it
    #[arg(long, value_name = "DATE", value_parser = date)]
    pub date: Option<String>,
    /// Write over a file that is there already
    #[arg(long)]
    pub replace: bool,
    #[command(flatten)]
    pub printing: Printing,
}

/// Arguments of `compare`.
#[derive(Debug, Args)]
pub struct Compare {
    /// The first plan; `-` reads standard input
    #[arg(value_name = "PLAN")]
    pub first: PathBuf,
    /// The second plan
    #[arg(value_name = "OTHER")]
    pub second: PathBuf,
    #[command(flatten)]
    pub source: RuleSource,
    /// How to print
    #[arg(long, value_enum, default_value_t = ListFormat::Text)]
    pub format: ListFormat,
    #[command(flatten)]
    pub printing: Printing,
}

/// Arguments of `tidy`.
#[derive(Debug, Args)]
pub struct Tidy {
    /// Plans to put in order where they are; `-` reads standard input and prints
    #[arg(required = true, value_name = "PLAN")]
    pub plans: Vec<PathBuf>,
    /// Change nothing; only say which are not tidy, and end with status 1
    #[arg(long)]
    pub check: bool,
    /// When to use color
    #[arg(long, value_enum, default_value_t = When::Auto, value_name = "WHEN")]
    pub color: When,
}

/// Arguments of `new`.
#[derive(Debug, Args)]
pub struct New {
    /// The file to write; `.shop` is added where it has no ending
    #[arg(value_name = "NAME")]
    pub name: PathBuf,
    /// Ask nothing: write the plan with blanks to fill in
    #[arg(long, short)]
    pub yes: bool,
    /// Replace a file that is there already
    #[arg(long)]
    pub replace: bool,
}

/// Arguments of `editor`.
#[derive(Debug, Args)]
pub struct Editor {
    #[command(flatten)]
    pub source: RuleSource,
}

/// Arguments of `schema`.
#[derive(Debug, Args)]
pub struct Schema {
    /// The document; their names with the commands that print them if left out
    #[arg(value_name = "DOCUMENT", value_parser = PossibleValuesParser::new(schemas::ALL.map(|s| s.name)))]
    pub document: Option<String>,
}

/// Arguments of `completions`.
#[derive(Debug, Args)]
pub struct Completions {
    /// The shell
    #[arg(value_enum, value_name = "SHELL")]
    pub shell: clap_complete::Shell,
}

/// Which rules there are.
#[derive(Clone, Debug, Args)]
pub struct RuleSource {
    /// Rules in this folder (every .rule file in it) in place of the built-in ones
    #[arg(long, value_name = "DIR")]
    pub rules: Option<PathBuf>,
    /// Local amendments in this file, over the rules; several are applied from state to city to utility
    #[arg(long, value_name = "FILE")]
    pub layer: Vec<PathBuf>,
}

/// Which rules a plan is held against.
#[derive(Debug, Args)]
pub struct Judging {
    #[command(flatten)]
    pub source: RuleSource,
    /// Only rules whose work is looked at in this stage; several with commas [default: all]
    #[arg(long, value_enum, value_delimiter = ',', value_name = "STAGE")]
    pub stage: Vec<StageName>,
}

/// Where and how text goes.
#[derive(Debug, Args)]
pub struct Printing {
    /// Write to this file, whole or not at all, in place of standard output
    #[arg(long, short, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// When to use color; nothing is said by color alone
    #[arg(long, value_enum, default_value_t = When::Auto, value_name = "WHEN")]
    pub color: When,
    /// Print no report; the exit status says it
    #[arg(long, short)]
    pub quiet: bool,
}
