//! What is asked of a roll of scans at once, and what is told: as values, and as the text that two programs hand each other.
//!
//! Measuring takes long, so it is done beside the page. Words are made here and are shown as they come.

use std::fmt::Write as _;

use crate::{
    Error, Measured,
    frame::{BARS, FIRST_BAR},
    roll::{self, Beginning, Frame, Laid, LineUp, Picture, Said, Scanning},
};

/// A logged frame with its file.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Logged {
    /// Place of its file in the list.
    pub file: usize,
    /// Number as people say it.
    pub number: u16,
    /// Its scene.
    pub scene: u16,
    /// Stops as logged, from what the frames of the scene share; positive is more light.
    pub offset: f64,
}

/// A frame of the film in a series, whether it has a file or not.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wanted {
    /// Number as people say it.
    pub number: u16,
    /// Its series, in the order of the film.
    pub series: u16,
    /// Stops as logged; none where its light is not known.
    pub offset: Option<f64>,
}

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// What the person says of the scans.
    pub said: Said,
    /// Frames that can be compared.
    pub frames: Vec<Logged>,
    /// The film in its order.
    pub film: Vec<Wanted>,
    /// What the files are called, in the order of their list.
    pub names: Vec<String>,
}

/// Two frames whose pictures contradict the log.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Doubt {
    /// The frame with less light by the log.
    pub less: u16,
    /// The one with more.
    pub more: u16,
    /// The question.
    pub words: String,
}

/// How the files lie by the pictures.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Otherwise {
    /// Sentences.
    pub words: String,
    /// The file of each number on the film that has one.
    pub files: Vec<(u16, usize)>,
}

/// Where clipping or a cast begins.
#[derive(Debug, Clone, PartialEq)]
pub struct Begin {
    /// The scene.
    pub scene: u16,
    /// Number of the first frame that shows it.
    pub number: u16,
    /// Its logged offset in stops.
    pub offset: f64,
    /// Whether it goes on to more light; else to less.
    pub to_more: bool,
    /// Whether it is clipping; else it is a cast.
    pub clips: bool,
    /// What it is: `shadows are black from here to less light`.
    pub words: String,
}

/// What one scan is, in bars and words.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    /// Shares of the picture in half stops about the middle tone, from [`FIRST_BAR`] on; none of what may be a negative.
    pub bars: Option<[f64; BARS]>,
    /// Mean brightness of the picture in linear light.
    pub bright: f64,
    /// Sentences; empty of what may be a negative.
    pub words: String,
}

/// What is told.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Answer {
    /// Whether exposure may be concluded from the scans.
    pub tells_exposure: bool,
    /// Whether nothing may be concluded from them.
    pub warns: bool,
    /// Whether the scans look like negatives that were not turned positive, or may be such: nothing is said of their tones.
    pub negatives: bool,
    /// How the scans were made by the pictures, where that is clear and was not said.
    pub rather: Option<Said>,
    /// What the roll is, in sentences.
    pub says: Vec<String>,
    /// Frames that contradict the log.
    pub doubts: Vec<Doubt>,
    /// How the files lie otherwise.
    pub otherwise: Option<Otherwise>,
    /// Where clipping or a cast begins.
    pub begins: Vec<Begin>,
    /// Each file; none of one that could not be read.
    pub files: Vec<Option<Seen>>,
}

/// Answers a question by what was measured of the files, in their order.
#[must_use]
pub fn answer(question: &Question, files: &[Option<Measured>]) -> Answer {
    let frames: Vec<Frame<'_>> = question
        .frames
        .iter()
        .filter_map(|frame| {
            Some(Frame {
                number: frame.number,
                scene: frame.scene,
                offset: frame.offset,
                measured: files.get(frame.file)?.as_ref()?,
            })
        })
        .collect();
    let of_files = |seen: fn(&Measured) -> Seen| -> Vec<Option<Seen>> {
        files.iter().map(|file| file.as_ref().map(seen)).collect()
    };
    if files.iter().flatten().next().is_none() {
        return Answer {
            files: of_files(seen),
            ..Answer::default()
        };
    }
    let scanned = roll::scanned(&frames);
    let tells = scanned.tells_exposure() && question.said != Said::Corrected;
    let lies = lies(question, files);
    let against = scanned.how == Scanning::Against;
    let mut says = scanned.words(question.said);
    if lies == Some(LineUp::Negatives) {
        says.push(roll::NEGATIVES.to_owned());
    }
    let otherwise = match &lies {
        Some(LineUp::Proposed(laid)) => Some(otherwise(question, laid)),
        _ => None,
    };
    // Where files lie otherwise than logged as positives, they are no negatives.
    let negatives = lies == Some(LineUp::Negatives) || against && otherwise.is_none();
    // Nothing is asked about exposure where the person says that it was evened out.
    let doubts = if tells {
        roll::odd(&frames, &scanned)
    } else {
        Vec::new()
    };
    let doubts = doubts.iter().map(|odd| Doubt {
        less: odd.less,
        more: odd.more,
        words: odd.words(),
    });
    // What begins where hangs on the log.
    let begins = if negatives || against {
        Vec::new()
    } else {
        roll::beginnings(&frames)
    };
    let begins = begins.iter().map(|at: &Beginning| Begin {
        scene: at.scene,
        number: at.number,
        offset: at.offset,
        to_more: at.what.is_to_more(),
        clips: at.what.is_clipping(),
        words: at.words(),
    });
    Answer {
        tells_exposure: tells && !negatives,
        warns: !tells || negatives,
        negatives,
        rather: scanned.rather(question.said).filter(|_| !negatives),
        says,
        doubts: doubts.collect(),
        otherwise,
        begins: begins.collect(),
        files: of_files(if negatives { unsaid } else { seen }),
    }
}

/// How the files lie along the film by the pictures; none where a file was not measured.
fn lies(question: &Question, files: &[Option<Measured>]) -> Option<LineUp> {
    // A file that could not be read would be taken for one too few.
    let pictures: Vec<Picture<'_>> = files
        .iter()
        .map(|file| {
            Some(Picture {
                grid: &file.as_ref()?.grid,
            })
        })
        .collect::<Option<_>>()?;
    let mut series: Vec<Vec<Option<f64>>> = Vec::new();
    let mut last = None;
    for frame in &question.film {
        if last != Some(frame.series) {
            series.push(Vec::new());
            last = Some(frame.series);
        }
        if let Some(series) = series.last_mut() {
            series.push(frame.offset);
        }
    }
    Some(roll::line_up(&series, &pictures))
}

fn otherwise(question: &Question, laid: &Laid) -> Otherwise {
    let numbers: Vec<u16> = question.film.iter().map(|frame| frame.number).collect();
    Otherwise {
        words: laid.words(&numbers, &question.names).join("\n"),
        files: numbers
            .iter()
            .zip(&laid.files)
            .filter_map(|(number, file)| Some((*number, (*file)?)))
            .collect(),
    }
}

/// One scan of which nothing is said but how bright it is, for its tones may be the wrong way round.
fn unsaid(measured: &Measured) -> Seen {
    Seen {
        bars: None,
        words: String::new(),
        ..seen(measured)
    }
}

/// What is said of one scan.
fn seen(measured: &Measured) -> Seen {
    let (width, height) = measured.grid.size();
    let light: f64 = measured
        .grid
        .codes()
        .iter()
        .map(|code| exposure::tone::light(f64::from(*code)))
        .sum();
    #[expect(clippy::cast_precision_loss, reason = "a small picture")]
    let bright = light / (width * height).max(1) as f64;
    Seen {
        bars: Some(measured.bars),
        bright,
        words: measured.words().join("\n"),
    }
}

/// Stops at the left edge of a bar of [`Seen::bars`].
#[must_use]
pub fn bar_from(nth: usize) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "two dozen")]
    let nth = nth as f64;
    FIRST_BAR + nth / 2.0 - 0.25
}

const DAMAGED: &str = "What was handed over cannot be read.";

/// Sentences hold no tabs; lines in them are kept.
fn packed(text: &str) -> String {
    text.replace('\t', " ").replace('\n', "\r")
}

fn unpacked(text: &str) -> String {
    text.replace('\r', "\n")
}

const fn word_of(said: Said) -> &'static str {
    match said {
        Said::Fixed => "fixed",
        Said::Corrected => "corrected",
        Said::Unknown => "unknown",
    }
}

fn said_by(word: &str) -> Said {
    match word {
        "fixed" => Said::Fixed,
        "corrected" => Said::Corrected,
        _ => Said::Unknown,
    }
}

impl Question {
    /// As a text.
    #[must_use]
    pub fn text(&self) -> String {
        let mut out = format!("said\t{}\n", word_of(self.said));
        // OK to ignore: writing to a text does not fail.
        for frame in &self.frames {
            let _ = writeln!(
                out,
                "frame\t{}\t{}\t{}\t{}",
                frame.file, frame.number, frame.scene, frame.offset
            );
        }
        for frame in &self.film {
            let offset = frame
                .offset
                .map_or_else(String::new, |stops| stops.to_string());
            let _ = writeln!(out, "film\t{}\t{}\t{offset}", frame.number, frame.series);
        }
        for name in &self.names {
            let _ = writeln!(out, "name\t{}", packed(name));
        }
        out
    }

    /// Reads it again.
    ///
    /// # Errors
    ///
    /// A sentence, where it is none.
    pub fn read(text: &str) -> Result<Self, Error> {
        let mut question = Self {
            said: Said::Unknown,
            frames: Vec::new(),
            film: Vec::new(),
            names: Vec::new(),
        };
        for line in text.split_terminator('\n') {
            let fields: Vec<&str> = line.split('\t').collect();
            let done = match fields.as_slice() {
                ["said", said] => {
                    question.said = said_by(said);
                    Some(())
                }
                ["frame", file, number, scene, offset] => (|| {
                    question.frames.push(Logged {
                        file: file.parse().ok()?,
                        number: number.parse().ok()?,
                        scene: scene.parse().ok()?,
                        offset: stops(offset)?,
                    });
                    Some(())
                })(),
                ["film", number, series, offset] => (|| {
                    question.film.push(Wanted {
                        number: number.parse().ok()?,
                        series: series.parse().ok()?,
                        offset: match *offset {
                            "" => None,
                            offset => Some(stops(offset)?),
                        },
                    });
                    Some(())
                })(),
                ["name", name] => {
                    question.names.push(unpacked(name));
                    Some(())
                }
                _ => None,
            };
            done.ok_or_else(|| Error::new(DAMAGED))?;
        }
        Ok(question)
    }
}

fn stops(text: &str) -> Option<f64> {
    text.parse().ok().filter(|value: &f64| value.is_finite())
}

impl Answer {
    /// As a text.
    #[must_use]
    pub fn text(&self) -> String {
        let mut out = format!(
            "tells\t{}\t{}\t{}\n",
            u8::from(self.tells_exposure),
            u8::from(self.warns),
            u8::from(self.negatives)
        );
        // OK to ignore: writing to a text does not fail.
        for says in &self.says {
            let _ = writeln!(out, "says\t{}", packed(says));
        }
        if let Some(rather) = self.rather {
            let _ = writeln!(out, "rather\t{}", word_of(rather));
        }
        for doubt in &self.doubts {
            let _ = writeln!(
                out,
                "doubt\t{}\t{}\t{}",
                doubt.less,
                doubt.more,
                packed(&doubt.words)
            );
        }
        if let Some(other) = &self.otherwise {
            let files: Vec<String> = other
                .files
                .iter()
                .map(|(number, file)| format!("{number} {file}"))
                .collect();
            let _ = writeln!(out, "lies\t{}\t{}", files.join(","), packed(&other.words));
        }
        for at in &self.begins {
            let _ = writeln!(
                out,
                "begins\t{}\t{}\t{}\t{}\t{}\t{}",
                at.scene,
                at.number,
                at.offset,
                u8::from(at.to_more),
                u8::from(at.clips),
                packed(&at.words)
            );
        }
        for file in &self.files {
            match file {
                None => out.push_str("file\n"),
                Some(seen) => {
                    let bars = seen.bars.iter().flatten();
                    let bars: Vec<String> = bars.map(f64::to_string).collect();
                    let _ = writeln!(
                        out,
                        "file\t{}\t{}\t{}",
                        seen.bright,
                        bars.join(" "),
                        packed(&seen.words)
                    );
                }
            }
        }
        out
    }

    /// Reads it again.
    ///
    /// # Errors
    ///
    /// A sentence, where it is none.
    pub fn read(text: &str) -> Result<Self, Error> {
        let mut answer = Self::default();
        for line in text.split_terminator('\n') {
            let fields: Vec<&str> = line.split('\t').collect();
            answer.line(&fields).ok_or_else(|| Error::new(DAMAGED))?;
        }
        Ok(answer)
    }

    fn line(&mut self, fields: &[&str]) -> Option<()> {
        match fields {
            ["tells", tells, warns, negatives] => {
                (self.tells_exposure, self.warns) = (*tells == "1", *warns == "1");
                self.negatives = *negatives == "1";
            }
            ["says", words] => self.says.push(unpacked(words)),
            ["rather", word] => self.rather = Some(said_by(word)),
            ["doubt", less, more, words] => self.doubts.push(Doubt {
                less: less.parse().ok()?,
                more: more.parse().ok()?,
                words: unpacked(words),
            }),
            ["lies", files, words] => {
                let pairs = files.split(',').filter(|pair| !pair.is_empty());
                let pair = |pair: &str| {
                    let (number, file) = pair.split_once(' ')?;
                    Some((number.parse().ok()?, file.parse().ok()?))
                };
                self.otherwise = Some(Otherwise {
                    words: unpacked(words),
                    files: pairs.map(pair).collect::<Option<_>>()?,
                });
            }
            ["begins", scene, number, offset, to_more, clips, words] => {
                self.begins.push(Begin {
                    scene: scene.parse().ok()?,
                    number: number.parse().ok()?,
                    offset: stops(offset)?,
                    to_more: *to_more == "1",
                    clips: *clips == "1",
                    words: unpacked(words),
                });
            }
            ["file"] => self.files.push(None),
            ["file", bright, bars, words] => {
                let bars = match *bars {
                    "" => None,
                    bars => {
                        let bars: Vec<f64> = bars.split(' ').map(stops).collect::<Option<_>>()?;
                        Some(bars.try_into().ok()?)
                    }
                };
                self.files.push(Some(Seen {
                    bars,
                    bright: stops(bright)?,
                    words: unpacked(words),
                }));
            }
            _ => return None,
        }
        Some(())
    }
}
