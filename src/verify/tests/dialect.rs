//! What a controller does not have, and comments that act.

use super::*;
use crate::shop::machine::{ArcSupport, CommentStyle, DustRelay};
use crate::units::Units;

fn job_with(change: impl Fn(&mut crate::shop::machine::Dialect)) -> Job {
    let mut job = slot_job();
    change(&mut job.machine.dialect);
    job
}

/// The good program with a line after the head.
fn line(words: &str) -> String {
    with("S12000 M3\n", &format!("{words}\nS12000 M3\n"))
}

#[track_caller]
fn refused(job: &Job, text: &str, words: &str) {
    fails_alone(&judged(job, text), CheckId::Dialect, words);
    // Without a job too.
    let mut judge = MachineJudge::new(&job.machine);
    judge.begin("1.nc");
    judge.push(text.as_bytes());
    judge.end();
    fails(&judge.finish(), CheckId::Dialect, words);
}

#[test]
fn arcs_are_only_what_the_controller_has() {
    let arc = |z: &str| {
        // Half a turn in the air and back, level or not.
        line(&format!("G2 X2. Y0.{z} I1. J0. F600."))
            .replace("G0 Z5.\nG2", "G0 Z5.\nG0 X0. Y0.\nG2")
    };
    let none = job_with(|dialect| dialect.arcs = ArcSupport::None);
    refused(&none, &arc(""), "an arc, and the controller has none");
    refused(&slot_job(), &arc(" Z6."), "level ones only");
    let helix = job_with(|dialect| dialect.arcs = ArcSupport::Helix);
    for (job, text) in [(&slot_job(), arc("")), (&helix, arc(" Z6."))] {
        passes(&judged(job, &text));
    }
}

#[test]
fn digits_count_up_to_the_last_that_is_not_zero() {
    for good in ["G0 Z5.123", "G0 Z5.100000", "G0 Z6"] {
        passes(&judged(&slot_job(), &line(good)));
    }
    refused(&slot_job(), &line("G0 Z5.1234"), "Z with 4 decimals");
    let four = job_with(|dialect| dialect.decimals = 4);
    passes(&judged(&four, &line("G0 Z5.1234")));
    passes(&judged(&slot_job(), &line("G4 P0.12345")));
}

#[test]
fn lines_and_comments_are_as_the_controller_takes_them() {
    let comment = |length: usize| format!("(box{})", "x".repeat(length - 5));
    passes(&judged(&slot_job(), &line(&comment(70))));
    refused(&slot_job(), &line(&comment(71)), "71 characters");
    let none = job_with(|dialect| dialect.comments = CommentStyle::None);
    refused(&none, &line("(box)"), "the controller has none");
    let semicolon = job_with(|dialect| dialect.comments = CommentStyle::Semicolon);
    refused(&semicolon, &line("(box)"), "follow a semicolon");
    passes(&judged(&semicolon, &line("; box")));
    let wrong = judged(&slot_job(), &line("; box"));
    fails(&wrong, CheckId::Dialect, "stand in parentheses");
}

// RS274/NGC itself gives MSG a meaning (3.3.3); the others are of one widely
// used open controller (from memory).
#[test]
fn a_comment_may_not_act() {
    for active in [
        "MSG, stop",
        "logopen,a.txt",
        " Log Append, x",
        "ABORT,now",
        "probeopen , y",
    ] {
        refused(
            &slot_job(),
            &line(&format!("({active})")),
            "some controllers act on",
        );
    }
    for plain in ["job logopen,a.txt", "box, then lid", "message, later"] {
        passes(&judged(&slot_job(), &line(&format!("({plain})"))));
    }
}

#[test]
fn percent_signs_stand_where_the_controller_wants_them() {
    let framed = format!("%\n{}%\n", program());
    refused(&slot_job(), &framed, "a percent sign");
    let percent = job_with(|dialect| dialect.percent = true);
    refused(&percent, &program(), "no percent sign");
    passes(&judged(&percent, &framed));
}

#[test]
fn relays_and_changers_are_the_machines_own() {
    refused(&slot_job(), &line("M8"), "has no relay");
    let relay = job_with(|dialect| dialect.dust = DustRelay::M8);
    passes(&judged(&relay, &line("M8")));
    refused(&relay, &line("M7"), "the machine's relay is M8");
    refused(&slot_job(), &line("T1 M6\nG43 H1"), "changes no bit by it");
}

#[test]
fn another_unit_is_only_worth_a_look() {
    let inch = job_with(|dialect| {
        dialect.units = Units::Inch;
        dialect.decimals = 4;
    });
    // How many digits it takes is said for its own unit.
    let inch_digits = line("G20\nG0 Z0.19685\nG21");
    passes(&judged(&slot_job(), &inch_digits));
    let report = judged(&inch, &program());
    assert_eq!(row(&report, CheckId::Dialect).verdict, Verdict::Warn);
    passes(&report);
}
