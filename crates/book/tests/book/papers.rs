//! Tables, slips, tape and sidecars.

use book::{
    CSV_HEAD, Development, Edit, Finding, Run, Slip, Sureness, csv, example, lab_slip, labels,
    sidecars, slip_caution, tape, xmp, zip,
};
use proptest::prelude::*;

use crate::check::{
    apply, date, light, load, loaded, pier, roll_of, same, series, slip, speed, take_all, two_rolls,
};

const ROLL: &str = "box-1";

/// Reads comma-separated values by the grammar of RFC 4180, by itself and not by the writer.
fn read(text: &str) -> Vec<Vec<String>> {
    let text = text.strip_prefix('\u{feff}').expect("a byte order mark");
    let mut out = vec![vec![String::new()]];
    let mut chars = text.chars().peekable();
    let mut quoted = false;
    while let Some(c) = chars.next() {
        let row = out.last_mut().expect("a row");
        let cell = row.last_mut().expect("a cell");
        match (quoted, c) {
            (true, '"') if chars.peek() == Some(&'"') => {
                chars.next();
                cell.push('"');
            }
            (true, '"') => quoted = false,
            (false, '"') if cell.is_empty() => quoted = true,
            (false, ',') => row.push(String::new()),
            (false, '\r') if chars.peek() == Some(&'\n') => {
                chars.next();
                out.push(vec![String::new()]);
            }
            _ => cell.push(c),
        }
    }
    out.pop();
    out
}

#[test]
fn the_table_of_the_example() {
    let book = example();
    let roll = book.find_roll("example.roll-1").expect("a roll");
    let table = read(&csv(&book, &[roll]));
    assert_eq!(table[0], CSV_HEAD, "the head");
    assert_eq!(table.len(), 1 + roll.frames.len(), "a row for each frame");
    let eight = table.iter().find(|row| row[1] == "8").expect("frame 8");
    assert_eq!(
        eight[2..14],
        [
            "2 Sheds in open shade",
            "picture",
            "shot",
            "1/60 s",
            "f/5.6",
            "1 stop more light",
            "1/60 s",
            "f/4",
            "EI 20",
            "2 stops more light",
            "3⅓ stops more light",
            "3.33",
        ],
        "planned and as shot stand side by side"
    );
    assert_eq!(
        eight[24..],
        [
            "Example: Harbour 200 (invented)",
            "example.shoebox",
            "2004-06",
            "kept in a room",
            "invented folding camera",
            "",
            "200",
            "80",
            "20",
            "0.015625",
            "5.66",
            "0.015625",
            "4",
            "1",
            "2",
            "2",
            "",
        ],
        "numbers beside the words"
    );
    let one = table.iter().find(|row| row[1] == "1").expect("frame 1");
    assert_eq!(one[12..14], ["⅓ stop more light", "0.33"], "from box speed");
}

/// What spreadsheets do with texts: `1/60`, `5/8`, `3 March` become dates, `1e5` a number, and what begins with `=`, `+`, `-` or
/// `@` is worked out.
#[test]
fn no_text_is_taken_for_a_formula_a_date_or_a_number() {
    let mut desk = loaded("400", "100");
    pier(&mut desk, &[("1/60", "5.6", 0)]);
    for (note, cell) in [
        ("=1+1", "'=1+1"),
        ("+1 push", "'+1 push"),
        ("-1", "'-1"),
        ("@home", "'@home"),
        (" =A1", "' =A1"),
        ("'=A1", "''=A1"),
        ("1/60", "'1/60"),
        ("5/8", "'5/8"),
        ("3 March", "'3 March"),
        ("Mär 3", "'Mär 3"),
        ("10:30 pm", "'10:30 pm"),
        ("1e5", "'1e5"),
        ("2004-06", "'2004-06"),
        ("8", "'8"),
        ("f/8", "f/8"),
        ("at 1/60", "at 1/60"),
        ("Harbour 1", "Harbour 1"),
        ("boats, \"east\"", "boats, \"east\""),
        ("March", "March"),
        ("", ""),
    ] {
        let edit = Edit::Note {
            roll: ROLL.to_owned(),
            frame: 1,
            note: note.to_owned(),
        };
        apply(&mut desk, edit);
        let table = read(&csv(desk.book(), &[roll_of(&desk, ROLL)]));
        same("the note", &table[1][18], cell);
        same("the time", &table[1][5], "1/60 s");
    }
}

#[test]
fn a_scene_is_named_and_noted_later() {
    let mut desk = loaded("400", "100");
    pier(&mut desk, &[("1/60", "5.6", 0)]);
    let before = roll_of(&desk, ROLL).clone();
    let edit = |scene: u16| Edit::DescribeScene {
        roll: ROLL.to_owned(),
        scene,
        name: "boats".to_owned(),
        note: "sun behind the mast".to_owned(),
    };
    let done = apply(&mut desk, edit(1));
    same("said", &done.said, "Name and note of scene 1 kept.");
    let table = read(&csv(desk.book(), &[roll_of(&desk, ROLL)]));
    same("the scene", &table[1][2], "1 boats");
    same("its note", &table[1][40], "sun behind the mast");
    // Nothing else is another.
    let after = roll_of(&desk, ROLL);
    assert_eq!(
        (&before.frames, &before.scenes[0].light),
        (&after.frames, &after.scenes[0].light)
    );
    desk.apply(&edit(2)).expect_err("a scene that is not there");
    desk.undo().expect("a step to undo");
    assert_eq!(*roll_of(&desk, ROLL), before);
}

#[test]
fn less_light_has_a_plain_minus_in_the_column_of_figures() {
    let mut desk = loaded("100", "100");
    pier(&mut desk, &[("1/125", "8", 0), ("1/250", "8", -12)]);
    let text = csv(desk.book(), &[roll_of(&desk, ROLL)]);
    assert_eq!(
        read(&text)[2][12..14],
        ["1 stop less light", "-1"],
        "{text}"
    );
}

#[test]
fn case_21_the_slip_cannot_be_taken_for_a_push() {
    // Box 400 rated 100 on purpose: two stops more light, developed normally for 400.
    let desk = loaded("400", "100");
    let slip = lab_slip(desk.book(), roll_of(&desk, ROLL), Development::Normal);
    assert_eq!(
        slip,
        [
            "Roll: Harbour 1",
            "Film: colour negative, box speed ISO 400",
            "Process: not known. Please ask before you develop.",
            "Shot at EI 100 on purpose.",
            "Develop normally, for ISO 400. No push and no pull.",
            "Scan every frame with one fixed setting for exposure and colour. No correction frame by frame.",
            "Keep the order of the film and leave no frame out, also where it is blank, thin or dense.",
            "Keep the edge numbers in sight and send the film back.",
        ]
    );
    for line in &slip {
        assert!(!line.contains(['+', '−']), "no bare sign: {line}");
    }
    let push = lab_slip(
        desk.book(),
        roll_of(&desk, ROLL),
        Development::PushThirds(3),
    )
    .join(" ");
    assert!(
        push.contains("Push the development by one stop: longer than normal for ISO 400, for the film got too little light."),
        "{push}"
    );
}

#[test]
fn the_slip_names_frames_that_are_blank_and_cards() {
    let book = example();
    let mut desk = book::Desk::new(book);
    let roll = "example.roll-1";
    slip(
        &mut desk,
        roll,
        Run::Numbers {
            from: 2,
            to: Some(4),
        },
        Slip::Fate(book::Fate::Lost),
    );
    let text = lab_slip(desk.book(), roll_of(&desk, roll), Development::Normal).join("\n");
    assert!(
        text.contains("Blank or spoiled, and known to be: frames 2 to 4."),
        "{text}"
    );
    assert!(
        text.contains("Cards with notes, part of the order: frames 5, 10 and 15."),
        "{text}"
    );
    assert!(text.contains("On the film: 15 frames."), "{text}");
}

#[test]
fn what_contradicts_the_light_that_was_given_is_asked_about() {
    let mut desk = loaded("400", "100");
    pier(&mut desk, &[("1/125", "8", 0)]);
    take_all(&mut desk, ROLL);
    let caution = |desk: &book::Desk, what| slip_caution(desk.book(), roll_of(desk, ROLL), what);
    assert!(
        caution(&desk, Development::PushThirds(6))
            .is_some_and(|text| text.contains("2 stops more light")),
        "a push of film that got two stops more light"
    );
    assert_eq!(caution(&desk, Development::Normal), None, "normal is right");
    assert_eq!(
        caution(&desk, Development::PullThirds(3)),
        None,
        "a pull does not contradict more light"
    );
    // Case 9 on film of box speed 100: the meter stood at 800, so the film got three stops less light.
    let mut desk = loaded("100", "100");
    pier(&mut desk, &[("1/125", "8", 0)]);
    take_all(&mut desk, ROLL);
    slip(&mut desk, ROLL, Run::One(1), Slip::Meter(speed("800")));
    assert!(
        caution(&desk, Development::Normal)
            .is_some_and(|text| text.contains("Ask the lab about a push")),
        "three stops less light"
    );
    assert!(
        caution(&desk, Development::PullThirds(3)).is_some(),
        "a pull of thin film"
    );
}

#[test]
fn tape_says_what_is_loaded_and_what_the_rest_is_to_be_rated() {
    let mut desk = two_rolls();
    load(&mut desk, ROLL, "64");
    let finding = Finding {
        id: "first".to_owned(),
        group: desk.book().group_of(roll_of(&desk, ROLL)).expect("a group"),
        on: date("2024-07-01"),
        box_speed: speed("400"),
        rating: speed("100"),
        median_thousandths: 2000,
        liked_thousandths: (2000, 2000),
        usable_thousandths: None,
        sure: Sureness::Hint,
        evidence: Vec::new(),
        note: String::new(),
    };
    apply(&mut desk, Edit::Found(finding));
    let loaded = [
        "Harbour 1",
        "colour negative, box speed ISO 400",
        "RATED EI 64",
        "DEVELOP NORMALLY",
        "36 frames, in the old folder since 2024-05-01",
    ];
    let rest = [
        "Harbour 2",
        "colour negative, box speed ISO 400",
        "RATE AT EI 100 or near it",
        "DEVELOP NORMALLY",
    ];
    assert_eq!(tape(desk.book(), roll_of(&desk, ROLL)), loaded);
    assert_eq!(tape(desk.book(), roll_of(&desk, "box-2")), rest);
    // All of them at once, of the whole bag or of a batch; what is shot needs none.
    let both: Vec<Vec<String>> = [&loaded[..], &rest[..]]
        .iter()
        .map(|label| label.iter().map(|line| (*line).to_owned()).collect())
        .collect();
    assert_eq!(labels(desk.book(), None), both);
    assert_eq!(labels(desk.book(), Some("box")), both);
    assert!(labels(desk.book(), Some("other")).is_empty());
    let finished = Edit::Finish {
        roll: ROLL.to_owned(),
        on: date("2024-07-02"),
    };
    apply(&mut desk, finished);
    assert_eq!(labels(desk.book(), None), both[1..]);
}

#[test]
fn golden_the_sidecar_of_a_frame() {
    let book = example();
    let mut desk = book::Desk::new(book);
    let roll = "example.roll-1";
    let frame = roll_of(&desk, roll).frames[7].id;
    apply(
        &mut desk,
        Edit::Name {
            roll: roll.to_owned(),
            scans: vec![(frame, "scan_08.tif".to_owned())],
        },
    );
    apply(
        &mut desk,
        Edit::Note {
            roll: roll.to_owned(),
            frame,
            note: "ring moved <by hand> & noticed".to_owned(),
        },
    );
    let found = sidecars(desk.book(), roll_of(&desk, roll));
    assert_eq!(found.len(), 1, "one scan");
    same("name", &found[0].0, "scan_08.xmp");
    same("packet", &found[0].1, include_str!("../golden/sidecar.xmp"));
}

#[test]
fn the_sensitivity_is_the_printed_speed_and_a_whole_number() {
    // Reading ISO 100, 1/125 f/8, and what the frame was set to.
    for (time, stop, sensitivity) in [
        ("1/200", "f/8", "160"),
        ("1/125", "f/8", "100"),
        ("1/15", "f/8", "12"),
        ("1/13", "f/8", "10"),
        ("1/110", "f/8", "86"),
    ] {
        let mut desk = loaded("400", "100");
        pier(&mut desk, &[(time, stop, 0)]);
        let roll = roll_of(&desk, ROLL);
        let packet = xmp(desk.book(), roll, &roll.frames[0]);
        let field = format!(
            "<exifEX:PhotographicSensitivity>{sensitivity}</exifEX:PhotographicSensitivity>"
        );
        assert!(
            packet.contains(&field),
            "{time} {stop}: {field} in {packet}"
        );
    }
}

/// Exif takes a sensitivity as a whole number. What is below 1 would be written as another one.
#[test]
fn a_sensitivity_that_is_no_whole_number_is_a_fraction_and_below_one_that_alone() {
    for (time, stop, whole, fraction) in [
        ("1/125", "f/8", Some("100"), None),
        ("1/110", "f/8", Some("86"), Some("1375/16")),
        ("1s", "f/8", None, Some("4/5")),
        ("8s", "f/2.8", None, None),
    ] {
        let mut desk = loaded("400", "100");
        pier(&mut desk, &[(time, stop, 0)]);
        let roll = roll_of(&desk, ROLL);
        let packet = xmp(desk.book(), roll, &roll.frames[0]);
        let field = |name: &str| {
            let (_, rest) = packet.split_once(&format!("<{name}>"))?;
            Some(rest.split_once('<')?.0)
        };
        assert_eq!(
            field("exifEX:PhotographicSensitivity"),
            whole,
            "{time} {stop}"
        );
        assert_eq!(
            packet.contains("exif:ISOSpeedRatings"),
            whole.is_some(),
            "{time} {stop}"
        );
        assert_eq!(field("exif:ExposureIndex"), fraction, "{time} {stop}");
        assert!(packet.contains("as shot: "), "in words: {packet}");
    }
}

#[test]
fn times_and_apertures_are_fractions_of_whole_numbers() {
    for (time, stop, exposure, number) in [
        ("1/60", "f/8", "1/60", "8/1"),
        ("2s", "f/5.6", "2/1", "28/5"),
        ("1.5s", "f/1.4", "3/2", "7/5"),
        ("0.3s", "f/12.5", "3/10", "25/2"),
        ("1/250, measured 1/160", "f/4.5", "1/160", "9/2"),
        ("1/32000", "f/0.95", "1/32000", "19/20"),
    ] {
        let mut desk = loaded("400", "100");
        pier(&mut desk, &[(time, stop, 0)]);
        let roll = roll_of(&desk, ROLL);
        let packet = xmp(desk.book(), roll, &roll.frames[0]);
        for field in [
            format!("<exif:ExposureTime>{exposure}</exif:ExposureTime>"),
            format!("<exif:FNumber>{number}</exif:FNumber>"),
        ] {
            assert!(packet.contains(&field), "{field} in {packet}");
        }
    }
}

#[test]
fn two_scans_never_share_a_sidecar() {
    let mut desk = book::Desk::new(example());
    let roll = "example.roll-1";
    let names = ["05.tif", "05.jpg", "05.jpg", "folder/06.tif", ".hidden"];
    let scans: Vec<(u16, String)> = roll_of(&desk, roll)
        .frames
        .iter()
        .zip(names)
        .map(|(frame, name)| (frame.id, name.to_owned()))
        .collect();
    apply(
        &mut desk,
        Edit::Name {
            roll: roll.to_owned(),
            scans,
        },
    );
    let files: Vec<String> = sidecars(desk.book(), roll_of(&desk, roll))
        .into_iter()
        .map(|(name, _)| name)
        .collect();
    assert_eq!(
        files[..2],
        ["05.xmp", "05.jpg.xmp"],
        "the second keeps its ending"
    );
    assert_eq!(files[3..], ["06.xmp", ".hidden.xmp"], "no folders");
    let mut sorted = files.clone();
    sorted.sort();
    sorted.dedup();
    assert_eq!(sorted.len(), files.len(), "all differ: {files:?}");
}

/// The statements of a packet (subject, predicate, object), as an RDF/XML reader that is not ours finds them.
fn statements(packet: &str) -> Vec<[String; 3]> {
    let start = packet.find("<rdf:RDF").expect("RDF");
    let end = packet.find("</rdf:RDF>").expect("its end") + "</rdf:RDF>".len();
    let parser = oxrdfxml::RdfXmlParser::new()
        .with_base_iri("file:///scan")
        .expect("a base");
    parser
        .for_slice(&packet.as_bytes()[start..end])
        .map(|triple| {
            let triple = triple.unwrap_or_else(|error| panic!("{error} in {packet}"));
            let object = match &triple.object {
                oxrdf::Term::Literal(literal) => literal.value().to_owned(),
                other => other.to_string(),
            };
            [
                triple.subject.to_string(),
                triple.predicate.as_str().to_owned(),
                object,
            ]
        })
        .collect()
}

/// The value of a property.
fn value<'a>(found: &'a [[String; 3]], property: &str) -> &'a str {
    let statement = found.iter().find(|[_, predicate, _]| predicate == property);
    statement.map_or_else(
        || panic!("no {property} in {found:?}"),
        |[_, _, object]| object,
    )
}

/// The first item of a list property.
fn item<'a>(found: &'a [[String; 3]], property: &str) -> &'a str {
    let list = value(found, property);
    let first = "http://www.w3.org/1999/02/22-rdf-syntax-ns#_1";
    let statement = found
        .iter()
        .find(|[subject, predicate, _]| subject == list && predicate == first);
    statement.map_or_else(
        || panic!("no item of {property} in {found:?}"),
        |[_, _, object]| object,
    )
}

/// Reads a little-endian number.
fn number(bytes: &[u8]) -> usize {
    bytes
        .iter()
        .rev()
        .fold(0, |sum, byte| sum * 256 + usize::from(*byte))
}

#[test]
fn a_zip_lists_what_was_put_in() {
    let files = [
        ("a.xmp".to_owned(), "one".to_owned()),
        ("bä.xmp".to_owned(), String::new()),
    ];
    let bytes = zip(&files).expect("small files");
    let end = &bytes[bytes.len() - 22..];
    assert_eq!(&end[..4], b"PK\x05\x06", "the end record");
    assert_eq!(number(&end[10..12]), 2, "two files");
    let mut at = number(&end[16..20]);
    for (name, text) in &files {
        let entry = &bytes[at..];
        assert_eq!(&entry[..4], b"PK\x01\x02", "a directory entry");
        let (size, length) = (number(&entry[24..28]), number(&entry[28..30]));
        assert_eq!(&entry[46..46 + length], name.as_bytes(), "its name");
        let local = &bytes[number(&entry[42..46])..];
        assert_eq!(&local[..4], b"PK\x03\x04", "its local header");
        assert_eq!(
            &local[30 + length..30 + length + size],
            text.as_bytes(),
            "its contents"
        );
        at += 46 + length;
    }
    // CRC-32 of "one", worked out by another program.
    assert_eq!(number(&bytes[14..18]), 0x7a6c_86f1, "the check sum");
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_comes_out_of_the_table_as_it_went_in(note in "(?s).{0,40}", name in "[ a,\"\r\n]{1,8}") {
        let mut desk = loaded("400", "100");
        series(&mut desk, ROLL, &name, light("100", "1/125", "8", None), "100", &[("1/125", "8", 0)]);
        apply(&mut desk, Edit::Note { roll: ROLL.to_owned(), frame: 1, note: note.clone() });
        let table = read(&csv(desk.book(), &[roll_of(&desk, ROLL)]));
        prop_assert_eq!(table.len(), 2);
        // What a spreadsheet would take for something else has an apostrophe before it, and no other change.
        let kept = &table[1][18];
        prop_assert!(*kept == note || *kept == format!("'{note}"), "{kept:?}");
        let scene = format!("1 {name}");
        let kept = table[1][2].trim_start_matches('\'');
        prop_assert_eq!(kept, scene.trim_end());
    }

    #[test]
    fn an_independent_reader_finds_in_a_sidecar_what_was_put_in(note in "(?s).{0,40}") {
        let mut desk = loaded("400", "100");
        pier(&mut desk, &[("1/60", "5.6", 0)]);
        take_all(&mut desk, ROLL);
        apply(&mut desk, Edit::Note { roll: ROLL.to_owned(), frame: 1, note: note.clone() });
        let roll = roll_of(&desk, ROLL);
        let found = statements(&xmp(desk.book(), roll, &roll.frames[0]));
        let exif = "http://ns.adobe.com/exif/1.0/";
        prop_assert_eq!(value(&found, &format!("{exif}ExposureTime")), "1/60");
        prop_assert_eq!(value(&found, &format!("{exif}FNumber")), "28/5");
        prop_assert_eq!(item(&found, &format!("{exif}ISOSpeedRatings")), "25");
        prop_assert_eq!(value(&found, "http://cipa.jp/exif/1.0/PhotographicSensitivity"), "25");
        let said = item(&found, "http://purl.org/dc/elements/1.1/description");
        let printable: String = note.chars().filter(|c| !c.is_control() || "\n\t".contains(*c)).collect();
        let printable = printable.replace(['\u{fffe}', '\u{ffff}'], "");
        prop_assert!(said.ends_with(&printable), "{said:?} ends with {printable:?}");
        prop_assert!(said.contains("4 stops more light than box speed"), "{said}");
    }

    #[test]
    fn no_text_breaks_out_of_a_sidecar(note in "(?s).{0,40}") {
        let mut desk = loaded("400", "100");
        pier(&mut desk, &[("1/125", "8", 0)]);
        apply(&mut desk, Edit::Note { roll: ROLL.to_owned(), frame: 1, note });
        let roll = roll_of(&desk, ROLL);
        let packet = xmp(desk.book(), roll, &roll.frames[0]);
        let plain = {
            let mut quiet = desk.clone();
            apply(&mut quiet, Edit::Note { roll: ROLL.to_owned(), frame: 1, note: String::new() });
            let roll = roll_of(&quiet, ROLL);
            xmp(quiet.book(), roll, &roll.frames[0])
        };
        prop_assert_eq!(packet.matches('<').count(), plain.matches('<').count(), "no tag more: {}", packet);
        let allowed = |c: char| matches!(c, '\t' | '\n' | '\u{20}'..='\u{d7ff}' | '\u{e000}'..='\u{fffd}' | '\u{10000}'..);
        prop_assert!(packet.chars().all(allowed), "characters of XML 1.0 only");
    }
}
