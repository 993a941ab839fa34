//! How a report looks on a screen, on A4 and on Letter. Colours come from `paint`, type is embedded.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use std::fmt::Write;

use super::figure::FONTS;
use super::fonts::{BOLD, REGULAR, SPARE};
use super::paint::{GROUND, INK, LINE, PANEL, PAPER, QUIET};
use crate::words::{Words, id, say};

/// The whole style sheet; `foot` stands on every printed page. The spare face comes along where a letter
/// needs it.
pub fn sheet(words: Words, foot: &str, spare: bool) -> String {
    let face = |family: &str, weight: u32, font: &[u8]| {
        format!(
            "@font-face{{font-family:'{family}';font-weight:{weight};font-style:normal;src:url(data:font/otf;base64,{}) format('opentype')}}\n",
            STANDARD.encode(font)
        )
    };
    let rules = RULES
        .replace("$fonts", FONTS)
        .replace("$ground", GROUND)
        .replace("$panel", PANEL)
        .replace("$paper", PAPER)
        .replace("$ink", INK)
        .replace("$quiet", QUIET)
        .replace("$line", LINE)
        .replace("$foot", &quoted(foot))
        .replace("$purpose", &text(words.plain(id!("report-foot-page"))))
        .replace("$number", &numbered(words));
    let spare = if spare { face("DejaVu Sans", 400, SPARE) } else { String::new() };
    face("B612", 400, REGULAR) + &face("B612", 700, BOLD) + &spare + &rules
}

/// Text as a CSS string: everything but letters and digits of ASCII is written by its number, so that no
/// text can end the string, the rule or the style element.
pub fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        if c.is_ascii_alphanumeric() {
            out.push(c);
        } else {
            let _ = write!(out, "\\{:x} ", c as u32);
        }
    }
    out.push('"');
    out
}

/// Words of the catalogue as a CSS string.
fn text(words: &str) -> String {
    let escape = |c: char| matches!(c, '"' | '\\' | '<' | '&') || c.is_control();
    let each = words.chars().map(|c| match escape(c) {
        true => format!("\\{:x} ", c as u32),
        false => c.to_string(),
    });
    format!("\"{}\"", each.collect::<String>())
}

/// "Page 1 of 2", with the counters of the printer in place of the numbers.
fn numbered(words: Words) -> String {
    let said = say!(words, "report-page", page = "\u{1}", pages = "\u{2}");
    let counter = |c| if c == '\u{1}' { "counter(page)" } else { "counter(pages)" };
    let mut parts = Vec::new();
    let mut rest = said.as_str();
    while let Some(at) = rest.find(['\u{1}', '\u{2}']) {
        parts.extend((at > 0).then(|| text(&rest[..at])));
        parts.push(counter(rest[at..].chars().next().unwrap_or('\u{1}')).to_owned());
        rest = &rest[at + 1..];
    }
    parts.extend((!rest.is_empty()).then(|| text(rest)));
    parts.join(" ")
}

const RULES: &str = r#"
@page{margin:14mm 14mm 18mm;
 @bottom-left{content:$foot;font:8pt $fonts;color:$quiet}
 @bottom-center{content:$purpose;font:8pt $fonts;color:$quiet}
 @bottom-right{content:$number;font:8pt $fonts;color:$quiet}}
*{box-sizing:border-box}
html{background:$ground;color:$ink;font:16px/1.5 $fonts;-webkit-text-size-adjust:100%}
body{max-width:728px;margin:0 auto;padding:24px;overflow-wrap:anywhere}
h1{font-size:24px;line-height:1.25;margin:0 0 8px}
h2{font-size:20px;line-height:1.3;margin:32px 0 8px;padding-top:8px;border-top:2px solid $line}
h3{font-size:17px;line-height:1.3;margin:16px 0 4px}
h4{font-size:16px;margin:0}
p{margin:0 0 8px}
ul{margin:0 0 8px;padding-left:20px}
li{margin:0 0 4px}
.quiet,figcaption,caption,.source{color:$quiet;font-size:15px}
header{display:flex;gap:8px 24px;align-items:flex-start;flex-wrap:wrap}
header dl{flex:1 1 300px;display:grid;grid-template-columns:max-content 1fr;gap:2px 16px;margin:0}
dt{color:$quiet}dd{margin:0}
.label{flex:0 0 264px;height:128px;border:1.5px dashed $line;border-radius:8px;padding:8px 12px;color:$quiet;font-size:15px}
.warning{background:$panel;border:2px solid $ink;border-left-width:12px;border-radius:8px;padding:8px 16px;margin:0 0 8px}
.warning strong{display:block}.warning p{margin:0}
.leg{margin:0 0 16px}
.number{display:flex;flex-wrap:wrap;align-items:center;gap:0 24px;margin:0 0 4px}
.number p{margin:0}
.interval{font-size:20px}
.number b{font-size:56px;line-height:1.1;font-weight:700}
.number b.words{font-size:32px}
.guidance{background:$panel;border-radius:8px;padding:8px 16px 4px;margin:0 0 8px}
.guidance h3{margin:0}.guidance h4{margin:8px 0 0}
.scroll{overflow-x:auto}
svg{display:block;width:100%;min-width:560px;height:auto}
figure{margin:0 0 16px}
figcaption strong{color:$ink}
table{overflow-wrap:break-word;border-collapse:collapse;width:100%;min-width:560px;font-size:15px;line-height:1.35}
caption{text-align:left;padding:0 0 4px}
th,td{text-align:left;vertical-align:top;padding:5px 8px 5px 0;border-bottom:1px solid $line;font-weight:400}
thead th{font-weight:700;border-bottom:2px solid $ink}
tr.marked th,tr.marked td{font-weight:700}
tr.marked th{border-left:5px solid $ink;padding-left:8px}
tbody tr:not(.marked) th,thead th:first-child{padding-left:13px}
.blanks{display:grid;grid-template-columns:repeat(2,1fr);gap:40px 32px;margin:40px 0 8px}
.blanks div{border-top:1px solid $ink;padding-top:4px;color:$quiet;font-size:15px}
footer{margin-top:32px;padding-top:8px;border-top:2px solid $line;color:$quiet;font-size:15px}
@media(max-width:520px){body{padding:16px}.label{flex-basis:100%}}
@media print{
 .trail{break-before:page}
 html{background:none;font-size:10pt;line-height:1.4}
 body{max-width:none;padding:0;margin:0}
 h1{font-size:15pt;margin-bottom:8px}h2{font-size:12.5pt;margin:16px 0 6px}h3{font-size:11pt;margin:10px 0 2px}h4{font-size:10pt}
 h1,h2,h3,h4,caption,h2+.quiet{break-after:avoid}
 .quiet,figcaption,caption,.source,.label,footer,.blanks div{font-size:9pt}
 table{font-size:9pt}
 .interval{font-size:12.5pt}
 .number b{font-size:34pt;line-height:1}.number b.words{font-size:20pt}
 .guidance,.warning{background:none}
 .guidance{padding:0 0 0 12px;border-left:2px solid $line;border-radius:0}
 .leg,.warning,.guidance,figure,.quiet,table,tr,li,.blanks,footer,header{break-inside:avoid}
 thead{display:table-header-group}
 .scroll{overflow:visible}
 svg,table{min-width:0}
 figure{margin-bottom:6px}
 p,li{orphans:3;widows:3}
}
"#;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_text_can_leave_its_string() {
        let text = quoted("a\"}</style>é\\");
        assert_eq!(text, r#""a\22 \7d \3c \2f style\3e \e9 \5c ""#);
    }

    #[test]
    fn every_colour_is_filled_in() {
        let sheet = sheet(Words::english(), "K-1", true);
        assert!(!sheet.contains('$'), "a role has no colour");
        assert!(!sheet.contains('<') && !sheet.contains('&'));
    }
}
