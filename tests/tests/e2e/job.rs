//! What several suites have to do on the way to what they are about.

use tests::harness::{Found, Page, Result, ensure};

/// The values of the dials on the first visit.
pub(crate) const FIRST: [&str; 3] = ["1/125 second", "f/5.6", "ISO 100"];

/// Types a reading as the other device shows it.
pub(crate) async fn read(
    page: &Page<'_>,
    sensitivity: &str,
    time: &str,
    aperture: &str,
) -> Result<()> {
    page.fill("Reading sensitivity", sensitivity).await?;
    page.fill("Reading time", time).await?;
    page.fill("Reading aperture", aperture).await
}

/// Types a value for a dial.
pub(crate) async fn set(page: &Page<'_>, dial: &str, value: &str) -> Result<()> {
    let field = open_value(page, dial).await?;
    field.fill(value).await
}

/// The camera that has full stops alone.
pub(crate) async fn full_stops(page: &Page<'_>) -> Result<()> {
    page.choose("Camera", "Full-stop body, 1 s to 1/1000").await
}

/// A scene so dim that f/16 at ISO 100 is metered with 8 seconds, on the camera that has full stops alone.
pub(crate) async fn dim(page: &Page<'_>) -> Result<()> {
    full_stops(page).await?;
    read(page, "100", "1/2", "4").await?;
    set(page, "Sensitivity", "100").await?;
    set(page, "Aperture", "16").await
}

/// Two frames with more light after the base frame: 8, 16 and 32 seconds in such a scene.
pub(crate) async fn dim_bracket(page: &Page<'_>) -> Result<()> {
    dim(page).await?;
    page.choose("Frames with less light", "0").await?;
    page.choose("Frames with more light", "2").await
}

/// Turns the large value of a dial into a field.
pub(crate) async fn open_value<'page, 'site>(
    page: &'page Page<'site>,
    dial: &str,
) -> Result<Found<'page, 'site>> {
    page.large_value(dial).await?.tap().await?;
    page.find("textbox", &format!("{dial} value")).await
}

/// Opens the panel "More".
pub(crate) async fn open_more(page: &Page<'_>) -> Result<()> {
    page.press_on("button", "More").await?;
    page.find("radiogroup", "Theme").await.map(drop)
}

/// Closes the panel "More".
pub(crate) async fn close_more(page: &Page<'_>) -> Result<()> {
    page.press_on("button", "Close").await
}

/// Brackets by `Time` or by `Aperture`.
pub(crate) async fn bracket_by(page: &Page<'_>, by: &str) -> Result<()> {
    page.choose("Bracket by", by).await
}

/// Chooses a theme and closes the panel again.
pub(crate) async fn choose_theme(page: &Page<'_>, name: &str) -> Result<()> {
    open_more(page).await?;
    page.press_on("radio", name).await?;
    page.press_on("button", "Close").await
}

/// Film of box speed 160 rated 80, read at ISO 160, 1/60, f/5.6, bracketed one stop either way by time.
pub(crate) async fn bracketed(page: &Page<'_>) -> Result<()> {
    page.fill("Box speed", "160").await?;
    read(page, "160", "1/60", "5.6").await?;
    set(page, "Sensitivity", "80").await?;
    page.choose("Frames with less light", "1").await?;
    page.choose("Frames with more light", "1").await
}

/// Fills the browser's storage to the last byte.
pub(crate) async fn fill_storage(page: &Page<'_>) -> Result<()> {
    page.eval(
        "(() => {
            let piece = 'x'.repeat(1 << 20), n = 0;
            while (piece) {
                try { localStorage.setItem('filler ' + n, piece); n++; } catch { piece = piece.slice(0, piece.length >> 1); }
            }
        })()",
    )
    .await
    .map(drop)
}

/// Makes room in it again.
pub(crate) async fn free_storage(page: &Page<'_>) -> Result<()> {
    page.eval("Object.keys(localStorage).filter(key => key.startsWith('filler')).forEach(key => localStorage.removeItem(key))")
        .await
        .map(drop)
}

/// Everything is where a finger finds it, and can be used by everyone.
pub(crate) async fn sound(page: &Page<'_>, what: &str) -> Result<()> {
    page.until_still().await?;
    let mut problems = page.layout_problems(44).await?;
    problems.extend(page.accessibility_problems().await?);
    ensure!(problems.is_empty(), "{what}: {problems:#?}");
    Ok(())
}

/// The same in the darkroom, where nothing but red may show.
pub(crate) async fn sound_in_the_dark(page: &Page<'_>, what: &str) -> Result<()> {
    sound(page, what).await?;
    let problems = page.hues_beside_red().await?;
    ensure!(problems.is_empty(), "{what}: {problems:#?}");
    Ok(())
}

/// From here on `locks` holds every hold on the screen that the page takes.
pub(crate) async fn watch_the_screen(page: &Page<'_>) -> Result<()> {
    page.eval(
        "globalThis.locks = [];
        const request = navigator.wakeLock.request.bind(navigator.wakeLock);
        navigator.wakeLock.request = kind => request(kind).then(lock => { locks.push(lock); return lock; });",
    )
    .await
    .map(drop)
}

/// A script after which `asked` holds the name of every call that would ask the person for a permission; none is granted.
pub(crate) const WATCH_PERMISSIONS: &str = "globalThis.asked = [];
    for (const [owner, name] of [
        [Geolocation.prototype, 'getCurrentPosition'], [Geolocation.prototype, 'watchPosition'],
        [MediaDevices.prototype, 'getUserMedia'], [Notification, 'requestPermission'],
        [StorageManager.prototype, 'persist'],
    ]) {
        owner[name] = () => { asked.push(name); return Promise.reject(new DOMException(name, 'NotAllowedError')); };
    }";
