//! The one printer of diagnostics.

use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};

use super::{Diagnostic, Severity, Span};
use crate::job::Source;

/// Line and column, both from 1, of a byte offset; columns count characters.
pub fn line_column(text: &str, offset: usize) -> (usize, usize) {
    let offset = floor(text, offset);
    let head = text.get(..offset).unwrap_or("");
    let start = head.rfind('\n').map_or(0, |i| i + 1);
    let line = head.bytes().filter(|b| *b == b'\n').count() + 1;
    (line, head.get(start..).map_or(0, |l| l.chars().count()) + 1)
}

/// The nearest character boundary at or before an offset, within the text.
fn floor(text: &str, offset: usize) -> usize {
    let mut offset = offset.min(text.len());
    while !text.is_char_boundary(offset) {
        offset -= 1;
    }
    offset
}

/// Prints diagnostics for a person: severity, code and name, message, the line of the job file
/// with the words at fault marked, what was expected, the section. Those without a place in the
/// file are printed without a snippet.
pub fn render(diags: &[Diagnostic], source: &Source, colour: bool) -> String {
    let renderer = if colour {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    let renderer = renderer.decor_style(DecorStyle::Ascii);
    let mut out = String::new();
    for d in diags {
        if !out.is_empty() {
            out.push('\n');
        }
        out.push_str(&renderer.render(&[group(d, source)]));
        out.push('\n');
    }
    out
}

fn group<'d>(d: &'d Diagnostic, source: &'d Source) -> Group<'d> {
    let level = match d.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
        Severity::Advice => Level::NOTE.with_name("advice"),
    };
    let title = if d.at.is_empty() || d.message.contains(&d.at) {
        d.message.clone()
    } else {
        format!("{}: {}", d.at, d.message)
    };
    let mut group = level
        .primary_title(title)
        .id(format!("{} {}", d.code, d.name))
        .elements([] as [Snippet<'d, annotate_snippets::Annotation<'d>>; 0]);
    if let Some(span) = d.span.as_ref().filter(|s| !(s.start == 0 && s.end == 0)) {
        group = group.element(snippet(span, source));
    }
    if let Some(section) = &d.section {
        group = group.element(Level::NOTE.with_name("section").message(section.as_str()));
    }
    let group = match (&d.help, d.cures.len()) {
        (Some(help), 0) => group.element(Level::HELP.message(help.as_str())),
        (_, 0) => group,
        _ => d.cures.iter().fold(group, |group, cure| {
            let words = format!("{}\n{}", cure.words, cure.typed());
            group.element(Level::HELP.with_name("cure").message(words))
        }),
    };
    match &d.note {
        Some(note) => group.element(Level::NOTE.message(note.as_str())),
        None => group,
    }
}

/// Only the lines at fault go to the printer, so that a long file costs no more than a short one.
fn snippet<'d>(span: &Span, source: &'d Source) -> Snippet<'d, annotate_snippets::Annotation<'d>> {
    let text = source.text.as_str();
    let start = floor(text, span.start);
    let end = floor(text, span.end).max(start);
    let from = text
        .get(..start)
        .and_then(|h| h.rfind('\n'))
        .map_or(0, |i| i + 1);
    // Words that run over several lines are marked on the first.
    let line_end = text
        .get(start..)
        .and_then(|t| t.find('\n'))
        .map_or(text.len(), |i| start + i);
    let line = text
        .get(from..line_end)
        .unwrap_or("")
        .trim_end_matches('\r');
    let marked = (start - from).min(line.len())..(end.min(line_end) - from).min(line.len());
    let (number, _) = line_column(text, start);
    Snippet::source(line)
        .line_start(number)
        .path(source.path.as_str())
        .annotation(AnnotationKind::Primary.span(marked))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn source(text: &str) -> Source {
        Source {
            path: "job.toml".to_owned(),
            text: text.to_owned(),
        }
    }
    fn diagnostic(span: Option<Span>) -> Diagnostic {
        Diagnostic {
            code: "J002",
            name: "unknown-key",
            severity: Severity::Error,
            at: "S1".to_owned(),
            span,
            message: "a stack has no key `staton`".to_owned(),
            help: Some("did you mean `station`?".to_owned()),
            section: None,
            note: None,
            cures: Vec::new(),
        }
    }

    #[test]
    fn lines_and_columns_count_characters() {
        assert_eq!(line_column("a\nbé c", 0), (1, 1));
        assert_eq!(line_column("a\nbé c", 2), (2, 1));
        assert_eq!(line_column("a\nbé c", 6), (2, 4));
        // In the middle of a character, and beyond the end.
        assert_eq!(line_column("a\nbé c", 4), (2, 2));
        assert_eq!(line_column("a\n", 99), (2, 1));
        assert_eq!(line_column("", 0), (1, 1));
    }

    #[test]
    fn marks_the_words_at_fault() {
        let src = source("[stacks]\nS1 = { staton = \"3'\" }\n");
        let text = render(&[diagnostic(Some(16..22))], &src, false);
        let expected = "error[J002 unknown-key]: S1: a stack has no key `staton`
 --> job.toml:2:8
  |
2 | S1 = { staton = \"3'\" }
  |        ^^^^^^
  |
  = help: did you mean `station`?
";
        assert_eq!(text, expected);
    }

    #[test]
    fn without_a_place_there_is_no_snippet() {
        let text = render(&[diagnostic(None)], &source("x"), false);
        assert!(!text.contains("job.toml"), "{text}");
        assert!(text.contains("did you mean"), "{text}");
    }

    #[test]
    fn any_span_prints() {
        for text in ["", "\n", "é", "a\r\nb\r\n", "\u{202e}x"] {
            for start in 0..8 {
                for end in 0..8 {
                    let span = Span { start, end };
                    assert!(
                        render(&[diagnostic(Some(span))], &source(text), true).contains("J002")
                    );
                }
            }
        }
    }
}
