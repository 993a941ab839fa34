//! While a visit runs the computer neither sleeps nor locks its screen. The system is asked on a thread of its own,
//! since it may be slow to answer; a system that refuses is said once.

use std::sync::mpsc::{self, Receiver, Sender};

/// The wish to stay awake; it ends when this is dropped.
pub struct Awake {
    refused: Receiver<()>,
    _end: Sender<()>,
}

impl Awake {
    /// Asks the system to keep screen and computer awake from now on.
    pub fn hold() -> Self {
        let (tell, refused) = mpsc::channel();
        let (_end, ended) = mpsc::channel::<()>();
        let thread = std::thread::Builder::new().name("awake".into());
        // Without a thread nothing is held, and the channel's closed end says so.
        let _ = thread.spawn(move || {
            // Apart, so that a system that knows only one of the two still gives that one.
            let screen = ask(|wish| wish.display(true));
            let sleep = ask(|wish| wish.sleep(true));
            if screen.is_err() {
                let _ = tell.send(());
            }
            let _ = ended.recv();
            drop((screen, sleep));
        });
        Self { refused, _end }
    }

    /// True once where the system does not keep the screen on.
    pub fn refused(&self) -> bool {
        self.refused.try_recv().is_ok()
    }
}

fn ask(
    what: impl FnOnce(&mut keepawake::Builder) -> &mut keepawake::Builder,
) -> Result<keepawake::KeepAwake, keepawake::Error> {
    let mut wish = keepawake::Builder::default();
    wish.reason("a visit runs").app_name("Cuffnote").app_reverse_domain("cuffnote");
    what(&mut wish).create()
}
