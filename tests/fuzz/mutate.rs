//! Real plans and packs, and what can go wrong with them between a head and a keyboard.

use super::chance::Chance;
use std::path::{Path, PathBuf};

/// Files of one language.
pub struct Corpus {
    pub files: Vec<(String, String)>,
    /// Every line of them, for splicing in.
    lines: Vec<String>,
    /// Which of the lines are each file's.
    ranges: Vec<std::ops::Range<usize>>,
    /// Every word of them.
    words: Vec<String>,
}

impl Corpus {
    /// The example plans, the annotated situations and the switching cases.
    pub fn plans() -> Corpus {
        Corpus::of(&["examples", "tests/cases/scenarios", "tests/cases/switching"], "shop")
    }

    /// The built-in pack, its tables, and a pack full of mistakes.
    pub fn packs() -> Corpus {
        Corpus::of(&["rules", "rules/tables", "tests/cases/rules"], "rule")
    }

    fn of(folders: &[&str], ending: &str) -> Corpus {
        let root = Path::new(env!("CARGO_MANIFEST_DIR"));
        let mut paths: Vec<PathBuf> = folders
            .iter()
            .flat_map(|folder| std::fs::read_dir(root.join(folder)).unwrap())
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.extension().is_some_and(|e| e == ending))
            .collect();
        paths.sort();
        assert!(paths.len() > 10, "only {} files to begin with", paths.len());
        let name = |path: &Path| path.strip_prefix(root).unwrap_or(path).display().to_string();
        let files: Vec<(String, String)> =
            paths.iter().map(|path| (name(path), std::fs::read_to_string(path).unwrap())).collect();
        let text = || files.iter().map(|(_, text)| text.as_str());
        let mut lines: Vec<String> = Vec::new();
        let ranges = text()
            .map(|text| {
                let start = lines.len();
                lines.extend(text.lines().map(str::to_string));
                start..lines.len()
            })
            .collect();
        let words = text().flat_map(str::split_whitespace).map(|w| w.trim_matches([',', ':', '"']).to_string());
        let words = words.filter(|w| !w.is_empty()).collect();
        Corpus { files, lines, ranges, words }
    }

    /// A stretch of at most so many lines out of some file, a few things in it changed.
    pub fn piece(&self, chance: &mut Chance, most: usize) -> String {
        let lines = &self.lines[chance.pick(&self.ranges).clone()];
        let count = 1 + chance.below(most);
        let mut start = chance.below(lines.len());
        // Mostly from where a block begins, else an indented stretch without its head teaches little.
        while start > 0 && !chance.one_in(8) && lines[start].starts_with(' ') {
            start -= 1;
        }
        self.changed(lines.iter().skip(start).take(count).cloned().collect(), chance)
    }

    /// A whole text with a few things in it changed.
    pub fn changed_text(&self, text: &str, chance: &mut Chance) -> String {
        self.changed(text.lines().map(str::to_string).collect(), chance)
    }

    fn line(&self, chance: &mut Chance) -> &str {
        chance.pick(&self.lines).as_str()
    }

    fn word(&self, chance: &mut Chance) -> &str {
        chance.pick(&self.words).as_str()
    }

    fn changed(&self, mut lines: Vec<String>, chance: &mut Chance) -> String {
        for _ in 0..chance.below(7) {
            let at = chance.below(lines.len());
            match chance.below(16) {
                0 if lines.len() > 1 => drop(lines.remove(at)),
                1 => lines.insert(at, lines[at].clone()),
                2 => {
                    let other = chance.below(lines.len());
                    lines.swap(at, other);
                }
                3 => lines.insert(at, chance.pick(&self.lines).clone()),
                4 => {
                    let from = lines.iter().skip(at).take(1 + chance.below(12)).cloned().collect::<Vec<_>>();
                    let to = chance.below(lines.len());
                    lines.splice(to..to, from);
                }
                5 => lines[at] = format!("{}{}", " ".repeat(chance.below(14)), lines[at].trim_start()),
                6 if at + 1 < lines.len() => {
                    let next = lines.remove(at + 1);
                    lines[at].push_str(next.trim_start());
                }
                7 => lines[at] = with_phrases(&lines[at], self.line(chance), chance),
                8 | 9 => lines[at] = with_number(&lines[at], chance),
                10 | 11 => lines[at] = with_word(&lines[at], self.word(chance), chance),
                12 => lines[at] = with_noise(&lines[at], chance),
                13 => {
                    let keep = chance.below(lines[at].chars().count() + 1);
                    lines[at] = lines[at].chars().take(keep).collect();
                }
                14 => {
                    let (a, b) = (chance.pick(&self.words).clone(), chance.pick(&self.words).clone());
                    lines.iter_mut().for_each(|line| *line = line.replace(&a, &b));
                }
                _ => lines[at] = with_letter_off(&lines[at], chance),
            }
            if lines.is_empty() {
                break;
            }
        }
        lines.join(if chance.one_in(50) { "\r\n" } else { "\n" }) + "\n"
    }
}

/// Numbers that break sums: none, less than none, what no machine number holds, and what is no number.
const NUMBERS: [&str; 22] = [
    "0",
    "-1",
    "1/0",
    "0/0",
    "1/3",
    "0.0000000001",
    "3-1/2",
    "9999",
    "65536",
    "4294967296",
    "9223372036854775807",
    "-9223372036854775808",
    "9223372036854775808",
    "170141183460469231731687303715884105727",
    "99999999999999999999/7",
    "1e9",
    "00012",
    ".5",
    "5.",
    "1.2.3",
    "½",
    "4/0",
];

fn with_number(line: &str, chance: &mut Chance) -> String {
    let starts: Vec<usize> = digits(line).collect();
    if starts.is_empty() {
        return format!("{line} {}", chance.pick(&NUMBERS));
    }
    let start = *chance.pick(&starts);
    let end = line[start..].find(|c: char| !c.is_ascii_digit()).map_or(line.len(), |n| start + n);
    format!("{}{}{}", &line[..start], chance.pick(&NUMBERS), &line[end..])
}

/// Where numbers begin.
fn digits(line: &str) -> impl Iterator<Item = usize> {
    let bytes = line.as_bytes();
    (0..bytes.len()).filter(|i| bytes[*i].is_ascii_digit() && (*i == 0 || !bytes[*i - 1].is_ascii_digit()))
}

/// One word of the line for another.
fn with_word(line: &str, word: &str, chance: &mut Chance) -> String {
    let mut parts: Vec<&str> = line.split(' ').collect();
    let at = chance.below(parts.len());
    if chance.one_in(3) {
        parts.insert(at, word);
    } else {
        parts[at] = word;
    }
    parts.join(" ")
}

/// Phrases of one line among those of another.
fn with_phrases(line: &str, other: &str, chance: &mut Chance) -> String {
    let mut phrases: Vec<&str> = line.split(", ").collect();
    let from: Vec<&str> = other.split(", ").map(str::trim).collect();
    let at = chance.below(phrases.len() + 1);
    phrases.insert(at, from[chance.below(from.len())]);
    phrases.join(", ")
}

const NOISE: [&str; 24] = [
    "\"", "#", ":", ",", "(", ")", "[", "\u{0}", "\t", "\u{FEFF}", "\u{202E}", "é", "½", "“", "\u{A0}", "漢字", "👷",
    "--", "..", "/", "\u{b}", "|", "=", "\r",
];

fn with_noise(line: &str, chance: &mut Chance) -> String {
    let mut chars: Vec<char> = line.chars().collect();
    let at = chance.below(chars.len() + 1);
    let times = if chance.one_in(40) { 1 + chance.below(400) } else { 1 };
    chars.splice(at..at, NOISE[chance.below(NOISE.len())].repeat(times).chars());
    chars.into_iter().collect()
}

fn with_letter_off(line: &str, chance: &mut Chance) -> String {
    let mut chars: Vec<char> = line.chars().collect();
    if !chars.is_empty() {
        let at = chance.below(chars.len());
        if chance.one_in(2) {
            chars.remove(at);
        } else {
            let other = chance.below(chars.len());
            chars.swap(at, other);
        }
    }
    chars.into_iter().collect()
}

/// Text without any sense, of pieces that both languages use.
pub fn noise(chance: &mut Chance, corpus: &Corpus) -> String {
    let mut text = String::new();
    for _ in 0..chance.below(60) {
        match chance.below(5) {
            0 => text.push_str(NOISE[chance.below(NOISE.len())]),
            1 => text.push_str(NUMBERS[chance.below(NUMBERS.len())]),
            2 => text.push_str(["\n", "\n  ", "\n    ", " ", "\n\n"][chance.below(5)]),
            3 => text.extend(char::from_u32(chance.below(0x11_0000) as u32)),
            _ => {
                text.push(' ');
                text.push_str(corpus.word(chance));
            }
        }
    }
    text
}
