use std::{
    cell::{Cell, RefCell},
    env, fs,
    path::{Path, PathBuf},
    time::{Duration, Instant},
};

use anyhow::{Context, Result, bail, ensure};
use fantoccini::{Client, ClientBuilder, wd::WebDriverCompatibleCommand};
use http::Method;
use serde_json::{Value, json};
use tokio::sync::{Semaphore, SemaphorePermit};
use url::{ParseError, Url};
use xtask::server::Server;

use super::{
    driver::Driver,
    engine::{Ability, Engine},
    find::Found,
    folder::{self, Folder},
};

/// How long a condition may take before the test gives up, and how long where everything goes by way of a slower driver.
const PATIENCE: Duration = Duration::from_secs(10);
const LONG_PATIENCE: Duration = Duration::from_secs(40);
/// How often a condition is looked at.
const LOOK_EVERY: Duration = Duration::from_millis(12);

/// A browser wants a core of its own; more at once only make each other late.
static BROWSERS: Semaphore = Semaphore::const_new(2);

/// Written into each document before anything else of it runs.
const WATCH: &str = "
    globalThis.watched = { violations: [], failures: [], console: [] };
    addEventListener('securitypolicyviolation', e => watched.violations.push(e.violatedDirective + ' ' + e.blockedURI));
    addEventListener('error', e => watched.failures.push(String(e.message)));
    addEventListener('unhandledrejection', e => watched.failures.push(String(e.reason)));
";
/// Where the console cannot be read, what the page says there is noted as well.
const WATCH_CONSOLE: &str = "
    const said = console.error;
    console.error = (...parts) => { watched.console.push(parts.join(' ')); said.apply(console, parts); };
";

/// Where the built page and the programs are.
#[derive(Debug, Clone)]
pub struct Tools {
    /// The built page.
    pub dist: PathBuf,
    /// The script of axe-core.
    pub axe: PathBuf,
    /// The engine of the browser.
    pub engine: Engine,
    pub(super) browser: PathBuf,
    pub(super) driver: PathBuf,
    /// What makes a screen for a browser that cannot do without one.
    pub(super) screen: Option<PathBuf>,
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
                format!("no {} on the path; `cargo xtask setup --tests` installs it, or {variable} names it", names[0])
            })
        };
        let engine = Engine::chosen()?;
        let (browser, driver, screen) = match engine {
            Engine::Chromium => (
                program(
                    "CHROMIUM",
                    &["chromium", "chromium-browser", "google-chrome"],
                )?,
                program("CHROMEDRIVER", &["chromedriver"])?,
                None,
            ),
            Engine::Firefox => (
                program("FIREFOX", &["firefox-esr", "firefox"])?,
                program("GECKODRIVER", &["geckodriver"])?,
                None,
            ),
            Engine::WebKit => (
                program("MINIBROWSER", &["MiniBrowser"])?,
                program("WEBKITDRIVER", &["WebKitWebDriver"])?,
                Some(program("XVFB", &["Xvfb"])?),
            ),
        };
        Ok(Self {
            dist: given("STOPKEEPER_DIST")?,
            axe: given("STOPKEEPER_AXE")?,
            engine,
            browser,
            driver,
            screen,
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
    /// Whether the browser lets pages store nothing.
    pub forbids_storage: bool,
    /// Preferences of Chromium's profile.
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
            forbids_storage: false,
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
    _watched: Option<Folder>,
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
        let mut tools = Tools::from_environment()?;
        let mut watched = None;
        if tools.engine != Engine::Chromium {
            let folder = watched_copy(&tools.dist)?;
            tools.dist = folder.path().to_path_buf();
            watched = Some(folder);
        }
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
            _watched: watched,
            _turn: turn,
        })
    }

    /// Serves the page of the page's own parts, `tests/parts`, in the styles as they stand in the sources.
    ///
    /// # Errors
    ///
    /// Fails where they cannot be copied, or the page leaves a sheet of styles out.
    pub async fn of_parts() -> Result<Self> {
        let mut site = Self::start().await?;
        let tests = Path::new(env!("CARGO_MANIFEST_DIR"));
        let root = tests.parent().context("the project has no folder")?;
        let page = fs::read_to_string(tests.join("parts/index.html"))?;
        let folder = Folder::new("parts")?;
        for entry in fs::read_dir(root.join("web"))? {
            let styles = entry?.file_name().to_string_lossy().into_owned();
            if !styles.starts_with("style") {
                continue;
            }
            let to = folder.path().join("web").join(&styles);
            fs::create_dir_all(&to)?;
            folder::copy(&root.join("web").join(&styles), &to)?;
            for sheet in fs::read_dir(&to)? {
                let name = format!("web/{styles}/{}", sheet?.file_name().to_string_lossy());
                ensure!(page.contains(&name), "the page of parts leaves {name} out");
            }
        }
        let page = page.replace("../../web/", "web/");
        fs::write(folder.path().join("index.html"), page)?;
        site.publish(folder.path());
        site._watched = Some(folder);
        Ok(site)
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

    /// Whether the browser can do this; if not, that something is skipped is printed, with its name.
    #[must_use]
    pub fn can(&self, ability: Ability) -> bool {
        self.tools.engine.can(ability)
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

/// A copy of the built page that notes what goes wrong before anything else of it runs: where the driver has no way to do it.
fn watched_copy(dist: &Path) -> Result<Folder> {
    let copy = Folder::new("watched")?;
    folder::copy(dist, copy.path())?;
    let page = copy.path().join("index.html");
    let text = fs::read_to_string(&page)?;
    let watching = text.replacen("<meta ", "<script src=\"watch.js\"></script>\n<meta ", 1);
    ensure!(text != watching, "the document has no place for a script");
    fs::write(&page, watching)?;
    fs::write(
        copy.path().join("watch.js"),
        format!("{{{WATCH}{WATCH_CONSOLE}}}"),
    )?;
    xtask::site::seal(copy.path())?;
    for changed in ["index.html.br", "sw.js.br"] {
        fs::remove_file(copy.path().join(changed))?;
    }
    Ok(copy)
}

/// A command by its path below the session; one without a body is a question.
#[derive(Debug)]
struct Raw {
    path: String,
    body: Option<Value>,
}

impl WebDriverCompatibleCommand for Raw {
    fn endpoint(&self, base_url: &Url, session_id: Option<&str>) -> Result<Url, ParseError> {
        base_url.join(&format!(
            "session/{}/{}",
            session_id.unwrap_or_default(),
            self.path
        ))
    }

    fn method_and_body(&self, _: &Url) -> (Method, Option<String>) {
        match &self.body {
            Some(body) => (Method::POST, Some(body.to_string())),
            None => (Method::GET, None),
        }
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
        let engine = site.tools.engine;
        let capabilities = driver.capabilities(&site.tools, setup)?;
        let client = ClientBuilder::new(hyper_connector())
            .capabilities(capabilities)
            .connect(&format!("http://127.0.0.1:{}", driver.port))
            .await
            .context("the browser did not start")?;
        let page = Self {
            site,
            client,
            touch: screen.touch && engine.can(Ability::Fingers),
            last_touch: Cell::new(0.0),
            expected: RefCell::new(Vec::new()),
            setup: setup.clone(),
            driver,
        };
        page.prepare_tab().await?;
        if engine != Engine::Chromium || !screen.touch {
            page.resize(screen).await?;
        }
        Ok(page)
    }

    async fn prepare_tab(&self) -> Result<()> {
        if self.engine() != Engine::Chromium {
            return Ok(());
        }
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
        match self.engine() {
            Engine::Chromium => {}
            Engine::Firefox => return self.resize_inside(screen).await,
            Engine::WebKit => return self.resize_window(screen).await,
        }
        let metrics = json!({
            "width": screen.width, "height": screen.height, "deviceScaleFactor": 1, "mobile": screen.touch,
        });
        self.devtools("Emulation.setDeviceMetricsOverride", metrics)
            .await?;
        Ok(())
    }

    /// Firefox has no narrow window: there the page's own frame inside the window gets the size, as for its developers.
    async fn resize_inside(&self, screen: Screen) -> Result<()> {
        self.raw("moz/context", Some(json!({ "context": "chrome" })))
            .await?;
        let script = "const [width, height, touch] = arguments;
            const frame = gBrowser.selectedBrowser;
            for (const side of ['width', 'min-width', 'max-width']) frame.style.setProperty(side, `${width}px`);
            for (const side of ['height', 'min-height', 'max-height']) frame.style.setProperty(side, `${height}px`);
            frame.style.setProperty('flex', 'none');
            frame.browsingContext.inRDMPane = true;
            frame.browsingContext.touchEventsOverride = touch ? 'enabled' : 'none';";
        let body = json!({ "script": script, "args": [screen.width, screen.height, screen.touch] });
        let done = self.raw("execute/sync", Some(body)).await;
        self.raw("moz/context", Some(json!({ "context": "content" })))
            .await?;
        done.map(drop)
    }

    /// The window grows until the page in it has the size.
    async fn resize_window(&self, screen: Screen) -> Result<()> {
        const NARROWEST: u32 = 447;
        let width = if screen.width < NARROWEST && !self.engine().can(Ability::Narrow) {
            NARROWEST
        } else {
            screen.width
        };
        self.client.set_window_size(width, screen.height).await?;
        let inside = self
            .eval("[outerWidth - innerWidth, outerHeight - innerHeight]")
            .await?;
        let frame = |i: usize| u32::try_from(inside[i].as_u64().unwrap_or_default());
        let (width, height) = (width + frame(0)?, screen.height + frame(1)?);
        Ok(self.client.set_window_size(width, height).await?)
    }

    /// The engine of the browser.
    #[must_use]
    pub const fn engine(&self) -> Engine {
        self.site.tools.engine
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
        if self.engine() == Engine::Chromium {
            self.client.refresh().await?;
        } else {
            // The driver's own way may go past the service worker.
            self.eval("window.isOld = true; setTimeout(() => location.reload()); 0")
                .await?;
            self.wait_until("the old document is gone", async || {
                Ok(self.eval("window.isOld === true").await? == false)
            })
            .await?;
        }
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
        if self.engine() == Engine::Chromium {
            self.devtools("Page.bringToFront", json!({})).await?;
        }
        Ok(before)
    }

    /// Sends a command of the browser's own debugging protocol.
    ///
    /// # Errors
    ///
    /// Fails where the browser refuses it.
    pub async fn devtools(&self, command: &str, parameters: Value) -> Result<Value> {
        let engine = self.engine();
        ensure!(engine == Engine::Chromium, "{engine} has no {command}");
        let body = json!({ "cmd": command, "params": parameters });
        let answer = self.raw("goog/cdp/execute", Some(body)).await;
        answer.with_context(|| format!("the browser refused {command}"))
    }

    pub(super) async fn raw(&self, path: &str, body: Option<Value>) -> Result<Value> {
        let path = path.to_owned();
        Ok(self.client.issue_cmd(Raw { path, body }).await?)
    }

    /// The value of an expression in the page; of a promise, what it comes to. Statements end with a semicolon, or with `; 0`.
    ///
    /// # Errors
    ///
    /// Fails where the expression throws.
    pub async fn eval(&self, expression: &str) -> Result<Value> {
        if self.engine() != Engine::Chromium {
            let text = expression.trim();
            let body = match text.strip_suffix("; 0").or_else(|| text.strip_suffix(";0")) {
                Some(statements) => format!("{statements};"),
                None if text.ends_with(';') => text.to_owned(),
                None => format!("return ({text});"),
            };
            let value = self.run(&body, &[]).await;
            return value.with_context(|| format!("in {expression}"));
        }
        let parameters =
            json!({ "expression": expression, "awaitPromise": true, "returnByValue": true });
        let answer = self.devtools("Runtime.evaluate", parameters).await?;
        result_of(&answer).with_context(|| format!("in {expression}"))
    }

    /// What the body of a function comes to in the page, by way of the driver; `given` is the list of its arguments.
    pub(super) async fn run(&self, body: &str, given: &[Value]) -> Result<Value> {
        // Some drivers run scripts beside the page's own: what is global has to be the page's.
        let script = format!(
            "const [done, ...given] = [...arguments].reverse();
            given.reverse();
            (async function (globalThis) {{ {body}
            }}).call(window, window).then(
                value => done({{ value: value === undefined ? null : value }}),
                problem => done({{ thrown: String(problem) }}),
            );"
        );
        let body = json!({ "script": script, "args": given });
        let answer = self.raw("execute/async", Some(body)).await?;
        if let Some(thrown) = answer["thrown"].as_str() {
            bail!("thrown in the page: {thrown}");
        }
        Ok(answer["value"].clone())
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
        let patience = match self.engine() {
            Engine::Chromium => PATIENCE,
            Engine::Firefox | Engine::WebKit => LONG_PATIENCE,
        };
        let began = Instant::now();
        loop {
            // A look may fail while one document gives way to the next; only the last failure is worth telling.
            let problem = match look().await {
                Ok(Some(value)) => return Ok(value),
                Ok(None) => None,
                Err(problem) => Some(problem),
            };
            if began.elapsed() > patience {
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
        if self.engine() != Engine::Chromium {
            // The page's own errors, as its watching script has noted them; of others there is no list.
            let noted = if kind == "browser" {
                self.eval("watched.console.map(message => ({ level: 'SEVERE', message }))")
                    .await?
            } else {
                json!([])
            };
            return Ok(noted.as_array().cloned().unwrap_or_default());
        }
        let log = self.raw("se/log", Some(json!({ "type": kind }))).await?;
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
        if self.engine() != Engine::Chromium {
            let seen = self
                .eval("performance.getEntriesByType('resource').map(entry => entry.name)")
                .await?;
            for url in seen.as_array().into_iter().flatten() {
                let url = url.as_str().unwrap_or_default();
                let own = url.starts_with("blob:") || url.starts_with(&self.site.url);
                ensure!(own, "a request beyond the site: {url}");
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
