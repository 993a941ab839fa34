//! PostgreSQL: a connection with TLS, and the schema brought to this program's form step by step.

use std::path::PathBuf;

use anyhow::{Context, bail, ensure};
use postgres::{Client, Config, NoTls, Transaction};
use rustls::pki_types::CertificateDer;
use rustls::pki_types::pem::PemObject;
use tokio_postgres_rustls::MakeRustlsConnect;

use super::choices::{Database, PASSWORD, secret};
use super::dictionary::{Column, TABLES};
use super::said::plain;

/// The steps of the schema; one that shipped is never changed.
const STEPS: &[&str] = &[include_str!("steps/step-1.sql")];
/// A number of our own, under which one gatherer at a time works in a database.
const LOCK: i64 = 0x0063_7566_666e_6f74;

/// What an address says of TLS, in the words of libpq, taken out of it.
#[derive(Debug, Default, PartialEq, Eq)]
struct Asked {
    /// The address without them.
    to: String,
    mode: Option<String>,
    authority: Option<PathBuf>,
}

impl Asked {
    fn of(to: &str) -> Self {
        let (front, query) = to.split_once('?').unwrap_or((to, ""));
        let mut asked = Self::default();
        let mut rest = Vec::new();
        for word in query.split('&').filter(|word| !word.is_empty()) {
            match word.split_once('=') {
                Some(("sslmode", mode)) => asked.mode = Some(mode.to_owned()),
                Some(("sslrootcert", "system")) => {}
                Some(("sslrootcert", file)) => asked.authority = Some(file.into()),
                _ => rest.push(word),
            }
        }
        let query = if rest.is_empty() { String::new() } else { format!("?{}", rest.join("&")) };
        asked.to = format!("{front}{query}");
        asked
    }
}

/// Opens the database: by TLS with its certificate and name checked, or on this machine.
///
/// # Errors
/// It is not there, does not let this program in, its certificate is wrong, or it is elsewhere without TLS.
pub(super) fn open(to: &str, choices: &Database) -> anyhow::Result<Client> {
    let asked = Asked::of(to);
    let mut config: Config = asked
        .to
        .parse()
        .ok()
        .context("the database's address is none: write postgres://USER@HOST/NAME")?;
    ensure!(
        config.get_password().is_none(),
        "the database's password does not belong into its address: name database.password_file, or set {PASSWORD}"
    );
    if let Some(password) = secret(choices.password_file.as_deref(), PASSWORD)? {
        config.password(password);
    }
    config.application_name("cuffnote-service");
    config.connect_timeout(std::time::Duration::from_secs(20));
    let here = config.get_hosts().iter().all(|host| match host {
        postgres::config::Host::Tcp(name) => {
            ["localhost", "127.0.0.1", "::1"].contains(&name.as_str())
        }
        #[cfg(unix)]
        postgres::config::Host::Unix(_) => true,
    });
    let authority = asked.authority.as_ref().or(choices.authority.as_ref());
    let plain = match asked.mode.as_deref() {
        None | Some("allow" | "prefer") => here && authority.is_none(),
        Some("disable") if here => true,
        Some("disable") => bail!(
            "the database: sslmode=disable is for this machine alone: what goes to another is encrypted"
        ),
        // Whatever less was asked for: the certificate and the name in it are always checked.
        Some("require" | "verify-ca" | "verify-full") => false,
        Some(other) => bail!("the database: sslmode={other} is not known: write verify-full"),
    };
    let opened = if plain {
        config.ssl_mode(postgres::config::SslMode::Disable);
        config.connect(NoTls)
    } else {
        config.ssl_mode(postgres::config::SslMode::Require);
        config.connect(tls(authority)?)
    };
    opened.map_err(|fault| anyhow::anyhow!("the database: {}", words(&fault)))
}

/// What a fault of the database says, in one line.
pub(super) fn words(fault: &postgres::Error) -> String {
    if let Some(said) = fault.as_db_error() {
        let detail = said.detail().map_or(String::new(), |detail| format!(" ({detail})"));
        return plain(&format!("{}{detail}", said.message()));
    }
    let mut text = fault.to_string();
    let mut inner = std::error::Error::source(fault);
    while let Some(why) = inner {
        let io = why.downcast_ref::<std::io::Error>().and_then(std::io::Error::get_ref);
        let tls = io.and_then(|inner| inner.downcast_ref::<rustls::Error>());
        if let Some(tls) = tls.or_else(|| why.downcast_ref()) {
            return plain(&format!("its certificate or TLS is not as it should be: {tls}"));
        }
        text += &format!(": {why}");
        inner = why.source();
    }
    plain(&text)
}

fn tls(authority: Option<&PathBuf>) -> anyhow::Result<MakeRustlsConnect> {
    let mut roots = rustls::RootCertStore::empty();
    match authority {
        None => roots.extend(webpki_roots::TLS_SERVER_ROOTS.iter().cloned()),
        Some(path) => {
            let name = || path.display().to_string();
            let pem = std::fs::read(path).with_context(name)?;
            for certificate in CertificateDer::pem_slice_iter(&pem) {
                roots.add(certificate.with_context(name)?).with_context(name)?;
            }
            ensure!(!roots.is_empty(), "{}: holds no certificate", name());
        }
    }
    let provider = std::sync::Arc::new(rustls::crypto::ring::default_provider());
    let config = rustls::ClientConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()?
        .with_root_certificates(roots)
        .with_no_client_auth();
    Ok(MakeRustlsConnect::new(config))
}

/// Takes the gatherer's lock, and brings the schema to this program's form.
///
/// # Errors
/// Another gatherer works there, a newer program made the schema, or the database refuses.
pub(super) fn prepare(client: &mut Client) -> anyhow::Result<()> {
    raised(client).map_err(|fault| match fault.downcast::<postgres::Error>() {
        Ok(fault) => anyhow::anyhow!("the database: {}", words(&fault)),
        Err(other) => other,
    })
}

fn raised(client: &mut Client) -> anyhow::Result<()> {
    let free: bool = client.query_one("SELECT pg_try_advisory_lock($1)", &[&LOCK])?.get(0);
    ensure!(free, "another run gathers into this database: wait for it");
    let made: bool =
        client.query_one("SELECT to_regclass('cuffnote.form') IS NOT NULL", &[])?.get(0);
    if !made {
        // Whoever gathers need not be allowed to make a schema, where the owner made it.
        let first = "DO $$ BEGIN IF to_regnamespace('cuffnote') IS NULL THEN CREATE SCHEMA cuffnote; END IF; END $$;
            CREATE TABLE cuffnote.form (step integer PRIMARY KEY, at timestamp with time zone NOT NULL DEFAULT now());
            COMMENT ON TABLE cuffnote.form IS 'Which steps of the schema were made, and when.';";
        client.batch_execute(first)?;
    }
    let form: i32 =
        client.query_one("SELECT coalesce(max(step), 0) FROM cuffnote.form", &[])?.get(0);
    let known = STEPS.len() as i32;
    ensure!(
        form <= known,
        "a newer program made this database's schema (step {form}, this one knows {known}): use that one"
    );
    for (step, text) in (1..).zip(STEPS).filter(|(step, _)| *step > form) {
        let mut all = client.transaction()?;
        all.batch_execute(text)?;
        comments(&mut all)?;
        all.execute("INSERT INTO cuffnote.form (step) VALUES ($1)", &[&step])?;
        all.commit()?;
    }
    Ok(())
}

/// Writes the dictionary beside each column.
fn comments(all: &mut Transaction<'_>) -> anyhow::Result<()> {
    for (table, columns) in TABLES {
        for column in columns {
            let told = meaning(column).replace('\'', "''");
            let text = format!("COMMENT ON COLUMN cuffnote.{table}.{} IS '{told}'", column.name);
            all.batch_execute(&text)?;
        }
    }
    Ok(())
}

fn meaning(column: &Column) -> String {
    match column.unit {
        "" => column.meaning.to_owned(),
        unit => format!("{} [{unit}]", column.meaning),
    }
}

/// Says where a fault of the database came up.
pub(super) fn told<T>(done: Result<T, postgres::Error>, doing: &str) -> anyhow::Result<T> {
    match done {
        Ok(done) => Ok(done),
        Err(fault) => bail!("the database: {doing}: {}", words(&fault)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_an_address_says_of_tls_is_taken_out_of_it() {
        let asked = Asked::of(
            "postgres://w@db.clinic.example/c?sslmode=verify-full&application_name=x&sslrootcert=/etc/ca.pem",
        );
        assert_eq!(asked.to, "postgres://w@db.clinic.example/c?application_name=x");
        assert_eq!(asked.mode.as_deref(), Some("verify-full"));
        assert_eq!(asked.authority, Some("/etc/ca.pem".into()));
        let plain = Asked::of("postgres://w@127.0.0.1/c");
        assert_eq!(
            (plain.to.as_str(), plain.mode, plain.authority),
            ("postgres://w@127.0.0.1/c", None, None)
        );
    }

    /// Nothing is asked over the network before these are refused.
    #[test]
    fn another_machine_is_never_asked_without_tls() {
        let none = Database::default();
        for (to, words) in [
            ("postgres://w@db.clinic.example/c?sslmode=disable", "for this machine alone"),
            ("postgres://w@db.clinic.example/c?sslmode=none", "sslmode=none is not known"),
            (
                "postgres://w@127.0.0.1/c?sslmode=verify-full&sslrootcert=/nowhere.pem",
                "/nowhere.pem",
            ),
        ] {
            let why = format!("{:#}", open(to, &none).err().unwrap());
            assert!(why.contains(words), "{why}");
        }
    }
}
