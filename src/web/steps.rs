//! Practice stepped in the page's time: a timer goes on between frames, so that sound does not wait for painting.

use std::cell::RefCell;
use std::rc::Rc;

use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;

use super::last;
use super::output::PageOutput;
use crate::live::WaitingSound;
use crate::practice::proof::PlayedDrill;
use crate::units::Instant;
use crate::window::Now;
use crate::window::model::action::PractiseAct;
use crate::window::model::practice::{Around, Practice};

/// From one step to the next, milliseconds: several in what is set ahead.
const STEP_MS: i32 = 20;

/// What practice has around it in a page.
const AROUND: Around<'static> = Around { set: None, output: None };

/// Practice, and the output it plays on.
pub struct SteppedPractice {
    /// Practice.
    pub practice: Practice,
    output: Rc<RefCell<PageOutput>>,
    waiting: WaitingSound,
    told: usize,
    /// The last step, and the longest that one has waited since this was asked, seconds.
    stepped: Instant,
    waited_s: f64,
    /// What this has worked since the last step, seconds.
    worked_s: f64,
}

impl SteppedPractice {
    /// Practice that plays there what waits here.
    pub fn of(
        practice: Practice,
        output: Rc<RefCell<PageOutput>>,
        waiting: WaitingSound,
    ) -> Rc<RefCell<Self>> {
        let stepped = Instant::now();
        let (told, waited_s, worked_s) = (0, 0.0, 0.0);
        let of = Self { practice, output, waiting, told, stepped, waited_s, worked_s };
        Rc::new(RefCell::new(of))
    }

    /// Lets time come to now, and hands what was made to the output.
    pub fn step(&mut self) {
        let now = Now::here();
        let waited_s = (now.at - self.stepped).as_secs_f64();
        self.waited_s = self.waited_s.max(waited_s);
        self.stepped = now.at;
        self.practice.tick(&AROUND, now);
        self.keep_last();
        let mut output = self.output.borrow_mut();
        output.waited((waited_s - std::mem::take(&mut self.worked_s)).max(0.0));
        if let Some(taken) = self.waiting.take() {
            output.play(&taken, now.at);
            if let Some(delay_s) = output.delay_s() {
                self.waiting.set_delay(delay_s);
                last::set_sound(delay_s, output.gaps(), output.left_out_s());
            }
        }
        drop(output);
        self.worked_s += now.at.elapsed().as_secs_f64();
        last::count(now.at.elapsed().as_secs_f64());
    }

    /// Opens the output if it is not open yet: it takes a while, and a sound that waited for it would lose its beginning.
    pub fn open_output(&self) {
        self.output.borrow_mut().open();
    }

    /// By how much the latest step was late since this was last asked, seconds: so long the page's thread was held, which
    /// painting does where there is no graphics card.
    pub fn held_s(&mut self) -> f64 {
        (std::mem::take(&mut self.waited_s) - f64::from(STEP_MS) / 1000.0).max(0.0)
    }

    /// Applies an act of this moment.
    pub fn apply(&mut self, act: PractiseAct, now: Now) {
        let begun = Instant::now();
        self.practice.apply(act, &AROUND, now);
        self.worked_s += begun.elapsed().as_secs_f64();
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

/// Steps it from now on, as long as the page is there.
pub fn begin(stepped: Rc<RefCell<SteppedPractice>>) {
    let step = Closure::<dyn FnMut()>::new(move || {
        if let Ok(mut stepped) = stepped.try_borrow_mut() {
            stepped.step();
        }
    });
    if let Some(window) = web_sys::window() {
        let handler = step.as_ref().unchecked_ref();
        let _ = window.set_interval_with_callback_and_timeout_and_arguments_0(handler, STEP_MS);
    }
    // The page's own life long.
    step.forget();
}
