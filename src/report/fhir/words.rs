//! Typed text as it may stand in a resource.

/// Typed text as FHIR wants it: no controls, trimmed, none where nothing is left.
pub(super) fn clean(text: &str) -> Option<String> {
    let kept: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    let kept = kept.trim();
    (!kept.is_empty()).then(|| kept.to_owned())
}
