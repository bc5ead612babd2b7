//! `ringout rules words`.

use crate::cli::args::{ListFormat, RulesWords};
use crate::cli::{End, files, output};
use ringout::report::pack::{self, Words};
use ringout::text::nearest;
use ringout::words::Kind;

/// Prints the words that rules may use: all, those of a kind, or one.
pub fn run(args: &RulesWords) -> End {
    let Some((rules, are_read)) = files::rules(&args.source, &args.printing) else { return End::Wrong };
    let vocabulary = &rules.code.vocabulary;
    let which = match args.about.as_deref() {
        None => Words::All,
        Some(about) => match (Kind::named(about), vocabulary.name(about)) {
            (Some(kind), _) => Words::Of(kind),
            (None, Some(name)) => Words::Called(name),
            (None, None) => {
                let names = vocabulary.words().iter().map(|w| vocabulary.text(w.name));
                let hint = nearest(about, names.chain(Kind::ALL.iter().map(|k| k.name())));
                let hint = hint.map(|h| format!("; did you mean {h}?")).unwrap_or_default();
                return End::of(output::complain(&format!("{about} is no kind of item and no word{hint}")));
            }
        },
    };
    let text = match args.format {
        ListFormat::Text => Ok(pack::words_text(vocabulary, which, output::look(&args.printing))),
        ListFormat::Json => pack::words_json(vocabulary, which),
    };
    super::printed(text, &args.printing, are_read)
}
