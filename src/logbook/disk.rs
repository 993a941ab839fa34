//! Whether the disk under a book is encrypted, in words; said to be unknown wherever it is.

use std::path::Path;

/// What is known of the encryption of the disk under this folder, as a sentence with advice.
pub fn encryption_of(folder: &Path) -> String {
    let advice =
        "Full-disk encryption of the laptop is advised: this book is not encrypted itself.";
    match known(folder) {
        Some(true) => {
            "The disk under this book is encrypted by the system (dm-crypt). That helps while the laptop is off.".into()
        }
        Some(false) => format!("The disk under this book shows no encryption. {advice}"),
        None => format!("Whether the disk under this book is encrypted could not be told. {advice}"),
    }
}

/// True where a dm-crypt device lies under the folder's file system; none where that cannot be told.
fn known(folder: &Path) -> Option<bool> {
    if !cfg!(target_os = "linux") {
        return None;
    }
    let mounts = std::fs::read_to_string("/proc/self/mounts").ok()?;
    let source = source_of(&mounts, &folder.canonicalize().ok()?)?;
    let device = Path::new(&source).canonicalize().ok()?;
    let name = device.strip_prefix("/dev").ok()?.to_str()?.to_owned();
    under(Path::new("/sys/class/block"), &name, 0)
}

/// The device that a path is mounted from: the longest mount point that holds it, the last of equals.
fn source_of(mounts: &str, path: &Path) -> Option<String> {
    let mut best: Option<(usize, &str)> = None;
    for line in mounts.lines() {
        let mut parts = line.split(' ');
        let (Some(source), Some(point)) = (parts.next(), parts.next()) else { continue };
        let point = point.replace("\\040", " ");
        let longer = best.is_none_or(|(length, _)| point.len() >= length);
        if path.starts_with(&point) && longer {
            best = Some((point.len(), source));
        }
    }
    let source = best?.1;
    source.starts_with("/dev/").then(|| source.to_owned())
}

/// Looks at a device and those it is made of: a dm-crypt device says so in `dm/uuid`.
fn under(blocks: &Path, name: &str, depth: u32) -> Option<bool> {
    let device = blocks.join(name);
    if depth > 8 || !device.exists() {
        return None;
    }
    let uuid = std::fs::read_to_string(device.join("dm/uuid")).unwrap_or_default();
    if uuid.starts_with("CRYPT-") {
        return Some(true);
    }
    let below: Vec<String> = std::fs::read_dir(device.join("slaves"))
        .map(|entries| entries.flatten().map(|e| e.file_name().to_string_lossy().into()).collect())
        .unwrap_or_default();
    let mut all = true;
    for name in &below {
        all &= under(blocks, name, depth + 1)?;
    }
    Some(!below.is_empty() && all)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_longest_mount_point_counts() {
        let mounts = "/dev/vda1 / ext4 rw 0 0\ntmpfs /tmp tmpfs rw 0 0\n/dev/dm-0 /home/a\\040b ext4 rw 0 0\n";
        let of = |path: &str| source_of(mounts, Path::new(path));
        assert_eq!(of("/var/x").as_deref(), Some("/dev/vda1"));
        assert_eq!(of("/home/a b/book").as_deref(), Some("/dev/dm-0"));
        assert_eq!(of("/tmp/x"), None, "not a device");
    }

    #[test]
    fn encryption_is_found_below_a_volume() {
        let blocks = tempfile::tempdir().unwrap();
        let make = |name: &str, uuid: &str, below: &[&str]| {
            let device = blocks.path().join(name);
            std::fs::create_dir_all(device.join("dm")).unwrap();
            std::fs::create_dir_all(device.join("slaves")).unwrap();
            std::fs::write(device.join("dm/uuid"), uuid).unwrap();
            below.iter().for_each(|b| std::fs::write(device.join("slaves").join(b), "").unwrap());
        };
        make("dm-1", "LVM-abc", &["dm-0"]);
        make("dm-0", "CRYPT-LUKS2-abc", &["sda2"]);
        make("dm-2", "LVM-abc", &["sda3"]);
        make("sda2", "", &[]);
        make("sda3", "", &[]);
        let of = |name| under(blocks.path(), name, 0);
        assert_eq!((of("dm-1"), of("dm-2"), of("sda3")), (Some(true), Some(false), Some(false)));
        assert_eq!(of("nowhere"), None);
    }
}
