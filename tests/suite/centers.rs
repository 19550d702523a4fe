//! Where the pockets of a report lie.

use serde_json::Value;

use crate::harness::Workshop;

/// Generates with every check passed; the report.
pub(crate) fn generate(workshop: &Workshop, job: &str, folder: &str) -> Value {
    let run = workshop.run(&["generate", job, "-o", folder, "--format", "json"]);
    run.expect(0).json()
}

/// Part, hinge, X and Y of every pocket of a report.
pub(crate) fn centers(report: &Value) -> Vec<(String, u64, f64, f64)> {
    let pockets = report["pockets"].as_array().unwrap();
    let center = |pocket: &Value| {
        (
            pocket["part"].as_str().unwrap().to_owned(),
            pocket["hinge"].as_u64().unwrap(),
            pocket["center"][0].as_f64().unwrap(),
            pocket["center"][1].as_f64().unwrap(),
        )
    };
    let mut centers: Vec<_> = pockets.iter().map(center).collect();
    centers.sort_by(|one, other| (&one.0, one.1).cmp(&(&other.0, other.1)));
    centers
}

/// The pockets of one report lie where those of another do, moved.
#[track_caller]
pub(crate) fn assert_moved(moved: &Value, from: &Value, by: impl Fn(f64, f64) -> [f64; 2]) {
    let from = centers(from);
    let expected: Vec<_> = from
        .iter()
        .map(|(part, hinge, x, y)| {
            let [x, y] = by(*x, *y);
            (part.as_str(), *hinge, x, y)
        })
        .collect();
    assert_centers(moved, &expected);
}

#[track_caller]
pub(crate) fn assert_centers(report: &Value, expected: &[(&str, u64, f64, f64)]) {
    let found = centers(report);
    assert_eq!(found.len(), expected.len(), "{found:?}");
    for (found, expected) in found.iter().zip(expected) {
        let same = found.0 == expected.0 && found.1 == expected.1;
        let near = (found.2 - expected.2).abs() < 1e-6 && (found.3 - expected.3).abs() < 1e-6;
        assert!(same && near, "{found:?} is not {expected:?}");
    }
}
