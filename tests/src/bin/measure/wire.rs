//! A wire between the browser and a server that knows what went over it.

use std::{
    collections::BTreeMap,
    io::{BufRead, BufReader, Read, Write},
    net::{Ipv4Addr, SocketAddr, TcpListener, TcpStream},
    path::Path,
    sync::{
        Arc, Mutex, MutexGuard, PoisonError,
        atomic::{AtomicBool, Ordering},
    },
    thread::{self, JoinHandle},
};

use anyhow::{Context, Result};
use xtask::server::Server;

/// The two headers that let a page read the clock to 5 µs; without them Chromium rounds it to 100 µs.
const FINE_CLOCK: &str =
    "Cross-Origin-Opener-Policy: same-origin\r\nCross-Origin-Embedder-Policy: require-corp\r\n";

/// How often a file went over the wire, and how many bytes that was, heads of the answers included.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct Carried {
    pub(crate) times: usize,
    pub(crate) bytes: usize,
}

impl Carried {
    /// The same file carried once.
    pub(crate) fn once(self) -> Self {
        let bytes = self.bytes.checked_div(self.times).unwrap_or_default();
        Self { times: 1, bytes }
    }
}

/// What went over the wire, by path.
pub(crate) type Tally = BTreeMap<String, Carried>;

/// Bytes of a whole tally.
pub(crate) fn total(tally: &Tally) -> usize {
    tally.values().map(|carried| carried.bytes).sum()
}

/// A folder that is served on a fresh address, so that nothing of it is known to the browser yet.
#[derive(Debug)]
pub(crate) struct Wire {
    address: SocketAddr,
    shared: Arc<Shared>,
    listener: Option<JoinHandle<()>>,
}

#[derive(Debug)]
struct Shared {
    server: Server,
    far_end: String,
    fine_clock: bool,
    tally: Mutex<Tally>,
    stopping: AtomicBool,
}

impl Wire {
    /// Serves a folder; with `fine_clock` its pages can read the clock finely.
    pub(crate) fn start(folder: &Path, fine_clock: bool) -> Result<Self> {
        let server = Server::start(folder, 0)?;
        let url = server.url();
        let far_end = url.trim_start_matches("http://").trim_end_matches('/');
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).context("no port is free")?;
        let address = listener.local_addr()?;
        let shared = Arc::new(Shared {
            far_end: far_end.to_owned(),
            server,
            fine_clock,
            tally: Mutex::default(),
            stopping: AtomicBool::new(false),
        });
        let for_thread = Arc::clone(&shared);
        let listener = Some(thread::spawn(move || accept(&listener, &for_thread)));
        Ok(Self {
            address,
            shared,
            listener,
        })
    }

    /// The address of the page.
    pub(crate) fn url(&self) -> String {
        format!("http://{}/", self.address)
    }

    /// What has gone over it so far.
    pub(crate) fn tally(&self) -> Tally {
        lock(&self.shared.tally).clone()
    }
}

impl Drop for Wire {
    fn drop(&mut self) {
        self.shared.stopping.store(true, Ordering::SeqCst);
        self.shared.server.set_online(false);
        // A connection of our own wakes the listener, so that it sees the flag.
        drop(TcpStream::connect(self.address));
        if let Some(listener) = self.listener.take() {
            drop(listener.join());
        }
    }
}

/// A panic in one connection's thread leaves the tally whole, so a poisoned lock is still good.
fn lock(tally: &Mutex<Tally>) -> MutexGuard<'_, Tally> {
    tally.lock().unwrap_or_else(PoisonError::into_inner)
}

fn accept(listener: &TcpListener, shared: &Arc<Shared>) {
    for stream in listener.incoming() {
        if shared.stopping.load(Ordering::SeqCst) {
            return;
        }
        let Ok(near) = stream else { continue };
        let shared = Arc::clone(shared);
        // An error is one side that went away, which ends the connection as it should.
        thread::spawn(move || drop(carry(&near, &shared)));
    }
}

/// Carries requests and answers until either side has enough.
fn carry(near: &TcpStream, shared: &Shared) -> Result<()> {
    near.set_nodelay(true)?;
    let far = TcpStream::connect(&shared.far_end)?;
    far.set_nodelay(true)?;
    let (mut from_near, mut from_far) = (BufReader::new(near), BufReader::new(&far));
    let (mut to_near, mut to_far) = (near, &far);
    while let Some(request) = head(&mut from_near)? {
        to_far.write_all(request.as_bytes())?;
        let Some(answer) = head(&mut from_far)? else {
            return Ok(());
        };
        let length = body_length(&answer).context("an answer without a length")?;
        let mut body = vec![0; length];
        from_far.read_exact(&mut body)?;
        let added = if shared.fine_clock { FINE_CLOCK } else { "" };
        // The last two bytes are the empty line that ends the head.
        let lines = &answer[..answer.len() - 2];
        let mut bytes = format!("{lines}{added}\r\n").into_bytes();
        bytes.extend_from_slice(&body);
        let path = request.split(' ').nth(1).unwrap_or_default();
        {
            let mut tally = lock(&shared.tally);
            let carried = tally.entry(path.to_owned()).or_default();
            carried.times += 1;
            carried.bytes += answer.len() + length;
        }
        to_near.write_all(&bytes)?;
    }
    Ok(())
}

/// A head with the empty line that ends it; nothing at the end of the connection.
fn head(reader: &mut impl BufRead) -> Result<Option<String>> {
    let mut text = String::new();
    loop {
        let before = text.len();
        if reader.read_line(&mut text)? == 0 {
            return Ok(None);
        }
        if &text[before..] == "\r\n" {
            return Ok(Some(text));
        }
    }
}

fn body_length(head: &str) -> Option<usize> {
    head.lines().find_map(|line| {
        let (name, value) = line.split_once(':')?;
        let is_length = name.eq_ignore_ascii_case("content-length");
        is_length.then(|| value.trim().parse().ok()).flatten()
    })
}
