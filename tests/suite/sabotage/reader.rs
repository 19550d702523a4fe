//! A reader of its own for the second opinion: the plain subset as the
//! post processor prints it, with the standard's errors that damage can cause.

/// What one line asks for, in order of execution.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Act {
    /// G17, G20 or G21, G90, G94, G54 … by name.
    State(&'static str),
    Speed(f64),
    Tool(u32),
    ToolChange,
    /// G43 with its H.
    Length(u32),
    /// A work offset, from 54.
    Offset(usize),
    /// Turning or not.
    Spindle(bool),
    Dwell(f64),
    Pause,
    End,
    Move(Step),
    /// What is wrong.
    Bad(&'static str),
}

/// What a program's numbers mean.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Meaning {
    pub(crate) inches: bool,
    /// P of a dwell is in milliseconds.
    pub(crate) milliseconds: bool,
    /// Where G54 … G59 lie in shared coordinates.
    pub(crate) offsets: [[f64; 3]; 6],
    /// Where machine coordinates begin, where that is known.
    pub(crate) machine: Option<[f64; 3]>,
}

/// One move, in millimetres and shared coordinates.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Step {
    pub(crate) from: [Option<f64>; 3],
    pub(crate) to: [Option<f64>; 3],
    pub(crate) named: [bool; 3],
    pub(crate) rapid: bool,
    /// Centre and signed sweep.
    pub(crate) arc: Option<([f64; 2], f64)>,
    pub(crate) feed: f64,
    /// The finest last digit that the program has printed so far.
    pub(crate) digit: f64,
    /// By G53.
    pub(crate) machine_frame: bool,
}

#[derive(Clone, Copy, Debug)]
struct Word {
    letter: char,
    value: f64,
    /// Zeros at the end left out.
    decimals: usize,
}

/// The acts of a program, each with its line.
pub(crate) fn read(text: &str, meaning: Meaning) -> Vec<(u64, Act)> {
    let mut state = State {
        meaning,
        scale: if meaning.inches { 25.4 } else { 1.0 },
        digit: f64::INFINITY,
        offset: 0,
        motion: None,
        at: [None; 3],
        feed: 0.0,
        ended: false,
        acts: Vec::new(),
        line: 0,
    };
    let mut percents = 0;
    for line in text.lines() {
        state.line += 1;
        if line.trim() == "%" && percents < 2 && (percents == 0 || state.ended) {
            percents += 1;
            continue;
        }
        if !state.ended {
            state.take(line);
        } else if !line.trim().is_empty() {
            state.act(Act::Bad("after the end"));
        }
    }
    if !state.ended {
        state.act(Act::Bad("no end"));
    }
    state.acts
}

struct State {
    meaning: Meaning,
    scale: f64,
    digit: f64,
    offset: usize,
    motion: Option<u8>,
    at: [Option<f64>; 3],
    feed: f64,
    ended: bool,
    acts: Vec<(u64, Act)>,
    line: u64,
}

fn words(line: &str) -> Option<Vec<Word>> {
    let mut code = String::new();
    let mut comment = false;
    for character in line.chars() {
        match (character, comment) {
            (';', false) => break,
            ('(', false) => comment = true,
            (')', true) => comment = false,
            ('(', true) | (')', false) => return None,
            (_, true) => {}
            (character, false) => code.push(character),
        }
    }
    if comment {
        return None;
    }
    code.split_whitespace().map(word).collect()
}

fn word(text: &str) -> Option<Word> {
    let letter = text.chars().next()?;
    let number = &text[1..];
    let digits = number.strip_prefix(['-', '+']).unwrap_or(number);
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    let plain = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    if whole.len() + part.len() == 0 || !plain(whole) || !plain(part) {
        return None;
    }
    "GMXYZIJFSTPHN".contains(letter).then_some(())?;
    Some(Word {
        letter,
        value: number.parse().ok()?,
        decimals: part.trim_end_matches('0').len(),
    })
}

impl State {
    fn act(&mut self, act: Act) {
        self.acts.push((self.line, act));
    }

    fn take(&mut self, line: &str) {
        let Some(words) = words(line) else {
            return self.act(Act::Bad("no words"));
        };
        let before = (self.scale, self.feed, self.motion, self.digit, self.offset);
        let acts = self.acts.len();
        if let Err(problem) = self.execute(&words) {
            (self.scale, self.feed, self.motion, self.digit, self.offset) = before;
            self.acts.truncate(acts);
            self.act(Act::Bad(problem));
        }
    }

    fn execute(&mut self, words: &[Word]) -> Result<(), &'static str> {
        let value = |letter: char| words.iter().find(|word| word.letter == letter).copied();
        for word in words {
            let alike = words
                .iter()
                .filter(|other| other.letter == word.letter)
                .count();
            if alike > 1 && !"GM".contains(word.letter) {
                return Err("a letter twice");
            }
            if word.value < 0.0 && !"XYZIJ".contains(word.letter) {
                return Err("a negative value");
            }
        }
        let codes = |letter: char| -> Vec<u32> {
            words
                .iter()
                .filter(|word| word.letter == letter)
                .map(|word| word.value.round() as u32)
                .collect()
        };
        let (g, m) = (codes('G'), codes('M'));
        let motions: Vec<u32> = g
            .iter()
            .copied()
            .filter(|code| *code <= 3 || *code == 80)
            .collect();
        let twice = |members: &[u32]| g.iter().filter(|code| members.contains(code)).count() > 1;
        if motions.len() > 1
            || twice(&[4, 53])
            || twice(&[20, 21])
            || twice(&[54, 55, 56, 57, 58, 59])
        {
            return Err("two of a group");
        }
        let known = [
            0, 1, 2, 3, 4, 17, 20, 21, 40, 43, 49, 53, 54, 55, 56, 57, 58, 59, 80, 90, 94,
        ];
        if g.iter().any(|code| !known.contains(code)) {
            return Err("an unknown G");
        }
        if m.iter()
            .any(|code| ![0, 2, 3, 5, 6, 7, 8, 9, 30].contains(code))
            || m.iter().filter(|code| [0, 2, 30].contains(code)).count() > 1
            || (m.contains(&3) && m.contains(&5))
        {
            return Err("an unknown M");
        }
        if let Some(feed) = value('F') {
            self.feed = feed.value
                * if g.contains(&20) {
                    25.4
                } else if g.contains(&21) {
                    1.0
                } else {
                    self.scale
                };
        }
        if let Some(speed) = value('S') {
            self.act(Act::Speed(speed.value));
        }
        if let Some(tool) = value('T') {
            self.act(Act::Tool(tool.value as u32));
        }
        if m.contains(&6) {
            self.act(Act::ToolChange);
        }
        if m.contains(&3) || m.contains(&5) {
            self.act(Act::Spindle(m.contains(&3)));
        }
        if g.contains(&4) {
            let time = value('P').ok_or("a dwell without P")?;
            let scale = if self.meaning.milliseconds { 1e-3 } else { 1.0 };
            self.act(Act::Dwell(time.value * scale));
        } else if value('P').is_some() {
            return Err("P without a dwell");
        }
        for (code, name) in [
            (17, "plane"),
            (20, "units"),
            (21, "units"),
            (40, "compensation"),
            (49, "length"),
            (90, "distance"),
            (94, "feed mode"),
        ] {
            if g.contains(&code) {
                self.act(Act::State(name));
            }
        }
        if g.contains(&43) {
            let number = value('H').ok_or("G43 without H")?;
            self.act(Act::Length(number.value as u32));
        } else if value('H').is_some() {
            return Err("H without G43");
        }
        if let Some(offset) = g.iter().find(|code| (54..=59).contains(*code)) {
            self.offset = *offset as usize - 54;
            self.act(Act::Offset(*offset as usize));
        }
        if g.contains(&20) {
            self.scale = 25.4;
        } else if g.contains(&21) {
            self.scale = 1.0;
        }
        self.travel(words, &motions, g.contains(&53))?;
        if m.contains(&0) {
            self.act(Act::Pause);
        }
        if m.contains(&2) || m.contains(&30) {
            self.act(Act::End);
            self.ended = true;
        }
        Ok(())
    }

    fn travel(
        &mut self,
        words: &[Word],
        motions: &[u32],
        machine_frame: bool,
    ) -> Result<(), &'static str> {
        let value = |letter: char| words.iter().find(|word| word.letter == letter).copied();
        let named = ['X', 'Y', 'Z'].map(|letter| value(letter).is_some());
        let axes = named.iter().any(|named| *named);
        let explicit = motions.first().copied();
        if let Some(code) = explicit {
            self.motion = (code != 80).then_some(code as u8);
            if code == 80 && axes {
                return Err("axis words with G80");
            }
            if code != 80 && !axes {
                return Err("a motion without axis words");
            }
        }
        let offsets = [value('I'), value('J')];
        let is_arc = matches!(self.motion, Some(2 | 3)) && axes;
        if offsets.iter().any(Option::is_some) && !is_arc {
            return Err("I or J without an arc");
        }
        if !axes {
            return if machine_frame {
                Err("G53 without axis words")
            } else {
                Ok(())
            };
        }
        let motion = self.motion.ok_or("axis words without a motion")?;
        if machine_frame && motion > 1 {
            return Err("an arc in machine coordinates");
        }
        self.digit = words
            .iter()
            .filter(|word| "XYZ".contains(word.letter))
            .map(|word| self.scale * 10_f64.powi(-(word.decimals as i32)))
            .fold(self.digit, f64::min);
        let origin = if machine_frame {
            self.meaning.machine
        } else {
            Some(self.meaning.offsets[self.offset])
        };
        let from = self.at;
        let mut to = from;
        for (axis, letter) in ['X', 'Y', 'Z'].into_iter().enumerate() {
            if let Some(word) = value(letter) {
                to[axis] = origin.map(|origin| origin[axis] + word.value * self.scale);
            }
        }
        if motion > 0 && self.feed <= 0.0 {
            return Err("no feed");
        }
        let mut arc = None;
        if motion >= 2 {
            let ([Some(x), Some(y), _], [Some(end_x), Some(end_y), _]) = (from, to) else {
                return Err("an arc from nowhere");
            };
            if !(named[0] || named[1]) || offsets.iter().all(Option::is_none) {
                return Err("an arc without its words");
            }
            let offset = offsets.map(|word| word.map_or(0.0, |word| word.value * self.scale));
            let center = [x + offset[0], y + offset[1]];
            let radius = offset[0].hypot(offset[1]);
            let end_radius = (end_x - center[0]).hypot(end_y - center[1]);
            let tolerance = if self.scale > 1.0 {
                0.0002 * 25.4
            } else {
                0.002
            };
            if (radius - end_radius).abs() > tolerance + 1e-9 || radius == 0.0 {
                return Err("radii differ");
            }
            let start = (-offset[1]).atan2(-offset[0]);
            let end = (end_y - center[1]).atan2(end_x - center[0]);
            let whole = 2.0 * std::f64::consts::PI;
            let mut sweep = (end - start).rem_euclid(whole);
            if motion == 2 {
                sweep = whole - sweep;
            }
            if (x, y) == (end_x, end_y) || sweep == 0.0 {
                sweep = whole;
            }
            arc = Some((center, if motion == 2 { -sweep } else { sweep }));
        }
        self.at = to;
        self.act(Act::Move(Step {
            from,
            to,
            named,
            rapid: motion == 0,
            arc,
            feed: self.feed,
            digit: self.digit.min(0.0254),
            machine_frame,
        }));
        Ok(())
    }
}
