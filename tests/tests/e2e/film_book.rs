//! The film book: from a bag of old film to a rating for the rest, on the built page.

use tests::harness::{
    Context, DESK, Folder, Key, PHONE, Page, Result, SMALL_PHONE, Site, Value, ensure, json, shelf,
};

use crate::job;

const SUMMARY: &str = "DisclosureTriangle";

pub(crate) async fn open_book(page: &Page<'_>) -> Result<()> {
    page.press_on("button", "Film book").await?;
    page.find("heading", "Film book").await.map(drop)
}

/// Puts film into the bag and one roll of it into a camera.
pub(crate) async fn load_film(page: &Page<'_>) -> Result<()> {
    page.press_on("button", "Add film").await?;
    page.fill("Name", "Meadow 160 (invented)").await?;
    page.choose("Type", "colour negative").await?;
    page.fill("Box speed", "160").await?;
    page.fill("Expiry", "2004-06").await?;
    page.choose("How it was kept", "kept in a room").await?;
    page.fill("How many rolls of the same", "3").await?;
    page.press_on("button", "Put it into the bag").await?;
    page.find("heading", "Meadow 160 (invented)").await?;
    page.press_on(SUMMARY, "Load a roll").await?;
    page.fill("Camera", "garden folder (invented)").await?;
    page.fill("Rating (EI)", "80").await?;
    page.press_on("button", "Load it").await?;
    page.reads("Frame 1 of 36 comes next").await
}

/// Opens the one batch in the bag.
pub(crate) async fn open_batch(page: &Page<'_>) -> Result<()> {
    let shelf = page.find("list", "Bag").await?;
    let rows = shelf.find_all("button").await?;
    ensure!(rows.len() == 1, "the bag holds {} batches", rows.len());
    rows[0].tap().await?;
    page.find("list", "Rolls").await.map(drop)
}

pub(crate) async fn close_book(page: &Page<'_>) -> Result<()> {
    page.press_on("button", "Close").await?;
    page.find("slider", "Time").await.map(drop)
}

/// Logs the bracket of the dial as a scene.
pub(crate) async fn log_series(page: &Page<'_>, name: &str) -> Result<()> {
    page.press_on("button", "Log this series").await?;
    page.fill("Name of the scene", name).await?;
    page.press_on("button", "Log it").await?;
    page.find("region", "Next frame").await.map(drop)
}

/// The fates of the frames of the one roll with a log, as they are stored, and whether each has a time of day.
async fn fates(page: &Page<'_>) -> Result<Vec<(String, bool)>> {
    let records = book_records(page).await?;
    let (_, text) = records
        .iter()
        .find(|(key, text)| key.starts_with("stopkeeper.book.roll.") && text.contains("\"frames\""))
        .context("no roll has a log")?;
    let roll: Value = text.parse()?;
    let frames = roll["record"]["frames"].as_array().cloned();
    Ok(frames
        .unwrap_or_default()
        .iter()
        .map(|frame| {
            let fate = frame["shot"]["fate"].as_str().unwrap_or_default();
            (fate.to_owned(), frame["shot"]["at"].is_string())
        })
        .collect())
}

/// A bracket of three frames, logged, and shoot mode open on it.
async fn shooting_a_logged_series(page: &Page<'_>) -> Result<()> {
    job::bracketed(page).await?;
    open_book(page).await?;
    load_film(page).await?;
    close_book(page).await?;
    log_series(page, "Hedge").await?;
    close_book(page).await?;
    page.press_on("button", "Shoot").await?;
    page.reads("Meadow 160 (invented) 1, scene 1").await
}

#[tokio::test]
async fn shoot_mode_ticks_the_frames_off_in_the_log() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    shooting_a_logged_series(&page).await?;
    job::sound(&page, "shoot mode on a logged series").await?;
    let waiting = || ("waiting".to_owned(), false);
    let taken = || ("taken".to_owned(), true);
    ensure!(
        fates(&page).await? == [waiting(), waiting(), waiting()],
        "nothing is shot yet"
    );
    page.press_on("button", "Shot").await?;
    page.reads("Frame 1 is noted.").await?;
    page.reads("2 of 3").await?;
    ensure!(
        fates(&page).await? == [taken(), waiting(), waiting()],
        "one frame is stored at once"
    );
    // Going back unticks nothing, and the same frame is not noted twice.
    page.press_on("button", "Back").await?;
    page.reads("1 of 3").await?;
    ensure!(
        fates(&page).await? == [taken(), waiting(), waiting()],
        "going back changes nothing"
    );
    page.press_on("button", "Shot").await?;
    page.reads("frame 1 is shot in the log already").await?;
    page.press_on("button", "Shot").await?;
    page.reads("Frame 2 is noted.").await?;
    page.press_on("button", "Shot").await?;
    page.reads("Frame 3 is noted.").await?;
    page.reads("Set back to").await?;
    ensure!(
        fates(&page).await? == [taken(), taken(), taken()],
        "all frames are stored"
    );
    page.press_on("button", "Done").await?;

    // Another series is not the one in the log.
    job::set(&page, "Sensitivity", "100").await?;
    page.press_on("button", "Shoot").await?;
    page.find("button", "Next").await?;
    ensure!(
        !page.text().await?.contains("scene 1") && !page.has("button", "Not as planned").await?,
        "another series is ticked off"
    );
    page.finish().await
}

#[tokio::test]
async fn a_reload_between_two_frames_costs_nothing() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    shooting_a_logged_series(&page).await?;
    page.press_on("button", "Shot").await?;
    page.reads("Frame 1 is noted.").await?;
    page.reload().await?;
    page.press_on("button", "Shoot").await?;
    page.reads("Meadow 160 (invented) 1, scene 1").await?;
    page.press_on("button", "Shot").await?;
    page.reads("frame 1 is shot in the log already").await?;
    page.press_on("button", "Shot").await?;
    page.reads("Frame 2 is noted.").await?;
    page.finish().await
}

/// A series is told by what is planned: how the page looks, and a dial that is turned out and back, leave it the same.
#[tokio::test]
async fn a_series_stays_the_same_while_nothing_is_planned_otherwise() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    shooting_a_logged_series(&page).await?;
    page.press_on("button", "Shot").await?;
    page.reads("Frame 1 is noted.").await?;
    page.press_on("button", "Leave").await?;
    job::choose_theme(&page, "Dusk").await?;
    job::set(&page, "Sensitivity", "100").await?;
    job::set(&page, "Sensitivity", "80").await?;
    page.reload().await?;
    page.press_on("button", "Shoot").await?;
    page.reads("Meadow 160 (invented) 1, scene 1").await?;
    page.press_on("button", "Shot").await?;
    page.reads("frame 1 is shot in the log already").await?;
    page.press_on("button", "Shot").await?;
    page.reads("Frame 2 is noted.").await?;
    page.finish().await
}

/// Pages of before knew a series by the link to its whole setting; one that was logged there is ticked off here.
#[tokio::test]
async fn a_series_logged_by_a_page_of_before_is_ticked_off() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    shooting_a_logged_series(&page).await?;
    page.press_on("button", "Leave").await?;
    let written = page
        .eval(
            "(() => {
                const [, , words, place] = JSON.parse(localStorage['stopkeeper.logged']);
                const parcel = JSON.stringify({ setting: localStorage['stopkeeper.setting'] });
                const link = btoa(parcel).replaceAll('+', '-').replaceAll('/', '_').replaceAll('=', '');
                localStorage['stopkeeper.logged'] = `set1.${link}\n${words}\n${place}`;
                return words;
            })()",
        )
        .await?;
    ensure!(
        written == "Meadow 160 (invented) 1, scene 1",
        "the series is called {written}"
    );
    page.reload().await?;
    page.press_on("button", "Shoot").await?;
    page.reads("Meadow 160 (invented) 1, scene 1").await?;
    page.press_on("button", "Shot").await?;
    page.reads("Frame 1 is noted.").await?;
    page.finish().await
}

#[tokio::test]
async fn a_frame_that_was_not_shot_as_planned_is_changed_from_shoot_mode() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    shooting_a_logged_series(&page).await?;
    page.press_on("button", "Shot").await?;
    page.reads("2 of 3").await?;
    page.press_on("button", "Not as planned").await?;
    let open = page.find("region", "The open frame").await?;
    let text = open.text().await?;
    ensure!(text.contains("Frame 2"), "{text} is open");
    page.fill("Aperture as shot", "f/4").await?;
    page.press_on("button", "Keep the frame so").await?;
    // Keeping it means that it was shot, now.
    ensure!(
        fates(&page).await?
            == [
                ("taken".to_owned(), true),
                ("taken".to_owned(), true),
                ("waiting".to_owned(), false)
            ],
        "the frame that was kept is {:?}",
        fates(&page).await?
    );
    page.press_on("button", "Close").await?;
    // Shoot mode is still there, at the next frame.
    page.reads("3 of 3").await?;
    page.reads("Frame 2 is kept as it was shot").await?;
    page.press_on("button", "Shot").await?;
    page.reads("Frame 3 is noted.").await?;
    page.press_on("button", "Done").await?;
    // On the roll it is the same pair of words, and a tap says that it was not shot after all.
    open_book_at_a_roll(&page).await?;
    let rows = page.find("list", "Frames").await?;
    rows.find_all("button").await?[2].tap().await?;
    page.find("region", "The open frame").await?;
    page.fill("Aperture as shot", "f/5.6").await?;
    page.press_on("button", "Not shot yet").await?;
    let next = page.find("region", "Next frame").await?;
    next.find("button", "Shot").await?;
    next.find("button", "Not as planned").await?.tap().await?;
    page.find("region", "The open frame").await?;
    page.press_on("button", "Keep the frame so").await?;
    page.wait_until("the frame is shot", async || {
        Ok(fates(&page).await?[2].0 == "taken")
    })
    .await?;
    let records = book_records(&page).await?;
    ensure!(
        records
            .iter()
            .any(|(_, text)| text.contains("\"fate\":\"taken\",\"aperture\":\"f/4\"")),
        "the frame is {records:#?}"
    );
    page.finish().await
}

#[tokio::test]
async fn what_shoot_mode_cannot_note_is_said_there() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    shooting_a_logged_series(&page).await?;
    job::fill_storage(&page).await?;
    shelf::fill(&page).await?;
    page.press_on("button", "Shot").await?;
    page.reads("Frame 1 is noted in this page only").await?;
    page.press_on("button", "Leave").await?;
    // The tick and the series are taken back in the film book.
    open_book_at_a_roll(&page).await?;
    page.press_on("button", "Undo").await?;
    page.press_on("button", "Undo").await?;
    page.reads("Nothing is logged yet").await?;
    close_book(&page).await?;
    page.press_on("button", "Shoot").await?;
    page.press_on("button", "Shot").await?;
    page.reads("Not noted: this series is not in the log; log it again")
        .await?;
    page.press_on("button", "Not as planned").await?;
    page.reads("This frame cannot be changed").await?;
    page.finish().await
}

/// Opens the film book where it was left at a roll.
async fn open_book_at_a_roll(page: &Page<'_>) -> Result<()> {
    page.press_on("button", "Film book").await?;
    page.find("list", "Frames").await.map(drop)
}

async fn book_records(page: &Page<'_>) -> Result<Vec<(String, String)>> {
    shelf::records(page).await
}

#[tokio::test]
async fn from_the_bag_to_a_rating_for_the_rest_by_touch() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    job::bracketed(&page).await?;
    open_book(&page).await?;
    load_film(&page).await?;
    close_book(&page).await?;

    // 1/125 f/2.8 on film rated 80 and one stop either way, read at ISO 160, 1/60, f/5.6.
    log_series(&page, "Hedge in the sun").await?;
    page.reads("Hedge in the sun").await?;
    for _ in 0..3 {
        page.press_on("button", "Shot").await?;
    }
    page.wait_until("nothing waits any more", async || {
        Ok(!page.has("button", "Shot").await?)
    })
    .await?;
    page.reads("EI 160").await?;
    page.reads("EI 40").await?;

    // A slip over the last two frames: the ring stood a stop further open.
    page.press_on(SUMMARY, "A slip over several frames").await?;
    page.fill("From frame", "2").await?;
    page.fill("At", "f/2").await?;
    page.press_on("button", "Log the slip").await?;
    page.reads("planned 1/125, f/2.8").await?;
    page.reads("missing").await?;
    page.press_on("button", "Undo").await?;
    page.wait_until("the slip is undone", async || {
        Ok(!page.text().await?.contains("planned 1/125, f/2.8"))
    })
    .await?;

    page.press_on("button", "The roll is full: take it out")
        .await?;
    page.press_on("button", "Show the slip for the lab").await?;
    page.reads("develop").await?;
    page.press_on("button", "It is sent today").await?;
    page.press_on("button", "It is back today").await?;
    page.press_on("button", "Review the scans").await?;
    page.choose(
        "How were the scans made?",
        "No scans: judged on a light table",
    )
    .await?;
    page.reads("Judged on a light table").await?;
    page.press_on("button", "Frame 1: rejected").await?;
    page.press_on("button", "Frame 2: usable").await?;
    page.press_on("button", "Frame 3: liked").await?;
    page.press_on("button", "Rate the rest of this group")
        .await?;
    // The frame with most light was liked: that is a limit.
    page.reads("Rate the rest at EI 40 or lower").await?;
    page.reads("at least 2 stops more light than box speed")
        .await?;
    let text = page.text().await?;
    ensure!(!text.contains(": sure"), "more than the evidence: {text}");
    page.press_on("button", "Write this to the group").await?;
    page.reads("Written to this group").await?;
    page.reload().await?;
    open_book(&page).await?;
    open_batch(&page).await?;
    page.reads("rate it at EI 40 or lower").await?;
    latitude_is_behind_the_axis(&page).await?;
    page.finish().await
}

/// The next roll of the group is served: what was usable so far lies behind the frames that are planned.
async fn latitude_is_behind_the_axis(page: &Page<'_>) -> Result<()> {
    page.press_on(SUMMARY, "Load a roll").await?;
    page.fill("Camera", "garden folder (invented)").await?;
    page.fill("Rating (EI)", "80").await?;
    page.press_on("button", "Load it").await?;
    page.reads("Frame 1 of 36 comes next").await?;
    close_book(page).await?;
    let said = "Usable so far on this group, counted from box speed: from 1 stop more light to 2 stops more light, and beyond \
                as far as was tried, in 1 scene, which is a hint.";
    ensure!(
        !page.text().await?.contains("Usable so far"),
        "it is said of a roll that the dial does not serve"
    );
    let rolls = page.find("list", "Rolls in cameras").await?;
    rolls.find_all("button").await?[0].tap().await?;
    page.reads(said).await?;
    // The band begins at the first stop and ends at the second one.
    let ends = "(() => {
        const middle = e => { const b = e.getBoundingClientRect(); return (b.left + b.right) / 2 };
        const tick = figure => [...document.querySelectorAll('.axis-ticks > *')].filter(e => e.innerText === figure).at(-1);
        const band = document.querySelector('.axis-latitude');
        const box = band.getBoundingClientRect();
        const frames = document.querySelector('.axis-frames').getBoundingClientRect();
        return band.checkVisibility()
            ? [box.left + 3 - middle(tick('1')), box.right - 3 - middle(tick('2')), box.height, frames.bottom - box.bottom]
            : [];
    })()";
    page.wait_until("the band has its place", async || {
        let found = page.eval(ends).await?;
        let number = |i: usize| found[i].as_f64().unwrap_or(f64::MAX);
        let at_its_stops = number(0).abs() < 1.5 && number(1).abs() < 1.5;
        ensure!(
            at_its_stops && number(2) > 20.0 && number(3) > 10.0,
            "it stands {found}"
        );
        Ok(true)
    })
    .await?;
    job::choose_theme(page, "Darkroom").await?;
    job::sound_in_the_dark(page, "latitude behind the axis").await?;
    // Another film on the dial: nothing is claimed of it.
    page.fill("Box speed", "400").await?;
    page.wait_until("nothing is said of another film", async || {
        Ok(page.eval(ends).await? == json!([]) && !page.text().await?.contains("Usable so far"))
    })
    .await
}

#[tokio::test]
async fn the_example_comes_and_goes_without_a_trace() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    open_book(&page).await?;
    page.press_on("button", "Add the invented example").await?;
    page.reads("invented folding camera").await?;
    page.reads("The invented example is in the book").await?;
    ensure!(!book_records(&page).await?.is_empty(), "nothing was kept");
    let problems = page.accessibility_problems().await?;
    ensure!(problems.is_empty(), "the cover: {problems:#?}");
    page.press_on("button", "Open the log").await?;
    page.find("region", "Next frame").await?;
    let problems = page.accessibility_problems().await?;
    ensure!(problems.is_empty(), "the log: {problems:#?}");
    page.press_on("button", "Back").await?;
    page.press_on("button", "Remove the example").await?;
    page.wait_until("every record is gone", async || {
        Ok(book_records(&page).await?.is_empty())
    })
    .await?;
    page.finish().await
}

#[tokio::test]
async fn two_tabs_never_overwrite_each_other() -> Result<()> {
    two_tabs("0").await
}

/// As after a phone has put the first page to sleep and woken it again.
#[tokio::test]
async fn a_tab_that_heard_nothing_of_the_other_overwrites_nothing() -> Result<()> {
    two_tabs(shelf::DEAF).await
}

async fn two_tabs(first_of_all: &str) -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    open_book(&page).await?;
    load_film(&page).await?;
    page.eval(first_of_all).await?;
    close_book(&page).await?;
    let first = page.open_tab().await?;
    page.until_ready().await?;
    if first_of_all == shelf::DEAF {
        page.eval(shelf::MUTE).await?;
    }
    open_book(&page).await?;
    page.press_on("button", "Open the log").await?;
    page.press_on(SUMMARY, "A frame without a scene").await?;
    page.press_on("button", "Slate").await?;
    page.reads("Frame 2 of 36 comes next").await?;
    page.switch_tab(first).await?;
    // This tab has had the roll open since before the slate; what it adds comes after it.
    page.press_on("button", "Film book").await?;
    page.press_on(SUMMARY, "A frame without a scene").await?;
    page.press_on("button", "Capped frame").await?;
    page.reads("Frame 3 of 36 comes next").await?;
    page.wait_until("both frames are stored in one roll", async || {
        let records = book_records(&page).await?;
        Ok(records.iter().any(|(key, text)| {
            key.starts_with("stopkeeper.book.roll.")
                && text.contains("slate")
                && text.contains("capped")
        }))
    })
    .await?;
    page.finish().await
}

/// So many records at once that the other tab is not told which: it reads all that is stored, and keeps what it had.
#[tokio::test]
async fn a_large_change_in_one_tab_comes_into_the_other() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    open_book(&page).await?;
    load_film(&page).await?;
    page.press_on("button", "Back").await?;
    page.press_on("button", "Back").await?;
    close_book(&page).await?;
    let first = page.open_tab().await?;
    page.until_ready().await?;
    open_book(&page).await?;
    shelf::choose_large_book(&page, 50).await?;
    page.reads("Adds 1 stock, 5 batches and 50 rolls").await?;
    page.press_on("button", "Bring it in").await?;
    page.wait_until("all of it is stored", async || {
        Ok(shelf::count(&page).await? == 61)
    })
    .await?;
    page.switch_tab(first).await?;
    open_book(&page).await?;
    page.wait_until("the batches of both are in the bag", async || {
        let shelf = page.find("list", "Bag").await?;
        Ok(shelf.find_all("button").await?.len() == 6)
    })
    .await?;
    page.reads("Meadow 160 (invented) 1, box speed ISO 160")
        .await?;
    page.finish().await
}

#[tokio::test]
async fn with_storage_full_the_book_says_so_and_keeps_on() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    open_book(&page).await?;
    load_film(&page).await?;
    job::fill_storage(&page).await?;
    shelf::fill(&page).await?;
    page.press_on(SUMMARY, "A frame without a scene").await?;
    page.press_on("button", "Slate").await?;
    page.reads("keeps nothing more for this page").await?;
    page.reads("Frame 2 of 36 comes next").await?;
    // Another change that has no room either: the first one is not forgotten over it.
    page.press_on("button", "Capped frame").await?;
    page.reads("Frame 3 of 36 comes next").await?;
    page.reads("keeps nothing more for this page").await?;
    // Room in the smaller storage alone: nothing is lost any more, and it is said what is wrong.
    job::free_storage(&page).await?;
    page.reads("The browser's database is full").await?;
    // Room again: it is kept without another press.
    shelf::make_room(&page).await?;
    page.wait_until("both frames are stored", async || {
        let records = book_records(&page).await?;
        Ok(records
            .iter()
            .any(|(_, text)| text.contains("slate") && text.contains("capped")))
    })
    .await?;
    page.wait_until("the warning is gone", async || {
        Ok(!page.text().await?.contains("The browser's database"))
    })
    .await?;
    ensure!(
        !page
            .stored()
            .await?
            .iter()
            .any(|(key, _)| key.contains("journal")),
        "the journal is not needed any more"
    );
    page.reload().await?;
    open_book(&page).await?;
    page.reads("Frame 3 of 36 comes next").await?;
    page.finish().await
}

#[tokio::test]
async fn the_book_opens_without_a_network() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.until_kept_offline().await?;
    site.server().set_online(false);
    page.expect_error("net::ERR_");
    page.expect_error("Failed to update a ServiceWorker");
    page.reload().await?;
    open_book(&page).await?;
    page.press_on("button", "Add the invented example").await?;
    page.reads("invented folding camera").await?;
    page.finish().await
}

#[tokio::test]
async fn every_page_is_sound_on_a_small_phone_and_in_the_dark() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(SMALL_PHONE).await?;
    job::choose_theme(&page, "Darkroom").await?;
    open_book(&page).await?;
    page.press_on("button", "Add the invented example").await?;
    job::sound_in_the_dark(&page, "the cover").await?;
    page.press_on("button", "Add film").await?;
    job::sound_in_the_dark(&page, "new film").await?;
    page.press_on("button", "Back").await?;
    page.press_on("button", "Kit").await?;
    page.press_on(SUMMARY, "Add or change a reading device")
        .await?;
    page.choose("Correction", "Compare it with one that is trusted")
        .await?;
    page.fill("Name of the device", "pocket camera (invented)")
        .await?;
    page.press_on("button", "Keep the device").await?;
    page.reads("in third stops: is not corrected").await?;
    page.press_on(SUMMARY, "Add or change a lens").await?;
    job::sound_in_the_dark(&page, "the kit").await?;
    page.press_on("button", "Back").await?;
    open_batch(&page).await?;
    for part in [
        "Load a roll",
        "Which light it serves",
        "More rolls of the same",
    ] {
        page.press_on(SUMMARY, part).await?;
    }
    page.reads("with the bracket on the dial (by time, up to 3 stops more light)")
        .await?;
    page.reads("By hand means 1/50 or faster, rule of thumb: 1 / focal length (50 mm)")
        .await?;
    job::sound_in_the_dark(&page, "the batch").await?;
    let rolls = page.find("list", "Rolls").await?;
    rolls.find_all("button").await?[0].tap().await?;
    page.find("button", "Review the scans").await?;
    job::sound_in_the_dark(&page, "the log").await?;
    page.press_on("button", "Review the scans").await?;
    page.find("combobox", "How were the scans made?").await?;
    job::sound_in_the_dark(&page, "the review").await?;
    page.finish().await
}

#[tokio::test]
async fn the_light_that_a_roll_serves_goes_by_the_bracket_and_the_limit_on_the_dial() -> Result<()>
{
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.choose("Frames with less light", "1").await?;
    page.choose("Frames with more light", "2").await?;
    page.choose("Step", "½ stop").await?;
    open_book(&page).await?;
    page.press_on("button", "Add the invented example").await?;
    open_batch(&page).await?;
    page.press_on(SUMMARY, "Which light it serves").await?;
    page.reads("with the bracket on the dial (by time, up to ½ stop less light and 1 stop more light): by hand from")
        .await?;
    page.reads("By hand means 1/50 or faster, rule of thumb: 1 / focal length (50 mm).")
        .await?;
    // What was shot last can be taken in its place. One speed has no room for a bracket by time.
    let shot = "the bracket of “Check bracket at the lock” on Example roll 2 (invented) (by time, up to 1 stop less light and 2 \
                stops more light)";
    page.choose("With this bracket", shot).await?;
    page.reads(&format!(", with {shot}: by hand from")).await?;
    page.choose("In this camera", "Box camera, one speed")
        .await?;
    page.reads(&format!("no light suits every frame of {shot}"))
        .await?;
    page.finish().await
}

#[tokio::test]
async fn a_device_that_reads_wrong_is_corrected_once_and_counted_in_the_log() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    job::bracketed(&page).await?;
    open_book(&page).await?;
    page.press_on("button", "Kit").await?;
    page.press_on(SUMMARY, "Add or change a reading device")
        .await?;
    page.fill("Name of the device", "pocket camera (invented)")
        .await?;
    page.choose("Correction", "Compare it with one that is trusted")
        .await?;
    page.fill("Its time", "1/250").await?;
    page.press_on("button", "Keep the device").await?;
    page.reads("1 stop more light is added; or set ISO 50 on it instead of 100, and type its readings with ISO 100 all the same")
        .await?;
    page.press_on(SUMMARY, "Add or change a lens").await?;
    page.fill("Name of the lens", "long one (invented)").await?;
    page.fill("Smallest aperture", "f/1.4").await?;
    page.press_on("button", "Keep the lens").await?;
    // Refused with a sentence, and what was typed stays.
    ensure!(
        page.find("textbox", "Name of the lens")
            .await?
            .value()
            .await?
            == "long one (invented)",
        "the form was emptied"
    );
    page.fill("Smallest aperture", "f/16").await?;
    page.press_on("button", "Keep the lens").await?;
    page.reads("f/2 to f/16").await?;
    page.press_on("button", "Back").await?;
    load_film(&page).await?;
    close_book(&page).await?;
    page.press_on("button", "Log this series").await?;
    page.choose("Read with", "pocket camera (invented)").await?;
    page.reads("The dial did not count it").await?;
    page.press_on("button", "Log it").await?;
    // Meant for EI 80; the device asked for a stop too little, so the base amounts to EI 160.
    let log = page.find("list", "Frames").await?;
    page.wait_until("the log has its frames", async || {
        Ok(log.find_all("button").await?.len() == 3)
    })
    .await?;
    let rows = log.find_all("button").await?;
    let text = rows[1].text().await?;
    ensure!(text.contains("EI 160"), "the base frame says {text}");
    page.finish().await
}

#[tokio::test]
async fn scans_are_lined_up_named_and_compared_blind() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    open_book(&page).await?;
    page.press_on("button", "Add the invented example").await?;
    open_batch(&page).await?;
    let rolls = page.find("list", "Rolls").await?;
    rolls.find_all("button").await?[0].tap().await?;
    page.press_on("button", "Review the scans").await?;
    page.find("combobox", "How were the scans made?").await?;
    // Fourteen files for fifteen frames: the lab left the first one out.
    page.eval(
        "(async () => {
            const bag = new DataTransfer();
            for (let n = 1; n <= 14; n++) {
                const canvas = new OffscreenCanvas(30, 20);
                canvas.getContext('2d').fillRect(0, 0, n, 20);
                const picture = await canvas.convertToBlob();
                bag.items.add(new File([picture], `scan ${n}.png`, { type: 'image/png' }));
            }
            const field = document.querySelector('#review-scans');
            field.files = bag.files;
            field.dispatchEvent(new Event('change', { bubbles: true }));
        })()",
    )
    .await?;
    page.press_on("checkbox", "Frame 1: no scan of this frame")
        .await?;
    page.press_on("button", "Keep these names with the frames")
        .await?;
    let kept = async || -> Result<Value> {
        let records = book_records(&page).await?;
        let (_, text) = records
            .iter()
            .find(|(key, _)| key == "stopkeeper.book.roll.example.roll-1")
            .context("the roll is not kept")?;
        let roll: Value = text.parse()?;
        let scans = roll["record"]["frames"].as_array().map(|frames| {
            frames
                .iter()
                .map(|frame| frame["scan"].clone())
                .collect::<Vec<_>>()
        });
        Ok(json!(scans))
    };
    page.wait_until("the names are kept, one frame further on", async || {
        let scans = kept().await?;
        Ok(scans[0].is_null() && scans[1] == "scan 1.png" && scans[14] == "scan 14.png")
    })
    .await?;

    page.press_on("checkbox", "Compare blind").await?;
    page.find("button", "Picture A: liked").await?;
    let list = page.find("list", "Frames to compare").await?;
    let text = list.text().await?;
    ensure!(
        !text.contains("EI ") && !text.contains(" less light") && !text.contains(" more light"),
        "blind, and yet it says {text}"
    );
    page.press_on("checkbox", "Compare blind").await?;
    page.find("button", "Frame 2: liked").await?;
    let text = page.find("list", "Frames to compare").await?.text().await?;
    ensure!(text.contains("EI "), "seeing, and it says {text}");
    page.finish().await
}

/// The script's own measures: from the first step of the program to the first picture of the book, and from a press to what
/// the browser says is stored.
#[tokio::test]
async fn five_thousand_full_rolls_open_and_keep_quickly() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    open_book(&page).await?;
    load_film(&page).await?;
    page.wait_until("the film is stored", async || {
        Ok(book_records(&page).await?.len() == 5)
    })
    .await?;
    shelf::many(&page, 5_000).await?;
    page.reload().await?;
    open_book(&page).await?;
    page.press_on("button", "Open the log").await?;
    let opened = page.eval(shelf::OPENED).await?;
    page.press_on(SUMMARY, "A frame without a scene").await?;
    let kept = page.eval(shelf::KEPT).await?;
    println!(
        "with 5 000 full rolls the book opens in {opened} ms; a frame takes {kept} ms: the press, until it is stored"
    );
    // The aims are 300 ms and 5 ms on a quiet machine; here other tests run beside this one.
    ensure!(
        opened.as_f64() < Some(1_500.0),
        "with 5 000 full rolls the book opens in {opened} ms"
    );
    ensure!(
        kept[0].as_f64() < Some(15.0) && kept[1].as_f64() < Some(150.0),
        "with 5 000 full rolls a frame takes {kept} ms"
    );
    page.reads("Frame 10 of 36 comes next").await?;
    page.press_on("button", "Back").await?;
    // A full roll is read when it is opened.
    shelf::press_first(&page, "Many 7 (invented)").await?;
    shelf::press_first(&page, "Many 700: back").await?;
    let log = page.find("list", "Frames").await?;
    ensure!(log.find_all("button").await?.len() == 36, "all its frames");
    page.reads("the wind moved the reeds in frame 36").await?;
    page.finish().await
}

/// Books of the time before the database lie in local storage, a record each.
#[tokio::test]
async fn a_book_of_old_moves_over_by_itself_and_stays_readable_until_it_has() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    let old = shelf::store_old_book(&page, 40).await?;
    let newer = "{\"format\":\"stopkeeper lens\",\"version\":99,\"record\":{}}";
    page.store("stopkeeper.book.lens.newer", newer).await?;
    page.store("stopkeeper.book.lens.damaged", "{\"format\":\"stop")
        .await?;
    // First where there is no database: the book is there, is changed, and says what is wrong.
    let script = page
        .devtools(
            "Page.addScriptToEvaluateOnNewDocument",
            json!({ "source": "IDBFactory.prototype.open = () => { throw new DOMException('', 'SecurityError') }" }),
        )
        .await?;
    page.reload().await?;
    open_book(&page).await?;
    page.reads("The browser's database cannot be used here")
        .await?;
    page.reads("1 record could not be read").await?;
    page.reads("1 record saved by a newer version").await?;
    shelf::press_first(&page, "Old 0 (invented)").await?;
    shelf::press_first(&page, "Old 3: back").await?;
    shelf::note(&page, "seen without a database").await?;
    page.reload().await?;
    open_book(&page).await?;
    shelf::press_first(&page, "Old 0 (invented)").await?;
    shelf::press_first(&page, "Old 3: back").await?;
    page.reads("seen without a database").await?;
    page.devtools("Page.removeScriptToEvaluateOnNewDocument", script)
        .await?;
    // Then where there is one.
    page.reload().await?;
    open_book(&page).await?;
    page.wait_until(
        "only what nobody can read is left where it was",
        async || {
            let mut left = page.stored().await?;
            left.retain(|(key, _)| key.starts_with("stopkeeper.book.") || key.contains("journal"));
            Ok(left == [("stopkeeper.book.lens.newer".to_owned(), newer.to_owned())])
        },
    )
    .await?;
    let records = book_records(&page).await?;
    for (key, text) in &old {
        let (_, now) = records
            .iter()
            .find(|(name, _)| name == key)
            .with_context(|| format!("{key} is gone"))?;
        if key.ends_with(".old-3") {
            let as_before = now.replace(",\"note\":\"seen without a database\"", "");
            ensure!(
                now.contains("seen without") && as_before.len() <= text.len(),
                "{now}"
            );
        } else {
            ensure!(now == text, "{key} was {text} and is {now}");
        }
    }
    ensure!(
        records.iter().any(
            |(key, text)| key.starts_with("stopkeeper.book.aside.lens.damaged.")
                && text == "{\"format\":\"stop"
        ),
        "the damaged record is gone"
    );
    page.reload().await?;
    open_book(&page).await?;
    shelf::press_first(&page, "Old 0 (invented)").await?;
    shelf::press_first(&page, "Old 3: back").await?;
    page.reads("seen without a database").await?;
    page.finish().await
}

#[tokio::test]
async fn storage_that_is_emptied_while_a_roll_is_open_is_filled_again() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    shelf::store_old_book(&page, 20).await?;
    open_book(&page).await?;
    load_film(&page).await?;
    page.press_on(SUMMARY, "A frame without a scene").await?;
    page.press_on("button", "Slate").await?;
    page.reads("Frame 2 of 36 comes next").await?;
    page.wait_until("the old book has moved over", async || {
        let stored = page.stored().await?;
        Ok(!stored
            .iter()
            .any(|(key, _)| key.starts_with("stopkeeper.book.")))
    })
    .await?;
    page.eval(
        "localStorage.clear();
        new Promise((done, failed) => {
            const request = indexedDB.deleteDatabase('stopkeeper');
            request.onsuccess = done;
            request.onerror = failed;
        }).then(() => 0)",
    )
    .await?;
    page.press_on("button", "Capped frame").await?;
    page.reads("Frame 3 of 36 comes next").await?;
    page.reads("storage was emptied while the book was open")
        .await?;
    // Said when it begins; a page that is left before it has ended keeps only what the journal holds.
    page.wait_until("what was at hand is written again", async || {
        let records = book_records(&page).await?;
        Ok(records
            .iter()
            .any(|(_, text)| text.contains("Old 0 (invented)")))
    })
    .await?;
    page.reload().await?;
    open_book(&page).await?;
    page.reads("Frame 3 of 36 comes next").await?;
    shelf::press_first(&page, "Old 0 (invented)").await?;
    shelf::press_first(&page, "Old 3: back").await?;
    page.reads("the wind moved the reeds in frame 36").await?;
    page.finish().await
}

/// Two tabs that hear nothing of each other, each with the roll as it was before the other's change.
#[tokio::test]
async fn what_two_deaf_tabs_say_of_one_roll_is_all_kept() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    shelf::store_old_book(&page, 1).await?;
    let open = async || {
        page.until_ready().await?;
        page.eval(shelf::MUTE).await?;
        open_book(&page).await?;
        shelf::press_first(&page, "Old 0 (invented)").await?;
        shelf::press_first(&page, "Old 0: back").await?;
        page.find("list", "Frames").await.map(drop)
    };
    open().await?;
    page.wait_until("the old book has moved over", async || {
        Ok(book_records(&page).await?.len() == 3)
    })
    .await?;
    // Neither hears of the other: the journal, and the word that is left of each change, stay out of the other's sight.
    let alone = "addEventListener('visibilitychange', event => event.stopImmediatePropagation(), true);
        const set = Storage.prototype.setItem;
        Storage.prototype.setItem = function (key, text) {
            if (!key.includes('book-changed') && !key.includes('journal')) { set.call(this, key, text); }
        }; 0";
    page.eval(alone).await?;
    let first = page.open_tab().await?;
    open().await?;
    page.eval(alone).await?;
    shelf::note_of(&page, 1, "from the second tab").await?;
    page.reads("Note kept.").await?;
    page.wait_until("the second tab's note is stored", async || {
        let records = book_records(&page).await?;
        Ok(records
            .iter()
            .any(|(_, text)| text.contains("from the second tab")))
    })
    .await?;
    page.switch_tab(first).await?;
    let rows = page.find("list", "Frames").await?;
    rows.find_all("button").await?[5].tap().await?;
    page.find("region", "The open frame").await?;
    page.fill("Note", "from the first tab").await?;
    page.press_on("button", "Keep the frame so").await?;
    page.reads(
        "“Old 0” was changed in another tab as well differently in frames 2 and 6. Both are kept",
    )
    .await?;
    page.reads("from the second tab").await?;
    page.wait_until("both are stored", async || {
        let records = book_records(&page).await?;
        let says = |words: &str| {
            let among = records.iter().filter(|(_, text)| text.contains(words));
            among.count()
        };
        Ok(records.len() == 4
            && says("from the second tab") == 1
            && says("from the first tab") == 1)
    })
    .await?;
    page.finish().await
}

/// The page is killed in the very moment of the press, before any answer of the database.
#[tokio::test]
async fn a_page_that_is_killed_at_the_press_loses_nothing() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    shelf::store_old_book(&page, 1).await?;
    open_book(&page).await?;
    load_film(&page).await?;
    page.press_on(SUMMARY, "A frame without a scene").await?;
    page.wait_until("the film is stored", async || {
        Ok(book_records(&page).await?.len() == 8)
    })
    .await?;
    // As good as killed: from here on no transaction of this page comes to anything.
    page.eval(
        "IDBObjectStore.prototype.put = function () { this.transaction.abort(); throw new DOMException('', 'AbortError'); };
        [...document.querySelectorAll('button')].find(button => button.textContent === 'Slate').click();
        location.reload(); 0",
    )
    .await?;
    page.until_ready().await?;
    open_book(&page).await?;
    page.reads("Frame 2 of 36 comes next").await?;
    page.wait_until("the journal is in the database", async || {
        let journal = page
            .stored()
            .await?
            .iter()
            .any(|(key, _)| key.contains("journal"));
        let records = book_records(&page).await?;
        Ok(!journal && records.iter().any(|(_, text)| text.contains("slate")))
    })
    .await?;
    page.finish().await
}

/// The whole browser is killed as soon as the page has said that the frame is noted.
#[tokio::test]
async fn what_is_called_noted_is_there_after_the_browser_was_killed() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    shooting_a_logged_series(&page).await?;
    page.press_on("button", "Shot").await?;
    page.reads("Frame 1 is noted.").await?;
    let page = page.kill_and_open_again().await?;
    open_book(&page).await?;
    page.press_on("button", "Open the log").await?;
    page.reads("Frame 2 of 36 comes next").await?;
    page.finish().await
}

#[tokio::test]
async fn a_clock_that_cannot_be_right_is_not_believed() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    open_book(&page).await?;
    load_film(&page).await?;
    page.press_on(SUMMARY, "A frame without a scene").await?;
    page.eval(
        "globalThis.clock = Date;
        globalThis.Date = class extends clock { getFullYear() { return 100000; } }; 0",
    )
    .await?;
    page.press_on("button", "Slate").await?;
    page.reads("The clock of this device is wrong").await?;
    page.reads("Frame 1 of 36 comes next").await?;
    page.eval("globalThis.Date = clock; 0").await?;
    page.press_on("button", "Slate").await?;
    page.reads("Frame 2 of 36 comes next").await?;
    page.wait_until("the frame is stored with its time", async || {
        let records = book_records(&page).await?;
        Ok(records.iter().any(|(_, text)| text.contains("slate"))
            && !records.iter().any(|(_, text)| text.contains("2000-01-01")))
    })
    .await?;
    page.finish().await
}

#[tokio::test]
async fn the_example_is_not_put_over_a_record_of_a_newer_version() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    let newer =
        "{\"format\":\"stopkeeper roll\",\"version\":99,\"record\":{\"id\":\"example.roll-2\"}}";
    page.store("stopkeeper.book.roll.example.roll-2", newer)
        .await?;
    page.reload().await?;
    open_book(&page).await?;
    page.reads("1 record saved by a newer version").await?;
    page.press_on("button", "Add the invented example").await?;
    page.reads("is not written over").await?;
    let stored = page.stored().await?;
    ensure!(
        stored.iter().any(|(_, text)| text == newer),
        "the newer record is gone: {stored:?}"
    );
    page.finish().await
}

/// 1 000 full rolls, 10 MB: brought in and undone, each in one go, and each says how far it got.
#[tokio::test]
async fn a_large_book_comes_in_and_is_undone_with_progress() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    open_book(&page).await?;
    page.eval(shelf::WATCH_WORK).await?;
    shelf::choose_large_book(&page, 1_000).await?;
    page.reads("Adds 10 stocks, 100 batches and 1000 rolls")
        .await?;
    let began = std::time::Instant::now();
    page.press_on("button", "Bring it in").await?;
    page.wait_until("all of it is stored", async || {
        Ok(shelf::count(&page).await? == 1_110)
    })
    .await?;
    let took = began.elapsed();
    let began = std::time::Instant::now();
    page.press_on("button", "Undo").await?;
    page.wait_until("all of it is gone", async || {
        Ok(shelf::count(&page).await? == 0)
    })
    .await?;
    println!(
        "10 MB are brought in within {took:?}, and undone within {:?}",
        began.elapsed()
    );
    let said = page.eval("work.join(' ')").await?;
    let said = said.as_str().unwrap_or_default();
    for part in [
        "Reading the file: 50 of 1110 records",
        "Keeping: 100 of 1110 records",
    ] {
        ensure!(said.contains(part), "{part} is not said, but {said}");
    }
    page.finish().await
}

/// The rows of the log, each as it reads.
async fn log_rows(page: &Page<'_>) -> Result<Vec<String>> {
    let log = page.find("list", "Frames").await?;
    let mut rows = Vec::new();
    for row in log.find_all("button").await? {
        // Under the row of an open frame there are others.
        if row.attribute("aria-expanded").await?.is_some() {
            rows.push(row.text().await?);
        }
    }
    Ok(rows)
}

/// A meter that stood elsewhere over several frames is told once, and everything reads it.
#[tokio::test]
async fn a_slip_of_the_meter_is_one_truth_on_every_page_and_paper() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.watch_what_is_saved().await?;
    job::bracketed(&page).await?;
    open_book(&page).await?;
    load_film(&page).await?;
    close_book(&page).await?;
    log_series(&page, "Hedge").await?;
    for _ in 0..3 {
        page.press_on("button", "Shot").await?;
    }
    // Read as 1/60, f/5.6 at ISO 160 (EV 10.3); the meter stood at ISO 640, so the light was two stops less.
    page.press_on(SUMMARY, "A slip over several frames").await?;
    page.fill("From frame", "1").await?;
    page.choose("What was otherwise", "The reading device stood at ISO")
        .await?;
    page.fill("At", "640").await?;
    page.press_on("button", "Log the slip").await?;
    let words = "the meter stood at ISO 640, not at ISO 160: 2 stops less light than was meant";
    page.reads("The meter stood at ISO 640, not at ISO 160")
        .await?;
    let scenes = page.find("list", "Scenes").await?.text().await?;
    ensure!(
        scenes.contains("Holds 1 stop less light, the base and 1 stop more light.")
            && !scenes.contains("Missing")
            && !scenes.contains("Still to shoot"),
        "frames that are there: {scenes}"
    );
    ensure!(
        !page.has("button", "Plan what is missing").await?,
        "the same is planned again"
    );
    let rows = log_rows(&page).await?;
    ensure!(
        rows.len() == 3 && rows[1].contains(words) && rows[1].contains("EI 320"),
        "the log says {rows:?}"
    );
    page.find("list", "Frames")
        .await?
        .find_all("button")
        .await?[1]
        .tap()
        .await?;
    let open = page.find("region", "The open frame").await?.text().await?;
    ensure!(open.contains(words), "the open frame says {open}");
    job::sound(&page, "the open frame").await?;
    page.press_on("button", "Frames as a table").await?;
    page.reads("is handed to the browser").await?;
    let table = page.eval("saved[0].text()").await?;
    let table = table.as_str().unwrap_or_default().to_owned();
    ensure!(table.matches(words).count() == 3, "the table says {table}");

    page.press_on("button", "The roll is full: take it out")
        .await?;
    page.press_on("button", "It is sent today").await?;
    page.press_on("button", "It is back today").await?;
    page.press_on("button", "Review the scans").await?;
    page.choose(
        "How were the scans made?",
        "No scans: judged on a light table",
    )
    .await?;
    page.press_on("button", "Frame 1: rejected").await?;
    page.press_on("button", "Frame 2: liked").await?;
    page.press_on("button", "Frame 3: usable").await?;
    page.press_on("button", "Rate the rest of this group")
        .await?;
    page.press_on(SUMMARY, "The evidence").await?;
    page.reads("Meadow 160 (invented) 1, scene 1 (Hedge): liked 1 stop less light than box speed; light about EV 8.3")
        .await?;
    page.finish().await
}

#[tokio::test]
async fn a_frame_is_put_in_moved_and_taken_out_anywhere_in_the_log() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    job::bracketed(&page).await?;
    open_book(&page).await?;
    load_film(&page).await?;
    close_book(&page).await?;
    log_series(&page, "Hedge").await?;
    page.press_on("button", "Shot").await?;
    // One is lost: it lies behind the one that was shot, before the two that are still to be shot.
    page.press_on(SUMMARY, "A frame without a scene").await?;
    page.press_on("button", "Lost frame").await?;
    page.reads("Lost frame logged as frame 2").await?;
    page.reads("Frame 3 of 36 comes next").await?;
    let firsts = async || -> Result<Vec<String>> {
        let rows = log_rows(&page).await?;
        Ok(rows
            .iter()
            .map(|row| row.split_whitespace().take(2).collect::<Vec<_>>().join(" "))
            .collect())
    };
    page.wait_equal(
        "the log",
        vec!["1 1/250,", "2 nothing", "3 1/125,", "4 1/60,"],
        firsts,
    )
    .await?;
    // A forgotten one lies behind frame 1, in the scene, with what was set.
    page.press_on(SUMMARY, "Put a frame into the log").await?;
    page.choose("What it is", "Forgotten: a picture that is not in the log")
        .await?;
    page.choose("Where it happened", "Behind frame 1").await?;
    page.choose("Scene it belongs to", "1 Hedge").await?;
    page.fill("Time that was set", "1/30").await?;
    page.fill("Aperture that was set", "2.8").await?;
    page.press_on("button", "Put it in").await?;
    page.reads("Forgotten frame logged as frame 2").await?;
    page.wait_equal(
        "the log",
        vec!["1 1/250,", "2 1/30,", "3 nothing", "4 1/125,", "5 1/60,"],
        firsts,
    )
    .await?;
    page.reads("2 stops more light").await?;
    job::sound(&page, "a frame that is put in").await?;
    // It was shot behind the lost one.
    page.find("list", "Frames")
        .await?
        .find_all("button")
        .await?[1]
        .tap()
        .await?;
    page.choose("It belongs elsewhere", "Behind frame 3")
        .await?;
    page.press_on("button", "Move it there").await?;
    page.reads("it is frame 3 on the film now").await?;
    page.wait_equal(
        "the log",
        vec!["1 1/250,", "2 nothing", "3 1/30,", "4 1/125,", "5 1/60,"],
        firsts,
    )
    .await?;
    // No frame was lost after all.
    page.find("list", "Frames")
        .await?
        .find_all("button")
        .await?[1]
        .tap()
        .await?;
    let open = page.find("region", "The open frame").await?;
    open.find("button", "Left out").await?.tap().await?;
    page.wait_equal(
        "the log",
        vec!["1 1/250,", "– nothing", "2 1/30,", "3 1/125,", "4 1/60,"],
        firsts,
    )
    .await?;
    for _ in 0..4 {
        page.press_on("button", "Undo").await?;
    }
    page.wait_equal(
        "all undone",
        vec!["1 1/250,", "2 1/125,", "3 1/60,"],
        firsts,
    )
    .await?;
    page.finish().await
}

#[tokio::test]
async fn one_roll_to_a_camera_taken_out_early_and_loaded_again() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    job::bracketed(&page).await?;
    open_book(&page).await?;
    load_film(&page).await?;
    close_book(&page).await?;
    log_series(&page, "Hedge").await?;
    page.press_on("button", "Shot").await?;
    // Back to its batch, where the next roll is.
    page.press_on("button", "Back").await?;
    page.press_on(SUMMARY, "Load a roll").await?;
    page.fill("Camera", "Garden Folder (invented)").await?;
    page.press_on("button", "Load it").await?;
    page.reads(
        "“Meadow 160 (invented) 1” is in this camera. In the garden folder (invented) since",
    )
    .await?;
    page.reads("Frame 2 of 36 comes next").await?;
    job::sound(&page, "a camera that is taken").await?;
    let loaded = async || -> Result<usize> {
        let records = book_records(&page).await?;
        Ok(records
            .iter()
            .filter(|(_, text)| text.contains("\"state\":\"loaded\""))
            .count())
    };
    ensure!(loaded().await? == 1, "it is loaded before the word");
    page.press_on("button", "Leave it in").await?;
    page.wait_until("the question is put away", async || {
        Ok(!page.has("button", "Leave it in").await?)
    })
    .await?;
    ensure!(loaded().await? == 1, "it is loaded all the same");
    page.press_on("button", "Load it").await?;
    page.press_on("button", "It goes on later: load this one instead")
        .await?;
    page.find("heading", "Meadow 160 (invented) 2").await?;
    ensure!(loaded().await? == 1, "two rolls are in one camera");
    // The other one waits, part shot.
    page.press_on("button", "Back").await?;
    page.press_on(
        "button",
        "Meadow 160 (invented) 1: part shot, out of the camera",
    )
    .await?;
    page.reads("1 of 36 frames are used; frame 2 comes next when it is loaded again")
        .await?;
    ensure!(
        !page.has("region", "Next frame").await?,
        "a frame is next on a roll that is in no camera"
    );
    // It goes into another camera, a frame beyond.
    page.fill("Camera", "garden box (invented)").await?;
    page.fill("At frame", "1").await?;
    page.press_on("button", "Load it").await?;
    page.reads("frame 1 is on the film already; load it at frame 2")
        .await?;
    page.fill("At frame", "3").await?;
    page.press_on("button", "Load it").await?;
    page.reads("1 frame before it is logged as blank").await?;
    page.reads("Frame 3 of 36 comes next").await?;
    // A jam: it is done as it is, and nothing comes next any more.
    page.press_on(SUMMARY, "Take it out early").await?;
    page.fill("Why", "jam").await?;
    job::sound(&page, "taking a roll out early").await?;
    page.press_on("button", "It is finished as it is").await?;
    page.reads("2 of 36 frames are used. 2 planned frames were not shot.")
        .await?;
    page.reads("Shot in the garden box (invented) (jam)")
        .await?;
    let text = page.text().await?;
    ensure!(
        !text.contains("comes next") && !text.contains("Still to shoot"),
        "a finished roll has a next frame: {text}"
    );
    ensure!(
        !page.has("region", "Next frame").await?
            && !page.has("button", "Plan what is missing").await?,
        "a finished roll takes plans"
    );
    page.press_on("button", "They were not shot").await?;
    page.wait_until("it is not asked again", async || {
        Ok(!page.has("button", "They were shot").await?)
    })
    .await?;
    // The dial's shoot mode is told so.
    close_book(&page).await?;
    page.press_on("button", "Shoot").await?;
    page.press_on("button", "Shot").await?;
    page.reads("is exposed, waiting; load it before a frame of it is shot")
        .await?;
    page.finish().await
}

#[tokio::test]
async fn where_to_start_is_said_in_years_and_stops_and_covers_the_rules() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open_book(&page).await?;
    page.press_on("button", "Add film").await?;
    page.fill("Name", "Slate 400 (invented)").await?;
    page.choose("Type", "black-and-white negative").await?;
    page.fill("Box speed", "400").await?;
    page.fill("Expiry", "1984-06").await?;
    page.choose("How it was kept", "kept in a room").await?;
    page.press_on("button", "Put it into the bag").await?;
    page.find("heading", "Where to start").await?;
    let text = page.text().await?;
    ensure!(
        text.contains("years for one stop")
            && text.contains("stops more light, at most")
            && !text.contains("months for one stop")
            && !text.contains("twelfths"),
        "the values of the rules: {text}"
    );
    let decade = page
        .find("textbox", "Value of the rule: One stop a decade")
        .await?;
    ensure!(decade.value().await? == "10", "ten years");
    page.reads("Why these frames").await?;
    decade.fill("12.5").await?;
    page.key(Key::Tab).await?;
    page.reads("at 12.5 years per stop").await?;
    page.press_on("button", "Undo").await?;
    page.reads("at 10 years per stop").await?;
    page.finish().await
}

/// A saved book with a roll that has two scenes, one of them behind a filter.
const SAVED: &str = include_str!("../../../crates/book/tests/golden/roll-2.json");

/// Chooses a file to bring in.
pub(crate) async fn choose_file(page: &Page<'_>, text: &str) -> Result<()> {
    page.give_file("book-file", "book.json", text).await
}

/// The text of the roll as it is stored.
async fn stored_roll(page: &Page<'_>) -> Result<String> {
    let records = book_records(page).await?;
    let rolls: Vec<String> = records
        .into_iter()
        .filter(|(key, _)| key.starts_with("stopkeeper.book.roll.box-1"))
        .map(|(_, text)| text)
        .collect();
    ensure!(rolls.len() == 1, "there are {} copies", rolls.len());
    Ok(rolls.concat())
}

#[tokio::test]
async fn an_old_reading_holds_by_a_tap_and_the_roll_says_what_was_counted() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open_book(&page).await?;
    choose_file(&page, SAVED).await?;
    page.press_on("button", "Bring it in").await?;
    page.press_on("button", "Open the log").await?;
    page.reads("Filter, factor 8: 3 stops less light").await?;
    page.reads("⅓ stop more light is added").await?;
    // The next frame is one of scene 2, which was read years ago.
    page.reads("days old. Take it again").await?;
    job::sound(&page, "merging two copies").await?;
    page.press_on("button", "Same light as scene 2").await?;
    page.wait_until("the reading is not called old any more", async || {
        Ok(!page.has("button", "Same light as scene 2").await?)
    })
    .await?;
    page.reads("the light was the same at").await?;
    page.wait_until("that is stored", async || {
        let roll = stored_roll(&page).await?;
        Ok(!roll.contains("2024-05-01T10:40") && roll.contains("\"same_at\":\"20"))
    })
    .await?;
    page.press_on("button", "Undo").await?;
    page.find("button", "Same light as scene 2").await?;
    page.finish().await
}

#[tokio::test]
async fn a_roll_that_two_devices_changed_is_merged_frame_by_frame() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    open_book(&page).await?;
    choose_file(&page, SAVED).await?;
    page.press_on("button", "Bring it in").await?;
    page.press_on("button", "Open the log").await?;
    let rows = page.find("list", "Frames").await?;
    rows.find_all("button").await?[0].tap().await?;
    page.find("region", "The open frame").await?;
    page.fill("Note", "a gust").await?;
    page.press_on("button", "Keep the frame so").await?;
    page.reads("Note kept").await?;
    page.press_on("button", "Back").await?;

    // The other device lost frame 2 and knows nothing of the note.
    let lost = SAVED.replace("\"fate\":\"waiting\"", "\"fate\":\"lost\"");
    choose_file(&page, &lost).await?;
    page.reads("Both are kept").await?;
    page.reads("can be merged frame by frame instead: the file brings what it says of frame 2")
        .await?;
    let choice = "Merge what two devices changed, frame by frame";
    let problems = page.accessibility_problems().await?;
    ensure!(problems.is_empty(), "{problems:#?}");
    page.press_on("checkbox", choice).await?;
    page.reads("is merged frame by frame. The file brings what it says of frame 2")
        .await?;
    ensure!(
        !stored_roll(&page).await?.contains("lost"),
        "it is done before the word"
    );
    page.press_on("button", "Bring it in").await?;
    page.wait_until("both changes are in one roll", async || {
        let roll = stored_roll(&page).await?;
        Ok(roll.contains("a gust") && roll.contains("\"fate\":\"lost\""))
    })
    .await?;
    page.press_on("button", "Undo").await?;
    page.wait_until("the merge is undone", async || {
        let roll = stored_roll(&page).await?;
        Ok(roll.contains("a gust") && !roll.contains("\"fate\":\"lost\""))
    })
    .await?;

    // Another note on the same frame: nothing is decided, and there is no choice.
    let gull = SAVED.replace(
        "\"shot\":{\"fate\":\"taken\"}",
        "\"shot\":{\"fate\":\"taken\",\"note\":\"a gull\"}",
    );
    choose_file(&page, &gull).await?;
    page.reads("say different things of frame 1, so they cannot be merged")
        .await?;
    ensure!(!page.has("checkbox", choice).await?, "there is a choice");
    page.press_on("button", "Bring it in").await?;
    page.wait_until("both copies are kept", async || {
        Ok(book_records(&page)
            .await?
            .iter()
            .filter(|(key, _)| key.starts_with("stopkeeper.book.roll.box-1"))
            .count()
            == 2)
    })
    .await?;
    page.finish().await
}

#[tokio::test]
async fn a_saved_book_comes_in_again_and_says_what_it_will_do() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    page.watch_what_is_saved().await?;
    open_book(&page).await?;
    page.press_on("button", "Add the invented example").await?;
    page.reads("The invented example is in the book").await?;
    let before = book_records(&page).await?;
    page.press_on("button", "Save the whole book").await?;
    page.reads("is handed to the browser").await?;
    page.press_on("button", "Remove the example").await?;
    page.wait_until("the book is empty", async || {
        Ok(book_records(&page).await?.is_empty())
    })
    .await?;
    page.eval(
        "saved[0].text().then(text => {
            const bag = new DataTransfer();
            bag.items.add(new File([text], 'book.json', { type: 'application/json' }));
            const field = document.querySelector('#book-file');
            field.files = bag.files;
            field.dispatchEvent(new Event('change', { bubbles: true }));
        })",
    )
    .await?;
    page.press_on("button", "Bring it in").await?;
    page.wait_equal("the records", json!(before), async || {
        Ok(json!(book_records(&page).await?))
    })
    .await?;
    page.finish().await
}

/// Of two saved books that are chosen quickly the later one is planned, whichever is read first.
#[tokio::test]
async fn of_two_saved_books_the_later_one_is_planned() -> Result<()> {
    // So many records that the page says how far it is.
    const COUNT: u32 = 200;
    let stocks: Vec<String> = (0..COUNT)
        .map(|n| {
            format!(
                "{{\"format\":\"stopkeeper stock\",\"version\":1,\"record\":{{\"id\":\"harbour-{n}\",\"name\":\"Harbour {n}\",\"film\":\"black_and_white\",\"box_speed\":\"ISO 100\"}}}}"
            )
        })
        .collect();
    let book = format!(
        "{{\"format\":\"stopkeeper book\",\"version\":1,\"written\":\"2026-11-25\",\"count\":{COUNT},\"records\":[\n{}\n]}}\n",
        stocks.join(",\n")
    );
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open_book(&page).await?;
    let folder = Folder::new("books")?;
    let (slow, quick) = (
        folder.path().join("slow.json"),
        folder.path().join("letter.json"),
    );
    std::fs::write(&slow, book)?;
    std::fs::write(&quick, "Dear photographer")?;
    page.eval(
        "(() => {
            globalThis.held = Promise.withResolvers();
            globalThis.late = [];
            const text = Blob.prototype.text;
            File.prototype.text = function () {
                if (this.name !== 'slow.json') return text.call(this);
                late.push(held.promise.then(() => text.call(this)));
                return late[0];
            };
        })()",
    )
    .await?;
    page.choose_file("Bring in a saved book", &slow).await?;
    page.wait_until("the file is asked for", async || {
        Ok(page.eval("late.length").await? == json!(1))
    })
    .await?;
    page.choose_file("Bring in a saved book", &quick).await?;
    let refused = "this is not a file that was exported here";
    page.reads(refused).await?;
    page.eval(
        "(async () => {
            held.resolve();
            await Promise.all(late);
            for (let i = 0; i < 3; i++) await new Promise(requestAnimationFrame);
        })()",
    )
    .await?;
    page.reads(refused).await?;
    ensure!(
        !page.has("button", "Bring it in").await?,
        "the earlier file is planned"
    );
    ensure!(
        !page.text().await?.contains("Reading the file"),
        "it says that the earlier file is read"
    );
    // Chosen again, and by now it is read at once.
    page.choose_file("Bring in a saved book", &slow).await?;
    page.find("button", "Bring it in").await?;
    page.finish().await
}

/// Puts scans into the review, one for each share of white that is given, in per cent.
async fn load_scans(page: &Page<'_>, white: &[u8]) -> Result<()> {
    let make = "(async white => {
        const bag = new DataTransfer();
        for (const [nth, share] of white.entries()) {
            const canvas = new OffscreenCanvas(60, 40);
            const context = canvas.getContext('2d');
            context.fillStyle = `rgb(${share}% ${share}% ${share}%)`;
            context.fillRect(0, 0, 60, 40);
            bag.items.add(new File([await canvas.convertToBlob()], `scan ${nth + 1}.png`, { type: 'image/png' }));
        }
        const field = document.querySelector('#review-scans');
        field.files = bag.files;
        field.dispatchEvent(new Event('change', { bubbles: true }));
    })";
    page.eval(&format!("{make}({white:?})")).await.map(drop)
}

#[tokio::test]
async fn scans_that_run_against_the_log_are_noticed_and_laid_the_other_way() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open_book(&page).await?;
    page.press_on("button", "Add the invented example").await?;
    open_batch(&page).await?;
    page.press_on("button", "Example roll 1 (invented): back from the lab")
        .await?;
    page.press_on("button", "Review the scans").await?;
    // The frames of each scene go from less light to more; these scans from bright to dark.
    let falling: Vec<u8> = (0..15).map(|nth| 90 - 5 * nth).collect();
    load_scans(&page, &falling).await?;
    page.reads("The scans contradict the log.").await?;
    page.reads("They agree if the scans run the other way.")
        .await?;
    job::sound(&page, "a review that warns").await?;
    page.press_on("button", "Lay them so").await?;
    page.reads("scan 15.png lies at frame 1.").await?;
    page.wait_until("nothing contradicts any more", async || {
        Ok(!page.text().await?.contains("contradict the log"))
    })
    .await?;
    // What was corrected frame by frame shows nothing of the kind.
    page.press_on("button", "Scans run the other way").await?;
    page.reads("The scans contradict the log.").await?;
    page.choose(
        "How were the scans made?",
        "Corrected frame by frame by the lab",
    )
    .await?;
    page.wait_until("corrected scans are not compared", async || {
        Ok(!page.text().await?.contains("contradict the log"))
    })
    .await?;
    page.finish().await
}

#[tokio::test]
async fn the_bag_shows_what_was_found_is_searched_and_labels_what_is_left() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open_book(&page).await?;
    page.press_on("button", "Add the invented example").await?;
    page.reads("Rate it at EI 40.").await?;
    ensure!(
        !page.has("textbox", "Search the bag").await?,
        "three rolls are searched"
    );
    page.press_on("button", "Add film").await?;
    page.fill("Name", "Heath 100 (invented)").await?;
    page.fill("How many rolls of the same", "10").await?;
    page.press_on("button", "Put it into the bag").await?;
    page.find("heading", "Heath 100 (invented)").await?;
    page.press_on("button", "Back").await?;
    let shown = async || -> Result<usize> {
        let bag = page.find("list", "Bag").await?;
        Ok(bag.find_all("button").await?.len())
    };
    ensure!(shown().await? == 2, "both batches are in the bag");
    let search = page.find("textbox", "Search the bag").await?;
    search.write("folding").await?;
    page.wait_equal("batches of that camera", 1, shown).await?;
    page.reads("1 of 2 are shown.").await?;
    search.write("").await?;
    page.choose("Show", "Without a rating that was found")
        .await?;
    page.wait_equal("batches without a rating", 1, shown)
        .await?;
    page.choose("Show", "Everything").await?;
    job::sound(&page, "a bag that is searched").await?;
    // Ten new ones, one in the bag of the example and one in a camera.
    page.press_on("button", "Labels for what is left").await?;
    let paper = page.find("group", "Paper").await?.text().await?;
    let labels = paper.matches("DEVELOP NORMALLY").count();
    ensure!(labels == 12, "{labels} labels: {paper}");
    ensure!(paper.contains("RATE AT EI 40"), "{paper}");
    page.finish().await
}

#[tokio::test]
async fn what_is_removed_is_asked_about_once_and_comes_back_by_undo() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open_book(&page).await?;
    page.press_on("button", "Add the invented example").await?;
    page.reads("Rate it at EI 40.").await?;
    let before = book_records(&page).await?;
    ensure!(before.len() > 3, "the example is kept");
    // The logs are not read again before they are removed: they come back whole all the same.
    page.reload().await?;
    open_book(&page).await?;
    page.press_on(SUMMARY, "Remove everything in the film book")
        .await?;
    page.press_on("button", "Remove …").await?;
    page.reads("Everything in the film book goes: 3 rolls, 19 frames logged")
        .await?;
    page.find("button", "Save the whole book first").await?;
    job::sound(&page, "a question before everything goes").await?;
    page.press_on("button", "Keep it").await?;
    page.press_on("button", "Remove …").await?;
    page.press_on("button", "Remove it").await?;
    page.wait_until("every record is gone", async || {
        Ok(book_records(&page).await?.is_empty())
    })
    .await?;
    page.press_on("button", "Undo").await?;
    page.wait_until("all is there again, to the letter", async || {
        Ok(book_records(&page).await? == before)
    })
    .await?;
    // A batch with its rolls: its page is left.
    open_batch(&page).await?;
    page.press_on(SUMMARY, "Remove this batch").await?;
    page.press_on("button", "Remove …").await?;
    page.reads("This batch goes, with 3 rolls, 19 frames logged and 1 rating.")
        .await?;
    page.press_on("button", "Remove it").await?;
    page.find("heading", "Film book").await?;
    page.wait_until("the batch is gone", async || {
        Ok(book_records(&page).await?.is_empty())
    })
    .await?;
    page.press_on("button", "Undo").await?;
    page.wait_until("the batch is there again", async || {
        Ok(book_records(&page).await? == before)
    })
    .await?;
    page.finish().await
}

#[tokio::test]
async fn a_scene_is_named_and_noted_later() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open_book(&page).await?;
    page.press_on("button", "Add the invented example").await?;
    page.press_on("button", "Open the log").await?;
    page.press_on(SUMMARY, "Name and note of scene 1").await?;
    let scenes = page.find("list", "Scenes").await?;
    scenes
        .find("textbox", "Name")
        .await?
        .write("Boats at noon")
        .await?;
    scenes
        .find("textbox", "Note")
        .await?
        .write("sun behind the mast")
        .await?;
    scenes.find("button", "Keep").await?.tap().await?;
    page.reads("Scene 1: Boats at noon").await?;
    page.reads("sun behind the mast").await?;
    let records = book_records(&page).await?;
    ensure!(
        records
            .iter()
            .any(|(_, text)| text.contains("\"note\":\"sun behind the mast\"")),
        "the note is not kept"
    );
    page.finish().await
}
