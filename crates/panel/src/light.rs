//! Where a reading came from, and every correction between it and the film: visible lines that can be left out.
//!
//! The dial shows and counts them. They are found and entered in a program of their own, which gets the whole setting,
//! makes a changed one with [`State::with`], and hands it back.
//!
//! ```
//! use exposure::Stops;
//! use panel::{State, light::{Change, Line, LineKind}};
//!
//! let filter = Line::new(LineKind::Filter, "Filter, factor 8", Stops::constant(-3.0)).unwrap();
//! let state = State::default().with(&Change::Line(filter)).unwrap();
//! assert_eq!(state.lines()[0].name(), "Filter, factor 8");
//! // The film needs three stops more than the reading says.
//! assert!((state.light().light().get() + 3.0 - state.reading().light().get()).abs() < 1e-9);
//! ```

use exposure::{
    Asked, Camera, Counted, Doubt, Effect, FilmKind, LongTimes, Mark, Reading, Stops,
    light::Constants, words,
};

use crate::drawn::{Piece, Rows, stop_ticks, stops_around};
pub use crate::lines::{Depth, LONGEST_NAME, Line, LineKind, Long, MOST_LINES, MOST_STOPS};

use crate::{
    intent::Refusal,
    lines::{refused, short},
    sentence,
    state::State,
};

/// A reading that was found, with what belongs to it alone.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// Time, aperture and sensitivity.
    pub reading: Reading,
    /// Whether its marks are read in halves.
    pub halves: bool,
    /// Where it came from, at most [`LONGEST_NAME`] characters: `photo`, `scene table: open shade`.
    pub from: String,
    /// How far it may be off; none where nobody can say.
    pub doubt: Option<Doubt>,
    /// What belongs to it: name and effect of each line.
    pub lines: Vec<(String, Stops)>,
}

/// One change of what the light program finds and enters.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// Takes a reading; lines of the last reading go, lines of this one come.
    Take(Found),
    /// Adds a line, or puts it in the place of the one of the same kind and name.
    Line(Line),
    /// The same, in the place of all others of its kind: a lens is focused in one way only.
    Only(Line),
    /// Takes a line away, by its index in [`State::lines`].
    Drop(usize),
    /// Counts a line or leaves it out. One past the last line is what the film needs at long times.
    Count(usize, bool),
    /// What the film needs at long times; none takes it away.
    Long(Option<Long>),
    /// How depth of field is worked out; none takes it away.
    Depth(Option<Depth>),
}

/// How far something may be off, as the end of a sentence or of a figure: `, give or take 1 stop`; empty where nothing is said.
pub(crate) fn give_or_take(doubt: Option<Doubt>) -> String {
    doubt.map_or_else(String::new, |doubt| {
        format!(", {}", words::give_or_take(doubt))
    })
}

/// Said where light that was turned on purpose ends with what it was turned for.
pub(crate) const WISH_ENDS: &str = " What was turned on purpose ends with it.";

impl State {
    /// The reading as it was taken.
    #[must_use]
    pub const fn reading(&self) -> &Reading {
        &self.reading
    }

    /// Where it came from; empty if it was typed.
    #[must_use]
    pub fn reading_from(&self) -> &str {
        &self.from
    }

    /// How far the reading may be off either way; none if it was typed, or where nobody can say.
    #[must_use]
    pub const fn doubt(&self) -> Option<Doubt> {
        self.doubt
    }

    /// How far the light on the film may be off. **The one place where doubts add up**: a correction that has one of its own
    /// joins here.
    #[must_use]
    pub fn doubt_on_film(&self) -> Option<Doubt> {
        self.doubt
    }

    /// Whether the reading's marks are read in halves.
    #[must_use]
    pub const fn reads_halves(&self) -> bool {
        self.halves
    }

    /// All corrections, in the order in which they count.
    #[must_use]
    pub fn lines(&self) -> &[Line] {
        &self.lines
    }

    /// What the film needs at long times.
    #[must_use]
    pub const fn long(&self) -> Option<&Long> {
        self.long.as_ref()
    }

    /// How depth of field is worked out.
    #[must_use]
    pub const fn depth(&self) -> Option<&Depth> {
        self.depth.as_ref()
    }

    /// The rule for long times, where there is one that counts.
    pub(crate) fn long_times(&self) -> Option<&LongTimes> {
        self.long.as_ref().filter(|long| long.on()).map(Long::times)
    }

    /// What a metered time in seconds comes to on the film of this setting. **The one place that asks the film**: the dial, the
    /// ledger, frames, pairs, the timer and the log all go through it, each with its own time.
    pub(crate) fn film_needs(&self, metered: f64) -> Counted {
        self.long_times()
            .map_or(Counted::as_metered(metered), |long| long.count(metered))
    }

    /// What the corrections that count do to the light on the film as the dials stand; positive is more light.
    #[must_use]
    pub fn correction(&self) -> Stops {
        let [time, aperture, _] = self.set();
        Asked::new(&self.reading, &self.effects()).effect(&time, &aperture)
    }

    /// What each correction that counts does.
    pub(crate) fn effects(&self) -> Vec<Effect> {
        self.counted().map(|line| line.effect().clone()).collect()
    }

    /// The corrections that count.
    pub(crate) fn counted(&self) -> impl Iterator<Item = &Line> {
        self.lines.iter().filter(|line| line.on())
    }

    /// The way from the reading to the film: each correction that counts is a piece that begins where the one before it ended,
    /// as the dials stand, and the last row is their sum. Rows are in the order of [`State::lines`]; one that is left out has no
    /// piece.
    #[must_use]
    pub fn way_to_film(&self) -> Rows {
        let [time, aperture, _] = self.set();
        let (mut sum, mut ends) = (Stops::ZERO, Vec::new());
        let mut rows: Vec<Vec<Piece>> = Vec::new();
        for line in &self.lines {
            let mut row = vec![Piece::Against(0.0)];
            if line.on() {
                let from = sum;
                sum = sum + line.effect().at(&time, &aperture);
                ends.push(sum);
                row.push(Piece::Bar(from.get(), sum.get()));
                row.push(Piece::Dot(sum.get()));
            }
            rows.push(row);
        }
        rows.push(vec![
            Piece::Against(0.0),
            Piece::Bar(0.0, sum.get()),
            Piece::Dot(sum.get()),
        ]);
        let axis = stops_around(ends, 4.0);
        Rows {
            name: "From the reading to the film, in stops".to_owned(),
            legend: "0 is the reading. Each piece begins where the one before it ended: less light on the film to the left, more \
                     to the right."
                .to_owned(),
            axis,
            ticks: stop_ticks(axis),
            first: 0,
            rows,
            set: None,
        }
    }

    /// What a correction that is not the same at every setting does as the dials stand; none for others.
    #[must_use]
    pub fn does_now(&self, line: &Line) -> Option<String> {
        if line.effect().fixed().is_some() {
            return None;
        }
        let [time, aperture, _] = self.set();
        Some(format!(
            "As the dials stand, {} and {}: {}.",
            words::value(&time),
            words::value(&aperture),
            words::difference(line.effect().at(&time, &aperture))
        ))
    }

    /// The reading with all corrections that count, as the dials stand.
    #[must_use]
    pub fn light(&self) -> Reading {
        let effect = self.correction();
        if effect.is_even() {
            return self.reading;
        }
        // OK to fall back: no change is taken that leads beyond the range.
        self.reading.corrected(-effect).unwrap_or(self.reading)
    }

    /// The settings on the dials: time, aperture, rating.
    #[must_use]
    pub fn set(&self) -> [Mark; 3] {
        self.solution().marks
    }

    /// What the settings on the dials give beyond what the reading asks for, as a sentence; empty if nothing.
    #[must_use]
    pub fn left_over(&self) -> String {
        sentence::left_over(self).trim_start().to_owned()
    }

    /// The chosen camera.
    #[must_use]
    pub fn camera(&self) -> &Camera {
        &self.equipment.camera
    }

    /// Name of the chosen camera.
    #[must_use]
    pub fn camera_name(&self) -> &str {
        &self.equipment.form.name
    }

    /// The film type.
    #[must_use]
    pub const fn film_kind(&self) -> FilmKind {
        self.film
    }

    /// The slowest time that is held by hand.
    #[must_use]
    pub fn hand_held_limit(&self) -> Mark {
        self.limit()
    }

    /// The light of the reading in cd/m² and lx, with the usual constants named.
    #[must_use]
    pub fn light_in_units(&self) -> String {
        words::light_in_units(self.reading.light(), &Constants::default())
    }

    /// What a change led to, in a sentence: the light, all corrections, and what is to be set now.
    #[must_use]
    pub fn said(&self, before: &Self) -> String {
        let mut cause = format!(
            "The light is {}{}.",
            words::light(self.reading.light()),
            give_or_take(self.doubt)
        );
        if !before.wish().is_even() && self.wish().is_even() {
            cause.push_str(WISH_ENDS);
        }
        let effect = self.correction();
        if !effect.is_even() {
            cause.push_str(&format!(" Corrections: {}.", words::difference(effect)));
        }
        sentence::resolved(self, &cause, &before.set())
    }

    /// Makes the changed state; the free dials make up for the difference.
    ///
    /// # Errors
    ///
    /// A sentence, where the change cannot be taken; the state given stays as it is.
    pub fn with(&self, change: &Change) -> Result<Self, Refusal> {
        let mut next = self.clone();
        next.come_to_rest(next.lead.control);
        next.put(change)?;
        next.light_is_in_reach()?;
        next.solve_anew();
        Ok(next)
    }

    fn put(&mut self, change: &Change) -> Result<(), Refusal> {
        match change {
            Change::Take(found) => {
                let lines = found
                    .lines
                    .iter()
                    .map(|(name, effect)| Line::new(LineKind::Reading, name, *effect))
                    .collect::<Result<Vec<_>, _>>()?;
                self.from = short(&found.from, "A reading")?;
                // Beyond doubt is nothing; a record that says so is one that says nothing.
                self.doubt = found.doubt.filter(|doubt| *doubt > Doubt::NONE);
                self.reading = found.reading;
                self.extra = Stops::ZERO;
                self.halves = found.halves;
                self.lines.retain(|line| line.kind() != LineKind::Reading);
                for line in lines {
                    self.add(line)?;
                }
            }
            Change::Line(line) => self.add(line.clone())?,
            Change::Only(line) => {
                self.lines.retain(|other| other.kind() != line.kind());
                self.add(line.clone())?;
            }
            Change::Drop(i) => {
                if *i >= self.lines.len() {
                    return refused("That correction is no longer there.");
                }
                self.lines.remove(*i);
            }
            Change::Count(i, on) => {
                self.count(*i, *on)?;
            }
            Change::Long(long) => self.long.clone_from(long),
            Change::Depth(depth) => self.depth.clone_from(depth),
        }
        Ok(())
    }

    /// Counts a line or leaves it out, or what the film needs at long times, which stands after the last line; gives its name.
    pub(crate) fn count(&mut self, i: usize, on: bool) -> Result<&str, Refusal> {
        let is_long = i == self.lines.len();
        match (self.lines.get_mut(i), &mut self.long) {
            (Some(line), _) => {
                line.count(on);
                Ok(line.name())
            }
            (None, Some(long)) if is_long => {
                long.count(on);
                Ok(long.name())
            }
            _ => refused("That correction is no longer there."),
        }
    }

    fn add(&mut self, line: Line) -> Result<(), Refusal> {
        let same = |other: &&mut Line| other.kind() == line.kind() && other.name() == line.name();
        if let Some(other) = self.lines.iter_mut().find(same) {
            *other = line;
            return Ok(());
        }
        if self.lines.len() >= MOST_LINES {
            return refused("Twelve corrections at most can be kept; take one away first.");
        }
        let at = self
            .lines
            .iter()
            .position(|other| other.kind() > line.kind())
            .unwrap_or(self.lines.len());
        self.lines.insert(at, line);
        Ok(())
    }

    /// Refuses corrections that together lead beyond any light.
    pub(crate) fn light_is_in_reach(&self) -> Result<(), Refusal> {
        // What belongs to a time or a stop counts with its most, whatever is set.
        let sum = |varying: f64| {
            let one = |line: &Line| match line.effect().fixed() {
                Some(effect) => effect.get(),
                None => line.effect().most().get() * varying,
            };
            Stops::new(-self.counted().map(one).sum::<f64>())
        };
        let reach = |varying| self.reading.corrected(sum(varying)?);
        match (reach(1.0), reach(-1.0)) {
            (Ok(_), Ok(_)) => Ok(()),
            _ => refused("All corrections together lead beyond any light that can be counted."),
        }
    }
}
