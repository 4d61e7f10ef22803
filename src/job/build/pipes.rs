//! Drains, stacks and vents.

use crate::job::keys::What;
use crate::job::model::{Drain, FloorIx, Offset, Said, Stack, Target, Vent, Wye};
use crate::job::problems::{REFERS_TO_ITSELF, STACK_INTO_STACK, STATION_WITHOUT_DRAIN};
use crate::job::resolve::Resolver;
use crate::job::values::Values;
use crate::units::{Heading, Length};

/// Reads one drain.
pub(super) fn drain(v: &Values, r: &mut Resolver<'_>) -> Drain {
    let into = into(v, r);
    let station = station(v, &into, r);
    Drain {
        name: v.name.clone(),
        span: v.span.clone(),
        into,
        floor: r.floor(v, "floor"),
        station,
        wye: v.words("wye").map(|w| match w.as_str() {
            "rolled" => Wye::Rolled,
            "on back" => Wye::OnBack,
            _ => Wye::Flat,
        }),
        run: v.legs("run"),
        size: v.size("size"),
        fall: v.fall("fall"),
        invert: v.length("invert"),
        existing: v.flag("existing"),
        future: v.flag("future"),
    }
}

/// Reads one stack.
pub(super) fn stack(v: &Values, r: &mut Resolver<'_>) -> Stack {
    let into = if onto_stack(v, r) { None } else { into(v, r) };
    let station = station(v, &into, r);
    Stack {
        name: v.name.clone(),
        span: v.span.clone(),
        into,
        station,
        at: v.at("at"),
        run: v.legs("run"),
        size: v.size("size"),
        wall: v.words("wall"),
        up_to: r.floor_or_roof(v, "up_to"),
        offsets: v.many("offsets").iter().map(|o| offset(o, r)).collect(),
        method: v.text("method"),
        existing: v.flag("existing"),
        future: v.flag("future"),
    }
}

/// A stack on a stack is one stack that steps aside: says so, and how that is written.
fn onto_stack(v: &Values, r: &mut Resolver<'_>) -> bool {
    let Some(said) = v.text("into") else {
        return false;
    };
    if said.value == v.name || !matches!(r.names.get(&said.value), Some((What::Stack, ..))) {
        return false;
    }
    let floor = r.floor_order.last().map_or("second", String::as_str);
    let message = format!("stack `{}` stands on the stack `{}`", v.name, said.value);
    let help = format!(
        "a stack stands on a drain or an exit; one that steps aside is one stack with an offset: \
         `{} = {{ offsets = [{{ floor = \"{floor}\", go = \"east 4' 6\", by = 45 }}] }}`",
        said.value
    );
    r.problems
        .add(STACK_INTO_STACK, &v.name, said.span, message, Some(help));
    true
}

fn offset(v: &Values, r: &mut Resolver<'_>) -> Offset {
    // An offset without a way has been reported as such.
    let (heading, length) = v.go("go").unwrap_or((Heading::North, None));
    Offset {
        floor: r.floor(v, "floor").unwrap_or(FloorIx(0)),
        invert: v.length("invert"),
        heading,
        length,
        by_degrees: v.count("by").map_or(45, |c| c.value),
        span: v.span.clone(),
    }
}

/// Reads one vent.
pub(super) fn vent(v: &Values, r: &mut Resolver<'_>) -> Vent {
    let foot = v
        .one("foot")
        .and_then(|f| Some((r.target(f, "into")?, f.plain_length("station"))));
    Vent {
        name: v.name.clone(),
        span: v.span.clone(),
        kind: v.text("kind"),
        into: into(v, r),
        run: v.legs("run"),
        size: v.size("size"),
        foot,
        existing: v.flag("existing"),
        future: v.flag("future"),
    }
}

/// What a thing leads into; never itself.
pub(super) fn into(v: &Values, r: &mut Resolver<'_>) -> Option<Said<Target>> {
    if itself(v, "into", r) {
        None
    } else {
        r.target(v, "into")
    }
}

/// Whether a key names the very thing that it belongs to, which is reported.
pub(super) fn itself(v: &Values, key: &str, r: &mut Resolver<'_>) -> bool {
    let Some(said) = v.text(key).filter(|s| s.value == v.name) else {
        return false;
    };
    // A name used twice may mean the other thing of that name; that has been reported.
    let message = format!("`{}` of `{}` is `{}` itself", key, v.name, v.name);
    let help = Some("expected the name of another thing".to_owned());
    r.problems
        .add(REFERS_TO_ITSELF, &v.name, said.span, message, help);
    true
}

/// A station is measured along a drain: on a stack or at an exit it says nothing.
pub(super) fn station(
    v: &Values,
    into: &Option<Said<Target>>,
    r: &mut Resolver<'_>,
) -> Option<Said<Length>> {
    let station = v.length("station")?;
    let what = match into.as_ref().map(|i| &i.value) {
        Some(Target::Stack(_)) => "a stack",
        Some(Target::Exit(_)) => "an exit",
        Some(Target::Basin(_)) => "a basin",
        _ => return Some(station),
    };
    let message = format!("`{}` leads into {what}, which has no stations", v.name);
    let help = match (what, v.record.key("invert").is_some()) {
        ("a stack", true) => {
            "a station is a length up a drain; where a branch meets a stack is said by `floor` and `invert`"
        }
        _ => "a station is a length up a drain: leave it out here",
    };
    r.problems.add(
        STATION_WITHOUT_DRAIN,
        &v.name,
        station.span.clone(),
        message,
        Some(help.to_owned()),
    );
    Some(station)
}
