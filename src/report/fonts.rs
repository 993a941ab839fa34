//! The type that every document of ours brings along: B612, and a spare face for letters that it lacks.

/// B612 Regular, whole (SIL Open Font License, `fonts/OFL.txt`).
pub const REGULAR: &[u8] = include_bytes!("fonts/B612-Regular.otf");
/// B612 Bold, whole.
pub const BOLD: &[u8] = include_bytes!("fonts/B612-Bold.otf");
/// The part of DejaVu Sans with Latin, Greek, Cyrillic, Hebrew and Arabic (`fonts/DejaVu-licence.txt`).
pub const SPARE: &[u8] = include_bytes!("fonts/DejaVuSans-part.ttf");

/// True where B612 has no glyph for one of these letters, so that the spare face is needed.
#[cfg(feature = "bedside")]
pub fn spare_needed(text: &str) -> bool {
    let Some(face) = rustybuzz::Face::from_slice(REGULAR, 0) else { return true };
    text.chars().any(|c| !c.is_control() && face.glyph_index(c).is_none())
}
