//! What the marks of a camera are to the log: how they are written, what is typed, which roll is where.

use book::{
    Book, Desk, Device, DeviceSteps, Edit, Fate, Film, Key, Kind, Loading, Marks, Record, Run,
    Slip, Storage, as_shot, csv, encode, export, plan_import, rows,
};

use crate::check::{
    apply, bag, date, load_into, loaded, pier, roll_of, same, series, slip, speed, take_all, time,
};

const ROLL: &str = "box-1";
const FOLDER: &str = "own-left-folder-0a1b2c3d";

/// What the dial keeps of a camera. Invented.
fn camera(id: &str, name: &str, apertures: &str) -> (String, String) {
    (
        format!("stopkeeper.camera.{id}"),
        format!(
            "{{\"format\":\"stopkeeper camera\",\"version\":1,\"id\":\"{id}\",\"name\":\"{name}\",\
             \"times\":\"B 1 1/2 1/5 1/10 1/25 1/50 1/100 1/250=1/160\",\"apertures\":\"{apertures}\",\
             \"steps\":\"engraved\",\"focal_mm\":\"75\"}}"
        ),
    )
}

fn folder() -> (String, String) {
    camera(FOLDER, "Left folder", "3.5 4.5 6.3 9 12.5 18")
}

/// What the dial and the light keep: a camera, and a record of each other kind.
fn of_dial() -> Vec<(String, String)> {
    let record = |key: &str, text: &str| (format!("stopkeeper.{key}"), text.to_owned());
    vec![
        folder(),
        record(
            "setting",
            "{\"format\":\"stopkeeper setting\",\"version\":1,\"hand_held_limit\":\"1/30\"}",
        ),
        record(
            "recent-readings",
            "{\"format\":\"stopkeeper recent readings\",\"version\":1,\"readings\":[]}",
        ),
        record(
            "live-camera.back",
            "{\"format\":\"stopkeeper live camera\",\"version\":1,\"constant_thousandths\":-2500}",
        ),
        record(
            "camera.newer",
            "{\"format\":\"stopkeeper camera\",\"version\":9}",
        ),
        record("aside.setting.00", "not a \"record\""),
    ]
}

/// A roll in the folder, known by its id, read with a device of one's own.
fn in_folder() -> Desk {
    let mut desk = bag(Film::ColourNegative, "400", "2004-06", Storage::Unknown, 2);
    desk.take_of_dial(&of_dial());
    let device = Device::new("clip", "Old clip-on", DeviceSteps::Thirds);
    apply(&mut desk, Edit::Device(device));
    let loading = Loading {
        device: Some("clip".to_owned()),
        ..Loading::new("Left folder", speed("100"), date("2024-05-01"), 1)
            .known_as(Some(FOLDER.to_owned()))
    };
    apply(
        &mut desk,
        Edit::Load {
            roll: ROLL.to_owned(),
            loading,
        },
    );
    desk
}

fn document(book: &Book) -> String {
    export(book, date("2026-11-25"))
}

const OLDER: [(&str, &str, i32); 3] = [
    ("1/100 as engraved", "f/6.3 as engraved", -12),
    ("1/50 as engraved", "f/6.3 as engraved", 0),
    ("1/25 as engraved", "f/6.3 as engraved", 12),
];

#[test]
fn lists_say_how_a_figure_is_meant_only_where_two_meanings_stand_side_by_side() {
    let mut desk = loaded("400", "100");
    pier(&mut desk, &OLDER);
    let all = rows(desk.book(), roll_of(&desk, ROLL));
    let planned: Vec<String> = all.iter().map(|row| row.planned.join(", ")).collect();
    assert_eq!(planned, ["1/100, f/6.3", "1/50, f/6.3", "1/25, f/6.3"]);
    assert_eq!(all[1].shot, ["1/50", "f/6.3"]);
    let table = csv(desk.book(), &[roll_of(&desk, ROLL)]);
    assert!(!table.contains("as engraved"), "{table}");
    // The same figure of the series of third stops is another time.
    slip(&mut desk, ROLL, Run::One(1), Slip::Time(time("1/50")));
    let all = rows(desk.book(), roll_of(&desk, ROLL));
    assert_eq!(all[0].planned[0], "1/100");
    assert_eq!(all[0].shot[0], "1/50");
    assert_eq!(all[1].planned[0], "1/50 as engraved");
    assert_eq!(all[1].planned[1], "f/6.3");
    // What was measured is no question of how a figure is read.
    slip(
        &mut desk,
        ROLL,
        Run::One(3),
        Slip::Time(time("1/250, measured 1/160")),
    );
    let all = rows(desk.book(), roll_of(&desk, ROLL));
    assert_eq!(all[2].shot[0], "1/250, measured 1/160");
}

#[test]
fn a_typed_figure_is_the_mark_of_the_camera_and_as_planned_where_that_was_planned() {
    let mut desk = in_folder();
    let read = crate::check::light("100", "1/50", "4.5", None);
    let frames = [("1/50 as engraved", "f/4.5 as engraved", 0)];
    series(&mut desk, ROLL, "pier", read, "100", &frames);
    take_all(&mut desk, ROLL);
    let roll = roll_of(&desk, ROLL);
    let marks = Marks::of_frame(desk.book(), roll, &roll.frames[0]);
    assert!(marks.is_known());
    same(
        "planned",
        &marks.aperture("4.5").expect("a mark").text(),
        "f/4.5 as engraved",
    );
    same(
        "of the camera",
        &marks.aperture("12,5").expect("a mark").text(),
        "f/12.5",
    );
    same(
        "measured",
        &marks.time("1/250").expect("a mark").text(),
        "1/250, measured 1/160",
    );
    same(
        "on B",
        &marks.time("4s").expect("a mark").text(),
        "4s, by hand",
    );
    same(
        "not a mark of it",
        &marks.aperture("7.1").expect("a figure").text(),
        "f/7.1",
    );
    same(
        "to the letter",
        &marks.aperture("f/9.5 in halves").expect("a figure").text(),
        "f/9.5 in halves",
    );
    assert!(marks.aperture("wide open").is_err());
    let shown = |marks: Vec<book::Aperture>| {
        marks
            .into_iter()
            .map(book::Aperture::listed)
            .collect::<Vec<_>>()
    };
    assert_eq!(
        shown(marks.apertures()),
        ["f/18", "f/12.5", "f/9", "f/6.3", "f/4.5", "f/3.5"]
    );
    assert_eq!(
        marks.times().first().map(|time| time.listed()).as_deref(),
        Some("1/250, measured 1/160")
    );
    assert_eq!(marks.times().len(), 8, "what is counted on B is typed");
    assert_eq!(
        shown(marks.apertures_around(1)),
        ["f/6.3", "f/4.5", "f/3.5"],
        "the planned one and its neighbours"
    );
    assert_eq!(shown(marks.apertures_around(9)).len(), 6);
    // A field says the figure, and more only where that would mean something else.
    same(
        "spelled",
        &marks.spell_aperture(crate::check::aperture("f/4.5 as engraved")),
        "f/4.5",
    );
    same(
        "spelled",
        &marks.spell_aperture(crate::check::aperture("f/4.5")),
        "f/4.5",
    );
    same("spelled", &marks.spell_time(time("1/50")), "1/50");
    // Kept as it was typed, it is as planned, and amounts to the same.
    let planned = as_shot(roll, &roll.frames[0]);
    let kept = Edit::Shot {
        roll: ROLL.to_owned(),
        frame: 1,
        time: Some(marks.time("50").expect("a mark")),
        aperture: Some(marks.aperture("f/4.5").expect("a mark")),
        fate: Fate::Taken,
        note: String::new(),
        at: None,
    };
    apply(&mut desk, kept);
    let roll = roll_of(&desk, ROLL);
    assert_eq!(
        (roll.frames[0].shot.time, roll.frames[0].shot.aperture),
        (None, None)
    );
    assert_eq!(as_shot(roll, &roll.frames[0]), planned);
}

#[test]
fn a_camera_that_nobody_described_has_the_marks_of_its_log() {
    let mut desk = loaded("400", "100");
    pier(&mut desk, &OLDER);
    let roll = roll_of(&desk, ROLL);
    let marks = Marks::of_frame(desk.book(), roll, &roll.frames[0]);
    assert!(!marks.is_known());
    same(
        "another frame's",
        &marks.time("1/25").expect("a mark").text(),
        "1/25 as engraved",
    );
    same(
        "no one's",
        &marks.time("1/10").expect("a figure").text(),
        "1/10",
    );
    let times: Vec<String> = marks.times().into_iter().map(book::Time::listed).collect();
    assert_eq!(times, ["1/100", "1/50", "1/25"]);
}

#[test]
fn a_name_stands_for_the_one_camera_that_has_it() {
    let mut desk = in_folder();
    let named = |desk: &Desk, name: &str| desk.book().camera_named(name);
    assert_eq!(named(&desk, " left  FOLDER").as_deref(), Some(FOLDER));
    assert_eq!(
        named(&desk, "Box camera, one speed").as_deref(),
        Some("box")
    );
    assert_eq!(named(&desk, "right folder"), None);
    // An older record names it by words alone.
    let old = Loading::new("left folder", speed("100"), date("2024-05-01"), 1);
    assert!(desk.book().camera_of(&old).is_some());
    let mut two = of_dial();
    two.push(camera("own-2", "Left folder", "8"));
    desk.take_of_dial(&two);
    assert_eq!(named(&desk, "left folder"), None, "two have that name");
}

#[test]
fn one_camera_by_id_holds_one_roll_whatever_it_is_called() {
    let mut desk = in_folder();
    let load = |name: &str, id: Option<&str>| Edit::Load {
        roll: "box-2".to_owned(),
        loading: Loading::new(name, speed("100"), date("2024-06-01"), 1)
            .known_as(id.map(str::to_owned)),
    };
    assert!(
        desk.clone()
            .apply(&load("The left one", Some(FOLDER)))
            .is_err(),
        "the same id"
    );
    assert!(
        desk.clone().apply(&load("left folder", None)).is_err(),
        "one has no id: by name"
    );
    let done = apply(&mut desk, load("Left folder", Some("own-other")));
    assert!(done.said.contains("is in the Left folder"), "{}", done.said);
    assert_eq!(
        desk.book().open_rolls().count(),
        2,
        "two cameras of one name"
    );
}

#[test]
fn what_was_used_last_is_known() {
    let mut desk = in_folder();
    let device = |desk: &Desk, roll: Option<&str>| {
        let roll = roll.map(|id| roll_of(desk, id));
        desk.book()
            .device_used_last(roll)
            .map(|device| device.id.clone())
    };
    assert_eq!(
        desk.book().loaded_last().map(|last| last.camera.as_str()),
        Some("Left folder")
    );
    assert_eq!(
        device(&desk, None).as_deref(),
        Some("clip"),
        "as it was loaded"
    );
    // A scene says more than the loading.
    let other = Device::new("spot", "Old spot", DeviceSteps::Thirds);
    let read = crate::check::light("100", "1/50", "9", None).taken_with(&other);
    apply(&mut desk, Edit::Device(other));
    series(&mut desk, ROLL, "pier", read, "100", &[("1/50", "9", 0)]);
    assert_eq!(device(&desk, Some(ROLL)).as_deref(), Some("spot"));
    assert_eq!(
        device(&desk, Some("box-2")).as_deref(),
        Some("spot"),
        "of another roll"
    );
    // A camera that is free comes first.
    load_into(&mut desk, "box-2", "garden box", "100");
    apply(
        &mut desk,
        Edit::Finish {
            roll: ROLL.to_owned(),
            on: date("2024-05-01"),
        },
    );
    assert_eq!(
        desk.book().loaded_last().map(|last| last.camera.as_str()),
        Some("Left folder")
    );
}

/// All that was typed comes back in an empty browser: the book, and to the letter what the dial and the light keep.
#[test]
fn an_export_brings_everything_into_an_empty_browser() {
    let desk = in_folder();
    let document = document(desk.book());
    assert!(
        document.starts_with("{\"format\":\"stopkeeper book\",\"version\":4,"),
        "an older page asks to be reloaded"
    );
    let import = plan_import(&Book::new(), &document).expect("an export");
    same(
        "the plan",
        &import.says[0],
        "Adds 1 camera (“Left folder”), 1 reading device, 1 stock, 1 batch, 2 rolls, a record of the dial that was set aside, a \
         camera that cannot be read here, what was settled for a live camera, the readings taken last and the setting of the \
         dial.",
    );
    let mut empty = Desk::new(Book::new());
    let done = apply(&mut empty, Edit::Import(import.clone()));
    assert_eq!(empty.book(), desk.book(), "field by field");
    let mut stored: Vec<(String, String)> = done
        .touched
        .iter()
        .filter_map(|key| Some((key.of_dial()?, encode(empty.book().get(key)?))))
        .collect();
    let mut there = of_dial();
    stored.sort();
    there.sort();
    assert_eq!(stored, there, "to the letter, and nothing else goes there");
    let again = plan_import(empty.book(), &document).expect("an export");
    assert_eq!(
        (again.adds, again.conflicts.len()),
        (0, 0),
        "twice adds nothing"
    );
}

#[test]
fn a_camera_that_differs_is_kept_beside_and_what_the_dial_has_stays() {
    let there = in_folder();
    let mut here = Desk::new(Book::new());
    let mut mine = of_dial();
    mine[0] = camera(FOLDER, "Left folder", "4.5 6.3");
    mine[1].1 = mine[1].1.replace("1/30", "1/60");
    here.take_of_dial(&mine);
    let import = plan_import(here.book(), &document(there.book())).expect("an export");
    assert!(
        import
            .says
            .iter()
            .any(|says| says.starts_with("“Left folder” differs from the one here. Both are kept")),
        "{:?}",
        import.says
    );
    assert!(
        import
            .says
            .iter()
            .any(|says| says.contains("the setting of the dial. What is here stays")),
        "{:?}",
        import.says
    );
    apply(&mut here, Edit::Import(import));
    let names: Vec<&str> = here
        .book()
        .own_cameras()
        .map(|own| own.name.as_str())
        .collect();
    assert_eq!(names, ["Left folder", "Left folder (other copy)"]);
    let roll = roll_of(&here, ROLL);
    let marks = Marks::of_roll(here.book(), roll);
    assert_eq!(
        marks.apertures().len(),
        6,
        "the roll follows the copy that it was shot with"
    );
    assert!(
        here.book()
            .asides()
            .any(|aside| aside.text.contains("1/30")),
        "set aside"
    );
    // A camera of a newer version that has this place is not written over.
    let mut newer = Desk::new(Book::new());
    newer.take_of_dial(&[(
        folder().0,
        "{\"format\":\"stopkeeper camera\",\"version\":9}".to_owned(),
    )]);
    let import = plan_import(newer.book(), &document(there.book())).expect("an export");
    let done = apply(&mut newer, Edit::Import(import));
    assert!(!done.touched.contains(&Key::new(Kind::Camera, FOLDER)));
    assert_eq!(newer.book().own_cameras().count(), 1, "under another id");
}

#[test]
fn an_import_writes_under_no_other_key_of_the_browser() {
    let hostile = "{\"format\":\"stopkeeper book\",\"version\":4,\"written\":\"2026-11-25\",\"count\":1,\"records\":[\n\
                   {\"format\":\"stopkeeper dial\",\"version\":1,\"record\":{\"id\":\"journal.roll.x\",\"text\":\"x\"}}\n]}\n";
    let import = plan_import(&Book::new(), hostile).expect("an export");
    assert_eq!(import.unreadable, 1);
    let mut desk = Desk::new(Book::new());
    let done = apply(&mut desk, Edit::Import(import));
    assert!(
        done.touched.iter().all(|key| key.of_dial().is_none()),
        "{done:?}"
    );
}

#[test]
fn what_the_dial_changed_since_is_not_undone() {
    let mut desk = Desk::new(Book::new());
    let import = plan_import(desk.book(), &document(in_folder().book())).expect("an export");
    apply(&mut desk, Edit::Import(import));
    assert!(!desk.take_of_dial(&of_dial()), "nothing new");
    let mut turned = of_dial();
    turned[1].1 = turned[1].1.replace("1/30", "1/60");
    assert!(desk.take_of_dial(&turned));
    let done = desk.undo().expect("the import");
    assert!(
        !done.touched.contains(&Key::new(Kind::Dial, "setting")),
        "{done:?}"
    );
    assert!(
        done.touched.contains(&Key::new(Kind::Camera, FOLDER)),
        "{done:?}"
    );
    assert!(desk.book().get(&Key::new(Kind::Dial, "setting")).is_some());
    assert_eq!(desk.book().rolls().count(), 0);
    desk.redo();
    assert_eq!(desk.book().own_cameras().count(), 1);
}

#[test]
fn golden_cameras_and_what_the_dial_keeps_are_read_and_written_to_the_letter() {
    let golden = include_str!("../golden/cameras-4.json");
    let import = plan_import(&Book::new(), golden).expect("an export");
    let mut desk = Desk::new(Book::new());
    apply(&mut desk, Edit::Import(import));
    same("written again", &document(desk.book()), golden);
    let kinds: Vec<Kind> = desk.book().records().map(Record::kind).collect();
    assert!(kinds.contains(&Kind::Camera) && kinds.contains(&Kind::Dial));
    let loading = roll_of(&desk, ROLL).loading().expect("a loading");
    assert_eq!(
        (loading.camera_id.as_deref(), loading.device.as_deref()),
        (Some(FOLDER), Some("clip"))
    );
}

#[test]
fn lessons_and_what_was_learned_go_along_and_come_back() {
    let golden = include_str!("../golden/lessons-5.json");
    let import = plan_import(&Book::new(), golden).expect("an export");
    assert!(
        import.says.iter().any(|line| line
            == "Adds what was learned, a lesson (2 records) and the setting of the dial."),
        "{:?}",
        import.says
    );
    let mut desk = Desk::new(Book::new());
    apply(&mut desk, Edit::Import(import));
    let text = |id: &str| match desk.book().get(&Key::new(Kind::Dial, id)) {
        Some(Record::Dial(record)) => Some(record.text.clone()),
        _ => None,
    };
    assert!(
        text("learned").is_some_and(|text| text.starts_with("stopkeeper learned 1\n")),
        "to the letter"
    );
    // Where the same lesson is another one here, both are kept; what was learned here stays.
    let mut here = desk.book().clone();
    let other = golden
        .replace("first hour", "second hour")
        .replace("asked 12", "asked 13");
    let import = plan_import(&here, &other).expect("an export");
    let says = import.says.join("\n");
    assert!(
        says.contains("“Stops, first hour” differs from the one here. Both are kept"),
        "{says}"
    );
    assert!(
        says.contains("The file has another version of this: what was learned."),
        "{says}"
    );
    let mut desk = Desk::new(std::mem::take(&mut here));
    apply(&mut desk, Edit::Import(import));
    let names: Vec<&str> = desk.book().records().map(Record::name).collect();
    for name in ["Stops, first hour", "Stops, second hour"] {
        assert!(names.contains(&name), "{name} of {names:?}");
    }
    let learned = desk.book().get(&Key::new(Kind::Dial, "learned"));
    assert!(
        matches!(learned, Some(Record::Dial(record)) if record.text.contains("asked 12 ")),
        "{learned:?}"
    );
    // Under the key by which what teaches finds it.
    let key = Key::new(Kind::Dial, "lesson.1764200000000");
    assert_eq!(
        key.of_dial().as_deref(),
        Some("stopkeeper.lesson.1764200000000")
    );
}
