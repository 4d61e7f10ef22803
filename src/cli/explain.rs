//! `stackfall explain`: what a finding is about.

use super::End;
use super::args::ExplainArgs;
use super::terminal;
use crate::findings::{RULES, Rule};
use crate::job::nearest;

pub(super) fn explain(a: &ExplainArgs) -> End {
    let Some(said) = &a.code else {
        let mut rules: Vec<&Rule> = RULES.iter().collect();
        rules.sort_by_key(|r| r.meta.code);
        let each = rules.into_iter().map(|r| {
            let word = r.meta.severity.word();
            format!("{}  {word:<7}  {}\n", r.meta.code, r.meta.name)
        });
        terminal::out(&each.collect::<String>());
        return End::Clean;
    };
    let is = |r: &&Rule| r.meta.code.eq_ignore_ascii_case(said) || r.meta.name == said;
    match RULES.iter().find(is) {
        Some(rule) => {
            terminal::out(&format!("{}\n", rule.explanation()));
            End::Clean
        }
        None => {
            let known = RULES.iter().flat_map(|r| [r.meta.code, r.meta.name]);
            let meant = nearest(said, known);
            let meant = meant.map_or(String::new(), |m| format!("; did you mean `{m}`?"));
            terminal::err(&format!("there is no finding `{said}`{meant}\n"));
            End::Failed
        }
    }
}
