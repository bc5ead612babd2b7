//! What may be typed behind `ringout rules`.

use super::{ListFormat, Printing, RuleSource};
use clap::{Args, Subcommand};
use std::path::PathBuf;

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
