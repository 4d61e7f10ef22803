//! Which methods may be proposed: what the book has, less what the job forbids.

use crate::codebook::Book;
use crate::job::Job;
use crate::network::draft::Draft;

/// The job's word on methods beside the book's.
pub(in crate::proposals) struct Choice<'a> {
    pub(in crate::proposals) job: &'a Job,
    pub(in crate::proposals) book: &'a Book,
    pub(in crate::proposals) draft: &'a Draft,
}

impl Choice<'_> {
    /// Whether a method may be proposed: the book has it, the job does not forbid it, and it is
    /// usual, or the job allows or prefers it.
    pub(in crate::proposals) fn may(&self, word: &str) -> bool {
        let practice = &self.job.practice;
        let among = |list: &[crate::job::Said<String>]| list.iter().any(|w| w.value == word);
        let method = self.book.methods().get(word);
        let asked = among(&practice.allow) || among(&practice.prefer);
        method.is_some_and(|m| m.usual || asked) && !among(&practice.forbid)
    }

    /// Whether the job would rather have a vent at each trap than anything else.
    pub(in crate::proposals) fn rather_individual(&self) -> bool {
        let first = self.job.practice.prefer.first();
        first.is_some_and(|p| p.value.starts_with("individual"))
    }
}
