//! What the simulated patient says of the cuff: too high, or closed too long.

use crate::words::id;

/// Above the artery's pressure by more than this, it is felt, mmHg (own choice).
const TIGHT_MMHG: f64 = 50.0;
/// Above this, it hurts anybody, mmHg (own choice).
const HURTS_MMHG: f64 = 240.0;
/// Closed this long, the limb goes numb, seconds (own choice, after common practice of about a minute a site).
const NUMB_S: f64 = 60.0;
/// Closed this long, the patient asks for an end, seconds.
const ENOUGH_S: f64 = 90.0;

/// What the patient says now, as a message of the catalogue; nothing while it can be borne. `closed_s`: how long the cuff has been above the
/// artery's systolic pressure.
pub fn says(cuff_mmhg: f64, systolic_mmhg: f64, closed_s: f64) -> Option<&'static str> {
    if closed_s > ENOUGH_S {
        return Some(id!("drill-patient-enough"));
    }
    if cuff_mmhg > HURTS_MMHG {
        return Some(id!("drill-patient-hurts"));
    }
    if closed_s > NUMB_S {
        return Some(id!("drill-patient-numb"));
    }
    (cuff_mmhg > systolic_mmhg + TIGHT_MMHG).then_some(id!("drill-patient-tight"))
}

#[cfg(test)]
mod tests {
    use super::says;

    #[test]
    fn the_patient_speaks_up_when_it_is_too_high_or_too_long() {
        assert_eq!(says(150.0, 130.0, 20.0), None);
        assert!(says(185.0, 130.0, 5.0).unwrap().contains("tight"));
        assert!(says(250.0, 230.0, 5.0).unwrap().contains("hurts"));
        assert!(says(140.0, 130.0, 70.0).unwrap().contains("numb"));
        assert!(says(140.0, 130.0, 100.0).unwrap().contains("enough"));
    }
}
