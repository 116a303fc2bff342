//! Places in a picture that are read: marks that are dragged, and moved by sliders as well.

use std::rc::Rc;

use exposure::words;
use readings::picture::Spot;

use crate::{
    drawn::percent,
    parts::{Element, Part, el, parts},
    piece::unfolds,
};

/// What the marks stand in.
const AROUND: &str = ".metered";

/// Where a mark is led to; nothing once it is let go.
type Moved = Rc<dyn Fn(Option<(f64, f64)>)>;

/// A mark as large as what it reads, in a picture of this width and height. While it is dragged, `moved` is told where to, and
/// once it is let go nothing.
pub(super) fn mark(
    spot: Spot,
    size: [f64; 2],
    moved: impl Fn(Option<(f64, f64)>) + 'static,
) -> Element {
    mark_boxed(spot, size, Rc::new(moved))
}

fn mark_boxed(spot: Spot, [width, height]: [f64; 2], moved: Moved) -> Element {
    let (led, let_go, taken_away) = (Rc::clone(&moved), Rc::clone(&moved), Rc::clone(&moved));
    el("span")
        .class("metered-spot")
        .attr("aria-hidden", "true")
        .style("left", percent(spot.across))
        .style("top", percent(spot.down))
        .style(
            "inline-size",
            percent(2.0 * spot.radius * width.min(height) / width),
        )
        .on("pointerdown", move |event| {
            // Else a mouse would begin to select.
            event.prevent();
            event.grab();
            moved(event.touched(AROUND));
        })
        .on("pointermove", move |event| {
            if event.is_down() {
                led(event.touched(AROUND));
            }
        })
        .on("pointerup", move |_| let_go(None))
        .on("pointercancel", move |_| taken_away(None))
}

/// Places it where the picture is touched.
pub(super) fn touchable(picture: Element, touch: impl Fn((f64, f64)) + 'static) -> Element {
    picture.on("click", move |event| {
        if let Some(place) = event.touched(AROUND) {
            touch(place);
        }
    })
}

/// The same by keys: two sliders under a title.
pub(super) fn sliders(
    title: &'static str,
    ids: [&'static str; 2],
    what: &'static str,
    spot: Spot,
    slide: impl Fn((f64, f64)) + 'static,
) -> Element {
    let slide: Rc<dyn Fn((f64, f64))> = Rc::new(slide);
    let down = Rc::clone(&slide);
    let sliders: Part = parts![
        slider(
            ids[0],
            format!("{what}, from left to right"),
            spot.across,
            Box::new(move |to| slide((to, spot.down))),
        ),
        slider(
            ids[1],
            format!("{what}, from top to bottom"),
            spot.down,
            Box::new(move |to| down((spot.across, to))),
        ),
    ];
    unfolds(title, sliders)
}

/// In hundredths.
fn slider(id: &'static str, label: String, share: f64, slide: Box<dyn Fn(f64)>) -> Element {
    let input = el("input")
        .id(id)
        .class("slide")
        .attr("type", "range")
        .attr("min", "0")
        .attr("max", "100")
        .attr("step", "1")
        // A picture does not mirror with the direction of writing.
        .attr("dir", "ltr")
        .value(words::decimal(share * 100.0, 0))
        .on("input", move |event| {
            if let Ok(hundredths) = event.value().parse::<u8>() {
                slide(f64::from(hundredths.min(100)) / 100.0);
            }
        });
    el("div")
        .class("field")
        .with(el("label").attr("for", id).says(label))
        .with(input)
}
