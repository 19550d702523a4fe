//! `[box]` and `[lid]`.

use crate::input::limits::{BOARD, DROP, END_INSET, LONG, OVERHANG, PART};
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
        let length = table
            .required("length")
            .and_then(|value| value.length(LONG));
        let wall = table.required("wall").and_then(|value| value.length(BOARD));
        let height = table
            .required("height")
            .and_then(|value| value.length(PART));
        let width = table.optional("width").and_then(|value| value.length(PART));
        let wood = table
            .required("wood")
            .and_then(|value| timber::read(&value));
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
        let closing: Option<Closing> = table.required("closing").and_then(|value| value.choice());
        let is_inset = closing == Some(Closing::Inset);
        let either = |key| {
            if is_inset {
                table.required(key)
            } else {
                table.optional(key)
            }
        };
        let length = either("length").and_then(|value| value.length(LONG));
        let end_inset = either("end_inset");
        let end_inset_stated = end_inset.is_some();
        let end_inset = end_inset
            .and_then(|value| value.length(END_INSET))
            .unwrap_or_else(|| At::new(Length::ZERO, table.span()));
        let width = table.required("width").and_then(|value| value.length(PART));
        let wall = table.optional("wall");
        // A lid with walls of its own is as high as it likes.
        let board = if wall.is_some() { PART } else { BOARD };
        let thickness = table
            .required("thickness")
            .and_then(|value| value.length(board));
        let overhang = table.optional("overhang");
        let drop = table.optional("drop");
        let drop_stated = drop.is_some();
        let open_ends = table
            .optional("open_ends")
            .and_then(|value| value.boolean());
        let wood = table
            .required("wood")
            .and_then(|value| timber::read(&value));
        if let (true, Some(wall)) = (is_inset, &wall) {
            wall.refuse("an inset lid closes between the box's walls and has none");
        }
        let offset = |value: Option<Value<'_>>, limits, only, not| {
            let value = value?;
            let length = value.length(limits)?;
            let misplaced = closing.is_some_and(|closing| closing != only);
            if misplaced && length.value != Length::ZERO {
                value.refuse(not);
            }
            Some(length.value)
        };
        let overhang = offset(
            overhang,
            OVERHANG,
            Closing::Overlay,
            "only an overlay lid has an overhang",
        );
        let drop = offset(drop, DROP, Closing::Inset, "only an inset lid has a drop");
        let wall = wall.and_then(|value| value.length(BOARD));
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
            open_ends: open_ends.unwrap_or(false),
            wood: wood?,
        })
    }
}
