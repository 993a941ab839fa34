//! The choices of the user and the service, as the settings keep them.

use eframe::egui::Key;

use crate::clinical::guidance::{self, GuidanceSet};
use crate::clinical::method::Method;
use crate::clinical::moment::Moment;
use crate::clinical::sequence;
use crate::clinical::switch::{self, Switch};
use crate::live::{
    CHANNEL_KEY, Choice, DEVICE_KEY, HEADPHONES_KEY, LINK_KEY, THROUGH_KEY, VOLUME_KEY,
};
use crate::report::pdf::Paper;
use crate::settings::{CONFIRMED_BY, Fixed, LANGUAGE, REPORT_PAPER, SERVICE_NAME, Settings};
use crate::units::Mmhg;
use crate::window::paint::theme::Theme;
use crate::window::tap;
use crate::words::{Words, id};

/// The version of the cautions that were agreed to; a changed text is shown anew.
pub const CAUTIONS_VERSION: &str = "1";
/// The code of a gauge that none was named for.
pub const GAUGE_IN_USE: &str = "in use";
/// The scales offered, per cent.
pub const SCALES: [u32; 6] = [100, 125, 150, 175, 200, 250];

const THEME: &str = "window.theme";
const SCALE: &str = "window.scale";
const TAP: &str = "window.tap";
const CAUTIONS: &str = "window.cautions";
const SAY: &str = "window.say";
const OPERATOR: &str = "service.operator";
const ORDER: &str = "service.order";
const METHOD: &str = "service.method";
const GAUGE: &str = "service.gauge";
const GRADUATION: &str = "service.graduation";
const CEILING: &str = "service.ceiling";
const REST: &str = "service.rest";
const WAIT: &str = "service.wait";
const PROBE: &str = "service.probe";
const CUFFS: &str = "service.cuffs";
const RECORD: &str = "sound.record";
const CHECK_CODES: &str = "service.check_codes";

/// What happens at the moment the listener hears the pulse come back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Say {
    /// Nothing: the ear decides alone, the comparison comes after.
    #[default]
    Nothing,
    /// The frame of the picture lights up, with a word.
    Flash,
    /// And a short, soft tone, where the sound comes by cable.
    FlashAndTone,
}

impl Say {
    /// All, in the order offered.
    pub const ALL: [Say; 3] = [Say::Nothing, Say::Flash, Say::FlashAndTone];

    /// In the words of a language.
    pub fn said(self, words: Words) -> &'static str {
        words.plain(match self {
            Say::Nothing => id!("setup-say-nothing"),
            Say::Flash => id!("setup-say-flash"),
            Say::FlashAndTone => id!("setup-say-tone"),
        })
    }

    const fn code(self) -> &'static str {
        match self {
            Say::Nothing => "nothing",
            Say::Flash => "flash",
            Say::FlashAndTone => "flash-and-tone",
        }
    }
}

/// A change of one choice.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// The theme.
    Theme(Theme),
    /// The scale, per cent.
    Scale(u32),
    /// The language of the window.
    Language(Words),
    /// The clinician, by name or code, who confirms the translation of a language for the service.
    Confirm(Words, String),
    /// The key of the tap.
    Tap(Key),
    /// What is said at the return.
    Say(Say),
    /// The service's name on reports.
    Service(String),
    /// The paper of reports.
    Paper(Paper),
    /// The operator's code.
    Operator(String),
    /// The id of the order of sites.
    Order(String),
    /// How the index is formed.
    Method(Method),
    /// The gauge's code.
    Gauge(String),
    /// The gauge's graduation, mmHg.
    Graduation(i32),
    /// The highest pressure that is pumped to, mmHg.
    Ceiling(i32),
    /// Minutes of rest.
    Rest(u32),
    /// Seconds between two inflations of one limb.
    Wait(u32),
    /// The probe's frequency, tenths of a megahertz.
    Probe(u32),
    /// The cuffs, as they were put on last: width and length in millimetres, for arm and ankle.
    Cuffs([u32; 4]),
    /// Whether sound is recorded.
    Record(bool),
    /// Whether the codes of records end in a check character.
    CheckCodes(bool),
    /// The input.
    Device(Option<String>),
    /// The channel, from 0; all where none is named.
    Channel(Option<usize>),
    /// A cable rather than a microphone.
    Cable(bool),
    /// Where the sound is passed through to; `None` for nowhere, an empty text for the usual output.
    Through(Option<String>),
    /// The output is headphones.
    Headphones(bool),
    /// How loud sound is passed through, per cent.
    Volume(u32),
    /// Guidance is switched on by a clinician, with these sets.
    GuidanceOn {
        /// By name or code.
        by: String,
        /// When.
        at: Moment,
        /// The ids of the sets.
        sets: Vec<String>,
    },
    /// Guidance is switched off again.
    GuidanceOff,
}

impl Change {
    /// Whether the sound must be begun anew for it.
    pub fn is_of_sound(&self) -> bool {
        match self {
            Change::Device(_)
            | Change::Channel(_)
            | Change::Cable(_)
            | Change::Through(_)
            | Change::Headphones(_)
            | Change::Record(_) => true,
            Change::CheckCodes(_)
            | Change::Theme(_)
            | Change::Scale(_)
            | Change::Language(_)
            | Change::Confirm(..)
            | Change::Tap(_)
            | Change::Say(_)
            | Change::Service(_)
            | Change::Paper(_)
            | Change::Operator(_)
            | Change::Order(_)
            | Change::Method(_)
            | Change::Gauge(_)
            | Change::Graduation(_)
            | Change::Ceiling(_)
            | Change::Rest(_)
            | Change::Wait(_)
            | Change::Probe(_)
            | Change::Cuffs(_)
            | Change::Volume(_)
            | Change::GuidanceOn { .. }
            | Change::GuidanceOff => false,
        }
    }
}

/// The settings, with their meaning.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Choices {
    settings: Settings,
}

impl Choices {
    /// These settings.
    pub fn new(settings: Settings) -> Self {
        Self { settings }
    }

    /// As they are saved.
    pub fn settings(&self) -> &Settings {
        &self.settings
    }

    fn text(&self, key: &str) -> &str {
        self.settings.text(key).unwrap_or_default()
    }

    fn number(&self, key: &str, usual: u32, allowed: std::ops::RangeInclusive<u32>) -> u32 {
        self.text(key).parse().ok().filter(|n| allowed.contains(n)).unwrap_or(usual)
    }

    /// The theme.
    pub fn theme(&self) -> Theme {
        Theme::named(self.text(THEME))
    }

    /// The scale, per cent.
    pub fn scale(&self) -> u32 {
        self.number(SCALE, 100, 100..=250)
    }

    /// The key of the tap.
    pub fn tap(&self) -> Key {
        Key::from_name(self.text(TAP)).filter(|key| tap::may_be_tap(*key)).unwrap_or(tap::TAP)
    }

    /// What is said at the return.
    pub fn say(&self) -> Say {
        let code = self.text(SAY);
        Say::ALL.into_iter().find(|say| say.code() == code).unwrap_or_default()
    }

    /// Whether the cautions were agreed to.
    pub fn cautions_read(&self) -> bool {
        self.text(CAUTIONS) == CAUTIONS_VERSION
    }

    /// The cautions were agreed to.
    pub fn agree(&mut self) {
        self.settings.set_text(CAUTIONS, CAUTIONS_VERSION);
    }

    /// The service's name.
    pub fn service(&self) -> &str {
        self.text(SERVICE_NAME)
    }

    /// The paper of reports.
    pub fn paper(&self) -> Paper {
        Paper::of(self.settings.report_paper()).unwrap_or_default()
    }

    /// The language of the window.
    pub fn words(&self) -> Words {
        self.settings.language()
    }

    /// The language of reports.
    pub fn report_language(&self) -> Words {
        self.settings.report_language()
    }

    /// Who confirmed a language's translation for the service.
    pub fn confirmed_by(&self, words: Words) -> Option<&str> {
        self.settings.confirmed_by(words)
    }

    /// The operator's code.
    pub fn operator(&self) -> &str {
        self.text(OPERATOR)
    }

    /// The id of the order of sites.
    pub fn order(&self) -> &str {
        let order = self.text(ORDER);
        if sequence::ids().any(|id| id == order) { order } else { sequence::DEFAULT }
    }

    /// How the index is formed.
    pub fn method(&self) -> Method {
        let method = self.text(METHOD);
        Method::ALL.into_iter().find(|m| m.code() == method).unwrap_or_default()
    }

    /// The gauge's code.
    pub fn gauge(&self) -> &str {
        Some(self.text(GAUGE)).filter(|g| !g.is_empty()).unwrap_or(GAUGE_IN_USE)
    }

    /// The gauge's graduation, mmHg.
    pub fn graduation(&self) -> Mmhg {
        pressure(self.number(GRADUATION, 2, 1..=10))
    }

    /// The highest pressure that is pumped to: below the gauge's end.
    pub fn ceiling(&self) -> Mmhg {
        pressure(self.number(CEILING, 280, 200..=300))
    }

    /// Minutes of rest.
    pub fn rest_min(&self) -> u32 {
        self.number(REST, 10, 1..=30)
    }

    /// Seconds between two inflations of one limb (study manual: at least 30).
    pub fn wait_s(&self) -> u32 {
        self.number(WAIT, 30, 0..=300)
    }

    /// The probe's frequency, tenths of a megahertz; none until it was given once.
    pub fn probe(&self) -> Option<u32> {
        Some(self.number(PROBE, 0, 10..=200)).filter(|n| *n > 0)
    }

    /// The cuffs last put on: width and length for the arm, then for the ankle, millimetres; `None` until both were.
    pub fn cuffs(&self) -> Option<[u32; 4]> {
        Some(self.cuffs_put_on()).filter(|sizes| sizes.iter().all(|mm| *mm > 0))
    }

    /// The same with 0 for what was never put on.
    pub fn cuffs_put_on(&self) -> [u32; 4] {
        let sizes: Vec<u32> = self.text(CUFFS).split(',').filter_map(|n| n.parse().ok()).collect();
        sizes.try_into().unwrap_or_default()
    }

    /// Whether the codes of records end in a check character. Codes of most services do not.
    pub fn check_codes(&self) -> bool {
        self.text(CHECK_CODES) == "yes"
    }

    /// Whether sound is recorded.
    pub fn record(&self) -> bool {
        self.text(RECORD) != "no"
    }

    /// Which sound.
    pub fn sound(&self) -> Choice {
        Choice::remembered(&self.settings)
    }

    /// Whether a tone sounds at the return: only by cable, since a microphone would hear it.
    pub fn tone(&self) -> bool {
        self.say() == Say::FlashAndTone && self.sound().cable
    }

    /// Who switched guidance on, and which sets; none until somebody did.
    pub fn guidance(&self) -> Option<Switch> {
        let text = |key| self.settings.text(key);
        Switch::from_settings(text(switch::BY_KEY), text(switch::AT_KEY), text(switch::SETS_KEY))
            .ok()
    }

    /// The sets of guidance in use; none until a clinician switched guidance on.
    pub fn sets(&self) -> Vec<GuidanceSet> {
        let ids = self.guidance().map(|switch| switch.sets).unwrap_or_default();
        ids.iter().filter_map(|id| guidance::shipped(id)?.ok()).collect()
    }

    /// Changes one choice, as far as it is not fixed for this computer.
    pub fn change(&mut self, change: Change) {
        let _ = self.choose(change);
    }

    /// Changes one choice; where it is fixed for this computer nothing changes, and that is returned.
    pub fn choose(&mut self, change: Change) -> Option<Fixed> {
        let mut fixed = None;
        let confirmed = match &change {
            Change::Confirm(words, who) => self.settings.confirmations_with(*words, who),
            _ => String::new(),
        };
        let mut set = |key: &str, value: &str| {
            if self.settings.is_locked(key) {
                fixed = Some(Fixed(key.to_owned()));
            }
            self.settings.set_text(key, value);
        };
        match change {
            Change::Theme(theme) => set(THEME, theme.name()),
            Change::Scale(percent) => set(SCALE, &percent.to_string()),
            Change::Language(words) => set(LANGUAGE, words.tag()),
            Change::Confirm(..) => set(CONFIRMED_BY, &confirmed),
            Change::Tap(key) => set(TAP, key.name()),
            Change::Say(say) => set(SAY, say.code()),
            Change::Service(name) => set(SERVICE_NAME, &name),
            Change::Paper(paper) => set(REPORT_PAPER, paper.code()),
            Change::Operator(code) => set(OPERATOR, &code),
            Change::Order(id) => set(ORDER, &id),
            Change::Method(method) => set(METHOD, method.code()),
            Change::Gauge(code) => set(GAUGE, &code),
            Change::Graduation(mmhg) => set(GRADUATION, &mmhg.to_string()),
            Change::Ceiling(mmhg) => set(CEILING, &mmhg.to_string()),
            Change::Rest(minutes) => set(REST, &minutes.to_string()),
            Change::Wait(seconds) => set(WAIT, &seconds.to_string()),
            Change::Probe(tenths) => set(PROBE, &tenths.to_string()),
            Change::Cuffs(sizes) => set(CUFFS, &sizes.map(|n| n.to_string()).join(",")),
            Change::Record(yes) => set(RECORD, yes_no(yes)),
            Change::CheckCodes(yes) => set(CHECK_CODES, yes_no(yes)),
            Change::Device(id) => set(DEVICE_KEY, &id.unwrap_or_default()),
            Change::Channel(n) => {
                set(CHANNEL_KEY, &n.map_or("all".into(), |n| (n + 1).to_string()));
            }
            Change::Cable(cable) => set(LINK_KEY, if cable { "cable" } else { "microphone" }),
            Change::Through(to) => set(THROUGH_KEY, to.as_deref().unwrap_or("off")),
            Change::Headphones(yes) => set(HEADPHONES_KEY, yes_no(yes)),
            Change::Volume(percent) => set(VOLUME_KEY, &percent.min(100).to_string()),
            Change::GuidanceOn { by, at, sets } => {
                set(switch::BY_KEY, &by);
                set(switch::AT_KEY, &at.to_string());
                set(switch::SETS_KEY, &sets.join(","));
            }
            Change::GuidanceOff => set(switch::BY_KEY, ""),
        }
        fixed
    }
}

fn yes_no(yes: bool) -> &'static str {
    if yes { "yes" } else { "no" }
}

fn pressure(mmhg: u32) -> Mmhg {
    i32::try_from(mmhg).ok().and_then(|n| Mmhg::whole(n).ok()).unwrap_or(Mmhg::LIMIT)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_chosen_is_read_back_and_nonsense_gives_the_usual() {
        let mut choices = Choices::default();
        assert_eq!((choices.tap(), choices.scale()), (Key::Space, 100));
        assert_eq!(choices.ceiling().to_string(), "280");
        assert_eq!(choices.guidance(), None);
        choices.change(Change::Tap(Key::F9));
        choices.change(Change::Scale(150));
        choices.change(Change::Ceiling(260));
        choices.change(Change::Cuffs([120, 240, 110, 220]));
        choices.change(Change::Through(Some(String::new())));
        choices.change(Change::Cable(true));
        let at = Moment::parse("2026-11-25T09:00:00Z").unwrap();
        let sets = vec!["nice-cks".to_owned()];
        choices.change(Change::GuidanceOn { by: "Clinician 7".into(), at, sets });
        assert_eq!((choices.tap(), choices.scale()), (Key::F9, 150));
        assert_eq!(choices.ceiling().to_string(), "260");
        assert_eq!(choices.cuffs(), Some([120, 240, 110, 220]));
        assert_eq!(choices.guidance().unwrap().by, "Clinician 7");
        assert!(choices.sound().cable && choices.sound().through.is_some());
        assert_eq!((choices.sound().volume(), choices.tone()), (100, false));
        choices.change(Change::Volume(40));
        choices.change(Change::Say(Say::FlashAndTone));
        assert_eq!((choices.sound().volume(), choices.tone()), (40, true));
        choices.change(Change::Cable(false));
        assert!(!choices.tone(), "a microphone would hear it");
        choices.change(Change::GuidanceOff);
        assert_eq!(choices.guidance(), None);
        choices.change(Change::Tap(Key::Enter));
        choices.change(Change::Scale(9_000));
        choices.change(Change::Ceiling(999));
        assert_eq!((choices.tap(), choices.scale()), (Key::Space, 100));
        assert_eq!(choices.ceiling().to_string(), "280");
    }
}
