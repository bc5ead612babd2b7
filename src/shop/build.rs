use super::Shop;
use crate::plan::syntax::Plan;
use crate::words::Vocabulary;
use std::sync::Arc;

/// The model of a plan.
pub fn build(_plan: &Plan, vocabulary: Arc<Vocabulary>) -> Shop {
    Shop::new(vocabulary)
}
