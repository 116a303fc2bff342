//! Cameras: only what they really have.

use tests::harness::{DESK, Key, PHONE, Page, Result, Site, Way, ensure};

use crate::job;

/// All values that a dial can be turned to, by keys, from its darkest mark on.
async fn marks(page: &Page<'_>, dial: &str) -> Result<Vec<String>> {
    let dial = page.dial(dial).await?;
    dial.focus().await?;
    page.key(Key::Home).await?;
    page.wait_until("the dial is at its start", async || {
        Ok(dial.value().await? == "0")
    })
    .await?;
    let last: u32 = dial.attribute("max").await?.unwrap_or_default().parse()?;
    let mut all = vec![dial.value_text().await?];
    for mark in 1..=last {
        page.key(Key::Right).await?;
        page.wait_equal("the mark", mark.to_string(), async || dial.value().await)
            .await?;
        all.push(dial.value_text().await?);
    }
    Ok(all)
}

#[tokio::test]
async fn a_camera_offers_only_its_own_marks() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    page.choose("Camera", "Older scale, 1 s to 1/200, f/3.5 to f/18")
        .await?;
    page.says("Camera: Older scale").await?;
    let times = marks(&page, "Time").await?;
    let engraved = ["1/200", "1/100", "1/50", "1/25", "1/10", "1/5", "1/2"]
        .map(|time| format!("{time} second"));
    ensure!(
        times[..7] == engraved && times[7] == "1 second",
        "its times are {times:?}"
    );
    let by_hand = times[8..].iter().all(|time| time.ends_with("by hand on B"));
    ensure!(by_hand, "beyond its slowest mark: {times:?}");
    let apertures = marks(&page, "Aperture").await?;
    ensure!(
        apertures == ["f/18", "f/12.5", "f/9", "f/6.3", "f/4.5", "f/3.5"],
        "its apertures are {apertures:?}"
    );
    page.finish().await
}

#[tokio::test]
async fn a_camera_with_one_speed_leaves_the_time_where_it_is() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.choose("Camera", "Box camera, one speed").await?;
    page.shows(["1/50 second", "f/11", "ISO 100"]).await?;
    // f/11 is the widest stop, and 1/50 the only click: the rest is said, not hidden.
    page.reads("less light than the reading asks for").await?;
    page.press_step("Aperture", Way::Less).await?;
    page.wait_until("the aperture is f/16", async || {
        Ok(page.values().await?[1] == "f/16")
    })
    .await?;
    page.finish().await
}

#[tokio::test]
async fn a_ring_without_clicks_takes_what_lies_between_the_figures() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    page.choose("Camera", "1930s folder, 1 s to 1/250, stepless ring")
        .await?;
    job::set(&page, "Time", "1/100").await?;
    page.shows(["1/100 second", "f/6.4", "ISO 100"]).await?;
    page.reads("As the reading asks").await?;
    page.dial("Aperture").await?.focus().await?;
    page.key(Key::Left).await?;
    page.wait_until("the ring has moved", async || {
        Ok(page.values().await?[1] != "f/6.4")
    })
    .await?;
    page.key(Key::Escape).await?;
    page.shows(["1/100 second", "f/6.4", "ISO 100"]).await?;
    page.finish().await
}

/// Adds a camera of the user's own through the panel "More", which stays open.
pub(crate) async fn add(page: &Page<'_>, name: &str, times: &str, apertures: &str) -> Result<()> {
    page.press_on("button", "Add a camera").await?;
    for (field, text) in [
        ("Camera name", name),
        ("Times", times),
        ("Apertures", apertures),
    ] {
        page.find("textbox", field).await?.write(text).await?;
    }
    page.choose("How its marks are read", "as engraved").await?;
    page.press_on("button", "Save this camera").await
}

#[tokio::test]
async fn a_camera_of_ones_own_with_a_measured_time() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    job::open_more(&page).await?;
    add(&page, "Attic find", "1/25 1/50 1/100=1/80", "6.3 9 12.5").await?;
    job::close_more(&page).await?;
    let camera = page.find("combobox", "Camera").await?;
    page.wait_until("the new camera is chosen", async || {
        Ok(camera
            .call("function () { return this.selectedOptions[0]?.label.trim() }")
            .await?
            == "Attic find")
    })
    .await?;
    let times = marks(&page, "Time").await?;
    ensure!(
        times == ["1/100 second", "1/50 second", "1/25 second"],
        "its times are {times:?}"
    );
    page.reload().await?;
    let camera = page.find("combobox", "Camera").await?;
    ensure!(
        camera.entries().await?.contains(&"Attic find".to_owned()),
        "it is gone after a reload"
    );
    job::open_more(&page).await?;
    page.press_on("button", "Remove").await?;
    job::close_more(&page).await?;
    page.wait_until("the camera is gone", async || {
        Ok(!page
            .find("combobox", "Camera")
            .await?
            .entries()
            .await?
            .contains(&"Attic find".to_owned()))
    })
    .await?;
    let left = page
        .stored()
        .await?
        .iter()
        .any(|(_, text)| text.contains("Attic find"));
    ensure!(!left, "its record is still in storage");
    page.finish().await
}

#[tokio::test]
async fn a_camera_that_cannot_be_understood_is_not_saved_and_not_lost() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    job::open_more(&page).await?;
    add(&page, "Puzzle", "quick slow", "6.3 9 12.5").await?;
    page.reads("was not understood").await?;
    page.reads("a time is typed like 1/60").await?;
    let field = page.find("textbox", "Times").await?;
    ensure!(
        field.value().await? == "quick slow",
        "the form lost what was typed: {:?}",
        field.value().await?
    );
    let saved = page
        .stored()
        .await?
        .iter()
        .any(|(_, text)| text.contains("Puzzle"));
    ensure!(!saved, "a camera without times was saved");
    page.finish().await
}
