//! The template, its router's bit found in the rack.

use super::tools;
use crate::input::job::Written;
use crate::input::source::Sink;
use crate::job::template::Template;
use crate::shop::bit::Bit;

pub(super) fn resolve(spec: &Written, sink: &Sink<'_>, rack: &[Bit]) -> Option<Template> {
    let template = spec.parts.template.as_ref()?;
    Some(Template {
        collar: template.collar,
        collar_bore: template.collar_bore,
        collar_reach: template.collar_reach,
        bit: tools::hand_bit(spec, sink, rack)?,
        base: template.router.base,
        router_height: template.router.height,
        plate_length: template.plate.length,
        plate_width: template.plate.width,
        plate_thickness: template.plate.thickness,
        plate_wood: template.plate.wood.clone(),
        batten: template.batten,
        deep: template.deep,
        play: template.play,
        off_centre: template.off_centre,
        batten_off: template.batten_off,
        stop_off: template.stop_off,
    })
}
