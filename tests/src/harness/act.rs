use std::{
    f64::consts::TAU,
    time::{Duration, SystemTime, UNIX_EPOCH},
};

use anyhow::{Context, Result, bail, ensure};
use fantoccini::{
    actions::{
        ActionSequence, InputSource, KeyAction, KeyActions, MouseActions, PointerAction,
        TouchActions, WheelAction, WheelActions,
    },
    key::Key,
};
use serde_json::json;

use super::{
    browser::Page,
    engine::Engine,
    find::{Found, Name},
};

const LEFT: u64 = 0;

/// A point of the window, in CSS pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// To the right.
    pub x: f64,
    /// Downward.
    pub y: f64,
}

/// Which of a dial's two buttons.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// Less light, or a lower sensitivity.
    Less,
    /// More light, or a higher sensitivity.
    More,
}

/// The arc that a finger follows on a dial.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arc {
    /// The middle of the disc; may lie outside the window.
    pub centre: Point,
    /// Where the finger is put down.
    pub start: Point,
    /// How far the disc turns for one stop, in degrees.
    pub degrees_per_stop: f64,
}

impl Arc {
    /// The point that the finger has reached after so many degrees anticlockwise, which brings more light under the index.
    #[must_use]
    pub fn after(&self, degrees: f64) -> Point {
        let (x, y) = (self.start.x - self.centre.x, self.start.y - self.centre.y);
        let (sin, cos) = (-degrees / 360.0 * TAU).sin_cos();
        Point {
            x: self.centre.x + x * cos - y * sin,
            y: self.centre.y + x * sin + y * cos,
        }
    }
}

impl<'site> Page<'site> {
    async fn act(&self, sequence: impl Into<ActionSequence>) -> Result<()> {
        Ok(self
            .client
            .perform_actions(fantoccini::actions::Actions::from(sequence.into()))
            .await?)
    }

    /// The mouse does this.
    async fn mouse(&self, actions: impl IntoIterator<Item = PointerAction>) -> Result<()> {
        let mouse = MouseActions::new("mouse".to_owned());
        self.act(actions.into_iter().fold(mouse, InputSource::then))
            .await
    }

    /// The fingers on the screen, each with its number, after this happened to one of them.
    ///
    /// Not by the driver's own actions: between two calls it forgets where a finger is.
    async fn touch(&self, happened: &str, fingers: &[(u32, Point)]) -> Result<()> {
        if self.engine() != Engine::Chromium {
            return self.touch_by_driver(happened, fingers).await;
        }
        let points: Vec<_> = fingers
            .iter()
            .map(|(number, at)| json!({ "x": at.x, "y": at.y, "id": number }))
            .collect();
        // Events follow each other faster here than from a hand, and the browser would take a finger lifted at full speed
        // for a fling and the next tap for its end, or two taps at one place, where a page was scrolled between them, for a
        // double tap. So each event is dated as a hand would have made it.
        let hand = match happened {
            "touchStart" => 0.8,
            "touchEnd" => 0.15,
            _ => 0.012,
        };
        let now = SystemTime::now().duration_since(UNIX_EPOCH)?.as_secs_f64();
        let at = now.max(self.last_touch.get() + hand);
        self.last_touch.set(at);
        let event = json!({ "type": happened, "touchPoints": points, "timestamp": at });
        self.devtools("Input.dispatchTouchEvent", event)
            .await
            .map(drop)
    }

    /// One finger, by the driver's own actions.
    async fn touch_by_driver(&self, happened: &str, fingers: &[(u32, Point)]) -> Result<()> {
        let finger = TouchActions::new("finger".to_owned());
        let finger = match (happened, fingers) {
            ("touchStart", [(_, at)]) => finger
                .then(move_to(*at))
                .then(PointerAction::Down { button: LEFT }),
            ("touchMove", [(_, at)]) => finger.then(move_to(*at)),
            ("touchEnd", []) => finger.then(PointerAction::Up { button: LEFT }),
            _ => bail!("{} has no {happened} with {fingers:?}", self.engine()),
        };
        self.act(finger).await
    }

    /// Puts the finger (or the mouse button) down.
    ///
    /// # Errors
    ///
    /// Fails where the point is outside the window.
    pub async fn press(&self, at: Point) -> Result<()> {
        if self.touch {
            self.touch("touchStart", &[(0, at)]).await
        } else {
            self.mouse([move_to(at), PointerAction::Down { button: LEFT }])
                .await
        }
    }

    /// Moves it along an arc, from so many degrees anticlockwise of its start to so many, in small steps.
    ///
    /// # Errors
    ///
    /// Fails where a point is outside the window.
    pub async fn slide_along(&self, arc: &Arc, from: f64, to: f64) -> Result<()> {
        let steps = ((to - from).abs() / 1.5).ceil().max(1.0);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a few hundred at most"
        )]
        let steps = steps as u32;
        let points = (1..=steps)
            .map(|step| arc.after(from + (to - from) * f64::from(step) / f64::from(steps)));
        if self.touch {
            for point in points {
                self.touch("touchMove", &[(0, point)]).await?;
            }
            Ok(())
        } else {
            self.mouse(points.map(move_to)).await
        }
    }

    /// Moves it straight from one point to another, in small steps.
    ///
    /// # Errors
    ///
    /// Fails where a point is outside the window.
    pub async fn slide(&self, from: Point, to: Point) -> Result<()> {
        for step in 1..=8 {
            let share = f64::from(step) / 8.0;
            let at = Point {
                x: from.x + (to.x - from.x) * share,
                y: from.y + (to.y - from.y) * share,
            };
            if self.touch {
                self.touch("touchMove", &[(0, at)]).await?;
            } else {
                self.mouse([move_to(at)]).await?;
            }
        }
        Ok(())
    }

    /// Lifts it.
    ///
    /// # Errors
    ///
    /// Fails where the browser does not answer.
    pub async fn lift(&self) -> Result<()> {
        if self.touch {
            self.touch("touchEnd", &[]).await
        } else {
            self.mouse([PointerAction::Up { button: LEFT }]).await
        }
    }

    /// A tap of the finger or a click of the mouse.
    ///
    /// # Errors
    ///
    /// Fails where the point is outside the window.
    pub async fn tap(&self, at: Point) -> Result<()> {
        self.press(at).await?;
        self.lift().await
    }

    /// Turns the mouse wheel over a point; positive is toward the person.
    ///
    /// # Errors
    ///
    /// Fails where the point is outside the window.
    pub async fn wheel(&self, at: Point, pixels: i64) -> Result<()> {
        let (x, y) = whole(at);
        let scroll = WheelAction::Scroll {
            duration: Some(Duration::ZERO),
            x,
            y,
            delta_x: 0,
            delta_y: pixels,
        };
        let mut wheel = WheelActions::new("wheel".to_owned());
        wheel.push(scroll);
        self.act(wheel).await
    }

    /// The system takes the touch away, as a call or a gesture of its own does.
    ///
    /// # Errors
    ///
    /// Fails where the browser does not answer.
    pub async fn interrupt_touch(&self) -> Result<()> {
        self.touch("touchCancel", &[]).await
    }

    /// While one finger rests at a point, a second one comes down at another, moves, and is lifted.
    ///
    /// # Errors
    ///
    /// Fails where the browser does not answer.
    pub async fn second_finger_slide(&self, first: Point, from: Point, to: Point) -> Result<()> {
        self.touch("touchStart", &[(0, first), (1, from)]).await?;
        self.touch("touchMove", &[(0, first), (1, to)]).await?;
        self.touch("touchEnd", &[(0, first)]).await
    }

    /// Role and accessible name of what has the keyboard.
    ///
    /// # Errors
    ///
    /// Fails where the browser does not answer.
    pub async fn focused(&self) -> Result<Option<(String, String)>> {
        if self.engine() != Engine::Chromium {
            return self.focused_by_driver().await;
        }
        let here = self
            .devtools(
                "Runtime.evaluate",
                json!({ "expression": "document.activeElement" }),
            )
            .await?;
        let object = &here["result"]["objectId"];
        let query = json!({ "objectId": object, "fetchRelatives": false });
        let answer = self
            .devtools("Accessibility.getPartialAXTree", query)
            .await?;
        let text = |key: &str| answer["nodes"][0][key]["value"].as_str().map(str::to_owned);
        Ok(text("role").zip(text("name")))
    }

    /// A key pressed and released.
    ///
    /// # Errors
    ///
    /// Fails where the browser does not answer.
    pub async fn key(&self, key: Key) -> Result<()> {
        self.keys(&[key.into()]).await
    }

    /// A key pressed and released while Shift is down.
    ///
    /// # Errors
    ///
    /// Fails where the browser does not answer.
    pub async fn shift(&self, key: Key) -> Result<()> {
        self.chord(Key::Shift, key.into()).await
    }

    /// Keys pressed and released one after the other.
    ///
    /// # Errors
    ///
    /// Fails where the browser does not answer.
    pub async fn keys(&self, keys: &[char]) -> Result<()> {
        let mut sequence = KeyActions::new("keyboard".to_owned());
        for key in keys {
            sequence = sequence
                .then(KeyAction::Down { value: *key })
                .then(KeyAction::Up { value: *key });
        }
        self.act(sequence).await
    }

    async fn chord(&self, first: Key, then: char) -> Result<()> {
        let sequence = KeyActions::new("keyboard".to_owned())
            .then(KeyAction::Down {
                value: first.into(),
            })
            .then(KeyAction::Down { value: then })
            .then(KeyAction::Up { value: then })
            .then(KeyAction::Up {
                value: first.into(),
            });
        self.act(sequence).await
    }

    /// Replaces the text where the keyboard is.
    ///
    /// # Errors
    ///
    /// Fails where the browser does not answer.
    pub async fn write_over(&self, text: &str) -> Result<()> {
        self.chord(Key::Control, 'a').await?;
        if text.is_empty() {
            self.key(Key::Delete).await
        } else {
            self.keys(&text.chars().collect::<Vec<_>>()).await
        }
    }

    /// Taps or clicks the thing of this role and name.
    ///
    /// # Errors
    ///
    /// Fails where there is none.
    pub async fn press_on(&self, role: &str, name: &str) -> Result<()> {
        self.find(role, name).await?.tap().await
    }

    /// Types a text into a field over the old one and ends with Enter.
    ///
    /// # Errors
    ///
    /// Fails where there is no such field.
    pub async fn fill(&self, name: &str, text: &str) -> Result<()> {
        self.find("textbox", name).await?.fill(text).await
    }

    /// Chooses an entry of a drop-down field by its words.
    ///
    /// # Errors
    ///
    /// Fails where there is no such field or entry.
    pub async fn choose(&self, name: &str, entry: &str) -> Result<()> {
        self.find("combobox", name).await?.choose(entry).await
    }

    /// The slider of a dial.
    ///
    /// # Errors
    ///
    /// Fails where there is none.
    pub async fn dial(&self, name: &str) -> Result<Found<'_, 'site>> {
        self.find("slider", name).await
    }

    /// The button that turns a dial one mark this way: its name says where it leads.
    ///
    /// # Errors
    ///
    /// Fails where there is none.
    pub async fn step(&self, dial: &str, way: Way) -> Result<Found<'_, 'site>> {
        let words = match (dial, way) {
            ("Sensitivity", Way::Less) => "lower",
            ("Sensitivity", Way::More) => "higher",
            (_, Way::Less) => "less light",
            (_, Way::More) => "more light",
        };
        let begins = format!("{dial}, one mark: ");
        self.find_named("button", Name::Between(&begins, words))
            .await
    }

    /// Presses that button.
    ///
    /// # Errors
    ///
    /// Fails where there is none.
    pub async fn press_step(&self, dial: &str, way: Way) -> Result<()> {
        self.step(dial, way).await?.tap().await
    }

    /// The large value of a dial, which turns into a field.
    ///
    /// # Errors
    ///
    /// Fails where there is none.
    pub async fn large_value(&self, dial: &str) -> Result<Found<'_, 'site>> {
        let begins = format!("Type {}: ", dial.to_lowercase());
        self.find_named("button", Name::Between(&begins, "")).await
    }

    /// Holds or lets go a dial until its button is as wanted.
    ///
    /// # Errors
    ///
    /// Fails where the button does not change.
    pub async fn hold(&self, dial: &str, held: bool) -> Result<()> {
        let name = format!("Hold {}", dial.to_lowercase());
        let button = self.find("button", &name).await?;
        if button.is_pressed().await? != held {
            button.tap().await?;
        }
        let what = format!(
            "\"{name}\" is {}",
            if held { "pressed" } else { "not pressed" }
        );
        self.wait_until(&what, async || {
            Ok(self.find("button", &name).await?.is_pressed().await? == held)
        })
        .await
    }
}

impl Found<'_, '_> {
    /// The middle of it, brought into the window.
    ///
    /// # Errors
    ///
    /// Fails where it takes no room on the screen.
    pub async fn middle(&self) -> Result<Point> {
        Ok(self.place().await?.middle())
    }

    /// Taps or clicks the middle of it.
    ///
    /// # Errors
    ///
    /// Fails where something else lies over it.
    pub async fn tap(&self) -> Result<()> {
        let middle = self.place().await?.middle();
        let function = "function (x, y) {
            const there = document.elementFromPoint(x, y);
            const own = this === there || this.contains(there) || there?.closest('label')?.control === this;
            return own ? '' : (there ? there.outerHTML.slice(0, 160) : 'nothing');
        }";
        let over = self
            .call_with(function, &[json!(middle.x), json!(middle.y)])
            .await?;
        ensure!(over == "", "a tap on {self:?} would reach {over}");
        self.page.tap(middle).await
    }

    /// Drags the knob of a slider from one share of its way to another. A knob is 28 pixels wide, and its way as much shorter
    /// than the slider.
    ///
    /// # Errors
    ///
    /// Fails where it is out of the window.
    pub async fn drag(&self, from: f64, to: f64) -> Result<()> {
        const KNOB: f64 = 28.0;
        let place = self.place().await?;
        let at = |share: f64| Point {
            x: place.left + KNOB / 2.0 + (place.width - KNOB) * share,
            y: place.middle().y,
        };
        if self.page.touch {
            self.page.press(at(from)).await?;
            self.page.slide(at(from), at(to)).await?;
            return self.page.lift().await;
        }
        // In one go: between two calls the driver lets go of the button, as far as a slider sees it.
        let way = (1..=8).map(|step| move_to(at(from + (to - from) * f64::from(step) / 8.0)));
        let down = [move_to(at(from)), PointerAction::Down { button: LEFT }];
        let up = [PointerAction::Up { button: LEFT }];
        self.page.mouse(down.into_iter().chain(way).chain(up)).await
    }

    /// Puts the keyboard on it.
    ///
    /// # Errors
    ///
    /// Fails where it takes no focus.
    pub async fn focus(&self) -> Result<()> {
        self.call("function () { this.focus() }").await?;
        ensure!(self.has_focus().await?, "{self:?} takes no focus");
        Ok(())
    }

    /// Types a text over the old one and ends with Enter.
    ///
    /// # Errors
    ///
    /// Fails where it cannot be tapped.
    pub async fn fill(&self, text: &str) -> Result<()> {
        self.write(text).await?;
        self.page.key(Key::Enter).await
    }

    /// Types a text over the old one and stays there.
    ///
    /// # Errors
    ///
    /// Fails where it cannot be tapped.
    pub async fn write(&self, text: &str) -> Result<()> {
        self.tap().await?;
        self.page
            .wait_until("the field has the keyboard", async || {
                self.has_focus().await
            })
            .await?;
        self.page.write_over(text).await
    }

    /// Chooses an entry of a drop-down field by its words.
    ///
    /// The system draws the list of entries outside the page; to the page the choice arrives as these two events.
    ///
    /// # Errors
    ///
    /// Fails where there is no such entry.
    pub async fn choose(&self, entry: &str) -> Result<()> {
        let function = "function (entry) {
            const options = [...this.options];
            const option = options.find(option => option.label.trim() === entry);
            if (!option) return options.map(option => option.label.trim());
            this.focus();
            this.value = option.value;
            this.dispatchEvent(new Event('input', { bubbles: true }));
            this.dispatchEvent(new Event('change', { bubbles: true }));
            return null;
        }";
        let others = self.call_with(function, &[json!(entry)]).await?;
        ensure!(
            others.is_null(),
            "{self:?} offers no {entry:?}, but {others}"
        );
        Ok(())
    }

    /// The arc that a finger takes on this dial, beginning under its index.
    ///
    /// # Errors
    ///
    /// Fails where the dial shows no ring that can be turned.
    pub async fn arc(&self) -> Result<Arc> {
        self.place().await?;
        // What a finger can turn is what keeps the page from scrolling; its disc is what carries the place.
        let function = "function () {
            for (let around = this.parentElement; around; around = around.parentElement) {
                const all = [...around.querySelectorAll('*')];
                const ring = all.find(part => getComputedStyle(part).touchAction === 'none');
                const disc = all.find(part => part.style?.getPropertyValue('--place') !== '');
                if (!ring || !disc) continue;
                const area = ring.getBoundingClientRect(), box = disc.getBoundingClientRect();
                const centre = [(box.left + box.right) / 2, (box.top + box.bottom) / 2];
                const pitch = parseFloat(getComputedStyle(disc).getPropertyValue('--pitch'));
                for (let y = area.top + 4; y < area.bottom; y += 2) {
                    const there = document.elementFromPoint(centre[0], y);
                    if (there && ring.contains(there) && centre[1] - y > 40) return [...centre, centre[0], y + 8, pitch];
                }
                return null;
            }
            return null;
        }";
        let found = self.call(function).await?;
        let number = |i: usize| found[i].as_f64();
        let numbers = (number(0), number(1), number(2), number(3), number(4));
        let (Some(x), Some(y), Some(start_x), Some(start_y), Some(pitch)) = numbers else {
            bail!("{self:?} shows no ring that can be turned: {found}")
        };
        Ok(Arc {
            centre: Point { x, y },
            start: Point {
                x: start_x,
                y: start_y,
            },
            degrees_per_stop: pitch,
        })
    }

    /// How far the disc of this dial is turned anticlockwise on the screen now, in degrees.
    ///
    /// # Errors
    ///
    /// Fails where the dial has no disc.
    pub async fn rotation(&self) -> Result<f64> {
        let function = "function () {
            for (let around = this.parentElement; around; around = around.parentElement) {
                const all = [...around.querySelectorAll('*')];
                const disc = all.find(part => part.style?.getPropertyValue('--place') !== '');
                if (disc) return getComputedStyle(disc).rotate;
            }
            return null;
        }";
        let rotate = self.call(function).await?;
        let degrees = rotate
            .as_str()
            .and_then(|text| text.strip_suffix("deg"))
            .and_then(|text| text.parse().ok());
        let degrees: f64 = degrees.with_context(|| format!("{self:?} is turned by {rotate}"))?;
        Ok(-degrees)
    }

    /// Turns the dial with the finger or the mouse: positive stops are anticlockwise, brighter.
    ///
    /// # Errors
    ///
    /// Fails where the dial shows no ring that can be turned.
    pub async fn turn(&self, stops: f64) -> Result<()> {
        let arc = self.arc().await?;
        self.page.press(arc.start).await?;
        self.page
            .slide_along(&arc, 0.0, stops * arc.degrees_per_stop)
            .await?;
        self.page.lift().await
    }

    /// Takes the text of the entries of a drop-down field.
    ///
    /// # Errors
    ///
    /// Fails where this is no such field.
    pub async fn entries(&self) -> Result<Vec<String>> {
        let labels = self
            .call("function () { return [...this.options].map(option => option.label.trim()) }")
            .await?;
        let labels = labels.as_array().context("no drop-down field")?;
        Ok(labels
            .iter()
            .filter_map(|label| label.as_str().map(str::to_owned))
            .collect())
    }
}

fn move_to(point: Point) -> PointerAction {
    PointerAction::MoveTo {
        duration: Some(Duration::ZERO),
        x: point.x,
        y: point.y,
    }
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "a point of the window is a small number"
)]
const fn whole(point: Point) -> (i64, i64) {
    (point.x.round() as i64, point.y.round() as i64)
}
