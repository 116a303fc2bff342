//! Corrections between the reading and the film: entered in the light, counted on the dial, and left out again.

use tests::harness::{DESK, PHONE, Page, Result, SMALL_PHONE, Site, ensure};

use crate::{
    job::{self, FIRST},
    light::{close, open_page, press_row, sound},
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
async fn a_filter_goes_to_the_ledger_and_can_be_left_out() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.shows(FIRST).await?;
    open_page(&page, CORRECTIONS, "Filters").await?;
    // What is half typed is refused in words, and stays.
    page.fill("Factor, stops or density", "dark").await?;
    page.press_on("button", "Put it on the ledger").await?;
    page.reads("was not understood").await?;
    page.fill("Factor, stops or density", "8").await?;
    worked_out(&page, "Factor 8: 3 stops").await?;
    put_on_ledger(&page).await?;
    page.find("button", "Remove Filter, factor 8").await?;
    close(&page).await?;
    page.reads("Filter, factor 8").await?;
    page.reads("3 stops").await?;
    let with_filter = page.values().await?;
    ensure!(
        with_filter != FIRST.map(str::to_owned),
        "the dials did not make up for it"
    );

    page.press_on("checkbox", "Filter, factor 8").await?;
    page.wait_until("the dials are back", async || {
        Ok(page.values().await? == FIRST)
    })
    .await?;
    // Left out on the dial, it is left out in the light as well.
    page.press_on("button", CORRECTIONS).await?;
    page.reads("All that count: no difference").await?;
    page.press_on("button", "Remove Filter, factor 8").await?;
    page.reads("None yet").await?;
    close(&page).await?;
    page.wait_until("the line is gone", async || {
        Ok(!page.has("checkbox", "Filter, factor 8").await?)
    })
    .await?;
    page.finish().await
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
    page.choose("Camera", "Third-stop body, 30 s to 1/4000")
        .await?;
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
async fn depth_of_field_stands_under_each_frame() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    open_page(&page, CORRECTIONS, "Depth of field").await?;
    page.fill("Focal length", "50").await?;
    page.fill("Focused at, from the lens", "a few steps")
        .await?;
    page.press_on("button", "Show it on the dial").await?;
    page.reads("was not understood").await?;
    page.fill("Focused at, from the lens", "2.5 m").await?;
    worked_out(&page, "Hyperfocal distance").await?;
    page.press_on("button", "Show it on the dial").await?;
    page.reads("The frames on the dial say what is sharp")
        .await?;
    close(&page).await?;
    page.wait_until("each frame says what is sharp", async || {
        Ok(page
            .bracket()
            .await?
            .iter()
            .all(|frame| frame.contains("sharp from")))
    })
    .await?;
    page.press_on("button", CORRECTIONS).await?;
    press_row(&page, "Depth of field").await?;
    page.press_on("button", "Say no more what is sharp").await?;
    close(&page).await?;
    page.wait_until("no frame says it", async || {
        Ok(page
            .bracket()
            .await?
            .iter()
            .all(|frame| !frame.contains("sharp from")))
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
    // Guide number 20 in metres at ISO 100, 5 m away, film rated 100: f/4 (f-number is guide number over distance).
    page.fill("Guide number", "20").await?;
    page.fill("From the flash to the subject", "5 m").await?;
    worked_out(&page, "f/4").await?;
    page.finish().await
}

#[tokio::test]
async fn every_correction_is_sound_on_a_small_phone_in_the_dark_and_on_a_usual_one() -> Result<()> {
    let site = Site::start().await?;
    for screen in [SMALL_PHONE, PHONE] {
        let page = site.open(screen).await?;
        job::choose_theme(&page, "Darkroom").await?;
        for title in [
            "Reading device",
            "Filters",
            "Close-up",
            "Lens",
            "Shutter",
            "Something else",
            "Long times",
            "Depth of field",
            "Flash",
        ] {
            open_page(&page, CORRECTIONS, title).await?;
            match title {
                "Filters" => {
                    page.fill("Factor, stops or density", "8").await?;
                    put_on_ledger(&page).await?;
                }
                "Flash" => {
                    page.fill("Guide number", "20").await?;
                    page.fill("From the flash to the subject", "5 m").await?;
                    worked_out(&page, "f/4").await?;
                }
                "Depth of field" => {
                    page.fill("Focal length", "50").await?;
                    page.fill("Focused at, from the lens", "2.5 m").await?;
                    worked_out(&page, "Hyperfocal distance").await?;
                }
                "Long times" => page.press_on("button", "Use it for this film").await?,
                _ => {}
            }
            sound(&page, title).await?;
            close(&page).await?;
        }
        // With a filter, a film's rule and its depth on the dial.
        sound(&page, "the dial with corrections").await?;
        page.finish().await?;
    }
    Ok(())
}

/// Worked case 11: from 1/125 f/11, factors 2 and 2.5 are 5, 2.32 stops.
#[tokio::test]
async fn two_filters_stack_and_one_is_left_out() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.choose("Camera", "Full-stop times, half-click lens")
        .await?;
    job::read(&page, "100", "1/125", "11").await?;
    job::set(&page, "Sensitivity", "100").await?;
    job::set(&page, "Time", "1/60").await?;
    page.shows(["1/60 second", "f/16", "ISO 100"]).await?;
    open_page(&page, CORRECTIONS, "Filters").await?;
    page.fill("Factor, stops or density", "2").await?;
    page.reads("Factor 2: 1 stop, half the light passes.")
        .await?;
    page.press_on("button", "Put it on the ledger").await?;
    page.fill("Factor, stops or density", "2,5").await?;
    page.reads("Factor 2.5: 1.32 stops, printed as 1⅓ stops")
        .await?;
    page.reads("With the filters that count already: factor 5, 2.32 stops, printed as 2⅓ stops.")
        .await?;
    page.press_on("button", "Put it on the ledger").await?;
    page.find("checkbox", "Filter, factor 2.5: 1⅓ stops less light")
        .await?;
    close(&page).await?;
    // 1/60 f/6.7 is 0.18 more than asked for.
    page.shows(["1/60 second", "f/6.7", "ISO 100"]).await?;
    page.reads("1.32 stops less light").await?;
    page.press_on("checkbox", "Filter, factor 2.5").await?;
    page.shows(["1/60 second", "f/11", "ISO 100"]).await?;
    page.finish().await
}

/// Worked case 12: metered 8 s, exponent 1.31, count 15.2 s; US Army SS0512: 450 mm on a 300 mm lens is 2.25.
#[tokio::test]
async fn a_typed_table_and_a_close_up_reach_the_dial() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    page.choose("Camera", "Full-stop body, 1 s to 1/1000")
        .await?;
    job::read(&page, "100", "1/2", "4").await?;
    job::set(&page, "Sensitivity", "100").await?;
    job::set(&page, "Aperture", "16").await?;
    page.shows(["8 seconds, by hand on B", "f/16", "ISO 100"])
        .await?;
    open_page(&page, CORRECTIONS, "Long times").await?;
    page.reads("Count 15.2 s; the meter alone says 8 s.")
        .await?;
    page.choose("Rule of the film", "A table, as the film's sheet prints it")
        .await?;
    page.fill("Table of metered and needed times", "1 2; 10 50")
        .await?;
    page.fill("Nothing is needed up to", "1/5").await?;
    page.reads(
        "Metered 15 s: count 1 min 28 s, about 2½ stops more time, a guess beyond the table",
    )
    .await?;
    page.choose(
        "Rule of the film",
        "Exponent on the metered time, 1 or more",
    )
    .await?;
    page.fill("Nothing is needed up to", "1").await?;
    page.fill("Name of the film", "Meadow 100 (invented)")
        .await?;
    page.press_on("button", "Use it for this film").await?;
    page.reads("Used now: Meadow 100 (invented).").await?;
    close(&page).await?;
    page.reads("count 15.2 s").await?;
    open_page(&page, CORRECTIONS, "Close-up").await?;
    page.choose(
        "What is known",
        "By the whole distance from the lens to the film",
    )
    .await?;
    page.fill("Focal length", "300").await?;
    page.fill("From the lens to the film", "450").await?;
    page.reads("Magnification 0.5, factor 2.25: 1.17 stops, printed as 1⅓ stops.")
        .await?;
    page.press_on("button", "Put it on the ledger").await?;
    page.find("checkbox", "Close-up, factor 2.25: 1⅙ stops less light")
        .await?;
    page.finish().await
}

#[tokio::test]
async fn a_measured_time_goes_into_the_camera() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.choose("Camera", "1930s folder, 1 s to 1/250, stepless ring")
        .await?;
    open_page(&page, CORRECTIONS, "Shutter").await?;
    page.fill("Mark on the shutter", "1/250").await?;
    page.fill("Measured times", "1/150 1/160 1/170").await?;
    page.reads("1/250 gives 1/160, about ⅔ of a stop more light.")
        .await?;
    page.press_on("button", "Put it into the camera").await?;
    page.reads("My 1930s folder, 1 s to 1/250, stepless ring, as the dials count it:")
        .await?;
    let stored = page.stored().await?;
    ensure!(
        stored.iter().any(
            |(key, text)| key.starts_with("stopkeeper.camera.") && text.contains("1/250=1/160")
        ),
        "the camera is kept: {stored:?}"
    );
    close(&page).await?;
    job::set(&page, "Time", "1/250").await?;
    page.reads("measured 1/160").await?;
    page.finish().await
}

#[tokio::test]
async fn a_circle_is_named_and_fill_is_worked_out() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open_page(&page, CORRECTIONS, "Depth of field").await?;
    page.fill("Focal length", "50").await?;
    page.fill("Focused at, from the lens", "3").await?;
    page.choose(
        "Circle of confusion",
        "0.0508 mm, army and navy manuals, 0.002 in",
    )
    .await?;
    page.reads("0.0508 mm, army and navy manuals, 0.002 in, is what counts as sharp")
        .await?;
    page.choose("Size of the picture", "4 × 5 in").await?;
    page.press_on("button", "Show it on the dial").await?;
    page.reads("This convention has no value for this size of image.")
        .await?;
    page.choose("Size of the picture", "35 mm film, 24 × 36 mm")
        .await?;
    page.choose("Circle of confusion", "0.03 mm, film-era value")
        .await?;
    page.press_on("button", "Show it on the dial").await?;
    page.reads("The frames on the dial say what is sharp: 50 mm at 3 m, 0.03 mm, film-era value.")
        .await?;
    page.press_on("button", "Back").await?;
    press_row(&page, "Flash").await?;
    // A camera's manual: guide number 20 in metres at ISO 100, 5 m, f/4.
    page.fill("Guide number", "20").await?;
    page.fill("From the flash to the subject", "5").await?;
    page.reads("At 5 m it asks for f/4").await?;
    page.choose("The flash is", "fill in daylight").await?;
    page.reads("For fill 1 stop below the daylight").await?;
    page.choose("Shutter", "Leaf shutter, M contact").await?;
    page.reads("an electronic flash gives no picture there")
        .await?;
    close(&page).await?;
    page.reads("sharp from").await?;
    page.finish().await
}
