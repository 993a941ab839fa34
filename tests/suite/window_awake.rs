//! Staying awake, held against a system that offers it: a private bus with the two services that are asked, stood in for
//! by this test (names and calls: the idle inhibition draft of freedesktop.org, and systemd's org.freedesktop.login1).

use std::io::{BufRead, BufReader, Read};
use std::os::fd::OwnedFd;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::{Arc, Mutex};

use zbus::blocking::{Connection, connection::Builder};

use super::pulse::wait_for;
use super::window::{Bedside, RECORD, USUAL, known};
use super::window_real::{Display, Program, click};

/// What the services were asked for, in order.
type Asked = Arc<Mutex<Vec<String>>>;

struct Saver(Asked);

#[zbus::interface(name = "org.freedesktop.ScreenSaver")]
impl Saver {
    fn inhibit(&self, application: &str, reason: &str) -> u32 {
        self.0.lock().unwrap().push(format!("screen on for {application}: {reason}"));
        4_711
    }

    fn un_inhibit(&self, cookie: u32) {
        self.0.lock().unwrap().push(format!("screen let go, {cookie}"));
    }
}

/// The lock of systemd is an open end of a pipe: it is let go when that end is closed.
struct Manager(Asked);

#[zbus::interface(name = "org.freedesktop.login1.Manager")]
impl Manager {
    fn inhibit(&self, what: &str, who: &str, why: &str, mode: &str) -> zbus::zvariant::OwnedFd {
        self.0.lock().unwrap().push(format!("{what} {mode}ed by {who}: {why}"));
        let (mut reader, writer) = std::io::pipe().unwrap();
        let (asked, what) = (self.0.clone(), what.to_owned());
        std::thread::spawn(move || {
            let _ = reader.read(&mut [0]);
            asked.lock().unwrap().push(format!("{what} let go"));
        });
        OwnedFd::from(writer).into()
    }
}

/// A bus of our own; it dies with this.
struct Bus {
    server: Child,
    address: String,
    asked: Asked,
    _services: Connection,
}

impl Bus {
    fn new(folder: &Path) -> Self {
        // A configuration of our own: it starts no service of the system.
        let config = folder.join("bus.conf");
        let listen = format!("<listen>unix:path={}</listen>", folder.join("bus").display());
        // What a session's own bus allows: everything, to everybody on it.
        let policy = "<policy context=\"default\"><allow user=\"*\"/><allow own=\"*\"/>\
                      <allow send_destination=\"*\" eavesdrop=\"true\"/><allow eavesdrop=\"true\"/></policy>";
        std::fs::write(
            &config,
            format!("<busconfig><type>session</type>{listen}{policy}</busconfig>"),
        )
        .unwrap();
        let mut server = Command::new("dbus-daemon")
            .args(["--nofork", "--print-address=1"])
            .arg(format!("--config-file={}", config.display()))
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("dbus-daemon cannot be started: let tests/run install it");
        let mut address = String::new();
        BufReader::new(server.stdout.take().unwrap()).read_line(&mut address).unwrap();
        let (address, asked) = (address.trim().to_owned(), Asked::default());
        let services = Builder::address(address.as_str())
            .and_then(|b| b.name("org.freedesktop.ScreenSaver"))
            .and_then(|b| b.name("org.freedesktop.login1"))
            .and_then(|b| b.serve_at("/org/freedesktop/ScreenSaver", Saver(asked.clone())))
            .and_then(|b| b.serve_at("/org/freedesktop/login1", Manager(asked.clone())))
            .and_then(Builder::build);
        Self { server, address, asked, _services: services.unwrap() }
    }

    fn asked(&self) -> Vec<String> {
        self.asked.lock().unwrap().clone()
    }
}

impl Drop for Bus {
    fn drop(&mut self) {
        let _ = self.server.kill();
        let _ = self.server.wait();
    }
}

#[test]
fn a_visit_keeps_screen_and_computer_awake_and_lets_them_go_when_it_is_left() {
    let folder = tempfile::tempdir().unwrap();
    let settings = folder.path().join("settings.toml");
    let choices = known(vec![]);
    choices.save(&settings).unwrap();
    let (bus, display) = (Bus::new(folder.path()), Display::new());
    let mut command = Command::new(env!("CARGO_BIN_EXE_cuffnote"));
    command.args(["--source", "sim:visit#1", "--book"]).arg(folder.path().join("book"));
    command.env("CUFFNOTE_SETTINGS", &settings);
    command.env("DBUS_SESSION_BUS_ADDRESS", &bus.address);
    command.env("DBUS_SYSTEM_BUS_ADDRESS", &bus.address);
    let mut twin = Bedside::new(&folder.path().join("twin"), "visit", choices, USUAL);
    let _program = Program::start(command, &display);
    display.window();
    display.shows(&mut twin);
    click(&mut twin, &display, "New visit");
    display.shows(&mut twin);
    assert!(bus.asked().is_empty(), "nothing is held without a visit: {:?}", bus.asked());
    display.click(
        egui_kittest::kittest::Queryable::get_by_label(&twin.window, "Record code, never a name")
            .rect(),
    );
    display.write(&RECORD.to_lowercase());
    twin.write("Record code, never a name", RECORD);
    for label in ["lying flat", "Start rest period"] {
        click(&mut twin, &display, label);
    }
    wait_for("both requests", || bus.asked().len() >= 2);
    let held = ["screen on for cuffnote: a visit runs", "sleep blocked by Cuffnote: a visit runs"];
    assert_eq!(bus.asked(), held);
    std::thread::sleep(std::time::Duration::from_secs(1));
    assert_eq!(bus.asked(), held, "held while the visit runs, and asked once");
    click(&mut twin, &display, "Leave");
    wait_for("both releases", || bus.asked().len() >= 4);
    let mut after = bus.asked()[2..].to_vec();
    after.sort();
    assert_eq!(after, ["screen let go, 4711", "sleep let go"]);
}
