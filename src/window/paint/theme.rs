//! The look: three themes with the same roles, the type, the sizes. Every pair of colours that meets is tested.

use std::sync::Arc;

use eframe::egui::{
    Color32, Context, CornerRadius, FontData, FontDefinitions, FontFamily, FontId, Stroke, Style,
    TextStyle, Theme as EguiTheme, Visuals,
};

use crate::report::fonts;

/// The three themes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Theme {
    /// For a lit room.
    Light,
    /// For a dark room: no light of its own.
    Dark,
    /// For a dimmed room; the usual one.
    #[default]
    Dim,
}

impl Theme {
    /// All, in the order offered.
    pub const ALL: [Theme; 3] = [Theme::Dim, Theme::Light, Theme::Dark];

    /// Its name, in settings and on screen.
    pub const fn name(self) -> &'static str {
        match self {
            Theme::Light => "light",
            Theme::Dark => "dark",
            Theme::Dim => "dim",
        }
    }

    /// The theme of this name; the usual one of any other.
    pub fn named(name: &str) -> Self {
        Self::ALL.into_iter().find(|t| t.name() == name).unwrap_or_default()
    }

    /// Its colours.
    pub const fn roles(self) -> Roles {
        match self {
            Theme::Dim => Roles {
                ground: hex(0x10_15_1C),
                panel: hex(0x18_20_2B),
                raised: hex(0x22_2D_3B),
                ink: hex(0xF4_F1_E8),
                quiet: hex(0xB4_C0_CE),
                line: hex(0x88_9A_B0),
                act: hex(0xFF_BF_5E),
                heard: hex(0x8F_D8_E8),
            },
            Theme::Dark => Roles {
                ground: hex(0x00_00_00),
                panel: hex(0x0D_10_15),
                raised: hex(0x1A_1F_27),
                ink: hex(0xEC_E9_E0),
                quiet: hex(0xAA_B4_C0),
                line: hex(0x7E_8C_9C),
                act: hex(0xFF_B0_45),
                heard: hex(0x7C_CB_DE),
            },
            Theme::Light => Roles {
                ground: hex(0xFB_FA_F6),
                panel: hex(0xF0_ED_E4),
                raised: hex(0xE6_E2_D6),
                ink: hex(0x15_20_2B),
                quiet: hex(0x3A_46_52),
                line: hex(0x58_62_6D),
                act: hex(0x6A_39_00),
                heard: hex(0x09_49_57),
            },
        }
    }
}

/// Marks over the sound: white or amber on a black edge, the same in every theme, so that they stand out from every
/// colour of the picture.
pub const MARK: Color32 = hex(0xFF_FF_FF);
/// The clinician's own mark.
pub const MARK_TAP: Color32 = hex(0xFF_BF_5E);
/// What lies around a mark.
pub const MARK_EDGE: Color32 = hex(0x00_00_00);

const fn hex(rgb: u32) -> Color32 {
    Color32::from_rgb((rgb >> 16) as u8, (rgb >> 8) as u8, rgb as u8)
}

/// What a colour is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Roles {
    /// Behind everything.
    pub ground: Color32,
    /// Set-off areas.
    pub panel: Color32,
    /// What can be pressed.
    pub raised: Color32,
    /// Words and numbers.
    pub ink: Color32,
    /// Words that stand back.
    pub quiet: Color32,
    /// Lines that carry meaning.
    pub line: Color32,
    /// What the clinician does, or must do now.
    pub act: Color32,
    /// What the listener heard.
    pub heard: Color32,
}

/// Sizes of type, points at a scale of 100 %.
pub mod size {
    /// The smallest anywhere.
    pub const SMALL: f32 = 15.0;
    /// Ordinary words.
    pub const BODY: f32 = 18.0;
    /// What is amiss at a site, and names in the ledger: read from two metres (docs/guide.md, "From two metres").
    pub const FAR: f32 = 22.0;
    /// A sentence that stands out.
    pub const SENTENCE: f32 = 24.0;
    /// What to do now, while measuring: read from two metres.
    pub const PROMPT: f32 = 34.0;
    /// A reading in the ledger.
    pub const VALUE: f32 = 26.0;
    /// A screen's name.
    pub const TITLE: f32 = 32.0;
    /// The site.
    pub const SITE: f32 = 46.0;
    /// An index in the ledger.
    pub const INDEX: f32 = 44.0;
    /// The reading that is typed.
    pub const READING: f32 = 112.0;
    /// The least side of a target for a finger.
    pub const TARGET: f32 = 56.0;
    /// The least side of a target for a glove.
    pub const GLOVE: f32 = 96.0;
    /// The grid.
    pub const GRID: f32 = 8.0;
    /// The margin of a screen.
    pub const MARGIN: f32 = 24.0;
}

/// The bold family's name.
const BOLD: &str = "bold";

/// Ordinary type of this size.
pub fn plain(size: f32) -> FontId {
    FontId::new(size, FontFamily::Proportional)
}

/// Bold type of this size.
pub fn bold(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name(BOLD.into()))
}

/// Brings the fonts in: once, before the first frame.
pub fn install_fonts(ctx: &Context) {
    let mut fonts = FontDefinitions::empty();
    let files: [(&str, &'static [u8]); 3] =
        [("B612", fonts::REGULAR), ("B612 Bold", fonts::BOLD), ("spare", fonts::SPARE)];
    for (name, bytes) in files {
        fonts.font_data.insert(name.into(), Arc::new(FontData::from_static(bytes)));
    }
    // Letters that B612 lacks come from the spare face: a record's code never shows boxes.
    let family = |name: &str| vec![name.to_owned(), "spare".to_owned()];
    fonts.families.insert(FontFamily::Proportional, family("B612"));
    fonts.families.insert(FontFamily::Monospace, family("B612"));
    fonts.families.insert(FontFamily::Name(BOLD.into()), family("B612 Bold"));
    ctx.set_fonts(fonts);
}

/// Puts a theme on.
pub fn apply(ctx: &Context, theme: Theme) {
    let roles = theme.roles();
    let base = if theme == Theme::Light { EguiTheme::Light } else { EguiTheme::Dark };
    ctx.set_theme(base);
    let mut style = Style { visuals: visuals(base, roles), ..Style::default() };
    style.text_styles = [
        (TextStyle::Small, plain(size::SMALL)),
        (TextStyle::Body, plain(size::BODY)),
        (TextStyle::Button, plain(size::BODY)),
        (TextStyle::Heading, bold(size::TITLE)),
        (TextStyle::Monospace, plain(size::BODY)),
    ]
    .into();
    style.spacing.item_spacing = eframe::egui::vec2(2.0 * size::GRID, size::GRID);
    style.spacing.button_padding = eframe::egui::vec2(2.0 * size::GRID, size::GRID);
    style.spacing.interact_size.y = size::TARGET;
    style.spacing.text_edit_width = 240.0;
    style.spacing.icon_width = 28.0;
    style.animation_time = 0.0;
    ctx.set_style_of(base, style);
}

fn visuals(base: EguiTheme, roles: Roles) -> Visuals {
    let mut v = base.default_visuals();
    v.override_text_color = Some(roles.ink);
    v.panel_fill = roles.ground;
    v.window_fill = roles.panel;
    v.extreme_bg_color = roles.ground;
    v.faint_bg_color = roles.panel;
    v.hyperlink_color = roles.heard;
    v.selection.bg_fill = roles.act;
    v.selection.stroke = Stroke::new(2.0, roles.ground);
    v.text_cursor.stroke = Stroke::new(2.0, roles.act);
    let corner = CornerRadius::same(8);
    let parts = [
        (&mut v.widgets.noninteractive, roles.panel, roles.line),
        (&mut v.widgets.inactive, roles.raised, roles.line),
        (&mut v.widgets.hovered, roles.raised, roles.ink),
        (&mut v.widgets.active, roles.raised, roles.act),
        (&mut v.widgets.open, roles.raised, roles.ink),
    ];
    for (part, fill, edge) in parts {
        (part.bg_fill, part.weak_bg_fill) = (fill, fill);
        part.bg_stroke = Stroke::new(1.0, edge);
        part.fg_stroke = Stroke::new(2.0, roles.ink);
        part.corner_radius = corner;
        part.expansion = 0.0;
    }
    v.widgets.active.bg_stroke = Stroke::new(3.0, roles.act);
    v.widgets.hovered.bg_stroke = Stroke::new(2.0, roles.ink);
    v
}

/// Cividis (Nunez, Anderton & Renslow 2018), thinned to nine steps and joined by straight lines: the colours of
/// a sonogram, readable with any colour vision. `level` from 0 to 255.
pub fn sonogram_colour(level: u8) -> Color32 {
    const STEPS: [[u8; 3]; 9] = [
        [0, 34, 78],
        [18, 53, 112],
        [59, 73, 108],
        [87, 93, 109],
        [112, 113, 115],
        [138, 134, 120],
        [165, 156, 116],
        [208, 188, 97],
        [254, 232, 56],
    ];
    let at = f32::from(level) / 255.0 * (STEPS.len() - 1) as f32;
    let low = (at as usize).min(STEPS.len() - 2);
    let part = at - low as f32;
    let mix = |i: usize| {
        let (a, b) = (f32::from(STEPS[low][i]), f32::from(STEPS[low + 1][i]));
        (a + (b - a) * part).round() as u8
    };
    Color32::from_rgb(mix(0), mix(1), mix(2))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::paint::contrast;

    fn text(colour: Color32) -> String {
        format!("#{:02X}{:02X}{:02X}", colour.r(), colour.g(), colour.b())
    }

    /// WCAG 2.2: words 7:1 (1.4.6). Lines that carry meaning 4.5:1, more than the 3:1 of 1.4.11.
    #[test]
    fn every_pair_of_every_theme_has_the_contrast_it_needs() {
        for theme in Theme::ALL {
            let r = theme.roles();
            for behind in [r.ground, r.panel, r.raised] {
                for (front, least) in
                    [(r.ink, 7.0), (r.quiet, 7.0), (r.act, 7.0), (r.heard, 7.0), (r.line, 4.5)]
                {
                    let found = contrast(&text(front), &text(behind));
                    let pair = format!("{} on {}", text(front), text(behind));
                    assert!(found >= least, "{}: {pair}: {found:.2}", theme.name());
                }
            }
            for mark in [MARK, MARK_TAP] {
                assert!(contrast(&text(mark), &text(MARK_EDGE)) >= 4.5);
            }
            let on_act = contrast(&text(r.ground), &text(r.act));
            assert!(on_act >= 7.0, "{}: words on the act colour: {on_act:.2}", theme.name());
        }
    }

    #[test]
    fn the_colours_of_sound_run_from_dark_to_light() {
        let light = |level| {
            let c = sonogram_colour(level);
            contrast(&text(c), "#000000")
        };
        for level in 0..255 {
            assert!(light(level + 1) >= light(level) - 0.02, "{level}");
        }
        assert_eq!(text(sonogram_colour(0)), "#00224E");
        assert_eq!(text(sonogram_colour(255)), "#FEE838");
    }
}
