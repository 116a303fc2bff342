//! Three themes and the device's own wish.

use tests::harness::{DESK, PHONE, Page, Result, Site, ensure, json};

use crate::job;

#[tokio::test]
async fn nothing_but_red_on_black_in_the_darkroom() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    job::choose_theme(&page, "Darkroom").await?;
    job::bracketed(&page).await?;
    page.press_on("button", "Time, one mark more light").await?;
    page.find("textbox", "Box speed").await?.focus().await?;
    dark(&page, "the page").await?;
    page.fill("Reading time", "soon").await?;
    dark(&page, "a refused field").await?;
    page.press_on("button", "Shoot").await?;
    page.find("button", "Next").await?;
    dark(&page, "shoot mode").await?;
    page.press_on("button", "Leave").await?;
    job::open_more(&page).await?;
    dark(&page, "the panel More").await?;
    page.finish().await
}

async fn dark(page: &Page<'_>, what: &str) -> Result<()> {
    page.until_still().await?;
    let problems = page.hues_beside_red().await?;
    ensure!(problems.is_empty(), "{what}: {problems:#?}");
    Ok(())
}

#[tokio::test]
async fn the_device_decides_until_a_theme_is_chosen() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    let ground = async || {
        page.until_still().await?;
        let colour = page
            .eval("[document.body, document.documentElement].map(e => getComputedStyle(e).backgroundColor)
                .find(colour => colour !== 'rgba(0, 0, 0, 0)') ?? ''")
            .await?;
        Ok::<_, tests::harness::Error>(colour.as_str().unwrap_or_default().to_owned())
    };
    let prefer = async |scheme: &str| {
        let media = json!({ "features": [{ "name": "prefers-color-scheme", "value": scheme }] });
        page.devtools("Emulation.setEmulatedMedia", media).await
    };
    prefer("light").await?;
    let light = ground().await?;
    prefer("dark").await?;
    let dark = ground().await?;
    ensure!(light != dark, "both are {light}");
    job::choose_theme(&page, "Bright sun").await?;
    ensure!(
        ground().await? == light,
        "bright sun is not what a light device gets"
    );
    prefer("light").await?;
    job::choose_theme(&page, "Dusk").await?;
    ensure!(
        ground().await? == dark,
        "dusk is not what a dark device gets"
    );
    job::choose_theme(&page, "Darkroom").await?;
    page.wait_until("the browser's bar is as dark as the page", async || {
        let bars = page
            .eval(
                "[...document.querySelectorAll('meta[name=theme-color]')].map(bar => bar.content)",
            )
            .await?;
        Ok(bars == json!(["#000", "#000"]))
    })
    .await?;
    page.finish().await
}
