//! From judged frames to a rating for the rest of the group.

use exposure::{Stops, chance::within, words};

use crate::{
    Batch, Book, Date, Evidence, Film, Finding, Frame, Grade, Group, Limits, Roll, Scans, Speed,
    Sureness, Tick, as_shot, by_chance, finding, is_shown, no_evidence, share,
    start::{nearest_third, rating_for, third_towards_more},
    text,
};

/// Scenes have to lie this far apart to count as different light, in tenths of EV (judgement, no source).
const OTHER_LIGHT_TENTHS: i32 = 20;

/// What follows for the rest of a group.
#[derive(Debug, Clone, PartialEq)]
pub enum Conclusion {
    /// Nothing yet: why.
    Nothing(String),
    /// Frames were judged, but nothing can be concluded: why.
    Void(String),
    /// A suggestion.
    Found(Box<Suggestion>),
}

/// A rating for the rest of a group, with what it rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct Suggestion {
    /// The group, and no other.
    pub group: Group,
    /// Type of the film.
    pub film: Film,
    /// Box speed.
    pub box_speed: Speed,
    /// Scene by scene.
    pub evidence: Vec<Evidence>,
    /// Median of the liked offsets from box speed; positive is more light.
    pub median: Stops,
    /// Least and most light among the liked offsets.
    pub liked: (Stops, Stops),
    /// What was usable in every scene; none where no offset was.
    pub usable: Option<(Stops, Stops)>,
    /// What the median is worth: a limit only, where it rests on ends of brackets that were liked.
    pub limits: Limits,
    /// The median to a third: on negatives towards more light, on slides the nearest.
    pub offset: Stops,
    /// The rating.
    pub rating: Speed,
    /// How sure it is.
    pub sure: Sureness,
    /// How likely frames that are liked at random, between the ends of these brackets, would agree as well: 0 to 1.
    pub chance: f64,
    /// The suggestion, its evidence and its certainty in sentences.
    pub words: Vec<String>,
    /// What would make it surer, one sentence each.
    pub surer: Vec<String>,
}

impl Suggestion {
    /// The spread between the liked offsets.
    #[must_use]
    pub fn spread(&self) -> Stops {
        self.liked.1 - self.liked.0
    }

    /// How many scenes agree within a stop, and of how many that say anything of it.
    #[must_use]
    pub fn agreeing(&self) -> (u32, u32) {
        agreeing(&self.evidence)
    }

    /// As it is written to the group, on the day when the person settles on it.
    #[must_use]
    pub fn finding(&self, id: &str, on: Date) -> Finding {
        let range =
            |(least, most): (Stops, Stops)| (text::thousandths(least), text::thousandths(most));
        Finding {
            id: id.to_owned(),
            group: self.group.clone(),
            on,
            box_speed: self.box_speed,
            rating: self.rating,
            median_thousandths: text::thousandths(self.median),
            liked_thousandths: range(self.liked),
            usable_thousandths: self.usable.map(range),
            sure: self.sure,
            evidence: self.evidence.clone(),
            note: String::new(),
        }
    }
}

/// What can be concluded from scans made like this, in a sentence.
#[must_use]
pub const fn scans_words(how: Option<Scans>) -> &'static str {
    match how {
        Some(Scans::Fixed) => "Scanned with one fixed setting: frames can be compared.",
        Some(Scans::Corrected) => {
            "Corrected frame by frame: the scanner evened out what the bracket was to show, so no rating can be concluded. \
             Judge the negatives on a light table, or have them scanned again with one fixed setting."
        }
        Some(Scans::LightTable) => "Judged on a light table: the film itself is the evidence.",
        Some(Scans::Unknown) | None => {
            "How the scans were made is not known. If they were corrected frame by frame, the differences are evened out: \
             take the result as a guess."
        }
    }
}

fn ends(values: impl Iterator<Item = i32> + Clone) -> Option<(i32, i32)> {
    Some((values.clone().min()?, values.max()?))
}

/// Grades and offsets from box speed, in thousandths, of the judged frames of a scene that count, with their light and ids.
fn judged(roll: &Roll, scene: u16, box_speed: Speed) -> Vec<(Grade, i32, f64, u16)> {
    roll.frames
        .iter()
        .enumerate()
        .filter(|(_, frame)| frame.plan.scene() == Some(scene))
        .filter(|(place, _)| no_evidence(roll, *place).is_none())
        .filter_map(|(_, frame)| {
            let grade = frame.verdict.as_ref()?.grade;
            let shot = as_shot(roll, frame)?;
            let offset = text::thousandths(shot.from_box(box_speed));
            Some((grade, offset, shot.light.get(), frame.id))
        })
        .collect()
}

/// The offsets of a scene at which a frame could have been found best: those with a judged frame to both sides.
fn inner(judged: &[(Grade, i32, f64, u16)]) -> Vec<i32> {
    let offsets = judged.iter().map(|(_, offset, ..)| *offset);
    let Some((least, most)) = ends(offsets.clone()) else {
        return Vec::new();
    };
    offsets.filter(|at| *at > least && *at < most).collect()
}

/// What the judged frames of one scene say; none if no frame that counts was liked.
fn evidence(roll: &Roll, scene: u16, box_speed: Speed) -> Option<Evidence> {
    let kept = roll.scene(scene)?;
    let judged = judged(roll, scene, box_speed);
    let of = |least: Grade| {
        judged
            .iter()
            .filter(move |(grade, ..)| *grade >= least)
            .map(|(_, offset, ..)| *offset)
    };
    let mut liked: Vec<f64> = of(Grade::Liked).map(f64::from).collect();
    text::rising(&mut liked);
    #[expect(
        clippy::cast_possible_truncation,
        reason = "thousandths of at most 300 stops"
    )]
    let liked_thousandths = text::median(&liked)?.round() as i32;
    // The light in which they were liked, and the camera: a slip may have been found out for some of the frames.
    let best = || judged.iter().filter(|(grade, ..)| *grade == Grade::Liked);
    let mut light: Vec<f64> = best().map(|(_, _, light, _)| *light).collect();
    text::rising(&mut light);
    #[expect(clippy::cast_possible_truncation, reason = "light is within 100 EV")]
    let light_tenths = (text::median(&light)? * 10.0).round() as i32;
    let loading = best().next().and_then(|(.., id)| roll.loading_of(*id));
    Some(Evidence {
        roll: roll.id.clone(),
        scene,
        name: kept.name.clone(),
        camera: loading
            .map(|loading| loading.camera.clone())
            .unwrap_or_default(),
        light_tenths,
        give_or_take_thousandths: kept.light.give_or_take_thousandths,
        liked_thousandths,
        usable_thousandths: ends(of(Grade::Usable))?,
        tried_thousandths: ends(of(Grade::Rejected))?,
        liked_range_thousandths: ends(of(Grade::Liked)).filter(|(least, most)| least != most),
    })
}

/// Concludes a rating for a group from the judged frames of its rolls.
///
/// Per scene the median of the liked offsets; over scenes their median, to a third: on negatives towards more light, on
/// slides the nearest. Rolls whose scans were corrected frame by frame do not count, and if there are no others the
/// conclusion is void. Rolls of other groups are not looked at.
#[must_use]
pub fn conclude(book: &Book, group: &Group) -> Conclusion {
    let Some(stock) = book.stock(&group.stock) else {
        return Conclusion::Nothing("The stock of this group is not in the book.".to_owned());
    };
    let mut found = Vec::new();
    // Of every judged scene what was usable in it, also where nothing was liked.
    let mut usable: Vec<Option<(i32, i32)>> = Vec::new();
    let mut inner_places = Vec::new();
    let (mut corrected, mut unknown) = (Vec::new(), Vec::new());
    let mut known_scenes = 0;
    for roll in book.rolls_of(group) {
        let of_roll: Vec<Evidence> = roll
            .scenes
            .iter()
            .filter_map(|scene| evidence(roll, scene.number, stock.box_speed))
            .collect();
        if roll.scans != Some(Scans::Corrected) {
            for scene in &roll.scenes {
                let judged = judged(roll, scene.number, stock.box_speed);
                let good = judged.iter().filter(|(grade, ..)| *grade >= Grade::Usable);
                if !judged.is_empty() {
                    usable.push(ends(good.map(|(_, offset, ..)| *offset)));
                }
                let known = |known: &&Evidence| known.scene == scene.number && known.is_found();
                if of_roll.iter().any(|one| known(&one)) {
                    inner_places.push(inner(&judged));
                }
            }
        }
        if of_roll.is_empty() {
            continue;
        }
        match roll.scans {
            Some(Scans::Corrected) => {
                corrected.push(format!("“{}”", roll.name));
                continue;
            }
            Some(Scans::Unknown) | None => unknown.push(format!("“{}”", roll.name)),
            Some(Scans::Fixed | Scans::LightTable) => known_scenes += of_roll.len(),
        }
        found.extend(of_roll);
    }
    if found.is_empty() {
        return if corrected.is_empty() {
            Conclusion::Nothing(
                "No frame of this group that counts is liked yet. Judge the frames of a bracket first.".to_owned(),
            )
        } else {
            Conclusion::Void(format!(
                "{}: {}",
                text::list(&corrected),
                scans_words(Some(Scans::Corrected))
            ))
        };
    }
    let mut liked: Vec<f64> = found.iter().map(|scene| scene.liked().get()).collect();
    text::rising(&mut liked);
    // OK to fall back on zero: there is at least one scene.
    let middle = text::median(&liked).unwrap_or(0.0);
    let stops = |value: f64| Stops::new(value).unwrap_or(Stops::ZERO);
    let offset = if stock.film.is_negative() {
        third_towards_more(middle)
    } else {
        nearest_third(middle)
    };
    let usable = usable.into_iter().reduce(|a, b| {
        let ((a, b), (c, d)) = a.zip(b)?;
        Some((a.max(c), b.min(d))).filter(|(low, high)| low <= high)
    });
    let usable = usable.flatten();
    let (agree, _) = agreeing(&found);
    let mut suggestion = Suggestion {
        group: group.clone(),
        film: stock.film,
        box_speed: stock.box_speed,
        median: stops(middle),
        liked: (stops(liked[0]), stops(liked[liked.len() - 1])),
        usable: usable
            .map(|(low, high)| (text::from_thousandths(low), text::from_thousandths(high))),
        limits: finding::limits_of(&found),
        offset,
        rating: rating_for(stock.box_speed, offset),
        sure: Sureness::Hint,
        chance: within(&inner_places, AGREE_WITHIN, agree),
        evidence: found,
        words: Vec::new(),
        surer: Vec::new(),
    };
    suggestion.sure = sureness(&suggestion, known_scenes);
    suggestion.words = say(&suggestion, &corrected, &unknown);
    suggestion.surer = surer(&suggestion, &unknown);
    Conclusion::Found(Box::new(suggestion))
}

/// Scenes whose frames to both sides were judged and liked less.
fn found(evidence: &[Evidence]) -> impl Iterator<Item = &Evidence> + Clone {
    evidence.iter().filter(|scene| scene.is_found())
}

fn other_light<'a>(scenes: impl Iterator<Item = &'a Evidence> + Clone) -> bool {
    ends(scenes.map(|scene| scene.light_tenths))
        .is_some_and(|(least, most)| most - least >= OTHER_LIGHT_TENTHS)
}

/// From this chance on agreement shows nothing: as for [`is_shown`].
const MOST_CHANCE: f64 = 0.05;

/// A stop, within which scenes agree, in thousandths.
const AGREE_WITHIN: i32 = 1083;

/// How many scenes agree within a stop, and of how many that say anything of it: a limit says something only where it
/// contradicts them.
fn agreeing(evidence: &[Evidence]) -> (u32, u32) {
    let within = |least: i32, scene: &Evidence| {
        let limits = scene.limits();
        let (at_least, at_most) = (limits.least, limits.most);
        let over = at_least.is_some_and(|stops| text::thousandths(stops) > least + AGREE_WITHIN);
        let under = at_most.is_some_and(|stops| text::thousandths(stops) < least);
        !over && !under
    };
    let count = |scenes: usize| u32::try_from(scenes).unwrap_or(u32::MAX);
    found(evidence)
        .map(|scene| {
            let least = scene.liked_thousandths;
            let agree = found(evidence).filter(|scene| within(least, scene)).count();
            let against = evidence
                .iter()
                .filter(|scene| !within(least, scene))
                .count();
            (count(agree), count(agree + against))
        })
        .max_by_key(|(agree, of)| (*agree, u32::MAX - of))
        .unwrap_or((0, 0))
}

/// `known` is how many of the scenes are known not to be corrected frame by frame.
fn sureness(suggestion: &Suggestion, known: usize) -> Sureness {
    let scenes = suggestion.evidence.len();
    let (agree, of) = agreeing(&suggestion.evidence);
    let shown = is_shown(agree, of);
    match scenes {
        0 | 1 => Sureness::Hint,
        _ if agree < of && !shown => Sureness::Split,
        _ if known == 0 || agree < 2 || !suggestion.limits.is_found() => Sureness::Hint,
        _ if !shown
            || suggestion.chance > MOST_CHANCE
            || known < scenes
            || !other_light(found(&suggestion.evidence)) =>
        {
            Sureness::Fair
        }
        _ => Sureness::Good,
    }
}

fn from_to((least, most): (Stops, Stops)) -> String {
    let (least, most) = (
        text::lean(least, "box speed"),
        text::lean(most, "box speed"),
    );
    if least == most {
        format!("at {least}")
    } else {
        format!("from {least} to {most}")
    }
}

/// A share in whole per cent, 0 to 100.
fn percent(share: f64) -> String {
    words::decimal((share * 100.0).round(), 0)
}

/// How sure it is, in a sentence or two.
fn sure_words(suggestion: &Suggestion) -> String {
    let scenes = suggestion.evidence.len();
    let (agree, of) = agreeing(&suggestion.evidence);
    let limits = scenes - found(&suggestion.evidence).count();
    match suggestion.sure {
        Sureness::Hint if scenes == 1 => {
            "One scene in one light is a hint, not a result.".to_owned()
        }
        Sureness::Hint if !suggestion.limits.is_found() || agree < 2 => format!(
            "In {limits} of {scenes} scenes a frame at the end of the bracket was liked, and a better one may lie beyond: \
             this is a limit, not a result."
        ),
        Sureness::Hint => {
            "Since it is not known how the scans were made, this is a hint, not a result."
                .to_owned()
        }
        Sureness::Split => format!(
            "The scenes disagree by {}{}: not sure.",
            if limits > 0 { "at least " } else { "" },
            words::of_a_stop(suggestion.spread())
        ),
        Sureness::Fair if !is_shown(agree, of) => {
            let (least, most) = share(agree, of);
            format!(
                "{agree} of {of} scenes agree within a stop: fairly sure. By so few, between {} and {} % of all scenes may \
                 agree (95 %), and chance is not ruled out before 6.",
                percent(least),
                percent(most)
            )
        }
        Sureness::Fair => format!("{agree} of {of} scenes agree within a stop: fairly sure."),
        Sureness::Good => format!(
            "{agree} of {of} scenes in different light agree within a stop: sure. Chance alone would do so in less than {} % \
             of cases.",
            percent(by_chance(agree, of).max(suggestion.chance) + 0.005)
        ),
    }
}

/// What agreement is worth, where the brackets left little room to disagree; none where they left enough, or nothing agrees.
fn forced_words(suggestion: &Suggestion) -> Option<String> {
    let (agree, _) = agreeing(&suggestion.evidence);
    let is_forced = agree > 1 && suggestion.chance > MOST_CHANCE;
    is_forced.then(|| {
        format!(
            "Between the ends of these brackets there was little room to disagree: frames liked at random would agree as well in {} of \
             100 cases.",
            percent(suggestion.chance)
        )
    })
}

/// How far the readings may be off that everything is counted from; none where nothing is known of it.
///
/// The largest counts: scenes read in the same way share what is wrong with it, so that their median is no surer than they
/// are.
fn read_words(evidence: &[Evidence]) -> Option<String> {
    let doubts = || evidence.iter().filter_map(Evidence::doubt);
    let most = doubts().max()?;
    let of = match (doubts().count(), evidence.len()) {
        (_, 1) => "Its light was".to_owned(),
        (known, all) if known == all => "The light was".to_owned(),
        (known, all) => format!("The light of {known} of {all} scenes was"),
    };
    Some(format!(
        "{of} read {}, and the rating may be off as far; where the rest is read in the same way, most of that stays out of it.",
        words::give_or_take(most)
    ))
}

fn say(suggestion: &Suggestion, corrected: &[String], unknown: &[String]) -> Vec<String> {
    let scenes = suggestion.evidence.len();
    let limits = suggestion.limits;
    let mut out = vec![format!(
        "Rate the rest of this group {}: {}.",
        limits.rating_words(suggestion.rating),
        limits.words(suggestion.offset)
    )];
    out.push(format!(
        "The liked frames of {} lie {}, counted from box speed.",
        text::counted(scenes, "scene"),
        from_to(suggestion.liked)
    ));
    let ends = scenes - found(&suggestion.evidence).count();
    if ends > 0 && scenes > 1 {
        out.push(format!(
            "In {ends} of {scenes} scenes that is a limit: a frame at the end of the bracket was liked."
        ));
    }
    if (suggestion.offset - suggestion.median).size().get() > 0.005 {
        out.push(format!(
            "Their median is {}; to a third of a stop{} that is {}.",
            in_decimals(suggestion.median),
            if suggestion.film.is_negative() {
                " towards more light"
            } else {
                ""
            },
            text::lean(suggestion.offset, "box speed")
        ));
    }
    out.push(suggestion.usable.map_or_else(
        || "No offset was usable in every scene.".to_owned(),
        |range| {
            let words = usable_words(&suggestion.evidence, range);
            format!("Usable in every scene {words}.")
        },
    ));
    out.push(sure_words(suggestion));
    out.extend(forced_words(suggestion));
    out.extend(read_words(&suggestion.evidence));
    let mut cameras: Vec<&str> = Vec::new();
    for scene in &suggestion.evidence {
        let camera = scene.camera.as_str();
        if !camera.is_empty() && !cameras.contains(&camera) {
            cameras.push(camera);
        }
    }
    if let [camera] = cameras.as_slice() {
        out.push(format!("This holds as set on one camera: {camera}."));
    }
    if !corrected.is_empty() {
        out.push(format!(
            "Does not count: {}. {}",
            text::list(corrected),
            scans_words(Some(Scans::Corrected))
        ));
    }
    if !unknown.is_empty() {
        out.push(format!("{}: {}", text::list(unknown), scans_words(None)));
    }
    out
}

/// What was usable in every scene, in words: `from ½ stop more light to 3 stops more light`.
pub(crate) fn usable_words(evidence: &[Evidence], range: (Stops, Stops)) -> String {
    let as_far = if usable_to_the_end(evidence, range) {
        ", and beyond as far as was tried"
    } else {
        ""
    };
    from_to(range) + as_far
}

/// Whether an end of what was usable in every scene is the end of a bracket, so that more may be usable.
fn usable_to_the_end(evidence: &[Evidence], (least, most): (Stops, Stops)) -> bool {
    let (least, most) = (text::thousandths(least), text::thousandths(most));
    // A scene that is not among these, for nothing in it was liked, may have ended it.
    let ends_there = |ends: fn(&Evidence) -> (i32, i32), at: i32| {
        let mut scenes = evidence
            .iter()
            .filter(|scene| ends(scene).0 == at)
            .peekable();
        scenes.peek().is_some() && scenes.all(|scene| ends(scene).0 == ends(scene).1)
    };
    ends_there(
        |scene| (scene.usable_thousandths.0, scene.tried_thousandths.0),
        least,
    ) || ends_there(
        |scene| (scene.usable_thousandths.1, scene.tried_thousandths.1),
        most,
    )
}

/// A difference in hundredths, where sixths would hide what is being rounded.
fn in_decimals(stops: Stops) -> String {
    if stops.is_even() {
        "box speed".to_owned()
    } else {
        words::part(stops)
    }
}

fn surer(suggestion: &Suggestion, unknown: &[String]) -> Vec<String> {
    let mut out = Vec::new();
    let evidence = &suggestion.evidence;
    for scene in evidence {
        let limits = scene.limits();
        match (limits.least.is_none(), limits.most.is_none()) {
            (true, true) => out.push(format!(
                "In “{}” no frame beside the liked ones was judged. Judge, or shoot, frames with more and with less light.",
                scene.name
            )),
            (false, true) => out.push(format!(
                "In “{}” the liked frame was the one with most light. A better one may lie beyond: reach further towards \
                 more light.",
                scene.name
            )),
            (true, false) => out.push(format!(
                "In “{}” the liked frame was the one with least light. A better one may lie beyond: reach further towards \
                 less light.",
                scene.name
            )),
            (false, false) => {}
        }
    }
    if !unknown.is_empty() {
        out.push(
            "Ask how the scans were made, or judge the negatives on a light table.".to_owned(),
        );
    }
    if evidence.len() > 1 && !other_light(evidence.iter()) {
        out.push("Shoot a scene in other light, at least two stops brighter or darker.".to_owned());
    }
    let (agree, of) = agreeing(evidence);
    if evidence.len() == 1 {
        out.push("Judge two more scenes, in other light.".to_owned());
    } else if agree == of && agree < 6 && suggestion.chance < 1.0 {
        let more = usize::try_from(6 - agree).unwrap_or_default();
        out.push(format!(
            "{} with frames to both sides of the liked one {} chance out, if {} agree.",
            text::counted(more, "more scene"),
            if more == 1 { "rules" } else { "rule" },
            if more == 1 { "it does" } else { "they" }
        ));
    }
    if agree > 1 && suggestion.chance > MOST_CHANCE {
        out.push(
            "Reach further to both sides of the liked frames, or in smaller steps, so that scenes can disagree."
                .to_owned(),
        );
    }
    out.push(format!(
        "One check bracket of 3 frames on the next roll, around {}.",
        suggestion.rating.rating_words()
    ));
    out
}

/// The findings of a group, oldest first: the only ones that hold for it.
#[must_use]
pub fn findings_of<'a>(book: &'a Book, group: &Group) -> Vec<&'a Finding> {
    let mut out: Vec<&Finding> = book
        .findings()
        .filter(|finding| finding.group == *group)
        .collect();
    // Findings come in the order of their ids, and stay so where they are of one day.
    text::order(&mut out, |a, b| a.on < b.on);
    out
}

/// Findings of other groups of the same stock, each with the sentence that says why it does not hold here.
#[must_use]
pub fn findings_elsewhere<'a>(book: &'a Book, group: &Group) -> Vec<(&'a Finding, String)> {
    book.findings()
        .filter(|finding| finding.group.stock == group.stock)
        .filter_map(|finding| Some((finding, book.barrier(&finding.group, group)?)))
        .collect()
}

/// How old the film was when a rating was found and how old it is today, in a sentence: stated, and nothing is added for it.
#[must_use]
pub fn age_words(finding: &Finding, batch: &Batch, today: Date) -> String {
    let Some(expiry) = batch.expiry else {
        return format!(
            "The rating is of {}; the expiry is not known. Nothing is added for the time since.",
            finding.on.text()
        );
    };
    if finding.on == today {
        return format!(
            "The rating is found today, on {}, and the film is {}.",
            today.text(),
            expiry.age_words(today)
        );
    }
    format!(
        "When the rating was found, on {}, the film was {}. Today, on {}, it is {}. Nothing is added for the time between.",
        finding.on.text(),
        expiry.age_words(finding.on),
        today.text(),
        expiry.age_words(today)
    )
}

/// The frame of a scene that tells most: on negatives the one with least light that still has shadow texture, on slides the
/// one with most light that still has highlight texture. None if no frame that counts is ticked so.
#[must_use]
pub fn telling_frame(roll: &Roll, scene: u16, film: Film) -> Option<u16> {
    let wanted = if film.is_negative() {
        Tick::ShadowTexture
    } else {
        Tick::HighlightTexture
    };
    let mut ticked: Vec<(f64, u16)> = counting(roll, scene)
        .into_iter()
        .filter(|(_, frame)| {
            frame
                .verdict
                .as_ref()
                .is_some_and(|verdict| verdict.ticks.contains(&wanted))
        })
        .map(|(offset, frame)| (offset, frame.id))
        .collect();
    text::order(&mut ticked, |a, b| a.0 < b.0);
    let one = if film.is_negative() {
        ticked.first()
    } else {
        ticked.last()
    };
    one.map(|(_, id)| *id)
}

/// Frames of a scene that count, with their offset from the base.
fn counting(roll: &Roll, scene: u16) -> Vec<(f64, &Frame)> {
    roll.frames
        .iter()
        .enumerate()
        .filter(|(_, frame)| frame.plan.scene() == Some(scene))
        .filter(|(place, _)| no_evidence(roll, *place).is_none())
        .filter_map(|(_, frame)| Some((as_shot(roll, frame)?.from_base.get(), frame)))
        .collect()
}

/// Ids of the frames of a scene that count, to be compared: least light first, or blind in an order that the number gives
/// and that does not show which is which.
#[must_use]
pub fn comparing_order(roll: &Roll, scene: u16, blind: Option<u32>) -> Vec<u16> {
    let mut frames = counting(roll, scene);
    text::order(&mut frames, |a, b| a.0 < b.0);
    let mut ids: Vec<u16> = frames.into_iter().map(|(_, frame)| frame.id).collect();
    if let Some(number) = blind {
        let mark = |id: &u16| text::hash(&format!("{} {scene} {id} {number}", roll.id));
        text::order(&mut ids, |a, b| mark(a) < mark(b));
    }
    ids
}
