//! Letters that the bundled font does not have.
//!
//! A painter that meets one sets the whole line in another font, or leaves a hole, and each
//! format does so in its own way. So they are replaced before anything is painted, and said.

use std::collections::BTreeSet;

use crate::assets;
use crate::diagnostics::{Diagnostic, Severity};
use crate::sheets::SheetSet;

/// What stands in a letter's place.
const INSTEAD: char = '?';
/// The font is known to have these, and printable ASCII: they are not looked up every time.
const KNOWN: &str = "¼½¾⅛⅜⅝⅞⅓⅔′″Ø°±×·–—→←↑↓²³";

/// Replaces letters that the font does not have, and says which.
pub fn settle(set: &mut SheetSet) -> Vec<Diagnostic> {
    let mut missing = BTreeSet::new();
    let texts = set
        .sheets
        .iter_mut()
        .flat_map(|s| &mut s.items)
        .flat_map(|i| &mut i.texts);
    for text in texts {
        if text.text.chars().all(known) {
            continue;
        }
        text.text = text
            .text
            .chars()
            .map(|c| {
                if known(c) || assets::missing(c.encode_utf8(&mut [0; 4])).is_none() {
                    c
                } else {
                    missing.insert(c);
                    INSTEAD
                }
            })
            .collect();
    }
    if missing.is_empty() {
        return Vec::new();
    }
    let letters: Vec<String> = missing
        .iter()
        .map(|c| format!("{} (U+{:04X})", c.escape_debug(), u32::from(*c)))
        .collect();
    vec![Diagnostic {
        code: "P104",
        name: "letter-not-in-font",
        severity: Severity::Warning,
        at: String::new(),
        span: None,
        message: format!(
            "the sheets' font does not have {}: drawn as {INSTEAD}",
            letters.join(", ")
        ),
        help: Some("write these words with other letters".to_owned()),
        section: None,
        note: None,
        cures: Vec::new(),
    }]
}

fn known(c: char) -> bool {
    c == ' ' || c.is_ascii_graphic() || (!c.is_ascii() && KNOWN.contains(c))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheets::{Item, Sheet, Text};

    #[test]
    fn what_is_known_is_there() {
        let ascii: String = (' '..='~').collect();
        assert_eq!(assets::missing(&ascii), None);
        assert_eq!(assets::missing(KNOWN), None);
    }

    #[test]
    fn replaces_and_tells() {
        let text = |words: &str| Text {
            text: words.to_owned(),
            at: kurbo::Point::ZERO,
            em: 3.0,
            weight: Default::default(),
            anchor: Default::default(),
            slant: Default::default(),
            grey: crate::sheets::Grey::BLACK,
        };
        let mut set = SheetSet::default();
        set.sheets.push(Sheet {
            number: "P-901".to_owned(),
            title: String::new(),
            paper: crate::sheets::PAPERS[0],
            drawing: crate::sheets::DrawingKind::Tables,
            purpose: "permit",
            items: vec![Item {
                texts: vec![text("Bad é ½″"), text("浴室\u{1}")],
                ..Item::default()
            }],
        });
        let said = settle(&mut set);
        let words: Vec<&str> = set.sheets[0].items[0]
            .texts
            .iter()
            .map(|t| t.text.as_str())
            .collect();
        assert_eq!(words, ["Bad é ½″", "???"]);
        assert_eq!(said.len(), 1);
        assert!(said[0].message.contains("U+6D74"), "{}", said[0].message);
        assert!(settle(&mut set).is_empty());
    }
}
