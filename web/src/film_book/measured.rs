//! Scans that are measured beside the page, their small copies, and what was measured, shown.

use book::{Edit, Roll, Run, Scans, Slip, bytes_words, compared, line_up, runs};
use exposure::{Axis, words};
use scans::{
    desk::{Answer, Begin, Doubt, Logged, Question, Wanted, bar_from},
    frame::BARS,
    roll::Said,
};

use super::{
    review::{Scan, Table, by_number},
    room::{Place, Room},
};
use crate::{
    browser::{
        database::Trouble,
        files::{self, File},
        later::spawn_local,
        pictures::{self, Kept},
        sheet,
        worker::Beside,
    },
    drawn::{Plot, figure, line_scale_of},
    live::{Live, Worked, follow},
    parts::{Element, Part, el, follows, parts},
    piece::{button, paragraph, row, said, unfolds},
};

const NO_ROOM: &str = "This device has no room for the small copies: the table works for this visit, and nothing else is lost.";
const NOT_KEPT: &str = "The small copies cannot be kept here: the table works for this visit.";
const NOT_MEASURED: &str =
    "This browser does not measure pictures: they are shown, and judged by eye.";

fn why(trouble: Trouble) -> &'static str {
    if trouble == Trouble::Full {
        NO_ROOM
    } else {
        NOT_KEPT
    }
}

/// Which scans lie here; none once the page is gone.
pub(super) fn turn(table: Table) -> Option<u32> {
    table.loaded.try_once(|loaded| *loaded)
}

/// Lays out what was kept of the roll, and says again what is measured whenever log or line-up change.
pub(super) fn begin(table: Table) {
    let id = table.roll.id();
    let before = turn(table);
    spawn_local(async move {
        // OK to leave out: where nothing can be read, nothing is said to be there.
        if let Ok((folder, laid)) = pictures::beside(&id).await
            && turn(table).is_some()
        {
            table.folder.put(folder);
            table.laid.put(laid);
        }
        let Ok(mut kept) = pictures::of_roll(&id).await else {
            return;
        };
        if kept.is_empty() || turn(table) != before {
            return;
        }
        kept.sort_by_cached_key(|kept| by_number(&kept.name));
        let scan = |kept: Kept| Scan {
            name: kept.name,
            small: files::picture(&kept.picture),
            bytes: kept.picture.size(),
            measured: Some(kept.measured).filter(|record| !record.is_empty()),
            kept: true,
            ..Scan::default()
        };
        let (_, more) = table.lie(kept.into_iter().map(scan).collect(), None);
        if !more.is_empty() {
            table
                .roll
                .room
                .said
                .set(format!("The small copies are here again.{more}"));
        }
        let now = turn(table);
        let Some(beside) = start(table).await else {
            return;
        };
        if turn(table) == now {
            table.beside.put(Some(beside));
        }
    });
    let asked = Worked::new(move || question(table));
    let busy = Live::new(false);
    follow(move || {
        let wanted = asked.with(|asked| asked.is_some());
        if table.beside.with(Option::is_some) && wanted {
            spawn_local(tell(table, asked, busy));
        }
    });
}

async fn start(table: Table) -> Option<Beside> {
    let beside = Beside::start().await;
    if beside.is_none() && turn(table).is_some() {
        table.work.set(NOT_MEASURED.to_owned());
    }
    beside
}

/// What is asked of the scans as they lie; none before all are measured.
fn question(table: Table) -> Option<Question> {
    let measured = table.scans.with(|scans| {
        let known = scans.iter().filter(|scan| scan.measured.is_some());
        known.count()
    });
    if measured == 0 {
        return None;
    }
    let names = table.scans.with(|scans| {
        let names = scans.iter().map(|scan| scan.name.clone());
        names.collect()
    });
    table.places.with(|places| {
        table
            .roll
            .with(|_, roll| Some(asked_of(roll, places, names)))
    })
}

/// What is asked of the scans of a roll as they lie; their names are in the order of the files.
fn asked_of(roll: &Roll, places: &[book::Place], names: Vec<String>) -> Question {
    let frames = compared(roll, places).into_iter().map(|frame| Logged {
        file: frame.file,
        number: frame.number,
        scene: frame.scene,
        offset: frame.from_base,
    });
    let film = runs(roll).into_iter();
    let film = film.map(|(number, series, offset)| Wanted {
        number,
        series,
        offset,
    });
    Question {
        said: match roll.scans {
            Some(Scans::Fixed) => Said::Fixed,
            Some(Scans::Corrected) => Said::Corrected,
            _ => Said::Unknown,
        },
        frames: frames.collect(),
        film: film.collect(),
        names,
    }
}

/// Where clipping and casts begin in rolls whose scans were measured, each with its roll. Nothing of a roll whose scans tell no
/// exposure, or lie where no name says.
pub(super) async fn beginnings(room: Room, rolls: Vec<String>) -> Vec<(String, Begin)> {
    let (mut out, mut beside) = (Vec::new(), None);
    for id in rolls {
        // OK to leave out: what cannot be read is not drawn.
        let mut kept = pictures::of_roll(&id).await.unwrap_or_default();
        kept.sort_by_cached_key(|kept| by_number(&kept.name));
        let names: Vec<String> = kept.iter().map(|kept| kept.name.clone()).collect();
        let question = room.once(|book| {
            let roll = book.roll(&id)?;
            let how = book::by_names(roll, &names, false)?;
            let places = line_up(roll, names.len(), &how);
            Some(asked_of(roll, &places, names))
        });
        let Some(question) = question else {
            continue;
        };
        if beside.is_none() {
            beside = Beside::start().await;
        }
        let Some(running) = &beside else {
            break;
        };
        let records: Vec<Option<String>> =
            kept.into_iter().map(|kept| Some(kept.measured)).collect();
        let told = running.tell(&question.text(), &records).await;
        let told = told.and_then(|text| Answer::read(&text).ok());
        let begins = told
            .filter(|told| told.tells_exposure)
            .map(|told| told.begins);
        out.extend(
            begins
                .unwrap_or_default()
                .into_iter()
                .map(|begin| (id.clone(), begin)),
        );
    }
    out
}

/// Asks until what was asked last is answered. One at a time, for the program beside the page does one thing after the other.
async fn tell(table: Table, asked: Worked<Option<Question>>, busy: Live<bool>) {
    if busy.quietly(|busy| std::mem::replace(busy, true)) != Some(false) {
        return;
    }
    loop {
        let Some(now) = turn(table) else {
            return;
        };
        let Some(question) = asked.now() else {
            break;
        };
        let records: Vec<Option<String>> = table.scans.once(|scans| {
            let records = scans.iter().map(|scan| scan.measured.clone());
            records.collect()
        });
        let Some(beside) = table.beside.now() else {
            break;
        };
        let answer = beside.tell(&question.text(), &records).await;
        if turn(table).is_none() {
            return;
        }
        let stays = turn(table) == Some(now) && asked.now().as_ref() == Some(&question);
        if stays {
            let answer = answer.and_then(|text| Answer::read(&text).ok());
            table.told.put(answer.unwrap_or_default());
            break;
        }
    }
    busy.quietly(|busy| *busy = false);
}

/// Changes a scan that lies on the table.
fn on_scan(table: Table, name: &str, change: impl FnOnce(&mut Scan)) {
    table.scans.update(|scans| {
        if let Some(scan) = scans.iter_mut().find(|scan| scan.name == name) {
            change(scan);
        }
    });
}

/// Copies and measures files, one after the other, and keeps the copies. Only when all of them are kept are copies taken away of scans
/// that do not lie here any more.
pub(super) fn look(table: Table, files: Vec<(String, File)>) {
    let id = table.roll.id();
    let this = turn(table);
    // What measured the scans before these has nothing more to do.
    table.beside.put(None);
    spawn_local(async move {
        let beside = start(table).await;
        if turn(table) != this {
            return;
        }
        let Some(beside) = beside else {
            // They are shown as they are.
            table.scans.update(|scans| {
                for scan in scans {
                    scan.waits = false;
                }
            });
            return;
        };
        let mut trouble = None;
        let (of, mut refused) = (files.len(), Vec::new());
        for (nth, (name, file)) in files.into_iter().enumerate() {
            table
                .work
                .set(format!("Measuring: {nth} of {of} scans are done."));
            let looked = beside.look(&file).await;
            if turn(table) != this {
                return;
            }
            let Some(looked) = looked else {
                // A file that cannot be shown is no picture at full size either.
                on_scan(table, &name, |scan| scan.whole = None);
                refused.push(name);
                continue;
            };
            let kept = Kept {
                name,
                picture: looked.small,
                measured: looked.measured,
            };
            on_scan(table, &kept.name, |scan| {
                scan.small = files::picture(&kept.picture);
                scan.bytes = kept.picture.size();
                scan.measured = Some(kept.measured.clone());
            });
            if trouble.is_none() {
                trouble = pictures::keep(&id, &kept).await.err();
                if turn(table) != this {
                    return;
                }
                let is_kept = trouble.is_none();
                on_scan(table, &kept.name, |scan| scan.kept = is_kept);
            }
        }
        if trouble.is_none() {
            let names = table.scans.once(|scans| {
                let names = scans.iter().map(|scan| scan.name.clone());
                names.collect::<Vec<_>>()
            });
            trouble = pictures::keep_only(&id, &names).await.err();
            if turn(table) != this {
                return;
            }
        }
        let mut said = Vec::new();
        if !refused.is_empty() {
            said.push(format!(
                "This browser cannot show these files, which keep their places without a picture: {}.",
                refused.join(", ")
            ));
        }
        said.extend(trouble.map(|trouble| why(trouble).to_owned()));
        table.work.set(said.join(" "));
        table.beside.put(Some(beside));
    });
}

/// Takes away what is kept of the scans of rolls that the book does not have any more. Where something was not read, or was set
/// aside, the roll may be that: nothing is taken away then.
pub(super) async fn forget_removed(room: Room) {
    let is_sure = room.kept.was_read_whole() && room.once(|book| book.asides().next().is_none());
    if !is_sure {
        return;
    }
    // OK to leave it: it is tried again at the next visit.
    let Ok(rolls) = pictures::rolls().await else {
        return;
    };
    for roll in rolls {
        if !room.once(|book| book.has_roll(&roll)) {
            let _ = pictures::remove(&roll).await;
        }
    }
}

fn remove(table: Table) {
    let id = table.roll.id();
    // What is still measured is not kept any more.
    table
        .loaded
        .quietly(|loaded| *loaded = loaded.wrapping_add(1));
    spawn_local(async move {
        let removed = pictures::remove(&id).await;
        if turn(table).is_none() {
            return;
        }
        let had_folder = table.folder.once(Option::is_some);
        let said = match removed {
            Ok(()) if had_folder => {
                "The small copies of this roll are removed, and its folder is forgotten. The files themselves stay where they are."
            }
            Ok(()) => {
                "The small copies of this roll are removed. The files themselves stay where they are."
            }
            Err(_) => {
                "The small copies could not be removed: the browser does not let the page reach them."
            }
        };
        table.roll.room.said.set(said.to_owned());
        if removed.is_ok() {
            table.beside.put(None);
            table.folder.put(None);
            table.laid.put(None);
            table.work.set(String::new());
            table.lie(Vec::new(), None);
            table.roll.room.sheet.keep_focus();
        }
    });
}

/// How far it is, what room the copies take, and their removal.
pub(super) fn progress(table: Table) -> Part {
    let room = move || {
        let (lie, kept, bytes) = table.scans.with(|scans| {
            let kept = scans.iter().filter(|scan| scan.kept);
            let bytes: f64 = kept.clone().map(|scan| scan.bytes).sum();
            (scans.len(), kept.count(), bytes)
        });
        let of = if kept == lie {
            kept.to_string()
        } else {
            format!("{kept} of {lie}")
        };
        let bytes = bytes_words(bytes);
        el("div")
            .hidden(kept == 0)
            .with(paragraph(
                "reason",
                format!("Small copies of this roll: {of}, {bytes}."),
            ))
            .with(row([button("", "Remove the small copies", move || {
                remove(table);
            })]))
    };
    parts![
        follows(move || {
            let work = table.work.get();
            said("notice", work).attr("role", "status")
        }),
        follows(room),
    ]
}

/// What was measured of the roll.
pub(super) fn region(table: Table) -> Element {
    let statement = move || {
        table.told.with(|told| {
            let says = told.says.join("\n");
            let class = if told.warns {
                "warning review-warning lines"
            } else {
                "reason lines"
            };
            parts![
                said(class, says),
                rather(table, told.rather),
                el("div").all(
                    questions(&told.doubts)
                        .into_iter()
                        .map(|question| question_of(table, question))
                ),
                said("reason lines", begins(told)),
            ]
        })
    };
    el("section")
        .class("measured")
        .named("Measured")
        .hidden_when(move || table.told.with(|told| told.says.is_empty()) || table.is_blind())
        .with(el("h3").says("Measured"))
        .with(follows(statement))
        .with(follows(move || otherwise(table)))
        .with(follows(move || bars(table)))
}

/// What the pictures say of how the scans were made, to be noted by one tap: conclusions rest on what is noted.
fn rather(table: Table, says: Option<Said>) -> Part {
    let (words, how) = match says.filter(|_| table.made() != Some(Scans::LightTable)) {
        Some(Said::Corrected) => (
            "Note that they were corrected frame by frame",
            Scans::Corrected,
        ),
        Some(Said::Fixed) => (
            "Note that they were made with one fixed setting",
            Scans::Fixed,
        ),
        _ => return Part::Nothing,
    };
    let note = move || {
        table.roll.room.edit(&Edit::ScansMade {
            roll: table.roll.id(),
            how: Some(how),
        });
    };
    row([button("", words, note)]).into()
}

/// Where clipping or a cast begins, in sentences.
fn begins(told: &Answer) -> String {
    let line = |begin: &Begin| {
        let at = scans::roll::stops(begin.offset);
        let at = if at.is_even() {
            "at the base".to_owned()
        } else {
            format!("at {} than the base", words::difference(at))
        };
        format!("Scene {}, {at}: {}.", begin.scene, begin.words)
    };
    let lines: Vec<String> = told.begins.iter().map(line).collect();
    lines.join("\n")
}

/// Doubts that share a frame are one question: that frame is most likely the one.
fn questions(doubts: &[Doubt]) -> Vec<(Vec<u16>, Vec<&str>)> {
    let mut out: Vec<(Vec<u16>, Vec<&str>)> = Vec::new();
    for doubt in doubts {
        let pair = [doubt.less, doubt.more];
        let known = out
            .iter_mut()
            .find(|(frames, _)| pair.iter().any(|number| frames.contains(number)));
        match known {
            Some((frames, words)) => {
                // What both name comes first.
                let shared = pair.iter().find(|number| frames.contains(number));
                let shared = shared.and_then(|shared| frames.iter().position(|one| one == shared));
                frames[..=shared.unwrap_or(0)].rotate_right(1);
                frames.extend(
                    pair.iter()
                        .filter(|number| !frames.contains(number))
                        .copied()
                        .collect::<Vec<_>>(),
                );
                words.push(&doubt.words);
            }
            None => out.push((pair.into(), vec![&doubt.words])),
        }
    }
    out
}

/// Frames that measure otherwise than the log says, and what it may have been.
fn question_of(table: Table, (frames, says): (Vec<u16>, Vec<&str>)) -> Element {
    let light = |number: u16| {
        move || {
            table.roll.room.edit(&Edit::Slip {
                roll: table.roll.id(),
                run: Run::Numbers {
                    from: number,
                    to: Some(number),
                },
                slip: Slip::LightChanged(true),
            });
        }
    };
    let setting = |number: u16| {
        move || {
            let id = table.roll.once(|_, roll| {
                let mut frames = roll.numbered().into_iter();
                let frame = frames.find(|(known, _)| *known == Some(number));
                frame.map(|(_, frame)| frame.id)
            });
            // The page of the roll begins with no frame open.
            let room = table.roll.room;
            room.go(Place::Roll(table.roll.id()));
            room.open_frame.set(id);
            room.otherwise.set(true);
            sheet::turn_to(".open-frame");
        }
    };
    let buttons = frames.into_iter().flat_map(|number| {
        [
            button(
                "",
                format!("The light had changed at frame {number}"),
                light(number),
            ),
            button(
                "",
                format!("Frame {number} was set otherwise"),
                setting(number),
            ),
        ]
    });
    el("div")
        .class("question")
        .with(paragraph("lines", says.join("\n")))
        .with(row(buttons))
}

/// How the files lie by the pictures, where that is otherwise.
fn otherwise(table: Table) -> Part {
    table.told.with(|told| {
        let Some(other) = &told.otherwise else {
            return Part::Nothing;
        };
        let count = table.scans.with(Vec::len);
        let files = other.files.clone();
        let file_of = move |number: u16| {
            let found = files.iter().find(|(known, _)| *known == number)?;
            Some(found.1)
        };
        let how = table.roll.with(|_, roll| book::lying(roll, count, file_of));
        let now = table.lineup.get();
        if how.as_ref() == Some(&now) {
            return Part::Nothing;
        }
        let can = how.is_some();
        let lay = move || {
            if let Some(how) = how.clone() {
                table.lay(|now| *now = how);
                table.roll.room.sheet.keep_focus();
            }
        };
        el("div")
            .class("question")
            .attr("role", "status")
            .with(paragraph("lines", other.words.clone()))
            .with(row([button("main", "Lay them as the pictures say", lay)]).hidden(!can))
            .into()
    })
}

/// The darkest and the brightest stop of the histograms, about the middle tone.
const STOPS: [f64; 2] = [-8.0, 3.0];

/// The histograms of the frames of the chosen scene under one another.
fn bars(table: Table) -> Part {
    let cards = table.cards.get();
    let of = |card: &super::review::Card| {
        let file = table.file_of(card.id)?;
        table.told.with(|told| {
            let seen = told.files.get(file)?.as_ref()?;
            Some((card.name.clone(), seen.bars?, seen.words.clone()))
        })
    };
    let rows: Vec<(String, [f64; BARS], String)> = cards.iter().filter_map(of).collect();
    if rows.is_empty() {
        return Part::Nothing;
    }
    let most = rows
        .iter()
        .flat_map(|(_, bars, _)| bars)
        .fold(0.01, |most: f64, share| most.max(*share));
    let plot = Plot {
        x: Axis::new(STOPS[0], STOPS[1]),
        y: Axis::new(0.0, most),
    };
    let row = |(name, bars, _): &(String, [f64; BARS], String)| {
        let columns = bars.iter().enumerate().filter(|(_, share)| **share > 0.0);
        let column = |(nth, share): (usize, &f64)| {
            let from = bar_from(nth);
            plot.column([from, from + 0.5], *share)
        };
        let lies = |(nth, _): &(usize, &f64)| {
            let from = bar_from(*nth);
            (STOPS[0]..STOPS[1]).contains(&from)
        };
        el("div")
            .class("histogram")
            .with(el("span").class("histogram-name").says(name.clone()))
            .with(plot.field_at(
                &[-6.0, -4.0, -2.0, 0.0, 2.0],
                &[],
                columns.filter(lies).map(column).collect(),
            ))
    };
    let scale = |at: f64| words::decimal(at.abs(), 0);
    let drawing = el("div")
        .class("histograms")
        .all(rows.iter().map(row))
        .with(line_scale_of(plot.x, &[-6.0, -4.0, -2.0, 0.0, 2.0], &scale));
    let each = rows
        .iter()
        .map(|(name, _, words)| format!("{name}: {}", words.replace('\n', " ")));
    let sentence = "Stops darker (left of 0) and brighter (right of it) than middle grey, as if each scan were plain sRGB; the frames of this scene, least light first.";
    parts![
        figure("Histogram", sentence, drawing),
        unfolds(
            "What was measured of each frame",
            paragraph("lines", each.collect::<Vec<_>>().join("\n")),
        ),
    ]
}
