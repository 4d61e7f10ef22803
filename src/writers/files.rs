//! The folder that a set is written into.
//!
//! Every file is first written whole under a temporary name; only when all of them are there,
//! and none would replace a file that is not the tool's own, they take their real names, and the
//! manifest after them. A run that fails leaves the folder as it was.

use std::fs::{self, File};
use std::io::{self, BufWriter, Read, Write};
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};

use super::manifest::{self, Manifest};
use crate::at_once;
use crate::diagnostics::{Diagnostic, Outcome, Severity};

/// A folder that files are being written into.
#[derive(Debug)]
pub struct Folder {
    path: PathBuf,
    force: bool,
    before: Manifest,
    /// Whether there is a manifest, and it is not one of the tool's.
    strange_manifest: bool,
    fresh: Vec<Fresh>,
}

/// A file under its temporary name.
#[derive(Debug)]
struct Fresh {
    name: String,
    temporary: PathBuf,
    hash: String,
}

/// What became of a folder.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Written {
    /// The folder.
    pub folder: PathBuf,
    /// All files of this run, in the order they were written.
    pub files: Vec<String>,
    /// How many of them already held the same bytes and were left alone.
    pub unchanged: usize,
    /// Files of an earlier run that were removed.
    pub removed: Vec<String>,
    /// Files of an earlier run that this one did not draw again.
    pub kept: Vec<String>,
}

impl Folder {
    /// Opens a folder, making it if need be.
    ///
    /// # Errors
    /// When it cannot be made or read.
    pub fn open(path: &Path, force: bool) -> Outcome<Folder> {
        if path.exists() && !path.is_dir() {
            let message = format!("{} is a file, not a folder", path.display());
            return Err(vec![problem(
                NOT_A_FOLDER,
                path,
                message,
                "choose another folder with --out",
            )]);
        }
        fs::create_dir_all(path).map_err(|e| cannot("make the folder", path, &e))?;
        let at = path.join(manifest::NAME);
        let (before, strange_manifest) = match fs::read(&at) {
            Ok(bytes) => match std::str::from_utf8(&bytes).ok().and_then(Manifest::read) {
                Some(known) => (known, false),
                None => (Manifest::default(), true),
            },
            Err(e) if e.kind() == io::ErrorKind::NotFound => (Manifest::default(), false),
            Err(e) => return Err(cannot("read", &at, &e)),
        };
        Ok(Folder {
            path: path.to_owned(),
            force,
            before,
            strange_manifest,
            fresh: Vec::new(),
        })
    }

    /// Writes a file under a temporary name.
    ///
    /// # Errors
    /// When it cannot be written; the words of `fill`'s own error are kept.
    pub fn add(
        &mut self,
        name: &str,
        fill: impl FnOnce(&mut dyn Write) -> io::Result<()>,
    ) -> Outcome<()> {
        self.register(name)?;
        let real = self.path.join(name);
        if let Some(last) = self.fresh.last_mut() {
            let hash = written(&last.temporary, fill);
            last.hash = hash.map_err(|e| cannot("write", &real, &e))?;
        }
        Ok(())
    }

    /// Writes several files under temporary names, at once; `fill` is told which of them.
    ///
    /// # Errors
    /// As [`Folder::add`], of the first that fails.
    pub fn add_all(
        &mut self,
        names: &[String],
        fill: impl Fn(usize, &mut dyn Write) -> io::Result<()> + Sync,
    ) -> Outcome<()> {
        let first = self.fresh.len();
        for name in names {
            self.register(name)?;
        }
        let fresh = self.fresh.get(first..).unwrap_or_default();
        let fresh: Vec<(usize, &Fresh)> = fresh.iter().enumerate().collect();
        let hashes = at_once::each(&fresh, |(i, f)| {
            let hash = written(&f.temporary, |out| fill(*i, out));
            hash.map_err(|e| cannot("write", &self.path.join(&f.name), &e))
        });
        let hashes: Vec<String> = hashes.into_iter().collect::<Outcome<_>>()?;
        for (f, hash) in self.fresh.iter_mut().skip(first).zip(hashes) {
            f.hash = hash;
        }
        Ok(())
    }

    /// Registers a file, so that whatever happens it is cleared away.
    fn register(&mut self, name: &str) -> Outcome<()> {
        if !manifest::is_plain(name) || self.fresh.iter().any(|f| f.name == name) {
            let message = format!("{name:?} cannot be the name of one of the files");
            return Err(vec![problem(
                CANNOT_WRITE,
                &self.path.join(name),
                message,
                "rename the job file",
            )]);
        }
        let temporary = format!(".{name}.{}.tmp", std::process::id());
        self.fresh.push(Fresh {
            name: name.to_owned(),
            temporary: self.path.join(temporary),
            hash: String::new(),
        });
        Ok(())
    }

    /// Gives all files their real names, removes what an earlier run wrote and this one did not
    /// where `stale` says so of its name, and writes the manifest.
    ///
    /// # Errors
    /// When a file stands in the way that is not the tool's own, all of them, with nothing
    /// changed; or when the disk fails.
    pub fn finish(mut self, stale: impl Fn(&str) -> bool) -> Outcome<Written> {
        let mut in_the_way = Vec::new();
        if self.strange_manifest && !self.force {
            in_the_way.push(self.not_ours(manifest::NAME));
        }
        let same: Vec<bool> = self
            .fresh
            .iter()
            .map(|f| match self.stands_at(f) {
                Stands::Nothing | Stands::Own => false,
                Stands::Same => true,
                Stands::Other(d) => {
                    in_the_way.push(*d);
                    false
                }
            })
            .collect();
        if !in_the_way.is_empty() {
            return Err(in_the_way);
        }
        let mut done = Written {
            folder: self.path.clone(),
            ..Written::default()
        };
        let mut after = Manifest::default();
        for (f, same) in self.fresh.iter().zip(same) {
            let real = self.path.join(&f.name);
            if same {
                done.unchanged += 1;
            } else {
                fs::rename(&f.temporary, &real).map_err(|e| cannot("write", &real, &e))?;
            }
            after.0.insert(f.name.clone(), f.hash.clone());
            done.files.push(f.name.clone());
        }
        for (name, hash) in &self.before.0 {
            if after.0.contains_key(name) {
                continue;
            }
            let real = self.path.join(name);
            // One that was changed by hand is no longer the tool's to remove, nor to list.
            if hash_of(&real).is_none_or(|now| now != *hash) {
                continue;
            }
            if stale(name) {
                fs::remove_file(&real).map_err(|e| cannot("remove", &real, &e))?;
                done.removed.push(name.clone());
            } else {
                after.0.insert(name.clone(), hash.clone());
                done.kept.push(name.clone());
            }
        }
        self.keep_manifest(&after)?;
        Ok(done)
    }

    fn keep_manifest(&mut self, after: &Manifest) -> Outcome<()> {
        let words = after.print();
        self.add(manifest::NAME, |out| out.write_all(words.as_bytes()))?;
        let real = self.path.join(manifest::NAME);
        match self.fresh.last() {
            Some(f) => fs::rename(&f.temporary, &real).map_err(|e| cannot("write", &real, &e)),
            None => Ok(()),
        }
    }

    fn stands_at(&self, f: &Fresh) -> Stands {
        let real = self.path.join(&f.name);
        if fs::symlink_metadata(&real).is_err() {
            return Stands::Nothing;
        }
        if real.is_dir() {
            let message = format!("{} is a folder", real.display());
            return Stands::Other(Box::new(problem(
                NOT_OUR_FILE,
                &real,
                message,
                "move it away",
            )));
        }
        let now = hash_of(&real);
        let known = self.before.0.get(&f.name);
        if now.as_ref() == Some(&f.hash) {
            // The bytes are those about to be written: nothing is lost, whoever wrote them.
            Stands::Same
        } else if self.force || (known.is_some() && now.as_ref() == known) {
            Stands::Own
        } else if known.is_some() {
            let message = format!("{} was changed since it was drawn", real.display());
            let help = "move it away, or draw over it with --force";
            Stands::Other(Box::new(problem(CHANGED_BY_HAND, &real, message, help)))
        } else {
            Stands::Other(Box::new(self.not_ours(&f.name)))
        }
    }

    fn not_ours(&self, name: &str) -> Diagnostic {
        let real = self.path.join(name);
        let message = format!(
            "{} is there already, and stackfall did not make it",
            real.display()
        );
        let help = "move it away, choose another folder with --out, or write over it with --force";
        problem(NOT_OUR_FILE, &real, message, help)
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        for f in &self.fresh {
            // Most have been renamed by now; one that stays behind is hidden and harmless.
            let _ = fs::remove_file(&f.temporary);
        }
    }
}

/// What stands where a file is to go.
enum Stands {
    Nothing,
    Own,
    Same,
    Other(Box<Diagnostic>),
}

/// A writer that hashes what passes.
struct Hashing<W> {
    inner: W,
    hash: Sha256,
}

impl<W: Write> Write for Hashing<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let taken = self.inner.write(bytes)?;
        self.hash.update(bytes.get(..taken).unwrap_or(bytes));
        Ok(taken)
    }
    fn flush(&mut self) -> io::Result<()> {
        self.inner.flush()
    }
}

fn written(at: &Path, fill: impl FnOnce(&mut dyn Write) -> io::Result<()>) -> io::Result<String> {
    // One of the same name was left by a run that was killed. It is never written through: it
    // might be a link to somewhere else.
    if fs::symlink_metadata(at).is_ok() {
        fs::remove_file(at)?;
    }
    let mut out = Hashing {
        inner: BufWriter::new(File::create_new(at)?),
        hash: Sha256::new(),
    };
    fill(&mut out)?;
    out.flush()?;
    Ok(manifest::hex(out.hash.finalize().as_slice()))
}

/// Read bit by bit: to have memory for all of it takes longer than to hash it.
fn hash_of(path: &Path) -> Option<String> {
    let mut file = File::open(path).ok()?;
    let mut hash = Sha256::new();
    let mut some = [0; 1 << 15];
    loop {
        match file.read(&mut some) {
            Ok(0) => return Some(manifest::hex(hash.finalize().as_slice())),
            Ok(n) => hash.update(some.get(..n)?),
            Err(e) if e.kind() == io::ErrorKind::Interrupted => {}
            Err(_) => return None,
        }
    }
}

type Kind = (&'static str, &'static str);
const NOT_OUR_FILE: Kind = ("O001", "not-our-file");
const CHANGED_BY_HAND: Kind = ("O002", "changed-by-hand");
const CANNOT_WRITE: Kind = ("O003", "cannot-write");
const NOT_A_FOLDER: Kind = ("O004", "not-a-folder");

fn problem(kind: Kind, path: &Path, message: String, help: &str) -> Diagnostic {
    Diagnostic {
        at: path.display().to_string(),
        help: Some(help.to_owned()),
        ..Diagnostic::plain(kind.0, kind.1, Severity::Error, message)
    }
}

fn cannot(what: &str, path: &Path, error: &io::Error) -> Vec<Diagnostic> {
    let message = format!("cannot {what} {}: {error}", path.display());
    vec![problem(
        CANNOT_WRITE,
        path,
        message,
        "see that there is room and leave to write, or choose another folder with --out",
    )]
}
