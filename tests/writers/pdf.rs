//! PDF: size, words, bytes. What only poppler can tell is told by poppler, where it is installed
//! (`.ci/run` sees to that).

use std::process::Command;

use stackfall::writers::pdf::pdf;

use crate::handmade;
use crate::temp::Temp;

/// What one of poppler's tools says of the set; none, with a word about it, where it is missing.
fn poppler(tool: &str, options: &[&str]) -> Option<String> {
    let folder = Temp::new(&format!("pdf-{tool}{}", options.concat()));
    let file = folder.path().join("set.pdf");
    std::fs::write(&file, pdf(&handmade::set()).expect("a PDF")).expect("written");
    let mut command = Command::new(tool);
    command.args(options).arg(&file);
    if tool == "pdftotext" {
        command.arg("-");
    }
    let Ok(out) = command.output() else {
        eprintln!("NOT CHECKED: {tool} is not installed (apt-get install poppler-utils)");
        return None;
    };
    assert!(
        out.status.success(),
        "{}",
        String::from_utf8_lossy(&out.stderr)
    );
    Some(String::from_utf8_lossy(&out.stdout).into_owned())
}

#[test]
fn pages_have_the_exact_size_of_their_paper() {
    let Some(said) = poppler("pdfinfo", &["-f", "1", "-l", "2"]) else {
        return;
    };
    let sizes: Vec<&str> = said.lines().filter(|l| l.contains(" size:")).collect();
    assert!(sizes[0].contains(" 1296 x 864 pts"), "{sizes:?}");
    assert!(sizes[1].contains(" 1190.55 x 841.89 pts"), "{sizes:?}");
    assert!(
        said.contains("Title:           Made by hand & looked at"),
        "{said}"
    );
    assert!(!said.contains("CreationDate"), "{said}");
}

#[test]
fn words_can_be_searched() {
    let Some(said) = poppler("pdftotext", &["-raw"]) else {
        return;
    };
    for words in handmade::WORDS {
        assert!(said.contains(words), "{words} is not in\n{said}");
    }
    // Poppler breaks slanted words up into lines of their own, at 60° into letters: all of them
    // are there, and in order.
    let joined = |s: &str| s.split_whitespace().collect::<String>();
    let said = joined(&said);
    for (of, times) in [(0, 2), (1, 3), (3, 3), (6, 2)] {
        let words = joined(handmade::WORDS[of]);
        assert_eq!(said.matches(&words).count(), times, "{words}");
    }
}

#[test]
fn fonts_are_embedded_with_a_way_back_to_unicode() {
    let Some(said) = poppler("pdffonts", &[]) else {
        return;
    };
    let fonts: Vec<&str> = said.lines().skip(2).collect();
    assert!(fonts.len() >= 2, "{said}");
    for font in fonts {
        assert!(
            font.contains("StackfallLettering") && font.contains(" yes yes yes "),
            "{said}"
        );
    }
}

#[test]
fn the_same_set_gives_the_same_bytes() {
    let first = pdf(&handmade::set()).expect("a PDF");
    assert!(first.starts_with(b"%PDF-"));
    assert_eq!(first, pdf(&handmade::set()).expect("a PDF"));
}

#[test]
fn a_set_without_sheets_is_told_in_words() {
    assert!(pdf(&stackfall::sheets::SheetSet::default()).is_err());
}
