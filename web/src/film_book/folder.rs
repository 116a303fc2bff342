//! The folder in which the scans of a roll are, chosen once and opened again by one tap.

use super::{measured::turn, review::Table};
use crate::{
    browser::{
        folder::{self, Folder, Shut},
        later::spawn_local,
        pictures,
    },
    parts::{Part, follows},
    piece::{button, row},
};

/// Buttons to choose a folder and to open it again; none where the browser has no such thing.
pub(super) fn buttons(table: Table) -> Part {
    if !folder::can_choose() {
        return Part::Nothing;
    }
    follows(move || {
        let again = table.folder.get().map(|known| {
            let named = format!("Open the folder “{}” again", known.name());
            // What is to be done next, until the files themselves lie here.
            let is_next = table
                .scans
                .with(|scans| scans.iter().all(|scan| scan.whole.is_none()));
            let class = if is_next { "main" } else { "" };
            button(class, named, move || {
                spawn_local(open(table, Some(known.clone())));
            })
        });
        let choose = button("", "Choose a folder of scans", move || {
            spawn_local(open(table, None));
        });
        row([again, Some(choose)])
    })
}

/// Lays the pictures of a folder on the table, as if they had been chosen: of one that is known, or that the person chooses now and
/// that is known from then on. Where it cannot be, the table stays as it is, and why is said.
async fn open(table: Table, known: Option<Folder>) {
    let is_known = known.is_some();
    let (folder, found) = match known {
        Some(known) => (Some(known.clone()), known.pictures().await),
        None => match folder::choose().await {
            Ok(chosen) => (Some(chosen.clone()), chosen.pictures().await),
            Err(why) => (None, Err(why)),
        },
    };
    if turn(table).is_none() {
        return;
    }
    let name = folder.as_ref().map(Folder::name);
    let name = name.unwrap_or_default();
    let said = match found {
        Ok(files) if !files.is_empty() => {
            table.take(files);
            if let Some(folder) = folder.filter(|_| !is_known) {
                table.folder.put(Some(folder.clone()));
                // OK to leave it: it is chosen anew at the next visit.
                let _ = pictures::keep_folder(&table.roll.id(), &folder).await;
            }
            return;
        }
        // Whoever leaves the choice knows that nothing was chosen.
        Err(Shut::Left) => return,
        Ok(_) => format!("There is no picture in “{name}”. What lies here stays."),
        Err(_) if folder.is_none() => {
            "The browser does not let the page open a folder. Choose the scans themselves instead."
                .to_owned()
        }
        Err(Shut::Refused) => format!(
            "The page may not look into “{name}”. What lies here stays; press once more to be asked again."
        ),
        Err(Shut::Gone) => format!(
            "“{name}” cannot be read: it is not where it was. What lies here stays; choose the folder anew."
        ),
    };
    table.roll.room.said.set(said);
}
