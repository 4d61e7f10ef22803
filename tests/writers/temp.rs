//! A folder of its own for a test, removed when it is over.

use std::path::{Path, PathBuf};

pub struct Temp(PathBuf);

impl Temp {
    /// `name` must differ from test to test.
    pub fn new(name: &str) -> Temp {
        let name = format!("{name}-{}", std::process::id());
        let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
        let _ = std::fs::remove_dir_all(&path);
        std::fs::create_dir_all(&path).expect("a folder");
        Temp(path)
    }

    pub fn path(&self) -> &Path {
        &self.0
    }
}

impl Drop for Temp {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}
