//! What screens are painted with: parts, pictures, the look. It knows neither the model nor any act.

pub mod curve;
#[cfg(feature = "bedside")]
pub mod icon;
pub mod parts;
pub mod plot;
pub mod progress;
pub mod theme;
