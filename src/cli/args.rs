//! What can be said on the command line.

use std::path::PathBuf;

use clap::builder::PossibleValuesParser;
use clap::{Args, Parser, Subcommand, ValueEnum};
use clap_complete::Shell;

use crate::sheets::paper_names;
use crate::writers::Format;
use crate::writers::png::{DEFAULT_DPI, DPI};

/// Sizes, levels, checks and draws a building's drains and vents from one short text file.
#[derive(Debug, Parser)]
#[command(
    name = "stackfall",
    version,
    max_term_width = 100,
    after_help = "Exit code: 0 clean, 1 findings of error severity, 2 could not run.\n\
                  It advises; the licensed plumber and the local authority decide."
)]
pub(super) struct Arguments {
    #[command(subcommand)]
    pub(super) command: Command,
}

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Draw a job's sheets, as SVG, PDF and PNG, with its schedules as CSV
    #[command(after_help = "\
Examples:
  stackfall draw samples/alder-court/job.toml
          the whole set, into output/alder-court/
  stackfall draw cottage.toml --out permit --only pdf
          only the PDF, into permit/
  stackfall draw cottage.toml --sheet ansi-d --dpi 300
          on 34 × 22 in paper, PNGs of 300 dots to the inch
  stackfall draw cottage.toml --format json > result.json
          draw, and keep every figure as data
  stackfall draw cottage.toml --for inspector
          the inspector's list, into output/cottage/inspector/
  stackfall draw cottage.toml --like result.json
          after an edit: what did not change stays where it was

Files that stackfall did not make, or that were changed since, are never drawn over
without --force; it knows its own by manifest.json.")]
    Draw(DrawArgs),
    /// Check a job and list what stands against it, each with its place, section and cure
    #[command(after_help = "\
Examples:
  stackfall check samples/alder-court/job.toml
  stackfall check job.toml --format json | jq '.findings[] | select(.severity == \"error\")'")]
    Check(CheckArgs),
    /// Print the levels from the exit up: inverts, falls, and the room to spare
    #[command(after_help = "\
Examples:
  stackfall levels samples/alder-court/job.toml
  stackfall levels job.toml --format json | jq '.levels[] | select(.room != \"—\")'
  stackfall levels samples/alder-court/job.toml --profile
          the building drain as a long section, into output/alder-court/profile/

Room is how much higher a drain could lie there before an outlet upstream, the slab or the
joists over it stop it; within joists also how much lower. A negative one does not fit.")]
    Levels(LevelsArgs),
    /// Print how far the end of each drain can still be pushed, and what stops it
    #[command(after_help = "\
Examples:
  stackfall reach samples/alder-court/job.toml
          every drain: as it is laid, and with all laid again at the least falls
  stackfall reach samples/alder-court/job.toml bb
          one drain, at each size and fall that the code allows it

The end goes farther with everything that stands on it, until it lies too high, or what hangs
from it too low, or the next cleanout is too far.")]
    Reach(ReachArgs),
    /// List the material: pipe, fittings, hangers and joints, as sheets, CSV and JSON
    #[command(after_help = "\
Examples:
  stackfall takeoff samples/alder-court/job.toml
          the list as PDF, SVG, PNG and CSV, into output/alder-court/takeoff/
  stackfall takeoff job.toml --only csv --out counter
          only the tables, into counter/
  stackfall takeoff job.toml --format json | jq '.pipe[]'

Lengths go from centre to centre; [takeoff] in the job states the waste and the length that
pipe is bought in.")]
    Takeoff(WorkingArgs),
    /// Lay out every hole through a floor, a plate or the roof, as plans, a table and CSV
    #[command(after_help = "\
Examples:
  stackfall drops samples/quarry-flats/job.toml
          plans as PDF, SVG, PNG and CSV, into output/quarry-flats/drops/
  stackfall drops job.toml --only csv --out site
          the holes as data
  stackfall drops job.toml --format json | jq '.holes[]'

[lines] in the job names what holes are measured from; `first_joist` of a floor says where its
joists stand, so that a hole that meets one is found (S104).")]
    Drops(WorkingArgs),
    /// Plan the rough-in test: what is closed, where it is filled, the heads, and the form
    #[command(after_help = "\
Examples:
  stackfall test samples/alder-court/job.toml
          the plan as PDF, SVG, PNG and CSV, into output/alder-court/test/
  stackfall test job.toml --format json | jq '.closures[]'

[test] plug_rating in the job states the head of water that the plugs bear; where the whole
stands higher, it is tested in lifts.")]
    Test(WorkingArgs),
    /// Print the working of one pipe: its load, the table and row, and the sizes beside it
    #[command(after_help = "\
Examples:
  stackfall why samples/alder-court/job.toml bath2.BT-1
          one pipe, by the name that it has in the pipe schedule
  stackfall why samples/alder-court/job.toml bath2
          every pipe of a drain, a stack or a vent")]
    Why(WhyArgs),
    /// List the code books, print a table of one, or tell what another book would change
    #[command(
        args_conflicts_with_subcommands = true,
        after_help = "\
Examples:
  stackfall book
          the books that are built in
  stackfall book irc-2021
          its tables, by section, and where their figures come from
  stackfall book ipc-2021 709.1
          one table, by its section or number
  stackfall book diff irc-2021 ipc-2021 samples/alder-court/job.toml
          the pipes of a job that get another size; a town's book goes by its path"
    )]
    Book(BookArgs),
    /// Explain a finding: what it checks, why, an example, what to do, the section
    #[command(after_help = "\
Examples:
  stackfall explain L104
          or by its name: stackfall explain no-room
  stackfall explain
          all findings, by code")]
    Explain(ExplainArgs),
    /// Print the JSON Schema of the job file, for editors that complete and check TOML
    #[command(after_help = "\
Example:
  stackfall schema > stackfall.schema.json
          and at the head of a job file: #:schema ./stackfall.schema.json")]
    Schema,
    /// Print completions for a shell
    #[command(after_help = "\
Examples:
  stackfall completions bash > ~/.local/share/bash-completion/completions/stackfall
  stackfall completions fish > ~/.config/fish/completions/stackfall.fish")]
    Completions(CompletionsArgs),
}

#[derive(Debug, Args)]
pub(super) struct DrawArgs {
    #[command(flatten)]
    pub(super) write: WorkingArgs,
    /// For whom: the permit set, or the inspector's list
    #[arg(long = "for", value_enum, value_name = "READER", default_value_t = Reader::Permit)]
    pub(super) reader: Reader,
    /// Keep corner, paper, lettering and lengths of an earlier result where they still serve:
    /// what `draw --format json` printed
    #[arg(long, value_name = "OLD.json", value_hint = clap::ValueHint::FilePath)]
    pub(super) like: Option<PathBuf>,
}

#[derive(Debug, Args)]
#[command(
    mut_arg("out", |a| a.requires("profile")),
    mut_arg("only", |a| a.requires("profile")),
    mut_arg("force", |a| a.requires("profile")),
)]
pub(super) struct LevelsArgs {
    #[command(flatten)]
    pub(super) write: WorkingArgs,
    /// Draw each building drain as a long section instead: ground, slab, footings, pipe, stations
    #[arg(long)]
    pub(super) profile: bool,
}

#[derive(Debug, Args)]
pub(super) struct WorkingArgs {
    /// The job file
    #[arg(value_name = "JOB", value_hint = clap::ValueHint::FilePath)]
    pub(super) job: PathBuf,
    /// Folder to write into [default: output/NAME, NAME the file's stem, or its folder's name
    /// for job.toml; a working paper: a folder of its own in that]
    #[arg(long, value_name = "DIR", value_hint = clap::ValueHint::DirPath)]
    pub(super) out: Option<PathBuf>,
    /// Write only these [default: all]
    #[arg(
        long,
        value_name = "FORMAT",
        value_delimiter = ',',
        hide_possible_values = false
    )]
    pub(super) only: Vec<Only>,
    /// Paper, above what the job says [a working paper: default ansi-b, or a3 in a metric job]
    #[arg(long, value_name = "PAPER", value_parser = PossibleValuesParser::new(paper_names()), ignore_case = true)]
    pub(super) sheet: Option<String>,
    /// Resolution of PNGs, in dots per inch
    #[arg(long, value_name = "N", default_value_t = DEFAULT_DPI, value_parser = dpi())]
    pub(super) dpi: u32,
    /// Write over files that stackfall did not make
    #[arg(long)]
    pub(super) force: bool,
    #[command(flatten)]
    pub(super) say: SayArgs,
}

#[derive(Debug, Args)]
pub(super) struct CheckArgs {
    /// The job file
    #[arg(value_name = "JOB", value_hint = clap::ValueHint::FilePath)]
    pub(super) job: PathBuf,
    /// Paper, above what the job says
    #[arg(long, value_name = "PAPER", value_parser = PossibleValuesParser::new(paper_names()), ignore_case = true)]
    pub(super) sheet: Option<String>,
    #[command(flatten)]
    pub(super) say: SayArgs,
}

#[derive(Debug, Args)]
pub(super) struct BookArgs {
    #[command(subcommand)]
    pub(super) command: Option<BookCommand>,
    /// A book, by its id or the path of a town's own
    #[arg(value_name = "BOOK")]
    pub(super) book: Option<String>,
    /// A section, or a table's number
    #[arg(value_name = "SECTION")]
    pub(super) table: Option<String>,
}

#[derive(Debug, Subcommand)]
pub(super) enum BookCommand {
    /// The pipes of a job that two books size otherwise
    Diff(DiffArgs),
}

#[derive(Debug, Args)]
pub(super) struct DiffArgs {
    /// A book
    #[arg(value_name = "BOOK")]
    pub(super) one: String,
    /// Another
    #[arg(value_name = "OTHER")]
    pub(super) other: String,
    /// The job file
    #[arg(value_name = "JOB", value_hint = clap::ValueHint::FilePath)]
    pub(super) job: PathBuf,
    #[command(flatten)]
    pub(super) say: SayArgs,
}

#[derive(Debug, Args)]
pub(super) struct WhyArgs {
    /// The job file
    #[arg(value_name = "JOB", value_hint = clap::ValueHint::FilePath)]
    pub(super) job: PathBuf,
    /// A pipe, or a drain, stack or vent
    #[arg(value_name = "PIPE")]
    pub(super) pipe: String,
    #[command(flatten)]
    pub(super) say: SayArgs,
}

#[derive(Debug, Args)]
pub(super) struct ExplainArgs {
    /// A finding's code, or its name [default: list them all]
    #[arg(value_name = "CODE")]
    pub(super) code: Option<String>,
}

#[derive(Debug, Args)]
pub(super) struct ReachArgs {
    /// The job file
    #[arg(value_name = "JOB", value_hint = clap::ValueHint::FilePath)]
    pub(super) job: PathBuf,
    /// One drain, at each legal size and fall
    #[arg(value_name = "DRAIN")]
    pub(super) drain: Option<String>,
    #[command(flatten)]
    pub(super) say: SayArgs,
}

/// How a command says what it has to say.
#[derive(Clone, Debug, Args)]
pub(super) struct SayArgs {
    /// For people, or one JSON object with every figure
    #[arg(long, value_enum, value_name = "FORMAT", default_value_t = Form::Text)]
    pub(super) format: Form,
    /// Colour in what is printed
    #[arg(long, value_enum, value_name = "WHEN", default_value_t = Colour::Auto, alias = "color")]
    pub(super) colour: Colour,
    /// Tell the time that each stage took, on the standard error
    #[arg(long)]
    pub(super) timings: bool,
}

#[derive(Debug, Args)]
pub(super) struct CompletionsArgs {
    /// The shell
    #[arg(value_enum)]
    pub(super) shell: Shell,
}

/// For whom sheets are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Reader {
    /// Plan review: the isometrics with their schedules
    Permit,
    /// The inspector on site: limits with their worst cases, the walk up from the exit, waivers
    Inspector,
    /// The crew: one sheet a floor with lengths, drops, levels to set and steps to tick
    Crew,
}

/// A file format that can be asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Only {
    Svg,
    Png,
    Pdf,
    Csv,
}

impl From<Only> for Format {
    fn from(only: Only) -> Format {
        match only {
            Only::Svg => Format::Svg,
            Only::Png => Format::Png,
            Only::Pdf => Format::Pdf,
            Only::Csv => Format::Csv,
        }
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Form {
    Text,
    Json,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Colour {
    Auto,
    Always,
    Never,
}

fn dpi() -> clap::builder::RangedI64ValueParser<u32> {
    clap::value_parser!(u32).range(i64::from(*DPI.start())..=i64::from(*DPI.end()))
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    #[test]
    fn the_command_line_is_consistent() {
        super::Arguments::command().debug_assert();
    }
}
