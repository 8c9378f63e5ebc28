//! The practice page: one HTML file with the staff, a player and a reason for every note.
//!
//! Nothing is loaded from anywhere: script, style, staff and data stand in the file, and its
//! content security policy forbids the network. The staff is there twice, in four bars a
//! system and in two for narrow screens, and once more in pages where it takes more than one
//! sheet of paper.
//!
//! - `page.html`, `page.css`: the page and its looks, on screen and on paper
//! - `sound.js`: the plucked string and the click
//! - `player.js`: what sounds when
//! - `staff.js`: choosing notes, the cursor
//! - `controls.js`: buttons and keys
//! - `data`: what the scripts know of the line
//! - `template`: filling and escaping

mod data;
mod template;

use linewright_compose::{Line, Provenance, VERSION};
use linewright_engrave::{Options, Page, Paper, SvgFont, Theme, font_face, pages};
use linewright_notation::Score;
use linewright_notation::about::PROGRAM;

use crate::score::{Under, fingering_remarks};
use data::Data;
use linewright_engrave::escaped;
use template::{fill, script_safe};

const PAGE: &str = include_str!("page.html");
const STYLE: &str = include_str!("page.css");
const SCRIPT: [&str; 4] = [
    include_str!("sound.js"),
    include_str!("player.js"),
    include_str!("staff.js"),
    include_str!("controls.js"),
];

/// What everybody is told who hears and plays along.
const CAUTION: &str = "Begin with the volume low, above all with headphones. Practise with \
    breaks; stop if a hand, an arm or a stretch hurts, and ask a teacher or a doctor.";

/// The height of a staff on narrow screens, in thousandths of a millimetre on a page of 210 mm.
const LARGE_STAFF: u32 = 13_000;

/// What a page is made of.
pub(crate) struct Content<'a> {
    /// The lines, at least one.
    pub lines: &'a [&'a Line],
    /// Whether a bar of rest stands between them.
    pub rests_between: bool,
    /// All of them as one part.
    pub score: &'a Score,
    /// What stands under the notes.
    pub under: &'a [Under],
    /// How the staff is engraved: paper, footer, tension.
    pub options: &'a Options,
}

/// The page. Ends with a line break; the same content always gives the same bytes.
pub(crate) fn page(content: &Content) -> String {
    let title = content.score.title.as_deref().unwrap_or("");
    let title = escaped(if title.is_empty() { PROGRAM } else { title });
    let first = content.lines.first();
    let narrow = Options {
        bars_per_system: 2,
        staff_height: LARGE_STAFF,
        ..content.options.clone()
    };
    let narrow = Content {
        options: &narrow,
        ..*content
    };
    let wide = sheets(content, Paper::Endless, "w");
    let narrow = sheets(&narrow, Paper::Endless, "n");
    let mut print = sheets(content, content.options.paper, "p");
    if print.len() < 2 {
        print.clear();
    }
    let font = font_face(&[&wide[..], &narrow, &print].concat());
    let (paged, print) = match print.is_empty() {
        true => ("", String::new()),
        false => (
            "paged",
            format!("<div class=\"sheet print\">\n{}</div>\n", svg(&print)),
        ),
    };
    let remarks = first.map(|line| fingering_remarks(line, content.under));
    let remarks = remarks.unwrap_or_default().into_iter();
    let remarks = remarks.map(|remark| ("fingering".to_owned(), remark));
    let credits = first.into_iter().flat_map(|line| line.credits.told());
    let making = first.map(|line| Provenance::of(line).facts());
    let facts: String = credits
        .map(|(name, who)| (name.to_owned(), who.to_owned()))
        .chain(making.unwrap_or_default())
        .chain(remarks)
        .map(|(name, value)| {
            let (name, value) = (escaped(&name), escaped(&value));
            format!("<div><dt>{name}</dt><dd>{value}</dd></div>\n")
        })
        .collect();
    let data = Data::of(content.lines, content.rests_between, content.under);
    let script = SCRIPT.join("\n");
    fill(
        PAGE,
        &[
            ("generator", &escaped(&format!("{PROGRAM} {VERSION}"))),
            ("paged", paged),
            ("title", &title),
            ("style", &format!("{font}\n{}", STYLE.trim_end())),
            ("paper", paper_name(content.options.paper)),
            ("wide", &svg(&wide)),
            ("narrow", &svg(&narrow)),
            ("print", &print),
            ("caution", CAUTION),
            ("facts", &facts),
            ("line", &script_safe(&data.json())),
            (
                "script",
                &format!("\"use strict\";\n(() => {{\n{script}}})();\n"),
            ),
        ],
    )
}

/// The staff on a paper.
fn sheets(content: &Content, paper: Paper, id: &str) -> Vec<Page> {
    let options = Options {
        paper,
        theme: Theme::Inherit,
        svg_font: SvgFont::Given,
        id_prefix: format!("{id}-"),
        ..content.options.clone()
    };
    pages(content.score, &options)
}

/// Pages as SVG to stand in the page.
fn svg(pages: &[Page]) -> String {
    pages.iter().map(|page| slim(&page.svg())).collect()
}

/// An SVG without what this page does not use of its groups, which are many: their ids and the
/// numbers of their events.
fn slim(svg: &str) -> String {
    let mut out = String::with_capacity(svg.len());
    for line in svg.split_inclusive('\n') {
        match line.split_once('>') {
            Some((group, rest)) if group.starts_with("<g ") => {
                out.push_str(&without(&without(group, " id=\""), " data-event=\""));
                out.push('>');
                out.push_str(rest);
            }
            _ => out.push_str(line),
        }
    }
    out
}

/// A tag without the attribute that begins like this, with its quotation mark.
fn without(tag: &str, attribute: &str) -> String {
    let cut = tag.split_once(attribute).and_then(|(before, value)| {
        let (_, after) = value.split_once('"')?;
        Some(format!("{before}{after}"))
    });
    cut.unwrap_or_else(|| tag.to_owned())
}

/// The paper as CSS names it.
fn paper_name(paper: Paper) -> &'static str {
    match paper {
        Paper::Letter => "letter",
        Paper::A4 | Paper::Endless => "A4",
    }
}

#[cfg(test)]
mod tests;
