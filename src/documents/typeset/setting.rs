//! Documents that are being set, side by side with whatever else is to be done meanwhile.

use rayon::Scope;

use crate::typeset::{
    Proof, TypesettingError,
    data::Job,
    engine::{Engine, Pdf, Stamp},
};

/// Documents to be set, in order.
pub struct Setting<'a> {
    engine: &'a Engine,
    stamp: Stamp<'a>,
    jobs: Vec<Job>,
    set: Vec<Option<Result<Proof, TypesettingError>>>,
}

impl<'a> Setting<'a> {
    /// `jobs` for `engine`.
    pub(super) fn new(engine: &'a Engine, stamp: Stamp<'a>, jobs: Vec<Job>) -> Setting<'a> {
        let set = jobs.iter().map(|_| None).collect();
        Setting { engine, stamp, jobs, set }
    }

    /// Hands the documents to the threads of `scope`, the first first.
    ///
    /// Of a scope that was opened outside the threads' pool they take one after the other, and help with the pages of one that is
    /// begun before they take the next.
    pub fn start<'scope>(&'scope mut self, scope: &Scope<'scope>) {
        let (engine, stamp) = (self.engine, &self.stamp);
        for (job, place) in std::mem::take(&mut self.jobs).into_iter().zip(&mut self.set) {
            scope.spawn(move |_| *place = Some(engine.set(stamp, job)));
        }
    }

    /// The documents, once the scope has come to its end.
    ///
    /// # Errors
    /// The first document, in order, that a template can't set.
    pub fn documents(self) -> Result<Vec<Pdf>, TypesettingError> {
        let proofs = self.proofs()?;
        Ok(proofs.into_iter().map(|proof| Pdf { name: proof.name, bytes: proof.bytes }).collect())
    }

    /// The same with the words of every page and the typesetter's warnings.
    ///
    /// # Errors
    /// The first document, in order, that a template can't set.
    pub(super) fn proofs(self) -> Result<Vec<Proof>, TypesettingError> {
        self.set.into_iter().flatten().collect()
    }
}
