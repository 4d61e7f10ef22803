//! A text whose words have been measured once, so that trying it at many widths costs no shaping.

use std::collections::BTreeMap;

use super::lettering::Hand;

/// Widths of words that were met before, in mm, by hand.
#[derive(Default)]
pub(super) struct Ruler {
    body: BTreeMap<String, f64>,
    strong: BTreeMap<String, f64>,
}

impl Ruler {
    fn wide(&mut self, word: &str, hand: Hand) -> f64 {
        let known = match hand {
            h if h == Hand::BODY => &mut self.body,
            h if h == Hand::STRONG => &mut self.strong,
            h => return h.wide(word),
        };
        match known.get(word) {
            Some(w) => *w,
            None => *known.entry(word.to_owned()).or_insert(hand.wide(word)),
        }
    }
}

/// A text with the widths of its words.
#[derive(Clone, Debug)]
pub(super) struct Measured {
    pub text: String,
    pub hand: Hand,
    words: Vec<f64>,
    space: f64,
}

impl Measured {
    pub fn new(text: &str, hand: Hand, ruler: &mut Ruler) -> Measured {
        let mut m = Measured {
            text: text.to_owned(),
            hand,
            words: Vec::new(),
            space: 0.0,
        };
        m.measure(hand, ruler);
        m
    }
    /// A text that is yet to be measured.
    pub fn plain(text: String) -> Measured {
        Measured {
            text,
            hand: Hand::BODY,
            words: Vec::new(),
            space: 0.0,
        }
    }
    pub fn measure(&mut self, hand: Hand, ruler: &mut Ruler) {
        self.hand = hand;
        self.space = hand.space();
        self.words = self
            .text
            .split_whitespace()
            .map(|w| ruler.wide(w, hand))
            .collect();
    }
    /// Width on one line.
    pub fn whole(&self) -> f64 {
        let spaces = self.words.len().saturating_sub(1) as f64;
        self.words.iter().sum::<f64>() + self.space * spaces
    }
    /// Width of the longest word.
    pub fn longest(&self) -> f64 {
        self.words.iter().copied().fold(0.0, f64::max)
    }
    /// How many lines it takes.
    pub fn count(&self, width: f64) -> usize {
        if self.longest() > width {
            return self.hand.wrap(&self.text, width).len();
        }
        let mut lines = 1;
        self.breaks(width, |_, fresh| lines += usize::from(fresh));
        lines
    }
    /// Its lines.
    pub fn lines(&self, width: f64) -> Vec<String> {
        if self.longest() > width {
            return self.hand.wrap(&self.text, width);
        }
        let words: Vec<&str> = self.text.split_whitespace().collect();
        let mut lines = vec![String::new()];
        self.breaks(width, |i, fresh| {
            if fresh {
                lines.push(String::new());
            }
            if let (Some(line), Some(word)) = (lines.last_mut(), words.get(i)) {
                if !line.is_empty() {
                    line.push(' ');
                }
                line.push_str(word);
            }
        });
        lines
    }
    /// Tells for each word whether it opens a further line.
    fn breaks(&self, width: f64, mut tell: impl FnMut(usize, bool)) {
        // Sums of the same widths in another order differ in their last bits.
        let width = width + 1e-6;
        let mut used = 0.0;
        for (i, w) in self.words.iter().enumerate() {
            let fresh = i > 0 && used + self.space + w > width;
            used = if i == 0 || fresh {
                *w
            } else {
                used + self.space + w
            };
            tell(i, fresh);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_the_lines_that_it_gives() {
        let text = "VENTS RISE TO 6″ ABOVE THE FLOOD LEVEL RIM BEFORE THEY TURN LEVEL";
        let mut ruler = Ruler::default();
        let m = Measured::new(text, Hand::BODY, &mut ruler);
        for width in [8.0, 20.0, 47.0, 80.0, m.whole(), 400.0] {
            let lines = m.lines(width);
            assert_eq!(lines.len(), m.count(width), "{width}");
            assert!(
                lines.iter().all(|l| Hand::BODY.wide(l) <= width + 0.3),
                "{lines:?}"
            );
            assert_eq!(lines.concat().replace(' ', ""), text.replace(' ', ""));
        }
        assert_eq!(m.count(m.whole()), 1);
        assert_eq!(Measured::new("", Hand::BODY, &mut ruler).lines(9.0), [""]);
    }
}
