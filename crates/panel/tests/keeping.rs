//! Stored records and links: damage, newer versions, other tabs. Nothing that was there is lost.

use panel::{
    CameraForm, Control, Intent, Save, State, apply, derive, link,
    store::{self, Found},
};

/// A setting as version 1 writes it. It has to open for ever.
const GOLDEN_SETTING: &str = include_str!("golden/setting-1.json");
/// The same with corrections and where the reading came from, as version 2 writes it.
const GOLDEN_SETTING_2: &str = include_str!("golden/setting-2.json");
/// The same with how far the reading may be off, and corrections that belong to a time or a stop, as version 3 writes it.
const GOLDEN_SETTING_3: &str = include_str!("golden/setting-3.json");
/// A camera of the user's own as version 1 writes it.
const GOLDEN_CAMERA: &str = include_str!("golden/camera-1.json");
const GOLDEN_CAMERA_KEY: &str = "stopkeeper.camera.own-garden-folder-1";

fn golden() -> Found {
    Found {
        setting: Some(GOLDEN_SETTING.trim_end().to_owned()),
        cameras: vec![(
            GOLDEN_CAMERA_KEY.to_owned(),
            GOLDEN_CAMERA.trim_end().to_owned(),
        )],
    }
}

fn form(name: &str) -> CameraForm {
    CameraForm {
        name: name.to_owned(),
        times: "1/25 1/50 1/100 B".to_owned(),
        apertures: "6.3 8 11 16".to_owned(),
        steps: "engraved".to_owned(),
        focal: String::new(),
    }
}

#[test]
fn version_1_opens_and_is_written_again_to_the_letter() {
    let opened = store::open(&golden());
    assert!(opened.notices.is_empty(), "{:?}", opened.notices);
    assert!(opened.may_write_setting, "our own version is written");
    let view = derive(&opened.state);
    assert_eq!(
        view.camera.chosen, "own-garden-folder-1",
        "the own camera is in use"
    );
    assert_eq!(view.dials[0].value, "1/50", "the time");
    assert_eq!(
        store::encode_setting(&opened.state),
        GOLDEN_SETTING.trim_end(),
        "the setting as it was"
    );
    let cameras = store::encode_cameras(&opened.state);
    assert_eq!(cameras, golden().cameras, "the camera as it was");
}

#[test]
fn version_2_opens_and_is_written_again_to_the_letter() {
    let opened = store::open(&Found {
        setting: Some(GOLDEN_SETTING_2.trim_end().to_owned()),
        ..golden()
    });
    assert!(opened.notices.is_empty(), "{:?}", opened.notices);
    let view = derive(&opened.state);
    assert_eq!(
        view.reading.from, "From: photo",
        "where the reading came from"
    );
    let names: Vec<_> = view
        .ledger
        .corrections()
        .iter()
        .map(|line| (line.name.as_str(), line.counts == Some(true)))
        .collect();
    assert_eq!(
        names,
        [
            ("Left over by the marks", true),
            ("Filter, factor 5", true),
            ("Close-up, 1.17 times", false),
            ("Long times: A film (invented)", true),
        ],
        "in the order of counting"
    );
    assert_eq!(
        store::encode_setting(&opened.state),
        GOLDEN_SETTING_2.trim_end(),
        "the setting as it was"
    );
}

#[test]
fn version_3_opens_and_is_written_again_to_the_letter() {
    let opened = store::open(&Found {
        setting: Some(GOLDEN_SETTING_3.trim_end().to_owned()),
        ..golden()
    });
    assert!(opened.notices.is_empty(), "{:?}", opened.notices);
    let view = derive(&opened.state);
    assert_eq!(
        view.reading.light, "EV 12 at ISO 100, give or take about ⅔ stop",
        "how far the reading may be off"
    );
    let lines: Vec<_> = view
        .ledger
        .corrections()
        .iter()
        .map(|line| (line.name.as_str(), line.stops.as_str()))
        .collect();
    assert_eq!(
        lines,
        [
            ("Lens, by aperture", "0.08 stop less light"),
            ("Leaf shutter at small stops", "nothing at this setting"),
            ("Shutter, 1/50 gives 1/32", "0.64 stop more light"),
        ],
        "as they are at 1/50"
    );
    assert_eq!(
        store::encode_setting(&opened.state),
        GOLDEN_SETTING_3.trim_end(),
        "the setting as it was"
    );
    let fragment = link::fragment(&opened.state);
    assert!(fragment.starts_with("set3."), "{fragment}");
    let (linked, _) = apply(&State::default(), &Intent::OpenLink(fragment)).expect("a link");
    assert_eq!(linked.doubt(), opened.state.doubt(), "through a link");
    // The setting behind the one of a link keeps its own.
    let (other, _) = apply(
        &opened.state,
        &Intent::OpenLink(link::fragment(&State::default())),
    )
    .expect("a link");
    let kept = store::open(&Found {
        setting: Some(store::encode_setting(&other)),
        ..golden()
    });
    assert!(kept.notices.is_empty(), "{:?}", kept.notices);
    let (back, _) = apply(&kept.state, &Intent::LeaveLink).expect("the way back");
    assert_eq!(back.doubt(), opened.state.doubt(), "and back");
}

#[test]
fn a_doubt_that_cannot_be_is_damage() {
    for damaged in ["0", "10001", "-1", "0.5", "\"728\"", "null"] {
        let text = GOLDEN_SETTING_3.replace("728", damaged);
        let opened = store::open(&Found {
            setting: Some(text),
            ..golden()
        });
        assert_eq!(opened.set_aside.len(), 1, "{damaged} is set aside");
    }
}

#[test]
fn every_byte_of_damage_is_survived_and_kept() {
    for text in [GOLDEN_SETTING, GOLDEN_SETTING_2, GOLDEN_SETTING_3] {
        every_byte_of(text.trim_end());
    }
}

fn every_byte_of(text: &str) {
    for i in 0..text.len() {
        for replacement in [b'!', b'9'] {
            let mut bytes = text.as_bytes().to_vec();
            bytes[i] = replacement;
            let Ok(damaged) = String::from_utf8(bytes) else {
                continue;
            };
            let opened = store::open(&Found {
                setting: Some(damaged.clone()),
                ..golden()
            });
            let kept = !opened.may_write_setting
                || opened.notices.is_empty()
                || !opened.set_aside.is_empty();
            assert!(
                kept,
                "byte {i}: a record that was not taken is set aside or left alone"
            );
            assert_eq!(
                store::encode_cameras(&opened.state).len(),
                1,
                "byte {i}: the camera is not harmed"
            );
        }
        let cut = store::open(&Found {
            setting: Some(text[..i].to_owned()),
            ..golden()
        });
        assert_eq!(cut.set_aside.len(), 1, "cut at {i}: set aside");
        assert_eq!(cut.notices.len(), 1, "cut at {i}: and said");
    }
}

#[test]
fn two_damaged_records_never_share_a_place() {
    let aside = |text: &str| {
        let opened = store::open(&Found {
            setting: Some(text.to_owned()),
            cameras: Vec::new(),
        });
        opened.set_aside[0].1.clone()
    };
    assert_ne!(aside("{"), aside("["), "each under a key of its own");
    assert!(
        aside("{").starts_with(store::ASIDE_PREFIX),
        "and easy to find"
    );
}

#[test]
fn a_newer_version_is_never_written_over() {
    let newer = GOLDEN_SETTING.replace("\"version\":1", "\"version\":4");
    let opened = store::open(&Found {
        setting: Some(newer),
        ..golden()
    });
    assert!(!opened.may_write_setting, "the record stays as it is");
    assert!(opened.set_aside.is_empty(), "and where it is");
    assert!(
        opened.notices[0].contains("newer version"),
        "{:?}",
        opened.notices
    );
}

#[test]
fn a_camera_removed_elsewhere_does_not_cost_the_setting() {
    let opened = store::open(&Found {
        cameras: Vec::new(),
        ..golden()
    });
    assert!(opened.notices.is_empty(), "{:?}", opened.notices);
    assert_eq!(
        derive(&opened.state).reading.time,
        "1/125",
        "the reading is still there"
    );
}

#[test]
fn cameras_of_two_tabs_meet() {
    let saved = |state: &State, name: &str| {
        let (next, outcome) =
            apply(state, &Intent::SaveCamera(None, form(name))).expect("a valid camera");
        assert_eq!(outcome.save, Save::Cameras, "a new camera is stored");
        next
    };
    let here = saved(&State::default(), "Blue folder");
    let there = saved(&State::default(), "Attic box");
    let mut records = store::encode_cameras(&here);
    records.extend(store::encode_cameras(&there));
    let (both, _) = apply(&here, &Intent::CamerasElsewhere(records)).expect("our own records");
    let names: Vec<String> = derive(&both)
        .camera
        .all
        .into_iter()
        .map(|(_, name)| name)
        .collect();
    assert!(
        names.contains(&"Blue folder".to_owned()) && names.contains(&"Attic box".to_owned()),
        "{names:?}"
    );
    // A camera in use is not taken out of the hand by another tab.
    let (kept, _) = apply(&both, &Intent::CamerasElsewhere(Vec::new())).expect("nothing there");
    assert_eq!(
        derive(&kept).camera.chosen,
        derive(&here).camera.chosen,
        "still in use"
    );
}

#[test]
fn a_link_brings_its_camera_and_never_changes_ours() {
    let (theirs, _) = apply(
        &State::default(),
        &Intent::SaveCamera(None, form("Blue folder")),
    )
    .expect("a camera");
    let id = derive(&theirs).camera.chosen;
    let changed = CameraForm {
        times: "1/50 1/100".to_owned(),
        ..form("Blue folder")
    };
    let (ours, _) = apply(
        &theirs,
        &Intent::SaveCamera(Some(id.clone()), changed.clone()),
    )
    .expect("a change");
    let (opened, _) = apply(&ours, &Intent::OpenLink(link::fragment(&theirs))).expect("a link");
    assert_eq!(
        panel::set_up::camera(&opened).form.times,
        form("").times,
        "theirs is shown"
    );
    assert_ne!(derive(&opened).camera.chosen, id, "under an id of its own");
    let (back, _) = apply(&opened, &Intent::LeaveLink).expect("the way back");
    assert_eq!(
        panel::set_up::camera(&back).form,
        changed,
        "ours is unchanged"
    );
}

#[test]
fn links_that_cannot_be_read_change_nothing() {
    let state = State::default();
    let whole = link::fragment(&state);
    for cut in 0..whole.len() {
        let refusal =
            apply(&state, &Intent::OpenLink(whole[..cut].to_owned())).expect_err("half a link");
        assert!(
            refusal.sentence.contains("nothing was changed"),
            "{}",
            refusal.sentence
        );
    }
    let newer = apply(&state, &Intent::OpenLink("set4.abc".to_owned())).expect_err("a newer link");
    assert!(
        newer.sentence.contains("newer version"),
        "{}",
        newer.sentence
    );
    let padded = apply(&state, &Intent::OpenLink(format!(" {whole}\n")))
        .expect("white space around a pasted link");
    assert!(padded.0.from_link(), "is no damage");
}

#[test]
fn described_kinds_stay_as_they_are() {
    let state = State::default();
    let id = derive(&state).camera.chosen;
    let refusal = apply(&state, &Intent::SaveCamera(Some(id.clone()), form("Mine")))
        .expect_err("a described kind");
    assert!(refusal.sentence.contains("copy it"), "{}", refusal.sentence);
    assert!(
        apply(&state, &Intent::RemoveCamera(id)).is_err(),
        "nor can it be removed"
    );
    assert_eq!(
        derive(&state).dials[Control::Time.index()].value,
        "1/125",
        "nothing moved"
    );
}

/// The book reads cameras from where the dial keeps them: both read the same record, and write it to the letter.
#[test]
fn a_camera_is_one_record_for_the_dial_and_the_book() {
    let mut state = State::default();
    let mut attic = form("Attic folder");
    attic.focal = "10,5 mm".to_owned();
    for form in [form("Garden “folder”"), attic] {
        (state, _) = apply(&state, &Intent::SaveCamera(None, form)).expect("a camera");
    }
    let mut found = store::encode_cameras(&state);
    found.push((
        GOLDEN_CAMERA_KEY.to_owned(),
        GOLDEN_CAMERA.trim_end().to_owned(),
    ));
    let mut desk = book::Desk::default();
    desk.take_of_dial(&found);
    let there = desk.book();
    assert_eq!(there.own_cameras().count(), 3);
    for (key, text) in &found {
        let record = there
            .records()
            .find(|record| record.key().of_dial().as_ref() == Some(key));
        assert_eq!(
            record.map(book::encode).as_ref(),
            Some(text),
            "to the letter"
        );
    }
    let of_dial = store::cameras(&found);
    assert_eq!(
        there.cameras().len(),
        of_dial.len(),
        "the described kinds as well"
    );
    for known in there.cameras() {
        let (_, marks) = of_dial
            .iter()
            .find(|(name, _)| *name == known.name)
            .expect("a name");
        assert_eq!(
            there.camera(&known.id).as_ref(),
            Some(marks),
            "{}",
            known.name
        );
    }
}
