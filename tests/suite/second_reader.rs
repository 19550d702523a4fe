//! A second reader of every sheet: each number with a unit that a person reads
//! is found again in the report or in the files, or worked out from them anew.

use serde_json::Value;

use crate::harness::{Workshop, examples, stem, words_of};

const MM_PER_INCH: f64 = 25.4;

/// A number as it stands on the sheet.
#[derive(Clone, Debug)]
struct Printed {
    value: f64,
    /// Half of the last digit that is printed.
    slack: f64,
    unit: String,
    shown: String,
    /// What stands around it.
    context: String,
}

/// Every number that is followed by a unit; a fraction with its error is one.
fn printed(words: &str) -> Vec<Printed> {
    let tokens: Vec<&str> = words.split_whitespace().collect();
    let clean = |token: &str| {
        let token = token.trim_matches(|letter: char| "(),;:'`".contains(letter));
        token.trim_end_matches('.').replace('−', "-")
    };
    let number = |index: usize| -> Option<(f64, usize)> {
        let token = clean(tokens.get(index)?);
        let value: f64 = token.parse().ok()?;
        let decimals = token.split_once('.').map_or(0, |(_, after)| after.len());
        Some((value, decimals))
    };
    let mut found = Vec::new();
    let mut index = 0;
    while index < tokens.len() {
        let context = || {
            let from = index.saturating_sub(5);
            tokens[from..(index + 6).min(tokens.len())].join(" ")
        };
        let error = tokens.get(index + 2).map(|token| clean(token));
        let off = match (error.as_deref(), number(index + 3)) {
            (Some("+"), Some((off, decimals))) => Some((off, decimals)),
            (Some("-"), Some((off, decimals))) => Some((-off, decimals)),
            _ => None,
        };
        let inches = match (fraction(&clean(tokens[index])), off) {
            (Some((inches, sign)), _) => match index.checked_sub(1).and_then(number) {
                Some((whole, 0)) if whole < 0.0 => Some(whole - inches),
                Some((whole, 0)) => Some(whole + inches),
                _ => Some(sign * inches),
            },
            // A whole inch and its error.
            (None, Some(_)) => number(index).map(|(whole, _)| whole),
            (None, None) => None,
        };
        if let Some(inches) = inches {
            let unit = tokens.get(index + 4).map(|token| clean(token));
            let scale = match unit.as_deref() {
                Some("in") => MM_PER_INCH,
                _ => 1.0,
            };
            let (off, slack) = off.map_or((0.0, 0.01), |(off, decimals)| {
                (
                    off * scale,
                    0.5001 * 10_f64.powi(-(decimals as i32)) * scale,
                )
            });
            found.push(Printed {
                value: inches * MM_PER_INCH + off,
                slack,
                unit: "mm".to_owned(),
                shown: clean(tokens[index]),
                context: context(),
            });
            index += if off == 0.0 { 2 } else { 5 };
            continue;
        }
        if let (Some((value, decimals)), Some(unit)) = (number(index), tokens.get(index + 1)) {
            let unit = clean(unit);
            let whole_of_a_fraction = fraction(&unit).is_some();
            const UNITS: [&str; 9] = [
                "mm", "in", "mm/min", "in/min", "rpm", "degrees", "kg", "lb", "%",
            ];
            if UNITS.contains(&unit.as_str()) && !whole_of_a_fraction {
                found.push(Printed {
                    value,
                    slack: 0.5001 * 10_f64.powi(-(decimals as i32)),
                    unit,
                    shown: clean(tokens[index]),
                    context: context(),
                });
            }
        }
        index += 1;
    }
    found
}

/// `-9/64` as inches and the sign.
fn fraction(token: &str) -> Option<(f64, f64)> {
    let (sign, token) = match token.strip_prefix('-') {
        Some(rest) => (-1.0, rest),
        None => (1.0, token),
    };
    let (above, below) = token.split_once('/')?;
    let (above, below): (u32, u32) = (above.parse().ok()?, below.parse().ok()?);
    (below.is_power_of_two() && below <= 64).then(|| (f64::from(above) / f64::from(below), sign))
}

fn numbers_of(value: &Value, into: &mut Vec<f64>) {
    match value {
        Value::Number(number) => into.extend(number.as_f64()),
        Value::Array(items) => items.iter().for_each(|item| numbers_of(item, into)),
        Value::Object(fields) => fields.values().for_each(|field| numbers_of(field, into)),
        _ => {}
    }
}

/// Lengths of a file, in millimetres; a reading of its own.
fn lengths_of(value: &toml::Value, one: f64, into: &mut Vec<f64>) {
    match value {
        toml::Value::Integer(number) => into.push(*number as f64 * one),
        toml::Value::Float(number) => into.push(number * one),
        toml::Value::String(text) => into.extend(length(text, one)),
        toml::Value::Array(items) => items.iter().for_each(|item| lengths_of(item, one, into)),
        toml::Value::Table(fields) => {
            for field in fields.values() {
                lengths_of(field, one, into);
            }
        }
        _ => {}
    }
}

fn length(text: &str, one: f64) -> Option<f64> {
    let (digits, one) = match text.rsplit_once(' ') {
        Some((digits, "mm")) => (digits, 1.0),
        Some((digits, "in")) => (digits, MM_PER_INCH),
        _ => (text, one),
    };
    let mut sum = 0.0;
    for piece in digits.split([' ', '-']).filter(|piece| !piece.is_empty()) {
        sum += match piece.split_once('/') {
            Some((above, below)) => above.parse::<f64>().ok()? / below.parse::<f64>().ok()?,
            None => piece.parse::<f64>().ok()?,
        };
    }
    Some(sum * one)
}

/// A job file, read anew.
struct JobFile {
    table: toml::Value,
    one: f64,
}

impl JobFile {
    fn length(&self, path: &str) -> Option<f64> {
        let value = path
            .split('.')
            .try_fold(&self.table, |value, key| value.get(key))?;
        let mut found = Vec::new();
        lengths_of(value, self.one, &mut found);
        found.first().copied()
    }

    fn text(&self, path: &str) -> Option<&str> {
        path.split('.')
            .try_fold(&self.table, |value, key| value.get(key))?
            .as_str()
    }

    fn at(&self, path: &str) -> f64 {
        self.length(path).unwrap_or(0.0)
    }

    fn steps(&self) -> Vec<f64> {
        let steps = self.table["hinge"]["steps"].as_array().unwrap();
        steps
            .iter()
            .map(|step| {
                let mut depth = Vec::new();
                lengths_of(&step["depth"], self.one, &mut depth);
                depth[0]
            })
            .collect()
    }
}

/// Fills in the hinge that a job takes from the drawer, and the clearance that
/// was learned with the job's bit in its woods.
fn draw(file: &mut JobFile, workshop: &Workshop, known: &mut Vec<f64>) {
    let word = |path: &str| file.text(path).map(str::to_owned);
    let (Some(name), Some(bit)) = (word("hinge.name"), word("bit")) else {
        return;
    };
    let woods = [word("box.wood").unwrap(), word("lid.wood").unwrap()].join(" / ");
    let drawer: toml::Value = toml::from_str(&workshop.read("machines/hinges.toml")).unwrap();
    let is = |table: &&toml::Value, key: &str, word: &str| table[key].as_str() == Some(word);
    let mut hinges = drawer["hinge"].as_array().unwrap().iter();
    let hinge = hinges.find(|hinge| is(hinge, "name", &name)).unwrap();
    let mut learned = hinge["learned"].as_array().unwrap().iter();
    let learned = learned
        .find(|learned| is(learned, "bit", &bit) && is(learned, "wood", &woods))
        .unwrap();
    assert_eq!(drawer["units"].as_str(), file.text("units"));
    lengths_of(hinge, file.one, known);
    let tables = file.table.as_table_mut().unwrap();
    tables.insert("hinge".to_owned(), hinge.clone());
    let fit = tables["fit"].as_table_mut().unwrap();
    fit.insert("clearance".to_owned(), learned["clearance"].clone());
}

/// Specific gravity, and movement along and across the rings for one percent
/// of moisture: Wood Handbook Tables 5-3 and 13-5, from memory.
const WOODS: [(&str, f64, [f64; 2]); 5] = [
    ("white oak", 0.68, [0.00180, 0.00365]),
    ("black walnut", 0.55, [0.00190, 0.00274]),
    ("hard maple", 0.63, [0.00165, 0.00353]),
    ("sugar maple", 0.63, [0.00165, 0.00353]),
    ("black cherry", 0.50, [0.00126, 0.00248]),
];

/// What the sheet works out, worked out again from the job file alone.
fn reckoned(job: &JobFile) -> Vec<f64> {
    let inset = job.text("lid.closing") == Some("inset");
    let width = job.at("hinge.width");
    let (setback, drop, overhang) = (
        job.at("hinge.setback"),
        job.at("lid.drop"),
        job.at("lid.overhang"),
    );
    let clearance = job.length("fit.clearance").unwrap_or(0.1);
    let under = job.length("fit.under").unwrap_or(0.2);
    let gap = job.length("fit.gap").unwrap_or(job.at("hinge.closed_gap"));
    let recess = (job.at("hinge.closed_gap") - gap) / 2.0;
    let mut known = vec![clearance];
    // Faces to centres.
    let box_v = setback + width / 2.0 + if inset { drop } else { 0.0 };
    let lid_v = setback + width / 2.0 + if inset { 0.0 } else { overhang };
    known.extend([box_v, lid_v]);
    // Stop ends to centres, and to the pocket that the calipers touch.
    let box_length = job.at("box.length");
    let mut centres: Vec<f64> = Vec::new();
    match job.table["placement"].get("centres") {
        Some(list) => lengths_of(list, job.one, &mut centres),
        None => {
            let inset = job.length("placement.inset").unwrap_or(box_length / 5.0);
            centres.extend([inset, box_length - inset]);
        }
    }
    for centre in &centres {
        known.extend([*centre, centre - job.at("lid.end_inset")]);
    }
    known.extend(of_positions(job, &centres));
    // Depths: the step's, the room under the body, half of what closes the gap.
    let depths: Vec<f64> = job
        .steps()
        .into_iter()
        .enumerate()
        .map(|(index, depth)| depth + recess + if index > 0 { under } else { 0.0 })
        .collect();
    known.extend(depths.windows(2).map(|pair| pair[1] - pair[0]));
    let deepest = depths.last().copied().unwrap_or(0.0);
    // A dry run two millimetres over the wood.
    known.push((deepest + 2.0_f64).ceil());
    // How much higher the lid's lower face stands, mating faces level.
    let below = if inset {
        [job.at("box.wall"), job.at("lid.width")]
    } else {
        [job.at("box.height"), job.at("lid.thickness")]
    };
    known.push((below[0] - below[1]).abs());
    // Both readings of a divider: it and one bit diameter.
    known.push(width + clearance);
    // The lid as a board, at 12 % moisture.
    let lid_length = job.length("lid.length").unwrap_or(box_length);
    let board = lid_length * job.at("lid.width") * job.at("lid.thickness");
    for part in ["box", "lid"] {
        let wood = job.text(&format!("{part}.wood")).unwrap();
        let (_, gravity, movement) = WOODS.iter().find(|(name, ..)| *name == wood).unwrap();
        let kilograms = board * 1e-6 * gravity * 1.12;
        known.extend([kilograms, kilograms / 0.453_592_4]);
        // Over six percent of moisture.
        known.extend(movement.map(|share| width * share * 6.0));
    }
    // A No. 5 screw (ASME B18.6.1, from memory), its root two thirds of the
    // shank and the lead hole nine tenths of that in hardwood.
    known.extend([3.175, 3.175 * 2.0 / 3.0 * 0.9, 5.0 / 64.0 * MM_PER_INCH]);
    // Its flat head of 82 degrees is 0.252 in wide at most (the same, from
    // memory): so deep, it has come down to the shank; tan 41 degrees is 0.8693.
    let head = 0.252 * MM_PER_INCH;
    known.extend([head, 82.0, (head - 3.175) / 2.0 / 0.8693]);
    known
}

/// How far the far stops stand from zero.
fn far_stops(job: &JobFile) -> Vec<f64> {
    let positions = job.table["fixture"].get("positions");
    let positions = positions
        .and_then(toml::Value::as_array)
        .into_iter()
        .flatten();
    let mut faces = Vec::new();
    for face in positions.filter_map(|position| position.get("far_stop")) {
        lengths_of(face, job.one, &mut faces);
    }
    faces
}

/// Where the ends of both parts lie in each position.
fn of_positions(job: &JobFile, centres: &[f64]) -> Vec<f64> {
    let fixture = &job.table["fixture"];
    let Some(positions) = fixture.get("positions").and_then(toml::Value::as_array) else {
        return Vec::new();
    };
    let length = |value: &toml::Value| {
        let mut found = Vec::new();
        lengths_of(value, job.one, &mut found);
        found[0]
    };
    let mut known = Vec::new();
    for position in positions {
        for part in ["box.length", "lid.length"] {
            let own = job.length(part).unwrap_or_else(|| job.at("box.length"));
            let near = match (position.get("mark"), position.get("far_stop")) {
                (Some(mark), _) => -length(mark),
                (None, Some(face)) => length(face) - own,
                (None, None) => 0.0,
            };
            known.extend([near, near + own]);
        }
    }
    // The leaf's pocket begins half its length before the centre.
    let steps = job.table["hinge"]["steps"].as_array().unwrap();
    let half = (length(&steps[0]["length"]) + job.length("fit.clearance").unwrap_or(0.1)) / 2.0;
    known.extend(centres.iter().map(|centre| centre - half));
    known
}

/// Limits and rules of thumb that stand on a sheet as they are.
/// A line laid by eye; blocks and the bar they lie at.
const STANDING: [f64; 10] = [
    // A lead hole in softwood, in percent of the root.
    70.0,
    0.02,
    0.05,
    0.3,
    20.0,
    400.0,
    600.0,
    16.0 * MM_PER_INCH,
    24.0 * MM_PER_INCH,
    MM_PER_INCH / 64.0,
];

/// What a sheet says that neither report nor files nor the second reckoning know.
/// Each number is taken as `off` more than it is printed.
fn unexplained(workshop: &Workshop, job: &str, units: &str, off: f64) -> (usize, Vec<String>) {
    let arguments = [
        "generate", job, "-o", "out", "--units", units, "--format", "json",
    ];
    let report = workshop.run(&arguments).expect(0).json();
    let page = workshop.read(&format!("out/{}.html", stem(job)));
    let mut known = STANDING.to_vec();
    numbers_of(&report, &mut known);
    let mut read = |file: &str| {
        let table: toml::Value = toml::from_str(&workshop.read(file)).unwrap();
        let inch = table.get("units").and_then(toml::Value::as_str) == Some("in");
        let one = if inch { MM_PER_INCH } else { 1.0 };
        lengths_of(&table, one, &mut known);
        JobFile { table, one }
    };
    let mut file = read(job);
    let machine = format!(
        "machines/{}",
        file.text("machine").unwrap().rsplit('/').next().unwrap()
    );
    let rack = read("machines/bits.toml");
    // What of the longer part the travel, of which X is the first figure, never reaches.
    let travel = read(&machine).at("travel");
    let longest = file.at("box.length").max(file.at("lid.length"));
    known.push(longest - travel);
    draw(&mut file, workshop, &mut known);
    known.extend(reckoned(&file));
    // The feeds that the programs state.
    for program in report["programs"].as_array().unwrap() {
        let text = workshop.read(program["path"].as_str().unwrap());
        let feeds = text
            .split_whitespace()
            .filter_map(|word| word.strip_prefix('F'));
        let inch = text.split_whitespace().any(|word| word == "G20");
        let one = if inch { MM_PER_INCH } else { 1.0 };
        known.extend(
            feeds
                .filter_map(|feed| feed.parse::<f64>().ok())
                .map(|feed| feed * one),
        );
    }
    let mut widths = Vec::new();
    for bit in rack.table["bit"].as_array().unwrap() {
        lengths_of(&bit["diameter"], rack.one, &mut widths);
    }
    for width in widths {
        // A bit's radius, and the readings of a divider on both sides.
        known.extend([width / 2.0, file.at("fixture.divider") + width]);
        known.extend(far_stops(&file).iter().map(|face| face - width / 2.0));
    }
    // What a check says of the text is the report's own.
    let said = report["checks"].to_string();
    let mut numbers = printed(&words_of(&page));
    numbers.iter_mut().for_each(|number| number.value += off);
    let count = numbers.len();
    let is_known = |number: &Printed| {
        let scale = if number.unit.starts_with("in") {
            MM_PER_INCH
        } else {
            1.0
        };
        let near = |known: &f64| {
            let known = known / scale;
            (known - number.value).abs() <= number.slack
                || (known + number.value).abs() <= number.slack
        };
        known.iter().any(near)
            || off == 0.0 && said.contains(&format!("{} {}", number.shown, number.unit))
    };
    let faults = numbers.iter().filter(|number| !is_known(number));
    let faults =
        faults.map(|number| format!("{job} in {units}: {} in: {}", number.shown, number.context));
    (count, faults.collect())
}

#[test]
fn every_number_with_a_unit_comes_from_the_report_or_the_files() {
    let workshop = Workshop::new();
    let inset = [
        ("layout   = \"end-to-end\"", "layout   = \"book\""),
        ("box_base = 24 ", "box_base = 90 # "),
        ("lid_base = -80 ", "lid_base = -14 # "),
    ];
    workshop.vary(
        "examples/sewing-chest.toml",
        "examples/inset-book.toml",
        &inset,
    );
    let tea = workshop.read("examples/tea-box.toml");
    let (before, _) = tea.split_once("clamps").unwrap();
    let overlay = before
        .replace("layout  = \"book\"", "layout  = \"end-to-end\"")
        .replace("= 260", "= 180");
    workshop.write("examples/overlay-line.toml", &overlay);
    workshop.vary(
        "examples/recipe-box.toml",
        "examples/each.toml",
        &[("layout  = \"book\"", "layout  = \"book\"\nzero = \"each\"")],
    );
    let mut jobs = examples();
    jobs.push("examples/cabinet-door.toml".to_owned());
    jobs.extend(["inset-book", "overlay-line", "each"].map(|name| format!("examples/{name}.toml")));
    let mut all = Vec::new();
    for job in &jobs {
        for units in ["mm", "in"] {
            let (count, faults) = unexplained(&workshop, job, units, 0.0);
            assert!(count > 120, "{job}: only {count} numbers were read");
            all.extend(faults);
        }
    }
    assert!(all.is_empty(), "{} of them\n{}", all.len(), all.join("\n"));
}

#[test]
fn a_wrong_figure_on_a_sheet_is_seen() {
    // The reader itself: a number, its digits, a fraction with its error.
    let numbers =
        printed("step 2: 12.40 mm deep, 31/64 in + 0.10 mm; 1 47/64 in − 0.05 mm, 20900 rpm.");
    let values: Vec<f64> = numbers.iter().map(|number| number.value).collect();
    let wanted = [
        12.4,
        31.0 / 64.0 * MM_PER_INCH + 0.1,
        111.0 / 64.0 * MM_PER_INCH - 0.05,
        20900.0,
    ];
    assert_eq!(values.len(), wanted.len(), "{values:?}");
    for (value, wanted) in values.iter().zip(wanted) {
        assert!((value - wanted).abs() < 1e-9, "{value} for {wanted}");
    }
    // Few wrong figures happen to be right elsewhere.
    let workshop = Workshop::new();
    for job in examples() {
        let (count, faults) = unexplained(&workshop, &job, "mm", 0.37);
        assert!(
            faults.len() * 10 > count * 8,
            "{job}: {} of {count}",
            faults.len()
        );
    }
}
