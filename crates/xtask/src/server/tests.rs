use super::*;
use std::env;
use std::process;
use std::sync::atomic::AtomicU32;

/// A folder of its own for each test, removed at the end.
struct Folder(PathBuf);

impl Folder {
    fn new(files: &[(&str, &str)]) -> Self {
        static NEXT: AtomicU32 = AtomicU32::new(0);
        let number = NEXT.fetch_add(1, Ordering::Relaxed);
        let folder = env::temp_dir().join(format!("stopkeeper-server-{}-{number}", process::id()));
        for (name, contents) in files {
            crate::project::write(&folder.join("site").join(name), contents).expect("a test file");
        }
        crate::project::write(&folder.join("secret.txt"), "secret").expect("a test file");
        Self(folder)
    }

    fn site(&self) -> PathBuf {
        self.0.join("site")
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        drop(fs::remove_dir_all(&self.0));
    }
}

/// Sends one raw request and returns the whole answer, empty when the connection was dropped.
fn raw(server: &Server, head: &str) -> String {
    let mut stream = TcpStream::connect(server.address).expect("a connection");
    // Offline the other side may be gone before we have written or read: that is an empty answer too.
    drop(stream.write_all(head.as_bytes()));
    drop(stream.shutdown(Shutdown::Write));
    let mut bytes = Vec::new();
    drop(stream.read_to_end(&mut bytes));
    String::from_utf8_lossy(&bytes).into_owned()
}

fn get(server: &Server, path: &str) -> String {
    raw(server, &format!("GET {path} HTTP/1.1\r\nHost: x\r\n\r\n"))
}

fn get_packed(server: &Server, path: &str) -> String {
    raw(
        server,
        &format!("GET {path} HTTP/1.1\r\nAccept-Encoding: gzip, deflate, br, zstd\r\n\r\n"),
    )
}

#[track_caller]
fn has(answer: &str, part: &str) {
    assert!(answer.contains(part), "\"{part}\" is missing in:\n{answer}");
}

#[test]
fn serves_files_with_types_and_caching() {
    let folder = Folder::new(&[
        ("index.html", "<p>page"),
        ("app-0123abcd.wasm", "wasm"),
        ("manifest.webmanifest", "{}"),
        ("sub/index.html", "<p>below"),
    ]);
    let server = Server::start(&folder.site(), 0).expect("a server");

    let page = get(&server, "/");
    has(&page, "200 OK");
    has(&page, "text/html; charset=utf-8");
    has(&page, "Cache-Control: no-cache");
    has(&page, "\r\n\r\n<p>page");
    has(&get(&server, "/?a=1#b"), "<p>page");
    has(&get(&server, "/sub/"), "<p>below");

    let wasm = get(&server, "/app-0123abcd.wasm");
    has(&wasm, "Content-Type: application/wasm");
    has(&wasm, "immutable");
    has(
        &get(&server, "/manifest.webmanifest"),
        "application/manifest+json",
    );
    has(&get(&server, "/nothing.txt"), "404 Not Found");
    has(&get(&server, "/nothing.txt"), "There is no such file here.");
    has(&raw(&server, "POST / HTTP/1.1\r\n\r\n"), "405 Method");
    let head = raw(&server, "HEAD / HTTP/1.1\r\n\r\n");
    has(&head, "Content-Length: 7");
    assert!(!head.contains("<p>page"), "HEAD has no body: {head}");
}

#[test]
fn serves_the_packed_copy_only_to_those_who_take_it() {
    let folder = Folder::new(&[("app.js", "plain"), ("app.js.br", "packed")]);
    let server = Server::start(&folder.site(), 0).expect("a server");

    let packed = get_packed(&server, "/app.js");
    has(&packed, "Content-Encoding: br");
    has(&packed, "Content-Type: text/javascript; charset=utf-8");
    has(&packed, "\r\n\r\npacked");

    let plain = get(&server, "/app.js");
    has(&plain, "\r\n\r\nplain");
    has(&plain, "Vary: Accept-Encoding");
    assert!(!plain.contains("Content-Encoding"), "not packed: {plain}");

    let refused = raw(
        &server,
        "GET /app.js HTTP/1.1\r\nAccept-Encoding: gzip, br;q=0\r\n\r\n",
    );
    has(&refused, "\r\n\r\nplain");
}

#[test]
fn never_leaves_its_folder() {
    let folder = Folder::new(&[("index.html", "<p>page"), (".hidden", "hidden")]);
    let server = Server::start(&folder.site(), 0).expect("a server");
    for path in [
        "/../secret.txt",
        "/%2e%2e/secret.txt",
        "/..%2fsecret.txt",
        "/sub/../../secret.txt",
        "/..\\secret.txt",
        "//etc/passwd",
        "/%2fetc/passwd",
        "/.hidden",
        "/%zz",
        "/%ff",
        "secret.txt",
    ] {
        has(&get(&server, path), "404 Not Found");
    }
}

#[test]
fn offline_drops_new_and_kept_connections() {
    let folder = Folder::new(&[("index.html", "<p>page")]);
    let server = Server::start(&folder.site(), 0).expect("a server");

    // A connection that stays open after its first answer, as browsers keep them.
    let mut kept = TcpStream::connect(server.address).expect("a connection");
    kept.write_all(b"GET / HTTP/1.1\r\n\r\n").expect("request");
    let mut reader = BufReader::new(kept.try_clone().expect("a clone"));
    let mut line = String::new();
    reader.read_line(&mut line).expect("an answer");
    has(&line, "200 OK");

    server.set_online(false);
    let mut rest = Vec::new();
    drop(reader.read_to_end(&mut rest));
    drop(kept.write_all(b"GET / HTTP/1.1\r\n\r\n"));
    let mut after = Vec::new();
    drop(kept.read_to_end(&mut after));
    assert_eq!(after, b"", "a kept connection is over");
    assert_eq!(get(&server, "/"), "", "a new connection has no answer");
    assert_eq!(server.requests(), ["/"], "offline requests do not count");

    server.set_online(true);
    has(&get(&server, "/"), "<p>page");
}

#[test]
fn holds_an_answer_back_until_it_is_let_go() {
    let folder = Folder::new(&[("index.html", "<p>page"), ("slow.txt", "late")]);
    let server = Server::start(&folder.site(), 0).expect("a server");
    server.hold("slow");
    let (answered, answer) = std::sync::mpsc::channel();
    thread::scope(|scope| {
        scope.spawn(|| answered.send(get(&server, "/slow.txt")));
        // What is not held is answered meanwhile, also after the held request has arrived.
        while server.requests().is_empty() {
            thread::yield_now();
        }
        has(&get(&server, "/"), "<p>page");
        assert!(answer.try_recv().is_err(), "the held answer came");
        server.let_go();
        has(&answer.recv().expect("an answer"), "late");
    });
    has(&get(&server, "/slow.txt"), "late");
    // One that is held still ends with the server.
    server.hold("slow");
    let mut kept = TcpStream::connect(server.address).expect("a connection");
    kept.write_all(b"GET /slow.txt HTTP/1.1\r\n\r\n")
        .expect("request");
    drop(server);
    let mut rest = Vec::new();
    drop(kept.read_to_end(&mut rest));
}

#[test]
fn keeps_a_connection_for_several_requests() {
    let folder = Folder::new(&[("index.html", "<p>page"), ("a.txt", "second")]);
    let server = Server::start(&folder.site(), 0).expect("a server");
    let both = raw(&server, "GET / HTTP/1.1\r\n\r\nGET /a.txt HTTP/1.1\r\n\r\n");
    has(&both, "<p>page");
    has(&both, "second");
}

#[test]
fn mounts_under_a_prefix() {
    let folder = Folder::new(&[("index.html", "<p>page"), ("boot.js", "boot")]);
    let server = Server::start_at(&folder.site(), 0, "/some/sub/path/").expect("a server");
    assert!(
        server.url().ends_with("/some/sub/path/"),
        "{}",
        server.url()
    );
    has(&get(&server, "/some/sub/path/"), "<p>page");
    has(&get(&server, "/some/sub/path/boot.js"), "boot");
    has(
        &get(&server, "/some/sub/path"),
        "Location: /some/sub/path/\r\n",
    );
    has(&get(&server, "/"), "404 Not Found");
    has(&get(&server, "/boot.js"), "404 Not Found");

    let error = Server::start_at(&folder.site(), 0, "sub").expect_err("no slashes");
    has(&error.to_string(), "begin and end with a slash");
}

#[test]
fn changes_folder_and_remembers_requests() {
    let first = Folder::new(&[("index.html", "first")]);
    let second = Folder::new(&[("index.html", "second")]);
    let server = Server::start(&first.site(), 0).expect("a server");
    has(&get(&server, "/?x=1"), "first");
    server.set_dir(&second.site());
    has(&get(&server, "/"), "second");
    assert_eq!(server.requests(), ["/?x=1", "/"], "in order, with query");
    server.clear_requests();
    assert_eq!(server.requests(), [""; 0], "forgotten");
}

#[test]
fn a_dropped_server_frees_its_port() {
    let folder = Folder::new(&[("index.html", "<p>page")]);
    let server = Server::start(&folder.site(), 0).expect("a server");
    let address = server.address;
    let taken = Server::start(&folder.site(), address.port()).expect_err("the port is taken");
    has(&taken.to_string(), "choose another one");
    drop(server);
    TcpStream::connect(address).expect_err("nobody listens any more");
}

#[test]
fn spoils_an_answer_as_often_as_it_is_told() {
    let folder = Folder::new(&[
        ("index.html", "<p>page"),
        ("app-0123abcd.js", "whole()"),
        ("app-0123abcd.js.br", "packed"),
    ]);
    let server = Server::start(&folder.site(), 0).expect("a server");
    server.spoil("app-", Fault::Half, 1);
    server.spoil("app-", Fault::IndexPage, 1);
    let half = get_packed(&server, "/app-0123abcd.js");
    has(&half, "immutable");
    assert!(half.ends_with("\r\n\r\nwho"), "half of it: {half}");
    let page = get(&server, "/app-0123abcd.js");
    has(&page, "200 OK");
    has(&page, "text/html");
    has(&page, "immutable");
    has(&page, "\r\n\r\n<p>page");
    has(&get(&server, "/app-0123abcd.js"), "\r\n\r\nwhole()");
    server.spoil("app-", Fault::Half, usize::MAX);
    assert!(get(&server, "/app-0123abcd.js").ends_with("who"), "again");
    server.mend();
    has(&get(&server, "/app-0123abcd.js"), "whole()");
}

#[test]
fn answers_as_the_written_file_tells_a_host_to() {
    let names = [
        "index.html",
        "boot.js",
        "sw.js",
        "manifest.webmanifest",
        "icon.svg",
        "app-0123abcd.wasm",
        "app-0123abcd.js",
        "book-0123abcd.css",
    ];
    let text = headers::written(names);
    let files: Vec<_> = names.iter().map(|name| (*name, "contents")).collect();
    let folder = Folder::new(&files);
    let server = Server::start(&folder.site(), 0).expect("a server");
    // As a host reads it.
    let mut rules: Vec<(&str, Vec<&str>)> = Vec::new();
    for line in text.lines() {
        if line.starts_with(' ') {
            let (_, headers) = rules.last_mut().expect("a path before its headers");
            headers.push(line.trim());
        } else {
            rules.push((line, Vec::new()));
        }
    }
    for path in names
        .iter()
        .map(|name| format!("/{name}"))
        .chain(["/".to_owned()])
    {
        let mut told: Vec<&str> = rules
            .iter()
            .filter(|(rule, _)| *rule == path || *rule == "/*")
            .flat_map(|(_, headers)| headers.clone())
            .collect();
        told.sort_unstable();
        let answer = get(&server, &path);
        let (head, _) = answer.split_once("\r\n\r\n").expect("a head");
        let mut sent: Vec<&str> = head
            .lines()
            .skip(1)
            .filter(|line| !line.starts_with("Content-Length"))
            .collect();
        sent.sort_unstable();
        assert_eq!(sent, told, "{path}");
        assert_eq!(told.len(), 6, "{path}");
    }
    for (rule, _) in rules {
        let known = rule == "/*" || rule == "/" || names.contains(&&rule[1..]);
        assert!(known, "{rule} is no file");
    }
}

#[test]
fn says_with_the_page_for_it_that_there_is_no_file() {
    let folder = Folder::new(&[("index.html", "<p>page"), ("404.html", "<p>nothing here")]);
    let server = Server::start(&folder.site(), 0).expect("a server");
    let missing = get(&server, "/app-0123abcd.js");
    has(&missing, "404 Not Found");
    has(&missing, "text/html");
    has(&missing, "nosniff");
    has(&missing, "<p>nothing here");
}
