//! A camera of one's own from the dial to the log: its marks, and what of it a saved book holds.

use tests::harness::{PHONE, Page, Result, Site, ensure, json, shelf};

use crate::{camera, film_book, job};

pub(crate) const NAME: &str = "Attic find (invented)";
const DEVICE: &str = "Old clip-on (invented)";

/// A camera described on the dial, read and bracketed with it.
pub(crate) async fn described(page: &Page<'_>) -> Result<()> {
    job::open_more(page).await?;
    camera::add(
        page,
        NAME,
        "B 1/25 1/50 1/100 1/250=1/160",
        "4.5 6.3 9 12.5",
    )
    .await?;
    job::close_more(page).await?;
    job::bracketed(page).await?;
    job::set(page, "Aperture", "4.5").await
}

/// Puts film into the bag and a roll of it into that camera, chosen by a press.
pub(crate) async fn loaded(page: &Page<'_>) -> Result<()> {
    page.press_on("button", "Kit").await?;
    page.press_on("DisclosureTriangle", "Add or change a reading device")
        .await?;
    page.fill("Name of the device", DEVICE).await?;
    page.press_on("button", "Keep the device").await?;
    page.reads("is not corrected").await?;
    page.press_on("button", "Back").await?;
    film_book::load_film(page).await?;
    page.press_on("button", "The roll is full: take it out")
        .await?;
    page.press_on("button", "Back").await?;
    page.press_on("DisclosureTriangle", "Load a roll").await?;
    // What was used last stands there already.
    ensure!(
        page.find("textbox", "Camera").await?.value().await? == "garden folder (invented)",
        "the camera used last is not there"
    );
    page.reads("Nobody has described its marks").await?;
    page.press_on("button", NAME).await?;
    page.reads("Its marks are known").await?;
    page.choose("Read with", DEVICE).await?;
    job::sound(page, "the form of loading").await?;
    page.fill("Rating (EI)", "80").await?;
    page.press_on("button", "Load it").await?;
    page.reads("Frame 1 of 36 comes next").await
}

/// Back to the first page of the book.
async fn to_cover(page: &Page<'_>) -> Result<()> {
    while !page.has("heading", "Film book").await? {
        page.press_on("button", "Back").await?;
    }
    Ok(())
}

/// What the dial and the light keep, by key.
async fn of_dial(page: &Page<'_>) -> Result<Vec<(String, String)>> {
    let mut stored = page.stored().await?;
    stored.retain(|(key, _)| {
        [
            "stopkeeper.camera.",
            "stopkeeper.setting",
            "stopkeeper.live-camera.",
        ]
        .iter()
        .any(|begin| key.starts_with(begin))
    });
    stored.sort();
    Ok(stored)
}

#[tokio::test]
async fn a_frame_is_noted_by_the_marks_of_its_camera_without_a_keyboard() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    described(&page).await?;
    film_book::open_book(&page).await?;
    loaded(&page).await?;
    film_book::close_book(&page).await?;
    page.press_on("button", "Log this series").await?;
    let device = page.find("combobox", "Read with").await?;
    let device = device
        .call("function () { return this.selectedOptions[0]?.label.trim() }")
        .await?;
    ensure!(device == DEVICE, "it is read with {device}");
    page.press_on("button", "Log it").await?;
    page.find("region", "Next frame").await?;
    let text = page.text().await?;
    ensure!(!text.contains("as engraved"), "the log reads {text}");
    let next = page.find("region", "Next frame").await?;
    next.find("button", "Not as planned").await?.tap().await?;
    let open = page.find("region", "The open frame").await?;
    let apertures = open.find("group", "Apertures of the camera").await?;
    let mut names = Vec::new();
    for button in apertures.find_all("button").await? {
        names.push(button.name().to_owned());
    }
    ensure!(
        names == ["f/12.5", "f/9", "f/6.3", "f/4.5 planned"],
        "the marks are {names:?}"
    );
    let planned = apertures.find("button", "f/4.5 planned").await?;
    ensure!(planned.is_pressed().await?, "the planned one is not marked");
    job::sound(&page, "the open frame").await?;
    apertures.find("button", "f/9").await?.tap().await?;
    ensure!(
        page.find("textbox", "Aperture as shot")
            .await?
            .value()
            .await?
            == "f/9",
        "the field does not say the mark"
    );
    page.press_on("button", "Keep the frame so").await?;
    page.reads("Frame 1 is kept as it was shot").await?;
    // A figure that was planned and is typed is as planned.
    let next = page.find("region", "Next frame").await?;
    next.find("button", "Not as planned").await?.tap().await?;
    page.find("region", "The open frame").await?;
    page.fill("Aperture as shot", "4.5").await?;
    page.press_on("button", "Keep the frame so").await?;
    page.reads("Frame 2 is kept.").await?;
    let records = shelf::records(&page).await?;
    let roll = records.iter().find(|(_, text)| text.contains("\"frames\""));
    let roll = roll.map(|(_, text)| text.clone()).unwrap_or_default();
    ensure!(
        roll.matches("\"fate\":\"taken\",\"aperture\"").count() == 1
            && roll.contains("\"fate\":\"taken\",\"aperture\":\"f/9 as engraved\"")
            && roll.contains("\"camera_id\":\"own-"),
        "the roll is {roll}"
    );
    page.finish().await
}

#[tokio::test]
async fn a_saved_book_brings_everything_that_was_typed_into_an_empty_browser() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.watch_what_is_saved().await?;
    described(&page).await?;
    film_book::open_book(&page).await?;
    loaded(&page).await?;
    let (records, typed) = (shelf::records(&page).await?, of_dial(&page).await?);
    ensure!(typed.len() == 2, "the dial keeps {typed:?}");
    to_cover(&page).await?;
    page.press_on("button", "Save the whole book").await?;
    page.reads("is handed to the browser").await?;
    let book = page.saved().await?;
    page.finish().await?;

    let page = site.open(PHONE).await?;
    film_book::open_book(&page).await?;
    film_book::choose_file(&page, &book).await?;
    page.reads(&format!("1 camera (“{NAME}”)")).await?;
    page.reads("the setting of the dial").await?;
    page.press_on("button", "Bring it in").await?;
    page.wait_equal("the records", json!(records), async || {
        Ok(json!(shelf::records(&page).await?))
    })
    .await?;
    page.wait_equal("what the dial keeps", json!(typed), async || {
        Ok(json!(of_dial(&page).await?))
    })
    .await?;
    film_book::close_book(&page).await?;
    // The dial has heard of it.
    let camera = page.find("combobox", "Camera").await?;
    ensure!(
        camera.entries().await?.contains(&NAME.to_owned()),
        "the dial does not list the camera"
    );
    page.reload().await?;
    let camera = page.find("combobox", "Camera").await?;
    ensure!(
        camera.entries().await?.contains(&NAME.to_owned()),
        "it is gone after a reload"
    );
    page.finish().await
}
