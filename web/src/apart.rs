//! What of a program is fetched when it is first wanted.
//!
//! A build takes a program apart at one function: all that nothing else reaches goes into a file of its own. The two share their
//! memory, so whatever the program knows is there for what comes later, and the other way round.

use std::{future::Future, pin::Pin};

use crate::{
    browser::{later::spawn_local, page},
    live::Live,
    parts::{Part, parts, turns},
    piece::{button, row, said},
    sheet::Sheet,
};

/// It, once it is there; nothing where it could not be had.
pub type Coming<A> = Pin<Box<dyn Future<Output = Option<&'static A>>>>;

/// What fetches it.
pub type Fetch<A> = fn() -> Coming<A>;

const COMES: &str = "This part of the page is coming…";
const FAILED: &str = "This part of the page could not be loaded. Check the connection and try again. If that does not help, reload \
     the page: its host may have a newer version. Nothing is lost.";

/// How far it is.
enum State<A: 'static> {
    NotAsked,
    Comes,
    Failed,
    Here(&'static A),
}

impl<A> Clone for State<A> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<A> Copy for State<A> {}

/// Where it is once it was fetched.
pub(crate) struct Drawer<A: 'static> {
    fetch: Fetch<A>,
    state: Live<State<A>>,
}

impl<A> Clone for Drawer<A> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<A> Copy for Drawer<A> {}

impl<A> Drawer<A> {
    /// Nothing is fetched yet.
    pub(crate) fn new(fetch: Fetch<A>) -> Self {
        Self {
            fetch,
            state: Live::new(State::NotAsked),
        }
    }

    /// It, where it is there.
    pub(crate) fn here(self) -> Option<&'static A> {
        match self.state.now() {
            State::Here(apart) => Some(apart),
            _ => None,
        }
    }

    /// Fetches it, unless it is there or on its way.
    fn bring(self, sheet: Sheet) {
        let state = self.state;
        match state.now() {
            State::Comes | State::Here(_) => return,
            State::Failed => {
                state.put(State::Comes);
                sheet.keep_focus();
            }
            // The same is shown for both, perhaps by who asks.
            State::NotAsked => {
                state.quietly(|state| *state = State::Comes);
            }
        }
        spawn_local(async move {
            let came = (self.fetch)().await;
            state.put(came.map_or(State::Failed, State::Here));
            sheet.keep_focus();
        });
    }

    /// A page of it on this sheet, which is made once it is there.
    pub(crate) fn page(self, sheet: Sheet, page: impl Fn(&'static A) -> Part + 'static) -> Part {
        self.bring(sheet);
        turns(
            move || self.state.get(),
            move |state| match state {
                State::Here(apart) => page(apart),
                _ => self.missing(sheet, state),
            },
        )
    }

    /// A piece of what is described anew when something changes.
    pub(crate) fn piece(self, sheet: Sheet, piece: impl FnOnce(&'static A) -> Part) -> Part {
        let state = self.state.get();
        match state {
            State::Here(apart) => piece(apart),
            _ => {
                if matches!(state, State::NotAsked) {
                    self.bring(sheet);
                }
                self.missing(sheet, state)
            }
        }
    }

    /// What is said in its place.
    fn missing(self, sheet: Sheet, state: State<A>) -> Part {
        let failed = matches!(state, State::Failed);
        let buttons = failed.then(|| {
            row([
                button("", "Try again", move || self.bring(sheet)),
                button("", "Reload", page::reload),
            ])
        });
        let (class, words) = if failed {
            ("notice", FAILED)
        } else {
            ("reason", COMES)
        };
        parts![said(class, words).attr("role", "status"), buttons]
    }
}
