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
    shown: Vec<ShownPart>,
    pressed: Rc<RefCell<Vec<String>>>,
}

/// A part's element, and what hears it pressed.
struct ShownPart {
    element: Element,
    _press: Option<Closure<dyn FnMut()>>,
}

/// Whether a reader would tell them apart.
fn told_alike(one: &ScreenPart, other: &ScreenPart) -> bool {
    one.role == other.role && one.text == other.text
}

impl Mirror {
    /// What was pressed since it was last asked.
    pub fn pressed(&mut self) -> Vec<String> {
        self.pressed.take()
    }

    /// Sets these parts. An element whose words are the same stays, or a reader would begin anew with each of them.
    pub fn set(&mut self, parts: Vec<ScreenPart>) {
        if parts != self.set {
            let _ = self.change(&parts);
            self.set = parts;
        }
    }

    fn change(&mut self, parts: &[ScreenPart]) -> Result<(), JsValue> {
        let Some((document, place)) = place() else { return Ok(()) };
        let (old, new) = (self.set.len().min(self.shown.len()), parts.len());
        let alike = |n: &usize| told_alike(&self.set[*n], &parts[*n]);
        let before = (0..old.min(new)).take_while(alike).count();
        let least = old.min(new) - before;
        let alike = |n: &usize| told_alike(&self.set[old - 1 - n], &parts[new - 1 - n]);
        let after = (0..least).take_while(alike).count();
        let (old, new) = (before..old - after, &parts[before..new - after]);
        let same_roles = old.len() == new.len()
            && self.set[old.clone()].iter().zip(new).all(|(one, other)| one.role == other.role);
        if same_roles {
            for (shown, part) in self.shown[old].iter().zip(new) {
                shown.element.set_text_content(Some(&part.text));
            }
        } else {
            let next = self.shown.get(old.end).map(|shown| shown.element.clone());
            let made: Result<Vec<ShownPart>, JsValue> =
                new.iter().map(|part| self.made(&document, part)).collect();
            let made = made?;
            for shown in &made {
                place.insert_before(&shown.element, next.as_deref())?;
            }
            self.shown.splice(old, made).for_each(|gone| gone.element.remove());
        }
        for (shown, part) in self.shown.iter().zip(parts) {
            let [x, y, wide, high] = part.at;
            let at = format!("{x:.0} {y:.0} {wide:.0} {high:.0}");
            shown.element.set_attribute("data-at", &at)?;
        }
        Ok(())
    }

    fn made(&self, document: &Document, part: &ScreenPart) -> Result<ShownPart, JsValue> {
        let button = part.role == PartRole::Button;
        let element = document.create_element(if button { "button" } else { "p" })?;
        element.set_text_content(Some(&part.text));
        if !button {
            return Ok(ShownPart { element, _press: None });
        }
        element.set_attribute("tabindex", "-1")?;
        let (pressed, of) = (self.pressed.clone(), element.clone());
        let press = Closure::<dyn FnMut()>::new(move || {
            pressed.borrow_mut().push(of.text_content().unwrap_or_default());
        });
        element.add_event_listener_with_callback("click", press.as_ref().unchecked_ref())?;
        Ok(ShownPart { element, _press: Some(press) })
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
