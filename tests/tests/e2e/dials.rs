//! Turning the dials with finger, mouse, wheel and buttons.

use tests::harness::{DESK, Key, PHONE, Page, Result, Site, Way, ensure};

use crate::job::{self, FIRST};

/// How far the disc of a dial is turned anticlockwise, in degrees.
async fn rotation(page: &Page<'_>, dial: &str) -> Result<f64> {
    page.dial(dial).await?.rotation().await
}

#[tokio::test]
async fn a_finger_turns_a_dial_and_the_page_stays_where_it_is() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.shows(FIRST).await?;
    let time = page.dial("Time").await?;
    let arc = time.arc().await?;
    let scrolled = page.eval("[scrollX, scrollY]").await?;
    page.press(arc.start).await?;
    page.slide_along(&arc, 0.0, 1.2 * arc.degrees_per_stop)
        .await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    page.lift().await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    page.says("Time lengthened one stop, 1/125 to 1/60: twice the light. Aperture made it up, f/5.6 to f/8.").await?;
    ensure!(
        page.eval("[scrollX, scrollY]").await? == scrolled,
        "the page scrolled under the finger"
    );
    page.finish().await
}

#[tokio::test]
async fn the_follower_turns_the_other_way() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    let before = (
        rotation(&page, "Time").await?,
        rotation(&page, "Aperture").await?,
    );
    page.dial("Time").await?.turn(1.0).await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    // A face that goes further round has its stops closer together.
    let pitch = page.dial("Time").await?.arc().await?.degrees_per_stop;
    let other = page.dial("Aperture").await?.arc().await?.degrees_per_stop;
    page.wait_until(
        "time has turned one stop anticlockwise, and aperture one the other way",
        async || {
            let now = (
                rotation(&page, "Time").await?,
                rotation(&page, "Aperture").await?,
            );
            let turned = (now.0 - before.0, now.1 - before.1);
            ensure!(
                (turned.0 - pitch).abs() < 0.2 && (turned.1 + other).abs() < 0.2,
                "they turned by {turned:?} degrees"
            );
            Ok(true)
        },
    )
    .await?;
    page.finish().await
}

#[tokio::test]
async fn a_dial_let_go_between_two_marks_comes_to_rest_on_one() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    let time = page.dial("Time").await?;
    let (rest, pitch) = (time.rotation().await?, time.arc().await?.degrees_per_stop);
    time.turn(2.35).await?;
    page.shows(["1/30 second", "f/11", "ISO 100"]).await?;
    page.wait_until("the disc stands on the mark", async || {
        let turned = time.rotation().await? - rest;
        ensure!(
            (turned - 2.0 * pitch).abs() < 0.2,
            "it is turned by {turned} degrees"
        );
        Ok(true)
    })
    .await?;
    page.finish().await
}

#[tokio::test]
async fn turning_out_and_back_returns_to_the_start() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    for dial in ["Time", "Aperture", "Sensitivity"] {
        for stops in [2.0, -3.0] {
            let dial = page.dial(dial).await?;
            dial.turn(stops).await?;
            page.wait_until("the dials have moved", async || {
                Ok(page.values().await? != FIRST)
            })
            .await?;
            dial.turn(-stops).await?;
            page.shows(FIRST).await?;
        }
    }
    page.finish().await
}

#[tokio::test]
async fn far_past_the_ends_and_back_in_one_gesture() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    let arc = page.dial("Time").await?.arc().await?;
    // Nineteen stops to the end, an hour on B, and then some.
    let far = 22.0 * arc.degrees_per_stop;
    page.press(arc.start).await?;
    page.slide_along(&arc, 0.0, far).await?;
    page.shows(["1 hour, by hand on B", "f/16", "ISO 100"])
        .await?;
    page.slide_along(&arc, far, -far).await?;
    page.shows(["1/1000 second", "f/2", "ISO 100"]).await?;
    page.slide_along(&arc, -far, 0.0).await?;
    page.shows(FIRST).await?;
    page.lift().await?;
    page.shows(FIRST).await?;
    page.finish().await
}

#[tokio::test]
async fn a_shortfall_is_stated_and_goes_away_by_itself() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    let time = page.dial("Time").await?;
    time.focus().await?;
    page.key(Key::End).await?;
    page.shows(["1 hour, by hand on B", "f/16", "ISO 100"])
        .await?;
    // Nearly nineteen stops longer, and only three of them could be made up by closing from f/5.6 to f/16.
    page.says("15⅚ stops more light than the reading asks for")
        .await?;
    page.key(Key::Home).await?;
    page.key(Key::Right).await?;
    page.key(Key::Right).await?;
    page.key(Key::Right).await?;
    page.shows(FIRST).await?;
    page.reads("As the reading asks").await?;
    page.finish().await
}

#[tokio::test]
async fn escape_in_a_turn_gives_back() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    let arc = page.dial("Aperture").await?.arc().await?;
    page.press(arc.start).await?;
    page.slide_along(&arc, 0.0, 2.0 * arc.degrees_per_stop)
        .await?;
    page.shows(["1/500 second", "f/2.8", "ISO 100"]).await?;
    page.key(Key::Escape).await?;
    page.shows(FIRST).await?;
    page.slide_along(&arc, 2.0 * arc.degrees_per_stop, 3.0 * arc.degrees_per_stop)
        .await?;
    page.lift().await?;
    page.shows(FIRST).await?;
    page.finish().await
}

#[tokio::test]
async fn a_touch_that_the_system_takes_away_gives_back() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    let time = page.dial("Time").await?;
    let arc = time.arc().await?;
    page.press(arc.start).await?;
    page.slide_along(&arc, 0.0, 1.2 * arc.degrees_per_stop)
        .await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    page.interrupt_touch().await?;
    page.shows(FIRST).await?;
    page.finish().await
}

#[tokio::test]
async fn a_second_finger_does_not_disturb_the_first() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    let (time, aperture) = (page.dial("Time").await?, page.dial("Aperture").await?);
    let other = aperture.arc().await?;
    let arc = time.arc().await?;
    page.press(arc.start).await?;
    page.slide_along(&arc, 0.0, 1.2 * arc.degrees_per_stop)
        .await?;
    let first = arc.after(1.2 * arc.degrees_per_stop);
    page.second_finger_slide(first, arc.after(-5.0), arc.after(30.0))
        .await?;
    page.second_finger_slide(
        first,
        other.start,
        other.after(1.2 * other.degrees_per_stop),
    )
    .await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    page.lift().await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    page.finish().await
}

#[tokio::test]
async fn the_wheel_turns_the_dial_that_is_meant_and_else_scrolls_the_page() -> Result<()> {
    let site = Site::start().await?;
    let page = site
        .open(tests::harness::Screen {
            height: 500,
            ..DESK
        })
        .await?;
    let time = page.dial("Time").await?;
    page.eval("scrollTo({ top: 0, behavior: 'instant' })")
        .await?;
    let arc = time.arc().await?;
    let start = page.eval("scrollY").await?.as_f64();
    page.wheel(arc.start, 60).await?;
    page.wait_until("the page has scrolled", async || {
        Ok(page.eval("scrollY").await?.as_f64() > start)
    })
    .await?;
    page.shows(FIRST).await?;
    // The pointer is moved to the dial: what it stands on is meant.
    let arc = time.arc().await?;
    page.slide_along(&arc, 0.0, 5.0).await?;
    page.wheel(arc.after(5.0), -100).await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    page.wheel(arc.after(5.0), 100).await?;
    page.shows(FIRST).await?;
    // The page is scrolled until the dial is under the pointer again, and goes on.
    page.eval("scrollBy({ top: -20, behavior: 'instant' })")
        .await?;
    let arc = time.arc().await?;
    let start = page.eval("scrollY").await?.as_f64();
    page.wheel(arc.after(5.0), 20).await?;
    page.wait_until("the page has scrolled on", async || {
        Ok(page.eval("scrollY").await?.as_f64() > start)
    })
    .await?;
    page.shows(FIRST).await?;
    time.focus().await?;
    let arc = time.arc().await?;
    let start = page.eval("scrollY").await?;
    page.wheel(arc.start, -100).await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    page.wheel(arc.start, 100).await?;
    page.shows(FIRST).await?;
    ensure!(
        page.eval("scrollY").await? == start,
        "the page scrolled as well"
    );
    page.finish().await
}

#[tokio::test]
async fn a_tap_on_a_mark_goes_there() -> Result<()> {
    let site = Site::start().await?;
    for screen in [DESK, PHONE] {
        let page = site.open(screen).await?;
        let arc = page.dial("Time").await?.arc().await?;
        // Brighter marks stand clockwise of the index.
        page.tap(arc.after(-arc.degrees_per_stop)).await?;
        page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
        page.says("Time lengthened one stop").await?;
        page.finish().await?;
    }
    Ok(())
}

#[tokio::test]
async fn the_buttons_beside_a_dial_move_one_mark() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.press_step("Time", Way::More).await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    page.says("Time lengthened one stop").await?;
    page.press_step("Time", Way::Less).await?;
    page.shows(FIRST).await?;
    page.press_step("Aperture", Way::Less).await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    page.press_step("Aperture", Way::More).await?;
    page.shows(FIRST).await?;
    page.press_step("Sensitivity", Way::More).await?;
    page.wait_until("the rating is a third higher", async || {
        Ok(page.values().await?[2] == "ISO 125")
    })
    .await?;
    page.press_step("Sensitivity", Way::Less).await?;
    page.shows(FIRST).await?;
    page.finish().await
}

#[tokio::test]
async fn a_value_can_be_typed() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    job::set(&page, "Time", "30").await?;
    page.shows(["1/30 second", "f/11", "ISO 100"]).await?;
    // A value that the camera does not have is never set in silence.
    job::set(&page, "Time", "1/100").await?;
    page.shows(["1/125 second", "f/5.6", "ISO 100"]).await?;
    page.says("This camera has no 1/100; the nearest is 1/125")
        .await?;
    job::open_value(&page, "Aperture").await?;
    page.write_over("22").await?;
    page.key(Key::Escape).await?;
    page.large_value("Aperture").await?;
    page.shows(FIRST).await?;
    page.finish().await
}

#[tokio::test]
async fn typed_text_that_means_nothing_stays_and_is_explained() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    let field = job::open_value(&page, "Time").await?;
    page.write_over("soon").await?;
    page.key(Key::Enter).await?;
    page.wait_until("the field is marked", async || {
        Ok(field.attribute("aria-invalid").await?.as_deref() == Some("true"))
    })
    .await?;
    ensure!(
        field.value().await? == "soon",
        "the field lost what was typed: {}",
        field.value().await?
    );
    ensure!(
        field
            .description()
            .await?
            .contains("a time is typed like 1/60"),
        "nothing says what would do: {}",
        field.description().await?
    );
    page.shows(FIRST).await?;
    page.finish().await
}

#[tokio::test]
async fn with_two_held_the_third_changes_the_exposure_and_says_so() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.hold("Time", true).await?;
    page.press_step("Aperture", Way::More).await?;
    page.shows(["1/125 second", "f/4", "ISO 100"]).await?;
    page.says("Everything else is held: 1 stop more light than the reading asks for")
        .await?;
    page.reads("1 stop more light than the reading asks")
        .await?;
    page.press_step("Aperture", Way::Less).await?;
    page.press_step("Aperture", Way::Less).await?;
    page.shows(["1/125 second", "f/8", "ISO 100"]).await?;
    page.says("1 stop less light than the reading asks for")
        .await?;
    page.press_on("button", "Back to the reading").await?;
    page.shows(FIRST).await?;
    page.reads("As the reading asks").await?;
    page.finish().await
}

#[tokio::test]
async fn a_third_hold_lets_the_oldest_go() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.hold("Time", true).await?;
    page.hold("Aperture", true).await?;
    ensure!(
        !page
            .find("button", "Hold sensitivity")
            .await?
            .is_pressed()
            .await?,
        "three dials are held"
    );
    page.says("Sensitivity let go, for two dials at most can be held")
        .await?;
    page.finish().await
}

#[tokio::test]
async fn a_slider_moved_by_an_assistive_program_is_a_turn() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    let time = page.dial("Time").await?;
    time.call(
        "function () {
            this.value = Number(this.value) + 1;
            this.dispatchEvent(new Event('input', { bubbles: true }));
            this.dispatchEvent(new Event('change', { bubbles: true }));
        }",
    )
    .await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    page.says("Time lengthened one stop").await?;
    page.finish().await
}

#[tokio::test]
async fn the_reading_is_set_by_the_dials_without_a_keyboard() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.press_on("button", "By the dials").await?;
    page.says("The dials are the reading device now").await?;
    page.shows(["1/125 second", "f/8", "ISO 200"]).await?;
    ensure!(
        !page.has("button", "Hold time").await?,
        "a reading is not held"
    );
    // Three thirds by the button, a stop of the aperture by the thumb.
    for _ in 0..3 {
        page.press_step("Time", Way::More).await?;
    }
    page.shows(["1/60 second", "f/8", "ISO 200"]).await?;
    page.dial("Aperture").await?.turn(1.0).await?;
    page.shows(["1/60 second", "f/5.6", "ISO 200"]).await?;
    page.says("The light is EV 10 at ISO 100.").await?;
    page.press_on("button", "By the dials").await?;
    page.says("The dials are the camera again.").await?;
    page.wait_equal("the reading", "1/60".to_owned(), async || {
        page.find("textbox", "Reading time").await?.value().await
    })
    .await?;
    page.reads("As the reading asks").await?;
    let set = page.values().await?;
    page.reload().await?;
    page.shows(set.each_ref().map(String::as_str)).await?;
    page.finish().await
}

#[tokio::test]
async fn what_is_set_once_is_a_line_that_opens_on_a_phone() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    ensure!(
        !page.has("combobox", "Film type").await?,
        "the fields stand open"
    );
    let line = "Box ISO 400, colour negative Full-stop body, 1 s to 1/1000";
    page.press_on("button", line).await?;
    ensure!(page.has("combobox", "Film type").await?, "it did not open");
    page.choose("Film type", "Slide (reversal)").await?;
    page.fill("Box speed", "160").await?;
    let line = line.replace("400, colour negative", "160, slide (reversal)");
    page.press_on("button", &line).await?;
    ensure!(
        !page.has("combobox", "Film type").await?,
        "it did not close"
    );
    let page = site.open(DESK).await?;
    ensure!(
        page.has("combobox", "Film type").await? && !page.has("button", &line).await?,
        "a desk has room for the fields"
    );
    page.finish().await
}
