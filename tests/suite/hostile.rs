//! Hostile input: each target of `tests/fuzz/targets.rs` on mutations of real files and of the small corpus beside it.
//! Seeded, so that a finding comes again; bounded in time and memory. `CUFFNOTE_HOSTILE=100000` asks for so many
//! executions of each target, `CUFFNOTE_HOSTILE_ONLY=wav` for one target.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

use super::allocations::most_held;

#[path = "../fuzz/targets.rs"]
mod targets;

/// Longest input, bytes.
const LONGEST: usize = 1 << 16;
/// The longest that one input may take, with room for a busy machine, and the most memory, bytes.
const PATIENCE: Duration = Duration::from_secs(20);
const MOST: i64 = 64 << 20;

/// What breaks readers: ends of types, no numbers, ways out of a folder, and marks of the formats themselves.
const ODD: &[&[u8]] = &[
    b"0",
    b"-1",
    b"1e308",
    b"-0.0",
    b"NaN",
    b"inf",
    b"4294967295",
    b"18446744073709551615",
    b"9223372036854775807",
    b"-9223372036854775808",
    b"300.1",
    b"300",
    b"9999-12-31T23:59:59Z",
    b"-009999-01-01T00:00:00Z",
    b"../../",
    b"..\\",
    b"/etc/",
    b"\0",
    b"\xff\xfe",
    b"\xef\xbb\xbf",
    b"\"",
    b"\"\"\"",
    b"[[",
    b"{",
    b"null",
    b"<script>",
    b"=1+1",
    b";",
    b",",
    b"\r\n",
    b"\n\n",
    b"\xf0\x9f\xa9\xba",
    b"\xd9\xa3",
    b"\xff\xff\xff\xff",
    b"\x00\x00\x00\x80",
    b"data",
    b"fmt ",
];

/// Files of the repository that a target reads, as seeds.
fn shipped(target: &str) -> &'static str {
    match target {
        "guidance" => "src/clinical/guidance",
        "order" => "src/clinical/orders",
        "scenario" => "src/sim/scenarios",
        "merge" => "tests/data/books",
        _ => "",
    }
}

fn files(folder: &Path) -> Vec<Vec<u8>> {
    let mut paths: Vec<PathBuf> = std::fs::read_dir(folder)
        .into_iter()
        .flatten()
        .map(|entry| entry.unwrap().path())
        .collect();
    paths.sort();
    paths.iter().filter(|path| path.is_file()).map(|path| std::fs::read(path).unwrap()).collect()
}

fn seeds(target: &str) -> Vec<Vec<u8>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut seeds = files(&root.join("tests/fuzz/corpus").join(target));
    if !shipped(target).is_empty() {
        seeds.extend(files(&root.join(shipped(target))));
    }
    assert!(!seeds.is_empty(), "{target} has no seeds");
    seeds
}

struct Mutator(ChaCha8Rng);

impl Mutator {
    fn below(&mut self, end: usize) -> usize {
        (self.0.next_u64() % end.max(1) as u64) as usize
    }

    /// A stretch of bytes: somewhere, or a whole line, or the digits of a number.
    fn stretch(&mut self, bytes: &[u8]) -> std::ops::Range<usize> {
        let at = self.below(bytes.len());
        let kind = self.below(3);
        let around = |of: &dyn Fn(u8) -> bool| {
            let from = bytes[..at].iter().rposition(|b| !of(*b)).map_or(0, |i| i + 1);
            from..bytes[at..].iter().position(|b| !of(*b)).map_or(bytes.len(), |i| at + i)
        };
        match kind {
            0 => at..(at + 1 + self.below(16)).min(bytes.len()),
            1 => around(&|b| b != b'\n'),
            _ => around(&|b| b.is_ascii_digit() || b"+-.".contains(&b)),
        }
    }

    fn change(&mut self, bytes: &mut Vec<u8>, seeds: &[Vec<u8>]) {
        let at = self.below(bytes.len() + 1);
        let stretch = self.stretch(bytes);
        match self.below(8) {
            0 if at < bytes.len() => bytes[at] ^= 1 << self.below(8),
            1 => bytes.truncate(at),
            2 => drop(bytes.drain(stretch)),
            3 => {
                let again = bytes[stretch].to_vec();
                bytes.splice(at..at, again);
            }
            4 | 5 => {
                let odd = ODD[self.below(ODD.len())];
                bytes.splice(stretch, odd.iter().copied());
            }
            6 => {
                let other = &seeds[self.below(seeds.len())];
                let taken = other[self.stretch(other)].to_vec();
                bytes.splice(stretch, taken);
            }
            _ => bytes.insert(at, self.0.next_u64() as u8),
        }
    }

    fn input(&mut self, seeds: &[Vec<u8>]) -> Vec<u8> {
        let mut bytes = seeds[self.below(seeds.len())].clone();
        for _ in 0..=self.below(6) {
            self.change(&mut bytes, seeds);
        }
        // The pages of a book lie further apart than any other input is long.
        bytes.truncate(LONGEST.max(seeds.iter().map(Vec::len).max().unwrap_or(0)));
        bytes
    }
}

/// Runs one target so often; a finding is written beside the build and named.
fn run((name, target): targets::Target, times: u64) {
    let seeds = seeds(name);
    let begun = Instant::now();
    let seed = std::env::var("CUFFNOTE_HOSTILE_SEED").ok().and_then(|s| s.parse().ok());
    let mut mutator = Mutator(ChaCha8Rng::seed_from_u64(seed.unwrap_or(10)));
    let (mut slowest, mut fattest) = (Duration::ZERO, 0);
    for number in 0..times {
        let input = match seeds.get(number as usize) {
            Some(seed) => seed.clone(),
            None => mutator.input(&seeds),
        };
        let start = Instant::now();
        let mut fine = Ok(());
        // Targets that make things on their first call keep them: that is not the input's doing.
        let held = most_held(|| fine = catch_unwind(AssertUnwindSafe(|| target(&input))));
        let took = start.elapsed();
        (slowest, fattest) = (slowest.max(took), fattest.max(held));
        if fine.is_err() || took > PATIENCE || held > MOST {
            let kept =
                Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("hostile-{name}-{number}"));
            std::fs::write(&kept, &input).unwrap();
            panic!("{name}: execution {number} took {took:?} and {held} bytes: {}", kept.display());
        }
    }
    println!(
        "{name}: {times} executions, {:.1} s, slowest {slowest:?}, most memory {fattest} bytes",
        begun.elapsed().as_secs_f64()
    );
}

#[test]
fn hostile_input_makes_no_panic_no_hang_and_no_file_elsewhere() {
    let only = std::env::var("CUFFNOTE_HOSTILE_ONLY").ok();
    let asked = std::env::var("CUFFNOTE_HOSTILE").ok().and_then(|n| n.parse().ok());
    for target in targets::TARGETS {
        if only.as_ref().is_none_or(|only| only.split(',').any(|name| name == target.0)) {
            // Files and databases are slow.
            let few = matches!(target.0, "merge" | "restore" | "settings");
            run(*target, asked.unwrap_or(if few { 100 } else { 1_500 }));
        }
    }
}
