//! One frame per screen.

use tests::harness::{DESK, Key, PHONE, Result, Site, ensure};

use crate::job;

#[tokio::test]
async fn through_the_series_and_set_back() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    job::bracketed(&page).await?;
    page.brackets(&[&["EI 160"], &["EI 80"], &["EI 40"]])
        .await?;
    let cells = page.bracket().await?;
    page.press_on("button", "Shoot").await?;
    for (i, ei) in ["EI 160", "EI 80", "EI 40"].iter().enumerate() {
        page.reads(ei).await?;
        page.reads(&format!("{} of 3", i + 1)).await?;
        let time = cells[i]
            .split_whitespace()
            .find(|word| word.starts_with("1/"));
        page.reads(time.unwrap_or("no time in the cell")).await?;
        page.press_on("button", "Next").await?;
    }
    page.reads("Set back to").await?;
    page.press_on("button", "Back").await?;
    page.reads("3 of 3").await?;
    page.press_on("button", "Next").await?;
    page.press_on("button", "Leave").await?;
    page.wait_until("the page is there again", async || {
        page.has("list", "Bracket").await
    })
    .await?;
    page.finish().await
}

#[tokio::test]
async fn the_buttons_are_large_enough_for_a_thumb() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.press_on("button", "Shoot").await?;
    let next = page.find("button", "Next").await?;
    let size = next.call("function () { const b = this.getBoundingClientRect(); return [b.width, b.height, b.bottom] }");
    let size = size.await?;
    let number = |i: usize| size[i].as_f64().unwrap_or_default();
    ensure!(
        number(0) >= 120.0 && number(1) >= 56.0,
        "\"Next\" is {} x {} px",
        number(0),
        number(1)
    );
    ensure!(
        number(2) > 844.0 * 0.7,
        "\"Next\" is out of a thumb's reach, at {} px",
        number(2)
    );
    let largest = page.eval(
        "Math.max(...[...document.querySelectorAll('dialog[open] *')].map(e => parseFloat(getComputedStyle(e).fontSize)))",
    );
    let largest = largest.await?.as_f64().unwrap_or_default();
    ensure!(largest >= 72.0, "the setting is only {largest} px high");
    let problems = page.layout_problems(44).await?;
    ensure!(problems.is_empty(), "{problems:#?}");
    page.finish().await
}

#[tokio::test]
async fn escape_leaves_and_the_keyboard_is_where_it_was() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    let shoot = page.find("button", "Shoot").await?;
    shoot.focus().await?;
    page.key(Key::Enter).await?;
    page.find("button", "Next").await?;
    page.key(Key::Escape).await?;
    page.wait_until("the keyboard is on \"Shoot\" again", async || {
        page.find("button", "Shoot").await?.has_focus().await
    })
    .await?;
    page.finish().await
}

#[tokio::test]
async fn the_screen_is_kept_awake_only_while_shooting() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    job::watch_the_screen(&page).await?;
    page.press_on("button", "Shoot").await?;
    page.wait_until("the screen is kept awake", async || {
        Ok(page.eval("locks.some(lock => !lock.released)").await? == true)
    })
    .await?;
    page.press_on("button", "Leave").await?;
    page.wait_until("the screen may sleep again", async || {
        Ok(page.eval("locks.every(lock => lock.released)").await? == true)
    })
    .await?;
    page.finish().await
}
