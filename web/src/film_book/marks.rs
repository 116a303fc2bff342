//! The marks of a camera as buttons, so that what was set is noted without a keyboard; typing stays possible.

use book::{Aperture, Marks, Time};
use leptos::prelude::*;

use super::form::typed;
use crate::piece::{flag, press, text};

/// So many marks are shown to either side of the planned one until all are asked for: two rows for a thumb.
const AROUND: usize = 5;

/// Which of the two is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Which {
    Time,
    Aperture,
}

/// One mark on its button.
#[derive(Debug, Clone, PartialEq)]
struct Offer {
    /// What is typed by it.
    figure: String,
    planned: bool,
    /// Whether the field says this one.
    is_set: bool,
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
        match self {
            Self::Time => {
                let planned = marks.planned().map(|set| set.time);
                let now = if field.is_empty() {
                    planned
                } else {
                    marks.time(field).ok()
                };
                let offer = |time: Time| Offer {
                    figure: marks.spell_time(time),
                    planned: planned == Some(time),
                    is_set: now == Some(time),
                };
                marks.times_around(around).into_iter().map(offer).collect()
            }
            Self::Aperture => {
                let planned = marks.planned().map(|set| set.aperture);
                let now = if field.is_empty() {
                    planned
                } else {
                    marks.aperture(field).ok()
                };
                let offer = |aperture: Aperture| Offer {
                    figure: marks.spell_aperture(aperture),
                    planned: planned == Some(aperture),
                    is_set: now == Some(aperture),
                };
                marks
                    .apertures_around(around)
                    .into_iter()
                    .map(offer)
                    .collect()
            }
        }
    }
}

/// A button for each mark, the one with least light first; a press fills the field.
pub(super) fn offered(
    which: Which,
    marks: Signal<Option<Marks>>,
    field: RwSignal<String>,
) -> impl IntoView {
    let all = RwSignal::new(false);
    let offers = Memo::new(move |_| {
        let around = if all.get() { usize::MAX } else { AROUND };
        marks
            .with(|marks| {
                let marks = marks.as_ref()?;
                Some(which.offers(marks, around, &field.get()))
            })
            .unwrap_or_default()
    });
    let has_more = flag(move || {
        let of_all = |marks: &Marks| match which {
            Which::Time => marks.times().len(),
            Which::Aperture => marks.apertures().len(),
        };
        marks.with(|marks| marks.as_ref().map_or(0, of_all)) > offers.with(Vec::len)
    });
    let none = flag(move || offers.with(Vec::is_empty));
    let buttons = move || {
        offers
            .get()
            .into_iter()
            .map(|offer| {
                let figure = offer.figure.clone();
                let fill = press(move || field.set(figure.clone()));
                view! {
                    <button type="button" aria-pressed=offer.is_set.to_string() on:click=fill>
                        {offer.figure}
                        {offer.planned.then(|| view! { <small>" planned"</small> })}
                    </button>
                }
            })
            .collect_view()
    };
    let whole = text(move || which.all().to_owned());
    view! {
        <div class="row marks" role="group" aria-label=which.label() hidden=none>
            {buttons}
            <button
                type="button"
                hidden=flag(move || !has_more.get())
                on:click=press(move || all.set(true))
            >
                {whole}
            </button>
        </div>
    }
}

/// What a field says, or nothing where it is empty.
pub(super) fn said<T>(
    field: RwSignal<String>,
    read: impl Fn(&str) -> Result<T, book::Error>,
) -> Result<Option<T>, book::Error> {
    let typed = typed(field);
    if typed.is_empty() {
        Ok(None)
    } else {
        read(&typed).map(Some)
    }
}
