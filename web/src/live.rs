//! Values that what is shown follows.
//!
//! A signal of the library is its own copy of the library's code for each type of value. So a value here lies behind one
//! type for all, and what is generic is thin.

use std::{any::Any, cell::RefCell, marker::PhantomData, rc::Rc};

use reactive_graph::{
    computed::Memo,
    effect::Effect,
    owner::{LocalStorage, StoredValue},
    signal::Trigger,
    traits::{GetUntracked as _, GetValue as _, Notify as _, Track as _},
};

type Cell = Rc<dyn Any>;

/// A value that changes: what reads it in [`follow`] or in a [`Part`](crate::parts::Part) that follows is run again.
///
/// It lives as long as the part of the page that made it.
pub(crate) struct Live<T> {
    cell: StoredValue<Cell, LocalStorage>,
    changes: Trigger,
    of: PhantomData<fn() -> T>,
}

impl<T> Clone for Live<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T> Copy for Live<T> {}

const GONE: &str = "a value is read after the page that it belongs to is gone";

fn cell_of(cell: StoredValue<Cell, LocalStorage>) -> Option<Cell> {
    cell.try_get_value()
}

fn as_cell<T: 'static>(cell: &Cell) -> &RefCell<T> {
    cell.downcast_ref()
        .expect("a value of the type it was made with")
}

impl<T: 'static> Live<T> {
    /// A value, and what it begins with.
    pub(crate) fn new(start: T) -> Self {
        Self {
            cell: StoredValue::new_local(Rc::new(RefCell::new(start))),
            changes: Trigger::new(),
            of: PhantomData,
        }
    }

    /// What is made of it, again after each change.
    pub(crate) fn with<U>(self, of: impl FnOnce(&T) -> U) -> U {
        self.changes.track();
        self.once(of)
    }

    /// The same once, where nothing is to follow.
    pub(crate) fn once<U>(self, of: impl FnOnce(&T) -> U) -> U {
        self.try_once(of).expect(GONE)
    }

    /// The same; none where the page that it belongs to is gone.
    pub(crate) fn try_once<U>(self, of: impl FnOnce(&T) -> U) -> Option<U> {
        let cell = cell_of(self.cell)?;
        let value = as_cell::<T>(&cell).borrow();
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
            self.changes.notify();
        }
        done
    }

    /// Changes it in place, which says itself whether anything is to follow.
    pub(crate) fn perhaps(self, change: impl FnOnce(&mut T) -> bool) {
        if self.quietly(change) == Some(true) {
            self.changes.notify();
        }
    }

    /// The same where nothing is to follow.
    pub(crate) fn quietly<U>(self, change: impl FnOnce(&mut T) -> U) -> Option<U> {
        let cell = cell_of(self.cell)?;
        let mut value = as_cell::<T>(&cell).borrow_mut();
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
