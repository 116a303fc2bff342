//! The bracket strip: the frames of the series, planned as a whole.

mod shoot;

use leptos::{html, prelude::*};
use panel::{BracketView, FrameView, Intent};

use self::shoot::Shoot;
use crate::{
    browser::rows::{self, Row},
    css,
    field::{Choice, Options, fixed},
    ledger::lean_key,
    piece::{button, never, of, paragraph},
    store::Dispatcher,
};

const BY: &[(&str, &str)] = &[("time", "Time"), ("aperture", "Aperture")];

/// The strip with its settings, and the way into shoot mode.
#[component]
pub(crate) fn Strip(
    /// What it shows.
    bracket: RwSignal<BracketView>,
    /// The same without its frames.
    plan: RwSignal<BracketView>,
    /// Where wishes go.
    dispatcher: Dispatcher,
) -> impl IntoView {
    let list = NodeRef::<html::Ol>::new();
    let cells = move || bracket.with(|bracket| bracket.frames.iter().map(cell).collect());
    rows::keep(CELL, move || list.get().map(Into::into), cells);
    let counts = of(plan, counts);
    view! {
        <section class="bracket" aria-labelledby="bracket-title">
            <div class="line">
                <h2 id="bracket-title">"Bracket"</h2>
                <div class="row">
                    {button("", "Log this series", never(), move || dispatcher.log_series())}
                    <Shoot bracket dispatcher />
                </div>
            </div>
            <ol class="strip" aria-label="Bracket" tabindex="0" node_ref=list></ol>
            {paragraph("reason", of(bracket, |bracket| bracket.summary.clone()))}
            <div class="bracket-fields">
                <Choice
                    id="bracket-by"
                    label="Bracket by"
                    options=Signal::stored(fixed(BY))
                    chosen=of(plan, |bracket| bracket.by.to_owned())
                    make=Intent::BracketBy
                    dispatcher
                />
                <Choice
                    id="bracket-step"
                    label="Step"
                    options=of(plan, |bracket| fixed(bracket.steps))
                    chosen=of(plan, |bracket| bracket.step.to_owned())
                    make=Intent::BracketStep
                    dispatcher
                />
                <Choice
                    id="bracket-under"
                    label="Frames with less light"
                    options=counts
                    chosen=of(plan, |bracket| bracket.under.to_string())
                    make=|text| Intent::BracketUnder(count(&text))
                    dispatcher
                />
                <Choice
                    id="bracket-over"
                    label="Frames with more light"
                    options=counts
                    chosen=of(plan, |bracket| bracket.over.to_string())
                    make=|text| Intent::BracketOver(count(&text))
                    dispatcher
                />
                <Choice
                    id="bracket-order"
                    label="Order"
                    options=of(plan, |bracket| fixed(bracket.orders))
                    chosen=of(plan, |bracket| bracket.order.to_owned())
                    make=Intent::BracketOrder
                    dispatcher
                />
            </div>
        </section>
    }
}

/// The counts of frames that one side may have.
fn counts(bracket: &BracketView) -> Options {
    (0..=bracket.most)
        .map(|count| (count.to_string(), count.to_string()))
        .collect()
}

/// A count out of the list of counts.
fn count(text: &str) -> u8 {
    // OK to fall back on none: the list holds nothing but counts.
    text.parse().unwrap_or(0)
}

/// One frame of the strip.
const CELL: &str = concat!(
    r#"<li><span class="sr">Frame </span><span class="cell-number" data-text></span>"#,
    r#"<span class="cell-from-base" data-text></span><span class="cell-set" data-text></span>"#,
    r#"<span class="cell-leave" data-text></span>"#,
    r#"<span class="scale" aria-hidden="true"><span class="bar"></span></span>"#,
    r#"<span class="cell-box" data-text></span><span class="cell-ei" data-text></span>"#,
    r#"<span class="cell-support" data-text></span><span class="cell-count" data-text></span>"#,
    r#"<span class="cell-sharp" data-text></span><span class="flag" data-text></span></li>"#
);

fn cell(frame: &FrameView) -> Row {
    let class = if frame.base { "cell base" } else { "cell" };
    Row {
        attributes: vec![
            ("class", class.to_owned()),
            ("data-lean", lean_key(frame.lean).to_owned()),
            ("data-tripod", frame.tripod.to_string()),
        ],
        texts: vec![
            frame.number.to_string(),
            frame.from_base.clone(),
            frame.set.clone(),
            format!("leave {}", frame.leave),
            frame.from_box.clone(),
            frame.amounts_to.clone(),
            frame.support.to_owned(),
            frame.count.clone(),
            frame.sharp.clone(),
            frame.flags.join("\n"),
        ],
        bar: css::number(frame.box_bar.abs()),
        switch: None,
    }
}
