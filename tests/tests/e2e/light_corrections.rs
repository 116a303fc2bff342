//! What corrections do beyond their own pages: they add up, outlive a reload, reach the timer, and fit on the dial.

use tests::harness::{DESK, PHONE, Page, Result, SMALL_PHONE, Site};

use crate::{
    job,
    light::{close, open_page, press_row},
};

const CORRECTIONS: &str = "Corrections";

/// Puts what a page has worked out on the dial's ledger.
async fn put_on_ledger(page: &Page<'_>) -> Result<()> {
    page.press_on("button", "Put it on the ledger").await?;
    page.find("list", "On the ledger").await.map(drop)
}

/// Waits until one of the lists of what a page has worked out contains a text.
async fn worked_out(page: &Page<'_>, text: &str) -> Result<()> {
    page.wait_until(&format!("it works out {text:?}"), async || {
        for list in page.find_all("list").await? {
            if list.name() == "Worked out" && list.text().await?.contains(text) {
                return Ok(true);
            }
        }
        Ok(false)
    })
    .await
}

#[tokio::test]
async fn corrections_outlive_a_reload_and_add_up() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    open_page(&page, CORRECTIONS, "Filters").await?;
    page.choose("Strength", "By its stops").await?;
    page.fill("Factor, stops or density", "2").await?;
    put_on_ledger(&page).await?;
    page.press_on("button", "Back").await?;
    press_row(&page, "Close-up").await?;
    page.choose("What is known", "By the magnification, life size is 1")
        .await?;
    page.fill("Magnification", "1").await?;
    // Life size takes two stops: (1 + m)² is 4 (references on extension, the usual formula).
    put_on_ledger(&page).await?;
    page.press_on("button", "Back").await?;
    page.reads("All that count: 4 stops less light").await?;
    close(&page).await?;
    let values = page.values().await?;
    page.reload().await?;
    page.shows(values.each_ref().map(String::as_str)).await?;
    page.reads("Close-up, factor 4").await?;
    page.finish().await
}

#[tokio::test]
async fn what_film_needs_at_long_times_is_counted_on_the_dial_and_by_the_timer() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.choose("Film type", "Black-and-white negative").await?;
    open_page(&page, CORRECTIONS, "Long times").await?;
    page.fill("Exponent", "1.31").await?;
    page.fill("Name of the film", "Meadow 100 (invented)")
        .await?;
    page.press_on("button", "Use it for this film").await?;
    page.reads("Used now: Meadow 100 (invented)").await?;
    page.press_on("button", "Back").await?;
    press_row(&page, "Timer").await?;
    // Source: exponent 1.31 from 1 s, a film maker's technical note, a public copy: 8 s metered are 15.2 s.
    page.fill("Metered time", "8").await?;
    page.reads("Count 15.2 s").await?;
    page.reads("for Meadow 100 (invented)").await?;
    close(&page).await?;
    // Faint light on the dial: the time that is shown says what to count.
    job::full_stops(&page).await?;
    job::read(&page, "100", "8s", "5.6").await?;
    page.reads("count ").await?;
    page.reads("Meadow 100 (invented)").await?;

    page.press_on("button", CORRECTIONS).await?;
    press_row(&page, "Long times").await?;
    page.press_on("button", "Take the film's rule away").await?;
    page.reads("None is used yet").await?;
    close(&page).await?;
    page.wait_until("nothing is to be counted", async || {
        Ok(!page.text().await?.contains("Meadow 100 (invented)"))
    })
    .await?;
    page.finish().await
}

#[tokio::test]
async fn lens_shutter_device_and_flash_say_what_they_come_to() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    open_page(&page, CORRECTIONS, "Lens").await?;
    page.choose("What is known", "The share that passes")
        .await?;
    page.fill("Share of the light in per cent", "50").await?;
    worked_out(&page, "1 stop").await?;
    put_on_ledger(&page).await?;
    page.press_on("button", "Back").await?;

    press_row(&page, "Shutter").await?;
    page.fill("Mark on the shutter", "1/125").await?;
    page.fill("Measured times", "1/60").await?;
    worked_out(&page, "more light").await?;
    page.press_on("button", "Back").await?;

    press_row(&page, "Reading device").await?;
    page.fill("Stops", "1/3").await?;
    put_on_ledger(&page).await?;
    page.press_on("button", "Back").await?;
    page.reads("All that count: 1⅓ stops less light").await?;

    press_row(&page, "Flash").await?;
    // Guide number 20 in metres at ISO 100, 5 m away, film rated 100: f/4 (f-number is guide number over distance); the lens that
    // lets half of it pass takes a stop of the flash as well, f/2.8.
    page.fill("Guide number", "20").await?;
    page.fill("From the flash to the subject", "5 m").await?;
    worked_out(&page, "Guide number 14.1 in metres").await?;
    worked_out(
        &page,
        "what stands before the film is in it: 1 stop less light",
    )
    .await?;
    worked_out(&page, "At 5 m it asks for f/2.8").await?;
    page.finish().await
}

#[tokio::test]
async fn the_dial_is_sound_with_corrections_on_its_ledger() -> Result<()> {
    let site = Site::start().await?;
    for screen in [SMALL_PHONE, PHONE] {
        let page = site.open(screen).await?;
        job::choose_theme(&page, "Darkroom").await?;
        open_page(&page, CORRECTIONS, "Filters").await?;
        page.fill("Factor, stops or density", "8").await?;
        page.fill("Name", "a dark one from the drawer, thickly painted")
            .await?;
        put_on_ledger(&page).await?;
        page.press_on("button", "Back").await?;
        press_row(&page, "Long times").await?;
        page.press_on("button", "Use it for this film").await?;
        page.press_on("button", "Back").await?;
        press_row(&page, "Depth of field").await?;
        page.fill("Focal length", "50").await?;
        page.fill("Focused at, from the lens", "2.5 m").await?;
        page.press_on("button", "Show it on the dial").await?;
        close(&page).await?;
        page.reads("thickly painted").await?;
        job::sound_in_the_dark(&page, "the dial with corrections").await?;
        page.finish().await?;
    }
    Ok(())
}
