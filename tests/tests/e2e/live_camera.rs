//! The live camera sees only while somebody looks: whatever ends that, its light goes out.

use tests::harness::{Folder, Key, PHONE, Page, Result, Screen, Site, ensure, json};

use crate::light::{close, open_page};

const FIND: &str = "Find the light";

/// From the first document on `tracks` holds every track of a camera that the page was given; with a gate, each is given only
/// after `letIn()`.
const WATCH_CAMERA: &str = "globalThis.tracks = [];
    globalThis.gate = null;
    const ask = navigator.mediaDevices.getUserMedia.bind(navigator.mediaDevices);
    navigator.mediaDevices.getUserMedia = async wish => {
        const stream = await ask(wish);
        tracks.push(...stream.getTracks());
        if (gate) await new Promise(open => { globalThis.letIn = open; });
        return stream;
    };";

async fn with_camera<'site>(
    site: &'site Site,
    folder: &Folder,
    screen: Screen,
    grey: impl Fn(u32, u32) -> u8,
) -> Result<Page<'site>> {
    let page = site.open_with_camera(folder, screen, grey).await?;
    page.eval(WATCH_CAMERA).await?;
    Ok(page)
}

async fn running(page: &Page<'_>) -> Result<u64> {
    let count = page
        .eval("tracks.filter(track => track.readyState === 'live').length")
        .await?;
    Ok(count.as_u64().unwrap_or_default())
}

/// Starts the camera on its page, which is open.
async fn start(page: &Page<'_>) -> Result<()> {
    page.press_on("button", "Start the camera").await?;
    page.find("button", "Stop the camera").await?;
    // A frame was looked at.
    page.reads("The ring: ").await?;
    ensure!(running(page).await? == 1, "one camera runs");
    Ok(())
}

async fn dark(page: &Page<'_>, after: &str) -> Result<()> {
    page.wait_equal(&format!("cameras that run after {after}"), 0, async || {
        running(page).await
    })
    .await
}

#[tokio::test]
async fn it_goes_out_whenever_nobody_looks() -> Result<()> {
    let site = Site::start().await?;
    let folder = Folder::new("camera")?;
    let page = with_camera(&site, &folder, PHONE, |_, _| 118).await?;
    open_page(&page, FIND, "Live camera").await?;
    start(&page).await?;
    page.press_on("button", "Stop the camera").await?;
    dark(&page, "Stop").await?;
    start(&page).await?;
    close(&page).await?;
    dark(&page, "Close").await?;

    open_page(&page, FIND, "Live camera").await?;
    start(&page).await?;
    page.key(Key::Escape).await?;
    page.find("slider", "Time").await?;
    dark(&page, "Escape").await?;

    open_page(&page, FIND, "Live camera").await?;
    start(&page).await?;
    page.press_on("button", "Back").await?;
    dark(&page, "Back").await?;

    page.press_on("button", "Close").await?;
    open_page(&page, FIND, "Live camera").await?;
    start(&page).await?;
    page.press_on("button", "Hold").await?;
    page.press_on("button", "Take this reading").await?;
    page.find("slider", "Time").await?;
    dark(&page, "Take").await?;

    // Another tab in front of it.
    open_page(&page, FIND, "Live camera").await?;
    start(&page).await?;
    let first = page.open_tab().await?;
    page.switch_tab(first).await?;
    dark(&page, "another tab").await?;
    // It says so, and starts again by its button; what was seen before is not offered as what is there now.
    page.find("button", "Start the camera").await?;
    ensure!(
        !page.has("button", "Hold").await? && !page.has("button", "Take this reading").await?,
        "a camera that is out can be read"
    );
    page.press_on("button", "The ring has the light that the dial reads")
        .await?;
    page.reads("Start the camera first.").await?;

    // The page is left for another one, and may be kept by the browser to come back to.
    start(&page).await?;
    page.eval("dispatchEvent(new PageTransitionEvent('pagehide', { persisted: true }))")
        .await?;
    dark(&page, "leaving the page").await?;
    page.finish().await
}

#[tokio::test]
async fn one_that_comes_too_late_is_let_go_at_once() -> Result<()> {
    let site = Site::start().await?;
    let folder = Folder::new("camera")?;
    let page = with_camera(&site, &folder, PHONE, |_, _| 118).await?;
    open_page(&page, FIND, "Live camera").await?;
    page.eval("globalThis.gate = true").await?;
    page.press_on("button", "Start the camera").await?;
    page.wait_equal("cameras that were given", json!(1), async || {
        page.eval("tracks.length").await
    })
    .await?;
    // The person closes the sheet while the browser still asks.
    close(&page).await?;
    page.eval("globalThis.gate = null; letIn()").await?;
    dark(&page, "closing before it came").await?;
    open_page(&page, FIND, "Live camera").await?;
    ensure!(
        !page.has("button", "Stop the camera").await?,
        "it started after the sheet was closed"
    );

    // Two presses: only one camera runs, and stopping it stops all.
    page.eval("globalThis.gate = true").await?;
    page.press_on("button", "Start the camera").await?;
    page.wait_equal("cameras that were given", json!(2), async || {
        page.eval("tracks.length").await
    })
    .await?;
    page.eval("globalThis.gate = null").await?;
    page.press_on("button", "Start the camera").await?;
    page.find("button", "Stop the camera").await?;
    page.eval("letIn()").await?;
    page.wait_equal("cameras that run", 1, async || running(&page).await)
        .await?;
    page.press_on("button", "Stop the camera").await?;
    dark(&page, "Stop").await?;
    page.finish().await
}

#[tokio::test]
async fn one_that_is_taken_away_is_said_to_be_gone() -> Result<()> {
    let site = Site::start().await?;
    let folder = Folder::new("camera")?;
    let page = with_camera(&site, &folder, PHONE, |_, _| 118).await?;
    open_page(&page, FIND, "Live camera").await?;
    start(&page).await?;
    page.eval("tracks.forEach(track => track.stop())").await?;
    page.reads("The camera stopped: the device or another program took it")
        .await?;
    page.find("button", "Start the camera").await?;
    page.finish().await
}

/// A camera is pointed; only a picture is touched.
#[tokio::test]
async fn where_nothing_can_be_read_it_says_what_can_be_done_there() -> Result<()> {
    let site = Site::start().await?;
    let folder = Folder::new("camera")?;
    // Black but for a corner: neither the ring nor the frame can be read.
    let page = with_camera(
        &site,
        &folder,
        PHONE,
        |x, y| if x < 8 && y < 8 { 118 } else { 0 },
    )
    .await?;
    open_page(&page, FIND, "Live camera").await?;
    page.press_on("button", "Start the camera").await?;
    for part in ["The ring", "The whole frame"] {
        page.choose("What is read", part).await?;
        page.reads("Point the camera at another place").await?;
        page.reads("nothing can be read from it").await?;
        ensure!(
            !page.text().await?.contains("Touch another place"),
            "{part}: nothing can be touched here"
        );
    }
    close(&page).await?;
    let black = "pen.fillStyle = 'black'; pen.fillRect(0, 0, 300, 200);";
    let photo = page.photo(&folder, "night.jpg", black, None).await?;
    open_page(&page, FIND, "From a photo").await?;
    page.choose_file("Choose a photo", &photo).await?;
    page.reads("nothing can be read from it. Touch another place.")
        .await?;
    page.finish().await
}
