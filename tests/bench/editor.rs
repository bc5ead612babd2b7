//! How long an editor waits for its service: the program behind a pipe, on a plan of some 2,000 lines.

use lsp_server::{Message, Notification, Request, RequestId};
use ringout::{Rules, check, law::Options};
use serde_json::{Value, json};
use std::io::{BufReader, Read, Write};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// How often each question is asked.
const TIMES: usize = 30;

/// The demo many times over, each with names of its own, behind one shop and one supply.
fn large(demo: &str) -> String {
    let rules = Rules::builtin();
    let checked = check(&rules, "demo", demo, &Options::default());
    let mut tags: Vec<&str> = checked.shop.tags().filter(|t| !matches!(*t, "house" | "shop" | "utility")).collect();
    tags.sort_by_key(|t| std::cmp::Reverse(t.len()));
    let tag = regex::Regex::new(&format!(r"\b({})\b", tags.join("|")));
    let start = demo.find("\nfeeder").map_or(0, |i| i + 1);
    let (head, rest) = demo.split_at(start);
    let mut text = head.to_string();
    for copy in 0.. {
        if text.lines().count() >= 2000 {
            break;
        }
        match &tag {
            Ok(tag) => text += &tag.replace_all(rest, format!("${{1}}k{copy}").as_str()),
            Err(_) => break,
        }
    }
    text
}

struct Editor<R, W> {
    input: R,
    output: W,
    count: i32,
}

impl<R: Read, W: Write> Editor<BufReader<R>, W> {
    fn send(&mut self, message: Message) {
        message.write(&mut self.output).unwrap_or_default();
    }

    fn tell(&mut self, method: &str, params: Value) {
        self.send(Message::Notification(Notification { method: method.into(), params }));
    }

    fn ask(&mut self, method: &str, params: &Value) -> Duration {
        let start = Instant::now();
        self.count += 1;
        let id = RequestId::from(self.count);
        self.send(Message::Request(Request { id, method: method.into(), params: params.clone() }));
        while let Ok(Some(message)) = Message::read(&mut self.input) {
            if matches!(message, Message::Response(_)) {
                break;
            }
        }
        start.elapsed()
    }

    /// Until diagnostics of a version come, and how many they are.
    fn diagnostics(&mut self, version: usize) -> (Duration, usize) {
        let start = Instant::now();
        while let Ok(Some(message)) = Message::read(&mut self.input) {
            if let Message::Notification(told) = message
                && told.params["version"] == version
            {
                return (start.elapsed(), told.params["diagnostics"].as_array().map_or(0, Vec::len));
            }
        }
        (start.elapsed(), 0)
    }
}

/// Prints how long answers take.
pub fn editor(demo: &str) {
    let text = large(demo);
    let spawned =
        Command::new(env!("CARGO_BIN_EXE_ringout")).arg("editor").stdin(Stdio::piped()).stdout(Stdio::piped()).spawn();
    let Ok(mut child) = spawned else { return println!("the editor's service does not start") };
    let (Some(output), Some(input)) = (child.stdin.take(), child.stdout.take()) else { return };
    let mut editor = Editor { input: BufReader::new(input), output, count: 0 };
    editor.ask("initialize", &json!({ "processId": null, "rootUri": null, "capabilities": {} }));
    editor.tell("initialized", json!({}));
    let uri = json!("file:///large.shop");
    let item = json!({ "uri": uri, "languageId": "shop", "version": 1, "text": text });
    editor.tell("textDocument/didOpen", json!({ "textDocument": item }));
    let (first, count) = editor.diagnostics(1);
    println!("editor, {} lines: {count} diagnostics {first:.0?} after opening", text.lines().count());
    let is_feeds = |(_, l): &(usize, &str)| l.trim_start().starts_with("feeds ");
    let line = text.lines().enumerate().filter(is_feeds).last().map_or(0, |(number, _)| number);
    let place = json!({ "textDocument": { "uri": uri }, "position": { "line": line, "character": 9 } });
    let mut version = 1;
    for (method, params) in [
        ("textDocument/hover", &place),
        ("textDocument/completion", &place),
        ("textDocument/definition", &place),
        (
            "textDocument/codeAction",
            &json!({
                "textDocument": { "uri": uri }, "context": { "diagnostics": [] },
                "range": { "start": { "line": line, "character": 0 }, "end": { "line": line, "character": 9 } },
            }),
        ),
        (
            "textDocument/formatting",
            &json!({
                "textDocument": { "uri": uri }, "options": { "tabSize": 2, "insertSpaces": true },
            }),
        ),
    ] {
        let mut all = Vec::new();
        for _ in 0..TIMES {
            // A letter is typed before each question, so that nothing is answered from a settled text.
            version += 1;
            let here = json!({ "line": line, "character": 0 });
            editor.tell(
                "textDocument/didChange",
                json!({
                    "textDocument": { "uri": uri, "version": version },
                    "contentChanges": [{ "range": { "start": here, "end": here }, "text": " " }],
                }),
            );
            all.push(editor.ask(method, params));
        }
        all.sort();
        println!(
            "  {method}: {:.1?} in the middle, {:.1?} at most, of {TIMES}",
            all.get(TIMES / 2).copied().unwrap_or_default(),
            all.last().copied().unwrap_or_default()
        );
    }
    let (seen, _) = editor.diagnostics(version);
    let (judged, count) = editor.diagnostics(version);
    println!(
        "  behind the last letter: what can't be read after {seen:.0?}, {count} diagnostics of the rules {judged:.0?} later"
    );
    editor.ask("shutdown", &Value::Null);
    editor.tell("exit", Value::Null);
    let _ = child.wait();
}
