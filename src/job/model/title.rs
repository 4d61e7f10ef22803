//! What the sheet says of the job, and how its levels tie to the survey.

use crate::units::Length;

/// Words for the title block (`[job]`).
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Title {
    /// `title`
    pub title: String,
    /// `number`
    pub number: Option<String>,
    /// `address`
    pub address: Option<String>,
    /// `client`
    pub client: Option<String>,
    /// `drawn_by`
    pub drawn_by: Option<String>,
    /// `drawn_by_address`
    pub drawn_by_address: Option<String>,
    /// `license`
    pub license: Option<String>,
    /// `permit`
    pub permit: Option<String>,
    /// `scope`
    pub scope: Option<String>,
    /// `date`, as written; never today's date.
    pub date: Option<String>,
    /// `revision`
    pub revision: Option<String>,
    /// `checked_by`
    pub checked_by: Option<String>,
}

/// `zero` of `[job]`: what level 0 is, and how it ties to the survey.
#[derive(Clone, Debug, PartialEq)]
pub struct Zero {
    /// What level 0 is, in words (`first floor`).
    pub is: Option<String>,
    /// Survey elevation of level 0, in the job's units.
    pub survey: Option<Length>,
    /// The benchmark, in words.
    pub benchmark: Option<String>,
    /// The benchmark's level above zero.
    pub level: Option<Length>,
}
