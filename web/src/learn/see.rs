//! The price of each dial, seen: a picture that changes as a dial is turned and the others make up for it.

use std::{
    cell::{Cell, OnceCell, RefCell},
    ops::Deref,
    rc::Rc,
    time::Duration,
};

use exposure::{Mark, Stops, words as figures};
use learn::{
    film::Printing,
    render::{Renderer, Size},
    scene::{BEHIND, Backdrop, DISTANCES, FILMS, FOCALS, Hold, Mover, PHONE, SCENES, Scene},
    words,
};
use leptos::reactive::graph::untrack;
use panel::{State, derive};

use super::picture;
use crate::{
    browser::{
        copy,
        draw::Here,
        events,
        later::{request_animation_frame, set_timeout},
    },
    choice::Options,
    dial::{Dials, HAPPENS},
    form::{choice, only, select},
    live::{Live, follow},
    parts::{Element, Part, el, follows, parts},
    piece::{button, paragraph, row, said, unfolds},
    store::{Dispatcher, Screen},
};

/// What stands before the ids of the copied dials.
const IDS: &str = "learn-";
/// Where they stand.
const DIALS: &str = "learn-exposure";

/// A setting, and how much more light it gives than the reading asks for.
type Setting = ([Mark; 3], Stops);

/// Where a picture is looked at: the whole of it, or a part magnified so many times.
type Looked = Option<(f64, [f64; 2])>;

/// The page. It lives as long as the part.
#[derive(Clone, Copy)]
pub(super) struct See(&'static Desk);

impl Deref for See {
    type Target = Desk;

    fn deref(&self) -> &Desk {
        self.0
    }
}

/// What is on it.
pub(super) struct Desk {
    /// What happened last.
    pub(super) said: Live<String>,
    dispatcher: OnceCell<Dispatcher>,
    dials: OnceCell<&'static Dials>,
    /// Where the copied dials stand.
    place: Here,
    canvas: Here,
    beside: Here,
    scene: Live<Scene>,
    setting: Live<Option<Setting>>,
    /// A picture that is kept to compare with.
    kept: Live<Option<Setting>>,
    /// How much of the kept picture lies over the other one, in hundredths of the width.
    divider: Live<String>,
    magnified: Live<Looked>,
    printing: Live<String>,
    /// Which frames of a bracket are seen, and how much more light each frame of the dials' own has than its base.
    frames: Live<String>,
    series: Live<Vec<Stops>>,
    /// The frame that is seen large, and how much more light than the dials give that is.
    large: Live<Stops>,
    bracket: [Here; FRAMES_AT_MOST],
    /// The layers of the scene, small; one for all frames.
    small: RefCell<Option<Renderer>>,
    /// Counts what was turned: what is drawn for an earlier turn is not drawn on.
    turn: Cell<u32>,
    /// The layers of the scene at a size; one for both pictures.
    renderer: RefCell<Option<Renderer>>,
    is_due: Cell<bool>,
}

/// A print of a fixed kind, or one that the laboratory brought back.
const PRINTING: [(&str, &str); 2] = [
    (FIXED, "all pictures alike: more light is brighter"),
    (
        "corrected",
        "each brought back to the middle, as a laboratory does",
    ),
];
const FIXED: &str = "fixed";

/// Which frames of a bracket are seen.
const FRAMES: [(&str, &str); 2] = [
    (WIDE, "3 stops less to 3 stops more light"),
    ("series", "as the bracket of the dials"),
];
const WIDE: &str = "wide";
/// How much more light the frames have that are seen without a bracket of the dials.
const WIDELY: [f64; 7] = [-3.0, -2.0, -1.0, 0.0, 1.0, 2.0, 3.0];
/// The most frames that are seen of a bracket.
const FRAMES_AT_MOST: usize = 13;
/// Pixels across a frame of a bracket.
const SMALL: u32 = 120;
/// How long nothing has to be turned before frames are drawn, in milliseconds.
const STILL: u64 = 150;

/// The page, and what it shows.
pub(super) fn page() -> (See, Part) {
    let see = See(Box::leak(Box::new(Desk {
        said: Live::new(String::new()),
        dispatcher: OnceCell::new(),
        dials: OnceCell::new(),
        place: Here::new(),
        canvas: Here::new(),
        beside: Here::new(),
        scene: Live::new(SCENES[0]),
        setting: Live::new(None),
        kept: Live::new(None),
        divider: Live::new("50".to_owned()),
        magnified: Live::new(None),
        printing: Live::new(FIXED.to_owned()),
        frames: Live::new(WIDE.to_owned()),
        series: Live::new(Vec::new()),
        large: Live::new(Stops::ZERO),
        bracket: std::array::from_fn(|_| Here::new()),
        small: RefCell::default(),
        turn: Cell::default(),
        renderer: RefCell::default(),
        is_due: Cell::default(),
    })));
    follow(move || {
        // Whatever of these changes is drawn.
        see.kept.with(|_| ());
        see.scene.with(|_| ());
        see.magnified.with(|_| ());
        see.printing.with(|_| ());
        see.seen();
        see.draw_soon();
    });
    follow(move || {
        see.setting.with(|_| ());
        see.scene.with(|_| ());
        see.offsets();
        see.draw_bracket_when_still();
    });
    (see, see.shown())
}

impl Screen for Desk {
    fn show(&self, state: &State) {
        if let Some(dials) = self.dials.get() {
            dials.show(&Rc::new(derive(state)));
        }
        self.setting.set(Some(state.stands_at()));
        self.series.set(state.series_offsets());
    }

    fn say(&self, sentence: &str) {
        self.said.set(sentence.to_owned());
    }

    fn warn(&self, _: &str) {}
}

impl See {
    /// Begins with a setting.
    pub(super) fn begin(self, state: State) {
        self.said.set(String::new());
        if let Some(dispatcher) = self.dispatcher.get() {
            dispatcher.try_this(state);
            return;
        }
        let dispatcher = Dispatcher::tried(state, self.0);
        // OK to ignore: it begins once.
        let _ = self.dispatcher.set(dispatcher);
        let Some(place) = self.place.get() else {
            return;
        };
        if copy::put_into(&place, "dials", IDS).is_none() {
            return;
        }
        let dials: &'static Dials = Box::leak(Box::new(Dials::find(IDS, dispatcher)));
        // OK to ignore: they are found once.
        let _ = self.dials.set(dials);
        events::listen(DIALS, &["click"], move |event| {
            if let Some(action) = event.action() {
                dials.pressed(event, &action);
            }
        });
        for kind in HAPPENS {
            events::listen(DIALS, &[kind], move |event| {
                dials.happened(IDS, kind, event);
            });
        }
        dials.listen(IDS);
        dispatcher.show_again();
    }

    /// The marks that the dials stand on.
    pub(super) fn marks(self) -> Option<[Mark; 3]> {
        self.setting.now().map(|(marks, _)| marks)
    }

    /// Those of the picture that is kept.
    pub(super) fn kept_marks(self) -> Option<[Mark; 3]> {
        self.kept.now().map(|(marks, _)| marks)
    }

    /// What is photographed.
    pub(super) fn photographed(self) -> Scene {
        self.scene.now()
    }

    fn printing(self) -> Printing {
        if self.printing.with(|printing| printing == FIXED) {
            Printing::Fixed
        } else {
            Printing::Corrected
        }
    }

    /// At the next picture of the screen, once however much has changed until then.
    fn draw_soon(self) {
        if !self.is_due.replace(true) {
            request_animation_frame(move || {
                self.is_due.set(false);
                self.draw();
            });
        }
    }

    /// How much more light each frame of the bracket has than the dials give, from least to most.
    fn offsets(self) -> Vec<Stops> {
        if self.frames.with(|frames| frames == WIDE) {
            return WIDELY.into_iter().map(Stops::constant).collect();
        }
        let mut series = self.series.get();
        series.truncate(FRAMES_AT_MOST);
        series
    }

    /// What is seen: the setting, with the light of the frame that is looked at.
    fn seen(self) -> Option<Setting> {
        let (set, more) = self.setting.get()?;
        Some((set, more + self.large_now()))
    }

    /// The frame that is seen large; one that the bracket does not have any more is none.
    fn large_now(self) -> Stops {
        let large = self.large.get();
        if self.offsets().contains(&large) {
            large
        } else {
            Stops::ZERO
        }
    }

    /// Once nothing was turned for a while, the frames are drawn one by one, each with a picture of the screen of its own.
    fn draw_bracket_when_still(self) {
        self.turn.set(self.turn.get().wrapping_add(1));
        let turn = self.turn.get();
        set_timeout(
            move || self.draw_frame(0, turn),
            Duration::from_millis(STILL),
        );
    }

    fn draw_frame(self, at: usize, turn: u32) {
        let offsets = untrack(|| self.offsets());
        let (Some(offset), Some((set, more))) = (offsets.get(at).copied(), self.setting.now())
        else {
            return;
        };
        if self.turn.get() != turn {
            return;
        }
        let scene = self.scene.now();
        let mut small = self.small.borrow_mut();
        if !small.as_ref().is_some_and(|made| *made.scene() == scene) {
            *small = picture::size(&scene, SMALL).and_then(|size| Renderer::new(&scene, size).ok());
        }
        if let Some(small) = small.as_mut() {
            let size = *small.size();
            // A bracket is seen as it lies on the film: every frame printed alike.
            if let Ok(pixels) = small.draw(&set, more + offset, Printing::Fixed) {
                picture::put(self.bracket[at], &size, pixels);
            }
        }
        drop(small);
        request_animation_frame(move || self.draw_frame(at + 1, turn));
    }

    fn draw(self) {
        let (scene, magnified) = (self.scene.now(), self.magnified.now());
        let Some(size) = size(&scene, magnified) else {
            return;
        };
        let mut renderer = self.renderer.borrow_mut();
        let is_same = |renderer: &Renderer| *renderer.scene() == scene && *renderer.size() == size;
        if !renderer.as_ref().is_some_and(is_same) {
            *renderer = Renderer::new(&scene, size).ok();
        }
        let Some(renderer) = renderer.as_mut() else {
            return;
        };
        let printing = self.printing();
        for (canvas, setting) in [
            (self.beside, self.kept.now()),
            (self.canvas, untrack(|| self.seen())),
        ] {
            let Some((set, more)) = setting else {
                continue;
            };
            if let Ok(pixels) = renderer.draw(&set, more, printing) {
                picture::put(canvas, &size, pixels);
            }
        }
    }

    fn shown(self) -> Part {
        let over = move || {
            let kept = self.kept.with(Option::is_some);
            el("canvas")
                .class("kept-picture")
                .attr("aria-hidden", "true")
                .here(self.beside)
                .hidden(!kept)
                .style("--at", format!("{}%", self.divider.get()))
        };
        let frame = el("figure")
            .class("picture")
            .attr("aria-labelledby", "learn-picture")
            .attr("aria-describedby", "learn-alternative")
            .with(
                el("div")
                    .class("picture-frame")
                    .with(el("canvas").attr("aria-hidden", "true").here(self.canvas))
                    .with(follows(over)),
            )
            .with(follows(move || self.divide()))
            .with(
                el("figcaption")
                    .with(
                        el("span")
                            .id("learn-picture")
                            .class("unseen")
                            .says("Picture"),
                    )
                    .with(
                        el("span")
                            .id("learn-alternative")
                            .class("unseen")
                            .tells(move || self.alternative()),
                    ),
            );
        parts![
            el("div").class("see").with(frame).with(
                el("div")
                    .class("see-dials")
                    .with(el("div").id(DIALS).here(self.place))
                    .with(follows(move || self.buttons()))
            ),
            follows(move || self.says()),
            self.choices(),
            self.frames_of_bracket(),
        ]
    }

    /// The line between both pictures, moved by touch, mouse and keyboard.
    fn divide(self) -> Part {
        if self.kept.with(Option::is_none) {
            return Part::Nothing;
        }
        el("label")
            .class("divider")
            .with(el("span").says("Divider between the kept picture (left) and this one"))
            .with(
                el("input")
                    .class("slide")
                    .attr("type", "range")
                    .attr("dir", "ltr")
                    .attr("min", "0")
                    .attr("max", "100")
                    .value(self.divider.get())
                    .on("input", move |event| self.divider.set(event.value())),
            )
            .into()
    }

    fn buttons(self) -> Element {
        let kept = self.kept.with(Option::is_some);
        let keep = button("", "Keep this picture", move || {
            self.kept.set(self.setting.now());
        });
        let swap = button("", "Show the other in full", move || {
            let all = self.divider.once(|at| at == "100");
            self.divider.set(if all { "0" } else { "100" }.to_owned());
        });
        let leave = button("", "Let it go", move || {
            self.kept.set(None);
            self.divider.set("50".to_owned());
        });
        row([keep, swap.hidden(!kept), leave.hidden(!kept)])
    }

    fn alternative(self) -> String {
        let Some((set, more)) = self.seen() else {
            return String::new();
        };
        let scene = self.scene.get();
        let said = size(&scene, self.magnified.get())
            .map(|size| words::alternative(&scene, &set, more, self.printing(), &size));
        match said {
            Some(Ok(said)) => said,
            Some(Err(error)) => error.to_string(),
            None => String::new(),
        }
    }

    /// What is to be seen, what is too small for it, and how both pictures differ.
    fn says(self) -> Part {
        let (Some((set, more)), scene) = (self.seen(), self.scene.get()) else {
            return Part::Nothing;
        };
        let magnified = self.magnified.get();
        let Some(size) = size(&scene, magnified) else {
            return Part::Nothing;
        };
        let whole = magnified
            .is_some()
            .then(|| button("", "The whole picture", move || self.magnified.set(None)));
        let rows = match words::prices(&scene, &set, &size) {
            Ok(said) => said,
            Err(error) => return said_wrong(&error.to_string()),
        };
        let rows = rows.into_iter().map(|effect| {
            let times = effect.seen.magnification.filter(|_| !effect.seen.visible);
            let larger = times.map(|times| {
                let at = effect.towards;
                let words = format!("Show it {} times larger", figures::decimal(times, 0));
                button("", words, move || self.magnified.set(Some((times, at))))
            });
            el("li").with(el("span").says(effect.text)).with(larger)
        });
        let exposed = (!more.is_even()).then(|| words::exposed(scene.film, more, self.printing()));
        let kept = self.kept.get().map(|(kept, _)| {
            let compared = words::compared(&scene, &kept, &set).unwrap_or_default();
            let rows = compared.into_iter().map(|words| el("li").says(words));
            parts![
                el("h3").says("Beside the kept picture"),
                el("ul")
                    .class("list")
                    .named("Beside the kept picture")
                    .all(rows),
            ]
        });
        parts![
            kept,
            whole,
            said("answer", exposed.unwrap_or_default()),
            el("ul")
                .class("list effects")
                .named("What each dial costs")
                .all(rows),
            said("reason", words::depth(&scene, &set).unwrap_or_default()),
            said("reason", words::steady(&scene, &set).unwrap_or_default()),
        ]
    }

    /// A bracket through the curve of the film: small pictures, one of which is seen large, and what is lost first.
    fn frames_of_bracket(self) -> Part {
        let row_of = move |(at, offset): (usize, Stops), more: Stops| {
            let is_large = self.large_now() == offset;
            let lost = words::lost(self.scene.with(|scene| scene.film), more + offset);
            let lost = lost.map_or_else(String::new, |lost| format!("loses {lost}"));
            let name = if offset.is_even() {
                "as the dials are set".to_owned()
            } else {
                figures::difference(offset)
            };
            let look = button("frame", "", move || {
                self.large.set(if is_large { Stops::ZERO } else { offset });
            });
            el("li").with(
                look.attr("aria-pressed", if is_large { "true" } else { "false" })
                    .with(
                        el("canvas")
                            .attr("aria-hidden", "true")
                            .here(self.bracket[at]),
                    )
                    .with(el("b").says(name))
                    .with(el("span").class("look-words").says(lost)),
            )
        };
        let frames = move || {
            let more = self.setting.get().map_or(Stops::ZERO, |(_, more)| more);
            let offsets = self.offsets();
            let rows: Vec<Element> = offsets
                .into_iter()
                .enumerate()
                .map(|frame| row_of(frame, more))
                .collect();
            el("ul")
                .class("frames")
                .named("Frames of a bracket")
                .all(rows)
        };
        let lost = move || {
            let more = self.setting.get().map_or(Stops::ZERO, |(_, more)| more);
            let frames: Vec<Stops> = self.offsets().into_iter().map(|of| more + of).collect();
            words::bracket(self.scene.with(|scene| scene.film), &frames)
        };
        parts![
            el("h3").says("A bracket through the film"),
            follows(frames),
            el("p").tells(lost),
            el("div").class("form").with(choice(
                "learn-frames",
                "Frames",
                crate::form::fixed(FRAMES),
                self.frames,
            )),
        ]
    }

    /// What is photographed, and how.
    fn choices(self) -> Part {
        let scenes = || of(SCENES.iter().map(|scene| (scene.id, scene.name)));
        let change = move |with: fn(&mut Scene, usize), to: String| {
            if let Ok(to) = to.parse() {
                let mut scene = self.scene.now();
                with(&mut scene, to);
                self.scene.set(scene);
            }
        };
        let pick = move |id: &'static str,
                         label: &'static str,
                         all: Vec<String>,
                         is: fn(&Scene) -> Option<usize>,
                         with: fn(&mut Scene, usize)| {
            let options: Options = all
                .into_iter()
                .enumerate()
                .map(|(at, name)| (at.to_string(), name))
                .collect();
            select(
                id,
                label,
                move || options.clone(),
                move || self.scene.with(is).unwrap_or_default().to_string(),
                move |to| change(with, to),
            )
        };
        let metres = |mm: &f64| figures::distance(Some(*mm));
        let is_negative = move || {
            self.scene
                .with(|scene| scene.film != exposure::FilmKind::Reversal)
        };
        let choose = move |id: String| {
            if let Some(scene) = Scene::of_id(&id) {
                self.scene.set(scene);
                self.magnified.set(None);
            }
        };
        let how = el("div").class("form").all([
            pick(
                "learn-mover",
                "Who moves",
                Mover::ALL.map(|it| it.noun().to_owned()).to_vec(),
                |scene| Mover::ALL.iter().position(|it| *it == scene.mover),
                |scene, at| scene.mover = Mover::ALL[at],
            ),
            pick(
                "learn-distance",
                "How far away",
                DISTANCES.iter().map(metres).collect(),
                |scene| Some(scene.nearest_distance()),
                |scene, at| *scene = scene.at_distance(DISTANCES[at]),
            ),
            pick(
                "learn-focal",
                "Focal length",
                FOCALS
                    .iter()
                    .map(|mm| format!("{} mm", figures::decimal(*mm, 0)))
                    .collect(),
                |scene| Some(scene.nearest_focal()),
                |scene, at| scene.focal = FOCALS[at],
            ),
            pick(
                "learn-format",
                "Size of the picture",
                exposure::FORMATS
                    .iter()
                    .map(|format| format.name.to_owned())
                    .collect(),
                |scene| {
                    exposure::FORMATS
                        .iter()
                        .position(|format| format.id == scene.format)
                },
                |scene, at| scene.format = exposure::FORMATS[at].id,
            ),
            pick(
                "learn-backdrop",
                "What stands behind",
                Backdrop::ALL.map(|it| it.noun().to_owned()).to_vec(),
                |scene| Backdrop::ALL.iter().position(|it| *it == scene.backdrop),
                |scene, at| scene.backdrop = Backdrop::ALL[at],
            ),
            pick(
                "learn-behind",
                "How far that is",
                BEHIND.map(|(name, _)| name.to_owned()).to_vec(),
                |scene| Some(scene.nearest_behind()),
                |scene, at| *scene = scene.with_behind(BEHIND[at].1),
            ),
            pick(
                "learn-hold",
                "Held",
                ["on a tripod", "by hand"].map(str::to_owned).to_vec(),
                |scene| Some(usize::from(scene.hold == Hold::Hand)),
                |scene, at| scene.hold = if at == 0 { Hold::Tripod } else { Hold::Hand },
            ),
            pick(
                "learn-film",
                "Film",
                FILMS.map(|(name, _)| name.to_owned()).to_vec(),
                |scene| FILMS.iter().position(|(_, film)| *film == scene.film),
                |scene, at| scene.film = FILMS[at].1,
            ),
            only(
                is_negative,
                choice(
                    "learn-printing",
                    "Printed",
                    crate::form::fixed(PRINTING),
                    self.printing,
                ),
            ),
        ]);
        parts![
            el("div").class("form").with(select(
                "learn-scene",
                "Scene",
                scenes,
                move || self.scene.with(|scene| scene.id.to_owned()),
                choose,
            )),
            unfolds("How it is photographed", how),
            paragraph(
                "reason",
                "The scenes are invented, and drawn by computation: the spread of what is blurred is the computed one."
            ),
        ]
    }
}

fn said_wrong(sentence: &str) -> Part {
    paragraph("field-error", sentence.to_owned()).into()
}

fn of<'a>(list: impl Iterator<Item = (&'a str, &'a str)>) -> Options {
    list.map(|(key, name)| (key.to_owned(), name.to_owned()))
        .collect()
}

/// The size that a picture is drawn at.
fn size(scene: &Scene, magnified: Looked) -> Option<Size> {
    let size = picture::size(scene, PHONE)?;
    match magnified {
        Some((times, at)) => size.magnified(times, at).ok(),
        None => Some(size),
    }
}
