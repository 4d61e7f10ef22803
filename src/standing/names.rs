//! Ids of what was proposed, which are known once it is.

use std::collections::BTreeSet;

use crate::diagnostics::{Diagnostic, Severity};
use crate::job::{Job, UNKNOWN_NAME, nearest};
use crate::network::Network;

/// Marks that name nothing: errors, as any name that is not defined.
pub fn unknown(job: &Job, net: &Network) -> Vec<Diagnostic> {
    let ids = job
        .progress
        .iter()
        .flat_map(|p| p.on.iter().map(move |on| (p, on)));
    let ids: Vec<_> = ids.filter(|(_, on)| on.value.contains('.')).collect();
    if ids.is_empty() {
        return Vec::new();
    }
    let runs = net.runs.iter().map(|r| r.id.as_str());
    let pieces = net.graph.edge_weights().map(|p| p.id.as_str());
    let cleanouts = net.cleanouts.iter().map(|c| c.id.as_str());
    let known: BTreeSet<&str> = runs.chain(pieces).chain(cleanouts).collect();
    let missing = ids
        .into_iter()
        .filter(|(_, on)| !known.contains(on.value.as_str()));
    missing
        .map(|(mark, on)| {
            let help = match nearest(&on.value, known.iter().copied()) {
                Some(near) => format!("did you mean `{near}`?"),
                None => "expected a name of the job, or a pipe as the pipe schedule has it".into(),
            };
            let message = format!("nothing on the drawing is called `{}`", on.value);
            let (code, name) = (UNKNOWN_NAME.code, UNKNOWN_NAME.name);
            Diagnostic {
                at: mark.name.clone(),
                span: Some(on.span.clone()),
                help: Some(help),
                ..Diagnostic::plain(code, name, Severity::Error, message)
            }
        })
        .collect()
}
