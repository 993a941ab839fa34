//! The recorder: a second reader of the same samples, and a thread that keeps them in a WAV file.
//!
//! Once a second the header is made true and the data is on the disk, so that whatever ends the program leaves
//! a playable file. Samples that were lost stand in it as silence of the same length, and are reported with
//! their place. A file that grows towards WAV's limit of 4 GiB goes on in the next one.

use std::fs::File;
use std::io::BufWriter;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU32, AtomicU64, Ordering};
use std::sync::mpsc::{self, Receiver, Sender};
use std::thread::JoinHandle;
use std::time::Duration;

use hound::{SampleFormat, WavSpec, WavWriter};

use super::callback::BlockReader;
use crate::files;
use crate::units::{Instant, SampleCount, SampleIndex};

/// From one true header to the next.
const TRUE_EVERY: Duration = Duration::from_secs(1);
/// How long the recorder sleeps when there is nothing to write.
const IDLE: Duration = Duration::from_millis(10);
/// Bytes of sound in one file; WAV ends at 4 GiB.
const BYTES_MAX: u64 = 3_900_000_000;
/// How long [`Recorder::finish`] waits for the disk.
const FINISHING: Duration = Duration::from_secs(5);

/// Bits of each recorded sample.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Depth {
    /// 16 bits.
    #[default]
    Bits16,
    /// 24 bits.
    Bits24,
}

/// The names of one recording's files: `visit.wav`, then `visit-2.wav` and so on.
#[derive(Debug, Clone)]
pub struct Names {
    first: PathBuf,
    used: Arc<AtomicU32>,
}

impl Names {
    /// Names that begin with this one.
    pub fn new(first: &Path) -> Self {
        Self { first: first.into(), used: Arc::new(AtomicU32::new(0)) }
    }

    /// The path of file `number`, from 1.
    pub fn path(&self, number: u32) -> PathBuf {
        if number <= 1 {
            return self.first.clone();
        }
        let stem = self.first.file_stem().unwrap_or_default().to_string_lossy();
        let ending = self.first.extension().map(|e| e.to_string_lossy());
        let ending = ending.map_or(String::new(), |e| format!(".{e}"));
        self.first.with_file_name(format!("{stem}-{number}{ending}"))
    }

    fn next(&self) -> u32 {
        self.used.fetch_add(1, Ordering::Relaxed) + 1
    }
}

/// What the recorder has to tell.
#[derive(Debug, Clone, PartialEq)]
pub enum RecorderNews {
    /// A file was begun.
    File {
        /// Its number, see [`Names::path`].
        number: u32,
        /// The frame of the stream that it begins with.
        start: SampleIndex,
    },
    /// Frames that were lost before they could be written; silence stands for them.
    Gap {
        /// The first of them.
        start: SampleIndex,
        /// How many.
        frames: SampleCount,
    },
    /// The disk refused; nothing is recorded from here on.
    Failed {
        /// The frame up to which the file is good.
        at: SampleIndex,
        /// What the system said.
        said: String,
    },
}

/// Why no recording could begin.
#[derive(Debug, thiserror::Error)]
#[error("{path} cannot be recorded to: {said}")]
pub struct RecorderFault {
    /// The file.
    pub path: PathBuf,
    /// What the system said.
    pub said: String,
}

/// A recording that runs.
pub struct Recorder {
    stop: Arc<AtomicBool>,
    frames: Arc<AtomicU64>,
    told: Receiver<RecorderNews>,
    done: Receiver<()>,
    thread: Option<JoinHandle<()>>,
}

impl Recorder {
    /// Begins the next file of `names` and a thread that writes into it. Never writes over a file.
    ///
    /// # Errors
    /// The file exists already, or cannot be made.
    pub fn start(reader: BlockReader, names: &Names, depth: Depth) -> Result<Self, RecorderFault> {
        let (tell, told) = mpsc::channel();
        let (finished, done) = mpsc::channel();
        let stop = Arc::new(AtomicBool::new(false));
        let frames = Arc::new(AtomicU64::new(0));
        let mut writer = Writer::begin(reader, names, depth, tell, frames.clone())?;
        let stopping = stop.clone();
        let thread = std::thread::Builder::new().name("recorder".into()).spawn(move || {
            writer.run(&stopping);
            let _ = finished.send(());
        });
        let refused =
            |e: std::io::Error| RecorderFault { path: names.path(1), said: e.to_string() };
        Ok(Self { stop, frames, told, done, thread: Some(thread.map_err(refused)?) })
    }

    /// The next thing it has to tell.
    pub fn poll(&self) -> Option<RecorderNews> {
        self.told.try_recv().ok()
    }

    /// Frames in the recording so far, silence for lost ones included.
    pub fn frames(&self) -> SampleCount {
        SampleCount(self.frames.load(Ordering::Relaxed))
    }

    /// Writes what waits, makes the header true and the data safe. Waits for the disk, but not for ever.
    pub fn finish(&mut self) {
        self.stop.store(true, Ordering::Release);
        if self.done.recv_timeout(FINISHING).is_ok()
            && let Some(thread) = self.thread.take()
        {
            let _ = thread.join();
        }
    }
}

impl Drop for Recorder {
    fn drop(&mut self) {
        if self.thread.is_some() {
            self.finish();
        }
    }
}

/// The thread's own half.
struct Writer {
    reader: BlockReader,
    names: Names,
    depth: Depth,
    tell: Sender<RecorderNews>,
    frames: Arc<AtomicU64>,
    /// The frame of the stream that comes next, and those in the current file.
    next: u64,
    in_file: u64,
    open: Option<Open>,
    made_true: Instant,
}

struct Open {
    wav: WavWriter<BufWriter<File>>,
    file: File,
}

impl Open {
    /// The header and everything before it on the disk.
    fn make_true(&mut self) -> Result<(), hound::Error> {
        self.wav.flush()?;
        Ok(self.file.sync_data()?)
    }
}

impl Writer {
    fn begin(
        reader: BlockReader,
        names: &Names,
        depth: Depth,
        tell: Sender<RecorderNews>,
        frames: Arc<AtomicU64>,
    ) -> Result<Self, RecorderFault> {
        let (names, made_true) = (names.clone(), Instant::now());
        let mut writer =
            Self { reader, names, depth, tell, frames, next: 0, in_file: 0, open: None, made_true };
        writer.next_file()?;
        Ok(writer)
    }

    fn next_file(&mut self) -> Result<(), RecorderFault> {
        let number = self.names.next();
        let path = self.names.path(number);
        self.open =
            Some(self.create(&path).map_err(|e| RecorderFault { path, said: e.to_string() })?);
        self.in_file = 0;
        let _ = self.tell.send(RecorderNews::File { number, start: SampleIndex(self.next) });
        Ok(())
    }

    fn create(&self, path: &Path) -> Result<Open, hound::Error> {
        let made = files::private().read(true).write(true).create_new(true).open(path);
        let file = made?;
        let second = file.try_clone()?;
        let spec = WavSpec {
            channels: self.reader.channels() as u16,
            sample_rate: self.reader.rate().hz(),
            bits_per_sample: if self.depth == Depth::Bits24 { 24 } else { 16 },
            sample_format: SampleFormat::Int,
        };
        let wav = WavWriter::new(BufWriter::with_capacity(1 << 16, file), spec);
        let mut open = Open { wav: wav?, file: second };
        open.make_true()?;
        Ok(open)
    }

    fn run(&mut self, stop: &AtomicBool) {
        loop {
            // Read before the ring is emptied: what came before the stop is still written.
            let stopping = stop.load(Ordering::Acquire);
            let idle = !self.write_waiting();
            if self.made_true.elapsed() >= TRUE_EVERY || (idle && stopping) {
                self.made_true = Instant::now();
                let made = self.open.as_mut().map_or(Ok(()), Open::make_true);
                self.check(made);
            }
            if idle && stopping {
                if let Some(Open { wav, file }) = self.open.take() {
                    let _ = wav.finalize();
                    let _ = file.sync_all();
                }
                return;
            }
            if idle {
                std::thread::sleep(IDLE);
            }
        }
    }

    /// Writes up to a second of what waits; tells whether there was anything.
    fn write_waiting(&mut self) -> bool {
        for count in 0..100 {
            let Some((block, samples)) = self.reader.next_block() else { return count > 0 };
            let Some(open) = &mut self.open else { continue };
            let channels = samples.len() / (block.frames as usize).max(1);
            let lost = block.start.0.saturating_sub(self.next);
            let mut written = Ok(());
            if lost > 0 {
                let gap =
                    RecorderNews::Gap { start: SampleIndex(self.next), frames: SampleCount(lost) };
                let _ = self.tell.send(gap);
                let silence = std::iter::repeat_n(&0.0, lost as usize * channels);
                written = write(&mut open.wav, self.depth, silence);
            }
            let written = written.and_then(|()| write(&mut open.wav, self.depth, samples));
            let frames = lost + u64::from(block.frames);
            self.next += frames;
            self.in_file += frames;
            self.frames.store(self.next, Ordering::Relaxed);
            self.check(written);
            self.turn_page(channels as u64);
        }
        true
    }

    /// Goes on in the next file before this one is too long for its header.
    fn turn_page(&mut self, channels: u64) {
        if self.open.is_none() || self.in_file * channels * 3 < BYTES_MAX {
            return;
        }
        let done = self.open.take().map_or(Ok(()), |open| open.wav.finalize());
        self.check(done);
        let next = self.next_file();
        self.check(next);
    }

    /// A disk that refuses ends the recording; the header is made to promise what is there.
    fn check(&mut self, done: Result<(), impl std::fmt::Display>) {
        if let Err(fault) = done {
            let said = fault.to_string();
            if let Some(Open { wav, file }) = self.open.take() {
                drop(wav);
                let _ = mend_header(&file);
            }
            let _ = self.tell.send(RecorderNews::Failed { at: SampleIndex(self.next), said });
        }
    }
}

/// Sets both lengths in the header by the length of the file: after a failed write the library has counted
/// samples that never reached the disk.
fn mend_header(mut file: &File) -> std::io::Result<()> {
    use std::io::{Read, Seek, SeekFrom, Write};
    let length = file.metadata()?.len();
    let mut head = [0u8; 128];
    file.seek(SeekFrom::Start(0))?;
    let got = file.read(&mut head)?;
    let Some(data) = head[..got].windows(4).position(|word| word == b"data") else { return Ok(()) };
    for (at, whole) in
        [(4, length.saturating_sub(8)), (data + 4, length.saturating_sub(data as u64 + 8))]
    {
        file.seek(SeekFrom::Start(at as u64))?;
        file.write_all(&(whole as u32).to_le_bytes())?;
    }
    file.sync_data()
}

fn write<'a>(
    wav: &mut WavWriter<BufWriter<File>>,
    depth: Depth,
    samples: impl IntoIterator<Item = &'a f32>,
) -> Result<(), hound::Error> {
    let full = if depth == Depth::Bits24 { 8_388_608.0 } else { 32_768.0f32 };
    for &sample in samples {
        // What is no number becomes 0 in the conversion.
        let value = (sample * full).round().clamp(-full, full - 1.0) as i32;
        wav.write_sample(value)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::audio::callback;
    use crate::audio::sound::SoundFile;
    use crate::units::SampleRate;

    fn read(path: &Path) -> Vec<f32> {
        let mut wav = SoundFile::open(path).unwrap();
        let (mut all, mut block) = (Vec::new(), Vec::new());
        loop {
            wav.read_block(&mut block).unwrap();
            if block.is_empty() {
                return all;
            }
            all.extend_from_slice(&block);
        }
    }

    #[test]
    fn both_depths_keep_what_they_can_hold_and_gaps_are_silence() {
        let folder = tempfile::tempdir().unwrap();
        for (depth, full) in [(Depth::Bits16, 32_768.0f32), (Depth::Bits24, 8_388_608.0)] {
            let path = folder.path().join(format!("{full}.wav"));
            let names = Names::new(&path);
            let (mut ear, readers) = callback::open(SampleRate::new(8_000).unwrap(), 1, false);
            let mut recorder = Recorder::start(readers.recorder, &names, depth).unwrap();
            let sound: Vec<f32> = (0..5_000).map(|n| (n - 2_500) as f32 * 3.0 / full).collect();
            ear.take(&sound, 0, 0);
            ear.skip(SampleCount(77));
            ear.take(&[f32::NAN, 2.0, -2.0], 0, 0);
            recorder.finish();
            let mut expected = sound;
            expected.extend([0.0; 77]);
            expected.extend([0.0, (full - 1.0) / full, -1.0]);
            assert_eq!(read(&path), expected);
            assert_eq!(recorder.frames(), SampleCount(5_080));
            assert_eq!(
                recorder.poll(),
                Some(RecorderNews::File { number: 1, start: SampleIndex(0) })
            );
            let gap = RecorderNews::Gap { start: SampleIndex(5_000), frames: SampleCount(77) };
            assert_eq!(recorder.poll(), Some(gap));
        }
    }

    #[test]
    fn a_file_that_is_there_is_never_written_over() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("visit.wav");
        std::fs::write(&path, "a letter").unwrap();
        let (_, readers) = callback::open(SampleRate::new(8_000).unwrap(), 1, false);
        let refused = Recorder::start(readers.recorder, &Names::new(&path), Depth::Bits16);
        assert!(refused.err().unwrap().to_string().contains("visit.wav"));
        assert_eq!(std::fs::read(&path).unwrap(), b"a letter");
    }

    #[test]
    fn later_files_are_numbered() {
        let names = Names::new(Path::new("/tmp/a.b/visit.wav"));
        assert_eq!(names.path(1), Path::new("/tmp/a.b/visit.wav"));
        assert_eq!(names.path(3), Path::new("/tmp/a.b/visit-3.wav"));
    }
}
