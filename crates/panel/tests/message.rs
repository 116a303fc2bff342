//! What the programs tell each other comes through as it was told, whatever names and sentences hold.

use panel::message::{Ask, Frame, Go, Logged, Page, Place, ToBook, ToDial, ToLearn, ToLight};
use proptest::prelude::*;

/// Any text at all, line ends and quotes among it.
fn any_text() -> impl Strategy<Value = String> {
    prop_oneof![
        any::<String>(),
        "[\\PC\n\t\r\"\\\\\u{0}\u{1f}\u{2028}]{0,20}",
        Just(String::new()),
    ]
}

fn place() -> impl Strategy<Value = Place> {
    (any::<u16>(), any_text()).prop_map(|(scene, roll)| {
        let place = Place::new(scene, &roll);
        assert_eq!(place.parts(), Some((scene, roll.as_str())), "both parts");
        place
    })
}

fn frame() -> impl Strategy<Value = Frame> {
    (any::<usize>(), place()).prop_map(|(index, place)| Frame { index, place })
}

fn logged() -> impl Strategy<Value = Logged> {
    (any_text(), any_text(), place()).prop_map(|(series, words, place)| Logged {
        series,
        words,
        place,
    })
}

fn to_book() -> impl Strategy<Value = ToBook> {
    prop_oneof![
        Just(ToBook::Open),
        Just(ToBook::Next),
        any::<usize>().prop_map(ToBook::Opened),
        any_text().prop_map(ToBook::Ask),
        (any_text(), any_text()).prop_map(|(roll, series)| ToBook::Log { roll, series }),
        frame().prop_map(ToBook::Tick),
        frame().prop_map(ToBook::Slip),
    ]
}

fn page() -> impl Strategy<Value = Page> {
    proptest::sample::select(&[
        Page::Readings,
        Page::Corrections,
        Page::Photo,
        Page::Timer,
        Page::Counts,
        Page::More,
    ])
}

fn to_light() -> impl Strategy<Value = ToLight> {
    let ask = prop_oneof![
        page().prop_map(Ask::Page),
        any_text().prop_map(Ask::Time),
        Just(Ask::Shared),
    ];
    (ask, any_text()).prop_map(|(ask, setting)| ToLight { ask, setting })
}

fn to_dial() -> impl Strategy<Value = ToDial> {
    prop_oneof![
        (any_text(), any_text()).prop_map(|(setting, sentence)| ToDial::Take { setting, sentence }),
        any_text().prop_map(ToDial::Count),
        any_text().prop_map(ToDial::Said),
        logged().prop_map(ToDial::Logged),
        any_text().prop_map(ToDial::Noted),
        any_text().prop_map(ToDial::Kept),
    ]
}

proptest! {
    #[test]
    fn a_message_comes_through(book in to_book(), light in to_light(), dial in to_dial(), setting in any_text()) {
        let learn = ToLearn { lesson: setting.clone(), setting };
        prop_assert_eq!(ToLearn::read(&learn.text()), Some(learn));
        prop_assert_eq!(ToBook::read(&book.text()), Some(book));
        prop_assert_eq!(ToLight::read(&light.text()), Some(light));
        prop_assert_eq!(ToDial::read(&dial.text()), Some(dial));
    }

    #[test]
    fn what_was_logged_is_remembered(logged in logged()) {
        prop_assert_eq!(Logged::of_record(&logged.clone().record()), Some(logged));
    }

    #[test]
    fn any_other_text_is_no_message_and_no_panic(text in any_text(), texts in prop::collection::vec(any_text(), 0..6)) {
        let list = serde_json::to_string(&texts).expect("a list of texts");
        for text in [text, list] {
            // Whatever is read of it is a message that says the same again.
            if let Some(message) = ToBook::read(&text) {
                prop_assert_eq!(ToBook::read(&message.text()), Some(message));
            }
            if let Some(message) = ToLight::read(&text) {
                prop_assert_eq!(ToLight::read(&message.text()), Some(message));
            }
            if let Some(message) = ToLearn::read(&text) {
                prop_assert_eq!(ToLearn::read(&message.text()), Some(message));
            }
            if let Some(message) = ToDial::read(&text) {
                prop_assert_eq!(ToDial::read(&message.text()), Some(message));
            }
            let _ = (Logged::of_record(&text), Go::of(&text));
        }
    }
}

#[test]
fn half_a_message_is_none() {
    let frame = Frame {
        index: 2,
        place: Place::new(3, "old-2"),
    };
    let tick = ToBook::Tick(frame).text();
    for cut in 0..tick.len() {
        assert_eq!(ToBook::read(&tick[..cut]), None, "{}", &tick[..cut]);
    }
    for text in [
        r#"["tick","0"]"#,
        r#"["tick","-1","3 old-2"]"#,
        r#"["tick",0,"3 old-2"]"#,
        r#"["tick","0","3","old-2"]"#,
        r#"["open","more"]"#,
        r#"{"open":""}"#,
        "[]",
        "open",
        "",
    ] {
        assert_eq!(ToBook::read(text), None, "{text}");
    }
    for text in [
        r#"["open"]"#,
        r#"["open","a"]"#,
        r#"["open","a","b","c"]"#,
        r#"["see","a","b"]"#,
    ] {
        assert_eq!(ToLearn::read(text), None, "{text}");
    }
    for text in [
        r#"["moon","set1.a"]"#,
        r#"["timer"]"#,
        r#"["time","set1.a"]"#,
    ] {
        assert_eq!(ToLight::read(text), None, "{text}");
    }
    for text in [
        r#"["take","set1.a"]"#,
        r#"["said"]"#,
        r#"["logged","a","b"]"#,
    ] {
        assert_eq!(ToDial::read(text), None, "{text}");
    }
}

/// A series that was logged by a page of before goes on after an update.
#[test]
fn a_record_of_before_is_read() {
    let record = "set1.eyJ9\nOld 2, scene 3\n3 old 2";
    let logged = Logged::of_record(record).expect("three lines");
    assert_eq!(
        logged,
        Logged {
            series: "set1.eyJ9".to_owned(),
            words: "Old 2, scene 3".to_owned(),
            place: Place::new(3, "old 2"),
        },
        "the setting stands for the series"
    );
    for damaged in ["", "set1.a", "set1.a\nOld 2"] {
        assert_eq!(Logged::of_record(damaged), None, "{damaged:?}");
    }
    let nowhere = Logged::of_record("a\nb\nx old-2").expect("three lines");
    assert_eq!(
        nowhere.place.parts(),
        None,
        "the book says that it is not there"
    );
}

#[test]
fn what_is_asked_for_is_in_one_of_two_programs() {
    let finds = [
        Ask::Page(Page::Readings),
        Ask::Page(Page::Photo),
        Ask::Shared,
    ];
    assert!(finds.iter().all(Ask::finds));
    let time = Ask::Time("15 s".to_owned());
    let pages = [Page::Corrections, Page::Timer, Page::Counts, Page::More].map(Ask::Page);
    assert!(!time.finds() && !pages.iter().any(Ask::finds));
}

#[test]
fn each_word_of_the_document_names_a_page() {
    for (word, page) in [
        ("readings", Page::Readings),
        ("corrections", Page::Corrections),
        ("timer", Page::Timer),
        ("counts", Page::Counts),
    ] {
        assert_eq!(Page::of(word), Some(page), "{word}");
    }
    assert_eq!(Page::of("shoot"), None, "no page");
}
