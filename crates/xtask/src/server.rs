//! A small static server for `serve` and for the tests.
//!
//! It answers on the loopback address only, can go "offline" (every connection is dropped without an answer, which is
//! what a phone without a signal amounts to), can hold an answer back (a slow line), and can be mounted under a sub-path as
//! on a shared host.

use std::collections::HashMap;
use std::fs;
use std::io::{self, BufRead, BufReader, Read, Write};
use std::net::{Ipv4Addr, Shutdown, SocketAddr, TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::thread::{self, JoinHandle};

use anyhow::{Context, Result, bail};

use crate::headers::{self, Header};

/// A request's head longer than this (in bytes) is not one of a browser.
const HEAD_LIMIT: u64 = 64 * 1024;

/// What a host or something on the way to it can do to an answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// It ends half-way.
    Half,
    /// It is the page instead, with its type, as a host answers that has no such file and does not say so.
    IndexPage,
}

/// A running server; it stops when dropped.
#[derive(Debug)]
pub struct Server {
    shared: Arc<Shared>,
    address: SocketAddr,
    listener: Option<JoinHandle<()>>,
}

#[derive(Debug)]
struct Shared {
    /// Begins and ends with a slash.
    prefix: String,
    dir: Mutex<PathBuf>,
    online: AtomicBool,
    stopping: AtomicBool,
    requests: Mutex<Vec<String>>,
    /// What is not answered for now: paths that contain this.
    held: Mutex<Option<String>>,
    let_go: Condvar,
    /// What is answered wrongly: paths that contain this, how, and how often still.
    faults: Mutex<Vec<(String, Fault, usize)>>,
    /// Open connections, so that going offline also ends those that the browser keeps for later.
    open: Mutex<HashMap<u64, TcpStream>>,
}

impl Server {
    /// Serves a folder at the root; port 0 takes any free port.
    ///
    /// # Errors
    ///
    /// When the port is taken or not allowed.
    pub fn start(dir: &Path, port: u16) -> Result<Self> {
        Self::start_at(dir, port, "/")
    }

    /// Serves a folder under a sub-path such as `/some/sub/path/`; everything outside it is not found.
    ///
    /// # Errors
    ///
    /// When the port is taken or not allowed, or the prefix does not begin and end with a slash.
    pub fn start_at(dir: &Path, port: u16, prefix: &str) -> Result<Self> {
        if !prefix.starts_with('/') || !prefix.ends_with('/') {
            bail!("the prefix \"{prefix}\" has to begin and end with a slash");
        }
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port))
            .with_context(|| format!("port {port} cannot be used, choose another one"))?;
        let address = listener
            .local_addr()
            .context("the server's own address cannot be read")?;
        let shared = Arc::new(Shared {
            prefix: prefix.to_owned(),
            dir: Mutex::new(dir.to_path_buf()),
            online: AtomicBool::new(true),
            stopping: AtomicBool::new(false),
            requests: Mutex::default(),
            held: Mutex::default(),
            let_go: Condvar::new(),
            faults: Mutex::default(),
            open: Mutex::default(),
        });
        let for_thread = Arc::clone(&shared);
        let listener = thread::spawn(move || accept(&listener, &for_thread));
        Ok(Self {
            shared,
            address,
            listener: Some(listener),
        })
    }

    /// The address of the page, with a slash at the end.
    #[must_use]
    pub fn url(&self) -> String {
        format!("http://{}{}", self.address, self.shared.prefix)
    }

    /// Offline (`false`): connections are dropped without an answer, the open ones at once.
    pub fn set_online(&self, online: bool) {
        self.shared.online.store(online, Ordering::SeqCst);
        if !online {
            self.shared.hang_up();
        }
    }

    /// Holds back the answer to every request whose path contains this, until [`Server::let_go`].
    pub fn hold(&self, part: &str) {
        *lock(&self.shared.held) = Some(part.to_owned());
    }

    /// Gives the answers that were held back.
    pub fn let_go(&self) {
        self.shared.let_go();
    }

    /// Answers requests whose path contains this wrongly, so many times, with the headers of the right answer.
    pub fn spoil(&self, part: &str, fault: Fault, times: usize) {
        lock(&self.shared.faults).push((part.to_owned(), fault, times));
    }

    /// Answers everything rightly again.
    pub fn mend(&self) {
        lock(&self.shared.faults).clear();
    }

    /// Serves another folder from the next request on.
    pub fn set_dir(&self, dir: &Path) {
        *lock(&self.shared.dir) = dir.to_path_buf();
    }

    /// The paths asked for while online, with their query, in order.
    #[must_use]
    pub fn requests(&self) -> Vec<String> {
        lock(&self.shared.requests).clone()
    }

    /// Forgets the requests so far.
    pub fn clear_requests(&self) {
        lock(&self.shared.requests).clear();
    }

    /// Waits for ever: for a server that runs until the program is stopped.
    pub fn wait(mut self) {
        if let Some(listener) = self.listener.take() {
            // The listener ends only when told to, and nobody is left to tell it; if it panicked there is nothing to
            // wait for.
            drop(listener.join());
        }
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        self.shared.stopping.store(true, Ordering::SeqCst);
        self.shared.let_go();
        self.shared.hang_up();
        // A connection of our own wakes the listener so that it sees the flag.
        drop(TcpStream::connect(self.address));
        if let Some(listener) = self.listener.take() {
            drop(listener.join());
        }
        self.shared.hang_up();
    }
}

impl Shared {
    fn fault_of(&self, target: &str) -> Option<Fault> {
        let mut faults = lock(&self.faults);
        let (_, fault, times) = faults
            .iter_mut()
            .find(|(part, _, times)| *times > 0 && target.contains(part.as_str()))?;
        *times -= 1;
        Some(*fault)
    }

    /// Comes back when nothing holds this path back.
    fn wait_for(&self, target: &str) {
        let mut held = lock(&self.held);
        while held.as_deref().is_some_and(|part| target.contains(part)) {
            held = self
                .let_go
                .wait(held)
                .unwrap_or_else(PoisonError::into_inner);
        }
    }

    fn let_go(&self) {
        *lock(&self.held) = None;
        self.let_go.notify_all();
    }

    fn hang_up(&self) {
        for (_, stream) in lock(&self.open).drain() {
            // The other side may have closed it already: then it is what we wanted.
            drop(stream.shutdown(Shutdown::Both));
        }
    }
}

/// A panic in one connection's thread leaves these values whole, so a poisoned lock is still good.
fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

fn accept(listener: &TcpListener, shared: &Arc<Shared>) {
    for (id, stream) in (0_u64..).zip(listener.incoming()) {
        if shared.stopping.load(Ordering::SeqCst) {
            return;
        }
        let Ok(stream) = stream else { continue };
        let Ok(kept) = stream.try_clone() else {
            continue;
        };
        lock(&shared.open).insert(id, kept);
        let shared = Arc::clone(shared);
        thread::spawn(move || {
            // An error here is a browser that went away: nobody is left to be told.
            drop(converse(stream, &shared));
            lock(&shared.open).remove(&id);
        });
    }
}

/// Answers the requests of one connection until either side has enough.
fn converse(mut stream: TcpStream, shared: &Shared) -> io::Result<()> {
    stream.set_nodelay(true)?;
    let mut reader = BufReader::new(stream.try_clone()?);
    while let Some(request) = read_request(&mut reader)? {
        // Looked at after the request has arrived: going offline between two requests counts.
        if !shared.online.load(Ordering::SeqCst) || shared.stopping.load(Ordering::SeqCst) {
            return stream.shutdown(Shutdown::Both);
        }
        lock(&shared.requests).push(request.target.clone());
        shared.wait_for(&request.target);
        let dir = lock(&shared.dir).clone();
        let mut response = answer(&request, &dir, &shared.prefix);
        if let Some(fault) = shared.fault_of(&request.target) {
            response = faulty(&request, &dir, &shared.prefix, fault).unwrap_or(response);
        }
        stream.write_all(&response.bytes(request.method == "HEAD"))?;
        if request.has_body {
            // The body is not read, so the connection cannot go on.
            return stream.shutdown(Shutdown::Both);
        }
    }
    Ok(())
}

#[derive(Debug, PartialEq, Eq)]
struct Request {
    method: String,
    target: String,
    takes_brotli: bool,
    has_body: bool,
}

/// Reads one request's head; `None` at the end of the connection.
fn read_request(reader: &mut impl BufRead) -> io::Result<Option<Request>> {
    let mut head = reader.take(HEAD_LIMIT);
    let mut line = String::new();
    if head.read_line(&mut line)? == 0 {
        return Ok(None);
    }
    let mut words = line.split_whitespace();
    let (Some(method), Some(target)) = (words.next(), words.next()) else {
        return Err(io::ErrorKind::InvalidData.into());
    };
    let mut request = Request {
        method: method.to_owned(),
        target: target.to_owned(),
        takes_brotli: false,
        has_body: false,
    };
    loop {
        let mut line = String::new();
        if head.read_line(&mut line)? == 0 {
            return Err(io::ErrorKind::UnexpectedEof.into());
        }
        let line = line.trim();
        if line.is_empty() {
            return Ok(Some(request));
        }
        let Some((name, value)) = line.split_once(':') else {
            continue;
        };
        let value = value.trim();
        if name.eq_ignore_ascii_case("accept-encoding") {
            request.takes_brotli = takes_brotli(value);
        } else if name.eq_ignore_ascii_case("content-length") {
            request.has_body = value != "0";
        } else if name.eq_ignore_ascii_case("transfer-encoding") {
            request.has_body = true;
        }
    }
}

fn takes_brotli(accepted: &str) -> bool {
    accepted.split(',').any(|coding| {
        let mut parts = coding.split(';').map(str::trim);
        parts.next() == Some("br") && parts.all(|part| !matches!(part, "q=0" | "q=0.0"))
    })
}

#[derive(Debug)]
struct Response {
    status: &'static str,
    headers: Vec<Header>,
    body: Vec<u8>,
}

impl Response {
    fn sentence(status: &'static str, sentence: &str) -> Self {
        Self {
            status,
            headers: [
                headers::of_all(),
                vec![
                    ("Content-Type", "text/plain; charset=utf-8".to_owned()),
                    ("Cache-Control", "no-store".to_owned()),
                ],
            ]
            .concat(),
            body: format!("{sentence}\n").into_bytes(),
        }
    }

    fn bytes(self, head_only: bool) -> Vec<u8> {
        let mut bytes = format!("HTTP/1.1 {}\r\n", self.status).into_bytes();
        for (name, value) in &self.headers {
            bytes.extend_from_slice(format!("{name}: {value}\r\n").as_bytes());
        }
        bytes.extend_from_slice(format!("Content-Length: {}\r\n\r\n", self.body.len()).as_bytes());
        if !head_only {
            bytes.extend_from_slice(&self.body);
        }
        bytes
    }
}

fn answer(request: &Request, dir: &Path, prefix: &str) -> Response {
    if !matches!(request.method.as_str(), "GET" | "HEAD") {
        return Response::sentence("405 Method Not Allowed", "Only GET and HEAD work here.");
    }
    let path = request.target.split(['?', '#']).next().unwrap_or_default();
    if prefix.strip_suffix('/') == Some(path) && !path.is_empty() {
        let mut response = Response::sentence("301 Moved Permanently", "The page is one slash on.");
        response.headers.push(("Location", prefix.to_owned()));
        return response;
    }
    let found = path
        .strip_prefix(prefix)
        .and_then(relative)
        .and_then(|name| {
            let name = if name.is_empty() || name.ends_with('/') {
                format!("{name}index.html")
            } else {
                name
            };
            file_response(dir, &name, request.takes_brotli)
        });
    found.unwrap_or_else(|| not_found(dir))
}

/// Half of the right file, or the page, as if it were the file; both unpacked, for packed halves would be noticed.
fn faulty(request: &Request, dir: &Path, prefix: &str, fault: Fault) -> Option<Response> {
    let path = request.target.split(['?', '#']).next()?;
    let name = relative(path.strip_prefix(prefix)?)?;
    let mut response = file_response(dir, &name, false)?;
    match fault {
        Fault::Half => response.body.truncate(response.body.len() / 2),
        Fault::IndexPage => {
            let page = file_response(dir, "index.html", false)?;
            let kind =
                |headers: &[Header]| headers.iter().position(|(name, _)| *name == "Content-Type");
            let (own, other) = (kind(&response.headers)?, kind(&page.headers)?);
            response.headers[own] = page.headers[other].clone();
            response.body = page.body;
        }
    }
    Some(response)
}

fn not_found(dir: &Path) -> Response {
    let mut response = Response::sentence("404 Not Found", "There is no such file here.");
    if let Some(page) = file_response(dir, headers::NOT_FOUND, false) {
        response.headers = page.headers;
        response.body = page.body;
    }
    response
}

fn file_response(dir: &Path, name: &str, takes_brotli: bool) -> Option<Response> {
    let path = dir.join(name);
    let mut headers = [headers::of_all(), headers::of_file(name)].concat();
    let packed = dir.join(format!("{name}.br"));
    let has_packed = packed.is_file();
    if has_packed {
        headers.push(("Vary", "Accept-Encoding".to_owned()));
    }
    let body = if has_packed && takes_brotli {
        headers.push(("Content-Encoding", "br".to_owned()));
        fs::read(packed)
    } else {
        fs::read(path)
    };
    Some(Response {
        status: "200 OK",
        headers,
        body: body.ok()?,
    })
}

/// The path inside the folder, or `None` when it would lead out of it or to a hidden file.
fn relative(path: &str) -> Option<String> {
    let decoded = percent_decoded(path)?;
    let strange = decoded.contains(['\\', '\0', ':'])
        || decoded.starts_with('/')
        || decoded.split('/').any(|part| part.starts_with('.'));
    (!strange).then_some(decoded)
}

fn percent_decoded(path: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(path.len());
    let mut rest = path.bytes();
    while let Some(byte) = rest.next() {
        if byte == b'%' {
            let digits = [rest.next()?, rest.next()?];
            let digits = std::str::from_utf8(&digits).ok()?;
            bytes.push(u8::from_str_radix(digits, 16).ok()?);
        } else {
            bytes.push(byte);
        }
    }
    String::from_utf8(bytes).ok()
}

#[cfg(test)]
mod tests;
