//! Orders of measurement as data: which site comes next, and which repeats come after the last.

use serde::Deserialize;
use toml::Spanned;

use super::event::{Phase, VisitKind};
use super::guidance::{DataFault, Status};
use super::index::{Part, form};
use super::repeats::{Pressures, wanted};
use super::site::{Artery, Side, Site};
use super::visit::Visit;
use crate::words::Words;

/// An order in which sites are turned to.
#[derive(Debug, Clone, PartialEq)]
pub struct Order {
    /// Its name in files.
    pub id: String,
    /// Its name in words.
    pub name: String,
    /// Where it comes from.
    pub source: String,
    /// How sure that is.
    pub status: Status,
    /// The sites, in order.
    pub sites: Vec<Site>,
    /// Those that are left out unless wanted.
    pub optional: Vec<Site>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    version: Spanned<i64>,
    id: String,
    name: String,
    source: String,
    status: Status,
    sites: Vec<Spanned<String>>,
    #[serde(default)]
    optional: Vec<Spanned<String>>,
}

const SHIPPED: [(&str, &str); 2] = [
    ("counter-clockwise.toml", include_str!("orders/counter-clockwise.toml")),
    ("arms-first.toml", include_str!("orders/arms-first.toml")),
];

/// The id of the order in use unless a service chooses another.
pub const DEFAULT: &str = "counter-clockwise";

/// The ids of the shipped orders.
pub fn ids() -> impl Iterator<Item = &'static str> {
    SHIPPED.iter().map(|(name, _)| name.trim_end_matches(".toml"))
}

/// A shipped order; `None` of an id that is not among them.
///
/// # Errors
/// A fault in a shipped file, which a test rules out.
pub fn shipped(id: &str) -> Option<Result<Order, DataFault>> {
    let (name, text) = SHIPPED.iter().find(|(name, _)| name.trim_end_matches(".toml") == id)?;
    Some(Order::parse(name, text))
}

impl Order {
    /// Reads an order from TOML; `name` is the file's, for the fault.
    ///
    /// # Errors
    /// The first fault, with its line and what was expected.
    pub fn parse(name: &str, text: &str) -> Result<Self, DataFault> {
        let fault = |at: usize, why: String| {
            let line = text.get(..at).unwrap_or(text).matches('\n').count() + 1;
            DataFault { name: name.into(), line, why }
        };
        let file: File = toml::from_str(text)
            .map_err(|e| fault(e.span().map_or(0, |s| s.start), e.message().replace('\n', ", ")))?;
        if *file.version.get_ref() != 1 {
            let why = "expected version = 1; a newer file needs a newer program";
            return Err(fault(file.version.span().start, why.into()));
        }
        let read = |codes: &[Spanned<String>]| {
            let mut sites: Vec<Site> = Vec::new();
            for code in codes {
                let found: Result<Site, _> = code.get_ref().parse();
                let site = found.map_err(|e| fault(code.span().start, e.to_string()))?;
                if sites.contains(&site) {
                    let why = format!("expected each site once, found {} again", code.get_ref());
                    return Err(fault(code.span().start, why));
                }
                sites.push(site);
            }
            Ok(sites)
        };
        let (sites, optional) = (read(&file.sites)?, read(&file.optional)?);
        if let Some(side) = Side::BOTH.into_iter().find(|side| !complete(&sites, *side)) {
            let why =
                format!("expected an arm and at least one ankle artery on the {}", side.words());
            return Err(fault(0, why));
        }
        let (id, name, source, status) = (file.id, file.name, file.source, file.status);
        Ok(Self { id, name, source, status, sites, optional })
    }

    /// The sites of a visit's round, by its kind. After exercise those only that the indexes at rest were made of: time
    /// counts, and the criteria are for the first minute.
    pub fn of_visit(&self, visit: &Visit) -> Vec<Site> {
        let kind = &visit.opened.scope;
        let mut sites: Vec<Site> = self.round(false).filter(|site| kind.wants(*site)).collect();
        let toes = Side::BOTH.map(|side| Site::new(side, Artery::GreatToe));
        sites.extend(toes.into_iter().filter(|toe| kind.wants(*toe)));
        // An artery that the order leaves out, and that this visit is about.
        if let VisitKind::OneArtery { site } = kind
            && !sites.contains(site)
        {
            sites.push(*site);
        }
        if visit.phase() == Phase::AfterExercise {
            let rest = Pressures::of(visit, Phase::Rest);
            let formed = Side::BOTH.map(|side| form(side, visit.opened.method, &rest));
            let used = |part: &Option<Part>, site: &Site| {
                part.as_ref().is_some_and(|part| part.sites.contains(site))
            };
            sites.retain(|site| formed.iter().any(|f| used(&f.ankle, site) || used(&f.arm, site)));
            // Ankles first: their pressure comes back within minutes.
            sites.sort_by_key(|site| site.is_arm());
        }
        sites
    }

    /// The sites of one round; the optional ones only where they are wanted.
    pub fn round(&self, with_optional: bool) -> impl DoubleEndedIterator<Item = Site> {
        self.sites.iter().copied().filter(move |s| with_optional || !self.optional.contains(s))
    }

    /// The site to turn to now: the first without an ended attempt, then what a rule asks for. None when
    /// all is done.
    pub fn next(&self, visit: &Visit) -> Option<Site> {
        let open = self.open(visit).into_iter().next();
        let again = || wanted(visit, Words::english()).first().map(|w| w.site);
        open.or_else(|| if visit.phase() == Phase::Rest { again() } else { None })
    }

    /// The sites of the visit's round without an outcome that counts.
    pub fn open(&self, visit: &Visit) -> Vec<Site> {
        let phase = visit.phase();
        let ended = |site: &Site| {
            let at = visit.attempts.iter().filter(|a| a.site == *site && a.phase == phase);
            at.into_iter().any(|a| a.outcome.is_some() && a.withdrawn.is_none())
        };
        self.of_visit(visit).into_iter().filter(|site| !ended(site)).collect()
    }
}

fn complete(sites: &[Site], side: Side) -> bool {
    let has = |artery| sites.contains(&Site::new(side, artery));
    has(Artery::Brachial) && Artery::ANKLE.into_iter().any(has)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::clinical::event::Posture;
    use crate::clinical::method::Method;
    use crate::clinical::moment::Moment;
    use crate::clinical::typed::{Given, events, opening};
    use crate::units::Mmhg;

    fn visit(given: &[(&str, &str)]) -> Visit {
        let given: Vec<(Site, Given)> =
            given.iter().map(|(s, g)| (s.parse().unwrap(), g.parse().unwrap())).collect();
        let at = Moment::parse("2026-11-03T10:15:02+01:00").unwrap();
        let opened = opening(Method::Higher, Mmhg::whole(2).unwrap(), Posture::Supine);
        Visit::from_events(&events(opened, at, &given)).unwrap()
    }

    #[test]
    fn the_shipped_orders_read_and_carry_their_ids() {
        for id in ids() {
            let order = shipped(id).unwrap().unwrap();
            assert_eq!(order.id, id);
            assert_eq!(order.round(false).count(), 6);
            assert_eq!(order.round(true).count(), 8);
        }
    }

    #[test]
    fn one_site_follows_another_and_then_the_repeats() {
        let order = shipped(DEFAULT).unwrap().unwrap();
        let next = |given: &[(&str, &str)]| order.next(&visit(given)).map(|s| s.code());
        assert_eq!(next(&[]).as_deref(), Some("right-arm"));
        let mut given = vec![("right-arm", "150"), ("right-pt", "none")];
        assert_eq!(next(&given).as_deref(), Some("right-dp"));
        given.extend([("right-dp", "140"), ("left-pt", "120"), ("left-dp", "124")]);
        assert_eq!(next(&given).as_deref(), Some("left-arm"));
        given.push(("left-arm", "139"));
        assert_eq!(
            next(&given).as_deref(),
            Some("right-arm"),
            "11 mmHg apart: the first arm again"
        );
        given.push(("right-arm", "145"));
        assert_eq!(next(&given), None);
    }

    #[test]
    fn a_wrong_order_names_its_line() {
        let text = include_str!("orders/arms-first.toml");
        let fault =
            |from: &str, to: &str| Order::parse("own.toml", &text.replace(from, to)).unwrap_err();
        assert!(
            fault("\"left-dp\"", "\"left-knee\"")
                .to_string()
                .contains("own.toml, line 6: `left-knee`")
        );
        assert!(fault("\"left-dp\"", "\"left-arm\"").to_string().contains("again"));
        assert_eq!(fault("version = 1", "version = 2").line, 1);
        assert!(fault("\"left-arm\", ", "").to_string().contains("patient's left"));
    }
}
