//! What a plan's lines are, before anybody asks what they mean: items, lines, phrases, tokens.

use crate::text::{Problem, Span};

/// A plan, read. Everything that could be read is here; what could not stands in `unread` too.
#[derive(Clone, Debug, Default)]
pub struct Plan {
    /// Items in the order of the file.
    pub items: Vec<Item>,
    /// Mistakes of the lines, with places and hints.
    pub problems: Vec<Problem>,
    /// Lines (or parts of lines) that could not be read. What they might have said is unread.
    pub unread: Vec<Unread>,
    /// Number of lines.
    pub line_count: u32,
}

/// A line, or part of one, that could not be read.
#[derive(Clone, Debug)]
pub struct Unread {
    /// The text that was given up.
    pub span: Span,
    /// The item that it belongs to: an index into [`Plan::items`]. None for an item line itself, and
    /// for the indented lines below one.
    pub item: Option<usize>,
    /// The words behind an item line's first: names that it may have given. Empty for other lines.
    pub names: Vec<String>,
}

/// A line at the left edge and the indented lines below it.
#[derive(Clone, Debug)]
pub struct Item {
    /// Its first word: `panel`, `every`, `seen`.
    pub keyword: Keyword,
    /// Where that word stands.
    pub keyword_span: Span,
    /// What stands between it and the colon or the line's end, label left out: names and joining words.
    /// Empty for `assume`: what stands behind it are phrases.
    pub head: Vec<Token>,
    /// The words in quotes.
    pub label: Option<Token>,
    /// Phrases behind the head's colon, then those of each indented line.
    pub lines: Vec<Line>,
    /// The head line without its comment.
    pub span: Span,
}

/// The phrases of one line.
#[derive(Clone, Debug)]
pub struct Line {
    /// In order.
    pub phrases: Vec<Phrase>,
    /// The line without indentation and comment; for the head line, what stands behind its colon.
    pub span: Span,
}

/// One phrase: tokens, and behind a colon the phrases that it owns.
///
/// `breaker 20 A` has tokens alone. `clear: 36 in deep, 30 in wide` has the token `clear` and owns
/// two phrases. `stretch 24 ft: …` likewise. `feeds`, `holds` and `by way of` own the rest of
/// their line without a colon: their commas stay as tokens.
#[derive(Clone, Debug)]
pub struct Phrase {
    /// In order; never empty.
    pub tokens: Vec<Token>,
    /// The phrases behind its colon; none where there is no colon.
    pub owned: Option<Vec<Phrase>>,
    /// From the first token to the last, owned phrases included.
    pub span: Span,
}

/// A word, number, text in quotes or comma.
#[derive(Clone, Debug, PartialEq)]
pub struct Token {
    /// What it is.
    pub kind: TokenKind,
    /// As written, quotes left out; an owner's spelling with one meaning is here as the trade's
    /// (`GFI` as `GFCI`), while `span` still points at what was typed.
    pub text: String,
    /// Where.
    pub span: Span,
}

/// What a [`Token`] is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TokenKind {
    /// Letters, perhaps with digits, hyphens and slashes in it: `EMT`, `R1`, `5-20R`, `PVC-40`, `2-pole`, `12/2`, `in-use`, `%`, `x`.
    Word,
    /// A number: `18`, `0.75`, `3/4`, `2-1/8`. Its unit is the next token.
    Number,
    /// A day: `2027-04-10`.
    Day,
    /// Text in quotes.
    Quoted,
    /// A comma inside `feeds`, `holds`, `by way of` and the head.
    Comma,
}

macro_rules! keywords {
    ($($keyword:ident $text:literal $doc:literal;)*) => {
        /// The word that an item begins with.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
        pub enum Keyword { $(#[doc = $doc] $keyword,)* }

        impl Keyword {
            /// Every keyword.
            pub const ALL: &'static [Keyword] = &[$(Keyword::$keyword),*];

            /// As written.
            pub const fn text(self) -> &'static str {
                match self { $(Keyword::$keyword => $text,)* }
            }

            /// The keyword of a word.
            pub fn of(text: &str) -> Option<Keyword> {
                match text { $($text => Some(Keyword::$keyword),)* _ => None }
            }
        }
    };
}

keywords! {
    Shop "shop" "The building.";
    Area "area" "A part of the building.";
    Work "work" "The work under one permit.";
    Supply "supply" "What a feeder starts at.";
    Feeder "feeder" "Conductors to a panel.";
    Panel "panel" "A panelboard.";
    Disconnect "disconnect" "A means that opens a supply or machine.";
    Electrode "electrode" "Grounding electrodes.";
    Box "box" "Boxes.";
    Run "run" "A raceway or cable.";
    Circuit "circuit" "A branch circuit.";
    Receptacle "receptacle" "Receptacles.";
    Switch "switch" "Switches.";
    Light "light" "Luminaires.";
    Device "device" "Other devices on a box.";
    Equipment "equipment" "Machines.";
    Door "door" "A door.";
    Pipe "pipe" "A pipe.";
    Cord "cord" "A flexible cord that is part of the shop.";
    Pulled "pulled" "Wires really pulled.";
    Tested "tested" "Test records.";
    Seen "seen" "What somebody looked at.";
    Measured "measured" "What somebody measured.";
    Inspected "inspected" "Visits of the inspector.";
    Every "every" "One phrase for many.";
    Answer "answer" "An answer to a rule's question.";
    Assume "assume" "A guess on purpose, for the shop.";
    Note "note" "Text for the packet.";
}

impl Token {
    /// Whether it is this word.
    pub fn is(&self, word: &str) -> bool {
        self.kind == TokenKind::Word && self.text == word
    }
}
