//! How far a reading may be off, on its way from a table to the dial, a link, the log, the evidence and the table of frames.

use tests::harness::{DESK, PHONE, Page, Result, SMALL_PHONE, Setup, Site, ensure, shelf};

use crate::{
    film_book::{close_book, load_film, log_series, open_book},
    job,
    light::{dial_reads, open_page, press_row, take},
    link::copy_link,
};

const FIND: &str = "Find the light";
const READING: &str = "EV 13 at ISO 100, give or take 1 stop";
const TOTAL: &str = "As the reading asks, give or take 1 stop";

/// Takes a reading from a table: EV 13 at ISO 100, give or take a stop.
async fn take_from_a_table(page: &Page<'_>) -> Result<()> {
    open_page(page, FIND, "Scene tables").await?;
    page.press_on("radio", "shadows hardly seen, cloudy bright")
        .await?;
    page.reads("Give or take 1 stop. A table knows neither the place nor the day")
        .await?;
    take(page).await?;
    dial_reads(page, ["1/125", "f/8", "ISO 100"]).await
}

/// What the dial and the ledger say.
async fn says(page: &Page<'_>) -> Result<()> {
    page.reads(READING).await?;
    page.reads(TOTAL).await
}

#[tokio::test]
async fn a_doubt_stays_with_its_reading() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    take_from_a_table(&page).await?;
    says(&page).await?;
    job::sound(&page, "a reading with its doubt").await?;
    page.reload().await?;
    says(&page).await?;
    let link = copy_link(&page).await?;
    ensure!(link.starts_with("#set3."), "{link} is taken by older pages");
    // Among the readings taken last it is what it was.
    page.fill("Reading time", "1/60").await?;
    page.says("left behind").await?;
    page.wait_until("a typed reading has none", async || {
        Ok(!page.text().await?.contains("give or take"))
    })
    .await?;
    page.press_on("button", FIND).await?;
    page.reads("(EV 13 at ISO 100, give or take 1 stop): scene table")
        .await?;
    page.finish().await?;
    let theirs = site
        .open(Setup {
            path: link,
            ..Setup::from(SMALL_PHONE)
        })
        .await?;
    says(&theirs).await?;
    job::sound(&theirs, "the same on a small phone").await?;
    theirs.finish().await
}

/// Logged, judged and written to the group, it still says how far it may be off; and the table has it as a number.
#[tokio::test]
async fn a_doubt_goes_into_the_log_and_the_evidence() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    // Every file that the page hands out, as text.
    page.eval(
        "globalThis.files = [];
        const make = URL.createObjectURL.bind(URL);
        URL.createObjectURL = blob => { blob.text().then(text => files.push(text)); return make(blob); };",
    )
    .await?;
    job::bracketed(&page).await?;
    take_from_a_table(&page).await?;
    open_book(&page).await?;
    load_film(&page).await?;
    close_book(&page).await?;
    log_series(&page, "Hedge under clouds").await?;
    page.reads("Read as 1/125, f/8 at ISO 100, give or take 1 stop (scene table:")
        .await?;
    let log = page.find("list", "Frames").await?;
    let rows = log.find_all("button").await?;
    ensure!(rows.len() == 3, "the log has {} frames", rows.len());
    for row in &rows {
        let text = row.text().await?;
        ensure!(
            text.contains("give or take 1 stop: "),
            "the row says {text}"
        );
    }
    job::sound(&page, "the log").await?;
    for _ in &rows {
        page.press_on("button", "Shot").await?;
    }
    page.press_on("button", "Frames as a table").await?;
    let table = page
        .wait_for("the table is saved", async || {
            let text = page
                .eval("files.find(text => text.includes('give or take')) ?? ''")
                .await?;
            Ok(text
                .as_str()
                .filter(|text| !text.is_empty())
                .map(str::to_owned))
        })
        .await?;
    ensure!(
        table.contains("\"give or take, of the light and the EI (stops)\"")
            && table
                .lines()
                .skip(1)
                .all(|line| { line.contains(", give or take 1 stop\",") && line.contains(",1,") }),
        "the table is {table}"
    );

    page.press_on("button", "The roll is full: take it out")
        .await?;
    page.press_on("button", "Show the slip for the lab").await?;
    page.reads("density may be off, give or take 1 stop")
        .await?;
    page.press_on("button", "It is sent today").await?;
    page.press_on("button", "It is back today").await?;
    page.press_on("button", "Review the scans").await?;
    page.choose(
        "How were the scans made?",
        "No scans: judged on a light table",
    )
    .await?;
    page.press_on("button", "Frame 1: usable").await?;
    page.press_on("button", "Frame 2: liked").await?;
    page.press_on("button", "Frame 3: usable").await?;
    page.reads("(reading: give or take 1 stop)").await?;
    page.press_on("button", "Rate the rest of this group")
        .await?;
    page.reads("Its light was read give or take 1 stop, and the rating may be off as far")
        .await?;
    page.press_on("DisclosureTriangle", "The evidence").await?;
    page.reads("light about EV 13 at ISO 100, give or take 1 stop.")
        .await?;
    job::sound(&page, "the evidence").await?;
    page.press_on("button", "Write this to the group").await?;
    page.reload().await?;
    open_book(&page).await?;
    let kept = shelf::records(&page).await?;
    for kind in ["roll.", "finding."] {
        ensure!(
            kept.iter().any(|(key, text)| {
                key.starts_with(&format!("stopkeeper.book.{kind}"))
                    && text.contains("\"give_or_take_thousandths\":1000")
            }),
            "{kind} says nothing in {kept:#?}"
        );
    }
    page.finish().await
}

/// Two estimates of a stop that agree are one; a meter beside an estimate is as sure as it was.
#[tokio::test]
async fn two_estimates_that_agree_stay_estimates() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    open_page(&page, FIND, "Scene tables").await?;
    page.press_on("button", "Keep it to compare").await?;
    page.press_on(
        "radio",
        "US Army SS0507 and SS0508: about EV 14.7 at ISO 100",
    )
    .await?;
    page.press_on("button", "Keep it to compare").await?;
    page.press_on("button", "Back").await?;
    press_row(&page, "Two readings of the same light").await?;
    page.choose(
        "First reading",
        "1/125 f/16 ISO 100: EV 15 at ISO 100 (scene table: distinct shadows, bright sun (ANSI))",
    )
    .await?;
    page.reads("⅓ stop dimmer than the first").await?;
    page.reads("Both allow for as much; it makes neither of them surer.")
        .await?;
    for used in ["The first", "The second", "The middle of both"] {
        page.choose("What is used", used).await?;
        page.reads("Give or take 1 stop.").await?;
    }
    page.choose("First reading", "Another device, typed here")
        .await?;
    page.choose("What is used", "The first").await?;
    page.reads("That is more than both allow").await?;
    page.reads("The other reading lies").await?;
    page.finish().await
}
