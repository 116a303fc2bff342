//! From one build to the next: all or nothing.

use tests::harness::{DESK, Page, Release, Result, Site, Way, ensure};

/// Which build the document, the style and the script come from.
async fn builds(page: &Page<'_>) -> Result<[String; 3]> {
    let found = page
        .eval(
            "[document.documentElement.dataset.release ?? '',
              getComputedStyle(document.documentElement).getPropertyValue('--release').trim(),
              String(globalThis.release ?? '')]",
        )
        .await?;
    Ok([0, 1, 2].map(|i| found[i].as_str().unwrap_or_default().to_owned()))
}

async fn stores(page: &Page<'_>) -> Result<Vec<String>> {
    Ok(serde_json::from_value(page.eval("caches.keys()").await?)?)
}

async fn look_for_new_version(page: &Page<'_>) -> Result<()> {
    page.eval(
        "navigator.serviceWorker.getRegistration().then(r => r.update()).then(() => 0, () => 0)",
    )
    .await
    .map(drop)
}

const NEW: &str = "New version";

#[tokio::test]
async fn a_new_version_waits_until_it_is_wanted_and_comes_whole() -> Result<()> {
    let site = Site::start().await?;
    let old = Release::of(&site.tools.dist, "old")?;
    let new = Release::of(&site.tools.dist, "new")?;
    site.publish(old.path());
    let page = site.open(DESK).await?;
    page.until_kept_offline().await?;
    page.press_step("Time", Way::More).await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    site.publish(new.path());
    look_for_new_version(&page).await?;
    page.find("button", "Reload").await?;
    page.reads(NEW).await?;
    ensure!(
        builds(&page).await? == ["old", "old", "old"],
        "the open page changed: {:?}",
        builds(&page).await?
    );
    // A reload by hand is no wish for the new version: still all old, and the line is there again.
    page.reload().await?;
    ensure!(
        builds(&page).await? == ["old", "old", "old"],
        "a mixture after a reload: {:?}",
        builds(&page).await?
    );
    page.press_on("button", "Reload").await?;
    page.wait_equal(
        "all parts are of the new build",
        ["new", "new", "new"],
        async || {
            page.until_ready().await?;
            builds(&page).await
        },
    )
    .await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    page.wait_until("the old files are gone", async || {
        Ok(stores(&page).await?.len() == 1)
    })
    .await?;
    page.finish().await
}

#[tokio::test]
async fn a_broken_upload_never_becomes_a_version() -> Result<()> {
    let site = Site::start().await?;
    let old = Release::of(&site.tools.dist, "old")?;
    site.publish(old.path());
    let page = site.open(DESK).await?;
    page.until_kept_offline().await?;
    let before = stores(&page).await?;
    let broken = Release::of(&site.tools.dist, "broken")?;
    broken.corrupt()?;
    site.publish(broken.path());
    page.expect_error("integrity");
    page.expect_error("Failed to fetch");
    page.expect_error("ServiceWorker");
    look_for_new_version(&page).await?;
    page.wait_until("the broken version is given up", async || {
        let gone =
            "navigator.serviceWorker.getRegistration().then(r => !r.installing && !r.waiting)";
        Ok(page.eval(gone).await? == true && stores(&page).await? == before)
    })
    .await?;
    ensure!(
        !page.has("button", "Reload").await?,
        "the broken version is offered"
    );
    page.reload().await?;
    ensure!(
        builds(&page).await? == ["old", "old", "old"],
        "a mixture: {:?}",
        builds(&page).await?
    );
    // The repaired upload is taken.
    let new = Release::of(&site.tools.dist, "new")?;
    site.publish(new.path());
    look_for_new_version(&page).await?;
    page.press_on("button", "Reload").await?;
    page.wait_equal(
        "all parts are of the new build",
        ["new", "new", "new"],
        async || {
            page.until_ready().await?;
            builds(&page).await
        },
    )
    .await?;
    page.finish().await
}
