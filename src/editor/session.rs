//! One editor's session: the texts that it has open, and what to say to what it says.

use super::model::{Model, Of, PlanModel};
use super::place::{Encoding, Text};
use super::worker::Job;
use super::{Event, complete, define, diagnose, hover, mend, tidy};
use crate::Rules;
use gen_lsp_types::{
    CodeActionKind, CodeActionOptions, CodeActionParams, CodeActionProvider, CompletionOptions, CompletionParams,
    DefinitionParams, DefinitionProvider, Diagnostic, DidChangeTextDocumentParams, DidCloseTextDocumentParams,
    DidOpenTextDocumentParams, DocumentFormattingParams, DocumentFormattingProvider, HoverParams, HoverProvider,
    InitializeResult, PublishDiagnosticsParams, ServerCapabilities, ServerInfo, TextDocumentContentChangeEvent,
    TextDocumentPositionParams, TextDocumentSync, TextDocumentSyncKind, TextDocumentSyncOptions, Uri,
};
use lsp_server::{ErrorCode, Message, Notification, Request, RequestId, Response, ResponseError};
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;
use std::collections::HashMap;
use std::sync::Arc;
use std::sync::mpsc::Sender;

/// What comes after a message.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Next {
    /// The next one.
    Go,
    /// Nothing: the editor is done.
    End {
        /// Whether it said so before, as the protocol asks.
        is_well: bool,
    },
}

/// How far the two have come to know each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Phase {
    New,
    Open,
    Closing,
}

/// An open text.
struct Document {
    text: Text,
    version: i32,
    is_rules: bool,
    /// What was found out last, and what was found out last with the rules asked.
    seen: Option<Model>,
    judged: Option<Model>,
}

/// The state of one session.
pub struct Session {
    rules: Arc<Rules>,
    jobs: Sender<Job>,
    phase: Phase,
    encoding: Encoding,
    has_snippets: bool,
    documents: HashMap<Uri, Document>,
}

type Refusal = (ErrorCode, String);

impl Session {
    /// Before the first word; `jobs` go to the worker.
    pub fn new(rules: Arc<Rules>, jobs: Sender<Job>) -> Session {
        Session {
            rules,
            jobs,
            phase: Phase::New,
            encoding: Encoding::default(),
            has_snippets: false,
            documents: HashMap::new(),
        }
    }

    /// What to say to an event, and whether to go on.
    pub fn hear(&mut self, event: Event) -> (Vec<Message>, Next) {
        match event {
            Event::Said(Message::Request(request)) => (vec![self.request(request)], Next::Go),
            Event::Said(Message::Notification(told)) if told.method == "exit" => {
                (Vec::new(), Next::End { is_well: self.phase == Phase::Closing })
            }
            Event::Said(Message::Notification(told)) => (self.told(told), Next::Go),
            // Nothing is asked of the editor, so its answers answer nothing.
            Event::Said(Message::Response(_)) | Event::Garbled => (Vec::new(), Next::Go),
            Event::Silent => (Vec::new(), Next::End { is_well: false }),
            Event::Looked { uri, model, is_whole } => (self.looked(uri, model, is_whole), Next::Go),
        }
    }

    fn request(&mut self, request: Request) -> Message {
        let Request { id, method, params } = request;
        let result = match (self.phase, method.as_str()) {
            (Phase::New, "initialize") => Ok(self.initialize(&params)),
            (Phase::New, _) => Err((ErrorCode::ServerNotInitialized, "`initialize` comes first".to_string())),
            (Phase::Closing, _) => {
                Err((ErrorCode::InvalidRequest, "nothing but `exit` follows `shutdown`".to_string()))
            }
            (Phase::Open, "initialize") => Err((ErrorCode::InvalidRequest, "`initialize` comes once".to_string())),
            (Phase::Open, "shutdown") => {
                self.phase = Phase::Closing;
                Ok(Value::Null)
            }
            (Phase::Open, method) => self.answer(method, params),
        };
        respond(id, result)
    }

    fn answer(&self, method: &str, params: Value) -> Result<Value, Refusal> {
        match method {
            "textDocument/hover" => {
                let params: HoverParams = read(params)?;
                let (document, byte) = self.at(&params.text_document_position_params)?;
                let Some(seen) = &document.seen else { return Ok(Value::Null) };
                value(hover::hover(seen, document.judged.as_ref(), &document.text, byte, self.encoding))
            }
            "textDocument/completion" => {
                let params: CompletionParams = read(params)?;
                let (document, byte) = self.at(&params.text_document_position_params)?;
                let plan = document.seen.as_ref().and_then(plan_of);
                let ask = complete::Ask {
                    rules: plan.map_or(&self.rules, |p| &p.rules),
                    shop: plan.map(|p| &p.checked.shop),
                    text: &document.text,
                    byte,
                    encoding: self.encoding,
                    has_snippets: self.has_snippets,
                };
                match (&document.seen, document.is_rules) {
                    (Some(Model { of: Of::Rules(model), .. }), _) => value(complete::of_rules(&ask, model)),
                    (_, true) => value(Vec::<Value>::new()),
                    (_, false) => value(complete::of_plan(&ask)),
                }
            }
            "textDocument/definition" => {
                let params: DefinitionParams = read(params)?;
                let place = &params.text_document_position_params;
                let (document, byte) = self.at(place)?;
                let Some(seen) = &document.seen else { return Ok(Value::Null) };
                let uri = &place.text_document.uri;
                value(define::definition(seen, &document.text, byte, uri, self.encoding))
            }
            "textDocument/codeAction" => {
                let params: CodeActionParams = read(params)?;
                let document = self.document(&params.text_document.uri)?;
                let Some(seen) = &document.seen else { return Ok(Value::Null) };
                let uri = &params.text_document.uri;
                value(mend::actions(seen, &document.text, params.range, uri, self.encoding))
            }
            "textDocument/formatting" => {
                let params: DocumentFormattingParams = read(params)?;
                let document = self.document(&params.text_document.uri)?;
                match document.is_rules {
                    true => Ok(Value::Null),
                    false => value(tidy::edits(&document.text, self.encoding)),
                }
            }
            other => Err((ErrorCode::MethodNotFound, format!("`{other}` is not known here"))),
        }
    }

    /// What the editor can do is read piece by piece: one that it says wrongly costs that piece.
    fn initialize(&mut self, params: &Value) -> Value {
        let offered = params.pointer("/capabilities/general/positionEncodings").and_then(Value::as_array);
        self.encoding = Encoding::best(offered.into_iter().flatten().filter_map(Value::as_str));
        let snippets = "/capabilities/textDocument/completion/completionItem/snippetSupport";
        self.has_snippets = params.pointer(snippets).and_then(Value::as_bool).unwrap_or(false);
        self.phase = Phase::Open;
        let result = InitializeResult {
            capabilities: capabilities(self.encoding),
            server_info: Some(ServerInfo::new("ringout".to_string(), Some(env!("CARGO_PKG_VERSION").to_string()))),
        };
        serde_json::to_value(result).unwrap_or_default()
    }

    /// What the editor tells without asking. What can't be read is passed over, as the protocol says.
    fn told(&mut self, told: Notification) -> Vec<Message> {
        if self.phase != Phase::Open {
            return Vec::new();
        }
        match told.method.as_str() {
            "textDocument/didOpen" => {
                if let Ok(params) = read::<DidOpenTextDocumentParams>(told.params) {
                    let item = params.text_document;
                    let is_rules = item.uri.0.ends_with(".rule");
                    let text = Text::new(item.text);
                    let document = Document { text, version: item.version, is_rules, seen: None, judged: None };
                    self.documents.insert(item.uri.clone(), document);
                    self.look(item.uri);
                }
            }
            "textDocument/didChange" => {
                if let Ok(params) = read::<DidChangeTextDocumentParams>(told.params) {
                    self.change(params);
                }
            }
            "textDocument/didClose" => {
                if let Ok(params) = read::<DidCloseTextDocumentParams>(told.params) {
                    let uri = params.text_document.uri;
                    if self.documents.remove(&uri).is_some() {
                        let _ = self.jobs.send(Job::Forget(uri.clone()));
                        return publish(uri, None, Vec::new());
                    }
                }
            }
            // What one file says may hang on another.
            "textDocument/didSave" | "workspace/didChangeWatchedFiles" => {
                let _ = self.jobs.send(Job::Again);
            }
            _ => {}
        }
        Vec::new()
    }

    fn change(&mut self, params: DidChangeTextDocumentParams) {
        let uri = params.text_document.text_document_identifier.uri;
        let Some(document) = self.documents.get_mut(&uri) else { return };
        for change in params.content_changes {
            let (range, text) = match change {
                TextDocumentContentChangeEvent::TextDocumentContentChangePartial(part) => (Some(part.range), part.text),
                TextDocumentContentChangeEvent::TextDocumentContentChangeWholeDocument(whole) => (None, whole.text),
            };
            document.text.replace(range, &text, self.encoding);
        }
        document.version = params.text_document.version;
        self.look(uri);
    }

    fn look(&self, uri: Uri) {
        let Some(document) = self.documents.get(&uri) else { return };
        let text: Arc<str> = document.text.as_str().into();
        // A worker that is gone can't look; the words can still be answered for.
        let _ = self.jobs.send(Job::Look { uri, version: document.version, text, is_rules: document.is_rules });
    }

    fn looked(&mut self, uri: Uri, model: Model, is_whole: bool) -> Vec<Message> {
        let Some(document) = self.documents.get_mut(&uri) else { return Vec::new() };
        let earlier = document.judged.as_ref().filter(|_| !is_whole);
        let all = diagnose::diagnostics(&model, earlier, &uri, self.encoding);
        let version = model.version;
        if is_whole {
            document.judged = Some(model.clone());
        }
        document.seen = Some(model);
        publish(uri, Some(version), all)
    }

    fn document(&self, uri: &Uri) -> Result<&Document, Refusal> {
        self.documents.get(uri).ok_or_else(|| (ErrorCode::InvalidParams, format!("`{}` is not open", uri.0)))
    }

    fn at(&self, place: &TextDocumentPositionParams) -> Result<(&Document, usize), Refusal> {
        let document = self.document(&place.text_document.uri)?;
        Ok((document, document.text.byte(place.position, self.encoding)))
    }
}

fn plan_of(model: &Model) -> Option<&PlanModel> {
    match &model.of {
        Of::Plan(plan) => Some(plan),
        Of::Rules(_) => None,
    }
}

fn capabilities(encoding: Encoding) -> ServerCapabilities {
    ServerCapabilities {
        position_encoding: Some(encoding.kind()),
        text_document_sync: Some(TextDocumentSync::Options(TextDocumentSyncOptions {
            open_close: Some(true),
            change: Some(TextDocumentSyncKind::Incremental),
            save: Some(true.into()),
            ..TextDocumentSyncOptions::default()
        })),
        hover_provider: Some(HoverProvider::Bool(true)),
        completion_provider: Some(CompletionOptions {
            trigger_characters: Some([" ", ",", ":", "."].map(String::from).to_vec()),
            ..CompletionOptions::default()
        }),
        definition_provider: Some(DefinitionProvider::Bool(true)),
        document_formatting_provider: Some(DocumentFormattingProvider::Bool(true)),
        code_action_provider: Some(CodeActionProvider::CodeActionOptions(CodeActionOptions {
            code_action_kinds: Some(vec![CodeActionKind::QuickFix]),
            ..CodeActionOptions::default()
        })),
        ..ServerCapabilities::default()
    }
}

fn publish(uri: Uri, version: Option<i32>, diagnostics: Vec<Diagnostic>) -> Vec<Message> {
    let params = serde_json::to_value(PublishDiagnosticsParams { uri, version, diagnostics });
    let told = params.map(|params| Notification { method: "textDocument/publishDiagnostics".to_string(), params });
    told.into_iter().map(Message::Notification).collect()
}

fn read<T: DeserializeOwned>(params: Value) -> Result<T, Refusal> {
    serde_json::from_value(params).map_err(|error| (ErrorCode::InvalidParams, error.to_string()))
}

fn value(result: impl Serialize) -> Result<Value, Refusal> {
    serde_json::to_value(result).map_err(|error| (ErrorCode::InternalError, error.to_string()))
}

fn respond(id: RequestId, result: Result<Value, Refusal>) -> Message {
    let response_result = result.map_err(|(code, message)| ResponseError { code: code as i32, message, data: None });
    Message::Response(Response { id, response_result })
}
