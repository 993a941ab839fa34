//! The report as one HTML page that needs nothing else: type, figures and style are inside.
//!
//! It is also well-formed XML, so that any reader can check it. All text goes through `maud`, which
//! escapes it; the two texts in the style sheet are written by number.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::blocks::{Block, Guidance, Leg, Row, Section, SoundShown, Table};
use super::content::Content;
use super::figure::{self, Figure};
use super::{fonts, style};
use crate::words::{Words, id, say};

const META: &str = r#"<meta charset="utf-8"/><meta name="viewport" content="width=device-width, initial-scale=1"/>"#;

/// The bytes of the page.
pub fn page(content: &Content) -> Vec<u8> {
    let words = content.language;
    let title = content.name();
    let record = say!(words, "report-record", record = content.record);
    let mut ids = Ids(0);
    let spare = fonts::spare_needed(&content.text());
    let page = html! {
        (DOCTYPE)
        html lang=(words.tag()) {
            head {
                (PreEscaped(META))
                title { (title) }
                style { (PreEscaped(style::sheet(words, &record, spare))) }
            }
            body {
                header {
                    h1 style="flex-basis:100%" { (content.title) }
                    dl { @for (name, value) in &content.head { dt { (name) } dd { (value) } } }
                    div.label { (words.plain(id!("report-label"))) }
                }
                main {
                    @for section in content.sections.iter().filter(|s| !s.trail) { (part(words, section, &mut ids)) }
                    footer { @for words in &content.foot { p { (words) } } }
                    @if content.sections.iter().any(|s| s.trail) {
                        div.trail {
                            @for section in content.sections.iter().filter(|s| s.trail) { (part(words, section, &mut ids)) }
                        }
                    }
                }
            }
        }
    };
    let mut bytes = page.into_string().into_bytes();
    bytes.push(b'\n');
    bytes
}

/// Names for elements, each once.
struct Ids(u32);

impl Ids {
    fn next(&mut self) -> String {
        self.0 += 1;
        format!("f{}", self.0)
    }
}

fn part(words: Words, section: &Section, ids: &mut Ids) -> Markup {
    let heading = format!("{}-h", section.id);
    html! {
        section id=(section.id) aria-labelledby=(heading) {
            h2 id=(heading) { (section.title) }
            @for block in &section.blocks { (one(words, block, ids)) }
        }
    }
}

fn one(words: Words, block: &Block, ids: &mut Ids) -> Markup {
    match block {
        Block::Words(said) => html! { p.quiet { (said) } },
        Block::List(list) => html! { ul { @for said in list { li { (said) } } } },
        Block::Warning(warning) => {
            html! { div.warning { strong { (warning.label) } p { (warning.words) } } }
        }
        Block::Leg(leg) => leg_block(leg, ids),
        Block::Guidance(guidance) => guidance_block(words, guidance),
        Block::Table(table) => table_block(words, table),
        Block::Sound(sound) => sound_block(sound, ids),
        Block::Blanks(blanks) => {
            html! { div.blanks { @for blank in blanks { div { (blank) } } } }
        }
    }
}

fn leg_block(leg: &Leg, ids: &mut Ids) -> Markup {
    let is_number = leg.number.starts_with(|c: char| c.is_ascii_digit());
    html! {
        div.leg {
            h3 { (leg.name) }
            @for words in &leg.first { p { strong { (words) } } }
            div.number {
                @if is_number { b { (leg.number) } } @else { b.words { (leg.number) } }
                div {
                    @if let Some(interval) = &leg.interval { p.interval { (interval) } }
                    p { (leg.made_of) }
                }
            }
            @if !leg.further.is_empty() { ul { @for words in &leg.further { li { (words) } } } }
            @if let Some(line) = &leg.line { (drawing(&figure::index_line(&ids.next(), line, figure::WIDTH))) }
        }
    }
}

fn guidance_block(words: Words, guidance: &Guidance) -> Markup {
    let source = say!(words, "report-source", source = guidance.source);
    html! {
        div.guidance {
            h3 { (guidance.set) }
            p.source { (source) }
            @for (leg, says) in &guidance.says {
                h4 { (leg) }
                @for said in says { p { (said) } }
            }
        }
    }
}

fn table_block(words: Words, table: &Table) -> Markup {
    html! {
        div.scroll tabindex="0" role="group" aria-label=(words.plain(id!("report-table"))) {
            table {
                caption { (table.caption) }
                thead { tr { @for column in &table.columns { th scope="col" { (column) } } } }
                tbody { @for row in &table.rows { (row_of(row)) } }
            }
        }
    }
}

fn row_of(row: &Row) -> Markup {
    let class = if row.marked { "marked" } else { "plain" };
    html! {
        tr class=(class) {
            @for (i, cell) in row.cells.iter().enumerate() {
                @if i == 0 { th scope="row" { (cell) } } @else { td { (cell) } }
            }
        }
    }
}

fn sound_block(sound: &SoundShown, ids: &mut Ids) -> Markup {
    html! {
        figure {
            figcaption { strong { (sound.name) ". " } (sound.caption) }
            (drawing(&figure::sonogram(&ids.next(), sound)))
        }
    }
}

/// A figure keeps a readable size: on a narrow screen it is moved within its frame, not shrunk.
fn drawing(figure: &Figure) -> Markup {
    html! {
        div.scroll tabindex="0" role="group" aria-label=(figure.title) { (PreEscaped(&figure.svg)) }
    }
}
