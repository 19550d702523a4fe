//! What a program was made from, in one number.
//!
//! What goes in is written here by the words of the files, never by the names
//! of our own types: a field that is renamed changes no digest.

use data_encoding::HEXLOWER;
use serde::Serialize;
use sha2::{Digest, Sha256};

use crate::input::hinge::{HingeSpec, ScrewSpec, StepSpec};
use crate::shop::bit::{Bit, WallCare};
use crate::shop::machine::{Cylinder, Dialect, Machine, Spindle};
use crate::units::Length;

/// Tables of the job that only record what was done.
const RECORDS: [&str; 1] = ["entry"];

/// Keys that say, with these values, what is so where they are left out.
const AS_LEFT_OUT: [(&str, &str); 2] =
    [("job.fixture.stop_end", "left"), ("job.fixture.along", "x")];

/// SHA-256, hexadecimal, of what the job's text says, of machine and rack, and
/// of what is taken from the drawer: the hinge, its clearance, its depth.
/// Wear and metres cut are left out: a bit that has aged since then makes no
/// other program. So is the record of readings, and how a file is laid out.
pub(super) fn of(
    job: &str,
    machine: &Machine,
    rack: &[Bit],
    drawn: Option<(&HingeSpec, Length, Length)>,
) -> String {
    let mut page = Page::default();
    match toml::from_str::<toml::Table>(job) {
        Ok(table) => {
            for (key, value) in table
                .iter()
                .filter(|(key, _)| !RECORDS.contains(&key.as_str()))
            {
                page.value(&format!("job.{key}"), value);
            }
        }
        // Only what was read comes here; the text itself would still tell.
        Err(_) => page.line("job", job),
    }
    page.machine(machine);
    for bit in rack {
        page.bit(bit);
    }
    if let Some((hinge, clearance, depth)) = drawn {
        page.hinge(hinge);
        page.length("drawn.clearance", clearance);
        page.length("drawn.depth", depth);
    }
    HEXLOWER.encode(&Sha256::digest(&page.text))
}

/// A line for each figure: its key, and its value in millimetres, minutes and radians.
#[derive(Default)]
struct Page {
    text: String,
}

impl Page {
    fn line(&mut self, key: &str, value: &str) {
        self.text.push_str(key);
        self.text.push('=');
        self.text.push_str(&value.escape_default().to_string());
        self.text.push('\n');
    }

    fn number(&mut self, key: &str, value: f64) {
        self.line(key, &value.to_string());
    }

    fn length(&mut self, key: &str, length: Length) {
        self.number(key, length.as_mm());
    }

    fn maybe(&mut self, key: &str, value: Option<f64>) {
        if let Some(value) = value {
            self.number(key, value);
        }
    }

    /// A word of a file, as the file spells it.
    fn word(&mut self, key: &str, word: &impl Serialize) {
        let spelt = serde_json::to_string(word).unwrap_or_default();
        self.line(key, spelt.trim_matches('"'));
    }

    fn value(&mut self, key: &str, value: &toml::Value) {
        match value {
            toml::Value::Table(table) => {
                for (name, value) in table {
                    self.value(&format!("{key}.{name}"), value);
                }
            }
            toml::Value::Array(list) => {
                for (index, value) in list.iter().enumerate() {
                    self.value(&format!("{key}.{index}"), value);
                }
            }
            toml::Value::String(text) if AS_LEFT_OUT.contains(&(key, text)) => {}
            toml::Value::String(text) => self.line(key, text),
            // 9 and 9.0 say the same.
            toml::Value::Integer(number) => self.number(key, *number as f64),
            toml::Value::Float(number) => self.number(key, *number),
            toml::Value::Boolean(flag) => self.line(key, &flag.to_string()),
            toml::Value::Datetime(time) => self.line(key, &time.to_string()),
        }
    }

    fn machine(&mut self, machine: &Machine) {
        let Machine {
            name,
            travel,
            feed_max,
            rapid,
            acceleration,
            clearance,
            nut: Cylinder { diameter, length },
            nose_diameter,
            daylight,
            limits,
            stiffness,
            spindle,
            dialect,
        } = machine;
        self.line("machine.name", name);
        for (index, axis) in ["x", "y", "z"].into_iter().enumerate() {
            let key = |word: &str| format!("machine.{word}.{axis}");
            self.length(&key("travel"), travel[index]);
            self.number(&key("feed_max"), feed_max[index].as_mm_per_minute());
            self.number(&key("rapid"), rapid[index].as_mm_per_minute());
            self.number(&key("accel"), acceleration[index]);
            let (least, greatest) = limits[index];
            self.length(&key("limits.min"), least);
            self.length(&key("limits.max"), greatest);
        }
        self.length("machine.clearance", *clearance);
        self.length("machine.nut.diameter", *diameter);
        self.length("machine.nut.length", *length);
        self.maybe("machine.nose.diameter", nose_diameter.map(Length::as_mm));
        self.maybe("machine.daylight", daylight.map(Length::as_mm));
        self.maybe("machine.stiffness", *stiffness);
        self.spindle(spindle);
        self.dialect(dialect);
    }

    fn spindle(&mut self, spindle: &Spindle) {
        let Spindle {
            slowest,
            fastest,
            power_w,
            spin_up,
            control,
            dial,
        } = spindle;
        self.number("machine.spindle.rpm.0", slowest.as_rpm());
        self.number("machine.spindle.rpm.1", fastest.as_rpm());
        self.maybe("machine.spindle.power_w", *power_w);
        self.number("machine.spindle.spin_up_s", spin_up.as_seconds());
        self.word("machine.spindle.control", control);
        for (mark, speed) in dial {
            self.number(&format!("machine.spindle.dial.{mark}"), speed.as_rpm());
        }
    }

    fn dialect(&mut self, dialect: &Dialect) {
        let Dialect {
            units,
            decimals,
            arcs,
            comments,
            line_numbers,
            line_limit,
            percent,
            dwell,
            tool_change,
            rezero_at_pause,
            safe_z,
            end,
            dust,
        } = dialect;
        self.line("machine.dialect.units", units.symbol());
        self.line("machine.dialect.decimals", &decimals.to_string());
        self.word("machine.dialect.arcs", arcs);
        self.word("machine.dialect.comments", comments);
        self.line("machine.dialect.line_numbers", &line_numbers.to_string());
        self.line("machine.dialect.line_limit", &line_limit.to_string());
        self.line("machine.dialect.percent", &percent.to_string());
        self.word("machine.dialect.dwell", dwell);
        self.word("machine.dialect.tool_change", tool_change);
        self.line(
            "machine.dialect.rezero_at_pause",
            &rezero_at_pause.to_string(),
        );
        self.word("machine.dialect.safe_z", safe_z);
        self.word("machine.dialect.end", end);
        self.word("machine.dialect.dust", dust);
    }

    fn bit(&mut self, bit: &Bit) {
        let Bit {
            name,
            kind,
            diameter,
            measured,
            flutes,
            cutting_length,
            stickout,
            shank,
            material,
            plunges,
            point_angle,
            wear: _,
            stepdown,
            ramp,
            chip_min,
            chip_max,
            stepover,
            tool,
            rpm_max,
            record: _,
            wall_care:
                WallCare {
                    score,
                    direction,
                    second_finish,
                    spring_pass,
                },
        } = bit;
        self.line("bit.name", name);
        self.word("bit.kind", kind);
        self.length("bit.diameter", *diameter);
        self.maybe("bit.measured", measured.map(Length::as_mm));
        self.line("bit.flutes", &flutes.to_string());
        self.length("bit.cutting_length", *cutting_length);
        self.length("bit.stickout", *stickout);
        self.length("bit.shank", *shank);
        self.word("bit.material", material);
        self.line("bit.plunges", &plunges.to_string());
        self.maybe(
            "bit.point_angle",
            point_angle.map(|angle| angle.as_radians()),
        );
        self.maybe("bit.stepdown", stepdown.map(Length::as_mm));
        self.maybe("bit.ramp_deg", ramp.map(|angle| angle.as_radians()));
        self.maybe("bit.chip_min", chip_min.map(Length::as_mm));
        self.maybe("bit.chip_max", chip_max.map(Length::as_mm));
        self.maybe("bit.stepover", *stepover);
        self.line("bit.tool", &tool.to_string());
        self.maybe("bit.rpm_max", rpm_max.map(|speed| speed.as_rpm()));
        if let Some(score) = score {
            self.line("bit.score", &score.to_string());
        }
        self.word("bit.finish_direction", direction);
        self.line("bit.second_finish", &second_finish.to_string());
        self.line("bit.spring_pass", &spring_pass.to_string());
    }

    fn hinge(&mut self, hinge: &HingeSpec) {
        let HingeSpec {
            width,
            setback,
            closed_gap,
            open_gap,
            steps,
            lid_steps,
            screws,
        } = hinge;
        self.length("drawn.width", width.value);
        self.length("drawn.setback", setback.value);
        self.length("drawn.closed_gap", closed_gap.value);
        self.maybe("drawn.open_gap", open_gap.map(Length::as_mm));
        self.steps("drawn.steps", steps);
        if let Some(steps) = lid_steps {
            self.steps("drawn.lid_steps", steps);
        }
        for screw in screws {
            let ScrewSpec {
                along,
                across,
                diameter,
                root,
                length,
                span: _,
            } = screw;
            self.length("drawn.screw.along", *along);
            self.length("drawn.screw.across", *across);
            self.length("drawn.screw.diameter", *diameter);
            self.length("drawn.screw.root", *root);
            self.length("drawn.screw.length", *length);
        }
    }

    fn steps(&mut self, key: &str, steps: &[StepSpec]) {
        for step in steps {
            let StepSpec {
                length,
                width,
                corner,
                shift,
                depth,
                span: _,
            } = step;
            let figures = [
                ("length", length),
                ("width", width),
                ("corner", corner),
                ("shift", shift),
                ("depth", depth),
            ];
            for (word, figure) in figures {
                self.length(&format!("{key}.{word}"), *figure);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use crate::shop::bit::BitKind;

    const JOB: &str = "title = 'Box'\n[box]\nlength = 260\n";

    fn digest(job: &str) -> String {
        let rack = [sample::bit(BitKind::UpSpiral, 6.0)];
        of(job, &sample::machine(), &rack, None)
    }

    // Pinned: a program that lies in somebody's folder still names its job
    // after we have renamed a field of ours. SHA-256 of the page as written.
    #[test]
    fn a_digest_stays_what_it_was() {
        insta::assert_snapshot!(digest(JOB));
        let mut page = Page::default();
        page.machine(&sample::machine());
        page.bit(&sample::bit(BitKind::UpSpiral, 6.0));
        insta::assert_snapshot!(page.text);
    }

    #[test]
    fn a_layout_as_it_is_anyway_makes_no_other_job() {
        let fixture = |line: &str| digest(&format!("{JOB}[fixture]\nlayout = 'book'\n{line}\n"));
        let own = fixture("");
        assert_eq!(fixture("stop_end = 'left'"), own);
        assert_ne!(fixture("stop_end = 'right'"), own);
        assert_eq!(fixture("along = 'x'"), own);
        assert_ne!(fixture("along = 'y'"), own);
    }

    #[test]
    fn it_follows_what_a_file_says_and_not_how_it_is_laid_out() {
        let own = digest(JOB);
        for same in [
            "# mine\ntitle = \"Box\"\n\n[box]\nlength = 260.0 # tape\n",
            "title = 'Box'\nbox = { length = 260 }\n",
            "title = 'Box'\n[box]\nlength = 260\n[[entry]]\nwords = 'gap 0.3'\n",
        ] {
            assert_eq!(digest(same), own, "{same}");
        }
        for other in [
            "title = 'Box'\n[box]\nlength = 261\n",
            "title = 'Box'\n[box]\nlength = '260 in'\n",
            "title = 'Box'\n[lid]\nlength = 260\n",
            "title = 'Box=1\\nbox.length=260'\n",
        ] {
            assert_ne!(digest(other), own, "{other}");
        }
    }
}
