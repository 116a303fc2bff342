//! Metadata in every container whose structure is public, as phones, cameras and converters write it, and what is said of
//! the rest. What is odd is read; damaged is said of what cannot be read, and of nothing else.

use exposure::Control;
use readings::photo::{Filled, Photo, read};

use crate::check::{EXACT, close, marks, sound};
use crate::fixture::{
    BIAS, BV, F_NUMBER, KIND, Laid, MAKER, ORDERS, Order, SENSITIVITY, TIME, Tags, Value, WIDTH,
    plain, tiff,
};
use crate::wrapped::{
    End, HEIC, Heic, LEADS, Lead, Way, boxed, chunk, exif_segment, jpeg, jpeg_of, png,
    profile_text, raw_boxes, raw_with_jpeg, segment, stored, webp,
};

const PLAIN: &str = "1/125 f/8 ISO 200";

/// Other figures, for what must not be taken.
fn other() -> Tags {
    Tags::new(&[
        (TIME, Value::Ratio(1, 30)),
        (F_NUMBER, Value::Ratio(2, 1)),
        (SENSITIVITY, Value::Short(800)),
    ])
}

/// Everything is read and nothing is complained of.
#[track_caller]
fn whole(name: &str, file: &[u8]) -> Photo {
    let photo = read(file);
    assert!(photo.missing().is_empty(), "{name}: {:?}", photo.remarks);
    let found = photo.found(&Filled::default(), None).expect(name);
    sound(&found);
    assert_eq!(marks(&found), PLAIN, "{name}");
    assert!(
        !photo
            .remarks
            .iter()
            .any(|remark| remark.contains("damaged")),
        "{name}: {:?}",
        photo.remarks
    );
    photo
}

/// Nothing is read, for a reason.
#[track_caller]
fn lacks(name: &str, file: &[u8], why: &str) {
    let photo = read(file);
    assert_eq!(photo.missing(), Control::ALL, "{name}");
    assert!(
        photo.remarks.len() == 1 && photo.remarks[0].contains(why),
        "{name}: {:?}",
        photo.remarks
    );
}

/// Phones differ in every one of these; a reader that took one for granted called the rest damaged.
#[test]
fn items_of_pictures_in_boxes() {
    let widths = [
        [4, 4, 0, 0],
        [4, 4, 4, 0],
        [4, 4, 4, 4],
        [8, 8, 8, 8],
        [8, 4, 0, 0],
        [0, 4, 4, 0],
        [0, 4, 8, 0],
        [2, 2, 2, 0],
    ];
    let mut count = 0;
    for order in ORDERS {
        let block = tiff(order, &plain());
        for lead in LEADS {
            for places in 0..=2 {
                for (way, entries) in [
                    (Way::File, 2),
                    (Way::File, 3),
                    (Way::Own, 2),
                    (Way::Item, 2),
                ] {
                    if places == 0 && way != Way::File {
                        // The first version knows the file alone.
                        continue;
                    }
                    for widths in widths {
                        for (places_first, data_first, end) in [
                            (false, false, End::Usual),
                            (true, false, End::OfTheFile),
                            (false, true, End::Usual),
                            (true, true, End::Wide),
                        ] {
                            let written = Heic {
                                places,
                                widths,
                                entries,
                                way,
                                lead,
                                places_first,
                                data_first,
                                end,
                                ..HEIC
                            };
                            whole(&format!("{order:?}, {written:?}"), &written.file(&block));
                            count += 1;
                        }
                    }
                }
            }
        }
    }
    assert!(count > 3_000, "only {count} ways of writing");
    let block = tiff(Order::Big, &plain());
    for brands in [
        &b"mif1\0\0\0\0mif1"[..],
        b"heix\0\0\0\0heix",
        b"avif\0\0\0\0avifmiaf",
        b"heic\0\0\0\0",
        b"msf1\0\0\0\0hevcmsf1",
    ] {
        let file = Heic { brands, ..HEIC }.file(&block);
        assert_eq!(whole("brands", &file).kind, "HEIF (HEIC, AVIF)");
    }
    for parts in [2, 3, 5] {
        whole("in parts", &Heic { parts, ..HEIC }.file(&block));
    }
    // A box that nobody knows before the first, and bytes after the last.
    let file = HEIC.file(&block);
    let shifted = Heic {
        way: Way::Own,
        ..HEIC
    }
    .file(&block);
    whole("led", &[boxed(b"free", b"room"), shifted].concat());
    whole(
        "trailed",
        &[&file[..], b"\0\0\0\0 left behind by an editor"].concat(),
    );
}

/// A maker's note of more than 128 KiB is allowed in a picture of boxes: there are no segments of 64 KiB.
#[test]
fn a_long_maker_note_is_stepped_over() {
    for order in ORDERS {
        let mut tags = plain();
        tags.exif.push((MAKER, Value::Bytes(vec![0xA5; 200_000])));
        let block = tiff(order, &tags);
        whole("HEIC", &HEIC.file(&block));
        whole("TIFF", &block);
        whole("PNG", &png(&[chunk(b"eXIf", &block)], &[]));
    }
}

/// Of several photos in one file the one that is shown is meant.
#[test]
fn the_picture_that_is_shown_is_meant() {
    let (shown, aside) = (tiff(Order::Big, &plain()), tiff(Order::Little, &other()));
    for (first, second, primary) in [(&shown, &aside, 1), (&aside, &shown, 2)] {
        let file = HEIC.of_items(&[(49, first), (50, second)], primary);
        whole("two items", &file);
    }
    // A first item that says nothing of an exposure.
    let silent = tiff(Order::Big, &Tags::new(&[(KIND, Value::Short(2))]));
    whole(
        "a silent item",
        &HEIC.of_items(&[(49, &silent), (50, &shown)], 1),
    );
}

#[test]
fn jpeg_segments() {
    for order in ORDERS {
        let block = tiff(order, &plain());
        let description = segment(0xE1, b"an invented name space\0<x:xmpmeta/>");
        let exif = exif_segment(&block);
        let head = segment(0xE0, b"JFIF\0\x01\x02\0\0\x01\0\x01\0\0");
        whole(
            "description first",
            &jpeg_of(&[description.clone(), exif.clone()]),
        );
        whole(
            "head first",
            &jpeg_of(&[head.clone(), description.clone(), exif.clone()]),
        );
        whole("description after", &jpeg_of(&[exif.clone(), description]));
        whole("no end", &[b"\xff\xd8", &exif[..]].concat());
        whole(
            "fill bytes",
            &[b"\xff\xd8\xff\xff\xff", &exif[1..], b"\xff\xd9"].concat(),
        );
        whole(
            "junk between",
            &[b"\xff\xd8\0\0\0", &exif[..], b"\xff\xd9"].concat(),
        );
        let trailed = [&jpeg(&block)[..], &jpeg(&tiff(order, &other()))].concat();
        whole("a second picture behind", &trailed);
        // A first segment that holds nothing, as a program left it that took the metadata off and put others on.
        let empty = segment(0xE1, b"Exif\0\0");
        whole("an empty segment first", &jpeg_of(&[empty, exif]));
    }
    // No metadata, and neither an end nor a word that anything is wrong.
    let bare = [&jpeg_of(&[])[..2], &segment(0xDA, &[0; 10]), &[0x12; 300]].concat();
    lacks("a picture without an end", &bare, "carries no metadata");
}

#[test]
fn png_chunks_and_texts() {
    for order in ORDERS {
        let block = tiff(order, &plain());
        let named = [b"Exif\0\0", &block[..]].concat();
        for data in [&block, &named] {
            let exif = chunk(b"eXIf", data);
            assert_eq!(
                whole("before", &png(std::slice::from_ref(&exif), &[])).kind,
                "PNG"
            );
            whole("after", &png(&[], std::slice::from_ref(&exif)));
            let cut = png(&[exif], &[]);
            whole("no end", &cut[..cut.len() - 20]);
        }
        let text = profile_text(&block);
        for name in ["Raw profile type exif", "Raw profile type APP1"] {
            let plain = chunk(b"tEXt", &[name.as_bytes(), b"\0", &text].concat());
            whole(name, &png(&[plain], &[]));
            let packed = chunk(
                b"zTXt",
                &[name.as_bytes(), b"\0\0", &stored(&text)].concat(),
            );
            whole(name, &png(&[], &[packed]));
        }
    }
    let title = chunk(b"tEXt", b"Title\0An invented pier");
    lacks("another text", &png(&[title], &[]), "carries no metadata");
    let broken = chunk(b"zTXt", b"Raw profile type exif\0\0not packed at all");
    lacks("a broken text", &png(&[broken], &[]), "damaged");
}

/// The text as another program packs it: the stream was made by zlib 1.2.13 from [`profile_text`] of the block.
#[test]
fn a_text_that_zlib_packed() {
    let data = [b"Raw profile type exif\0\0", PACKED].concat();
    whole("packed", &png(&[chunk(b"zTXt", &data)], &[]));
}

const PACKED: &[u8] = b"x\xda]\x8d\xcb\x0d\xc0 \x0cC\xef\x99\xa2#\x18\x0a!\x19'\xeaG\xea\x06\x1d\xbfP@\x94\xfa\x92\xe4\xd9\
    \x8a\xe9\xb8\xaf\x93\x96\x22\xe7@!&aeFV\xd0\xa0\xde\xf2\x22\xa8r\x00\xab$\x84\xba\xbf\xc80+{j\xe2\
    \x09q\x84b\xf3t\x17?\xf1\xf6\xd8'\x11\xac\x83o\xbd0\xf7\x13l\x18\xfc+\xeb<\xed\xed\x96\x99\x7fsT&=Y\
    \xbf.\xd5";

#[test]
fn webp_chunks() {
    for order in ORDERS {
        let block = tiff(order, &plain());
        let named = [b"Exif\0\0", &block[..]].concat();
        for data in [&block, &named] {
            let file = webp(&[
                (b"VP8X", b"\x08\0\0\0\0\0\0\0\0\0"),
                (b"VP8L", b"odd"),
                (b"EXIF", data),
            ]);
            assert_eq!(whole("last", &file).kind, "WebP");
            whole("first", &webp(&[(b"EXIF", data), (b"VP8 ", b"even")]));
        }
    }
    lacks(
        "no chunk",
        &webp(&[(b"VP8 ", b"even")]),
        "carries no metadata",
    );
}

/// Metadata beside the code stream of a JPEG XL (ISO/IEC 18181-2): a box of the file itself.
#[test]
fn a_box_of_the_file_itself() {
    for order in ORDERS {
        let block = tiff(order, &plain());
        for led in [
            [&[0; 4], &block[..]].concat(),
            [b"\0\0\0\x06Exif\0\0", &block[..]].concat(),
        ] {
            let file = [
                boxed(b"JXL ", b"\r\n\x87\n"),
                boxed(b"ftyp", b"jxl \0\0\0\0jxl "),
                boxed(b"jxlc", &[0; 40]),
                boxed(b"Exif", &led),
            ]
            .concat();
            assert_eq!(whole("a box", &file).kind, "JPEG XL");
        }
    }
    let packed = [
        boxed(b"JXL ", b"\r\n\x87\n"),
        boxed(b"ftyp", b"jxl \0\0\0\0jxl "),
        boxed(b"brob", b"Exifpacked"),
    ]
    .concat();
    lacks("packed", &packed, "packed in a way that is not read");
}

/// Scanners, older cameras and TIFF/EP (ISO 12234-2) keep the figures in the first directory.
#[test]
fn figures_in_the_first_directory() {
    for order in ORDERS {
        let mut laid = Laid::new(order, &[]);
        laid.directories = vec![plain().exif];
        let block = laid.file();
        for (name, file) in [
            ("TIFF", block.clone()),
            ("JPEG", jpeg(&block)),
            ("PNG", png(&[chunk(b"eXIf", &block)], &[])),
            ("HEIC", HEIC.file(&block)),
        ] {
            let photo = whole(name, &file);
            assert_eq!(photo.place, "the first directory", "{name}");
        }
        // What the camera's directory says goes before what the first one says; what it leaves out is taken from there.
        let mut both = Laid::new(
            order,
            &[(TIME, Value::Ratio(1, 125)), (F_NUMBER, Value::Ratio(8, 1))],
        );
        both.directories = vec![vec![
            (TIME, Value::Ratio(1, 30)),
            (SENSITIVITY, Value::Short(200)),
        ]];
        assert_eq!(whole("both", &both.file()).place, "the camera's directory");
        // A later page of the same file is another picture; alone it says what there is.
        let mut pages = Laid::new(order, &[]);
        pages.directories = vec![plain().exif, other().exif];
        whole("two pages", &pages.file());
        pages.directories = vec![vec![(WIDTH, Value::Short(8))], plain().exif];
        assert_eq!(
            whole("the second page", &pages.file()).place,
            "a later directory"
        );
        // Never the time of one page and the aperture of another.
        pages.directories = vec![
            vec![(TIME, Value::Ratio(1, 125))],
            vec![
                (F_NUMBER, Value::Ratio(8, 1)),
                (SENSITIVITY, Value::Short(200)),
            ],
        ];
        assert_eq!(
            read(pages.file()).missing(),
            [Control::Aperture, Control::Sensitivity]
        );
    }
}

/// Good files that the library holds something against.
#[test]
fn oddities_are_not_damage() {
    for order in ORDERS {
        let plain = plain().exif;
        let mut laid = Laid::new(order, &plain);
        laid.newer_pointer = true;
        whole("a pointer of the newer type", &laid.file());

        let mut laid = Laid::new(order, &plain);
        laid.camera_next = 0x0BAD_0BAD;
        whole("junk behind the camera's directory", &laid.file());

        let mut laid = Laid::new(order, &plain);
        laid.directories = vec![vec![(WIDTH, Value::Short(8))]; 12];
        whole("twelve pages", &laid.file());

        let mut laid = Laid::new(order, &plain);
        laid.camera.push((MAKER, Value::Lost(7, 40_000)));
        whole("a maker's note that went lost", &laid.file());
        whole("the same", &jpeg(&laid.file()));
        whole("the same", &HEIC.file(&laid.file()));

        let laid = Laid::new(order, &plain);
        let file = laid.file();
        whole("no room for a next directory", &file[..file.len() - 4]);
        whole("trailing bytes", &[&file[..], &[0xEE; 77]].concat());

        // Directories of the place and of other programs, and a small picture, that are not there.
        let mut laid = Laid::new(order, &plain);
        laid.camera.push((0xA005, Value::Long(0x00FF_0000)));
        laid.directories = vec![vec![
            (0x8825, Value::Long(0x00FF_0000)),
            (0x0201, Value::Lost(4, 900)),
        ]];
        whole("directories that went lost", &laid.file());
        let mut tags = laid.clone();
        tags.directories = vec![
            vec![(WIDTH, Value::Short(8))],
            vec![(WIDTH, Value::Short(8))],
        ];
        let file = tags.file();
        whole("a cut small picture", &file[..file.len() - 16]);
    }
}

/// What is damaged is named, and the rest is read.
#[test]
fn damage_is_named() {
    for order in ORDERS {
        let lost = |tag: u16| {
            let mut laid = Laid::new(order, &plain().exif);
            laid.camera.retain(|(other, _)| *other != tag);
            laid.camera.push((tag, Value::Lost(5, 1)));
            read(jpeg(&laid.file()))
        };
        for (tag, name, missing) in [
            (TIME, "Time", vec![Control::Time]),
            (F_NUMBER, "Aperture", vec![Control::Aperture]),
            (SENSITIVITY, "Sensitivity", vec![Control::Sensitivity]),
            (BIAS, "Compensation", vec![]),
            (BV, "Brightness", vec![]),
        ] {
            let photo = lost(tag);
            assert_eq!(photo.missing(), missing, "{name}");
            let entry = photo.entries.iter().find(|entry| entry.name == name);
            assert!(
                entry.is_some_and(|entry| entry.says == "damaged" && !entry.usable),
                "{name}: {:?}",
                photo.entries
            );
            assert!(
                photo
                    .remarks
                    .iter()
                    .any(|remark| remark.contains("Parts of the metadata are damaged")),
                "{name}: {:?}",
                photo.remarks
            );
        }
        // A pointer to a camera's directory that is not there.
        let mut laid = Laid::new(order, &[]);
        laid.directories = vec![vec![
            (0x8769, Value::Long(0x00FF_0000)),
            (WIDTH, Value::Short(8)),
        ]];
        let photo = read(laid.file());
        assert_eq!(photo.missing(), Control::ALL);
        assert!(photo.remarks[0].contains("damaged"), "{:?}", photo.remarks);
        // A file that ends in the middle of its directory.
        let block = tiff(order, &plain());
        let photo = read(jpeg(&block[..60]));
        assert!(
            photo.remarks.iter().any(|r| r.contains("damaged")),
            "{:?}",
            photo.remarks
        );
    }
    let block = tiff(Order::Big, &plain());
    let whole_file = HEIC.file(&block);
    lacks(
        "cut before its metadata",
        &whole_file[..whole_file.len() - 30],
        "cut off",
    );
    let cut = jpeg_of(&[segment(0xE0, b"JFIF\0\x01\x02\0\0\x01\0\x01\0\0"), vec![]]);
    lacks("cut in its head", &cut[..10], "cut off");
    lacks("no block in the item", &HEIC.file(&[0x11; 40]), "damaged");
    lacks("no block in the segment", &jpeg(&[0x11; 40]), "damaged");
}

/// Raw files whose structure is public: another number in the head of a TIFF.
#[test]
fn raw_files_laid_out_like_a_tiff() {
    for order in ORDERS {
        for number in [0x4F52, 0x5352, 0x0055, 0x4E00] {
            let mut laid = Laid::new(order, &plain().exif);
            laid.number = number;
            let photo = whole(&format!("{number:x}"), &laid.file());
            assert_eq!(photo.kind, "raw file built like a TIFF");

            // Nothing of its own that is public, but a JPEG as one of its values, or where a small picture is.
            let inner = jpeg(&tiff(order, &plain()));
            let mut laid = Laid::new(order, &[]);
            laid.number = number;
            laid.directories = vec![vec![
                (0x002E, Value::Bytes(inner.clone())),
                (0x0017, Value::Short(200)),
            ]];
            whole("an inner JPEG", &laid.file());
            // It says more than the file itself; two pictures are never mixed.
            laid.camera = vec![(TIME, Value::Ratio(1, 30)), (F_NUMBER, Value::Ratio(2, 1))];
            whole("an inner JPEG that says more", &laid.file());

            let mut laid = Laid::new(order, &[]);
            laid.number = number;
            laid.directories = vec![
                vec![(WIDTH, Value::Short(8))],
                vec![(0x0201, Value::Long(0)), (0x0202, Value::Long(0))],
            ];
            let at = laid.file().len();
            laid.directories[1] = vec![
                (0x0201, Value::Long(u32::try_from(at).expect("short"))),
                (
                    0x0202,
                    Value::Long(u32::try_from(inner.len()).expect("short")),
                ),
            ];
            whole("a small picture", &[laid.file(), inner].concat());

            let mut laid = Laid::new(order, &[]);
            laid.number = number;
            lacks(
                "nothing public",
                &laid.file(),
                "a kind of raw file that is not read here",
            );
        }
    }
}

/// Raw files in boxes: each block has a first directory alone, the second one is the camera's.
#[test]
fn raw_files_in_boxes() {
    for order in ORDERS {
        let alone = |tags: &[(u16, Value)]| {
            let mut laid = Laid::new(order, &[]);
            laid.directories = vec![tags.to_vec()];
            laid.file()
        };
        let maker = alone(&[
            (0x0001, Value::Bytes(vec![7; 80])),
            (0x0004, Value::Short(9)),
        ]);
        let place = alone(&[
            (0x0001, Value::Text("N")),
            (0x0002, Value::Ratio(4711, 100)),
        ]);
        let file = raw_boxes(&[
            alone(&[(WIDTH, Value::Short(6000))]),
            alone(&plain().exif),
            maker,
            place,
        ]);
        // A picture that keeps its block at once under such a number.
        let picture = [
            boxed(b"jP  ", b"\r\n\x87\n"),
            boxed(b"ftyp", b"jp2 \0\0\0\0jp2 "),
            boxed(
                b"uuid",
                &[&b"an invented kind"[..], &tiff(order, &plain())].concat(),
            ),
            boxed(b"jp2c", &[0; 40]),
        ];
        whole("a picture", &picture.concat());
        let photo = whole("boxes", &file);
        assert_eq!(photo.kind, "raw file or picture in boxes of ISO base media");
        assert!(!format!("{photo:?}").contains("47"), "{photo:?}");
    }
}

#[test]
fn raw_files_whose_head_leads_to_a_jpeg() {
    for order in ORDERS {
        let photo = whole("led", &raw_with_jpeg(&jpeg(&tiff(order, &plain()))));
        assert_eq!(photo.kind, "raw file with a JPEG in it");
    }
}

/// Neither a photo nor damaged.
#[test]
fn what_is_no_photo_is_not_called_damaged() {
    for (name, file) in [
        ("a sound", &b"RIFF\x24\0\0\0WAVEfmt \x10\0\0\0"[..]),
        (
            "a film",
            b"\0\0\0\x18ftypisom\0\0\0\0isommp42\0\0\0\x08free\0\0\0\x08mdat",
        ),
        (
            "a song",
            b"\0\0\0\x1cftypM4A \0\0\0\0M4A mp42isom\0\0\0\x10moov\0\0\0\x08udta",
        ),
        ("a text", b"MMXXVI was a year that nobody has seen."),
        ("an archive", b"PK\x03\x04\x14\0\0\0\x08\0"),
    ] {
        lacks(name, file, "no photo");
    }
    for (name, file) in [
        ("a heap", &b"II\x1a\0\0\0HEAPXXXX\0\0\0\0"[..]),
        ("blocks", b"\0MRM\0\0\x01\0\0PRD\0\0\0\x18"),
    ] {
        lacks(name, file, "a kind of raw file that is not read here");
    }
    lacks(
        "wide offsets",
        b"II\x2b\0\x08\0\0\0\x10\0\0\0\0\0\0\0",
        "very large pictures",
    );
}

/// A file that is one of the containers and no other, whatever its name says: the light is that of its figures.
#[test]
fn the_light_is_the_same_in_all() {
    for order in ORDERS {
        let mut tags = plain();
        tags.exif.retain(|(tag, _)| *tag != BIAS);
        tags.exif.push((BIAS, Value::Signed(1, 1)));
        let block = tiff(order, &tags);
        for file in [
            jpeg(&block),
            HEIC.file(&block),
            Heic {
                lead: Lead::BareSegment,
                ..HEIC
            }
            .file(&block),
            png(&[chunk(b"eXIf", &block)], &[]),
            webp(&[(b"EXIF", &block)]),
            raw_with_jpeg(&jpeg(&block)),
            block.clone(),
        ] {
            let found = read(&file)
                .found(&Filled::default(), None)
                .expect("complete");
            sound(&found);
            close("light", found.light().get(), 13.0, EXACT);
        }
    }
}
