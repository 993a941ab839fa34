//! Where an event stands among several laptops: whose it is, what its writer had not seen, whether it counts.

use serde::{Deserialize, Serialize};

/// Where an event stands among several laptops. Empty for a visit that one laptop wrote alone.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Apart {
    /// The chain that it stands in, where that is not the one which opened the visit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub chain: Option<String>,
    /// Numbers of events that stand before it and that its writer had not seen.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub unseen: Vec<u64>,
    /// Why the record book sets it aside: it is kept and shown, and does not count.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub aside: Option<String>,
}

impl Apart {
    /// True where there is nothing to say.
    pub fn is_usual(&self) -> bool {
        *self == Self::default()
    }
}
