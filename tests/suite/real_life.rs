//! Jobs as they come to a bench: each with its verdict and the sentence that a
//! person needs then. The scenarios are invented; what each figure must come to
//! is worked out by hand beside it.

use crate::harness::{Workshop, flowed};

/// A job that differs from the tea box, and what must be said of it.
struct Case {
    job: &'static str,
    changes: &'static [(&'static str, &'static str)],
    arguments: &'static [&'static str],
    code: i32,
    says: &'static [&'static str],
}

const PLAIN: &[&str] = &[];
const BIT: &str = "bit     = \"6 mm up-spiral\"";
const LEAF: &str = "{ length = 44, depth = 4.5 }";
const BODY: &str = "{ length = 27, depth = 12 }";
const BOX_WOOD: &str = "wood   = \"black walnut\"";
const LID_WOOD: &str = "wood      = \"black walnut\"";
const LID_LENGTH: &str = "length    = 260";
const OVERLAY: &str = "closing   = \"overlay\"";

const CASES: &[Case] = &[
    Case {
        job: "leaves with square corners",
        changes: &[(LEAF, "{ length = 44, depth = 4.5, corner = 0.5 }")],
        arguments: PLAIN,
        code: 2,
        // 2 × (0.5 + 0.1 / 2)
        says: &[
            "the largest bit that does it is 1.1 mm",
            "square the corners with a chisel",
        ],
    },
    Case {
        job: "a plywood box, hinged on its edge",
        changes: &[(BOX_WOOD, "wood   = \"plywood\"")],
        arguments: PLAIN,
        code: 0,
        says: &["note: box: the screws stand between the plies"],
    },
    Case {
        job: "a box whose rim is end grain",
        changes: &[(
            BOX_WOOD,
            "wood   = { name = \"black walnut\", grain = \"across\" }",
        )],
        arguments: PLAIN,
        code: 0,
        says: &["note: box: the screws stand in end grain"],
    },
    Case {
        job: "a medium-density fibreboard box, hinged on its edge",
        changes: &[(BOX_WOOD, "wood   = \"MDF\"")],
        arguments: PLAIN,
        code: 0,
        says: &["note: box: the screws stand in the edge of a fibreboard"],
    },
    Case {
        job: "a lid too thin for the body",
        changes: &[("thickness = 18", "thickness = 12")],
        arguments: PLAIN,
        code: 1,
        // 12 + 0.2 + (0.8 - 0.4) / 2 = 12.4
        says: &[
            "FAILED floor-left",
            "lid pocket 1 cuts through the lid by 0.40 mm",
            "take shorter screws",
            "nothing was written",
        ],
    },
    Case {
        job: "a lid with little under the body",
        changes: &[("thickness = 18", "thickness = 14")],
        arguments: PLAIN,
        code: 0,
        says: &["warning floor-left", "1.60 mm", "wanted 3 mm"],
    },
    Case {
        job: "a wall too thin for the leaf",
        changes: &[("wall   = 18", "wall   = 12")],
        arguments: PLAIN,
        code: 1,
        // 3.5 - 0.05 + 10.1 = 13.55
        says: &[
            "FAILED wall-left",
            "box pocket 1 cuts through the inside face of the box by 1.55 mm",
            "lessen `hinge.setback`",
        ],
    },
    Case {
        job: "a pocket at the very edge, as for a mitred rim",
        changes: &[("setback    = 3.5", "setback    = 0.5")],
        arguments: PLAIN,
        code: 1,
        // 0.5 - 0.05
        says: &["FAILED wall-left", "0.45 mm", "at least 1 mm"],
    },
    Case {
        job: "a tall box that its owner thinks lies on the bed",
        changes: &[
            ("height = 90", "height = 400"),
            (
                "layout  = \"book\"",
                "layout  = \"book\"\nbox_base = 0\nlid_base = 382",
            ),
        ],
        arguments: PLAIN,
        code: 1,
        says: &["FAILED envelope", "daylight"],
    },
    Case {
        job: "a lid 4 mm short",
        changes: &[(LID_LENGTH, "length    = 256")],
        arguments: PLAIN,
        code: 0,
        says: &[
            "the lid is 4 mm shorter than the box",
            "`lid.end_inset` is left out",
        ],
    },
    Case {
        job: "one hinge on a lid of 260",
        changes: &[("count = 2\ninset = 45", "count = 1 #")],
        arguments: PLAIN,
        code: 0,
        says: &["1 hinge for a lid 260.00 mm long", "2 are usual"],
    },
    Case {
        job: "five hinges where three stand",
        changes: &[("count = 2", "count = 5")],
        arguments: PLAIN,
        code: 2,
        // (260 - 90) / 4 = 42.5 between centres, 44.1 each
        says: &[
            "hinges 1 and 2 run 1.6 mm into each other",
            "use fewer hinges",
        ],
    },
    Case {
        job: "a hinge that hangs over the end",
        changes: &[("inset = 45", "inset = 20")],
        arguments: PLAIN,
        code: 2,
        // 22.05 - 20; 22.05 + 3
        says: &[
            "reaches 2.05 mm past the stop end",
            "`placement.inset` of at least 25.05 mm",
        ],
    },
    Case {
        job: "a rack without the bit",
        changes: &[(BIT, "bit     = \"6mm upspiral\"")],
        arguments: PLAIN,
        code: 2,
        says: &[
            "the rack has no bit `6mm upspiral`",
            "did you mean one of `6 mm up-spiral`",
        ],
    },
    Case {
        job: "the drill taken for the router bit",
        changes: &[(BIT, "bit     = \"2 mm drill\"")],
        arguments: PLAIN,
        code: 2,
        says: &["`2 mm drill` is a drill, a pocket wants a router bit"],
    },
    Case {
        job: "a bit that packs its chips",
        changes: &[(BIT, "bit     = \"8 mm double-flute\"")],
        arguments: PLAIN,
        code: 0,
        // 12.4 / 8
        says: &["warning chip-room", "1.6 bits deep", "take an up-spiral"],
    },
    Case {
        job: "an edge shorter than the pocket is deep",
        changes: &[
            (BODY, "{ length = 27, depth = 16.81 }"),
            ("thickness = 18", "thickness = 25"),
            (BIT, "bit     = \"5 mm single-flute\""),
        ],
        arguments: PLAIN,
        code: 1,
        // 16.81 + 0.2 + 0.2 mm deep; told where the edge's 17 are passed.
        says: &[
            "4.70 (3), 17.21 (6)",
            "FAILED flute-reach",
            " mm deep with an edge of 17.00 mm",
            "take a longer bit",
        ],
    },
    Case {
        job: "a worn-out bit",
        changes: &[],
        arguments: &["--wear", "1"],
        code: 1,
        says: &["FAILED edge-wear", "sharpen or replace it"],
    },
    Case {
        job: "a bit that will soon be worn out",
        changes: &[],
        arguments: &["--wear", "0.85"],
        code: 0,
        says: &["warning edge-wear", "sharpen"],
    },
    Case {
        job: "a lined box without a word about it",
        changes: &[("gap       = 0.4", "gap       = 2")],
        arguments: PLAIN,
        code: 2,
        says: &["the leaf would stand proud", "`proud = true`"],
    },
    Case {
        job: "a lined box",
        changes: &[("gap       = 0.4", "gap       = 2\nproud = true")],
        arguments: PLAIN,
        code: 0,
        // 12 + 0.2 - (2 - 0.8) / 2 = 11.6
        says: &[
            "the leaves stand proud of box and lid, 1.2 mm in all",
            "11.60",
        ],
    },
    Case {
        job: "a lining so thick that no pocket is left of the leaf's",
        changes: &[("gap       = 0.4", "gap       = 10\nproud = true")],
        arguments: PLAIN,
        code: 2,
        // 4.5 - (10 - 0.8) / 2
        says: &["step 1 of the box would be cut -0.1 mm deep", "`fit.gap`"],
    },
    Case {
        job: "a depth correction that eats the leaf's pocket",
        changes: &[
            (LEAF, "{ length = 44, depth = 2.5 }"),
            ("under     = 0.2", "under     = 0.2\ndepth = -3"),
        ],
        arguments: PLAIN,
        code: 2,
        // 2.5 + 0.2 - 3
        says: &["step 1 of the box would be cut -0.3 mm deep", "`fit.depth`"],
    },
    Case {
        job: "an inset lid whose drop nobody gave",
        changes: &[
            (OVERLAY, "closing   = \"inset\"\nend_inset = 19"),
            (LID_LENGTH, "length    = 222"),
        ],
        arguments: PLAIN,
        code: 0,
        says: &[
            "level with the rim, since `lid.drop` is left out",
            "loose board before glue-up",
        ],
    },
    Case {
        job: "an inset lid as long as its box",
        changes: &[(OVERLAY, "closing   = \"inset\"\nend_inset = 19")],
        arguments: PLAIN,
        code: 2,
        says: &[
            "`lid.length` and `lid.end_inset` make 279 mm",
            "`lid.open_ends = true`",
        ],
    },
    Case {
        job: "a box sawn in two, lid walls no deeper than the body",
        changes: &[("thickness = 18", "thickness = 10\nwall = 18")],
        arguments: PLAIN,
        code: 1,
        says: &[
            "FAILED floor-left",
            "lid pocket 1 cuts through the lid by 2.40 mm",
        ],
    },
    Case {
        job: "a softwood lid on a hardwood box, one drill for both",
        changes: &[
            (BOX_WOOD, "wood   = \"hard maple\""),
            (LID_WOOD, "wood      = \"western red cedar\""),
        ],
        arguments: PLAIN,
        code: 0,
        says: &["warning wall-left: lead hole of 2.00 mm in the lid, 4 times"],
    },
    Case {
        job: "a wood of two kinds",
        changes: &[(BOX_WOOD, "wood   = \"beech\"")],
        arguments: PLAIN,
        code: 2,
        says: &["did you mean one of `American beech`, `European beech`?"],
    },
    Case {
        job: "a wood that the table does not have, of a kind that it has",
        changes: &[(BOX_WOOD, "wood   = \"red gum oak\"")],
        arguments: PLAIN,
        code: 2,
        says: &["did you mean one of `northern red oak`, `European oak`, `white oak`?"],
    },
    Case {
        job: "a slip of the finger in a wood's name",
        changes: &[(BOX_WOOD, "wood   = \"teek\"")],
        arguments: PLAIN,
        code: 2,
        says: &["did you mean `teak`?"],
    },
    Case {
        job: "a wood of which no source tells how it moves",
        changes: &[
            (BOX_WOOD, "wood   = \"European oak\""),
            (LID_WOOD, "wood      = \"jarrah\""),
        ],
        arguments: PLAIN,
        code: 0,
        // 10 × 0.00396 × 6 = 0.238
        says: &[
            "box: how much European oak moves across the pocket over a year is not known",
            "lid: across the pocket jarrah moves 0.24 mm",
            "a coefficient that a second text quotes",
        ],
    },
    Case {
        job: "a wood that no table has",
        changes: &[(BOX_WOOD, "wood   = \"bog oak\"")],
        arguments: PLAIN,
        code: 2,
        says: &[
            "`bog oak`, which the wood table does not have",
            "gravity = ",
        ],
    },
    Case {
        job: "a clearance with a slipped point",
        changes: &[("clearance = 0.10", "clearance = 1.0")],
        arguments: PLAIN,
        code: 2,
        says: &["`fit.clearance` is 1.0", "was 0.1 mm meant?"],
    },
    Case {
        job: "a loose clearance",
        changes: &[("clearance = 0.10", "clearance = 0.5")],
        arguments: PLAIN,
        code: 0,
        says: &["a clearance of 0.5 mm is loose"],
    },
    Case {
        job: "a closed gap read over both leaves",
        changes: &[("closed_gap = 0.8", "closed_gap = 9.8")],
        arguments: PLAIN,
        code: 0,
        says: &[
            "the closed gap, 9.8 mm, is as much as both leaves are thick",
            "twice",
        ],
    },
    Case {
        job: "a body read from the leaf's back",
        changes: &[(BODY, "{ length = 27, depth = 7.5 }")],
        arguments: PLAIN,
        code: 0,
        says: &[
            "step 2 reaches 3 mm below the leaf",
            "not from the leaf's back",
        ],
    },
    Case {
        job: "steps in the wrong order",
        changes: &[
            (LEAF, "{ length = 27, depth = 12 }"),
            (
                "  { length = 27, depth = 12 },    #",
                "  { length = 44, depth = 4.5 },    #",
            ),
        ],
        arguments: PLAIN,
        code: 2,
        says: &[
            "step 2 is 4.5 mm deep, allowed is more than the 12 mm of step 1",
            "shallowest step first",
        ],
    },
    Case {
        job: "a file that says inches over figures in millimetres",
        changes: &[("units   = \"mm\"", "units   = \"in\"")],
        arguments: PLAIN,
        code: 2,
        says: &[
            "bare numbers of this file are out of range in inches and right in millimetres",
            "write `units = \"mm\"`",
        ],
    },
    Case {
        job: "a lid with a lip at the back that keeps it from opening flat",
        changes: &[("thickness = 18", "thickness = 18\noverhang = 6")],
        arguments: PLAIN,
        code: 0,
        // 2 × 3.5 + 6
        says: &[
            "warning opening",
            "the leaves stand 13.00 mm apart",
            "`lid.overhang` or `hinge.setback`",
        ],
    },
    Case {
        job: "a box longer than the machine",
        changes: &[
            ("length = 260", "length = 700"),
            (LID_LENGTH, "length    = 700"),
        ],
        arguments: PLAIN,
        code: 1,
        says: &["FAILED envelope", "the travel is 400.00 mm", "3 are usual"],
    },
];

#[test]
fn every_job_of_a_bench_gets_its_verdict_and_its_sentence() {
    let workshop = Workshop::new();
    let mut faults = Vec::new();
    for case in CASES {
        workshop.vary("examples/tea-box.toml", "examples/job.toml", case.changes);
        let folder = format!("out/{}", case.job.replace(' ', "-"));
        let mut arguments = vec!["generate", "examples/job.toml", "-o", folder.as_str()];
        arguments.extend(case.arguments);
        let run = workshop.run(&arguments);
        let said = format!("{}{}", run.stdout, run.stderr);
        // The width of the screen breaks and indents lines.
        let flat: String = flowed(&said);
        let missing = case.says.iter().find(|says| !flat.contains(**says));
        let written = workshop.list(&folder);
        if run.code != case.code || missing.is_some() || written.is_empty() == (case.code == 0) {
            faults.push(format!(
                "{}: exit {}, without {missing:?}, wrote {written:?}:\n{said}",
                case.job, run.code
            ));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
