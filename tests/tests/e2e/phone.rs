//! Files and wishes come and go the way phones do it: by the icon's long press, the share sheet and the file manager.

use base64::{Engine as _, prelude::BASE64_STANDARD};
use tests::harness::{
    Folder, Metadata, PHONE, Page, Result, Setup, Site, Value, bail, ensure, json,
};

use crate::{film_book, job};

/// Opens a place as the icon's long press does, in a page that is loaded for it.
async fn go(page: &Page<'_>, place: &str) -> Result<()> {
    page.visit(&format!("#go={place}")).await
}

/// The address names no place any more, and a reload opens nothing.
async fn opens_once(page: &Page<'_>) -> Result<()> {
    ensure!(
        page.eval("location.hash").await? == "",
        "the place stays in the address"
    );
    page.reload().await?;
    page.find("slider", "Time").await?;
    ensure!(
        page.eval("document.querySelector('dialog[open]') === null")
            .await?
            == true,
        "it opens again"
    );
    Ok(())
}

#[tokio::test]
async fn the_icons_long_press_opens_the_light_and_the_timer_once() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.press_on("button", "Time, one mark more light").await?;
    for (place, heading) in [("light", "Find the light"), ("timer", "Timer")] {
        go(&page, place).await?;
        page.find("heading", heading).await?;
        opens_once(&page).await?;
    }
    // A place that there is not yet changes nothing, and is no damaged link.
    go(&page, "moon").await?;
    page.says("This page has no such place").await?;
    ensure!(
        !page.text().await?.contains("damaged"),
        "it takes a place for a link"
    );
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    // In a page that is open already.
    page.eval("location.hash = 'go=timer'").await?;
    page.find("heading", "Timer").await?;
    page.finish().await
}

#[tokio::test]
async fn the_icons_long_press_opens_the_log_of_the_loaded_roll() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    // Nothing is loaded yet.
    go(&page, "roll").await?;
    page.find("heading", "Film book").await?;
    page.reads("The dial serves no roll that is in a camera")
        .await?;
    film_book::load_film(&page).await?;
    // The only roll there is.
    go(&page, "roll").await?;
    page.reads("Frame 1 of 36 comes next").await?;
    page.find("list", "Frames").await?;
    opens_once(&page).await?;
    page.finish().await
}

#[tokio::test]
async fn of_several_loaded_rolls_the_one_that_the_dial_serves_opens() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    film_book::open_book(&page).await?;
    film_book::load_film(&page).await?;
    page.press_on("button", "Back").await?;
    page.press_on("DisclosureTriangle", "Load a roll").await?;
    page.fill("Camera", "box of the aunt (invented)").await?;
    page.fill("Rating (EI)", "100").await?;
    page.press_on("button", "Load it").await?;
    page.reads("is in the box of the aunt (invented) at EI 100")
        .await?;
    go(&page, "roll").await?;
    page.find("heading", "Film book").await?;
    page.reads("The dial serves no roll").await?;
    film_book::close_book(&page).await?;
    let rolls = page.find("list", "Rolls in cameras").await?;
    let rows = rolls.find_all("button").await?;
    let mut chosen = None;
    for row in &rows {
        if row.name().contains("box of the aunt") {
            chosen = Some(row);
        }
    }
    let Some(chosen) = chosen else {
        bail!("the dial offers no such roll")
    };
    chosen.tap().await?;
    go(&page, "roll").await?;
    page.find("list", "Frames").await?;
    page.reads("box of the aunt (invented)").await?;
    page.finish().await
}
