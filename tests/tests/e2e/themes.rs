//! Three themes and the device's own wish.

use tests::harness::{DESK, PHONE, Page, Result, SMALL_PHONE, Site, Way, ensure, json};

use crate::{job, light_table};

/// One ramp of sizes, one row, one card: what the pages are made of is sound by itself, in every theme and at every width.
#[tokio::test]
async fn the_parts_of_the_page_are_sound_by_themselves() -> Result<()> {
    let site = Site::of_parts().await?;
    for screen in [SMALL_PHONE, DESK] {
        let page = site.open_unready(screen).await?;
        for theme in ["sun", "dusk", "darkroom"] {
            page.eval(&format!(
                "document.documentElement.dataset.theme = '{theme}'"
            ))
            .await?;
            page.until_still().await?;
            let mut problems = page.layout_problems(24).await?;
            problems.extend(page.accessibility_problems().await?);
            if theme == "darkroom" {
                problems.extend(page.hues_beside_red().await?);
            }
            ensure!(
                problems.is_empty(),
                "{} px, {theme}: {problems:#?}",
                screen.width
            );
        }
        // Whatever stands there has a size of the ramp, and those of the ramp rise.
        let sizes = page
            .eval(
                "(() => {
                    const style = getComputedStyle(document.documentElement);
                    const probe = document.createElement('i');
                    document.body.append(probe);
                    const of = name => {
                        probe.style.fontSize = `var(${name})`;
                        return parseFloat(getComputedStyle(probe).fontSize);
                    };
                    const ramp = [1, 2, 3, 4, 5, 6, 7, 8].map(n => of(`--type-${n}`));
                    const all = [...ramp, of('--type-9'), ...[1, 2, 3, 4, 5, 6, 7, 8].map(n => of(`--face-${n}`))];
                    probe.remove();
                    const rises = ramp.every((size, i) => !i || size > ramp[i - 1]);
                    const own = e => [...e.childNodes].some(node => node.nodeType === Node.TEXT_NODE && node.data.trim());
                    const others = [...document.querySelectorAll('main *')].filter(own)
                        .filter(e => !all.some(size => Math.abs(size - parseFloat(getComputedStyle(e).fontSize)) < 0.1) && e.tagName !== 'H1');
                    return [rises, others.map(e => e.className || e.outerHTML)];
                })()",
            )
            .await?;
        ensure!(sizes == json!([true, []]), "{} px: {sizes}", screen.width);
        page.finish().await?;
    }
    Ok(())
}

#[tokio::test]
async fn nothing_but_red_on_black_in_the_darkroom() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    job::choose_theme(&page, "Darkroom").await?;
    job::bracketed(&page).await?;
    page.press_step("Time", Way::More).await?;
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

/// Scans are in all colours, and are shown in none but red.
#[tokio::test]
async fn scans_are_red_on_black_in_the_darkroom() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    job::choose_theme(&page, "Darkroom").await?;
    light_table::example(&page).await?;
    light_table::choose(&page, &light_table::ROLL).await?;
    page.reads("Small copies of this roll: 15").await?;
    page.press_on("button", "Keep these names with the frames")
        .await?;
    for part in [".contact-sheet", ".review-compare", ".line-up"] {
        page.eval(&format!(
            "document.querySelector('{part}').scrollIntoView()"
        ))
        .await?;
        dark(&page, part).await?;
    }
    page.press_on("button", "Frame 1: show it large").await?;
    for lay in ["Side by side", "In one place", "At 100 %", "In pairs"] {
        page.press_on("button", lay).await?;
        dark(&page, lay).await?;
    }
    page.press_on("button", "Close the picture").await?;
    page.press_on("button", "Rate the rest of this group")
        .await?;
    let scenes = page.find("list", "Scenes").await?;
    scenes.find_all("button").await?[0].tap().await?;
    page.wait_until("the picture of the mark is there", async || {
        let seen = page
            .eval("document.querySelector('.tapped-picture')?.complete ?? false")
            .await?;
        Ok(seen == json!(true))
    })
    .await?;
    page.eval("document.querySelector('.tapped').scrollIntoView()")
        .await?;
    dark(&page, "a tapped mark").await?;
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

#[tokio::test]
async fn borders_of_fields_and_buttons_can_be_seen_in_every_theme() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    for theme in ["sun", "dusk", "darkroom"] {
        page.eval(&format!(
            "document.documentElement.dataset.theme = '{theme}'"
        ))
        .await?;
        // WCAG 2.2, 1.4.11: three to one against what is beside it; luminance as defined there.
        let contrast = page
            .eval(
                "(() => {
                    const style = getComputedStyle(document.documentElement);
                    const light = name => {
                        const probe = document.body.appendChild(document.createElement('i'));
                        probe.style.color = style.getPropertyValue(name);
                        const parts = getComputedStyle(probe).color.match(/[\\d.]+/g).slice(0, 3);
                        probe.remove();
                        const [r, g, b] = parts.map(part => {
                            const share = part / 255;
                            return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
                        });
                        return 0.2126 * r + 0.7152 * g + 0.0722 * b;
                    };
                    return Math.min(...['--paper', '--plate'].map(ground => {
                        const pair = [light('--rule'), light(ground)].sort((a, b) => a - b);
                        return (pair[1] + 0.05) / (pair[0] + 0.05);
                    }));
                })()",
            )
            .await?
            .as_f64()
            .unwrap_or(0.0);
        ensure!(contrast >= 3.0, "{theme}: borders stand {contrast:.2}:1");
    }
    page.finish().await
}
