//! Where a browser keeps what was practised: its own store on this computer; files are given out as downloads.

use std::path::PathBuf;

use js_sys::{Array, Uint8Array};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Blob, BlobPropertyBag, HtmlAnchorElement, Storage, Url};

use crate::window::model::kept_class::{ClassPlace, NotStored};
use crate::words::{Spoken, say};

/// The name of the class file in the store.
const KEY: &str = "cuffnote-class";

/// See the file's purpose.
pub struct BrowserPlace;

fn store() -> Result<Storage, NotStored> {
    let window = web_sys::window().ok_or_else(|| refused("no window"))?;
    let store = window.local_storage().map_err(|fault| refused(&told(&fault)))?;
    store.ok_or_else(|| refused("it has no store"))
}

fn refused(why: &str) -> NotStored {
    NotStored::SaveItNow(why.to_owned())
}

fn told(fault: &JsValue) -> String {
    fault.dyn_ref::<js_sys::Error>().map_or_else(String::new, |e| String::from(e.message()))
}

impl ClassPlace for BrowserPlace {
    fn file(&self) -> PathBuf {
        "class.jsonl".into()
    }

    fn text(&self) -> Result<Option<String>, NotStored> {
        store()?.get_item(KEY).map_err(|fault| refused(&told(&fault)))
    }

    fn keep(&self, text: &str) -> Result<(), NotStored> {
        store()?.set_item(KEY, text).map_err(|fault| refused(&told(&fault)))
    }

    fn give(&self, name: &str, bytes: &[u8]) -> Result<Spoken, NotStored> {
        download(name, bytes).map_err(|fault| refused(&told(&fault)))?;
        let name = name.to_owned();
        Ok(Spoken::of(move |w| say!(w, "lesson-download", name = name)))
    }
}

fn download(name: &str, bytes: &[u8]) -> Result<(), JsValue> {
    let kind = BlobPropertyBag::new();
    kind.set_type(if name.ends_with(".html") { "text/html" } else { "application/jsonl" });
    let parts = Array::of1(&Uint8Array::from(bytes));
    let blob = Blob::new_with_u8_array_sequence_and_options(&parts, &kind)?;
    let address = Url::create_object_url_with_blob(&blob)?;
    let document = web_sys::window().and_then(|window| window.document());
    let document = document.ok_or_else(|| JsValue::from_str("no page"))?;
    let anchor: HtmlAnchorElement = document.create_element("a")?.dyn_into()?;
    anchor.set_href(&address);
    anchor.set_download(name);
    anchor.click();
    Url::revoke_object_url(&address)
}
