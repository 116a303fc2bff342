//! Values that what is shown follows.
//!
//! A signal of the library is its own copy of the library's code for each type of value. So a value here lies behind one
//! type for all, and what is generic is thin.

use std::{any::Any, cell::RefCell, marker::PhantomData, rc::Rc};

use leptos::reactive::{
    computed::Memo,
    effect::Effect,
    owner::{LocalStorage, StoredValue},
    signal::ArcTrigger,
    traits::{GetUntracked as _, GetValue as _, Notify as _, Track as _},
};

/// A value of whatever type, and who is told of its changes.
struct Held {
    value: Box<dyn Any>,
    changes: ArcTrigger,
}

/// A value that changes: what reads it in [`follow`] or in a [`Part`](crate::parts::Part) that follows is run again.
///
/// It lives as long as the part of the page that made it.
pub(crate) struct Live<T> {
    // One word, for many are handed from one closure to the next.
    held: StoredValue<Rc<Held>, LocalStorage>,
    of: PhantomData<fn() -> T>,
}

impl<T> Clone for Live<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T> Copy for Live<T> {}

const GONE: &str = "a value is read after the page that it belongs to is gone";

fn held_by(held: StoredValue<Rc<Held>, LocalStorage>) -> Option<Rc<Held>> {
    held.try_get_value()
}

fn hold(value: Box<dyn Any>) -> StoredValue<Rc<Held>, LocalStorage> {
    StoredValue::new_local(Rc::new(Held {
        value,
        changes: ArcTrigger::new(),
    }))
}

fn track(held: StoredValue<Rc<Held>, LocalStorage>) {
    held_by(held).expect(GONE).changes.track();
}

fn notify(held: StoredValue<Rc<Held>, LocalStorage>) {
    if let Some(held) = held_by(held) {
        held.changes.notify();
    }
}

fn as_cell<T: 'static>(held: &Held) -> &RefCell<T> {
    held.value
        .downcast_ref()
        .expect("a value of the type it was made with")
}

impl<T: 'static> Live<T> {
    /// A value, and what it begins with.
    pub(crate) fn new(start: T) -> Self {
        Self {
            held: hold(Box::new(RefCell::new(start))),
            of: PhantomData,
        }
    }

    /// What is made of it, again after each change.
    pub(crate) fn with<U>(self, of: impl FnOnce(&T) -> U) -> U {
        track(self.held);
        self.once(of)
    }

    /// The same once, where nothing is to follow.
    pub(crate) fn once<U>(self, of: impl FnOnce(&T) -> U) -> U {
        self.try_once(of).expect(GONE)
    }

    /// The same; none where the page that it belongs to is gone.
    pub(crate) fn try_once<U>(self, of: impl FnOnce(&T) -> U) -> Option<U> {
        let held = held_by(self.held)?;
        let value = as_cell::<T>(&held).borrow();
        Some(of(&value))
    }

    /// The value, again after each change.
    pub(crate) fn get(self) -> T
    where
        T: Clone,
    {
        self.with(T::clone)
    }

    /// The value as it stands.
    pub(crate) fn now(self) -> T
    where
        T: Clone,
    {
        self.once(T::clone)
    }

    /// Sets it; nothing follows where it stands so already.
    pub(crate) fn set(self, value: T)
    where
        T: PartialEq,
    {
        if self.try_once(|before| *before == value) == Some(false) {
            self.put(value);
        }
    }

    /// Sets it, for what cannot be compared.
    pub(crate) fn put(self, value: T) {
        self.update(|before| *before = value);
    }

    /// Changes it in place.
    pub(crate) fn update<U>(self, change: impl FnOnce(&mut T) -> U) -> Option<U> {
        let done = self.quietly(change);
        if done.is_some() {
            notify(self.held);
        }
        done
    }

    /// Changes it in place, which says itself whether anything is to follow.
    pub(crate) fn perhaps(self, change: impl FnOnce(&mut T) -> bool) {
        if self.quietly(change) == Some(true) {
            notify(self.held);
        }
    }

    /// The same where nothing is to follow.
    pub(crate) fn quietly<U>(self, change: impl FnOnce(&mut T) -> U) -> Option<U> {
        let held = held_by(self.held)?;
        let mut value = as_cell::<T>(&held).borrow_mut();
        Some(change(&mut value))
    }
}

/// Does something now, and again after each change of what it reads, as long as the part of the page is there that asks.
pub(crate) fn follow(what: impl Fn() + 'static) {
    follow_boxed(Box::new(what));
}

fn follow_boxed(what: Box<dyn Fn()>) {
    Effect::new(move |_| what());
}

/// Something that is worked out of live values: again only when they change and somebody asks.
pub(crate) struct Worked<T> {
    of: Live<Option<T>>,
    changes: Memo<u32>,
}

impl<T> Clone for Worked<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T> Copy for Worked<T> {}

impl<T: PartialEq + 'static> Worked<T> {
    pub(crate) fn new(work: impl Fn() -> T + 'static) -> Self {
        Self::boxed(Box::new(work))
    }

    fn boxed(work: Box<dyn Fn() -> T>) -> Self {
        let of = Live::new(None);
        let changes = count_changes(Box::new(move || {
            let now = Some(work());
            let differs = of.once(|before| *before != now);
            if differs {
                of.quietly(|before| *before = now);
            }
            differs
        }));
        Self { of, changes }
    }

    /// What is made of it, again after each change.
    pub(crate) fn with<U>(self, of: impl FnOnce(&T) -> U) -> U {
        self.changes.track();
        self.once(of)
    }

    /// The same once, where nothing is to follow.
    pub(crate) fn once<U>(self, of: impl FnOnce(&T) -> U) -> U {
        // Works it out where it has changed.
        self.changes.get_untracked();
        self.of
            .once(|worked| worked.as_ref().map(of))
            .expect("it was worked out")
    }

    /// The value, again after each change.
    pub(crate) fn get(self) -> T
    where
        T: Clone,
    {
        self.with(T::clone)
    }

    /// The value as it stands.
    pub(crate) fn now(self) -> T
    where
        T: Clone,
    {
        self.once(T::clone)
    }
}

/// How often something came out differently.
fn count_changes(differs: Box<dyn Fn() -> bool>) -> Memo<u32> {
    let differs: StoredValue<Rc<dyn Fn() -> bool>, LocalStorage> =
        StoredValue::new_local(Rc::from(differs));
    Memo::new(move |before: Option<&u32>| {
        let differs = differs.get_value();
        before
            .copied()
            .unwrap_or_default()
            .wrapping_add(u32::from(differs()))
    })
}
