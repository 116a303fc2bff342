//! Corrections between lens and film: what is typed in the light reaches the dial, and can be left out there.

use tests::harness::{DESK, PHONE, Page, Result, SMALL_PHONE, Site, ensure};

use crate::job;

/// Every page of a correction, with what its row in the list says.
const PAGES: [(&str, &str); 9] = [
    ("Reading device", "It asks for too much or too little light"),
    ("Filters", "By factor, stops or density, and in print"),
    ("Close-up", "A lens moved out for a near subject"),
    ("Lens", "Light lost inside it, by T-number or per cent"),
    (
        "Shutter",
        "Measured times, and leaf shutters at small stops",
    ),
    ("Something else", "Any other number of stops"),
    ("Long times", "Reciprocity failure, and what to count on B"),
    (
        "Depth of field",
        "What is sharp at each aperture, and diffraction",
    ),
    ("Flash", "By guide number, alone or as fill"),
];

/// Opens the page of a correction from the dial.
async fn open(page: &Page<'_>, title: &str) -> Result<()> {
    page.press_on("button", "Corrections").await?;
    turn_to(page, title).await
}

/// Opens the page of a correction from the list of them.
async fn turn_to(page: &Page<'_>, title: &str) -> Result<()> {
    let words = PAGES
        .iter()
        .find(|(name, _)| *name == title)
        .map(|(_, words)| *words)
        .unwrap_or_default();
    page.press_on("button", &format!("{title} {words}")).await?;
    page.find("heading", title).await.map(drop)
}

async fn close(page: &Page<'_>) -> Result<()> {
    page.press_on("button", "Close").await?;
    page.find("slider", "Time").await.map(drop)
}

/// Worked case 11: from 1/125 f/11, factors 2 and 2.5 are 5, 2.32 stops.
#[tokio::test]
async fn filters_stack_and_can_be_left_out() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.choose("Camera", "Full-stop times, half-click lens")
        .await?;
    job::read(&page, "100", "1/125", "11").await?;
    job::set(&page, "Sensitivity", "100").await?;
    job::set(&page, "Time", "1/60").await?;
    page.shows(["1/60 second", "f/16", "ISO 100"]).await?;
    open(&page, "Filters").await?;
    page.fill("Factor, stops or density", "2").await?;
    page.reads("Factor 2: 1 stop, half the light passes.")
        .await?;
    page.press_on("button", "Put it on the ledger").await?;
    page.fill("Factor, stops or density", "2,5").await?;
    page.reads("Factor 2.5: 1⅓ stops (1.32)").await?;
    page.reads("With the filters that count already: factor 5, 2⅓ stops (2.32).")
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

/// What is not understood is said, stays in its field and changes nothing.
/// A device that the film book knows to ask for a third of a stop too little.
const HAND_METER: &str = r#"{"format":"stopkeeper device","version":1,"record":{"id":"hand","name":"Old hand meter","steps":"thirds","correction_twelfths":4}}"#;

#[tokio::test]
async fn a_device_of_the_kit_is_counted_by_one_tap() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.store("stopkeeper.book.device.hand", HAND_METER)
        .await?;
    open(&page, "Reading device").await?;
    page.press_on(
        "button",
        "Old hand meter: asks for ⅓ stop less light than is needed: ⅓ stop more light is added",
    )
    .await?;
    page.find("checkbox", "Old hand meter: ⅓ stop less light")
        .await?;
    close(&page).await?;
    page.press_on("checkbox", "Old hand meter").await?;
    page.says("Old hand meter is left out.").await?;
    page.finish().await
}

#[tokio::test]
async fn what_is_not_understood_is_said() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open(&page, "Filters").await?;
    page.press_on("button", "Put it on the ledger").await?;
    page.find("alert", "").await?;
    page.reads("Nothing was typed; a filter factor is typed as a number")
        .await?;
    page.fill("Factor, stops or density", "red").await?;
    page.press_on("button", "Put it on the ledger").await?;
    page.reads("“red” was not understood").await?;
    let field = page.find("textbox", "Factor, stops or density").await?;
    ensure!(field.value().await? == "red", "what was typed stays");
    page.press_on("button", "Back").await?;
    page.reads("None yet: the reading goes to the dials as it is.")
        .await?;
    page.finish().await
}

/// Worked case 12: metered 8 s, exponent 1.31, count 15.2 s; US Army SS0512: 450 mm on a 300 mm lens is 2.25.
#[tokio::test]
async fn long_times_and_a_close_up_reach_the_dial() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    page.choose("Camera", "Full-stop body, 1 s to 1/1000")
        .await?;
    job::read(&page, "100", "1/2", "4").await?;
    job::set(&page, "Sensitivity", "100").await?;
    job::set(&page, "Aperture", "16").await?;
    page.shows(["8 seconds, by hand on B", "f/16", "ISO 100"])
        .await?;
    open(&page, "Long times").await?;
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
    open(&page, "Close-up").await?;
    page.choose(
        "What is known",
        "By the whole distance from the lens to the film",
    )
    .await?;
    page.fill("Focal length", "300").await?;
    page.fill("From the lens to the film", "450").await?;
    page.reads("Magnification 0.5, factor 2.25: 1⅙ stops.")
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
    open(&page, "Shutter").await?;
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
async fn depth_is_said_frame_by_frame_and_flash_by_guide_number() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open(&page, "Depth of field").await?;
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
    turn_to(&page, "Flash").await?;
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

#[tokio::test]
async fn every_page_is_sound_on_a_small_phone_and_in_the_dark() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(SMALL_PHONE).await?;
    job::choose_theme(&page, "Darkroom").await?;
    page.press_on("button", "Corrections").await?;
    for (title, _) in PAGES {
        turn_to(&page, title).await?;
        job::sound_in_the_dark(&page, title).await?;
        page.press_on("button", "Back").await?;
    }
    page.finish().await
}
