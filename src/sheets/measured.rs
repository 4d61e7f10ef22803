//! A text whose words have been measured once, so that it can be tried at many widths.

use super::lettering::{Hand, held};

/// Sums of the same widths in another order differ in their last bits, mm.
const SAME: f64 = 1e-6;

/// A text with the widths of its words; a figure and its unit are one word.
#[derive(Clone, Debug, Default)]
pub(super) struct Measured {
    pub text: String,
    pub hand: Hand,
    words: Vec<f64>,
    space: f64,
    /// Width on one line, and of the longest word: asked for at every width that is tried.
    whole: f64,
    longest: f64,
}

impl Measured {
    pub fn new(text: &str, hand: Hand) -> Measured {
        let words: Vec<f64> = held(text).into_iter().map(|w| hand.wide(w)).collect();
        let space = hand.space();
        let spaces = words.len().saturating_sub(1) as f64;
        Measured {
            text: text.to_owned(),
            hand,
            space,
            whole: words.iter().sum::<f64>() + space * spaces,
            longest: words.iter().copied().fold(0.0, f64::max),
            words,
        }
    }
    /// Width on one line.
    pub fn whole(&self) -> f64 {
        self.whole
    }
    /// Width of the longest word.
    pub fn longest(&self) -> f64 {
        self.longest
    }
    /// How many lines it takes.
    pub fn count(&self, width: f64) -> usize {
        if self.whole <= width {
            return 1;
        }
        if self.longest() > width + SAME {
            return self.hand.wrap(&self.text, width).len();
        }
        if self.words.len() <= 1 {
            return 1;
        }
        let mut lines = 1;
        self.breaks(width, |_, fresh| lines += usize::from(fresh));
        lines
    }
    /// Its lines.
    pub fn lines(&self, width: f64) -> Vec<String> {
        if self.longest() > width + SAME {
            return self.hand.wrap(&self.text, width);
        }
        if self.words.len() <= 1 {
            return vec![self.text.trim().to_owned()];
        }
        let words = held(&self.text);
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
        let width = width + SAME;
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
    fn a_figure_keeps_its_unit() {
        let m = Measured::new("DN 40: 1.829 m; DN 50: 2.438 m", Hand::BODY);
        for width in 16..60 {
            let lines = m.lines(f64::from(width));
            let torn = |l: &String| l.starts_with("m") || l.ends_with("DN");
            assert!(!lines.iter().any(torn), "{lines:?}");
        }
    }

    #[test]
    fn counts_the_lines_that_it_gives() {
        let text = "VENTS RISE TO 6″ ABOVE THE FLOOD LEVEL RIM BEFORE THEY TURN LEVEL";
        let m = Measured::new(text, Hand::BODY);
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
        assert_eq!(Measured::new("", Hand::BODY).lines(9.0), [""]);
    }
}
