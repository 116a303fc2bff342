//! Everything with keys alone.

use tests::harness::{DESK, Key, Page, Result, Site, bail, ensure};

use crate::job::{self, FIRST};

/// Goes forward with Tab until the keyboard is on the thing of this role and name.
async fn tab_to(page: &Page<'_>, role: &str, name: &str) -> Result<()> {
    for _ in 0..200 {
        page.key(Key::Tab).await?;
        let here = page.focused().await?;
        if here.is_some_and(|(r, n)| r == role && n == name) {
            return Ok(());
        }
    }
    bail!("Tab never comes to the {role} named {name:?}")
}

#[tokio::test]
async fn the_main_job_needs_no_pointer() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    for (field, text) in [
        ("Reading time", "1/60"),
        ("Reading aperture", "5.6"),
        ("Reading sensitivity", "160"),
    ] {
        tab_to(&page, "textbox", field).await?;
        page.write_over(text).await?;
        page.key(Key::Enter).await?;
    }
    tab_to(&page, "slider", "Time").await?;
    page.wait_until("the time has followed the reading", async || {
        Ok(page.values().await? != FIRST)
    })
    .await?;
    while page.values().await?[0] != "1/60 second" {
        page.key(Key::Right).await?;
    }
    tab_to(&page, "button", "Hold time").await?;
    page.key(Key::Space).await?;
    page.wait_until("time is held", async || {
        page.find("button", "Hold time").await?.is_pressed().await
    })
    .await?;
    tab_to(&page, "slider", "Sensitivity").await?;
    page.key(Key::Left).await?;
    page.shows(["1/60 second", "f/4", "ISO 80"]).await?;
    page.reads("As the reading asks").await?;
    page.finish().await
}

#[tokio::test]
async fn every_key_of_a_dial() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    page.hold("Time", true).await?;
    page.hold("Aperture", true).await?;
    let rating = page.dial("Sensitivity").await?;
    rating.focus().await?;
    let mut value = "ISO 100".to_owned();
    for (key, shift, wanted) in [
        (Key::Right, false, "ISO 125"),
        (Key::Up, false, "ISO 160"),
        (Key::Left, false, "ISO 125"),
        (Key::Down, false, "ISO 100"),
        (Key::PageUp, false, "ISO 200"),
        (Key::PageDown, false, "ISO 100"),
        (Key::Right, true, "ISO 200"),
        (Key::Up, true, "ISO 400"),
        (Key::Left, true, "ISO 200"),
        (Key::Down, true, "ISO 100"),
    ] {
        if shift {
            page.shift(key).await?;
        } else {
            page.key(key).await?;
        }
        page.wait_equal(
            &format!("{key:?} from {value}"),
            wanted.to_owned(),
            async || rating.value_text().await,
        )
        .await?;
        wanted.clone_into(&mut value);
    }
    page.key(Key::End).await?;
    page.wait_until("End is the last mark", async || {
        Ok(rating.attribute("max").await?.as_deref() == Some(rating.value().await?.as_str()))
    })
    .await?;
    page.key(Key::Home).await?;
    page.wait_until("Home is the first mark", async || {
        Ok(rating.value().await? == "0")
    })
    .await?;
    page.key(Key::Escape).await?;
    page.wait_equal("Escape gives back", "ISO 100".to_owned(), async || {
        rating.value_text().await
    })
    .await?;
    page.finish().await
}

#[tokio::test]
async fn keys_out_and_back_return_to_the_start() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    for name in ["Time", "Aperture", "Sensitivity"] {
        page.dial(name).await?.focus().await?;
        // Eight marks from here run past an end of each of the scales.
        for (out, back) in [(Key::Right, Key::Left), (Key::Down, Key::Up)] {
            let dial = page.dial(name).await?;
            let start: u32 = dial.value().await?.parse()?;
            page.keys(&[out.into(); 8]).await?;
            page.wait_until("the dials have moved", async || {
                Ok(page.values().await? != FIRST)
            })
            .await?;
            let reached: u32 = dial.value().await?.parse()?;
            page.keys(&vec![back.into(); start.abs_diff(reached) as usize])
                .await?;
            page.shows(FIRST).await?;
        }
    }
    page.finish().await
}

#[tokio::test]
async fn a_value_is_spoken_once_when_the_turn_is_over() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    page.eval(
        "globalThis.spoken = [];
        new MutationObserver(() => spoken.push(document.querySelector('[role=status]').innerText))
            .observe(document.querySelector('[role=status]'), { childList: true, characterData: true, subtree: true });",
    )
    .await?;
    let arc = page.dial("Time").await?.arc().await?;
    page.press(arc.start).await?;
    page.slide_along(&arc, 0.0, 3.0 * arc.degrees_per_stop)
        .await?;
    page.shows(["1/15 second", "f/16", "ISO 100"]).await?;
    let before = page.eval("spoken.length").await?;
    ensure!(
        before == 0,
        "it spoke during the turn: {}",
        page.eval("spoken").await?
    );
    page.lift().await?;
    page.says("Time lengthened three stops, 1/125 to 1/15")
        .await?;
    let sentences = page.eval("new Set(spoken.filter(Boolean)).size").await?;
    ensure!(
        sentences == 1,
        "it spoke more than once: {}",
        page.eval("spoken").await?
    );
    page.finish().await
}

#[tokio::test]
async fn the_keyboard_comes_back_from_a_typed_value() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    job::set(&page, "Time", "1/60").await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    page.wait_until("the keyboard is on the value again", async || {
        page.large_value("Time").await?.has_focus().await
    })
    .await?;
    page.finish().await
}
