//! The log of a roll: as planned and as shot, slips over a run of frames, and what the roll goes through.

use book::{
    Aperture, Book, Development, Edit, Extra, Fate, Frame, Key, Kind, Marks, Plan, Planned, Roll,
    Row, Run, Scene, Slip, Speed, Spot, State, Time, rows as rows_of, series, stale,
};

use super::{
    batch, loading,
    marks::{self, Which},
    papers::{self, Way},
    put_in, removing,
    room::{Place, Room, Subject},
    ticking,
};
use crate::{
    browser::{page, sheet},
    form::{Typed, choice, entry, fixed},
    live::{Live, Worked},
    moment::{now, today},
    parts::{Element, Part, el, follows, parts, rows, turns},
    piece::{button, columns, notice, paragraph, row, unfolds},
    words::{NOT_AS_PLANNED, SHOT},
};

/// A reading older than this is worth taking again, in minutes (judgement, no source).
const STALE: u16 = 20;

pub(super) fn page(room: Room, id: String) -> Part {
    let roll = Subject::new(room, id);
    let facts = move || {
        let lines = roll.with(|book, roll| {
            let mut lines = roll.place_words();
            lines.push(batch::group_of(book, roll));
            lines
        });
        paragraph("lines", lines.join("\n"))
    };
    columns([
        parts![
            follows(facts),
            follows(move || roll.with(|book, of| Some(next(roll, book, of)))),
            state(roll),
        ],
        parts![el("h3").says("Log"), table(roll)],
        parts![
            held(roll),
            slip(roll),
            extras(roll),
            put_in::form(roll),
            papers(roll),
            describe(roll),
            removing::form(
                room,
                "Remove this roll",
                "With its log. Its batch stays.",
                move || Edit::Remove(Key::new(Kind::Roll, &roll.id())),
            ),
        ],
    ])
    .into()
}

/// The row of a frame, as the papers have it.
fn row_of(book: &Book, roll: &Roll, frame: u16) -> Option<Row> {
    let place = roll.frames.iter().position(|known| known.id == frame)?;
    rows_of(book, roll).into_iter().nth(place)
}

/// The next frame to shoot, large, to be ticked off with a thumb.
fn next(on_page: Subject, book: &Book, roll: &Roll) -> Element {
    let room = on_page.room;
    let mut waits = roll.waits().filter(|_| roll.state == State::Loaded);
    let waits = waits.next();
    let section = el("section").class("next").named("Next frame");
    let known = waits.and_then(|frame| Some((frame, row_of(book, roll, frame.id)?)));
    let Some((frame, row)) = known else {
        return section.hidden(true);
    };
    let [time, aperture] = row.planned;
    let mut set = vec![time, aperture, row.count];
    set.retain(|part| !part.is_empty());
    let mut small = vec![format!("Frame {}", row.frame)];
    if !row.scene.is_empty() {
        small.push(format!("scene {}", row.scene));
    }
    if !row.wanted.is_empty() {
        small.push(than(&row.wanted, "the base"));
    }
    let scene = frame.plan.scene().and_then(|scene| roll.scene(scene));
    let old = scene.and_then(|scene| stale(scene, now(), STALE));
    let scene = scene.map_or(0, |scene| scene.number);
    let is_same = move || {
        room.edit(&Edit::SameLight {
            roll: on_page.id(),
            scene,
            at: now(),
        });
    };
    let frame = frame.id;
    let taken = move || {
        room.edit(&Edit::Taken {
            roll: on_page.id(),
            frame,
            at: Some(now()),
        });
    };
    let otherwise = move || {
        room.open_frame.set(Some(frame));
        room.otherwise.set(true);
        sheet::turn_to(".open-frame");
    };
    let left_out = move || {
        room.edit(&Edit::Slip {
            roll: on_page.id(),
            run: Run::One(frame),
            slip: Slip::Fate(Fate::LeftOut),
        });
    };
    section
        .with(paragraph("next-small", small.join("; ")))
        .with(paragraph("next-set", set.join(", ")))
        .with(notice(
            old.unwrap_or_default(),
            format!("Same light as scene {scene}"),
            is_same,
        ))
        .with(self::row([
            button("main", SHOT, taken),
            button("", NOT_AS_PLANNED, otherwise),
            button("", "Left out", left_out),
        ]))
}

/// What the roll goes through next.
fn state(roll: Subject) -> Part {
    let state = Worked::new(move || roll.with(|_, roll| Some(roll.state)));
    let make = move |state: Option<State>| match state {
        None => Part::Nothing,
        Some(State::InBag) => row([button("", "To its batch, to load it", move || {
            to_batch(roll);
        })])
        .into(),
        Some(State::Loaded) => {
            let full = move || {
                roll.room.edit(&Edit::Finish {
                    roll: roll.id(),
                    on: today(),
                });
            };
            el("div")
                .with(row([button("", "The roll is full: take it out", full)]))
                .with(loading::take_out(roll))
                .into()
        }
        Some(State::PartShot) => el("div").with(loading::again(roll)).into(),
        Some(State::Exposed) => parts![unticked(roll), to_lab(roll)],
        Some(State::AtLab) => {
            let back = move || {
                roll.room.edit(&Edit::Return {
                    roll: roll.id(),
                    on: today(),
                });
            };
            parts![
                unticked(roll),
                row([button("main", "It is back today", back)])
            ]
        }
        Some(State::Back) => parts![
            unticked(roll),
            row([
                button("main", "Review the scans", move || {
                    roll.room.go(Place::Review(roll.id()));
                }),
                button("", "To its batch, to rate the rest", move || {
                    to_batch(roll);
                }),
            ]),
        ],
    };
    parts![turns(move || state.get(), make), papers::shown(roll.room)]
}

/// How it is to be developed, and the slip that says so.
fn to_lab(roll: Subject) -> Element {
    let kind = Live::new("normal".to_owned());
    let thirds = Typed::new("3");
    let kinds = fixed([
        ("normal", "Develop normally"),
        (
            "push",
            "Push: develop longer, for film that got too little light",
        ),
        (
            "pull",
            "Pull: develop shorter, for film that got too much light",
        ),
    ]);
    let caution = Live::new(String::new());
    let development = move || {
        let count = thirds.now().parse::<u8>().ok();
        let count = count.filter(|count| (1..=9).contains(count));
        match (kind.now().as_str(), count) {
            ("normal", _) => Some(Development::Normal),
            ("push", Some(count)) => Some(Development::PushThirds(count)),
            ("pull", Some(count)) => Some(Development::PullThirds(count)),
            _ => {
                let said = "A push or pull is 1 to 9 thirds of a stop.";
                roll.room.said.set(said.to_owned());
                None
            }
        }
    };
    let slip = move || {
        if let Some(development) = development() {
            let said = papers::slip_of(roll.room, &roll.id(), development);
            caution.set(said.unwrap_or_default());
        }
    };
    let send = move || {
        if let Some(development) = development() {
            roll.room.edit(&Edit::Send {
                roll: roll.id(),
                on: today(),
                development,
            });
        }
    };
    el("div")
        .class("form")
        .with(el("h3").says("To the lab"))
        .with(choice("lab-development", "Development", kinds, kind))
        .with(
            el("div")
                .hidden_when(move || kind.with(|kind| kind == "normal"))
                .with(entry(
                    "lab-thirds",
                    "By how many thirds of a stop",
                    "1 to 9; 3 is one stop.",
                    thirds,
                )),
        )
        .with(follows(move || paragraph("warning", caution.get())))
        .with(row([
            button("", "Show the slip for the lab", slip),
            button("main", "It is sent today", send),
        ]))
}

/// Planned frames of a finished roll that nobody ticked off.
fn unticked(roll: Subject) -> Part {
    let all = move |fate: Fate| {
        roll.room.edit(&Edit::Slip {
            roll: roll.id(),
            run: Run::Waiting,
            slip: Slip::Fate(fate),
        });
    };
    follows(move || {
        let count = roll.with(|_, roll| roll.waits().count());
        let words = if count == 1 {
            "1 planned frame is not ticked off. Was it shot as planned?".to_owned()
        } else {
            format!("{count} planned frames are not ticked off. Were they shot as planned?")
        };
        el("div")
            .class("question")
            .hidden(count == 0)
            .with(paragraph("", words))
            .with(row([
                button("", "They were shot", move || all(Fate::Taken)),
                button("", "They were not shot", move || all(Fate::LeftOut)),
            ]))
    })
}

fn to_batch(roll: Subject) {
    if let Some(batch) = roll.once(|_, roll| Some(roll.batch.clone())) {
        roll.room.go(Place::Batch(batch));
    }
}

/// The frames in the order of shooting; one unfolds under its row to be changed.
fn table(roll: Subject) -> Part {
    // A row stays where it is as long as its frame does: what is typed under it is not lost to a change of another one.
    let all = Worked::new(move || {
        roll.with(|book, roll| {
            let frames = roll.frames.iter().map(|frame| frame.id);
            frames.zip(rows_of(book, roll)).collect::<Vec<_>>()
        })
    });
    let keys = move || all.with(|all| all.iter().map(|(frame, _)| frame.to_string()).collect());
    let line = move |key: &str| {
        // OK to fall back: keys are made of numbers.
        let frame: u16 = key.parse().unwrap_or_default();
        let row = Worked::new(move || {
            all.with(|all| {
                let found = all.iter().find(|(known, _)| *known == frame);
                found.map(|(_, row)| row.clone())
            })
        });
        let is_open = Worked::new(move || roll.room.open_frame.get() == Some(frame));
        el("li")
            .with(follows(move || {
                row.with(|row| Some(log_row(roll.room, row.as_ref()?, frame, is_open.get())))
            }))
            .with(turns(
                move || is_open.get(),
                move |is_open| is_open.then(|| self::frame(roll, frame)),
            ))
    };
    parts![
        follows(move || {
            let words =
                "Nothing is logged yet. On the dial, “Log this series” brings the frames here.";
            paragraph("reason", words).hidden(all.with(|all| !all.is_empty()))
        }),
        el("ol").class("log").named("Frames").with(rows(keys, line)),
    ]
}

/// An offset with what it is counted from; the book gives just that where there is no difference.
fn than(offset: &str, even: &str) -> String {
    let of = even.trim_start_matches("as ");
    if offset != even {
        format!("{offset} than {of}")
    } else if of == even {
        format!("at {of}")
    } else {
        even.to_owned()
    }
}

fn log_row(room: Room, row: &Row, frame: u16, is_open: bool) -> Element {
    let toggle = move || {
        room.otherwise.set(false);
        let opens = room.open_frame.now() != Some(frame);
        room.open_frame.set(opens.then_some(frame));
        if opens {
            sheet::show(".open-frame");
        }
    };
    let class = if is_otherwise(row) {
        "log-row other"
    } else {
        "log-row"
    };
    let part = |class, words: String| el("span").class(class).says(words);
    button(class, "", toggle)
        .attr("aria-expanded", if is_open { "true" } else { "false" })
        .with(part("log-number", number(row)))
        .with(part("log-set", set(row)))
        .with(part("log-fate", row.fate.clone()))
        .with(part("log-small lines", small(row)))
}

fn setting(set: &[String; 2]) -> String {
    let parts = set.iter().filter(|part| !part.is_empty());
    parts.cloned().collect::<Vec<_>>().join(", ")
}

/// Whether it was shot other than planned.
fn is_otherwise(row: &Row) -> bool {
    let shot = setting(&row.shot);
    !shot.is_empty() && shot != setting(&row.planned)
}

fn number(row: &Row) -> String {
    if row.frame.is_empty() {
        "–".to_owned()
    } else {
        row.frame.clone()
    }
}

/// What was set, or is to be; else what the frame is.
fn set(row: &Row) -> String {
    [setting(&row.shot), setting(&row.planned)]
        .into_iter()
        .find(|set| !set.is_empty())
        .unwrap_or_else(|| row.kind.clone())
}

/// What else is known of a frame, one to a line.
fn small(row: &Row) -> String {
    let planned = setting(&row.planned);
    let mut small: Vec<String> = Vec::new();
    if !row.from_box.is_empty() {
        small.push(format!("{}: {}", row.ei, than(&row.from_box, "box speed")));
    }
    if !row.from_base.is_empty() {
        small.push(than(&row.from_base, "as the base"));
    }
    if is_otherwise(row) && !planned.is_empty() {
        small.push(format!("planned {planned}"));
    }
    small.extend([row.count.clone(), row.meter.clone()]);
    if !row.no_evidence.is_empty() && row.no_evidence != row.fate {
        small.push(format!("no evidence: {}", row.no_evidence));
    }
    small.extend([row.verdict.clone(), row.note.clone()]);
    small.retain(|line| !line.is_empty());
    small.join("\n")
}

/// What the log says of the open frame: what was planned, what became of it, what the meter stood at.
fn known(row: &Row) -> String {
    let planned = row.planned.join(", ");
    let mut lines = vec![row.fate.clone()];
    if !row.planned.concat().is_empty() {
        lines.push(format!("planned {planned}"));
    }
    lines.push(row.meter.clone());
    if row.no_evidence != row.fate {
        lines.push(row.no_evidence.clone());
    }
    lines.retain(|line| !line.is_empty());
    lines.join("; ")
}

/// A field that may be left empty, where the figure was as planned; what was not typed anew stays to the letter.
fn figure<T: Copy>(
    field: Typed,
    known: Option<T>,
    spell: impl Fn(T) -> String,
    parse: impl Fn(&str) -> Result<T, book::Error>,
) -> Result<Option<T>, book::Error> {
    let typed = field.now();
    match known {
        _ if typed.is_empty() => Ok(None),
        Some(known) if spell(known) == typed => Ok(Some(known)),
        _ => parse(&typed).map(Some),
    }
}

/// What was set, deviations first.
fn set_of(frame: &Frame) -> (Option<Time>, Option<Aperture>) {
    let planned = match &frame.plan {
        Plan::Picture { set, .. } => Some(*set),
        _ => None,
    };
    (
        frame.shot.time.or(planned.map(|set| set.time)),
        frame.shot.aperture.or(planned.map(|set| set.aperture)),
    )
}

/// What the open frame is, and what is known of it.
fn open_words(book: &Book, roll: &Roll, frame: u16) -> [String; 2] {
    let number = roll.number_of(frame).map_or_else(
        || "A frame without a place on the film".to_owned(),
        |number| format!("Frame {number}"),
    );
    let known = row_of(book, roll, frame).map(|row| known(&row));
    [number, known.unwrap_or_default()]
}

fn close_frame(room: Room) {
    // The keyboard goes to its row.
    sheet::give(".log-row[aria-expanded=true]");
    room.open_frame.set(None);
    room.otherwise.set(false);
}

/// Keeps all that is typed for a frame in one step. A frame that waited was shot, where it was not as planned and nothing
/// else is said.
fn keep_frame(roll: Subject, open: u16, [time, aperture, note]: [Typed; 3], fate: Option<Fate>) {
    let room = roll.room;
    let known = roll.once(|book, roll| {
        let frame = roll.frame(open)?;
        let known = (set_of(frame), frame.shot.fate);
        Some((known, Marks::of_frame(book, roll, frame)))
    });
    let Some((((known_time, known_aperture), fate_so_far), marks)) = known else {
        return;
    };
    let read = || {
        let spelled = |known| marks.spell_time(known);
        let time = figure(time, known_time, spelled, |typed| marks.time(typed))?;
        let spelled = |known| marks.spell_aperture(known);
        let stop = figure(aperture, known_aperture, spelled, |typed| {
            marks.aperture(typed)
        })?;
        Ok::<_, book::Error>((time, stop))
    };
    let (typed_time, typed_aperture) = match read() {
        Ok(read) => read,
        Err(error) => return room.said.set(error.to_string()),
    };
    let otherwise = room.otherwise.now()
        || (typed_time.is_some() && typed_time != known_time)
        || (typed_aperture.is_some() && typed_aperture != known_aperture);
    let fate = fate.unwrap_or(if fate_so_far == Fate::Waiting && otherwise {
        Fate::Taken
    } else {
        fate_so_far
    });
    let kept = room.edit(&Edit::Shot {
        roll: roll.id(),
        frame: open,
        time: typed_time,
        aperture: typed_aperture,
        fate,
        note: note.now(),
        at: Some(now()),
    });
    if kept {
        if room.otherwise.now() && fate != Fate::Waiting {
            ticking::kept(room);
        }
        close_frame(room);
    }
}

/// What became of a frame.
const FATES: [(&str, Fate); 5] = [
    (SHOT, Fate::Taken),
    ("Lost", Fate::Lost),
    ("Double: on the frame before", Fate::Double),
    ("Left out", Fate::LeftOut),
    ("Not shot yet", Fate::Waiting),
];

/// One frame, to be changed: what it was really shot at, what became of it, a note, and where it belongs.
fn frame(roll: Subject, open: u16) -> Element {
    let room = roll.room;
    let marks = Worked::new(move || {
        roll.with(|book, roll| Some(Marks::of_frame(book, roll, roll.frame(open)?)))
    });
    // It brings its own figures into the fields.
    let fields = roll.once(|book, roll| {
        let frame = roll.frame(open)?;
        let marks = Marks::of_frame(book, roll, frame);
        let (time, aperture) = set_of(frame);
        let time = time.map(|time| marks.spell_time(time));
        let aperture = aperture.map(|stop| marks.spell_aperture(stop));
        let note = frame.shot.note.clone();
        Some([time.unwrap_or_default(), aperture.unwrap_or_default(), note])
    });
    let fields = fields.unwrap_or_default().map(Typed::new);
    let [time, aperture, note] = fields;
    let slip = move |slip: Slip| {
        room.edit(&Edit::Slip {
            roll: roll.id(),
            run: Run::One(open),
            slip,
        })
    };
    let keep = move |fate: Option<Fate>| keep_frame(roll, open, fields, fate);
    let words = move || {
        let [number, known] = roll.with(|book, roll| open_words(book, roll, open));
        parts![el("h4").says(number), paragraph("reason", known)]
    };
    let buttons = move || {
        let changed = roll.with(|_, roll| Some(roll.frame(open)?.shot.light_changed));
        let changed = changed.unwrap_or_default();
        let light = if changed {
            "The light was as read after all"
        } else {
            "The light was another"
        };
        row([
            button("main", "Keep the frame so", move || keep(None)),
            button("", "As planned after all", move || {
                if slip(Slip::AsPlanned) {
                    close_frame(room);
                }
            }),
            button("", light, move || {
                slip(Slip::LightChanged(!changed));
            }),
        ])
    };
    let fates = FATES.map(|(label, fate)| button("", label, move || keep(Some(fate))));
    el("section")
        .class("form open-frame")
        .attr("tabindex", "-1")
        .named("The open frame")
        .with(follows(words))
        .with(entry(
            "frame-time",
            "Time as shot",
            "As on the shutter: 1/60, 2s; on B, how long it was really open. Empty: as planned.",
            time,
        ))
        .with(marks::offered(Which::Time, marks, time))
        .with(entry(
            "frame-aperture",
            "Aperture as shot",
            "f/8, 5.6. Empty: as planned.",
            aperture,
        ))
        .with(marks::offered(Which::Aperture, marks, aperture))
        .with(entry("frame-note", "Note", "In your own words.", note))
        .with(follows(buttons))
        .with(paragraph(
            "hint",
            "Or keep it so, and say what became of it:",
        ))
        .with(
            row(fates)
                .attr("role", "group")
                .named("What became of the frame"),
        )
        .with(put_in::mover(roll, open))
}

/// What each scene really holds and what is missing.
fn held(roll: Subject) -> Element {
    // A scene stays where it is: what is typed for it is not lost to a change of something else.
    let numbers = Worked::new(move || {
        roll.with(|_, roll| {
            let numbers = roll.scenes.iter().map(|scene| scene.number.to_string());
            numbers.collect::<Vec<_>>()
        })
    });
    let line = move |key: &str| {
        // OK to fall back: keys are made of numbers.
        let number: u16 = key.parse().unwrap_or_default();
        let words = move || roll.with(|_, of| Some(scene(roll, of, of.scene(number)?)));
        el("li")
            .with(follows(words))
            .with(describe_scene(roll, number))
    };
    el("section")
        .hidden_when(move || numbers.with(Vec::is_empty))
        .with(el("h3").says("What the series really hold"))
        .with(
            el("ul")
                .class("rules")
                .named("Scenes")
                .with(rows(move || numbers.get(), line)),
        )
}

fn scene(on_page: Subject, roll: &Roll, scene: &Scene) -> Part {
    let mut counted = vec![scene.light.read_words()];
    counted.extend(scene.light.said());
    counted.push(scene.note.clone());
    counted.retain(|line| !line.is_empty());
    let (number, missing) = (scene.number, missing(roll, scene.number));
    let nothing = missing.is_empty();
    let more = move || {
        on_page.room.edit(&Edit::More {
            roll: on_page.id(),
            scene: number,
            frames: missing.clone(),
        });
    };
    parts![
        paragraph("rule-name", scene_title(scene)),
        paragraph("", series(roll, number).words),
        paragraph("reason lines", counted.join("\n")),
        row([button("", "Plan what is missing", more)]).hidden(nothing),
    ]
}

fn scene_title(scene: &Scene) -> String {
    if scene.name.is_empty() {
        format!("Scene {}", scene.number)
    } else {
        format!("Scene {}: {}", scene.number, scene.name)
    }
}

/// The frames that a scene of a loaded roll lacks and that are not planned again yet.
fn missing(roll: &Roll, scene: u16) -> Vec<Planned> {
    if roll.state != State::Loaded {
        return Vec::new();
    }
    let series = series(roll, scene);
    let missing = series.missing.iter().filter(|missing| !missing.to_come);
    missing
        .filter_map(|missing| Planned::missing(missing).ok())
        .collect()
}

/// The name and the note of a scene, which can follow later.
fn describe_scene(roll: Subject, scene: u16) -> Element {
    let known = roll.once(|_, roll| {
        let scene = roll.scene(scene)?;
        Some([scene.name.clone(), scene.note.clone()])
    });
    let [name, note] = known.unwrap_or_default().map(Typed::new);
    let keep = move || {
        roll.room.edit(&Edit::DescribeScene {
            roll: roll.id(),
            scene,
            name: name.now(),
            note: note.now(),
        });
    };
    // Each field has an id of its own: there are as many as scenes.
    let field = move |what: &'static str, label: &'static str, typed: Typed| {
        follows(move || {
            let id = format!("scene-{scene}-{what}");
            let input = el("input")
                .id(id.clone())
                .attr("type", "text")
                .attr("autocomplete", "off")
                .value(typed.get())
                .on("input", move |event| typed.set(event.value()));
            el("div")
                .class("field")
                .with(el("label").attr("for", id).says(label))
                .with(input)
        })
    };
    let inside = el("div")
        .class("form")
        .with(field("name", "Name", name))
        .with(field("note", "Note", note))
        .with(row([button("", "Keep", keep)]));
    unfolds(format!("Name and note of scene {scene}"), inside)
}

/// What can be otherwise over a run of frames: keys and names.
const SLIPS: [(&str, &str); 7] = [
    ("aperture", "The ring stood at"),
    ("time", "The time stood at"),
    ("meter", "The reading device stood at ISO"),
    ("light", "The light was another than the reading"),
    ("same", "The light was as read after all"),
    ("planned", "Everything was as planned after all"),
    ("lost", "The frames are lost"),
];

fn frame_number(typed: &str) -> Result<u16, String> {
    let number = typed.parse::<u16>();
    number.map_err(|_| "Frames are given by their number on the film.".to_owned())
}

/// The marks of the camera that the first of the frames was shot in.
fn marks_at(book: &Book, roll: &Roll, from: u16) -> Marks {
    let numbered = roll.numbered();
    let mut first = numbered.iter().filter(|(number, _)| *number == Some(from));
    match first.next() {
        Some((_, frame)) => Marks::of_frame(book, roll, frame),
        None => Marks::of_roll(book, roll),
    }
}

/// A slip over a run of frames, by one edit.
fn slip(roll: Subject) -> Element {
    let [from, to, value] = ["", "", ""].map(Typed::new);
    let what = Live::new("aperture".to_owned());
    let marks = Worked::new(move || roll.with(|book, roll| Some(Marks::of_roll(book, roll))));
    let read = move || {
        let error = |error: book::Error| error.to_string();
        let (first, last, figure) = (frame_number(&from.now())?, to.now(), value.now());
        let run = Run::Numbers {
            from: first,
            to: if last.is_empty() {
                None
            } else {
                Some(frame_number(&last)?)
            },
        };
        let marks = roll.once(|book, roll| Some(marks_at(book, roll, first)));
        let marks = marks.ok_or("This roll is not in the book.")?;
        let slip = match what.now().as_str() {
            "aperture" => Slip::Aperture(marks.aperture(&figure).map_err(error)?),
            "time" => Slip::Time(marks.time(&figure).map_err(error)?),
            "meter" => Slip::Meter(Speed::parse(&figure).map_err(error)?),
            "light" => Slip::LightChanged(true),
            "same" => Slip::LightChanged(false),
            "planned" => Slip::AsPlanned,
            _ => Slip::Fate(Fate::Lost),
        };
        Ok::<_, String>((run, slip))
    };
    let send = move || match read() {
        Ok((run, slip)) => {
            roll.room.edit(&Edit::Slip {
                roll: roll.id(),
                run,
                slip,
            });
        }
        Err(sentence) => roll.room.said.set(sentence),
    };
    let is = move |keys: &'static [&'static str]| {
        move || what.with(|what| !keys.contains(&what.as_str()))
    };
    let figure = el("div")
        .hidden_when(is(&["aperture", "time", "meter"]))
        .with(entry("slip-value", "At", "f/5.6, 1/60 or ISO 400.", value))
        .with(
            el("div")
                .hidden_when(is(&["aperture"]))
                .with(marks::offered(Which::Aperture, marks, value)),
        )
        .with(
            el("div")
                .hidden_when(is(&["time"]))
                .with(marks::offered(Which::Time, marks, value)),
        );
    let inside = el("div")
        .class("form")
        .with(entry(
            "slip-from",
            "From frame",
            "Its number on the film.",
            from,
        ))
        .with(entry(
            "slip-to",
            "To frame",
            "Empty for the last frame that was shot so far.",
            to,
        ))
        .with(choice(
            "slip-kind",
            "What was otherwise",
            fixed(SLIPS),
            what,
        ))
        .with(figure)
        .with(row([button("main", "Log the slip", send)]))
        .with(paragraph(
            "reason",
            "The plan stays as it was; what really happened is kept beside it.",
        ));
    unfolds("A slip over several frames", inside)
}

/// Frames without a scene.
fn extras(roll: Subject) -> Element {
    let extra = |label: &'static str, what: Extra| {
        button("", label, move || {
            roll.room.edit(&Edit::Extra {
                roll: roll.id(),
                what,
                spot: Spot::Now,
                at: Some(now()),
            });
        })
    };
    let words = "A slate is a card with roll, scene and setting. A capped frame shows base plus fog. A lost frame was wound on or wasted.";
    unfolds(
        "A frame without a scene",
        parts![
            paragraph("reason", words),
            row([
                extra("Slate", Extra::Slate),
                extra("Capped frame", Extra::Capped),
                extra("Lost frame", Extra::Lost),
            ]),
        ],
    )
}

/// Papers of the roll.
fn papers(roll: Subject) -> Part {
    let room = roll.room;
    let table = |label: &'static str, way: Way| {
        button("", label, move || {
            papers::hand_out_table(room, way, Some(&roll.id()));
        })
    };
    let buttons = [
        Some(button("", "Label", move || {
            papers::tape_of(room, &roll.id());
        })),
        Some(table("Frames as a table", Way::Save)),
        papers::can_share_table().then(|| table("Share the table", Way::Share)),
        Some(button("", "Sidecars for the scans", move || {
            papers::save_sidecars(room, &roll.id());
        })),
        Some(button("", "Print the roll sheet", page::print)),
    ];
    parts![el("h3").class("papers-title").says("Papers"), row(buttons),]
}

/// Name, purpose and note of the roll.
fn describe(roll: Subject) -> Element {
    let known = roll.once(|_, roll| {
        let exposures = roll.exposures.to_string();
        Some([
            roll.name.clone(),
            roll.purpose.clone(),
            exposures,
            roll.note.clone(),
        ])
    });
    let [name, purpose, exposures, note] = known.unwrap_or_default().map(Typed::new);
    let keep = move || {
        let Ok(exposures) = exposures.now().parse::<u16>() else {
            let said = "Frames on the roll: a whole number such as 36.";
            return roll.room.said.set(said.to_owned());
        };
        roll.room.edit(&Edit::Describe {
            roll: roll.id(),
            name: name.now(),
            purpose: purpose.now(),
            exposures,
            storage: roll.once(|_, roll| roll.storage),
            note: note.now(),
        });
    };
    let inside = el("div")
        .class("form")
        .with(entry("roll-name", "Name", "On its label.", name))
        .with(entry(
            "roll-purpose",
            "What it is for",
            "So that it is not mixed up.",
            purpose,
        ))
        .with(entry(
            "roll-exposures",
            "Frames",
            "12, 16, 24, 36 or 72.",
            exposures,
        ))
        .with(entry("roll-note", "Note", "In your own words.", note))
        .with(row([button("", "Keep", keep)]));
    unfolds("Name and purpose", inside)
}
