//! The light: its sheet, its way to and from the dial, and its watch, on the built page.

use tests::harness::{
    DESK, Key, PHONE, Page, Point, Result, SMALL_PHONE, Screen, Setup, Site, Way, ensure, json,
};

use crate::job;

/// Two readings as version 1 of the record keeps them; the first one has a line of its own.
const RECENT: &str = include_str!("../../../crates/panel/tests/golden/recent-1.json");
const RECENT_KEY: &str = "stopkeeper.recent-readings";

const TIMER_KEY: &str = "stopkeeper.timer";

/// A phone that lies on its side.
const LYING: Screen = Screen {
    width: 844,
    height: 390,
    touch: true,
};

pub(crate) async fn find_light(page: &Page<'_>) -> Result<()> {
    page.open_part("Find the light").await
}

pub(crate) async fn close(page: &Page<'_>) -> Result<()> {
    page.press_on("button", "Close").await?;
    page.find("slider", "Time").await.map(drop)
}

/// Presses the row of a list of pages.
pub(crate) async fn press_row(page: &Page<'_>, title: &str) -> Result<()> {
    let what = format!("there is a row {title:?}");
    let row = page
        .wait_for(&what, async || {
            let rows = page.find_all("button").await?;
            Ok(rows
                .into_iter()
                .find(|row| row.name().starts_with(&format!("{title} "))))
        })
        .await?;
    row.tap().await?;
    page.find("heading", title).await.map(drop)
}

/// Opens a page of the light from the dial, by way of a list of pages.
pub(crate) async fn open_page(page: &Page<'_>, list: &str, title: &str) -> Result<()> {
    page.open_part(list).await?;
    press_row(page, title).await
}

/// Takes the reading that is offered, which leads back to the dial.
pub(crate) async fn take(page: &Page<'_>) -> Result<()> {
    page.press_on("button", "Take this reading").await?;
    page.find("slider", "Time").await?;
    page.says("The light is").await
}

/// Waits until the dial reads this time, aperture and sensitivity.
pub(crate) async fn dial_reads(page: &Page<'_>, reading: [&str; 3]) -> Result<()> {
    let fields = ["Reading time", "Reading aperture", "Reading sensitivity"];
    for (field, text) in fields.into_iter().zip(reading) {
        page.wait_equal(field, text.to_owned(), async || {
            page.find("textbox", field).await?.value().await
        })
        .await?;
    }
    Ok(())
}

/// Adds spots to "Spots and tones", each with its name and EV.
pub(crate) async fn add_spots(page: &Page<'_>, spots: &[(&str, &str)]) -> Result<()> {
    for (name, ev) in spots {
        page.fill("What was read", name).await?;
        page.fill("EV at ISO 100", ev).await?;
        page.press_on("button", "Add the spot").await?;
        page.says(name).await?;
        let field = page.find("textbox", "EV at ISO 100").await?;
        ensure!(
            field.value().await?.is_empty(),
            "the figure of {name} stands there for the next spot"
        );
    }
    Ok(())
}

/// A point of the picture that is shown, at these shares of its width and height; brought into the window.
pub(crate) async fn in_the_picture(page: &Page<'_>, across: f64, down: f64) -> Result<Point> {
    let place = page
        .eval(&format!(
            "(() => {{
                const picture = document.querySelector('.metered');
                picture.scrollIntoView({{ block: 'nearest', behavior: 'instant' }});
                const {{ left, top, width, height }} = picture.getBoundingClientRect();
                return [left + {across} * width, top + {down} * height];
            }})()"
        ))
        .await?;
    let [x, y] = serde_json::from_value(place)?;
    Ok(Point { x, y })
}

async fn open_timer(page: &Page<'_>) -> Result<()> {
    open_page(page, "Find the light", "Timer").await?;
    page.find("textbox", "Metered time").await.map(drop)
}

/// Puts the page's clock forward by as many seconds as stand in the tab's own storage, also after a reload.
async fn own_clock(page: &Page<'_>) -> Result<()> {
    let source = "{
        const now = Date.now.bind(Date);
        Date.now = () => now() + 1000 * Number(sessionStorage.getItem('forward') ?? 0);
    }";
    page.devtools(
        "Page.addScriptToEvaluateOnNewDocument",
        json!({ "source": source }),
    )
    .await?;
    page.reload().await
}

async fn forward(page: &Page<'_>, seconds: u32) -> Result<()> {
    page.eval(&format!("sessionStorage.setItem('forward', '{seconds}')"))
        .await
        .map(drop)
}

#[tokio::test]
async fn it_opens_where_it_was_asked_for_and_leads_back() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    find_light(&page).await?;
    ensure!(
        page.find("button", "Back").await?.is_disabled().await?,
        "there is no page before the first"
    );
    press_row(&page, "Corrections").await?;
    page.find("heading", "Corrections").await?;
    page.press_on("button", "Back").await?;
    page.find("heading", "Find the light").await?;
    close(&page).await?;

    // From the dial's head straight to a page that stands by itself.
    page.press_on("button", "How this counts").await?;
    page.find("heading", "Three speeds, kept apart").await?;
    page.reads("C = 250 lx").await?;
    ensure!(
        page.find("button", "Back").await?.is_disabled().await?,
        "there is a way back to a page that was never open"
    );
    close(&page).await?;

    page.press_on("button", "Corrections").await?;
    page.reads("the reading goes to the dials as it is").await?;
    close(&page).await?;
    page.finish().await
}

/// The light is two programs: one lies over the other, knows what was changed there, and leads back to it as it was left.
#[tokio::test]
async fn from_one_program_to_the_other_and_back() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    find_light(&page).await?;
    press_row(&page, "Corrections").await?;
    press_row(&page, "Filters").await?;
    page.fill("Factor, stops or density", "8").await?;
    page.press_on("button", "Put it on the ledger").await?;
    page.press_on("button", "Back").await?;
    page.find("heading", "Corrections").await?;
    page.press_on("button", "Back").await?;
    page.find("heading", "Find the light").await?;
    let row = page
        .find(
            "button",
            "Corrections What stands between the reading and the film",
        )
        .await?;
    ensure!(row.has_focus().await?, "the keyboard is not where it was");
    // The reading goes to the setting with the filter.
    press_row(&page, "Typed light").await?;
    page.fill("Light", "12").await?;
    page.press_on("button", "Take this reading").await?;
    page.says("The light is").await?;
    let corrections = page.find("button", "Corrections").await?;
    corrections.tap().await?;
    let filter = "Filter, factor 8: 3 stops less light";
    page.find("checkbox", filter).await?;
    // What lies over the other one leads to a third page, and from there back.
    press_row(&page, "Find the light").await?;
    press_row(&page, "Timer").await?;
    page.press_on("button", "Back").await?;
    page.find("checkbox", filter).await?;
    press_row(&page, "Find the light").await?;
    press_row(&page, "Typed light").await?;
    // Away from both at once.
    close(&page).await?;
    ensure!(
        page.eval("document.querySelectorAll('dialog[open]').length")
            .await?
            == 0,
        "a sheet is left"
    );
    page.wait_until("the keyboard is back", async || {
        corrections.has_focus().await
    })
    .await?;
    page.finish().await
}

#[tokio::test]
async fn every_page_is_sound_on_a_small_phone_and_in_the_dark() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(SMALL_PHONE).await?;
    job::choose_theme(&page, "Darkroom").await?;
    page.store(RECENT_KEY, RECENT.trim_end()).await?;
    find_light(&page).await?;
    page.find("list", "Readings taken last").await?;
    job::sound_in_the_dark(&page, "the list of readings").await?;
    let list = page.find("list", "Readings taken last").await?;
    list.find_all("button").await?[0].tap().await?;
    page.says("The light is").await?;
    page.press_on("button", "Corrections").await?;
    page.find("button", "Remove What the marks leave").await?;
    job::sound_in_the_dark(&page, "the list of corrections").await?;
    close(&page).await?;
    page.press_on("button", "How this counts").await?;
    job::sound_in_the_dark(&page, "how this counts").await?;
    close(&page).await?;
    open_timer(&page).await?;
    page.fill("Metered time", "90").await?;
    page.reads("Count 1 min 30 s").await?;
    job::sound_in_the_dark(&page, "the timer").await?;
    page.press_on("button", "Start").await?;
    page.find("timer", "Exposure").await?;
    job::sound_in_the_dark(&page, "the count").await?;
    page.press_on("button", "Stop").await?;
    page.finish().await
}

#[tokio::test]
async fn a_reading_of_before_is_taken_again_with_one_tap() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    job::read(&page, "400", "1/30", "4").await?;
    page.store(RECENT_KEY, RECENT.trim_end()).await?;
    find_light(&page).await?;
    let rows = async || -> Result<Vec<String>> {
        let mut words = Vec::new();
        for row in page
            .find("list", "Readings taken last")
            .await?
            .find_all("button")
            .await?
        {
            words.push(row.text().await?);
        }
        Ok(words)
    };
    let before = rows().await?;
    ensure!(before.len() == 2, "the record holds two: {before:?}");
    ensure!(
        before[0].contains("1/60, f/8, ISO 200") && before[0].contains("scene table: open shade"),
        "the first is {before:?}"
    );
    let list = page.find("list", "Readings taken last").await?;
    list.find_all("button").await?[0].tap().await?;
    // The sheet is closed with it; the one that was typed on the dial is kept as well.
    page.find("slider", "Time").await?;
    page.says("The light is").await?;
    find_light(&page).await?;
    page.wait_until("the typed reading is in the list", async || {
        let now = rows().await?;
        Ok(now.len() == 3
            && now[0].contains("1/60, f/8, ISO 200")
            && now[1].contains("1/30, f/4, ISO 400")
            && now[1].contains("typed"))
    })
    .await?;
    close(&page).await?;
    for (field, text) in [
        ("Reading time", "1/60"),
        ("Reading aperture", "f/8"),
        ("Reading sensitivity", "ISO 200"),
    ] {
        let value = page.find("textbox", field).await?.value().await?;
        ensure!(value == text, "{field} is {value}");
    }
    page.reads("scene table: open shade").await?;
    page.reads("What the marks leave").await?;

    // The line that came with it is switched off and taken away in the light, and the dial follows.
    page.press_on("button", "Corrections").await?;
    let lines = page.find("list", "Corrections that are there").await?;
    let switch = &lines.find_all("checkbox").await?[0];
    switch.tap().await?;
    page.reads("no difference").await?;
    page.press_on("button", "Remove What the marks leave")
        .await?;
    page.reads("the reading goes to the dials as it is").await?;
    close(&page).await?;
    page.wait_until("the line is gone from the dial", async || {
        Ok(!page.text().await?.contains("What the marks leave"))
    })
    .await?;
    page.reload().await?;
    page.reads("scene table: open shade").await?;
    page.finish().await
}

#[tokio::test]
async fn readings_that_cannot_be_read_are_set_aside_and_newer_ones_left_alone() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    let newer = RECENT.trim_end().replace("\"version\":1", "\"version\":3");
    page.store(RECENT_KEY, &newer).await?;
    find_light(&page).await?;
    page.reads("A newer version of this page keeps the readings")
        .await?;
    ensure!(
        page.stored()
            .await?
            .contains(&(RECENT_KEY.to_owned(), newer)),
        "the newer record was overwritten"
    );
    close(&page).await?;
    page.store(RECENT_KEY, "{\"format\":\"torn").await?;
    page.reload().await?;
    find_light(&page).await?;
    page.reads("is set aside in this browser, not deleted")
        .await?;
    ensure!(
        page.stored().await?.iter().any(|(key, text)| key
            .starts_with("stopkeeper.aside.recent-readings.")
            && text == "{\"format\":\"torn"),
        "the damaged text is gone"
    );
    page.finish().await
}

#[tokio::test]
async fn it_works_without_a_network_after_the_first_visit() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.until_kept_offline().await?;
    site.server().set_online(false);
    page.expect_error("net::ERR_");
    page.expect_error("Failed to update a ServiceWorker");
    page.reload().await?;
    open_timer(&page).await?;
    page.fill("Metered time", "90").await?;
    page.reads("Count 1 min 30 s").await?;
    close(&page).await?;
    page.press_on("button", "How this counts").await?;
    page.find("heading", "Stops and marks").await?;
    page.finish().await
}

#[tokio::test]
async fn where_it_cannot_be_fetched_the_dial_says_so_and_the_next_press_tries_again() -> Result<()>
{
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    // Past the service worker and the browser's cache, which would have it.
    page.devtools("Network.enable", json!({})).await?;
    page.devtools("Network.setBypassServiceWorker", json!({ "bypass": true }))
        .await?;
    page.devtools("Network.setCacheDisabled", json!({ "cacheDisabled": true }))
        .await?;
    page.reload().await?;
    site.server().set_online(false);
    page.expect_error("net::ERR_");
    page.expect_error("Failed to update a ServiceWorker");
    let find = page.find("button", "Find the light").await?;
    find.tap().await?;
    page.says("could not be loaded").await?;
    job::sound(&page, "a part that did not come").await?;
    page.press_on("button", "Try again").await?;
    page.says("could not be loaded").await?;
    page.press_on("button", "Leave it").await?;
    ensure!(
        !page.text().await?.contains("could not be loaded"),
        "it stays"
    );
    ensure!(find.has_focus().await?, "the keyboard is lost");
    find.tap().await?;
    page.says("could not be loaded").await?;
    site.server().set_online(true);
    page.press_on("button", "Try again").await?;
    page.find("heading", "Find the light").await?;
    // The line is gone, and the keyboard goes back to where it came from.
    close(&page).await?;
    ensure!(!page.has("button", "Try again").await?, "the line stays");
    ensure!(find.has_focus().await?, "the keyboard is lost");
    page.finish().await
}

/// Parts are fetched anew from the network, past what keeps them.
async fn past_the_caches(page: &Page<'_>) -> Result<()> {
    page.devtools("Network.enable", json!({})).await?;
    page.devtools("Network.setBypassServiceWorker", json!({ "bypass": true }))
        .await?;
    page.devtools("Network.setCacheDisabled", json!({ "cacheDisabled": true }))
        .await?;
    page.reload().await
}

#[tokio::test]
async fn a_part_that_takes_its_time_says_so_at_once_and_opens() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    past_the_caches(&page).await?;
    for (button, program, title) in [
        ("Find the light", "light-", "Find the light"),
        ("Film book", "book-", "Film book"),
    ] {
        site.server().hold(program);
        page.press_on("button", button).await?;
        page.says("is coming").await?;
        job::sound(&page, "a part that comes").await?;
        // The dial goes on meanwhile.
        page.press_step("Time", Way::More).await?;
        page.says("Time lengthened").await?;
        ensure!(
            !page.has("heading", title).await?,
            "{title} is there already"
        );
        site.server().let_go();
        page.find("heading", title).await?;
        page.press_on("button", "Close").await?;
        ensure!(
            !page.text().await?.contains("is coming"),
            "the line stays after {title}"
        );
    }
    // What is there already says nothing at all.
    page.eval(
        "globalThis.lines = [];
        new MutationObserver(all => all.forEach(one => one.addedNodes.forEach(node => lines.push(node.textContent))))
            .observe(document.body, { childList: true, subtree: true });",
    )
    .await?;
    find_light(&page).await?;
    let said = page
        .eval("lines.filter(text => text.includes('coming'))")
        .await?;
    ensure!(said == json!([]), "it said {said}");
    page.finish().await
}

/// Whatever is uppermost says it: in shoot mode the dial's own lines are out of reach.
#[tokio::test]
async fn in_shoot_mode_a_slow_part_is_announced_there() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    past_the_caches(&page).await?;
    // A reading so faint that every frame is counted by hand.
    page.choose("Camera", "Older scale, 1 s to 1/200, f/3.5 to f/18")
        .await?;
    job::read(&page, "100", "15s", "18").await?;
    page.press_on("button", "Shoot").await?;
    page.find("button", "Timer").await?;
    site.server().hold("bench-");
    page.press_on("button", "Timer").await?;
    page.wait_until("shoot mode says so", async || {
        Ok(page
            .eval("[...document.querySelectorAll('dialog[open]')].at(-1)?.innerText")
            .await?
            .as_str()
            .is_some_and(|text| text.contains("is coming")))
    })
    .await?;
    site.server().let_go();
    page.find("textbox", "Metered time").await?;
    page.finish().await
}

#[tokio::test]
async fn taking_a_reading_leads_back_to_where_it_was_asked_for() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    let find = page.find("button", "Find the light").await?;
    find.focus().await?;
    page.key(Key::Enter).await?;
    press_row(&page, "Typed light").await?;
    page.fill("Light", "12").await?;
    page.press_on("button", "Take this reading").await?;
    page.find("slider", "Time").await?;
    page.says("The light is").await?;
    page.wait_until("the keyboard is back", async || find.has_focus().await)
        .await?;
    // What cannot be taken stays open and says why.
    find.tap().await?;
    press_row(&page, "Typed light").await?;
    page.fill("Light", "much").await?;
    ensure!(
        !page.has("button", "Take this reading").await?,
        "nothing can be taken"
    );
    page.finish().await
}

#[tokio::test]
async fn the_dial_shows_what_the_timer_counts() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    own_clock(&page).await?;
    ensure!(
        !page.has("button", "To the timer").await?,
        "nothing is counted yet"
    );
    open_timer(&page).await?;
    page.fill("Metered time", "2:00").await?;
    page.reads("Count 2 min").await?;
    page.press_on("button", "Start").await?;
    page.find("timer", "Exposure").await?;
    close(&page).await?;
    page.reads("Close in 1:5").await?;
    job::sound(&page, "a count on the dial").await?;
    forward(&page, 60).await?;
    page.reads("Close in 5").await?;
    page.press_on("button", "To the timer").await?;
    page.find("timer", "Exposure").await?;
    close(&page).await?;
    // Also after a reload, which opens the count by itself.
    page.reload().await?;
    page.find("timer", "Exposure").await?;
    close(&page).await?;
    page.reads("Close in ").await?;
    page.press_on("button", "To the timer").await?;
    page.press_on("button", "Stop").await?;
    close(&page).await?;
    page.wait_until("the line is gone", async || {
        Ok(!page.has("button", "To the timer").await?)
    })
    .await?;
    page.finish().await
}

#[tokio::test]
async fn a_count_survives_a_reload_and_is_right_by_the_clock() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    own_clock(&page).await?;
    open_timer(&page).await?;
    // A wrong text refuses the start in words.
    page.fill("Metered time", "soon").await?;
    page.reads("was not understood").await?;
    ensure!(
        page.find("button", "Start").await?.is_disabled().await?,
        "a time that is none can be started"
    );
    page.fill("Metered time", "1'30").await?;
    page.reads("Count 1 min 30 s").await?;
    page.reads("nothing is entered for this one").await?;
    page.press_on("button", "Start").await?;
    page.says("close it in 1 min").await?;
    let timer = page.find("timer", "Exposure").await?;
    ensure!(timer.has_focus().await?, "the keyboard is lost");
    ensure!(
        page.stored().await?.iter().any(|(key, _)| key == TIMER_KEY),
        "the count is not kept"
    );

    // A minute goes by with the page gone; the dial opens the count again by itself.
    forward(&page, 60).await?;
    page.reload().await?;
    page.find("timer", "Exposure").await?;
    page.reads("Opened 6").await?;
    page.reads("seconds until you close it").await?;
    page.wait_until("the title counts too", async || {
        Ok(page
            .eval("document.title")
            .await?
            .as_str()
            .is_some_and(|title| {
                title.starts_with("Close in 2") || title.starts_with("Close in 30")
            }))
    })
    .await?;
    forward(&page, 82).await?;
    page.says("Close it in").await?;
    forward(&page, 95).await?;
    page.says("Close now").await?;
    page.reads(" s over").await?;
    ensure!(
        page.eval("document.title").await? == "Close now",
        "the title"
    );
    page.press_on("button", "Stop").await?;
    page.says("of 1 min 30 s").await?;
    page.says("more light than meant").await?;
    ensure!(
        page.eval("document.title").await? == "Stopkeeper",
        "the title is not given back"
    );
    ensure!(
        !page.stored().await?.iter().any(|(key, _)| key == TIMER_KEY),
        "the count is still kept"
    );
    page.reload().await?;
    ensure!(!page.has("timer", "Exposure").await?, "it opened again");
    page.find("slider", "Time").await?;
    page.finish().await
}

/// Worked case 12: three frames of 8, 16 and 32 s, one tap from each to the next, also over a reload.
#[tokio::test]
async fn the_next_frame_is_ready_at_one_tap() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    own_clock(&page).await?;
    job::dim_bracket(&page).await?;
    open_page(&page, "Corrections", "Long times").await?;
    page.press_on("button", "Use it for this film").await?;
    page.press_on("button", "Back").await?;
    press_row(&page, "Timer").await?;
    page.reads("Frame 1 of 3 on the dial.").await?;
    page.choose("The shutter is opened", "5 seconds after it")
        .await?;
    for (frame, count, after) in [(1, "15.2 s", 21), (2, "37.8 s", 64), (3, "1 min 34 s", 163)] {
        page.reads(&format!("Frame {frame} of 3 on the dial."))
            .await?;
        page.reads(&format!("Count {count}")).await?;
        page.press_on("button", "Start").await?;
        page.reads("seconds until you open it").await?;
        if frame == 2 {
            page.reload().await?;
            page.find("timer", "Exposure").await?;
        }
        forward(&page, after).await?;
        page.says("Close now").await?;
        page.press_on("button", "Stop").await?;
        page.reads(&format!("of {count}")).await?;
    }
    page.reads("That was the last frame.").await?;
    page.finish().await
}

/// Whoever taps twice, or holds a key too long, has pressed once: "Start" and "Stop" never stand at one place.
#[tokio::test]
async fn a_second_tap_never_meets_the_other_button() -> Result<()> {
    let site = Site::start().await?;
    for screen in [PHONE, SMALL_PHONE, LYING, DESK] {
        let page = site.open(screen).await?;
        open_timer(&page).await?;
        page.fill("Metered time", "60").await?;
        let start = page.find("button", "Start").await?.middle().await?;
        page.tap(start).await?;
        page.find("timer", "Exposure").await?;
        page.tap(start).await?;
        page.until_still().await?;
        let stop = page.find("button", "Stop").await?.middle().await?;
        page.tap(stop).await?;
        page.find("button", "Start").await?;
        page.tap(stop).await?;
        page.until_still().await?;
        ensure!(
            !page.has("timer", "Exposure").await?,
            "the second tap starts the next frame on {screen:?}"
        );
        page.find("button", "Start").await?.focus().await?;
        page.key(Key::Enter).await?;
        page.find("button", "Stop").await?.focus().await?;
        for held in [false, true, true, true] {
            let down = json!({
                "type": "keyDown", "key": "Enter", "code": "Enter", "windowsVirtualKeyCode": 13, "text": "\r",
                "autoRepeat": held,
            });
            page.devtools("Input.dispatchKeyEvent", down).await?;
            page.until_still().await?;
        }
        let up = json!({ "type": "keyUp", "key": "Enter", "code": "Enter", "windowsVirtualKeyCode": 13 });
        page.devtools("Input.dispatchKeyEvent", up).await?;
        ensure!(
            !page.has("timer", "Exposure").await?,
            "a key that is held down starts the next frame"
        );
        let here = page.eval("document.activeElement.textContent").await?;
        ensure!(
            here.as_str()
                .is_some_and(|here| here.starts_with("Open for")),
            "the keyboard went to {here}"
        );
        page.key(Key::Tab).await?;
        let field = page.find("textbox", "Metered time").await?;
        ensure!(field.has_focus().await?, "from there on it is lost");
        page.finish().await?;
    }
    Ok(())
}

/// What the whole page looks like in each phase, what the hand feels, and that nothing moves meanwhile.
#[tokio::test]
async fn a_count_is_seen_and_felt_from_afar() -> Result<()> {
    let site = Site::start().await?;
    for (screen, theme) in [
        (PHONE, "Darkroom"),
        (DESK, "Bright sun"),
        (SMALL_PHONE, "Dusk"),
    ] {
        let page = site.open(screen).await?;
        own_clock(&page).await?;
        job::choose_theme(&page, theme).await?;
        open_timer(&page).await?;
        // From here on the clock stands but for what it is put forward by.
        page.eval(
            "window.felt = []; navigator.vibrate = time => felt.push(time);
            const stood = Date.now();
            Date.now = () => stood + 1000 * Number(sessionStorage.getItem('forward') ?? 0)",
        )
        .await?;
        page.fill("Metered time", "70").await?;
        page.choose("The shutter is opened", "10 seconds after it")
            .await?;
        page.press_on("button", "Start").await?;
        // Place of the words and of the button under the figures, the area, the share of the width that the figures fill.
        let look = async |phase: &str| -> Result<(Vec<f64>, String, f64)> {
            page.wait_until(&format!("it is {phase}"), async || {
                let timer = page.find("timer", "Exposure").await?;
                Ok(timer.attribute("data-phase").await?.as_deref() == Some(phase))
            })
            .await?;
            let seen = page
                .eval(
                    "(() => {
                        const at = selector => document.querySelector(selector).getBoundingClientRect();
                        const body = document.querySelector('.sheet-body:has(.count)'), style = getComputedStyle(body);
                        const text = document.createRange();
                        text.selectNodeContents(document.querySelector('.count-large'));
                        const figures = text.getBoundingClientRect(), room = at('.count');
                        return {
                            places: [at('.count-beside').top, at('.count-press').top],
                            area: [style.borderStyle, style.borderColor, style.backgroundColor].join(),
                            fills: Math.max(figures.width / room.width, figures.height / at('.count-large').height),
                            within: figures.left >= room.left - 1 && figures.right <= room.right + 1,
                            below: at('.count-press').bottom <= innerHeight,
                        };
                    })()",
                )
                .await?;
            ensure!(
                seen["within"] == true,
                "{phase}: the figures are cut, {seen}"
            );
            ensure!(
                seen["below"] == true,
                "{phase}: the button is out of sight, {seen}"
            );
            let places = serde_json::from_value(seen["places"].clone())?;
            Ok((
                places,
                seen["area"].as_str().unwrap_or_default().to_owned(),
                seen["fills"].as_f64().unwrap_or_default(),
            ))
        };
        let mut areas = Vec::new();
        let mut places = Vec::new();
        for (phase, at) in [("ready", 0), ("open", 12), ("near", 72), ("over", 82)] {
            forward(&page, at).await?;
            let (place, area, fills) = look(phase).await?;
            ensure!(
                fills > 0.7,
                "{phase} on {screen:?}: the figures fill {fills}"
            );
            areas.push(area);
            places.push(place);
            job::sound(&page, &format!("the timer, {phase}, {theme}")).await?;
        }
        ensure!(
            (1..areas.len()).all(|i| !areas[..i].contains(&areas[i])),
            "the whole area tells phases apart: {areas:?}"
        );
        // Figures change, and nothing under them moves.
        ensure!(
            places.iter().all(|place| *place == places[0]),
            "{places:?} on {screen:?}"
        );
        page.press_on("button", "Stop").await?;
        // What is no frame's is ready once more.
        page.reads("Count 1 min 10 s").await?;
        // Opened, and closed; the seconds before each are felt where the clock is not put forward over them.
        let felt = page.eval("felt").await?;
        ensure!(
            felt.as_array()
                .is_some_and(|felt| felt.contains(&json!(200)) && felt.contains(&json!(1000))),
            "felt: {felt}"
        );
        page.finish().await?;
    }
    Ok(())
}

/// The last three seconds before the shutter is opened are felt one by one.
#[tokio::test]
async fn the_lead_in_is_felt() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open_timer(&page).await?;
    page.eval("window.felt = []; navigator.vibrate = time => felt.push(time)")
        .await?;
    page.fill("Metered time", "30").await?;
    page.choose("The shutter is opened", "3 seconds after it")
        .await?;
    page.press_on("button", "Start").await?;
    page.reads("until you close it").await?;
    let felt = page.eval("felt").await?;
    ensure!(felt == json!([60, 60, 200]), "felt: {felt}");
    page.press_on("button", "Stop").await?;
    page.finish().await
}

#[tokio::test]
async fn the_count_comes_forward_when_its_time_is_up() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    own_clock(&page).await?;
    open_timer(&page).await?;
    page.fill("Metered time", "30").await?;
    page.choose("The shutter is opened", "5 seconds after it")
        .await?;
    page.press_on("button", "Start").await?;
    page.reads("seconds until you open it").await?;
    // Another page of the light says so as well, and leads back.
    page.press_on("button", "Back").await?;
    page.find("heading", "Find the light").await?;
    page.press_on("button", "To the timer").await?;
    page.find("timer", "Exposure").await?;
    close(&page).await?;
    page.press_step("Time", Way::More).await?;
    page.says("Time lengthened").await?;
    forward(&page, 40).await?;
    page.find("timer", "Exposure").await?;
    page.says("Close now").await?;
    page.press_on("button", "Stop").await?;
    page.finish().await
}

#[tokio::test]
async fn the_screen_is_kept_awake_only_while_it_counts() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    job::watch_the_screen(&page).await?;
    open_timer(&page).await?;
    page.fill("Metered time", "60").await?;
    ensure!(
        page.eval("locks.length").await? == 0,
        "awake before the start"
    );
    page.press_on("button", "Start").await?;
    page.wait_until("the screen is kept awake", async || {
        Ok(page.eval("locks.some(lock => !lock.released)").await? == true)
    })
    .await?;
    page.press_on("button", "Stop").await?;
    page.wait_until("the screen may sleep again", async || {
        Ok(page.eval("locks.every(lock => lock.released)").await? == true)
    })
    .await?;
    page.finish().await
}

#[tokio::test]
async fn with_storage_forbidden_it_counts_and_says_that_nothing_is_kept() -> Result<()> {
    let site = Site::start().await?;
    let page = site
        .open(Setup {
            preferences: json!({ "profile.default_content_setting_values.cookies": 2 }),
            ..Setup::from(PHONE)
        })
        .await?;
    open_timer(&page).await?;
    page.fill("Metered time", "60").await?;
    page.press_on("button", "Start").await?;
    page.find("timer", "Exposure").await?;
    page.reads("do not reload it").await?;
    page.press_on("button", "Stop").await?;
    page.says("Open for").await?;
    page.finish().await
}

#[tokio::test]
async fn another_tab_that_stops_the_count_stops_it_here() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    open_timer(&page).await?;
    page.fill("Metered time", "60").await?;
    page.press_on("button", "Start").await?;
    page.find("timer", "Exposure").await?;
    let first = page.open_tab().await?;
    page.find("timer", "Exposure").await?;
    page.press_on("button", "Stop").await?;
    page.says("Open for").await?;
    page.switch_tab(first).await?;
    page.wait_until("the first tab has stopped too", async || {
        Ok(!page.has("timer", "Exposure").await?)
    })
    .await?;
    page.finish().await
}
