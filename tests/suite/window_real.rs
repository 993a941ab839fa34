//! The real window on a real X server (Xvfb), driven by real key presses and clicks; what it shows is held against
//! the same state drawn without a graphics card, and what it keeps is read from the book.
//!
//! A twin in virtual time tells where targets stand and when the simulated pulse comes back.

use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use cuffnote::clinical::event::{Act, Event, Made, Outcome};
use cuffnote::logbook::{Book, Search, VisitRow};
use cuffnote::settings::Settings;
use cuffnote::window::model::choices::Change;
use cuffnote::window::paint::theme;
use eframe::egui::{Key, Rect};
use egui_kittest::kittest::Queryable;
use image::RgbaImage;
use x11rb::connection::Connection;
use x11rb::protocol::xproto::{
    ConfigureWindowAux, ConnectionExt, ImageFormat, InputFocus, MapState, Window,
};
use x11rb::protocol::xtest::ConnectionExt as _;
use x11rb::rust_connection::RustConnection;

use super::pulse::{MONO, Room, wait_for};
use super::window::{Bedside, RECORD, USUAL, known};

/// Two pictures are the same where a smaller share of their pixels plainly differs.
const SAME: f64 = 0.01;

const PRESS: u8 = 2;
const RELEASE: u8 = 3;
const BUTTON_PRESS: u8 = 4;
const BUTTON_RELEASE: u8 = 5;
const MOVE: u8 = 6;

/// A screen that nobody looks at.
pub struct Display {
    server: Child,
    name: String,
    x: RustConnection,
    root: Window,
    /// Keysym and keycode, unshifted.
    keys: Vec<(u32, u8)>,
    size: (u16, u16),
}

impl Display {
    pub fn new() -> Self {
        Self::sized(1280, 800)
    }

    /// Of this size, pixels.
    pub fn sized(width: u16, height: u16) -> Self {
        let screen = format!("{width}x{height}x24");
        let mut server = Command::new("Xvfb")
            .args(["-displayfd", "1", "-screen", "0", &screen, "-nolisten", "tcp"])
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("Xvfb cannot be started: install xvfb, or let tests/run do it");
        let mut line = String::new();
        BufReader::new(server.stdout.take().unwrap()).read_line(&mut line).unwrap();
        let name = format!(":{}", line.trim());
        let (x, screen) = x11rb::connect(Some(&name)).unwrap();
        let root = x.setup().roots[screen].root;
        let (low, high) = (x.setup().min_keycode, x.setup().max_keycode);
        let map = x.get_keyboard_mapping(low, high - low + 1).unwrap().reply().unwrap();
        let each = usize::from(map.keysyms_per_keycode);
        let keys = map.keysyms.chunks(each).zip(low..=high).map(|(syms, code)| (syms[0], code));
        let keys = keys.collect();
        Self { server, name, x, root, keys, size: (width, height) }
    }

    /// The program's window once it is there; it gets the keys from then on.
    pub fn window(&self) {
        let mut found = None;
        wait_for("the window", || {
            let tree = self.x.query_tree(self.root).unwrap().reply().unwrap();
            found = tree.children.into_iter().find(|&window| {
                let shown = self.x.get_window_attributes(window).unwrap().reply();
                let size = self.x.get_geometry(window).unwrap().reply();
                shown.is_ok_and(|s| s.map_state == MapState::VIEWABLE)
                    && size.is_ok_and(|g| (g.width, g.height) == (1280, 800))
            });
            found.is_some()
        });
        let window = found.unwrap();
        if self.size != (1280, 800) {
            let (width, height) = (u32::from(self.size.0), u32::from(self.size.1));
            let whole = ConfigureWindowAux::new().width(width).height(height);
            self.x.configure_window(window, &whole).unwrap();
        }
        self.x.set_input_focus(InputFocus::PARENT, window, x11rb::CURRENT_TIME).unwrap();
        self.x.flush().unwrap();
    }

    /// Waits until the screen shows the twin's state, and gives what it shows.
    pub fn shows(&self, twin: &mut Bedside) -> RgbaImage {
        let drawn = twin.window.render().unwrap();
        let mut found = self.picture();
        let until = Instant::now() + Duration::from_secs(30);
        while differ(&found, &drawn) >= SAME {
            if Instant::now() > until {
                let folder = std::env::temp_dir();
                found.save(folder.join("cuffnote-shown.png")).unwrap();
                drawn.save(folder.join("cuffnote-drawn.png")).unwrap();
                panic!("{} of the pixels differ: see {}", differ(&found, &drawn), folder.display());
            }
            std::thread::sleep(Duration::from_millis(100));
            found = self.picture();
        }
        found
    }

    fn fake(&self, kind: u8, detail: u8, (x, y): (i16, i16)) {
        self.x.xtest_fake_input(kind, detail, x11rb::CURRENT_TIME, self.root, x, y, 0).unwrap();
        self.x.flush().unwrap();
    }

    /// Presses and lets go the key of this keysym (X11, `keysymdef.h`).
    pub fn press(&self, keysym: u32) {
        let code = self.keys.iter().find(|(sym, _)| *sym == keysym).unwrap().1;
        self.fake(PRESS, code, (0, 0));
        std::thread::sleep(Duration::from_millis(30));
        self.fake(RELEASE, code, (0, 0));
        std::thread::sleep(Duration::from_millis(60));
    }

    pub fn write(&self, text: &str) {
        text.bytes().for_each(|letter| self.press(u32::from(letter)));
    }

    pub fn click(&self, at: Rect) {
        let at = at.center();
        self.fake(MOVE, 0, (at.x as i16, at.y as i16));
        std::thread::sleep(Duration::from_millis(100));
        self.fake(BUTTON_PRESS, 1, (0, 0));
        std::thread::sleep(Duration::from_millis(60));
        self.fake(BUTTON_RELEASE, 1, (0, 0));
        std::thread::sleep(Duration::from_millis(300));
    }

    /// Whether a line in the colour of acts stands at the newest edge of the sound.
    fn tap_shown(&self, sound: Rect) -> bool {
        let (x, y) = (sound.right() as i16 - 24, sound.top() as i16 + 80);
        let strip = self.x.get_image(ImageFormat::Z_PIXMAP, self.root, x, y, 24, 40, !0);
        let data = strip.unwrap().reply().unwrap().data;
        let act = theme::Theme::Dim.roles().act;
        let near = |bgrx: &&[u8]| {
            [bgrx[2], bgrx[1], bgrx[0]].iter().zip(act.to_array()).all(|(a, b)| a.abs_diff(b) < 24)
        };
        data.chunks(4).filter(near).count() >= 40
    }

    /// What the screen shows.
    pub fn picture(&self) -> RgbaImage {
        let (width, height) = self.size;
        let all = self.x.get_image(ImageFormat::Z_PIXMAP, self.root, 0, 0, width, height, !0);
        let data = all.unwrap().reply().unwrap().data;
        let pixels = data.chunks(4).flat_map(|bgrx| [bgrx[2], bgrx[1], bgrx[0], 255]);
        RgbaImage::from_raw(width.into(), height.into(), pixels.collect()).unwrap()
    }
}

impl Drop for Display {
    fn drop(&mut self) {
        let _ = self.server.kill();
        let _ = self.server.wait();
    }
}

const ENTER: u32 = 0xff0d;
const SPACE: u32 = 0x20;
const F9: u32 = 0xffc6;

/// The program with its window on this screen; it dies with this.
pub struct Program(Child);

impl Program {
    pub fn start(mut command: Command, display: &Display) -> Self {
        command.env("DISPLAY", &display.name).env("LIBGL_ALWAYS_SOFTWARE", "1");
        command.env_remove("WAYLAND_DISPLAY");
        Self(command.stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap())
    }

    pub fn kill(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

impl Drop for Program {
    fn drop(&mut self) {
        self.kill();
    }
}

/// Share of pixels in which two pictures plainly differ.
fn differ(a: &RgbaImage, b: &RgbaImage) -> f64 {
    assert_eq!(a.dimensions(), b.dimensions());
    let far = |(a, b): (&image::Rgba<u8>, &image::Rgba<u8>)| {
        a.0.iter().zip(&b.0).any(|(a, b)| a.abs_diff(*b) > 64)
    };
    a.pixels().zip(b.pixels()).filter(|pair| far(*pair)).count() as f64 / (1280.0 * 800.0)
}

/// The only visit of a book, with its events.
fn only_visit(book: &Path) -> (VisitRow, Vec<Event>) {
    let book = Book::open(book).unwrap().book;
    let rows = book.visits(&Search::default()).unwrap();
    assert_eq!(rows.len(), 1);
    let events = book.events(rows[0].id).unwrap();
    (rows[0].clone(), events)
}

/// Clicks the same target in the twin and on the screen.
pub fn click(twin: &mut Bedside, display: &Display, label: &str) {
    let rect = twin.window.get_by_label(label).rect();
    assert!(rect.bottom() < 800.0, "`{label}` would have to be scrolled to");
    display.click(rect);
    twin.click(label);
}

/// From the list of visits to the first site.
fn begin(twin: &mut Bedside, display: &Display) {
    click(twin, display, "New visit");
    display.shows(twin);
    let field = twin.window.get_by_label("Record code, never a name").rect();
    display.click(field);
    display.write(&RECORD.to_lowercase());
    twin.write("Record code, never a name", RECORD);
    for label in ["lying flat", "Start rest period", "Start early (rest incomplete)"] {
        click(twin, display, label);
    }
}

/// Seconds from the first site to the return of its pulse, in virtual time.
fn rehearsed(book: &Path, choices: &Settings) -> f64 {
    let mut twin = Bedside::new(book, "visit", choices.clone(), USUAL);
    twin.begin(RECORD);
    twin.click("Start early (rest incomplete)");
    let turned = twin.now().at;
    twin.until(90.0, "the return", |model| {
        let at = model.visit.attempt();
        at.is_some_and(|at| at.course.cue_s().is_some())
    });
    (twin.now().at - turned).as_secs_f64()
}

#[test]
fn the_real_window_takes_keys_clicks_and_a_pedal_and_shows_what_is_so() {
    let folder = tempfile::tempdir().unwrap();
    let (book, settings) = (folder.path().join("book"), folder.path().join("settings.toml"));
    let choices = known(vec![Change::Tap(Key::F9)]);
    choices.save(&settings).unwrap();
    let display = Display::new();
    let start = || {
        // Nothing but the program itself keeps others out of what it writes.
        let mut command = Command::new("sh");
        command.args(["-c", "umask 0; exec \"$0\" \"$@\"", env!("CARGO_BIN_EXE_cuffnote")]);
        command.args(["--source", "sim:visit#1", "--book"]).arg(&book);
        command
            .env("CUFFNOTE_SETTINGS", &settings)
            .env("CUFFNOTE_LOG_DIR", folder.path().join("log"));
        Program::start(command, &display)
    };
    let pulse_s = rehearsed(&folder.path().join("rehearsal"), &choices);
    let mut twin = Bedside::new(&folder.path().join("twin"), "visit", choices.clone(), USUAL);
    let mut program = start();
    display.window();
    let empty = display.shows(&mut twin);

    begin(&mut twin, &display);
    let turned = Instant::now();
    // The patient is the same one, in real time.
    std::thread::sleep(Duration::from_secs_f64(pulse_s + 0.4).saturating_sub(turned.elapsed()));
    display.press(F9);
    display.write("148");
    display.press(ENTER);
    let of = |what: fn(&Act) -> bool| {
        let (_, events) = only_visit(&book);
        events.into_iter().map(|e| e.act).find(what)
    };
    wait_for("the reading", || of(|a| matches!(a, Act::Outcome { .. })).is_some());
    let Some(Act::Outcome { outcome: Outcome::Reading { cuff_mmhg, .. }, .. }) =
        of(|a| matches!(a, Act::Outcome { .. }))
    else {
        panic!("no reading")
    };
    assert_eq!(cuff_mmhg.to_string(), "148");
    let mark = of(|a| matches!(a, Act::Mark { .. }));
    assert!(matches!(mark, Some(Act::Mark { made: Made::Pedal, .. })), "{mark:?}");
    wait_for("the comparison", || of(|a| matches!(a, Act::Compared { .. })).is_some());
    let Some(Act::Compared { late_s, .. }) = of(|a| matches!(a, Act::Compared { .. })) else {
        panic!("no comparison")
    };
    assert!((-1.0..4.0).contains(&late_s), "the tap was {late_s} s after the first pulse");

    // Killed as it stands: the next start offers the visit, on the screen too.
    program.kill();
    let kept = only_visit(&book).1;
    let _program = start();
    display.window();
    let twin_book = folder.path().join("copy");
    copy(&book, &twin_book);
    let mut again = Bedside::new(&twin_book, "visit", choices, USUAL);
    // Only the copy says that it is one.
    again.window.state_mut().model.notice = None;
    again.wait(0.1);
    let shown = display.shows(&mut again);
    assert!(differ(&shown, &empty) > SAME, "another state looks otherwise");
    let label = format!("Continue {}", RECORD.to_lowercase());
    click(&mut again, &display, &label);
    wait_for("the next attempt", || only_visit(&book).1.len() > kept.len());
    assert!(only_visit(&book).1.starts_with(&kept), "nothing was lost");
    let seen = super::privacy::owner_alone(folder.path(), &[]);
    let ending = |ending: &str| seen.iter().any(|name| name.ends_with(ending));
    assert!(ending(".sqlite") && ending("settings.toml"), "{seen:?}");
}

fn copy(from: &Path, to: &Path) {
    use std::os::unix::fs::DirBuilderExt;
    std::fs::DirBuilder::new().mode(0o700).create(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap().map(Result::unwrap) {
        let target = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy(&entry.path(), &target);
        } else {
            std::fs::copy(entry.path(), target).unwrap();
        }
    }
}

/// The same visit live: what the window hears over the sound server is what is heard in its recording.
#[test]
fn a_visit_on_live_sound_hears_what_its_recording_gives_again() {
    let room = Room::new(MONO);
    let (book, file) = (room.path("book"), room.path("patient.wav"));
    let choices = known(vec![]);
    choices.save(&room.path("settings.toml")).unwrap();
    let program = env!("CARGO_BIN_EXE_cuffnote");
    let mut make = room.command(program);
    make.args(["make", "plain", "--rate", "48000", "--out"]).arg(&file);
    assert!(make.status().unwrap().success());
    let display = Display::new();
    let twin_folder = tempfile::tempdir().unwrap();
    let mut twin = Bedside::new(&twin_folder.path().join("book"), "visit", choices, USUAL);
    let mut command = room.command(program);
    command.arg("--book").arg(&book);
    let mut window = Program::start(command, &display);
    display.window();
    display.shows(&mut twin);
    begin(&mut twin, &display);
    let mut player = room.play("room", &file, &[]);
    let heard = heard_in(&file);
    std::thread::sleep(Duration::from_secs_f64(heard + 1.0));
    display.press(SPACE);
    display.write("148");
    display.press(ENTER);
    player.wait().unwrap();
    let compared = || {
        let (_, events) = only_visit(&book);
        events.into_iter().find_map(|e| match e.act {
            Act::Compared { late_s, .. } => Some(late_s),
            _ => None,
        })
    };
    wait_for("the comparison", || compared().is_some());
    // A terminated program finishes its recording when it is next opened; here it is asked to stop.
    super::pulse::signal(window.0.id(), "TERM");
    let _ = window.0.wait();
    let (row, events) = only_visit(&book);
    let mark_s = events.iter().find_map(|e| match &e.act {
        Act::Mark { at, .. } => Some(at.seconds()),
        _ => None,
    });
    let recordings = Book::open(&book).unwrap().book.recordings(row.id).unwrap();
    let wav = recordings.first().expect("a recording").file.clone();
    let wav = if wav.is_absolute() { wav } else { book.join(wav) };
    let again = mark_s.unwrap() - heard_in(&wav);
    let live = compared().unwrap();
    assert!((again - live).abs() < 0.02, "live {live} s late, in the recording {again}");
    let seen = super::privacy::owner_alone(&book, &[]);
    assert!(seen.iter().any(|name| name.ends_with(".wav")), "{seen:?}");
}

/// When `cuffnote listen` finds the return in a recording, seconds.
fn heard_in(file: &Path) -> f64 {
    let mut command = Command::new(env!("CARGO_BIN_EXE_cuffnote"));
    let out = command.args(["listen", "--json"]).arg(file).output().unwrap();
    let text = String::from_utf8(out.stdout).unwrap();
    let found: serde_json::Value = serde_json::from_str(text.lines().next().unwrap()).unwrap();
    found["return_s"].as_f64().unwrap_or_else(|| panic!("no return in {text}"))
}

/// Processor seconds that a process has used (Linux, clock ticks of 10 ms).
fn used_s(process: u32) -> f64 {
    let stat = std::fs::read_to_string(format!("/proc/{process}/stat")).unwrap();
    let after = stat.rsplit(')').next().unwrap();
    let ticks: Vec<f64> = after.split_whitespace().filter_map(|n| n.parse().ok()).collect();
    // After the state letter: utime is the 11th number, stime the 12th (proc(5)).
    (ticks[10] + ticks[11]) / 100.0
}

/// Share of one core that a process uses over `seconds`.
fn share(process: u32, seconds: f64) -> f64 {
    let before = used_s(process);
    std::thread::sleep(Duration::from_secs_f64(seconds));
    (used_s(process) - before) / seconds
}

/// Prints, never asserts: `cargo test --release --test suite -- --ignored window_real::figures --nocapture`.
#[test]
#[ignore = "a benchmark"]
fn figures() {
    let folder = tempfile::tempdir().unwrap();
    let settings = folder.path().join("settings.toml");
    let choices = known(vec![Change::Tap(Key::F9)]);
    choices.save(&settings).unwrap();
    let mut twin = Bedside::new(&folder.path().join("twin"), "visit", choices, USUAL);
    let drawn = twin.window.render().unwrap();
    let display = Display::new();
    let mut command = Command::new(env!("CARGO_BIN_EXE_cuffnote"));
    command.args(["--source", "sim:visit#1", "--book"]).arg(folder.path().join("book"));
    command.env("CUFFNOTE_SETTINGS", &settings);
    let started = Instant::now();
    let program = Program::start(command, &display);
    while differ(&display.picture(), &drawn) >= SAME {
        std::thread::sleep(Duration::from_millis(5));
    }
    println!("first frame on the screen: {:.2} s after the start", started.elapsed().as_secs_f64());
    display.window();
    println!("list of visits, idle: {:.1} % of a core", 100.0 * share(program.0.id(), 10.0));
    begin(&mut twin, &display);
    let sound = twin.window.get_by_label_contains("The sound. Touch it").rect();
    let stepping = Instant::now();
    (0..200).for_each(|_| twin.wait(0.05));
    println!("a frame laid out: {:.2} ms", stepping.elapsed().as_secs_f64() * 1e3 / 200.0);
    let painting = Instant::now();
    (0..10).for_each(|_| drop(twin.window.render().unwrap()));
    println!(
        "and painted without a graphics card, by our own raster: {:.0} ms",
        painting.elapsed().as_secs_f64() * 1e2
    );
    println!("measuring: {:.1} % of a core", 100.0 * share(program.0.id(), 5.0));
    let mut delays: Vec<f64> = (0..30_u64)
        .map(|n| {
            std::thread::sleep(Duration::from_millis(900 + 37 * (n % 7)));
            let code = display.keys.iter().find(|(sym, _)| *sym == F9).unwrap().1;
            let pressed = Instant::now();
            display.fake(PRESS, code, (0, 0));
            while !display.tap_shown(sound) && pressed.elapsed().as_secs_f64() < 1.0 {
                // Not without pause: asking again and again would take the processor from what is measured.
                std::thread::sleep(Duration::from_millis(1));
            }
            let shown = pressed.elapsed().as_secs_f64() * 1e3;
            display.fake(RELEASE, code, (0, 0));
            shown
        })
        .collect();
    delays.sort_by(f64::total_cmp);
    println!(
        "from the key to the tap's line on the screen: {:.0} ms in the middle, {:.0} to {:.0} of 30",
        delays[15], delays[0], delays[29]
    );
}
