//! Which symbols stand at which joint, and which way each of them faces.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use crate::captions::{Captions, MatchMark};
use crate::catalogue;
use crate::fittings::Fittings;
use crate::job::{CleanoutKind, Job};
use crate::levels::falls::{is_vertical, leg_is_vertical};
use crate::network::{JointIx, JointKind, Network, PieceIx, TrapIx, reached_in_stack};
use crate::projection::Way;
use crate::symbols::{self, Axes, Symbol};

/// What a symbol stands for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stands {
    /// A fixture.
    Fixture(TrapIx),
    /// A cleanout, by index of the network.
    Cleanout(usize, CleanoutKind),
    /// A valve, by index of the network.
    Valve(usize),
    /// The exit.
    Exit,
    /// A vent terminal.
    Terminal,
    /// An air admittance valve.
    AirAdmittance,
    /// A basin.
    Basin,
    /// A reducer.
    Reducer,
    /// A vent that goes up from a drain and is not drawn here.
    VentUp,
    /// A mark where this pipe goes on to another sheet.
    Match(PieceIx),
}

impl Stands {
    /// Whether it is a fixture with a trap of its own, at the end of a pipe: no indirect waste.
    pub fn is_trap_of(self, net: &Network) -> bool {
        matches!(self, Stands::Fixture(t) if net.traps.get(t.0).is_some_and(|t| t.joint.is_some()))
    }
}

/// One symbol to draw.
#[derive(Clone, Debug)]
pub struct Figure {
    /// Its element id.
    pub id: String,
    /// What it stands for.
    pub stands: Stands,
    /// Its joint.
    pub joint: JointIx,
    /// `data-kind`.
    pub kind: &'static str,
    /// The trade's word for a fixture's kind; a match mark's name.
    pub word: String,
    /// Which of the set's shapes it has: figures of one shape are drawn alike.
    pub shape: usize,
    /// Words for its `<title>`.
    pub title: String,
}

/// All symbols of the drawing, by joint.
#[derive(Clone, Debug, Default)]
pub struct Figures {
    /// The symbols.
    pub all: Vec<Figure>,
    by_joint: BTreeMap<JointIx, Vec<usize>>,
    /// Marks of cut pipes: for the sheet of what lies downstream, and upstream.
    marks: BTreeMap<PieceIx, [usize; 2]>,
    /// How high the names of marks are lettered, if not as on a permit set, mm.
    mark_cap: Option<f64>,
    /// Each shape, by kind and word.
    shapes: Arc<BTreeMap<(&'static str, String), usize>>,
    /// Shapes drawn so far, by the way that they face.
    drawn: Drawn,
}

/// Shapes drawn so far: by their index, and, shared with all copies of the figures, whose indices
/// may differ, by what they are.
#[derive(Debug, Default)]
struct Drawn {
    own: Arc<Shapes<(usize, Way)>>,
    shared: Arc<Shapes<Face>>,
}

/// Drawn shapes by a key.
type Shapes<K> = Mutex<BTreeMap<K, Arc<Symbol>>>;

/// A kind and word, and the way that it faces.
type Face = (&'static str, String, Way);

impl Clone for Drawn {
    fn clone(&self) -> Self {
        Drawn {
            own: Arc::default(),
            shared: Arc::clone(&self.shared),
        }
    }
}

impl Figures {
    /// Lists the symbols of a network.
    pub fn of(job: &Job, net: &Network) -> Self {
        let mut figures = Figures::default();
        for (i, t) in net.traps.iter().enumerate() {
            let Some(f) = job.fixtures.get(t.fixture) else {
                continue;
            };
            // An indirect waste stands over its receptor.
            let receptor = t
                .over
                .and_then(|o| net.traps.get(o.0))
                .and_then(|o| o.joint);
            let Some(joint) = t.joint.or(receptor) else {
                continue;
            };
            let kind = catalogue::kind(&f.kind.value);
            let word = match job.drawing.plain_tags && t.joint.is_some() {
                true => symbols::PLAIN.to_owned(),
                false => kind.map_or(f.kind.value.clone(), |k| k.word.to_owned()),
            };
            let title = match &f.room {
                Some(room) => format!("{}: {}, {room}", f.name, f.kind.value),
                None => format!("{}: {}", f.name, f.kind.value),
            };
            figures.add(Figure {
                id: f.name.clone(),
                stands: Stands::Fixture(TrapIx(i)),
                joint,
                kind: "fixture",
                word,
                shape: 0,
                title,
            });
        }
        for (i, c) in net.cleanouts.iter().enumerate() {
            figures.add(Figure {
                id: net.cleanout_mark(c),
                stands: Stands::Cleanout(i, c.kind),
                joint: c.joint,
                kind: "cleanout",
                word: cleanout_word(c.kind).to_owned(),
                shape: 0,
                title: format!("{}: {} cleanout", c.id, cleanout_word(c.kind)),
            });
        }
        for (i, v) in net.valves.iter().enumerate() {
            figures.add(Figure {
                id: v.id.clone(),
                stands: Stands::Valve(i),
                joint: v.joint,
                kind: "valve",
                word: v.kind.clone(),
                shape: 0,
                title: format!("{}: {} valve", v.id, v.kind),
            });
        }
        for joint in net.graph.node_indices() {
            let j = &net.graph[joint];
            let (stands, kind, what) = match j.kind {
                JointKind::Exit => (Stands::Exit, "exit", "exit"),
                JointKind::Terminal(_) => (Stands::Terminal, "terminal", "vent through the roof"),
                JointKind::Valve(_) => (Stands::AirAdmittance, "valve", "air admittance valve"),
                JointKind::Basin => (Stands::Basin, "basin", "ejector basin"),
                _ => continue,
            };
            figures.add(Figure {
                id: format!("{}.mark", j.id),
                stands,
                joint,
                kind,
                word: String::new(),
                shape: 0,
                title: format!("{}: {what}", j.id),
            });
        }
        figures
    }

    /// Adds the reducers where a drain changes its size.
    pub fn with_reducers(mut self, net: &Network, fittings: &Fittings) -> Self {
        for (&joint, fitting) in &fittings.joints {
            let Some((larger, smaller)) = fitting.reducer else {
                continue;
            };
            let Some(id) = net.graph.node_weight(joint).map(|j| &j.id) else {
                continue;
            };
            // A drop takes its change in its own tee; only level drains show one.
            let level = net
                .downstream(joint)
                .is_some_and(|p| !net.is_stack(net.graph[p].run));
            if !level || !self.at(joint).is_empty() {
                continue;
            }
            self.add(Figure {
                id: format!("{id}.reducer"),
                stands: Stands::Reducer,
                joint,
                kind: "reducer",
                word: String::new(),
                shape: 0,
                title: format!(
                    "{id}: reducer, {} by {}",
                    larger.trade_name(),
                    smaller.trade_name()
                ),
            });
        }
        self
    }

    /// Leaves out the cleanouts at the feet of stacks that are reached over the floor: a crew sets them
    /// there, and its list says so.
    pub fn without_stack_cleanouts(mut self, net: &Network) -> Self {
        let all = &self.all;
        let over = |f: &usize| match all[*f].stands {
            Stands::Cleanout(i, _) => net
                .cleanouts
                .get(i)
                .is_some_and(|c| reached_in_stack(net, c)),
            _ => false,
        };
        for here in self.by_joint.values_mut() {
            here.retain(|f| !over(f));
        }
        self
    }

    /// Adds the lower ends of the vents that `whole` has and the network does not, where nothing else
    /// goes up: without it a tee for a vent reads as a bend.
    pub fn with_vents_up(mut self, net: &Network, whole: &Network) -> Self {
        for joint in net.graph.node_indices() {
            let rises = |p: &PieceIx| {
                let legs = net.graph.edge_weight(*p).map_or(&[][..], |p| &p.legs);
                is_vertical(net, *p) || legs.first().is_some_and(leg_is_vertical)
            };
            let vents = !whole.vents_from(joint).is_empty() && net.vents_from(joint).is_empty();
            let taken = net.upstream(joint).iter().any(rises) || !self.at(joint).is_empty();
            if !vents || taken {
                continue;
            }
            let id = &net.graph[joint].id;
            self.add(Figure {
                id: format!("{id}.up"),
                stands: Stands::VentUp,
                joint,
                kind: "vent",
                word: String::new(),
                shape: 0,
                title: format!("{id}: a vent goes up"),
            });
        }
        self
    }

    /// No symbols yet, to be filled with some of another list's: they share their shapes.
    pub(super) fn like(other: &Figures) -> Self {
        Figures {
            mark_cap: other.mark_cap,
            shapes: Arc::clone(&other.shapes),
            drawn: Drawn {
                own: Arc::clone(&other.drawn.own),
                shared: Arc::clone(&other.drawn.shared),
            },
            ..Figures::default()
        }
    }

    /// Adds a symbol that stands at its joint.
    pub(super) fn add(&mut self, figure: Figure) {
        let joint = figure.joint;
        let index = self.list(figure);
        self.by_joint.entry(joint).or_default().push(index);
    }

    /// Adds a symbol whose place is found as the drawing grows.
    pub(super) fn list(&mut self, mut figure: Figure) -> usize {
        let key = (figure.kind, figure.word.clone());
        figure.shape = self.shapes.get(&key).copied().unwrap_or_else(|| {
            let shapes = Arc::make_mut(&mut self.shapes);
            let next = shapes.len();
            shapes.insert(key, next);
            next
        });
        self.all.push(figure);
        self.all.len() - 1
    }

    /// Lets two symbols mark a cut pipe: on the sheet of what lies downstream, and upstream.
    pub(super) fn mark_at(&mut self, piece: PieceIx, both: [usize; 2]) {
        self.marks.insert(piece, both);
    }

    /// The same with the names of marks lettered so high, mm.
    pub fn with_mark_cap(mut self, cap: f64) -> Self {
        self.mark_cap = Some(cap);
        self
    }

    /// Adds the marks where the drawing goes on from sheet to sheet.
    pub fn with_marks(mut self, net: &Network, marks: &[MatchMark]) -> Self {
        for mark in marks {
            let Some(joint) = net.to(mark.piece) else {
                continue;
            };
            // What is drawn elsewhere in place of another has its letter, but is no match for it.
            let kind = match mark.like {
                Some(_) => "like",
                None => "match",
            };
            let add = |id: String, sheet: &str| {
                self.list(Figure {
                    id,
                    stands: Stands::Match(mark.piece),
                    joint,
                    kind,
                    word: mark.name.clone(),
                    shape: 0,
                    title: match &mark.like {
                        Some(like) => format!("goes on as {like} does, on {sheet}"),
                        None => format!("match mark {}: goes on on {sheet}", mark.name),
                    },
                })
            };
            let [down, up] = mark.ids();
            let both = [(down, &mark.up), (up, &mark.down)].map(|(id, s)| (id, s.as_str()));
            let mut add = add;
            let both = both.map(|(id, sheet)| add(id, sheet));
            self.marks.insert(mark.piece, both);
        }
        self
    }

    /// The mark of a cut pipe: for the sheet of what lies downstream, and upstream.
    pub fn mark(&self, piece: PieceIx) -> Option<[usize; 2]> {
        self.marks.get(&piece).copied()
    }

    /// The symbols at a joint.
    pub fn at(&self, joint: JointIx) -> &[usize] {
        self.by_joint.get(&joint).map_or(&[], Vec::as_slice)
    }

    /// The caption of a symbol, by index.
    pub fn caption(&self, figure: usize, captions: &Captions) -> Option<usize> {
        match self.all[figure].stands {
            Stands::Fixture(t) => captions.traps.get(&t).copied(),
            _ => captions.symbols.get(&self.all[figure].id).copied(),
        }
    }

    /// The way that a symbol faces at a joint where a trunk arrives along `way` and other pipes
    /// leave along `taken`.
    pub fn arrives(&self, figure: usize, way: Way, taken: &[Way]) -> Way {
        let f = &self.all[figure];
        match f.stands {
            Stands::Fixture(_) | Stands::Basin | Stands::Reducer | Stands::Match(_) => way,
            Stands::Terminal | Stands::AirAdmittance | Stands::VentUp => Way::UP,
            // Its arrow points out of the building.
            Stands::Exit => way.reversed(),
            Stands::Valve(_) => way,
            Stands::Cleanout(..) => {
                let side = if way.is_vertical() {
                    Way::X
                } else {
                    way.left()
                };
                let choices = [way, Way::UP, side.reversed(), side, Way::UP.reversed()];
                let free = |w: &&Way| !taken.contains(w) && (**w != way || taken.is_empty());
                choices
                    .iter()
                    .find(free)
                    .copied()
                    .unwrap_or(Way::UP.reversed())
            }
        }
    }

    /// The drawn symbol, its origin at the joint, ahead along `way`.
    pub fn drawn(&self, figure: usize, way: Way) -> Arc<Symbol> {
        let f = &self.all[figure];
        let mut own = self
            .drawn
            .own
            .lock()
            .unwrap_or_else(PoisonError::into_inner);
        let made = || {
            let shared = &self.drawn.shared;
            let mut shared = shared.lock().unwrap_or_else(PoisonError::into_inner);
            let face = (f.kind, f.word.clone(), way);
            let draw = || Arc::new(self.draw(figure, way));
            Arc::clone(shared.entry(face).or_insert_with(draw))
        };
        Arc::clone(own.entry((f.shape, way)).or_insert_with(made))
    }

    fn draw(&self, figure: usize, way: Way) -> Symbol {
        let f = &self.all[figure];
        let along = way.paper();
        let across = if way.is_vertical() || way.is_skew() {
            Way::X.paper()
        } else {
            way.left().paper()
        };
        let axes = Axes { along, across };
        match f.stands {
            Stands::Fixture(_) => symbols::fixture(&f.word, &axes),
            Stands::Cleanout(_, kind) => symbols::cleanout(kind, &axes),
            // Its wedge points downstream, and a trunk grows upstream.
            Stands::Valve(_) => symbols::backwater_valve(&Axes {
                along: -along,
                across,
            }),
            Stands::Exit => symbols::exit_mark(&axes),
            Stands::Terminal => symbols::vent_terminal(&axes),
            Stands::AirAdmittance => symbols::air_valve(&axes),
            Stands::Basin => symbols::basin(&axes),
            Stands::Reducer => symbols::reducer(&axes),
            Stands::VentUp => symbols::vent_up(&axes),
            Stands::Match(_) => {
                symbols::match_mark(&f.word, self.mark_cap.unwrap_or(symbols::MARK_CAP), &axes)
            }
        }
    }
}

fn cleanout_word(kind: CleanoutKind) -> &'static str {
    match kind {
        CleanoutKind::Floor => "floor",
        CleanoutKind::Wall => "wall",
        CleanoutKind::Grade => "grade",
        CleanoutKind::TwoWay => "two-way",
        CleanoutKind::Stack => "stack",
        CleanoutKind::End => "end",
    }
}
