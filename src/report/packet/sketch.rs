//! Room to draw by hand what no plan holds: where things are. Offices ask for both sketches.

use super::frame::tick;
use super::{Packet, Sheet};
use crate::words::Kind;
use maud::{Markup, html};

/// A quarter of an inch, in units of 1/96 inch.
const SQUARE: u32 = 24;
/// Squares across.
const ACROSS: u32 = 29;

impl Packet<'_> {
    /// Two grids, and everything that is to be placed on them.
    pub(super) fn sketch(&self) -> Markup {
        let shop = &self.checked.shop;
        let kinds = [
            Kind::Panel,
            Kind::Disconnect,
            Kind::Receptacle,
            Kind::Switch,
            Kind::Light,
            Kind::Equipment,
            Kind::Box,
            Kind::Electrode,
        ];
        let is_there = |item: &crate::shop::ItemRef| shop.named(&shop.head(*item).name) == Some(*item);
        let named = kinds.into_iter().map(|kind| (kind, shop.items(kind).filter(is_there).collect::<Vec<_>>()));
        let named: Vec<_> = named.filter(|(_, items)| !items.is_empty()).collect();
        self.sheet(
            Sheet::Sketch,
            html! {
                p.lead { "The plan holds no places, so these two are drawn by hand. One square is " span.blank.short {} " ft. Mark north." }
                h3 { "Site" small { "lot lines, house, shop, poles and overhead wires, meter, the way of the feeder, wells and septic, other lines in the earth" } }
                (grid("Empty grid for the site", 12))
                h3 { "Floor" small { "walls and doors, free space before the panel, each thing below by its name; tick what is drawn" } }
                (grid("Empty grid for the floor", 13))
                p.small {
                    @for (kind, items) in &named {
                        b { (super::cover::capital(kind.plural())) } ": "
                        @for item in items { (tick()) " " (shop.head(*item).name) "\u{2003}" }
                    }
                }
            },
        )
    }
}

/// Squares to draw on, `down` of them high.
fn grid(name: &str, down: u32) -> Markup {
    let (width, height) = (ACROSS.saturating_mul(SQUARE), down.saturating_mul(SQUARE));
    let upright = (0..=ACROSS).map(|x| format!("M{},0V{height}", x.saturating_mul(SQUARE)));
    let level = (0..=down).map(|y| format!("M0,{}H{width}", y.saturating_mul(SQUARE)));
    let path: String = upright.chain(level).collect();
    html! {
        figure {
            svg role="img" aria-label=(name) width={ (width) "px" } height={ (height) "px" } viewBox={ "0 0 " (width) " " (height) } {
                path d=(path) fill="none" stroke="#999" stroke-width=".5" {}
            }
        }
    }
}
