//! How far a reading may be off, on its way from a table to the dial, a link, the log, the evidence and the table of frames.

use tests::harness::{DESK, PHONE, Page, Result, SMALL_PHONE, Setup, Site, ensure};

use crate::{
    job,
    light::{open_page, press_row},
    light_ways::taken,
    link::copy_link,
};

const FIND: &str = "Find the light";
const READING: &str = "EV 13 at ISO 100, give or take 1 stop";
const TOTAL: &str = "As the reading asks, give or take 1 stop";

/// Takes a reading from a table: EV 13 at ISO 100, give or take a stop.
async fn take_from_a_table(page: &Page<'_>) -> Result<()> {
    open_page(page, FIND, "Scene tables").await?;
    page.choose("Shadows", "shadows hardly seen, cloudy bright")
        .await?;
    page.reads("Give or take 1 stop. A table knows neither the place nor the day")
        .await?;
    taken(page, ["1/125", "f/8", "ISO 100"]).await
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

/// Two estimates of a stop that agree are one; a meter beside an estimate is as sure as it was.
#[tokio::test]
async fn two_estimates_that_agree_stay_estimates() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    open_page(&page, FIND, "Scene tables").await?;
    page.press_on("button", "Keep it to compare").await?;
    page.choose("Table that is used", "US Army SS0507 and SS0508")
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
