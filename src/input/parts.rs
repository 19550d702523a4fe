//! `[box]` and `[lid]`.

use crate::input::limits::PART;
use crate::input::source::At;
use crate::input::table::Table;
use crate::input::timber;
use crate::input::value::Value;
use crate::job::Closing;
use crate::shop::wood::Wood;
use crate::units::Length;

/// `[box]`: the piece with the hinged wall.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct BoxSpec {
    pub(super) length: At<Length>,
    pub(super) wall: At<Length>,
    pub(super) height: At<Length>,
    pub(super) width: Option<At<Length>>,
    pub(super) wood: Wood,
}

impl BoxSpec {
    pub(super) fn read(table: Table<'_>) -> Option<Self> {
        let length = table.length("length");
        let wall = table.length("wall");
        let height = table.length("height");
        let width = table.length("width");
        let wood = table.value("wood").and_then(|value| timber::read(&value));
        table.close();
        Some(Self {
            length: length?,
            wall: wall?,
            height: height?,
            width,
            wood: wood?,
        })
    }
}

/// `[lid]`.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct LidSpec {
    pub(super) closing: Closing,
    /// Given always where the lid is inset.
    pub(super) length: Option<At<Length>>,
    pub(super) width: At<Length>,
    pub(super) thickness: At<Length>,
    pub(super) wall: Option<At<Length>>,
    pub(super) overhang: Length,
    pub(super) drop: Length,
    pub(super) drop_stated: bool,
    pub(super) end_inset_stated: bool,
    pub(super) end_inset: At<Length>,
    pub(super) open_ends: bool,
    pub(super) wood: Wood,
}

impl LidSpec {
    pub(super) fn read(table: Table<'_>) -> Option<Self> {
        let closing: Option<Closing> = table.choice("closing");
        let is_inset = closing == Some(Closing::Inset);
        let either = |key| {
            if is_inset {
                table.required(key)
            } else {
                table.value(key)
            }
        };
        let length = either("length").and_then(|value| value.length());
        let end_inset = either("end_inset");
        let end_inset_stated = end_inset.is_some();
        let end_inset = end_inset
            .and_then(|value| value.length())
            .unwrap_or_else(|| At::new(table.default_length("end_inset"), table.span()));
        let width = table.length("width");
        let wall = table.value("wall");
        let thickness = table.value("thickness").and_then(|value| {
            // A lid with walls of its own is as high as it likes.
            match wall {
                Some(_) => value.length_within(PART),
                None => value.length(),
            }
        });
        let overhang = table.value("overhang");
        let drop = table.value("drop");
        let drop_stated = drop.is_some();
        let open_ends = table.switch_or_default("open_ends");
        let wood = table.value("wood").and_then(|value| timber::read(&value));
        if let (true, Some(wall)) = (is_inset, &wall) {
            wall.refuse("an inset lid closes between the box's walls and has none");
        }
        let offset = |value: Option<Value<'_>>, only, not| {
            let value = value?;
            let length = value.length()?;
            let misplaced = closing.is_some_and(|closing| closing != only);
            if misplaced && length.value != Length::ZERO {
                value.refuse(not);
            }
            Some(length.value)
        };
        let not = "only an overlay lid has an overhang";
        let overhang = offset(overhang, Closing::Overlay, not);
        let drop = offset(drop, Closing::Inset, "only an inset lid has a drop");
        let wall = wall.and_then(|value| value.length());
        table.close();
        Some(Self {
            closing: closing?,
            length,
            width: width?,
            thickness: thickness?,
            wall,
            overhang: overhang.unwrap_or_default(),
            drop: drop.unwrap_or_default(),
            drop_stated,
            end_inset_stated,
            end_inset,
            open_ends,
            wood: wood?,
        })
    }
}
