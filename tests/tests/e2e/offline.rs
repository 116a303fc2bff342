//! After the first visit no network is needed.

use tests::harness::{Ability, PHONE, Result, Site, Way, ensure};

use crate::job::{self, FIRST};

#[tokio::test]
async fn after_one_visit_the_whole_page_works_without_a_network() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.until_kept_offline().await?;
    page.press_step("Time", Way::More).await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    site.server().set_online(false);
    // The look for a new version fails in the background, as it must.
    page.expect_error("net::ERR_");
    page.expect_error("Failed to update a ServiceWorker");
    page.reload().await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    // A second tab, another query: still the same page.
    page.visit("?from=home-screen").await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    page.press_step("Time", Way::Less).await?;
    page.shows(FIRST).await?;
    job::bracketed(&page).await?;
    page.brackets(&[&["EI 160"], &["EI 80"], &["EI 40"]])
        .await?;
    page.finish().await
}

#[tokio::test]
async fn a_later_visit_asks_the_network_for_nothing_it_needs() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.until_kept_offline().await?;
    site.server().clear_requests();
    page.reload().await?;
    page.shows(FIRST).await?;
    // The browser itself looks whether there is a new worker; nothing else may go out.
    let asked = site.server().requests();
    ensure!(
        asked.iter().all(|path| path.ends_with("sw.js")),
        "it asked for {asked:?}"
    );
    page.finish().await
}

#[tokio::test]
async fn it_can_be_installed() -> Result<()> {
    let site = Site::start().await?;
    if !site.can(Ability::Install) {
        return Ok(());
    }
    let page = site.open(PHONE).await?;
    page.until_kept_offline().await?;
    let manifest = page
        .devtools("Page.getAppManifest", tests::harness::json!({}))
        .await?;
    ensure!(
        manifest["errors"] == tests::harness::json!([]),
        "the manifest: {}",
        manifest["errors"]
    );
    let errors = page
        .devtools("Page.getInstallabilityErrors", tests::harness::json!({}))
        .await?;
    ensure!(
        errors["installabilityErrors"] == tests::harness::json!([]),
        "not installable: {errors}"
    );
    page.finish().await
}
