//! Names: those that a plan has, and the next one of a kind.

use super::Ask;
use super::offer::Offer;
use crate::plan::syntax::Keyword;
use crate::shop::kind_of;
use crate::words::{Kind, Kinds};
use gen_lsp_types::CompletionItemKind;

/// Every kind.
pub const EVERY: Kinds = Kinds(u32::MAX);

#[expect(clippy::indexing_slicing, reason = "worked out when the program is built, where a wrong index is an error")]
const fn kinds<const N: usize>(all: [Kind; N]) -> Kinds {
    let (mut set, mut i) = (Kinds(0), 0);
    while i < N {
        set = set.and(Kinds::of(all[i]));
        i += 1;
    }
    set
}

/// What a circuit feeds.
const LOADS: Kinds =
    kinds([Kind::Receptacle, Kind::Light, Kind::Equipment, Kind::Device, Kind::Box, Kind::Panel, Kind::Area]);
/// What it feeds them through.
const CONTROLS: Kinds = kinds([Kind::Switch, Kind::Disconnect, Kind::Device]);
/// What a box holds.
const HELD: Kinds = kinds([Kind::Receptacle, Kind::Switch, Kind::Light, Kind::Device]);
/// What a way leads by.
const STATIONS: Kinds = kinds([Kind::Box, Kind::Panel, Kind::Disconnect]);
/// Where feeders, circuits and runs end.
const ENDS: Kinds = kinds([
    Kind::Supply,
    Kind::Panel,
    Kind::Disconnect,
    Kind::Box,
    Kind::Receptacle,
    Kind::Switch,
    Kind::Light,
    Kind::Device,
    Kind::Equipment,
    Kind::Shop,
    Kind::Area,
]);

/// The kinds that names behind these words are of.
pub fn behind(words: &[&str]) -> Kinds {
    match words {
        ["plugs", "into"] => Kinds::of(Kind::Receptacle),
        ["gap", "at"] => STATIONS,
        _ => EVERY,
    }
}

/// Names of items of these kinds.
pub fn of(ask: &Ask<'_>, kinds: Kinds) -> Vec<Offer> {
    let Some(shop) = ask.shop else { return Vec::new() };
    let tags = shop.tags().filter_map(|tag| Some((tag, shop.named(tag)?)));
    let mut all: Vec<Offer> = tags
        // What the plan gave no tag of its own has one for rule files alone: `F1-1`.
        .filter(|(tag, item)| kinds.has(item.kind) && shop.head(*item).name == *tag)
        .map(|(tag, item)| {
            let label = shop.head(item).label.as_ref().map(|l| format!(" “{l}”")).unwrap_or_default();
            Offer::word(tag, format!("{}{label}", shop.called(item)), CompletionItemKind::Reference).ranked(2)
        })
        .collect();
    all.sort_by(|a, b| a.label.cmp(&b.label));
    all
}

/// What may come in `feeds`, `holds` or `by way of`, behind the words that are there.
pub fn in_list(ask: &Ask<'_>, words: &[&str]) -> Vec<Offer> {
    let last = words.last().copied().unwrap_or("");
    let word = |text: &str, doc: &str| Offer::word(text, doc, CompletionItemKind::Keyword);
    let is_through = words.iter().rposition(|w| *w == "through") > words.iter().rposition(|w| *w == "then");
    let opens = matches!(last, "feeds" | "holds" | "of" | "," | "then" | "through" | "and" | "or" | "half");
    match words.first().copied().unwrap_or("") {
        "feeds" if !opens => vec![
            word("then", "wired on through the device before it, by its load terminals"),
            word("through", "behind a switch or disconnect"),
            word("and unknown", "it may feed more than is named"),
        ],
        "feeds" if last == "half" => vec![word("of", "one half of a split duplex")],
        "feeds" if is_through => of(ask, CONTROLS),
        "feeds" => {
            let mut all = of(ask, LOADS);
            all.push(word("half of", "one half of a split duplex"));
            all.push(word("unknown", "something that the plan doesn't name"));
            if last == "feeds" {
                all.push(word("shop", "outlets that are not described"));
                all.push(word("nothing", "a breaker kept for later"));
            }
            all
        }
        "holds" if opens => {
            let mut all = of(ask, HELD);
            all.push(word("nothing", "an empty box"));
            all.push(word("splice of", "wires joined here that go on"));
            all
        }
        "holds" => vec![word("and unknown", "it may hold more than is named")],
        _ if opens => of(ask, STATIONS),
        _ => Vec::new(),
    }
}

/// What may come behind an item's first word.
pub fn in_head(ask: &Ask<'_>, keyword: Keyword, words: &[&str]) -> Vec<Offer> {
    let last = words.last().copied().unwrap_or("");
    let word = |text: &str| Offer::word(text, "", CompletionItemKind::Keyword);
    match keyword {
        Keyword::Run | Keyword::Pulled if words.is_empty() || matches!(last, "from" | "to" | "," | "or") => {
            of(ask, ENDS)
        }
        Keyword::Feeder | Keyword::Circuit if matches!(last, "from" | "to") => of(ask, ENDS),
        Keyword::Run | Keyword::Pulled => vec![word("to"), word("from")],
        Keyword::Feeder | Keyword::Circuit if !words.is_empty() => vec![word("from"), word("to")],
        Keyword::Every if words.is_empty() => {
            let kinds = Keyword::ALL.iter().filter_map(|k| kind_of(*k));
            kinds.map(|k| Offer::word(k.name(), k.doc(), CompletionItemKind::Class)).collect()
        }
        Keyword::Every if words.contains(&"but") => of(ask, EVERY),
        Keyword::Every => vec![word("but")],
        Keyword::Seen | Keyword::Measured | Keyword::Tested | Keyword::Inspected => of(ask, EVERY),
        other => kind_of(other).filter(|_| words.is_empty()).and_then(|kind| next(ask, kind)).into_iter().collect(),
    }
}

/// The next tag of a kind, counted on from those that are there: `R8` behind `R7`.
fn next(ask: &Ask<'_>, kind: Kind) -> Option<Offer> {
    let shop = ask.shop?;
    let tags = shop.tags().filter(|tag| shop.named(tag).is_some_and(|i| i.kind == kind));
    let parted = tags.filter_map(|tag| {
        let letters = tag.trim_end_matches(|c: char| c.is_ascii_digit());
        Some((letters, tag.get(letters.len()..)?.parse::<u32>().ok()?))
    });
    let (letters, number) = parted.max_by_key(|(letters, number)| (*number, std::cmp::Reverse(*letters)))?;
    let tag = format!("{letters}{}", number.checked_add(1)?);
    Some(Offer::word(tag, format!("the next {kind}"), CompletionItemKind::Reference).ranked(1))
}
