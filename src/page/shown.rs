//! What was shown of the job, by the digest that forms carry.

use std::collections::VecDeque;

use super::now::Now;
use super::typed::{self, Typed};
use crate::input::Written;

/// Texts that a form may still be filled in for.
const MOST: usize = 32;

/// Digests of the texts that were shown, and what each said; the latest last.
#[derive(Default)]
pub(super) struct Shown(VecDeque<(String, Vec<Written>)>);

impl Shown {
    pub(super) fn remember(&mut self, now: &Now) {
        self.0.retain(|(digest, _)| *digest != now.digest);
        self.0.push_back((now.digest.clone(), now.keys.clone()));
        if self.0.len() > MOST {
            self.0.pop_front();
        }
    }

    /// What of a form was typed, and not only sent along as it was shown; of a
    /// form for a text that is not known any more nothing.
    pub(super) fn own(&self, typed: &Typed) -> Typed {
        let seen = typed::of(typed, "seen");
        let mut shown = self.0.iter();
        let Some((_, keys)) = shown.find(|(digest, _)| Some(digest.as_str()) == seen) else {
            return Typed::new();
        };
        let was = |path: &str| {
            let key = keys.iter().find(|key| key.path == path);
            key.map_or("", |key| key.shown.trim())
        };
        let own = typed.iter();
        own.filter(|(path, value)| was(path) != value.trim())
            .cloned()
            .collect()
    }
}
