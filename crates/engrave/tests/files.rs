//! The written files: SVG that any reader takes, the same bytes every time, PDF and PNG with
//! all their text.

use linewright_engrave::{Kind, Options, Paper, SvgFont, Theme, pages};

mod support;

/// FNV-1a, 64 bits.
fn hash(text: &str) -> u64 {
    text.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x100_0000_01b3)
    })
}

fn all_svg() -> String {
    let mut all = String::new();
    for (name, score) in support::sheets() {
        for theme in [Theme::Light, Theme::Dark, Theme::Inherit] {
            let options = Options {
                theme,
                ..support::everything(&score)
            };
            for page in pages(&score, &options) {
                all.push_str(name);
                all.push_str(&page.svg());
            }
        }
    }
    all
}

#[test]
fn the_bytes_are_the_same_every_time_and_on_every_machine() {
    let all = all_svg();
    assert_eq!(all, all_svg());
    assert_eq!(
        hash(&all),
        437_856_283_414_840_821,
        "the sheets have changed: look at them (examples/sheets.rs), then write their hash here"
    );
}

#[test]
fn the_svg_is_well_formed_and_its_texts_are_escaped() {
    let mut score = support::blues();
    score.title = Some("<b>\"Rhythm\" & 'Blues'</b>\u{1}\u{fffe}".to_owned());
    score.measures[0].events[0].under = vec!["</text><script>".to_owned()];
    let options = Options {
        id_prefix: "x\"><b".to_owned(),
        ..support::everything(&score)
    };
    let svg = pages(&score, &options)[0].svg();
    assert!(!svg.contains("<script>") && !svg.contains("<b>"));
    let mut reader = quick_xml::Reader::from_str(&svg);
    let mut depth = 0;
    let mut text = String::new();
    loop {
        match reader.read_event().unwrap() {
            quick_xml::events::Event::Start(_) => depth += 1,
            quick_xml::events::Event::End(_) => depth -= 1,
            quick_xml::events::Event::Text(piece) => {
                text.push_str(&format!("{piece:?}"));
            }
            quick_xml::events::Event::Eof => break,
            _ => {}
        }
    }
    assert_eq!(depth, 0);
    assert!(text.contains("Rhythm"));
}

#[test]
fn every_note_has_an_id_and_says_where_it_is() {
    let score = support::blues();
    let options = Options {
        id_prefix: "line1-".to_owned(),
        ..Options::default()
    };
    let svg = pages(&score, &options)[0].svg();
    for (number, measure) in score.measures.iter().enumerate() {
        for (index, event) in measure.events.iter().enumerate() {
            let group = format!(
                "<g class=\"note\" id=\"line1-e{number}-{index}\" data-event=\"{index}\" \
                 data-measure=\"{number}\" data-tick=\"{}\">",
                event.at
            );
            assert_eq!(svg.matches(&group).count(), 1, "{group}");
        }
    }
    assert!(
        svg.contains("id=\"line1-c3-13440\""),
        "the second chord of bar 4"
    );
}

#[test]
fn a_page_has_the_size_of_its_paper() {
    let score = support::blues();
    let size = |paper| {
        let options = Options {
            paper,
            ..Options::default()
        };
        let page = pages(&score, &options).remove(0);
        let svg = page.svg();
        let start = svg.find("width=").unwrap();
        svg[start..].split(" viewBox").next().unwrap().to_owned()
    };
    assert_eq!(size(Paper::A4), "width=\"210mm\" height=\"297mm\"");
    assert_eq!(size(Paper::Letter), "width=\"215.9mm\" height=\"279.4mm\"");
    assert!(size(Paper::Endless).starts_with("width=\"210mm\""));
}

#[test]
fn a_file_that_stands_alone_holds_the_font() {
    let score = support::blues();
    let options = |svg_font| Options {
        svg_font,
        ..Options::default()
    };
    let named = pages(&score, &options(SvgFont::Named))[0].svg();
    let embedded = pages(&score, &options(SvgFont::Embedded))[0].svg();
    assert!(!named.contains("@font-face"));
    assert!(embedded.contains("@font-face"));
    let more = embedded.len() - named.len();
    assert!((2_000..14_000).contains(&more), "{more}");
}

#[test]
fn an_empty_score_is_a_page_with_its_title() {
    let score = linewright_notation::Score {
        title: Some("Nothing yet".to_owned()),
        ..Default::default()
    };
    for paper in [Paper::A4, Paper::Endless] {
        let options = Options {
            paper,
            ..Options::default()
        };
        let pages = pages(&score, &options);
        assert_eq!(pages.len(), 1);
        assert!(pages[0].svg().contains("Nothing yet"));
    }
}

#[test]
fn names_stand_on_either_side_just_above_the_music_and_never_on_each_other() {
    let long = "Wilhelmina Archibald-Fotheringay the Younger of Nether Wallop";
    for (title, composer, student) in [
        ("Walk", Some("Ada Lind"), Some("Kim Oh")),
        ("Walk", Some("Ada Lind"), None),
        ("", None, Some("Kim Oh")),
        ("Walk", Some(long), Some(long)),
    ] {
        let mut score = support::tune(title, "C", 4, "C7: C2 E2 G2 A2 | F7: F2 A2 C3 D3");
        score.composer = composer.map(str::to_owned);
        score.student = student.map(str::to_owned);
        for page in pages(&score, &Options::default()) {
            assert!(page.collisions().is_empty(), "{:?}", page.collisions());
            assert!(page.outside().is_empty());
            let marks = || page.marks().iter();
            let credits: Vec<_> = marks().filter(|m| m.kind() == Kind::Credit).collect();
            let told = usize::from(composer.is_some()) + usize::from(student.is_some());
            assert_eq!(credits.len(), told);
            let middle = page.bounds().right / 2;
            for mark in credits {
                let bounds = mark.bounds();
                if mark.text().starts_with("Student: ") {
                    assert!(bounds.right <= middle, "{bounds:?}");
                } else {
                    assert_eq!(Some(mark.text()).as_deref(), composer);
                    assert!(bounds.left >= middle, "{bounds:?}");
                }
                let title = marks().filter(|m| m.kind() == Kind::Title);
                assert!(title.into_iter().all(|m| m.bounds().bottom < bounds.top));
                let music = marks().filter(|m| m.kind() == Kind::StaffLine);
                assert!(music.into_iter().all(|m| m.bounds().top > bounds.bottom));
            }
        }
    }
}

#[cfg(feature = "print")]
mod print {
    use super::*;
    use linewright_engrave::pdf;
    use tiny_skia::Pixmap;

    fn long() -> linewright_notation::Score {
        let bars = "C7: C2 E2 G2 A2 | Am7 D7: A1 C2 D2 F#1 |".repeat(40);
        support::tune("A Long Way Down", "C", 4, &bars)
    }

    #[test]
    fn a_long_score_has_numbered_pages_in_one_file() {
        let score = long();
        let options = support::everything(&score);
        let pages = pages(&score, &options);
        assert!(pages.len() > 1);
        for (number, page) in pages.iter().enumerate() {
            let wanted = format!("{} / {}", number + 1, pages.len());
            assert!(page.marks().iter().any(|mark| mark.text() == wanted));
        }
        let file = pdf(&pages).unwrap();
        let text = String::from_utf8_lossy(&file);
        assert!(text.starts_with("%PDF-"));
        assert_eq!(text.matches("/MediaBox").count(), pages.len());
        assert!(text.contains("/FontFile2") && text.contains("/ToUnicode"));
        assert!(file.len() < 60_000 * pages.len(), "{} bytes", file.len());
        assert_eq!(file, pdf(&pages).unwrap());
    }

    #[test]
    fn no_page_is_no_file() {
        let refused = pdf(&[]).unwrap_err();
        assert_eq!(refused.to_string(), "there is no page to write");
    }

    #[test]
    fn letters_that_the_font_lacks_are_told_and_shown_as_question_marks() {
        let mut score = support::blues();
        score.title = Some("漢 é".to_owned());
        let pages = pages(&score, &Options::default());
        assert_eq!(pages[0].missing_letters(), ['漢']);
        assert!(pages[0].svg().contains('漢'));
        assert!(pdf(&pages).is_ok());
    }

    /// Where a mark stands in a picture of a page, and how many of its dots are inked.
    fn ink(picture: &Pixmap, page: &linewright_engrave::Page, kind: Kind) -> (usize, usize) {
        let mark = page
            .marks()
            .iter()
            .find(|mark| mark.kind() == kind)
            .unwrap();
        let (bounds, paper) = (mark.bounds(), page.bounds());
        let dot = |at: i64| (at * i64::from(picture.width()) / paper.right) as usize;
        let (mut all, mut inked) = (0, 0);
        for y in dot(bounds.top)..=dot(bounds.bottom) {
            for x in dot(bounds.left)..=dot(bounds.right) {
                let pixel = picture.pixels()[y * picture.width() as usize + x];
                all += 1;
                inked += usize::from(pixel.red() < 128);
            }
        }
        (all, inked)
    }

    #[test]
    fn the_picture_has_ink_where_marks_stand_and_texts_are_drawn() {
        let score = support::blues();
        let page = &pages(&score, &support::everything(&score))[0];
        let picture = Pixmap::decode_png(&page.png(150).unwrap()).unwrap();
        // 210 by 297 mm at 150 dots an inch.
        assert_eq!((picture.width(), picture.height()), (1241, 1754));
        let kinds = [
            Kind::Title,
            Kind::Under(0),
            Kind::Footer,
            Kind::ChordSymbol,
            Kind::Head,
            Kind::Clef,
            Kind::Section,
        ];
        for kind in kinds {
            let (all, inked) = ink(&picture, page, kind);
            assert!(
                inked * 12 > all && inked < all,
                "{kind:?}: {inked} of {all}"
            );
        }
        assert!(page.png(0).is_err());
        assert!(page.png(9000).is_err());
    }
}
