//! More light is on the right and up, whatever a dial is turned by.

use tests::harness::{Context, DESK, Key, Letters, PHONE, Page, Result, Screen, Site, Way, ensure};

/// What a dial is turned by, and the way that it brings more light (or a higher sensitivity) under the index.
const WAYS: [(&str, bool); 8] = [
    ("the arrow to the right", true),
    ("the arrow up", true),
    ("the arrow to the left", false),
    ("the arrow down", false),
    ("the button on the right", true),
    ("the button on the left", false),
    ("a tap on the mark at the right", true),
    ("a tap on the mark at the left", false),
];
const BY_MOUSE: [(&str, bool); 2] = [("the wheel away", true), ("the wheel near", false)];
const BY_HAND: [(&str, bool); 2] = [("a drag to the left", true), ("a drag to the right", false)];

/// The mark at the index.
async fn at(page: &Page<'_>, dial: &str) -> Result<f64> {
    let value = page.dial(dial).await?.value().await?;
    Ok(value.parse()?)
}

async fn turn(page: &Page<'_>, dial: &str, by: &str) -> Result<()> {
    let range = page.dial(dial).await?;
    let key = match by {
        "the arrow to the right" => Some(Key::Right),
        "the arrow up" => Some(Key::Up),
        "the arrow to the left" => Some(Key::Left),
        "the arrow down" => Some(Key::Down),
        _ => None,
    };
    if let Some(key) = key {
        range.focus().await?;
        return page.key(key).await;
    }
    if by.starts_with("the button") {
        let buttons = [
            page.step(dial, Way::Less).await?,
            page.step(dial, Way::More).await?,
        ];
        // Which one is on the right is looked at, not taken for granted.
        let mut lefts = Vec::new();
        for button in &buttons {
            let left = button.call("function () { return this.getBoundingClientRect().left }");
            lefts.push(left.await?.as_f64());
        }
        let is_first = (lefts[0] > lefts[1]) == by.ends_with("right");
        return buttons[usize::from(!is_first)].tap().await;
    }
    let arc = range.arc().await?;
    let right = by.ends_with("right");
    match by {
        "the wheel away" | "the wheel near" => {
            range.focus().await?;
            let pixels = if by.ends_with("away") { -100 } else { 100 };
            page.wheel(arc.start, pixels).await
        }
        "a drag to the left" | "a drag to the right" => {
            let degrees = if right { -1.0 } else { 1.0 } * arc.degrees_per_stop;
            page.press(arc.start).await?;
            page.slide_along(&arc, 0.0, degrees).await?;
            page.lift().await
        }
        // The next mark of the face.
        _ => {
            let stops = if dial == "Sensitivity" {
                1.0 / 3.0
            } else {
                1.0
            };
            let degrees = if right { -1.0 } else { 1.0 } * arc.degrees_per_stop * stops;
            page.tap(arc.after(degrees)).await
        }
    }
}

async fn all(screen: Screen, ways: &[(&str, bool)]) -> Result<()> {
    let site = Site::start().await?;
    for letters in Letters::ALL {
        let page = site.open(screen).await?;
        page.set_in(letters).await?;
        turned(&page, ways)
            .await
            .with_context(|| format!("in {letters:?} letters"))?;
        page.finish().await?;
    }
    Ok(())
}

async fn turned(page: &Page<'_>, ways: &[(&str, bool)]) -> Result<()> {
    for dial in ["Time", "Aperture", "Sensitivity"] {
        for (by, brighter) in ways {
            let before = at(page, dial).await?;
            turn(page, dial, by).await?;
            page.wait_until(&format!("{dial} has turned by {by}"), async || {
                Ok((at(page, dial).await? - before).abs() > 0.5)
            })
            .await?;
            let after = at(page, dial).await?;
            ensure!(
                (after > before) == *brighter,
                "{dial} by {by}: from mark {before} to {after}, wanted brighter: {brighter}"
            );
        }
    }
    Ok(())
}

#[tokio::test]
async fn more_light_is_on_the_right_at_a_desk() -> Result<()> {
    all(DESK, &[&WAYS[..], &BY_MOUSE, &BY_HAND].concat()).await
}

#[tokio::test]
async fn more_light_is_on_the_right_on_a_phone() -> Result<()> {
    all(PHONE, &[&WAYS[..], &BY_HAND].concat()).await
}
