//! Nothing leaves the device, and the page can live anywhere.

use tests::harness::{DESK, PHONE, Result, Site, ensure, json};

use crate::job;

#[tokio::test]
async fn the_whole_main_job_asks_only_its_own_site() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.until_kept_offline().await?;
    site.server().clear_requests();
    job::bracketed(&page).await?;
    page.dial("Time").await?.turn(1.0).await?;
    page.press_on("button", "Shoot").await?;
    page.press_on("button", "Next").await?;
    page.press_on("button", "Leave").await?;
    let asked = site.server().requests();
    ensure!(
        asked.is_empty(),
        "working with the page asked for {asked:?}"
    );
    page.finish().await
}

#[tokio::test]
async fn the_content_policy_stops_what_the_page_does_not_do() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    // A page that obeys is no proof; the policy itself has to bite.
    page.expect_error("Content Security Policy");
    page.expect_error("This document requires 'Trusted");
    page.expect_error("'another'");
    let tried = page
        .eval("fetch('https://example.invalid/').then(() => 'sent', problem => problem.name)")
        .await?;
    ensure!(tried == "TypeError", "the request was {tried}");
    let breached = page.eval("watched.violations.splice(0)").await?;
    ensure!(
        breached.to_string().contains("connect-src"),
        "the policy did not stop it: {breached}"
    );
    // Trusted types stop what makes a script before the script could run.
    let refused = page
        .eval(
            "(async () => {
                const script = document.createElement('script');
                const sinks = [
                    () => { script.textContent = 'globalThis.ran = true'; document.body.append(script); },
                    () => { script.src = 'boot.js?again'; },
                    () => document.body.insertAdjacentHTML('beforeend', '<iframe srcdoc=x></iframe>'),
                    () => setTimeout('globalThis.ran = true'),
                    () => navigator.serviceWorker.register('boot.js'),
                    () => trustedTypes.createPolicy('another', {}),
                ];
                const refused = [];
                for (const sink of sinks) {
                    try { await sink(); refused.push('done'); } catch (problem) { refused.push(problem.name); }
                }
                return refused;
            })()",
        )
        .await?;
    ensure!(
        refused == json!(vec!["TypeError"; 6]),
        "what makes scripts: {refused}"
    );
    let breached = page.eval("watched.violations.splice(0)").await?;
    ensure!(
        breached.to_string().contains("require-trusted-types-for"),
        "the policy did not stop it: {breached}"
    );
    ensure!(
        page.eval("globalThis.ran === true").await? == false,
        "a script in the page ran"
    );
    page.finish().await
}

#[tokio::test]
async fn it_asks_for_no_permission() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.devtools(
        "Page.addScriptToEvaluateOnNewDocument",
        json!({ "source": job::WATCH_PERMISSIONS }),
    )
    .await?;
    page.reload().await?;
    page.eval("Notification.requestPermission().catch(() => 0)")
        .await?;
    let seen = page.eval("asked.splice(0)").await?;
    ensure!(
        seen == json!(["requestPermission"]),
        "the watch is blind: {seen}"
    );
    job::bracketed(&page).await?;
    page.dial("Time").await?.turn(1.0).await?;
    page.press_on("button", "Shoot").await?;
    page.press_on("button", "Leave").await?;
    let asked = page.eval("asked").await?;
    ensure!(asked == json!([]), "it asked for {asked}");
    ensure!(
        page.eval("document.cookie").await? == "",
        "it sets a cookie"
    );
    page.finish().await
}

#[tokio::test]
async fn it_works_below_any_path() -> Result<()> {
    let site = Site::start_at("/tools/for/light/").await?;
    let page = site.open(PHONE).await?;
    page.until_kept_offline().await?;
    job::bracketed(&page).await?;
    page.brackets(&[&["EI 160"], &["EI 80"], &["EI 40"]])
        .await?;
    let elsewhere: Vec<String> = site
        .server()
        .requests()
        .into_iter()
        .filter(|path| !path.starts_with("/tools/for/light/"))
        .collect();
    ensure!(
        elsewhere.is_empty(),
        "it asked outside its path: {elsewhere:?}"
    );
    site.server().set_online(false);
    page.expect_error("net::ERR_");
    page.expect_error("Failed to update a ServiceWorker");
    page.reload().await?;
    page.brackets(&[&["EI 160"], &["EI 80"], &["EI 40"]])
        .await?;
    page.finish().await
}
