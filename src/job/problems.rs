//! Collects what is wrong with a job file. Every code of this stage stands in one list, so that
//! the reference and the tests see the same ones.

use std::collections::BTreeMap;

use crate::diagnostics::{Diagnostic, Severity, Span};

/// A kind of mistake in a job file: its stable code, its name, and what it means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Mistake {
    /// Stable code.
    pub code: &'static str,
    /// Name that states the defect.
    pub name: &'static str,
    /// What it means, in one sentence.
    pub doc: &'static str,
}

macro_rules! mistakes {
    ($($id:ident $code:literal $name:literal $doc:literal;)*) => {
        $(#[doc = $doc] pub const $id: Mistake = Mistake { code: $code, name: $name, doc: $doc };)*
        /// Every kind of mistake that the reader reports.
        pub const MISTAKES: &[Mistake] = &[$($id),*];
    };
}

mistakes! {
    NOT_TOML "J001" "not-toml" "The file does not read as TOML.";
    UNKNOWN_KEY "J002" "unknown-key" "A key that the job file does not have.";
    MISSING_KEY "J003" "missing-key" "A key that this thing cannot do without.";
    WRONG_TYPE "J004" "wrong-type" "A number where words are expected, or the like.";
    UNREADABLE_LENGTH "J005" "unreadable-length" "A length that does not read.";
    UNREADABLE_SIZE "J006" "unreadable-size" "A pipe size that is not in the trade's list.";
    UNREADABLE_FALL "J007" "unreadable-fall" "A fall that does not read.";
    UNREADABLE_FLOW "J008" "unreadable-flow" "A flow or a flush that does not read.";
    UNREADABLE_LEG "J009" "unreadable-leg" "A leg of a run that does not read.";
    UNKNOWN_WORD "J010" "unknown-word" "A word that is not one of those allowed here.";
    OUT_OF_RANGE "J011" "out-of-range" "A value that cannot be: negative, nil or far too large.";
    UNREADABLE_NAME "J012" "unreadable-name" "A name with characters that names do not have.";
    RESERVED_NAME "J013" "reserved-name" "A name that the job file keeps for itself.";
    NAME_USED_TWICE "J014" "name-used-twice" "A name that stands for two things.";
    UNKNOWN_NAME "J015" "unknown-name" "A name that is not defined.";
    WRONG_KIND_OF_THING "J016" "wrong-kind-of-thing" "A name of something that does not fit here.";
    STACK_INTO_STACK "J017" "stack-into-stack" "A stack that stands on a stack: that is an offset.";
    REFERS_TO_ITSELF "J018" "refers-to-itself" "A thing that names itself.";
    GOES_IN_A_CIRCLE "J019" "goes-in-a-circle" "Things that lead into each other in a circle.";
    TWO_STACKS_IN_ONE_PLACE "J020" "two-stacks-in-one-place" "Two stacks in one place.";
    TWO_DRAINS_IN_LINE "J021" "two-drains-in-line" "Two drains that go on in line from one end.";
    STATION_WITHOUT_DRAIN "J022" "station-without-drain" "A station on something without length.";
    ROOF_BELOW_FLOOR "J023" "roof-below-floor" "A roof that is not above every floor.";
    NOTHING_TO_DRAIN "J024" "nothing-to-drain" "A job without fixtures.";
    UNREADABLE_TEXT "J025" "unreadable-text" "Words that cannot be lettered on one line.";
    UNREADABLE_RANGE "J026" "unreadable-range" "A range of names that does not read: an end is missing, they are unlike, or it is upside down.";
    TWO_COPIES_IN_ONE_PLACE "J027" "two-copies-in-one-place" "A group, or two, that puts two like things in one place.";
    TOO_MANY_MADE "J028" "too-many-made" "A range or a repeat that makes more things than a building has.";
    MADE_NAME_TOO_LONG "J029" "made-name-too-long" "A copy whose name, with its stack and floor, gets too long to letter.";
    LEADS_OUT_OF_ITS_GROUP "J030" "leads-out-of-its-group" "A thing of a group that leads to one outside: each copy would.";
    REPEATED_ON_A_DRAIN "J031" "repeated-on-a-drain" "A group that is repeated over floors on a drain, which lies on one.";
    CHANGED_WITHOUT_NOW "J032" "changed-without-now" "A part that is said to be changed, and not how.";
    NOW_WITHOUT_CHANGED "J033" "now-without-changed" "What a part is now, on a mark that does not say that it was changed.";
    CHANGED_TWICE "J034" "changed-twice" "A key of a part that two marks change.";
}

/// The mistakes that show in the words at fault alone, wherever else the file is broken.
pub const BY_ITSELF: &[Mistake] = &[
    UNKNOWN_KEY,
    UNREADABLE_LENGTH,
    UNREADABLE_SIZE,
    UNREADABLE_FALL,
    UNREADABLE_FLOW,
    UNREADABLE_LEG,
    UNKNOWN_WORD,
    OUT_OF_RANGE,
    UNREADABLE_NAME,
    RESERVED_NAME,
    UNREADABLE_TEXT,
    UNREADABLE_RANGE,
];

/// How many suggestions one file may cost: a hostile file must not buy quadratic work.
const SUGGESTIONS: usize = 200;

/// What is wrong so far.
#[derive(Debug, Default)]
pub struct Problems {
    list: Vec<Diagnostic>,
    /// The first of each kind at each place, and how many more things have it there: what is made
    /// from one line has its mistakes told once.
    told: BTreeMap<(&'static str, usize, usize), (usize, usize)>,
    suggestions: usize,
}

impl Problems {
    /// Adds one.
    pub fn add(
        &mut self,
        mistake: Mistake,
        at: &str,
        span: Span,
        message: impl Into<String>,
        help: impl Into<Option<String>>,
    ) {
        let key = (mistake.code, span.start, span.end);
        if let Some((first, more)) = self.told.get_mut(&key) {
            if self.list.get(*first).is_some_and(|d| d.at != at) {
                *more += 1;
                return;
            }
        } else {
            self.told.insert(key, (self.list.len(), 0));
        }
        self.list.push(Diagnostic {
            at: at.to_owned(),
            span: Some(span),
            help: help.into(),
            ..Diagnostic::plain(mistake.code, mistake.name, Severity::Error, message.into())
        });
    }
    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }
    /// All of them, as found.
    pub fn into_list(mut self) -> Vec<Diagnostic> {
        for (first, more) in self.told.values() {
            if let (Some(d), 1..) = (self.list.get_mut(*first), *more) {
                d.note = Some(format!(
                    "the same holds for {more} more made from this line"
                ));
            }
        }
        self.list
    }
    /// The nearest right word, as long as the file has not used up its share.
    pub fn nearest<'a>(
        &mut self,
        word: &str,
        words: impl IntoIterator<Item = &'a str>,
    ) -> Option<&'a str> {
        self.suggestions += 1;
        if self.suggestions > SUGGESTIONS {
            return None;
        }
        super::nearest::nearest(word, words)
    }
}

/// A value that did not read: the kind of mistake, what is wrong, what was expected.
#[derive(Clone, Debug, PartialEq)]
pub struct Unread {
    /// The kind of mistake.
    pub mistake: Mistake,
    /// What is wrong.
    pub message: String,
    /// What was expected.
    pub help: Option<String>,
}

impl Unread {
    /// Of this kind.
    pub fn new(mistake: Mistake, message: impl Into<String>, help: impl Into<String>) -> Self {
        Unread {
            mistake,
            message: message.into(),
            help: Some(help.into()),
        }
    }
}

/// A word shortened for a message: a hostile value must not flood the screen.
pub fn shown(word: &str) -> String {
    const MOST: usize = 60;
    let clean = |c: char| if c.is_control() { '\u{fffd}' } else { c };
    let mut text: String = word.chars().take(MOST).map(clean).collect();
    if word.chars().nth(MOST).is_some() {
        text.push('…');
    }
    text
}

/// `a, b or c`, each in backquotes.
pub fn any_of<'a>(words: impl IntoIterator<Item = &'a str>) -> String {
    const MOST: usize = 14;
    let words: Vec<&str> = words.into_iter().collect();
    if words.len() > MOST {
        let head: Vec<String> = words.iter().take(MOST).map(|w| format!("`{w}`")).collect();
        return format!("{} and {} more", head.join(", "), words.len() - MOST);
    }
    match words.split_last() {
        None => String::new(),
        Some((last, [])) => format!("`{last}`"),
        Some((last, head)) => {
            let head: Vec<String> = head.iter().map(|w| format!("`{w}`")).collect();
            format!("{} or `{last}`", head.join(", "))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_and_names_are_used_once() {
        for (i, a) in MISTAKES.iter().enumerate() {
            for b in &MISTAKES[i + 1..] {
                assert_ne!(a.code, b.code);
                assert_ne!(a.name, b.name);
            }
        }
    }

    #[test]
    fn lists_read_as_sentences() {
        assert_eq!(any_of(["a"]), "`a`");
        assert_eq!(any_of(["a", "b", "c"]), "`a`, `b` or `c`");
        assert_eq!(shown("a\nb"), "a\u{fffd}b");
    }
}
