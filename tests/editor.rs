//! The editor's service, as an editor uses it: the program behind a pipe, messages of the protocol, nothing else.

use gen_lsp_types as lsp;
use lsp_server::{Message, Notification, Request, RequestId, Response};
use serde_json::{Value, json};
use std::io::{BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, Command, ExitStatus, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;

const DEMO: &str = include_str!("../examples/larkspur.shop");
/// Longer than anything takes where tests run beside one another; no test passes by waiting.
const PATIENCE: Duration = Duration::from_secs(120);

/// An editor with the program as its service.
struct Editor {
    child: Child,
    stdin: Option<ChildStdin>,
    heard: Receiver<Message>,
    /// What came in without being asked for, in order.
    told: Vec<Notification>,
    count: i32,
    version: i32,
}

impl Editor {
    fn start(args: &[&str]) -> Editor {
        let mut child = Command::new(env!("CARGO_BIN_EXE_ringout"))
            .arg("editor")
            .args(args)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut stdout = BufReader::new(child.stdout.take().unwrap());
        let (send, heard) = channel();
        std::thread::spawn(move || {
            while let Ok(Some(message)) = Message::read(&mut stdout) {
                if send.send(message).is_err() {
                    return;
                }
            }
        });
        let stdin = child.stdin.take();
        Editor { child, stdin, heard, told: Vec::new(), count: 0, version: 0 }
    }

    /// One that has introduced itself and counts so.
    fn open(args: &[&str], encodings: &[&str]) -> Editor {
        let mut editor = Editor::start(args);
        let said = editor.ask::<lsp::InitializeRequest>(json!({
            "processId": null, "rootUri": null,
            "capabilities": {
                "general": { "positionEncodings": encodings },
                "textDocument": { "completion": { "completionItem": { "snippetSupport": true } } },
            },
        }));
        let wanted = if encodings.contains(&"utf-8") { "utf-8" } else { "utf-16" };
        assert_eq!(said["capabilities"]["positionEncoding"], wanted);
        editor.tell("initialized", json!({}));
        editor
    }

    fn send(&mut self, message: Message) {
        message.write(self.stdin.as_mut().unwrap()).unwrap();
    }

    fn tell(&mut self, method: &str, params: Value) {
        self.send(Message::Notification(Notification { method: method.into(), params }));
    }

    fn request(&mut self, method: &str, params: Value) -> Response {
        self.count += 1;
        let id = RequestId::from(self.count);
        self.send(Message::Request(Request { id: id.clone(), method: method.into(), params }));
        loop {
            match self.heard.recv_timeout(PATIENCE).expect("an answer") {
                Message::Response(response) if response.id == id => return response,
                Message::Notification(told) => self.told.push(told),
                other => panic!("{other:?}"),
            }
        }
    }

    /// Asks, and reads the answer as the protocol's own type to see that it is one.
    fn ask<R: lsp::Request>(&mut self, params: Value) -> Value {
        let method = String::from(R::METHOD);
        let answer = self.request(&method, params).response_result.unwrap_or_else(|e| panic!("{method}: {e:?}"));
        let typed: R::Result =
            serde_json::from_value(answer.clone()).unwrap_or_else(|e| panic!("{method}: {e}\n{answer}"));
        drop(typed);
        answer
    }

    fn open_text(&mut self, uri: &str, text: &str) {
        self.version += 1;
        let item = json!({ "uri": uri, "languageId": "shop", "version": self.version, "text": text });
        self.tell("textDocument/didOpen", json!({ "textDocument": item }));
    }

    fn change(&mut self, uri: &str, changes: Value) {
        self.version += 1;
        let document = json!({ "uri": uri, "version": self.version });
        self.tell("textDocument/didChange", json!({ "textDocument": document, "contentChanges": changes }));
    }

    /// The diagnostics of the text as it stands now: the first that are told of it.
    fn diagnostics(&mut self, uri: &str) -> Vec<lsp::Diagnostic> {
        self.diagnostics_that(uri, |_| true)
    }

    /// The first of the text as it stands now that are so. Where a check takes long, those of the rules come later
    /// than what can't be read.
    fn diagnostics_that(&mut self, uri: &str, are_so: impl Fn(&[lsp::Diagnostic]) -> bool) -> Vec<lsp::Diagnostic> {
        loop {
            while !self.told.is_empty() {
                let told = self.told.remove(0);
                if told.method != "textDocument/publishDiagnostics" {
                    continue;
                }
                let params: lsp::PublishDiagnosticsParams = serde_json::from_value(told.params).unwrap();
                let is_now = params.uri.0 == uri && params.version == Some(self.version);
                if is_now && are_so(&params.diagnostics) {
                    return params.diagnostics;
                }
            }
            match self.heard.recv_timeout(PATIENCE).expect("diagnostics") {
                Message::Notification(told) => self.told.push(told),
                other => panic!("{other:?}"),
            }
        }
    }

    fn at(&mut self, uri: &str, line: usize, character: usize) -> Value {
        json!({ "textDocument": { "uri": uri }, "position": { "line": line, "character": character } })
    }

    fn hover(&mut self, uri: &str, line: usize, character: usize) -> String {
        let place = self.at(uri, line, character);
        self.ask::<lsp::HoverRequest>(place)["contents"]["value"].as_str().unwrap_or_default().to_string()
    }

    fn completions(&mut self, uri: &str, line: usize, character: usize) -> Vec<Value> {
        let place = self.at(uri, line, character);
        self.ask::<lsp::CompletionRequest>(place).as_array().unwrap().clone()
    }

    fn labels(&mut self, uri: &str, line: usize, character: usize) -> Vec<String> {
        let items = self.completions(uri, line, character);
        items.iter().map(|i| i["label"].as_str().unwrap().to_string()).collect()
    }

    /// Says goodbye as the protocol asks.
    fn end(mut self) {
        assert_eq!(self.request("shutdown", Value::Null).response_result.unwrap(), Value::Null);
        self.tell("exit", Value::Null);
        assert!(self.wait().success());
    }

    fn wait(mut self) -> ExitStatus {
        drop(self.stdin.take());
        self.child.wait().unwrap()
    }
}

/// A folder of its own for one test, gone with it.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Folder {
        let path = std::env::temp_dir().join(format!("ringout-editor-{name}-{}", std::process::id()));
        std::fs::create_dir_all(&path).unwrap();
        Folder(path.canonicalize().unwrap())
    }

    fn write(&self, name: &str, text: &str) -> String {
        let path = self.0.join(name);
        std::fs::write(&path, text).unwrap();
        format!("file://{}", path.display())
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// What `check --format json` says of a text.
fn check(text: &str) -> Value {
    let mut child = Command::new(env!("CARGO_BIN_EXE_ringout"))
        .args(["check", "-", "--format", "json"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    child.stdin.take().unwrap().write_all(text.as_bytes()).unwrap();
    serde_json::from_slice(&child.wait_with_output().unwrap().stdout).unwrap()
}

/// Line, column in characters, rule or none, severity.
type Told = (u64, u64, Option<String>, u64);

fn told_by_check(report: &Value) -> Vec<Told> {
    let place = |of: &Value| (of["place"]["line"].as_u64().unwrap(), of["place"]["column"].as_u64().unwrap());
    let findings = report["findings"].as_array().unwrap().iter().filter(|f| f["verdict"] != "pass");
    let mut all: Vec<Told> = findings
        .map(|f| {
            let severity = match (f["verdict"].as_str().unwrap(), f["level"].as_str().unwrap()) {
                ("unknown", _) => 4,
                (_, "required") => 2,
                _ => 3,
            };
            let (line, column) = place(f);
            (line, column, f["rule"].as_str().map(str::to_string), severity)
        })
        .collect();
    all.extend(report["unread"].as_array().unwrap().iter().map(|p| (place(p).0, place(p).1, None, 1)));
    all.sort();
    all
}

/// The same from diagnostics; columns are counted again from the text.
fn told_by_editor(diagnostics: &[lsp::Diagnostic], text: &str, is_utf8: bool) -> Vec<Told> {
    let lines: Vec<&str> = text.split('\n').collect();
    let mut all: Vec<Told> = diagnostics
        .iter()
        .map(|d| {
            let start = d.range.start;
            let (mut left, mut column) = (start.character as usize, 1);
            for c in lines[start.line as usize].chars() {
                if left == 0 {
                    break;
                }
                left -= if is_utf8 { c.len_utf8() } else { c.len_utf16() };
                column += 1;
            }
            let rule = d.code.clone().map(|c| match c {
                lsp::Code::String(rule) => rule,
                other => panic!("{other:?}"),
            });
            let severity = serde_json::to_value(d.severity).unwrap().as_u64().unwrap();
            (u64::from(start.line) + 1, column, rule, severity)
        })
        .collect();
    all.sort();
    all
}

/// Every finding of the report is shown at its words, in both counts of columns; nothing else is.
#[test]
fn diagnostics_are_the_findings_of_check() {
    let wide = "shop \"木工🔧\"\n  use garage\nreceptacle R1 \"界🔧\": 5-20R, no GFCI, recepticle\nlight L1 \"é\u{301}🔌\": LED, 80 W, quite bright\n";
    for encodings in [&["utf-16"][..], &["utf-16", "utf-8"], &[]] {
        let mut editor = Editor::open(&[], encodings);
        for text in [DEMO, wide] {
            let uri = format!("file:///plans/{}.shop", text.len());
            editor.open_text(&uri, text);
            let diagnostics = editor.diagnostics(&uri);
            let wanted = told_by_check(&check(text));
            assert!(wanted.len() > 5);
            assert_eq!(told_by_editor(&diagnostics, text, encodings.contains(&"utf-8")), wanted);
        }
        editor.end();
    }
}

#[test]
fn hover_tells_words_and_verdicts() {
    let text = "\
shop
  code NEC 2023, use garage
feeder F1 from house to P1
  stretch 24 ft: 1 in PVC-40, buried 12 in, under lawn
panel P1: indoors
receptacle R1 \"bench\": 5-20R, no GFCI
circuit C1 from P1: breaker 20 A, feeds R1
";
    let uri = "file:///plans/hover.shop";
    let mut editor = Editor::open(&[], &[]);
    editor.open_text(uri, text);
    editor.diagnostics(uri);
    let buried = editor.hover(uri, 3, 34);
    assert!(buried.contains("**cover** of stretch 1 of F1"), "{buried}");
    assert!(buried.contains("*attention*"), "12 in under a lawn is too little for PVC-40 at 60 A or more:\n{buried}");
    let feature = editor.hover(uri, 5, 35);
    assert!(feature.contains("**has-gfci** of receptacle R1"), "{feature}");
    assert!(feature.contains("`gfci-125v`"), "{feature}");
    let name = editor.hover(uri, 6, 41);
    assert!(name.contains("**receptacle R1** “bench”"), "{name}");
    assert_eq!(editor.hover(uri, 99, 0), "", "nothing stands there");
    // What was typed since moves the words; answers come from what was understood last.
    editor.change(uri, json!([{ "range": { "start": { "line": 0, "character": 0 }, "end": { "line": 0, "character": 0 } }, "text": "# 界\n" }]));
    assert!(editor.hover(uri, 6, 35).contains("**has-gfci** of receptacle R1"));
    editor.end();
}

#[test]
fn completion_offers_what_may_come() {
    let mut editor = Editor::open(&[], &[]);
    let uri = "file:///plans/complete.shop";
    let text = "\
panel P1: indoors
box B1: 4 in square
receptacle R1, R2: 5-20R
switch S1: 3-way
light L1 \"north\": LED
circuit C1 from P1: breaker 20 A
  feeds R1 then 
run P1 to B1: 3/4 in EMT, under 
equipment M1: arc 
  plugs into 
receptacle 
pan
  # pan
feeder F1 from house to P1
  stretch 12 ft: buried 20 in, under 
  equipment ground 
";
    editor.open_text(uri, text);
    editor.diagnostics(uri);
    let mut labels = |line: usize| {
        let end = text.lines().nth(line).unwrap().encode_utf16().count();
        editor.labels(uri, line, end)
    };
    let has = |labels: &[String], wanted: &[&str], not: &[&str]| {
        for word in wanted {
            assert!(labels.iter().any(|l| l == word), "{word} is not in {labels:?}");
        }
        for word in not {
            assert!(!labels.iter().any(|l| l == word), "{word} is in {labels:?}");
        }
    };
    has(&labels(6), &["R1", "R2", "L1", "B1"], &["S1", "C1"]);
    has(&labels(7), &["lawn", "building"], &["EMT"]);
    has(&labels(8), &["welder"], &["motor"]);
    has(&labels(9), &["R1", "R2"], &["L1", "P1"]);
    has(&labels(10), &["R3"], &[]);
    has(&labels(11), &["panel", "pulled"], &["bus N A"]);
    assert!(labels(12).is_empty(), "a comment");
    has(&labels(14), &["lawn"], &["breaker N A"]);
    has(&labels(15), &["by raceway"], &[]);
    let end = text.lines().nth(5).unwrap().len();
    editor.change(uri, json!([{ "range": { "start": { "line": 5, "character": end }, "end": { "line": 5, "character": end } }, "text": ", " }]));
    let items = editor.completions(uri, 5, end + 2);
    let of = |label: &str| {
        items
            .iter()
            .find(|i| i["label"] == label)
            .unwrap_or_else(|| panic!("{label}: {:?}", items.iter().map(|i| &i["label"]).collect::<Vec<_>>()))
    };
    assert_eq!(of("continuous")["textEdit"]["newText"], "continuous");
    assert_eq!(of("extended by N in|ft")["textEdit"]["newText"], "extended by ${3:N} in");
    assert_eq!(of("wire N AWG Cu TYPE")["insertTextFormat"], 2);
    assert!(of("continuous")["documentation"].as_str().unwrap().contains("three hours"));
    editor.end();
}

#[test]
fn definitions_are_where_names_begin() {
    let mut editor = Editor::open(&[], &["utf-8"]);
    let uri = "file:///plans/define.shop";
    let text = "receptacle R1 to R9: 5-20R\nbox B1 \"界 B2\": holds R1\nbox B2\ncircuit C1: feeds R5 then R1\nrun B1 to B2: 1/2 in EMT\n";
    editor.open_text(uri, text);
    editor.diagnostics(uri);
    for (line, word, wanted) in [(1, "R1", (0, 11, 13)), (3, "R5", (0, 0, 26)), (4, "B2", (2, 4, 6))] {
        let character = text.lines().nth(line).unwrap().rfind(word).unwrap();
        let place = editor.at(uri, line, character + 1);
        let found = editor.ask::<lsp::DefinitionRequest>(place);
        let range = &found[0]["range"];
        let numbers = [&range["start"]["line"], &range["start"]["character"], &range["end"]["character"]];
        assert_eq!(numbers.map(|n| n.as_u64().unwrap()), [wanted.0, wanted.1, wanted.2], "{word}: {found}");
    }
    let place = editor.at(uri, 1, 12);
    assert_eq!(editor.ask::<lsp::DefinitionRequest>(place), json!([]), "in quotes stand words, not names");
    editor.end();
}

#[test]
fn formatting_tidies() {
    let mut editor = Editor::open(&[], &[]);
    for (number, (text, is_changed)) in [
        ("panel   P1:indoors\n    bus 100 amp\n", true),
        ("panel P1: indoors\n", false),
        ("panle P1\n   bus  100 A\n", false),
        ("box B1\r\npanel  P1\r\n", true),
    ]
    .into_iter()
    .enumerate()
    {
        let uri = format!("file:///plans/tidy{number}.shop");
        editor.open_text(&uri, text);
        let params = json!({ "textDocument": { "uri": uri }, "options": { "tabSize": 2, "insertSpaces": true } });
        let edits = editor.ask::<lsp::DocumentFormattingRequest>(params);
        let edits: Vec<lsp::TextEdit> = serde_json::from_value(edits).unwrap();
        assert_eq!(!edits.is_empty(), is_changed, "{text}");
        let after = applied(text, &edits);
        let wanted = ringout::plan::tidy(text).unwrap_or_else(|_| text.to_string());
        let wanted = if text.contains('\r') { wanted.replace('\n', "\r\n") } else { wanted };
        assert_eq!(after, wanted);
    }
    editor.end();
}

/// A text with edits applied; columns in units of UTF-16.
fn applied(text: &str, edits: &[lsp::TextEdit]) -> String {
    let byte = |place: lsp::Position| {
        let start: usize = text.split_inclusive('\n').take(place.line as usize).map(str::len).sum();
        let mut left = place.character as usize;
        let chars = text[start..].char_indices().take_while(|(_, c)| {
            let is_before = left > 0;
            left = left.saturating_sub(c.len_utf16());
            is_before
        });
        start + chars.map(|(_, c)| c.len_utf8()).sum::<usize>()
    };
    let mut edits: Vec<_> = edits.iter().map(|e| (byte(e.range.start), byte(e.range.end), &e.new_text)).collect();
    edits.sort_by_key(|(start, ..)| std::cmp::Reverse(*start));
    let mut text = text.to_string();
    for (start, end, new) in edits {
        text.replace_range(start..end, new);
    }
    text
}

/// The fix of a slip, applied, leaves a plan without that problem, and puts nothing in that was measured.
#[test]
fn quick_fixes_mend() {
    let cases = [
        ("recepticle R1: 5-20R\n", "receptacle R1: 5-20R\n"),
        ("panel P1 \"界🔧\": indoors, buss 100 A\n", "panel P1 \"界🔧\": indoors, bus 100 A\n"),
        (
            "receptacle bench-R1: 5-20R\ncircuit C1: feeds bench-R2\n",
            "receptacle bench-R1: 5-20R\ncircuit C1: feeds bench-R1\n",
        ),
        (
            "feeder F1 from house to P1\n  wire 3 x 4 AWG Cu THHNN\npanel P1\n",
            "feeder F1 from house to P1\n  wire 3 x 4 AWG Cu THHN\npanel P1\n",
        ),
        (
            "run A to B: buried 18 in, under lwan\nbox A\nbox B\n",
            "run A to B: buried 18 in, under lawn\nbox A\nbox B\n",
        ),
    ];
    let mut editor = Editor::open(&[], &[]);
    for (number, (text, wanted)) in cases.into_iter().enumerate() {
        let uri = format!("file:///plans/fix{number}.shop");
        editor.open_text(&uri, text);
        let diagnostics = editor.diagnostics(&uri);
        let errors: Vec<_> =
            diagnostics.iter().filter(|d| d.severity == Some(lsp::DiagnosticSeverity::Error)).collect();
        let error = errors.first().unwrap_or_else(|| panic!("{text}: {diagnostics:?}"));
        let actions = editor.ask::<lsp::CodeActionRequest>(json!({
            "textDocument": { "uri": uri }, "range": error.range, "context": { "diagnostics": [error] },
        }));
        assert_eq!(actions.as_array().unwrap().len(), 1, "{text}: {actions}");
        assert_eq!(actions[0]["diagnostics"][0], serde_json::to_value(error).unwrap());
        let edits: Vec<lsp::TextEdit> = serde_json::from_value(actions[0]["edit"]["changes"][&uri].clone()).unwrap();
        let after = applied(text, &edits);
        assert_eq!(after, wanted);
        let left = check(&after);
        assert_eq!(left["unread"], json!([]), "{after}");
        // Where nothing is wrong there is nothing to mend.
        let none = editor.ask::<lsp::CodeActionRequest>(json!({
            "textDocument": { "uri": uri }, "context": { "diagnostics": [] },
            "range": { "start": { "line": 90, "character": 0 }, "end": { "line": 90, "character": 0 } },
        }));
        assert!(none.as_array().unwrap().is_empty() || text.lines().count() == 1, "{none}");
    }
    editor.end();
}

#[test]
fn rule_files_are_helped_too() {
    let folder = Folder::new("rules");
    let rule = "\
rule tall-panel \"Panels stand high enough\"
  why     A panel at knee height is kicked.
  cites   NEC 2014 to NEC 2026: 1.1, memory
  figures memory
  stage   final
  level   required
  for     each panel p
  needs   high \"height\": p.handle-height within height
  else    \"{p} stands too low\"
";
    folder.write("values.rule", "value height: at least 10 in\ngroup low \"Low things\": tall-panel\n");
    let uri = folder.write("panel.rule", rule);
    let rules = folder.0.display().to_string();
    let mut editor = Editor::open(&["--rules", &rules], &[]);
    editor.open_text(&uri, rule);
    assert_eq!(editor.diagnostics(&uri), [], "the value stands in another file of the folder");
    // The word is known, and so is the value of the other file.
    let word = editor.hover(&uri, 7, 30);
    assert!(word.contains("**handle-height** of a panel"), "{word}");
    let place = editor.at(&uri, 7, 51);
    let there = editor.ask::<lsp::DefinitionRequest>(place);
    assert!(there[0]["uri"].as_str().unwrap().ends_with("/values.rule"), "{there}");
    assert_eq!(there[0]["range"]["start"], json!({ "line": 0, "character": 6 }));
    // A slip has its place and its fix.
    let slip = rule.replace("handle-height", "handle-heigt");
    editor.change(&uri, json!([{ "text": slip }]));
    let diagnostics = editor.diagnostics(&uri);
    let error = diagnostics.first().unwrap();
    assert_eq!((error.range.start.line, error.severity), (7, Some(lsp::DiagnosticSeverity::Error)));
    let actions = editor.ask::<lsp::CodeActionRequest>(json!({
        "textDocument": { "uri": uri }, "range": error.range, "context": { "diagnostics": [error] },
    }));
    let edits: Vec<lsp::TextEdit> = serde_json::from_value(actions[0]["edit"]["changes"][&uri].clone()).unwrap();
    assert_eq!(applied(&slip, &edits), rule);
    // A plan is held against the rules as they stand in the editor, saved or not.
    let plan = "file:///plans/low.shop";
    editor.change(&uri, json!([{ "text": rule }]));
    editor.open_text(plan, "panel P1: 12 in up\n");
    assert_eq!(editor.diagnostics(plan), []);
    let values = format!("file://{}/values.rule", folder.0.display());
    let version = editor.version;
    editor.open_text(&values, "value height: at least 20 in\ngroup low \"Low things\": tall-panel\n");
    editor.version = version;
    let now = editor.diagnostics(plan);
    assert_eq!(now.len(), 1, "{now:?}");
    assert_eq!(now[0].code, Some(lsp::Code::String("tall-panel".into())));
    let labels = editor.labels(&uri, 7, 29);
    assert!(labels.contains(&"handle-height".to_string()) && !labels.contains(&"has-gfci".to_string()), "{labels:?}");
    editor.version += 1;
    editor.end();
}

/// Local amendments beside the plan count as `check` counts them, and as they stand in the editor.
#[test]
fn amendments_are_applied_as_they_are_written() {
    let head = "\
layer county \"Pine County\"
  kind    county
  over    any edition
  status  in force, checked 2026-11-25
  source  \"invented for this test\", nowhere
";
    let strike = "
change rule gfci-250v \"Receptacles over 125 V drop out\"
  why     The county keeps to the voltage of the older editions.
  strike  rule, was \"GFCI protection of 250 V receptacles in garage and shop\"
";
    let plan = "\
shop
  code NEC 2023, use garage, amended by county.rule
circuit C1: breaker 50 A, 2-pole, no GFCI, feeds W1
receptacle W1: 6-50R, no GFCI
";
    let folder = Folder::new("layers");
    let layer = folder.write("county.rule", &format!("{head}{strike}"));
    let uri = folder.write("larch.shop", plan);
    let struck = |all: &[lsp::Diagnostic]| !all.iter().any(|d| d.code == Some(lsp::Code::String("gfci-250v".into())));
    let mut editor = Editor::open(&[], &[]);
    editor.open_text(&uri, plan);
    let own = editor.diagnostics(&uri);
    assert!(struck(&own) && own.len() > 3, "{own:?}");
    let plan_version = editor.version;
    // The plan is looked at again when the layer changes, though nobody wrote in it.
    let again = |editor: &mut Editor, are_so: &dyn Fn(&[lsp::Diagnostic]) -> bool| {
        let version = std::mem::replace(&mut editor.version, plan_version);
        let all = editor.diagnostics_that(&uri, are_so);
        editor.version = version;
        all
    };
    editor.open_text(&layer, head);
    again(&mut editor, &|all| !struck(all));
    editor.change(&layer, json!([{ "text": format!("{head}{}", strike.replace("gfci-250v", "gfci-25v")) }]));
    let slip = editor.diagnostics(&layer);
    assert_eq!(slip.iter().map(|d| d.range.start.line).collect::<Vec<_>>(), [6], "{slip:?}");
    let told = again(&mut editor, &|all| all.iter().any(|d| d.severity == Some(lsp::DiagnosticSeverity::Error)));
    let error = told.iter().find(|d| d.severity == Some(lsp::DiagnosticSeverity::Error)).unwrap();
    assert_eq!(error.range.start.line, 1, "where the plan names it: {error:?}");
    editor.change(&layer, json!([{ "text": format!("{head}{strike}") }]));
    assert_eq!(editor.diagnostics(&layer), []);
    again(&mut editor, &struck);
    editor.end();
}

/// Every state on the way from nothing to the demo is one that somebody typing leaves for a moment.
#[test]
fn half_typed_plans_never_end_it() {
    for (encodings, line_end) in [(&["utf-16"][..], "\n"), (&["utf-8"], "\r\n")] {
        let mut editor = Editor::open(&[], encodings);
        let uri = "file:///plans/typed.shop";
        editor.open_text(uri, "");
        let whole = format!("{DEMO}note \"界🔧e\u{301}\"\n").replace('\n', line_end);
        let (mut line, mut character, mut is_halved) = (0, 0, false);
        let chars: Vec<char> = whole.chars().collect();
        for (number, chunk) in chars.chunks(7).enumerate() {
            let text: String = chunk.iter().collect();
            let place = json!({ "line": line, "character": character });
            editor.change(uri, json!([{ "range": { "start": place, "end": place }, "text": text }]));
            for c in chunk {
                match c {
                    // The first half was a line end by itself until this one came.
                    '\n' if is_halved => {}
                    '\n' => (line, character) = (line + 1, 0),
                    '\r' => {}
                    c if encodings.contains(&"utf-8") => character += c.len_utf8(),
                    c => character += c.len_utf16(),
                }
                is_halved = false;
            }
            is_halved = chunk.last() == Some(&'\r');
            if is_halved {
                (line, character) = (line + 1, 0);
            }
            if number % 20 == 0 {
                editor.completions(uri, line, character);
                editor.hover(uri, line, character.saturating_sub(3));
                let params =
                    json!({ "textDocument": { "uri": uri }, "options": { "tabSize": 2, "insertSpaces": true } });
                editor.ask::<lsp::DocumentFormattingRequest>(params);
            }
        }
        let wanted = told_by_check(&check(&whole));
        let is_utf8 = encodings.contains(&"utf-8");
        editor.diagnostics_that(uri, |all| told_by_editor(all, &whole, is_utf8) == wanted);
        editor.end();
    }
}

/// A plan that ends anywhere: every question is answered, there and on the line above.
#[test]
fn a_plan_cut_anywhere_is_answered() {
    let mut editor = Editor::open(&[], &[]);
    let uri = "file:///plans/cut.shop";
    editor.open_text(uri, "");
    let cuts: Vec<usize> = (1..DEMO.len()).step_by(151).filter(|cut| DEMO.is_char_boundary(*cut)).collect();
    assert!(cuts.len() > 40, "{}", cuts.len());
    for cut in cuts {
        let text = &DEMO[..cut];
        editor.change(uri, json!([{ "text": text }]));
        let line = text.matches('\n').count();
        let character = text.len() - text.rfind('\n').map_or(0, |end| end + 1);
        for (line, character) in [(line, character), (line.saturating_sub(1), 3)] {
            editor.completions(uri, line, character);
            editor.hover(uri, line, character);
            let place = editor.at(uri, line, character);
            editor.ask::<lsp::DefinitionRequest>(place.clone());
            let range = json!({ "start": place["position"], "end": place["position"] });
            let fix = json!({ "textDocument": { "uri": uri }, "range": range, "context": { "diagnostics": [] } });
            editor.ask::<lsp::CodeActionRequest>(fix);
        }
        let params = json!({ "textDocument": { "uri": uri }, "options": { "tabSize": 2, "insertSpaces": true } });
        editor.ask::<lsp::DocumentFormattingRequest>(params);
    }
    editor.end();
}

/// What no editor should say is answered or passed over.
#[test]
fn bad_messages_never_end_it() {
    let mut editor = Editor::start(&[]);
    let early = editor.request("textDocument/hover", json!({})).response_result.unwrap_err();
    assert_eq!(early.code, -32002, "not initialized");
    editor.ask::<lsp::InitializeRequest>(json!({ "processId": 1, "rootUri": 5, "capabilities": { "general": [] } }));
    for (method, params) in [
        ("textDocument/hover", json!(null)),
        (
            "textDocument/hover",
            json!({ "textDocument": { "uri": "file:///none" }, "position": { "line": 0, "character": 0 } }),
        ),
        ("textDocument/hover", json!({ "textDocument": { "uri": 7 }, "position": { "line": -1, "character": 0 } })),
        ("textDocument/completion", json!([1, 2])),
        ("textDocument/definition", json!("x")),
        ("textDocument/codeAction", json!({})),
        ("textDocument/formatting", json!({ "textDocument": {} })),
        ("initialize", json!({})),
    ] {
        let error = editor.request(method, params.clone()).response_result.unwrap_err();
        assert!(matches!(error.code, -32602 | -32600), "{method} {params}: {error:?}");
    }
    assert_eq!(editor.request("workspace/dance", json!({})).response_result.unwrap_err().code, -32601);
    for (method, params) in [
        ("textDocument/didOpen", json!({ "textDocument": 1 })),
        (
            "textDocument/didChange",
            json!({ "textDocument": { "uri": "file:///none", "version": 1 }, "contentChanges": [] }),
        ),
        ("textDocument/didChange", json!(null)),
        ("textDocument/didClose", json!({ "textDocument": { "uri": "file:///none" } })),
        ("$/cancelRequest", json!({ "id": 99 })),
        ("no/such", json!({})),
    ] {
        editor.tell(method, params);
    }
    let stdin = editor.stdin.as_mut().unwrap();
    stdin.write_all(b"Content-Length: 12\r\n\r\n{\"jsonrpc\": ").unwrap();
    stdin.write_all(b"Content-Length: 2\r\n\r\n\xFF\xFE").unwrap();
    editor.send(Message::Response(Response { id: 5.into(), response_result: Ok(Value::Null) }));
    let uri = "file:///plans/odd.shop";
    editor.open_text(uri, "panel P1\n");
    let far = json!({ "line": 4_000_000_000u32, "character": 4_000_000_000u32 });
    let before = json!({ "line": 0, "character": 3 });
    editor.change(uri, json!([{ "range": { "start": far, "end": before }, "text": "box B1\n" }]));
    editor.change(uri, json!([{ "range": { "start": before, "end": far }, "text": "el P1\u{0}\r\u{2028}\n" }]));
    editor.diagnostics(uri);
    for character in [0, 3, 99, u32::MAX] {
        let place = json!({ "textDocument": { "uri": uri }, "position": { "line": 0, "character": character } });
        editor.ask::<lsp::HoverRequest>(place.clone());
        editor.ask::<lsp::CompletionRequest>(place.clone());
        editor.ask::<lsp::DefinitionRequest>(place);
    }
    editor.tell("textDocument/didClose", json!({ "textDocument": { "uri": uri } }));
    editor.end();
}

/// The exit status is the protocol's: 0 after `shutdown`, 1 for an editor that went away.
#[test]
fn the_exit_status_says_how_it_ended() {
    let mut editor = Editor::open(&[], &[]);
    editor.tell("exit", Value::Null);
    assert_eq!(editor.wait().code(), Some(1));
    assert_eq!(Editor::open(&[], &[]).wait().code(), Some(1));
    let mut lost = Editor::open(&[], &[]);
    lost.stdin.as_mut().unwrap().write_all(b"not a header\r\n\r\n").unwrap();
    assert_eq!(lost.wait().code(), Some(1));
    let mut late = Editor::open(&[], &[]);
    late.request("shutdown", Value::Null);
    let error = late.request("textDocument/hover", json!({})).response_result.unwrap_err();
    assert_eq!(error.code, -32600);
    late.tell("exit", Value::Null);
    assert_eq!(late.wait().code(), Some(0));
    let none = Editor::start(&["--rules", "/no/such/folder"]);
    assert_eq!(none.wait().code(), Some(2));
    assert!(Path::new(env!("CARGO_BIN_EXE_ringout")).is_file());
}
