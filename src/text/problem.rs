use super::Span;
use serde::{Deserialize, Serialize};

/// Something wrong with a file, at its place. Every stage collects these; only `report` shows them.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Problem {
    /// How grave it is.
    pub severity: Severity,
    /// What is wrong: begins lower case, no full stop, the user's text in backticks.
    pub message: String,
    /// What was expected, the nearest known word, or the question to settle; apart from the message.
    pub help: Option<String>,
    /// Where.
    pub span: Span,
    /// Other places that belong to it, each with a word on why.
    pub also: Vec<Label>,
    /// What to write in place of which words, where one known word is near. The help says it too.
    /// Boxed: few problems have one.
    pub instead: Option<Box<Label>>,
}

/// A further place of a [`Problem`], or words to be replaced.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Label {
    /// Where.
    pub span: Span,
    /// Why it is shown, or what to write there.
    pub text: String,
}

/// How grave a [`Problem`] is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Severity {
    /// A line could not be used: exit status 2.
    Error,
    /// Worth a look; nothing was lost.
    Warning,
}

impl Problem {
    /// An error: what stands at `span` could not be used.
    pub fn error(span: Span, message: impl Into<String>) -> Problem {
        Problem {
            severity: Severity::Error,
            message: message.into(),
            help: None,
            span,
            also: Vec::new(),
            instead: None,
        }
    }

    /// A warning: what stands at `span` was used, and deserves a look.
    pub fn warning(span: Span, message: impl Into<String>) -> Problem {
        Problem { severity: Severity::Warning, ..Problem::error(span, message) }
    }

    /// Adds what was expected, or a hint.
    pub fn help(mut self, help: impl Into<String>) -> Problem {
        self.help = Some(help.into());
        self
    }

    /// Adds the hint where there is one.
    pub fn maybe_help(self, help: Option<String>) -> Problem {
        match help {
            Some(help) => self.help(help),
            None => self,
        }
    }

    /// Adds a further place.
    pub fn also(mut self, span: Span, text: impl Into<String>) -> Problem {
        self.also.push(Label { span, text: text.into() });
        self
    }

    /// Adds what to write in place of the words at `span`.
    pub fn instead(mut self, span: Span, text: impl Into<String>) -> Problem {
        self.instead = Some(Box::new(Label { span, text: text.into() }));
        self
    }
}
