//! The program's picture, drawn from the same drawing that the packages carry.

use eframe::egui::IconData;
use resvg::tiny_skia::{Pixmap, Transform};

/// The drawing: a cuff seen end on, and in it the pulse, gone and back, with the mark of the tap.
const DRAWING: &str = include_str!("../icon.svg");
/// The picture's width and height, points of a picture; the drawing has 256.
const SIDE: u32 = 128;

/// The picture, where it can be drawn.
pub fn icon() -> Option<IconData> {
    let tree = usvg::Tree::from_str(DRAWING, &usvg::Options::default()).ok()?;
    let mut points = Pixmap::new(SIDE, SIDE)?;
    let scale = SIDE as f32 / tree.size().width();
    resvg::render(&tree, Transform::from_scale(scale, scale), &mut points.as_mut());
    Some(IconData { rgba: points.take_demultiplied(), width: SIDE, height: SIDE })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_picture_is_there_with_clear_corners() {
        let icon = icon().unwrap();
        assert_eq!(icon.rgba.len() as u32, SIDE * SIDE * 4);
        let alpha = |at: u32| icon.rgba[(at * 4 + 3) as usize];
        assert_eq!((alpha(0), alpha(SIDE * SIDE / 2 + SIDE / 2)), (0, 255));
    }
}
