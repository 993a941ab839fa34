//! A sound server for tests: PulseAudio as an ordinary process with sinks that play to nobody, and the program
//! listening to them. Each test has its own, in its own folder.

use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::OnceLock;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::mpsc::{self, Receiver};
use std::time::{Duration, Instant};

use jiff::Timestamp;
use serde_json::Value;
use tempfile::TempDir;

/// How long anything may take before the test gives up; long, as the machine may be busy.
const PATIENCE: Duration = Duration::from_secs(90);

/// A sound server of our own.
pub struct Room {
    folder: TempDir,
    setup: String,
    server: Option<Child>,
}

/// A mono sink called `room` at 48 kHz, bit-exact.
pub const MONO: &str = "load-module module-null-sink sink_name=room rate=48000 channels=1 format=float32le norewinds=1";

impl Room {
    /// Starts a server with these modules; `room` and its monitor are the defaults.
    pub fn new(setup: &str) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let mut room = Self { folder, setup: setup.into(), server: None };
        room.start();
        room
    }

    /// A path in the room's own folder.
    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Starts the server, which must not be running.
    pub fn start(&mut self) {
        machine_late_s();
        let script = self.path("script.pa");
        let socket = self.path("native");
        let text = format!(
            "load-module module-native-protocol-unix auth-anonymous=1 socket={}\n{}\nset-default-sink room\nset-default-source room.monitor\n",
            socket.display(),
            self.setup
        );
        std::fs::write(&script, text).unwrap();
        let mut command = self.command("pulseaudio");
        command.args(["-n", "-F"]).arg(&script).args([
            "--daemonize=no",
            "--use-pid-file=no",
            "--exit-idle-time=-1",
            "--realtime=no",
            "--high-priority=no",
        ]);
        let log = std::fs::File::create(self.path("server.log")).unwrap();
        command.stdout(Stdio::null()).stderr(log);
        let child = command.spawn().unwrap_or_else(|e| {
            panic!("pulseaudio cannot be started ({e}): install pulseaudio and pulseaudio-utils, or let tests/run do it")
        });
        self.server = Some(child);
        wait_for("the sound server", || {
            self.command("pactl")
                .arg("info")
                .stdout(Stdio::null())
                .stderr(Stdio::null())
                .status()
                .unwrap()
                .success()
        });
    }

    /// Ends the server as a crash would.
    pub fn kill(&mut self) {
        if let Some(mut server) = self.server.take() {
            server.kill().unwrap();
            server.wait().unwrap();
        }
    }

    /// Sends the server a signal by name.
    pub fn signal(&self, name: &str) {
        signal(self.server.as_ref().unwrap().id(), name);
    }

    /// A command that finds this server.
    pub fn command(&self, program: impl AsRef<std::ffi::OsStr>) -> Command {
        let mut command = Command::new(program);
        command
            .env("HOME", self.folder.path())
            .env("XDG_RUNTIME_DIR", self.folder.path())
            .env("PULSE_SERVER", format!("unix:{}", self.path("native").display()))
            .env("CUFFNOTE_SETTINGS", self.path("settings.toml"))
            .env("CUFFNOTE_LOG_DIR", self.path("log"))
            .env_remove("PULSE_COOKIE")
            .env_remove("DBUS_SESSION_BUS_ADDRESS");
        command
    }

    /// Runs `pactl` and gives what it says.
    pub fn pactl(&self, words: &str) -> String {
        let done = self.command("pactl").args(words.split(' ')).output().unwrap();
        assert!(done.status.success(), "pactl {words}: {}", String::from_utf8_lossy(&done.stderr));
        String::from_utf8(done.stdout).unwrap().trim().to_owned()
    }

    /// Plays a file to a sink; `words` are further options.
    pub fn play(&self, sink: &str, file: &Path, words: &[&str]) -> Child {
        let mut command = self.command("paplay");
        command.arg(format!("--device={sink}")).args(words).arg(file);
        command.spawn().expect("paplay cannot be started: install pulseaudio-utils")
    }

    /// The program, listening; `words` follow `listen --live --json`.
    pub fn listen(&self, words: &[&str]) -> Listening {
        let mut command = self.command(env!("CARGO_BIN_EXE_cuffnote"));
        command.args(["listen", "--live", "--json"]).args(words);
        Listening::start(command)
    }
}

impl Drop for Room {
    fn drop(&mut self) {
        self.kill();
    }
}

/// The program while it listens, and what it has told.
pub struct Listening {
    pub child: Child,
    lines: Receiver<Value>,
    pub told: Vec<Value>,
}

impl Listening {
    pub fn start(mut command: Command) -> Self {
        command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped());
        let mut child = command.spawn().unwrap();
        let out = BufReader::new(child.stdout.take().unwrap());
        let (tell, lines) = mpsc::channel();
        std::thread::spawn(move || {
            for line in out.lines().map_while(Result::ok) {
                let value = serde_json::from_str(&line).unwrap_or(Value::String(line));
                if tell.send(value).is_err() {
                    return;
                }
            }
        });
        Self { child, lines, told: Vec::new() }
    }

    /// Waits for an event of this kind that was not waited for before, and gives it.
    pub fn wait(&mut self, kind: &str) -> Value {
        self.wait_for(kind, |_| true)
    }

    /// As [`Listening::wait`], for one that also fits.
    pub fn wait_for(&mut self, kind: &str, fits: impl Fn(&Value) -> bool) -> Value {
        self.wait_until(kind, |value| value["kind"] == kind && fits(value))
    }

    /// As [`Listening::wait`], for one of any kind that fits; `what` is for the sentence if none comes.
    pub fn wait_until(&mut self, what: &str, fits: impl Fn(&Value) -> bool) -> Value {
        let until = Instant::now() + PATIENCE;
        loop {
            let left = until.saturating_duration_since(Instant::now());
            let Ok(value) = self.lines.recv_timeout(left) else {
                panic!("no `{what}` was told; there was: {:#?}", self.told)
            };
            self.told.push(value.clone());
            if fits(&value) {
                return value;
            }
        }
    }

    /// Asks the program to end, and gives all it told.
    pub fn end(mut self) -> Vec<Value> {
        signal(self.child.id(), "TERM");
        self.wait("summary");
        assert!(self.child.wait().unwrap().success());
        self.told.extend(self.lines.iter());
        std::mem::take(&mut self.told)
    }
}

impl Drop for Listening {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// How long this machine has let a thread oversleep, in all, seconds: one that sleeps for 4 ms at a time, as the program's
/// worker does. What the program tells late cannot be later than its waits and this, unless the program is at fault.
pub fn machine_late_s() -> f64 {
    static LATE_NS: OnceLock<AtomicU64> = OnceLock::new();
    const NAP: Duration = Duration::from_millis(4);
    let late = LATE_NS.get_or_init(|| {
        std::thread::spawn(|| {
            loop {
                let asleep = Instant::now();
                std::thread::sleep(NAP);
                let late = asleep.elapsed().saturating_sub(NAP).as_nanos() as u64;
                LATE_NS.wait().fetch_add(late, Ordering::Relaxed);
            }
        });
        AtomicU64::new(0)
    });
    late.load(Ordering::Relaxed) as f64 / 1e9
}

/// The instant before something is made to go wrong.
pub struct Before {
    wall: Timestamp,
    late_s: f64,
}

impl Before {
    pub fn now() -> Self {
        Self { wall: Timestamp::now(), late_s: machine_late_s() }
    }

    /// Demands that an event was told, by the program's own clock, within two seconds; later only by what the machine
    /// was late meanwhile.
    pub fn told_in_time(&self, event: &Value) {
        let at: Timestamp = event["at"].as_str().unwrap().parse().unwrap();
        let after_s = at.duration_since(self.wall).as_secs_f64();
        let late_s = machine_late_s() - self.late_s;
        println!("told after {after_s:.2} s, the machine late by {late_s:.2} s: {}", event["says"]);
        assert!(after_s > 0.0 && after_s < 2.0 + late_s, "{after_s} s, {late_s} s: {event}");
    }
}

/// Two processes that never rest, while this lives.
pub struct Busy(Vec<Child>);

impl Busy {
    pub fn both_cores() -> Self {
        let spin = || Command::new("sh").args(["-c", "while :; do :; done"]).spawn().unwrap();
        Self((0..2).map(|_| spin()).collect())
    }
}

impl Drop for Busy {
    fn drop(&mut self) {
        for process in &mut self.0 {
            let _ = process.kill();
            let _ = process.wait();
        }
    }
}

/// Sends a process a signal by name.
pub fn signal(process: u32, name: &str) {
    let done = Command::new("kill").args([&format!("-{name}"), &process.to_string()]).status();
    assert!(done.unwrap().success());
}

/// Waits until something is so.
pub fn wait_for(what: &str, mut so: impl FnMut() -> bool) {
    let until = Instant::now() + PATIENCE;
    while !so() {
        assert!(Instant::now() < until, "{what} did not come");
        std::thread::sleep(Duration::from_millis(50));
    }
}

/// The 16-bit samples of a WAV file, as far as its header promises.
pub fn wav_samples(path: &Path) -> Vec<i16> {
    let mut wav = hound::WavReader::open(path).unwrap();
    wav.samples::<i16>().map(Result::unwrap).collect()
}

/// Frames that a WAV file's header promises; none while there is no such file.
pub fn wav_frames(path: &Path) -> u32 {
    hound::WavReader::open(path).map_or(0, |wav| wav.duration())
}

/// Where `part` begins in `whole`, sample for sample.
pub fn find(whole: &[i16], part: &[i16]) -> Option<usize> {
    whole.windows(part.len()).position(|window| window == part)
}

/// Writes bare 32-bit floats.
pub fn write_floats(path: &Path, samples: impl IntoIterator<Item = f32>) {
    let mut file = std::io::BufWriter::new(std::fs::File::create(path).unwrap());
    for sample in samples {
        file.write_all(&sample.to_le_bytes()).unwrap();
    }
    file.flush().unwrap();
}
