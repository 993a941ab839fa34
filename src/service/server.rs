//! A FHIR server as the sender sees it: what it took, what it refuses for good, and when to come back.

use std::time::Duration;

use anyhow::ensure;
use serde_json::Value;

use super::auth::{Pass, percent};
use super::choices::{Auth, Fhir};
use super::http::{self, Answer, Ask};
use super::said::{note, plain};

/// So often is asked in one run where no answer comes.
const TRIES: u32 = 3;
/// The pause before the second try.
const PAUSE: Duration = Duration::from_millis(400);
/// A server that asks to be left alone no longer than this is waited for at once, seconds.
const SOON_S: i64 = 3;

/// What came of a request.
pub(super) enum Said {
    /// It was taken.
    Answer(Value),
    /// It was refused, and will be again.
    No(String),
    /// The patient is not there, or not once.
    NoPatient(String),
    /// What lies there was deleted there.
    Gone(String),
    /// Not now; after so many seconds where the server said so.
    Later(String, Option<i64>),
    /// What came back is no answer of a FHIR server.
    NotFhir(String),
    /// Nobody answers, or nobody knows this program: no other visit would fare better.
    Down(String),
}

impl Said {
    pub(super) fn words(&self) -> &str {
        match self {
            Said::Answer(_) => "taken",
            Said::No(why) | Said::NoPatient(why) | Said::Gone(why) => why,
            Said::Later(why, _) | Said::NotFhir(why) | Said::Down(why) => why,
        }
    }

    /// Whether the server answered that it took nothing.
    pub(super) const fn is_no(&self) -> bool {
        matches!(self, Said::No(_) | Said::Gone(_) | Said::NoPatient(_))
    }

    pub(super) const fn is_gone(&self) -> bool {
        matches!(self, Said::Gone(_))
    }

    pub(super) const fn is_down(&self) -> bool {
        matches!(self, Said::Down(_) | Said::NotFhir(_))
    }

    pub(super) const fn retry_after_s(&self) -> Option<i64> {
        match self {
            Said::Later(_, after) => *after,
            _ => None,
        }
    }
}

/// The server.
pub(super) struct Server {
    base: String,
    agent: ureq::Agent,
    pass: Pass,
}

impl Server {
    /// One at this base address.
    ///
    /// # Errors
    /// Neither https nor this machine; a file of certificates or secrets cannot be read.
    pub(super) fn new(base: &str, fhir: &Fhir, auth: &Auth) -> anyhow::Result<Self> {
        let base = base.trim_end_matches('/').to_owned();
        ensure!(http::protected(&base), "{base}: only https is sent to, or http on this machine");
        Ok(Self { base, agent: http::agent(fhir, auth)?, pass: Pass::of(auth)? })
    }

    pub(super) fn base(&self) -> &str {
        &self.base
    }

    /// Sends a transaction.
    pub(super) fn post(&self, bytes: &[u8]) -> Said {
        match self.patiently(&self.base, &Ask::Fhir(bytes)) {
            Ok(answer) => self.judged(answer),
            Err(said) => said,
        }
    }

    /// The one resource of a kind with this identifier, as a reference.
    pub(super) fn find(&self, kind: &str, system: &str, value: &str) -> Result<String, Said> {
        let url = format!(
            "{}/{kind}?identifier={}%7C{}&_count=2",
            self.base,
            percent(system),
            percent(value)
        );
        let answer = self.patiently(&url, &Ask::Get)?;
        let found = match self.judged(answer) {
            Said::Answer(found) => found,
            other => return Err(other),
        };
        let entries = found["entry"].as_array().into_iter().flatten();
        let ids: Vec<&str> = entries
            .filter(|entry| entry["resource"]["resourceType"] == kind)
            .filter_map(|entry| entry["resource"]["id"].as_str())
            .collect();
        match ids.as_slice() {
            [id] => Ok(format!("{kind}/{id}")),
            [] => Err(Said::NoPatient(format!("the server has no patient {value} of {system}"))),
            _ => {
                Err(Said::NoPatient(format!("the server has several patients {value} of {system}")))
            }
        }
    }

    /// Asks, and again where no answer came: whatever was sent arrives once by its identifiers.
    fn patiently(&self, url: &str, what: &Ask<'_>) -> Result<Answer, Said> {
        let mut pause = PAUSE;
        let mut renewed = false;
        let mut left = TRIES;
        loop {
            let token = match self.pass.token(&self.agent, renewed) {
                Ok(token) => token,
                Err(fault) => return Err(Said::Down(plain(&format!("{fault:#}")))),
            };
            left = left.saturating_sub(1);
            let why = match http::ask(&self.agent, url, token.as_deref(), what) {
                Ok(answer) if answer.status == 401 && self.pass.renews() && !renewed => {
                    renewed = true;
                    continue;
                }
                Ok(answer) => {
                    let soon = answer.retry_after_s.is_none_or(|s| s <= SOON_S);
                    let busy = answer.status == 429 || answer.status >= 500;
                    if !busy || left == 0 || !soon {
                        return Ok(answer);
                    }
                    if let Some(s) = answer.retry_after_s {
                        pause = pause.max(Duration::from_secs(s.unsigned_abs()));
                    }
                    format!("the server answered {}", answer.status)
                }
                Err(fault) if left == 0 => {
                    return Err(Said::Down(format!("{}: {}", self.base, cause(&fault))));
                }
                Err(fault) => cause(&fault),
            };
            note(&format!("{}: {why}; trying again", self.base));
            std::thread::sleep(pause);
            pause *= 2;
        }
    }

    /// What an answer means.
    fn judged(&self, answer: Answer) -> Said {
        let told =
            |why: &str| format!("{}: {why} ({}): {}", self.base, answer.status, answer.words());
        match answer.status {
            200..=299 if answer.body["resourceType"] == "Bundle" => Said::Answer(answer.body),
            200..=299 => Said::NotFhir(format!(
                "{}: the answer is not that of a FHIR server: is the address its base address?",
                self.base
            )),
            300..=399 => Said::Down(format!(
                "{}: redirects elsewhere ({}), which is not followed: name the right address",
                self.base, answer.status
            )),
            401 | 403 => {
                Said::Down(format!("{}{}", told("does not let this program in"), answer.clocks()))
            }
            404 if answer.body["resourceType"] != "OperationOutcome" => {
                Said::Down(format!("{}: there is no FHIR server at this address (404)", self.base))
            }
            404 | 410 => Said::Gone(told(
                "something that was sent was deleted there; send it anew with --again --over",
            )),
            409 => Said::Later(told("another change is under way there"), answer.retry_after_s),
            412 => Said::No(told(
                "a result was changed there by somebody else; look at it, then --again --over",
            )),
            429 | 500.. => Said::Later(told("cannot take it now"), answer.retry_after_s),
            _ => Said::No(told("refused")),
        }
    }
}

/// Why there was no answer, in words.
fn cause(fault: &ureq::Error) -> String {
    match fault {
        ureq::Error::Timeout(_) => "no answer in time".into(),
        ureq::Error::HostNotFound => "no such server is known: is the network there?".into(),
        ureq::Error::Rustls(why) => format!("its certificate or TLS is not as it should be: {why}"),
        ureq::Error::Io(why) => {
            match why.get_ref().and_then(|inner| inner.downcast_ref::<rustls::Error>()) {
                Some(tls) => format!("its certificate or TLS is not as it should be: {tls}"),
                None => format!("no whole answer came: {}", plain(&why.to_string())),
            }
        }
        other => format!("no whole answer came: {}", plain(&other.to_string())),
    }
}
