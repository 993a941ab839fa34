//! Pulses of another make for the strangers of [`super::wide`]: bursts of coloured noise in a heart's rhythm,
//! with no artery, cuff law or Doppler equation behind them, laid over a room and hand without an artery.

use crate::sim::{
    Biquad, CELL_S, Case, CellMeter, Chance, HEARD, Never, NoiseRecord, Rendered, TrueOpening,
    d_prime_squared, first_heard, render,
};

/// The rate of these sounds, samples a second, and of a cell.
const RATE_HZ: f64 = 16_000.0;
const CELL: usize = (CELL_S * RATE_HZ) as usize;

/// How every burst of one stranger sounds.
struct Voice {
    low: Biquad,
    high: Biquad,
    top: Biquad,
    attack_s: f64,
    fall_s: f64,
    lasts_s: f64,
    /// How a first burst compares with a grown one in length.
    first_length: f64,
    /// Share of the higher band, at the onset and later.
    bright: (f64, f64),
    /// A second, weaker burst in each beat: how much later, how loud.
    second: Option<(f64, f64)>,
}

impl Voice {
    fn drawn(chance: &mut Chance) -> Self {
        let low_hz = chance.log_between(180.0, 1_400.0);
        let high_hz = low_hz * chance.log_between(1.2, 3.0);
        let q = chance.log_between(0.35, 3.0);
        Self {
            low: Biquad::band_pass(low_hz, q),
            high: Biquad::band_pass(high_hz.min(3_200.0), q),
            top: Biquad::low_pass(chance.log_between(900.0, 6_000.0), 0.7),
            attack_s: chance.log_between(0.004, 0.09),
            fall_s: chance.log_between(0.02, 0.2),
            lasts_s: chance.log_between(0.03, 0.4),
            first_length: chance.between(0.25, 1.0),
            bright: (chance.uniform(), chance.uniform()),
            second: chance.happens(0.3).then(|| {
                let louder = chance.between(0.1, 0.5);
                (chance.between(0.15, 0.4), louder)
            }),
        }
    }

    /// Adds one burst at `at_s`; `grown` is 0 for a first one and 1 for a free one. Returns its end, seconds.
    fn sing(
        &self,
        chance: &mut Chance,
        track: &mut [f32],
        at_s: f64,
        loud: f64,
        grown: f64,
    ) -> f64 {
        let lasts_s = self.lasts_s * (self.first_length + (1.0 - self.first_length) * grown);
        let whole_s = self.attack_s + lasts_s + 3.0 * self.fall_s;
        let from = (at_s * RATE_HZ) as usize;
        let count = (whole_s * RATE_HZ) as usize;
        let noise = chance.white(count);
        let (mut low, mut high, mut top) = (self.low, self.high, self.top);
        for (i, (to, x)) in track.iter_mut().skip(from).zip(&noise).enumerate() {
            let t = i as f64 / RATE_HZ;
            let rise = (t / self.attack_s).min(1.0);
            let fall = libm::exp(-(t - self.attack_s - lasts_s).max(0.0) / self.fall_s);
            let part = (t / (self.attack_s + lasts_s)).min(1.0);
            let bright = self.bright.0 + (self.bright.1 - self.bright.0) * part;
            let x = f64::from(*x);
            let sound = (1.0 - bright) * low.step(x) + bright * high.step(x);
            *to += (loud * rise * rise * (3.0 - 2.0 * rise) * fall * top.step(sound)) as f32;
        }
        at_s + self.attack_s + lasts_s + self.fall_s
    }
}

/// When the heart beats, seconds.
fn beats(chance: &mut Chance, until_s: f64) -> Vec<f64> {
    let interval_s = chance.log_between(0.44, 1.5);
    let (jitter, early) =
        (chance.pick(&[0.01, 0.02, 0.04, 0.06, 0.2]), chance.pick(&[0.0, 0.0, 0.12]));
    let (mut at_s, mut found) = (chance.between(0.0, interval_s), Vec::new());
    while at_s < until_s {
        found.push(at_s);
        let premature = chance.happens(early);
        let share = if premature { chance.between(0.55, 0.8) } else { 1.0 };
        at_s += (interval_s * share * libm::exp(jitter * chance.normal())).max(0.3);
        if premature {
            at_s += interval_s * (1.0 - share);
        }
    }
    found
}

/// The amplitude of each beat (0: none) and how grown it is: free, then closed, then returning or not.
fn course(
    chance: &mut Chance,
    beats: &[f64],
    pump_s: f64,
    top_s: f64,
    end_s: f64,
) -> Vec<(f64, f64)> {
    let closes_s = pump_s + chance.between(0.2, 0.95) * (top_s - pump_s).max(0.5);
    let room_s = end_s - top_s;
    let returns = chance.happens(0.68) && room_s > 5.0;
    let back_s = if returns { top_s + chance.between(0.15, 0.75) * room_s } else { f64::INFINITY };
    let free = !chance.happens(0.12);
    let growth = chance.log_between(0.3, 9.0);
    let (uneven, missed) = (chance.between(0.0, 0.25), chance.between(0.0, 0.2));
    let (breath, breath_s) = (chance.between(0.0, 0.4), chance.between(2.5, 7.0));
    let mut since = 0;
    let each = |&at: &f64| {
        let swing = 1.0 - breath * (0.5 + 0.5 * libm::sin(std::f64::consts::TAU * at / breath_s));
        let loud = swing * libm::exp(uneven * chance.normal());
        if at < closes_s {
            let left = ((closes_s - at) / (closes_s - pump_s)).clamp(0.0, 1.0);
            return if free { (loud * libm::sqrt(left), 1.0) } else { (0.0, 1.0) };
        }
        if at < back_s {
            return (0.0, 0.0);
        }
        since += 1;
        let grown = 1.0 - libm::exp(-f64::from(since) / growth);
        let silent = since > 1 && since < 6 && chance.happens(missed);
        (if silent { 0.0 } else { loud * grown }, grown)
    };
    beats.iter().map(each).collect()
}

/// Renders the case without an artery and lays such pulses over it, with a truth of their own.
pub fn over(chance: &mut Chance, case: Case) -> Rendered {
    let snr_db = case.snr_db;
    let case = Case {
        never: Some(Never::NoArtery),
        rate_hz: RATE_HZ as u32,
        clip_db: None,
        level_dbfs: -32.0,
        ..case
    };
    let mut made = render(&case, chance.word());
    let (pump_s, top_s) =
        made.truth.inflations.first().map_or((3.0, 6.0), |i| (i.pump_start_s, i.top_s));
    let end_s = made.truth.duration_s.max(made.samples.len() as f64 / RATE_HZ);
    let beats = beats(chance, end_s);
    let course = course(chance, &beats, pump_s, top_s, end_s);
    let voice = Voice::drawn(chance);
    let mut meter = CellMeter::default();
    let mut track = vec![0.0f32; made.samples.len()];
    let mut spans = Vec::new();
    for (&at_s, &(loud, grown)) in beats.iter().zip(&course).filter(|(_, c)| c.0 > 0.02) {
        let span_end = voice.sing(chance, &mut track, at_s, loud, grown);
        spans.push((at_s, span_end));
        if let Some((later_s, share)) = voice.second
            && grown > 0.5
        {
            voice.sing(chance, &mut track, at_s + later_s, loud * share, grown);
        }
    }
    let (pulse, noise) = (meter.active_power(&track), meter.active_power(&made.samples));
    let wanted = noise * libm::pow(10.0, snr_db.min(24.0) / 10.0);
    let gain = if pulse > 0.0 { libm::sqrt(wanted / pulse) as f32 } else { 0.0 };
    track.iter_mut().for_each(|x| *x *= gain);
    let openings = openings(&spans, &track, &made.samples, top_s);
    made.samples.iter_mut().zip(&track).for_each(|(x, p)| *x += p);
    let peak = made.samples.iter().fold(1e-9f32, |a, x| a.max(x.abs()));
    let level = (libm::pow(10.0, chance.between(-40.0, 0.0) / 20.0) as f32) / peak;
    made.samples.iter_mut().for_each(|x| *x *= level);
    tell(&mut made, beats, openings, top_s);
    made
}

/// Each burst with its d', by the powers measured in pulse and noise apart.
fn openings(spans: &[(f64, f64)], pulse: &[f32], noise: &[f32], top_s: f64) -> Vec<TrueOpening> {
    let mut meter = CellMeter::default();
    let mut record = NoiseRecord::default();
    noise.chunks_exact(CELL).for_each(|frame| record.push(meter.measure(frame)));
    let mut found = Vec::new();
    for &(onset_s, end_s) in spans {
        let from = (onset_s * RATE_HZ) as usize;
        let until = ((end_s * RATE_HZ) as usize).min(pulse.len());
        let mut sum = 0.0;
        for (n, frame) in pulse[from.min(until)..until].chunks(CELL).enumerate() {
            let power = meter.measure(frame);
            let local = record.local(onset_s + n as f64 * CELL_S);
            // One draw of a cell's power is exponential; the mean over neighbours is near its expectation.
            let cells = (0..power.len()).map(|k| {
                let near = &power[k.saturating_sub(4)..(k + 5).min(power.len())];
                (f64::from(near.iter().sum::<f32>()) / near.len() as f64, local[k])
            });
            sum += d_prime_squared(cells);
        }
        let free = onset_s < top_s;
        let d_prime = libm::sqrt(sum);
        found.push(TrueOpening { onset_s, end_s, cuff_mmhg: 0.0, d_prime, free });
    }
    found
}

/// Enters the bursts into the truth.
fn tell(made: &mut Rendered, beats: Vec<f64>, openings: Vec<TrueOpening>, top_s: f64) {
    let truth = &mut made.truth;
    let beat_s = match beats.as_slice() {
        [first, .., last] => (last - first) / (beats.len() - 1) as f64,
        _ => 0.8,
    };
    truth.heart_rate_bpm = 60.0 / beat_s;
    truth.never = None;
    let closed = openings.iter().rfind(|o| o.onset_s <= top_s).map(|o| o.end_s);
    let after: Vec<&TrueOpening> = openings.iter().filter(|o| o.onset_s > top_s).collect();
    let onsets: Vec<f64> = after.iter().map(|o| o.onset_s).collect();
    let plain: Vec<f64> = after.iter().map(|o| o.d_prime).collect();
    let heard = first_heard(&onsets, &plain, beat_s).map(|n| onsets[n]);
    if let Some(inflation) = truth.inflations.first_mut() {
        inflation.closed_s = closed;
        inflation.first_opening_s = onsets.first().copied();
        inflation.audible_s = heard;
        inflation.audible_mmhg = heard.map(|_| 0.0);
        truth.audible_s = heard;
        truth.audible_mmhg = inflation.audible_mmhg;
        debug_assert!(heard.is_none() || plain.iter().any(|d| *d >= HEARD));
    }
    (truth.beats, truth.openings) = (beats, openings);
}
