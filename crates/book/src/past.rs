//! What a written record has behind it, so that two writings of it can be told apart: one that goes on from the other, and
//! two that know nothing of each other.

/// How many pages a past names. More than this many write one record only over years.
const MOST_PAGES: usize = 8;

/// The past of a written record: for each page that wrote it lately, how far that page's counting had come.
///
/// Counts go up by one from the highest that was known, so the highest of all is the newest writing. A page's own writings
/// follow each other, so a past has all of them up to the count it names.
///
/// Written `17.k3f9 12.x2`, the newest first; names have no space.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Past(Vec<(u64, String)>);

impl Past {
    /// Of a record that was written before records had a past: named by what is in it.
    pub(crate) fn of_text(text: &str) -> Self {
        Self(vec![(0, format!("={:016x}", crate::text::hash(text)))])
    }

    /// Reads what [`text`](Self::text) writes.
    pub(crate) fn parse(text: &str) -> Option<Self> {
        let pages: Option<Vec<(u64, String)>> = text
            .split(' ')
            .map(|part| {
                let (count, page) = part.split_once('.')?;
                let count = count.parse().ok()?;
                // Counting on from the last number there is would begin anew.
                (!page.is_empty() && count < u64::MAX).then(|| (count, page.to_owned()))
            })
            .collect();
        pages.filter(|pages| pages.len() <= MOST_PAGES).map(Self)
    }

    /// As it is written.
    #[must_use]
    pub fn text(&self) -> String {
        let parts: Vec<String> = self
            .0
            .iter()
            .map(|(count, page)| format!("{count}.{page}"))
            .collect();
        parts.join(" ")
    }

    /// Whether this goes on from the newest writing of the other, or is the same.
    #[must_use]
    pub fn has(&self, other: &Self) -> bool {
        other.0.first().is_none_or(|(count, page)| {
            self.0
                .iter()
                .any(|(known, name)| name == page && known >= count)
        })
    }

    /// The past of what a page writes next over this.
    #[must_use]
    pub(crate) fn next(&self, page: &str) -> Self {
        let count = self.0.first().map_or(0, |(count, _)| *count) + 1;
        let rest = self.0.iter().filter(|(_, name)| name != page).cloned();
        let mut pages = vec![(count, page.to_owned())];
        pages.extend(rest.take(MOST_PAGES - 1));
        Self(pages)
    }

    /// Both pasts in one: of what was made of two writings.
    #[must_use]
    pub(crate) fn joined(&self, other: &Self) -> Self {
        let mut pages = self.0.clone();
        for (count, page) in &other.0 {
            match pages.iter_mut().find(|(_, name)| name == page) {
                Some((known, _)) => *known = (*known).max(*count),
                None => pages.push((*count, page.clone())),
            }
        }
        pages.sort_by(|a, b| b.cmp(a));
        pages.truncate(MOST_PAGES);
        Self(pages)
    }
}
