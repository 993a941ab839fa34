//! What a measurement means: sites, attempts and outcomes, the index of each leg, its doubt, the words
//! of cited guidance, cautions. A visit is an ordered list of events; all else is worked out from them.
//!
//! [`event::Event`]s make a [`visit::Visit`]; a visit and some guidance [`guidance::GuidanceSet`]s make a
//! [`result::VisitResult`] by [`working::work_out`], which is what reports and screens show.
//!
//! Pure: no samples, no clock. A typed reading is equal to a heard one (it may not import `signal`).
//! It gives no advice of its own: every word of guidance comes from a data file with its source.

mod amend;
pub mod apart;
pub mod bands;
pub mod cautions;
pub mod condition;
pub mod differences;
pub mod dispute;
pub mod doubts;
pub mod elsewhere;
pub mod event;
pub mod exact;
pub mod guidance;
pub mod index;
pub mod kind;
pub mod method;
pub mod moment;
pub mod opened;
pub mod prepared;
pub mod reasons;
pub mod recheck;
pub mod record_code;
pub mod repeat_rules;
pub mod repeats;
pub mod result;
pub mod sentences;
pub mod sequence;
pub mod shown;
pub mod site;
pub mod sites;
pub mod sound;
pub mod switch;
pub mod trend;
pub mod typed;
pub mod uncertainty;
pub mod visit;
pub mod working;
