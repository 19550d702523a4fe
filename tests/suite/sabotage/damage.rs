//! Damage done to a good program, by kind, from a seed.

/// A small generator of numbers (splitmix64, Steele, Lea and Flood 2014).
#[derive(Clone, Copy, Debug)]
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x0123_4567_89AB_CDEF)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    pub(crate) fn below(&mut self, count: usize) -> usize {
        usize::try_from(self.next() % count.max(1) as u64).unwrap()
    }

    fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }
}

/// What kind of damage.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Kind {
    WordChanged,
    SignLost,
    LineDropped,
    LineDoubled,
    LinesSwapped,
    ArcTurned,
    FeedMadeRapid,
    RapidMadeFeed,
    SpindleRemoved,
    FeedRemoved,
    UnitsSwitched,
    OffsetSwitched,
    PointLost,
    CutShort,
    Joined,
    LastDigit,
    ModeRemoved,
    MachineFrame,
    Dive,
    RapidSteps,
    AfterEnd,
    PauseMoved,
    ToolWord,
    TooFine,
    ActiveComment,
}

impl Kind {
    pub(crate) const ALL: [Self; 25] = [
        Self::WordChanged,
        Self::SignLost,
        Self::LineDropped,
        Self::LineDoubled,
        Self::LinesSwapped,
        Self::ArcTurned,
        Self::FeedMadeRapid,
        Self::RapidMadeFeed,
        Self::SpindleRemoved,
        Self::FeedRemoved,
        Self::UnitsSwitched,
        Self::OffsetSwitched,
        Self::PointLost,
        Self::CutShort,
        Self::Joined,
        Self::LastDigit,
        Self::ModeRemoved,
        Self::MachineFrame,
        Self::Dive,
        Self::RapidSteps,
        Self::AfterEnd,
        Self::PauseMoved,
        Self::ToolWord,
        Self::TooFine,
        Self::ActiveComment,
    ];

    /// `text` damaged; `None` where there is nothing of that kind to damage.
    /// `other` is a program to join it with, `unit` millimetres in its unit.
    pub(crate) fn apply(
        self,
        text: &str,
        other: &str,
        unit: f64,
        dice: &mut Dice,
    ) -> Option<String> {
        let lines: Vec<&str> = text.lines().collect();
        let damaged = match self {
            Self::WordChanged => change_word(&lines, unit, dice),
            Self::SignLost => lose_sign(&lines, dice),
            Self::LineDropped => drop_line(&lines, dice),
            Self::LineDoubled => double_line(&lines, dice),
            Self::LinesSwapped => swap_lines(&lines, dice),
            Self::ArcTurned => replace_in_one(&lines, dice, &[("G2 ", "G3 "), ("G3 ", "G2 ")]),
            Self::FeedMadeRapid => replace_in_one(&lines, dice, &[("G1 ", "G0 ")]),
            Self::RapidMadeFeed => replace_in_one(&lines, dice, &[("G0 ", "G1 ")]),
            Self::SpindleRemoved => remove_word(&lines, dice, &["M3", "S"]),
            Self::FeedRemoved => remove_word(&lines, dice, &["F"]),
            Self::UnitsSwitched => replace_in_one(&lines, dice, &[("G21", "G20"), ("G20", "G21")]),
            Self::OffsetSwitched => replace_in_one(&lines, dice, &[("G54", "G55"), ("G55", "G54")]),
            Self::PointLost => lose_point(&lines, dice),
            Self::CutShort => cut_short(text, dice),
            Self::Joined => Some(join(&lines, other, dice)),
            Self::LastDigit => change_last_digit(&lines, dice),
            Self::ModeRemoved => {
                let modes = ["G17", "G20", "G21", "G40", "G49", "G54", "G90", "G94"];
                remove_word(&lines, dice, &modes)
            }
            Self::MachineFrame => replace_in_one(&lines, dice, &[("G0 ", "G53 G0 ")]),
            Self::Dive => dive(&lines, unit, dice),
            Self::RapidSteps => rapid_steps(&lines, unit, dice),
            Self::AfterEnd => after_end(&lines, dice),
            Self::PauseMoved => move_pause(&lines, dice),
            Self::ToolWord => {
                let words = ["T2", "T1 M6", "T9", "M6", "G43 H1", "G43 H7", "G49", "M5"];
                let word = words[dice.below(words.len())];
                insert(&lines, dice, word)
            }
            Self::TooFine => too_fine(&lines, dice),
            Self::ActiveComment => {
                let words = [
                    "(MSG, done)",
                    "(PROBEOPEN file)",
                    "(ABORT, x)",
                    "(DEBUG,#1)",
                    "M8",
                ];
                let word = words[dice.below(words.len())];
                insert(&lines, dice, word)
            }
        }?;
        (damaged != text).then_some(damaged)
    }
}

fn insert(lines: &[&str], dice: &mut Dice, new: &str) -> Option<String> {
    let index = pick(&code_lines(lines), dice)?;
    let mut more = lines.to_vec();
    more.insert(index, new);
    Some(more.join("\n") + "\n")
}

/// Lines that lift, each with its height.
fn lifts<'l>(lines: &[&'l str]) -> Vec<(usize, &'l str)> {
    code_lines(lines)
        .into_iter()
        .filter(|&index| lines[index].trim_start_matches(['N', ' ']).contains("G0 Z"))
        .filter(|&index| !lines[index].contains("G53"))
        .map(|index| (index, lines[index]))
        .collect()
}

/// After a lift somewhere else, straight down and up again.
fn dive(lines: &[&str], unit: f64, dice: &mut Dice) -> Option<String> {
    let highest = |(_, line): &(usize, &str)| -> f64 {
        let z = line.rsplit('Z').next().unwrap_or_default();
        z.trim().parse().unwrap_or(f64::NEG_INFINITY)
    };
    let all = lifts(lines);
    let top = all.iter().map(highest).fold(f64::NEG_INFINITY, f64::max);
    let high: Vec<(usize, &str)> = all
        .into_iter()
        .filter(|lift| highest(lift) == top)
        .collect();
    let (index, lift) = pick(&high, dice)?;
    let at = |share: f64| ((share * 400.0 - 100.0) / unit * 100.0).round() / 100.0;
    let (x, y) = (at(dice.share()), at(dice.share()));
    let (depth, word) = (
        (dice.share() * 20.0 / unit * 100.0).round() / 100.0,
        ["G0", "G1"][dice.below(2)],
    );
    let mut more: Vec<String> = lines.iter().map(|line| (*line).to_owned()).collect();
    more.insert(
        index + 1,
        format!("G0 X{x:.2} Y{y:.2}\n{word} Z-{depth:.2}\n{lift}"),
    );
    Some(more.join("\n") + "\n")
}

/// A rapid down in steps of a few thousandths of a millimetre, which starts
/// where some feed move ends.
fn rapid_steps(lines: &[&str], unit: f64, dice: &mut Dice) -> Option<String> {
    let feeds: Vec<usize> = code_lines(lines)
        .into_iter()
        .filter(|&index| lines[index].contains("G1 Z") || lines[index].starts_with("Z"))
        .collect();
    let index = pick(&feeds, dice)?;
    let z = lines[index]
        .split(' ')
        .find_map(|word| word.strip_prefix('Z'))?;
    let z: f64 = z.parse().ok()?;
    let step = 0.003 / unit;
    let mut more: Vec<String> = lines.iter().map(|line| (*line).to_owned()).collect();
    let steps: Vec<String> = (1..=60)
        .map(|count| format!("G0 Z{:.4}", z - step * f64::from(count)))
        .collect();
    more.insert(index + 1, steps.join("\n"));
    Some(more.join("\n") + "\n")
}

/// Something goes on after the end.
fn after_end(lines: &[&str], dice: &mut Dice) -> Option<String> {
    let again = lines[pick(&code_lines(lines), dice)?];
    Some(format!("{}\n{again}\n", lines.join("\n")))
}

/// A pause where none was, or one taken away.
fn move_pause(lines: &[&str], dice: &mut Dice) -> Option<String> {
    let pauses: Vec<usize> = (0..lines.len())
        .filter(|&index| lines[index].split(' ').any(|word| word == "M0"))
        .collect();
    match pick(&pauses, dice) {
        Some(index) if dice.below(2) == 0 => {
            Some(put(lines, index, lines[index].replacen("M0", "", 1).trim()))
        }
        _ => insert(lines, dice, "M0"),
    }
}

/// More digits than the controller takes.
fn too_fine(lines: &[&str], dice: &mut Dice) -> Option<String> {
    let place = pick(&words(lines, &['X', 'Y', 'Z']), dice)?;
    Some(edit_word(lines, place, |word| {
        let (whole, digits) = word.split_once('.').unwrap_or((word, ""));
        format!("{whole}.{digits:0<6}1")
    }))
}

fn code_lines(lines: &[&str]) -> Vec<usize> {
    (0..lines.len())
        .filter(|&index| !lines[index].is_empty() && !lines[index].starts_with('('))
        .collect()
}

fn put(lines: &[&str], index: usize, line: &str) -> String {
    let mut text = String::new();
    for (number, old) in lines.iter().enumerate() {
        text.push_str(if number == index { line } else { old });
        text.push('\n');
    }
    text
}

/// All words with a letter of `letters`: line and place in it.
fn words(lines: &[&str], letters: &[char]) -> Vec<(usize, usize)> {
    let mut found = Vec::new();
    for index in code_lines(lines) {
        for (place, word) in lines[index].split(' ').enumerate() {
            if word.starts_with(letters) {
                found.push((index, place));
            }
        }
    }
    found
}

fn edit_word(
    lines: &[&str],
    (index, place): (usize, usize),
    edit: impl Fn(&str) -> String,
) -> String {
    let words: Vec<String> = lines[index]
        .split(' ')
        .enumerate()
        .map(|(number, word)| {
            if number == place {
                edit(word)
            } else {
                word.to_owned()
            }
        })
        .filter(|word| !word.is_empty())
        .collect();
    put(lines, index, &words.join(" "))
}

fn pick<T: Copy>(items: &[T], dice: &mut Dice) -> Option<T> {
    (!items.is_empty()).then(|| items[dice.below(items.len())])
}

/// By 0.05 to 4 mm, up or down.
fn change_word(lines: &[&str], unit: f64, dice: &mut Dice) -> Option<String> {
    let place = pick(&words(lines, &['X', 'Y', 'Z', 'I', 'J']), dice)?;
    let size = 0.05 * 80.0_f64.powf(dice.share());
    let change = if dice.below(2) == 0 { size } else { -size } / unit;
    Some(edit_word(lines, place, |word| {
        let value: f64 = word[1..].parse().unwrap();
        let decimals = word.rsplit('.').next().map_or(3, str::len);
        format!("{}{:.decimals$}", &word[..1], value + change)
    }))
}

fn change_last_digit(lines: &[&str], dice: &mut Dice) -> Option<String> {
    let place = pick(&words(lines, &['X', 'Y', 'Z']), dice)?;
    let up = dice.below(2) == 0;
    Some(edit_word(lines, place, |word| {
        let value: f64 = word[1..].parse().unwrap();
        let decimals = word.rsplit('.').next().map_or(3, str::len);
        let digit = 10_f64.powi(-i32::try_from(decimals).unwrap());
        let value = value + if up { digit } else { -digit };
        format!("{}{value:.decimals$}", &word[..1])
    }))
}

fn lose_sign(lines: &[&str], dice: &mut Dice) -> Option<String> {
    let all = words(lines, &['X', 'Y', 'Z', 'I', 'J']);
    let negative: Vec<(usize, usize)> = all
        .into_iter()
        .filter(|&(index, place)| {
            let word = lines[index].split(' ').nth(place).unwrap();
            word[1..].starts_with('-')
        })
        .collect();
    let place = pick(&negative, dice)?;
    Some(edit_word(lines, place, |word| word.replacen('-', "", 1)))
}

fn drop_line(lines: &[&str], dice: &mut Dice) -> Option<String> {
    let index = pick(&code_lines(lines), dice)?;
    let mut kept = lines.to_vec();
    kept.remove(index);
    Some(kept.join("\n") + "\n")
}

fn double_line(lines: &[&str], dice: &mut Dice) -> Option<String> {
    let index = pick(&code_lines(lines), dice)?;
    let mut more = lines.to_vec();
    more.insert(index, lines[index]);
    Some(more.join("\n") + "\n")
}

fn swap_lines(lines: &[&str], dice: &mut Dice) -> Option<String> {
    let places = code_lines(lines);
    let first = dice.below(places.len().saturating_sub(1));
    let (a, b) = (*places.get(first)?, *places.get(first + 1)?);
    let mut swapped = lines.to_vec();
    swapped.swap(a, b);
    Some(swapped.join("\n") + "\n")
}

fn replace_in_one(lines: &[&str], dice: &mut Dice, pairs: &[(&str, &str)]) -> Option<String> {
    let mut places = Vec::new();
    for index in code_lines(lines) {
        let padded = format!("{} ", lines[index]);
        if let Some(pair) = pairs.iter().find(|(from, _)| padded.contains(from)) {
            places.push((index, *pair));
        }
    }
    let (index, (from, to)) = pick(&places, dice)?;
    let line = format!("{} ", lines[index]).replacen(from, to, 1);
    Some(put(lines, index, line.trim_end()))
}

fn remove_word(lines: &[&str], dice: &mut Dice, starts: &[&str]) -> Option<String> {
    let mut places = Vec::new();
    for index in code_lines(lines) {
        for (place, word) in lines[index].split(' ').enumerate() {
            if starts.iter().any(|start| word.starts_with(start)) && word != "M30" {
                places.push((index, place));
            }
        }
    }
    let place = pick(&places, dice)?;
    Some(edit_word(lines, place, |_| String::new()))
}

fn lose_point(lines: &[&str], dice: &mut Dice) -> Option<String> {
    let place = pick(&words(lines, &['X', 'Y', 'Z', 'I', 'J']), dice)?;
    Some(edit_word(lines, place, |word| word.replace('.', "")))
}

fn cut_short(text: &str, dice: &mut Dice) -> Option<String> {
    let end = dice.below(text.len().saturating_sub(1)) + 1;
    text.is_char_boundary(end).then(|| text[..end].to_owned())
}

/// The start of one program and the rest of another, or both whole.
fn join(lines: &[&str], other: &str, dice: &mut Dice) -> String {
    let others: Vec<&str> = other.lines().collect();
    match dice.below(3) {
        0 => format!("{}\n{}\n", lines.join("\n"), others.join("\n")),
        1 => {
            let end = lines.iter().position(|line| *line == "M30");
            let end = end.unwrap_or(lines.len());
            format!("{}\n{}\n", lines[..end].join("\n"), others.join("\n"))
        }
        _ => {
            let (first, rest) = (dice.below(lines.len()), dice.below(others.len()));
            format!(
                "{}\n{}\n",
                lines[..first].join("\n"),
                others[rest..].join("\n")
            )
        }
    }
}
