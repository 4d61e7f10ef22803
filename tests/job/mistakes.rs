//! What the reader says of files that are wrong.

use stackfall::diagnostics::{Diagnostic, line_column, render, to_json};
use stackfall::job::{Source, Target, read};

use super::{load, size};

/// `line:column name` of every mistake, and its help.
pub fn mistakes(text: &str) -> Vec<(String, String)> {
    let list = read("test", "test.toml", text).expect_err("a job full of mistakes");
    list.iter()
        .map(|d| (place(d, text), d.help.clone().unwrap_or_default()))
        .collect()
}

pub fn place(d: &Diagnostic, text: &str) -> String {
    let span = d
        .span
        .clone()
        .expect("every mistake of the job file has its place");
    let (line, column) = line_column(text, span.start);
    format!("{line}:{column} {}", d.name)
}

/// Each mistake at its place, with the beginning of what was expected.
#[test]
fn all_mistakes_of_a_file_in_one_run() {
    let expected = [
        ("3:9 unknown-word", "did you mean `feet`?"),
        (
            "4:1 unknown-key",
            "expected `title`, `number`, `address`, `client`, `drawn_by`,",
        ),
        (
            "7:31 unreadable-length",
            "expected a length like `12' 4 1/2`, `9 1/2in`, `-8' 10` or `3.2 m`",
        ),
        ("8:1 missing-key", "level of the finished floor above zero"),
        (
            "9:18 roof-below-floor",
            "expected a level above every floor",
        ),
        ("12:11 unknown-word", "did you mean `south`?"),
        (
            "13:10 wrong-type",
            "expected a length like `\"12' 4 1/2\"`, `\"3.2 m\"` or a number",
        ),
        ("16:32 unreadable-leg", "did you mean `north`?"),
        (
            "16:45 out-of-range",
            "expected a length above nil; turn the heading round instead ",
        ),
        (
            "16:58 unreadable-size",
            "expected one of 1 1/4, 1 1/2, 2, 2 1/2, 3, 4, 5, 6, 8, 10, 12, 15, 18",
        ),
        (
            "16:79 unreadable-leg",
            "it holds from where it stands: put it before the legs it is for",
        ),
        (
            "16:99 unreadable-fall",
            "expected a fall like `1/4` (inch per foot), `2%` or `1:50`",
        ),
        (
            "17:16 two-drains-in-line",
            "let one of them lead into the other, or state a second exit ",
        ),
        (
            "17:31 unreadable-size",
            "expected one of 1 1/4, 1 1/2, 2, 2 1/2, 3, 4, 5, 6, 8, 10, 12, 15, 18",
        ),
        (
            "18:17 refers-to-itself",
            "expected the name of another thing",
        ),
        (
            "19:1 unreadable-name",
            "expected 1 to 32 letters, digits, `-` and `_`",
        ),
        ("19:41 out-of-range", "expected nil or more"),
        ("22:15 unknown-name", "did you mean `main`?"),
        (
            "23:15 stack-into-stack",
            "a stack stands on a drain or an exit; one that steps aside i",
        ),
        (
            "24:15 stack-into-stack",
            "a stack stands on a drain or an exit; one that steps aside i",
        ),
        ("25:1 reserved-name", "expected another name"),
        (
            "28:1 missing-key",
            "what it is, in the trade's words: `water closet`, `lavatory`",
        ),
        (
            "28:34 wrong-kind-of-thing",
            "expected a drain, a stack, a basin, a fixture or an exit",
        ),
        ("29:38 unknown-name", "did you mean `first`?"),
        (
            "29:70 station-without-drain",
            "a station is a length up a drain: leave it out here",
        ),
        ("30:30 unknown-key", "did you mean `floor`?"),
        ("30:66 wrong-kind-of-thing", "expected a vent"),
        ("31:58 unknown-word", "did you mean `disposer`?"),
        (
            "31:78 unreadable-flow",
            "expected a flow like `9 gpm` or `0.6 L/s`",
        ),
        (
            "31:95 out-of-range",
            "expected a whole number from 1 to 100",
        ),
        (
            "31:104 unreadable-flow",
            "expected US gallons like `1.28`, or litres like `\"4.8 L\"`",
        ),
        (
            "32:1 name-used-twice",
            "expected a name of its own: names are used once in the whole file",
        ),
        (
            "33:1 name-used-twice",
            "names and keys are used once; the first is the one that was read",
        ),
        ("34:8 wrong-type", "expected `FD-1 = { … }`"),
        ("37:15 unknown-name", "did you mean `S1`?"),
        ("37:28 unknown-word", "did you mean `island`?"),
        ("40:15 wrong-kind-of-thing", "expected a drain or a stack"),
        ("41:1 missing-key", "the drain or stack it opens"),
    ];
    let (_, text) = load("tests/job/mistakes.toml");
    let found = mistakes(&text);
    for (found, expected) in found.iter().zip(expected) {
        assert_eq!(found.0, expected.0);
        assert!(found.1.starts_with(expected.1), "{found:?}");
    }
    assert_eq!(found.len(), expected.len());
}

/// Names of the mistakes of a small job, with the places of its lines.
pub fn names(text: &str) -> Vec<String> {
    mistakes(text).into_iter().map(|(place, _)| place).collect()
}

const WC: &str = "[fixtures]\nWC-1 = { kind = \"water closet\" }\n";

#[test]
fn circles_are_named_in_plain_words() {
    let text = format!(
        "[drains]\na = {{ into = \"b\" }}\nb = {{ into = \"c\", station = 1 }}\nc = {{ into = \"a\", station = 1 }}\nd = {{ into = \"a\" }}\n{WC}"
    );
    let list = read("test", "", &text).expect_err("a circle");
    let messages: Vec<&str> = list.iter().map(|d| d.message.as_str()).collect();
    assert_eq!(
        messages,
        ["`a` drains into `b`, which drains into `c`, which drains into `a` again"]
    );
    assert_eq!(place(&list[0], &text), "2:14 goes-in-a-circle");

    let stacks =
        format!("[drains]\na = {{ into = \"S\" }}\n[stacks]\nS = {{ into = \"a\" }}\n{WC}");
    assert_eq!(names(&stacks), ["2:14 goes-in-a-circle"]);
    let vents = format!("[vents]\nV = {{ into = \"W\" }}\nW = {{ into = \"V\" }}\n{WC}");
    assert_eq!(names(&vents), ["2:14 goes-in-a-circle"]);
    let basin = format!("[drains]\na = {{ into = \"E\" }}\n[basins]\nE = {{ into = \"a\" }}\n{WC}");
    assert_eq!(names(&basin), ["2:14 goes-in-a-circle"]);
    let wet = "[fixtures]\nA = { kind = \"lavatory\", vented_by = \"B\" }\nB = { kind = \"lavatory\", vented_by = \"A\" }\nC = { kind = \"lavatory\", into = \"C\" }\n";
    assert_eq!(
        names(wet),
        ["2:38 goes-in-a-circle", "4:33 refers-to-itself"]
    );
}

#[test]
fn two_things_in_one_place() {
    let job = |stacks: &str| {
        format!(
            "[drains]\nm = {{ into = \"exit\", run = [\"north 9'\"] }}\n[stacks]\n{stacks}\n{WC}"
        )
    };
    let at = job("S1 = { at = [1, 2] }\nS2 = { at = [\"1'\", \"24in\"] }");
    assert_eq!(names(&at), ["5:1 two-stacks-in-one-place"]);
    let station =
        job("S1 = { into = \"m\", station = 3 }\nS2 = { into = \"m\", station = \"3'\" }");
    assert_eq!(names(&station), ["5:1 two-stacks-in-one-place"]);
    let apart = job(
        "S1 = { into = \"m\", station = 3, run = [\"west 2'\"] }\nS2 = { into = \"m\", station = 3, run = [\"east 2'\"] }",
    );
    assert!(read("test", "", &apart).is_ok());
    let line = format!(
        "[drains]\nm = {{ into = \"exit\" }}\na = {{ into = \"m\" }}\nb = {{ into = \"m\" }}\nc = {{ into = \"m\", station = 2 }}\n{WC}"
    );
    assert_eq!(names(&line), ["4:14 two-drains-in-line"]);
}

#[test]
fn exits_by_name() {
    let job =
        |exits: &str, into: &str| format!("{exits}\n[drains]\nm = {{ into = \"{into}\" }}\n{WC}");
    let into =
        |text: &str| read("test", "", text).map(|j| j.drains[0].into.clone().map(|t| t.value));
    assert_eq!(into(&job("", "exit")), Ok(Some(Target::Exit(0))));
    assert_eq!(
        into(&job("[exits]\na = {}", "exit")),
        Ok(Some(Target::Exit(0)))
    );
    assert_eq!(
        into(&job("[exits]\na = {}\nb = {}", "b")),
        Ok(Some(Target::Exit(1)))
    );
    assert_eq!(
        names(&job("[exits]\na = {}\nb = {}", "exit")),
        ["5:14 unknown-name"]
    );
    assert_eq!(
        names(&job("[exit]\n[exits]\na = {}", "a")),
        ["3:1 name-used-twice"]
    );
}

#[test]
fn what_is_not_toml_does_not_hide_the_rest() {
    let text = "[job]\ntitel = \"x\"\n[floors]\nfirst = { level = \"4 yards\" }\n[stacks]\nS1 = { into = \"nowhere\" }\n[fixtures\nWC = { kind = \"wc\" }\n";
    assert_eq!(
        names(text),
        ["2:1 unknown-key", "4:19 unreadable-length", "7:10 not-toml"]
    );
    let many = "a = = 1\nb = = 2\nc = = 3\nd = = 4\n";
    assert_eq!(names(many).len(), 3);
}

#[test]
fn nothing_to_drain() {
    assert_eq!(names(""), ["1:1 missing-key"]);
    assert_eq!(names("[fixtures]\n"), ["1:2 nothing-to-drain"]);
}

#[test]
fn metric_and_feet_read_alike() {
    let job = |units: &str, length: &str, pipe: &str| {
        let text = format!(
            "[job]\nunits = \"{units}\"\n[drains]\nm = {{ into = \"exit\", station = {length}, size = {pipe} }}\n{WC}"
        );
        let text = text.replace("into = \"exit\", ", "");
        let job = read("test", "", &text).expect(&text);
        let drain = job.drains[0].clone();
        (
            drain.station.map(|s| s.value.mm()),
            drain.size.map(|s| s.value),
        )
    };
    assert_eq!(job("metric", "3.2", "110"), (Some(3200.0), Some(size(4.0))));
    assert_eq!(
        job("metric", "\"320 cm\"", "\"DN 100\""),
        (Some(3200.0), Some(size(4.0)))
    );
    assert_eq!(job("feet", "10", "4"), (Some(3048.0), Some(size(4.0))));
    assert_eq!(
        job("feet", "\"120in\"", "\"4\""),
        (Some(3048.0), Some(size(4.0)))
    );
}

#[test]
fn a_mistake_reads_well() {
    let text = format!("[stacks]\nS1 = {{ staton = \"3'\" }}\n{WC}");
    let source = Source {
        path: "job.toml".to_owned(),
        text,
    };
    let list = read("test", "job.toml", &source.text).expect_err("a mistyped key");
    let expected = "\
error[J002 unknown-key]: S1: a stack has no key `staton`
 --> job.toml:2:8
  |
2 | S1 = { staton = \"3'\" }
  |        ^^^^^^
  |
  = help: did you mean `station`?
";
    assert_eq!(render(&list, &source, false), expected);
    let json = to_json(&list, &source);
    assert_eq!(json[0]["line"], 2);
    assert_eq!(json[0]["column"], 8);
    assert_eq!(json[0]["name"], "unknown-key");
    assert_eq!(json[0]["severity"], "error");
    assert_eq!(json[0]["help"], "did you mean `station`?");
}
