//! The scripted clinician of the demonstration: taps a human lag after what the listener heard, reads the
//! gauge in even numbers, and says so where there is nothing to read. Never knows the truth.

use crate::clinical::event::{Made, SoundTime};
use crate::clinical::site::Site;
use crate::clinical::sound::Sound;
use crate::conduct::{At, AtSite, Command, Conduct, Refusal, Stream};
use crate::live::recording::HeardRecording;
use crate::units::{Mmhg, SampleIndex, SampleRate};

use super::index;
use super::recordings::Gauge;

/// From the first pulse to the tap, seconds: reaction to sound (0.19 s) with the hand on its way (own choice).
const LAG_S: f64 = 0.4;
/// From the tap to a second look at the needle, seconds: the two looks give the deflation.
const SECOND_LOOK_S: f64 = 4.0;
/// Beats that make a signal; fewer are noise.
const BEATS: usize = 3;

/// The clinician's hands and clock at one site.
pub(super) struct Hands<'a> {
    conduct: &'a mut Conduct,
    /// The recording's number, which is its stream's.
    epoch: u32,
    rate_hz: u32,
    /// When the recording begins, on the visit's clock, seconds.
    began_s: f64,
}

impl<'a> Hands<'a> {
    /// Turns to a site whose recording begins now.
    pub(super) fn at(
        conduct: &'a mut Conduct,
        (epoch, site): (u32, Site),
        began_s: f64,
    ) -> Result<Self, Refusal> {
        let mut hands = Self { conduct, epoch, rate_hz: 1, began_s };
        hands.does(AtSite::TurnTo(site), 0.0)?;
        Ok(hands)
    }

    /// What one recording amounts to.
    pub(super) fn attempt(
        mut self,
        heard: &HeardRecording,
        gauge: Option<&Gauge>,
    ) -> Result<(), Refusal> {
        self.rate_hz = heard.rate_hz;
        if let Some(rate) = SampleRate::new(heard.rate_hz) {
            let stream = Stream { epoch: self.epoch, rate, ahead_s: self.began_s };
            self.conduct.set_stream(stream);
        }
        match heard.return_s {
            Some(back_s) => {
                let tap_s = (back_s + LAG_S).min(heard.duration_s);
                let after = self.hear(heard.sounds(), tap_s)?;
                self.read(tap_s, gauge, after)?;
            }
            None => {
                self.hear(heard.sounds(), heard.duration_s)?;
                self.without_return(heard)?;
            }
        }
        self.conduct.tick(self.time(heard.duration_s))
    }

    /// The recording could not be had.
    pub(super) fn unheard(mut self) -> Result<(), Refusal> {
        self.does(AtSite::NotMeasured("its recording could not be read".into()), 0.0)
    }

    /// Hears what was heard until a time; gives what came after it.
    fn hear(&mut self, sounds: Vec<Sound>, until_s: f64) -> Result<Vec<Sound>, Refusal> {
        let (before, after): (Vec<Sound>, Vec<Sound>) =
            sounds.into_iter().partition(|sound| sound.at_s() <= until_s);
        for sound in before {
            self.conduct.hear(sound);
            self.conduct.tick(self.time(sound.at_s()))?;
        }
        self.conduct.tick(self.time(until_s))?;
        Ok(after)
    }

    /// Taps, looks at the needle twice, and keeps what the first look showed.
    fn read(
        &mut self,
        tap_s: f64,
        gauge: Option<&Gauge>,
        after: Vec<Sound>,
    ) -> Result<(), Refusal> {
        self.does(AtSite::Tap(Made::Script), tap_s)?;
        let look = |s: f64| gauge.and_then(|g| g.read(s)).and_then(|mmhg| Mmhg::whole(mmhg).ok());
        let again_s = tap_s + SECOND_LOOK_S;
        for (mmhg, at_s) in [(look(tap_s), tap_s), (look(again_s), again_s)] {
            if let Some(mmhg) = mmhg {
                self.does(AtSite::Needle(mmhg), at_s)?;
            }
        }
        after.into_iter().for_each(|sound| self.conduct.hear(sound));
        let Some(mmhg) = look(tap_s).filter(|mmhg| mmhg.as_tenths() > 0) else {
            let reason = "the gauge could not be read at the tap";
            return self.does(AtSite::NotMeasured(reason.into()), again_s);
        };
        for digit in mmhg.to_string().chars() {
            self.does(AtSite::Digit(digit), again_s)?;
        }
        self.insist(AtSite::Enter, again_s)
    }

    fn without_return(&mut self, heard: &HeardRecording) -> Result<(), Refusal> {
        let reason = match heard.lost_s {
            _ if heard.pulses.len() < BEATS => {
                return self.insist(AtSite::NoSignal, heard.duration_s);
            }
            Some(_) => "the pulse did not come back before the recording ended",
            None => "the pulse was never lost under the cuff",
        };
        self.does(AtSite::NotMeasured(reason.into()), heard.duration_s)
    }

    /// Does it, and once more where it is asked about: the script means it.
    fn insist(&mut self, deed: AtSite, at_s: f64) -> Result<(), Refusal> {
        self.does(deed.clone(), at_s)?;
        match self.conduct.current().and_then(|current| current.question) {
            Some(_) => self.does(deed, at_s),
            None => Ok(()),
        }
    }

    fn does(&mut self, deed: AtSite, at_s: f64) -> Result<(), Refusal> {
        self.conduct.act(Command::Site(deed), self.time(at_s))
    }

    /// An instant of the recording.
    fn time(&self, at_s: f64) -> At {
        let rate = SampleRate::new(self.rate_hz);
        let sound = rate.map(|rate| SoundTime {
            epoch: self.epoch,
            sample: SampleIndex::at(at_s, rate),
            rate_hz: rate.hz(),
        });
        At { s: self.began_s + at_s, wall: index::now().0, sound }
    }
}
