//! The verb `push`: sends a bundle to a service's own FHIR server. The only code here that talks to a network,
//! and only in a build with the feature `push`.

use std::path::PathBuf;
use std::process::ExitCode;

use anyhow::Context;

#[derive(clap::Args)]
#[command(
    after_help = "Every entry is created only where the server has nothing with its identifier, so sending again \
after a lost answer makes no doubles. Nothing is sent anywhere else: redirects are not followed."
)]
pub(super) struct Words {
    /// A bundle, as `report --out FILE.fhir.json` writes it; `book push` sends a visit from the record book
    bundle: PathBuf,
    #[command(flatten)]
    server: Server,
}

/// Where a bundle goes, and how.
#[derive(clap::Args)]
pub(super) struct Server {
    /// The base address of the server, https (http only on this machine)
    #[arg(long, value_name = "URL")]
    to: String,
    /// A file that holds the server's bearer token, and nothing else
    #[arg(long, value_name = "FILE")]
    token_file: Option<PathBuf>,
    /// The certificate (PEM) of the authority that vouches for the server, where it is a private one
    #[arg(long, value_name = "FILE")]
    authority: Option<PathBuf>,
    /// How often to try when no answer comes or the server is busy
    #[arg(long, value_name = "N", default_value_t = 3, value_parser = clap::value_parser!(u32).range(1..=10))]
    tries: u32,
}

pub(super) fn run(words: Words) -> anyhow::Result<ExitCode> {
    let name = words.bundle.display().to_string();
    let bytes = std::fs::read(&words.bundle).with_context(|| name.clone())?;
    send(&bytes, &name, &words.server)
}

/// Sends the bytes of a bundle, and says what came of it.
#[cfg(not(feature = "push"))]
pub(super) fn send(_: &[u8], name: &str, server: &Server) -> anyhow::Result<ExitCode> {
    let Server { to, token_file: _, authority: _, tries: _ } = server;
    anyhow::bail!(
        "sending is not built into this program, so {name} did not go to {to}: build with `cargo build --release --features push`"
    )
}

#[cfg(feature = "push")]
pub(super) use sending::send;

#[cfg(feature = "push")]
mod sending {
    use std::process::ExitCode;
    use std::time::Duration;

    use anyhow::{Context, bail, ensure};
    use serde_json::Value;
    use ureq::tls::{PemItem, RootCerts, TlsConfig, parse_pem};

    use super::Server;

    /// Longest time for one try.
    const PATIENCE: Duration = Duration::from_secs(30);
    /// Largest answer that is read, bytes.
    const MOST: u64 = 8 << 20;

    /// One answer of the server.
    struct Answer {
        status: u16,
        body: Value,
    }

    /// Sends the bytes of a bundle, and says what came of it.
    pub(in crate::cli) fn send(
        bytes: &[u8],
        name: &str,
        server: &Server,
    ) -> anyhow::Result<ExitCode> {
        let bundle: Value = serde_json::from_slice(bytes).with_context(|| name.to_owned())?;
        let is_ours = bundle["resourceType"] == "Bundle" && bundle["type"] == "transaction";
        ensure!(is_ours, "{name}: is no FHIR bundle of the type transaction");
        let to = &server.to;
        ensure!(protected(to), "{to}: only https is sent to, or http on this machine");
        let token = match &server.token_file {
            Some(path) => {
                let text = std::fs::read_to_string(path);
                Some(text.with_context(|| format!("{}", path.display()))?.trim().to_owned())
            }
            None => None,
        };
        let agent = agent(server)?;
        let answer = patiently(server, || once(&agent, to, token.as_deref(), bytes))?;
        told(to, &answer)
    }

    /// TLS, or this machine itself.
    fn protected(url: &str) -> bool {
        let Some(rest) = url.strip_prefix("http://") else { return url.starts_with("https://") };
        let host = rest.split(['/', '?']).next().unwrap_or("");
        let name = host.rsplit_once(':').map_or(host, |(name, _)| name);
        ["localhost", "127.0.0.1", "[::1]"].contains(&name)
    }

    fn agent(server: &Server) -> anyhow::Result<ureq::Agent> {
        let mut config = ureq::Agent::config_builder()
            .timeout_global(Some(PATIENCE))
            .http_status_as_error(false)
            .max_redirects(0)
            .user_agent(concat!("cuffnote/", env!("CARGO_PKG_VERSION")));
        if let Some(path) = &server.authority {
            let name = || format!("{}", path.display());
            let pem = std::fs::read(path).with_context(name)?;
            let mut found = Vec::new();
            for item in parse_pem(&pem) {
                if let PemItem::Certificate(certificate) = item.with_context(name)? {
                    found.push(certificate);
                }
            }
            ensure!(!found.is_empty(), "{}: holds no certificate", path.display());
            let tls = TlsConfig::builder().root_certs(RootCerts::new_with_certs(&found)).build();
            config = config.tls_config(tls);
        }
        Ok(config.build().into())
    }

    fn once(
        agent: &ureq::Agent,
        to: &str,
        token: Option<&str>,
        bytes: &[u8],
    ) -> Result<Answer, ureq::Error> {
        let mut request = agent
            .post(to)
            .header("Content-Type", "application/fhir+json; charset=utf-8")
            .header("Accept", "application/fhir+json");
        if let Some(token) = token {
            request = request.header("Authorization", &format!("Bearer {token}"));
        }
        let mut response = request.send(bytes)?;
        let status = response.status().as_u16();
        let text = response.body_mut().with_config().limit(MOST).read_to_string()?;
        Ok(Answer { status, body: serde_json::from_str(&text).unwrap_or(Value::Null) })
    }

    /// Tries again where no answer came or the server is busy: conditional create makes that harmless.
    fn patiently(
        server: &Server,
        send: impl Fn() -> Result<Answer, ureq::Error>,
    ) -> anyhow::Result<Answer> {
        let mut pause = Duration::from_millis(500);
        for left in (0..server.tries).rev() {
            let why = match send() {
                Ok(answer) if answer.status != 429 && answer.status < 500 => return Ok(answer),
                Ok(answer) => format!("the server answered {}", answer.status),
                Err(fault) => fault.to_string(),
            };
            if left == 0 {
                bail!(
                    "{}: {why}; nothing is known to have arrived, and sending again is harmless",
                    server.to
                );
            }
            eprintln!("cuffnote: {}: {why}; trying again", server.to);
            std::thread::sleep(pause);
            pause *= 2;
        }
        bail!("{}: not tried", server.to)
    }

    /// How many were created, how many were there before; or what the server objects to.
    fn told(to: &str, answer: &Answer) -> anyhow::Result<ExitCode> {
        if !(200..300).contains(&answer.status) {
            let issues = answer.body["issue"].as_array().cloned().unwrap_or_default();
            let words = issues.iter().filter_map(|issue| {
                issue["diagnostics"].as_str().or(issue["details"]["text"].as_str())
            });
            let words: Vec<&str> = words.collect();
            bail!("{to}: refused with {}: {}", answer.status, words.join("; "));
        }
        let entries = answer.body["entry"].as_array().cloned().unwrap_or_default();
        let with = |code: &str| {
            let status = |entry: &&Value| {
                entry["response"]["status"].as_str().is_some_and(|status| status.starts_with(code))
            };
            entries.iter().filter(status).count()
        };
        let (created, there) = (with("201"), with("200"));
        ensure!(
            created + there == entries.len(),
            "{to}: some entries were not taken: {}",
            answer.body
        );
        crate::cli::output::say(&format!("{created} created, {there} were there before\n"))?;
        Ok(ExitCode::SUCCESS)
    }

    #[cfg(test)]
    mod tests {
        use super::protected;

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
            ] {
                assert!(!protected(url), "{url}");
            }
        }
    }
}
