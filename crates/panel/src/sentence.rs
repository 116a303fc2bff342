//! One plain sentence after each move.

use exposure::{Control, Mark, Stops, words};

use crate::state::State;

fn verb(control: Control, change: Stops) -> &'static str {
    match (control, change.is_more()) {
        (Control::Time, true) => "lengthened",
        (Control::Time, false) => "shortened",
        (Control::Aperture, true) => "opened",
        (Control::Aperture, false) => "closed",
        (Control::Sensitivity, true) => "raised",
        (Control::Sensitivity, false) => "lowered",
    }
}

fn from_to(before: &Mark, after: &Mark) -> String {
    format!("{} to {}", words::value(before), words::value(after))
}

/// What a turn did: the lead, who made it up, and what is left over.
pub(crate) fn turned(state: &State) -> String {
    let solution = state.solution();
    let (before, after) = (&state.settled, &solution.marks);
    let lead = state.lead.control;
    let i = lead.index();
    let change = after[i].relative_to(&before[i]);
    if change.is_even() {
        return format!(
            "{} stands at {} again.",
            lead.name(),
            words::spoken(&after[i])
        );
    }
    let effect = match lead {
        Control::Sensitivity => format!("needs {}", words::factor(-change)),
        Control::Time | Control::Aperture => words::factor(change),
    };
    let mut text = format!(
        "{} {} {}, {}: {effect}.",
        lead.name(),
        verb(lead, change),
        words::of_a_stop(change),
        from_to(&before[i], &after[i]),
    );
    let moved: Vec<Control> = state
        .followers()
        .into_iter()
        .filter(|control| {
            !after[control.index()]
                .relative_to(&before[control.index()])
                .is_even()
        })
        .collect();
    let change_of = |control: Control| from_to(&before[control.index()], &after[control.index()]);
    match moved.as_slice() {
        [] => {}
        [one] => text.push_str(&format!(" {} made it up, {}.", one.name(), change_of(*one))),
        [first, second, ..] => text.push_str(&format!(
            " {} went to its end, {}; {} took the rest, {}.",
            first.name(),
            change_of(*first),
            words::noun(*second),
            change_of(*second),
        )),
    }
    text.push_str(&left_over(state));
    text
}

/// What the setting gives beyond the reading, as the end of a sentence; empty if nothing.
pub(crate) fn left_over(state: &State) -> String {
    let solution = state.solution();
    let difference = words::difference(solution.difference);
    if solution.shortfall.is_some_and(|short| !short.is_even()) {
        return format!(" No free dial turns further: {difference} than the reading asks for.");
    }
    if state.followers().is_empty() {
        return if solution.difference.is_even() {
            " Everything else is held; this is what the reading asks for.".to_owned()
        } else {
            format!(" Everything else is held: {difference} than the reading asks for.")
        };
    }
    if solution.residual.is_even() {
        String::new()
    } else {
        format!(" The marks leave {}.", words::difference(solution.residual))
    }
}

/// What a new reading, film or camera led to.
pub(crate) fn resolved(state: &State, cause: &str, before: &[Mark; 3]) -> String {
    let after = state.solution().marks;
    let mut text = cause.to_owned();
    let moved: Vec<String> = Control::ALL
        .into_iter()
        .filter(|control| {
            let (before, after) = (&before[control.index()], &after[control.index()]);
            !after.relative_to(before).is_even() || words::value(before) != words::value(after)
        })
        .map(|control| {
            format!(
                "{} {}",
                words::noun(control),
                words::value(&after[control.index()])
            )
        })
        .collect();
    if moved.is_empty() {
        text.push_str(" The dials stay where they are.");
    } else {
        text.push_str(&format!(" Now set {}.", moved.join(" and ")));
    }
    text.push_str(&remaining(state));
    text
}

fn remaining(state: &State) -> String {
    let solution = state.solution();
    let rest = solution.difference;
    if rest.is_even() {
        String::new()
    } else {
        format!(
            " That gives {} than the reading asks for.",
            words::difference(rest)
        )
    }
}
