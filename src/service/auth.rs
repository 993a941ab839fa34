//! Who this program is to a server: a bearer token, or one asked for by SMART Backend Services with a signed JWT.
//!
//! The JWT is made here (RFC 7515, 7519, 7523; RS384 and ES384 as the SMART App Launch guide 2.0 asks for), the
//! signature by `ring`, which TLS brings along: a library more would be larger than these lines.

use std::cell::RefCell;
use std::path::PathBuf;

use anyhow::{Context, bail, ensure};
use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use ring::rand::SystemRandom;
use ring::signature::{
    ECDSA_P384_SHA384_FIXED_SIGNING, EcdsaKeyPair, RSA_PKCS1_SHA384, RsaKeyPair,
};
use rustls::pki_types::PrivateKeyDer;
use rustls::pki_types::pem::PemObject;
use serde_json::json;

use super::choices::{Auth, TOKEN, secret};
use super::http::{Ask, ask, protected};

/// How long a JWT lives, seconds; SMART allows five minutes at most.
const LIVES_S: i64 = 240;
/// A token is asked for anew so long before its end, seconds.
const EARLY_S: i64 = 30;

/// How this program shows who it is.
pub(super) enum Pass {
    /// Not at all, or by its certificate.
    None,
    /// A token that does not change.
    Bearer(String),
    /// Tokens of short life.
    Smart(Smart),
}

/// SMART Backend Services.
pub(super) struct Smart {
    url: String,
    client: String,
    key: Key,
    key_id: Option<String>,
    scope: String,
    held: RefCell<Option<(String, i64)>>,
}

/// A private key.
enum Key {
    Rsa(Box<RsaKeyPair>),
    P384(Box<EcdsaKeyPair>),
}

impl Pass {
    /// From what the service chose.
    ///
    /// # Errors
    /// A secret cannot be read, or half of what is needed is named.
    pub(super) fn of(auth: &Auth) -> anyhow::Result<Self> {
        let token = secret(auth.token_file.as_deref(), TOKEN)?;
        let Some(url) = &auth.token_url else {
            return Ok(token.map_or(Pass::None, Pass::Bearer));
        };
        ensure!(protected(url), "{url}: only https is sent to, or http on this machine");
        let client = auth.client_id.clone().context("auth.token_url needs auth.client_id")?;
        let file = auth.signing_key.as_ref().context("auth.token_url needs auth.signing_key")?;
        Ok(Pass::Smart(Smart {
            url: url.clone(),
            client,
            key: Key::read(file)?,
            key_id: auth.key_id.clone(),
            scope: auth.scope.clone().unwrap_or_else(|| "system/*.cruds".into()),
            held: RefCell::new(None),
        }))
    }

    /// The token to send along; `anew` where the one that was held was refused.
    ///
    /// # Errors
    /// The server of tokens gave none, in one sentence.
    pub(super) fn token(&self, agent: &ureq::Agent, anew: bool) -> anyhow::Result<Option<String>> {
        match self {
            Pass::None => Ok(None),
            Pass::Bearer(token) => Ok(Some(token.clone())),
            Pass::Smart(smart) => smart.token(agent, anew).map(Some),
        }
    }

    /// Whether a refused token can be asked for anew.
    pub(super) const fn renews(&self) -> bool {
        matches!(self, Pass::Smart(_))
    }
}

impl Smart {
    fn token(&self, agent: &ureq::Agent, anew: bool) -> anyhow::Result<String> {
        let now_s = crate::units::wall_clock().as_second();
        if let Some((token, until_s)) = self.held.borrow().as_ref().filter(|_| !anew)
            && now_s < *until_s
        {
            return Ok(token.clone());
        }
        let form = format!(
            "grant_type=client_credentials&scope={}&client_assertion_type={}&client_assertion={}",
            percent(&self.scope),
            percent("urn:ietf:params:oauth:client-assertion-type:jwt-bearer"),
            self.assertion(now_s)?
        );
        let answer = ask(agent, &self.url, None, &Ask::Form(&form))
            .with_context(|| format!("{}: no token was given", self.url))?;
        if !answer.is_good() {
            bail!(
                "{}: no token was given: {} {}{}",
                self.url,
                answer.status,
                answer.words(),
                answer.clocks()
            );
        }
        let token = answer.body["access_token"].as_str();
        let token = token.with_context(|| format!("{}: its answer holds no token", self.url))?;
        let lives_s = answer.body["expires_in"].as_i64().unwrap_or(300).clamp(0, 86_400);
        *self.held.borrow_mut() = Some((token.to_owned(), now_s + lives_s - EARLY_S));
        Ok(token.to_owned())
    }

    /// The signed JWT.
    fn assertion(&self, now_s: i64) -> anyhow::Result<String> {
        let mut head = json!({"typ": "JWT", "alg": self.key.algorithm()});
        if let Some(id) = &self.key_id {
            head["kid"] = id.as_str().into();
        }
        let claims = json!({
            "iss": self.client,
            "sub": self.client,
            "aud": self.url,
            "exp": now_s + LIVES_S,
            "iat": now_s,
            "jti": uuid::Uuid::now_v7().to_string(),
        });
        let part = |value: &serde_json::Value| URL_SAFE_NO_PAD.encode(value.to_string());
        let signed = format!("{}.{}", part(&head), part(&claims));
        let signature = self.key.sign(signed.as_bytes())?;
        Ok(format!("{signed}.{}", URL_SAFE_NO_PAD.encode(signature)))
    }
}

impl Key {
    fn read(path: &PathBuf) -> anyhow::Result<Self> {
        let name = path.display();
        let pem = std::fs::read(path).with_context(|| name.to_string())?;
        let wrong = || format!("{name}: holds no private key as PKCS #8 in PEM");
        let PrivateKeyDer::Pkcs8(der) =
            PrivateKeyDer::from_pem_slice(&pem).ok().with_context(wrong)?
        else {
            bail!(wrong());
        };
        let der = der.secret_pkcs8_der();
        if let Ok(pair) = RsaKeyPair::from_pkcs8(der) {
            return Ok(Self::Rsa(Box::new(pair)));
        }
        let pair =
            EcdsaKeyPair::from_pkcs8(&ECDSA_P384_SHA384_FIXED_SIGNING, der, &SystemRandom::new());
        let pair = pair.ok().with_context(|| {
            format!("{name}: the key is neither RSA (2048 bits or more) nor on P-384")
        })?;
        Ok(Self::P384(Box::new(pair)))
    }

    const fn algorithm(&self) -> &'static str {
        match self {
            Key::Rsa(_) => "RS384",
            Key::P384(_) => "ES384",
        }
    }

    fn sign(&self, words: &[u8]) -> anyhow::Result<Vec<u8>> {
        let random = SystemRandom::new();
        let failed = || anyhow::anyhow!("the token's request could not be signed");
        match self {
            Key::Rsa(pair) => {
                let mut signature = vec![0; pair.public().modulus_len()];
                pair.sign(&RSA_PKCS1_SHA384, &random, words, &mut signature)
                    .map_err(|_| failed())?;
                Ok(signature)
            }
            Key::P384(pair) => {
                Ok(pair.sign(&random, words).map_err(|_| failed())?.as_ref().to_vec())
            }
        }
    }
}

/// Text as a part of an address or a form.
pub(super) fn percent(text: &str) -> String {
    let mut out = String::new();
    for byte in text.bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' => {
                out.push(char::from(byte))
            }
            _ => out.push_str(&format!("%{byte:02X}")),
        }
    }
    out
}
