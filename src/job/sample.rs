//! A job built by hand, for tests beside the code that need no files.

use crate::geometry::Point;
use crate::job::contour::{Contour, Edge};
use crate::job::template::{Batten, Deep, Template};
use crate::job::{
    Along, Closing, Fit, Fixture, Hinge, Job, Layout, Part, PartName, Pocket, PocketKind,
    Selection, Step, StopEnd, ZeroPoint,
};
use crate::shop::bit::{Bit, BitKind, BitMaterial};
use crate::shop::machine::{Cylinder, Dialect, Machine, Spindle, SpindleControl};
use crate::shop::wood::{self, Family, Grain, Wood};
use crate::units::{Feed, Length, Seconds, SpindleSpeed, Units};

fn mm(value: f64) -> Length {
    Length::from_mm(value)
}

pub(crate) fn machine() -> Machine {
    let feeds = |x, y, z| [x, y, z].map(Feed::from_mm_per_minute);
    Machine {
        name: "Bench router".to_owned(),
        travel: [mm(400.0), mm(500.0), mm(90.0)],
        feed_max: feeds(3000.0, 3000.0, 1200.0),
        rapid: feeds(4000.0, 4000.0, 1500.0),
        acceleration: [250.0, 250.0, 150.0],
        clearance: mm(5.0),
        nut: Cylinder {
            diameter: mm(20.0),
            length: mm(30.0),
        },
        nose_diameter: Some(mm(65.0)),
        daylight: None,
        limits: [(0.0, 400.0), (0.0, 500.0), (-90.0, 0.0)]
            .map(|(least, most)| (mm(least), mm(most))),
        stiffness: None,
        spindle: Spindle {
            dial: Vec::new(),
            slowest: SpindleSpeed::from_rpm(8000.0),
            fastest: SpindleSpeed::from_rpm(24000.0),
            power_w: Some(500.0),
            spin_up: Seconds::from_seconds(3.0),
            control: SpindleControl::Program,
        },
        dialect: Dialect::default(),
    }
}

pub(crate) fn bit(kind: BitKind, diameter: f64) -> Bit {
    Bit {
        name: format!("{diameter} mm {}", kind.name()),
        kind,
        diameter: mm(diameter),
        measured: None,
        flutes: if kind == BitKind::SingleFlute { 1 } else { 2 },
        cutting_length: mm(22.0),
        stickout: mm(30.0),
        shank: mm(6.0),
        material: BitMaterial::Carbide,
        plunges: false,
        point_angle: None,
        wear: 0.0,
        stepdown: None,
        ramp: None,
        chip_min: None,
        chip_max: None,
        stepover: None,
        tool: 1,
        rpm_max: None,
        record: None,
        wall_care: Default::default(),
    }
}

pub(crate) fn walnut() -> Wood {
    Wood {
        name: "walnut, black".to_owned(),
        family: Family::Hardwood,
        gravity: 0.55,
        moisture: 12.0,
        grain: Grain::Along,
    }
}

/// A collar of 24 mm about a bit of 8, a plate of 300 × 200 × 12 mm, a batten of 18.
pub(crate) fn template() -> Template {
    Template {
        collar: mm(24.0),
        collar_bore: Some(mm(21.0)),
        collar_reach: mm(6.0),
        bit: bit(BitKind::DoubleFlute, 8.0),
        base: mm(150.0),
        router_height: Some(mm(300.0)),
        plate_length: mm(300.0),
        plate_width: mm(200.0),
        plate_thickness: mm(12.0),
        plate_wood: wood::find("MDF").expect("in the table"),
        batten: Batten {
            width: mm(18.0),
            height: mm(30.0),
            groove: mm(4.0),
        },
        deep: Deep::Insert,
        play: mm(0.1),
        off_centre: [mm(0.0); 2],
        batten_off: mm(0.0),
        stop_off: mm(0.0),
    }
}

/// An overlay box 260 mm long with two hinges at 45 and 215 mm: steps 44 × 10 × 4.5 mm
/// and 27 × 10 × 12 mm as measured, setback 3.5 mm, clearance 0.1 mm, gap 0.4 of 0.8 mm.
pub(crate) fn job() -> Job {
    let bit = bit(BitKind::UpSpiral, 6.0);
    let pocket = |hinge, u: f64| Pocket {
        hinge,
        kind: PocketKind::Pocket,
        center: Point::from_mm(u, 3.5 + 5.0),
        steps: vec![
            Step {
                length: mm(44.1),
                width: mm(10.1),
                corner: mm(5.05),
                shift: mm(0.0),
                depth: mm(4.7),
            },
            Step {
                length: mm(27.1),
                width: mm(10.1),
                corner: mm(5.05),
                shift: mm(0.0),
                depth: mm(12.4),
            },
        ],
        holes: Vec::new(),
        screws: Vec::new(),
    };
    let part = |name, across, below| Part {
        name,
        length: mm(260.0),
        across: mm(across),
        below: mm(below),
        wood: walnut(),
        pockets: vec![pocket(1, 45.0), pocket(2, 215.0)],
        ticks: Vec::new(),
        contours: Vec::new(),
        board_below: None,
        correction_u: mm(0.0),
        correction_v: mm(0.0),
        depth_for_drawing: None,
    };
    Job {
        title: "Sample box".to_owned(),
        stem: "sample".to_owned(),
        units: Units::Millimetre,
        machine: machine(),
        rack: vec![bit.clone()],
        bit,
        closing: Closing::Overlay,
        hinge: Hinge {
            width: mm(10.0),
            setback: mm(3.5),
            closed_gap: mm(0.8),
            open_gap: None,
            overhang_or_drop: mm(0.0),
            centers: vec![mm(45.0), mm(215.0)],
        },
        drawn: None,
        fit: Fit {
            clearance: mm(0.1),
            under: mm(0.2),
            depth: mm(0.0),
            gap: mm(0.4),
            box_share: 0.5,
            finish: mm(0.2),
            min_left: mm(3.0),
        },
        pilot: None,
        parts: vec![
            part(PartName::Box, 18.0, 90.0),
            part(PartName::Lid, 180.0, 18.0),
        ],
        fixture: Fixture {
            layout: Layout::Book,
            stop_end: StopEnd::Left,
            along: Along::X,
            divider: mm(12.0),
            lid_rise: mm(0.0),
            divider_height: mm(0.0),
            fence_height: mm(0.0),
            box_base: None,
            lid_base: None,
            zero: ZeroPoint::Shared,
            machine_zero: None,
            headroom: None,
            park: None,
            clamps: Vec::new(),
            positions: Vec::new(),
            block_length: mm(20.0),
            block_height: mm(20.0),
        },
        template: None,
        plate: None,
        selection: Selection::default(),
        taken: Vec::new(),
        digest: "0".repeat(64),
    }
}

/// The end piece of a template's insert as edges: its outer end half round with
/// 12.7 mm about (`x`, `y`), straight sides, its inner end hollow with the same radius
/// about a point 30 mm further along, its horns cut off where they are 2 mm thick.
pub(crate) fn end_piece(x: f64, y: f64) -> Vec<Edge> {
    let at = |along: f64, across: f64| Point::from_mm(x + along, y + across);
    let radius: f64 = 12.7;
    let inner = radius - 2.0;
    let horn = 30.0 - (radius * radius - inner * inner).sqrt();
    let line = |from: [f64; 2], to: [f64; 2]| Edge::Line {
        from: at(from[0], from[1]),
        to: at(to[0], to[1]),
    };
    vec![
        line([0.0, -radius], [horn, -radius]),
        line([horn, -radius], [horn, -inner]),
        Edge::Arc {
            from: at(horn, -inner),
            to: at(horn, inner),
            center: at(30.0, 0.0),
            bulges: false,
        },
        line([horn, inner], [horn, radius]),
        line([horn, radius], [0.0, radius]),
        Edge::Arc {
            from: at(0.0, radius),
            to: at(0.0, -radius),
            center: at(0.0, 0.0),
            bulges: true,
        },
    ]
}

/// Scrap of 100 × 60 × 12 mm that such a piece about (30, 30) is cut out of with a
/// bit of 6 mm, down to a skin of half a millimetre.
pub(crate) fn plug_job() -> Job {
    let mut job = job();
    let mut scrap = job.parts.remove(1);
    scrap.name = PartName::Scrap;
    (scrap.length, scrap.across, scrap.below) = (mm(100.0), mm(60.0), mm(12.0));
    scrap.pockets.clear();
    scrap.contours = vec![Contour {
        number: 1,
        outline: end_piece(30.0, 30.0),
        depth: mm(11.5),
    }];
    job.parts = vec![scrap];
    job.fixture.layout = Layout::Scrap;
    job
}
