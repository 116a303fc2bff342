//! The record of a measured picture: what was written is read, what is damaged or newer is said.

use proptest::prelude::*;
use scans::Measured;

use crate::made::Made;

fn known() -> Measured {
    Made {
        size: (48, 32),
        cast: 0.5,
        ..Made::new(2, 0.5)
    }
    .measured()
}

#[test]
fn records_come_back() {
    for scene in 0..6 {
        let measured = Made {
            stops: 1.5,
            ..Made::new(scene, 0.0)
        }
        .measured();
        let text = measured.text();
        assert_eq!(
            Measured::read(&text).as_ref(),
            Ok(&measured),
            "scene {scene}"
        );
        assert!(text.len() < 12_000, "{} bytes", text.len());
    }
}

#[test]
fn golden_record() {
    let measured = Measured::of(
        &scans::Pixels::new(4, 2, &[118, 118, 118, 255].repeat(8)).expect("as many as said"),
    );
    assert_eq!(
        measured.text(),
        "stopkeeper measured 2\nsize 4 2\nbright 0 0 0 0\ndark 0 0 0 0\ntones 118 118 118 118 118 118 118\n\
         bars 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 1 0 0 0 0 0\nnoise none\npiece none\nthirds none none none\ncast none\n\
         cast 49.637015 0 0 0 0\ncast none\ngrid 4 2 dnZ2dnZ2dnY\ncolours 4 2 dnZ2dnZ2dnZ2dnZ2dnZ2dnZ2dnZ2dnZ2\ncheck 9005d74a\n"
    );
    // Version 1 had neither colours nor what noise was measured on.
    let first = "stopkeeper measured 1\nsize 4 2\nbright 0 0 0 0\ndark 0 0 0 0\ntones 118 118 118 118 118 118 118\n\
         bars 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 1 0 0 0 0 0\nnoise none\nthirds none none none\ncast none\n\
         cast 49.637015 0 0 0 0\ncast none\ngrid 4 2 dnZ2dnZ2dnY\ncheck 17980d5a\n";
    let older = Measured {
        colours: None,
        ..measured
    };
    assert_eq!(Measured::read(first).as_ref(), Ok(&older), "version 1");
    assert_eq!(Measured::read(&older.text()), Ok(older), "written again");
}

#[test]
fn newer_and_damaged_records_are_told_apart() {
    let text = known().text();
    let newer = text.replacen("measured 2", "measured 3", 1);
    assert!(Measured::is_whole(&text) && !Measured::is_whole(&newer));
    let said = Measured::read(&newer).expect_err("newer").to_string();
    assert!(said.contains("newer version"), "{said}");
    for damaged in [
        "",
        "stopkeeper measured",
        "stopkeeper measured 01\n",
        "{}",
        &text[1..],
        &text[..text.len() - 1],
    ] {
        assert!(!Measured::is_whole(damaged), "“{damaged}”");
        let said = Measured::read(damaged).expect_err("damaged").to_string();
        assert!(said.contains("damaged"), "“{damaged}”: {said}");
    }
}

proptest! {
    #[test]
    fn any_damage_shows(at in any::<prop::sample::Index>(), letter in any::<u8>(), cut in any::<prop::sample::Index>()) {
        let measured = known();
        let text = measured.text();
        let mut bytes = text.clone().into_bytes();
        let at = at.index(bytes.len());
        bytes[at] = letter & 0x7F;
        let changed = String::from_utf8(bytes).expect("plain letters");
        prop_assert_eq!(Measured::is_whole(&changed), changed == text);
        if changed == text {
            prop_assert_eq!(Measured::read(&changed), Ok(measured));
        } else {
            prop_assert!(Measured::read(&changed).is_err(), "letter {at}");
        }
        let cut = &text[..cut.index(text.len())];
        prop_assert!(!Measured::is_whole(cut) && Measured::read(cut).is_err());
    }

    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,200}") {
        prop_assert!(Measured::read(&text).is_err());
        for version in 0..4 {
            let headed = format!("stopkeeper measured {version}\n{text}");
            prop_assert!(Measured::read(&headed).is_err());
        }
    }
}
