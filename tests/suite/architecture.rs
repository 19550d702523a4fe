//! What must never depend on what, held against the imports of the source.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use crate::harness::shipped;

/// Modules that say what things are: no stage, no opinion.
const NOUNS: [&str; 5] = ["units", "geometry", "diagnostic", "shop", "job"];

/// What each module may import besides itself. A module that is not here is
/// free, which only the command line is meant to be.
const ALLOWED: [(&str, &[&str]); 32] = [
    ("units", &[]),
    ("geometry", &["units"]),
    ("diagnostic", &[]),
    ("shop", &["units"]),
    ("job", &["units", "geometry", "diagnostic", "shop"]),
    ("cutting", &["units", "shop"]),
    ("settings", &["units", "shop", "job", "cutting"]),
    ("input", &["units", "geometry", "diagnostic", "shop", "job"]),
    ("test_piece", &NOUNS),
    ("template", &NOUNS),
    (
        "plug",
        &[
            "units",
            "geometry",
            "diagnostic",
            "shop",
            "job",
            "test_piece",
        ],
    ),
    (
        "fit",
        &[
            "units",
            "diagnostic",
            "shop",
            "job",
            "input",
            "test_piece",
            "template",
            "rs274",
            "replay",
            "verify",
            "settings",
            "report",
            "rewrite",
        ],
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
    ("report", &["units", "geometry", "job"]),
    (
        "sheet",
        &[
            "units", "geometry", "shop", "rs274", "job", "cutting", "settings", "verify", "report",
            "advice", "visible",
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
    // How metres cut are entered for a bit: a record beside the rack.
    ("ran", &["units", "diagnostic", "shop", "report", "rewrite"]),
    (
        "advice",
        &["units", "geometry", "shop", "job", "cutting", "report"],
    ),
    (
        "hinges",
        &[
            "units",
            "diagnostic",
            "shop",
            "job",
            "input",
            "advice",
            "feeds",
            "verify",
            "report",
        ],
    ),
    ("explain", &["diagnostic", "report", "input"]),
    ("files", &["diagnostic", "input", "job", "shop"]),
    (
        "proof",
        &[
            "diagnostic",
            "shop",
            "job",
            "cutting",
            "settings",
            "plan",
            "post",
            "verify",
            "report",
        ],
    ),
    (
        "boxes",
        &[
            "shop", "job", "settings", "verify", "report", "proof", "retune",
        ],
    ),
    ("rewrite", &[]),
    (
        "edit",
        &["units", "diagnostic", "visible", "input", "rewrite"],
    ),
    (
        "page",
        &[
            "units",
            "diagnostic",
            "visible",
            "input",
            "job",
            "settings",
            "report",
            "sheet",
            "feeds",
            "explain",
            "files",
            "edit",
            "produce",
            "test_piece",
            "template",
            "plug",
        ],
    ),
    (
        "produce",
        &[
            "units",
            "diagnostic",
            "shop",
            "input",
            "settings",
            "boxes",
            "test_piece",
            "template",
            "plug",
            "job",
            "cutting",
            "post",
            "proof",
            "verify",
            "report",
            "sheet",
            "advice",
            "fit",
            "ran",
            "files",
        ],
    ),
];

/// Words that reach the outside world, for the command line, the page and `files` alone.
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

/// A check's file bears its id, `pocket-bounds` as `pocket_bounds.rs`, beside the text
/// that `explain` prints; those of a template alone stand in its own room.
#[test]
fn every_check_has_a_file_of_its_own_named_after_it() {
    let names = |folder: &str, ending: &str| -> BTreeSet<String> {
        let entries = fs::read_dir(shipped(folder)).unwrap();
        let names = entries.map(|entry| entry.unwrap().file_name().into_string().unwrap());
        names
            .filter_map(|name| Some(name.strip_suffix(ending)?.replace('_', "-")))
            .collect()
    };
    let explained = names("src/explain/checks", ".md");
    let mut judged = names("src/verify/checks", ".rs");
    for shared in ["check", "list", "tests"] {
        assert!(judged.remove(shared), "{shared}");
    }
    let of_a_template = ["template-match", "collar-room", "plate-left"];
    let room = names("src/verify/template", ".rs");
    for id in of_a_template {
        assert!(room.contains(id), "{id}");
        assert!(judged.insert(id.to_owned()), "{id} twice");
    }
    assert_eq!(judged, explained);
    for id in &judged {
        let folder = match of_a_template.contains(&id.as_str()) {
            true => "template",
            false => "checks",
        };
        let file = format!("src/verify/{folder}/{}.rs", id.replace('-', "_"));
        let code = fs::read_to_string(shipped(&file)).unwrap();
        let named: String = id.split('-').map(capital).collect();
        assert!(code.contains(&format!("CheckId::{named}")), "{file}");
    }
}

fn capital(word: &str) -> String {
    let (first, rest) = word.split_at(1);
    first.to_uppercase() + rest
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
fn the_command_line_and_the_page_do_not_know_each_other() {
    let mut seen = BTreeSet::new();
    for (module, file) in sources() {
        let other = match module.as_str() {
            "cli" => "page",
            "page" => "cli",
            _ => continue,
        };
        seen.insert(module);
        let imported = imports(&product_code(&file));
        assert!(
            !imported.contains(other),
            "{} imports {other}",
            file.display()
        );
    }
    assert_eq!(seen.len(), 2, "found only {seen:?}");
}

#[test]
fn only_command_line_page_and_files_touch_the_outside_world() {
    for (module, file) in sources() {
        if ["cli", "files", "main", "page"].contains(&module.as_str()) {
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

/// Two files that import each other are one file in two places.
#[test]
fn no_files_import_each_other_in_a_circle() {
    let root = shipped("src");
    let mut files = Vec::new();
    gather(&root, &mut files);
    let modules: BTreeMap<Vec<String>, String> = files
        .iter()
        .map(|file| (module_of(&root, file), product_code(file)))
        .filter(|(module, _)| module != &["lib"] && module != &["main"])
        .collect();
    let mut left: BTreeMap<&Vec<String>, BTreeSet<&Vec<String>>> = modules
        .iter()
        .map(|(module, code)| (module, imported_files(module, code, &modules)))
        .collect();
    assert!(left.values().map(BTreeSet::len).sum::<usize>() > 500);
    // Who imports nothing that is left is in no circle.
    while let Some(free) = left
        .iter()
        .find(|(_, imports)| !imports.iter().any(|module| left.contains_key(module)))
        .map(|(module, _)| *module)
    {
        left.remove(free);
    }
    let circles: Vec<String> = left.keys().map(|module| module.join("::")).collect();
    assert!(circles.is_empty(), "in circles: {}", circles.join(", "));
}

/// `rs274/arc.rs` is `rs274::arc`.
fn module_of(root: &Path, file: &Path) -> Vec<String> {
    let inside = file.strip_prefix(root).unwrap().with_extension("");
    let names = inside.components();
    names
        .map(|name| name.as_os_str().to_string_lossy().into_owned())
        .collect()
}

/// The files that `module` names by a path from `crate`, `super` or `self`,
/// besides the roots of the rooms it stands in.
fn imported_files<'m>(
    module: &[String],
    code: &str,
    modules: &'m BTreeMap<Vec<String>, String>,
) -> BTreeSet<&'m Vec<String>> {
    let mut found = BTreeSet::new();
    for path in paths(code) {
        let mut names: Vec<&str> = path.split("::").map(str::trim).collect();
        let mut full: Vec<String> = match names.remove(0) {
            "crate" => Vec::new(),
            "self" => module.to_vec(),
            _ => module[..module.len() - 1].to_vec(),
        };
        while names.first() == Some(&"super") {
            names.remove(0);
            full.pop();
        }
        full.extend(names.into_iter().map(str::to_owned));
        let nearest = (1..=full.len()).rev().find_map(|length| {
            modules
                .get_key_value(&full[..length])
                .map(|(module, _)| module)
        });
        found.extend(nearest.filter(|other| !module.starts_with(other)));
    }
    found
}

/// Every path from `crate`, `super` or `self`, groups spelt out.
fn paths(code: &str) -> Vec<String> {
    let mut found = Vec::new();
    for root in ["crate::", "super::", "self::"] {
        for (at, _) in code.match_indices(root) {
            let before = code[..at].chars().next_back();
            if before.is_none_or(|letter| !letter.is_alphanumeric() && !"_:".contains(letter)) {
                spell_out("", &code[at..], &mut found);
            }
        }
    }
    found
}

/// Adds the paths that `text` begins with, each after `before`; returns what follows.
fn spell_out<'t>(before: &str, text: &'t str, found: &mut Vec<String>) -> &'t str {
    let is_path = |letter: char| letter.is_alphanumeric() || "_:".contains(letter);
    let end = text.find(|letter| !is_path(letter)).unwrap_or(text.len());
    let (path, mut rest) = text.split_at(end);
    let path = format!("{before}{path}");
    let Some(group) = rest.strip_prefix('{').filter(|_| path.ends_with("::")) else {
        found.push(path);
        return rest;
    };
    rest = group.trim_start();
    while !rest.is_empty() && !rest.starts_with('}') {
        let after = spell_out(&path, rest, found);
        let next = after.find([',', '}']).unwrap_or(after.len());
        rest = after[next..].trim_start_matches(',').trim_start();
    }
    rest.strip_prefix('}').unwrap_or(rest)
}

#[test]
fn groups_of_imports_are_spelt_out() {
    let found = paths("use crate::a::{self, b::{C, d}, e};\nlet x = super::f::g();");
    let want = [
        "crate::a::self",
        "crate::a::b::C",
        "crate::a::b::d",
        "crate::a::e",
        "super::f::g",
    ];
    assert_eq!(found, want);
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
