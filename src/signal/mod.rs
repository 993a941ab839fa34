//! Samples in, findings out: a streaming listener for the sound of a hand-held Doppler.
//!
//! Pure: no input or output, no clock but the sample count, no allocation after `new`. The same code
//! runs live and on files. It never knows who made the sound (it may not import `sim`).
