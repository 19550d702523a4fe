//! `spindle-on`: the spindle turns at speed wherever wood is taken, and stands
//! still where hands go to it.

use crate::report::CheckId;
use crate::rs274::event::{Event, Move, Turning};
use crate::shop::machine::SpindleControl;
use crate::verify::checks::check::{Check, Heard, Now, Taking, Whole};
use crate::verify::findings::{Answer, Found};

#[derive(Debug, Default)]
pub(crate) struct SpindleOn;

impl Check for SpindleOn {
    const ID: CheckId = CheckId::SpindleOn;

    fn event(&mut self, heard: &Heard<'_>, now: Now<'_>, found: &mut Found<'_>) {
        let spindle = now.run.spindle;
        match heard.event {
            Event::Spindle(Turning::Stopped) if now.run.is_turning() => {
                refuse_below_rim("the spindle stops", now, found);
            }
            Event::Speed(speed) if now.run.is_turning() && speed.as_rpm() != spindle.speed => {
                refuse_below_rim("the speed changes", now, found);
            }
            Event::ToolChange(_) => {
                refuse_below_rim("the bit is changed", now, found);
                refuse_turning("M6", now, found);
            }
            Event::Dwell(time) if time.as_seconds() > 0.0 => {
                refuse_below_rim("a dwell", now, found);
            }
            Event::Pause => {
                refuse_below_rim("a pause", now, found);
                if now.run.changed_at_pause(now.machine).is_some() {
                    refuse_turning("this pause", now, found);
                }
            }
            Event::End if !now.run.is_turning() && spindle.switched_on => found
                .fail(|| "no pause to switch the spindle off by hand; add M0 after M5".to_owned()),
            _ => {}
        }
    }

    fn bite(&mut self, taking: &Taking<'_>, now: Now<'_>, found: &mut Found<'_>) {
        check_turning(taking.motion, taking.began, now, found);
    }

    fn answer(&mut self, _whole: &Whole<'_>, _found: &mut Found<'_>) -> Answer {
        Answer::passes("the spindle turns at speed wherever wood is taken")
    }
}

fn refuse_below_rim(what: &str, now: Now<'_>, found: &mut Found<'_>) {
    if let Some(depth) = now.depth_below_rim() {
        let depth = now.ruler.one(depth, 3);
        found.fail(|| format!("{what} while the tip is {depth} below the rim; lift the bit first"));
    }
}

/// Hands go to the collet: nothing may turn.
fn refuse_turning(what: &str, now: Now<'_>, found: &mut Found<'_>) {
    if now.run.is_turning() {
        found.fail(|| {
            format!("{what} changes the bit while the spindle turns; stop it with M5 before")
        });
    } else if now.run.spindle.switched_on {
        found.fail(|| {
            format!(
                "{what} changes the bit before anybody could switch the spindle off by hand; \
                 add M0 after M5"
            )
        });
    }
}

fn check_turning(motion: &Move, began: f64, now: Now<'_>, found: &mut Found<'_>) {
    let spindle = now.run.spindle;
    let is_manual = now.machine.spindle.control == SpindleControl::Manual;
    match spindle.turning {
        Turning::Stopped => {
            found.fail(|| "wood is taken with the spindle off; start it with M3 before".to_owned())
        }
        Turning::Clockwise if now.spindle_speed() <= 0.0 => {
            found.fail(|| "wood is taken with M3 but no speed set; give an S word".to_owned());
        }
        Turning::Clockwise if is_manual && !spindle.switched_on => found.fail(|| {
            "wood is taken before anybody could switch the spindle on by hand; \
             add M0 after M3"
                .to_owned()
        }),
        Turning::Clockwise if began < spindle.ready_at - 1e-6 => {
            let early = spindle.ready_at - began;
            found.fail(|| {
                format!(
                    "wood is taken {early:.1} s before the spindle is up to speed; \
                     dwell (G4) after M3"
                )
            });
        }
        Turning::Clockwise => {}
    }
    if motion.feed.as_mm_per_minute() <= 0.0 {
        found.fail(|| "wood is taken with no feed set; give an F word".to_owned());
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use crate::rs274::event::Path;
    use crate::settings;
    use crate::verify::findings::{At, Tally};
    use crate::verify::job_context::JobContext;
    use crate::verify::verifier::Verifier;

    /// At speed from 2 s on.
    #[test]
    fn wood_is_met_once_the_spindle_is_up_to_speed() {
        let job = sample::job();
        let settings = settings::for_job(&job);
        let fails = |began: f64| {
            let mut verifier = Verifier::new(&job.machine, Some(JobContext::new(&job, &settings)));
            verifier.run.spindle = crate::verify::program_state::SpindleState {
                turning: Turning::Clockwise,
                speed: 12_000.0,
                ready_at: 2.0,
                switched_on: false,
            };
            let motion = Move {
                from: [Some(0.0); 3],
                to: [Some(0.0); 3],
                named: [false; 3],
                path: Path::Line,
                feed: crate::units::Feed::from_mm_per_minute(600.0),
                machine_frame: false,
                resolution: 0.001,
            };
            let mut tally = Tally::new();
            let mut found = Found::new(&mut tally, CheckId::SpindleOn, At::JOB);
            check_turning(&motion, began, verifier.now(), &mut found);
            tally.into_checks(&[CheckId::SpindleOn])[0].count
        };
        assert_eq!(fails(2.0), 0);
        assert_eq!(fails(1.999_99), 1);
    }
}
