//! A figure as a picture of points (PNG), with the embedded type only, whatever the machine has.

use std::sync::Arc;

use resvg::tiny_skia::{Pixmap, Transform};
use usvg::fontdb;

use super::figure::Figure;
use super::fonts::{BOLD, REGULAR, SPARE};

/// Points to a unit of the figure.
const SCALE: f32 = 2.0;

/// How figures are read.
pub fn options() -> usvg::Options<'static> {
    let mut options = usvg::Options { font_family: "B612".into(), ..usvg::Options::default() };
    let mut faces = fontdb::Database::new();
    for face in [REGULAR, BOLD, SPARE] {
        faces.load_font_data(face.to_vec());
    }
    options.fontdb = Arc::new(faces);
    options
}

/// The PNG of a figure; none where it has no size.
pub fn png(figure: &Figure) -> Option<Vec<u8>> {
    let tree = usvg::Tree::from_str(&figure.svg, &options()).ok()?;
    let size = tree.size().to_int_size().scale_by(SCALE)?;
    let mut points = Pixmap::new(size.width(), size.height())?;
    resvg::render(&tree, Transform::from_scale(SCALE, SCALE), &mut points.as_mut());
    points.encode_png().ok()
}
