//! Names of files as the protocol writes them.

use gen_lsp_types::Uri;
use std::path::{Path, PathBuf};

/// The path of a `file:` name; none for other names, such as those of texts that no file holds yet.
pub fn path(uri: &Uri) -> Option<PathBuf> {
    let rest = uri.0.strip_prefix("file://")?;
    let rest = rest.strip_prefix("localhost").unwrap_or(rest);
    let text = decoded(rest)?;
    // `file:///C:/plans` names a drive.
    let drive = text.strip_prefix('/').filter(|t| t.as_bytes().get(1) == Some(&b':') && cfg!(windows));
    Some(PathBuf::from(drive.unwrap_or(&text)))
}

/// The `file:` name of a path.
pub fn of_path(path: &Path) -> Uri {
    let text = path.display().to_string().replace('\\', if cfg!(windows) { "/" } else { "\\" });
    let root = if text.starts_with('/') { "" } else { "/" };
    let mut name = format!("file://{root}");
    for byte in text.bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'/' | b'-' | b'.' | b'_' | b'~' => name.push(byte.into()),
            b':' if cfg!(windows) => name.push(':'),
            other => name.push_str(&format!("%{other:02X}")),
        }
    }
    Uri(name)
}

/// What a reader calls the text: its path, or the name itself.
pub fn shown(uri: &Uri) -> String {
    path(uri).map_or_else(|| uri.0.clone(), |p| p.display().to_string())
}

fn decoded(text: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(text.len());
    let mut rest = text.as_bytes();
    while let Some((first, behind)) = rest.split_first() {
        rest = behind;
        match (first, behind) {
            (b'%', [a, b, behind @ ..]) => {
                let digits = [*a, *b];
                let digits = std::str::from_utf8(&digits).ok()?;
                bytes.push(u8::from_str_radix(digits, 16).ok()?);
                rest = behind;
            }
            (b'%', _) => return None,
            (byte, _) => bytes.push(*byte),
        }
    }
    String::from_utf8(bytes).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_paths() {
        let of = |text: &str| path(&Uri(text.into()));
        assert_eq!(of("file:///my%20plans/%C3%BC.shop"), Some(PathBuf::from("/my plans/ü.shop")));
        assert_eq!(of("untitled:Untitled-1"), None);
        for wrong in ["file:///a%2", "file:///a%zz", "file:///a%FF"] {
            assert_eq!(of(wrong), None, "{wrong}");
        }
        let odd = Path::new("/a b/ü#1.shop");
        assert_eq!(path(&of_path(odd)).as_deref(), Some(odd));
    }
}
