//! What a service has chosen for the conduct of its visits.

use crate::units::Mmhg;

/// What the service has chosen for its visits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rules {
    /// The highest pressure that a cuff is inflated to.
    pub ceiling: Mmhg,
    /// Minutes of rest that are to be kept.
    pub rest_min: u32,
    /// Whether the sites are known, so that readings are held against each other.
    pub sites_known: bool,
}
