//! A visit to bytes: one content model, then a writer for each form.
//!
//! [`content::Content`] says what a report says, in its order; [`blocks`] are what it can say. [`html`] writes it as one page that needs
//! nothing else; [`figure`] draws its figures as vectors that any writer can take over; [`json`] writes
//! the visit with everything in it. Words of guidance stand as the clinical room gives them, source first.
//!
//! Pure: returns bytes, writes nothing, knows no clock. Typed text is data here, never markup.

pub mod audit;
pub mod blocks;
pub mod content;
pub mod fhir;
pub mod figure;
pub mod fonts;
pub mod html;
pub mod json;
pub mod paint;
pub mod pdf;
pub mod table;

mod findings;
mod legs;
mod marked;
mod parts;
pub mod picture;
pub mod raster;
pub mod source;
mod style;
mod trail;
pub mod wording;
