//! The table of pairs that give the same light.

use tests::harness::{DESK, PHONE, Result, Site, ensure};

const TABLE: &str = "Settings that give this light";

#[tokio::test]
async fn a_pair_can_be_tapped() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    let table = page.find("list", TABLE).await?;
    let mut chosen = None;
    for row in table.find_all("button").await? {
        if row.name().starts_with("1/30 f/11") {
            chosen = Some(row);
        }
    }
    let Some(row) = chosen else {
        tests::harness::bail!("no row offers 1/30 at f/11")
    };
    ensure!(
        row.name().contains("exact"),
        "1/30 at f/11 is exact for EV 12 at EI 100: {}",
        row.name()
    );
    row.tap().await?;
    page.shows(["1/30 second", "f/11", "ISO 100"]).await?;
    page.reads("As the reading asks").await?;
    page.finish().await
}

#[tokio::test]
async fn every_pair_offered_exists_on_the_camera_and_names_its_support() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    page.choose("Camera", "Full-stop times, half-click lens")
        .await?;
    page.says("Camera: Full-stop times").await?;
    let table = page.find("list", TABLE).await?;
    let rows = table.find_all("button").await?;
    let names: Vec<&str> = rows.iter().map(tests::harness::Found::name).collect();
    // 1/500 would need f/2.8, and this lens opens to f/3.5; on B nothing is as short as the 1/15 that goes with f/16.
    let wanted = ["1/30 f/11", "1/60 f/8", "1/125 f/5.6", "1/250 f/4"];
    ensure!(
        names.len() == wanted.len()
            && names
                .iter()
                .zip(wanted)
                .all(|(name, start)| name.starts_with(start)),
        "the pairs are {names:?}"
    );
    for row in rows {
        let name = row.name();
        let clicks = ["1/500 ", "1/250 ", "1/125 ", "1/60 ", "1/30 "];
        let known = clicks.iter().any(|time| name.contains(time)) || name.contains("by hand on B");
        ensure!(known, "the camera has no such time: {name}");
        ensure!(
            name.contains("hand-held") || name.contains("tripod") || name.contains("by hand"),
            "no support: {name}"
        );
    }
    page.finish().await
}
