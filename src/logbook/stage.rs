//! Where what comes from another book waits until its entries are committed, and how that is ended.

use std::path::PathBuf;

use super::fault::{BookFault, file, store};
use super::schema;
use super::sounds::{self, Sound};
use super::visits::VisitId;
use super::writer::Writer;

/// Where recordings wait until their entries are committed.
const STAGE: &str = "incoming";

impl Writer {
    pub(super) fn stage(&self) -> PathBuf {
        self.folder().join(STAGE)
    }

    /// Work that stages files; where it fails nothing of them stays.
    pub(super) fn staged<T>(
        &mut self,
        work: impl FnOnce(&mut Self) -> Result<T, BookFault>,
    ) -> Result<T, BookFault> {
        let done = work(self);
        if done.is_err() {
            let _ = self.clear_stage();
        }
        done
    }

    /// Puts staged recordings whose entries are committed in their place.
    pub(super) fn place_sounds(&self, staged: &[(VisitId, Sound)]) -> Result<(), BookFault> {
        for (visit, sound) in staged {
            let folder = sounds::folder(self.folder(), *visit);
            schema::private_folder(&folder)?;
            let (from, to) =
                (self.stage().join(visit.to_string()).join(&sound.file), folder.join(&sound.file));
            std::fs::rename(&from, &to).map_err(|e| file(&from, e))?;
            schema::sync_folder(&folder)?;
        }
        Ok(())
    }

    /// Ends what a cut-short merge left: recordings that the book knows go to their place, the rest goes.
    pub(super) fn clear_stage(&self) -> Result<(), BookFault> {
        let stage = self.stage();
        if !stage.is_dir() {
            return Ok(());
        }
        let known = sounds::every(self.connection()).map_err(|e| store(self.folder(), &e))?;
        let ready: Vec<(VisitId, Sound)> = known
            .into_iter()
            .filter(|(visit, sound)| {
                let staged = stage.join(visit.to_string()).join(&sound.file);
                sounds::is_plain(&sound.file)
                    && !sounds::folder(self.folder(), *visit).join(&sound.file).exists()
                    && sounds::measure(&staged)
                        .is_ok_and(|m| m == (sound.bytes, sound.sha256.clone()))
            })
            .collect();
        self.place_sounds(&ready)?;
        std::fs::remove_dir_all(&stage).map_err(|e| file(&stage, e))
    }
}
