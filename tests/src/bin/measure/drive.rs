//! One browser, one page: visits it and turns its dial, and brings back what that took.

use std::{collections::BTreeMap, path::Path};

use anyhow::{Context, Result, bail, ensure};
use serde_json::{Value, json};
use tests::harness::{DESK, Found, Page, Point, Site};

use crate::{
    numbers::least,
    wire::{Tally, Wire},
};

/// Stops from the start at which a turn changes its direction: brighter, darker, and back to the start.
///
/// On the first setting of both pages the follower has exactly this much room on either side.
const TURNING_POINTS: [i32; 3] = [3, -3, 0];
/// Marks that are crossed from the start through all the turning points.
const MARKS_PER_CYCLE: usize = 12;
/// Points of a drag between two marks, as a finger makes several on its way.
const POINTS_PER_MARK: i32 = 3;
/// Later visits in each browser.
const LATER_VISITS: usize = 3;
/// How much slower the slowed processor is.
const SLOWDOWN: f64 = 4.0;

/// What can be slowed down: processor and network of a cheap phone with a weak signal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Pace {
    /// As the machine is.
    Plain,
    /// A fourth of the processor, 1.6 Mbit/s and 150 ms.
    Slowed,
}

/// What one browser found out. Times are milliseconds.
#[derive(Debug, Default)]
pub(crate) struct Findings {
    /// From the start of the first visit until the dial answers.
    pub(crate) first: f64,
    /// The same until something was painted; nothing where the browser did not say.
    pub(crate) first_paint: Option<f64>,
    /// The marks that the page set on its way there.
    pub(crate) marks: BTreeMap<String, f64>,
    /// From the start of later visits until the dial answers.
    pub(crate) later: Vec<f64>,
    /// What went over the wire until the dial answered.
    pub(crate) needed: Tally,
    /// What went over the wire until everything was kept for offline use.
    pub(crate) kept: Tally,
    /// A fixed piece of arithmetic, to see that the slowdown took hold.
    pub(crate) arithmetic: f64,
    /// Elements in the document.
    pub(crate) elements: f64,
    /// What the page showed at first, and a mark further.
    pub(crate) shown: Vec<Shown>,
    /// Turning by keys.
    pub(crate) keys: Turned,
    /// Turning by a drag.
    pub(crate) drag: Turned,
}

/// What both pages have to show alike, or comparing them means nothing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Shown {
    values: [String; 3],
    /// The index of each dial's last mark.
    last_marks: Vec<Option<String>>,
    /// The frames of the bracket, without the white space between their parts.
    frames: Vec<String>,
}

/// What turning took. Times are milliseconds.
#[derive(Debug, Default)]
pub(crate) struct Turned {
    /// Script time of each mark that was crossed.
    pub(crate) marks: Vec<f64>,
    /// Script time of each settling: storing and speaking.
    pub(crate) settles: Vec<f64>,
    /// What the browser itself counted for each mark, by name of the count.
    pub(crate) counted: BTreeMap<&'static str, f64>,
}

/// The browser's own counts, with the names that it has for them.
const COUNTS: [(&str, &str); 4] = [
    ("script", "ScriptDuration"),
    ("style", "RecalcStyleDuration"),
    ("layout", "LayoutDuration"),
    ("all tasks", "TaskDuration"),
];

/// Visits and turns the page in this folder in a fresh browser.
pub(crate) async fn session(
    site: &Site,
    folder: &Path,
    pace: Pace,
    cycles: usize,
) -> Result<Findings> {
    // The browser opens on an empty page first, so that starting it is no part of what is measured.
    let page = site.open(DESK).await?;
    // Elements can be found without it; and keeping its tree up to date would be counted with the page's own work.
    page.devtools("Accessibility.disable", json!({})).await?;
    let mut findings = Findings::default();
    visits(&page, folder, pace, &mut findings).await?;
    turns(&page, folder, pace, cycles, &mut findings).await?;
    Ok(findings)
}

async fn visits(page: &Page<'_>, folder: &Path, pace: Pace, findings: &mut Findings) -> Result<()> {
    let wire = Wire::start(folder, false)?;
    slow_network(page, pace).await?;
    slow_processor(page, pace).await?;

    findings.first = visit(page, &wire).await?;
    let fetched = page.eval(FETCHED).await?;
    let painted = "new Promise(done => {
        const look = () => {
            const paint = performance.getEntriesByName('first-contentful-paint')[0];
            paint ? done(paint.startTime) : performance.now() > 5000 ? done(null) : requestAnimationFrame(look);
        };
        look();
    })";
    findings.first_paint = page.eval(painted).await?.as_f64();
    let marks = page
        .eval("performance.getEntriesByType('mark').map(mark => [mark.name, mark.startTime])")
        .await?;
    for mark in marks.as_array().into_iter().flatten() {
        if let (Some(name), Some(at)) = (mark[0].as_str(), mark[1].as_f64()) {
            findings.marks.insert(name.to_owned(), at);
        }
    }
    findings.arithmetic = arithmetic(page).await?;
    findings.elements = number(page, "document.querySelectorAll('*').length").await?;
    page.until_kept_offline().await?;
    findings.kept = wire.tally();
    let by_page = |path: &str| {
        fetched
            .as_array()
            .into_iter()
            .flatten()
            .any(|known| known == path)
    };
    let needed = findings.kept.iter().filter(|(path, _)| by_page(path));
    findings.needed = needed
        .map(|(path, carried)| (path.clone(), carried.once()))
        .collect();

    for _ in 0..LATER_VISITS {
        go(page, "about:blank").await?;
        findings.later.push(visit(page, &wire).await?);
    }
    Ok(())
}

async fn turns(
    page: &Page<'_>,
    folder: &Path,
    pace: Pace,
    cycles: usize,
    findings: &mut Findings,
) -> Result<()> {
    let wire = Wire::start(folder, true)?;
    slow_network(page, Pace::Plain).await?;
    slow_processor(page, Pace::Plain).await?;
    visit(page, &wire).await?;
    page.until_kept_offline().await?;
    ensure!(
        page.eval("crossOriginIsolated").await? == true,
        "the browser does not let the page read the clock finely"
    );
    slow_processor(page, pace).await?;
    page.devtools("Performance.enable", json!({})).await?;

    let first = shown(page).await?;
    let dial = page.dial("Time").await?;
    dial.call(GAUGE).await?;
    dial.focus().await?;
    findings.keys = by_keys(page, cycles).await?;
    findings.drag = by_drag(page, &dial, cycles).await?;
    let back = shown(page).await?;
    ensure!(
        back == first,
        "turning out and back did not come back to {first:?} but to {back:?}"
    );

    press(page, TURNING_POINTS[0]).await?;
    let further = shown(page).await?;
    visit(page, &wire).await?;
    let again = shown(page).await?;
    ensure!(
        again == further,
        "the page did not keep {further:?} but showed {again:?}"
    );
    findings.shown = vec![first, further];
    Ok(())
}

async fn shown(page: &Page<'_>) -> Result<Shown> {
    let mut last_marks = Vec::new();
    for name in ["Time", "Aperture", "Sensitivity"] {
        last_marks.push(page.dial(name).await?.attribute("max").await?);
    }
    let frames = page.bracket().await?;
    Ok(Shown {
        values: page.values().await?,
        last_marks,
        frames: frames
            .iter()
            .map(|frame| frame.split_whitespace().collect())
            .collect(),
    })
}

async fn go(page: &Page<'_>, url: &str) -> Result<()> {
    let answer = page
        .devtools("Page.navigate", json!({ "url": url }))
        .await?;
    match answer["errorText"].as_str() {
        Some(problem) => bail!("{url} could not be opened: {problem}"),
        None => Ok(()),
    }
}

/// Goes to the page and returns the time from the start of that until its dial answers.
async fn visit(page: &Page<'_>, wire: &Wire) -> Result<f64> {
    go(page, &wire.url()).await?;
    // One question that is answered when it is time, so that asking does not take the processor from the page.
    let mounted = "new Promise((done, fail) => {
        const found = list => list.getEntriesByName('app-mounted').forEach(mark => done(mark.startTime));
        new PerformanceObserver(found).observe({ type: 'mark', buffered: true });
        setTimeout(() => fail(Error('the dial did not answer within 30 seconds')), 30000);
    })";
    number(page, mounted).await
}

async fn number(page: &Page<'_>, expression: &str) -> Result<f64> {
    let value = page.eval(expression).await?;
    value
        .as_f64()
        .with_context(|| format!("{expression} is {value}, no number"))
}

async fn slow_network(page: &Page<'_>, pace: Pace) -> Result<()> {
    let conditions = match pace {
        Pace::Plain => json!({
            "offline": false, "latency": 0, "downloadThroughput": -1, "uploadThroughput": -1,
        }),
        // Bytes in a second: 1.6 Mbit down and 0.75 Mbit up.
        Pace::Slowed => json!({
            "offline": false, "latency": 150, "downloadThroughput": 200_000, "uploadThroughput": 93_750,
        }),
    };
    page.devtools("Network.enable", json!({})).await?;
    page.devtools("Network.emulateNetworkConditions", conditions)
        .await?;
    Ok(())
}

/// Slows the processor down, or lets it run as it is.
pub(crate) async fn slow_processor(page: &Page<'_>, pace: Pace) -> Result<()> {
    let rate = match pace {
        Pace::Plain => 1.0,
        Pace::Slowed => SLOWDOWN,
    };
    page.devtools("Emulation.setCPUThrottlingRate", json!({ "rate": rate }))
        .await?;
    Ok(())
}

/// The shortest of a few runs of a fixed piece of arithmetic.
async fn arithmetic(page: &Page<'_>) -> Result<f64> {
    let script = "(() => {
        const began = performance.now();
        let sum = 0;
        for (let i = 0; i < 2e7; i++) sum += i % 7;
        return sum && performance.now() - began;
    })()";
    let mut runs = Vec::new();
    for _ in 0..3 {
        runs.push(number(page, script).await?);
    }
    Ok(least(&runs))
}

/// The paths that the page itself asked for until its dial answered; the worker's own requests are not among them.
const FETCHED: &str = "(() => {
    const [mounted] = performance.getEntriesByName('app-mounted');
    return performance.getEntries()
        .filter(entry => ['navigation', 'resource'].includes(entry.entryType) && entry.startTime <= mounted.startTime)
        .map(entry => new URL(entry.name).pathname);
})()";

/// Reads the clock before the first and after the last listener of each event, from outside the page's own code.
///
/// The browser empties its queue of microtasks after each listener of a real event, so what a framework puts off until
/// then is counted as well. What the dial says afterwards tells whether a mark was crossed.
const GAUGE: &str = "function () {
    const samples = globalThis.samples = [];
    for (const kind of ['keydown', 'keyup', 'pointermove', 'pointerup']) {
        let began = 0;
        addEventListener(kind, () => { began = performance.now(); }, true);
        addEventListener(kind, () => {
            samples.push([kind, performance.now() - began, this.getAttribute('aria-valuetext')]);
        });
    }
}";

/// One event that the page had.
struct Sample {
    kind: String,
    script: f64,
    value: String,
}

async fn samples(page: &Page<'_>) -> Result<Vec<Sample>> {
    let taken = page.eval("samples.splice(0)").await?;
    let sample = |value: &Value| {
        Some(Sample {
            kind: value[0].as_str()?.to_owned(),
            script: value[1].as_f64()?,
            value: value[2].as_str()?.to_owned(),
        })
    };
    let all: Option<Vec<Sample>> = taken.as_array().into_iter().flatten().map(sample).collect();
    all.context("the page's events could not be read")
}

async fn counts(page: &Page<'_>) -> Result<BTreeMap<&'static str, f64>> {
    let answer = page.devtools("Performance.getMetrics", json!({})).await?;
    let metrics = answer["metrics"]
        .as_array()
        .context("the browser counts nothing")?;
    let count =
        |name: &str| metrics.iter().find(|metric| metric["name"] == name)?["value"].as_f64();
    COUNTS
        .iter()
        .map(|(ours, theirs)| {
            Ok((
                *ours,
                count(theirs).with_context(|| format!("no {theirs}"))? * 1000.0,
            ))
        })
        .collect()
}

/// Gathers samples into marks: what the events since the last mark took, once the dial says another value.
async fn gather(
    page: &Page<'_>,
    start: &str,
    before: &BTreeMap<&'static str, f64>,
    cycles: usize,
) -> Result<Turned> {
    let after = counts(page).await?;
    let mut turned = Turned::default();
    let mut value = start.to_owned();
    let mut since = 0.0;
    for sample in samples(page).await? {
        if sample.kind.ends_with("up") {
            turned.settles.push(sample.script);
            continue;
        }
        since += sample.script;
        if sample.value != value {
            turned.marks.push(since);
            since = 0.0;
            value = sample.value;
        }
    }
    let wanted = cycles * MARKS_PER_CYCLE;
    ensure!(
        turned.marks.len() == wanted,
        "the dial crossed {} marks and not {wanted}, or said so too late to be measured",
        turned.marks.len()
    );
    #[expect(
        clippy::cast_precision_loss,
        reason = "a count of marks is far below 2^52"
    )]
    let marks = wanted as f64;
    let per_mark = |name: &'static str| (after[name] - before[name]) / marks;
    turned.counted = before.keys().map(|&name| (name, per_mark(name))).collect();
    Ok(turned)
}

/// The ways from one turning point to the next, in whole stops: `(from, to)`.
fn ways(cycles: usize) -> impl Iterator<Item = (i32, i32)> {
    let points = std::iter::repeat_n(TURNING_POINTS, cycles).flatten();
    points.scan(0, |here, to| Some((std::mem::replace(here, to), to)))
}

async fn by_keys(page: &Page<'_>, cycles: usize) -> Result<Turned> {
    let start = value(page).await?;
    let before = counts(page).await?;
    for (from, to) in ways(cycles) {
        for _ in 0..(to - from).abs() {
            press(page, to - from).await?;
        }
    }
    gather(page, &start, &before, cycles).await
}

/// One press of the key for this direction.
async fn press(page: &Page<'_>, direction: i32) -> Result<()> {
    let (key, code) = if direction > 0 {
        ("ArrowRight", 39)
    } else {
        ("ArrowLeft", 37)
    };
    for kind in ["rawKeyDown", "keyUp"] {
        let event = json!({ "type": kind, "key": key, "code": key, "windowsVirtualKeyCode": code });
        page.devtools("Input.dispatchKeyEvent", event).await?;
    }
    Ok(())
}

async fn by_drag(page: &Page<'_>, dial: &Found<'_, '_>, cycles: usize) -> Result<Turned> {
    let arc = dial.arc().await?;
    let mouse = async |kind: &str, at: Point| {
        let held = i32::from(kind != "mouseReleased");
        let event = json!({
            "type": kind, "x": at.x, "y": at.y, "button": "left", "buttons": held, "clickCount": 1,
        });
        page.devtools("Input.dispatchMouseEvent", event).await
    };
    let start = value(page).await?;
    let before = counts(page).await?;
    mouse("mousePressed", arc.start).await?;
    for (from, to) in ways(cycles) {
        let step = (to - from).signum();
        for point in 1..=(to - from).abs() * POINTS_PER_MARK {
            let stops = f64::from(from) + f64::from(step * point) / f64::from(POINTS_PER_MARK);
            mouse("mouseMoved", arc.after(stops * arc.degrees_per_stop)).await?;
        }
    }
    mouse("mouseReleased", arc.start).await?;
    gather(page, &start, &before, cycles).await
}

async fn value(page: &Page<'_>) -> Result<String> {
    page.dial("Time").await?.value_text().await
}
