//! What the fuzz targets share.

use stepwell::shop::machine::{
    ArcSupport, CommentStyle, Dialect, DustRelay, DwellUnit, EndWord, SafeZ, ToolChange,
};
use stepwell::rs274::event::{Event, Refusal, Visitor};
use stepwell::units::Units;

/// A machine, a rack and a job that go together.
pub const MACHINE: &str = include_str!("../../../machines/benchtop-mm.toml");
/// See [`MACHINE`].
pub const BITS: &str = include_str!("../../../machines/bits.toml");
/// See [`MACHINE`].
pub const JOB: &str = include_str!("../../../examples/tea-box.toml");
/// A job that takes its hinge from the drawer.
pub const DRAWN: &str = include_str!("../../../examples/sewing-chest.toml");

const LETTERS: &[u8] = b"GGGGXYZXYZIJIJFSTHPMN\n\n\n(;%/RKQ";
const CODES: [&str; 24] = [
    "0", "1", "2", "3", "4", "17", "20", "21", "40", "43", "49", "53", "54", "55", "59", "80",
    "90", "94", "91", "5", "6", "8", "9", "30",
];

/// Words of the language in any order, two bytes a word.
pub fn program(data: &[u8]) -> String {
    let mut text = String::from("G21 G17 G90 G94 G54 F100\nG0 X0 Y0 Z0\n");
    for pair in data.chunks_exact(2) {
        let letter = LETTERS[usize::from(pair[0]) % LETTERS.len()];
        text.push(char::from(letter));
        match letter {
            b'\n' => {}
            b'G' | b'M' => text += CODES[usize::from(pair[1]) % CODES.len()],
            _ => text += &(f64::from(pair[1] as i8) / 8.0).to_string(),
        }
    }
    text + "\nM2\n"
}

/// A dialect by two of its choices.
pub fn dialect(comments: CommentStyle, units: Units) -> Dialect {
    Dialect {
        units,
        decimals: 4,
        arcs: ArcSupport::Helix,
        comments,
        line_numbers: false,
        line_limit: 70,
        percent: false,
        dwell: DwellUnit::Milliseconds,
        tool_change: ToolChange::M6,
        rezero_at_pause: true,
        safe_z: SafeZ::Work,
        end: EndWord::M30,
        dust: DustRelay::M7,
    }
}

/// Keeps what a program did, and holds it to what must always be so.
#[derive(Default, PartialEq, Debug)]
pub struct Log {
    pub events: Vec<(u64, Event)>,
    pub refusals: Vec<Refusal>,
}

impl Visitor for Log {
    fn event(&mut self, line: u64, event: &Event) {
        if let Event::Move(motion) = event {
            let ends = motion.from().into_iter().chain(motion.to()).flatten();
            assert!(ends.into_iter().all(|value| value.is_finite()));
            assert!(motion.feed().is_finite());
        }
        self.events.push((line, event.clone()));
    }

    fn refusal(&mut self, refusal: &Refusal) {
        assert!(refusal.column <= 257 && !refusal.message.is_empty());
        self.refusals.push(refusal.clone());
    }
}
