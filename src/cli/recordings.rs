//! The recordings of the demonstration's visit, and the gauge beside each.
//!
//! They are looked for in `audio-fixtures`, here or above the program. Where they are not, an installed
//! program for instance, the same sounds are made again from scenario and seed: same seed, same sound.

use std::io::Cursor;
use std::path::{Path, PathBuf};

use anyhow::Context;
use serde::Deserialize;

use crate::audio::sound::SoundFile;
use crate::audio::wav;
use crate::clinical::site::Site;
use crate::sim;
use crate::sim::scenario;
use crate::units::SampleRate;

/// The fictional patient's record.
pub(super) const RECORD: &str = "TM-0142-7";
const FOLDER: &str = "audio-fixtures";
const SCENARIO: &str = "visit";

/// One recording of the visit: site, ending of the file's name, seed.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wanted {
    site: &'static str,
    ending: &'static str,
    seed: u64,
}

const fn wanted(site: &'static str, ending: &'static str, seed: u64) -> Wanted {
    Wanted { site, ending, seed }
}

/// The seven, in the order of the examination: the first arm comes again at the end.
pub(super) const VISIT: [Wanted; 7] = [
    wanted("right-arm", "", 41),
    wanted("right-pt", "", 41),
    wanted("right-dp", "", 41),
    wanted("left-pt", "", 41),
    wanted("left-dp", "", 41),
    wanted("left-arm", "", 41),
    wanted("right-arm", "-again", 42),
];

impl Wanted {
    /// Where it was recorded.
    pub(super) fn site(self) -> anyhow::Result<Site> {
        Ok(self.site.parse()?)
    }

    /// The file's name.
    pub(super) fn file(self) -> PathBuf {
        format!("{SCENARIO}-{}{}.wav", self.site, self.ending).into()
    }
}

/// Where the recordings come from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Shelf {
    /// A folder.
    Folder(PathBuf),
    /// Nowhere: they are made again.
    Made,
}

/// A sound ready to be heard, and the gauge that ran beside it where that is known.
pub(super) struct Recording {
    pub(super) bytes: Vec<u8>,
    pub(super) gauge: Option<Gauge>,
    name: PathBuf,
}

impl Recording {
    /// The sound.
    ///
    /// # Errors
    /// The bytes are no sound; the file's name is in the words.
    pub(super) fn wav(&self) -> anyhow::Result<SoundFile> {
        let wav = SoundFile::read(Box::new(Cursor::new(self.bytes.clone())));
        wav.with_context(|| format!("{}", self.name.display()))
    }
}

impl Shelf {
    /// The folder named, or else the shipped recordings, or else none.
    ///
    /// # Errors
    /// A folder was named that is none.
    pub(super) fn find(named: Option<&Path>) -> anyhow::Result<Self> {
        if let Some(folder) = named {
            anyhow::ensure!(folder.is_dir(), "{}: is no folder of recordings", folder.display());
            return Ok(Self::Folder(folder.into()));
        }
        let program = std::env::current_exe().ok();
        let above = program.iter().flat_map(|p| p.ancestors().skip(1).take(4));
        let places = std::iter::once(Path::new("")).chain(above).map(|p| p.join(FOLDER));
        let shipped =
            |place: &PathBuf| VISIT.iter().any(|wanted| place.join(wanted.file()).is_file());
        Ok(places.into_iter().find(shipped).map_or(Self::Made, Self::Folder))
    }

    /// In words.
    pub(super) fn words(&self) -> String {
        match self {
            Self::Folder(folder) => format!("the recordings in {}", folder.display()),
            Self::Made => "the shipped recordings, made again from their seeds".into(),
        }
    }

    /// One recording.
    ///
    /// # Errors
    /// It is missing or no sound; its name is in the words.
    pub(super) fn take(&self, wanted: Wanted) -> anyhow::Result<Recording> {
        match self {
            Self::Folder(folder) => from_file(&folder.join(wanted.file())),
            Self::Made => made(wanted),
        }
    }
}

fn from_file(path: &Path) -> anyhow::Result<Recording> {
    let bytes = std::fs::read(path).with_context(|| format!("{}", path.display()))?;
    let truth = std::fs::read(path.with_extension("json")).ok();
    let gauge = truth.and_then(|bytes| serde_json::from_slice(&bytes).ok()).map(Gauge::of);
    Ok(Recording { bytes, gauge, name: path.to_owned() })
}

fn made(wanted: Wanted) -> anyhow::Result<Recording> {
    let scenario = scenario::load(SCENARIO)?;
    let case = scenario.case(Some(wanted.site))?;
    let sound = sim::render(case, scenario::site_seed(wanted.seed, Some(wanted.site)));
    let rate = SampleRate::new(sound.rate_hz).context("the scenario's rate")?;
    let bytes = wav::encode_16(&sound.samples, rate, sound.channels as u16);
    let gauge = serde_json::from_value(serde_json::to_value(&sound.truth)?).ok().map(Gauge::of);
    Ok(Recording { bytes, gauge, name: wanted.file() })
}

/// The parts of a truth file that a gauge would have shown. When the pulse returned is not read.
#[derive(Deserialize)]
struct Shown {
    inflations: Vec<Top>,
    openings: Vec<Point>,
}

#[derive(Deserialize)]
struct Top {
    top_s: f64,
    target_mmhg: f64,
}

#[derive(Deserialize)]
struct Point {
    onset_s: f64,
    cuff_mmhg: f64,
}

/// The cuff's pressure over time, as far as the truth file tells it: straight lines between the top of each
/// inflation and each beat that flowed.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Gauge {
    points: Vec<(f64, f64)>,
}

impl Gauge {
    fn of(shown: Shown) -> Self {
        let tops = shown.inflations.iter().map(|top| (top.top_s, top.target_mmhg));
        let beats = shown.openings.iter().map(|point| (point.onset_s, point.cuff_mmhg));
        let mut points: Vec<(f64, f64)> = tops.chain(beats).collect();
        points.retain(|(s, mmhg)| s.is_finite() && mmhg.is_finite());
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        Self { points }
    }

    /// What a gauge read in even numbers shows at a time, the nearest one, upwards from the middle; none
    /// where the course is not known.
    pub(super) fn read(&self, at_s: f64) -> Option<i32> {
        let next = self.points.iter().position(|(s, _)| *s >= at_s)?;
        let (to, from) = (self.points[next], self.points[next.checked_sub(1)?]);
        let part = (at_s - from.0) / (to.0 - from.0).max(1e-9);
        let mmhg = from.1 + (to.1 - from.1) * part;
        Some(2 * (mmhg / 2.0 + 0.5).floor() as i32)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_gauge_is_read_to_the_nearest_even_number_upwards() {
        let gauge = Gauge { points: vec![(0.0, 100.0), (10.0, 110.0)] };
        let at = |s| gauge.read(s);
        assert_eq!(
            [at(0.9), at(1.0), at(2.9), at(10.0)],
            [Some(100), Some(102), Some(102), Some(110)]
        );
        assert_eq!((at(-1.0), at(11.0)), (None, None));
    }

    #[test]
    fn what_is_made_again_is_what_is_shipped() {
        let shipped = Path::new(env!("CARGO_MANIFEST_DIR")).join(FOLDER);
        for wanted in VISIT {
            let (file, made) =
                (from_file(&shipped.join(wanted.file())).unwrap(), made(wanted).unwrap());
            assert_eq!(file.gauge, made.gauge, "{}", wanted.file().display());
            let (mut file, mut made) = (file.wav().unwrap(), made.wav().unwrap());
            let (mut one, mut other) = (Vec::new(), Vec::new());
            loop {
                file.read_block(&mut one).unwrap();
                made.read_block(&mut other).unwrap();
                assert_eq!(one, other, "{}", wanted.file().display());
                if one.is_empty() {
                    break;
                }
            }
        }
    }
}
