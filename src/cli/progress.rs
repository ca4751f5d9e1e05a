//! A progress bar for work over a second, on a terminal only.

use super::Manner;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::time::Duration;

/// Progress over several pieces of work; gone when dropped.
pub(crate) struct Bar {
    bar: ProgressBar,
    /// Dropping it tells the waiting thread to give up.
    _done: Option<Sender<()>>,
}

impl Bar {
    /// A bar over `pieces`, which appears after a second if the manner allows it.
    pub(crate) fn new(pieces: usize, manner: Manner) -> Self {
        Self::of(pieces, "charted", manner)
    }

    /// The same for pieces that are something else than charted when done.
    pub(crate) fn of(pieces: usize, done: &'static str, manner: Manner) -> Self {
        let bar = ProgressBar::with_draw_target(Some(pieces as u64), ProgressDrawTarget::hidden());
        if !manner.progress {
            return Self { bar, _done: None };
        }
        if let Ok(style) = ProgressStyle::with_template("{spinner} {pos} of {len} {msg}, {elapsed}")
        {
            bar.set_style(style);
        }
        bar.set_message(done);
        let (sender, receiver) = channel::<()>();
        let shown = bar.clone();
        std::thread::spawn(move || {
            if receiver.recv_timeout(Duration::from_secs(1)) == Err(RecvTimeoutError::Timeout) {
                shown.set_draw_target(ProgressDrawTarget::stderr());
                shown.enable_steady_tick(Duration::from_millis(120));
            }
        });
        Self {
            bar,
            _done: Some(sender),
        }
    }

    /// One piece is done.
    pub(crate) fn step(&self) {
        self.bar.inc(1);
    }
}

impl Drop for Bar {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}
