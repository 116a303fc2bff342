//! What goes into the page and out of it: parts that are opened, files that are given, saved and shared.

use anyhow::Result;
use serde_json::json;

use super::browser::Page;

impl Page<'_> {
    /// Opens a part of the page by the button on the dial that has its name, or is called as its heading is.
    ///
    /// # Errors
    ///
    /// Fails where there is no such button, or nothing opens.
    pub async fn open_part(&self, name: &str) -> Result<()> {
        self.press_on("button", name).await?;
        self.find("heading", name).await.map(drop)
    }

    /// From here on, what the page hands to the browser to save is kept.
    ///
    /// # Errors
    ///
    /// Fails where the browser does not answer.
    pub async fn watch_what_is_saved(&self) -> Result<()> {
        self.eval(
            "const make = URL.createObjectURL; globalThis.saved = [];
             URL.createObjectURL = blob => { saved.push(blob); return make.call(URL, blob); }; 0",
        )
        .await
        .map(drop)
    }

    /// The text of what was saved first since then.
    ///
    /// # Errors
    ///
    /// Fails where nothing was saved.
    pub async fn saved(&self) -> Result<String> {
        let text = self.eval("saved[0].text()").await?;
        Ok(text.as_str().unwrap_or_default().to_owned())
    }

    /// The browser has a share sheet from now on; what it is given is kept in `shared`, and `refusal` is what it throws, if
    /// anything.
    ///
    /// # Errors
    ///
    /// Fails where the browser does not answer.
    pub async fn share_sheet(&self) -> Result<()> {
        self.eval(
            "globalThis.shared = []; globalThis.refusal = '';
             navigator.canShare = ({ files }) => files.every(file => /\\.(txt|csv)$/.test(file.name));
             navigator.share = async data => {
                 shared.push(data);
                 if (refusal) throw new DOMException('no', refusal);
             }; 0",
        )
        .await
        .map(drop)
    }

    /// Name, type and text of what was shared last.
    ///
    /// # Errors
    ///
    /// Fails where nothing was shared.
    pub async fn shared_file(&self) -> Result<[String; 3]> {
        let file = self
            .eval(
                "(async () => {
                    const [file] = shared.at(-1).files;
                    return [file.name, file.type, await file.text()];
                })()",
            )
            .await?;
        Ok([0, 1, 2].map(|i: usize| file[i].as_str().unwrap_or_default().to_owned()))
    }

    /// Gives a file with this text to the field with an id.
    ///
    /// # Errors
    ///
    /// Fails where there is no such field.
    pub async fn give_file(&self, id: &str, name: &str, text: &str) -> Result<()> {
        self.wait_until(&format!("there is a field {id}"), async || {
            let is_there = format!("document.getElementById({}) !== null", json!(id));
            Ok(self.eval(&is_there).await? == true)
        })
        .await?;
        self.eval(&format!(
            "(() => {{
                const bag = new DataTransfer();
                bag.items.add(new File([{}], {}));
                const field = document.getElementById({});
                field.files = bag.files;
                field.dispatchEvent(new Event('change', {{ bubbles: true }}));
            }})()",
            json!(text),
            json!(name),
            json!(id)
        ))
        .await
        .map(drop)
    }
}
