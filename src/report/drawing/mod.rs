//! Diagrams as SVG: the one-line diagram and the map of boxes and runs.
//!
//! Laid out by rule, without chance, force or clock, so that the same plan gives the same bytes. A unit is 1/96 inch; a
//! print at 100 percent is true to size. A sheet that would be too full is parted, never shrunk.

mod canvas;
mod facts;
mod map;
mod metrics;
mod one_line;
mod symbols;

use canvas::{escaped, number};
pub use map::map;
pub use metrics::width as text_width;
pub use one_line::one_line;

/// One sheet of a drawing.
#[derive(Clone, Debug)]
pub struct Drawing {
    /// Prefix of the ids in it, different for each drawing of a plan: `one-line-1`.
    pub id: String,
    /// What it is, for who can't see it: `One-line diagram of ...`.
    pub title: String,
    /// All that it shows, in sentences.
    pub description: String,
    /// Width in units.
    pub width: f64,
    /// Height in units.
    pub height: f64,
    body: String,
}

/// Faces and lines of all drawings. The packet carries it once, a file of its own inside.
pub const STYLE: &str = "\
.rt text{font-family:Helvetica,Arial,'Liberation Sans','Nimbus Sans',sans-serif;fill:#000}
.rt .n{font-size:13.3px;font-weight:700}
.rt .b{font-size:11px;font-weight:700}
.rt .l{font-size:11px}
.rt .i{font-size:11px;font-style:italic}
.rt .m{text-anchor:middle}
.rt .e{text-anchor:end}
.rt path,.rt rect,.rt circle{fill:none;stroke:#000;stroke-width:1.32}
.rt .hair{stroke-width:.68}
.rt .heavy{stroke-width:2.65}
.rt .bus{stroke-width:5}
.rt .dash{stroke-width:1;stroke-dasharray:7 4}
.rt .cord{stroke-dasharray:2.5 3}
.rt .solid{fill:#000;stroke:none}
.rt .paper{fill:#fff}
.rt .sheet{fill:#fff;stroke:none}
";

impl Drawing {
    /// The drawing inside an HTML page that holds [`STYLE`].
    pub fn inline(&self) -> String {
        self.svg("", "")
    }

    /// The drawing as a file of its own.
    pub fn alone(&self) -> String {
        self.svg(" xmlns=\"http://www.w3.org/2000/svg\"", &format!("<style>\n{STYLE}</style>\n"))
    }

    fn svg(&self, namespace: &str, style: &str) -> String {
        let Drawing { id, title, description, width, height, body } = self;
        let (inches_wide, inches_high) = (width / 96.0, height / 96.0);
        let (width, height, title, description) =
            (number(*width), number(*height), escaped(title), escaped(description));
        format!(
            "<svg{namespace} class=\"rt\" role=\"img\" aria-labelledby=\"{id}-t {id}-d\" width=\"{inches_wide:.3}in\" \
             height=\"{inches_high:.3}in\" viewBox=\"0 0 {width} {height}\">\n<title id=\"{id}-t\">{title}</title>\n\
             <desc id=\"{id}-d\">{description}</desc>\n{style}<rect class=\"sheet\" width=\"{width}\" height=\"{height}\"/>\n{body}</svg>\n"
        )
    }
}
