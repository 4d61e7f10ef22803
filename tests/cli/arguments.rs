//! What is asked for wrongly, and help.

use snapbox::str;

use crate::temp::Temp;
use crate::{sample, stackfall};

#[test]
fn without_a_command_there_is_help() {
    let temp = Temp::new("cli-none");
    stackfall(temp.path()).assert().code(2).stderr_eq(str![[r#"
Sizes, levels, checks and draws a building's drains and vents from one short text file

Usage: stackfall <COMMAND>

Commands:
  draw         Draw a job's sheets, as SVG, PDF and PNG, with its schedules as CSV
  check        Check a job and list what stands against it, each with its place, section and cure
  levels       Print the levels from the exit up: inverts, falls, and the room to spare
  reach        Print how far the end of each drain can still be pushed, and what stops it
  takeoff      List the material: pipe, fittings, hangers and joints, as sheets, CSV and JSON
  drops        Lay out every hole through a floor, a plate or the roof, as plans, a table and CSV
  test         Plan the rough-in test: what is closed, where it is filled, the heads, and the form
  why          Print the working of one pipe: its load, the table and row, and the sizes beside it
  book         List the code books, print a table of one, or tell what another book would change
  explain      Explain a finding: what it checks, why, an example, what to do, the section
  schema       Print the JSON Schema of the job file, for editors that complete and check TOML
  completions  Print completions for a shell
  help         Print this message or the help of the given subcommand(s)

Options:
  -h, --help     Print help
  -V, --version  Print version

Exit code: 0 clean, 1 findings of error severity, 2 could not run.
It advises; the licensed plumber and the local authority decide.

"#]]);
}

#[test]
fn every_command_helps() {
    let temp = Temp::new("cli-help");
    for (command, said) in [
        ("draw", "stackfall draw samples/alder-court/job.toml"),
        ("check", "stackfall check samples/alder-court/job.toml"),
        ("levels", "stackfall levels samples/alder-court/job.toml"),
        ("reach", "stackfall reach samples/alder-court/job.toml bb"),
        (
            "why",
            "stackfall why samples/alder-court/job.toml bath2.BT-1",
        ),
        ("book", "stackfall book ipc-2021 709.1"),
        ("drops", "stackfall drops samples/quarry-flats/job.toml"),
        ("explain", "stackfall explain L104"),
        ("schema", "stackfall schema > stackfall.schema.json"),
        ("completions", "stackfall completions bash"),
    ] {
        let result = stackfall(temp.path())
            .args([command, "--help"])
            .assert()
            .success();
        let words = String::from_utf8_lossy(&result.get_output().stdout).into_owned();
        assert!(words.contains(said), "{words}");
        assert!(words.lines().all(|l| l.chars().count() <= 100), "{words}");
    }
}

#[test]
fn wrong_arguments_are_told() {
    let temp = Temp::new("cli-wrong");
    let job = sample("garden-cottage");
    for (arguments, said) in [
        (vec!["paint"], "unrecognized subcommand 'paint'"),
        (vec!["draw"], "<JOB>"),
        (
            vec!["draw", &job, "--only", "dxf"],
            "[possible values: svg, png, pdf, csv]",
        ),
        (vec!["draw", &job, "--dpi", "5"], "5 is not in 20..=1200"),
        (vec!["draw", &job, "--dpi", "many"], "invalid digit"),
        (vec!["draw", &job, "--sheet", "letter"], "arch-d"),
        (vec!["draw", &job, "--fource"], "--force"),
        (
            vec!["check", &job, "--format", "xml"],
            "[possible values: text, json]",
        ),
        (vec!["completions", "cmd"], "bash"),
    ] {
        let result = stackfall(temp.path()).args(&arguments).assert().code(2);
        let words = String::from_utf8_lossy(&result.get_output().stderr).into_owned();
        assert!(words.contains(said), "{arguments:?}: {words}");
    }
    let left = std::fs::read_dir(temp.path()).expect("a folder").count();
    assert_eq!(left, 0, "nothing is written");
}

#[test]
fn a_file_that_is_not_there_cannot_run() {
    let temp = Temp::new("cli-missing");
    stackfall(temp.path())
        .args(["draw", "no/such.toml"])
        .assert()
        .code(2)
        .stdout_eq("")
        .stderr_eq(str![[r#"
error[P002 cannot-read]: cannot read no/such.toml: No such file or directory (os error 2)

nothing was written: 1 error

"#]]);
    stackfall(temp.path())
        .args(["check", "."])
        .assert()
        .code(2)
        .stderr_eq(str![[r#"
error[P002 cannot-read]: cannot read .: it is a folder; the job file may be ./job.toml

nothing was written: 1 error

"#]]);
}

#[test]
fn a_file_that_is_no_text_cannot_run() {
    let temp = Temp::new("cli-binary");
    std::fs::write(temp.path().join("job.toml"), b"[job]\n\xff\xfe").expect("written");
    stackfall(temp.path())
        .args(["check", "job.toml"])
        .assert()
        .code(2)
        .stderr_eq(str![[r#"
error[P002 cannot-read]: cannot read job.toml: it is not UTF-8 text, from byte 6 on

nothing was written: 1 error

"#]]);
}

#[test]
fn mistakes_of_a_job_file_come_with_their_place() {
    let temp = Temp::new("cli-mistakes");
    let text = std::fs::read_to_string(sample("garden-cottage")).expect("the sample");
    let text = text.replace("[job]", "[job]\ntitel = \"South\"");
    std::fs::write(temp.path().join("mine.toml"), text).expect("written");
    let result = stackfall(temp.path())
        .args(["draw", "mine.toml"])
        .assert()
        .code(2)
        .stdout_eq("");
    let words = String::from_utf8_lossy(&result.get_output().stderr).into_owned();
    assert!(
        words.contains("--> mine.toml:") && words.contains("titel"),
        "{words}"
    );
    assert!(!temp.path().join("output").exists());
    let result = stackfall(temp.path())
        .args(["check", "mine.toml", "--format", "json"])
        .assert();
    let result = result.code(2).stderr_eq("");
    let value: serde_json::Value =
        serde_json::from_slice(&result.get_output().stdout).expect("one object");
    assert_eq!(value["ran"], false);
    let finding = &value["findings"][0];
    assert!(
        finding["code"].is_string() && finding["line"].is_u64(),
        "{finding}"
    );
}

#[test]
fn a_paper_that_does_not_exist_points_at_its_words() {
    let temp = Temp::new("cli-paper");
    let text = std::fs::read_to_string(sample("garden-cottage")).expect("the sample");
    std::fs::write(
        temp.path().join("mine.toml"),
        text + "\n[drawing]\nsheet = \"arch-z\"\n",
    )
    .expect("written");
    let result = stackfall(temp.path())
        .args(["check", "mine.toml"])
        .assert()
        .code(2);
    let words = String::from_utf8_lossy(&result.get_output().stderr).into_owned();
    assert!(
        words.contains("arch-z") && words.contains("arch-d"),
        "{words}"
    );
}
