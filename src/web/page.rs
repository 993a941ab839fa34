//! The program around practice in a browser: keys in, a frame out, acts applied, sound handed to the output.

use std::cell::RefCell;
use std::rc::Rc;
use std::time::Duration;

use eframe::egui::{self, CentralPanel, Context, Event, Frame, Margin, Ui};

use super::given::GivenFiles;
use super::mirror::Mirror;
use super::output::PageOutput;
use super::place::BrowserPlace;
use super::presses::Presses;
use super::steps::{self, SteppedPractice};
use super::{language, last};
use crate::live::{Softly, WaitingSound};
use crate::window::model::action::{Action, PractiseAct};
use crate::window::model::loud::Loudspeaker;
use crate::window::model::practice::Practice;
use crate::window::paint::theme::{self, Theme, size};
use crate::window::practice_keys::{self, PracticeKeys};
use crate::window::screens::canvas::Canvas;
use crate::window::screens::desk::Desk;
use crate::window::screens::mirrored::MirroredScreen;
use crate::window::screens::practice;
use crate::window::tap::TAP;
use crate::window::{Drive, Now};
use crate::words::id;

/// From one frame to the next while sound is made: no less, and no more.
const LIVELY_S: (f64, f64) = (0.066, 0.4);
/// So many times as long as the last frame held the thread, so that most of it stays free where painting is slow.
const REST: f64 = 3.0;
/// While nothing moves.
const CALM: Duration = Duration::from_millis(500);
/// Narrower than this, the margins give way.
const NARROW: f32 = 700.0;

/// See the file's purpose.
pub struct Page {
    stepped: Rc<RefCell<SteppedPractice>>,
    given: GivenFiles,
    presses: Presses,
    desk: Desk,
    mirror: Mirror,
    theme: Theme,
    worn: Option<Theme>,
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
        let words = language::of_browser();
        let mirror = Some(MirroredScreen::default());
        let desk = Desk { words, mirror, ..Desk::default() };
        let mut practice = Practice::at(Rc::new(BrowserPlace), Drive::Stepped, Some(loud));
        practice.words = words;
        let stepped = SteppedPractice::of(practice, output, waiting);
        steps::begin(stepped.clone());
        Self {
            stepped,
            given: GivenFiles::default(),
            presses: Presses::watched(),
            desk,
            mirror: Mirror::default(),
            theme: Theme::default(),
            worn: None,
        }
    }

    /// Takes the keys that mean something here out of the frame's events; a field for text keeps its own.
    fn keys(&self, ctx: &Context) -> Vec<PractiseAct> {
        let stage = self.stepped.borrow().practice.stage();
        let Some(stage) = stage.filter(|_| !ctx.text_edit_focused()) else {
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

    /// Files that were dropped on the page or chosen.
    fn files(&self, ctx: &Context) -> Vec<PractiseAct> {
        let dropped = ctx.input(|input| input.raw.dropped_files.clone());
        dropped.iter().filter_map(|file| file.web_file().cloned()).for_each(|f| self.given.read(f));
        let mut acts = Vec::new();
        for came in self.given.take() {
            match came {
                Ok(file) => acts.push(PractiseAct::Given(file)),
                Err(fault) => self.stepped.borrow_mut().practice.refuse(fault),
            }
        }
        acts
    }

    fn paint(&mut self, ui: &mut Ui, now: Now) -> Vec<Action> {
        let mut actions = Vec::new();
        let roles = self.theme.roles();
        let margin = if ui.available_width() < NARROW { size::GRID } else { size::MARGIN };
        let frame = Frame::new().fill(roles.ground).inner_margin(Margin::same(margin as i8));
        let (stepped, desk) = (self.stepped.borrow(), &mut self.desk);
        CentralPanel::default().frame(frame).show(ui, |ui| {
            let mut c = Canvas { ui, roles, now, out: &mut actions, desk };
            c.words(c.lang().plain(id!("practice-only")), size::SMALL, roles.quiet);
            practice::show(&mut c, &stepped.practice);
        });
        actions
    }
}

impl eframe::App for Page {
    fn ui(&mut self, ui: &mut Ui, _: &mut eframe::Frame) {
        if self.worn != Some(self.theme) {
            theme::apply(ui.ctx(), self.theme);
            self.worn = Some(self.theme);
        }
        let held_s = {
            let mut stepped = self.stepped.borrow_mut();
            let held_s = stepped.held_s();
            stepped.step();
            held_s
        };
        if ui.input(|input| input.pointer.any_pressed() || !input.keys_down.is_empty()) {
            self.stepped.borrow().open_output();
        }
        let begun = Now::here();
        let mut acts = self.keys(ui.ctx());
        acts.extend(self.files(ui.ctx()));
        for act in acts {
            let pressed = self.presses.by_key(&act);
            self.stepped.borrow_mut().apply(act, pressed);
        }
        if let Some(mirror) = &mut self.desk.mirror {
            mirror.pressed = self.mirror.pressed();
        }
        let actions = self.paint(ui, begun);
        let touched = !actions.is_empty();
        for action in actions {
            match action {
                Action::Practise(PractiseAct::AskFile) => self.given.ask(),
                Action::Practise(act) => {
                    let pressed = self.presses.by_pointer(&act);
                    self.stepped.borrow_mut().apply(act, pressed);
                }
                _ => {}
            }
        }
        if let Some(mirror) = &mut self.desk.mirror {
            self.mirror.set(std::mem::take(&mut mirror.parts));
        }
        let sounds = self.stepped.borrow().practice.sounds();
        let next = if sounds { lively(held_s) } else { CALM };
        ui.ctx().request_repaint_after(if touched { Duration::ZERO } else { next });
        last::count(begun.at.elapsed().as_secs_f64());
    }

    fn clear_color(&self, _: &egui::Visuals) -> [f32; 4] {
        self.theme.roles().ground.to_normalized_gamma_f32()
    }
}

/// When the next frame is painted while sound is made, by how long the last one held the thread, seconds.
fn lively(held_s: f64) -> Duration {
    Duration::from_secs_f64((REST * held_s).clamp(LIVELY_S.0, LIVELY_S.1))
}
