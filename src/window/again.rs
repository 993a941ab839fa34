//! A reading heard again: its sound as a picture, played at full or half speed, a beat over and over, beat by beat; and
//! what the needle and the index would have been at another moment. The mark can be moved; the old one stays on the trail.

use std::path::PathBuf;

use eframe::egui::{Ui, vec2};

use super::Now;
use super::action::{Action, Again as Do};
use super::ear::Ear;
use super::model::{Drive, Model};
use super::parts::{Weight, choice, finger, named_space, panel, scroll, strong, target, words};
use super::plot::{self, Overlay, Picture};
use super::theme::{Roles, size};
use crate::clinical::elsewhere::{Elsewhere, elsewhere};
use crate::clinical::event::{Act, Event, Made, SoundTime};
use crate::clinical::guidance::Set;
use crate::clinical::site::Site;
use crate::clinical::visit::Visit;
use crate::live::{Aloud, Hush, Piece, Plan, Snapshot};
use crate::logbook::{Recording, SoundState, VisitId};
use crate::units::SampleIndex;

/// Seconds of sound shown after the cursor.
const AHEAD_S: f64 = 4.0;
/// Seconds played before the cursor stops by itself.
const PLAYED_S: f64 = 30.0;
/// How many times as long half speed lasts.
const HALF: f64 = 2.0;

/// One reading that can be heard again.
#[derive(Debug, Clone)]
pub struct Item {
    /// Its attempt.
    pub attempt: u32,
    /// Where.
    pub site: Site,
    /// The reading.
    pub words: String,
    /// The tap that the reading belongs to.
    pub tap: SoundTime,
    /// Where its mark was moved afterwards.
    pub moved: Option<SoundTime>,
    /// The number of the event that made it.
    event: u64,
    file: PathBuf,
}

/// A visit that is heard again.
pub struct Again {
    /// The visit.
    pub visit: VisitId,
    /// What can be heard.
    pub items: Vec<Item>,
    /// Which of them is.
    pub chosen: usize,
    /// Its sound.
    pub piece: Option<Piece>,
    /// The moment that is looked at, seconds of the recording.
    pub cursor_s: f64,
    /// At half speed, same pitch.
    pub half: bool,
    /// One beat over and over.
    pub looped: bool,
    /// The mark is to be moved: asked once.
    pub asked: bool,
    /// What is amiss.
    pub said: Option<String>,
    playing: Option<Playing>,
}

struct Playing {
    ear: Ear,
    snapshot: Box<Snapshot>,
    from_s: f64,
    /// The length of what is played once, seconds of the recording.
    span_s: f64,
    times: f64,
}

impl Again {
    /// What of a visit can be heard again.
    pub fn of(id: VisitId, visit: &Visit, events: &[Event], recordings: &[Recording]) -> Self {
        let there = |epoch: u32| {
            let there = recordings.iter().filter(|r| r.state == SoundState::There);
            let of: Vec<_> = there.filter(|r| r.epoch == Some(epoch)).collect();
            // Where two recordings may be meant, neither is taken for the other.
            let [one] = of.as_slice() else { return None };
            Some(one.file.clone())
        };
        let items = visit.attempts.iter().filter_map(|attempt| {
            let (tap, (mark, _)) = (attempt.tapped?, attempt.mark?);
            Some(Item {
                attempt: attempt.number,
                site: attempt.site,
                words: format!("{} mmHg", attempt.reading()?),
                tap,
                moved: Some(mark).filter(|mark| *mark != tap),
                event: mark_event(events, attempt.number)?,
                file: there(tap.epoch)?,
            })
        });
        let items = items.collect();
        let mut again = Self {
            visit: id,
            items,
            chosen: 0,
            piece: None,
            cursor_s: 0.0,
            half: false,
            looped: false,
            asked: false,
            said: None,
            playing: None,
        };
        again.choose(0);
        again
    }

    fn item(&self) -> Option<&Item> {
        self.items.get(self.chosen)
    }

    fn choose(&mut self, n: usize) {
        self.stop();
        let Some(item) = self.items.get(n) else { return };
        (self.chosen, self.cursor_s, self.asked) = (n, item.tap.seconds(), false);
        match Piece::read(&item.file, self.cursor_s) {
            Ok(piece) => (self.piece, self.said) = (Some(piece), None),
            Err(said) => (self.piece, self.said) = (None, Some(said)),
        }
    }

    fn stop(&mut self) {
        self.playing = None;
    }

    /// Plays from the cursor; a loop plays from the beat before it to the one after.
    fn play(&mut self, now: Now, drive: Drive, output: Option<String>) {
        if self.playing.take().is_some() {
            return;
        }
        let Some(piece) = &self.piece else { return };
        let times = if self.half { HALF } else { 1.0 };
        let here = self.cursor_s;
        let (from_s, to_s) = if self.looped {
            let from_s = piece.beat_beside(here + 0.05, false).unwrap_or(here);
            (from_s, piece.beat_beside(from_s, true).unwrap_or(from_s + 1.0))
        } else {
            (here, (here + PLAYED_S).min(piece.to_s))
        };
        let clip = Box::new(piece.clip((from_s, to_s), times, self.looped));
        let aloud = Box::new(Aloud::new(clip, output, Hush::default()));
        let ear = match drive {
            Drive::Thread => Ear::run(aloud, Plan::default()),
            Drive::Stepped => Ok(Ear::stepped(aloud, Plan::default(), now.at)),
        };
        match ear {
            Ok(ear) => {
                let (span_s, snapshot) = (to_s - from_s, Box::new(Snapshot::new()));
                self.playing = Some(Playing { ear, snapshot, from_s, span_s, times });
            }
            Err(fault) => self.said = Some(fault.to_string()),
        }
    }

    /// Whether something is played.
    pub fn plays(&self) -> bool {
        self.playing.is_some()
    }

    /// The cursor follows what is played.
    pub fn tick(&mut self, now: Now) {
        let Some(playing) = &mut self.playing else { return };
        playing.ear.step(now.at, now.wall.utc());
        playing.ear.look(&mut playing.snapshot);
        while let Some(told) = playing.ear.poll() {
            if let crate::live::Event::NotThrough(said) = told.event {
                self.said = Some(super::model::sentence(&said));
            }
        }
        let played_s = playing.snapshot.sound_s / playing.times;
        if played_s >= playing.span_s - 0.05 && !self.looped {
            self.playing = None;
        } else {
            self.cursor_s = playing.from_s + played_s % playing.span_s.max(0.1);
        }
    }

    /// What the needle and the index would have been at the cursor.
    pub fn there(&self, visit: &Visit, sets: &[Set]) -> Option<Elsewhere> {
        let item = self.item()?;
        elsewhere(visit, item.attempt, self.cursor(item), sets)
    }

    fn cursor(&self, item: &Item) -> SoundTime {
        let sample = SampleIndex((self.cursor_s * f64::from(item.tap.rate_hz)).round() as u64);
        SoundTime { sample, ..item.tap }
    }

    /// Applies an act; gives one for the record where the mark is moved.
    pub fn apply(
        &mut self,
        act: Do,
        visit: &Visit,
        (now, drive, output): (Now, Drive, Option<String>),
    ) -> Option<Act> {
        if act != Do::Move {
            self.asked = false;
        }
        match act {
            Do::Choose(n) => self.choose(n),
            Do::Play => self.play(now, drive, output),
            Do::Half => {
                self.stop();
                self.half = !self.half;
            }
            Do::Loop => {
                self.stop();
                self.looped = !self.looped;
            }
            Do::Step(after) => {
                self.stop();
                let beat = self.piece.as_ref().and_then(|p| p.beat_beside(self.cursor_s, after));
                self.cursor_s = beat.unwrap_or(self.cursor_s);
            }
            Do::ToMark => {
                self.stop();
                self.cursor_s = self.item().map_or(self.cursor_s, |item| item.tap.seconds());
            }
            Do::Move if !self.asked => self.asked = true,
            Do::Move => return self.moved(visit),
        }
        None
    }

    fn moved(&mut self, visit: &Visit) -> Option<Act> {
        self.asked = false;
        let item = self.item()?;
        let attempt = visit.attempts.iter().find(|a| a.number == item.attempt)?;
        let (mark, made) = attempt.mark?;
        let (attempt, at) = (item.attempt, self.cursor(item));
        Some(Act::Amendment {
            of: item.event,
            old: Box::new(Act::Mark { attempt, at: mark, made }),
            new: Box::new(Act::Mark { attempt, at, made: Made::Afterwards }),
            who: visit.opened.operator.clone(),
            why: "moved in second hearing".into(),
        })
    }
}

/// The number of the event whose mark counts in an attempt.
fn mark_event(events: &[Event], number: u32) -> Option<u64> {
    let mut marks = Vec::new();
    for event in events {
        match &event.act {
            Act::Mark { attempt, .. } if *attempt == number => marks.push(event.n),
            Act::MarkTakenBack { attempt } if *attempt == number => drop(marks.pop()),
            _ => {}
        }
    }
    marks.pop()
}

pub(super) fn show(
    ui: &mut Ui,
    model: &Model,
    picture: &mut Picture,
    roles: Roles,
    out: &mut Vec<Action>,
) {
    let Some(again) = &model.again else { return };
    let Some(visit) = model.result_visit() else { return };
    ui.horizontal_wrapped(|ui| {
        strong(ui, "Hear again", size::TITLE, roles.ink);
        words(ui, &visit.opened.record, size::BODY, roles.quiet);
        if target(ui, roles, ("Back to the result", "Esc"), vec2(220.0, size::TARGET), Weight::Act)
        {
            out.push(Action::Go(super::action::Screen::Result));
        }
    });
    scroll("again").show(ui, |ui| {
        if again.items.is_empty() {
            return words(
                ui,
                "No reading of this visit has a tap and a recording that is still there.",
                size::BODY,
                roles.ink,
            );
        }
        ui.horizontal_wrapped(|ui| {
            for (n, item) in again.items.iter().enumerate() {
                let text =
                    format!("{}, {}", super::model::sentence(&item.site.to_string()), item.words);
                if choice(ui, roles, &text, again.chosen == n) {
                    out.push(Action::Again(Do::Choose(n)));
                }
            }
        });
        sound(ui, again, picture, roles);
        acts(ui, again, roles, out);
        panel(ui, roles, |ui| there(ui, model, again, visit, roles));
    });
}

fn sound(ui: &mut Ui, again: &Again, picture: &mut Picture, roles: Roles) {
    let Some(piece) = &again.piece else { return };
    let name =
        format!("The sound around {:.1} s, with {} beats", again.cursor_s, piece.beats.len());
    let (rect, _) = named_space(ui, vec2(ui.available_width(), 260.0), &name);
    let snapshot = piece.picture((again.cursor_s + AHEAD_S).min(piece.to_s));
    let overlay = Overlay {
        beats: piece.beats.clone(),
        lost_s: piece.lost_s,
        return_s: piece.return_s,
        tap_s: again.item().map(|item| item.tap.seconds()),
        cursor_s: Some(again.cursor_s),
        ..Overlay::default()
    };
    plot::sound(ui, roles, rect, (picture, &snapshot), &overlay);
}

fn acts(ui: &mut Ui, again: &Again, roles: Roles, out: &mut Vec<Action>) {
    ui.horizontal_wrapped(|ui| {
        let play = if again.plays() { "Stop" } else { "Play" };
        for (text, key, act) in [
            (play, "Space", Do::Play),
            ("Beat before", "Left", Do::Step(false)),
            ("Beat after", "Right", Do::Step(true)),
            ("To the tap", "T", Do::ToMark),
        ] {
            if target(ui, roles, (text, key), vec2(130.0, size::TARGET), Weight::Plain) {
                out.push(Action::Again(act));
            }
        }
        for (text, chosen, act) in [
            ("half speed (H)", again.half, Do::Half),
            ("one beat over and over (L)", again.looped, Do::Loop),
        ] {
            if choice(ui, roles, text, chosen) {
                out.push(Action::Again(act));
            }
        }
        let text = if again.asked { "Move it: once more" } else { "Move the mark here (M)" };
        if finger(ui, roles, text, if again.asked { Weight::Act } else { Weight::Plain }) {
            out.push(Action::Again(Do::Move));
        }
    });
    if let Some(said) = &again.said {
        words(ui, said, size::BODY, roles.act);
    }
    if again.asked {
        let text = "The old mark stays on the trail, and the reading as it is.";
        words(ui, text, size::BODY, roles.act);
    }
}

/// What would have been at the cursor, in words.
fn there(ui: &mut Ui, model: &Model, again: &Again, visit: &Visit, roles: Roles) {
    let Some(item) = again.item() else { return };
    let off_s = again.cursor_s - item.tap.seconds();
    let beside = match off_s {
        s if s.abs() < 0.005 => "Here is the tap.".to_owned(),
        s if s < 0.0 => format!("{:.2} s before the tap.", -s),
        s => format!("{s:.2} s after the tap."),
    };
    strong(ui, &beside, size::BODY, roles.ink);
    if let Some(moved) = item.moved {
        let text = format!(
            "The mark was moved to {:.2} s; the tap was at {:.2} s.",
            moved.seconds(),
            item.tap.seconds()
        );
        words(ui, &text, size::BODY, roles.ink);
    }
    match again.there(visit, &model.sets) {
        Some(there) => {
            there.words().iter().for_each(|said| words(ui, said, size::BODY, roles.ink));
        }
        None => words(ui, "What the needle showed here is not known.", size::BODY, roles.ink),
    }
    words(
        ui,
        "The listener's marks are dotted, the clinician's are solid. Ear and gauge are the record.",
        size::SMALL,
        roles.quiet,
    );
}
