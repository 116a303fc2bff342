//! From the smallest phone to a desk: nothing sticks out, lies on top of something, or is cut off.

use tests::harness::{
    DESK, Key, Letters, PHONE, Page, Paper, Result, SMALL_PHONE, Screen, Site, Way, ensure, json,
};

use crate::job::{self, FIRST};

const SIZES: [(u32, u32); 5] = [(320, 568), (360, 640), (390, 844), (768, 1024), (1280, 800)];

async fn sound(page: &Page<'_>, what: &str, dial_buttons: u32) -> Result<()> {
    let problems = page.layout_problems(dial_buttons).await?;
    ensure!(problems.is_empty(), "{what}: {problems:#?}");
    Ok(())
}

/// The longest texts that the page can be made to show.
async fn crowd(page: &Page<'_>) -> Result<()> {
    page.choose("Camera", "Third-stop body, 30 s to 1/4000")
        .await?;
    page.choose("Frames with more light", "4").await?;
    page.choose("Frames with less light", "4").await?;
    // The time last: as the other way round it would make up for the sensitivity, and nothing would be left over.
    page.dial("Sensitivity").await?.focus().await?;
    page.key(Key::End).await?;
    page.dial("Time").await?.focus().await?;
    page.key(Key::End).await?;
    page.reads("light than the reading asks for").await
}

#[tokio::test]
async fn fingers_find_everything_on_every_size() -> Result<()> {
    let site = Site::start().await?;
    for letters in Letters::ALL {
        fits_every_size(&site, letters).await?;
    }
    Ok(())
}

async fn fits_every_size(site: &Site, letters: Letters) -> Result<()> {
    let page = site.open(PHONE).await?;
    page.set_in(letters).await?;
    for crowded in [false, true] {
        if crowded {
            crowd(&page).await?;
        }
        for (width, height) in SIZES {
            page.resize(Screen {
                width,
                height,
                touch: true,
            })
            .await?;
            page.wait_until("the page has its new size", async || {
                Ok(page.eval("document.documentElement.clientWidth").await? == width)
            })
            .await?;
            let what = format!(
                "{width} x {height}, {letters:?} letters{}",
                if crowded { ", crowded" } else { "" }
            );
            sound(&page, &what, 44).await?;
        }
    }
    page.finish().await
}

#[tokio::test]
async fn a_desk_and_half_a_desk() -> Result<()> {
    let site = Site::start().await?;
    for letters in Letters::ALL {
        fits_a_desk(&site, letters).await?;
    }
    Ok(())
}

async fn fits_a_desk(site: &Site, letters: Letters) -> Result<()> {
    let page = site.open(DESK).await?;
    page.set_in(letters).await?;
    sound(&page, &format!("1280 x 800, {letters:?} letters"), 24).await?;
    // A zoom of 200 % leaves the page half as many pixels of its own.
    page.resize(Screen {
        width: 640,
        height: 400,
        touch: false,
    })
    .await?;
    sound(&page, &format!("zoomed to 200 %, {letters:?} letters"), 24).await?;
    page.resize(DESK).await?;
    page.eval("document.documentElement.style.fontSize = '200%'")
        .await?;
    let wide = page
        .eval("document.documentElement.scrollWidth <= innerWidth")
        .await?;
    ensure!(
        wide == true,
        "text of twice the size makes the page scroll sideways"
    );
    page.finish().await
}

#[tokio::test]
async fn a_page_from_right_to_left_mirrors_all_but_the_dials() -> Result<()> {
    let site = Site::start().await?;
    for (screen, letters) in [
        (PHONE, Letters::Own),
        (PHONE, Letters::Wide),
        (DESK, Letters::Narrow),
        (DESK, Letters::Wide),
    ] {
        let page = site.open(screen).await?;
        page.set_in(letters).await?;
        let discs = async || -> Result<Vec<f64>> {
            let mut all = Vec::new();
            for dial in ["Time", "Aperture", "Sensitivity"] {
                all.push(page.dial(dial).await?.rotation().await?);
            }
            Ok(all)
        };
        let before = discs().await?;
        page.eval("document.documentElement.dir = 'rtl'").await?;
        ensure!(
            discs().await? == before,
            "a disc moved: {before:?} became {:?}",
            discs().await?
        );
        sound(&page, "right to left", if screen.touch { 44 } else { 24 }).await?;
        page.dial("Time").await?.focus().await?;
        page.key(Key::Right).await?;
        page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
        page.key(Key::Left).await?;
        page.shows(FIRST).await?;
        page.dial("Time").await?.turn(1.0).await?;
        page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
        let arc = page.dial("Time").await?.arc().await?;
        page.tap(arc.after(-arc.degrees_per_stop)).await?;
        page.shows(["1/30 second", "f/11", "ISO 100"]).await?;
        page.finish().await?;
    }
    Ok(())
}

#[tokio::test]
async fn the_main_job_is_within_reach_of_a_thumb() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    for dial in ["Time", "Aperture", "Sensitivity"] {
        let slider = page.dial(dial).await?;
        let edges = slider
            .call(
                "function () { const b = this.getBoundingClientRect(); return [b.top, b.bottom] }",
            )
            .await?;
        let (top, bottom) = (
            edges[0].as_f64().unwrap_or_default(),
            edges[1].as_f64().unwrap_or(f64::MAX),
        );
        ensure!(
            top > 0.0 && bottom <= 844.0,
            "{dial} is not in the first window: {top} to {bottom}"
        );
    }
    page.finish().await
}

#[tokio::test]
async fn a_new_sentence_does_not_move_the_page() -> Result<()> {
    let site = Site::start().await?;
    for screen in [PHONE, SMALL_PHONE] {
        let page = site.open(screen).await?;
        let list = "document.querySelector('[aria-label=\"Bracket\"]').getBoundingClientRect().top + scrollY";
        let before = page.eval(list).await?;
        page.press_step("Time", Way::More).await?;
        page.says("Time lengthened one stop").await?;
        ensure!(
            page.eval(list).await? == before,
            "the strip moved from {before} to {}",
            page.eval(list).await?
        );
        page.finish().await?;
    }
    Ok(())
}

#[tokio::test]
async fn where_motion_is_unwelcome_nothing_glides() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    let moving = "[...document.querySelectorAll('*')].filter(e => {
        const style = getComputedStyle(e);
        const long = times => times.split(',').some(time => parseFloat(time) > 0.01);
        return long(style.transitionDuration) || (style.animationName !== 'none' && long(style.animationDuration));
    }).length";
    page.dial("Time").await?.turn(1.0).await?;
    ensure!(
        page.eval(moving).await?.as_u64() > Some(0),
        "nothing glides in the first place"
    );
    emulate(&page, "prefers-reduced-motion", "reduce").await?;
    let left = page.eval(moving).await?;
    ensure!(left == 0, "{left} elements still glide");
    page.finish().await
}

async fn emulate(page: &Page<'_>, feature: &str, value: &str) -> Result<()> {
    let media = json!({ "features": [{ "name": feature, "value": value }] });
    page.devtools("Emulation.setEmulatedMedia", media)
        .await
        .map(drop)
}

#[tokio::test]
async fn forced_colours_and_more_contrast_keep_everything_in_place() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    for (feature, value) in [("forced-colors", "active"), ("prefers-contrast", "more")] {
        emulate(&page, feature, value).await?;
        let query = format!("matchMedia('({feature}: {value})').matches");
        ensure!(
            page.eval(&query).await? == true,
            "the browser does not emulate {feature}"
        );
        sound(&page, feature, 24).await?;
        let problems = page.accessibility_problems().await?;
        ensure!(problems.is_empty(), "{feature}: {problems:#?}");
        // What stands out is no blank of one colour.
        let blank = page
            .eval(
                "[...document.querySelectorAll('.shoot-open, .axis-frames > .base')].filter(e => {
                    const { color, backgroundColor } = getComputedStyle(e);
                    return color === backgroundColor;
                }).length",
            )
            .await?;
        ensure!(blank == 0, "{feature}: {blank} elements are blank");
        page.press_step("Time", Way::More).await?;
        page.says("Time lengthened").await?;
    }
    page.finish().await
}

/// Where everything beside the faces stands: what of it is not on the same place is named.
const PLACES: &str = "(() => {
    const what = '.dial, .dial .step, .dial .hold, .status, .bar, .axis, .strip, .inputs';
    return [...document.querySelectorAll(what)].map(e => {
        const box = e.getBoundingClientRect();
        return [e.id || e.className, Math.round(box.left), Math.round(box.top + scrollY)];
    });
})()";

#[tokio::test]
async fn nothing_moves_while_a_dial_is_turned_from_end_to_end() -> Result<()> {
    let site = Site::start().await?;
    for (screen, letters) in [
        (PHONE, Letters::Own),
        (PHONE, Letters::Wide),
        (DESK, Letters::Narrow),
        (DESK, Letters::Wide),
    ] {
        let page = site.open(screen).await?;
        page.set_in(letters).await?;
        for dial in ["Time", "Aperture", "Sensitivity"] {
            let range = page.dial(dial).await?;
            range.focus().await?;
            page.key(Key::Home).await?;
            let places = page.eval(PLACES).await?;
            let last = range.attribute("max").await?.unwrap_or_default();
            for _ in 0..80 {
                page.key(Key::Right).await?;
                let now = page.eval(PLACES).await?;
                let all = places.as_array().into_iter().flatten();
                let moved: Vec<_> = all
                    .zip(now.as_array().into_iter().flatten())
                    .filter(|(before, now)| before != now)
                    .collect();
                ensure!(
                    moved.is_empty(),
                    "{} px, {dial} at {}: {moved:?}",
                    screen.width,
                    range.value_text().await?
                );
                if range.value().await? == last {
                    break;
                }
            }
            page.key(Key::Escape).await?;
        }
        page.finish().await?;
    }
    Ok(())
}

#[tokio::test]
async fn shoot_mode_fits_low_windows() -> Result<()> {
    let site = Site::start().await?;
    for letters in Letters::ALL {
        shoot_mode_fits(&site, letters).await?;
    }
    Ok(())
}

async fn shoot_mode_fits(site: &Site, letters: Letters) -> Result<()> {
    let page = site.open(PHONE).await?;
    page.set_in(letters).await?;
    page.press_on("button", "Shoot").await?;
    for (width, height) in [(390, 256), (640, 256), (844, 390), (195, 422)] {
        let screen = Screen {
            width,
            height,
            touch: true,
        };
        page.resize(screen).await?;
        page.wait_until("the page has its new size", async || {
            Ok(
                page.eval("innerWidth").await? == width
                    && page.eval("innerHeight").await? == height,
            )
        })
        .await?;
        let outside = page
            .eval(
                "[...document.querySelectorAll('#shoot button, #shoot-set')].filter(e => {
                    const box = e.getBoundingClientRect();
                    const is_out = box.top < 0 || box.left < 0 || box.bottom > innerHeight + 1 || box.right > innerWidth + 1;
                    return e.checkVisibility() && is_out;
                }).map(e => e.innerText)",
            )
            .await?;
        ensure!(
            outside.as_array().is_some_and(Vec::is_empty),
            "{width} x {height}: {outside} is out of sight"
        );
    }
    page.finish().await
}

#[tokio::test]
async fn it_prints_the_setting_without_its_controls() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    job::bracketed(&page).await?;
    ensure!(
        page.printed().await? > 5_000,
        "the printed document is empty"
    );
    for paper in [Paper::A4, Paper::Letter] {
        let sheets = page.printed_on(paper).await?;
        ensure!(sheets.len() == 1, "it takes {} sheets", sheets.len());
    }
    page.devtools("Emulation.setEmulatedMedia", json!({ "media": "print" }))
        .await?;
    let text = page.text().await?;
    for wanted in ["EI 160", "EI 80", "EI 40"] {
        ensure!(text.contains(wanted), "{wanted} is not printed");
    }
    let ink = page
        .eval("getComputedStyle(document.body).backgroundColor")
        .await?;
    ensure!(
        ink == "rgb(255, 255, 255)" || ink == "rgba(0, 0, 0, 0)",
        "it prints on {ink}"
    );
    ensure!(
        !page
            .find_all("button")
            .await?
            .iter()
            .any(|button| button.name().contains("one mark")),
        "buttons are printed"
    );
    page.finish().await
}

/// What is said about a refused value lies on no control, and a press beside it still reaches what it was meant for.
#[tokio::test]
async fn a_refused_value_covers_no_control() -> Result<()> {
    let site = Site::start().await?;
    for (width, height) in [(320, 568), (360, 640), (390, 844), (844, 390), (1280, 800)] {
        let screen = Screen {
            width,
            height,
            touch: width < 1000,
        };
        let page = site.open(screen).await?;
        for (dial, next) in [
            ("Sensitivity", "Hold aperture"),
            ("Aperture", "Hold time"),
            ("Time", "Hold sensitivity"),
        ] {
            let field = job::open_value(&page, dial).await?;
            field.write("soon").await?;
            // It is refused when the keyboard goes away with the press.
            let button = page.find("button", next).await?;
            let before = button.is_pressed().await?;
            button.tap().await?;
            page.wait_until("the press has reached the button", async || {
                Ok(page.find("button", next).await?.is_pressed().await? != before)
            })
            .await?;
            page.wait_until("the refusal lies on nothing", async || {
                let lies_on = page
                    .eval(
                        "(() => {
                            const [said, ...more] = [...document.querySelectorAll('.dial .field-error')].filter(e => e.checkVisibility());
                            if (!said || more.length) return `${more.length + !!said} are said`;
                            const a = said.getBoundingClientRect();
                            const over = [...document.querySelectorAll('button, select, input:not([type=range])')].filter(e => {
                                const b = e.getBoundingClientRect();
                                return e.checkVisibility() && Math.min(a.right, b.right) - Math.max(a.left, b.left) > 1
                                    && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 1
                                    && !e.closest('.bar');
                            });
                            return over.map(e => e.ariaLabel ?? e.innerText).join();
                        })()",
                    )
                    .await?;
                ensure!(lies_on == "", "{width} px, {dial}: it lies on {lies_on}");
                Ok(true)
            })
            .await?;
            // The field is in reach as before.
            field.tap().await?;
            page.key(Key::Escape).await?;
        }
        page.finish().await?;
    }
    Ok(())
}
