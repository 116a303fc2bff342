//! Reading records. One parser makes a tree of any JSON, and each type takes itself from it.
//!
//! Deriving this would write a parser anew for each of thirty types: four times the code, and the page loads it.

use crate::{
    Aperture, Aside, Batch, Correction, Date, Development, Device, DeviceSteps, Evidence, Expiry,
    Fate, Film, FilmTest, Finding, Frame, Grade, Group, Lens, Light, Loading, Moment, OfDial,
    OwnCamera, Pair, Plan, Roll, Rules, Scans, Scene, Setting, Shot, Speed, State, Stock, Storage,
    Sureness, TestBy, TestStep, Tick, Time, Verdict,
    json::{self, Fields, Value},
};

/// A type that a record is made of. None for anything that it does not write itself.
pub(crate) trait Read: Sized {
    /// Takes itself from a value.
    fn read(value: Value) -> Option<Self>;

    /// What is meant where the field is left out; none where it must not be.
    fn absent() -> Option<Self> {
        None
    }
}

/// Takes a field out of an object, so that what is left over in the end is what nobody knows.
pub(crate) fn take<T: Read>(object: &mut Fields, name: &str) -> Option<T> {
    match object.remove(name) {
        Some(value) => T::read(value),
        None => T::absent(),
    }
}

pub(crate) fn object(value: Value) -> Option<Fields> {
    match value {
        Value::Object(object) => Some(object),
        _ => None,
    }
}

impl Read for String {
    fn read(value: Value) -> Option<Self> {
        match value {
            Value::String(text) => Some(text),
            _ => None,
        }
    }

    fn absent() -> Option<Self> {
        Some(Self::new())
    }
}

impl Read for bool {
    fn read(value: Value) -> Option<Self> {
        value.as_bool()
    }

    fn absent() -> Option<Self> {
        Some(false)
    }
}

macro_rules! whole {
    ($($name:ty),*) => {$(
        impl Read for $name {
            fn read(value: Value) -> Option<Self> {
                Self::try_from(value.as_i64()?).ok()
            }
        }
    )*};
}
whole!(u8, u16, i32);

impl<T: Read> Read for Option<T> {
    fn read(value: Value) -> Option<Self> {
        T::read(value).map(Some)
    }

    fn absent() -> Option<Self> {
        Some(None)
    }
}

impl<T: Read> Read for Box<T> {
    fn read(value: Value) -> Option<Self> {
        T::read(value).map(Self::new)
    }
}

impl<T: Read> Read for Vec<T> {
    fn read(value: Value) -> Option<Self> {
        match value {
            Value::Array(items) => items.into_iter().map(T::read).collect(),
            _ => None,
        }
    }

    fn absent() -> Option<Self> {
        Some(Self::new())
    }
}

impl Read for (i32, i32) {
    fn read(value: Value) -> Option<Self> {
        match Vec::<i32>::read(value)?.as_slice() {
            [least, most] => Some((*least, *most)),
            _ => None,
        }
    }
}

macro_rules! from_text {
    ($($name:ty),*) => {$(
        impl Read for $name {
            fn read(value: Value) -> Option<Self> {
                Self::parse(value.as_str()?).ok()
            }
        }
    )*};
}
from_text!(Date, Moment, Expiry, Time, Aperture, Speed);

macro_rules! named {
    ($($name:ident $(or $absent:ident)? { $($text:literal => $variant:ident),* $(,)? })*) => {$(
        impl Read for $name {
            fn read(value: Value) -> Option<Self> {
                match value.as_str()? {
                    $($text => Some(Self::$variant),)*
                    _ => None,
                }
            }

            $(fn absent() -> Option<Self> {
                Some(Self::$absent)
            })?
        }
    )*};
}
named! {
    TestBy { "tablet" => Tablet, "frames" => Frames }
    Film { "colour_negative" => ColourNegative, "black_and_white" => BlackAndWhite, "reversal" => Reversal }
    Storage or Unknown {
        "unknown" => Unknown,
        "frozen" => Frozen,
        "fridge" => Fridge,
        "cool_cellar" => CoolCellar,
        "room" => Room,
        "hot" => Hot,
    }
    State {
        "in_bag" => InBag,
        "loaded" => Loaded,
        "part_shot" => PartShot,
        "exposed" => Exposed,
        "at_lab" => AtLab,
        "back" => Back,
    }
    Scans { "fixed" => Fixed, "corrected" => Corrected, "unknown" => Unknown, "light_table" => LightTable }
    Fate or Waiting {
        "waiting" => Waiting,
        "taken" => Taken,
        "lost" => Lost,
        "double" => Double,
        "left_out" => LeftOut,
    }
    DeviceSteps { "thirds" => Thirds, "halves" => Halves }
    Grade { "rejected" => Rejected, "usable" => Usable, "liked" => Liked }
    Tick {
        "shadow_texture" => ShadowTexture,
        "highlight_texture" => HighlightTexture,
        "fog" => Fog,
        "grain" => Grain,
        "cast" => Cast,
    }
    Sureness { "hint" => Hint, "split" => Split, "fair" => Fair, "good" => Good }
}

/// Most fields mean what their type means where they are left out; some have a meaning of their own.
macro_rules! fields {
    (@$object:ident $field:ident) => {
        take(&mut $object, stringify!($field))
    };
    (@$object:ident $field:ident $absent:literal) => {
        take::<Option<_>>(&mut $object, stringify!($field)).map(|read| read.unwrap_or($absent))
    };
    ($($name:ident { $($field:ident $(or $absent:literal)?),* $(,)? })*) => {$(
        impl Read for $name {
            fn read(value: Value) -> Option<Self> {
                let mut object = object(value)?;
                let read = Self {
                    $($field: fields!(@object $field $($absent)?)?,)*
                };
                object.is_empty().then_some(read)
            }
        }
    )*};
}
fields! {
    Stock { id, name, film, process, box_speed, format, exposures, remjet, note }
    Batch { id, stock, expiry, storage, number, origin, note }
    Group { stock, batch, storage }
    Loading { camera, camera_id, rating, since, first_frame, device, after, until, why }
    Light { time, aperture, sensitivity, at, same_at, device, method, give_or_take_thousandths, correction_twelfths or 0, corrections, long_times }
    Correction { name, thousandths, at }
    Setting { time, aperture }
    Scene { number, name, light, rating, base, note }
    Verdict { grade, ticks }
    Frame { id, plan, shot, verdict, scan }
    Roll {
        id,
        name,
        batch,
        storage,
        exposures,
        purpose,
        state,
        loadings,
        finished,
        sent,
        returned,
        development,
        scans,
        scenes,
        frames,
        pairs,
        note,
    }
    Pair { one, other, one_better, other_better, even }
    Evidence {
        roll,
        scene,
        name,
        camera,
        light_tenths,
        give_or_take_thousandths,
        liked_thousandths,
        usable_thousandths,
        tried_thousandths,
        liked_range_thousandths,
    }
    Finding {
        id,
        group,
        on,
        box_speed,
        rating,
        median_thousandths,
        liked_thousandths,
        usable_thousandths,
        sure,
        evidence,
        note,
    }
    TestStep { more_thousandths, density_thousandths }
    FilmTest {
        id,
        group,
        on,
        box_speed,
        metered,
        by,
        steps,
        fog_thousandths,
        speed,
        contrast_thousandths,
        conditions,
    }
    Device { id, name, steps, correction_twelfths or 0, note }
    Lens { id, name, focal_mm, widest, smallest, fits, note }
    OwnCamera { id, name, times, apertures, steps, focal_mm }
    OfDial { id, text }
    Aside { id, text }
}

impl Read for Shot {
    fn read(value: Value) -> Option<Self> {
        let mut object = object(value)?;
        let read = Self {
            fate: take(&mut object, "fate")?,
            time: take(&mut object, "time")?,
            aperture: take(&mut object, "aperture")?,
            meter: take(&mut object, "meter")?,
            at: take(&mut object, "at")?,
            light_changed: take(&mut object, "light_changed")?,
            note: take(&mut object, "note")?,
        };
        object.is_empty().then_some(read)
    }

    fn absent() -> Option<Self> {
        Some(Self::default())
    }
}

impl Read for Plan {
    fn read(value: Value) -> Option<Self> {
        if let Some(name) = value.as_str() {
            return match name {
                "slate" => Some(Self::Slate),
                "capped" => Some(Self::Capped),
                "nothing" => Some(Self::Nothing),
                _ => None,
            };
        }
        let mut outer = object(value)?;
        if let Some(unplanned) = outer.remove("unplanned") {
            let mut unplanned = object(unplanned)?;
            let scene = take(&mut unplanned, "scene")?;
            let alone = outer.is_empty() && unplanned.is_empty();
            return alone.then_some(Self::Unplanned { scene });
        }
        let mut picture = object(outer.remove("picture")?)?;
        let read = Self::Picture {
            scene: take(&mut picture, "scene")?,
            set: take(&mut picture, "set")?,
            more_light_twelfths: take(&mut picture, "more_light_twelfths")?,
        };
        (outer.is_empty() && picture.is_empty()).then_some(read)
    }
}

impl Read for Development {
    fn read(value: Value) -> Option<Self> {
        if value.as_str() == Some("normal") {
            return Some(Self::Normal);
        }
        let mut object = object(value)?;
        let (push, pull) = (
            take::<Option<u8>>(&mut object, "push_thirds")?,
            take::<Option<u8>>(&mut object, "pull_thirds")?,
        );
        match (push, pull) {
            (Some(thirds), None) if object.is_empty() => Some(Self::PushThirds(thirds)),
            (None, Some(thirds)) if object.is_empty() => Some(Self::PullThirds(thirds)),
            _ => None,
        }
    }

    fn absent() -> Option<Self> {
        Some(Self::Normal)
    }
}

impl Read for Rules {
    fn read(value: Value) -> Option<Self> {
        let mut outer = object(value)?;
        let own = object(outer.remove("own")?)?
            .into_iter()
            .map(|(id, value)| Some((id, i32::read(value)?)))
            .collect::<Option<_>>()?;
        outer.is_empty().then_some(Self { own })
    }
}

/// The fields of a record whose fields stand beside its format and its version, as the dial writes them.
pub(crate) fn flat(text: &str) -> Option<(String, u32, Value)> {
    let mut object = object(json::read(text)?)?;
    let format = take(&mut object, "format")?;
    let version = u32::try_from(object.remove("version")?.as_i64()?).ok()?;
    Some((format, version, Value::Object(object)))
}

/// The format, the version and the record of an envelope; none if it is none.
pub(crate) fn envelope(text: &str) -> Option<(String, u32, Option<Value>)> {
    let mut object = object(json::read(text)?)?;
    let format = take(&mut object, "format")?;
    let version = u32::try_from(object.remove("version")?.as_i64()?).ok()?;
    let record = object.remove("record");
    // What a newer version may have added beside them is its own business; here it is damage.
    Some((format, version, record.filter(|_| object.is_empty())))
}
