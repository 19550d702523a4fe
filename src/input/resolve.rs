//! From what was written to the job: names resolved, geometry derived and proven.

mod centers;
mod digest;
mod fixture;
mod from_drawer;
mod parts;
mod pocket;
mod positions;
mod prove;
mod taken;
mod template;
mod tools;

use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::input::job::{JobSpec, Written};
use crate::input::limits::SLACK_MM;
use crate::input::nest;
use crate::input::source::Sink;
use crate::job::{Closing, Fit, Fixture, Hinge, Job, Selection};
use crate::shop::bit::Bit;
use crate::shop::machine::Machine;
use crate::units::{Length, text};

use from_drawer::FromDrawer;

/// What the command line says over the job file.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Overrides {
    /// Name of the bit for the pockets, in place of `bit`.
    pub bit: Option<String>,
    /// Wear of that bit, 0 fresh … 1 worn out, in place of the rack's.
    pub wear: Option<f64>,
    /// What of the job is cut in this run.
    pub selection: Selection,
    /// Whether the bit cuts the job's template, where it has one, and not its pockets:
    /// those are the hand-held router's then.
    pub cuts_template: bool,
}

impl JobSpec {
    /// The job, ready to plan and to judge.
    ///
    /// # Errors
    /// A hinge that the drawer does not have, a bit that the rack does not have, wear outside 0 … 1, a recess below
    /// nothing, bits wider than a pocket or its corners, steps that do not
    /// nest, hinges past an end or into each other, a selection of a hinge or
    /// step that is not there: all of them, each with its place in the job
    /// file where it has one.
    pub fn resolve(
        &self,
        machine: Machine,
        rack: Vec<Bit>,
        overrides: &Overrides,
    ) -> Result<Job, Diagnostics> {
        let sink = Sink::new(&self.written.source);
        let resolved = from_drawer::complete(self, &sink).and_then(|(written, from)| {
            written.assemble(&sink, from.as_ref(), machine, rack, overrides)
        });
        sink.finish(resolved)
    }
}

impl Written {
    fn assemble(
        &self,
        sink: &Sink<'_>,
        from: Option<&FromDrawer<'_>>,
        machine: Machine,
        rack: Vec<Bit>,
        overrides: &Overrides,
    ) -> Option<Job> {
        let spec = &self.parts;
        let woods = [&spec.body.wood, &spec.lid.wood];
        let rack = tools::worn(rack, &woods);
        let bit = tools::pocket_bit(self, sink, &rack, overrides);
        let pilot = tools::pilot(self, sink, &rack);
        let template = template::resolve(self, sink, &rack);
        let centers = centers::resolve(self, sink);
        let fit = self.fit(sink, from, bit.as_ref());
        let hinge = Hinge {
            width: spec.hinge.width.value,
            setback: spec.hinge.setback.value,
            closed_gap: spec.hinge.closed_gap.value,
            open_gap: spec.hinge.open_gap,
            overhang_or_drop: match spec.lid.closing {
                Closing::Overlay => spec.lid.overhang,
                Closing::Inset => spec.lid.drop,
            },
            centers: centers.unwrap_or_default(),
        };
        let positions = positions::resolve(self, sink, hinge.centers.len());
        let parts = parts::resolve(self, sink, (&hinge, &positions), &fit, pilot.as_ref());
        nest::steps_nest(&spec.hinge, sink, self.units);
        nest::screws_inside(&spec.hinge, sink);
        prove::lid_between_walls(self, sink);
        prove::pockets_over_parts(self, sink, &parts);
        prove::pockets_fit(self, sink, &parts);
        positions::marks_before_their_hinges(self, sink, &positions, &parts);
        let is_for_pockets = !overrides.cuts_template || spec.template.is_none();
        if let Some(bit) = bit.as_ref().filter(|_| is_for_pockets) {
            prove::bit_fits(self, sink, bit, &parts);
        }
        check_selection(sink, overrides.selection, &parts);
        let fixture = Fixture {
            positions,
            ..fixture::resolve(self, sink, &machine, &parts, bit.as_ref())
        };
        let taken = taken::of(self, &fit);
        let drawn = from.zip(bit.as_ref());
        let drawn = drawn.map(|(from, bit)| from.drawn(self, bit));
        let of_drawer = from.map(|_| (&spec.hinge, fit.clearance, fit.depth));
        let digest = digest::of(&self.source.text, &machine, &rack, of_drawer);
        Some(Job {
            title: self.title(),
            stem: self.stem().unwrap_or_else(|| "job".to_owned()),
            units: self.units,
            machine,
            rack,
            bit: bit?,
            closing: spec.lid.closing,
            hinge,
            drawn,
            fit,
            pilot,
            parts,
            fixture,
            template,
            plate: None,
            selection: overrides.selection,
            taken,
            digest,
        })
    }

    fn title(&self) -> String {
        let title = self.parts.title.clone().or_else(|| self.stem());
        title.unwrap_or_else(|| "untitled".to_owned())
    }

    /// The file's name without folder and ending; standard input has none.
    fn stem(&self) -> Option<String> {
        let file = std::path::Path::new(&self.source.file).file_stem();
        let stem = file.map(|stem| stem.to_string_lossy().into_owned());
        stem.filter(|stem| stem != "-")
    }

    fn fit(&self, sink: &Sink<'_>, from: Option<&FromDrawer<'_>>, bit: Option<&Bit>) -> Fit {
        let (spec, closed_gap) = (&self.parts.fit, self.parts.hinge.closed_gap.value);
        let gap = spec.gap.as_ref().map_or(closed_gap, |gap| gap.value);
        let proud = spec.gap.as_ref().filter(|gap| gap.value > closed_gap);
        if let (Some(stated), false) = (proud, spec.proud) {
            let message = format!(
                "`fit.gap` is {}, allowed is at most `hinge.closed_gap`, {}: the leaf would stand proud",
                text::short(stated.value, self.units),
                text::short(closed_gap, self.units)
            );
            let help = "where it shall, as under a lining, add `proud = true` to `[fit]`";
            sink.report(
                &stated.span,
                Diagnostic::new("leaf-proud", message).help(help),
            );
        }
        let learned = from.and_then(|from| from.learned(self, bit?));
        let clearance = learned.and_then(|learned| learned.clearance);
        let depth = learned.and_then(|learned| learned.depth);
        Fit {
            clearance: spec
                .clearance
                .or(clearance)
                .unwrap_or(spec.default_clearance),
            under: spec.under,
            depth: spec.depth.or(depth).unwrap_or_default(),
            gap,
            box_share: spec.box_share,
            finish: self.finish(sink, bit),
            min_left: spec.min_left,
        }
    }

    /// The wall allowance: at most a tenth of the bit.
    fn finish(&self, sink: &Sink<'_>, bit: Option<&Bit>) -> Length {
        let tenth = bit.map(|bit| bit.cutting_diameter() / 10.0);
        let Some(stated) = &self.parts.fit.finish else {
            let default = self.parts.fit.default_finish;
            return tenth.map_or(default, |tenth| default.min(tenth));
        };
        if let Some(tenth) = tenth
            && stated.value.as_mm() > tenth.as_mm() + SLACK_MM
        {
            let message = format!(
                "`fit.finish` is {}, allowed is at most a tenth of the bit, {}",
                text::short(stated.value, self.units),
                text::short(tenth, self.units)
            );
            sink.report(&stated.span, Diagnostic::new("finish-too-great", message));
        }
        stated.value
    }
}

fn check_selection(sink: &Sink<'_>, selection: Selection, parts: &[crate::job::Part]) {
    let selected = || {
        parts
            .iter()
            .filter(move |part| selection.part.is_none_or(|name| name == part.name))
    };
    let hinges = selected().map(|part| part.pockets.len()).max();
    let pockets = selected().flat_map(|part| &part.pockets);
    let steps = pockets.map(|pocket| pocket.steps.len()).max();
    let check = |what: &str, asked: Option<usize>, most: Option<usize>| {
        let (Some(asked), Some(most)) = (asked, most) else {
            return;
        };
        if asked == 0 || asked > most {
            let message = format!("--{what} is {asked}, allowed is from 1 to {most}");
            let code = "nothing-selected";
            sink.report_without_place(Diagnostic::new(code, message));
        }
    };
    check("hinge", selection.hinge, hinges);
    check("step", selection.step, steps);
}
