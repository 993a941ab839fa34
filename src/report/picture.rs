//! A sonogram as a grey picture: PNG bytes, loud is dark, so that it prints without colour.

use crate::units::Sonogram;

/// Columns at most; more are folded together into their mean.
const WIDE: usize = 1400;

/// The PNG of a sonogram, high frequencies on top; `None` of an empty one.
pub fn png(sonogram: &Sonogram) -> Option<Vec<u8>> {
    let (columns, rows) = (sonogram.columns(), sonogram.rows);
    if columns == 0 {
        return None;
    }
    let fold = columns.div_ceil(WIDE);
    let width = columns.div_ceil(fold);
    let mut grey = Vec::with_capacity(width * rows);
    for row in (0..rows).rev() {
        for column in 0..width {
            let folded = column * fold..columns.min((column + 1) * fold);
            let sum: u32 = folded.clone().map(|c| u32::from(sonogram.levels[c * rows + row])).sum();
            grey.push(shade(sum / folded.len().max(1) as u32));
        }
    }
    encode(&grey, width as u32, rows as u32)
}

/// White up to about 2 dB above the background, then darker; black is never reached, so lines stay visible.
fn shade(level: u32) -> u8 {
    let over = (level as f32 - 18.0).max(0.0) / (255.0 - 18.0);
    (255.0 - 215.0 * over.powf(0.65)).round() as u8
}

fn encode(grey: &[u8], width: u32, height: u32) -> Option<Vec<u8>> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width, height);
    encoder.set_color(png::ColorType::Grayscale);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_compression(png::Compression::High);
    let mut writer = encoder.write_header().ok()?;
    writer.write_image_data(grey).ok()?;
    writer.finish().ok()?;
    Some(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn silence_is_white_and_the_high_row_is_on_top() {
        let mut levels = vec![0; 3000 * 2];
        levels[1] = 255;
        levels[3] = 255;
        levels[5] = 255;
        let sonogram = Sonogram { start_s: 0.0, column_s: 0.01, top_hz: 4000.0, rows: 2, levels };
        let bytes = png(&sonogram).unwrap();
        let mut reader = png::Decoder::new(std::io::Cursor::new(bytes)).read_info().unwrap();
        let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
        let info = reader.next_frame(&mut pixels).unwrap();
        assert_eq!((info.width, info.height), (1000, 2));
        assert_eq!((pixels[0], pixels[1], pixels[1000]), (40, 255, 255));
    }

    #[test]
    fn nothing_makes_no_picture() {
        let none =
            Sonogram { start_s: 0.0, column_s: 0.01, top_hz: 4000.0, rows: 64, levels: vec![] };
        assert_eq!(png(&none), None);
    }
}
