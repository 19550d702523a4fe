//! The template, its router's bit found in the rack.

use super::tools;
use crate::diagnostic::Diagnostic;
use crate::input::job::Written;
use crate::input::source::Sink;
use crate::input::template::TemplateSpec;
use crate::job::template::Template;
use crate::shop::bit::Bit;
use crate::units::text;

pub(super) fn resolve(spec: &Written, sink: &Sink<'_>, rack: &[Bit]) -> Option<Template> {
    let template = spec.parts.template.as_ref()?;
    bore_in_collar(spec, sink, template);
    Some(Template {
        collar: template.collar,
        collar_bore: template.collar_bore.as_ref().map(|bore| bore.value),
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

/// A collar has a wall.
fn bore_in_collar(spec: &Written, sink: &Sink<'_>, template: &TemplateSpec) {
    let bore = template.collar_bore.as_ref();
    let Some(bore) = bore.filter(|bore| bore.value >= template.collar) else {
        return;
    };
    let message = format!(
        "`template.collar_bore` is {}, allowed is less than the collar's outside, {}",
        text::short(bore.value, spec.units),
        text::short(template.collar, spec.units)
    );
    let help = "`collar` is the collar's outside diameter, `collar_bore` the hole that the bit goes through";
    sink.report(
        &bore.span,
        Diagnostic::new("bore-past-collar", message).help(help),
    );
}
