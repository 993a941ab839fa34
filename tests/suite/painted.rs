//! What is painted, by its colours: every line, fill and letter of every screen is of a role whose contrast is tested
//! (`window::paint::theme`), in every theme. A colour that nobody measured cannot come in unseen.

use std::collections::BTreeSet;

use cuffnote::conduct::{AtSite, Preparing};
use cuffnote::window::model::action::{Action, Screen, VisitAct};
use cuffnote::window::model::choices::Change;
use cuffnote::window::paint::theme::{MARK, MARK_EDGE, MARK_TAP, Theme, sonogram_colour};
use eframe::egui::epaint::{ColorMode, PathStroke, Shape, Stroke};
use eframe::egui::{Color32, vec2};

use super::window::{Bedside, known};

type Colours = BTreeSet<[u8; 4]>;

fn take(colours: &mut Colours, colour: Color32) {
    colours.insert(colour.to_array());
}

fn line(colours: &mut Colours, stroke: &Stroke) {
    if stroke.width > 0.0 {
        take(colours, stroke.color);
    }
}

fn path(colours: &mut Colours, stroke: &PathStroke) {
    match &stroke.color {
        ColorMode::Solid(colour) if stroke.width > 0.0 => take(colours, *colour),
        ColorMode::Solid(_) => {}
        ColorMode::UV(_) => panic!("a stroke whose colour is worked out cannot be measured"),
    }
}

/// Every colour of a shape, but those of pictures.
fn collect(shape: &Shape, colours: &mut Colours) {
    match shape {
        Shape::Noop | Shape::Mesh(_) | Shape::Callback(_) => {}
        Shape::Vec(shapes) => shapes.iter().for_each(|shape| collect(shape, colours)),
        Shape::Circle(circle) => {
            take(colours, circle.fill);
            line(colours, &circle.stroke);
        }
        Shape::Ellipse(ellipse) => {
            take(colours, ellipse.fill);
            line(colours, &ellipse.stroke);
        }
        Shape::LineSegment { stroke, .. } => line(colours, stroke),
        Shape::Path(shape) => {
            take(colours, shape.fill);
            path(colours, &shape.stroke);
        }
        Shape::Rect(rect) => {
            // A picture is painted white, its colours are its own.
            if rect.brush.is_none() {
                take(colours, rect.fill);
            }
            line(colours, &rect.stroke);
        }
        Shape::Text(text) => {
            for section in &text.galley.job.sections {
                let own = section.format.color;
                take(colours, if own == Color32::PLACEHOLDER { text.fallback_color } else { own });
            }
        }
        Shape::QuadraticBezier(_) | Shape::CubicBezier(_) | Shape::Band(_) => {
            panic!("no curve and no band is painted here")
        }
    }
}

fn painted(bedside: &Bedside) -> Colours {
    let mut colours = Colours::new();
    let output = bedside.window.output();
    output.shapes.iter().for_each(|clipped| collect(&clipped.shape, &mut colours));
    colours
}

#[test]
fn every_colour_on_every_screen_is_one_whose_contrast_is_tested() {
    for theme in Theme::ALL {
        let r = theme.roles();
        let known_colours = [
            Color32::TRANSPARENT,
            r.ground,
            r.panel,
            r.raised,
            r.ink,
            r.quiet,
            r.line,
            r.act,
            r.heard,
            MARK,
            MARK_TAP,
            MARK_EDGE,
            sonogram_colour(0),
        ]
        .map(|colour| colour.to_array());
        let folder = tempfile::tempdir().unwrap();
        let settings = known(vec![Change::Theme(theme)]);
        let mut bedside = Bedside::new(folder.path(), "visit", settings, vec2(1280.0, 800.0));
        let looked = |bedside: &Bedside, at: &str| {
            for colour in painted(bedside) {
                // Clear is no colour; egui fades only what it is scrolling.
                let seen = colour[3] == 255;
                assert!(
                    !seen || known_colours.contains(&colour),
                    "{}, {at}: {colour:?} is no role",
                    theme.name()
                );
            }
        };
        looked(&bedside, "visits");
        for screen in [Screen::Cautions, Screen::SetUp, Screen::Practise, Screen::Begin] {
            bedside.act(Action::Go(screen));
            looked(&bedside, &format!("{screen:?}"));
        }
        bedside.act(Action::Go(Screen::Visits));
        bedside.begin("K204Q");
        looked(&bedside, "prepare");
        bedside.act(Action::Prepare(Preparing::NoneApplies));
        bedside.act(Action::Prepare(Preparing::EndRest));
        bedside.wait(12.0);
        looked(&bedside, "measuring");
        bedside.tap_and_read(0.3);
        looked(&bedside, "read");
        bedside.keep();
        bedside.wait(8.0);
        looked(&bedside, "kept, with the marks of tap and return");
        bedside.act(Action::Site(AtSite::Next));
        bedside.act(Action::Visit(VisitAct::Finish("no time".into())));
        looked(&bedside, "result");
    }
}
