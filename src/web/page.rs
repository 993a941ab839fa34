//! The program around practice in a browser: keys in, a frame out, acts applied, sound handed to the output.

use std::cell::RefCell;
use std::rc::Rc;
use std::time::Duration;

use eframe::egui::{self, CentralPanel, Context, Event, Frame, Margin, Ui};

use super::last;
use super::mirror::Mirror;
use super::output::PageOutput;
use super::place::BrowserPlace;
use crate::live::{Softly, WaitingSound};
use crate::practice::proof::PlayedDrill;
use crate::window::model::action::{Action, PractiseAct};
use crate::window::model::loud::Loudspeaker;
use crate::window::model::practice::{Around, Practice};
use crate::window::paint::theme::{self, Theme, size};
use crate::window::practice_keys::{self, PracticeKeys};
use crate::window::screens::canvas::Canvas;
use crate::window::screens::desk::Desk;
use crate::window::screens::mirrored::MirroredScreen;
use crate::window::screens::practice;
use crate::window::tap::TAP;
use crate::window::{Drive, Now};

/// From one frame to the next while sound is made.
const LIVELY: Duration = Duration::from_millis(50);
/// While nothing moves.
const CALM: Duration = Duration::from_millis(500);
/// Narrower than this, the margins give way.
const NARROW: f32 = 700.0;

/// What stands on every screen of the page.
pub const FOR_PRACTICE: &str =
    "For practice only: simulated patients. Nothing on this page is for use on patients.";

/// See the file's purpose.
pub struct Page {
    practice: Practice,
    desk: Desk,
    output: Rc<RefCell<PageOutput>>,
    waiting: WaitingSound,
    mirror: Mirror,
    theme: Theme,
    worn: Option<Theme>,
    told: usize,
}

impl Page {
    /// The page at its start.
    pub fn new() -> Self {
        let output: Rc<RefCell<PageOutput>> = Rc::default();
        let waiting = WaitingSound::default();
        let (into, out) = (waiting.clone(), output.clone());
        let loud: Loudspeaker = Rc::new(move |source, _, hush| {
            let to = out.borrow_mut().open();
            Box::new(Softly::new(source, hush, into.clone(), to))
        });
        let desk = Desk { mirror: Some(MirroredScreen::default()), ..Desk::default() };
        Self {
            practice: Practice::at(Rc::new(BrowserPlace), Drive::Stepped, Some(loud)),
            desk,
            output,
            waiting,
            mirror: Mirror::default(),
            theme: Theme::default(),
            worn: None,
            told: 0,
        }
    }

    /// Takes the keys that mean something here out of the frame's events; a field for text keeps its own.
    fn keys(&self, ctx: &Context) -> Vec<PractiseAct> {
        let Some(stage) = self.practice.stage().filter(|_| !ctx.text_edit_focused()) else {
            return Vec::new();
        };
        let focused = ctx.memory(|memory| memory.focused().is_some());
        let at = PracticeKeys { tap: TAP, focused, stage };
        let mut acts = Vec::new();
        ctx.input_mut(|input| {
            input.events.retain(|event| {
                let Event::Key { key, pressed: true, repeat, modifiers, .. } = event else {
                    return true;
                };
                if modifiers.command || modifiers.alt {
                    return true;
                }
                let Some(act) = practice_keys::meant(*key, &at) else { return true };
                if !*repeat || practice_keys::repeats(&act) {
                    acts.push(act);
                }
                false
            });
        });
        acts
    }

    fn paint(&mut self, ui: &mut Ui, now: Now) -> Vec<Action> {
        let mut actions = Vec::new();
        let roles = self.theme.roles();
        let margin = if ui.available_width() < NARROW { size::GRID } else { size::MARGIN };
        let frame = Frame::new().fill(roles.ground).inner_margin(Margin::same(margin as i8));
        let (practice, desk) = (&self.practice, &mut self.desk);
        CentralPanel::default().frame(frame).show(ui, |ui| {
            let mut c = Canvas { ui, roles, now, out: &mut actions, desk };
            c.words(FOR_PRACTICE, size::SMALL, roles.quiet);
            practice::show(&mut c, practice);
        });
        actions
    }

    /// Keeps what tests compare with the program.
    fn keep_last(&mut self) {
        let Some(running) = &self.practice.running else { return self.told = 0 };
        let done = running.session.drills.len();
        if done == self.told {
            return;
        }
        self.told = done;
        let played = running.drill.as_ref().and_then(|drill| Some((drill, drill.played.as_ref()?)));
        if let Some((drill, played)) = played {
            last::keep(PlayedDrill {
                case: drill.set.case.clone(),
                seed: drill.set.seed,
                cuff_mmhg: played.cuff_mmhg.clone(),
                score: running.session.drills.last().and_then(|done| done.score.clone()),
            });
        }
    }
}

impl eframe::App for Page {
    fn ui(&mut self, ui: &mut Ui, _: &mut eframe::Frame) {
        let now = Now::here();
        if self.worn != Some(self.theme) {
            theme::apply(ui.ctx(), self.theme);
            self.worn = Some(self.theme);
        }
        let around = Around { set: None, output: None };
        let pressed = self.keys(ui.ctx());
        self.practice.tick(&around, now);
        for act in pressed {
            self.practice.apply(act, &around, now);
        }
        if let Some(mirror) = &mut self.desk.mirror {
            mirror.pressed = self.mirror.pressed();
        }
        let actions = self.paint(ui, now);
        let touched = !actions.is_empty();
        for action in actions {
            if let Action::Practise(act) = action {
                self.practice.apply(act, &around, now);
            }
        }
        self.keep_last();
        if let Some(mirror) = &mut self.desk.mirror {
            self.mirror.set(std::mem::take(&mut mirror.parts));
        }
        if let Some(taken) = self.waiting.take() {
            self.output.borrow_mut().play(&taken);
        }
        let next = if self.practice.sounds() { LIVELY } else { CALM };
        ui.ctx().request_repaint_after(if touched { Duration::ZERO } else { next });
        last::count(now.at.elapsed().as_secs_f64());
    }

    fn clear_color(&self, _: &egui::Visuals) -> [f32; 4] {
        self.theme.roles().ground.to_normalized_gamma_f32()
    }
}
