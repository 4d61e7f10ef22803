//! S101 stack-too-fat-for-its-wall
//!
//! Checks that a stack whose wall the job states fits between the two faces of its studs: by the
//! outside diameter of its pipe at hubs and fittings. Says nothing of walls that the catalogue
//! does not know, and of stacks that are there already.
//!
//! Why: a pipe that is thicker than its wall stands proud of the studs, and nobody can close the
//! wall over it.
//!
//! Example: `S1 = { wall = "2x4" }` with a 3 in stack of plastic, 3 1/2 in outside and nearly 4 in at
//! its hubs.
//!
//! To do: set it in a deeper wall, or fur the wall out by what the finding names.
//!
//! Section: none; the stud's depth and the pipe's outside diameter.

use super::context::{Context, Meta};
use crate::catalogue::{self, StudWall};
use crate::diagnostics::{Diagnostic, Severity};
use crate::job::Stack;

/// S101.
pub const META: Meta = Meta::new("S101", "stack-too-fat-for-its-wall", Severity::Warning);

/// Stacks that do not go into their walls.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let stacks = ctx.job.stacks.iter().filter(|s| !s.existing);
    stacks
        .filter_map(|s| {
            let wall = catalogue::stud_wall(s.wall.as_deref()?)?;
            too_fat(ctx, s, &wall)
        })
        .collect()
}

fn too_fat(ctx: &Context<'_>, stack: &Stack, wall: &StudWall) -> Option<Diagnostic> {
    let print = ctx.print;
    let run = ctx.net.run_by_id(&stack.name)?;
    let pieces = &ctx.net.runs.get(run.0)?.pieces;
    let size = pieces
        .iter()
        .filter_map(|p| Some(ctx.solution.sizing.pieces.get(p)?.size))
        .max()?;
    let material = &ctx.job.practice.material_above;
    let hubs = catalogue::at_hubs(material, size)?.value;
    let room = wall.depth.value;
    if hubs <= room || hubs.same(room) {
        return None;
    }
    let deeper = catalogue::stud_walls().find(|w| hubs <= w.depth.value);
    let help = match deeper {
        Some(deeper) => format!("set it in a {} wall", deeper.name),
        None => format!(
            "fur the wall out by {} or more",
            print.short(ctx.rounded_up(hubs - room))
        ),
    };
    Some(Diagnostic {
        help: Some(help),
        ..META.finding(
            &stack.name,
            Some(stack.span.clone()),
            format!(
                "{} is {} and at its hubs {} thick, {} more than the studs of its {} wall",
                stack.name,
                print.size(size),
                print.short(ctx.rounded_up(hubs)),
                print.short(ctx.rounded_up(hubs - room)),
                wall.name
            ),
        )
    })
}
