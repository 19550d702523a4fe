//! What must never depend on what, held against the imports of the source.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use crate::harness::shipped;

/// Modules that say what things are: no stage, no opinion.
const NOUNS: [&str; 5] = ["units", "geometry", "diagnostic", "shop", "job"];

/// What each module may import besides itself. A module that is not here is
/// free, which only the command line is meant to be.
const ALLOWED: [(&str, &[&str]); 22] = [
    ("units", &[]),
    ("geometry", &["units"]),
    ("diagnostic", &[]),
    ("shop", &["units"]),
    ("job", &["units", "geometry", "diagnostic", "shop"]),
    ("cutting", &["units", "shop"]),
    ("settings", &["units", "shop", "job", "cutting"]),
    ("input", &["units", "geometry", "diagnostic", "shop", "job"]),
    ("test_piece", &NOUNS),
    (
        "fit",
        &["units", "diagnostic", "shop", "job", "input", "test_piece"],
    ),
    ("plan", &["units", "geometry", "shop", "job", "cutting"]),
    (
        "post",
        &["units", "geometry", "shop", "job", "cutting", "plan"],
    ),
    ("rs274", &["units", "geometry", "diagnostic", "shop"]),
    ("replay", &["units", "geometry", "shop", "rs274"]),
    (
        "verify",
        &[
            "units", "geometry", "shop", "rs274", "replay", "job", "cutting", "settings", "report",
        ],
    ),
    ("report", &["units", "job"]),
    (
        "sheet",
        &[
            "units", "geometry", "shop", "rs274", "job", "cutting", "settings", "verify", "report",
            "advice",
        ],
    ),
    (
        "feeds",
        &[
            "units", "geometry", "shop", "job", "cutting", "settings", "report",
        ],
    ),
    (
        "retune",
        &[
            "units", "shop", "rs274", "replay", "verify", "job", "cutting", "settings", "report",
        ],
    ),
    // How metres cut are booked to a bit: a record beside the rack.
    ("wear", &["units", "diagnostic", "shop", "job", "report"]),
    (
        "advice",
        &["units", "geometry", "shop", "job", "cutting", "report"],
    ),
    ("files", &["diagnostic"]),
];

/// Words that reach the outside world, for the command line and `files` alone.
const OUTSIDE: [&str; 8] = [
    "std::fs",
    "std::env::",
    "std::io::stdin",
    "std::io::stdout",
    "std::time",
    "std::process",
    "println!",
    "eprintln!",
];

#[test]
fn modules_import_only_what_they_may() {
    let mut wrong = Vec::new();
    for (module, file) in sources() {
        let Some((_, allowed)) = ALLOWED.iter().find(|(name, _)| *name == module) else {
            continue;
        };
        for imported in imports(&product_code(&file)) {
            if imported != module && !allowed.contains(&imported.as_str()) {
                wrong.push(format!("{} imports {imported}", file.display()));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_judge_never_sees_the_planner_nor_the_planner_the_judge() {
    let judge = ["rs274", "replay", "verify"];
    let planner = ["plan", "post"];
    let mut seen = BTreeSet::new();
    for (module, file) in sources() {
        let forbidden: &[&str] = if judge.contains(&module.as_str()) {
            &["plan", "post", "sheet", "cli"]
        } else if planner.contains(&module.as_str()) {
            &["rs274", "replay", "verify", "sheet", "cli"]
        } else {
            continue;
        };
        seen.insert(module.clone());
        for imported in imports(&product_code(&file)) {
            assert!(
                !forbidden.contains(&imported.as_str()),
                "{} imports {imported}",
                file.display()
            );
        }
    }
    assert_eq!(seen.len(), 5, "found only {seen:?}");
}

#[test]
fn only_the_command_line_and_files_touch_the_outside_world() {
    for (module, file) in sources() {
        if ["cli", "files", "main"].contains(&module.as_str()) {
            continue;
        }
        let code = product_code(&file);
        for word in OUTSIDE {
            assert!(!code.contains(word), "{} uses {word}", file.display());
        }
    }
}

#[test]
fn a_forbidden_import_would_be_seen() {
    let code = "use crate::plan::Plan;\nuse crate::{units, post::{self, Program}};\nlet x = crate::sheet::page();";
    let found: Vec<String> = imports(code).into_iter().collect();
    assert_eq!(found, ["plan", "post", "sheet", "units"]);
}

fn sources() -> Vec<(String, PathBuf)> {
    let root = shipped("src");
    let mut files = Vec::new();
    gather(&root, &mut files);
    files.sort();
    let named = files.into_iter().map(|file| {
        let relative = file.strip_prefix(&root).unwrap();
        let first = relative
            .components()
            .next()
            .unwrap()
            .as_os_str()
            .to_string_lossy();
        (first.trim_end_matches(".rs").to_owned(), file.clone())
    });
    named.filter(|(module, _)| module != "lib").collect()
}

fn gather(folder: &Path, files: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            gather(&path, files);
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            files.push(path);
        }
    }
}

/// The file without its tests, which may import what they like, and without comments.
fn product_code(file: &Path) -> String {
    let test_only = ["tests", "tests.rs", "sample.rs"];
    let inside = file.strip_prefix(shipped("src")).unwrap();
    if inside
        .components()
        .any(|part| test_only.contains(&part.as_os_str().to_string_lossy().as_ref()))
    {
        return String::new();
    }
    let text = fs::read_to_string(file).unwrap();
    let code = text
        .split("#[cfg(test)]\nmod tests {")
        .next()
        .unwrap_or_default();
    code.lines()
        .filter(|line| !line.trim_start().starts_with("//"))
        .collect::<Vec<_>>()
        .join("\n")
}

/// First path segments after `crate::`, groups included.
fn imports(code: &str) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for (_, rest) in code
        .match_indices("crate::")
        .map(|(at, word)| (at, &code[at + word.len()..]))
    {
        match rest.strip_prefix('{') {
            Some(group) => found.extend(top_level_names(group)),
            None => found.extend(first_name(rest)),
        }
    }
    found
}

fn first_name(text: &str) -> Option<String> {
    let name: String = text
        .trim_start()
        .chars()
        .take_while(|letter| letter.is_alphanumeric() || *letter == '_')
        .collect();
    (!name.is_empty()).then_some(name)
}

/// Names at depth one of a group such as `units, post::{self, Program}}`.
fn top_level_names(group: &str) -> Vec<String> {
    let (mut names, mut depth, mut start) = (Vec::new(), 0, 0);
    for (at, letter) in group.char_indices() {
        match letter {
            '{' => depth += 1,
            '}' if depth == 0 => {
                names.extend(first_name(&group[start..at]));
                break;
            }
            '}' => depth -= 1,
            ',' if depth == 0 => {
                names.extend(first_name(&group[start..at]));
                start = at + 1;
            }
            _ => {}
        }
    }
    names
}
