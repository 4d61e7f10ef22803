//! Which methods may be proposed: what the book has, less what the job forbids.

use std::cell::OnceCell;
use std::collections::{BTreeMap, BTreeSet};

use crate::codebook::Book;
use crate::job::{Job, Target};
use crate::network::draft::Draft;

/// The job's word on methods beside the book's.
pub(in crate::proposals) struct Choice<'a> {
    pub(in crate::proposals) job: &'a Job,
    pub(in crate::proposals) book: &'a Book,
    pub(in crate::proposals) draft: &'a Draft,
    homeless: OnceCell<Homeless>,
    serving: OnceCell<BTreeSet<usize>>,
}

/// Fixtures of the job that are on no drain yet.
#[derive(Default)]
pub(super) struct Homeless {
    /// Those that name a stack, by the stack.
    pub(super) into_stack: BTreeMap<usize, Vec<usize>>,
    /// Those that name nothing.
    pub(super) into_any: Vec<usize>,
    /// Whether any shares the drain of another fixture.
    pub(super) shares: bool,
}

impl<'a> Choice<'a> {
    /// Of one draft.
    pub(in crate::proposals) fn new(job: &'a Job, book: &'a Book, draft: &'a Draft) -> Self {
        Choice {
            job,
            book,
            draft,
            homeless: OnceCell::new(),
            serving: OnceCell::new(),
        }
    }

    /// The fixtures that are on no drain yet; looked up once.
    pub(super) fn homeless(&self) -> &Homeless {
        self.homeless.get_or_init(|| {
            let mut homeless = Homeless::default();
            let ways = self.draft.fixtures.iter().zip(&self.job.fixtures);
            let open = ways
                .enumerate()
                .filter(|(_, (way, _))| way.home.is_none() && !way.indirect);
            for (f, (_, fixture)) in open {
                match fixture.into.as_ref().map(|t| &t.value) {
                    Some(Target::Stack(s)) => homeless.into_stack.entry(*s).or_default().push(f),
                    None => homeless.into_any.push(f),
                    Some(Target::Fixture(_)) => homeless.shares = true,
                    _ => {}
                }
            }
            homeless
        })
    }

    /// Whether the vent of a fixture is stated to serve another as a wet vent.
    pub(in crate::proposals) fn serves(&self, fixture: usize) -> bool {
        let serving = self.serving.get_or_init(|| {
            let by = self.job.fixtures.iter();
            by.filter_map(|f| Some(f.vented_by.as_ref()?.value))
                .collect()
        });
        serving.contains(&fixture)
    }
    /// Whether a method may be proposed: the book has it, the job does not forbid it, and it is
    /// usual, or the job allows or prefers it.
    pub(in crate::proposals) fn may(&self, word: &str) -> bool {
        let forbidden = self.job.practice.forbid.iter().any(|w| w.value == word);
        let method = self.book.methods().get(word);
        method.is_some_and(|m| m.usual || self.asked(word)) && !forbidden
    }

    /// Whether the job allows or prefers a method by its word.
    pub(in crate::proposals) fn asked(&self, word: &str) -> bool {
        let practice = &self.job.practice;
        let mut asked = practice.allow.iter().chain(&practice.prefer);
        asked.any(|w| w.value == word)
    }

    /// Whether the job would rather have a vent at each trap than anything else.
    pub(in crate::proposals) fn rather_individual(&self) -> bool {
        let first = self.job.practice.prefer.first();
        first.is_some_and(|p| p.value.starts_with("individual"))
    }
}
