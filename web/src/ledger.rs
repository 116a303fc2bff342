//! The ledger: what each dial adds to or takes from the reading.

use panel::{Control, Intent, Lean, LedgerLine, LedgerView};

use crate::{
    browser::{
        events::Happened,
        rows::{Row, Rows},
        slots::{Slots, places},
    },
    css,
};

places! { NAMES { Sum "sum", Back "back", Reasons "reasons" } }
/// What the ids of the ledger begin with.
pub(crate) const IDS: &str = "ledger-";
const LINES: &str = "ledger-lines";

/// The lines of the dials, which cannot be left out.
const DIALS: usize = Control::ALL.len();

/// Lines that add up to the total, each with a bar from the middle: less light to the start, more to the end.
pub(crate) struct Ledger {
    slots: Slots,
    // Lines come and go with the corrections, and stay while one is switched: the keyboard does not lose its place.
    lines: Rows,
}

impl Ledger {
    pub(crate) fn find() -> Self {
        Self {
            slots: Slots::find(IDS, NAMES),
            lines: Rows::find(LINES, "ledger-row"),
        }
    }

    pub(crate) fn show(&self, ledger: &LedgerView) {
        self.lines.show(ledger.lines.iter().map(line).collect());
        self.slots.text(Place::Sum, &ledger.total);
        self.slots
            .flag(Place::Back, "disabled", !ledger.can_go_back);
        self.slots.text(Place::Reasons, &ledger.reasons.join("\n"));
    }

    /// What a press means: one on the switch of a correction leaves it out or counts it again.
    pub(crate) fn meant(event: &Happened, ledger: &LedgerView) -> Option<Intent> {
        let row = event.row_of(LINES).filter(|_| event.is_on_switch())?;
        let counts = ledger.lines.get(row)?.counts?;
        Some(Intent::Correct(row - DIALS, !counts))
    }
}

/// One line of the ledger; a correction has a switch that leaves it out.
fn line(line: &LedgerLine) -> Row {
    Row {
        attributes: vec![("data-lean", lean_key(line.lean).to_owned())],
        texts: vec![line.name.clone(), line.change.clone(), line.stops.clone()],
        bar: css::number(line.bar.abs()),
        switch: line.counts,
    }
}

/// A direction as the stylesheet knows it.
pub(crate) const fn lean_key(lean: Lean) -> &'static str {
    match lean {
        Lean::More => "more",
        Lean::Even => "even",
        Lean::Less => "less",
    }
}
