//! The thread that looks at texts while somebody types.
//!
//! A text is looked at once nobody typed for a moment, always as it stands last. What takes long is
//! shown in two steps: what can't be read first, with what the rules said before; then what they say now.

use super::model::{Model, Of, PlanModel};
use super::{Event, pack, uri};
use crate::packs::{Held, real};
use crate::shelf::Shelf;
use gen_lsp_types::Uri;
use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender};
use std::time::{Duration, Instant};

/// So long nobody must have typed.
const PAUSE: Duration = Duration::from_millis(120);
/// Where asking the rules took longer, what can't be read is shown before.
const LONG: Duration = Duration::from_millis(250);

/// What the worker is told.
#[derive(Debug)]
pub enum Job {
    /// A text is open and stands so.
    Look { uri: Uri, version: i32, text: Arc<str>, is_rules: bool },
    /// It is open no longer.
    Forget(Uri),
    /// Files on the disk changed.
    Again,
}

/// An open text.
struct Text {
    version: i32,
    text: Arc<str>,
    is_rules: bool,
    is_due: bool,
    /// How long the rules took last time.
    took: Duration,
}

struct Worker {
    from: From,
    shelf: Shelf,
    /// Whether the rules on the shelf are what they were when it was filled.
    is_stale: bool,
    held: HashMap<Uri, Text>,
    events: Sender<Event>,
}

/// Where the rules come from.
#[derive(Clone, Debug, Default)]
pub struct From {
    /// A folder in place of the built-in ones.
    pub folder: Option<PathBuf>,
    /// Layers over them.
    pub layers: Vec<PathBuf>,
}

/// Works until nobody can tell it anything more.
pub fn work(from: From, shelf: Shelf, jobs: &Receiver<Job>, events: Sender<Event>) {
    let mut worker = Worker { from, shelf, is_stale: false, held: HashMap::new(), events };
    loop {
        let is_due = worker.held.values().any(|h| h.is_due);
        let job = match is_due {
            true => jobs.recv_timeout(PAUSE),
            false => jobs.recv().map_err(|_| RecvTimeoutError::Disconnected),
        };
        match job {
            Ok(job) => worker.note(job),
            Err(RecvTimeoutError::Timeout) => worker.look(),
            Err(RecvTimeoutError::Disconnected) => return,
        }
    }
}

impl Worker {
    fn note(&mut self, job: Job) {
        match job {
            Job::Look { uri, version, text, is_rules } => {
                let took = self.held.get(&uri).map_or(Duration::ZERO, |h| h.took);
                self.held.insert(uri, Text { version, text, is_rules, is_due: true, took });
                if is_rules {
                    self.rules_changed();
                }
            }
            Job::Forget(uri) => {
                if self.held.remove(&uri).is_some_and(|h| h.is_rules) {
                    self.rules_changed();
                }
            }
            Job::Again => self.rules_changed(),
        }
    }

    /// Every open text may come out otherwise now.
    fn rules_changed(&mut self) {
        self.is_stale = true;
        self.held.values_mut().for_each(|h| h.is_due = true);
    }

    /// Looks at what is due: rule files first, since plans hang on them.
    fn look(&mut self) {
        if std::mem::take(&mut self.is_stale)
            && let Ok(shelf) = Shelf::open_with(self.from.folder.as_deref(), &self.from.layers, self.open())
        {
            // Rules that can't be read stay as they were.
            self.shelf = shelf;
        }
        let mut due: Vec<Uri> = self.held.iter().filter(|(_, h)| h.is_due).map(|(uri, _)| uri.clone()).collect();
        due.sort_by_key(|uri| (self.held.get(uri).is_none_or(|h| !h.is_rules), uri.0.clone()));
        for uri in due {
            let Some(held) = self.held.get_mut(&uri) else { continue };
            held.is_due = false;
            match held.is_rules {
                true => self.rule_file(&uri),
                false => self.plan(&uri),
            }
        }
    }

    fn open(&self) -> Held {
        let rules = self.held.iter().filter(|(_, h)| h.is_rules);
        rules.filter_map(|(uri, h)| Some((real(&uri::path(uri)?), h.text.clone()))).collect()
    }

    fn rule_file(&self, uri: &Uri) {
        let Some(held) = self.held.get(uri) else { return };
        let path = uri::path(uri);
        let own = self.from.folder.as_deref();
        let model = pack::of_file(path.as_deref(), &uri::shown(uri), &held.text, own, &self.open());
        self.tell(uri, held, Of::Rules(Arc::new(model)), true);
    }

    fn plan(&mut self, uri: &Uri) {
        let Some(held) = self.held.get(uri) else { return };
        let name = uri::shown(uri);
        let rules = self.shelf.rules_for(&held.text, Path::new(&name));
        let mut model = PlanModel::read(rules.clone(), &name, &held.text);
        if held.took > LONG {
            // Two models of one text are cheaper than one that nobody may look at meanwhile.
            let quick = PlanModel::read(rules, &name, &held.text);
            self.tell(uri, held, Of::Plan(Arc::new(quick)), false);
        }
        let start = Instant::now();
        model.judge();
        self.tell(uri, held, Of::Plan(Arc::new(model)), true);
        if let Some(held) = self.held.get_mut(uri) {
            held.took = start.elapsed();
        }
    }

    /// Who no longer listens needs nothing more.
    fn tell(&self, uri: &Uri, held: &Text, of: Of, is_whole: bool) {
        let model = Model { text: held.text.clone(), version: held.version, of };
        let _ = self.events.send(Event::Looked { uri: uri.clone(), model, is_whole });
    }
}
