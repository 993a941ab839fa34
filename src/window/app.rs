//! The program around the model: keys in, a frame out, actions applied, the next frame asked for.

use std::time::Duration;

use eframe::egui::{self, CentralPanel, Context, Event, Frame, Margin, Panel, ScrollArea, Ui};

use super::keys::{self, KeyContext};
use super::model::action::{Action, Screen};
use super::model::choices::Change;
use super::model::replay::Replay;
use super::model::{Model, Start};
use super::now::Now;
use super::paint::icon;
use super::paint::theme::{self, Theme, size};
use super::screens::canvas::Canvas;
use super::screens::desk::Desk;
use super::screens::{
    begin, cautions, correct, history, ledger, measure, measure_small, practice, prepare, replay,
    result, setup, visits,
};
use super::tap;
use crate::logbook::BookFault;
use crate::words::id;

/// From one frame to the next while sound is shown.
const LIVELY: Duration = Duration::from_millis(50);
/// While only a clock runs.
const CALM: Duration = Duration::from_millis(500);
/// Narrower than this, the ledger goes below the rest.
const NARROW: f32 = 800.0;
/// Lower than this, measuring keeps only what is needed in view, and the rest scrolls.
const LOW: f32 = 420.0;

/// Why there is no window.
#[derive(Debug, thiserror::Error)]
pub enum WindowFault {
    /// The record book cannot be opened.
    #[error(transparent)]
    Book(#[from] BookFault),
    /// The system gives no window.
    #[error(
        "no window could be opened ({0}): it needs a screen; what needs none is told by `cuffnote help`"
    )]
    NoWindow(String),
}

/// What a library says of a fault, without the place in its source.
fn without_place(said: &str) -> &str {
    let behind = said.rsplit_once(".rs:").and_then(|(_, place)| place.split_once(": "));
    behind.map_or(said, |(_, words)| words.trim_end_matches('.'))
}

/// The window's program.
pub struct App {
    /// The state.
    pub model: Model,
    desk: Desk,
    clock: Box<dyn Fn() -> Now>,
    worn: Option<(Theme, u32)>,
    shown: Option<Screen>,
    closing: bool,
}

impl App {
    /// A window over this model, in the time of `clock`.
    pub fn new(model: Model, clock: impl Fn() -> Now + 'static) -> Self {
        let desk = Desk::of(&model.choices);
        Self { model, desk, clock: Box::new(clock), worn: None, shown: None, closing: false }
    }

    /// One frame.
    pub fn frame(&mut self, ui: &mut Ui) {
        let now = (self.clock)();
        self.dress(ui.ctx());
        let pressed = self.keys(ui.ctx());
        self.model.tick(now);
        // Before anything is painted: a tap is seen in this very frame.
        pressed.into_iter().for_each(|action| self.model.apply(action, now));
        let mut actions = Vec::new();
        self.paint(ui, now, &mut actions);
        let touched = !actions.is_empty();
        actions.into_iter().for_each(|action| self.model.apply(action, now));
        let again = self.model.shelf.replay.as_ref().is_some_and(Replay::plays);
        let sounds = self.model.listening.hears() || self.model.practice.sounds() || again;
        let lively = sounds && !self.closing;
        let next = if lively { LIVELY } else { CALM };
        ui.ctx().request_repaint_after(if touched { Duration::ZERO } else { next });
    }

    /// Puts theme and scale on where they changed.
    fn dress(&mut self, ctx: &Context) {
        let wanted = (self.model.choices.theme(), self.model.choices.scale());
        if self.worn != Some(wanted) {
            theme::apply(ctx, wanted.0);
            ctx.set_zoom_factor(wanted.1 as f32 / 100.0);
            self.worn = Some(wanted);
        }
    }

    /// Takes the keys that mean something here out of the frame's events; a field for text keeps its own.
    fn keys(&mut self, ctx: &Context) -> Vec<Action> {
        let model = &mut self.model;
        let at = KeyContext {
            screen: model.screen,
            tap: model.choices.tap(),
            words: model.words(),
            typing: ctx.text_edit_focused(),
            focused: ctx.memory(|m| m.focused().is_some()),
            locked: model.locked,
            asking: model.visit.attempt().is_some_and(|at| at.asking_why),
            finishing: model.visit.finishing,
            in_hand: model.visit.held.is_some(),
            practising: model.practice.stage(),
        };
        let learning = model.learning;
        let mut actions = Vec::new();
        ctx.input_mut(|input| {
            input.events.retain(|event| {
                let Event::Key { key, pressed: true, repeat, modifiers, .. } = event else {
                    return true;
                };
                if modifiers.command || modifiers.alt {
                    return true;
                }
                if learning {
                    let learnt = Some(*key).filter(|key| tap::may_be_tap(*key));
                    actions.extend(learnt.map(|key| Action::Choose(Change::Tap(key))));
                    return false;
                }
                let Some(action) = keys::meant(*key, &at) else { return true };
                // A key that is held is one act.
                if !*repeat || keys::repeats(&action) {
                    actions.push(action);
                }
                false
            });
        });
        if learning && !actions.is_empty() {
            model.learning = false;
        }
        actions
    }

    fn paint(&mut self, ui: &mut Ui, now: Now, out: &mut Vec<Action>) {
        let model = &self.model;
        let roles = model.choices.theme().roles();
        let desk = &mut self.desk;
        desk.words = model.words();
        desk.fresh = self.shown != Some(model.screen);
        if desk.fresh {
            // What had the keys on the screen before has them no longer.
            ui.memory_mut(|memory| {
                memory.focused().into_iter().for_each(|id| memory.surrender_focus(id))
            });
        }
        self.shown = Some(model.screen);
        // Behind it is what the window is cleared with: the same colour, not filled twice.
        let frame = Frame::new().inner_margin(Margin::same(size::MARGIN as i8));
        let narrow = ui.available_width() < NARROW;
        if !narrow && model.screen == Screen::Measure && !model.locked && model.visit.held.is_some()
        {
            let width = (ui.available_width() * 0.25).clamp(250.0, 420.0);
            let side = Frame::new().fill(roles.panel).inner_margin(Margin::same(16));
            let panel = Panel::left("ledger").exact_size(width).resizable(false);
            panel.show_separator_line(false).frame(side).show(ui, |ui| {
                let mut c = Canvas { ui, roles, now, out: &mut *out, desk: &mut *desk };
                c.scrolled(ScrollArea::vertical(), |c| {
                    ledger::show(c, model);
                    c.space(size::GRID);
                    ledger::foot(c, model);
                });
            });
        }
        CentralPanel::default().frame(frame).show(ui, |ui| {
            screen(&mut Canvas { ui, roles, now, out, desk }, model, narrow);
        });
    }
}

/// What is amiss, what was said, and the screen.
fn screen(c: &mut Canvas<'_>, model: &Model, narrow: bool) {
    model.listening.alarms(c.lang()).iter().for_each(|said| c.banner(said));
    if let Some(notice) = &model.notice {
        c.strong(notice, size::BODY, c.roles.act);
    }
    if model.locked {
        return measure::locked(c);
    }
    match model.screen {
        Screen::Cautions => cautions::show(c, model),
        Screen::Visits => visits::show(c, model),
        Screen::Begin => begin::show(c, model),
        Screen::Prepare => prepare::show(c, model),
        Screen::Result => result::show(c, model),
        Screen::Correct => correct::show(c, model),
        Screen::Again => replay::show(c, model),
        Screen::History => history::show(c, model),
        Screen::SetUp => setup::show(c, model),
        Screen::Practise => practice::show(c, &model.practice),
        Screen::Measure if narrow && c.ui.available_height() < LOW => {
            measure_small::show(c, model);
        }
        Screen::Measure if narrow => c.scrolled(ScrollArea::vertical(), |c| {
            c.ui.set_min_height(620.0);
            measure::show(c, model);
            ledger::show(c, model);
            ledger::foot(c, model);
        }),
        Screen::Measure => measure::show(c, model),
    }
    if model.visit.held.is_none() && model.screen == Screen::Measure {
        c.words(c.lang().plain(id!("window-no-visit")), size::BODY, c.roles.ink);
    }
}

impl eframe::App for App {
    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        self.frame(ui);
    }

    fn clear_color(&self, _visuals: &egui::Visuals) -> [f32; 4] {
        self.model.choices.theme().roles().ground.to_normalized_gamma_f32()
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        self.closing = true;
        self.model.close((self.clock)());
    }
}

/// Opens the window and runs it until it is closed.
///
/// # Errors
/// The book or the window could not be opened.
pub fn run(start: Start) -> Result<(), WindowFault> {
    let model = Model::new(start)?;
    let mut viewport = egui::ViewportBuilder::default()
        .with_title("Cuffnote")
        .with_app_id("cuffnote")
        .with_inner_size([1280.0, 800.0])
        .with_min_inner_size([640.0, 480.0]);
    if let Some(icon) = icon::icon() {
        viewport = viewport.with_icon(icon);
    }
    let options = eframe::NativeOptions {
        viewport,
        // A tap is shown as soon as it is painted; nothing here moves so that a torn frame would be seen.
        glow_options: eframe::egui_glow::GlowConfiguration { vsync: false, ..Default::default() },
        dithering: false,
        ..eframe::NativeOptions::default()
    };
    let made = eframe::run_native(
        "cuffnote",
        options,
        Box::new(|context| {
            theme::install_fonts(&context.egui_ctx);
            Ok(Box::new(App::new(model, Now::here)))
        }),
    );
    made.map_err(|e| WindowFault::NoWindow(without_place(&e.to_string()).to_owned()))
}
