//! One line on what takes long: on standard error, on a terminal only, after a second.

use std::io::{IsTerminal, Write};
use std::sync::{Arc, Condvar, Mutex, PoisonError};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

/// Work shorter than this is not told.
const PATIENCE: Duration = Duration::from_secs(1);
/// Time between two lines.
const TICK: Duration = Duration::from_millis(200);

#[derive(Default)]
struct Shared {
    doing: Mutex<Doing>,
    wake: Condvar,
}

#[derive(Default)]
struct Doing {
    what: String,
    done: bool,
}

/// Tells what is being done; the line is wiped when it is dropped.
pub struct Progress(Option<(Arc<Shared>, JoinHandle<()>)>);

impl Progress {
    /// Starts to watch the clock.
    #[must_use]
    pub fn start() -> Self {
        if !std::io::stderr().is_terminal() {
            return Self(None);
        }
        let shared = Arc::new(Shared::default());
        let theirs = Arc::clone(&shared);
        let watch = std::thread::Builder::new().spawn(move || watch(&theirs));
        Self(watch.ok().map(|thread| (shared, thread)))
    }

    /// Says what is being done from now on.
    pub fn tell(&self, what: impl Into<String>) {
        if let Some((shared, _)) = &self.0 {
            shared
                .doing
                .lock()
                .unwrap_or_else(PoisonError::into_inner)
                .what = what.into();
        }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if let Some((shared, thread)) = self.0.take() {
            shared
                .doing
                .lock()
                .unwrap_or_else(PoisonError::into_inner)
                .done = true;
            shared.wake.notify_all();
            let _ = thread.join();
        }
    }
}

fn watch(shared: &Shared) {
    let start = Instant::now();
    let mut shown = false;
    let mut doing = shared.doing.lock().unwrap_or_else(PoisonError::into_inner);
    let mut stderr = std::io::stderr();
    while !doing.done {
        doing = match shared.wake.wait_timeout(doing, TICK) {
            Ok((guard, _)) => guard,
            Err(poisoned) => poisoned.into_inner().0,
        };
        if !doing.done && start.elapsed() >= PATIENCE {
            shown = true;
            let _ = write!(
                stderr,
                "\r\x1b[K{} … {} s",
                doing.what,
                start.elapsed().as_secs()
            );
            let _ = stderr.flush();
        }
    }
    if shown {
        let _ = write!(stderr, "\r\x1b[K");
        let _ = stderr.flush();
    }
}
