//! Scans of a roll: measured beside the page, kept small, laid on a table and judged there.

use tests::harness::{
    DESK, Key, Letters, PHONE, Page, Paper, Result, SMALL_PHONE, Site, ensure, json,
};

use crate::{
    film_book::{open_batch, open_book},
    job,
};

/// What the example's roll holds, frame by frame: scene, and stops from its base; a slate is a scene of its own.
pub(crate) const ROLL: [(u32, i32); 15] = [
    (1, -1),
    (1, 0),
    (1, 1),
    (1, 2),
    (9, 0),
    (2, -1),
    (2, 0),
    (2, 2),
    (2, 3),
    (8, 0),
    (3, -1),
    (3, 0),
    (3, 1),
    (3, 2),
    (7, 0),
];

/// Draws scans: scenes, each with so many stops more or less light, as if every one were plain sRGB.
pub(crate) const DRAW: &str = "(async (frames, name) => {
    const files = [];
    const code = light => 255 * (light <= 0.0031308 ? 12.92 * light : 1.055 * Math.min(1, light) ** (1 / 2.4) - 0.055);
    for (const [nth, [scene, stops]] of frames.entries()) {
        const canvas = new OffscreenCanvas(300, 200), context = canvas.getContext('2d');
        let seed = scene * 7919 + 13;
        const draw = () => (seed = seed * 16807 % 2147483647) / 2147483647;
        for (let piece = 0; piece < 60; piece++) {
            const grey = code((0.02 + 0.16 * draw()) * 2 ** stops);
            context.fillStyle = `rgb(${grey} ${grey} ${grey})`;
            if (piece) context.fillRect(300 * draw() - 20, 200 * draw() - 20, 20 + 60 * draw(), 15 + 45 * draw());
            else context.fillRect(0, 0, 300, 200);
        }
        const blob = await canvas.convertToBlob({ type: 'image/jpeg', quality: 0.95 });
        files.push(new File([blob], name ?? `scan ${nth + 1}.jpg`, { type: 'image/jpeg' }));
    }
    return files;
})";

/// Chooses scans that are drawn.
pub(crate) async fn choose(page: &Page<'_>, frames: &[(u32, i32)]) -> Result<()> {
    chosen(page, frames, "null").await
}

/// Chooses one scan under this name.
async fn choose_named(page: &Page<'_>, frames: &[(u32, i32)], name: &str) -> Result<()> {
    chosen(page, frames, &json!(name).to_string()).await
}

async fn chosen(page: &Page<'_>, frames: &[(u32, i32)], name: &str) -> Result<()> {
    let frames = json!(frames);
    let choose = format!(
        "(async () => {{
            const bag = new DataTransfer();
            for (const file of await {DRAW}({frames}, {name})) bag.items.add(file);
            const field = document.querySelector('#review-scans');
            field.files = bag.files;
            field.dispatchEvent(new Event('change', {{ bubbles: true }}));
        }})()"
    );
    page.eval(&choose).await.map(drop)
}

/// Opens the review of the invented roll that is back from the lab.
pub(crate) async fn review(page: &Page<'_>) -> Result<()> {
    open_batch(page).await?;
    page.press_on("button", "Example roll 1 (invented): back from the lab")
        .await?;
    page.press_on("button", "Review the scans").await?;
    page.find("combobox", "How were the scans made?")
        .await
        .map(drop)
}

/// Waits until the scans that were chosen are measured, and copied where they can be.
async fn until_measured(page: &Page<'_>) -> Result<()> {
    page.wait_until("the scans are measured", async || {
        Ok(!page.text().await?.contains("Measuring:"))
    })
    .await
}

/// Loads the page anew and opens the review again.
async fn at_the_next_visit(page: &Page<'_>) -> Result<()> {
    page.reload().await?;
    open_book(page).await?;
    review(page).await
}

pub(crate) async fn example(page: &Page<'_>) -> Result<()> {
    open_book(page).await?;
    page.press_on("button", "Add the invented example").await?;
    review(page).await
}

/// Whether every frame of the contact sheet has a picture that can be shown.
pub(crate) async fn all_are_shown(page: &Page<'_>) -> Result<()> {
    let shown = page
        .eval(
            "Promise.all([...document.querySelectorAll('.contacts img')].map(async image => {
                image.loading = 'eager';
                await image.decode();
                return image.naturalWidth > 0;
            })).then(all => all.length + ' ' + all.every(one => one))",
        )
        .await?;
    ensure!(shown == json!("15 true"), "pictures: {shown}");
    Ok(())
}

/// The kept verdicts of the roll, in the order of its frames.
pub(crate) async fn verdicts(page: &Page<'_>) -> Result<Vec<String>> {
    let sheet = page.find("list", "Contact sheet").await?;
    let text = sheet
        .call("function () { return [...this.children].map(one => one.querySelector('.contact-verdict').textContent) }")
        .await?;
    let all = text.as_array().cloned().unwrap_or_default();
    Ok(all
        .iter()
        .map(|one| one.as_str().unwrap_or_default().to_owned())
        .collect())
}

#[tokio::test]
async fn a_roll_is_measured_judged_by_touch_and_here_again_without_a_network() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.until_kept_offline().await?;
    example(&page).await?;
    choose(&page, &ROLL).await?;
    page.reads("These scans look as if made with one fixed setting")
        .await?;
    page.reads("as if the scans were plain sRGB").await?;
    page.reads("Small copies of this roll: 15").await?;
    page.find("region", "Measured").await?;
    let histogram = page.find("figure", "Histogram").await?;
    ensure!(
        histogram.text().await?.contains("middle grey"),
        "the histogram says what it is about"
    );
    job::sound(&page, "a measured review").await?;
    // Measured against the log, frame by frame: each histogram lies about a stop further to the right.
    let lie = histogram
        .call(
            "function () { return [...this.querySelectorAll('.histogram')].map(row => {
                let sum = 0, all = 0;
                for (const column of row.querySelectorAll('.column')) {
                    const at = parseFloat(column.style.getPropertyValue('--at'));
                    const tall = parseFloat(column.style.getPropertyValue('--up'));
                    sum += at * tall; all += tall;
                }
                return sum / all;
            }) }",
        )
        .await?;
    let lie: Vec<f64> = lie
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(|at| at.as_f64())
        .collect();
    ensure!(lie.len() == 4, "four frames, not {}", lie.len());
    for pair in lie.windows(2) {
        // Eleven stops are the whole width.
        let stops = (pair[1] - pair[0]) * 11.0 / 100.0;
        ensure!(
            (0.7..1.3).contains(&stops),
            "{stops} stops between neighbours"
        );
    }
    page.press_on("button", "Frame 1: show it large").await?;
    page.find("dialog", "Light table").await?;
    page.press_on("button", "Liked").await?;
    page.press_on("button", "Next picture").await?;
    page.reads("Frame 2, 2 of 4").await?;
    page.press_on("button", "Rejected").await?;
    job::sound(&page, "the light table").await?;
    // What a finger swipes to is what is judged.
    page.eval(
        "document.querySelector('.light-beside').scrollTo({ left: 1e6, behavior: 'instant' })",
    )
    .await?;
    page.reads("Frame 4, 4 of 4").await?;
    page.press_on("button", "Rejected").await?;
    page.press_on("checkbox", "grain").await?;
    page.press_on("button", "Next scene").await?;
    page.reads("Frame 6, 1 of 4").await?;
    page.press_on("button", "Close the picture").await?;
    let found = verdicts(&page).await?;
    ensure!(
        found[..4] == ["liked", "rejected", "liked", "rejected"],
        "judged {found:?}"
    );
    // Closed, and opened again where there is no network.
    site.server().set_online(false);
    // The look for a new version fails in the background, as it must.
    page.expect_error("net::ERR_");
    page.expect_error("Failed to update a ServiceWorker");
    at_the_next_visit(&page).await?;
    page.reads("Small copies of this roll: 15").await?;
    page.reads("These scans look as if made with one fixed setting")
        .await?;
    all_are_shown(&page).await?;
    page.press_on("button", "Remove the small copies").await?;
    page.reads("The small copies of this roll are removed.")
        .await?;
    at_the_next_visit(&page).await?;
    ensure!(
        !page.text().await?.contains("Small copies of this roll"),
        "they are gone for good"
    );
    page.finish().await
}

#[tokio::test]
async fn scans_that_a_lab_corrected_say_nothing_about_exposure() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    example(&page).await?;
    page.choose(
        "How were the scans made?",
        "One fixed setting for all frames",
    )
    .await?;
    let even: Vec<(u32, i32)> = ROLL.iter().map(|(scene, _)| (*scene, 0)).collect();
    choose(&page, &even).await?;
    page.reads("These scans look corrected frame by frame")
        .await?;
    page.reads("Exposure cannot be read from them").await?;
    page.reads("You said that they were scanned with one fixed setting")
        .await?;
    ensure!(
        !page.text().await?.contains("did the light change"),
        "nothing is asked about exposure"
    );
    // What the pictures say is noted by one tap, and the rating does not rest on them any more.
    page.press_on("button", "Note that they were corrected frame by frame")
        .await?;
    page.reads("no rating can be concluded").await?;
    page.wait_until("it is noted", async || {
        Ok(!page.text().await?.contains("Note that they were"))
    })
    .await?;
    page.finish().await
}

/// The example's scans, of which frame 7 got as much light as frame 6, though the log says one stop more.
async fn doubtful(page: &Page<'_>) -> Result<()> {
    example(page).await?;
    let mut frames = ROLL;
    frames[6] = (2, -1);
    choose(page, &frames).await
}

#[tokio::test]
async fn two_frames_that_measure_alike_are_asked_about() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    doubtful(&page).await?;
    page.reads("Frames 6 and 7 differ by").await?;
    page.reads("did the light change, or a setting?").await?;
    job::sound(&page, "a review that asks").await?;
    page.press_on("button", "The light had changed at frame 7")
        .await?;
    page.reads("The light had changed for frame 7").await?;
    page.wait_until("it is not asked again", async || {
        Ok(!page.text().await?.contains("Frames 6 and 7 differ by"))
    })
    .await?;
    page.finish().await
}

/// A frame that was set otherwise is opened where that can be said.
#[tokio::test]
async fn a_frame_in_doubt_is_opened_to_be_changed() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    doubtful(&page).await?;
    page.press_on("button", "Frame 7 was set otherwise").await?;
    page.wait_until("frame 7 is open, with what was set", async || {
        let open = page
            .eval("document.querySelector('.open-frame')?.textContent ?? ''")
            .await?;
        let open = open.as_str().unwrap_or_default().to_owned();
        Ok(open.contains("Frame 7") && open.contains("Time"))
    })
    .await?;
    page.finish().await
}

/// The forgotten frame is added, and nothing that was kept is lost for it.
#[tokio::test]
async fn scans_are_added_to_those_that_lie_here() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    example(&page).await?;
    choose(&page, &ROLL[..14]).await?;
    page.reads("Small copies of this roll: 14,").await?;
    choose_named(&page, &ROLL[14..], "scan 15.jpg").await?;
    page.reads("Scans that lie here: 14. Chosen now: 1").await?;
    job::sound(&page, "what becomes of the scans").await?;
    page.press_on("button", "Leave it as it is").await?;
    page.reads("Small copies of this roll: 14,").await?;
    choose_named(&page, &ROLL[14..], "scan 15.jpg").await?;
    page.press_on("button", "Add them to the scans here")
        .await?;
    page.reads("Small copies of this roll: 15,").await?;
    at_the_next_visit(&page).await?;
    page.reads("Small copies of this roll: 15,").await?;
    // One alone takes the place of all, where that is what is wanted.
    choose_named(&page, &ROLL[..1], "other.jpg").await?;
    page.press_on("button", "Put them in the place of the scans here")
        .await?;
    page.reads("Small copies of this roll: 1,").await?;
    // The others are taken away when all of these are kept.
    until_measured(&page).await?;
    at_the_next_visit(&page).await?;
    page.reads("Small copies of this roll: 1,").await?;
    page.finish().await
}

/// What cannot be kept while it is judged is said where the person looks.
#[tokio::test]
async fn what_cannot_be_kept_is_said_on_the_table() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    example(&page).await?;
    choose(&page, &ROLL).await?;
    page.reads("Small copies of this roll: 15").await?;
    page.press_on("button", "Frame 1: show it large").await?;
    let table = page.find("dialog", "Light table").await?;
    // Ticks belong to a verdict, and say so; the keyboard stays where it is. The example's own verdict is taken back first.
    page.press_on("button", "Rejected").await?;
    page.press_on("checkbox", "grain").await?;
    page.wait_until("it is said why", async || {
        Ok(table
            .text()
            .await?
            .contains("Give this frame a verdict first"))
    })
    .await?;
    ensure!(
        page.eval("document.activeElement.type").await? == json!("checkbox"),
        "the box keeps the keyboard"
    );
    page.keys(&['3', 'g']).await?;
    page.wait_until("the key ticks it", async || {
        let ticked = page
            .eval("[...document.querySelectorAll('.light-ticks input')].map(one => one.checked)")
            .await?;
        Ok(ticked == json!([false, false, false, true, false]))
    })
    .await?;
    page.eval(
        "(() => {
            IDBObjectStore.prototype.put = () => { throw new DOMException('full', 'QuotaExceededError') };
            Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError') };
        })()",
    )
    .await?;
    page.press_on("button", "Rejected").await?;
    page.wait_until("it is said that nothing is kept", async || {
        let seen = table.text().await?;
        Ok(seen.contains("is full") || seen.contains("is kept nowhere"))
    })
    .await?;
    page.finish().await
}

#[tokio::test]
async fn files_without_the_slates_are_laid_as_the_pictures_say() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    example(&page).await?;
    let frames: Vec<(u32, i32)> = ROLL.into_iter().filter(|(scene, _)| *scene < 7).collect();
    choose(&page, &frames).await?;
    page.reads("By the pictures, frames have no file: 5, 10")
        .await?;
    // Nothing was moved before somebody agrees.
    page.reads("scan 5.jpg").await?;
    page.press_on("button", "Lay them as the pictures say")
        .await?;
    page.reads("These scans look as if made with one fixed setting")
        .await?;
    let sheet = page.find("list", "Contact sheet").await?;
    let bare = sheet
        .call("function () { return [...this.children].flatMap((one, nth) => one.querySelector('img[hidden]') ? [nth + 1] : []) }")
        .await?;
    ensure!(bare == json!([5, 10, 15]), "without a picture: {bare}");
    page.finish().await
}

#[tokio::test]
async fn a_file_that_is_no_frame_is_left_out_until_it_is_laid_at_one() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    example(&page).await?;
    // Something else was scanned in the middle of the first series.
    let mut frames = ROLL.to_vec();
    frames.insert(2, (12, 0));
    choose(&page, &frames).await?;
    page.reads("By the pictures, this file belongs to no frame of the log: scan 3.jpg.")
        .await?;
    page.press_on("button", "Lay them as the pictures say")
        .await?;
    page.reads("Scans that are no frame of the log: scan 3.jpg.")
        .await?;
    page.reads("These scans look as if made with one fixed setting")
        .await?;
    job::sound(&page, "a review with a scan that is no frame").await?;
    // Whoever knows better lays it at a frame.
    page.choose("Lay this scan", "scan 3.jpg").await?;
    page.choose("at this frame", "Frame 3").await?;
    page.press_on("button", "Lay it there").await?;
    page.wait_until("it counts as a frame again", async || {
        Ok(!page
            .text()
            .await?
            .contains("Scans that are no frame of the log"))
    })
    .await?;
    page.finish().await
}

/// Which files lie at the frames, in the order of the film: the numbers in their names, `-` where none does.
async fn lie(page: &Page<'_>) -> Result<String> {
    let lie = "[...document.querySelectorAll('.place-file')].map(file => /^scan (\\d+)/.exec(file.textContent)?.[1] ?? '-').join(' ')";
    Ok(page
        .eval(lie)
        .await?
        .as_str()
        .unwrap_or_default()
        .to_owned())
}

async fn until_they_lie(page: &Page<'_>, so: &str) -> Result<()> {
    page.wait_until(&format!("the scans lie so: {so}"), async || {
        Ok(lie(page).await? == so)
    })
    .await
}

/// What the pictures do not propose is laid by hand, and lies so at the next visit.
#[tokio::test]
async fn a_scan_is_left_out_and_strips_are_turned_by_hand() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    example(&page).await?;
    choose(&page, &ROLL).await?;
    page.reads("Small copies of this roll: 15").await?;
    until_they_lie(&page, "1 2 3 4 5 6 7 8 9 10 11 12 13 14 15").await?;

    page.choose("Lay this scan", "scan 3.jpg").await?;
    page.press_on("button", "Leave this scan out").await?;
    page.reads("scan 3.jpg is no frame of this roll. What lay behind it lies one frame nearer.")
        .await?;
    until_they_lie(&page, "1 2 4 5 6 7 8 9 10 11 12 13 14 15 -").await?;
    // "Undo" is about the book, which is said on a phone as well where the sentence is about something else.
    page.reads("Undo takes back: The invented example is in the book")
        .await?;
    page.press_on("button", "Leave this scan out").await?;
    page.reads("scan 3.jpg lies at no frame of the log already.")
        .await?;
    page.press_on("button", "Count scan 3.jpg again").await?;
    until_they_lie(&page, "1 2 3 4 5 6 7 8 9 10 11 12 13 14 15").await?;

    page.press_on(
        "DisclosureTriangle",
        "A strip that was scanned the other way round",
    )
    .await?;
    page.press_on("button", "Turn this strip").await?;
    page.reads("No two scans lie at these frames").await?;
    for (from, to) in [(2, 4), (8, 6)] {
        page.choose("Turn the scans from this frame", &format!("Frame {from}"))
            .await?;
        page.choose("to this one", &format!("Frame {to}")).await?;
        page.press_on("button", "Turn this strip").await?;
    }
    page.reads("Now the other way round: scan 6.jpg to scan 8.jpg.")
        .await?;
    let turned = "1 4 3 2 5 8 7 6 9 10 11 12 13 14 15";
    until_they_lie(&page, turned).await?;
    job::sound(&page, "strips that were turned").await?;
    page.wait_until("it is kept", async || {
        let kept = page
            .eval(
                "(async () => {
                    const open = indexedDB.open('stopkeeper-scans');
                    const database = await new Promise(done => open.onsuccess = () => done(open.result));
                    const read = database.transaction('beside').objectStore('beside').getAll();
                    const all = await new Promise(done => read.onsuccess = () => done(read.result));
                    database.close();
                    return JSON.stringify(all);
                })()",
            )
            .await?;
        Ok(kept.as_str().unwrap_or_default().contains("strip 1 3 5 7"))
    })
    .await?;
    at_the_next_visit(&page).await?;
    until_they_lie(&page, turned).await?;
    page.reads(
        "Strips that lie the other way round: scan 2.jpg to scan 4.jpg, scan 6.jpg to scan 8.jpg.",
    )
    .await?;
    page.press_on("button", "Turn scan 2.jpg to scan 4.jpg back")
        .await?;
    until_they_lie(&page, "1 2 3 4 5 8 7 6 9 10 11 12 13 14 15").await?;
    page.finish().await
}

/// Once scans were laid, those that come beside them move none of them, wherever their names sort.
#[tokio::test]
async fn scans_that_come_later_leave_the_others_where_they_lie() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    example(&page).await?;
    choose(&page, &ROLL[..14]).await?;
    page.reads("Small copies of this roll: 14,").await?;
    page.press_on("button", "Shift by one forward").await?;
    until_they_lie(&page, "- 1 2 3 4 5 6 7 8 9 10 11 12 13 14").await?;
    choose_named(&page, &ROLL[..1], "scan 0.jpg").await?;
    page.press_on("button", "Add them to the scans here")
        .await?;
    page.reads("Those that lay here lie where they lay.")
        .await?;
    let all = "0 1 2 3 4 5 6 7 8 9 10 11 12 13 14";
    until_they_lie(&page, all).await?;
    page.reads("Small copies of this roll: 15,").await?;
    until_measured(&page).await?;
    at_the_next_visit(&page).await?;
    page.reads("They lie as they were laid last.").await?;
    until_they_lie(&page, all).await?;

    // Whoever chooses all of them anew, with one more, has said nothing against how they lie.
    page.press_on("button", "Shift by one forward").await?;
    until_they_lie(&page, "- 0 1 2 3 4 5 6 7 8 9 10 11 12 13").await?;
    choose(&page, &ROLL[..14]).await?;
    page.press_on("button", "Put them in the place of the scans here")
        .await?;
    until_they_lie(&page, "1 2 3 4 5 6 7 8 9 10 11 12 13 14 -").await?;
    page.press_on("button", "Shift by one forward").await?;
    choose(&page, &ROLL).await?;
    page.reads("Those that lay here lie where they lay.")
        .await?;
    until_they_lie(&page, "- 1 2 3 4 5 6 7 8 9 10 11 12 13 14").await?;
    choose_named(&page, &ROLL[..1], "scan 0.jpg").await?;
    page.press_on("button", "Add them to the scans here")
        .await?;
    until_they_lie(&page, all).await?;

    // So it is with names that are kept: what came since goes on from them.
    page.press_on("button", "Keep these names with the frames")
        .await?;
    page.reads("scan 14.jpg, kept with the frame").await?;
    choose_named(&page, &ROLL[..1], "scan 20.jpg").await?;
    page.press_on("button", "Add them to the scans here")
        .await?;
    page.reads("Scans after the last frame of the log: scan 15.jpg, scan 20.jpg.")
        .await?;
    until_they_lie(&page, all).await?;
    page.finish().await
}

#[tokio::test]
async fn a_roll_is_judged_by_keys_alone() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    example(&page).await?;
    choose(&page, &ROLL).await?;
    page.reads("Small copies of this roll: 15").await?;
    page.find("button", "Frame 1: show it large")
        .await?
        .focus()
        .await?;
    page.key(Key::Enter).await?;
    page.reads("Frame 1, 1 of 4").await?;
    for (key, next) in [('3', 2), ('1', 3), ('2', 4)] {
        page.keys(&[key]).await?;
        page.key(Key::Right).await?;
        page.reads(&format!("Frame {next}, {next} of 4")).await?;
    }
    page.key(Key::PageDown).await?;
    page.reads("Frame 6, 1 of 4").await?;
    page.keys(&['3']).await?;
    page.key(Key::PageUp).await?;
    page.reads("Frame 1, 1 of 4").await?;
    page.press_on("button", "At 100 %").await?;
    page.find("slider", "Place across").await?.focus().await?;
    page.key(Key::Right).await?;
    page.wait_until("all frames show the same place", async || {
        let places = page
            .eval("[...new Set([...document.querySelectorAll('.light-whole')].map(one => getComputedStyle(one).objectPosition))].join('|')")
            .await?;
        Ok(places == json!("51% 50%"))
    })
    .await?;
    page.reads("Frame 1, 1 of 4").await?;
    job::sound(&page, "the table at full size").await?;
    page.press_on("button", "In one place").await?;
    page.key(Key::Right).await?;
    page.reads("Frame 2, 2 of 4").await?;
    page.press_on("button", "Frame 2: lay the next one here")
        .await?;
    page.reads("Frame 3, 3 of 4").await?;
    page.press_on("button", "Frame 3: lay the next one here")
        .await?;
    page.press_on("button", "Frame 4: lay the next one here")
        .await?;
    page.reads("Frame 1, 1 of 4").await?;
    page.key(Key::Escape).await?;
    page.wait_until("what was pressed is kept", async || {
        let found = verdicts(&page).await?;
        Ok(found[..6] == ["liked", "rejected", "usable", "usable", "", "liked"])
    })
    .await?;
    page.finish().await
}

/// Whether everything on the table lies within the window.
async fn fits(page: &Page<'_>, what: &str) -> Result<()> {
    let out = page
        .eval(
            "[...document.querySelectorAll('.large button, .large .pick, .large .light-words')].filter(one => {
                const place = one.getBoundingClientRect();
                const stage = one.closest('.light-beside');
                const beside = stage && (place.right <= 1 || place.left >= stage.clientWidth - 1);
                return !beside && one.checkVisibility() && (place.bottom > innerHeight + 1 || place.right > innerWidth + 1 || place.left < -1);
            }).map(one => one.textContent)",
        )
        .await?;
    ensure!(out == json!([]), "{what}: beyond the window {out}");
    Ok(())
}

#[tokio::test]
async fn pictures_words_and_verdict_are_on_one_screen() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    example(&page).await?;
    choose(&page, &ROLL).await?;
    page.reads("Small copies of this roll: 15").await?;
    page.press_on("button", "Frame 1: show it large").await?;
    for letters in [Letters::Own, Letters::Wide, Letters::Narrow] {
        page.set_in(letters).await?;
        fits(&page, "a phone").await?;
    }
    page.resize(DESK).await?;
    fits(&page, "a desk").await?;
    let pictures = page
        .eval("[...document.querySelectorAll('.light-frame')].filter(one => one.getBoundingClientRect().right <= innerWidth + 1).length")
        .await?;
    ensure!(
        pictures == json!(3),
        "{pictures} pictures beside one another"
    );
    page.resize(SMALL_PHONE).await?;
    job::sound(&page, "the light table on a small phone").await?;
    page.finish().await
}

#[tokio::test]
async fn where_nothing_can_be_kept_the_table_works_for_this_visit() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    example(&page).await?;
    // A full disk, as a browser tells it.
    page.eval(
        "(() => {
            const put = IDBObjectStore.prototype.put;
            IDBObjectStore.prototype.put = function (...given) {
                if (this.name === 'copies') throw new DOMException('full', 'QuotaExceededError');
                return put.apply(this, given);
            };
        })()",
    )
    .await?;
    choose(&page, &ROLL).await?;
    page.reads("This device has no room for the small copies")
        .await?;
    page.reads("These scans look as if made with one fixed setting")
        .await?;
    page.press_on("button", "Frame 1: show it large").await?;
    page.press_on("button", "Liked").await?;
    page.press_on("button", "Close the picture").await?;
    ensure!(
        verdicts(&page).await?[0] == "liked",
        "it is judged all the same"
    );
    ensure!(
        !page.text().await?.contains("Small copies of this roll"),
        "none is kept, and none is said to be"
    );
    page.finish().await
}

#[tokio::test]
async fn a_file_that_is_no_picture_is_named_and_the_contact_sheet_is_printed() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    example(&page).await?;
    page.eval(
        "(() => {
            const bag = new DataTransfer();
            bag.items.add(new File(['no picture'], 'torn.jpg', { type: 'image/jpeg' }));
            const field = document.querySelector('#review-scans');
            field.files = bag.files;
            field.dispatchEvent(new Event('change', { bubbles: true }));
        })()",
    )
    .await?;
    page.reads("This browser cannot show these files").await?;
    page.reads("torn.jpg").await?;
    choose(&page, &ROLL).await?;
    page.reads("Scans that lie here: 1. Chosen now: 15").await?;
    page.press_on("button", "Put them in the place of the scans here")
        .await?;
    page.reads("Small copies of this roll: 15").await?;
    for paper in [Paper::A4, Paper::Letter] {
        let pages = page.printed_on(paper).await?;
        let all = pages.join("\n");
        ensure!(
            all.contains("Contact sheet") && all.contains("1/250") && !all.contains("Line-up"),
            "on paper: {all}"
        );
        ensure!(pages.len() <= 2, "{} pages", pages.len());
    }
    page.finish().await
}
