//! What has to work in every engine: the main job, without a network as well, and for everybody.

use tests::harness::{Ability, DESK, Key, PHONE, Result, Screen, Site, Way, ensure};

use crate::{
    film_book,
    job::{self, FIRST},
    light,
};

#[tokio::test]
async fn the_dials_turn_by_keys_pointer_and_finger() -> Result<()> {
    for screen in [DESK, PHONE] {
        let site = Site::start().await?;
        if screen.touch && !site.can(Ability::Fingers) {
            continue;
        }
        let page = site.open(screen).await?;
        page.shows(FIRST).await?;
        page.dial("Time").await?.focus().await?;
        page.key(Key::Right).await?;
        page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
        page.key(Key::Left).await?;
        page.shows(FIRST).await?;
        page.dial("Time").await?.turn(1.0).await?;
        page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
        page.says("1/125 to 1/60").await?;
        page.press_step("Aperture", Way::More).await?;
        page.shows(FIRST).await?;
        page.finish().await?;
    }
    Ok(())
}

#[tokio::test]
async fn a_bracket_is_typed_logged_and_there_after_a_reload() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    let bracket: [&[&str]; 3] = [&["EI 160"], &["EI 80"], &["EI 40"]];
    job::bracketed(&page).await?;
    page.brackets(&bracket).await?;
    film_book::open_book(&page).await?;
    film_book::load_film(&page).await?;
    film_book::close_book(&page).await?;
    film_book::log_series(&page, "Hedge").await?;
    film_book::close_book(&page).await?;
    page.press_on("button", "Shoot").await?;
    page.press_on("button", "Shot").await?;
    page.reads("Frame 1 is noted.").await?;
    page.press_on("button", "Leave").await?;
    page.reload().await?;
    page.brackets(&bracket).await?;
    film_book::open_book(&page).await?;
    page.reads("Meadow 160 (invented)").await?;
    page.finish().await
}

#[tokio::test]
async fn what_is_typed_wrong_is_said_and_nobody_is_left_out() -> Result<()> {
    let site = Site::start().await?;
    for screen in [DESK, PHONE] {
        let page = site.open(screen).await?;
        for theme in ["Bright sun", "Dusk", "As the device"] {
            job::choose_theme(&page, theme).await?;
            page.until_still().await?;
            let problems = page.accessibility_problems().await?;
            ensure!(problems.is_empty(), "{theme}: {problems:#?}");
        }
        page.fill("Reading time", "soon").await?;
        page.reads("was not understood").await?;
        page.press_on("button", "Find the light").await?;
        page.find("heading", "Find the light").await?;
        page.until_still().await?;
        let problems = page.accessibility_problems().await?;
        ensure!(problems.is_empty(), "a sheet: {problems:#?}");
        page.finish().await?;
    }
    Ok(())
}

/// What only some open is a module of its own, which shares memory with the program that asks for it.
#[tokio::test]
async fn what_is_fetched_when_it_is_wanted_comes_and_works() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    film_book::open_book(&page).await?;
    page.press_on("button", "Add the invented example").await?;
    // By its button: WebKit takes a list without signs for none.
    light::press_row(&page, "Example: Harbour 200 (invented)").await?;
    page.reads("How sure").await?;
    page.press_on("button", "Example roll 1 (invented): back from the lab")
        .await?;
    page.press_on("button", "Review the scans").await?;
    page.reads("How were the scans made?").await?;
    // It changes the one book that the program before it holds.
    page.choose(
        "How were the scans made?",
        "Corrected frame by frame by the lab",
    )
    .await?;
    page.press_on("button", "Back").await?;
    page.press_on("button", "Back").await?;
    page.reads("corrected").await?;
    film_book::close_book(&page).await?;

    light::open_page(&page, "Find the light", "From a photo").await?;
    page.reads("Choose a photo").await?;
    page.press_on("button", "Close").await?;

    page.open_part("Learn").await?;
    page.press_on("button", "Practise").await?;
    page.press_on("button", "Ask me").await?;
    page.find("button", "That is my answer").await?;
    page.press_on("button", "Lessons").await?;
    page.fill("Name of a new lesson", "Stops").await?;
    page.press_on("button", "Make a lesson").await?;
    page.find("heading", "Stops").await?;
    page.finish().await
}

/// A record that is torn, and a storage that takes nothing more.
#[tokio::test]
async fn faults_of_the_storage_are_said_and_lose_nothing() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    let torn = "{\"format\":\"stopkeeper setting\",\"version\":1,\"rea";
    page.store("stopkeeper.setting", torn).await?;
    page.reload().await?;
    page.reads("could not be read").await?;
    page.shows(FIRST).await?;
    let stored = page.stored().await?;
    ensure!(
        stored.iter().any(|(_, text)| text == torn),
        "the damaged text is gone from {stored:?}"
    );
    job::fill_storage(&page).await?;
    page.press_step("Time", Way::More).await?;
    page.reads("until you close the page").await?;
    job::free_storage(&page).await?;
    page.press_step("Time", Way::More).await?;
    page.shows(["1/30 second", "f/11", "ISO 100"]).await?;
    page.reload().await?;
    page.shows(["1/30 second", "f/11", "ISO 100"]).await?;
    page.finish().await
}

#[tokio::test]
async fn nothing_is_wider_than_the_window() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    for (width, height) in [(1280, 800), (768, 1024), (480, 800), (390, 844)] {
        if width < 447 && !site.can(Ability::Narrow) {
            continue;
        }
        page.resize(Screen {
            width,
            height,
            touch: false,
        })
        .await?;
        page.wait_until("the page has its new size", async || {
            Ok(page.eval("innerWidth").await? == width)
        })
        .await?;
        let problems = page.layout_problems(24).await?;
        ensure!(problems.is_empty(), "{width} x {height}: {problems:#?}");
    }
    page.finish().await
}
