//! The editor's service: problems and findings while somebody types, and answers about the words on the screen.
//!
//! Speaks the language server protocol on one input and one output. Three threads: one reads messages, one
//! looks at texts ([`worker`]), and [`serve`] answers from what was found out last ([`model`]), so that no answer
//! waits for a check. Nothing here judges or reads a language: it shows what the other rooms say, at its place.

#![expect(clippy::arithmetic_side_effects, reason = "positions in a text of limited size")]

mod complete;
mod define;
mod diagnose;
mod hover;
mod mend;
mod model;
mod pack;
mod place;
mod session;
mod shift;
mod tidy;
mod uri;
mod wire;
mod word;
mod worker;

pub use place::Encoding;
pub use worker::From;

use crate::packs::DiskError;
use crate::shelf::Shelf;
use gen_lsp_types::Uri;
use lsp_server::Message;
use model::Model;
use session::{Next, Session};
use std::io::{BufRead, Write};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;
use wire::Incoming;

/// What the service hears of.
#[derive(Debug)]
enum Event {
    /// The editor said something.
    Said(Message),
    /// The editor said something that nobody understands.
    Garbled,
    /// The editor will say nothing more.
    Silent,
    /// A text was looked at. Where it is not whole, the rules were not asked yet.
    Looked {
        /// Which.
        uri: Uri,
        /// What came of it.
        model: Model,
        /// Whether the rules were asked.
        is_whole: bool,
    },
}

/// Serves one editor until it says that it is done. Whether it ended as the protocol asks: `shutdown`, then `exit`.
///
/// `from` says which rules: an error is a folder or layer that can't be read. What is wrong with what the editor says is answered or passed over, and never ends the service; an input or output that
/// is gone does.
pub fn serve(input: impl BufRead + Send + 'static, output: &mut impl Write, from: From) -> Result<bool, DiskError> {
    let shelf = Shelf::open(from.folder.as_deref(), &from.layers)?;
    let rules = shelf.rules();
    let (events, heard) = channel();
    let (jobs, told) = channel();
    let looked = events.clone();
    thread::spawn(move || worker::work(from, shelf, &told, looked));
    thread::spawn(move || listen(input, &events));
    let mut session = Session::new(rules, jobs);
    Ok(answer(&mut session, &heard, output))
}

/// Hands on what comes in, to the end of the input.
fn listen(mut input: impl BufRead, events: &Sender<Event>) {
    loop {
        let event = match wire::read(&mut input) {
            Ok(Some(Incoming::Message(message))) => Event::Said(message),
            Ok(Some(Incoming::Garbled)) => Event::Garbled,
            Ok(None) | Err(_) => Event::Silent,
        };
        let is_last = matches!(event, Event::Silent);
        if events.send(event).is_err() || is_last {
            return;
        }
    }
}

fn answer(session: &mut Session, heard: &Receiver<Event>, output: &mut impl Write) -> bool {
    while let Ok(event) = heard.recv() {
        let (messages, next) = session.hear(event);
        for message in messages {
            if message.write(output).is_err() {
                return false;
            }
        }
        if let Next::End { is_well } = next {
            return is_well;
        }
    }
    false
}
