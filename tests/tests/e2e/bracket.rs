//! The strip of frames.

use tests::harness::{DESK, Found, PHONE, Page, Result, Site, ensure};

use crate::job;

#[tokio::test]
async fn box_160_rated_80_one_stop_either_way() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    job::bracketed(&page).await?;
    page.brackets(&[
        &["at box speed", "EI 160", "1 stop less light"],
        &["1 stop more light than box", "EI 80", "base"],
        &["2 stops more light than box", "EI 40", "1 stop more light"],
    ])
    .await?;
    page.finish().await
}

#[tokio::test]
async fn both_kinds_and_every_order() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    job::bracketed(&page).await?;
    job::bracket_by(&page, "Aperture").await?;
    let sets = |cells: &[String]| cells.iter().filter(|cell| cell.contains("f/")).count();
    page.wait_until("every frame names an aperture", async || {
        Ok(sets(&page.bracket().await?) == 3)
    })
    .await?;
    page.choose("Order", "Most light first").await?;
    page.brackets(&[&["EI 40"], &["EI 80"], &["EI 160"]])
        .await?;
    page.choose("Order", "Base first").await?;
    page.wait_until("the base comes first", async || {
        Ok(page.bracket().await?[0].contains("EI 80"))
    })
    .await?;
    page.choose("Order", "Least light first").await?;
    page.brackets(&[&["EI 160"], &["EI 80"], &["EI 40"]])
        .await?;
    page.finish().await
}

#[tokio::test]
async fn where_the_scale_ends_the_cell_says_what_the_camera_gives() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    job::bracket_by(&page, "Aperture").await?;
    job::set(&page, "Aperture", "2.8").await?;
    // Three frames with more light than f/2.8 are planned, and the lens ends at f/2.
    page.wait_until("the strip says so", async || {
        let cells = page.bracket().await?.join(" | ").to_lowercase();
        ensure!(
            cells.contains("end of scale: wanted 2 stops more light, gives 1 stop more light"),
            "{cells}"
        );
        ensure!(
            cells.contains("end of scale: wanted 3 stops more light, gives 1 stop more light"),
            "{cells}"
        );
        Ok(true)
    })
    .await?;
    page.finish().await
}

async fn widths(page: &Page<'_>) -> Result<Vec<f64>> {
    let list: Found<'_, '_> = page.find("list", "Bracket").await?;
    let widths = list.call(
        "function () { return [...this.children].map(item => item.getBoundingClientRect().width) }",
    );
    Ok(serde_json::from_value(widths.await?)?)
}

#[tokio::test]
async fn the_strip_can_be_read_to_its_end_on_a_phone() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.choose("Frames with more light", "4").await?;
    page.wait_until("there are five frames", async || {
        Ok(page.bracket().await?.len() == 5)
    })
    .await?;
    ensure!(
        widths(&page).await?.iter().all(|width| *width >= 90.0),
        "cells are squeezed: {:?}",
        widths(&page).await?
    );
    let list = page.find("list", "Bracket").await?;
    let last = list.call(
        "function () {
            this.lastElementChild.scrollIntoView({ inline: 'nearest', block: 'nearest', behavior: 'instant' });
            const box = this.lastElementChild.getBoundingClientRect();
            return box.left >= -1 && box.right <= innerWidth + 1;
        }",
    );
    ensure!(
        last.await? == true,
        "the last frame cannot be brought into the window"
    );
    page.finish().await
}
