//! The program run as scripts and people run it, and a folder of a test's own.

#![allow(dead_code, reason = "each test file uses its part")]

use std::io::Write;
use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

/// One rule, so that these tests hang on no figure of the built-in pack.
pub const RULE: &str = "\
rule tall-panel \"Panels stand high enough\"
  why     A panel at knee height is kicked.
  cites   NEC 2014 to NEC 2026: 1.1, memory
  figures memory
  stage   final
  level   required
  value   height: at least 10 in
  for     each panel p
  where   there \"a panel\": yes
  needs   high \"height\": p.handle-height within height
  points  p.handle-height
  else    \"{p} stands too low\"
  example pass
    panel P1: 20 in up
  example attention at P1
    panel P1: 5 in up
  example unknown missing handle-height
    panel P1
";

/// The program, about to run where the repository is.
pub fn command(args: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_ringout"));
    command.args(args).current_dir(env!("CARGO_MANIFEST_DIR"));
    command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    command
}

pub fn ringout(args: &[&str], stdin: &str) -> Output {
    let mut child = command(args).spawn().unwrap();
    // The program may end before it has read all.
    let _ = child.stdin.take().unwrap().write_all(stdin.as_bytes());
    child.wait_with_output().unwrap()
}

pub fn status(output: &Output) -> i32 {
    output.status.code().unwrap_or(-1)
}

pub fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

pub fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// A folder of its own for one test, gone with it.
pub struct Folder(pub PathBuf);

impl Folder {
    pub fn new(name: &str) -> Folder {
        let path = std::env::temp_dir().join(format!("ringout-{name}-{}", std::process::id()));
        std::fs::create_dir_all(&path).unwrap();
        Folder(path)
    }

    pub fn file(&self, name: &str) -> String {
        self.0.join(name).display().to_string()
    }

    pub fn write(&self, name: &str, text: &[u8]) -> String {
        std::fs::write(self.0.join(name), text).unwrap();
        self.file(name)
    }

    pub fn names(&self) -> Vec<String> {
        let entries = std::fs::read_dir(&self.0).unwrap();
        let mut names: Vec<String> = entries.map(|e| e.unwrap().file_name().to_string_lossy().into_owned()).collect();
        names.sort();
        names
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}
