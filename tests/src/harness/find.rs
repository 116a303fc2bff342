use std::fmt;

use anyhow::{Context, Result, bail, ensure};
use serde_json::{Value, json};

use super::{
    act::Point,
    browser::{Page, result_of},
    engine::Engine,
};

/// A thing on the page, found by its role and accessible name.
#[derive(Clone)]
pub struct Found<'page, 'site> {
    pub(super) page: &'page Page<'site>,
    object: String,
    name: String,
    role: String,
}

impl fmt::Debug for Found<'_, '_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {:?}", self.role, self.name)
    }
}

/// Where a thing stands in the window, in CSS pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Place {
    pub(super) left: f64,
    pub(super) top: f64,
    pub(super) width: f64,
    pub(super) height: f64,
}

impl Place {
    pub(super) const fn middle(self) -> Point {
        Point {
            x: self.left + self.width / 2.0,
            y: self.top + self.height / 2.0,
        }
    }
}

/// The name under which drivers hand elements over.
const ELEMENT: &str = "element-6066-11e4-a52e-4f735466cecf";

/// Chromium's name for the role of what unfolds.
const DISCLOSURE: &str = "DisclosureTriangle";

/// What may have a role, in the words of a style sheet. Whether it has is asked of the browser, which takes longer.
fn selector(role: &str) -> String {
    let native = match role {
        "button" => "button",
        DISCLOSURE => "summary",
        "textbox" => "input:not([type]), input[type=text], textarea",
        "slider" => "input[type=range]",
        "combobox" => "select",
        "checkbox" => "input[type=checkbox]",
        "radio" => "input[type=radio]",
        "list" => "ul, ol",
        "listitem" => "li",
        "group" => "fieldset, details",
        "heading" => "h1, h2, h3, h4",
        "dialog" => "dialog",
        "link" => "a[href]",
        "status" => "output",
        "region" => "section",
        "figure" => "figure",
        _ => "",
    };
    let comma = if native.is_empty() { "" } else { ", " };
    format!("{native}{comma}[role={role}]")
}

/// What an accessible name is asked to be.
#[derive(Clone, Copy)]
pub(super) enum Name<'a> {
    /// Anything.
    Any,
    /// This and nothing else.
    Is(&'a str),
    /// It begins and ends so; what stands between follows what the page shows.
    Between(&'a str, &'a str),
}

impl<'a> Name<'a> {
    fn fits(self, name: &str) -> bool {
        match self {
            Self::Any => true,
            Self::Is(wanted) => name == wanted,
            Self::Between(begins, ends) => name.starts_with(begins) && name.ends_with(ends),
        }
    }

    /// What any such name contains.
    const fn contained(self) -> Option<&'a str> {
        match self {
            Self::Any => None,
            Self::Is(part) | Self::Between(part, _) => Some(part),
        }
    }
}

impl fmt::Debug for Name<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Any => f.write_str("anything"),
            Self::Is(name) => write!(f, "{name:?}"),
            Self::Between(begins, ends) => write!(f, "\"{begins}…{ends}\""),
        }
    }
}

impl<'page, 'site> Found<'page, 'site> {
    fn known(page: &'page Page<'site>, object: String, role: &str, name: &str) -> Self {
        Self {
            page,
            object,
            name: name.to_owned(),
            role: role.to_owned(),
        }
    }

    pub(super) fn new(page: &'page Page<'site>, object: String, node: &Value) -> Self {
        let text = |key: &str| node[key]["value"].as_str().unwrap_or_default().to_owned();
        Self {
            page,
            object,
            name: text("name"),
            role: text("role"),
        }
    }

    /// Its accessible name.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// What a JavaScript function comes to that is called with the element as `this`.
    ///
    /// # Errors
    ///
    /// Fails where the element is gone or the function throws.
    pub async fn call(&self, function: &str) -> Result<Value> {
        self.call_with(function, &[]).await
    }

    pub(super) async fn call_with(&self, function: &str, arguments: &[Value]) -> Result<Value> {
        if self.page.engine() != Engine::Chromium {
            let mut given = vec![json!({ ELEMENT: self.object })];
            given.extend_from_slice(arguments);
            let body =
                format!("const [self, ...rest] = given; return ({function}).apply(self, rest);");
            let value = self.page.run(&body, &given).await;
            return value.with_context(|| format!("{self:?}"));
        }
        let arguments: Vec<Value> = arguments
            .iter()
            .map(|value| json!({ "value": value }))
            .collect();
        let parameters = json!({
            "objectId": self.object, "functionDeclaration": function, "arguments": arguments,
            "returnByValue": true, "awaitPromise": true,
        });
        let answer = self
            .page
            .devtools("Runtime.callFunctionOn", parameters)
            .await?;
        result_of(&answer).with_context(|| format!("{self:?}"))
    }

    /// An attribute, or nothing.
    ///
    /// # Errors
    ///
    /// Fails where the element is gone.
    pub async fn attribute(&self, name: &str) -> Result<Option<String>> {
        let value = self
            .call_with(
                "function (name) { return this.getAttribute(name) }",
                &[json!(name)],
            )
            .await?;
        Ok(value.as_str().map(str::to_owned))
    }

    /// The text on the screen, as it is laid out.
    ///
    /// # Errors
    ///
    /// Fails where the element is gone.
    pub async fn text(&self) -> Result<String> {
        let text = self.call("function () { return this.innerText }").await?;
        Ok(text.as_str().unwrap_or_default().trim().to_owned())
    }

    /// What a field holds.
    ///
    /// # Errors
    ///
    /// Fails where the element is gone.
    pub async fn value(&self) -> Result<String> {
        let value = self.call("function () { return this.value }").await?;
        Ok(value.as_str().unwrap_or_default().to_owned())
    }

    /// What a slider says its value is.
    ///
    /// # Errors
    ///
    /// Fails where the element is gone or says nothing.
    pub async fn value_text(&self) -> Result<String> {
        self.attribute("aria-valuetext")
            .await?
            .with_context(|| format!("{self:?} has no value text"))
    }

    /// Whether a toggle button is pressed.
    ///
    /// # Errors
    ///
    /// Fails where the element is gone.
    pub async fn is_pressed(&self) -> Result<bool> {
        Ok(self.attribute("aria-pressed").await?.as_deref() == Some("true"))
    }

    /// Whether it cannot be pressed or changed now.
    ///
    /// # Errors
    ///
    /// Fails where the element is gone.
    pub async fn is_disabled(&self) -> Result<bool> {
        Ok(self.attribute("disabled").await?.is_some())
    }

    /// Whether the keyboard is on it.
    ///
    /// # Errors
    ///
    /// Fails where the element is gone.
    pub async fn has_focus(&self) -> Result<bool> {
        Ok(self
            .call("function () { return document.activeElement === this }")
            .await?
            == true)
    }

    /// The sentence that a field refers to as its description.
    ///
    /// # Errors
    ///
    /// Fails where the element is gone.
    pub async fn description(&self) -> Result<String> {
        let function = "function () {
            const ids = (this.getAttribute('aria-describedby') ?? '').split(' ').filter(Boolean);
            return ids.map(id => document.getElementById(id)?.innerText ?? '').join(' ');
        }";
        Ok(self
            .call(function)
            .await?
            .as_str()
            .unwrap_or_default()
            .trim()
            .to_owned())
    }

    /// Where what is drawn in it lies, in shares of the length of its line: all that match the selector, each the style
    /// properties `--at`, `--long` and `--up`, nought where it has none. What is in the same choice counts as in it.
    ///
    /// # Errors
    ///
    /// Fails where it is gone.
    pub async fn drawn(&self, selector: &str) -> Result<Vec<[f64; 3]>> {
        let function = "function (selector) {
            const within = this.closest('.look') ?? this;
            const share = (part, name) => parseFloat(part.style.getPropertyValue(name) || '0') / 100;
            return [...within.querySelectorAll(selector)].map(part =>
                ['--at', '--long', '--up'].map(name => share(part, name)));
        }";
        let value = self.call_with(function, &[Value::from(selector)]).await?;
        Ok(serde_json::from_value(value)?)
    }

    /// Where it stands, after it was brought into the window as far as needed.
    pub(super) async fn place(&self) -> Result<Place> {
        let function = "async function () {
            this.scrollIntoView({ block: 'nearest', inline: 'nearest', behavior: 'instant' });
            const box = this.getBoundingClientRect();
            if (box.top < 0 || box.bottom > innerHeight) {
                this.scrollIntoView({ block: 'center', inline: 'nearest', behavior: 'instant' });
            }
            // A finger goes where the last picture showed the thing: the browser has to have drawn it there.
            await new Promise(drawn => requestAnimationFrame(() => requestAnimationFrame(drawn)));
            const { left, top, width, height } = this.getBoundingClientRect();
            return [left, top, width, height];
        }";
        let value = self.call(function).await?;
        let number = |i: usize| value[i].as_f64().context("the element has no place");
        let place = Place {
            left: number(0)?,
            top: number(1)?,
            width: number(2)?,
            height: number(3)?,
        };
        ensure!(
            place.width > 0.0 && place.height > 0.0,
            "{self:?} takes no room on the screen"
        );
        Ok(place)
    }

    /// The thing of this role and name inside this one.
    ///
    /// # Errors
    ///
    /// Fails where there is none, or more than one.
    pub async fn find(&self, role: &str, name: &str) -> Result<Found<'page, 'site>> {
        let name = Name::Is(name);
        only(
            self.page.search(Some(&self.object), role, name).await?,
            role,
            name,
        )
    }

    /// Everything of this role inside this one, in reading order.
    ///
    /// # Errors
    ///
    /// Fails where the element is gone.
    pub async fn find_all(&self, role: &str) -> Result<Vec<Found<'page, 'site>>> {
        self.page.search(Some(&self.object), role, Name::Any).await
    }
}

fn only<T: fmt::Debug>(mut found: Vec<T>, role: &str, name: Name<'_>) -> Result<T> {
    match found.len() {
        1 => Ok(found.remove(0)),
        0 => bail!("there is no {role} named {name:?}"),
        n => bail!("there are {n} of role {role} named {name:?}"),
    }
}

impl<'site> Page<'site> {
    /// On a phone what is set once is a line that opens: opens it for one of its fields, where nothing lies over it.
    async fn open_film_for(&self, name: &str) -> Result<()> {
        if ["Box speed", "Film type", "Camera"].contains(&name) {
            let open = "(() => {
                    const line = document.querySelector('.film-opens[aria-expanded=false]');
                    if (line?.checkVisibility() && !document.querySelector('dialog[open]')) line.click();
                })()";
            self.eval(open).await?;
        }
        Ok(())
    }

    /// The one thing of this role and name that a person can get at; waits until it is there.
    ///
    /// # Errors
    ///
    /// Fails where there is none, or more than one.
    pub async fn find(&self, role: &str, name: &str) -> Result<Found<'_, 'site>> {
        self.open_film_for(name).await?;
        self.find_named(role, Name::Is(name)).await
    }

    pub(super) async fn find_named(&self, role: &str, name: Name<'_>) -> Result<Found<'_, 'site>> {
        let what = format!("there is one {role} named {name:?}");
        self.wait_for(&what, async || {
            only(self.search(None, role, name).await?, role, name).map(Some)
        })
        .await
    }

    /// Whether there is a thing of this role and name now.
    ///
    /// # Errors
    ///
    /// Fails where the browser does not answer.
    pub async fn has(&self, role: &str, name: &str) -> Result<bool> {
        Ok(!self.search(None, role, Name::Is(name)).await?.is_empty())
    }

    /// Everything of this role that a person can get at, in reading order.
    ///
    /// # Errors
    ///
    /// Fails where the browser does not answer.
    pub async fn find_all(&self, role: &str) -> Result<Vec<Found<'_, 'site>>> {
        self.search(None, role, Name::Any).await
    }

    async fn search(
        &self,
        inside: Option<&str>,
        role: &str,
        name: Name<'_>,
    ) -> Result<Vec<Found<'_, 'site>>> {
        if self.engine() != Engine::Chromium {
            return self.search_by_driver(inside, role, name).await;
        }
        let mut query = json!({ "role": role });
        if let Name::Is(name) = name {
            query["accessibleName"] = json!(name);
        }
        match inside {
            Some(object) => query["objectId"] = json!(object),
            None => {
                let document = self
                    .devtools("DOM.getDocument", json!({ "depth": 0 }))
                    .await?;
                query["backendNodeId"] = document["root"]["backendNodeId"].clone();
            }
        }
        let answer = self.devtools("Accessibility.queryAXTree", query).await?;
        let mut found = Vec::new();
        for node in answer["nodes"]
            .as_array()
            .context("no nodes in the answer")?
        {
            let named = node["name"]["value"].as_str().unwrap_or_default();
            let is_it = node["ignored"] != true && node["backendDOMNodeId"].is_u64();
            if is_it && name.fits(named) {
                found.push(self.resolve(node).await?);
            }
        }
        Ok(found)
    }

    /// Asks the driver for role and name of everything that may be it.
    async fn search_by_driver(
        &self,
        inside: Option<&str>,
        role: &str,
        name: Name<'_>,
    ) -> Result<Vec<Found<'_, 'site>>> {
        let candidates = "const [inside, selector, name] = given;
            const plain = text => (text ?? '').replace(/\\s+/g, ' ').trim();
            const top = [...document.querySelectorAll('dialog:modal')].at(-1);
            const texts = e => [
                e.ariaLabel, e.textContent, e.title, e.placeholder, e.alt, e.value,
                ...[...(e.labels ?? [])].map(label => label.textContent),
                ...(e.getAttribute('aria-labelledby') ?? '').split(' ').filter(Boolean).map(id => document.getElementById(id)?.textContent),
            ];
            return [...(inside ?? document).querySelectorAll(selector)].filter(e =>
                e.checkVisibility({ visibilityProperty: true }) && !e.closest('[inert], [aria-hidden=true]') && (!top || top.contains(e))
                && (name === null || texts(e).some(text => plain(text).includes(name))));";
        let inside = inside.map_or(Value::Null, |object| json!({ ELEMENT: object }));
        let given = [inside, json!(selector(role)), json!(name.contained())];
        let all = self.run(candidates, &given).await?;
        let mut found = Vec::new();
        for element in all.as_array().context("no list of elements")? {
            let object = element[ELEMENT].as_str().context("no element")?;
            // What is hidden by now has neither.
            let asked = async |what: &str| -> Option<String> {
                let answer = self.raw(&format!("element/{object}/{what}"), None).await;
                let text = answer.ok()?.as_str()?.to_owned();
                Some(text.split_whitespace().collect::<Vec<_>>().join(" "))
            };
            let Some(said) = asked("computedrole").await else {
                continue;
            };
            // To WebKit for GTK what opens a list of choices is a button; what unfolds is called differently by all.
            let is_list = self.engine() == Engine::WebKit && role == "combobox" && said == "button";
            if said != role && !is_list && role != DISCLOSURE {
                continue;
            }
            let named_by = if role == DISCLOSURE {
                "text"
            } else {
                "computedlabel"
            };
            let label = asked(named_by).await.unwrap_or_default();
            if name.fits(&label) {
                found.push(Found::known(self, object.to_owned(), role, &label));
            }
        }
        Ok(found)
    }

    /// Role and name of what has the keyboard, by way of the driver.
    pub(super) async fn focused_by_driver(&self) -> Result<Option<(String, String)>> {
        let element = self.run("return document.activeElement;", &[]).await?;
        let object = element[ELEMENT].as_str().context("no element")?;
        let asked = async |what: &str| -> Result<String> {
            let answer = self.raw(&format!("element/{object}/{what}"), None).await?;
            Ok(answer.as_str().unwrap_or_default().to_owned())
        };
        Ok(Some((
            asked("computedrole").await?,
            asked("computedlabel").await?,
        )))
    }
}
