//! Numbers as the trade writes them: `12`, `4.5`, `1/4`, `11 7/8`, `11-7/8`, `1½`.

/// Reads an unsigned number with an optional fraction. Nothing else may stand in the text.
pub fn number(text: &str) -> Option<f64> {
    let text = text.trim();
    for (glyph, value) in [
        ('½', 0.5),
        ('¼', 0.25),
        ('¾', 0.75),
        ('⅛', 0.125),
        ('⅜', 0.375),
        ('⅝', 0.625),
        ('⅞', 0.875),
    ] {
        if let Some(head) = text.strip_suffix(glyph) {
            let head = head.trim_end();
            return if head.is_empty() {
                Some(value)
            } else {
                Some(decimal(head)? + value)
            };
        }
    }
    if !text.contains('/') {
        return decimal(text);
    }
    // The whole part ends at the last blank or dash before the fraction.
    match text.rsplit_once([' ', '-']) {
        Some((whole, part)) => {
            let whole = whole.trim().trim_end_matches('-').trim_end();
            Some(integer(whole)? + fraction(part)?)
        }
        None => fraction(text),
    }
}

fn fraction(text: &str) -> Option<f64> {
    let (top, bottom) = text.split_once('/')?;
    let (top, bottom) = (integer(top.trim())?, integer(bottom.trim())?);
    (bottom > 0.0).then(|| top / bottom)
}

fn integer(text: &str) -> Option<f64> {
    let plain = !text.is_empty() && text.len() <= 9 && text.bytes().all(|b| b.is_ascii_digit());
    if plain { text.parse().ok() } else { None }
}

/// Digits with at most one point; no sign, no exponent, so that `1e9` and `inf` do not read.
fn decimal(text: &str) -> Option<f64> {
    let plain = text.len() <= 15
        && text.bytes().any(|b| b.is_ascii_digit())
        && text.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    if plain { text.parse().ok() } else { None }
}

#[cfg(test)]
mod tests {
    use super::number;

    #[test]
    fn reads_what_the_trade_writes() {
        assert_eq!(number("12"), Some(12.0));
        assert_eq!(number("4.5"), Some(4.5));
        assert_eq!(number(".5"), Some(0.5));
        assert_eq!(number("1/4"), Some(0.25));
        assert_eq!(number("11 7/8"), Some(11.875));
        assert_eq!(number("11-7/8"), Some(11.875));
        assert_eq!(number("1½"), Some(1.5));
        assert_eq!(number("4 ½"), Some(4.5));
    }

    #[test]
    fn refuses_the_rest() {
        for text in [
            "", " ", ".", "-1", "1e9", "inf", "NaN", "1/0", "1//2", "1.2.3", "1 2", "a", "7/8/9",
            "1.5 1/2", "½½",
        ] {
            assert_eq!(number(text), None, "{text}");
        }
    }
}
