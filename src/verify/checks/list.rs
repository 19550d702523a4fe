//! All checks, in the order of the report: a new one is added here.

use crate::report::CheckId;
use crate::rs274::event::Refusal;
use crate::verify::checks::bit_speed::BitSpeed;
use crate::verify::checks::check::{Check, End, Heard, Now, Place, Struck, Taking, Whole};
use crate::verify::checks::chip_load::ChipLoad;
use crate::verify::checks::chip_room::ChipRoom;
use crate::verify::checks::clamp_clearance::ClampClearance;
use crate::verify::checks::deflection::Deflection;
use crate::verify::checks::dialect::Dialect;
use crate::verify::checks::edge_wear::EdgeWear;
use crate::verify::checks::envelope::Envelope;
use crate::verify::checks::feed_limit::FeedLimit;
use crate::verify::checks::floor_left::FloorLeft;
use crate::verify::checks::flute_reach::FluteReach;
use crate::verify::checks::fold_match::FoldMatch;
use crate::verify::checks::nut_clearance::NutClearance;
use crate::verify::checks::opening::Opening;
use crate::verify::checks::plunge::Plunge;
use crate::verify::checks::pocket_bounds::PocketBounds;
use crate::verify::checks::pocket_complete::PocketComplete;
use crate::verify::checks::preamble::Preamble;
use crate::verify::checks::program_end::ProgramEnd;
use crate::verify::checks::ramp_angle::RampAngle;
use crate::verify::checks::rapid_in_wood::RapidInWood;
use crate::verify::checks::spindle_limit::SpindleLimit;
use crate::verify::checks::spindle_on::SpindleOn;
use crate::verify::checks::spindle_power::SpindlePower;
use crate::verify::checks::stepdown::Stepdown;
use crate::verify::checks::syntax::Syntax;
use crate::verify::checks::travel_height::TravelHeight;
use crate::verify::checks::wall_left::WallLeft;
use crate::verify::findings::{At, Found, Tally};
use crate::verify::script::Fault;

macro_rules! checks {
    ($($name:ident: $check:ident),+ $(,)?) => {
        /// Every check with what it has heard so far.
        #[derive(Debug, Default)]
        pub(crate) struct Checks {
            $($name: $check),+
        }

        impl Checks {
            /// What can be judged without a job.
            pub(crate) fn without_job() -> Vec<CheckId> {
                let all = [$(($check::ID, $check::WITHOUT_JOB)),+];
                all.into_iter().filter_map(|(id, is)| is.then_some(id)).collect()
            }

            pub(crate) fn begin(&mut self) {
                $(self.$name.begin();)+
            }

            pub(crate) fn fault(&mut self, line: u64, fault: &Fault, now: Now<'_>, tally: &mut Tally) {
                $(self.$name.fault(line, fault, now, &mut Found::new(tally, $check::ID, At::of(now.run)));)+
            }

            pub(crate) fn refusal(&mut self, refusal: &Refusal, now: Now<'_>, tally: &mut Tally) {
                $(self.$name.refusal(refusal, &mut Found::new(tally, $check::ID, At::of(now.run)));)+
            }

            pub(crate) fn event(&mut self, heard: &Heard<'_>, now: Now<'_>, tally: &mut Tally) {
                $(self.$name.event(heard, now, &mut Found::new(tally, $check::ID, At::of(now.run)));)+
            }

            pub(crate) fn stroke(&mut self, struck: &Struck<'_>, now: Now<'_>, tally: &mut Tally) {
                $(self.$name.stroke(struck, now, &mut Found::new(tally, $check::ID, At::of(now.run)));)+
            }

            pub(crate) fn bite(&mut self, taking: &Taking<'_>, now: Now<'_>, tally: &mut Tally) {
                $(self.$name.bite(taking, now, &mut Found::new(tally, $check::ID, At::of(now.run)));)+
            }

            pub(crate) fn end(&mut self, end: End, now: Now<'_>, tally: &mut Tally) {
                $(self.$name.end(end, now, &mut Found::new(tally, $check::ID, At::of(now.run)));)+
            }

            pub(crate) fn place(&mut self, place: &Place<'_>, tally: &mut Tally) {
                $(self.$name.place(place, &mut Found::new(tally, $check::ID, At::JOB));)+
            }

            pub(crate) fn answer(&mut self, whole: &Whole<'_>, tally: &mut Tally) {
                $(if $check::WITHOUT_JOB || whole.shop.is_some() {
                    let answer = self.$name.answer(whole, &mut Found::new(tally, $check::ID, At::JOB));
                    tally.answer($check::ID, answer);
                })+
            }
        }
    };
}

checks! {
    syntax: Syntax,
    dialect: Dialect,
    preamble: Preamble,
    spindle_on: SpindleOn,
    rapid_in_wood: RapidInWood,
    travel_height: TravelHeight,
    pocket_bounds: PocketBounds,
    pocket_complete: PocketComplete,
    stepdown: Stepdown,
    plunge: Plunge,
    ramp_angle: RampAngle,
    feed_limit: FeedLimit,
    spindle_limit: SpindleLimit,
    chip_load: ChipLoad,
    bit_speed: BitSpeed,
    edge_wear: EdgeWear,
    chip_room: ChipRoom,
    spindle_power: SpindlePower,
    deflection: Deflection,
    flute_reach: FluteReach,
    nut_clearance: NutClearance,
    clamp_clearance: ClampClearance,
    envelope: Envelope,
    wall_left: WallLeft,
    floor_left: FloorLeft,
    fold_match: FoldMatch,
    opening: Opening,
    program_end: ProgramEnd,
}
