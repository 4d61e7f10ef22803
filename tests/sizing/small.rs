//! Small networks built by hand, joint by joint: what stages 2 and 3 would give.

use std::sync::Arc;

use stackfall::codebook::Book;
use stackfall::job::{self, Job, Said};
use stackfall::network::{
    Joint, JointIx, JointKind, NetLeg, Network, Piece, PieceIx, Run, RunIx, RunKind, State, System,
    Trap, TrapIx, VentMethod,
};
use stackfall::solve::{Solution, solve};
use stackfall::units::{Heading, Length, PipeSize};

/// A job and its network under construction.
pub struct Small {
    pub job: Job,
    pub net: Network,
    pub book: Arc<Book>,
    pub exit: JointIx,
}

pub fn size(inches: f64) -> PipeSize {
    PipeSize::from_inches(inches).expect("a size of the list")
}

pub fn level(heading: Heading, feet: f64) -> NetLeg {
    NetLeg {
        heading: Some(heading),
        length: Some(Length::from_feet(feet)),
        ..NetLeg::default()
    }
}

pub fn up(feet: Option<f64>) -> NetLeg {
    NetLeg {
        heading: Some(Heading::Up),
        length: feet.map(Length::from_feet),
        ..NetLeg::default()
    }
}

impl Small {
    /// From a job file and the book that it names; fixtures are entered one by one afterwards.
    pub fn new(text: &str) -> Small {
        let job = job::read("small", "small.toml", text).unwrap_or_else(|d| panic!("{d:#?}"));
        let code = job.code.as_ref().map_or("irc-2021", |c| c.value.as_str());
        let book = Book::builtin(code).expect("a built-in book");
        let mut net = Network::default();
        let exit = net.graph.add_node(Joint {
            id: "exit".to_owned(),
            kind: JointKind::Exit,
        });
        net.exits.push(exit);
        for i in 0..job.fixtures.len() {
            net.traps.push(Trap {
                fixture: i,
                joint: None,
                arm: None,
                vent_fitting: None,
                vent: VentMethod::Indirect,
                vent_piece: None,
                vent_state: State::Proposed,
                group: None,
                over: None,
                primed_by: None,
                state: State::Stated,
            });
        }
        Small {
            job,
            net,
            book,
            exit,
        }
    }

    pub fn run(&mut self, id: &str, kind: RunKind) -> RunIx {
        self.net.runs.push(Run {
            id: id.to_owned(),
            kind,
            state: State::Stated,
            span: None,
            floor: None,
            wye: Default::default(),
            wye_stated: false,
            invert: None,
            pieces: Vec::new(),
        });
        RunIx(self.net.runs.len() - 1)
    }

    /// A piece of a run up from a joint; gives the new joint at its upper end.
    pub fn up_from(
        &mut self,
        below: JointIx,
        run: RunIx,
        name: &str,
        kind: JointKind,
        legs: Vec<NetLeg>,
    ) -> (JointIx, PieceIx) {
        let id = format!("{}.{name}", self.net.runs[run.0].id);
        let joint = self.net.graph.add_node(Joint {
            id: id.clone(),
            kind,
        });
        let piece = self.net.graph.add_edge(
            joint,
            below,
            Piece {
                id,
                run,
                system: System::Waste,
                state: State::Stated,
                span: None,
                legs,
                size: None,
                fall: None,
            },
        );
        self.net.runs[run.0].pieces.push(piece);
        (joint, piece)
    }

    /// A vent up from a joint.
    pub fn vent(
        &mut self,
        from: JointIx,
        run: RunIx,
        name: &str,
        to: JointKind,
        legs: Vec<NetLeg>,
    ) -> (JointIx, PieceIx) {
        let id = format!("{}.{name}", self.net.runs[run.0].id);
        let joint = self.net.graph.add_node(Joint {
            id: format!("{id}.top"),
            kind: to,
        });
        let piece = self.net.graph.add_edge(
            from,
            joint,
            Piece {
                id,
                run,
                system: System::Vent,
                state: State::Stated,
                span: None,
                legs,
                size: None,
                fall: None,
            },
        );
        self.net.runs[run.0].pieces.push(piece);
        (joint, piece)
    }

    /// A fixture of the job that enters at a joint by its arm.
    pub fn fixture(&mut self, name: &str, into: JointIx, arm: Option<f64>) -> PieceIx {
        let i = self
            .job
            .fixtures
            .iter()
            .position(|f| f.name == name)
            .expect("a fixture of the job");
        let run = self.run(&format!("{name}.arm"), RunKind::Arm);
        self.net.runs[run.0].floor = self.job.fixtures[i].floor;
        let leg = NetLeg {
            heading: Some(Heading::North),
            length: arm.map(Length::from_feet),
            ..NetLeg::default()
        };
        let trap = JointKind::Trap(TrapIx(i));
        let (joint, piece) = self.up_from(into, run, "x", trap, vec![leg]);
        self.net.graph[joint].id = name.to_owned();
        self.net.graph[piece].id = format!("{name}.arm");
        let entry = &mut self.net.traps[i];
        entry.joint = Some(joint);
        entry.arm = Some(piece);
        entry.vent_fitting = Some(into);
        entry.vent = VentMethod::Individual;
        piece
    }

    pub fn state_size(&mut self, piece: PieceIx, inches: f64) {
        self.net.graph[piece].size = Some(Said {
            value: size(inches),
            span: 0..1,
        });
    }

    pub fn solve(&self) -> Solution {
        solve(&self.job, &self.net, &self.book)
    }
}
