//! The chosen camera with its dials' faces, worked out once when it is chosen.

use std::sync::Arc;

use exposure::{Camera, Control, KINDS, Mark, Place, Scale, Steps, words};

use crate::view::{CameraForm, Face, Notch};

/// Figures on a face stand at least this many stops apart, so that they can be read.
const FIGURES_APART: f64 = 0.6;
/// Letters that fit into a stop where a face is shown as a full circle, with the widest letters that devices have.
const LETTERS: f64 = 4.1;
/// The same where a face that goes further round than [`WIDE`] has its stops closer together.
const LETTERS_WIDE: f64 = 2.9;
/// Letters that two figures keep between them.
const LETTERS_BETWEEN: f64 = 0.6;
/// Stops from the first to the last mark from which on a face is wide.
const WIDE: f64 = 17.2;
/// Detents between two figures of a stepless ring.
const RING_PARTS: usize = 3;

/// A camera of the user's own.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct OwnCamera {
    pub(crate) id: String,
    pub(crate) form: CameraForm,
}

/// What the dials can be set to, with everything derived from it that does not change as they turn.
#[derive(Debug)]
pub(crate) struct Equipment {
    pub(crate) id: String,
    pub(crate) form: CameraForm,
    pub(crate) camera: Camera,
    pub(crate) speeds: Scale,
    /// The marks that each dial clicks onto: those of the scale, and thirds between the figures of a stepless ring.
    pub(crate) detents: [Vec<Mark>; 3],
    pub(crate) faces: [Arc<Face>; 3],
}

impl PartialEq for Equipment {
    fn eq(&self, other: &Self) -> bool {
        self.id == other.id && self.form == other.form
    }
}

impl Equipment {
    pub(crate) fn new(id: &str, form: &CameraForm) -> Result<Self, exposure::Error> {
        let camera = parse_form(form)?;
        let speeds = Scale::sensitivities();
        let detents = [
            detents(camera.times()),
            detents(camera.apertures()),
            detents(&speeds),
        ];
        let stepless = [
            camera.times().is_stepless(),
            camera.apertures().is_stepless(),
            false,
        ];
        let faces = [0, 1, 2].map(|i| Arc::new(face(&detents[i], stepless[i])));
        Ok(Self {
            id: id.to_owned(),
            form: form.clone(),
            camera,
            speeds,
            detents,
            faces,
        })
    }

    /// A reading device that steps in thirds or halves.
    pub(crate) fn device(halves: bool) -> Result<Self, exposure::Error> {
        let form = CameraForm {
            times: "60s..1/8000".to_owned(),
            apertures: "1..64".to_owned(),
            steps: steps_key(if halves { Steps::Half } else { Steps::Third }).to_owned(),
            ..CameraForm::default()
        };
        Self::new("device", &form)
    }

    pub(crate) const fn scale(&self, control: Control) -> &Scale {
        match control {
            Control::Time => self.camera.times(),
            Control::Aperture => self.camera.apertures(),
            Control::Sensitivity => &self.speeds,
        }
    }

    pub(crate) const fn scales(&self) -> [&Scale; 3] {
        [self.camera.times(), self.camera.apertures(), &self.speeds]
    }

    pub(crate) fn steps(&self) -> Steps {
        steps_of(&self.form.steps)
    }

    /// The mark that one step from a place leads to, towards more light or less; none at the end of the scale.
    pub(crate) fn beside(&self, control: Control, here: Place, brighter: bool) -> Option<&Mark> {
        let marks = &self.detents[control.index()];
        // From between two marks, the first step goes to the next one and skips none.
        let from = self.index_of(control, here);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "an index of at most a few hundred"
        )]
        if brighter {
            marks.get(from.floor() as usize + 1)
        } else {
            marks.get((from.ceil() as usize).checked_sub(1)?)
        }
    }

    /// Index of a place along the detents of a dial; between two of them a fraction.
    #[expect(
        clippy::cast_precision_loss,
        reason = "a scale has at most a few hundred detents"
    )]
    pub(crate) fn index_of(&self, control: Control, place: Place) -> f64 {
        let marks = &self.detents[control.index()];
        let next = marks.partition_point(|mark| (mark.place() - place).is_less());
        match (next.checked_sub(1).map(|i| &marks[i]), marks.get(next)) {
            (_, Some(above)) if (above.place() - place).is_even() => next as f64,
            (Some(below), Some(above)) => {
                (next - 1) as f64
                    + (place - below.place()).get() / (above.place() - below.place()).get()
            }
            (None, _) => 0.0,
            (Some(_), None) => (marks.len() - 1) as f64,
        }
    }
}

pub(crate) fn steps_of(key: &str) -> Steps {
    match key {
        "half" => Steps::Half,
        "third" => Steps::Third,
        "engraved" => Steps::Engraved,
        _ => Steps::Full,
    }
}

pub(crate) const fn steps_key(steps: Steps) -> &'static str {
    match steps {
        Steps::Full => "full",
        Steps::Half => "half",
        Steps::Third => "third",
        Steps::Engraved => "engraved",
    }
}

pub(crate) fn parse_form(form: &CameraForm) -> Result<Camera, exposure::Error> {
    let focal = form.focal.trim().trim_end_matches("mm").trim();
    let focal = if focal.is_empty() {
        None
    } else {
        // A focal length is a plain number like an f-number, and its own range is checked with the camera.
        Some(words::plain_decimal(&focal.replace(',', ".")).unwrap_or(0.0))
    };
    Camera::parse(&form.times, &form.apertures, steps_of(&form.steps), focal)
}

/// The described kinds as forms, with their ids.
pub(crate) fn kind_form(id: &str) -> Option<CameraForm> {
    KINDS
        .iter()
        .find(|kind| kind.id == id)
        .map(|kind| CameraForm {
            name: kind.name.to_owned(),
            times: kind.times.to_owned(),
            apertures: kind.apertures.to_owned(),
            steps: steps_key(kind.steps).to_owned(),
            focal: words::decimal(kind.focal, 1),
        })
}

/// The camera of an id, a described kind or one of the user's own.
pub(crate) fn form_of(id: &str, own: &[OwnCamera]) -> Option<CameraForm> {
    let own = || own.iter().find(|own| own.id == id);
    kind_form(id).or_else(|| own().map(|own| own.form.clone()))
}

/// The camera that is on the dials at first.
pub(crate) fn first_form() -> CameraForm {
    kind_form(KINDS[0].id).expect("the first kind is in the list")
}

#[expect(clippy::cast_precision_loss, reason = "a part of three")]
fn detents(scale: &Scale) -> Vec<Mark> {
    if !scale.is_stepless() {
        return scale.marks().to_vec();
    }
    let mut out = Vec::new();
    for pair in scale.marks().windows(2) {
        let (below, above) = (pair[0], pair[1]);
        out.push(below);
        let gap = (above.place() - below.place()).get();
        for part in 1..RING_PARTS {
            let stops = below.place().get() + gap * part as f64 / RING_PARTS as f64;
            // OK to leave a detent out on an error: it lies between two valid marks, so there is none.
            out.extend(Place::new(stops).and_then(|place| Mark::between(scale.control(), place)));
        }
    }
    out.push(*scale.brightest());
    out
}

fn face(marks: &[Mark], stepless: bool) -> Face {
    let wanted = |mark: &Mark| {
        mark.nominal()
            .map_or(!stepless, exposure::Twelfths::is_full_stop)
    };
    let ends =
        [marks.first(), marks.last()].map(|mark| mark.map_or(0.0, |mark| mark.place().get()));
    let wide = ends[1] - ends[0] > WIDE;
    // The ends first, then full stops and odd marks in order, then whatever still finds room.
    let ends = [0, marks.len() - 1];
    let engrave = |has_room: &dyn Fn(usize, usize) -> bool| {
        let mut figures: Vec<usize> = Vec::new();
        for i in ends
            .into_iter()
            .chain((0..marks.len()).filter(|i| wanted(&marks[*i])))
        {
            if figures
                .iter()
                .all(|other| *other != i && has_room(*other, i))
            {
                figures.push(i);
            }
        }
        figures
    };
    let apart = |a: usize, b: usize| (marks[a].place() - marks[b].place()).size().get();
    let figures = engrave(&|a, b| apart(a, b) >= FIGURES_APART);
    let texts: Vec<String> = marks.iter().map(engraved).collect();
    let letters = |i: usize| f64::from(u8::try_from(texts[i].chars().count()).unwrap_or(u8::MAX));
    let a_stop = if wide { LETTERS_WIDE } else { LETTERS };
    let roomy = engrave(&|a, b| {
        let needed = f64::midpoint(letters(a), letters(b)) + LETTERS_BETWEEN;
        apart(a, b) >= FIGURES_APART.max(needed / a_stop)
    });
    let notches = marks
        .iter()
        .enumerate()
        .map(|(i, mark)| Notch {
            figure: if figures.contains(&i) {
                texts[i].clone()
            } else {
                String::new()
            },
            place: mark.place().get(),
            long: figures.contains(&i),
            close: figures.contains(&i) && !roomy.contains(&i),
        })
        .collect();
    Face {
        notches,
        stepless,
        wide,
    }
}

fn engraved(mark: &Mark) -> String {
    if mark.by_hand() {
        format!("B {}", words::figure(mark))
    } else {
        words::figure(mark)
    }
}
