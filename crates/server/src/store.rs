//! Records on disk: one file each, written whole or not at all, and never outside the folder.

use crate::name::{Kind, Name};
use crate::page::etag;
use std::fs::{self, DirEntry, File, OpenOptions, TryLockError};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Duration, SystemTime};

/// Bytes of one record.
pub const MOST_BYTES: usize = 1_000_000;
/// Records of all kinds together.
pub const MOST_RECORDS: usize = 5_000;

/// How often, and how long between, a lock that another holds is tried for.
const LOCK_TRIES: u32 = 50;
const LOCK_PAUSE: Duration = Duration::from_millis(100);

/// Where removed records go, below the folder.
const REMOVED: &str = "removed";

/// Why a record was not fetched, kept or removed.
#[derive(Debug)]
pub(crate) enum Trouble {
    /// There is none of that name.
    Missing,
    /// There is one already, and it was to be a new one.
    There,
    /// It is not the one that the client has seen.
    Changed,
    /// One whose name differs in capitals alone: some disks do not tell them apart.
    Twin(String),
    /// There are [`MOST_RECORDS`] already.
    Full,
    /// The file on disk is longer than [`MOST_BYTES`], or no text.
    Unreadable,
    /// A link, folder or device stands where the file should.
    NotAFile,
    /// Another program holds the folder.
    Busy,
    Disk(io::Error),
}

impl From<io::Error> for Trouble {
    fn from(error: io::Error) -> Self {
        Self::Disk(error)
    }
}

/// What must hold before a record is replaced or removed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Condition {
    None,
    /// `If-None-Match: *`
    New,
    /// `If-Match: *`
    There,
    /// `If-Match: "tag", ...`
    Seen(Vec<String>),
}

impl Condition {
    fn check(&self, now: Option<&str>) -> Result<(), Trouble> {
        match (self, now) {
            (Self::New, Some(_)) => Err(Trouble::There),
            (Self::There | Self::Seen(_), None) => Err(Trouble::Changed),
            (Self::Seen(tags), Some(now)) if !tags.iter().any(|t| t == now) => Err(Trouble::Changed),
            _ => Ok(()),
        }
    }
}

/// One line of the list.
#[derive(Debug, Clone)]
pub(crate) struct Row {
    pub(crate) kind: Kind,
    pub(crate) name: Name,
    pub(crate) bytes: u64,
    pub(crate) changed: SystemTime,
}

/// The folder of records: `KIND/NAME.toml`.
#[derive(Debug)]
pub struct Store {
    folder: PathBuf,
    count: AtomicU64,
}

impl Store {
    /// Makes the folder where there is none.
    ///
    /// # Errors
    /// Of the disk.
    pub fn open(folder: &Path) -> io::Result<Self> {
        fs::create_dir_all(folder)?;
        // Better told now than when the first record is lost.
        let trial = folder.join(format!(".{}-trial.new", std::process::id()));
        fs::write(&trial, b"")?;
        fs::remove_file(&trial)?;
        let store = Self { folder: folder.canonicalize()?, count: AtomicU64::new(0) };
        store.sweep();
        Ok(store)
    }

    /// Takes away what a killed process left half written; under the lock nobody writes.
    fn sweep(&self) {
        let Ok(_lock) = self.lock() else { return };
        let folders = Kind::ALL.iter().filter_map(|kind| self.folder_of(*kind, false).ok().flatten());
        for entry in folders.filter_map(|f| fs::read_dir(f).ok()).flatten().flatten() {
            let name = entry.file_name();
            if name.to_str().is_some_and(|n| n.starts_with('.') && n.ends_with(".new")) {
                // What stays does no harm: it is no record's name.
                let _ = fs::remove_file(entry.path());
            }
        }
    }

    /// Where it is.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Records of every kind, by kind and name; at most [`MOST_RECORDS`]. Files of other names, links and files that are too
    /// long are left out.
    pub(crate) fn list(&self) -> Result<Vec<Row>, Trouble> {
        let mut rows = Vec::new();
        for kind in Kind::ALL {
            // What is no folder holds no records; the other kinds are told all the same.
            let folder = match self.folder_of(kind, false) {
                Ok(Some(folder)) => folder,
                Ok(None) | Err(Trouble::NotAFile) => continue,
                Err(other) => return Err(other),
            };
            let mut found = Vec::new();
            for entry in fs::read_dir(folder)? {
                found.extend(row(kind, &entry?)?);
            }
            found.sort_by(|a, b| a.name.as_str().cmp(b.name.as_str()));
            rows.extend(found);
        }
        rows.truncate(MOST_RECORDS);
        Ok(rows)
    }

    pub(crate) fn fetch(&self, kind: Kind, name: &Name) -> Result<String, Trouble> {
        let folder = self.folder_of(kind, false)?.ok_or(Trouble::Missing)?;
        let bytes = read(&folder.join(name.file(kind)))?.ok_or(Trouble::Missing)?;
        String::from_utf8(bytes).map_err(|_| Trouble::Unreadable)
    }

    /// Its new tag, and whether there was none of that name.
    pub(crate) fn keep(
        &self,
        kind: Kind,
        name: &Name,
        text: &str,
        when: &Condition,
    ) -> Result<(String, bool), Trouble> {
        let folder = self.folder_of(kind, true)?.ok_or(Trouble::NotAFile)?;
        let _lock = self.lock()?;
        let path = folder.join(name.file(kind));
        let before = read(&path)?;
        when.check(before.as_deref().map(etag).as_deref())?;
        let rows = self.list()?;
        // Looked for among the names that the disk tells: where it does not tell capitals apart, the path alone would find
        // another record.
        let lower = name.as_str().to_lowercase();
        let twin = |n: &str| n != name.as_str() && n.to_lowercase() == lower;
        if let Some(twin) = rows.iter().find(|r| r.kind == kind && twin(r.name.as_str())) {
            return Err(Trouble::Twin(twin.name.as_str().to_owned()));
        }
        if before.is_none() && rows.len() >= MOST_RECORDS {
            return Err(Trouble::Full);
        }
        self.write(&folder, &path, text.as_bytes())?;
        Ok((etag(text.as_bytes()), before.is_none()))
    }

    /// Moves it into the folder of removed ones; returns its path there, from the folder of records.
    pub(crate) fn remove(&self, kind: Kind, name: &Name, when: &Condition) -> Result<String, Trouble> {
        let folder = self.folder_of(kind, false)?.ok_or(Trouble::Missing)?;
        let _lock = self.lock()?;
        let path = folder.join(name.file(kind));
        let before = read(&path)?.ok_or(Trouble::Missing)?;
        when.check(Some(&etag(&before)))?;
        let removed = self.own(&self.folder, REMOVED, true)?.ok_or(Trouble::NotAFile)?;
        let removed = self.own(&removed, kind.word(), true)?.ok_or(Trouble::NotAFile)?;
        let when = humantime::format_rfc3339_seconds(SystemTime::now()).to_string().replace(':', "-");
        for again in 0.. {
            let more = if again == 0 { String::new() } else { format!(" {again}") };
            let file = format!("{when}{more} {}", name.file(kind));
            let to = removed.join(&file);
            if fs::symlink_metadata(&to).is_err_and(|e| e.kind() == ErrorKind::NotFound) {
                fs::rename(&path, &to)?;
                // Where it went first: a power cut must not lose it on both sides.
                sync(&removed)?;
                sync(&folder)?;
                return Ok(format!("{REMOVED}/{}/{file}", kind.word()));
            }
        }
        Err(Trouble::NotAFile)
    }

    fn folder_of(&self, kind: Kind, make: bool) -> Result<Option<PathBuf>, Trouble> {
        self.own(&self.folder, kind.word(), make)
    }

    /// A folder inside `parent` that is a folder and no link.
    fn own(&self, parent: &Path, name: &str, make: bool) -> Result<Option<PathBuf>, Trouble> {
        let path = parent.join(name);
        if make {
            match fs::create_dir(&path) {
                Err(error) if error.kind() != ErrorKind::AlreadyExists => return Err(error.into()),
                _ => {}
            }
        }
        match fs::symlink_metadata(&path) {
            Ok(found) if found.is_dir() => Ok(Some(path)),
            Ok(_) => Err(Trouble::NotAFile),
            // A folder of records that went away (a stick, a share) is not one without records.
            Err(error) if error.kind() == ErrorKind::NotFound && self.folder.is_dir() => Ok(None),
            Err(error) => Err(error.into()),
        }
    }

    /// Held while a record is judged and replaced: by this server and by any other that keeps the same folder.
    fn lock(&self) -> Result<File, Trouble> {
        let path = self.folder.join(".lock");
        if fs::symlink_metadata(&path).is_ok_and(|found| !found.is_file()) {
            return Err(Trouble::NotAFile);
        }
        let file = OpenOptions::new().create(true).truncate(false).write(true).open(path)?;
        // Another program may hold it, for whatever reason: nobody waits for ever.
        for _ in 0..LOCK_TRIES {
            match file.try_lock() {
                Ok(()) => return Ok(file),
                Err(TryLockError::WouldBlock) => std::thread::sleep(LOCK_PAUSE),
                Err(TryLockError::Error(error)) => return Err(error.into()),
            }
        }
        Err(Trouble::Busy)
    }

    /// Beside its place first, then renamed, which replaces a link and does not follow it.
    fn write(&self, folder: &Path, path: &Path, bytes: &[u8]) -> Result<(), Trouble> {
        let number = self.count.fetch_add(1, Ordering::Relaxed);
        let beside = folder.join(format!(".{}-{number}.new", std::process::id()));
        // One of an earlier process of this number that was killed.
        let _ = fs::remove_file(&beside);
        let written = (|| {
            let mut file = OpenOptions::new().create_new(true).write(true).open(&beside)?;
            file.write_all(bytes)?;
            file.sync_all()?;
            fs::rename(&beside, path)?;
            sync(folder)
        })();
        if written.is_err() {
            let _ = fs::remove_file(&beside);
        }
        Ok(written?)
    }
}

/// The new name is on disk, too. Windows opens no folder as a file.
fn sync(folder: &Path) -> io::Result<()> {
    if cfg!(unix) { File::open(folder)?.sync_all() } else { Ok(()) }
}

fn row(kind: Kind, entry: &DirEntry) -> io::Result<Option<Row>> {
    let file = entry.file_name();
    let Some(name) = file.to_str().and_then(|f| Name::of_file(kind, f)) else { return Ok(None) };
    // Of the entry itself: links are not followed. One that was removed just now is no fault.
    let found = match entry.metadata() {
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(None),
        found => found?,
    };
    if !found.is_file() || found.len() > MOST_BYTES as u64 {
        return Ok(None);
    }
    Ok(Some(Row { kind, name, bytes: found.len(), changed: found.modified()? }))
}

fn read(path: &Path) -> Result<Option<Vec<u8>>, Trouble> {
    match fs::symlink_metadata(path) {
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
        Err(error) => Err(error.into()),
        Ok(found) if !found.is_file() => Err(Trouble::NotAFile),
        Ok(found) if found.len() > MOST_BYTES as u64 => Err(Trouble::Unreadable),
        Ok(_) => Ok(Some(fs::read(path)?)),
    }
}
