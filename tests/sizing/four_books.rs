//! One small house under four codes: where their sizes differ, and by which of their rules. The
//! figures are those of the tables as tests/handbook/ has them; each difference says its reason.

use stackfall::findings::Findings;
use stackfall::units::PipeSize;

use crate::common::{Worked, complete};
use crate::small::size;

const BOOKS: [&str; 4] = ["ipc-2021", "irc-2021", "upc-2021", "en-12056-2"];

/// A bathroom over a kitchen on one stack, a washer and a floor drain on the building drain; every
/// size may be had.
fn house(book: &str) -> Worked {
    let text = format!(
        r#"
[job]
code = "{book}"
fall = {{ "3" = "1/4", "4" = "1/4" }}
stock = [1.25, 1.5, 2, 2.5, 3, 4, 5, 6]
[floors]
first = {{ level = "0" }}
second = {{ level = "10'" }}
roof = {{ level = "20'" }}
[exit]
invert = "-2' 4"
heading = "south"
[drains]
main = {{ into = "exit", run = ["north 20'"] }}
bath = {{ into = "S1", floor = "second", run = ["west 8'"] }}
[stacks]
S1 = {{ into = "main", station = "10'" }}
[fixtures]
WC-1 = {{ kind = "water closet", floor = "second", into = "bath", station = "2'", arm = "1'" }}
BT-1 = {{ kind = "bathtub", floor = "second", into = "bath", station = "5'", arm = "2'" }}
LAV-1 = {{ kind = "lavatory", floor = "second", into = "bath", station = "8'", run = ["up 1'"], arm = "2'" }}
KS-1 = {{ kind = "kitchen sink", floor = "first", into = "S1" }}
CW-1 = {{ kind = "clothes washer", floor = "first", into = "main", station = "15'", run = ["up 1' 8"], arm = "2'" }}
FD-1 = {{ kind = "floor drain", floor = "first", into = "main", station = "20'", arm = "1'", primed_by = "KS-1" }}
"#
    );
    complete(book, &text)
        .unwrap_or_else(|d| panic!("{book}: {d:#?}"))
        .worked()
}

/// The least size that the book asks for on a pipe; none where it has no such pipe.
fn least(of: &Worked, pipe: &str) -> Option<PipeSize> {
    of.solution
        .sizing
        .pieces
        .get(&of.net.piece_by_id(pipe)?)?
        .code_size
}

/// Pipes whose least size differs, in the order of [`BOOKS`], in inches; nought: no such pipe.
const DIFFER: [(&str, [f64; 4], &str); 18] = [
    (
        "main.S1",
        [3.0, 3.0, 3.0, 4.0],
        "a closet drains into DN 100 under system I, into 3 in elsewhere",
    ),
    (
        "main.CW-1",
        [3.0, 3.0, 2.0, 2.5],
        "a washer asks for 3 in under 406.2 and P2718.1; Table 703.2 lets 2 in have 8 dfu; Annex B \
         begins at DN 70",
    ),
    (
        "main.FD-1",
        [2.0, 2.0, 2.0, 2.5],
        "Annex B has no drain under DN 70",
    ),
    ("S1.bath", [3.0, 3.0, 3.0, 4.0], "the closet, as above"),
    ("S1.S1.first", [3.0, 3.0, 3.0, 4.0], "the closet, as above"),
    ("WC-1.arm", [3.0, 3.0, 3.0, 4.0], "the closet, as above"),
    (
        "LAV-1.drop",
        [1.5, 1.5, 2.0, 1.5],
        "as the wet vent that it stands on",
    ),
    (
        "KS-1.drop",
        [1.5, 1.5, 2.0, 2.0],
        "as the branch that it stands on",
    ),
    ("bath.WC-1", [3.0, 3.0, 3.0, 4.0], "the closet, as above"),
    (
        "bath.LAV-1",
        [1.5, 1.5, 2.0, 1.5],
        "a wet vent of 1 dfu may be 1 1/2 in (Tables 912.3, P3108.3), but 2 in at least by 908.2; a \
         DN 40 branch carries the 0.5 L/s of a basin (Table 4)",
    ),
    (
        "BT-1.arm",
        [1.5, 1.5, 1.5, 2.0],
        "a tub's trap is 1 1/2 in; its 0.8 L/s under system I take DN 50",
    ),
    (
        "LAV-1.arm",
        [1.25, 1.25, 1.25, 1.5],
        "a lavatory's trap is 1 1/4 in; system I begins at DN 40",
    ),
    (
        "S1.first.KS-1",
        [1.5, 1.5, 2.0, 2.0],
        "2 dfu on 1 1/2 in (Table 710.1(2)); past its arm a kitchen sink has 2 in (Table 702.1, \
         footnote 2); 0.8 L/s take DN 50",
    ),
    (
        "KS-1.arm",
        [1.5, 1.5, 1.5, 2.0],
        "the trap is 1 1/2 in under all three American codes; 0.8 L/s take DN 50",
    ),
    (
        "LAV-1.vent",
        [1.25, 1.25, 2.0, 0.0],
        "half of the wet vent (906.2, P3113.1); Table 703.2 lets 1 1/2 in vent no closet; the stack \
         vents an unvented branch under EN 12056-2",
    ),
    (
        "KS-1.vent",
        [1.25, 1.25, 1.5, 0.0],
        "Table 703.2 gives a 1 1/4 in vent 1 dfu, and a sink has 2",
    ),
    (
        "CW-1.vent",
        [1.25, 1.25, 1.5, 0.0],
        "Table 703.2, as above: a washer has 3",
    ),
    (
        "S1.vent.roof",
        [1.5, 1.5, 3.0, 4.0],
        "half of the stack; all vents outdoors add up to the building drain's cross section (904.1); \
         a stack of one size to its terminal",
    ),
];

#[test]
fn what_differs_is_what_is_explained() {
    let all = BOOKS.map(house);
    let mut explained = Vec::new();
    for (pipe, sizes, why) in DIFFER {
        for (of, inches) in all.iter().zip(sizes) {
            let expected = (inches > 0.0).then(|| size(inches));
            assert_eq!(least(of, pipe), expected, "{} {pipe}: {why}", of.book.id());
        }
        explained.push(pipe);
    }
    // Drains that are not in the list have one least size under all four, and what is vented
    // otherwise has no pipe of the same name.
    for run in &all[0].net.runs {
        for &piece in &run.pieces {
            let pipe = all[0].net.graph[piece].id.as_str();
            if all[0].net.graph[piece].system != stackfall::network::System::Waste
                || explained.contains(&pipe)
            {
                continue;
            }
            let sizes: Vec<_> = all.iter().map(|of| least(of, pipe)).collect();
            let same = sizes.windows(2).all(|w| w[0] == w[1]);
            assert!(same, "{pipe} differs and is not explained: {sizes:?}");
        }
    }
}

/// Loads differ too: by groups, by the washer, by the floor drain.
#[test]
fn loads_at_the_exit() {
    for (book, units, why) in [
        (
            "ipc-2021",
            11.0,
            "bathroom group 5, sink 2, washer 2, floor drain 2",
        ),
        ("irc-2021", 9.0, "the same, but a floor drain adds nothing"),
        (
            "upc-2021",
            13.0,
            "no groups: 3 + 2 + 1, sink 2, washer 3, floor drain 2",
        ),
        (
            "en-12056-2",
            5.7,
            "2.0 + 0.8 + 0.5, sink 0.8, washer 0.8, gully 0.8",
        ),
    ] {
        let of = house(book);
        let total = of.solution.sizing.totals.iter().find(|t| t.name == "exit");
        let load = total.expect("a total at the exit").load.dfu();
        assert!(
            (load - units).abs() < 1e-9,
            "{book}: {load}, not {units}: {why}"
        );
    }
}

/// Under each of them the house as it is completed stands.
#[test]
fn it_stands_under_each() {
    for book in BOOKS {
        let Findings { open, .. } = house(book).findings;
        let errors: Vec<_> = open
            .iter()
            .filter(|d| d.severity == stackfall::diagnostics::Severity::Error)
            .collect();
        assert!(errors.is_empty(), "{book}: {errors:#?}");
    }
}
