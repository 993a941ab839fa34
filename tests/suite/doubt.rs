//! The doubt against the outside: a published GUM example, the table of Student's t, and Monte Carlo
//! (JCGM 101:2008) on the same model, sampled independently of the propagation under test.

use cuffnote::clinical::exact::Hundredths;
use cuffnote::clinical::site::Site;
use cuffnote::clinical::uncertainty::{
    Component, GAIN_LIMIT, GAUGE_LIMIT_MMHG, SiteInput, combine, of_pressure, of_ratio, student_95,
};
use proptest::prelude::*;
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

fn component(standard: f64, dof: Option<f64>) -> Component {
    Component { name: "part".into(), site: None, standard, dof }
}

#[test]
fn gum_h1_end_gauge_calibration() {
    // JCGM 100:2008, H.1, table H.1, first-order terms in nm (numbers from memory): u(ls) 25 with 18 degrees
    // of freedom, u(d) 9.7 with 25.6, theta-bar term 2.9 with 50 and 16.6 with 2. Printed: uc = 32, 16.
    let parts = [
        component(25.0, Some(18.0)),
        component(9.7, Some(25.6)),
        component(2.9, Some(50.0)),
        component(16.6, Some(2.0)),
    ];
    let combined = combine(&parts);
    assert_eq!(combined.standard.round(), 32.0);
    assert_eq!(combined.dof.unwrap().trunc(), 16.0);
    assert_eq!(combined.coverage_factor, 2.12);
}

#[test]
fn students_t_for_95_percent() {
    // GUM table G.2 (the same as any printed t table, two-sided 95 %).
    for (dof, t) in
        [(1.0, 12.71), (2.0, 4.30), (5.0, 2.57), (10.0, 2.23), (19.9, 2.09), (30.0, 2.04)]
    {
        assert_eq!(student_95(Some(dof)), t);
    }
    // Between two tabulated values the smaller one, that is the wider factor, is taken (GUM G.4.1, note 1).
    assert_eq!(student_95(Some(24.9)), 2.09);
    assert_eq!(student_95(None), 1.96);
}

fn input(site: &str, reading: f64, late: f64, lag: f64, gauge: &str) -> SiteInput {
    SiteInput {
        site: site.parse::<Site>().unwrap(),
        readings_mmhg: vec![reading],
        graduation_mmhg: 2.0,
        beat_mmhg: late,
        lag_mmhg: lag,
        own_sd_mmhg: 0.0,
        gauge: gauge.into(),
    }
}

struct Chance(ChaCha8Rng);

impl Chance {
    fn within(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.0.next_u64() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// A true pressure behind a reading: the gauge's two errors given, the rest drawn.
    fn truth(&mut self, i: &SiteInput, (zero, gain): (f64, f64)) -> f64 {
        let half = i.graduation_mmhg / 2.0;
        let late = self.within(0.0, i.beat_mmhg) + self.within(0.0, i.lag_mmhg);
        let own = (0..12).map(|_| self.within(-0.5, 0.5)).sum::<f64>() * i.own_sd_mmhg;
        (i.readings_mmhg[0] + late) * (1.0 + gain) + zero + self.within(-half, half) + own
    }

    fn gauge(&mut self) -> (f64, f64) {
        (self.within(-GAUGE_LIMIT_MMHG, GAUGE_LIMIT_MMHG), self.within(-GAIN_LIMIT, GAIN_LIMIT))
    }
}

#[test]
fn propagation_agrees_with_monte_carlo() {
    // JCGM 101: 100,000 draws; the 2.5 % and 97.5 % quantiles against the propagated ends.
    let mut chance = Chance(ChaCha8Rng::seed_from_u64(101));
    for (ankle, arm, late, lag, two_gauges) in [
        (104.0, 148.0, 3.0, 3.0, false),
        (90.0, 140.0, 3.0, 2.0, false),
        (150.0, 148.0, 3.0, 1.5, false),
        (60.0, 120.0, 2.0, 1.0, false),
        (190.0, 130.0, 6.0, 3.0, false),
        (104.0, 148.0, 3.0, 3.0, true),
    ] {
        let mut over = input("right-dp", ankle, late, lag, if two_gauges { "g2" } else { "g1" });
        let mut under = input("right-arm", arm, late, lag, "g1");
        // One of the cases has a patient whose pressure moves from beat to beat, nearly as a normal draw.
        if ankle == 90.0 {
            (over.own_sd_mmhg, under.own_sd_mmhg) = (2.4, 2.4);
        }
        let reported = Hundredths((100.0 * ankle / arm).round() as i32);
        let doubt = of_ratio(std::slice::from_ref(&over), std::slice::from_ref(&under), reported);
        let doubt = doubt.unwrap();
        let mut draws: Vec<f64> = (0..100_000)
            .map(|_| {
                let first = chance.gauge();
                let second = if two_gauges { chance.gauge() } else { first };
                chance.truth(&over, second) / chance.truth(&under, first)
            })
            .collect();
        draws.sort_by(f64::total_cmp);
        let quantile = |q: f64| draws[(q * draws.len() as f64) as usize];
        let half = doubt.combined.coverage_factor * doubt.combined.standard;
        let ends = [doubt.best - half, doubt.best + half];
        for (propagated, drawn) in ends.into_iter().zip([quantile(0.025), quantile(0.975)]) {
            assert!((propagated - drawn).abs() < 0.004, "{ankle}/{arm}: {propagated} {drawn}");
        }
        let inside = draws.iter().filter(|d| (doubt.low..=doubt.high).contains(*d)).count();
        assert!(inside as f64 >= 0.945 * draws.len() as f64, "{ankle}/{arm}: {inside}");
    }
}

#[test]
fn one_gauge_loses_its_gain_in_the_ratio_and_keeps_its_offset() {
    let parts = |gauge: &str, arm: f64| {
        let over = input("right-dp", 150.0, 0.0, 0.0, gauge);
        let under = input("right-arm", arm, 0.0, 0.0, "g1");
        of_ratio(&[over], &[under], Hundredths(100)).unwrap().components
    };
    let part = |parts: &[Component], name: &str| {
        parts.iter().filter(|c| c.name.starts_with(name)).map(|c| c.standard).fold(0.0, f64::max)
    };
    assert!(part(&parts("g1", 120.0), "gain") < 1e-12);
    assert!(part(&parts("g1", 120.0), "zero offset") > 0.001);
    assert!(part(&parts("g2", 120.0), "gain") > 0.005);
    // Equal pressures: even the offset cancels.
    assert!(part(&parts("g1", 150.0), "zero offset") < 1e-12);
}

#[test]
fn a_late_reading_makes_the_pressure_higher_never_lower() {
    // Deflation at 3 mmHg/s and 60 beats a minute: up to 3 mmHg late, half of that on average.
    let doubt = of_pressure(&[input("right-dp", 100.0, 3.0, 0.0, "g1")], 100.0).unwrap();
    assert_eq!(doubt.best, 101.5);
    assert!(doubt.high - 100.0 > 100.0 - doubt.low);
}

#[test]
fn repeats_narrow_the_doubt_and_scatter_widens_it() {
    let width = |readings: &[f64]| {
        let mut input = input("right-dp", 100.0, 3.0, 3.0, "g1");
        input.readings_mmhg = readings.to_vec();
        of_pressure(&[input], readings.iter().sum::<f64>() / readings.len() as f64)
            .unwrap()
            .combined
    };
    assert!(width(&[100.0, 100.0]).standard < width(&[100.0]).standard);
    assert!(width(&[90.0, 110.0]).standard > width(&[100.0]).standard);
    // Type A: standard error of 96, 100, 104 is 4/sqrt(3), with 2 degrees of freedom.
    let three = width(&[94.0, 100.0, 106.0]);
    let offset = GAUGE_LIMIT_MMHG / 3f64.sqrt();
    let gain = 103.0 * GAIN_LIMIT / 3f64.sqrt();
    let expected = (12.0 + offset * offset + gain * gain).sqrt();
    assert!((three.standard - expected).abs() < 1e-9);
    assert!(three.coverage_factor > 1.96);
}

proptest! {
    #[test]
    fn the_interval_contains_the_index_and_is_rounded_outward(
        ankle in 20i32..300, arm in 60i32..300, late in 0.0f64..12.0, lag in 0.0f64..6.0
    ) {
        let over = input("right-dp", f64::from(ankle), late, lag, "g1");
        let under = input("right-arm", f64::from(arm), late, lag, "g1");
        let reported = Hundredths((200 * ankle + arm).div_euclid(2 * arm));
        let doubt = of_ratio(&[over], &[under], reported).unwrap();
        let (low, high) = doubt.hundredths(reported);
        prop_assert!(low <= reported && reported <= high);
        prop_assert!(low.as_f64() <= doubt.low + 1e-6 && high.as_f64() >= doubt.high - 1e-6);
        prop_assert!(low.as_f64() > doubt.low - 0.0101 || low == reported);
    }
}
