//! The driver of a browser, and with it the browser.

use std::{
    io::{BufRead, BufReader, Read, Write},
    net::{Ipv4Addr, TcpListener, TcpStream},
    path::Path,
    process::{Child, Command, Stdio},
    thread,
    time::{Duration, Instant},
};

use anyhow::{Context, Result, bail, ensure};
use fantoccini::wd::Capabilities;
use serde_json::json;

use super::{
    browser::{Setup, Tools},
    engine::Engine,
    folder::Folder,
};

/// How long a driver may take to come up or to end.
const PATIENCE: Duration = Duration::from_secs(20);

/// The driver, and with it the browser; both end when it is dropped.
#[derive(Debug)]
pub(super) struct Driver {
    engine: Engine,
    process: Child,
    pub(super) port: u16,
    /// The screen of a browser that cannot do without one.
    screen: Option<Child>,
    // Removed after the browser has let go of it, because fields are dropped after `drop` ran.
    profile: Folder,
}

impl Driver {
    /// Starts a driver on a port of its own choice.
    pub(super) fn start(tools: &Tools) -> Result<Self> {
        match tools.engine {
            Engine::Chromium => Self::start_chromium(tools),
            Engine::Firefox => Self::start_firefox(tools),
            Engine::WebKit => Self::start_webkit(tools),
        }
    }

    /// It takes a free port of one protocol and then wants the same of the other, where it may be in use: then it ends, and
    /// the next one chooses another.
    fn start_chromium(tools: &Tools) -> Result<Self> {
        const CHOICES: usize = 5;
        let mut choice = 1;
        loop {
            let mut command = Command::new(&tools.driver);
            command.arg("--port=0");
            let started = Self::until_named(tools, command, |line| {
                let (before, port) = line.rsplit_once("on port ")?;
                before.contains("successfully").then_some(port)
            });
            match started {
                Err(error)
                    if choice < CHOICES && format!("{error:#}").contains("port not available") =>
                {
                    choice += 1;
                }
                started => return started,
            }
        }
    }

    fn start_firefox(tools: &Tools) -> Result<Self> {
        let mut command = Command::new(&tools.driver);
        command.args(["--port", "0", "--websocket-port", "0"]);
        // The size of a phone is set where web pages cannot reach.
        command.arg("--allow-system-access");
        Self::until_named(tools, command, |line| {
            line.rsplit_once("Listening on 127.0.0.1:")
                .map(|(_, port)| port)
        })
    }

    /// Reads what a driver says until it has named its port.
    fn until_named(
        tools: &Tools,
        mut command: Command,
        port_in: impl Fn(&str) -> Option<&str>,
    ) -> Result<Self> {
        let profile = Folder::new("profile")?;
        command.stdout(Stdio::piped());
        let mut driver = Self::spawn(tools, command, profile, None)?;
        let said = driver
            .process
            .stdout
            .take()
            .context("the driver has no output")?;
        let mut said = BufReader::new(said);
        let mut lines = Vec::new();
        loop {
            let mut line = String::new();
            if said.read_line(&mut line)? == 0 {
                bail!("the driver ended before it named its port; it said {lines:?}");
            }
            let port = port_in(&line).map(|port| port.trim().trim_end_matches('.').parse());
            if let Some(Ok(port)) = port {
                driver.port = port;
                // What it goes on to say is read too, else it would stop when nobody listens.
                thread::spawn(move || said.read_to_end(&mut Vec::new()));
                return Ok(driver);
            }
            lines.push(line);
        }
    }

    /// This driver chooses no port and says nothing: it gets one that was free a moment ago.
    fn start_webkit(tools: &Tools) -> Result<Self> {
        let program = tools.screen.as_deref().context("WebKit needs a screen")?;
        let (screen, display) = start_screen(program)?;
        let profile = Folder::new("profile")?;
        let port = TcpListener::bind((Ipv4Addr::LOCALHOST, 0))?
            .local_addr()?
            .port();
        let mut command = Command::new(&tools.driver);
        command
            .arg(format!("--port={port}"))
            .env("DISPLAY", display);
        command.stdout(Stdio::null());
        let mut driver = Self::spawn(tools, command, profile, Some(screen))?;
        driver.port = port;
        let began = Instant::now();
        while TcpStream::connect((Ipv4Addr::LOCALHOST, port)).is_err() {
            let ended = driver.process.try_wait()?;
            ensure!(ended.is_none(), "the driver ended at once: {ended:?}");
            ensure!(began.elapsed() < PATIENCE, "the driver does not answer");
            thread::yield_now();
        }
        Ok(driver)
    }

    fn spawn(
        tools: &Tools,
        mut command: Command,
        profile: Folder,
        screen: Option<Child>,
    ) -> Result<Self> {
        if tools.engine != Engine::Chromium {
            // Nothing of this machine's user, and nothing that two browsers share.
            for (variable, name) in [
                ("HOME", "home"),
                ("XDG_CACHE_HOME", "cache"),
                ("XDG_CONFIG_HOME", "config"),
                ("XDG_DATA_HOME", "data"),
                ("XDG_RUNTIME_DIR", "run"),
                ("TMPDIR", "tmp"),
            ] {
                let folder = profile.path().join(name);
                std::fs::create_dir(&folder)?;
                command.env(variable, folder);
            }
            command.env("LANG", "en_GB.UTF-8");
        }
        // A group of its own, with all that it starts.
        #[cfg(unix)]
        std::os::unix::process::CommandExt::process_group(&mut command, 0);
        let process = command
            .stdin(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .with_context(|| format!("could not start {}", tools.driver.display()))?;
        Ok(Self {
            engine: tools.engine,
            process,
            port: 0,
            screen,
            profile,
        })
    }

    /// What the driver is told about the browser that it is to start.
    pub(super) fn capabilities(&self, tools: &Tools, setup: &Setup) -> Result<Capabilities> {
        let mut capabilities = Capabilities::new();
        match self.engine {
            Engine::Chromium => {
                capabilities.insert("browserName".into(), json!("chrome"));
                capabilities.insert("goog:chromeOptions".into(), self.chromium(tools, setup));
                capabilities.insert(
                    "goog:loggingPrefs".into(),
                    json!({ "browser": "ALL", "performance": "ALL" }),
                );
            }
            Engine::Firefox => {
                let mut preferences = json!({
                    "intl.accept_languages": "en-GB",
                    // Whatever is not the test's own server does not exist.
                    "network.dns.disabled": true,
                });
                if setup.forbids_storage {
                    preferences["network.cookie.cookieBehavior"] = json!(2);
                }
                let options = json!({
                    "binary": tools.browser,
                    "args": ["-headless", "--width=1280", "--height=885"],
                    "prefs": preferences,
                });
                capabilities.insert("browserName".into(), json!("firefox"));
                capabilities.insert("moz:firefoxOptions".into(), options);
            }
            Engine::WebKit => {
                ensure!(!setup.forbids_storage, "WebKit cannot forbid storage");
                let options = json!({ "binary": tools.browser, "args": ["--automation"] });
                capabilities.insert("webkitgtk:browserOptions".into(), options);
            }
        }
        if self.engine != Engine::Chromium {
            let plain = setup.preferences == json!({}) && setup.arguments.is_empty();
            ensure!(
                plain && setup.film.is_none(),
                "only Chromium takes such a set-up"
            );
        }
        Ok(capabilities)
    }

    fn chromium(&self, tools: &Tools, setup: &Setup) -> serde_json::Value {
        let screen = setup.screen;
        let mut preferences = setup.preferences.clone();
        if setup.forbids_storage {
            preferences["profile.default_content_setting_values.cookies"] = json!(2);
        }
        let mut options = json!({
            "binary": tools.browser,
            "args": [
                "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
                "--disable-background-networking", "--disable-component-update", "--disable-sync",
                "--disable-dev-shm-usage", "--lang=en-GB",
                // Whatever is not the test's own server does not exist.
                "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1, EXCLUDE localhost",
                format!("--window-size={},{}", screen.width, screen.height),
                format!("--user-data-dir={}", self.profile.path().display()),
            ],
            "prefs": preferences,
            "perfLoggingPrefs": { "enableNetwork": true, "enablePage": false },
        });
        if let Some(arguments) = options["args"].as_array_mut() {
            arguments.extend(setup.arguments.iter().map(|argument| json!(argument)));
            let film = setup.film.iter();
            arguments.extend(film.map(|film| {
                json!(format!(
                    "--use-file-for-fake-video-capture={}",
                    film.display()
                ))
            }));
        }
        if screen.touch {
            options["mobileEmulation"] = json!({
                "deviceMetrics": {
                    "width": screen.width, "height": screen.height, "pixelRatio": 2.0, "touch": true, "mobile": true,
                },
            });
        }
        options
    }

    /// Kills Chromium at once, with everything that it has not written to the disk.
    pub(super) fn kill_browser(&self) -> Result<()> {
        let profile = format!("--user-data-dir={}", self.profile.path().display());
        let mut killed = 0;
        for entry in std::fs::read_dir("/proc")? {
            let path = entry?.path();
            // A process may have ended in between.
            let line = std::fs::read_to_string(path.join("cmdline")).unwrap_or_default();
            let words: Vec<&str> = line.split('\0').collect();
            // The first process of the browser; the others end with it.
            let is_browser = words.contains(&profile.as_str())
                && !words.iter().any(|word| word.starts_with("--type="));
            let number = path.file_name().and_then(|name| name.to_str());
            if let Some(number) = number.filter(|_| is_browser) {
                let done = Command::new("kill").args(["-9", number]).status()?;
                killed += u32::from(done.success());
            }
        }
        ensure!(killed > 0, "no browser runs on {profile}");
        // The lock of a browser that is gone would keep the next one out.
        for lock in ["SingletonLock", "SingletonCookie", "SingletonSocket"] {
            // OK to ignore: not every browser leaves one.
            drop(std::fs::remove_file(self.profile.path().join(lock)));
        }
        Ok(())
    }

    /// Asks Chromium's driver to close its browsers, and waits for the answer.
    fn shut_down(&self) -> std::io::Result<()> {
        let mut stream = TcpStream::connect((Ipv4Addr::LOCALHOST, self.port))?;
        stream.set_read_timeout(Some(PATIENCE))?;
        write!(
            stream,
            "GET /shutdown HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n"
        )?;
        let mut answer = [0; 64];
        stream.read(&mut answer).map(drop)
    }
}

impl Drop for Driver {
    fn drop(&mut self) {
        // OK to go on after an error: the driver may be gone already, and then nothing is left to end.
        if self.engine == Engine::Chromium {
            if self.shut_down().is_err() {
                drop(self.process.kill());
            }
        } else {
            // The driver alone would leave its browsers behind.
            let group = format!("-{}", self.process.id());
            drop(Command::new("kill").args(["-KILL", "--", &group]).status());
        }
        drop(self.process.wait());
        if let Some(screen) = &mut self.screen {
            drop(screen.kill());
            drop(screen.wait());
        }
    }
}

/// A screen that nobody sees, and its name.
fn start_screen(program: &Path) -> Result<(Child, String)> {
    let mut screen = Command::new(program)
        .args([
            "-displayfd",
            "1",
            "-screen",
            "0",
            "1600x1200x24",
            "-nolisten",
            "tcp",
        ])
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .with_context(|| format!("could not start {}", program.display()))?;
    let mut number = String::new();
    if let Some(said) = screen.stdout.take() {
        BufReader::new(said).read_line(&mut number)?;
    }
    ensure!(!number.trim().is_empty(), "the screen has no number");
    Ok((screen, format!(":{}", number.trim())))
}
