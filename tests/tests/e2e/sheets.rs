//! The sheets of the film book and of the light: where a page opens, where it comes back, and what of it is printed.

use tests::harness::{DESK, Key, PHONE, Page, Paper, Result, Screen, Site, ensure, json};

use crate::{film_book, job};

/// How far the page of the open sheet is scrolled, in CSS pixels.
async fn scrolled(page: &Page<'_>) -> Result<f64> {
    let top = page
        .eval("[...document.querySelectorAll('dialog[open] .sheet-body')].at(-1).scrollTop")
        .await?;
    Ok(top.as_f64().unwrap_or(-1.0))
}

async fn has_the_keyboard(page: &Page<'_>, role: &str, name: &str) -> Result<()> {
    page.wait_equal(
        "what has the keyboard",
        Some((role.to_owned(), name.to_owned())),
        || page.focused(),
    )
    .await
}

async fn with_the_example(page: &Page<'_>) -> Result<()> {
    film_book::open_book(page).await?;
    page.press_on("button", "Add the invented example").await?;
    page.reads("The invented example is in the book").await
}

const BATCH: &str = "Example: Harbour 200 (invented)";

/// Taps the batch of the example in the bag, and returns its words and how far the cover was scrolled.
async fn open_the_batch(page: &Page<'_>) -> Result<(String, f64)> {
    let bag = page.find("list", "Bag").await?;
    let batch = bag.find_all("button").await?.swap_remove(0);
    let name = batch.name().to_owned();
    batch.tap().await?;
    let before = scrolled(page).await?;
    page.find("heading", BATCH).await?;
    Ok((name, before))
}

/// Lines of more letters than an eye finds back from, and buttons that stand there without being of use.
const TOO_LONG: &str = "(() => {
    const pen = document.createElement('canvas').getContext('2d');
    const sheet = document.querySelector('.film-book');
    const seen = e => e.checkVisibility() && !e.closest('.sr') && [...e.childNodes].some(node => node.nodeType === Node.TEXT_NODE && node.data.trim());
    const lines = [...sheet.querySelectorAll('p, li, span')].filter(seen).filter(e => {
        const style = getComputedStyle(e);
        pen.font = `${style.fontWeight} ${style.fontSize} ${style.fontFamily}`;
        const letter = pen.measureText(e.innerText).width / e.innerText.length;
        const range = document.createRange();
        range.selectNodeContents(e);
        return Math.max(...[...range.getClientRects()].map(box => box.width)) / letter > 80;
    });
    const idle = [...sheet.querySelectorAll('button:disabled')].filter(e => e.checkVisibility() && !e.closest('.form, .sheet-head'));
    return [...lines, ...idle].map(e => e.innerText);
})()";

/// The box of the first thing that a selector finds in the film book: its left and right side.
async fn sides(page: &Page<'_>, selector: &str) -> Result<(f64, f64)> {
    let found = page
        .eval(&format!(
            "(() => {{ const b = document.querySelector('.film-book {selector}').getBoundingClientRect(); return [b.left, b.right] }})()"
        ))
        .await?;
    let side = |i: usize| found[i].as_f64().unwrap_or(f64::NAN);
    Ok((side(0), side(1)))
}

#[tokio::test]
async fn the_film_book_takes_the_width_of_a_desk() -> Result<()> {
    let site = Site::start().await?;
    let wide = Screen {
        width: 1920,
        height: 1080,
        touch: false,
    };
    for screen in [DESK, wide] {
        let page = site.open(screen).await?;
        with_the_example(&page).await?;
        let sound = async |what: &str| -> Result<()> {
            page.until_still().await?;
            let mut problems = page.layout_problems(24).await?;
            problems.extend(page.accessibility_problems().await?);
            let idle = page.eval(TOO_LONG).await?;
            ensure!(
                problems.is_empty() && idle == json!([]),
                "{what} at {} px: {problems:#?} {idle}",
                screen.width
            );
            Ok(())
        };
        sound("the cover").await?;
        let (left, right) = sides(&page, ".columns").await?;
        ensure!(
            right - left > f64::from(screen.width) * 0.8,
            "the cover takes {left} to {right} of {}",
            screen.width
        );
        let (_, loaded) = sides(&page, ".card").await?;
        let (bag, _) = sides(&page, "[aria-label=Bag]").await?;
        ensure!(bag > loaded, "the bag is not beside what is loaded");
        for name in ["Add film", "Kit"] {
            page.press_on("button", name).await?;
            page.find("button", "Back").await?;
            sound(name).await?;
            page.press_on("button", "Back").await?;
        }
        open_the_batch(&page).await?;
        sound("the batch").await?;
        let rolls = page.find("list", "Rolls").await?;
        rolls.find_all("button").await?[0].tap().await?;
        page.find("button", "Review the scans").await?;
        sound("the log").await?;
        let (_, facts) = sides(&page, ".column").await?;
        let (log, _) = sides(&page, "[aria-label=Frames]").await?;
        ensure!(
            log > facts,
            "the log is not beside what is known of the roll"
        );
        page.press_on("button", "Review the scans").await?;
        page.find("combobox", "How were the scans made?").await?;
        sound("the review").await?;
        let places =
            "[...document.querySelectorAll('.place')].map(e => e.getBoundingClientRect().top)";
        let tops = page.eval(places).await?;
        ensure!(
            tops[0] == tops[1] && tops[0] == tops[2],
            "frames are not beside one another: {tops}"
        );
        page.finish().await?;
    }
    Ok(())
}

#[tokio::test]
async fn a_page_of_the_film_book_opens_at_its_top_and_comes_back_as_it_was_left() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    with_the_example(&page).await?;
    // The cover is scrolled down to its end.
    let last = page.find("button", "Remove the example").await?;
    last.focus().await?;
    let deep = scrolled(&page).await?;
    ensure!(deep > 100.0, "the cover is scrolled by {deep} only");
    page.press_on("button", "Kit").await?;
    has_the_keyboard(&page, "heading", "Kit").await?;
    ensure!(
        scrolled(&page).await? == 0.0,
        "the kit is opened in its middle"
    );
    page.press_on("button", "Back").await?;
    has_the_keyboard(&page, "button", "Kit").await?;

    let bag = page.find("list", "Bag").await?;
    let batch = bag.find_all("button").await?.swap_remove(0);
    let name = batch.name().to_owned();
    batch.focus().await?;
    let left = scrolled(&page).await?;
    page.key(Key::Enter).await?;
    has_the_keyboard(&page, "heading", BATCH).await?;
    ensure!(
        scrolled(&page).await? == 0.0,
        "the batch is opened in its middle"
    );
    page.press_on("button", "Back").await?;
    has_the_keyboard(&page, "button", &name).await?;
    let back = scrolled(&page).await?;
    ensure!((back - left).abs() <= 1.0, "left at {left}, back at {back}");
    // The same over closing and opening.
    page.press_on("button", "Kit").await?;
    has_the_keyboard(&page, "heading", "Kit").await?;
    page.press_on("button", "Back").await?;
    has_the_keyboard(&page, "button", "Kit").await?;
    let left = scrolled(&page).await?;
    page.key(Key::Escape).await?;
    page.find("slider", "Time").await?;
    page.press_on("button", "Film book").await?;
    has_the_keyboard(&page, "button", "Kit").await?;
    let back = scrolled(&page).await?;
    ensure!(
        (back - left).abs() <= 1.0,
        "closed at {left}, opened at {back}"
    );
    page.finish().await
}

#[tokio::test]
async fn a_page_of_the_light_opens_at_its_top_and_comes_back_as_it_was_left() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.press_on("button", "Find the light").await?;
    has_the_keyboard(&page, "heading", "Find the light").await?;
    let sheet = page.find("group", "Find the light").await?;
    let ways = sheet.find_all("button").await?;
    let way = ways.last().map(|way| way.name().to_owned());
    let Some(way) = way else {
        tests::harness::bail!("the list of ways is empty");
    };
    page.find("button", &way).await?.focus().await?;
    let left = scrolled(&page).await?;
    page.key(Key::Enter).await?;
    page.wait_until("another page is open", async || {
        let focused = page.focused().await?;
        Ok(focused.is_some_and(|(role, name)| role == "heading" && name != "Find the light"))
    })
    .await?;
    ensure!(scrolled(&page).await? == 0.0, "{way} opens in its middle");
    page.press_on("button", "Back").await?;
    has_the_keyboard(&page, "button", &way).await?;
    let back = scrolled(&page).await?;
    ensure!((back - left).abs() <= 1.0, "left at {left}, back at {back}");
    page.finish().await
}

#[tokio::test]
async fn a_frame_unfolds_under_its_row_and_gives_the_keyboard_back_to_it() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    with_the_example(&page).await?;
    page.press_on("button", "Open the log").await?;
    let log = page.find("list", "Frames").await?;
    let row = log.find_all("button").await?.swap_remove(1);
    let name = row.name().to_owned();
    row.tap().await?;
    let editor = page.find("region", "The open frame").await?;
    // The next stop of the keyboard is in the frame that was opened.
    page.key(Key::Tab).await?;
    has_the_keyboard(&page, "textbox", "Time as shot").await?;
    let below = editor
        .call("function () { return this.parentElement.querySelector('button').getBoundingClientRect().bottom <= this.getBoundingClientRect().top }")
        .await?;
    ensure!(below == json!(true), "the editor is not under its row");
    // What is typed stays where another change is made meanwhile.
    page.find("textbox", "Note")
        .await?
        .write("half a sent")
        .await?;
    let next = page.find("region", "Next frame").await?;
    next.find("button", "Shot").await?.tap().await?;
    page.reads("shot").await?;
    let note = page.find("textbox", "Note").await?.value().await?;
    ensure!(note == "half a sent", "the note is {note:?}");
    page.press_on("button", "Keep the frame so").await?;
    page.wait_until("the row has the keyboard", async || {
        let focused = page.focused().await?;
        Ok(focused.is_some_and(|(role, now)| role == "button" && now.starts_with(&name[..1])))
    })
    .await?;
    page.finish().await
}

#[tokio::test]
async fn a_series_that_was_not_logged_is_no_page_to_come_back_to() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    job::bracketed(&page).await?;
    film_book::open_book(&page).await?;
    film_book::load_film(&page).await?;
    film_book::close_book(&page).await?;
    page.press_on("button", "Log this series").await?;
    page.find("textbox", "Name of the scene")
        .await?
        .write("Hedge in the rain")
        .await?;
    film_book::close_book(&page).await?;
    page.press_on("button", "Film book").await?;
    page.find("list", "Frames").await?;
    ensure!(
        !page.has("button", "Log it").await?,
        "a series of before is still offered"
    );
    film_book::close_book(&page).await?;
    // What was typed for it is there at the next one, and gone once it is logged.
    page.press_on("button", "Log this series").await?;
    let name = page.find("textbox", "Name of the scene").await?;
    let typed = name.value().await?;
    ensure!(typed == "Hedge in the rain", "the name is {typed:?}");
    page.press_on("button", "Log it").await?;
    page.reads("Hedge in the rain").await?;
    film_book::close_book(&page).await?;
    page.press_on("button", "Log this series").await?;
    let name = page.find("textbox", "Name of the scene").await?;
    let typed = name.value().await?;
    ensure!(typed.is_empty(), "the next scene is called {typed:?}");
    page.finish().await
}

#[tokio::test]
async fn a_half_typed_film_is_there_after_back_and_after_a_reload() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    film_book::open_book(&page).await?;
    page.press_on("button", "Add film").await?;
    page.find("textbox", "Name")
        .await?
        .write("Heath 100 (invented)")
        .await?;
    page.choose("Type", "black-and-white negative").await?;
    page.press_on("button", "Back").await?;
    page.find("heading", "Film book").await?;
    page.press_on("button", "Add film").await?;
    let name = page.find("textbox", "Name").await?.value().await?;
    ensure!(name == "Heath 100 (invented)", "after Back it is {name:?}");
    page.reload().await?;
    film_book::open_book(&page).await?;
    page.press_on("button", "Add film").await?;
    let name = page.find("textbox", "Name").await?.value().await?;
    ensure!(
        name == "Heath 100 (invented)",
        "after a reload it is {name:?}"
    );
    page.press_on("button", "Put it into the bag").await?;
    page.find("heading", "Heath 100 (invented)").await?;
    page.reads("Heath 100").await?;
    // In the bag it is half typed no more.
    page.press_on("button", "Back").await?;
    page.press_on("button", "Add film").await?;
    let name = page.find("textbox", "Name").await?.value().await?;
    ensure!(name.is_empty(), "the next film is called {name:?}");
    page.finish().await
}

#[tokio::test]
async fn a_roll_is_printed_to_its_last_frame_on_either_paper() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    with_the_example(&page).await?;
    open_the_batch(&page).await?;
    page.press_on("button", "Example roll 1 (invented): back from the lab")
        .await?;
    let log = page.find("list", "Frames").await?;
    let frames = log.find_all("button").await?.len();
    ensure!(frames == 15, "the example has {frames} frames");
    for paper in [Paper::A4, Paper::Letter] {
        let sheets = page.printed_on(paper).await?;
        ensure!(sheets.len() > 1, "it is {} sheet of paper", sheets.len());
        let text = sheets.join("\n");
        let numbers: Vec<usize> = text
            .lines()
            .filter_map(|line| line.trim().parse().ok())
            .collect();
        let wanted: Vec<usize> = (1..=frames).collect();
        ensure!(numbers == wanted, "on {paper:?}: {numbers:?} of {wanted:?}");
        let sets = text.matches("stop").count();
        ensure!(sets >= frames, "{sets} offsets are printed");
        for control in ["Print the roll sheet", "Undo", "Back", "Close"] {
            ensure!(!text.contains(control), "{control} is printed");
        }
    }
    // What was put into the page for the paper is gone with it.
    ensure!(
        page.eval("document.querySelectorAll('.print-copy').length")
            .await?
            == json!(0),
        "a copy is left"
    );
    page.find("list", "Frames").await?;
    // Closed, the book is not printed: the dial is.
    film_book::close_book(&page).await?;
    let text = page.printed_on(Paper::A4).await?.join("\n");
    ensure!(!text.contains("Example roll 1"), "a closed book is printed");
    page.finish().await
}
