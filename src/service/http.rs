//! Asking a server: TLS always, plain only on this machine, no redirects, one answer or the reason why there is none.

use std::path::Path;
use std::time::Duration;

use anyhow::{Context, ensure};
use jiff::Timestamp;
use serde_json::Value;
use ureq::tls::{ClientCert, PemItem, RootCerts, TlsConfig, parse_pem};

use super::choices::{Auth, Fhir};
use super::said::plain;

/// Longest time for one request, seconds, where the service chose none.
const PATIENCE_S: u64 = 60;
/// Largest answer that is read, bytes.
const MOST: u64 = 16 << 20;
/// Clocks that differ by more bring a warning, seconds: a token lives five minutes.
const APART_S: i64 = 240;

/// One answer of a server.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Answer {
    pub(super) status: u16,
    /// Null where it was no JSON.
    pub(super) body: Value,
    /// How long the server asks to be left alone, seconds.
    pub(super) retry_after_s: Option<i64>,
    /// By how much the server's clock is ahead of this computer's, seconds.
    pub(super) ahead_s: Option<i64>,
}

impl Answer {
    pub(super) const fn is_good(&self) -> bool {
        self.status >= 200 && self.status < 300
    }

    /// The server's own words for what it objects to.
    pub(super) fn words(&self) -> String {
        let issues = self.body["issue"].as_array().into_iter().flatten();
        let words = issues.filter_map(|issue| {
            issue["diagnostics"].as_str().or(issue["details"]["text"].as_str())
        });
        let words: Vec<&str> = words.collect();
        let other = ["error_description", "error"].map(|name| self.body[name].as_str());
        let words = match words.is_empty() {
            false => words.join("; "),
            true => other.into_iter().flatten().next().unwrap_or("no reason given").to_owned(),
        };
        plain(&words)
    }

    /// A sentence where this computer's clock and the server's are far apart.
    pub(super) fn clocks(&self) -> String {
        match self.ahead_s {
            Some(s) if s.abs() > APART_S => {
                let side = if s > 0 { "behind" } else { "ahead of" };
                format!(
                    " (this computer's clock is {} s {side} the server's: set it right)",
                    s.abs()
                )
            }
            _ => String::new(),
        }
    }
}

/// TLS, or this machine itself.
pub(super) fn protected(url: &str) -> bool {
    // A name before `@` could be taken for the host, and a secret does not belong into an address.
    if url.contains(|c: char| c == '@' || c == '\\' || c.is_whitespace() || c.is_control()) {
        return false;
    }
    let Some(rest) = url.strip_prefix("http://") else { return url.starts_with("https://") };
    let host = rest.split(['/', '?', '#']).next().unwrap_or("");
    let name = host.rsplit_once(':').map_or(host, |(name, _)| name);
    ["localhost", "127.0.0.1", "[::1]"].contains(&name)
}

/// What asks.
pub(super) fn agent(fhir: &Fhir, auth: &Auth) -> anyhow::Result<ureq::Agent> {
    let mut tls = TlsConfig::builder();
    if let Some(path) = &fhir.authority {
        let certificates = certificates(path)?;
        tls = tls.root_certs(RootCerts::new_with_certs(&certificates));
    }
    match (&auth.certificate, &auth.key) {
        (Some(certificate), Some(key)) => {
            let name = || key.display().to_string();
            let pem = std::fs::read(key).with_context(name)?;
            let private = ureq::tls::PrivateKey::from_pem(&pem);
            // What the reader says of a key could quote it.
            let private =
                private.ok().with_context(|| format!("{}: holds no private key", name()))?;
            tls = tls.client_cert(Some(ClientCert::new_with_certs(
                &certificates(certificate)?,
                private,
            )));
        }
        (None, None) => {}
        _ => anyhow::bail!("auth.certificate and auth.key belong together: name both"),
    }
    let config = ureq::Agent::config_builder()
        .timeout_global(Some(Duration::from_secs(fhir.wait_s.unwrap_or(PATIENCE_S))))
        .http_status_as_error(false)
        .max_redirects(0)
        .user_agent(concat!("cuffnote-service/", env!("CARGO_PKG_VERSION")))
        .tls_config(tls.build());
    Ok(config.build().into())
}

fn certificates(path: &Path) -> anyhow::Result<Vec<ureq::tls::Certificate<'static>>> {
    let name = || path.display().to_string();
    let pem = std::fs::read(path).with_context(name)?;
    let mut found = Vec::new();
    for item in parse_pem(&pem) {
        if let PemItem::Certificate(certificate) = item.with_context(name)? {
            found.push(certificate);
        }
    }
    ensure!(!found.is_empty(), "{}: holds no certificate", path.display());
    Ok(found)
}

/// One request.
pub(super) enum Ask<'a> {
    /// Reads.
    Get,
    /// Sends FHIR.
    Fhir(&'a [u8]),
    /// Sends a form.
    Form(&'a str),
}

/// Asks once.
///
/// # Errors
/// There was no whole answer: the server is down or slow, its certificate is wrong, the connection broke.
pub(super) fn ask(
    agent: &ureq::Agent,
    url: &str,
    token: Option<&str>,
    what: &Ask<'_>,
) -> Result<Answer, ureq::Error> {
    let bearer = token.map(|token| format!("Bearer {token}"));
    let mut response = match what {
        Ask::Get => {
            let mut request = agent.get(url).header("Accept", "application/fhir+json");
            if let Some(bearer) = &bearer {
                request = request.header("Authorization", bearer);
            }
            request.call()?
        }
        Ask::Fhir(bytes) => {
            let mut request = agent
                .post(url)
                .header("Content-Type", "application/fhir+json; charset=utf-8")
                .header("Accept", "application/fhir+json")
                // Only where things lie is wanted back, not all of what was sent.
                .header("Prefer", "return=minimal");
            if let Some(bearer) = &bearer {
                request = request.header("Authorization", bearer);
            }
            request.send(*bytes)?
        }
        Ask::Form(text) => agent
            .post(url)
            .header("Content-Type", "application/x-www-form-urlencoded")
            .header("Accept", "application/json")
            .send(*text)?,
    };
    let status = response.status().as_u16();
    let head = |name: &str| response.headers().get(name).and_then(|v| v.to_str().ok());
    let now = crate::units::wall_clock();
    let moment =
        |text: &str| jiff::fmt::rfc2822::DateTimeParser::new().parse_timestamp(text.trim()).ok();
    let seconds = |at: Timestamp| at.as_second() - now.as_second();
    let ahead_s = head("date").and_then(moment).map(seconds);
    let retry_after_s = head("retry-after").and_then(|text| {
        text.trim()
            .parse()
            .ok()
            .or_else(|| moment(text).map(seconds))
            .map(|s: i64| s.clamp(0, 86_400))
    });
    let text = response.body_mut().with_config().limit(MOST).read_to_vec()?;
    let body = serde_json::from_slice(&text).unwrap_or(Value::Null);
    Ok(Answer { status, body, retry_after_s, ahead_s })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_http_stays_on_this_machine() {
        for url in
            ["https://fhir.example/r4", "http://127.0.0.1:8080/fhir", "http://localhost/fhir"]
        {
            assert!(protected(url), "{url}");
        }
        for url in [
            "http://fhir.example/r4",
            "http://localhost.example/",
            "ftp://x",
            "http://127.0.0.1@evil.example/",
            "http://127.0.0.1\\@evil.example/",
        ] {
            assert!(!protected(url), "{url}");
        }
    }
}
