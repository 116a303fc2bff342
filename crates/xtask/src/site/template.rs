//! Filling names into the page: `{{key}}`, and nothing cleverer.

use anyhow::{Context, Result, bail};

/// Replaces every `{{key}}`; a key that is not among the values, or a value that is never used, is an error.
pub(crate) fn fill(text: &str, values: &[(String, String)]) -> Result<String> {
    let mut filled = String::with_capacity(text.len());
    let mut used = vec![false; values.len()];
    let mut rest = text;
    while let Some((before, after)) = rest.split_once("{{") {
        let (key, after) = after
            .split_once("}}")
            .context("a \"{{\" has no \"}}\" after it")?;
        let position = values
            .iter()
            .position(|(name, _)| name == key.trim())
            .with_context(|| format!("nothing is called {{{{{key}}}}}"))?;
        used[position] = true;
        filled.push_str(before);
        filled.push_str(&values[position].1);
        rest = after;
    }
    filled.push_str(rest);
    if let Some(unused) = used.iter().position(|used| !used) {
        bail!("{{{{{}}}}} is missing", values[unused].0);
    }
    Ok(filled)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn values() -> Vec<(String, String)> {
        [("a.js", "a-1.js"), ("b", "B")]
            .map(|(key, value)| (key.to_owned(), value.to_owned()))
            .into()
    }

    #[test]
    fn fills_every_place() {
        assert_eq!(
            fill("x {{a.js}} y {{ b }} {{a.js}}.", &values()).expect("all known"),
            "x a-1.js y B a-1.js.",
            "filled"
        );
    }

    #[test]
    fn refuses_what_does_not_fit() {
        for (text, sentence) in [
            ("{{a.js}} {{b}} {{c}}", "nothing is called {{c}}"),
            ("{{a.js}}", "{{b}} is missing"),
            ("{{a.js}} {{b", "has no \"}}\" after it"),
        ] {
            let error = fill(text, &values()).expect_err(text);
            assert!(error.to_string().contains(sentence), "{text}: {error}");
        }
    }
}
