//! Every single line of the examples' programs left out, doubled, and swapped
//! with the next. What the judge lets pass must be harmless to the second
//! opinion too.
//!
//! A sample runs with the other tests; `STEPWELL_EVERY_LINE=1 cargo test
//! --release --test suite every_line -- --nocapture` takes them all.

use super::{Bench, benches, judge, opinion, refusals};

/// One of so many damages is tried by the ordinary test; a prime, so that it
/// meets every kind of damage and line.
const SAMPLE: usize = 41;

/// What is done to a line.
#[derive(Clone, Copy, Debug)]
enum Damage {
    LeftOut,
    Doubled,
    Swapped,
}

impl Damage {
    const ALL: [Self; 3] = [Self::LeftOut, Self::Doubled, Self::Swapped];

    /// `text` with that done to the line of index `at`; nothing where that changes nothing.
    fn apply(self, text: &str, at: usize) -> Option<String> {
        let mut lines: Vec<&str> = text.lines().collect();
        match self {
            Self::LeftOut => {
                lines.remove(at);
            }
            Self::Doubled => lines.insert(at, lines[at]),
            Self::Swapped if at + 1 < lines.len() => lines.swap(at, at + 1),
            Self::Swapped => return None,
        }
        let damaged = lines.join("\n") + "\n";
        (damaged != text).then_some(damaged)
    }
}

/// What went unnoticed although the second opinion finds harm in it.
fn unnoticed(bench: &Bench, program: usize, at: usize, damage: Damage) -> Option<String> {
    let mut texts = bench.texts.clone();
    texts[program] = damage.apply(&bench.texts[program], at)?;
    if !refusals(&judge(&bench.job, &texts)).is_empty() {
        return None;
    }
    let broken = opinion::of(&bench.job, &texts).broken;
    let line = bench.texts[program].lines().nth(at).unwrap_or_default();
    (!broken.is_empty()).then(|| {
        let name = &bench.name;
        format!(
            "{name}, program {program}, line {}: `{line}` {damage:?}: {broken:?}",
            at + 1
        )
    })
}

#[test]
fn every_line_matters_or_does_no_harm() {
    let step = match std::env::var("STEPWELL_EVERY_LINE") {
        Ok(_) => 1,
        Err(_) => SAMPLE,
    };
    let benches = benches();
    let cases: Vec<(&Bench, usize, usize, Damage)> = benches
        .iter()
        .flat_map(|bench| (0..bench.texts.len()).map(move |program| (bench, program)))
        .flat_map(|(bench, program)| {
            let lines = bench.texts[program].lines().count();
            (0..lines).flat_map(move |at| Damage::ALL.map(|damage| (bench, program, at, damage)))
        })
        .collect();
    let chosen: Vec<_> = cases.iter().step_by(step).collect();
    let half = chosen.len() / 2;
    let survey = |cases: &[&(&Bench, usize, usize, Damage)]| -> Vec<String> {
        cases
            .iter()
            .filter_map(|(bench, program, at, damage)| unnoticed(bench, *program, *at, *damage))
            .collect()
    };
    let found: Vec<String> = std::thread::scope(|scope| {
        let other = scope.spawn(|| survey(&chosen[half..]));
        let mut found = survey(&chosen[..half]);
        found.extend(other.join().unwrap());
        found
    });
    println!("{} damages of {} tried", chosen.len(), cases.len());
    assert!(chosen.len() > 40, "only {} damages", chosen.len());
    assert!(found.is_empty(), "{}", found.join("\n"));
}
