//! Room to spare, each case worked by hand; the arithmetic stands beside it.

use stackfall::levels::Bound;
use stackfall::{codebook::Book, job, network, proposals, solve};
use std::path::Path;

/// Invert and room at the upstream end of a piece, in inches.
fn at(text: &str, id: &str) -> (f64, f64, Bound) {
    let job = job::read("room", "room.toml", text).expect("the job reads");
    let book = Book::open("irc-2021", Path::new("."), &[]).expect("a built-in book");
    let stated = network::build(&job).expect("the network stands");
    let (net, _) = proposals::complete(&job, stated, &book);
    let solution = solve::solve(&job, &net, &book);
    let piece = net
        .graph
        .edge_indices()
        .find(|&p| net.graph[p].id == id)
        .expect("the piece");
    let levels = &solution.levels;
    let invert = levels.pieces[&piece].invert_up.expect("a known level");
    let room = levels.rooms[&piece].up.expect("known room");
    (invert.inches(), room.spare.inches(), room.bound)
}

const SLAB: &str = "[job]\ncode = \"irc-2021\"\nfall = { \"4\" = \"1/8\", \"3\" = \"1/4\" }\n\
    [floors]\nground = { level = \"0\", slab = \"4in\" }\nroof = { level = \"10'\" }\n\
    [exit]\nheading = \"south\"\ninvert = \"INVERT\"\n[drains]\n\
    main = { into = \"exit\", run = [\"lies under slab\", \"size 3\", \"north 20'\"] }\n\
    [fixtures]\nWC-1 = { kind = \"water closet\", floor = \"ground\", into = \"main\", \
    station = \"20'\", arm = \"2'\", side = \"west\" }\n";

/// 3 in main, 20 ft at 1/4 in per ft: 5 in up from the exit. Under a 4 in slab the pipe's outside
/// keeps 2 in below it: 6 in down. PVC 3 in: outside 3.500, bore 3.068, wall 0.216: the invert lies
/// 3.068 + 0.216 = 3.284 in below the outside's top, so no higher than -9.284 in. (Outside diameter
/// and bore: the catalogue, ASTM D1785.) The closet's bend lies 8 in below the floor (common
/// practice): the arm of 2 ft falls 1/2 in to -8.5, which binds less than the slab.
#[test]
fn under_a_slab() {
    let (invert, room, bound) = at(&SLAB.replace("INVERT", "-20in"), "main.WC-1");
    assert!((invert + 15.0).abs() < 1e-6, "{invert}");
    assert!((room - (15.0 - 9.284)).abs() < 1e-6, "{room}");
    assert!(matches!(bound, Bound::Slab(_)));
    // An inch less at the exit is an inch less of room.
    let (_, less, _) = at(&SLAB.replace("INVERT", "-19in"), "main.WC-1");
    assert!((room - less - 1.0).abs() < 1e-6);
}

const JOISTS: &str = "[job]\ncode = \"irc-2021\"\nfall = { \"2\" = \"1/4\", \"3\" = \"1/4\" }\n\
    [floors]\nground = { level = \"0\", slab = \"4in\" }\n\
    up = { level = \"10'\", deck = \"1 1/2in\", joists = \"11 7/8in\" }\n\
    roof = { level = \"20'\" }\n[exit]\nheading = \"south\"\ninvert = \"-3'\"\n\
    [stacks]\nS1 = {}\n[drains]\n\
    b = { into = \"S1\", floor = \"up\", INVERT run = [\"lies between joists\", \"size 3\", \
    \"east 10'\"] }\n[fixtures]\nWC-1 = { kind = \"water closet\", floor = \"up\", into = \"b\", \
    station = \"10'\", arm = \"2'\", side = \"north\" }\n";

/// Between joists: the deck's underside is 1 1/2 in down, the joists' bottom 13 3/8. The branch rises
/// 10 ft × 1/4 = 2 1/2 in to its closet. The bend's 8 in binds first from above: the arm falls
/// 1/2 in to -8.5. With its invert 12 in down at the stack it stands at -9.5 there: room 1 in. Down to
/// the joists' bottom the lower end has 13.375 - 0.216 - 12 = 1.159 in.
#[test]
fn between_joists() {
    let text = JOISTS.replace("INVERT", "invert = \"-12in\",");
    let (invert, room, bound) = at(&text, "b.WC-1");
    assert!((invert - 120.0 + 9.5).abs() < 1e-6, "{invert}");
    assert!((room - 1.0).abs() < 1e-6, "{room}");
    assert!(matches!(bound, Bound::Outlet(_)));
}

/// A branch that does not state its invert hangs as high as its closet lets it: -8.5 in at the far
/// end, 2 1/2 in less at the stack.
#[test]
fn a_branch_hangs_from_its_fixtures() {
    let (invert, room, _) = at(&JOISTS.replace("INVERT", ""), "b.WC-1");
    assert!((invert - 120.0 + 8.5).abs() < 1e-6, "{invert}");
    assert!(room.abs() < 1e-6, "{room}");
}
