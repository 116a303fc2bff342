//! The marks of a camera as buttons, so that what was set is noted without a keyboard; typing stays possible.

use book::Marks;

use crate::{
    form::Typed,
    live::{Live, Worked},
    parts::{Part, el, follows},
    piece::button,
};

/// So many marks are shown to either side of the planned one until all are asked for: two rows for a thumb.
const AROUND: usize = 5;

/// Which of the two is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Which {
    Time,
    Aperture,
}

/// One mark on its button.
struct Offer {
    /// What is typed by it.
    figure: String,
    planned: bool,
    /// Whether the field says this one.
    is_set: bool,
}

/// Marks on their buttons: those that are near, what is planned, what the field says.
fn offered_of<T: Copy + PartialEq>(
    near: Vec<T>,
    planned: Option<T>,
    said: Option<T>,
    spell: impl Fn(T) -> String,
) -> Vec<Offer> {
    let offer = |mark: T| Offer {
        figure: spell(mark),
        planned: planned == Some(mark),
        is_set: said == Some(mark),
    };
    near.into_iter().map(offer).collect()
}

impl Which {
    const fn label(self) -> &'static str {
        match self {
            Self::Time => "Times of the camera",
            Self::Aperture => "Apertures of the camera",
        }
    }

    const fn all(self) -> &'static str {
        match self {
            Self::Time => "All times",
            Self::Aperture => "All apertures",
        }
    }

    fn offers(self, marks: &Marks, around: usize, field: &str) -> Vec<Offer> {
        let field = field.trim();
        let planned = marks.planned();
        match self {
            Self::Time => {
                let planned = planned.map(|set| set.time);
                let said = if field.is_empty() {
                    planned
                } else {
                    marks.time(field).ok()
                };
                let near = marks.times_around(around);
                offered_of(near, planned, said, |time| marks.spell_time(time))
            }
            Self::Aperture => {
                let planned = planned.map(|set| set.aperture);
                let said = if field.is_empty() {
                    planned
                } else {
                    marks.aperture(field).ok()
                };
                let near = marks.apertures_around(around);
                offered_of(near, planned, said, |stop| marks.spell_aperture(stop))
            }
        }
    }

    fn count(self, marks: &Marks) -> usize {
        match self {
            Self::Time => marks.times().len(),
            Self::Aperture => marks.apertures().len(),
        }
    }
}

/// A button for each mark, the one with least light first; a press fills the field.
pub(super) fn offered(which: Which, marks: Worked<Option<Marks>>, field: Typed) -> Part {
    let all = Live::new(false);
    follows(move || {
        let around = if all.get() { usize::MAX } else { AROUND };
        let (offers, count) = marks.with(|marks| {
            marks.as_ref().map_or_else(Default::default, |marks| {
                (
                    which.offers(marks, around, &field.get()),
                    which.count(marks),
                )
            })
        });
        let group = el("div")
            .class("row marks")
            .attr("role", "group")
            .named(which.label())
            .hidden(offers.is_empty());
        let more = button("", which.all(), move || all.set(true)).hidden(offers.len() >= count);
        let buttons = offers.into_iter().map(|offer| {
            let figure = offer.figure.clone();
            let planned = offer.planned.then(|| el("small").says(" planned"));
            button("", offer.figure, move || field.set(figure.clone()))
                .attr("aria-pressed", if offer.is_set { "true" } else { "false" })
                .with(planned)
        });
        group.all(buttons).with(more)
    })
}

/// What a field says, or nothing where it is empty.
pub(super) fn said<T>(
    field: Typed,
    read: impl Fn(&str) -> Result<T, book::Error>,
) -> Result<Option<T>, book::Error> {
    let typed = field.now();
    if typed.is_empty() {
        Ok(None)
    } else {
        read(&typed).map(Some)
    }
}
