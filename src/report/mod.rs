//! A visit to bytes: one content model, then a writer for each form.
//!
//! [`content::Content`] says what a report says, in its order; [`blocks`] are what it can say. [`html`] writes it as one page that needs
//! nothing else; [`figure`] draws its figures as vectors that any writer can take over; [`json`] writes
//! the visit with everything in it. Words of guidance stand as the clinical room gives them, source first.
//!
//! Pure: returns bytes, writes nothing, knows no clock. Typed text is data here, never markup.

#[cfg(feature = "bedside")]
pub mod audit;
#[cfg(feature = "bedside")]
pub mod blocks;
#[cfg(feature = "bedside")]
pub mod content;
#[cfg(feature = "bedside")]
pub mod fhir;
#[cfg(feature = "bedside")]
pub mod figure;
pub mod fonts;
#[cfg(feature = "bedside")]
pub mod html;
#[cfg(feature = "bedside")]
pub mod json;
#[cfg(feature = "bedside")]
pub mod paint;
#[cfg(feature = "bedside")]
pub mod pdf;
#[cfg(feature = "bedside")]
pub mod table;

#[cfg(feature = "bedside")]
mod findings;
#[cfg(feature = "bedside")]
mod legs;
#[cfg(feature = "bedside")]
mod marked;
#[cfg(feature = "bedside")]
mod parts;
#[cfg(feature = "bedside")]
pub mod picture;
#[cfg(feature = "bedside")]
pub mod raster;
#[cfg(feature = "bedside")]
pub mod source;
#[cfg(feature = "bedside")]
mod style;
#[cfg(feature = "bedside")]
mod trail;
#[cfg(feature = "bedside")]
pub mod wording;
