//! Who the program is to a server: SMART Backend Services with a signed JWT, and TLS with certificates of both sides.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpListener;
use std::process::Command;
use std::sync::mpsc::{Receiver, channel};

use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use serde_json::Value;

use super::Place;

/// A server of tokens, and of one FHIR answer: it sends on every head and body.
fn tokens(status: &'static str) -> (String, Receiver<(String, String)>) {
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let base = format!("http://{}", listener.local_addr().unwrap());
    let (send, receive) = channel();
    std::thread::spawn(move || {
        for stream in listener.incoming() {
            let mut stream = stream.unwrap();
            let mut reader = BufReader::new(stream.try_clone().unwrap());
            let (mut head, mut length) = (String::new(), 0);
            loop {
                let mut line = String::new();
                reader.read_line(&mut line).unwrap();
                if line.trim().is_empty() {
                    break;
                }
                let small = line.to_lowercase();
                if let Some(n) = small.strip_prefix("content-length:") {
                    length = n.trim().parse().unwrap();
                }
                head += &line;
            }
            let mut body = vec![0; length];
            reader.read_exact(&mut body).unwrap();
            let body = String::from_utf8_lossy(&body).into_owned();
            let token = head.starts_with("POST /token");
            let answer = if token {
                r#"{"access_token":"of-an-hour","token_type":"bearer","expires_in":3600,"error_description":"no such key"}"#
            } else {
                r#"{"resourceType":"OperationOutcome","issue":[]}"#
            };
            let status = if token { status } else { "400 Bad Request" };
            let _ = send.send((head, body));
            let head = format!(
                "HTTP/1.1 {status}\r\nContent-Length: {}\r\nConnection: close\r\n\r\n",
                answer.len()
            );
            stream.write_all((head + answer).as_bytes()).unwrap();
        }
    });
    (base, receive)
}

/// A new key as `openssl` makes it.
fn key(place: &Place, kind: &[&str]) {
    let made = Command::new("openssl")
        .args(["genpkey", "-algorithm"])
        .args(kind)
        .args(["-out", place.path("key.pem").to_str().unwrap()])
        .output()
        .unwrap();
    assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
}

fn settings(place: &Place, base: &str) -> String {
    let text = format!(
        "version = 1\n[fhir]\nto = \"{base}/fhir\"\n[auth]\ntoken_url = \"{base}/token\"\nclient_id = \"tidemill\"\nsigning_key = \"key.pem\"\nkey_id = \"k1\"\n"
    );
    place.settings(&text).to_str().unwrap().to_owned()
}

/// The signature is checked by another program, with the public key alone.
#[test]
fn a_token_is_asked_for_with_a_signed_jwt() {
    for (kind, algorithm) in [
        (&["RSA", "-pkeyopt", "rsa_keygen_bits:2048"][..], "RS384"),
        (&["EC", "-pkeyopt", "ec_paramgen_curve:P-384"], "ES384"),
    ] {
        let place = Place::plain();
        key(&place, kind);
        let (base, seen) = tokens("200 OK");
        let words = ["send", "--book", "book", "--settings", &settings(&place, &base)];
        place.service(&words);
        let (_, form) = seen.recv().unwrap();
        assert!(form.starts_with("grant_type=client_credentials&scope=system%2F"), "{form}");
        let jwt = form.rsplit("client_assertion=").next().unwrap();
        let parts: Vec<&str> = jwt.split('.').collect();
        let read = |part: &str| -> Value {
            serde_json::from_slice(&URL_SAFE_NO_PAD.decode(part).unwrap()).unwrap()
        };
        let (head, claims) = (read(parts[0]), read(parts[1]));
        assert_eq!((head["alg"].as_str(), head["kid"].as_str()), (Some(algorithm), Some("k1")));
        assert_eq!((&claims["iss"], &claims["sub"]), (&"tidemill".into(), &"tidemill".into()));
        assert_eq!(claims["aud"], format!("{base}/token"));
        let lives = claims["exp"].as_i64().unwrap() - cuffnote::units::wall_clock().as_second();
        assert!((1..=300).contains(&lives), "{lives}");
        verified(&place, &format!("{}.{}", parts[0], parts[1]), parts[2], algorithm);
        let (head, _) = seen.recv().unwrap();
        assert!(
            head.starts_with("POST /fhir")
                && head.to_lowercase().contains("authorization: bearer of-an-hour"),
            "{head}"
        );
    }
}

fn verified(place: &Place, signed: &str, signature: &str, algorithm: &str) {
    let mut bytes = URL_SAFE_NO_PAD.decode(signature).unwrap();
    if algorithm == "ES384" {
        bytes = as_der(&bytes);
    }
    let path = |name: &str| place.path(name).to_str().unwrap().to_owned();
    std::fs::write(path("signed"), signed).unwrap();
    std::fs::write(path("signature"), bytes).unwrap();
    let public = Command::new("openssl")
        .args(["pkey", "-pubout", "-in", &path("key.pem"), "-out", &path("public.pem")])
        .output()
        .unwrap();
    assert!(public.status.success());
    let checked = Command::new("openssl")
        .args([
            "dgst",
            "-sha384",
            "-verify",
            &path("public.pem"),
            "-signature",
            &path("signature"),
            &path("signed"),
        ])
        .output()
        .unwrap();
    assert!(checked.status.success(), "{}", String::from_utf8_lossy(&checked.stdout));
}

/// Two numbers side by side as the sequence that `openssl` reads.
fn as_der(both: &[u8]) -> Vec<u8> {
    let number = |half: &[u8]| {
        let mut bytes: Vec<u8> = half.iter().copied().skip_while(|b| *b == 0).collect();
        if bytes.first().is_none_or(|first| *first >= 0x80) {
            bytes.insert(0, 0);
        }
        [&[2, bytes.len() as u8], bytes.as_slice()].concat()
    };
    let (r, s) = both.split_at(both.len() / 2);
    let inside = [number(r), number(s)].concat();
    [&[0x30, inside.len() as u8], inside.as_slice()].concat()
}

#[test]
fn a_refused_token_is_one_sentence_and_a_key_is_never_shown() {
    let place = Place::plain();
    key(&place, &["EC", "-pkeyopt", "ec_paramgen_curve:P-384"]);
    let (base, _seen) = tokens("401 Unauthorized");
    let settings = settings(&place, &base);
    let words = ["send", "--book", "book", "--settings", settings.as_str()];
    let (well, said) = super::told(&place.service(&words));
    assert!(!well && said.contains("no token was given: 401 no such key"), "{said}");
    assert!(said.contains("1 waiting"), "{said}");
    std::fs::write(place.path("key.pem"), "-----BEGIN SECRET-----\nabc123\n").unwrap();
    let (well, said) = super::told(&place.service(&words));
    assert!(!well && said.contains("holds no private key") && !said.contains("abc123"), "{said}");
}

/// An authority of our own, a server's and a program's certificate of it, by `openssl`.
fn certificates(place: &Place) {
    let script = "set -e
openssl req -x509 -newkey ec -pkeyopt ec_paramgen_curve:P-256 -nodes -days 2 -subj /CN=authority -keyout ca.key -out ca.pem
for name in server program; do
  openssl req -newkey ec -pkeyopt ec_paramgen_curve:P-256 -nodes -subj /CN=$name -keyout $name.key -out $name.csr
  printf 'subjectAltName=DNS:localhost\\nbasicConstraints=CA:FALSE\\n' > $name.ext
  openssl x509 -req -in $name.csr -CA ca.pem -CAkey ca.key -CAcreateserial -days 2 -extfile $name.ext -out $name.pem
done";
    let made =
        Command::new("sh").arg("-c").arg(script).current_dir(place.path("")).output().unwrap();
    assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
}

/// A server that asks for a certificate, and answers with a page for people.
const SERVER: &str = "
import http.server, ssl, sys
class Page(http.server.BaseHTTPRequestHandler):
    def do_POST(self):
        self.rfile.read(int(self.headers['content-length']))
        self.send_response(200); self.end_headers(); self.wfile.write(b'<html>')
    def log_message(self, *words): pass
server = http.server.ThreadingHTTPServer(('127.0.0.1', 0), Page)
context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
context.load_cert_chain('server.pem', 'server.key')
context.load_verify_locations('ca.pem')
context.verify_mode = ssl.CERT_REQUIRED
server.socket = context.wrap_socket(server.socket, server_side=True)
print(server.server_address[1], flush=True)
server.serve_forever()
";

#[test]
fn tls_is_checked_on_both_sides() {
    let place = Place::plain();
    certificates(&place);
    let mut server = Command::new("python3")
        .args(["-c", SERVER])
        .current_dir(place.path(""))
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::null())
        .spawn()
        .unwrap();
    let mut port = String::new();
    BufReader::new(server.stdout.as_mut().unwrap()).read_line(&mut port).unwrap();
    let base = format!("https://localhost:{}/fhir", port.trim());
    let send = |auth: &str| {
        let text = format!("version = 1\n[fhir]\nto = \"{base}\"\n{auth}");
        let settings = place.settings(&text);
        let words = ["send", "--book", "book", "--again", "--settings", settings.to_str().unwrap()];
        super::told(&place.service(&words)).1
    };
    let stranger = send("");
    let nameless = send("authority = \"ca.pem\"\n");
    let known = send(
        "authority = \"ca.pem\"\n[auth]\ncertificate = \"program.pem\"\nkey = \"program.key\"\n",
    );
    server.kill().unwrap();
    server.wait().unwrap();
    assert!(stranger.contains("its certificate or TLS is not as it should be"), "{stranger}");
    assert!(nameless.contains("no whole answer came") || nameless.contains("TLS"), "{nameless}");
    // It speaks no FHIR: that it answered at all shows that both certificates were taken.
    assert!(known.contains("is the address its base address"), "{known}");
}
