//! The program around the model: keys in, a frame out, actions applied, the next frame asked for.

use std::time::Duration;

use eframe::egui::{self, CentralPanel, Context, Event, Frame, Key, Margin, Panel, ScrollArea, Ui};

use super::model::action::{Action, PractiseAct, Screen, VisitAct, Work};
use super::model::choices::Change;
use super::model::replay::Replay;
use super::model::{Model, Start};
use super::now::Now;
use super::parts::{banner, strong, words};
use super::plot::{Picture, Still};
use super::tap;
use super::theme::{self, Roles, Theme, size};
use super::{
    again, begin, cautions, history, keys, ledger, lesson, measure, prepare, result, setup, visits,
};
use crate::clinical::event::{Cuff, Limb};
use crate::clinical::site::Side;
use crate::conduct::AtSite;
use crate::live::{self, Input};
use crate::logbook::BookFault;

/// From one frame to the next while sound is shown.
const LIVELY: Duration = Duration::from_millis(50);
/// While only a clock runs.
const CALM: Duration = Duration::from_millis(500);
/// Narrower than this, the ledger goes below the rest.
const NARROW: f32 = 800.0;

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

/// Entries and pictures that are nobody's state but the screen's.
#[derive(Default)]
pub struct Desk {
    pub(super) picture: Picture,
    heard_again: Picture,
    mean_beat: Still,
    pub(super) supervisor: String,
    pub(super) due: String,
    pub(super) by: String,
    pub(super) sets: Vec<String>,
    pub(super) service: String,
    pub(super) gauge: String,
    pub(super) graduation: String,
    pub(super) probe: String,
    pub(super) ceiling: String,
    pub(super) rest: String,
    pub(super) wait: String,
    arm: CuffEntry,
    ankle: CuffEntry,
    inputs: Vec<Input>,
}

/// A cuff as it is typed, centimetres.
#[derive(Debug, Clone, Default)]
pub struct CuffEntry {
    pub(super) around: String,
    pub(super) width: String,
    pub(super) length: String,
}

impl CuffEntry {
    /// The cuff, where its sizes are numbers.
    pub(super) fn cuff(&self, side: Side, limb: Limb) -> Option<Cuff> {
        let mm = |text: &str| {
            let cm: f64 = text.trim().replace(',', ".").parse().ok()?;
            (1.0..=150.0).contains(&cm).then_some((cm * 10.0).round() as u32)
        };
        Some(Cuff {
            side,
            limb,
            circumference_mm: mm(&self.around),
            width_mm: mm(&self.width)?,
            length_mm: mm(&self.length)?,
        })
    }
}

impl Desk {
    fn of(model: &Model) -> Self {
        let c = &model.choices;
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

    pub(super) fn cuff(&mut self, limb: Limb) -> &mut CuffEntry {
        match limb {
            Limb::Arm => &mut self.arm,
            Limb::Ankle => &mut self.ankle,
        }
    }

    pub(super) fn inputs(&self) -> &[Input] {
        &self.inputs
    }

    pub(super) fn look_for_inputs(&mut self) {
        self.inputs = live::inputs().unwrap_or_default();
    }

    pub(super) fn toggle_set(&mut self, id: &str) {
        match self.sets.iter().position(|s| s == id) {
            Some(at) => drop(self.sets.remove(at)),
            None => self.sets.push(id.to_owned()),
        }
    }

    /// What was typed for the service; nonsense changes nothing.
    pub(super) fn service_changes(&self) -> Vec<Change> {
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

/// The window's program.
pub struct App {
    /// The state.
    pub model: Model,
    desk: Desk,
    clock: Box<dyn Fn() -> Now>,
    worn: Option<(Theme, u32)>,
    closing: bool,
}

impl App {
    /// A window over this model, in the time of `clock`.
    pub fn new(model: Model, clock: impl Fn() -> Now + 'static) -> Self {
        let desk = Desk::of(&model);
        Self { model, desk, clock: Box::new(clock), worn: None, closing: false }
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
        let roles = self.model.choices.theme().roles();
        self.paint(ui, roles, now, &mut actions);
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
        let typing = ctx.text_edit_focused();
        let focused = ctx.memory(|m| m.focused().is_some());
        let mut actions = Vec::new();
        let learning = self.model.learning;
        let (screen, locked) = (self.model.screen, self.model.locked);
        let tap = self.model.choices.tap();
        let looked_at = self.model.visit.held.is_none();
        let drilling = self.model.practice.running.is_some();
        let asking = self.model.visit.attempt().is_some_and(|current| current.asking_why);
        ctx.input_mut(|input| {
            input.events.retain(|event| {
                let Event::Key { key, pressed: true, repeat, modifiers, .. } = event else {
                    return true;
                };
                if modifiers.command || modifiers.alt {
                    return true;
                }
                if learning {
                    if tap::may_be_tap(*key) {
                        actions.push(Action::Choose(Change::Tap(*key)));
                    }
                    return false;
                }
                let found = match screen {
                    Screen::Measure if !typing => at_bedside(*key, tap, (locked, focused, asking)),
                    Screen::Practise if !typing && drilling => {
                        keys::practice(*key, tap, focused).map(Action::Practise)
                    }
                    Screen::Visits if !typing && !focused && *key == Key::N => {
                        Some(Action::Go(Screen::Begin))
                    }
                    Screen::Again => keys::replay(*key),
                    Screen::Result if !typing && *key == Key::Escape => Some(match looked_at {
                        true => Action::Visit(VisitAct::Leave),
                        false => Action::Go(Screen::Measure),
                    }),
                    _ => None,
                };
                match found {
                    // A key that is held is one act.
                    Some(action) => {
                        if !*repeat
                            || matches!(action, Action::Practise(PractiseAct::Work(Work::Turn(_))))
                        {
                            actions.push(action);
                        }
                        false
                    }
                    None => true,
                }
            });
        });
        if learning && !actions.is_empty() {
            self.model.learning = false;
        }
        actions
    }

    fn paint(&mut self, ui: &mut Ui, roles: Roles, now: Now, out: &mut Vec<Action>) {
        let model = &self.model;
        let desk = &mut self.desk;
        // Behind it is what the window is cleared with: the same colour, not filled twice.
        let frame = Frame::new().inner_margin(Margin::same(size::MARGIN as i8));
        let narrow = ui.available_width() < NARROW;
        let measuring = model.screen == Screen::Measure && !model.locked;
        if let (true, false, Some(held)) = (measuring, narrow, &model.visit.held) {
            let width = (ui.available_width() * 0.25).clamp(250.0, 420.0);
            let side = Frame::new().fill(roles.panel).inner_margin(Margin::same(16));
            Panel::left("ledger")
                .exact_size(width)
                .resizable(false)
                .show_separator_line(false)
                .frame(side)
                .show(ui, |ui| {
                    ScrollArea::vertical().show(ui, |ui| {
                        ledger::show(ui, model, held, roles, out);
                        ui.add_space(size::GRID);
                        ledger::foot(ui, model, held, roles);
                    });
                });
        }
        CentralPanel::default().frame(frame).show(ui, |ui| {
            for said in
                [&model.listening.alarm, &model.listening.not_recording].into_iter().flatten()
            {
                banner(ui, roles, said);
            }
            if let Some(notice) = &model.notice {
                strong(ui, notice, size::BODY, roles.act);
            }
            if model.locked {
                return measure::locked(ui, roles, out);
            }
            match model.screen {
                Screen::Cautions => cautions::show(ui, roles, out),
                Screen::Visits => visits::show(ui, model, roles, out),
                Screen::Begin => begin::show(ui, model, roles, out),
                Screen::Prepare => prepare::show(ui, model, desk, (roles, now), out),
                Screen::Result => result::show(ui, model, desk, roles, out),
                Screen::Again => {
                    let pictures = (&mut desk.heard_again, &mut desk.mean_beat);
                    again::show(ui, model, pictures, roles, out);
                }
                Screen::History => history::show(ui, model, roles, out),
                Screen::SetUp => setup::show(ui, model, desk, (roles, now), out),
                Screen::Practise => {
                    lesson::show(ui, &model.practice, &mut desk.heard_again, roles, out);
                }
                Screen::Measure if narrow => {
                    ScrollArea::vertical().show(ui, |ui| {
                        ui.set_min_height(620.0);
                        measure::show(ui, model, desk, (roles, now), out);
                        if let Some(held) = &model.visit.held {
                            ledger::show(ui, model, held, roles, out);
                            ledger::foot(ui, model, held, roles);
                        }
                    });
                }
                Screen::Measure => measure::show(ui, model, desk, (roles, now), out),
            }
            if model.visit.held.is_none() && model.screen == Screen::Measure {
                words(ui, "No visit is open.", size::BODY, roles.ink);
            }
        });
    }
}

/// What a key does while measuring. A focused target keeps its own Enter; the tap is taken always.
fn at_bedside(key: Key, tap: Key, (locked, focused, asking): (bool, bool, bool)) -> Option<Action> {
    if locked {
        return match keys::bedside(key, tap)? {
            Action::Lock => Some(Action::Unlock),
            found @ Action::Site(AtSite::Tap(_) | AtSite::Stop) => Some(found),
            _ => None,
        };
    }
    if asking && let Some(reason) = tap::digit(key).and_then(measure::reason) {
        return Some(Action::Site(AtSite::NotMeasured(reason.into())));
    }
    if focused && matches!(key, Key::Enter | Key::ArrowUp | Key::ArrowDown) {
        return None;
    }
    keys::bedside(key, tap)
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
    let options = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default()
            .with_title("Cuffnote")
            .with_app_id("cuffnote")
            .with_inner_size([1280.0, 800.0])
            .with_min_inner_size([640.0, 480.0]),
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
