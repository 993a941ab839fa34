//! The joint: one worker between a source of sound and everyone else.
//!
//! Nothing here waits for a disk, a database or a window.
