//! What the page does with the job: shows it, changes it, takes a change back,
//! writes what is made of it.

use std::path::PathBuf;
use std::sync::{Mutex, MutexGuard, PoisonError};

use axum::http::StatusCode;

use super::answer::Answer;
use super::beside;
use super::change;
use super::clamp;
use super::fields::{self, FieldSet};
use super::mistakes;
use super::next_box;
use super::now::{self, Now};
use super::panel::Panel;
use super::piece;
use super::plug;
use super::proof;
use super::proved;
use super::reach::Reach;
use super::readings;
use super::section::Section;
use super::shown::Shown;
use super::typed::{self, Typed};
use super::view::{self, Tab, Told, View};
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::files::{self, Edited, Starter};
use crate::produce::{Made, Order, quoted};
use crate::units::Units;

/// Where programs and sheet go, beside the job, where nothing else is said.
const FOLDER: &str = "out";

/// The job and what was done last.
pub(super) struct Desk {
    path: PathBuf,
    token: String,
    state: Mutex<State>,
}

#[derive(Default)]
struct State {
    /// None while there is no job file.
    reach: Option<Reach>,
    /// Told once, on the next page.
    told: Option<Told>,
    /// The text before the last change, and the digest of the one after it.
    before: Option<(String, String)>,
    /// Whether the cautions have been read.
    is_cautioned: bool,
    /// Where programs were written last.
    folder: Option<PathBuf>,
    /// The test piece that was written last.
    piece: Typed,
    shown: Shown,
}

impl Desk {
    pub(super) fn new(path: PathBuf, token: &str) -> Self {
        let state = State {
            reach: Reach::of(&path).filter(|_| path.exists()),
            ..State::default()
        };
        Self {
            path,
            token: token.to_owned(),
            state: Mutex::new(state),
        }
    }

    fn state(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn name(&self) -> String {
        self.path.display().to_string()
    }

    fn now(&self) -> Result<Now, Diagnostic> {
        let Some(reach) = self.state().reach.clone() else {
            return Err(Diagnostic::new("no-job", "there is no job file yet"));
        };
        Now::read(&self.path, &reach)
    }

    /// A section as the files stand now.
    pub(super) fn show(&self, section: Section, typed: &Typed) -> Answer {
        let told = self.state().told.take();
        self.page(section, StatusCode::OK, told, typed)
    }

    fn refuse(&self, section: Section, errors: &[Diagnostic], typed: &Typed) -> Answer {
        let words = errors
            .iter()
            .flat_map(|error| [Some(&error.message), error.help.as_ref()]);
        let told = Told {
            is_refusal: true,
            words: words.flatten().cloned().collect(),
            ..Told::default()
        };
        self.page(section, StatusCode::CONFLICT, Some(told), typed)
    }

    fn page(
        &self,
        section: Section,
        status: StatusCode,
        told: Option<Told>,
        typed: &Typed,
    ) -> Answer {
        let view = match self.now() {
            Ok(now) => {
                let is_refusal = told.as_ref().is_some_and(|told| told.is_refusal);
                let panel = self.panel(section, &now, typed);
                let mut view = self.view(section, &now, told);
                if is_refusal {
                    let own = self.state().shown.own(typed);
                    fields::keep(&own, &mut view.sets);
                    if let Some(folder) = typed::of(typed, "folder") {
                        folder.clone_into(&mut view.folder);
                    }
                }
                self.state().shown.remember(&now);
                View { panel, ..view }
            }
            Err(error) => self.without(section, &error, told),
        };
        Self::rendered(status, &view)
    }

    fn rendered(status: StatusCode, view: &View) -> Answer {
        match view::html(view) {
            Ok(text) => Answer::Page(status, text),
            Err(error) => Answer::Words(StatusCode::INTERNAL_SERVER_ERROR, error.to_string()),
        }
    }

    /// What is asked for here besides keys of the job.
    fn panel(&self, section: Section, now: &Now, typed: &Typed) -> Panel {
        let last = self.state().piece.clone();
        let (meant, taken) = typed::meant(typed, now.units);
        let typed = &meant;
        let mut panel = match section {
            Section::Piece => {
                let typed = if typed.is_empty() { &last } else { typed };
                piece::panel(now, &self.path, &self.out(), typed)
            }
            Section::Readings => readings::panel(now, &self.path, &self.out(), typed, &last),
            Section::Next => {
                let reach = self.state().reach.clone();
                let folder = self.out();
                next_box::panel(now, (&self.path, &folder), reach.as_ref(), typed, &last)
            }
            _ => Panel::default(),
        };
        panel.taken = taken;
        panel
    }

    fn view(&self, section: Section, now: &Now, told: Option<Told>) -> View {
        let mut left = mistakes::of(now, &self.path);
        let mut count = left.len();
        let mut all = Section::ALL.map(|section| fields::of(section, now));
        fields::place(&mut left, all.iter_mut().flatten());
        let mut sets = Vec::new();
        let mut tabs = Vec::new();
        for (one, own) in Section::ALL.into_iter().zip(all) {
            if one != section && !proved::is_of(one, now) {
                continue;
            }
            tabs.push(Tab {
                path: one.path(),
                title: one.title(),
                is_here: one == section,
                mistakes: own.iter().map(FieldSet::mistakes).sum(),
            });
            if one == section {
                sets = own;
            }
        }
        let here = tabs.iter().position(|tab| tab.is_here).unwrap_or_default();
        let folder = self.proposed(section);
        let read = now.job.as_ref().ok();
        let proof = read.map(|read| {
            proved::made(section, read, &folder, |made, _| {
                proof::of(section, &read.job, made)
            })
        });
        let proof = proof.transpose().unwrap_or_else(|unmade| {
            left.extend(mistakes::told(now, &self.path, &unmade));
            count += left.len();
            None
        });
        View {
            title: read.map_or_else(
                || now.shown("title").to_owned(),
                |read| read.job.title.clone(),
            ),
            next: tabs.get(here + 1).cloned(),
            proof,
            folder: folder
                .file_name()
                .map(|name| name.to_string_lossy().into_owned())
                .unwrap_or_default(),
            command: proved::command(section, &self.name(), &folder),
            digest: now.digest.clone(),
            mistakes: left,
            count,
            sets,
            tabs,
            ..self.bare(section, told, true)
        }
    }

    /// A page without the job, which cannot be read or is not there.
    fn without(&self, section: Section, error: &Diagnostic, told: Option<Told>) -> View {
        let is_there = self.state().reach.is_some();
        let told = told.or_else(|| {
            is_there.then(|| Told {
                is_refusal: true,
                words: vec![error.to_string()],
                ..Told::default()
            })
        });
        View {
            command: format!(
                "stepwell init {}{}",
                quoted(&self.name()),
                beside::shop_options(&self.path)
            ),
            ..self.bare(section, told, is_there)
        }
    }

    fn bare(&self, section: Section, told: Option<Told>, is_there: bool) -> View {
        View {
            token: self.token.clone(),
            title: String::new(),
            file: self.name(),
            is_there,
            is_draft: false,
            path: section.path(),
            section: section.title(),
            aim: section.aim(),
            digest: String::new(),
            tabs: Vec::new(),
            told,
            mistakes: Vec::new(),
            count: 0,
            sets: Vec::new(),
            proof: None,
            panel: Panel::default(),
            proves: section.proves(),
            sheet: match section {
                Section::Template => format!("{}/sheet", section.path()),
                _ => "sheet".to_owned(),
            },
            folder: FOLDER.to_owned(),
            command: String::new(),
            next: None,
        }
    }

    /// Writes what is typed where it differs from what the file says.
    pub(super) fn set(&self, section: Section, typed: &Typed) -> Answer {
        match self.try_set(typed) {
            Ok(told) => {
                self.state().told = told;
                Answer::There(section.path().to_owned())
            }
            Err(error) => self.refuse(section, &[error], typed),
        }
    }

    fn try_set(&self, typed: &Typed) -> Result<Option<Told>, Diagnostic> {
        let now = self.as_seen(typed)?;
        let Some(change) = change::of(&now, &self.name(), typed)? else {
            return Ok(None);
        };
        self.replace(&now.digest, &change.text)?;
        self.state().before = Some((now.text, now::digest(&change.text)));
        Ok(Some(change.told))
    }

    /// The section as it would be with what is typed; nothing is written.
    pub(super) fn draft(&self, section: Section, typed: &Typed) -> Answer {
        match self.try_draft(section, typed) {
            Ok(view) => Self::rendered(StatusCode::OK, &view),
            Err(error) => Answer::Words(StatusCode::CONFLICT, error.to_string()),
        }
    }

    fn try_draft(&self, section: Section, typed: &Typed) -> Result<View, Diagnostic> {
        let now = self.as_seen(typed)?;
        let reach = self.state().reach.clone().ok_or_else(unready)?;
        let typed = &clamp::moved(&now, typed)?;
        let Some(change) = change::of(&now, &self.name(), typed)? else {
            return Ok(self.view(section, &now, None));
        };
        let draft = Now::of(change.text, &self.path, &reach);
        let mut view = self.view(section, &draft, None);
        fields::take(&change.taken, view.sets.iter_mut());
        view.is_draft = true;
        Ok(view)
    }

    /// Replaces the job's text under its lock, where it still is the one of that digest.
    fn replace(&self, seen: &str, text: &str) -> Result<(), Diagnostic> {
        let edited = Edited::open(&self.path)?;
        if now::digest(edited.text()) != seen {
            return Err(change::changed_outside(&self.name()));
        }
        files::replace_all(&[(&edited, text)])
    }

    /// Takes the last change back.
    pub(super) fn undo(&self, section: Section) -> Answer {
        let Some((before, after)) = self.state().before.clone() else {
            let nothing = Diagnostic::new(
                "nothing-to-undo",
                "there is no change of this page to take back",
            );
            return self.refuse(section, &[nothing], &Typed::new());
        };
        if let Err(error) = self.replace(&after, &before) {
            return self.refuse(section, &[error], &Typed::new());
        }
        let mut state = self.state();
        state.before = None;
        state.told = Some(Told {
            words: vec![format!(
                "{} is as it was before the last change",
                self.name()
            )],
            ..Told::default()
        });
        Answer::There(format!("../{}", section.path()))
    }

    /// The sheet of what a section proves, in memory.
    pub(super) fn sheet(&self, section: Section) -> Answer {
        match self.try_sheet(section) {
            Ok(page) => Answer::Sheet(page),
            Err(errors) => {
                let words: Vec<String> = errors.iter().map(ToString::to_string).collect();
                Answer::Words(StatusCode::CONFLICT, words.join("\n"))
            }
        }
    }

    fn try_sheet(&self, section: Section) -> Result<String, Diagnostics> {
        let read = self.now()?.job.map_err(|_| unready())?;
        let folder = self.proposed(section);
        Ok(proved::made(section, &read, &folder, |made, _| {
            made.page()
        })??)
    }

    /// Writes what the section is there for, as the command that it shows does.
    pub(super) fn write(&self, section: Section, typed: &Typed) -> Answer {
        let units = self.now().map_or(Units::default(), |now| now.units);
        let (meant, taken) = typed::meant(typed, units);
        let done = match section {
            Section::Piece => self.try_write_piece(&meant),
            Section::Readings | Section::Next => self.try_enter(section, &meant),
            _ => self.try_write(section, &meant),
        };
        match done {
            Ok(mut told) => {
                told.words.splice(0..0, taken);
                self.state().told = Some(told);
                Answer::There(format!("../{}", section.path()))
            }
            Err(errors) => {
                let mut typed = typed.clone();
                if errors.iter().any(|error| error.code == "question") {
                    typed.push((readings::ASKED.to_owned(), "yes".to_owned()));
                }
                self.refuse(section, &errors, &typed)
            }
        }
    }

    /// The job, where it still is what the form was shown for.
    fn as_seen(&self, typed: &Typed) -> Result<Now, Diagnostic> {
        let now = self.now()?;
        if typed::of(typed, "seen") != Some(now.digest.as_str()) {
            return Err(change::changed_outside(&self.name()));
        }
        Ok(now)
    }

    /// # Errors
    /// Cautions that have not been read.
    fn heed(&self, typed: &Typed) -> Result<(), Diagnostic> {
        if typed::of(typed, "read") != Some("yes") && !self.state().is_cautioned {
            let message = "read what is said before the machine is started, and say so";
            return Err(Diagnostic::new("cautions", message));
        }
        Ok(())
    }

    fn try_write(&self, section: Section, typed: &Typed) -> Result<Told, Diagnostics> {
        let now = self.as_seen(typed)?;
        self.heed(typed)?;
        let read = now.job.map_err(|_| unready())?;
        let named = typed.iter().find(|(name, _)| name == "folder");
        let folder = beside::chosen(&self.path, named.map_or(FOLDER, |(_, name)| name.trim()))?;
        let written = proved::made(section, &read, &folder, |made, order| self.put(made, order))??;
        self.state().folder = Some(folder.clone());
        Ok(Told {
            words: written,
            commands: vec![proved::command(section, &self.name(), &folder)],
            ..Told::default()
        })
    }

    /// Writes a test piece as `test-piece` does.
    fn try_write_piece(&self, typed: &Typed) -> Result<Told, Diagnostics> {
        let now = self.as_seen(typed)?;
        self.heed(typed)?;
        let read = now.job.map_err(|_| unready())?;
        let folder = self.out();
        let written = piece::made(&read, (&self.path, &folder), typed, |made, order| {
            self.put(made, order)
        })??;
        let keep = |(name, _): &&(String, String)| piece::is_asked(name);
        self.state().piece = typed.iter().filter(keep).cloned().collect();
        Ok(Told {
            words: written,
            commands: vec![piece::command(&self.name(), &folder, typed)],
            ..Told::default()
        })
    }

    /// Enters readings as `fit` does and what was run as `ran` does, or writes a run of boxes.
    fn try_enter(&self, section: Section, typed: &Typed) -> Result<Told, Diagnostics> {
        let now = self.as_seen(typed)?;
        let read = now.job?;
        let reach = self.state().reach.clone().ok_or_else(unready)?;
        let folder = self.out();
        let (words, command) = match (section, typed::of(typed, "form")) {
            (Section::Next, Some("boxes")) => {
                self.heed(typed)?;
                let order = next_box::order(&read, &folder, typed)?;
                let words = now::made(&read, &order, |made| self.put(made, &order))?;
                (words, next_box::generate(&self.path, &folder, typed))
            }
            (Section::Next, Some(plug::FORM)) => {
                self.heed(typed)?;
                let put = |made: &Made<'_>, order: &Order<'_>| self.put(made, order);
                let words = plug::made(&self.path, &folder, &reach, typed, put)??;
                (words, plug::command(&self.path, &folder, typed))
            }
            (Section::Next, _) => next_box::enter(&self.path, &folder, &reach, typed)?,
            _ => readings::enter(&self.path, &folder, &reach, typed)?,
        };
        Ok(Told {
            words,
            commands: vec![command],
            ..Told::default()
        })
    }

    /// Writes what was made, and says so.
    fn put(&self, made: &Made<'_>, order: &Order<'_>) -> Result<Vec<String>, Diagnostic> {
        if !made.may_be_written() {
            return Err(unready());
        }
        let reach = self.state().reach.clone().ok_or_else(unready)?;
        let files = made.files(order)?;
        for (path, _) in &files {
            reach.allow(path)?;
        }
        files::write_all(&files, &order.inputs)?;
        self.state().is_cautioned = true;
        let written = files.into_iter();
        Ok(written
            .map(|(path, _)| format!("{} written", path.display()))
            .collect())
    }

    /// Where what a section proves is written, where nothing else is said: a template
    /// beside the job's programs, since readings are entered from one folder.
    fn proposed(&self, section: Section) -> PathBuf {
        match section {
            Section::Template => self.out(),
            _ => self.folder(FOLDER),
        }
    }

    /// The folder that programs were written to last.
    fn out(&self) -> PathBuf {
        let folder = self.state().folder.clone();
        folder.unwrap_or_else(|| self.folder(FOLDER))
    }

    fn folder(&self, name: &str) -> PathBuf {
        beside::folder(&self.path, name)
    }

    /// Writes the starter job with the files that it names.
    pub(super) fn begin(&self) -> Answer {
        let starter = Starter {
            job: self.path.clone(),
            machine: self.folder(beside::MACHINE),
            bits: self.folder(beside::BITS),
            hinges: None,
        };
        match starter.write() {
            Ok(started) => {
                let words = [self.name()].into_iter().chain(started.written);
                let mut state = self.state();
                state.reach = Reach::of(&self.path);
                state.told = Some(Told {
                    words: words.map(|name| format!("{name} written")).collect(),
                    commands: vec![format!(
                        "stepwell init {}{}",
                        quoted(&self.name()),
                        beside::shop_options(&self.path)
                    )],
                    ..Told::default()
                });
                Answer::There(Section::Hinge.path().to_owned())
            }
            Err(error) => self.refuse(Section::Hinge, &[error], &Typed::new()),
        }
    }
}

fn unready() -> Diagnostic {
    let message = "nothing is written before every mistake is mended and every check passes";
    Diagnostic::new("not-proved", message)
}
