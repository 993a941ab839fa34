//! Coverage-guided driver: `CUFFNOTE_TARGET=wav cargo fuzz run hostile corpus/wav`. How to build it: docs/hostile.md.
#![no_main]

mod targets;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    static TARGET: std::sync::LazyLock<fn(&[u8])> = std::sync::LazyLock::new(|| {
        let name = std::env::var("CUFFNOTE_TARGET").expect("CUFFNOTE_TARGET names a target");
        let found = targets::TARGETS.iter().find(|(target, _)| *target == name);
        found.expect("CUFFNOTE_TARGET names no target of targets.rs").1
    });
    TARGET(bytes);
});
