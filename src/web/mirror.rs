//! What the screen says, set as plain elements of the page: a screen reader reads the words and works the buttons. They
//! are not seen, and what is pressed there is pressed on the screen.

use std::cell::RefCell;
use std::rc::Rc;

use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Document, Element};

use crate::window::screens::mirrored::{PartRole, ScreenPart};

/// The element of the page that holds them.
const PLACE: &str = "words";

/// See the file's purpose.
#[derive(Default)]
pub struct Mirror {
    set: Vec<ScreenPart>,
    pressed: Rc<RefCell<Vec<String>>>,
    presses: Vec<Closure<dyn FnMut()>>,
}

impl Mirror {
    /// What was pressed since it was last asked.
    pub fn pressed(&mut self) -> Vec<String> {
        self.pressed.take()
    }

    /// Sets these parts where they differ from those that are set.
    pub fn set(&mut self, parts: Vec<ScreenPart>) {
        if parts == self.set {
            return;
        }
        // Where only places moved the elements stay, or a reader would begin anew with each scroll.
        let told = |parts: &[ScreenPart]| -> Vec<(PartRole, String)> {
            parts.iter().map(|part| (part.role, part.text.clone())).collect()
        };
        let moved = told(&parts) == told(&self.set);
        self.set = parts;
        let _ = if moved { self.place_all() } else { self.make_all() };
    }

    fn make_all(&mut self) -> Result<(), JsValue> {
        let Some((document, place)) = place() else { return Ok(()) };
        place.set_text_content(None);
        self.presses.clear();
        for part in &self.set {
            let element = document.create_element(match part.role {
                PartRole::Button => "button",
                PartRole::Words => "p",
            })?;
            element.set_text_content(Some(&part.text));
            if part.role == PartRole::Button {
                element.set_attribute("tabindex", "-1")?;
                let (pressed, name) = (self.pressed.clone(), part.text.clone());
                let press = Closure::new(move || pressed.borrow_mut().push(name.clone()));
                element
                    .add_event_listener_with_callback("click", press.as_ref().unchecked_ref())?;
                self.presses.push(press);
            }
            place.append_child(&element)?;
        }
        self.place_all()
    }

    fn place_all(&self) -> Result<(), JsValue> {
        let Some((_, place)) = place() else { return Ok(()) };
        let mut next = place.first_element_child();
        for part in &self.set {
            let Some(element) = next else { break };
            let [x, y, wide, high] = part.at;
            element.set_attribute("data-at", &format!("{x:.0} {y:.0} {wide:.0} {high:.0}"))?;
            next = element.next_element_sibling();
        }
        Ok(())
    }
}

fn place() -> Option<(Document, Element)> {
    let document = web_sys::window()?.document()?;
    let place = document.get_element_by_id(PLACE)?;
    Some((document, place))
}

/// Takes the words of loading away, or says why there is no page.
pub fn say_start(said: &str) {
    let document = web_sys::window().and_then(|window| window.document());
    let Some(loading) = document.and_then(|document| document.get_element_by_id("loading")) else {
        return;
    };
    match said.is_empty() {
        true => loading.remove(),
        false => loading.set_text_content(Some(said)),
    }
}
