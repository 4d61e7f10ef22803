//! The folder: it knows its own files, and touches no others.

use std::fs;
use std::path::Path;

use stackfall::diagnostics::Diagnostic;
use stackfall::sheets::SheetSet;
use stackfall::writers::{Folder, Format, Written, write};

use crate::handmade;
use crate::temp::Temp;

fn draw(
    at: &Path,
    set: &SheetSet,
    formats: &[Format],
    force: bool,
) -> Result<Written, Vec<Diagnostic>> {
    let folder = Folder::open(at, force)?;
    write(
        folder,
        set,
        &|| vec![handmade::table()],
        formats,
        20,
        &mut |_| {},
    )
    .map(|(w, _)| w)
}

fn codes(result: Result<Written, Vec<Diagnostic>>) -> Vec<&'static str> {
    result
        .expect_err("it is refused")
        .iter()
        .map(|d| d.code)
        .collect()
}

fn names(at: &Path) -> Vec<String> {
    let entries = fs::read_dir(at).expect("a folder").filter_map(Result::ok);
    let mut names: Vec<_> = entries
        .map(|e| e.file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

const ALL: [&str; 7] = [
    "handmade-P-601.png",
    "handmade-P-601.svg",
    "handmade-P-901.png",
    "handmade-P-901.svg",
    "handmade-fixtures.csv",
    "handmade.pdf",
    "manifest.json",
];

#[test]
fn writes_the_set_and_a_manifest_and_nothing_else() {
    let temp = Temp::new("folder-all");
    let at = temp.path().join("deep/er");
    let done = draw(&at, &handmade::set(), &Format::ALL, false).expect("written");
    assert_eq!(names(&at), ALL);
    assert_eq!((done.files.len(), done.unchanged), (6, 0));
    let manifest = fs::read_to_string(at.join("manifest.json")).expect("it");
    assert!(manifest.contains("\"made_by\": \"stackfall "), "{manifest}");
    let again = draw(&at, &handmade::set(), &Format::ALL, false).expect("written");
    assert_eq!((again.files.len(), again.unchanged), (6, 6));
    assert_eq!(
        fs::read_to_string(at.join("manifest.json")).expect("it"),
        manifest
    );
    assert_eq!(names(&at), ALL);
}

#[test]
fn removes_its_own_stale_sheets_only() {
    let temp = Temp::new("folder-stale");
    let at = temp.path();
    draw(at, &handmade::set(), &Format::ALL, false).expect("written");
    fs::write(at.join("notes.svg"), "mine").expect("written");
    let mut fewer = handmade::set();
    fewer.sheets.truncate(1);
    // Only SVG is drawn: the other formats stay, also those of the sheet that is gone.
    let done = draw(at, &fewer, &[Format::Svg], false).expect("written");
    assert_eq!(done.removed, ["handmade-P-601.svg"]);
    assert_eq!(done.kept.len(), 4);
    let done = draw(at, &fewer, &Format::ALL, false).expect("written");
    assert_eq!(done.removed, ["handmade-P-601.png"]);
    assert!(names(at).contains(&"notes.svg".to_owned()));
}

#[test]
fn never_draws_over_what_it_did_not_make() {
    let temp = Temp::new("folder-foreign");
    let at = temp.path();
    fs::write(at.join("handmade.pdf"), "mine").expect("written");
    fs::write(at.join("handmade-P-901.svg"), "mine too").expect("written");
    assert_eq!(
        codes(draw(at, &handmade::set(), &Format::ALL, false)),
        ["O001", "O001"]
    );
    assert_eq!(
        names(at),
        ["handmade-P-901.svg", "handmade.pdf"],
        "nothing was written"
    );
    assert_eq!(fs::read(at.join("handmade.pdf")).expect("it"), b"mine");
    draw(at, &handmade::set(), &Format::ALL, true).expect("forced");
    assert_eq!(names(at), ALL);
}

#[test]
fn sees_that_a_file_was_changed_by_hand() {
    let temp = Temp::new("folder-changed");
    let at = temp.path();
    draw(at, &handmade::set(), &Format::ALL, false).expect("written");
    let csv = at.join("handmade-fixtures.csv");
    fs::write(&csv, "my own figures").expect("written");
    assert_eq!(
        codes(draw(at, &handmade::set(), &Format::ALL, false)),
        ["O002"]
    );
    assert_eq!(fs::read(&csv).expect("it"), b"my own figures");
    draw(at, &handmade::set(), &Format::ALL, true).expect("forced");
    assert!(
        fs::read_to_string(&csv)
            .expect("it")
            .starts_with("Tag,Room")
    );
}

#[test]
fn a_strange_manifest_is_not_replaced() {
    let temp = Temp::new("folder-manifest");
    let at = temp.path();
    fs::write(at.join("manifest.json"), "{\"name\": \"a web page\"}").expect("written");
    assert_eq!(
        codes(draw(at, &handmade::set(), &Format::ALL, false)),
        ["O001"]
    );
    assert_eq!(names(at), ["manifest.json"]);
}

#[test]
fn a_hostile_manifest_reaches_nothing_outside() {
    let temp = Temp::new("folder-hostile");
    let (at, outside) = (temp.path().join("out"), temp.path().join("x.svg"));
    fs::create_dir(&at).expect("a folder");
    fs::write(&outside, "").expect("written");
    let empty = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855";
    let words = format!("{{\"made_by\":\"stackfall\",\"files\":{{\"../x.svg\":\"{empty}\"}}}}");
    fs::write(at.join("manifest.json"), words).expect("written");
    draw(&at, &handmade::set(), &Format::ALL, false).expect("written");
    assert!(outside.exists());
}

#[test]
fn what_cannot_be_written_is_told() {
    let temp = Temp::new("folder-file");
    let file = temp.path().join("a-file");
    fs::write(&file, "x").expect("written");
    assert_eq!(
        codes(draw(&file, &handmade::set(), &Format::ALL, false)),
        ["O004"]
    );
    assert_eq!(
        codes(draw(
            &file.join("in"),
            &handmade::set(),
            &Format::ALL,
            false
        )),
        ["O003"]
    );
    fs::create_dir(temp.path().join("handmade.pdf")).expect("a folder");
    assert_eq!(
        codes(draw(temp.path(), &handmade::set(), &Format::ALL, true)),
        ["O001"]
    );
}
