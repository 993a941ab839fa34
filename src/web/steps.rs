//! Practice stepped in the page's time: a timer goes on between frames, so that sound does not wait for painting.

use std::cell::RefCell;
use std::rc::Rc;

use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;

use super::last;
use super::output::PageOutput;
use crate::live::WaitingSound;
use crate::practice::proof::PlayedDrill;
use crate::window::Now;
use crate::window::model::action::PractiseAct;
use crate::window::model::practice::{Around, Practice};

/// From one step to the next, milliseconds: several in what is set ahead.
const STEP_MS: i32 = 20;

/// What practice has around it in a page.
const AROUND: Around<'static> = Around { set: None, output: None };

/// Practice, and the output it plays on.
pub struct Stepped {
    /// Practice.
    pub practice: Practice,
    output: Rc<RefCell<PageOutput>>,
    waiting: WaitingSound,
    told: usize,
}

impl Stepped {
    /// Practice that plays there what waits here.
    pub fn of(
        practice: Practice,
        output: Rc<RefCell<PageOutput>>,
        waiting: WaitingSound,
    ) -> Rc<RefCell<Self>> {
        Rc::new(RefCell::new(Self { practice, output, waiting, told: 0 }))
    }

    /// Lets time come to now, and hands what was made to the output.
    pub fn step(&mut self) {
        let now = Now::here();
        self.practice.tick(&AROUND, now);
        self.keep_last();
        if let Some(taken) = self.waiting.take() {
            let mut output = self.output.borrow_mut();
            output.play(&taken);
            if let Some(delay_s) = output.delay_s() {
                self.waiting.set_delay(delay_s);
                last::set_delay(delay_s);
            }
        }
        last::count(now.at.elapsed().as_secs_f64());
    }

    /// Applies an act.
    pub fn apply(&mut self, act: PractiseAct) {
        self.practice.apply(act, &AROUND, Now::here());
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
pub fn begin(stepped: Rc<RefCell<Stepped>>) {
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
