//! Every key of the settings: what it may be, its default, and what it means.

/// One key.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SettingsKey {
    /// Table and name with a dot between.
    pub name: &'static str,
    /// What it may be.
    pub may_be: &'static str,
    /// The default.
    pub usual: &'static str,
    /// What it means.
    pub means: &'static str,
    /// Its value may name a person, a place or a device: it is left out of what is sent for support.
    pub private: bool,
    /// It is decided by each user: the computer's file does not set it.
    pub own: bool,
}

/// The key of the book's folder.
pub(super) const BOOK: &str = "book.folder";

const fn open(
    name: &'static str,
    may_be: &'static str,
    usual: &'static str,
    means: &'static str,
) -> SettingsKey {
    SettingsKey { name, may_be, usual, means, private: false, own: false }
}

const fn private(
    name: &'static str,
    may_be: &'static str,
    usual: &'static str,
    means: &'static str,
) -> SettingsKey {
    SettingsKey { name, may_be, usual, means, private: true, own: false }
}

/// Every key, in the order in which they are listed.
pub const KEYS: &[SettingsKey] = &[
    private(
        "service.name",
        "a text",
        "none",
        "The service's name in the head of reports and exports.",
    ),
    private("service.operator", "a code", "none", "Who measures: filled in for a new visit."),
    open(
        "service.order",
        "counter-clockwise, arms-first",
        "counter-clockwise",
        "The order in which the window asks for the sites.",
    ),
    open(
        "service.method",
        "higher, lower, mean, pt-only, same-side-arm",
        "higher",
        "How the index is formed from ankle and arm.",
    ),
    open(
        "service.check_codes",
        "yes, no",
        "no",
        "Whether record codes end in a check character, which is then checked.",
    ),
    open(
        "report.paper",
        "a4, letter",
        "the paper of the system's country",
        "The paper of reports.",
    ),
    open(
        "report.language",
        "a language, such as en or de",
        "the window's language",
        "The language of reports.",
    ),
    private(
        "report.language_confirmed_by",
        "a language and a name or code, such as de=K-7; several with commas",
        "none",
        "The clinician who confirmed the translation for the service; without one each report in it says that nobody has.",
    ),
    private("service.gauge", "a code", "in use", "The gauge that is read."),
    open("service.graduation", "1 to 10 mmHg", "2", "The gauge's graduation."),
    open(
        "service.ceiling",
        "200 to 300 mmHg",
        "280",
        "The highest pressure that is pumped to: below the gauge's end.",
    ),
    open(
        "service.rest",
        "1 to 30 minutes",
        "10",
        "How long the patient rests before the first cuff.",
    ),
    open(
        "service.wait",
        "0 to 300 seconds",
        "30",
        "How long one limb waits between two inflations.",
    ),
    open("service.probe", "10 to 200, tenths of a megahertz", "none", "The probe's frequency."),
    open(
        "service.cuffs",
        "four numbers with commas, millimetres",
        "none",
        "The cuffs last put on: width and length for the arm, then for the ankle.",
    ),
    private(
        "guidance.switched_on_by",
        "a name or code",
        "none",
        "The clinician who switched guidance on for the service; without one the window shows none.",
    ),
    open("guidance.switched_on_at", "a time, such as 2026-11-03T10:15:02+01:00", "none", "When."),
    open(
        "guidance.sets",
        "ids with commas, such as nice-cks,esc-2017",
        "none",
        "The sets that are shown, in this order.",
    ),
    private(
        "sound.device",
        "an id, as `cuffnote devices` lists it",
        "the system's own choice",
        "The input that is listened to.",
    ),
    open("sound.channel", "all, or a number from 1", "all", "Which channel of it."),
    open("sound.link", "microphone, cable", "microphone", "How the Doppler's sound comes in."),
    private(
        "sound.through",
        "off, usual, or an output's id",
        "off",
        "Where the sound is passed through to.",
    ),
    open(
        "sound.headphones",
        "yes, no",
        "no",
        "Whether that output is headphones; a microphone would howl before a loudspeaker.",
    ),
    open("sound.volume", "0 to 100 per cent", "100", "How loud the sound is passed through."),
    open("sound.record", "yes, no", "yes", "Whether the sound of a visit is recorded."),
    private(BOOK, "a folder", "the platform's data folder", "Where the record book lies."),
    private(
        "book.sync",
        "a folder",
        "none",
        "The shared folder that `cuffnote book sync` meets the other laptops in where none is named.",
    ),
    open(
        "window.language",
        "a language, such as en or de",
        "the system's language, else en",
        "The language of the window.",
    ),
    open("window.theme", "light, dark, dim", "dim", "The window's colours."),
    open("window.scale", "100 to 250 per cent", "100", "How large the window's words are."),
    open("window.tap", "a key, such as Space or F9", "Space", "The key of the tap."),
    open(
        "window.say",
        "nothing, flash, flash-and-tone",
        "nothing",
        "What the window does at the moment the listener hears the pulse come back.",
    ),
    SettingsKey {
        name: "window.cautions",
        may_be: "the version of the cautions",
        usual: "none",
        means: "Which version of the cautions was agreed to; each user does it at the first start.",
        private: false,
        own: true,
    },
];

/// The key of this name.
pub fn key(name: &str) -> Option<&'static SettingsKey> {
    KEYS.iter().find(|key| key.name == name)
}

/// All names, for a nearest right one.
pub fn near() -> impl Iterator<Item = &'static str> {
    KEYS.iter().map(|key| key.name)
}

/// Whether a lock's name, of a key or a whole table, covers a key.
pub(super) fn covers(lock: &str, key: &str) -> bool {
    key == lock || key.strip_prefix(lock).is_some_and(|rest| rest.starts_with('.'))
}

/// Whether a lock's name covers any key.
pub(super) fn names(lock: &str) -> bool {
    KEYS.iter().any(|key| covers(lock, key.name) && !key.own)
}
