//! From a reading and a rating to a setting.

use tests::harness::{DESK, PHONE, Result, Site, ensure};

use crate::job::{self, FIRST};

#[tokio::test]
async fn a_lower_rating_with_the_time_held_opens_the_aperture() -> Result<()> {
    let site = Site::start().await?;
    for screen in [PHONE, DESK] {
        let page = site.open(screen).await?;
        job::read(&page, "160", "1/60", "5.6").await?;
        job::set(&page, "Time", "1/60").await?;
        page.hold("Time", true).await?;
        job::set(&page, "Sensitivity", "80").await?;
        page.shows(["1/60 second", "f/4", "ISO 80"]).await?;
        page.reads("As the reading asks").await?;
        page.finish().await?;
    }
    Ok(())
}

#[tokio::test]
async fn a_lower_rating_with_the_aperture_held_lengthens_the_time() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    job::read(&page, "160", "1/125", "4").await?;
    job::set(&page, "Aperture", "4").await?;
    page.hold("Aperture", true).await?;
    job::set(&page, "Sensitivity", "80").await?;
    page.shows(["1/60 second", "f/4", "ISO 80"]).await?;
    page.reads("As the reading asks").await?;
    page.finish().await
}

#[tokio::test]
async fn what_people_type_is_understood() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    for (field, typed, shown) in [
        ("Reading time", "60", "1/60"),
        ("Reading time", "0.5", "1/2"),
        ("Reading time", "2s", "2s"),
        ("Reading aperture", "f8", "f/8"),
        ("Reading aperture", "5,6", "f/5.6"),
        ("Reading sensitivity", "160/23°", "ISO 160"),
    ] {
        page.fill(field, typed).await?;
        let text = async || page.find("textbox", field).await?.value().await;
        page.wait_equal(&format!("{field} after {typed:?}"), shown.to_owned(), text)
            .await?;
    }
    page.finish().await
}

#[tokio::test]
async fn a_reading_that_cannot_be_read_changes_nothing() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    for (field, typed) in [
        ("Reading time", "1/0"),
        ("Reading aperture", "wide open"),
        ("Reading sensitivity", "-3"),
    ] {
        page.fill(field, typed).await?;
        let field = page.find("textbox", field).await?;
        page.wait_until("the field is marked", async || {
            Ok(field.attribute("aria-invalid").await?.as_deref() == Some("true"))
        })
        .await?;
        ensure!(
            field.value().await? == typed,
            "{field:?} lost what was typed"
        );
        ensure!(
            field.description().await?.ends_with('.'),
            "{field:?} has no sentence: {}",
            field.description().await?
        );
        page.shows(FIRST).await?;
    }
    page.fill("Reading time", "1/125").await?;
    let field = page.find("textbox", "Reading time").await?;
    page.wait_until("the mark is gone", async || {
        Ok(field.attribute("aria-invalid").await?.as_deref() != Some("true"))
    })
    .await?;
    page.finish().await
}

#[tokio::test]
async fn the_film_type_decides_how_a_value_between_marks_is_rounded() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    page.hold("Time", true).await?;
    job::set(&page, "Sensitivity", "160").await?;
    // A third of a stop more than f/8 is asked for: negative film takes the mark with more light.
    page.shows(["1/125 second", "f/5.6", "ISO 160"]).await?;
    page.reads("⅔ stop more light").await?;
    page.choose("Film type", "Slide (reversal)").await?;
    page.shows(["1/125 second", "f/8", "ISO 160"]).await?;
    page.reads("⅓ stop less light").await?;
    page.finish().await
}

#[tokio::test]
async fn box_speed_rating_and_reading_stay_three_quantities() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    page.fill("Box speed", "200").await?;
    page.says("Box speed ISO 200").await?;
    page.shows(FIRST).await?;
    page.reads("1 stop more light than box").await?;
    ensure!(
        page.find("textbox", "Reading sensitivity")
            .await?
            .value()
            .await?
            == "ISO 200",
        "the reading changed"
    );
    page.finish().await
}
