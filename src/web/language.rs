//! The page's language: the browser's own, where there are words of it.

use js_sys::Reflect;
use wasm_bindgen::JsValue;

use crate::words::Words;

/// The words nearest to the browser's language; English where it names none that is known. The page says which it is.
pub fn of_browser() -> Words {
    let named = asked().and_then(|tag| Words::near(&tag));
    let words = named.unwrap_or_else(Words::english);
    let document = web_sys::window().and_then(|window| window.document());
    let page = document.and_then(|document| document.document_element());
    page.iter().for_each(|page| drop(page.set_attribute("lang", words.tag())));
    words
}

fn asked() -> Option<String> {
    let own = |of: &JsValue, name: &str| Reflect::get(of, &JsValue::from_str(name)).ok();
    let navigator = own(web_sys::window()?.as_ref(), "navigator")?;
    own(&navigator, "language")?.as_string()
}
