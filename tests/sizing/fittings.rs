use stackfall::network::{JointKind, RunKind};
use stackfall::units::Heading;

use super::small::{Small, level, size, up};

#[test]
fn fittings_follow_what_meets_and_what_the_book_allows() {
    let text = r#"
[job]
code = "irc-2021"
[fixtures]
WC-1 = { kind = "water closet" }
WC-2 = { kind = "water closet" }
LAV = { kind = "lavatory" }
"#;
    let mut s = Small::new(text);
    let main = s.run("main", RunKind::BuildingDrain);
    let north = || vec![level(Heading::North, 8.0)];
    let (wye, low) = s.up_from(s.exit, main, "b", JointKind::Junction, north());
    s.state_size(low, 4.0);
    let (base, high) = s.up_from(wye, main, "S1", JointKind::StackBase, north());
    s.state_size(high, 3.0);
    let stack = s.run("S1", RunKind::Stack);
    let (top, _) = s.up_from(
        base,
        stack,
        "WC-1",
        JointKind::StackJunction,
        vec![up(None)],
    );
    s.fixture("WC-1", top, None);
    s.fixture("WC-2", top, None);
    let b = s.run("b", RunKind::BuildingBranch);
    let legs = vec![level(Heading::Northeast, 2.0), level(Heading::East, 6.0)];
    let (end, _) = s.up_from(wye, b, "LAV", JointKind::Junction, legs);
    s.fixture("LAV", end, None);
    let f = s.solve().fittings.joints;
    assert_eq!(f[&wye].name, "wye");
    assert_eq!(f[&wye].sizes, [size(4.0), size(4.0), size(1.5)]);
    assert_eq!(f[&wye].reducer, Some((size(4.0), size(3.0))));
    assert_eq!(f[&base].name, "long sweep quarter bend");
    // Two closets back to back may not enter a double sanitary tee.
    assert_eq!(f[&top].name, "double combination wye and eighth bend");
}
