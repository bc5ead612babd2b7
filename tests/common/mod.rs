//! What several tests need: the built-in pack once, a plan checked, lines found again.

#![allow(dead_code, reason = "each test file uses its part")]

use ringout::law::{self, code::Code, code::Rule, verdict::Outcome, verdict::Verdict};
use ringout::shop::{ItemRef, Shop};
use ringout::text::{FileId, Sources, Span};
use ringout::{plan, shop, wiring};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

/// The built-in pack, compiled once for all tests of a file.
pub static PACK: LazyLock<(Sources, Code)> = LazyLock::new(|| {
    let mut sources = Sources::default();
    let pack = law::builtin(&mut sources);
    let (code, problems) = law::compile(&pack);
    let errors: Vec<_> = problems.iter().filter(|p| p.severity == ringout::text::Severity::Error).collect();
    assert!(errors.is_empty(), "the built-in pack has errors: {errors:#?}");
    (sources, code)
});

/// A plan with everything that was said of it.
pub struct Checked {
    pub code: &'static Code,
    pub sources: Sources,
    pub file: FileId,
    pub shop: Shop,
    pub verdicts: Vec<Verdict>,
    /// First and last line of each item block, by its first line.
    blocks: Vec<(u32, u32)>,
}

/// Reads, builds, completes and judges one plan.
pub fn check(path: &Path) -> Checked {
    let text = std::fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    check_text(&path.display().to_string(), &text)
}

/// The same for a text.
pub fn check_text(name: &str, text: &str) -> Checked {
    let (sources, code) = &*PACK;
    check_against(code, sources.clone(), name, text, &law::Options::default())
}

/// The same against any pack.
pub fn check_against(
    code: &'static Code,
    mut sources: Sources,
    name: &str,
    text: &str,
    options: &law::Options,
) -> Checked {
    let file = sources.add(name, text);
    let plan = plan::read(file, text);
    let mut shop = shop::build(&plan, &[], &[], code.vocabulary.clone());
    wiring::complete(&mut shop);
    let verdicts = law::judge(code, &shop, options);
    let mut blocks: Vec<(u32, u32)> = Vec::new();
    for (number, line) in lines_of(text) {
        if line.trim().is_empty() || line.trim_start().starts_with('#') {
            continue;
        }
        match blocks.last_mut() {
            Some(last) if line.starts_with([' ', '\t']) => last.1 = number,
            _ => blocks.push((number, number)),
        }
    }
    Checked { code, sources, file, shop, verdicts, blocks }
}

impl Checked {
    pub fn rule(&self, verdict: &Verdict) -> &'static Rule {
        &self.code.rules[verdict.rule.0 as usize]
    }

    fn line(&self, span: Span) -> Option<u32> {
        (span.file == self.file && span.end > 0).then(|| self.sources.place(span).line)
    }

    /// Whether a verdict points at this line, or is about an item that this line belongs to.
    pub fn touches(&self, verdict: &Verdict, line: u32) -> bool {
        let points = std::iter::once(verdict.place).chain(verdict.also.iter().copied()).filter_map(|s| self.line(s));
        if points.into_iter().any(|l| l == line) {
            return true;
        }
        let block = self.blocks.iter().find(|(a, b)| (*a..=*b).contains(&line)).copied();
        let Some((first, last)) = block else { return false };
        let mut item: Option<ItemRef> = Some(verdict.item);
        while let Some(i) = item {
            let head = self.shop.head(i);
            if self.line(head.place).is_some_and(|l| (first..=last).contains(&l)) {
                return true;
            }
            item = head.of;
        }
        false
    }

    /// Whether some rule of the topic passes, or says that it has nothing to say, at this line.
    pub fn passes(&self, rules: &BTreeSet<String>, line: u32) -> bool {
        self.verdicts.iter().any(|v| {
            let rule = self.rule(v);
            rules.iter().any(|id| rule.is_called(id)) && v.outcome == Outcome::Pass && self.touches(v, line)
        })
    }
}

/// Lines from 1.
pub fn lines_of(text: &str) -> impl Iterator<Item = (u32, &str)> {
    text.lines().enumerate().map(|(i, l)| (i as u32 + 1, l))
}

/// The plans in a folder, in order of their names.
pub fn shop_files(folder: &Path) -> Vec<PathBuf> {
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder)
        .unwrap_or_else(|e| panic!("{}: {e}", folder.display()))
        .filter_map(|entry| entry.ok().map(|e| e.path()))
        .filter(|p| p.extension().is_some_and(|e| e == "shop"))
        .collect();
    files.sort();
    assert!(!files.is_empty(), "no plan in {}", folder.display());
    files
}
