//! What the page knows: inputs only. Everything shown is derived from them.

use std::sync::Arc;

use exposure::{
    Asked, BoxSpeed, Bracket, BracketStep, Control, Doubt, ExposureIndex, FilmKind, Mark, Order,
    Prefer, Problem, Reading, Solution, Steps, Stops, solve, words,
};

use crate::{
    choices::{FILMS, THEMES, key_of},
    equipment::{Equipment, OwnCamera, first_form},
    lines::{Depth, Line, Long},
    loaded::Loaded,
};

/// Which dial was turned last, and from where.
///
/// The followers are derived from the difference to `from`, so that turning out and back returns exactly to the start.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Lead {
    /// The dial.
    pub(crate) control: Control,
    /// Its mark before it was first turned.
    pub(crate) from: Mark,
}

/// Everything a person has told the page.
///
/// Only inputs: the reading, film and camera, where the dials were left, and how the bracket is wanted.
/// `Default` is a plausible first scene.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    pub(crate) reading: Reading,
    pub(crate) halves: bool,
    /// Where the reading came from; empty if it was typed.
    pub(crate) from: String,
    /// How far the reading may be off; none where it was typed, or where nobody can say.
    pub(crate) doubt: Option<Doubt>,
    /// Corrections between the reading and the film, in the order in which they count.
    pub(crate) lines: Vec<Line>,
    /// What the film needs at long times, after all of them.
    pub(crate) long: Option<Long>,
    /// How depth of field is worked out.
    pub(crate) depth: Option<Depth>,
    pub(crate) box_speed: BoxSpeed,
    pub(crate) film: FilmKind,
    pub(crate) rounding: Option<Prefer>,
    pub(crate) equipment: Arc<Equipment>,
    pub(crate) own: Vec<OwnCamera>,
    pub(crate) hand_limit: Option<Mark>,
    /// Where the dials stand; the followers of a turn under way are derived, not stored.
    pub(crate) stands: [Mark; 3],
    pub(crate) lead: Lead,
    /// What was shown when the turn under way began: where it is given back to, and what its sentence counts from.
    pub(crate) settled: [Mark; 3],
    /// Light wanted beyond the reading, as the user turned it while everything else was held.
    pub(crate) extra: Stops,
    /// The dials that are held, longest first; at most two.
    pub(crate) held: Vec<Control>,
    pub(crate) bracket: Bracket,
    pub(crate) theme: &'static str,
    pub(crate) tick: bool,
    /// The setting from before a link was opened.
    pub(crate) before_link: Option<Box<Self>>,
    /// While the reading is set by the dials; kept nowhere.
    pub(crate) device: Option<Device>,
}

/// The reading device, while the dials have its marks.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Device {
    pub(crate) equipment: Arc<Equipment>,
    /// What was set when the turn under way began: each mark of it counts from there, so that out and back is the same.
    pub(crate) before: Box<State>,
}

pub(crate) fn mark(control: Control, text: &str, steps: Steps) -> Mark {
    Mark::parse(control, text, steps).expect("a literal of the program is a valid mark")
}

/// The bracket at first: the base and three with more light, by time, a stop apart.
pub(crate) fn first_bracket() -> Bracket {
    Bracket::new(Control::Time, 0, 3, BracketStep::One, Order::Rising).expect("within limits")
}

impl Default for State {
    /// A first scene: open shade, outdated colour negative film of box speed 400 rated 100, a plain full-stop body.
    fn default() -> Self {
        let full = Steps::Full;
        let stands = [
            mark(Control::Time, "1/125", full),
            mark(Control::Aperture, "5.6", full),
            mark(Control::Sensitivity, "100", full),
        ];
        let reading = Reading::new(
            mark(Control::Time, "1/125", Steps::Third),
            mark(Control::Aperture, "8", Steps::Third),
            mark(Control::Sensitivity, "200", Steps::Third),
        )
        .expect("the three marks are in order");
        let id = exposure::KINDS[0].id;
        Self {
            reading,
            halves: false,
            from: String::new(),
            doubt: None,
            lines: Vec::new(),
            long: None,
            depth: None,
            box_speed: BoxSpeed::new(mark(Control::Sensitivity, "400", full))
                .expect("a sensitivity"),
            film: FilmKind::ColourNegative,
            rounding: None,
            equipment: Arc::new(
                Equipment::new(id, &first_form()).expect("every described kind is valid"),
            ),
            own: Vec::new(),
            hand_limit: None,
            stands,
            lead: Lead {
                control: Control::Time,
                from: stands[0],
            },
            settled: stands,
            extra: Stops::ZERO,
            held: vec![Control::Sensitivity],
            bracket: first_bracket(),
            theme: THEMES[0],
            tick: true,
            before_link: None,
            device: None,
        }
    }
}

impl State {
    /// Key of the theme: `auto` (follows the device), `sun`, `dusk` or `darkroom`.
    #[must_use]
    pub const fn theme(&self) -> &'static str {
        self.theme
    }

    /// Whether a detent may be felt as a short vibration.
    #[must_use]
    pub const fn tick(&self) -> bool {
        self.tick
    }

    /// Whether the setting of a link is shown, with the user's own one kept behind it.
    #[must_use]
    pub const fn from_link(&self) -> bool {
        self.before_link.is_some()
    }

    pub(crate) fn prefer(&self) -> Prefer {
        self.rounding.unwrap_or_else(|| Prefer::for_film(self.film))
    }

    pub(crate) fn is_held(&self, control: Control) -> bool {
        self.held.contains(&control)
    }

    pub(crate) fn reading_steps(&self) -> Steps {
        if self.halves {
            Steps::Half
        } else {
            Steps::Third
        }
    }

    /// The free dials that make up for a turn of the lead, the first one first.
    ///
    /// Time and aperture make up for each other; sensitivity comes last, for it belongs to the film that is loaded.
    pub(crate) fn followers(&self) -> Vec<Control> {
        let order = match self.lead.control {
            Control::Time => [Control::Aperture, Control::Sensitivity],
            Control::Aperture => [Control::Time, Control::Sensitivity],
            // Time first, so that depth of field stays as it was.
            Control::Sensitivity => [Control::Time, Control::Aperture],
        };
        order
            .into_iter()
            .filter(|control| !self.is_held(*control))
            .collect()
    }

    /// The free dials that make up for a new reading, film or camera: those of the last turn, then its own.
    fn all_free(&self) -> Vec<Control> {
        let mut order = self.followers();
        if !self.is_held(self.lead.control) {
            let last_is_sensitivity = order.last() == Some(&Control::Sensitivity);
            order.insert(
                order.len() - usize::from(last_is_sensitivity),
                self.lead.control,
            );
        }
        order
    }

    /// Whether the lead stands where it did before it was turned.
    fn at_rest(&self) -> bool {
        self.stands[self.lead.control.index()]
            .relative_to(&self.lead.from)
            .is_even()
    }

    /// The deliberate offset, with what a turn under way adds to it while everything else is held.
    pub(crate) fn wish(&self) -> Stops {
        if self.followers().is_empty() {
            self.extra + self.stands[self.lead.control.index()].relative_to(&self.lead.from)
        } else {
            self.extra
        }
    }

    /// What the dials can be set to, and where they stand: the camera's setting, or the reading while that is set by them.
    pub(crate) fn on_dials(&self, solution: &Solution) -> (&Equipment, [Mark; 3]) {
        match &self.device {
            Some(device) => (&device.equipment, *self.reading.marks()),
            None => (&self.equipment, solution.marks),
        }
    }

    /// Where the dials are now. **The one place where they are worked out.**
    pub(crate) fn solution(&self) -> Solution {
        self.solved()
    }

    /// The marks that the dials stand on, and how much more light they give than the reading asks for.
    ///
    /// ```
    /// use exposure::words;
    /// let (marks, more) = panel::State::default().stands_at();
    /// assert_eq!(words::value(&marks[0]), "1/125");
    /// assert!(more.is_even());
    /// ```
    #[must_use]
    pub fn stands_at(&self) -> ([Mark; 3], Stops) {
        let Solution {
            marks, difference, ..
        } = self.solved();
        (marks, difference)
    }

    /// How much more light each frame of the series really gets than the base, from least to most.
    ///
    /// ```
    /// let offsets = panel::State::default().series_offsets();
    /// assert_eq!(offsets.iter().map(|of| of.get().round()).collect::<Vec<_>>(), [0.0, 1.0, 2.0, 3.0]);
    /// ```
    #[must_use]
    pub fn series_offsets(&self) -> Vec<Stops> {
        let frames = crate::derive::frames(self, &self.solution());
        let mut given: Vec<Stops> = frames.iter().map(|frame| frame.given).collect();
        given.sort_by(|a, b| a.get().total_cmp(&b.get()));
        given
    }

    fn solved(&self) -> Solution {
        let followers = if self.at_rest() {
            Vec::new()
        } else {
            self.followers()
        };
        self.solve_with(&followers)
    }

    fn solve_with(&self, followers: &[Control]) -> Solution {
        solve(&Problem {
            asked: Asked::new(&self.reading, &self.effects()),
            extra: self.wish(),
            stands: self.stands,
            scales: self.equipment.scales(),
            followers,
            prefer: self.prefer(),
        })
    }

    /// Whether the free dials could come nearer to the reading than they stand: at rest nothing turns by itself.
    pub(crate) fn could_be_nearer(&self) -> bool {
        let grade = |solution: &Solution| self.prefer().judge(solution.residual).grade();
        let now = self.solution();
        grade(&now) > grade(&self.solve_with(&self.all_free()))
            && (now.residual.size() - Stops::constant(0.5)).is_more()
    }

    /// Makes what is shown the start of whatever comes next, led by `control`.
    pub(crate) fn come_to_rest(&mut self, control: Control) {
        let shown = self.solution().marks;
        self.extra = self.wish();
        self.stands = shown;
        self.lead = Lead {
            control,
            from: shown[control.index()],
        };
        self.settled = shown;
    }

    /// After a change of the reading, the film or the camera: the free dials make up for it.
    pub(crate) fn solve_anew(&mut self) {
        self.stands = self.solve_with(&self.all_free()).marks;
        self.lead.from = self.stands[self.lead.control.index()];
        self.settled = self.stands;
    }

    /// The rating: what the sensitivity dial shows.
    pub(crate) fn rated(mark: Mark) -> ExposureIndex {
        ExposureIndex::new(mark).expect("the third dial is a sensitivity")
    }

    /// What the dial is set for, as far as a roll in a camera asks for it; without names of its own.
    #[must_use]
    pub fn for_roll(&self) -> Loaded {
        Loaded {
            camera_id: self.equipment.id.clone(),
            camera: self.equipment.form.name.clone(),
            box_speed: words::value(&self.box_speed.mark()),
            kind: key_of(&FILMS, &self.film).to_owned(),
            rating: words::value(&self.solution().marks[2]),
            ..Loaded::default()
        }
    }

    pub(crate) fn limit(&self) -> Mark {
        self.hand_limit.unwrap_or_else(|| {
            self.equipment
                .camera
                .hand_limit()
                .expect("every focal length in range gives a time in range")
        })
    }
}
