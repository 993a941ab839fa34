//! Draws the window's frames without a graphics card: triangles with one texture, blended as the window blends them.

use std::collections::HashMap;

use eframe::egui::epaint::{ImageDelta, Mesh, Primitive, Vertex};
use eframe::egui::{Color32, Context, FullOutput, ImageData, Rect, TextureId, TexturesDelta, pos2};
use egui_kittest::TestRenderer;
use image::{Rgba, RgbaImage};

#[derive(Default)]
pub struct Raster {
    textures: HashMap<TextureId, Texture>,
}

struct Texture {
    size: [usize; 2],
    pixels: Vec<Color32>,
}

impl Texture {
    /// Bilinear, clamped at the edges.
    fn at(&self, u: f32, v: f32) -> [f32; 4] {
        let [w, h] = self.size;
        let (x, y) = (u * w as f32 - 0.5, v * h as f32 - 0.5);
        let (x0, y0) = (x.floor(), y.floor());
        let (fx, fy) = (x - x0, y - y0);
        let pixel = |dx: f32, dy: f32| {
            let px = (x0 + dx).clamp(0.0, w as f32 - 1.0) as usize;
            let py = (y0 + dy).clamp(0.0, h as f32 - 1.0) as usize;
            self.pixels[py * w + px].to_array().map(f32::from)
        };
        let (a, b, c, d) = (pixel(0.0, 0.0), pixel(1.0, 0.0), pixel(0.0, 1.0), pixel(1.0, 1.0));
        std::array::from_fn(|i| {
            let top = a[i] + (b[i] - a[i]) * fx;
            let bottom = c[i] + (d[i] - c[i]) * fx;
            (top + (bottom - top) * fy) / 255.0
        })
    }
}

impl Raster {
    fn take(&mut self, id: TextureId, delta: ImageDelta) {
        let ImageData::Color(image) = delta.image;
        let texture =
            self.textures.entry(id).or_insert_with(|| Texture { size: [0, 0], pixels: Vec::new() });
        match delta.pos {
            None => *texture = Texture { size: image.size, pixels: image.pixels.clone() },
            Some([x, y]) => {
                for row in 0..image.size[1] {
                    let from = row * image.size[0];
                    let to = (y + row) * texture.size[0] + x;
                    let line = &image.pixels[from..from + image.size[0]];
                    texture.pixels[to..to + image.size[0]].copy_from_slice(line);
                }
            }
        }
    }

    fn mesh(&self, mesh: &Mesh, clip: Rect, scale: f32, out: &mut RgbaImage) {
        let Some(texture) = self.textures.get(&mesh.texture_id) else { return };
        for corners in mesh.indices.chunks_exact(3) {
            let corners = [0, 1, 2].map(|i| mesh.vertices[corners[i] as usize]);
            triangle(texture, corners, clip, scale, out);
        }
    }
}

fn triangle(texture: &Texture, v: [Vertex; 3], clip: Rect, scale: f32, out: &mut RgbaImage) {
    let p = v.map(|v| pos2(v.pos.x * scale, v.pos.y * scale));
    let area = (p[1].x - p[0].x) * (p[2].y - p[0].y) - (p[2].x - p[0].x) * (p[1].y - p[0].y);
    if area == 0.0 {
        return;
    }
    let least = |f: fn(&eframe::egui::Pos2) -> f32| p.iter().map(f).fold(f32::INFINITY, f32::min);
    let most =
        |f: fn(&eframe::egui::Pos2) -> f32| p.iter().map(f).fold(f32::NEG_INFINITY, f32::max);
    let range = |low: f32, high: f32, clip: (f32, f32), end: u32| {
        let low = low.max(clip.0 * scale).floor().max(0.0) as u32;
        low..(high.min(clip.1 * scale).ceil().max(0.0) as u32).min(end)
    };
    let xs = range(least(|p| p.x), most(|p| p.x), (clip.min.x, clip.max.x), out.width());
    let ys = range(least(|p| p.y), most(|p| p.y), (clip.min.y, clip.max.y), out.height());
    let colours = v.map(|v| v.color.to_array().map(|c| f32::from(c) / 255.0));
    for y in ys {
        for x in xs.clone() {
            let (px, py) = (x as f32 + 0.5, y as f32 + 0.5);
            let edge = |a: usize, b: usize| {
                (p[b].x - p[a].x) * (py - p[a].y) - (p[b].y - p[a].y) * (px - p[a].x)
            };
            let w = [edge(1, 2) / area, edge(2, 0) / area, edge(0, 1) / area];
            if w.iter().any(|w| *w < 0.0) {
                continue;
            }
            let mix = |f: &dyn Fn(usize) -> f32| (0..3).map(|i| w[i] * f(i)).sum::<f32>();
            let texel = texture.at(mix(&|i| v[i].uv.x), mix(&|i| v[i].uv.y));
            let source: [f32; 4] = std::array::from_fn(|c| texel[c] * mix(&|i| colours[i][c]));
            let Rgba(under) = *out.get_pixel(x, y);
            let over = |c: usize| {
                let value = source[c] + f32::from(under[c]) / 255.0 * (1.0 - source[3]);
                (value.clamp(0.0, 1.0) * 255.0).round() as u8
            };
            out.put_pixel(x, y, Rgba([over(0), over(1), over(2), 255]));
        }
    }
}

impl TestRenderer for Raster {
    fn handle_delta(&mut self, delta: &mut TexturesDelta) {
        for (id, deltas) in delta.set.drain() {
            deltas.into_iter().for_each(|delta| self.take(id, delta));
        }
    }

    fn render(&mut self, ctx: &Context, output: &FullOutput) -> Result<RgbaImage, String> {
        let scale = output.pixels_per_point;
        let size = ctx.content_rect().size() * scale;
        // What the window is cleared with.
        let [r, g, b, _] = ctx.global_style().visuals.panel_fill.to_array();
        let (wide, high) = (size.x.round() as u32, size.y.round() as u32);
        let mut out = RgbaImage::from_pixel(wide, high, Rgba([r, g, b, 255]));
        for primitive in ctx.tessellate(output.shapes.clone(), scale) {
            if let Primitive::Mesh(mesh) = &primitive.primitive {
                self.mesh(mesh, primitive.clip_rect, scale, &mut out);
            }
        }
        Ok(out)
    }
}
