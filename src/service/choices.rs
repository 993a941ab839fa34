//! What the service chose: one TOML file, refused where a word of it is not known. Secrets stand in files or in the
//! environment, never in this file's text and never in what the program says.

use std::path::{Path, PathBuf};

use anyhow::{Context, ensure};
use serde::Deserialize;

use crate::report::fhir::{ServiceContext, Token, is_uri};

/// The version this program reads.
const VERSION: u32 = 1;
/// Where a bearer token may stand instead of in a file.
pub(super) const TOKEN: &str = "CUFFNOTE_SERVICE_TOKEN";
/// Where the database's password may stand instead of in a file.
pub(super) const PASSWORD: &str = "CUFFNOTE_SERVICE_PASSWORD";

/// The file's own text.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct Choices {
    version: u32,
    /// The service that measures, by name.
    pub(super) name: String,
    pub(super) fhir: Fhir,
    pub(super) auth: Auth,
    pub(super) database: Database,
}

/// The FHIR server, and how results are tied to its patients.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct Fhir {
    /// The server's base address.
    pub(super) to: Option<String>,
    /// A PEM file with the authority that vouches for the server, where it is a private one.
    pub(super) authority: Option<PathBuf>,
    /// The system that a record's code is an identifier of.
    patient_system: Option<String>,
    /// The patient is looked up on the server, and only one who is there once is written to.
    pub(super) find_patient: bool,
    operator_system: Option<String>,
    /// The organisation, as `SYSTEM|VALUE`.
    organization: Option<String>,
    profiles: bool,
    national: bool,
    /// The most entries of a bundle that has conditions in it.
    pub(super) entries: Option<usize>,
    /// How long one answer is waited for, seconds.
    pub(super) wait_s: Option<u64>,
}

/// How this program shows who it is.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct Auth {
    /// A file that holds a bearer token, and nothing else.
    pub(super) token_file: Option<PathBuf>,
    /// A PEM file with this program's certificate, and one with its key.
    pub(super) certificate: Option<PathBuf>,
    pub(super) key: Option<PathBuf>,
    /// SMART Backend Services: where tokens are given, by what name, and the private key (PKCS #8, PEM).
    pub(super) token_url: Option<String>,
    pub(super) client_id: Option<String>,
    pub(super) signing_key: Option<PathBuf>,
    pub(super) key_id: Option<String>,
    pub(super) scope: Option<String>,
}

/// The database of `gather`.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct Database {
    /// Such as `postgres://writer@db.clinic.example/cuffnote`.
    pub(super) to: Option<String>,
    /// A file that holds the password, and nothing else.
    pub(super) password_file: Option<PathBuf>,
    /// A PEM file with the authority that vouches for the database, where it is a private one.
    pub(super) authority: Option<PathBuf>,
}

impl Choices {
    /// Reads the file; without one, everything is as it is left out. Names of files in it lie beside it.
    ///
    /// # Errors
    /// It cannot be read, is of a newer program, or holds a word that is not known.
    pub(super) fn read(path: Option<&Path>) -> anyhow::Result<Self> {
        let Some(path) = path else { return Ok(Self::default()) };
        let name = || path.display().to_string();
        let text = std::fs::read_to_string(path).with_context(name)?;
        let mut choices: Self = toml::from_str(&text).map_err(|fault| {
            let line = fault.span().map_or(1, |at| text[..at.start].matches('\n').count() + 1);
            // The reader's own sentence quotes the line, and a secret may stand in it by mistake.
            anyhow::anyhow!("{}: line {line}: {}", path.display(), fault.message())
        })?;
        ensure!(
            choices.version <= VERSION,
            "{}: has version {}, and this program knows versions up to {VERSION}: use the newer program",
            path.display(),
            choices.version
        );
        choices.beside(path.parent().unwrap_or(Path::new("")));
        choices.context().with_context(name)?;
        Ok(choices)
    }

    fn beside(&mut self, folder: &Path) {
        let files = [
            &mut self.fhir.authority,
            &mut self.auth.token_file,
            &mut self.auth.certificate,
            &mut self.auth.key,
            &mut self.auth.signing_key,
            &mut self.database.password_file,
            &mut self.database.authority,
        ];
        for file in files.into_iter().flatten() {
            *file = folder.join(&file);
        }
    }

    /// What results say of the service and its patients.
    ///
    /// # Errors
    /// A system is no URI, or an identifier has none.
    pub(super) fn context(&self) -> anyhow::Result<ServiceContext> {
        let fhir = &self.fhir;
        for (name, system) in
            [("patient_system", &fhir.patient_system), ("operator_system", &fhir.operator_system)]
        {
            let good = system.as_deref().is_none_or(is_uri);
            ensure!(good, "fhir.{name}: write a URI, such as https://clinic.example/mrn");
        }
        let organization = fhir.organization.as_deref().map(|text| {
            Token::parse(text).context("fhir.organization: write SYSTEM|VALUE, the system a URI")
        });
        ensure!(
            fhir.wait_s.is_none_or(|s| (1..=3600).contains(&s)),
            "fhir.wait_s: write 1 to 3600 seconds"
        );
        ensure!(
            !fhir.find_patient || fhir.patient_system.is_some(),
            "fhir.find_patient needs fhir.patient_system: a code alone names no patient"
        );
        Ok(ServiceContext {
            service: self.name.clone(),
            patient_system: fhir.patient_system.clone(),
            operator_system: fhir.operator_system.clone(),
            organization: organization.transpose()?,
            profiles: fhir.profiles,
            national: fhir.national,
            ..ServiceContext::default()
        })
    }
}

/// A secret: from its file, else from the environment. It is never shown.
///
/// # Errors
/// The file cannot be read, or is empty.
pub(super) fn secret(file: Option<&Path>, name: &str) -> anyhow::Result<Option<String>> {
    let text = match file {
        Some(path) => {
            let text = std::fs::read_to_string(path);
            Some(text.with_context(|| path.display().to_string())?)
        }
        None => std::env::var(name).ok(),
    };
    let text = text.map(|text| text.trim().to_owned());
    if let (Some(""), Some(path)) = (text.as_deref(), file) {
        anyhow::bail!("{}: is empty", path.display());
    }
    Ok(text.filter(|text| !text.is_empty()))
}

/// A book as it was named, `[NAME=]FOLDER`: the service, and the folder.
pub(super) fn named(text: &str) -> (String, PathBuf) {
    match text.split_once('=') {
        Some((name, folder)) if !name.is_empty() && !name.contains(['/', '\\']) => {
            (name.to_owned(), folder.into())
        }
        _ => {
            let folder = PathBuf::from(text);
            let real = folder.canonicalize().unwrap_or_else(|_| folder.clone());
            let name = real.file_name().map_or(String::new(), |name| name.to_string_lossy().into());
            (name, folder)
        }
    }
}

/// Text that is no identifier.
#[derive(Debug, thiserror::Error)]
#[error("write SYSTEM|VALUE, such as https://clinic.example/orders|A-17")]
pub(super) struct NoToken;

/// Reads `SYSTEM|VALUE`.
pub(super) fn token(text: &str) -> Result<Token, NoToken> {
    Token::parse(text).ok_or(NoToken)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> anyhow::Result<Choices> {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("service.toml");
        std::fs::write(&path, text).unwrap();
        Choices::read(Some(&path))
    }

    #[test]
    fn a_word_that_is_not_known_is_refused_with_its_line_and_no_secret_is_shown() {
        let why = read("version = 1\n[auth]\ntoken = \"abc-123\"\n").unwrap_err().to_string();
        assert!(why.contains("line 3") && !why.contains("abc-123"), "{why}");
        assert!(read("version = 2\n").unwrap_err().to_string().contains("version 2"));
        let why = format!("{:#}", read("[fhir]\nfind_patient = true\n").unwrap_err());
        assert!(why.contains("patient_system"), "{why}");
        let why = format!("{:#}", read("[fhir]\norganization = \"Tidemill\"\n").unwrap_err());
        assert!(why.contains("SYSTEM|VALUE"), "{why}");
    }

    #[test]
    fn names_of_files_lie_beside_the_choices() {
        let choices = read("[auth]\ntoken_file = \"token\"\n").unwrap();
        assert!(choices.auth.token_file.unwrap().is_absolute());
    }
}
