use std::{
    cell::{Cell, RefCell},
    env,
    io::{BufRead, BufReader, Read, Write},
    net::{Ipv4Addr, TcpStream},
    path::{Path, PathBuf},
    process::{Child, Command, Stdio},
    time::{Duration, Instant},
};

use anyhow::{Context, Result, bail, ensure};
use fantoccini::{
    Client, ClientBuilder,
    wd::{Capabilities, WebDriverCompatibleCommand},
};
use http::Method;
use serde_json::{Value, json};
use tokio::sync::{Semaphore, SemaphorePermit};
use url::{ParseError, Url};
use xtask::server::Server;

use super::{find::Found, folder::Folder};

/// How long a condition may take before the test gives up.
const PATIENCE: Duration = Duration::from_secs(10);
/// How often a condition is looked at.
const LOOK_EVERY: Duration = Duration::from_millis(12);

/// A browser wants a core of its own; more at once only make each other late.
static BROWSERS: Semaphore = Semaphore::const_new(2);

/// Written into each document before anything else of it runs.
const WATCH: &str = "
    globalThis.watched = { violations: [], failures: [] };
    addEventListener('securitypolicyviolation', e => watched.violations.push(e.violatedDirective + ' ' + e.blockedURI));
    addEventListener('error', e => watched.failures.push(String(e.message)));
    addEventListener('unhandledrejection', e => watched.failures.push(String(e.reason)));
";

/// Where the built page and the programs are.
#[derive(Debug, Clone)]
pub struct Tools {
    /// The built page.
    pub dist: PathBuf,
    /// The script of axe-core.
    pub axe: PathBuf,
    chromium: PathBuf,
    chromedriver: PathBuf,
}

impl Tools {
    /// Reads the environment.
    ///
    /// # Errors
    ///
    /// Fails where a variable is missing or what it names does not exist.
    pub fn from_environment() -> Result<Self> {
        let given = |name: &str| -> Result<PathBuf> {
            let path = env::var_os(name).map(PathBuf::from);
            let path =
                path.with_context(|| format!("{name} is not set; `cargo xtask test` sets it"))?;
            ensure!(
                path.exists(),
                "{name} names {}, which does not exist",
                path.display()
            );
            Ok(path)
        };
        let program = |variable: &str, names: &[&str]| -> Result<PathBuf> {
            if env::var_os(variable).is_some() {
                return given(variable);
            }
            let folders: Vec<PathBuf> =
                env::split_paths(&env::var_os("PATH").unwrap_or_default()).collect();
            let found = names
                .iter()
                .flat_map(|name| folders.iter().map(move |folder| folder.join(name)));
            found.into_iter().find(|path| path.is_file()).with_context(|| {
                format!("no {} on the path; `cargo xtask setup` installs it, or {variable} names it", names[0])
            })
        };
        Ok(Self {
            dist: given("STOPKEEPER_DIST")?,
            axe: given("STOPKEEPER_AXE")?,
            chromium: program(
                "CHROMIUM",
                &["chromium", "chromium-browser", "google-chrome"],
            )?,
            chromedriver: program("CHROMEDRIVER", &["chromedriver"])?,
        })
    }
}

/// A screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Screen {
    /// Width in CSS pixels.
    pub width: u32,
    /// Height in CSS pixels.
    pub height: u32,
    /// Whether it is used with fingers.
    pub touch: bool,
}

/// How a browser is started.
#[derive(Debug, Clone)]
pub struct Setup {
    /// Its screen.
    pub screen: Screen,
    /// What follows the address of the site: a query, a fragment, or nothing.
    pub path: String,
    /// Preferences of the browser's profile.
    pub preferences: Value,
    /// Further switches of its command line, such as those of a camera that is not there.
    pub arguments: &'static [&'static str],
    /// The film that a camera of the browser's own making shows.
    pub film: Option<PathBuf>,
}

impl From<Screen> for Setup {
    fn from(screen: Screen) -> Self {
        Self {
            screen,
            path: String::new(),
            preferences: json!({}),
            arguments: &[],
            film: None,
        }
    }
}

/// The page on a server of its own.
#[derive(Debug)]
pub struct Site {
    /// The tools that were found.
    pub tools: Tools,
    server: Server,
    url: String,
    _turn: SemaphorePermit<'static>,
}

impl Site {
    /// Serves the built page.
    ///
    /// # Errors
    ///
    /// Fails where the page is not built or no port is free.
    pub async fn start() -> Result<Self> {
        Self::start_at("/").await
    }

    /// Serves the built page below a path such as `/tools/dial/`.
    ///
    /// # Errors
    ///
    /// Fails where the page is not built or no port is free.
    pub async fn start_at(path: &str) -> Result<Self> {
        let turn = BROWSERS.acquire().await?;
        let tools = Tools::from_environment()?;
        let server = Server::start_at(&tools.dist, 0, path)?;
        let url = server.url();
        let url = if url.ends_with('/') {
            url
        } else {
            format!("{url}/")
        };
        Ok(Self {
            tools,
            server,
            url,
            _turn: turn,
        })
    }

    /// The address of the page.
    #[must_use]
    pub fn url(&self) -> &str {
        &self.url
    }

    /// The server, with its switch.
    #[must_use]
    pub const fn server(&self) -> &Server {
        &self.server
    }

    /// Puts another folder on the same address, as a new upload does.
    pub fn publish(&self, dist: &Path) {
        self.server.set_dir(dist);
    }

    /// Opens the page in a fresh browser and waits until it answers.
    ///
    /// # Errors
    ///
    /// Fails where the browser does not start or the page does not come up.
    pub async fn open(&self, setup: impl Into<Setup>) -> Result<Page<'_>> {
        let setup = setup.into();
        let page = Page::start(self, &setup).await?;
        page.visit(&setup.path).await?;
        Ok(page)
    }

    /// Opens the page in a fresh browser, as [`Site::open`] does, where it is not going to answer.
    ///
    /// # Errors
    ///
    /// Fails where the browser does not start or the host does not answer.
    pub async fn open_unready(&self, setup: impl Into<Setup>) -> Result<Page<'_>> {
        let page = Page::start(self, &setup.into()).await?;
        // Whoever waited for the end of loading would wait for what is held back.
        page.eval(&format!("location.href = {}; 0", json!(self.url)))
            .await?;
        page.wait_until("the document is there", async || {
            let read = "location.protocol === 'http:' && document.readyState !== 'loading'";
            Ok(page.eval(read).await? == true)
        })
        .await?;
        Ok(page)
    }
}

/// The driver, and with it the browser; both end when it is dropped.
#[derive(Debug)]
struct Driver {
    process: Child,
    port: u16,
    // Removed after the browser has let go of it, because fields are dropped after `drop` ran.
    profile: Folder,
}

impl Driver {
    /// Starts a driver on a port of its own choice.
    ///
    /// It takes a free port of one protocol and then wants the same of the other, where it may be in use: then it ends, and
    /// the next one chooses another.
    fn start(tools: &Tools) -> Result<Self> {
        const CHOICES: usize = 5;
        let mut choice = 1;
        loop {
            match Self::start_once(tools) {
                Err(error)
                    if choice < CHOICES && format!("{error:#}").contains("port not available") =>
                {
                    choice += 1;
                }
                started => return started,
            }
        }
    }

    fn start_once(tools: &Tools) -> Result<Self> {
        let profile = Folder::new("profile")?;
        let mut process = Command::new(&tools.chromedriver)
            .arg("--port=0")
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .with_context(|| format!("could not start {}", tools.chromedriver.display()))?;
        let said = process.stdout.take().context("the driver has no output")?;
        let mut driver = Self {
            process,
            port: 0,
            profile,
        };
        let mut lines = Vec::new();
        for line in BufReader::new(said).lines() {
            let line = line?;
            let port = line
                .rsplit_once("on port ")
                .map(|(_, rest)| rest.trim_end_matches(['.', ' ']));
            if let Some(Ok(port)) = port.map(str::parse) {
                driver.port = port;
                if line.contains("successfully") {
                    return Ok(driver);
                }
            }
            lines.push(line);
        }
        bail!("the driver ended before it named its port; it said {lines:?}")
    }

    /// Kills the browser at once, with everything that it has not written to the disk.
    fn kill_browser(&self) -> Result<()> {
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

    /// Asks the driver to close its browsers, and waits for the answer.
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
        if self.shut_down().is_err() {
            drop(self.process.kill());
        }
        drop(self.process.wait());
    }
}

/// A command that only Chromium's driver knows.
#[derive(Debug)]
struct Vendor {
    path: &'static str,
    body: Value,
}

impl WebDriverCompatibleCommand for Vendor {
    fn endpoint(&self, base_url: &Url, session_id: Option<&str>) -> Result<Url, ParseError> {
        base_url.join(&format!(
            "session/{}/{}",
            session_id.unwrap_or_default(),
            self.path
        ))
    }

    fn method_and_body(&self, _: &Url) -> (Method, Option<String>) {
        (Method::POST, Some(self.body.to_string()))
    }
}

/// The page in a browser.
#[derive(Debug)]
pub struct Page<'site> {
    pub(super) site: &'site Site,
    pub(super) client: Client,
    pub(super) touch: bool,
    /// When the last touch is dated, in seconds since 1970.
    pub(super) last_touch: Cell<f64>,
    expected: RefCell<Vec<String>>,
    setup: Setup,
    driver: Driver,
}

impl<'site> Page<'site> {
    async fn start(site: &'site Site, setup: &Setup) -> Result<Self> {
        Self::start_with(site, setup, Driver::start(&site.tools)?).await
    }

    /// Kills the whole browser as a phone that runs out of power does, and opens the page again on what is left on its disk.
    ///
    /// # Errors
    ///
    /// Fails where the browser is not found, or does not start again.
    pub async fn kill_and_open_again(self) -> Result<Self> {
        self.driver.kill_browser()?;
        let page = Self::start_with(self.site, &self.setup, self.driver).await?;
        page.visit(&self.setup.path).await?;
        Ok(page)
    }

    async fn start_with(site: &'site Site, setup: &Setup, driver: Driver) -> Result<Self> {
        let screen = setup.screen;
        let mut options = json!({
            "binary": site.tools.chromium,
            "args": [
                "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
                "--disable-background-networking", "--disable-component-update", "--disable-sync",
                "--disable-dev-shm-usage", "--lang=en-GB",
                // Whatever is not the test's own server does not exist.
                "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1, EXCLUDE localhost",
                format!("--window-size={},{}", screen.width, screen.height),
                format!("--user-data-dir={}", driver.profile.path().display()),
            ],
            "prefs": setup.preferences,
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
        let mut capabilities = Capabilities::new();
        capabilities.insert("browserName".into(), json!("chrome"));
        capabilities.insert("goog:chromeOptions".into(), options);
        capabilities.insert(
            "goog:loggingPrefs".into(),
            json!({ "browser": "ALL", "performance": "ALL" }),
        );
        let client = ClientBuilder::new(hyper_connector())
            .capabilities(capabilities)
            .connect(&format!("http://127.0.0.1:{}", driver.port))
            .await
            .context("the browser did not start")?;
        let page = Self {
            site,
            client,
            touch: screen.touch,
            last_touch: Cell::new(0.0),
            expected: RefCell::new(Vec::new()),
            setup: setup.clone(),
            driver,
        };
        page.prepare_tab().await?;
        if !screen.touch {
            page.resize(screen).await?;
        }
        Ok(page)
    }

    async fn prepare_tab(&self) -> Result<()> {
        self.devtools(
            "Page.addScriptToEvaluateOnNewDocument",
            json!({ "source": WATCH }),
        )
        .await?;
        self.devtools("Accessibility.enable", json!({})).await?;
        Ok(())
    }

    /// Gives the page another size.
    ///
    /// # Errors
    ///
    /// Fails where the browser does not answer.
    pub async fn resize(&self, screen: Screen) -> Result<()> {
        let metrics = json!({
            "width": screen.width, "height": screen.height, "deviceScaleFactor": 1, "mobile": screen.touch,
        });
        self.devtools("Emulation.setDeviceMetricsOverride", metrics)
            .await?;
        Ok(())
    }

    /// The site that the page came from.
    #[must_use]
    pub const fn site(&self) -> &'site Site {
        self.site
    }

    /// Goes to the address of the site with something behind it, and waits until the page answers.
    ///
    /// # Errors
    ///
    /// Fails where the page does not come up.
    pub async fn visit(&self, path: &str) -> Result<()> {
        // By way of an empty page: else an address that differs in its fragment alone would load nothing.
        self.client.goto("about:blank").await?;
        self.client
            .goto(&format!("{}{path}", self.site.url))
            .await?;
        self.until_ready().await
    }

    /// Loads the page again as the browser's own button does, and waits until it answers.
    ///
    /// # Errors
    ///
    /// Fails where the page does not come up.
    pub async fn reload(&self) -> Result<()> {
        self.client.refresh().await?;
        self.until_ready().await
    }

    /// Waits until the page has said that it answers.
    ///
    /// # Errors
    ///
    /// Fails where it does not within the time allowed.
    pub async fn until_ready(&self) -> Result<()> {
        self.wait_until("the page answers", async || {
            let marks = self
                .eval("performance.getEntriesByName('app-mounted').length")
                .await?;
            Ok(marks.as_u64() > Some(0))
        })
        .await
    }

    /// Waits until nothing on the page glides or fades any more.
    ///
    /// # Errors
    ///
    /// Fails where it does not come to rest within the time allowed.
    pub async fn until_still(&self) -> Result<()> {
        self.wait_until("the page is at rest", async || {
            let running = self
                .eval(
                    "document.getAnimations().filter(each => each.playState === 'running').length",
                )
                .await?;
            Ok(running == 0)
        })
        .await
    }

    /// Waits until a service worker has stored everything and looks after the page.
    ///
    /// # Errors
    ///
    /// Fails where there is none within the time allowed.
    pub async fn until_kept_offline(&self) -> Result<()> {
        self.wait_until("a service worker looks after the page", async || {
            let state =
                "navigator.serviceWorker.controller && navigator.serviceWorker.controller.state";
            Ok(self.eval(state).await?.as_str() == Some("activated"))
        })
        .await
    }

    /// Opens another tab of the same browser, goes to the page there, and returns the handle of the tab left behind.
    ///
    /// # Errors
    ///
    /// Fails where the page does not come up.
    pub async fn open_tab(&self) -> Result<fantoccini::wd::WindowHandle> {
        let before = self.client.window().await?;
        let tab = self.client.new_window(true).await?;
        self.client.switch_to_window(tab.handle).await?;
        self.prepare_tab().await?;
        self.visit("").await?;
        Ok(before)
    }

    /// Goes to another tab and returns the handle of the one left behind.
    ///
    /// # Errors
    ///
    /// Fails where there is no such tab.
    pub async fn switch_tab(
        &self,
        to: fantoccini::wd::WindowHandle,
    ) -> Result<fantoccini::wd::WindowHandle> {
        let before = self.client.window().await?;
        self.client.switch_to_window(to).await?;
        self.devtools("Page.bringToFront", json!({})).await?;
        Ok(before)
    }

    /// Sends a command of the browser's own debugging protocol.
    ///
    /// # Errors
    ///
    /// Fails where the browser refuses it.
    pub async fn devtools(&self, command: &str, parameters: Value) -> Result<Value> {
        let body = json!({ "cmd": command, "params": parameters });
        let answer = self
            .client
            .issue_cmd(Vendor {
                path: "goog/cdp/execute",
                body,
            })
            .await;
        answer.with_context(|| format!("the browser refused {command}"))
    }

    /// The value of an expression in the page; of a promise, what it comes to.
    ///
    /// # Errors
    ///
    /// Fails where the expression throws.
    pub async fn eval(&self, expression: &str) -> Result<Value> {
        let parameters =
            json!({ "expression": expression, "awaitPromise": true, "returnByValue": true });
        let answer = self.devtools("Runtime.evaluate", parameters).await?;
        result_of(&answer).with_context(|| format!("in {expression}"))
    }

    /// Waits for a condition; there is no other way to wait.
    ///
    /// # Errors
    ///
    /// Fails after ten seconds, and says what was awaited and what the page says.
    pub async fn wait_until(
        &self,
        what: &str,
        condition: impl AsyncFn() -> Result<bool>,
    ) -> Result<()> {
        self.wait_for(what, async || Ok(condition().await?.then_some(())))
            .await
    }

    /// Waits until there is a value.
    ///
    /// # Errors
    ///
    /// Fails after ten seconds, and says what was awaited and what the page says.
    pub async fn wait_for<T>(
        &self,
        what: &str,
        look: impl AsyncFn() -> Result<Option<T>>,
    ) -> Result<T> {
        let began = Instant::now();
        loop {
            // A look may fail while one document gives way to the next; only the last failure is worth telling.
            let problem = match look().await {
                Ok(Some(value)) => return Ok(value),
                Ok(None) => None,
                Err(problem) => Some(problem),
            };
            if began.elapsed() > PATIENCE {
                let problem = problem
                    .map(|problem| format!(" ({problem:#})"))
                    .unwrap_or_default();
                bail!(
                    "waited in vain until {what}{problem}; {}",
                    self.state_of_affairs().await
                );
            }
            tokio::time::sleep(LOOK_EVERY).await;
        }
    }

    /// Waits until a value that can be read equals the one wanted.
    ///
    /// # Errors
    ///
    /// Fails after ten seconds, and shows both.
    pub async fn wait_equal<T, W>(
        &self,
        what: &str,
        wanted: W,
        look: impl AsyncFn() -> Result<T>,
    ) -> Result<()>
    where
        T: PartialEq<W> + std::fmt::Debug,
        W: std::fmt::Debug,
    {
        let last = RefCell::new(None);
        let waited = self.wait_until(what, async || {
            let value = look().await?;
            let equal = value == wanted;
            last.replace(Some(value));
            Ok(equal)
        });
        let waited = waited.await;
        waited.with_context(|| format!("{what}: wanted {wanted:?}, last seen {:?}", last.borrow()))
    }

    /// An error in the console that contains this text belongs to the test.
    pub fn expect_error(&self, text: &str) {
        self.expected.borrow_mut().push(text.to_owned());
    }

    /// For the message of a failed test: what the status line and the console say.
    async fn state_of_affairs(&self) -> String {
        let status = self.status().await.unwrap_or_default();
        let console = self.log("browser").await.unwrap_or_default();
        let errors: Vec<&str> = console
            .iter()
            .filter(|entry| entry["level"] == "SEVERE")
            .filter_map(|entry| entry["message"].as_str())
            .collect();
        format!("the status line says {status:?}, the console {errors:?}")
    }

    async fn log(&self, kind: &str) -> Result<Vec<Value>> {
        let log = self
            .client
            .issue_cmd(Vendor {
                path: "se/log",
                body: json!({ "type": kind }),
            })
            .await?;
        Ok(log.as_array().cloned().unwrap_or_default())
    }

    /// The last step of every test: nothing went wrong that nobody looked at.
    ///
    /// No error in the console, nothing thrown, no breach of the content policy, and no request beyond the site.
    ///
    /// # Errors
    ///
    /// Fails where one of these is not so.
    pub async fn finish(self) -> Result<()> {
        let watched = self.eval("globalThis.watched").await?;
        ensure!(
            watched["violations"] == json!([]),
            "the content policy was breached: {}",
            watched["violations"]
        );
        ensure!(
            watched["failures"] == json!([]),
            "something was thrown: {}",
            watched["failures"]
        );
        for entry in self.log("browser").await? {
            let message = entry["message"].as_str().unwrap_or_default();
            let expected = self
                .expected
                .borrow()
                .iter()
                .any(|text| message.contains(text.as_str()));
            ensure!(
                entry["level"] != "SEVERE" || expected,
                "an error in the console: {message}"
            );
        }
        for entry in self.log("performance").await? {
            let event: Value = serde_json::from_str(entry["message"].as_str().unwrap_or_default())?;
            let event = &event["message"];
            if event["method"] == "Network.requestWillBeSent" {
                let url = event["params"]["request"]["url"]
                    .as_str()
                    .unwrap_or_default();
                let own = ["data:", "blob:", "about:", "chrome:"]
                    .iter()
                    .any(|kind| url.starts_with(kind));
                ensure!(
                    own || url.starts_with(&self.site.url),
                    "a request beyond the site: {url}"
                );
            }
        }
        self.client.close().await?;
        Ok(())
    }

    /// Takes a picture of what is on the screen, as PNG.
    ///
    /// # Errors
    ///
    /// Fails where the browser does not answer.
    pub async fn picture(&self) -> Result<Vec<u8>> {
        Ok(self.client.screenshot().await?)
    }

    pub(super) async fn resolve<'page>(&'page self, node: &Value) -> Result<Found<'page, 'site>> {
        let parameters = json!({ "backendNodeId": node["backendDOMNodeId"] });
        let answer = self.devtools("DOM.resolveNode", parameters).await?;
        let object = answer["object"]["objectId"]
            .as_str()
            .context("the element is gone")?
            .to_owned();
        Ok(Found::new(self, object, node))
    }
}

/// Plain connections only: the driver is on the same machine.
fn hyper_connector() -> hyper_util::client::legacy::connect::HttpConnector {
    hyper_util::client::legacy::connect::HttpConnector::new()
}

/// What a script came to, or what it threw.
pub(super) fn result_of(answer: &Value) -> Result<Value> {
    if let Some(thrown) = answer.get("exceptionDetails") {
        let text = thrown["exception"]["description"]
            .as_str()
            .or_else(|| thrown["text"].as_str());
        bail!("thrown in the page: {}", text.unwrap_or("something"));
    }
    Ok(answer["result"]
        .get("value")
        .cloned()
        .unwrap_or(Value::Null))
}
