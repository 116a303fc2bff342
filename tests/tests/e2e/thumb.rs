//! A roll in a camera sets the dial, and is logged with one thumb.

use tests::harness::{PHONE, Page, Result, Site, ensure};

use crate::{
    film_book::{close_book, open_book},
    film_book_cameras::{NAME, described, loaded},
    job,
};

const ROLL: &str = "Meadow 160 (invented) 2";

/// Presses the first roll that is offered on the dial.
async fn serve(page: &Page<'_>) -> Result<()> {
    let rolls = page.find("list", "Rolls in cameras").await?;
    rolls.find_all("button").await?[0].tap().await?;
    page.reads(&format!("Set for {ROLL} in the {NAME}")).await
}

#[tokio::test]
async fn a_loaded_roll_sets_the_dial_and_three_frames_take_five_taps() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    described(&page).await?;
    open_book(&page).await?;
    loaded(&page).await?;
    close_book(&page).await?;
    // As another film in another camera left it.
    job::full_stops(&page).await?;
    page.fill("Box speed", "400").await?;
    page.choose("Film type", "Slide (reversal)").await?;
    job::set(&page, "Sensitivity", "200").await?;
    serve(&page).await?;
    ensure!(
        page.find("textbox", "Box speed").await?.value().await? == "ISO 160",
        "the box speed is not the roll's"
    );
    let camera = page.find("combobox", "Camera").await?;
    let camera = camera
        .call("function () { return this.selectedOptions[0]?.label.trim() }")
        .await?;
    ensure!(camera == NAME, "the camera is {camera}");
    let [_, _, rating] = page.values().await?;
    ensure!(rating == "ISO 80", "the rating is {rating}");
    page.eval("scrollTo({ top: 0, behavior: 'instant' })")
        .await?;

    let mut taps = 0;
    for (button, answer) in [
        ("Log this series", "Tick its frames off"),
        ("Shoot", "Frame 1 of 3"),
        ("Shot", "Frame 1 is noted."),
        ("Shot", "Frame 2 is noted."),
        ("Shot", "Frame 3 is noted."),
    ] {
        let button = page.find("button", button).await?;
        let seen = button
            .call("function () { const b = this.getBoundingClientRect(); return b.top >= 0 && b.bottom <= innerHeight }")
            .await?;
        ensure!(seen == true, "{button:?} has to be scrolled to");
        button.tap().await?;
        taps += 1;
        page.reads(answer).await?;
        ensure!(
            page.eval("scrollY").await? == 0,
            "the page scrolled after {taps} taps"
        );
    }
    ensure!(taps == 5, "it took {taps} taps");
    page.press_on("button", "Done").await?;
    page.reads("EI 80: frame 4 of 36 comes next").await?;
    page.reload().await?;
    page.until_ready().await?;
    page.reads("EI 80: frame 4 of 36 comes next").await?;
    let rolls = page.find("list", "Rolls in cameras").await?;
    ensure!(
        rolls.find_all("button").await?[0].is_pressed().await?,
        "which roll the dial serves is forgotten"
    );
    page.finish().await
}

#[tokio::test]
async fn a_dial_that_is_not_set_as_the_roll_is_noticed_before_it_is_logged() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    described(&page).await?;
    open_book(&page).await?;
    loaded(&page).await?;
    close_book(&page).await?;
    serve(&page).await?;
    page.choose("Film type", "Slide (reversal)").await?;
    page.reads(&format!("The dial has another film type than {ROLL}"))
        .await?;
    page.press_on("button", "Log this series").await?;
    page.reads("Look before you log.").await?;
    page.find("button", "Log it").await?;
    let roll = page.find("combobox", "Roll").await?;
    let roll = roll
        .call("function () { return this.selectedOptions[0]?.label.trim() }")
        .await?;
    ensure!(
        roll.as_str().is_some_and(|roll| roll.starts_with(ROLL)),
        "the form begins with {roll}"
    );
    page.finish().await
}
