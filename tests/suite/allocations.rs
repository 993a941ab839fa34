//! Real-time rules: the callback, the worker's step and the sound passed through allocate nothing while they run.

use std::alloc::{GlobalAlloc, Layout, System};
use std::cell::Cell;
use std::sync::Arc;
use std::time::{Duration, Instant};

use cuffnote::audio::callback;
use cuffnote::audio::spout::{Shape, Spout};
use cuffnote::live::{LiveEvent, Pace, Plan, Shared, SimSupply, Snapshot, Stepped, Worker};
use cuffnote::signal::Clearer;
use cuffnote::sim;
use cuffnote::units::{SampleCount, SampleRate};
use jiff::Timestamp;

use super::fake::{FakeDevice, Happening};

/// The system's allocator, counting for threads that asked for it.
struct Counting;

thread_local! {
    static COUNTS: Cell<Option<u64>> = const { Cell::new(None) };
    /// Bytes held since it was asked, and the most of them.
    static HELD: Cell<Option<(i64, i64)>> = const { Cell::new(None) };
}

fn hold(bytes: i64) {
    let _ = HELD.try_with(|held| {
        held.set(held.get().map(|(now, most)| (now + bytes, most.max(now + bytes))));
    });
}

fn count() {
    let _ = COUNTS.try_with(|counts| counts.set(counts.get().map(|n| n + 1)));
}

// SAFETY: every call goes unchanged to the system's allocator; the counter is a plain cell of the thread.
unsafe impl GlobalAlloc for Counting {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        count();
        hold(layout.size() as i64);
        unsafe { System.alloc(layout) }
    }

    unsafe fn dealloc(&self, pointer: *mut u8, layout: Layout) {
        hold(-(layout.size() as i64));
        unsafe { System.dealloc(pointer, layout) }
    }

    unsafe fn realloc(&self, pointer: *mut u8, layout: Layout, size: usize) -> *mut u8 {
        count();
        hold(size as i64 - layout.size() as i64);
        unsafe { System.realloc(pointer, layout, size) }
    }
}

#[global_allocator]
static ALLOCATOR: Counting = Counting;

/// Allocations of this thread while `work` runs.
fn allocations(work: impl FnOnce()) -> u64 {
    COUNTS.with(|counts| counts.set(Some(0)));
    work();
    COUNTS.with(|counts| counts.replace(None)).unwrap_or(0)
}

/// The most bytes that this thread held at a time while `work` ran, more than before it.
pub fn most_held(work: impl FnOnce()) -> i64 {
    HELD.with(|held| held.set(Some((0, 0))));
    work();
    HELD.with(|held| held.replace(None)).map_or(0, |(_, most)| most)
}

#[test]
fn the_counter_counts() {
    assert!((1000..2000).contains(&most_held(|| drop(std::hint::black_box(vec![0u8; 1000])))));
    assert_eq!(allocations(|| drop(std::hint::black_box(Box::new(1)))), 1);
    assert!(allocations(|| drop(std::hint::black_box(vec![0u8; 100]))) > 0);
    assert_eq!(allocations(|| ()), 0);
}

#[test]
fn callback_and_worker_allocate_nothing_over_minutes_of_sound() {
    let rate = SampleRate::new(48_000).unwrap();
    let case = sim::scenario::load("plain").unwrap().case(None).unwrap().clone();
    let made = sim::render(&sim::Case { rate_hz: 48_000, ..case }, 3);
    let begin = Instant::now();
    let shared = Arc::new(Shared::new(begin));
    // Two deflations and more, with a gap in between.
    let gap = Happening::Skip { at_s: 20.0, seconds: 0.05 };
    let device = FakeDevice::new(rate, 1, made.samples.clone(), vec![gap]);
    let mut worker = Worker::new(Box::new(device), Plan::default(), shared.clone());
    let wall = Timestamp::now();
    let mut snapshot = Snapshot::new();
    let (mut now, mut found) = (begin, 0);
    let mut step = |now: Instant| worker.step(now, wall + (now - begin));
    // Opening allocates; the first frames are still part of it.
    for _ in 0..200 {
        now += Duration::from_millis(10);
        step(now);
    }
    let counted = allocations(|| {
        for _ in 0..12_000 {
            now += Duration::from_millis(10);
            assert_ne!(step(now), Stepped::Over);
            shared.look(&mut snapshot);
            while let Some(told) = shared.poll() {
                found += u32::from(matches!(
                    told.event,
                    LiveEvent::Heard { .. } | LiveEvent::Gap { .. }
                ));
            }
        }
    });
    assert_eq!(counted, 0);
    assert!(found > 50, "{found}");
    assert!(snapshot.sound_s > 120.0);
}

#[test]
fn a_simulated_patient_through_the_worker_tells_the_same_as_the_listener_alone() {
    let case = sim::scenario::load("plain").unwrap().case(None).unwrap().clone();
    let made = sim::render(&case, 9);
    let rate = SampleRate::new(made.rate_hz).unwrap();
    let mut listener = cuffnote::signal::Listener::new(rate, made.channels);
    listener.push(&made.samples);
    listener.finish();
    let alone: Vec<_> = std::iter::from_fn(|| listener.poll()).collect();
    let shared = Arc::new(Shared::new(Instant::now()));
    let supply = SimSupply::new(case, 9, Pace::Fast);
    let mut worker = Worker::new(Box::new(supply), Plan::default(), shared.clone());
    let mut heard = Vec::new();
    while worker.step(Instant::now(), Timestamp::now()) != Stepped::Over {
        while let Some(told) = shared.poll() {
            if let LiveEvent::Heard { finding, .. } = told.event {
                heard.push(finding);
            }
        }
    }
    while let Some(told) = shared.poll() {
        if let LiveEvent::Heard { finding, .. } = told.event {
            heard.push(finding);
        }
    }
    assert!(!heard.is_empty());
    assert_eq!(heard, alone);
}

/// The clearer sound as the output's callback gets it.
struct Clear(Clearer);

impl Shape for Clear {
    fn run(&mut self, mono: &mut [f32]) {
        self.0.run(mono);
    }

    fn delay(&self) -> SampleCount {
        self.0.delay()
    }
}

#[test]
fn the_sound_passed_through_allocates_nothing() {
    let rate = SampleRate::new(44_100).unwrap();
    let (mut ear, readers) = callback::open(rate, 2, true);
    let shape: Option<Box<dyn Shape>> = Some(Box::new(Clear(Clearer::new(rate))));
    let out = SampleRate::new(48_000).unwrap();
    let from = readers.through.unwrap();
    let mut spout = Spout::new(from, (rate, 2), out, SampleCount(529), shape).unwrap();
    let input: Vec<i16> = (0..882).map(|n| (n * 37 % 2_000) as i16).collect();
    let mut output = vec![0i16; 480 * 2];
    let mut loudest = 0;
    let counted = allocations(|| {
        for _ in 0..3_000 {
            ear.take(&input, 0, 0);
            spout.fill(&mut output, 2);
            loudest = output.iter().map(|x| x.abs()).fold(loudest, i16::max);
        }
    });
    assert_eq!(counted, 0);
    assert!(loudest > 100);
}
