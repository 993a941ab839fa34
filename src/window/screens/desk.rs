//! Entries and pictures that are nobody's state but the screens'.

use super::mirrored::MirroredScreen;
use crate::clinical::event::{Cuff, Limb};
use crate::clinical::site::Side;
#[cfg(feature = "bedside")]
use crate::live::{self, InputDevice};
#[cfg(feature = "bedside")]
use crate::logbook::VisitId;
#[cfg(feature = "bedside")]
use crate::window::model::choices::{Change, Choices};
use crate::window::paint::plot::{Picture, Still};
use crate::words::Words;

/// See the file's purpose.
#[derive(Default)]
pub struct Desk {
    /// The language that the screens speak.
    pub words: Words,
    /// Who confirms its translation.
    pub confirms: String,
    /// The sound now.
    pub picture: Picture,
    /// The sound that is heard again, or practised on.
    pub heard_again: Picture,
    /// The mean beat.
    pub mean_beat: Still,
    /// Why something is not measured, in own words.
    pub not_measured: String,
    /// Who measures from here on.
    pub operator: String,
    /// What is to be done next.
    pub plan: String,
    /// What the patient did before measuring again.
    pub exercise: String,
    /// Who countersigns.
    pub supervisor: String,
    /// When the next test is due.
    pub due: String,
    /// Who switches guidance on.
    pub by: String,
    /// The sets that were chosen for it.
    pub sets: Vec<String>,
    /// The service's name.
    pub service: String,
    /// The gauge's code.
    pub gauge: String,
    /// From line to line, mmHg.
    pub graduation: String,
    /// Megahertz.
    pub probe: String,
    /// The highest pressure, mmHg.
    pub ceiling: String,
    /// Minutes of rest.
    pub rest: String,
    /// Seconds between inflations.
    pub wait: String,
    #[cfg(feature = "bedside")]
    arm: CuffEntry,
    #[cfg(feature = "bedside")]
    ankle: CuffEntry,
    /// What the screen says, where it is also shown in another way.
    pub mirror: Option<MirroredScreen>,
    /// The screen has just come.
    pub fresh: bool,
    #[cfg(feature = "bedside")]
    cuffs_of: Option<VisitId>,
    #[cfg(feature = "bedside")]
    inputs: Vec<InputDevice>,
}

/// A cuff as it is typed, centimetres.
#[derive(Debug, Clone, Default)]
pub struct CuffEntry {
    /// Round the limb.
    pub around: String,
    /// The bladder's width.
    pub width: String,
    /// The bladder's length.
    pub length: String,
}

impl CuffEntry {
    /// The cuff, where its sizes are numbers.
    pub fn cuff(&self, side: Side, limb: Limb) -> Option<Cuff> {
        let circumference_mm = self.around_mm();
        let (width_mm, length_mm) = (mm(&self.width)?, mm(&self.length)?);
        Some(Cuff { side, limb, circumference_mm, width_mm, length_mm })
    }

    /// How far it is round the limb, millimetres, where that is a number.
    pub fn around_mm(&self) -> Option<u32> {
        mm(&self.around)
    }
}

/// Typed centimetres as millimetres.
fn mm(text: &str) -> Option<u32> {
    let cm: f64 = text.trim().replace(',', ".").parse().ok()?;
    (1.0..=150.0).contains(&cm).then_some((cm * 10.0).round() as u32)
}

#[cfg(feature = "bedside")]
impl Desk {
    /// The entries as they begin with these choices.
    pub fn of(c: &Choices) -> Self {
        Self {
            service: c.service().into(),
            gauge: c.gauge().into(),
            graduation: c.graduation().to_string(),
            probe: c.probe().map_or(String::new(), |p| format!("{:.1}", f64::from(p) / 10.0)),
            ceiling: c.ceiling().to_string(),
            rest: c.rest_min().to_string(),
            wait: c.wait_s().to_string(),
            ..Self::default()
        }
    }

    /// What is typed of cuffs belongs to this visit: nothing is carried over from another patient.
    pub fn cuffs_of(&mut self, visit: VisitId) {
        if self.cuffs_of != Some(visit) {
            self.cuffs_of = Some(visit);
            (self.arm, self.ankle) = (CuffEntry::default(), CuffEntry::default());
        }
    }

    /// The cuff of this limb, as it is typed.
    pub fn cuff(&mut self, limb: Limb) -> &mut CuffEntry {
        match limb {
            Limb::Arm => &mut self.arm,
            Limb::Ankle => &mut self.ankle,
        }
    }

    /// The inputs that were found.
    pub fn inputs(&self) -> &[InputDevice] {
        &self.inputs
    }

    /// Looks for inputs.
    pub fn look_for_inputs(&mut self) {
        self.inputs = live::inputs().unwrap_or_default();
    }

    /// Chooses a set of guidance, or no longer.
    pub fn toggle_set(&mut self, id: &str) {
        match self.sets.iter().position(|s| s == id) {
            Some(at) => drop(self.sets.remove(at)),
            None => self.sets.push(id.to_owned()),
        }
    }

    /// What was typed for the service; nonsense changes nothing.
    pub fn service_changes(&self) -> Vec<Change> {
        let mut changes = vec![
            Change::Service(self.service.trim().into()),
            Change::Gauge(self.gauge.trim().into()),
        ];
        let whole = |text: &str| text.trim().parse::<u32>().ok();
        let mmhg = |text: &str| text.trim().parse::<i32>().ok();
        let mhz: Option<f64> = self.probe.trim().replace(',', ".").parse().ok();
        changes.extend(mmhg(&self.graduation).map(Change::Graduation));
        changes.extend(mmhg(&self.ceiling).map(Change::Ceiling));
        changes.extend(whole(&self.rest).map(Change::Rest));
        changes.extend(whole(&self.wait).map(Change::Wait));
        let mhz = mhz.filter(|mhz| (1.0..=20.0).contains(mhz));
        changes.extend(mhz.map(|mhz| Change::Probe((mhz * 10.0).round() as u32)));
        changes
    }
}
