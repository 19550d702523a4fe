//! Which bit is in the spindle: T, M6, the pause for a change by hand, G43.

use std::rc::Rc;

use crate::report::CheckId;
use crate::rs274::event::Turning;
use crate::shop::machine::{SpindleControl, ToolChange};
use crate::verify::tool::Tool;
use crate::verify::verifier::Verifier;

impl Verifier<'_> {
    pub(crate) fn select_tool(&mut self, number: u32) {
        self.run.selected_tool = Some(number);
        let known = self
            .shop
            .as_ref()
            .is_none_or(|shop| shop.tool(number).is_some());
        if number > 0 && !known && !self.run.bit_is_given {
            self.fail(CheckId::Syntax, || {
                format!("T{number} names no bit of the rack; set `tool` of the bit or the T word")
            });
        }
        // A T word without M6 tells which bit the program is for.
        if !self.run.has_cut && !self.run.changed_tool {
            self.take_tool(number);
        }
    }

    /// Puts a tool into the spindle. A bit named on the command line stands
    /// for the first tool whatever its number.
    fn take_tool(&mut self, number: u32) {
        self.run.loaded_tool = Some(number);
        if self.run.bit_is_given {
            if !self.run.has_cut {
                return;
            }
            self.run.bit_is_given = false;
        }
        if let Some(shop) = &self.shop
            && let Some(bit) = shop.tool(number)
        {
            self.run.tool = Some(Rc::new(Tool::new(bit, self.machine, &shop.scene)));
        }
    }

    pub(crate) fn change_tool(&mut self, number: Option<u32>) {
        self.refuse_below_rim("the bit is changed");
        self.refuse_turning("M6");
        self.run.spindle.turning = Turning::Stopped;
        if let Some(number) = number {
            self.take_tool(number);
        }
        self.run.changed_tool = true;
        self.run.length_pending = true;
    }

    /// Hands go to the collet: nothing may turn.
    fn refuse_turning(&mut self, what: &str) {
        if self.run.is_turning() {
            self.fail(CheckId::SpindleOn, || {
                format!("{what} changes the bit while the spindle turns; stop it with M5 before")
            });
        } else if self.run.spindle.switched_on {
            self.fail(CheckId::SpindleOn, || {
                format!(
                    "{what} changes the bit before anybody could switch the spindle off by hand; \
                     add M0 after M5"
                )
            });
        }
    }

    pub(crate) fn set_length_offset(&mut self, number: Option<u32>) {
        self.run.stated.length = true;
        let Some(number) = number else {
            self.run.length_pending = self.run.changed_tool;
            return;
        };
        self.run.length_pending = false;
        if !self.run.changed_tool {
            self.fail(CheckId::Preamble, || {
                format!("G43 H{number} without a change of bit; M6 comes first")
            });
        } else if let Some(loaded) = self.run.loaded_tool.filter(|loaded| *loaded != number) {
            self.fail(CheckId::Preamble, || {
                format!(
                    "G43 H{number} takes the length of another tool than T{loaded}, which is in \
                     the spindle; use its own"
                )
            });
        }
    }

    pub(crate) fn pause(&mut self) {
        self.refuse_below_rim("a pause");
        // Whoever stands there waits until the spindle sounds right.
        self.run.spindle.ready_at = self.run.spindle.ready_at.min(self.run.clock);
        let selected = self.run.selected_tool;
        if self.machine.dialect.effective_tool_change() == ToolChange::Pause
            && let Some(number) = selected.filter(|_| selected != self.run.loaded_tool)
        {
            self.refuse_turning("this pause");
            self.take_tool(number);
        }
        self.run.spindle.switched_on =
            self.run.is_turning() && self.machine.spindle.control == SpindleControl::Manual;
    }

    /// What must have happened before wood is taken.
    pub(crate) fn check_bit_before_wood(&mut self) {
        if self.run.length_pending {
            self.fail(CheckId::Preamble, || {
                "a cut after M6 without G43; take the new tool's length first".to_owned()
            });
        }
        let by_word = self.machine.dialect.effective_tool_change() == ToolChange::M6;
        if by_word && !self.run.changed_tool {
            self.fail(CheckId::Preamble, || {
                "a cut before M6; this machine changes its bits by T and M6, with G43 H after it"
                    .to_owned()
            });
        }
    }
}
