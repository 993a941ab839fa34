//! TLS to PostgreSQL: the certificate and the name in it are checked, and each wrong one is refused in one sentence.

use std::process::Command;

use super::super::visits::ten;
use super::database::Postgres;
use super::{Place, told};

/// An authority and what it signed, one that nobody trusts, and a certificate whose time is over, by `openssl`.
const SCRIPT: &str = "set -e
new() { openssl req -newkey ec -pkeyopt ec_paramgen_curve:P-256 -nodes -subj /CN=$1 -keyout $1.key -out $1.csr; }
for name in ca stranger; do
  openssl req -x509 -newkey ec -pkeyopt ec_paramgen_curve:P-256 -nodes -days 2 -subj /CN=$name -keyout $name.key -out $name.pem
done
for name in server elsewhere old; do new $name; done
printf 'subjectAltName=DNS:localhost\\nbasicConstraints=CA:FALSE\\n' > server.ext
printf 'subjectAltName=DNS:db.clinic.example\\nbasicConstraints=CA:FALSE\\n' > elsewhere.ext
cp server.ext old.ext
for name in server elsewhere old; do
  days=2; [ $name != old ] || days=0
  openssl x509 -req -in $name.csr -CA ca.pem -CAkey ca.key -CAcreateserial -days $days -extfile $name.ext -out $name.pem
done";

fn place() -> Place {
    let place = Place::of(&ten().into_iter().take(2).map(|(_, events)| events).collect::<Vec<_>>());
    let made =
        Command::new("sh").args(["-c", SCRIPT]).current_dir(place.path("")).output().unwrap();
    assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
    std::fs::write(place.path("password"), "of-the-test\n").unwrap();
    place
}

/// Gathers by these words of the settings and this end of the address.
fn gather(place: &Place, server: &Postgres, authority: &str, query: &str) -> (bool, String) {
    let text = format!("version = 1\n[database]\npassword_file = \"password\"\n{authority}");
    let settings = place.settings(&text);
    let url = format!("{}{query}", server.url.replace("127.0.0.1", "localhost"));
    let words =
        ["gather", "--book", "book", "--to", &url, "--settings", settings.to_str().unwrap()];
    told(&place.service(&words))
}

const TRUSTED: &str = "authority = \"ca.pem\"\n";

#[test]
fn a_database_with_tls_is_gathered_into_and_no_wrong_certificate_is_taken() {
    let place = place();
    let server = Postgres::encrypted(&place.path("server.pem"), &place.path("server.key"));
    let (well, said) = gather(&place, &server, TRUSTED, "");
    assert!(well && said.contains("2 visits gathered"), "{said}");
    // The same in the words that other programs of this database use; whoever asks for less is checked all the same.
    for mode in ["verify-full", "verify-ca", "require"] {
        let query = format!("?sslmode={mode}&sslrootcert={}", place.path("ca.pem").display());
        let (well, said) = gather(&place, &server, "", &query);
        assert!(well && said.contains("0 visits gathered"), "{mode}: {said}");
    }
    let one = |authority: &str, query: &str, words: &str| {
        let (well, said) = gather(&place, &server, authority, query);
        assert!(!well && said.contains(words) && said.lines().count() == 1, "{query}: {said}");
        assert!(!said.contains("of-the-test"), "{said}");
    };
    // An authority that did not sign it; the public ones; none at all, which this server does not let in.
    one("authority = \"stranger.pem\"\n", "", "its certificate or TLS is not as it should be");
    one("", "?sslmode=verify-full", "its certificate or TLS is not as it should be");
    one("", "", "no encryption");
    one(TRUSTED, "?sslmode=disable", "no encryption");
    one("authority = \"server.key\"\n", "", "holds no certificate");
    // Only who came by TLS was let in, and both visits are there once.
    let (well, said) = gather(&place, &server, TRUSTED, "");
    assert!(well && said.contains("0 visits gathered"), "{said}");
}

#[test]
fn another_name_an_end_that_is_past_and_no_tls_are_refused() {
    let place = place();
    for (name, words) in [("elsewhere", "not valid for name"), ("old", "expired")] {
        let certificate = place.path(&format!("{name}.pem"));
        let other = Postgres::encrypted(&certificate, &place.path(&format!("{name}.key")));
        let (well, said) = gather(&place, &other, TRUSTED, "");
        assert!(!well && said.contains("its certificate or TLS is not as it should be"), "{said}");
        assert!(said.contains(words) && said.lines().count() == 1, "{said}");
    }
    let plain = Postgres::start();
    let (well, said) = gather(&place, &plain, TRUSTED, "");
    assert!(!well && said.contains("does not support TLS") && said.lines().count() == 1, "{said}");
    let (well, said) = gather(&place, &plain, "", "");
    assert!(well && said.contains("2 visits gathered"), "on this machine without: {said}");
}
