use std::fs;

use anyhow::{Context, Result, ensure};
use base64::{Engine, prelude::BASE64_STANDARD};
use serde_json::{Value, json};

use super::browser::Page;

/// The dials in the order in which they are always listed.
const DIALS: [&str; 3] = ["Time", "Aperture", "Sensitivity"];

/// Letters that a page is set in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Letters {
    /// Those of this machine, as the page asks for them.
    Own,
    /// As wide as the widest of the usual fonts of devices.
    Wide,
    /// As narrow as their condensed ones.
    Narrow,
}

impl Letters {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Own, Self::Wide, Self::Narrow];

    /// How wide a bold figure is, in hundredths of the size of the type.
    const fn figure(self) -> Option<u32> {
        match self {
            Self::Own => None,
            Self::Wide => Some(70),
            Self::Narrow => Some(46),
        }
    }
}

/// A rule that axe-core runs only where it is asked for.
const VISIBLE_WORDS: &str = "label-content-name-mismatch";

/// A size of paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// 210 mm by 297 mm.
    A4,
    /// 8½ inches by 11.
    Letter,
}

impl Page<'_> {
    /// What the status line says.
    ///
    /// # Errors
    ///
    /// Fails where the browser does not answer.
    pub async fn status(&self) -> Result<String> {
        let mut said = Vec::new();
        for line in self.find_all("status").await? {
            said.push(line.text().await?);
        }
        Ok(said.join(" ").trim().to_owned())
    }

    /// Everything that can be read on the page, or in the uppermost dialog that is open over it.
    ///
    /// # Errors
    ///
    /// Fails where the browser does not answer.
    pub async fn text(&self) -> Result<String> {
        let text = self
            .eval("([...document.querySelectorAll('dialog[open]')].at(-1) ?? document.body).innerText")
            .await?;
        Ok(text.as_str().unwrap_or_default().to_owned())
    }

    /// Waits until a text can be read on the page.
    ///
    /// # Errors
    ///
    /// Fails where it does not appear.
    pub async fn reads(&self, text: &str) -> Result<()> {
        let wanted = text.to_lowercase();
        self.wait_until(&format!("the page says {text:?}"), async || {
            Ok(self.text().await?.to_lowercase().contains(&wanted))
        })
        .await
    }

    /// What the three dials say their values are.
    ///
    /// # Errors
    ///
    /// Fails where a dial is not there.
    pub async fn values(&self) -> Result<[String; 3]> {
        let [time, aperture, sensitivity] =
            DIALS.map(|name| async move { self.dial(name).await?.value_text().await });
        Ok([time.await?, aperture.await?, sensitivity.await?])
    }

    /// Waits until the three dials show these values.
    ///
    /// # Errors
    ///
    /// Fails where they do not.
    pub async fn shows(&self, values: [&str; 3]) -> Result<()> {
        self.wait_equal("the values of the three dials", values, async || {
            self.values().await
        })
        .await
    }

    /// Waits until the status line contains a text.
    ///
    /// # Errors
    ///
    /// Fails where it does not.
    pub async fn says(&self, text: &str) -> Result<()> {
        let wanted = text.to_lowercase();
        self.wait_until(&format!("the status line says {text:?}"), async || {
            Ok(self.status().await?.to_lowercase().contains(&wanted))
        })
        .await
    }

    /// The text of each frame of the list "Bracket", in order.
    ///
    /// # Errors
    ///
    /// Fails where there is no such list.
    pub async fn bracket(&self) -> Result<Vec<String>> {
        let list = self.find("list", "Bracket").await?;
        let texts = list
            .call("function () { return [...this.children].map(item => item.innerText) }")
            .await?;
        let texts = texts.as_array().context("the list has no items")?;
        Ok(texts
            .iter()
            .map(|text| one_line(text.as_str().unwrap_or_default()))
            .collect())
    }

    /// Waits until each frame of the list "Bracket" contains its texts.
    ///
    /// # Errors
    ///
    /// Fails where the number of frames or a text differs.
    pub async fn brackets(&self, frames: &[&[&str]]) -> Result<()> {
        self.wait_until(&format!("the bracket is {frames:?}"), async || {
            let cells = self.bracket().await?;
            ensure!(cells.len() == frames.len(), "the cells are {cells:?}");
            for (cell, texts) in cells.iter().zip(frames) {
                for text in *texts {
                    ensure!(cell.contains(text), "{text:?} is not in the cell {cell:?}");
                }
            }
            Ok(true)
        })
        .await
    }

    /// Sets the page that is open in other letters: whatever font the machine has, made as wide or as narrow as is wanted.
    ///
    /// # Errors
    ///
    /// Fails where the machine has none of the usual fonts, or the page is not set in it.
    pub async fn set_in(&self, letters: Letters) -> Result<()> {
        let Some(figure) = letters.figure() else {
            return Ok(());
        };
        let wide = self.eval(&format!("({SET_IN})({figure})")).await?;
        let wide = wide.as_f64().context("no width of a figure")?;
        ensure!(
            (wide - f64::from(figure)).abs() < 1.0,
            "{letters:?}: a figure is {wide} hundredths wide"
        );
        Ok(())
    }

    /// What is wrong with the layout at the present size: one line each.
    ///
    /// Sideways scrolling, controls that are too small, covered or on top of each other, and text that is cut off.
    /// `dial_buttons` is the least width and height, in CSS pixels, of the buttons around the dials.
    ///
    /// # Errors
    ///
    /// Fails where the browser does not answer.
    pub async fn layout_problems(&self, dial_buttons: u32) -> Result<Vec<String>> {
        let found = self.eval(&format!("({LAYOUT})({dial_buttons})")).await?;
        Ok(lines(&found))
    }

    /// What axe-core objects to, one line for each rule; also where a name lacks the words that can be seen.
    ///
    /// # Errors
    ///
    /// Fails where its script cannot be read or run.
    pub async fn accessibility_problems(&self) -> Result<Vec<String>> {
        if self.eval("typeof axe").await? == "undefined" {
            let script = fs::read_to_string(&self.site.tools.axe)?;
            self.eval(&format!("{script};0")).await?;
        }
        let rules = json!(["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa", "best-practice"]);
        let script = format!(
            "axe.run(document, {{ runOnly: {rules}, rules: {{ '{VISIBLE_WORDS}': {{ enabled: true }} }}, resultTypes: ['violations', 'passes'] }}).then(report => [
                report.violations.map(v => v.id + ': ' + v.help + ' at ' + v.nodes.map(n => n.target.join(' ')).join(', ')),
                report.passes.length,
            ])"
        );
        let report = self.eval(&script).await?;
        let passes = report[1].as_u64().context("no report")?;
        ensure!(
            passes > 10,
            "only {passes} rules of axe-core found anything to look at"
        );
        Ok(lines(&report[0]))
    }

    /// Everything on the whole page that is not red or black: colours of elements, and pixels of a picture of it.
    ///
    /// # Errors
    ///
    /// Fails where the browser does not answer.
    pub async fn hues_beside_red(&self) -> Result<Vec<String>> {
        let mut found = lines(&self.eval(&format!("({HUES})()")).await?);
        let shot = json!({ "format": "png", "captureBeyondViewport": true });
        let shot = self.devtools("Page.captureScreenshot", shot).await?;
        let picture = shot["data"].as_str().context("no picture")?;
        found.extend(lines(
            &self.eval(&format!("({PIXELS})('{picture}')")).await?,
        ));
        Ok(found)
    }

    /// What another phone's camera reads off the screen: the texts of all codes in sight, read by a decoder that is not ours from a
    /// picture of the screen in shades of grey (ITU-R BT.601, as pictures of phones are coded).
    ///
    /// # Errors
    ///
    /// Fails where the browser does not answer.
    pub async fn codes_in_sight(&self) -> Result<Vec<String>> {
        let shot = self
            .devtools("Page.captureScreenshot", json!({ "format": "png" }))
            .await?;
        let picture = shot["data"].as_str().context("no picture")?;
        let seen = self.eval(&format!("({GREY})('{picture}')")).await?;
        let side = |name: &str| seen[name].as_u64().map(usize::try_from).context("no side");
        let (width, height) = (side("width")??, side("height")??);
        let grey = BASE64_STANDARD.decode(seen["grey"].as_str().context("no pixels")?)?;
        ensure!(grey.len() == width * height, "the picture is torn");
        let look = |x: usize, y: usize| grey[y * width + x];
        let mut picture = rqrr::PreparedImage::prepare_from_greyscale(width, height, look);
        let found = picture.detect_grids();
        // What looks like a code and is none, such as a face of a dial, is passed over.
        Ok(found
            .iter()
            .filter_map(|code| Some(code.decode().ok()?.1))
            .collect())
    }

    /// How many pictures are on the pages of paper that it prints, and the text of each page.
    ///
    /// # Errors
    ///
    /// As for [`Page::printed_on`].
    pub async fn printed_with_pictures(&self, paper: Paper) -> Result<(usize, Vec<String>)> {
        let document = self.document(paper).await?;
        let streams = || {
            let all = document.objects.iter();
            all.filter_map(|(id, object)| Some((id, &object.as_stream().ok()?.dict)))
        };
        // What is to be seen of a picture is another one, and belongs to it.
        let masks: Vec<lopdf::ObjectId> = streams()
            .filter_map(|(_, dict)| {
                dict.get(b"SMask")
                    .and_then(lopdf::Object::as_reference)
                    .ok()
            })
            .collect();
        let is_picture = |dict: &lopdf::Dictionary| {
            let kind = dict.get(b"Subtype").and_then(lopdf::Object::as_name);
            kind.is_ok_and(|kind| kind == b"Image")
        };
        let pictures = streams()
            .filter(|(id, dict)| is_picture(dict) && !masks.contains(*id))
            .count();
        Ok((pictures, texts(&document)?))
    }

    /// Checks that the page can be printed, and returns the length of the document in bytes.
    ///
    /// # Errors
    ///
    /// Fails where what comes out is no document.
    pub async fn printed(&self) -> Result<usize> {
        let answer = self
            .devtools("Page.printToPDF", json!({ "printBackground": false }))
            .await?;
        let document = BASE64_STANDARD.decode(answer["data"].as_str().context("no document")?)?;
        ensure!(
            document.starts_with(b"%PDF-"),
            "what was printed is no document"
        );
        Ok(document.len())
    }

    /// Prints the page as the browser's own menu does, and returns the text of each page of paper.
    ///
    /// # Errors
    ///
    /// Fails where what comes out is no document, or its text cannot be read.
    pub async fn printed_on(&self, paper: Paper) -> Result<Vec<String>> {
        texts(&self.document(paper).await?)
    }

    async fn document(&self, paper: Paper) -> Result<lopdf::Document> {
        let (width, height) = match paper {
            Paper::A4 => (8.27, 11.69),
            Paper::Letter => (8.5, 11.0),
        };
        let how = json!({ "printBackground": false, "paperWidth": width, "paperHeight": height });
        let answer = self.devtools("Page.printToPDF", how).await?;
        let document = BASE64_STANDARD.decode(answer["data"].as_str().context("no document")?)?;
        Ok(lopdf::Document::load_mem(&document)?)
    }

    /// Everything that is stored, by key.
    ///
    /// # Errors
    ///
    /// Fails where storage cannot be read.
    pub async fn stored(&self) -> Result<Vec<(String, String)>> {
        let entries = self.eval("Object.entries(localStorage)").await?;
        let entries = entries.as_array().context("no entries")?;
        let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
        Ok(entries
            .iter()
            .map(|entry| (text(&entry[0]), text(&entry[1])))
            .collect())
    }

    /// Writes an entry into storage, as an older version or an accident might have left it.
    ///
    /// # Errors
    ///
    /// Fails where storage does not take it.
    pub async fn store(&self, key: &str, text: &str) -> Result<()> {
        self.eval(&format!(
            "localStorage.setItem({}, {})",
            json!(key),
            json!(text)
        ))
        .await
        .map(drop)
    }
}

/// The text of each page.
fn texts(document: &lopdf::Document) -> Result<Vec<String>> {
    let pages = document.get_pages().into_keys();
    pages
        // Letters that are printed as one are two.
        .map(|page| {
            Ok(document
                .extract_text(&[page])?
                .replace('ﬁ', "fi")
                .replace('ﬂ', "fl"))
        })
        .collect()
}

fn lines(list: &Value) -> Vec<String> {
    list.as_array()
        .into_iter()
        .flatten()
        .map(|line| line.as_str().unwrap_or_default().to_owned())
        .collect()
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

const SET_IN: &str = r#"async wanted => {
    const fonts = ['DejaVu Sans', 'Liberation Sans', 'Noto Sans', 'Open Sans', 'Roboto', 'Arial', 'Helvetica', 'Segoe UI'];
    const sheet = new CSSStyleSheet();
    document.adoptedStyleSheets = [sheet];
    const probe = document.createElement('span');
    probe.style = 'position: absolute; font: 600 100px/1 var(--figures); white-space: nowrap';
    probe.textContent = '0000000000';
    document.body.append(probe);
    const set = async share => {
        const local = fonts.flatMap(name => [`local("${name}")`]);
        sheet.replaceSync(`@font-face { font-family: letters; src: ${local}; size-adjust: ${share}% } :root { --text: letters; --figures: letters }`);
        await document.fonts.load('600 100px letters');
        await new Promise(drawn => requestAnimationFrame(() => requestAnimationFrame(drawn)));
        return probe.getBoundingClientRect().width / 10;
    };
    const usual = await set(100);
    const now = await set(100 * wanted / usual);
    probe.remove();
    return now;
}"#;

const LAYOUT: &str = r"dialButtons => {
    const problems = [];
    const page = document.documentElement;
    if (page.scrollWidth > page.clientWidth) {
        const wide = [...document.querySelectorAll('body *')].filter(e => e.getBoundingClientRect().right > page.clientWidth + 1);
        problems.push(`the page is ${page.scrollWidth} px wide in a window of ${page.clientWidth}: ${wide.slice(0, 3).map(e => e.className || e.tagName)}`);
    }
    const top = [...document.querySelectorAll('dialog[open]')].at(-1) ?? document.body;
    const named = e => (e.getAttribute('aria-label') || e.innerText || e.labels?.[0]?.innerText || e.value || e.outerHTML.slice(0, 60)).trim().split('\n')[0];
    const seen = e => {
        // What is left of an element after those around it have cut it off.
        let { left, top, right, bottom } = e.getBoundingClientRect();
        for (let around = e.parentElement; around; around = around.parentElement) {
            const style = getComputedStyle(around);
            if (style.overflowX === 'visible' && style.overflowY === 'visible') continue;
            const box = around.getBoundingClientRect();
            if (style.overflowX !== 'visible') { left = Math.max(left, box.left); right = Math.min(right, box.right); }
            if (style.overflowY !== 'visible' && around !== document.body) { top = Math.max(top, box.top); bottom = Math.min(bottom, box.bottom); }
        }
        return { left, top, right, bottom };
    };
    const usable = e => e.checkVisibility({ visibilityProperty: true, opacityProperty: true })
        && getComputedStyle(e).pointerEvents !== 'none' && e.getBoundingClientRect().width > 1;
    const controls = [...top.querySelectorAll('a[href], button, input, select, textarea, summary')].filter(usable);
    // A click on the label of a box to tick reaches the box: together they are one target.
    const target = e => (e.type === 'checkbox' || e.type === 'radio') && e.labels?.[0] ? e.labels[0] : e;
    const where = scrollY;
    for (const e of controls) {
        const box = target(e).getBoundingClientRect();
        const about = /one mark|^Hold /.test(named(e)) ? dialButtons : 24;
        if (box.width < about - 0.5 || box.height < about - 0.5) problems.push(`${named(e)} is ${box.width.toFixed(0)} x ${box.height.toFixed(0)} px, less than ${about}`);
        target(e).scrollIntoView({ block: 'center', inline: 'center', behavior: 'instant' });
        const now = target(e).getBoundingClientRect();
        for (const [x, y] of [[0.5, 0.5], [0.25, 0.25], [0.75, 0.25], [0.25, 0.75], [0.75, 0.75]]) {
            const there = document.elementFromPoint(now.left + now.width * x, now.top + now.height * y);
            const own = there && (target(e).contains(there) || there.closest('label')?.control === e);
            if (!own) { problems.push(`${named(e)} is covered by ${there ? there.className || there.tagName : 'the edge of the window'}`); break; }
        }
    }
    scrollTo({ top: where, behavior: 'instant' });
    // What stays on the screen while the page scrolls under it lies on everything in turn; that all can be reached was seen above.
    const stays = e => { for (let a = e; a && a !== top; a = a.parentElement) if (getComputedStyle(a).position === 'fixed') return true; return false; };
    const boxes = controls.map(e => [e, seen(target(e))]);
    boxes.forEach(([a, p], i) => boxes.slice(i + 1).forEach(([b, q]) => {
        if (target(a) === target(b) || a.contains(b) || b.contains(a) || stays(a) !== stays(b)) return;
        const across = Math.min(p.right, q.right) - Math.max(p.left, q.left), down = Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top);
        if (across > 1.5 && down > 1.5) problems.push(`${named(a)} lies on ${named(b)}`);
    }));
    for (const e of top.querySelectorAll('*')) {
        const style = getComputedStyle(e);
        if (e.closest('[aria-hidden=true]') || !e.checkVisibility({ visibilityProperty: true }) || e.clientWidth <= 1) continue;
        const spoken = [...e.childNodes].some(node => node.nodeType === Node.TEXT_NODE && node.data.trim());
        const cuts = ['hidden', 'clip'];
        const meant = style.textOverflow === 'ellipsis' || style.clipPath !== 'none';
        const field = e.matches('input:not([type=range], [type=checkbox], [type=radio])');
        if (spoken && cuts.includes(style.overflowX) && !meant && e.scrollWidth > e.clientWidth + 1) problems.push(`the text ${named(e)} is cut off at its side`);
        if (spoken && cuts.includes(style.overflowY) && !meant && e.scrollHeight > e.clientHeight + 2) problems.push(`the text ${named(e)} is cut off below`);
        if (field && e.scrollWidth > e.clientWidth + 1) problems.push(`the field ${named(e)} cuts off ${e.value}`);
        if (spoken && !e.matches('option, title, script, style')) {
            const box = e.getBoundingClientRect(), part = seen(e);
            const scrolls = (around => { while (around) { if (['auto', 'scroll'].includes(getComputedStyle(around).overflowX)) return true; around = around.parentElement; } return false; })(e.parentElement);
            if (!scrolls && box.width > 1 && part.right - part.left < box.width - 1.5) problems.push(`the text ${named(e)} is cut off by what is around it`);
        }
    }
    return [...new Set(problems)];
}";

const HUES: &str = r"() => {
    const pen = new OffscreenCanvas(1, 1).getContext('2d', { willReadFrequently: true });
    const known = new Map();
    const other = colour => {
        if (!known.has(colour)) {
            pen.clearRect(0, 0, 1, 1);
            pen.fillStyle = colour;
            pen.fillRect(0, 0, 1, 1);
            const [, green, blue, alpha] = pen.getImageData(0, 0, 1, 1).data;
            known.set(colour, alpha > 0 && (green > 16 || blue > 16));
        }
        return known.get(colour);
    };
    const problems = new Set();
    for (const e of document.querySelectorAll('html, body, body *')) {
        if (!e.checkVisibility({ visibilityProperty: true, opacityProperty: true })) continue;
        const style = getComputedStyle(e);
        const look = (what, colour) => {
            if (colour && colour !== 'none' && colour !== 'auto' && other(colour)) problems.add(`${what} of ${e.className?.baseVal ?? (e.className || e.tagName)} is ${colour}`);
        };
        // Sliders, boxes and discs to tick have a text colour too, but no text.
        if (!e.matches('[type=range], [type=checkbox], [type=radio]')) look('text', style.color);
        look('ground', style.backgroundColor);
        if (style.outlineStyle !== 'none') look('outline', style.outlineColor);
        for (const side of ['Top', 'Right', 'Bottom', 'Left']) if (parseFloat(style[`border${side}Width`])) look('border', style[`border${side}Color`]);
        if (e instanceof SVGElement) { look('fill', style.fill); look('stroke', style.stroke); }
        for (const colour of style.boxShadow.match(/(rgba?|oklch|oklab|color)\([^)]*\)/g) ?? []) look('shadow', colour);
        for (const colour of style.backgroundImage.match(/(rgba?|oklch|oklab|color)\([^)]*\)/g) ?? []) look('image', colour);
    }
    return [...problems];
}";

const PIXELS: &str = r"async picture => {
    const image = new Image();
    image.src = 'data:image/png;base64,' + picture;
    await image.decode();
    const canvas = new OffscreenCanvas(image.width, image.height);
    const pen = canvas.getContext('2d', { willReadFrequently: true });
    pen.drawImage(image, 0, 0);
    const { data } = pen.getImageData(0, 0, image.width, image.height);
    let red = 0;
    const problems = [];
    for (let i = 0; i < data.length; i += 4) {
        if (data[i] > 60) red++;
        if (Math.max(data[i + 1], data[i + 2]) > 28 && problems.length < 5) {
            const at = i / 4;
            problems.push(`the pixel at ${at % image.width}, ${Math.floor(at / image.width)} is ${data[i]} ${data[i + 1]} ${data[i + 2]}`);
        }
    }
    if (red < 200) problems.push('there is hardly anything red to see');
    return problems;
}";

const GREY: &str = r"async picture => {
    const image = new Image();
    image.src = 'data:image/png;base64,' + picture;
    await image.decode();
    const { width, height } = image;
    const pen = new OffscreenCanvas(width, height).getContext('2d', { willReadFrequently: true });
    pen.drawImage(image, 0, 0);
    const { data } = pen.getImageData(0, 0, width, height);
    const grey = new Uint8Array(width * height);
    for (let i = 0; i < grey.length; i++) grey[i] = Math.round(0.299 * data[4 * i] + 0.587 * data[4 * i + 1] + 0.114 * data[4 * i + 2]);
    let text = '';
    for (let i = 0; i < grey.length; i += 8192) text += String.fromCharCode(...grey.subarray(i, i + 8192));
    return { width, height, grey: btoa(text) };
}";
