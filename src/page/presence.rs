//! Who is connected, and since when nobody is there who knows the token.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use tokio::task::AbortHandle;

/// Connections at once that have not shown the token yet; of more the oldest
/// ends, so that there is always room for the next. A browser opens six.
const STRANGERS: usize = 64;

/// Who is there.
pub(super) struct Presence(Mutex<State>);

struct State {
    last: Instant,
    next: u64,
    /// The oldest first.
    strangers: VecDeque<(u64, AbortHandle)>,
}

impl Presence {
    pub(super) fn new() -> Arc<Self> {
        Arc::new(Self(Mutex::new(State {
            last: Instant::now(),
            next: 0,
            strangers: VecDeque::new(),
        })))
    }

    fn state(&self) -> MutexGuard<'_, State> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// How long ago the token was last shown.
    pub(super) fn alone_for(&self) -> Duration {
        self.state().last.elapsed()
    }

    /// Lets a connection in.
    pub(super) fn enter(self: &Arc<Self>) -> Guest {
        let mut state = self.state();
        state.next += 1;
        Guest {
            presence: Arc::clone(self),
            number: state.next,
        }
    }

    /// The work of a guest who has not shown the token yet.
    pub(super) fn watch(&self, guest: u64, work: AbortHandle) {
        let mut state = self.state();
        state.strangers.push_back((guest, work));
        let is_full = state.strangers.len() > STRANGERS;
        let oldest = is_full.then(|| state.strangers.pop_front()).flatten();
        // What ends leaves by this lock.
        drop(state);
        if let Some((_, work)) = oldest {
            work.abort();
        }
    }
}

/// One connection.
pub(super) struct Guest {
    presence: Arc<Presence>,
    number: u64,
}

impl Guest {
    pub(super) fn number(&self) -> u64 {
        self.number
    }

    /// The token was shown.
    pub(super) fn is_known(&self) {
        let mut state = self.presence.state();
        state.last = Instant::now();
        state.strangers.retain(|(other, _)| *other != self.number);
    }
}

impl Drop for Guest {
    fn drop(&mut self) {
        let mut state = self.presence.state();
        state.strangers.retain(|(other, _)| *other != self.number);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_who_shows_the_token_is_there_and_strangers_make_room() {
        let runtime = tokio::runtime::Builder::new_current_thread()
            .build()
            .unwrap();
        runtime.block_on(async {
            let presence = Presence::new();
            let known = presence.enter();
            let mut tasks = Vec::new();
            let mut guests = Vec::new();
            let pause = Duration::from_millis(30);
            std::thread::sleep(pause);
            for index in 0..STRANGERS + 9 {
                let task = tokio::spawn(std::future::pending::<()>());
                let guest = presence.enter();
                presence.watch(guest.number(), task.abort_handle());
                if index == 1 {
                    assert!(presence.alone_for() >= pause);
                    guest.is_known();
                    assert!(presence.alone_for() < pause);
                }
                guests.push(guest);
                tasks.push(task);
            }
            tokio::task::yield_now().await;
            let ended = tasks.iter().filter(|task| task.is_finished());
            assert_eq!(ended.count(), 8);
            assert!(tasks[0].is_finished() && !tasks[1].is_finished());
            drop(guests);
            assert!(presence.state().strangers.is_empty());
            drop(known);
        });
    }
}
