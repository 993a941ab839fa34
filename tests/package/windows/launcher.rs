//! Opens the window of `cuffnote.exe`, which lies beside it, without a console. What the program says when it cannot
//! open its window is shown in a box, since nobody would see it otherwise.
#![windows_subsystem = "windows"]

use std::ffi::c_void;
use std::os::windows::ffi::OsStrExt;
use std::os::windows::process::CommandExt;
use std::process::{Command, ExitCode, Stdio};

/// CREATE_NO_WINDOW: the console that a console program needs has no window.
const NO_WINDOW: u32 = 0x0800_0000;
/// MB_ICONERROR.
const SIGN: u32 = 0x10;

#[link(name = "user32")]
unsafe extern "system" {
    fn MessageBoxW(owner: *mut c_void, text: *const u16, title: *const u16, kind: u32) -> i32;
}

fn main() -> ExitCode {
    match opened() {
        Ok(()) => ExitCode::SUCCESS,
        Err(said) => {
            show(&said);
            ExitCode::FAILURE
        }
    }
}

fn opened() -> Result<(), String> {
    let here = std::env::current_exe().map_err(|fault| fault.to_string())?;
    let program = here.with_file_name("cuffnote.exe");
    let ran = Command::new(&program)
        .args(std::env::args_os().skip(1))
        .creation_flags(NO_WINDOW)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .output()
        .map_err(|fault| format!("{}: {fault}", program.display()))?;
    if ran.status.success() {
        return Ok(());
    }
    Err(String::from_utf8_lossy(&ran.stderr).trim().to_owned())
}

fn show(said: &str) {
    let wide = |text: &str| -> Vec<u16> {
        std::ffi::OsStr::new(text).encode_wide().chain(std::iter::once(0)).collect()
    };
    let (text, title) = (wide(said), wide("Cuffnote"));
    // Both texts end with a zero and live until the box is closed; no window owns it.
    unsafe { MessageBoxW(std::ptr::null_mut(), text.as_ptr(), title.as_ptr(), SIGN) };
}
