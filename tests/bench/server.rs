//! Live sound on a real sound server that plays to nobody: how late findings, taps and the sound passed through are,
//! and what the program costs beside a recorder that only keeps the sound.

use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use super::measured::{findings_as_they_come, inside, inside_folder, passed_through, taps_off_ms};
use super::pulse::{MONO, Room};

/// Prints what was measured, where there is a sound server. `listener_share` is the listener's own cost over the same
/// sound in the same run, of one core.
pub fn print(listener_share: f64) {
    let quiet = || Command::new("pulseaudio").arg("--version").stdout(Stdio::null()).status();
    if !quiet().is_ok_and(|status| status.success()) {
        return println!("there is no PulseAudio here: live sound on a server was not measured");
    }
    println!("live sound on a sound server, 48 kHz mono in pieces of 10 ms:");
    taps();
    for line in inside(&Room::new(MONO), "", &["findings-inside"]) {
        println!("  {line}");
    }
    costs(listener_share);
    for words in [&[][..], &["--clearer"][..]] {
        let passed = passed_through(words);
        println!("  passed through {}: {passed:.1?} ms", words.join(" "));
    }
}

/// What [`inside`] started; tells whether this process is one.
pub fn inside_the_room(word: &str) -> bool {
    let Some(folder) = inside_folder() else { return false };
    match word {
        "tap-inside" => println!("{}", taps_off_ms(&folder)),
        "findings-inside" => {
            let mut heard = findings_as_they_come(&folder);
            heard.delays_ms.sort_by(f64::total_cmp);
            let at =
                |share: f64| heard.delays_ms[(share * (heard.delays_ms.len() - 1) as f64) as usize];
            println!(
                "from the deciding sample to the finding, {} findings: {:.1} ms in the middle, {:.1} ms at 90 %, {:.1} ms at most",
                heard.delays_ms.len(),
                at(0.5),
                at(0.9),
                at(1.0)
            );
            for (thread, share) in heard.threads.iter().filter(|(_, share)| *share > 0.0) {
                println!("  {share:>6.2} %  thread `{thread}`");
            }
        }
        _ => return false,
    }
    true
}

fn taps() {
    let said = inside(&Room::new(MONO), "", &["tap-inside"]);
    println!("  taps at the instants of clicks are off by {} ms", said.last().map_or("?", |s| s));
}

/// Processor time of the whole program over 20 s of sound, and of `parec`, which only writes what it gets.
fn costs(listener_share: f64) {
    let room = Room::new(MONO);
    let record = room.path("kept.wav");
    let mut listening = room.listen(&["--record", record.to_str().unwrap()]);
    listening.wait("began");
    let words = ["--latency-msec=10", "--device=room.monitor", "--format=float32le"];
    let parec = room.command("parec").args(words).stdout(Stdio::null()).spawn();
    let mut parec = parec.unwrap();
    let (ours, theirs) = (busy_s(listening.child.id()), busy_s(parec.id()));
    let begun = Instant::now();
    std::thread::sleep(Duration::from_secs(20));
    let seconds = begun.elapsed().as_secs_f64();
    let share = |child: &Child, before: f64| (busy_s(child.id()) - before) / seconds;
    let (ours, theirs) = (share(&listening.child, ours), share(&parec, theirs));
    let _ = parec.kill().and_then(|()| parec.wait());
    listening.end();
    println!("  {:>6.2} %  of one core: the program, listening and recording", 100.0 * ours);
    println!("  {:>6.2} %  of one core: parec, which only takes the sound", 100.0 * theirs);
    println!("  {:>6.2} times what the listener alone costs", ours / listener_share);
}

/// Processor time of a process so far, seconds, at a hundred ticks each (proc(5)).
fn busy_s(process: u32) -> f64 {
    let stat = std::fs::read_to_string(format!("/proc/{process}/stat")).unwrap_or_default();
    let rest = stat.rsplit(") ").next().unwrap_or_default();
    let fields = rest.split(' ').skip(11).take(2);
    fields.filter_map(|field| field.parse::<f64>().ok()).sum::<f64>() / 100.0
}
