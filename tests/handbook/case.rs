//! One case: keys taken out one by one, so that what nobody asked for is noticed.

use std::sync::Arc;

use stackfall::codebook::Book;
use stackfall::units::{Fall, Length, PipeSize};
use toml::{Table, Value};

/// What a look-up or a calculation gave.
#[derive(Clone, Debug, PartialEq)]
pub enum Answer {
    /// A number, in the unit of the kind of case.
    Number(f64),
    /// Yes or no.
    Yes(bool),
    /// A word: `beyond`, `not listed`, `outlet`, a section.
    Word(String),
}

impl From<f64> for Answer {
    fn from(number: f64) -> Answer {
        Answer::Number(number)
    }
}

/// Shorthand for a look-up that left its table.
pub fn beyond() -> Answer {
    Answer::Word("beyond".to_owned())
}

/// A case, before or while it is run.
#[derive(Clone, Debug)]
pub struct Case {
    /// File and number, for messages.
    pub place: String,
    keys: Table,
}

impl Case {
    pub fn new(place: String, keys: Table) -> Self {
        Case { place, keys }
    }
    /// Where the case comes from.
    pub fn source(&self) -> &str {
        self.keys
            .get("source")
            .and_then(Value::as_str)
            .unwrap_or("")
    }
    /// The same case with an answer that is not the right one.
    pub fn with_a_wrong_answer(&self) -> Case {
        let mut other = self.clone();
        let wrong = match self.keys.get("is") {
            Some(Value::Boolean(yes)) => Value::Boolean(!yes),
            Some(Value::String(_)) => Value::Float(1.0),
            Some(Value::Integer(n)) => Value::Integer(n + 1),
            Some(Value::Float(n)) => Value::Float(n * 1.25 + 0.1),
            _ => Value::Boolean(true),
        };
        other.keys.insert("is".to_owned(), wrong);
        other
    }

    fn take(&mut self, key: &str) -> Option<Value> {
        self.keys.remove(key)
    }
    pub fn text(&mut self, key: &str) -> Result<String, String> {
        match self.take(key) {
            Some(Value::String(text)) => Ok(text),
            other => Err(format!("`{key}` should be a text, is {other:?}")),
        }
    }
    pub fn may_number(&mut self, key: &str) -> Result<Option<f64>, String> {
        match self.take(key) {
            None => Ok(None),
            Some(Value::Integer(n)) => Ok(Some(n as f64)),
            Some(Value::Float(n)) => Ok(Some(n)),
            other => Err(format!("`{key}` should be a number, is {other:?}")),
        }
    }
    pub fn number(&mut self, key: &str) -> Result<f64, String> {
        let number = self.may_number(key)?;
        number.ok_or_else(|| format!("`{key}` is missing"))
    }
    pub fn yes(&mut self, key: &str) -> Result<bool, String> {
        match self.take(key) {
            None => Ok(false),
            Some(Value::Boolean(yes)) => Ok(yes),
            other => Err(format!("`{key}` should be true or false, is {other:?}")),
        }
    }
    pub fn may_text(&mut self, key: &str) -> Result<Option<String>, String> {
        match self.take(key) {
            None => Ok(None),
            Some(Value::String(text)) => Ok(Some(text)),
            other => Err(format!("`{key}` should be a text, is {other:?}")),
        }
    }
    pub fn size(&mut self, key: &str) -> Result<PipeSize, String> {
        if let Some(dn) = self.may_number("dn")? {
            return PipeSize::from_dn(dn as u16).ok_or_else(|| format!("DN {dn} is no pipe size"));
        }
        let inches = self.number(key)?;
        PipeSize::from_inches(inches).ok_or_else(|| format!("{inches} in is no pipe size"))
    }
    /// A size by its DN, if given.
    pub fn may_size(&mut self, key: &str) -> Result<Option<PipeSize>, String> {
        let dn = self.may_number(key)?;
        Ok(dn.and_then(|dn| PipeSize::from_dn(dn as u16)))
    }
    pub fn book(&mut self) -> Result<Arc<Book>, String> {
        let id = self.text("book")?;
        let options = match self.take("options") {
            None => Vec::new(),
            Some(Value::Array(all)) => {
                let words = all.iter().filter_map(Value::as_str);
                words.map(str::to_owned).collect()
            }
            other => return Err(format!("`options` should be a list, is {other:?}")),
        };
        let book = Book::open(&id, std::path::Path::new("."), &options);
        book.map_err(|_| format!("no book `{id}` with {options:?}"))
    }
    /// A fall given as `inches_per_foot`, `percent` or `one_in`.
    pub fn fall(&mut self) -> Result<Fall, String> {
        let inches = self.may_number("inches_per_foot")?;
        let percent = self.may_number("percent")?;
        let one_in = self.may_number("one_in")?;
        match (inches, percent, one_in) {
            (Some(i), None, None) => Ok(Fall::from_inches_per_foot(i)),
            (None, Some(p), None) => Ok(Fall::from_percent(p)),
            (None, None, Some(n)) => Ok(Fall::from_ratio(1.0 / n)),
            _ => Err("a fall is inches_per_foot, percent or one_in".to_owned()),
        }
    }
    /// A length given in feet, inches or metres.
    pub fn length(&mut self) -> Result<Length, String> {
        let feet = self.may_number("feet")?;
        let inches = self.may_number("inches")?;
        let metres = self.may_number("metres")?;
        match (feet, inches, metres) {
            (Some(f), None, None) => Ok(Length::from_feet(f)),
            (None, Some(i), None) => Ok(Length::from_inches(i)),
            (None, None, Some(m)) => Ok(Length::from_mm(m * 1000.0)),
            _ => Err("a length is feet, inches or metres".to_owned()),
        }
    }

    /// Compares the answer with `is`, and sees that no key is left over.
    pub fn compare(mut self, answer: &Answer) -> Result<(), String> {
        let within = self.may_number("within")?.unwrap_or(1e-6);
        let expected = self.take("is").ok_or("`is` is missing")?;
        self.text("source")?;
        self.may_text("note")?;
        if let Some(key) = self.keys.keys().next() {
            return Err(format!("unknown key `{key}`"));
        }
        let same = match (&expected, answer) {
            (Value::Integer(n), Answer::Number(a)) => (*n as f64 - a).abs() <= within,
            (Value::Float(n), Answer::Number(a)) => (n - a).abs() <= within,
            (Value::Boolean(b), Answer::Yes(a)) => b == a,
            (Value::String(s), Answer::Word(a)) => s == a,
            _ => false,
        };
        if same {
            Ok(())
        } else {
            Err(format!("expected {expected}, got {answer:?}"))
        }
    }
}
