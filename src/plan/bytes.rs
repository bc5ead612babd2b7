use crate::text::{FileId, Problem, Span};

/// The text of a file's bytes, without a byte-order mark at its start: offsets of spans count in
/// what this gives. An error where they are no UTF-8, at the first byte that is not.
pub fn decode(file: FileId, bytes: Vec<u8>) -> Result<String, Problem> {
    if bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]) {
        return Err(Problem::error(Span::new(file, 0, 2), "this file is UTF-16 text")
            .help("save it as UTF-8: editors offer it under \"encoding\" when saving"));
    }
    match String::from_utf8(bytes) {
        Ok(text) => Ok(match text.strip_prefix('\u{FEFF}') {
            Some(rest) => rest.to_string(),
            None => text,
        }),
        Err(error) => {
            let at = error.utf8_error().valid_up_to();
            let line = 1 + error.as_bytes().iter().take(at).filter(|b| **b == b'\n').count();
            Err(Problem::error(Span::new(file, at, at + 1), format!("line {line} holds a byte that is no UTF-8 text"))
                .help("save the file as plain text in UTF-8; a word processor's own format can't be read"))
        }
    }
}
