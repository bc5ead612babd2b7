//! What may be typed. Help, shell hints and errors all come from these definitions.

use clap::builder::PossibleValuesParser;
use clap::{Args, Parser, Subcommand, ValueEnum};
use ringout::law::code::Stage;
use ringout::report::packet;
use ringout::report::schemas;
use std::path::PathBuf;

/// How the program ends, said once for `--help`.
const EXIT_STATUS: &str = "\
Exit status:
  0  nothing needs attention
  1  something does (with --strict, an unknown counts too)
  2  the command line is wrong, a file can't be read, or a plan or rule file
     holds lines that could not be read; what could be read is still reported";

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
        after_help = "Example:\n  ringout packet my.shop --output my-packet.html\n  ringout packet my.shop --sheet cover,checks,plan --date 2027-04-20 > visit.html"
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

/// The diagrams.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum Diagram {
    /// Supply, feeder, panel, electrodes, and each circuit with what it feeds
    OneLine,
    /// Boxes and the runs between them
    Map,
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
    /// The day that stands on the cover, such as 2027-04-20; left out, the cover has room for it
    #[arg(long, value_name = "DATE", value_parser = date)]
    pub date: Option<String>,
    /// Write over a file that is there already
    #[arg(long)]
    pub replace: bool,
    #[command(flatten)]
    pub printing: Printing,
}

/// A day of the calendar as plans write it.
fn date(text: &str) -> Result<String, String> {
    match ringout::quantity::day(text) {
        Some(_) => Ok(text.to_string()),
        None => Err("a day is written YEAR-MONTH-DAY, such as 2027-04-20".to_string()),
    }
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

/// What to do with rules.
#[derive(Debug, Subcommand)]
pub enum RulesCommand {
    /// Every rule with its stage, level and title
    #[command(after_help = "Example:\n  ringout rules list --format json")]
    List(RulesList),
    /// A rule as its file has it
    #[command(
        after_help = "Example:\n  ringout rules show gfci-shop\n  ringout rules show gfci-shop --for my.shop\n  ringout rules show gfci-shop --for-edit"
    )]
    Show(RulesShow),
    /// Every word that rules may use: type, origin, meaning, and how a plan says it
    #[command(after_help = "Example:\n  ringout rules words receptacle\n  ringout rules words has-gfci")]
    Words(RulesWords),
    /// Compile the rules and run every example in them
    #[command(after_help = format!("Example:\n  ringout rules check --rules my-rules\n\n{EXIT_STATUS_OF_RULES}"))]
    Check(RulesCheck),
    /// Hold one plan against one rule and show how it went
    #[command(after_help = "Example:\n  ringout rules try gfci-shop my.shop")]
    Try(RulesTry),
    /// Write the built-in rules to a folder, to be read and edited
    #[command(after_help = "Example:\n  ringout rules export my-rules")]
    Export(RulesExport),
}

const EXIT_STATUS_OF_RULES: &str = "\
Exit status:
  0  every rule could be read and every example came out as it says
  2  something could not be read, or an example came out otherwise";

/// Arguments of `rules list`.
#[derive(Debug, Args)]
pub struct RulesList {
    #[command(flatten)]
    pub source: RuleSource,
    /// How to print
    #[arg(long, value_enum, default_value_t = ListFormat::Text)]
    pub format: ListFormat,
    #[command(flatten)]
    pub printing: Printing,
}

/// Arguments of `rules show`.
#[derive(Debug, Args)]
pub struct RulesShow {
    /// The rule's name, or another name that it answers to; a table, formula or term shows too
    #[arg(value_name = "RULE")]
    pub rule: String,
    /// The rule as it is in force for this plan, with the layer that each part comes from
    #[arg(long = "for", value_name = "PLAN")]
    pub plan: Option<PathBuf>,
    /// Each part as a line that a layer begins an edit with, its guard included
    #[arg(long, conflicts_with = "plan")]
    pub for_edit: bool,
    #[command(flatten)]
    pub source: RuleSource,
    #[command(flatten)]
    pub printing: Printing,
}

/// Arguments of `rules words`.
#[derive(Debug, Args)]
pub struct RulesWords {
    /// A kind of item, or a word; everything if left out
    #[arg(value_name = "KIND or WORD")]
    pub about: Option<String>,
    #[command(flatten)]
    pub source: RuleSource,
    /// How to print
    #[arg(long, value_enum, default_value_t = ListFormat::Text)]
    pub format: ListFormat,
    #[command(flatten)]
    pub printing: Printing,
}

/// Arguments of `rules check`.
#[derive(Debug, Args)]
pub struct RulesCheck {
    #[command(flatten)]
    pub source: RuleSource,
    /// Spoil every limit, comparison, condition and exception in turn, and list what no example notices
    #[arg(long)]
    pub strict: bool,
    #[command(flatten)]
    pub printing: Printing,
}

/// Arguments of `rules try`.
#[derive(Debug, Args)]
pub struct RulesTry {
    /// The rule's name, or another name that it answers to
    #[arg(value_name = "RULE")]
    pub rule: String,
    /// The plan; `-` reads standard input
    #[arg(value_name = "PLAN")]
    pub plan: PathBuf,
    #[command(flatten)]
    pub source: RuleSource,
    #[command(flatten)]
    pub printing: Printing,
}

/// Arguments of `rules export`.
#[derive(Debug, Args)]
pub struct RulesExport {
    /// The folder; it is made where it isn't there, and no file in it is replaced
    #[arg(value_name = "DIR")]
    pub folder: PathBuf,
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

    fn to_possible_value(&self) -> Option<clap::builder::PossibleValue> {
        Some(clap::builder::PossibleValue::new(self.0.name()))
    }
}

/// A sheet of the packet as it is typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SheetName(pub packet::Sheet);

impl ValueEnum for SheetName {
    fn value_variants<'a>() -> &'a [SheetName] {
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

    fn to_possible_value(&self) -> Option<clap::builder::PossibleValue> {
        Some(clap::builder::PossibleValue::new(self.0.name()))
    }
}
