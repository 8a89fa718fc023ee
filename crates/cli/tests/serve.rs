//! `huewright serve` as a person starts and ends it, over real sockets.

#![cfg(unix)]
#![allow(clippy::unwrap_used, reason = "helpers of a test")]

use std::io::{BufRead, BufReader, Read, Write};
use std::net::{TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdout, Command, Output, Stdio};
use std::time::{Duration, Instant};

fn folder(name: &str) -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join("serve").join(name);
    let _ = std::fs::remove_dir_all(&path);
    path
}

fn command(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_huewright"));
    command.arg("serve").args(arguments).stdout(Stdio::piped()).stderr(Stdio::piped());
    command
}

/// A server that runs; ended when the test fails, too.
struct Running {
    child: Child,
    out: BufReader<ChildStdout>,
    line: String,
    port: u16,
}

impl Drop for Running {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn start(arguments: &[&str]) -> Running {
    let mut child = command(arguments).spawn().unwrap();
    let mut out = BufReader::new(child.stdout.take().unwrap());
    let mut line = String::new();
    out.read_line(&mut line).unwrap();
    let port = line.split("http://").nth(1).and_then(|l| l.split(['/', ':']).nth(1)?.parse().ok());
    Running { child, out, port: port.unwrap_or(0), line }
}

impl Running {
    fn signal(&self, name: &str) {
        let sent = Command::new("kill").args([name, &self.child.id().to_string()]).status().unwrap();
        assert!(sent.success());
    }

    /// Exit status, what else was printed, and what was said on the error stream.
    fn ended(mut self) -> (Option<i32>, String, String) {
        let started = Instant::now();
        let status = loop {
            match self.child.try_wait().unwrap() {
                Some(status) => break status,
                None if started.elapsed() > Duration::from_secs(30) => panic!("it does not end"),
                None => std::thread::sleep(Duration::from_millis(20)),
            }
        };
        let (mut out, mut error) = (String::new(), String::new());
        self.out.read_to_string(&mut out).unwrap();
        self.child.stderr.take().unwrap().read_to_string(&mut error).unwrap();
        (status.code(), out, error)
    }

    /// Sends the lines of a request as they are; returns the whole answer.
    fn exchange(&self, lines: &str) -> String {
        exchange(self.port, lines)
    }

    fn get(&self, path: &str) -> String {
        self.exchange(&format!("GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nConnection: close\r\n\r\n", self.port))
    }
}

fn exchange(port: u16, lines: &str) -> String {
    let mut socket = TcpStream::connect(("127.0.0.1", port)).unwrap();
    socket.set_read_timeout(Some(Duration::from_secs(120))).unwrap();
    // A server that has read enough may answer and hang up before all is sent.
    let _ = socket.write_all(lines.as_bytes());
    let mut answer = Vec::new();
    let _ = socket.read_to_end(&mut answer);
    String::from_utf8_lossy(&answer).into_owned()
}

fn refused(arguments: &[&str], words: &[&str]) {
    let Output { status, stdout, stderr } = command(arguments).output().unwrap();
    let error = String::from_utf8(stderr).unwrap();
    assert_eq!((status.code(), stdout.len()), (Some(2), 0), "{error}");
    assert_eq!(error.trim_end().lines().count(), 1, "{error}");
    for word in words {
        assert!(error.contains(word), "'{word}' is missing in: {error}");
    }
}

#[test]
fn it_starts_answers_and_ends() {
    for (signal, name) in [("-TERM", "term"), ("-INT", "int")] {
        let folder = folder(name);
        let shown = folder.display().to_string();
        let running = start(&["--port", "0", "--folder", &shown]);
        assert!(running.line.contains("http://127.0.0.1:") && running.line.contains("Ctrl-C"), "{}", running.line);
        assert!(running.line.contains(&folder.canonicalize().unwrap().display().to_string()), "{}", running.line);
        let page = running.get("/");
        assert!(page.starts_with("HTTP/1.1 200 OK") && page.contains("content-security-policy"), "{page}");
        assert!(running.get("/api/records").ends_with("{\"schema\":1,\"records\":[]}"));
        running.signal(signal);
        let (status, out, _) = running.ended();
        assert_eq!((status, out.as_str()), (Some(0), ""));
    }
}

#[test]
fn a_path_that_leaves_the_page_leads_nowhere() {
    let running = start(&["--port", "0", "--folder", &folder("path").display().to_string()]);
    for path in [
        "/../Cargo.toml",
        "/..%2f..%2fetc/passwd",
        "/%2e%2e/%2e%2e/etc/passwd",
        "//etc/passwd",
        "/api/records/recipe/../../x",
    ] {
        let answer = running.get(path);
        assert!(answer.starts_with("HTTP/1.1 404") && answer.contains("{\"error\""), "{path}: {answer}");
    }
    assert!(
        running
            .exchange("GET / HTTP/1.1\r\nHost: evil.example\r\nConnection: close\r\n\r\n")
            .starts_with("HTTP/1.1 421")
    );
    assert!(running.exchange("nonsense\r\n\r\n").starts_with("HTTP/1.1 400"));
    let long = format!("GET / HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nX: {}\r\n\r\n", running.port, "x".repeat(400_000));
    assert!(running.exchange(&long).starts_with("HTTP/1.1 431"));
}

#[test]
fn what_is_under_way_is_finished_before_the_end() {
    let running = start(&["--port", "0", "--folder", &folder("under-way").display().to_string()]);
    let text = "# ".to_owned() + &"x".repeat(50_000);
    let mut socket = TcpStream::connect(("127.0.0.1", running.port)).unwrap();
    let head = format!(
        "PUT /api/records/recipe/r HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nContent-Length: {}\r\n\r\n",
        running.port,
        text.len()
    );
    socket.write_all(head.as_bytes()).unwrap();
    socket.write_all(&text.as_bytes()[..1000]).unwrap();
    // The request has begun; a second connection that is answered shows that the first was taken in.
    assert!(running.get("/api/records").contains("\"records\":[]"));
    running.signal("-TERM");
    // It takes in no new ones from some moment on; a server that never stops fails by the limit, however slow the machine.
    let closed = (0..2_000).any(|_| {
        std::thread::sleep(Duration::from_millis(5));
        TcpStream::connect(("127.0.0.1", running.port)).is_err()
    });
    assert!(closed, "it takes in new ones after the signal");
    socket.write_all(&text.as_bytes()[1000..]).unwrap();
    let mut answer = String::new();
    socket.read_to_string(&mut answer).unwrap();
    assert!(answer.starts_with("HTTP/1.1 201"), "{answer}");
    assert_eq!(running.ended().0, Some(0));
    assert_eq!(std::fs::read_to_string(folder_of("under-way").join("recipe/r.toml")).unwrap(), text);
}

fn folder_of(name: &str) -> PathBuf {
    Path::new(env!("CARGO_TARGET_TMPDIR")).join("serve").join(name)
}

#[test]
fn a_taken_port_is_said_and_the_next_one_offered() {
    let taken = TcpListener::bind("127.0.0.1:0").unwrap();
    let port = taken.local_addr().unwrap().port().to_string();
    let shown = folder("taken").display().to_string();
    refused(&["--port", &port, "--folder", &shown], &[&port, "taken", "leave out --port"]);
    // Whether this succeeds or another has it: from here on it is taken.
    let usual = TcpListener::bind("127.0.0.1:4717");
    let running = start(&["--folder", &shown]);
    assert!((4718..=4727).contains(&running.port), "{}", running.line);
    running.signal("-TERM");
    let (status, _, error) = running.ended();
    assert_eq!(status, Some(0));
    assert!(error.contains("4717 is taken"), "{error}");
    drop(usual);
}

#[test]
fn a_network_gets_a_token_in_the_address() {
    let shown = folder("network").display().to_string();
    let running = start(&["--port", "0", "--folder", &shown, "--host", "0.0.0.0"]);
    let token = running.line.split("?token=").nth(1).unwrap().split(' ').next().unwrap().to_owned();
    assert_eq!(token.len(), 32, "{}", running.line);
    assert!(running.get("/").starts_with("HTTP/1.1 401"));
    assert!(running.get(&format!("/?token={token}")).starts_with("HTTP/1.1 303"));
    running.signal("-TERM");
    let (status, _, error) = running.ended();
    assert_eq!(status, Some(0));
    assert!(error.contains("not encrypted") && !error.contains(&token), "{error}");
}

#[test]
fn bad_options_are_refused() {
    let shown = folder("bad").display().to_string();
    refused(&["--port", "0", "--folder", &shown, "--token-file", "none/here"], &["none/here"]);
    refused(&["--port", "0", "--folder", &shown, "--allow-host", "http://x/"], &["NAME:PORT"]);
    refused(&["--port", "0", "--folder", "/dev/null/records"], &["folder of records"]);
    // An address of documentation (RFC 5737) is none of this machine.
    refused(&["--port", "0", "--folder", &shown, "--host", "192.0.2.1"], &["192.0.2.1"]);
}
