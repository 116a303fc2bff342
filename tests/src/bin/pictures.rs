//! Takes the pictures of the README from the built page: `cargo run -p tests --bin pictures`.
//!
//! Needs the same environment as the end-to-end tests, and writes into `tests/pictures`.

use std::{fs, path::Path};

use tests::harness::{DESK, PHONE, Page, Result, Screen, Site, Way};

/// File name, screen, theme, and whether shoot mode is open.
const PICTURES: [(&str, Screen, &str, bool); 5] = [
    ("phone-sun", PHONE, "Bright sun", false),
    ("phone-dusk", PHONE, "Dusk", false),
    ("phone-darkroom", PHONE, "Darkroom", false),
    ("desk", DESK, "Bright sun", false),
    ("shoot", PHONE, "Dusk", true),
];

#[tokio::main]
async fn main() -> Result<()> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("pictures");
    fs::create_dir_all(&folder)?;
    for (name, screen, theme, shoot) in PICTURES {
        let site = Site::start().await?;
        let page = site.open(screen).await?;
        scene(&page, theme).await?;
        if shoot {
            page.press_on("button", "Shoot").await?;
            page.press_on("button", "Next").await?;
        } else {
            page.eval("scrollTo({ top: 0, behavior: 'instant' })")
                .await?;
        }
        page.until_still().await?;
        fs::write(folder.join(format!("{name}.png")), page.picture().await?)?;
        page.finish().await?;
    }
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.press_on("button", "Film book").await?;
    page.press_on("button", "Add the invented example").await?;
    page.press_on("button", "Open the log").await?;
    page.find("region", "Next frame").await?;
    page.until_still().await?;
    fs::write(folder.join("log.png"), page.picture().await?)?;
    page.finish().await?;
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.press_on("button", "Find the light").await?;
    page.press_on(
        "button",
        "Scene tables Without a meter, by the shadows or the scene",
    )
    .await?;
    page.find("button", "Take this reading").await?;
    page.until_still().await?;
    fs::write(folder.join("light.png"), page.picture().await?)?;
    page.finish().await
}

/// Turns a dial, so that the picture shows a sentence and a follower.
async fn scene(page: &Page<'_>, theme: &str) -> Result<()> {
    page.press_on("button", "More").await?;
    page.press_on("radio", theme).await?;
    page.press_on("button", "Close").await?;
    page.press_step("Aperture", Way::Less).await?;
    page.says("Time made it up").await
}
