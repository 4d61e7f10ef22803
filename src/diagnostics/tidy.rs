//! The order that diagnostics are printed in, and nothing twice.

use super::Diagnostic;

/// Sorts by place in the file, then code, then the thing and the words; drops repetitions.
/// What has no place in the file comes last.
pub fn tidy(list: &mut Vec<Diagnostic>) {
    list.sort_by(|a, b| key(a).cmp(&key(b)));
    list.dedup();
}

type Key<'d> = (
    bool,
    usize,
    usize,
    &'d str,
    &'d str,
    &'d str,
    std::cmp::Reverse<super::Severity>,
);

fn key(d: &Diagnostic) -> Key<'_> {
    let (start, end) = d.span.as_ref().map_or((0, 0), |s| (s.start, s.end));
    (
        d.span.is_none(),
        start,
        end,
        d.code,
        &d.at,
        &d.message,
        std::cmp::Reverse(d.severity),
    )
}

#[cfg(test)]
mod tests {
    use super::super::{Diagnostic, Severity};
    use super::*;

    fn at(code: &'static str, span: Option<std::ops::Range<usize>>) -> Diagnostic {
        Diagnostic {
            code,
            name: "a-defect",
            severity: Severity::Error,
            at: "X".to_owned(),
            span,
            message: "is wrong".to_owned(),
            help: None,
            section: None,
            note: None,
            cures: Vec::new(),
        }
    }

    #[test]
    fn by_place_then_code_and_once() {
        let mut list = vec![
            at("B", None),
            at("A", Some(9..10)),
            at("C", Some(2..3)),
            at("B", Some(2..3)),
            at("A", Some(9..10)),
        ];
        tidy(&mut list);
        let codes: Vec<_> = list.iter().map(|d| (d.code, d.span.is_some())).collect();
        assert_eq!(codes, [("B", true), ("C", true), ("A", true), ("B", false)]);
    }
}
