//! Ways to find the light: photos from the disk, the camera of the device, what is refused, and what stays private.

use tests::harness::{
    FAKE_CAMERA, Folder, Key, Metadata, PHONE, Result, SMALL_PHONE, Setup, Site, ensure, json,
};

use crate::{
    job,
    light::{close, dial_reads, open_page, press_row, take},
};

const FIND: &str = "Find the light";

/// Grey 118 is the sRGB value of middle grey; the right half is a stop brighter, a corner is burnt out.
const PAINT: &str = "
    pen.fillStyle = 'rgb(118, 118, 118)'; pen.fillRect(0, 0, 150, 200);
    pen.fillStyle = 'rgb(162, 162, 162)'; pen.fillRect(150, 0, 150, 200);
    pen.fillStyle = 'white'; pen.fillRect(240, 0, 60, 60);
";

/// Middle grey all over.
const GREY: &str = "pen.fillStyle = 'rgb(118, 118, 118)'; pen.fillRect(0, 0, 300, 200);";

#[tokio::test]
async fn a_photo_says_how_it_was_exposed_and_never_where() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    let folder = Folder::new("photos")?;
    let metadata = Metadata {
        place: true,
        ..Metadata::of((1, 60), (40, 10), 400)
    };
    let photo = page
        .photo(&folder, "porch.jpg", PAINT, Some(metadata))
        .await?;
    page.until_kept_offline().await?;
    open_page(&page, FIND, "From a photo").await?;
    site.server().clear_requests();
    page.choose_file("Choose a photo", &photo).await?;
    let says = page.find("list", "What the photo says").await?;
    page.wait_until("the tags are shown", async || {
        let text = says.text().await?;
        Ok(["1/60", "f/4", "ISO 400"]
            .iter()
            .all(|tag| text.contains(tag)))
    })
    .await?;
    let text = page.text().await?;
    ensure!(
        !text.contains("12 deg") && !text.to_lowercase().contains("gps"),
        "it shows where the photo was taken: {text}"
    );
    take(&page).await?;
    dial_reads(&page, ["1/60", "f/4", "ISO 400"]).await?;
    page.reads("photo").await?;
    ensure!(
        site.server().requests().is_empty(),
        "the photo made requests: {:?}",
        site.server().requests()
    );
    let kept = page.stored().await?;
    ensure!(
        kept.iter().all(|(_, text)| text.len() < 4_000),
        "a photo is kept: {:?}",
        kept.iter().map(|(key, _)| key).collect::<Vec<_>>()
    );
    page.finish().await
}

#[tokio::test]
async fn what_a_photo_does_not_say_is_typed_and_what_is_none_is_refused_in_words() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    let folder = Folder::new("photos")?;
    let bare = page.photo(&folder, "bare.jpg", PAINT, None).await?;
    let absurd = Metadata::of((4_294_967_295, 1), (0, 0), 200);
    let absurd = page
        .photo(&folder, "absurd.jpg", PAINT, Some(absurd))
        .await?;
    let letter = folder.path().join("letter.txt");
    std::fs::write(&letter, "Dear photographer")?;
    let empty = folder.path().join("empty.jpg");
    std::fs::write(&empty, "")?;
    open_page(&page, FIND, "From a photo").await?;
    page.choose_file("Choose a photo", &letter).await?;
    page.reads("This is no photo whose metadata can be read")
        .await?;
    page.choose_file("Choose a photo", &empty).await?;
    page.reads("The file is empty").await?;
    page.choose_file("Choose a photo", &absurd).await?;
    page.reads("0/0, which says nothing; not used").await?;
    page.reads("which cannot be").await?;
    page.choose_file("Choose a photo", &bare).await?;
    page.reads("This photo carries no metadata").await?;
    page.reads("Time: not in the file").await?;
    page.fill("Time", "1/30").await?;
    page.fill("Aperture", "5.6").await?;
    page.fill("Sensitivity", "fast").await?;
    page.reads("was not understood").await?;
    page.fill("Sensitivity", "200").await?;
    take(&page).await?;
    dial_reads(&page, ["1/30", "f/5.6", "ISO 200"]).await?;
    page.finish().await
}

/// Everything typed, chosen and marked for a photo is gone with the next one, whose own figures hold.
#[tokio::test]
async fn what_was_typed_for_a_photo_goes_with_it() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    let folder = Folder::new("photos")?;
    let noon = Some(Metadata::of((1, 1000), (8, 1), 100));
    let noon = page.photo(&folder, "noon.jpg", PAINT, noon).await?;
    let porch = Some(Metadata::of((1, 60), (4, 1), 400));
    let porch = page.photo(&folder, "porch.jpg", GREY, porch).await?;
    let bare = page.photo(&folder, "bare.jpg", PAINT, None).await?;
    open_page(&page, FIND, "From a photo").await?;
    page.choose_file("Choose a photo", &noon).await?;
    page.reads("Photo 1, noon.jpg (JPEG, figures from the camera's directory)")
        .await?;
    page.reads("Time: 1/1000, from the photo").await?;
    page.press_on(
        "DisclosureTriangle",
        "Type what the file does not say, or says wrongly",
    )
    .await?;
    page.fill("Time", "1/8").await?;
    page.reads("Time: 1/8, typed for this photo in place of 1/1000")
        .await?;
    page.reads("1/8 f/8 ISO 100: EV 9 at ISO 100 (photo, with parts typed)")
        .await?;
    page.choose("The camera steps in", "half stops").await?;
    page.choose("What is read", "The marked place in the picture")
        .await?;
    page.reads("(spot in a photo)").await?;
    page.press_on(
        "DisclosureTriangle",
        "Move the mark without touching the picture",
    )
    .await?;
    let slider = page
        .find("slider", "Marked place, from left to right")
        .await?;
    slider.focus().await?;
    page.key(Key::End).await?;
    page.reads("The marked place is 1 stop brighter than middle grey")
        .await?;
    page.press_on("button", "Keep the marked place as a spot for its tone")
        .await?;
    page.says("Spot 1 in photo 1").await?;

    // Seven stops of time that were typed for the other one.
    page.choose_file("Choose a photo", &porch).await?;
    page.reads("Photo 2, porch.jpg").await?;
    page.reads("Time: 1/60, from the photo").await?;
    page.reads("1/60 f/4 ISO 400: EV 8 at ISO 100 (photo)")
        .await?;
    page.reads("The marked place is as bright as middle grey")
        .await?;
    let text = page.text().await?;
    ensure!(!text.contains("typed for this photo"), "{text}");
    let chosen = page
        .eval("['photo-time', 'photo-steps', 'photo-way', 'photo-across'].map(id => document.getElementById(id).value)")
        .await?;
    ensure!(
        chosen == json!(["", "found", "whole", "50"]),
        "it is chosen still: {chosen}"
    );
    page.press_on("button", "Keep the marked place as a spot for its tone")
        .await?;
    page.says("Spot 1 in photo 2").await?;

    // What is missing is asked for again, and what was typed for a photo that says nothing serves none that does.
    page.choose_file("Choose a photo", &bare).await?;
    page.reads("Time: not known yet").await?;
    for (name, figure) in [("Time", "1/30"), ("Aperture", "16"), ("Sensitivity", "50")] {
        page.fill(name, figure).await?;
    }
    page.reads("Sensitivity: ISO 50, typed for this photo")
        .await?;
    page.choose_file("Take a photo", &porch).await?;
    page.reads("Photo 4, porch.jpg").await?;
    page.reads("1/60 f/4 ISO 400: EV 8 at ISO 100 (photo)")
        .await?;
    // The field of the other way names its file no more, so that it can be chosen there again.
    let field = page
        .eval("document.getElementById('photo-file').value")
        .await?;
    ensure!(field == json!(""), "it still names {field}");
    page.choose_file("Choose a photo", &bare).await?;
    page.reads("Photo 5, bare.jpg").await?;
    page.reads("Time: not known yet").await?;
    page.choose_file("Choose a photo", &porch).await?;
    page.reads("Photo 6, porch.jpg").await?;
    take(&page).await?;
    dial_reads(&page, ["1/60", "f/4", "ISO 400"]).await?;
    // Spots of two pictures are one scene only where the light was the same.
    open_page(&page, FIND, "Spots and tones").await?;
    page.reads("These spots are of different photos (photo 1, noon.jpg; photo 2, porch.jpg)")
        .await?;
    page.finish().await
}

/// Files whose name begins with `slow` are held where a device may take its time: their bytes, or their picture.
const GATES: &str = "
    const wait = (file, what) => {
        if (!file.name.startsWith('slow-' + what)) return what === 'bytes' ? bytes.call(file) : bitmap(file);
        const answer = held.promise.then(() => what === 'bytes' ? bytes.call(file) : bitmap(file));
        late.push(answer);
        return answer;
    };
    const bytes = Blob.prototype.arrayBuffer, bitmap = createImageBitmap.bind(globalThis);
    File.prototype.arrayBuffer = function () { return wait(this, 'bytes'); };
    globalThis.createImageBitmap = file => wait(file, 'picture');
";

/// Of two photos that are chosen quickly the later one is shown, metadata and picture, whichever is read first.
#[tokio::test]
async fn of_two_photos_chosen_quickly_the_later_one_is_shown() -> Result<()> {
    // A stop brighter than middle grey all over.
    const BRIGHT: &str = "pen.fillStyle = 'rgb(162, 162, 162)'; pen.fillRect(0, 0, 300, 200);";
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    let folder = Folder::new("photos")?;
    let porch = Some(Metadata::of((1, 60), (4, 1), 400));
    let porch = page.photo(&folder, "porch.jpg", GREY, porch).await?;
    open_page(&page, FIND, "From a photo").await?;
    page.eval(&format!("(() => {{ {GATES} }})()")).await?;
    for (number, slow) in [(1, "slow-bytes.jpg"), (3, "slow-picture.jpg")] {
        let noon = Some(Metadata::of((1, 1000), (8, 1), 100));
        let noon = page.photo(&folder, slow, BRIGHT, noon).await?;
        page.eval("(() => { globalThis.held = Promise.withResolvers(); globalThis.late = []; })()")
            .await?;
        page.choose_file("Choose a photo", &noon).await?;
        page.reads(&format!("Photo {number}, {slow}")).await?;
        if number == 1 {
            page.reads("is read …").await?;
        } else {
            page.reads("1/1000 f/8 ISO 100").await?;
        }
        page.wait_until("the photo is asked for", async || {
            Ok(page.eval("late.length").await? == json!(1))
        })
        .await?;
        page.choose_file("Choose a photo", &porch).await?;
        let shown = async || -> Result<()> {
            page.reads(&format!("Photo {}, porch.jpg", number + 1))
                .await?;
            page.reads("1/60 f/4 ISO 400: EV 8 at ISO 100 (photo)")
                .await?;
            page.reads("The marked place is as bright as middle grey")
                .await
        };
        shown().await?;
        // Now the earlier one is read as well; the page has had its turn once the next frames are drawn.
        page.eval(
            "(async () => {
                held.resolve();
                await Promise.all(late);
                for (let i = 0; i < 3; i++) await new Promise(requestAnimationFrame);
            })()",
        )
        .await?;
        shown().await?;
        let text = page.text().await?;
        ensure!(!text.contains("slow"), "the earlier one came back: {text}");
        let pixel = page
            .eval("[...document.querySelector('.metered canvas').getContext('2d').getImageData(10, 100, 1, 1).data]")
            .await?;
        ensure!(
            pixel == json!([118, 118, 118, 255]),
            "the picture is another one: {pixel}"
        );
    }
    take(&page).await?;
    dial_reads(&page, ["1/60", "f/4", "ISO 400"]).await?;
    page.finish().await
}

#[tokio::test]
async fn a_camera_that_hides_its_exposure_compares_its_middle_with_the_whole() -> Result<()> {
    let site = Site::start().await?;
    let folder = Folder::new("camera")?;
    // A field that is two stops darker than middle grey, and middle grey where the ring is.
    let seen = |x, y| {
        let middle = (100..220).contains(&x) && (60..180).contains(&y);
        if middle { 118 } else { 58 }
    };
    let page = site.open_with_camera(&folder, PHONE, seen).await?;
    job::read(&page, "100", "1/125", "8").await?;
    open_page(&page, FIND, "Live camera").await?;
    page.press_on("button", "Start the camera").await?;
    page.reads("brighter than the whole frame").await?;
    page.reads("keeps the camera's exposure to itself").await?;
    let says = async |what: &str, is: bool| {
        page.wait_until(what, async || {
            let reading = page.find("region", "The reading").await?;
            let text = reading.text().await?;
            Ok(text.contains("frame") && text.contains("1/125 f/8 ISO 100: EV 13") == is)
        })
        .await
    };
    says("the middle is read as brighter", false).await?;
    page.choose("What is read", "The whole frame").await?;
    says("the whole frame has the light that the dial reads", true).await?;
    // What is held is read anew as well.
    page.press_on("button", "Hold").await?;
    page.choose("What is read", "The ring").await?;
    says("the middle is read as brighter again", false).await?;
    page.reads("part of a camera's frame").await?;
    take(&page).await?;
    page.reads("part of a camera's frame").await?;
    // Nobody looks any more: the camera was let go with the sheet.
    let runs = "[...document.querySelectorAll('video')].some(video => video.srcObject?.getTracks().some(track => track.readyState === 'live'))";
    page.wait_until(
        "no track runs",
        async || Ok(page.eval(runs).await? == false),
    )
    .await?;
    page.finish().await
}

#[tokio::test]
async fn a_camera_that_can_be_told_is_set_once_against_a_known_reading() -> Result<()> {
    let site = Site::start().await?;
    let folder = Folder::new("camera")?;
    let page = site.open_with_camera(&folder, PHONE, |_, _| 118).await?;
    // The browser's own camera has no sensitivity that could be told; this one takes what it is told, as a phone's does.
    page.eval(
        "(() => {
            const track = MediaStreamTrack.prototype;
            track.getCapabilities = () => ({ exposureMode: ['continuous', 'manual'], exposureTime: { min: 1, max: 5000 }, iso: { min: 50, max: 800 } });
            track.applyConstraints = async () => {};
        })()",
    )
    .await?;
    job::read(&page, "100", "1/125", "8").await?;
    open_page(&page, FIND, "Live camera").await?;
    page.press_on("button", "Start the camera").await?;
    page.reads("set it once against a known reading").await?;
    page.press_on("button", "The ring has the light that the dial reads")
        .await?;
    page.says("This camera is set against the dial's reading")
        .await?;
    page.reads("(live camera)").await?;
    page.reads("EV 13 at ISO 100").await?;
    ensure!(
        page.stored()
            .await?
            .iter()
            .any(|(key, _)| key.starts_with("stopkeeper.live-camera.")),
        "the constant is not kept"
    );
    take(&page).await?;
    page.reads("live camera").await?;
    page.finish().await
}

#[tokio::test]
async fn without_a_camera_it_says_so_and_other_ways_are_open() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open_page(&page, FIND, "Live camera").await?;
    page.press_on("button", "Start the camera").await?;
    page.reads("There is no camera that this page can use")
        .await?;
    // Another way is open all the same.
    page.press_on("button", "Back").await?;
    press_row(&page, "Typed light").await?;
    page.fill("Light", "12").await?;
    take(&page).await?;
    page.finish().await
}

#[tokio::test]
async fn nothing_is_asked_for_before_its_button_is_pressed() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.eval(job::WATCH_PERMISSIONS).await?;
    for title in [
        "From a photo",
        "Live camera",
        "Typed light",
        "Spots and tones",
        "Scene tables",
        "Sun and moon",
        "Two readings of the same light",
        "Timer",
    ] {
        open_page(&page, FIND, title).await?;
        close(&page).await?;
    }
    let asked = page.eval("asked").await?;
    ensure!(asked == json!([]), "it asked for {asked}");
    open_page(&page, FIND, "Live camera").await?;
    page.press_on("button", "Start the camera").await?;
    page.reads("is not allowed to this page").await?;
    let asked = page.eval("asked").await?;
    ensure!(
        asked == json!(["getUserMedia"]),
        "the watch is blind: {asked}"
    );
    page.finish().await
}

#[tokio::test]
async fn where_the_device_may_not_say_its_place_it_is_typed() -> Result<()> {
    let site = Site::start().await?;
    let page = site
        .open(Setup {
            preferences: json!({ "profile.default_content_setting_values.geolocation": 2 }),
            ..Setup::from(PHONE)
        })
        .await?;
    open_page(&page, FIND, "Sun and moon").await?;
    page.press_on("button", "Use where this device is").await?;
    page.reads("The device did not say where it is").await?;
    page.fill("Latitude", "ninety one").await?;
    page.fill("Longitude", "8.25").await?;
    page.reads("was not understood").await?;
    page.fill("Latitude", "47.5").await?;
    page.fill("Day", "the longest").await?;
    page.reads("A day is typed as year, month and day").await?;
    page.fill("Day", "2026-06-21").await?;
    page.fill("Time by this clock", "12:00").await?;
    page.reads("The sun stands").await?;
    take(&page).await?;
    page.reads("estimate: sun").await?;
    page.finish().await
}

#[tokio::test]
async fn every_way_is_sound_on_a_small_phone_in_the_dark_and_on_a_usual_one() -> Result<()> {
    let site = Site::start().await?;
    for screen in [SMALL_PHONE, PHONE] {
        let page = site
            .open(Setup {
                arguments: FAKE_CAMERA,
                ..Setup::from(screen)
            })
            .await?;
        job::choose_theme(&page, "Darkroom").await?;
        let folder = Folder::new("photos")?;
        let photo = page.photo(&folder, "dark.jpg", PAINT, None).await?;
        for title in [
            "From a photo",
            "Live camera",
            "Typed light",
            "Spots and tones",
            "Scene tables",
            "Sun and moon",
            "Two readings of the same light",
        ] {
            open_page(&page, FIND, title).await?;
            match title {
                "From a photo" => {
                    page.choose_file("Choose a photo", &photo).await?;
                    page.reads("This photo carries no metadata").await?;
                }
                "Typed light" => {
                    page.fill("Light", "12.1").await?;
                    page.find("list", "What the marks leave to count").await?;
                }
                "Spots and tones" => {
                    page.fill("EV at ISO 100", "9").await?;
                    page.press_on("button", "Add the spot").await?;
                    page.find("button", "Take this reading").await?;
                }
                "Sun and moon" => {
                    page.fill("Latitude", "47.5").await?;
                    page.fill("Longitude", "8.25").await?;
                    page.reads("The sun").await?;
                }
                _ => {}
            }
            job::sound_in_the_dark(&page, title).await?;
            close(&page).await?;
        }
        page.finish().await?;
    }
    Ok(())
}
