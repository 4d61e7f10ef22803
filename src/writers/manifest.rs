//! `manifest.json`: the files that the tool wrote into a folder, each with its SHA-256. By it the
//! tool knows its own files again.

use std::collections::BTreeMap;

use serde_json::{Map, Value, json};

use super::json;

/// The file's name.
pub(super) const NAME: &str = "manifest.json";
const MAKER: &str = "stackfall";

/// File names with the SHA-256 of what was written into them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Manifest(pub(super) BTreeMap<String, String>);

impl Manifest {
    /// Reads a manifest; none if these are not the words of one that the tool wrote.
    pub(super) fn read(text: &str) -> Option<Manifest> {
        let value: Value = serde_json::from_str(text).ok()?;
        if !value.get("made_by")?.as_str()?.starts_with(MAKER) {
            return None;
        }
        let files = value.get("files")?.as_object()?.iter();
        let known = files
            .filter(|(name, _)| is_plain(name))
            .filter_map(|(name, hash)| Some((name.clone(), hash.as_str()?.to_owned())));
        Some(Manifest(known.collect()))
    }

    /// Its words.
    pub(super) fn print(&self) -> String {
        let files: Map<String, Value> = self
            .0
            .iter()
            .map(|(name, hash)| (name.clone(), json!(hash)))
            .collect();
        json::print(&json!({
            "made_by": concat!("stackfall ", env!("CARGO_PKG_VERSION")),
            "hash": "sha256",
            "files": files,
        }))
    }
}

/// Whether a name stays in its folder: a manifest may have been written by somebody else, and
/// what it names may be replaced or removed.
pub(super) fn is_plain(name: &str) -> bool {
    !name.is_empty() && name != "." && name != ".." && !name.contains(['/', '\\', ':', '\0'])
}

/// Bytes in hexadecimal.
pub(super) fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::with_capacity(64), |mut out, b| {
        for digit in [b >> 4, b & 15] {
            out.extend(char::from_digit(u32::from(digit), 16));
        }
        out
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use sha2::{Digest, Sha256};

    fn hash(bytes: &[u8]) -> String {
        hex(Sha256::digest(bytes).as_slice())
    }

    #[test]
    fn reads_what_it_prints() {
        let manifest = Manifest(
            [("b.svg", hash(b"b")), ("a.pdf", hash(b""))]
                .map(|(n, h)| (n.to_owned(), h))
                .into(),
        );
        assert_eq!(Manifest::read(&manifest.print()), Some(manifest));
        assert_eq!(
            hash(b""),
            "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
        );
    }

    #[test]
    fn does_not_take_what_another_wrote() {
        for text in [
            "",
            "[]",
            "{}",
            "{\"files\":{}}",
            "{\"made_by\":\"x\",\"files\":{}}",
        ] {
            assert_eq!(Manifest::read(text), None, "{text}");
        }
    }

    #[test]
    fn names_never_leave_the_folder() {
        let text = r#"{"made_by":"stackfall","files":{"../x":"0","/etc/passwd":"0","..":"0","a.svg":"0"}}"#;
        let names: Vec<String> = Manifest::read(text)
            .into_iter()
            .flat_map(|m| m.0.into_keys())
            .collect();
        assert_eq!(names, ["a.svg"]);
    }
}
