use super::teller::Teller;
use super::{Reason, Remark};
use crate::law;
use crate::law::verdict::Outcome;

/// Passes that deserve a line: exactly at a limit, or let off by an exception. Changing one of
/// them unaware is the next mistake.
pub(super) fn remarks(teller: &Teller<'_>) -> Vec<Remark> {
    let mut limits = law::Limits::new(teller.code, teller.shop());
    let passes = teller.checked.verdicts.iter().filter(|v| v.outcome == Outcome::Pass);
    passes
        .filter_map(|verdict| {
            let rule = teller.rule(verdict)?;
            let (reason, text) = if let Some(except) = verdict.exception.and_then(|i| rule.excepts.get(i)) {
                (Reason::ByException, except.title.clone())
            } else {
                (Reason::JustEnough, limits.met(verdict).into_iter().next()?)
            };
            Some(Remark { reason, rule: rule.name.clone(), about: teller.about(verdict.item), text })
        })
        .collect()
}
