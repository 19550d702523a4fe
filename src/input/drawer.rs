//! The hinge drawer: hinges as measured, with what their pockets taught.

use std::collections::BTreeSet;

use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::input::choice::{self, with_nearest};
use crate::input::document;
use crate::input::hinge::HingeDraft;
use crate::input::keys::FileKind;
use crate::input::log;
use crate::input::nest;
use crate::input::quoted::quoted;
use crate::input::source::{At, Sink, Source};
use crate::input::table::Table;
use crate::input::value::Value;
use crate::shop::same_name;
use crate::shop::wood;
use crate::units::{Length, Units};

/// The hinges of a drawer's file, in its order.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawer {
    hinges: Vec<DrawerHinge>,
}

/// One hinge of the drawer.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct DrawerHinge {
    pub(super) name: String,
    pub(super) draft: HingeDraft,
    pub(super) learned: Vec<Learned>,
}

/// What the pockets of a hinge taught, cut with one bit in one pair of woods.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Learned {
    bit: String,
    wood: String,
    pub(super) clearance: Option<Length>,
    pub(super) depth: Option<Length>,
}

/// Reads a drawer's text. `file` is what messages call it.
///
/// # Errors
/// Every mistake in the file, in its order: keys and values, steps that do not
/// nest, screws outside them, two hinges of one name, two figures for one bit
/// and wood.
pub fn hinges(file: &str, text: &str) -> Result<Drawer, Diagnostics> {
    let source = Source::new(FileKind::Hinges, file, text);
    let sink = Sink::new(&source);
    let document = document::parse(&sink);
    let read = document.as_ref().and_then(|document| {
        let mut root = document::root(&sink, document, Units::default());
        let stated = root.value("units");
        root.units = root.choice("units").unwrap_or_default();
        let units = root.units;
        let list = root.value("hinge");
        log::prove(&root);
        root.close();
        let hinges = list.and_then(|list| all(&list));
        sink.settle_units(units, stated.as_ref().map(Value::span).as_ref());
        hinges
    });
    let hinges = sink.finish(read)?;
    Ok(Drawer { hinges })
}

fn all(list: &Value<'_>) -> Option<Vec<DrawerHinge>> {
    let tables = list.list()?;
    let mut names = BTreeSet::new();
    let mut hinges = Vec::new();
    for item in &tables {
        let Some((hinge, name)) = item.table().and_then(hinge) else {
            continue;
        };
        if !names.insert(name.value.to_lowercase()) {
            let message = format!("a second hinge is called {}", quoted(&name.value));
            list.sink
                .report(&name.span, Diagnostic::new("duplicate-name", message));
        }
        hinges.push(hinge);
    }
    Some(hinges)
}

fn hinge(table: Table<'_>) -> Option<(DrawerHinge, At<String>)> {
    let draft = HingeDraft::of(&table);
    let list = table.value("learned");
    let list = list.and_then(|list| list.list()).unwrap_or_default();
    let mut all: Vec<Learned> = Vec::new();
    for item in &list {
        let Some(found) = item.table().and_then(learned) else {
            continue;
        };
        if all.iter().any(|other| other.is_of(&found.bit, &found.wood)) {
            let message = format!(
                "{} in {} is there twice; keep what counts and delete the other",
                quoted(&found.bit),
                quoted(&found.wood)
            );
            item.report(Diagnostic::new("duplicate-name", message));
        }
        all.push(found);
    }
    let (sink, units) = (table.sink, table.units);
    table.close();
    if let Some(hinge) = draft.complete(sink, units) {
        nest::steps_nest(&hinge, sink, units);
        nest::screws_inside(&hinge, sink);
    }
    let name = draft.name.clone()?;
    let hinge = DrawerHinge {
        name: name.value.clone(),
        draft,
        learned: all,
    };
    Some((hinge, name))
}

fn learned(table: Table<'_>) -> Option<Learned> {
    let (bit, wood) = (table.string("bit"), table.string("wood"));
    let length = |key| table.length(key).map(|length| length.value);
    let (clearance, depth) = (length("clearance"), length("depth"));
    table.close();
    Some(Learned {
        bit: bit?.value,
        wood: wood?.value,
        clearance,
        depth,
    })
}

impl Learned {
    fn is_of(&self, bit: &str, wood: &str) -> bool {
        same_name(&self.bit, bit) && wood::is_same_pair(&self.wood, wood)
    }
}

impl DrawerHinge {
    /// What was learned with that bit in that pair of woods.
    pub(super) fn learned(&self, bit: &str, woods: &str) -> Option<&Learned> {
        self.learned
            .iter()
            .find(|learned| learned.is_of(bit, woods))
    }
}

impl Drawer {
    /// The names of its hinges, in the file's order.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.hinges.iter().map(|hinge| hinge.name.as_str())
    }

    /// Every clearance that was learned with that bit: hinge, woods, figure.
    pub fn clearances<'d>(&'d self, bit: &str) -> impl Iterator<Item = (&'d str, &'d str, Length)> {
        let all = self.hinges.iter().flat_map(|hinge| {
            let learned = hinge.learned.iter();
            learned.map(|learned| (hinge.name.as_str(), learned))
        });
        all.filter(move |(_, learned)| same_name(&learned.bit, bit))
            .filter_map(|(hinge, learned)| Some((hinge, learned.wood.as_str(), learned.clearance?)))
    }

    /// The hinge of that name.
    ///
    /// # Errors
    /// None of that name, with those that are near.
    pub(super) fn find(&self, name: &str) -> Result<&DrawerHinge, Diagnostic> {
        let mut hinges = self.hinges.iter();
        if let Some(hinge) = hinges.find(|hinge| same_name(&hinge.name, name)) {
            return Ok(hinge);
        }
        let message = format!("the drawer has no hinge {}", quoted(name));
        let diagnostic = Diagnostic::new("unknown-hinge", message);
        let nearest = choice::nearest(name, self.names());
        Err(if nearest.is_empty() {
            let names: Vec<&str> = self.names().take(12).collect();
            diagnostic.help(format!("it has {}", choice::list(&names)))
        } else {
            with_nearest(diagnostic, &nearest)
        })
    }
}
