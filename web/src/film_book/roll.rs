//! The log of a roll: as planned and as shot, slips over a run of frames, and what the roll goes through.

use book::{
    Aperture, Development, Edit, Extra, Fate, Frame, Key, Kind, Marks, Plan, Planned, Roll, Row,
    Run, Scene, Slip, Speed, Spot, State, Time, rows, series, stale,
};
use leptos::prelude::*;

use super::{
    batch,
    form::{choice, entry, fixed, typed},
    loading,
    marks::{self, Which},
    papers::{self, Way},
    put_in, removing,
    room::{Place, Room, now, today},
    ticking,
};
use crate::{
    browser::sheet,
    piece::{button, flag, never, notice, paragraph, press, text},
    words::{NOT_AS_PLANNED, SHOT},
};

/// A reading older than this is worth taking again, in minutes (judgement, no source).
const STALE: u16 = 20;

/// What follows from the roll, anew whenever the book changes; nothing where it is gone.
fn of<T: Default>(room: Room, id: StoredValue<String>, of: impl FnOnce(&Roll) -> T) -> T {
    room.with(|book| {
        id.with_value(|id| book.roll(id).map(of))
            .unwrap_or_default()
    })
}

pub(super) fn page(room: Room, id: String) -> impl IntoView {
    let id = StoredValue::new(id);
    let open = room.open_frame;
    let facts = text(move || {
        let mut lines = of(room, id, Roll::place_words);
        let group = of(room, id, |roll| batch::group_of(room, roll));
        lines.push(group);
        lines.join("\n")
    });
    view! {
        {paragraph("lines", facts)}
        {next(room, id, open)}
        {state(room, id)}
        <h3>"Log"</h3>
        {table(room, id)}
        {held(room, id)}
        {slip(room, id)}
        {extras(room, id)}
        {put_in::form(room, id)}
        {papers(room, id)}
        {describe(room, id)}
        {removing::form(room, "Remove this roll", "With its log. Its batch stays.", move || {
            Edit::Remove(Key::new(Kind::Roll, &id.get_value()))
        })}
    }
}

/// The next frame to shoot, large, to be ticked off with a thumb.
fn next(room: Room, id: StoredValue<String>, open: RwSignal<Option<u16>>) -> impl IntoView {
    let waiting = move || {
        of(room, id, |roll| {
            let mut waits = roll.waits().filter(|_| roll.state == State::Loaded);
            waits.next().map(|frame| frame.id)
        })
    };
    let row = move || {
        room.with(|book| {
            let roll = id.with_value(|id| book.roll(id))?;
            let id = waiting()?;
            let place = roll.frames.iter().position(|frame| frame.id == id)?;
            rows(book, roll).into_iter().nth(place)
        })
    };
    let none = flag(move || waiting().is_none());
    let set = text(move || {
        row().map_or_else(String::new, |row| {
            let [time, aperture] = row.planned;
            let parts = [time, aperture, row.count].into_iter();
            parts
                .filter(|part| !part.is_empty())
                .collect::<Vec<_>>()
                .join(", ")
        })
    });
    let small = text(move || {
        row().map_or_else(String::new, |row| {
            let mut parts = vec![format!("Frame {}", row.frame)];
            if !row.scene.is_empty() {
                parts.push(format!("scene {}", row.scene));
            }
            if !row.wanted.is_empty() {
                parts.push(than(&row.wanted, "the base"));
            }
            parts.join("; ")
        })
    });
    let scene = move || {
        of(room, id, |roll| {
            let scene = roll.frame(waiting()?)?.plan.scene()?;
            roll.scene(scene).cloned()
        })
    };
    let old = text(move || {
        scene()
            .and_then(|scene| stale(&scene, now(), STALE))
            .unwrap_or_default()
    });
    let same = text(move || {
        scene().map_or_else(String::new, |scene| {
            format!("Same light as scene {}", scene.number)
        })
    });
    let is_same = move || {
        if let Some(scene) = untrack(scene) {
            room.edit(&Edit::SameLight {
                roll: id.get_value(),
                scene: scene.number,
                at: now(),
            });
        }
    };
    let taken = move || {
        if let Some(frame) = untrack(waiting) {
            room.edit(&Edit::Taken {
                roll: id.get_value(),
                frame,
                at: Some(now()),
            });
        }
    };
    let otherwise = move || {
        open.set(untrack(waiting));
        room.otherwise.set(true);
        sheet::turn_to(".open-frame");
    };
    let left_out = move || {
        if let Some(frame) = untrack(waiting) {
            room.edit(&Edit::Slip {
                roll: id.get_value(),
                run: Run::One(frame),
                slip: Slip::Fate(Fate::LeftOut),
            });
        }
    };
    view! {
        <section class="next" hidden=none aria-label="Next frame">
            {paragraph("next-small", small)}
            {paragraph("next-set", set)}
            {notice(old, same, is_same)}
            <div class="row">
                {button("main", SHOT, never(), taken)}
                {button("", NOT_AS_PLANNED, never(), otherwise)}
                {button("", "Left out", never(), left_out)}
            </div>
        </section>
    }
}

/// What the roll goes through next.
fn state(room: Room, id: StoredValue<String>) -> impl IntoView {
    let is = move |state: State| flag(move || of(room, id, |roll| Some(roll.state)) != Some(state));
    let kind = RwSignal::new("normal".to_owned());
    let thirds = RwSignal::new("3".to_owned());
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
    let caution = RwSignal::new(String::new());
    let development = move || {
        let count = typed(thirds)
            .parse::<u8>()
            .ok()
            .filter(|count| (1..=9).contains(count));
        match (kind.get_untracked().as_str(), count) {
            ("normal", _) => Some(Development::Normal),
            ("push", Some(count)) => Some(Development::PushThirds(count)),
            ("pull", Some(count)) => Some(Development::PullThirds(count)),
            _ => {
                room.said
                    .set("A push or pull is 1 to 9 thirds of a stop.".to_owned());
                None
            }
        }
    };
    let slip = move || {
        if let Some(development) = development() {
            caution.set(papers::slip_of(room, &id.get_value(), development).unwrap_or_default());
        }
    };
    let send = move || {
        if let Some(development) = development() {
            room.edit(&Edit::Send {
                roll: id.get_value(),
                on: today(),
                development,
            });
        }
    };
    view! {
        <div class="row" hidden=is(State::InBag)>
            {button("", "To its batch, to load it", never(), move || to_batch(room, id))}
        </div>
        <div hidden=is(State::Loaded)>
            <div class="row">
                {button("", "The roll is full: take it out", never(), move || {
                    room.edit(&Edit::Finish {
                        roll: id.get_value(),
                        on: today(),
                    });
                })}
            </div>
            {loading::take_out(room, id)}
        </div>
        <div hidden=is(State::PartShot)>{loading::again(room, id)}</div>
        {unticked(room, id)}
        <div class="form" hidden=is(State::Exposed)>
            <h3>"To the lab"</h3>
            {choice("lab-development", "Development", kinds, kind)}
            <div hidden=flag(move || kind.with(|kind| kind == "normal"))>
                {entry("lab-thirds", "By how many thirds of a stop", "1 to 9; 3 is one stop.", thirds)}
            </div>
            {paragraph("warning", caution.into())}
            <div class="row">
                {button("", "Show the slip for the lab", never(), slip)}
                {button("main", "It is sent today", never(), send)}
            </div>
        </div>
        <div class="row" hidden=is(State::AtLab)>
            {button("main", "It is back today", never(), move || {
                room.edit(&Edit::Return {
                    roll: id.get_value(),
                    on: today(),
                });
            })}
        </div>
        <div class="row" hidden=is(State::Back)>
            {button("main", "Review the scans", never(), move || room.go(Place::Review(id.get_value())))}
            {button("", "To its batch, to rate the rest", never(), move || to_batch(room, id))}
        </div>
        {papers::shown(room)}
    }
}

/// Planned frames of a finished roll that nobody ticked off.
fn unticked(room: Room, id: StoredValue<String>) -> impl IntoView {
    let count = move || {
        of(room, id, |roll| {
            let finished = roll.state.is_finished();
            roll.waits().filter(|_| finished).count()
        })
    };
    let none = flag(move || count() == 0);
    let words = text(move || {
        let count = count();
        if count == 1 {
            "1 planned frame is not ticked off. Was it shot as planned?".to_owned()
        } else {
            format!("{count} planned frames are not ticked off. Were they shot as planned?")
        }
    });
    let all = move |fate: Fate| {
        room.edit(&Edit::Slip {
            roll: id.get_value(),
            run: Run::Waiting,
            slip: Slip::Fate(fate),
        });
    };
    view! {
        <div class="question" hidden=none>
            {paragraph("", words)}
            <div class="row">
                {button("", "They were shot", never(), move || all(Fate::Taken))}
                {button("", "They were not shot", never(), move || all(Fate::LeftOut))}
            </div>
        </div>
    }
}

fn to_batch(room: Room, id: StoredValue<String>) {
    if let Some(batch) = room.once(|book| {
        id.with_value(|id| book.roll(id))
            .map(|roll| roll.batch.clone())
    }) {
        room.go(Place::Batch(batch));
    }
}

/// The frames in the order of shooting; one unfolds under its row to be changed.
fn table(room: Room, id: StoredValue<String>) -> impl IntoView {
    // A row stays where it is as long as its frame does: what is typed under it is not lost to a change of another one.
    let all = Memo::new(move |_| {
        room.with(|book| {
            let Some(roll) = id.with_value(|id| book.roll(id)) else {
                return Vec::new();
            };
            let frames = roll.frames.iter().map(|frame| frame.id);
            frames.zip(rows(book, roll)).collect::<Vec<_>>()
        })
    });
    let frames = Memo::new(move |_| {
        let id = |(frame, _): &(u16, Row)| *frame;
        all.with(|all| all.iter().map(id).collect::<Vec<_>>())
    });
    let line = move |frame: u16| {
        let row = Memo::new(move |_| {
            all.with(|all| {
                let found = all.iter().find(|(known, _)| *known == frame);
                found.map(|(_, row)| row.clone())
            })
        });
        let is_open = Memo::new(move |_| room.open_frame.get() == Some(frame));
        let editor = move || is_open.get().then(|| self::frame(room, id, frame));
        view! {
            <li>
                {log_row(room, row, frame)}
                {editor}
            </li>
        }
    };
    let none = flag(move || !of(room, id, |roll| roll.frames.is_empty()));
    view! {
        <p class="reason" hidden=none>
            "Nothing is logged yet. On the dial, “Log this series” brings the frames here."
        </p>
        <ol class="log" aria-label="Frames">
            <For each=move || frames.get() key=|frame| *frame children=line />
        </ol>
    }
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

fn log_row(room: Room, row: Memo<Option<Row>>, frame: u16) -> impl IntoView {
    let open = room.open_frame;
    let toggle = press(move || {
        room.otherwise.set(false);
        open.update(|open| *open = (*open != Some(frame)).then_some(frame));
        if open.get_untracked().is_some() {
            sheet::show(".open-frame");
        }
    });
    let other = move || row.with(|row| row.as_ref().is_some_and(is_otherwise));
    let part = move |part: fn(&Row) -> String| {
        text(move || row.with(|row| row.as_ref().map(part).unwrap_or_default()))
    };
    view! {
        <button
            class="log-row"
            class:other=other
            type="button"
            aria-expanded=text(move || (open.get() == Some(frame)).to_string())
            on:click=toggle
        >
            <span class="log-number">{part(number)}</span>
            <span class="log-set">{part(set)}</span>
            <span class="log-fate">{part(|row| row.fate.clone())}</span>
            <span class="log-small lines">{part(small)}</span>
        </button>
    }
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
    field: RwSignal<String>,
    known: Option<T>,
    spell: impl Fn(T) -> String,
    parse: impl Fn(&str) -> Result<T, book::Error>,
) -> Result<Option<T>, book::Error> {
    let typed = typed(field);
    match known {
        _ if typed.is_empty() => Ok(None),
        Some(known) if spell(known) == typed => Ok(Some(known)),
        _ => parse(&typed).map(Some),
    }
}

/// One frame, to be changed: what it was really shot at, what became of it, a note, and where it belongs.
fn frame(room: Room, id: StoredValue<String>, open: u16) -> impl IntoView {
    let number = text(move || {
        of(room, id, |roll| roll.number_of(open)).map_or_else(
            || "A frame without a place on the film".to_owned(),
            |number| format!("Frame {number}"),
        )
    });
    let of_frame = move || {
        room.with(|book| {
            let roll = id.with_value(|id| book.roll(id))?;
            let place = roll.frames.iter().position(|frame| frame.id == open)?;
            let row = rows(book, roll).into_iter().nth(place)?;
            Some((roll.frames[place].clone(), row))
        })
    };
    let what_is_known = text(move || of_frame().map_or_else(String::new, |(_, row)| known(&row)));
    let changed = move || of_frame().is_some_and(|(frame, _)| frame.shot.light_changed);
    let marks_of = move |frame: u16| {
        room.with(|book| {
            let roll = id.with_value(|id| book.roll(id))?;
            Some(Marks::of_frame(book, roll, roll.frame(frame)?))
        })
    };
    let marks = Memo::new(move |_| marks_of(open));
    /// What was set, deviations first.
    fn set(frame: &Frame) -> (Option<Time>, Option<Aperture>) {
        let planned = match &frame.plan {
            Plan::Picture { set, .. } => Some(*set),
            _ => None,
        };
        (
            frame.shot.time.or(planned.map(|set| set.time)),
            frame.shot.aperture.or(planned.map(|set| set.aperture)),
        )
    }
    // It brings its own figures into the fields.
    let found = untrack(of_frame).zip(untrack(|| marks_of(open)));
    let (t, a, n) = found.map_or_else(Default::default, |((frame, _), marks)| {
        let (t, a) = set(&frame);
        (
            t.map(|time| marks.spell_time(time)).unwrap_or_default(),
            a.map(|stop| marks.spell_aperture(stop)).unwrap_or_default(),
            frame.shot.note,
        )
    });
    let time = RwSignal::new(t);
    let aperture = RwSignal::new(a);
    let note = RwSignal::new(n);
    let close = move || {
        // The keyboard goes to its row.
        sheet::give(".log-row[aria-expanded=true]");
        room.open_frame.set(None);
        room.otherwise.set(false);
    };
    let slip = move |slip: Slip| {
        room.edit(&Edit::Slip {
            roll: id.get_value(),
            run: Run::One(open),
            slip,
        })
    };
    // All that is typed is kept in one step. A frame that waited was shot, where it was not as planned and nothing else is said.
    let keep = move |fate: Option<Fate>| {
        let Some((frame, _)) = untrack(of_frame) else {
            return;
        };
        let Some(marks) = untrack(|| marks_of(frame.id)) else {
            return;
        };
        let (known_time, known_aperture) = set(&frame);
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
        let otherwise = room.otherwise.get_untracked()
            || (typed_time.is_some() && typed_time != known_time)
            || (typed_aperture.is_some() && typed_aperture != known_aperture);
        let waited = frame.shot.fate == Fate::Waiting;
        let fate = fate.unwrap_or(if waited && otherwise {
            Fate::Taken
        } else {
            frame.shot.fate
        });
        let kept = room.edit(&Edit::Shot {
            roll: id.get_value(),
            frame: frame.id,
            time: typed_time,
            aperture: typed_aperture,
            fate,
            note: typed(note),
            at: Some(now()),
        });
        if kept {
            if room.otherwise.get_untracked() && fate != Fate::Waiting {
                ticking::kept(room);
            }
            close();
        }
    };
    let fates = [
        (SHOT, Fate::Taken),
        ("Lost", Fate::Lost),
        ("Double: on the frame before", Fate::Double),
        ("Left out", Fate::LeftOut),
        ("Not shot yet", Fate::Waiting),
    ]
    .map(|(label, fate)| button("", label, never(), move || keep(Some(fate))));
    let light = text(move || {
        let label = if changed() {
            "The light was as read after all"
        } else {
            "The light was another"
        };
        label.to_owned()
    });
    let toggle_light = press(move || {
        let was = untrack(changed);
        slip(Slip::LightChanged(!was));
    });
    view! {
        <section class="form open-frame" tabindex="-1" aria-label="The open frame">
            <h4>{number}</h4>
            {paragraph("reason", what_is_known)}
            {entry("frame-time", "Time as shot", "As on the shutter: 1/60, 2s; on B, how long it was really open. Empty: as planned.", time)}
            {marks::offered(Which::Time, marks.into(), time)}
            {entry("frame-aperture", "Aperture as shot", "f/8, 5.6. Empty: as planned.", aperture)}
            {marks::offered(Which::Aperture, marks.into(), aperture)}
            {entry("frame-note", "Note", "In your own words.", note)}
            <div class="row">
                {button("main", "Keep the frame so", never(), move || keep(None))}
                {button("", "As planned after all", never(), move || {
                    if slip(Slip::AsPlanned) {
                        close();
                    }
                })}
                <button type="button" on:click=toggle_light>
                    {light}
                </button>
            </div>
            <p class="hint">"Or keep it so, and say what became of it:"</p>
            <div class="row" role="group" aria-label="What became of the frame">
                {fates}
            </div>
            {put_in::mover(room, id)}
        </section>
    }
}

/// What each scene really holds and what is missing.
fn held(room: Room, id: StoredValue<String>) -> impl IntoView {
    // A scene stays where it is: what is typed for it is not lost to a change of something else.
    let numbers = Memo::new(move |_| {
        of(room, id, |roll| {
            let numbers = roll.scenes.iter().map(|scene| scene.number);
            numbers.collect::<Vec<_>>()
        })
    });
    let line = move |number: u16| {
        let missing = Memo::new(move |_| of(room, id, |roll| missing(roll, number)));
        let part = move |part: fn(&Roll, &Scene) -> String| {
            text(move || {
                of(room, id, |roll| {
                    let scene = roll.scene(number).map(|scene| part(roll, scene));
                    scene.unwrap_or_default()
                })
            })
        };
        let more = move || {
            room.edit(&Edit::More {
                roll: id.get_value(),
                scene: number,
                frames: missing.get_untracked(),
            });
        };
        view! {
            <li>
                {paragraph("rule-name", part(|_, scene| scene_title(scene)))}
                {paragraph("", part(|roll, scene| series(roll, scene.number).words))}
                {paragraph("reason lines", part(|_, scene| {
                    let mut counted = vec![scene.light.read_words()];
                    counted.extend(scene.light.said());
                    counted.push(scene.note.clone());
                    counted.retain(|line| !line.is_empty());
                    counted.join("\n")
                }))}
                <div class="row" hidden=flag(move || missing.with(Vec::is_empty))>
                    {button("", "Plan what is missing", never(), more)}
                </div>
                {describe_scene(room, id, number)}
            </li>
        }
    };
    let none = flag(move || of(room, id, |roll| roll.scenes.is_empty()));
    view! {
        <section hidden=none>
            <h3>"What the series really hold"</h3>
            <ul class="rules" aria-label="Scenes">
                <For each=move || numbers.get() key=|number| *number children=line />
            </ul>
        </section>
    }
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
fn describe_scene(room: Room, id: StoredValue<String>, scene: u16) -> impl IntoView {
    let known = room.once(|book| {
        let roll = id.with_value(|id| book.roll(id))?;
        roll.scene(scene).cloned()
    });
    let (name, note) = known.map_or_else(Default::default, |scene| (scene.name, scene.note));
    let (name, note) = (RwSignal::new(name), RwSignal::new(note));
    let keep = move || {
        room.edit(&Edit::DescribeScene {
            roll: id.get_value(),
            scene,
            name: typed(name),
            note: typed(note),
        });
    };
    // Each field has an id of its own: there are as many as scenes.
    let field = move |what: &'static str, label: &'static str, typed: RwSignal<String>| {
        let id = format!("scene-{scene}-{what}");
        view! {
            <div class="field">
                <label for=id.clone()>{label}</label>
                <input
                    id=id
                    type="text"
                    autocomplete="off"
                    prop:value=typed
                    on:input=move |event| typed.set(event_target_value(&event))
                />
            </div>
        }
    };
    view! {
        <details>
            <summary>{format!("Name and note of scene {scene}")}</summary>
            <div class="form">
                {field("name", "Name", name)} {field("note", "Note", note)}
                <div class="row">{button("", "Keep", never(), keep)}</div>
            </div>
        </details>
    }
}

/// A slip over a run of frames, by one edit.
fn slip(room: Room, id: StoredValue<String>) -> impl IntoView {
    let from = RwSignal::new(String::new());
    let to = RwSignal::new(String::new());
    let value = RwSignal::new(String::new());
    let what = RwSignal::new("aperture".to_owned());
    let kinds = fixed([
        ("aperture", "The ring stood at"),
        ("time", "The time stood at"),
        ("meter", "The reading device stood at ISO"),
        ("light", "The light was another than the reading"),
        ("same", "The light was as read after all"),
        ("planned", "Everything was as planned after all"),
        ("lost", "The frames are lost"),
    ]);
    // The first of the frames was shot in the camera that the marks are of.
    let marks_here = move || {
        room.once(|book| {
            let roll = id.with_value(|id| book.roll(id))?;
            let first = typed(from).parse::<u16>().ok();
            let mut numbered = roll.numbered().into_iter();
            let first = numbered.find(|(number, _)| first.is_some() && *number == first);
            Some(match first {
                Some((_, frame)) => Marks::of_frame(book, roll, frame),
                None => Marks::of_roll(book, roll),
            })
        })
    };
    let marks = Memo::new(move |_| {
        room.with(|book| {
            let roll = id.with_value(|id| book.roll(id))?;
            Some(Marks::of_roll(book, roll))
        })
    });
    let needs_value =
        move || what.with(|what| matches!(what.as_str(), "aperture" | "time" | "meter"));
    let send = move || {
        let error = |error: book::Error| error.to_string();
        let read = || {
            let number = |field: RwSignal<String>| {
                typed(field)
                    .parse::<u16>()
                    .map_err(|_| "Frames are given by their number on the film.".to_owned())
            };
            let run = Run::Numbers {
                from: number(from)?,
                to: if typed(to).is_empty() {
                    None
                } else {
                    Some(number(to)?)
                },
            };
            let figure = typed(value);
            let marks = marks_here().ok_or_else(|| "This roll is not in the book.".to_owned())?;
            let slip = match what.get_untracked().as_str() {
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
        match read() {
            Ok((run, slip)) => {
                room.edit(&Edit::Slip {
                    roll: id.get_value(),
                    run,
                    slip,
                });
            }
            Err(sentence) => room.said.set(sentence),
        }
    };
    view! {
        <details>
            <summary>"A slip over several frames"</summary>
            <div class="form">
                {entry("slip-from", "From frame", "Its number on the film.", from)}
                {entry("slip-to", "To frame", "Empty for the last frame that was shot so far.", to)}
                {choice("slip-kind", "What was otherwise", kinds, what)}
                <div hidden=flag(move || !needs_value())>
                    {entry("slip-value", "At", "f/5.6, 1/60 or ISO 400.", value)}
                    <div hidden=flag(move || what.with(|what| what != "aperture"))>
                        {marks::offered(Which::Aperture, marks.into(), value)}
                    </div>
                    <div hidden=flag(move || what.with(|what| what != "time"))>
                        {marks::offered(Which::Time, marks.into(), value)}
                    </div>
                </div>
                <div class="row">{button("main", "Log the slip", never(), send)}</div>
                <p class="reason">"The plan stays as it was; what really happened is kept beside it."</p>
            </div>
        </details>
    }
}

/// Frames without a scene.
fn extras(room: Room, id: StoredValue<String>) -> impl IntoView {
    let add = move |what: Extra| {
        room.edit(&Edit::Extra {
            roll: id.get_value(),
            what,
            spot: Spot::Now,
            at: Some(now()),
        });
    };
    view! {
        <details>
            <summary>"A frame without a scene"</summary>
            <p class="reason">
                "A slate is a card with roll, scene and setting. A capped frame shows base plus fog. A lost frame was wound on or wasted."
            </p>
            <div class="row">
                {button("", "Slate", never(), move || add(Extra::Slate))}
                {button("", "Capped frame", never(), move || add(Extra::Capped))}
                {button("", "Lost frame", never(), move || add(Extra::Lost))}
            </div>
        </details>
    }
}

/// Papers of the roll.
fn papers(room: Room, id: StoredValue<String>) -> impl IntoView {
    view! {
        <h3 class="papers-title">"Papers"</h3>
        <div class="row">
            {button("", "Label", never(), move || papers::tape_of(room, &id.get_value()))}
            {button("", "Frames as a table", never(), move || {
                papers::hand_out_table(room, Way::Save, Some(&id.get_value()));
            })}
            {papers::can_share_table().then(|| {
                button("", "Share the table", never(), move || {
                    papers::hand_out_table(room, Way::Share, Some(&id.get_value()));
                })
            })}
            {button("", "Sidecars for the scans", never(), move || {
                papers::save_sidecars(room, &id.get_value());
            })}
            {button("", "Print the roll sheet", never(), crate::browser::page::print)}
        </div>
    }
}

/// Name, purpose and note of the roll.
fn describe(room: Room, id: StoredValue<String>) -> impl IntoView {
    let (name, purpose, exposures, note) = room.once(|book| {
        id.with_value(|id| book.roll(id)).map_or_else(
            || (String::new(), String::new(), 36, String::new()),
            |roll| {
                (
                    roll.name.clone(),
                    roll.purpose.clone(),
                    roll.exposures,
                    roll.note.clone(),
                )
            },
        )
    });
    let name = RwSignal::new(name);
    let purpose = RwSignal::new(purpose);
    let exposures = RwSignal::new(exposures.to_string());
    let note = RwSignal::new(note);
    let keep = move || {
        let storage = room.once(|book| id.with_value(|id| book.roll(id)).and_then(|r| r.storage));
        match typed(exposures).parse::<u16>() {
            Ok(exposures) => {
                room.edit(&Edit::Describe {
                    roll: id.get_value(),
                    name: typed(name),
                    purpose: typed(purpose),
                    exposures,
                    storage,
                    note: typed(note),
                });
            }
            Err(_) => room
                .said
                .set("Frames on the roll: a whole number such as 36.".to_owned()),
        }
    };
    view! {
        <details>
            <summary>"Name and purpose"</summary>
            <div class="form">
                {entry("roll-name", "Name", "On its label.", name)}
                {entry("roll-purpose", "What it is for", "So that it is not mixed up.", purpose)}
                {entry("roll-exposures", "Frames", "12, 16, 24, 36 or 72.", exposures)}
                {entry("roll-note", "Note", "In your own words.", note)}
                <div class="row">{button("", "Keep", never(), keep)}</div>
            </div>
        </details>
    }
}
