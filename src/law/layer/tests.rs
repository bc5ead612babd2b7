//! What edits make of a small pack.
