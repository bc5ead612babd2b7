//! Messages in and out: a few header lines, a blank one, then JSON of the length that the header says.

use lsp_server::Message;
use std::io::{self, BufRead, Read};

/// The largest message that is read, in bytes: a plan may have 4 megabytes, and JSON may double them.
const LARGEST: usize = 32 << 20;
/// The longest header line, in bytes.
const LONGEST_HEADER: u64 = 4096;
/// The most header lines of one message.
const MOST_HEADERS: usize = 32;

/// What came in.
#[derive(Debug)]
pub enum Incoming {
    /// A message.
    Message(Message),
    /// Text of the right length that is no message. The next one can still be read.
    Garbled,
}

/// The next message; none at the end of the input.
///
/// An error is an input that can't be read, or headers after which nobody knows where the next
/// message begins. No length that a header claims is believed before the bytes are there.
pub fn read(input: &mut impl BufRead) -> io::Result<Option<Incoming>> {
    let Some(length) = length(input)? else { return Ok(None) };
    if length > LARGEST {
        return Err(refused("a message is too large"));
    }
    let mut body = Vec::new();
    input.by_ref().take(length as u64).read_to_end(&mut body)?;
    if body.len() < length {
        return Ok(None);
    }
    Ok(Some(serde_json::from_slice(&body).map_or(Incoming::Garbled, Incoming::Message)))
}

/// How many bytes follow the header; none at the end of the input.
fn length(input: &mut impl BufRead) -> io::Result<Option<usize>> {
    let mut length = None;
    // The blank line behind the last header is none of them.
    for _ in 0..=MOST_HEADERS {
        let mut line = Vec::new();
        let count = input.by_ref().take(LONGEST_HEADER).read_until(b'\n', &mut line)?;
        if line.is_empty() {
            return Ok(None);
        }
        // What is left of such a line would be read as another header.
        if count as u64 == LONGEST_HEADER && line.last() != Some(&b'\n') {
            return Err(refused("a header line is too long"));
        }
        let line = String::from_utf8_lossy(&line);
        let line = line.trim();
        if line.is_empty() {
            return length.map(Some).ok_or_else(|| refused("a message has no length"));
        }
        let Some((name, value)) = line.split_once(':') else { return Err(refused("a header line has no colon")) };
        if name.trim().eq_ignore_ascii_case("content-length") {
            length = Some(value.trim().parse().map_err(|_| refused("the length of a message is no number"))?);
        }
    }
    Err(refused("a message has too many header lines"))
}

fn refused(why: &str) -> io::Error {
    io::Error::new(io::ErrorKind::InvalidData, why)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all(text: &[u8]) -> (Vec<Option<String>>, bool) {
        let (mut input, mut seen) = (text, Vec::new());
        loop {
            match read(&mut input) {
                Ok(Some(Incoming::Message(Message::Notification(n)))) => seen.push(Some(n.method)),
                Ok(Some(_)) => seen.push(None),
                Ok(None) => return (seen, true),
                Err(_) => return (seen, false),
            }
        }
    }

    fn framed(body: &str) -> String {
        format!("Content-Length: {}\r\n\r\n{body}", body.len())
    }

    #[test]
    fn a_garbled_message_costs_itself_alone() {
        let good = framed(r#"{"jsonrpc":"2.0","method":"exit"}"#);
        let text = format!("{good}{}{}{good}", framed("{\"method\""), framed("[1,2]"));
        assert_eq!(all(text.as_bytes()), (vec![Some("exit".into()), None, None, Some("exit".into())], true));
        let typed = good.replace("Content-Length", "Content-Type: x; charset=utf-8\r\ncontent-length");
        assert_eq!(all(typed.as_bytes()).0, [Some("exit".into())]);
        let deep = framed(&"[".repeat(100_000));
        assert_eq!(all(deep.as_bytes()), (vec![None], true), "depth is bounded");
    }

    #[test]
    fn a_claimed_length_takes_no_memory() {
        assert_eq!(all(b"Content-Length: 18446744073709551615\r\n\r\n{}"), (vec![], false));
        assert_eq!(all(b"Content-Length: 30000000\r\n\r\n{}"), (vec![], true), "cut off");
        assert_eq!(all(b"Content-Length: -1\r\n\r\n{}"), (vec![], false));
        assert_eq!(all(b"Content-Length 3\r\n\r\n{}"), (vec![], false));
        assert_eq!(all(b"\r\n\r\n"), (vec![], false));
        assert_eq!(all(&b"x: y\r\n".repeat(1000)), (vec![], false));
        assert_eq!(all(&[b'x'; 100_000]), (vec![], false));
        assert_eq!(all(b""), (vec![], true));
    }

    /// A header just as long as it may be, as many as there may be, and a message of the largest size are read; one
    /// more byte or line ends the reading, since nobody knows then where the next message begins.
    #[test]
    fn limits_of_messages() {
        let good = r#"{"jsonrpc":"2.0","method":"exit"}"#;
        let exit = || (vec![Some("exit".to_string())], true);
        let long = |bytes: u64| format!("x: {}\r\n{}", "y".repeat(bytes as usize - 5), framed(good));
        assert_eq!(all(long(LONGEST_HEADER).as_bytes()), exit());
        assert_eq!(all(long(LONGEST_HEADER + 1).as_bytes()), (vec![], false));
        // The end of a line that is too long is no header of its own.
        let hidden = format!("x: {}content-length: 2\r\n{}", "y".repeat(LONGEST_HEADER as usize - 3), framed(good));
        assert_eq!(all(hidden.as_bytes()), (vec![], false));
        let many = |lines: usize| format!("{}{}", "x: y\r\n".repeat(lines - 1), framed(good));
        assert_eq!(all(many(MOST_HEADERS).as_bytes()), exit());
        assert_eq!(all(many(MOST_HEADERS + 1).as_bytes()), (vec![], false));
        let large = |bytes: usize| framed(&format!("{good}{}", " ".repeat(bytes - good.len())));
        assert_eq!(all(large(LARGEST).as_bytes()), exit());
        assert_eq!(all(large(LARGEST + 1).as_bytes()), (vec![], false));
    }
}
