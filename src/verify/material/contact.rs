//! What the turning parts of a tool run into, told once for each obstacle.

use crate::job::PartName;
use crate::replay::segment::Segment;
use crate::units::ruler::Ruler;
use crate::verify::findings::Found;
use crate::verify::scene::feature::Feature;
use crate::verify::scene::solid::{self, TOUCH, Turned};
use crate::verify::scene::{Scene, SolidKind};

/// What was run into so far, in the order of the first touch.
#[derive(Debug, Default)]
pub(crate) struct Contacts {
    list: Vec<Contact>,
}

/// Moves that run into the same thing.
#[derive(Clone, Debug, PartialEq)]
struct Contact {
    /// What is in the way.
    pub(crate) obstacle: Obstacle,
    /// Which part of the tool comes furthest into it.
    pub(crate) part: &'static str,
    /// How far, in millimetres.
    pub(crate) worst: f64,
    pub(crate) moves: u64,
    pub(crate) first_line: u64,
    pub(crate) last_line: u64,
}

/// What a tool may run into.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Obstacle {
    /// Divider, fence, stop or clamp, by name.
    Solid(String),
    /// Wood still standing in or about a pocket of a board.
    Wood(PartName, Option<Feature>),
}

impl Contacts {
    /// Notes what a move runs into of that kind.
    pub(crate) fn meet(
        &mut self,
        line: u64,
        scene: &Scene,
        kind: SolidKind,
        (segment, is_rapid): (&Segment, bool),
        turned: &[Turned],
    ) {
        if segment.lowest() >= scene.highest {
            return;
        }
        for solid in scene.solids.iter().filter(|solid| solid.kind == kind) {
            let touches = turned.iter().filter_map(|part| {
                let overlap = solid::overlap(segment, is_rapid, part, solid);
                (overlap > TOUCH).then_some((part.name, overlap))
            });
            let worst = touches.reduce(|worst, next| if next.1 > worst.1 { next } else { worst });
            if let Some((part, overlap)) = worst {
                self.touch(line, Obstacle::Solid(solid.name.clone()), part, overlap);
            }
        }
    }

    /// Notes that a part of the tool comes so far into an obstacle.
    pub(crate) fn touch(&mut self, line: u64, obstacle: Obstacle, part: &'static str, depth: f64) {
        let same = |contact: &&mut Contact| contact.obstacle == obstacle;
        let Some(contact) = self.list.iter_mut().find(same) else {
            self.list.push(Contact {
                obstacle,
                part,
                worst: depth,
                moves: 1,
                first_line: line,
                last_line: line,
            });
            return;
        };
        if contact.last_line != line {
            contact.moves += 1;
            contact.last_line = line;
        }
        if depth > contact.worst {
            (contact.worst, contact.part) = (depth, part);
        }
    }

    /// Tells each at its first line, and forgets all.
    pub(crate) fn tell(&mut self, ruler: Ruler, found: &mut Found<'_>) {
        for contact in std::mem::take(&mut self.list) {
            let worst = ruler.both(contact.worst, 2);
            found.fail_at(contact.first_line, || contact.words(&worst));
        }
    }
}

impl Contact {
    fn words(&self, worst: &str) -> String {
        let Self {
            obstacle,
            part,
            moves,
            first_line,
            last_line,
            ..
        } = self;
        let often = match moves {
            1 => String::new(),
            _ => format!(", the worst of {moves} moves on lines {first_line} to {last_line}"),
        };
        match obstacle {
            Obstacle::Solid(name) => {
                format!("the {part} comes {worst} into the {name}{often}; move it or keep off")
            }
            Obstacle::Wood(board, place) => {
                let place = match place {
                    None | Some(Feature::Tick) => format!("the {board}"),
                    Some(place) => place.name(*board),
                };
                format!(
                    "the {part} meets wood of {place} that stands {worst} above its lower end{often}; \
                     cut in shallower passes or chuck a longer bit"
                )
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::{PocketKind, sample};
    use crate::units::Length;

    #[test]
    fn contacts_count_moves_by_line_and_keep_the_worst() {
        let mut contacts = Contacts::default();
        let mut touch = |line, part, depth| {
            let obstacle = Obstacle::Solid("fence".to_owned());
            contacts.touch(line, obstacle, part, depth);
            let contact = &contacts.list[0];
            (
                contact.part,
                contact.worst,
                contact.moves,
                contact.last_line,
            )
        };
        assert_eq!(touch(4, "shank", 1.0), ("shank", 1.0, 1, 4));
        assert_eq!(touch(4, "nut", 1.0), ("shank", 1.0, 1, 4));
        assert_eq!(touch(7, "bit", 0.5), ("shank", 1.0, 2, 7));
        assert_eq!(touch(8, "nut", 1.5), ("nut", 1.5, 3, 8));
    }

    #[test]
    fn a_contact_is_told_with_its_place_and_how_often() {
        let words = |obstacle, moves| {
            let contact = Contact {
                obstacle,
                part: "nut",
                worst: 1.0,
                moves,
                first_line: 4,
                last_line: 9,
            };
            contact.words("1.00 mm")
        };
        let fence = || Obstacle::Solid("fence".to_owned());
        assert_eq!(
            words(fence(), 1),
            "the nut comes 1.00 mm into the fence; move it or keep off"
        );
        assert_eq!(
            words(fence(), 2),
            "the nut comes 1.00 mm into the fence, the worst of 2 moves on lines 4 to 9; \
             move it or keep off"
        );
        let wood = |place| words(Obstacle::Wood(PartName::Lid, place), 1);
        let pocket = Feature::Pocket(PocketKind::Pocket, 2);
        assert!(
            wood(Some(pocket))
                .starts_with("the nut meets wood of lid pocket 2 that stands 1.00 mm")
        );
        // A tick has no number.
        for place in [Some(Feature::Tick), None] {
            assert!(wood(place).starts_with("the nut meets wood of the lid that stands"));
        }
    }

    /// A clamp from 0 to 20 and 0 to 40, 25 mm high: the bit is 2 mm in
    /// sideways, the nut as far as its lower face lies under the top.
    #[test]
    fn of_all_parts_that_run_into_a_clamp_the_worst_is_told() {
        let mut job = sample::job();
        job.fixture.clamps = vec![crate::job::Clamp {
            name: "left clamp".to_owned(),
            min: crate::geometry::Point::from_mm(0.0, 0.0),
            max: crate::geometry::Point::from_mm(20.0, 40.0),
            height: Length::from_mm(25.0),
        }];
        let scene = Scene::new(&job);
        let part = |name, radius, above_tip| Turned {
            name,
            radius,
            above_tip,
        };
        let worst = |z: f64, parts: &[Turned]| {
            let mut contacts = Contacts::default();
            let segment = Segment::line([21.0, 10.0, z], [21.0, 30.0, z]);
            contacts.meet(1, &scene, SolidKind::Clamp, (&segment, false), parts);
            let contact = &contacts.list[0];
            (contact.part, (contact.worst * 1e6).round() / 1e6)
        };
        let parts = [part("bit", 3.0, 0.0), part("nut", 10.0, 30.0)];
        assert_eq!(worst(-10.0, &parts), ("nut", 5.0));
        assert_eq!(worst(-6.0, &parts), ("bit", 2.0));
        let alike = [part("bit", 3.0, 0.0), part("shank", 3.0, 10.0)];
        assert_eq!(worst(-6.0, &alike), ("bit", 2.0));
    }
}
