//! Escaping for XML.

/// Appends words as XML text or as the value of an attribute in double quotes. Characters that
/// XML cannot hold at all, in any form, become U+FFFD.
pub fn push(out: &mut String, words: &str) {
    // Bytes that stand for themselves; U+FFFE and U+FFFF begin with EF.
    let safe = |b: u8| b >= b' ' && !matches!(b, b'&' | b'<' | b'>' | b'"' | 0xef);
    if words.bytes().all(safe) {
        out.push_str(words);
        return;
    }
    let plain = |c: char| {
        !matches!(
            c,
            '&' | '<' | '>' | '"' | '\0'..='\u{1f}' | '\u{fffe}' | '\u{ffff}'
        )
    };
    if words.chars().all(plain) {
        out.push_str(words);
        return;
    }
    for c in words.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\t' | '\n' | '\r' => out.push(' '),
            c if plain(c) => out.push(c),
            _ => out.push('\u{fffd}'),
        }
    }
}

/// Words without the characters that XML cannot hold; not escaped.
pub fn holdable(words: &str) -> String {
    words
        .chars()
        .map(|c| match c {
            '\t' | '\n' | '\r' => ' ',
            '\0'..='\u{1f}' | '\u{fffe}' | '\u{ffff}' => '\u{fffd}',
            c => c,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    #[test]
    fn escapes_what_xml_reads_itself() {
        let mut out = String::new();
        super::push(&mut out, "a < b & \"c\" > d'\u{1}\u{ffff}\n½");
        assert_eq!(
            out,
            "a &lt; b &amp; &quot;c&quot; &gt; d'\u{fffd}\u{fffd} ½"
        );
    }
}
