//! Hands at the collet and at the switch, the machine's own zero, and what
//! stands after the end.

use super::*;

fn m6_job() -> Job {
    let mut job = slot_job();
    job.machine.dialect.tool_change = ToolChange::M6;
    let second = Bit {
        tool: 2,
        ..job.bit.clone()
    };
    job.rack.push(second);
    job
}

fn manual_job() -> Job {
    let mut job = slot_job();
    job.machine.spindle.control = SpindleControl::Manual;
    job
}

#[test]
fn preamble_wants_the_length_after_a_change_of_bit() {
    let good = with("S12000", "T1 M6\nG43 H1\nS12000");
    passes(&judged(&m6_job(), &good));
    let without = with("S12000", "T1 M6\nS12000");
    fails_alone(&judged(&m6_job(), &without), CheckId::Preamble, "G43");
    let other = with("S12000", "T1 M6\nG43 H2\nS12000");
    fails_alone(&judged(&m6_job(), &other), CheckId::Preamble, "H2");
}

#[test]
fn a_machine_that_changes_bits_by_word_wants_that_word() {
    let report = judged(&m6_job(), &program());
    fails_alone(&report, CheckId::Preamble, "before M6");
    let length_alone = with("S12000", "T1\nG43 H1\nS12000");
    let report = judged(&m6_job(), &length_alone);
    fails_alone(&report, CheckId::Preamble, "without a change of bit");
}

#[test]
fn the_length_is_that_of_the_loaded_tool_not_of_the_next() {
    // T2 is only fetched for the next change.
    let preselected = with("S12000", "T1 M6\nT2\nG43 H1\nS12000");
    passes(&judged(&m6_job(), &preselected));
    let next = with("S12000", "T1 M6\nT2\nG43 H2\nS12000");
    fails_alone(&judged(&m6_job(), &next), CheckId::Preamble, "than T1");
    let changed = with("S12000", "T1 M6\nG43 H1\nS12000");
    let midway = changed.replacen("G1 X36.500\n", "G1 X36.500\nG43 H7\n", 1);
    fails_alone(&judged(&m6_job(), &midway), CheckId::Preamble, "H7");
}

#[test]
fn no_bit_is_changed_while_the_spindle_turns() {
    let changed = with("S12000", "T1 M6\nG43 H1\nS12000");
    let again = |words: &str| {
        let words = format!("{words}T1 M6\nG43 H1\nM3\nG4 P4.\nG0 X198.000");
        judged(&m6_job(), &changed.replacen("G0 X198.000", &words, 1))
    };
    passes(&again("M5\n"));
    fails_alone(&again(""), CheckId::SpindleOn, "while the spindle turns");
}

#[test]
fn a_pause_for_a_bit_wants_the_spindle_off() {
    let mut job = slot_job();
    job.machine.dialect.tool_change = ToolChange::Pause;
    job.machine.dialect.rezero_at_pause = true;
    let again = |words: &str| {
        let words = format!("{words}T2\nM0\nT1\nM5\nM0\nM3\nG4 P4.\nG0 X198.000");
        row(
            &judged(&job, &with("G0 X198.000", &words)),
            CheckId::SpindleOn,
        )
        .clone()
    };
    assert_eq!(again("M5\n").verdict, Verdict::Pass, "{:?}", again("M5\n"));
    assert!(again("").message.contains("while the spindle turns"));
}

#[test]
fn a_spindle_switched_by_hand_has_its_pauses() {
    let paused = with("S12000 M3\nG4 P4.\n", "S12000 M3\nM0\n");
    let good = paused.replace("M5\nM30", "M5\nM0\nM30");
    passes(&judged(&manual_job(), &good));
    let never_on = good.replacen("M3\nM0\n", "M3\nG4 P4.\n", 1);
    fails_alone(
        &judged(&manual_job(), &never_on),
        CheckId::SpindleOn,
        "switch the spindle on",
    );
    fails_alone(
        &judged(&manual_job(), &paused),
        CheckId::SpindleOn,
        "switch the spindle off",
    );
}

#[test]
fn machine_coordinates_need_a_known_zero() {
    // Down by the machine's own count, across both boards.
    let dive = with("G0 X198.000", "G53 G0 Z-75.\nG0 X198.000");
    fails(
        &judged(&slot_job(), &dive),
        CheckId::Preamble,
        "G53 counts from",
    );
    let mut job = slot_job();
    job.fixture.machine_zero = Some([60.0, 150.0, -40.0].map(mm));
    fails(
        &judged(&job, &dive),
        CheckId::RapidInWood,
        "a rapid meets wood",
    );
    // 40 above Z0 at the machine's top: a lift like any other, before G54 too.
    let lift = with(" G54\nG0 Z5.\n", "\nG53 G0 Z0.\nG54\nG0 Z5.\n");
    passes(&judged(&job, &lift));
}

#[test]
fn nothing_stands_after_the_end() {
    for rest in ["G0 Z-20.\n", "(more)\n"] {
        let text = program() + rest;
        fails_alone(
            &judged(&slot_job(), &text),
            CheckId::ProgramEnd,
            "after the end",
        );
    }
    let percent = judged(&slot_job(), &(program() + "%\n"));
    fails(&percent, CheckId::ProgramEnd, "after the end");
    passes(&judged(&slot_job(), &(program() + "\n  \n")));
    let mut job = slot_job();
    job.machine.dialect.percent = true;
    let closed = format!("%\n{}%\n", program());
    passes(&judged(&job, &closed));
    let after = closed + "G0 X500.\n";
    fails_alone(&judged(&job, &after), CheckId::ProgramEnd, "after the end");
}

#[test]
fn a_part_is_cut_by_its_own_zero() {
    let mut job = slot_job();
    job.fixture.zero = ZeroPoint::Each;
    job.fixture.divider = mm(0.0);
    // Butted, both zeros are one place.
    let text = |lid: &str| {
        let mut text = HEAD.to_owned();
        for x in [45.0, 215.0] {
            text += &pocket(x, -8.5);
        }
        let _ = writeln!(text, "{lid}\nG0 Z5.");
        for x in [45.0, 215.0] {
            text += &pocket(x, 8.5);
        }
        text + TAIL
    };
    passes(&judged(&job, &text("G55")));
    fails_alone(
        &judged(&job, &text("G54")),
        CheckId::Preamble,
        "the lid is cut by G54",
    );
}
