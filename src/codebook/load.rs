//! From the text of a book file to a checked [`Book`], or to everything that is wrong with it.

use super::check::Checker;
use super::grid::{Grid, Role};
use super::options::Options;
use super::raw::RawBook;
use super::{
    Book, amend, design, drains, fittings, fixtures, framing, load_rules, methods, sewers,
    shared_vents, single_stack, supports,
};
use crate::diagnostics::{Diagnostic, Outcome, Severity};

/// Reads a book.
///
/// # Arguments
/// `path`: the name it is known by, for messages. `text`: the TOML.
///
/// # Errors
/// Every defect of the text, each with the line and column in `at`; a text that does not parse
/// as a book has one. Never panics, whatever the text.
pub fn read(path: &str, text: &str, options: &[String]) -> Outcome<Book> {
    let mut check = Checker::new(path, text);
    let Some(id) = amends(text) else {
        return whole(check, options);
    };
    let Some(base) = super::open::text(id.get_ref()) else {
        let known = Book::builtin_ids().join(", ");
        let message = format!(
            "there is no book `{}` to amend; there are {known}",
            id.get_ref()
        );
        check.says("B001", "book-not-found", id.span(), message);
        return Err(check.wrong);
    };
    let amended = amend::amended(base, &mut check);
    let Some(amended) = amended.filter(|_| check.wrong.is_empty()) else {
        return Err(check.wrong);
    };
    let together = Checker::put_together(path, &amended.text, text, &amended.places);
    let mut book = whole(together, options)?;
    book.amends = Some((id.into_inner(), amended.changes));
    Ok(book)
}

/// A book that lacks nothing.
fn whole(mut check: Checker, options: &[String]) -> Outcome<Book> {
    let mut raw: RawBook = match toml::from_str(check.text()) {
        Ok(raw) => raw,
        Err(error) => {
            let span = error.span().unwrap_or(0..0);
            check.says("B002", "book-unreadable", span, error.message().to_owned());
            return Err(check.wrong);
        }
    };
    let (chosen, unknown) = Options::choose(&raw.book.options, options);
    if !unknown.is_empty() {
        return Err(vec![no_option(&raw.book.id, &raw.book.options, &unknown)]);
    }
    check.options = chosen;
    check.dn = raw.book.dn;
    raw.under(&mut check);
    let book = build(&mut check, raw);
    match book {
        Some(book) if check.wrong.is_empty() => Ok(book),
        _ => Err(check.wrong),
    }
}

/// What a job asks of a book that the book does not have.
fn no_option(id: &str, groups: &[Vec<String>], unknown: &[String]) -> Diagnostic {
    let groups: Vec<String> = groups.iter().map(|g| g.join(", ")).collect();
    Diagnostic {
        at: id.to_owned(),
        help: Some(match groups.is_empty() {
            true => "it has none: take `code_options` out".to_owned(),
            false => format!("one of each: {}", groups.join("; ")),
        }),
        ..Diagnostic::plain(
            "B018",
            "book-option-unknown",
            Severity::Error,
            format!("{id} has no option `{}` to choose", unknown.join("`, `")),
        )
    }
}

/// The book that this one amends, if it does; such a book lacks most tables, so it is looked for
/// before the whole is read.
fn amends(text: &str) -> Option<toml::Spanned<String>> {
    // Most do not, and need not be read twice; the word could only be hidden by an escape.
    if !text.contains("amends") && !text.contains('\\') {
        return None;
    }
    #[derive(serde::Deserialize)]
    struct Head {
        amends: Option<toml::Spanned<String>>,
    }
    #[derive(serde::Deserialize)]
    struct Peek {
        book: Head,
    }
    let peek: Peek = toml::from_str(text).ok()?;
    peek.book.amends
}

fn build(check: &mut Checker, raw: RawBook) -> Option<Book> {
    let head = raw.book;
    for (what, text) in [
        ("id", &head.id),
        ("title", &head.title),
        ("edition", &head.edition),
        ("authority", &head.authority),
    ] {
        if text.trim().is_empty() {
            let message = format!("[book] has no {what}");
            check.says("B005", "book-section-missing", 0..0, message);
        }
    }
    let mut tables = Vec::new();
    let fixtures_info = check.head("fixtures", &raw.fixtures);
    let traps = check.head("traps", &raw.traps);
    let lines = fixtures::load_lines(check, &fixtures_info, &traps, &raw.fixtures);
    let groups_info = check.head("groups", &raw.groups);
    let groups = fixtures::load_groups(check, &groups_info, &raw.groups);
    let baths = raw.baths.as_ref().map(|raw| {
        let info = check.head("baths", raw);
        let rows = fixtures::load_baths(check, &info, raw);
        (info, rows)
    });
    let unlisted = grid(check, "unlisted", &raw.unlisted, 1);
    let (flow, flow_infos) = load_rules::flow(check, raw.flow.as_ref(), &raw.receptors);
    let design = raw.design_flow.as_ref().map(|raw| design::load(check, raw));
    if design.is_none() && flow.per_gpm.is_none() {
        let message = "[flow] is missing: what a continuous flow counts".to_owned();
        check.says("B014", "book-rule-missing", 0..0, message);
    }
    let slope_info = check.head("slope", &raw.slope);
    let slope = drains::load_slope(check, &slope_info, &raw.slope);
    let fittings_info = check.head("fittings", &raw.fittings);
    let fittings = fittings::load_fittings(check, &fittings_info, &raw.fittings);
    let building_drain = Grid::load(check, "building_drain", &raw.building_drain);
    drains::check_falls(check, &building_drain, raw.building_drain.span());
    let sewers = raw
        .sewers
        .as_ref()
        .map(|rules| sewers::load(check, rules, raw.sewer.as_ref(), raw.sewer_least.as_ref()));
    let branches = Grid::load(check, "branches_and_stacks", &raw.branches_and_stacks);
    let has = |wanted: fn(&Role) -> bool| branches.column(wanted).is_some();
    if !has(|r| *r == Role::Branch) || !has(|r| matches!(r, Role::Stack(None) | Role::Vertical)) {
        let message =
            "[branches_and_stacks] needs a column for branches and one for any stack".to_owned();
        let span = raw.branches_and_stacks.span();
        check.says("B009", "book-column-unknown", span, message);
    }
    let closets = load_rules::closets(check, &raw.closets);
    let closet_counts = raw.closet_counts.as_ref();
    let closet_counts = closet_counts.map(|raw| {
        let grid = Grid::load(check, "closet_counts", raw);
        drains::check_counts(check, &grid, raw.span());
        grid
    });
    let (stack, stack_info) = load_rules::stack(check, &raw.stack);
    let ejector = raw.ejector.as_ref();
    let ejector = ejector.map(|raw| grid(check, "ejector", raw, 1));
    let washer = raw
        .washer
        .as_ref()
        .and_then(|raw| load_rules::single_size(check, "washer", "least branch or stack", raw));
    let vent_lengths = raw.vent_lengths.as_ref();
    let vent_lengths = vent_lengths.map(|raw| grid(check, "vent_lengths", raw, 2));
    let vents = load_rules::vents(check, &raw.vents, vent_lengths.is_some());
    let stack_vents = raw
        .stack_vents
        .as_ref()
        .map(|raw| Grid::load(check, "stack_vents", raw));
    let terminals = load_rules::terminals(check, &raw.terminals);
    let trap_arms = grid(check, "trap_arms", &raw.trap_arms, 2);
    let (arm_rules, arm_info) = load_rules::arms(check, &raw.arm_rules);
    let common_vent = raw.common_vent.as_ref();
    let common_vent = common_vent.map(|raw| grid(check, "common_vent", raw, 1));
    let wet_vent = raw.wet_vent.as_ref().zip(raw.wet_vent_rules.as_ref());
    let wet_vent = wet_vent.map(|(table, rules)| {
        let table = grid(check, "wet_vent", table, 1);
        (table, load_rules::wet_vents(check, rules))
    });
    let cleanouts = load_rules::cleanouts(check, &raw.cleanouts);
    let (trap_rules, trap_info) = load_rules::traps(check, &raw.trap_rules);
    let backwater = raw
        .backwater
        .as_ref()
        .map(|raw| load_rules::backwater(check, raw));
    let test = raw.test.as_ref().map(|raw| load_rules::test(check, raw));
    let sleeve = raw.foundations.as_ref();
    let sleeve = sleeve.map(|raw| load_rules::foundations(check, raw));
    let joists = raw.joists.as_ref();
    let joists = joists.map(|raw| load_rules::joists(check, raw));
    let studs = raw.studs.as_ref().map(|raw| framing::studs(check, raw));
    let plates = raw.plates.as_ref();
    let plates = plates.map(|raw| framing::plates(check, raw));
    let shields = raw.shields.as_ref();
    let shields = shields.map(|raw| framing::shields(check, raw));
    let hung = raw.supports.as_ref().map(|raw| supports::load(check, raw));
    let upright_wet = raw.upright_wet_vent_rules.as_ref();
    let upright_wet = upright_wet.map(|raw| shared_vents::upright_wet(check, raw));
    let waste = raw.waste_stack.as_ref();
    let waste = waste.map(|raw| Grid::load(check, "waste_stack", raw));
    let waste_rules = raw.waste_stack_rules.as_ref();
    let waste_rules = waste_rules.map(|raw| shared_vents::waste_stack(check, raw));
    let circuit = raw.circuit_rules.as_ref();
    let circuit = circuit.map(|raw| shared_vents::circuit(check, raw));
    let combination = raw.combination.as_ref();
    let combination = combination.map(|raw| grid(check, "combination", raw, 2));
    let combination_rules = raw.combination_rules.as_ref();
    let combination_rules = combination_rules.map(|raw| shared_vents::combination(check, raw));
    let single = raw.single_stack.as_ref().map(|raw| {
        let grid = Grid::load(check, "single_stack", raw);
        single_stack::check_heights(check, &grid, raw.span());
        grid
    });
    let single_rules = raw.single_stack_rules.as_ref();
    let single_rules = single_rules.map(|raw| single_stack::load_rules(check, raw));
    let unvented = raw.unvented_branches.as_ref().map(|raw| {
        let grid = Grid::load(check, "unvented_branches", raw);
        single_stack::check_limits(check, &grid, raw.span());
        grid
    });
    let methods_info = check.head("methods", &raw.methods);
    let methods = methods::load_methods(check, &methods_info, &raw.methods);
    for (topic, section) in &raw.sections {
        if section.trim().is_empty() {
            let message = format!("[sections] {topic} is empty");
            check.says("B005", "book-section-missing", 0..0, message);
        }
    }

    let (closet_least, closet_row, closets_info) = closets?;
    let (vents, tie_in, vents_info) = vents?;
    let (terminals, terminals_info) = terminals?;
    let (cleanouts, cleanouts_info) = cleanouts?;
    tables.extend([fixtures_info.clone(), traps.clone(), groups_info.clone()]);
    tables.extend(baths.as_ref().map(|b| b.0.clone()));
    tables.push(unlisted.info.clone());
    tables.extend(flow_infos);
    tables.extend(design.as_ref().map(|d| d.1.clone()));
    tables.extend([slope_info.clone(), fittings_info.clone(), cleanouts_info]);
    tables.push(building_drain.info.clone());
    tables.extend(sewers.iter().flat_map(|s| s.1.clone()));
    tables.push(branches.info.clone());
    tables.push(closets_info);
    tables.extend(closet_counts.as_ref().map(|c| c.info.clone()));
    tables.push(stack_info);
    tables.extend(ejector.as_ref().map(|e| e.info.clone()));
    tables.extend(washer.as_ref().map(|w| w.1.clone()));
    tables.push(vents_info);
    tables.extend(vent_lengths.as_ref().map(|g| g.info.clone()));
    tables.extend(stack_vents.as_ref().map(|g| g.info.clone()));
    tables.extend([terminals_info, trap_arms.info.clone(), arm_info]);
    tables.extend(common_vent.as_ref().map(|c| c.info.clone()));
    tables.extend(
        wet_vent
            .iter()
            .flat_map(|(t, r)| [t.info.clone(), r.1.clone()]),
    );
    tables.push(trap_info);
    tables.extend(backwater.as_ref().map(|b| b.1.clone()));
    tables.extend(test.as_ref().map(|t| t.1.clone()));
    tables.extend(sleeve.as_ref().map(|s| s.1.clone()));
    tables.extend(joists.as_ref().map(|j| j.1.clone()));
    tables.extend(studs.as_ref().map(|s| s.1.clone()));
    tables.extend(plates.as_ref().map(|p| p.1.clone()));
    tables.extend(shields.as_ref().map(|s| s.1.clone()));
    tables.extend(hung.as_ref().map(|s| s.0.clone()));
    tables.extend(upright_wet.as_ref().map(|r| r.1.clone()));
    tables.extend(waste.as_ref().map(|g| g.info.clone()));
    tables.extend(waste_rules.as_ref().map(|r| r.1.clone()));
    tables.extend(circuit.as_ref().map(|r| r.1.clone()));
    tables.extend(combination.as_ref().map(|g| g.info.clone()));
    tables.extend(combination_rules.as_ref().map(|r| r.1.clone()));
    tables.extend(single.as_ref().map(|g| g.info.clone()));
    tables.extend(single_rules.as_ref().map(|s| s.1.clone()));
    tables.extend(unvented.as_ref().map(|g| g.info.clone()));
    tables.push(methods_info);
    Some(Book {
        id: head.id,
        text: check.text().to_owned(),
        amends: None,
        title: head.title,
        edition: head.edition,
        authority: head.authority,
        options: check.options.clone(),
        tables,
        fixtures: (fixtures_info, lines),
        traps,
        groups: (groups_info, groups),
        baths,
        unlisted,
        flow,
        design: design.map(|d| d.0),
        slope: (slope_info, slope),
        fittings: (fittings_info, fittings),
        cleanouts,
        building_drain,
        sewers: sewers.map(|s| s.0),
        branches_and_stacks: branches,
        closet_least,
        closet_row,
        closet_counts,
        stack,
        washer: washer.map(|w| w.0),
        ejector,
        vents,
        tie_in,
        vent_lengths,
        stack_vents,
        terminals,
        trap_arms,
        arm_rules,
        common_vent,
        wet_vent: wet_vent.map(|(table, rules)| (table, rules.0)),
        trap_rules,
        backwater: backwater.map(|b| b.0),
        test: test.map(|t| t.0),
        sleeve: sleeve.map(|s| s.0),
        joists: joists.map(|j| j.0),
        studs: studs.map(|s| s.0),
        plates: plates.map(|p| p.0),
        shields: shields.map(|s| s.0),
        supports: hung,
        upright_wet: upright_wet.and_then(|r| r.0),
        waste_stack: waste,
        waste_stack_rules: waste_rules.map(|r| r.0),
        circuit_rules: circuit.map(|r| r.0),
        combination,
        combination_rules: combination_rules.map(|r| r.0),
        single_stack: single,
        single_stack_rules: single_rules.map(|s| s.0),
        unvented_branches: unvented,
        methods,
        sections: raw.sections,
    })
}

/// A grid with so many columns, which the look-up finds by their order.
fn grid(
    check: &mut Checker,
    key: &str,
    raw: &toml::Spanned<super::raw::RawTable<super::raw::RawRow>>,
    columns: usize,
) -> Grid {
    let grid = Grid::load(check, key, raw);
    if grid.columns.len() != columns {
        let message = format!("[{key}] has {columns} column(s)");
        check.says("B009", "book-column-unknown", raw.span(), message);
    }
    grid
}
