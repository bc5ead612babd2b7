use crate::text::Span;

/// What a pack is held to beyond being right.
#[derive(Clone, Copy, Debug, Default)]
pub struct Demands {
    /// Files with a number below this are the built-in pack's: there each part has a name and each
    /// rule its examples, or it is an error. In a user's own files missing names are fine, and
    /// missing examples a warning.
    pub strict_files: u32,
    /// Whether examples are looked at. The built-in pack is kept without them, and only who runs
    /// them wants to hear of them.
    pub examples: bool,
}

impl Demands {
    /// Whether what stands at `span` is held to all of it.
    pub(super) fn is_strict(self, span: Span) -> bool {
        span.file.0 < self.strict_files
    }
}
