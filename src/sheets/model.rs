//! The typed set of sheets that every writer draws. No writer knows what a pipe is: it only
//! draws shapes and texts and writes out the attributes that stand beside them.
//!
//! Paper geometry is in millimetres, origin at the top left, y downward.

use kurbo::{BezPath, Point, Rect};

use super::free::Free;

/// All sheets of one job.
#[derive(Clone, Debug, Default)]
pub struct SheetSet {
    /// The job's short name.
    pub name: String,
    /// The job's title, for the PDF's document title.
    pub title: String,
    /// The sheets, in order.
    pub sheets: Vec<Sheet>,
}

/// What a sheet holds (`data-drawing`).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DrawingKind {
    /// An isometric.
    Isometric,
    /// A plan, to scale.
    Plan,
    /// A section, to scale.
    Section,
    /// Tables only.
    Tables,
}

/// A paper size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Paper {
    /// Its name (`arch-d`).
    pub name: &'static str,
    /// Width in mm, landscape.
    pub width: f64,
    /// Height in mm.
    pub height: f64,
    /// Whether its size is written in inches.
    pub inches: bool,
}

/// One sheet.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// Its number (`P-901`).
    pub number: String,
    /// Its title.
    pub title: String,
    /// Its paper.
    pub paper: Paper,
    /// What it holds.
    pub drawing: DrawingKind,
    /// For whom (`permit`).
    pub purpose: &'static str,
    /// Everything on it, in painting order.
    pub items: Vec<Item>,
}

/// One marked thing on a sheet: its role and attributes, its shapes and its texts.
#[derive(Clone, Debug, Default)]
pub struct Item {
    /// `data-role`; [`Role::None`] for border and title block outside the field.
    pub role: Role,
    /// Element id, unique in the set; empty for none.
    pub id: String,
    /// Further attributes, written as `data-KEY`, in this order.
    pub data: Vec<(&'static str, String)>,
    /// A `<title>` child.
    pub title: Option<String>,
    /// Shapes, in painting order.
    pub shapes: Vec<Shape>,
    /// Texts, painted over the shapes.
    pub texts: Vec<Text>,
}

/// The role of an item in the drawing contract.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Role {
    /// Border, title block: outside the field.
    #[default]
    None,
    /// The rectangle that the drawing may use.
    Field,
    /// A pipe piece; exactly one shape, whose subpaths are the parts between gaps.
    Pipe,
    /// A symbol.
    Symbol,
    /// A label.
    Label,
    /// A leader.
    Leader,
    /// Line work and words that are none of these.
    Mark,
    /// A table that stands in the field.
    Panel,
    /// A line of the keyed notes (inside a panel's box).
    Note,
}

impl Role {
    /// The word of `data-role`, if it has one.
    pub fn word(self) -> Option<&'static str> {
        Some(match self {
            Role::None => return None,
            Role::Field => "field",
            Role::Pipe => "pipe",
            Role::Symbol => "symbol",
            Role::Label => "label",
            Role::Leader => "leader",
            Role::Mark => "mark",
            Role::Panel => "panel",
            Role::Note => "note",
        })
    }
}

/// A grey, 0 black to 255 white.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Grey(pub u8);

impl Grey {
    /// Black.
    pub const BLACK: Grey = Grey(0);
    /// White.
    pub const WHITE: Grey = Grey(255);
}

/// A stroke.
#[derive(Clone, Debug, PartialEq)]
pub struct Stroke {
    /// Width in mm.
    pub width: f64,
    /// Dash pattern in mm; empty for solid.
    pub dash: Vec<f64>,
    /// Colour.
    pub grey: Grey,
    /// Round caps and joins (else butt caps and mitred joins).
    pub round: bool,
}

/// A shape: a path that is filled, stroked, or both.
#[derive(Clone, Debug)]
pub struct Shape {
    /// The path, in mm.
    pub path: BezPath,
    /// Its stroke.
    pub stroke: Option<Stroke>,
    /// Its fill.
    pub fill: Option<Grey>,
}

/// Where a text's point is on its baseline.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Anchor {
    /// Its left end.
    #[default]
    Start,
    /// Its middle.
    Middle,
    /// Its right end.
    End,
}

/// The directions that lettering runs in; exact, so that every machine draws the same bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Slant {
    /// Level.
    #[default]
    Level,
    /// Rising 30° to the right.
    Up30,
    /// Falling 30° to the right.
    Down30,
    /// Rising 60° to the right.
    Up60,
    /// Falling 60° to the right.
    Down60,
    /// Straight up.
    Up90,
}

impl Slant {
    /// Cosine and sine of the angle by which the baseline is turned on the paper (y downward,
    /// so a text that rises to the right has a negative sine).
    pub fn cos_sin(self) -> (f64, f64) {
        const C30: f64 = 0.866_025_403_784_438_6;
        match self {
            Slant::Level => (1.0, 0.0),
            Slant::Up30 => (C30, -0.5),
            Slant::Down30 => (C30, 0.5),
            Slant::Up60 => (0.5, -C30),
            Slant::Down60 => (0.5, C30),
            Slant::Up90 => (0.0, -1.0),
        }
    }
    /// The same angle in degrees, clockwise on the paper, as SVG's `rotate` wants it.
    pub fn degrees(self) -> i32 {
        match self {
            Slant::Level => 0,
            Slant::Up30 => -30,
            Slant::Down30 => 30,
            Slant::Up60 => -60,
            Slant::Down60 => 60,
            Slant::Up90 => -90,
        }
    }
}

/// The two weights of the bundled font.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Hash, PartialOrd, Ord)]
pub enum Weight {
    /// Regular.
    #[default]
    Regular,
    /// Bold.
    Bold,
}

/// One line of text.
#[derive(Clone, Debug)]
pub struct Text {
    /// Its words; only characters that the bundled font has.
    pub text: String,
    /// Where its anchor is, on the baseline.
    pub at: Point,
    /// Em size in mm (capitals are 0.698 of it).
    pub em: f64,
    /// Its weight.
    pub weight: Weight,
    /// Its anchor.
    pub anchor: Anchor,
    /// Its direction.
    pub slant: Slant,
    /// Its colour.
    pub grey: Grey,
}

/// A table as data: for CSV and for panels alike.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    /// Short name, used in file names (`fixtures`).
    pub name: &'static str,
    /// Title, as lettered.
    pub title: String,
    /// Column heads.
    pub head: Vec<String>,
    /// Rows, each as wide as the head.
    pub rows: Vec<Vec<String>>,
    /// Lines set below it.
    pub foot: Vec<String>,
    /// Indexes of rows that are set bold with a rule above: totals.
    pub strong: Vec<usize>,
    /// Indexes of columns that hold sentences: a word there that is a name of the job as well
    /// (`main`, `far`) is a word.
    pub prose: Vec<usize>,
}

impl Table {
    /// Leaves a column out.
    pub fn drop_column(&mut self, at: usize) {
        if at < self.head.len() {
            self.head.remove(at);
            for row in self.rows.iter_mut().filter(|r| at < r.len()) {
                row.remove(at);
            }
        }
    }
}

/// A cell of a table that is a box to tick.
pub const TICK: &str = "\u{25A1}";

/// A cell of a table that is written in by hand, high enough to sign in: once for each 10 mm of its
/// width at the smallest lettering.
pub const BLANK: &str = "\u{2007}";

/// How far a field is free from its upper and from its lower edge, in upright strips.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Margins {
    /// Width of a strip, mm; the first stands at the field's left edge.
    pub strip: f64,
    /// Free depth of each strip from the upper edge down, mm.
    pub above: Vec<f64>,
    /// Free depth of each strip from the lower edge up, mm.
    pub below: Vec<f64>,
}

impl Margins {
    /// Of an empty field.
    pub fn whole(field: Rect) -> Margins {
        Margins {
            strip: field.width(),
            above: vec![field.height()],
            below: vec![field.height()],
        }
    }
    /// Of a full field.
    pub fn none(field: Rect) -> Margins {
        Margins {
            strip: field.width(),
            above: vec![0.0],
            below: vec![0.0],
        }
    }
}

/// A drawn field ready to be set on a sheet, made by stage 10.
#[derive(Clone, Debug)]
pub struct Scene {
    /// Items, in painting order, in paper mm of the sheet.
    pub items: Vec<Item>,
    /// The rectangle that the drawing was placed in.
    pub field: Rect,
    /// How far the field is free from its edges: room for panels in columns.
    pub margins: Margins,
    /// Free rectangles of the field, largest first, clear of every item: room for panels that
    /// find none at the edges.
    pub free: Free,
    /// Keyed notes: number and words.
    pub notes: Vec<(String, String)>,
    /// Paper direction of plan north on this view: cosine and sine, y downward; none where the job
    /// does not say which way north is.
    pub north: Option<(f64, f64)>,
    /// What the drawing is of, for the sheet's title.
    pub title: String,
}
