//! Files that are given to the page, dropped on it or chosen: read in the browser, no larger than practice takes.

use std::cell::RefCell;
use std::rc::Rc;

use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{File, HtmlInputElement};

use crate::live::MOST_BYTES;
use crate::window::model::given::{FileRefused, GivenFile};

/// What came of a file that was given.
pub type Came = Result<GivenFile, FileRefused>;

/// The files that were read and not yet taken.
#[derive(Clone, Default)]
pub struct GivenFiles {
    come: Rc<RefCell<Vec<Came>>>,
    asked: Rc<RefCell<Option<Asked>>>,
}

/// The element that asks, and what hears its answer.
struct Asked {
    input: HtmlInputElement,
    _answer: Closure<dyn FnMut()>,
}

impl GivenFiles {
    /// What came since this was last asked.
    pub fn take(&self) -> Vec<Came> {
        self.come.take()
    }

    /// Reads a file.
    pub fn read(&self, file: File) {
        let (come, name) = (self.come.clone(), file.name());
        if file.size() > MOST_BYTES as f64 {
            come.borrow_mut().push(Err(FileRefused::GiveASmaller(name)));
            return;
        }
        wasm_bindgen_futures::spawn_local(async move {
            let read = wasm_bindgen_futures::JsFuture::from(file.array_buffer()).await;
            let came = match read {
                Ok(buffer) => {
                    let bytes = js_sys::Uint8Array::new(&buffer).to_vec();
                    Ok(GivenFile { name, path: None, bytes: Some(bytes.into()) })
                }
                Err(_) => {
                    let fault = std::io::Error::other("the browser refuses");
                    Err(FileRefused::CannotRead { name, fault })
                }
            };
            come.borrow_mut().push(came);
        });
    }

    /// Asks for files. A browser allows that shortly after a touch or key.
    pub fn ask(&self) {
        let _ = self.ask_for();
    }

    fn ask_for(&self) -> Result<(), JsValue> {
        let document = web_sys::window().and_then(|window| window.document());
        let Some(document) = document else { return Ok(()) };
        let input: HtmlInputElement = document.create_element("input")?.dyn_into()?;
        input.set_type("file");
        input.set_multiple(true);
        input.set_accept(".wav,.toml,.exam,.jsonl,.sealed");
        let (from, here) = (input.clone(), self.clone());
        let answer = Closure::<dyn FnMut()>::new(move || {
            let files = from.files();
            let all = files.iter().flat_map(|list| (0..list.length()).filter_map(|n| list.get(n)));
            all.for_each(|file| here.read(file));
        });
        input.set_onchange(Some(answer.as_ref().unchecked_ref()));
        input.click();
        *self.asked.borrow_mut() = Some(Asked { input, _answer: answer });
        Ok(())
    }
}

impl Drop for Asked {
    fn drop(&mut self) {
        self.input.set_onchange(None);
    }
}
