//! Every JSON that the program prints says what it is: `format` and `version` stand first in it, and the JSON Schema
//! of that version can be had (`cuffnote schema NAME`).
//!
//! Within a version fields are added, never renamed, removed or given another meaning; that takes the next version.

use schemars::JsonSchema;
use schemars::generate::SchemaSettings;
use serde::Serialize;
use serde_json::{Value, json};

/// Something that is printed as JSON.
pub(super) trait Described: Serialize + JsonSchema {
    /// What it is called within the JSON.
    const FORMAT: &'static str;
    /// Its version.
    const VERSION: u32 = 1;
}

impl<T: Described> Described for &T {
    const FORMAT: &'static str = T::FORMAT;
    const VERSION: u32 = T::VERSION;
}

#[derive(Serialize)]
struct Written<'a, T> {
    format: &'a str,
    version: u32,
    #[serde(flatten)]
    told: &'a T,
}

/// One object on a line of its own.
///
/// # Errors
/// A number that JSON cannot hold.
pub(super) fn line<T: Described>(told: &T) -> anyhow::Result<String> {
    Ok(serde_json::to_string(&Written { format: T::FORMAT, version: T::VERSION, told })? + "\n")
}

/// The same over several lines, for a file that a person may open.
///
/// # Errors
/// As [`line`].
pub(super) fn page<T: Described>(told: &T) -> anyhow::Result<Vec<u8>> {
    let written = Written { format: T::FORMAT, version: T::VERSION, told };
    let mut bytes = serde_json::to_vec_pretty(&written)?;
    bytes.push(b'\n');
    Ok(bytes)
}

/// The JSON Schema (2020-12) of what [`line`] writes for this type.
pub(super) fn schema<T: Described>(about: &str) -> Value {
    let mut schema = plain::<T>();
    head(&mut schema, T::FORMAT, T::VERSION, about);
    schema
}

/// The schema of a type.
pub(super) fn plain<T: JsonSchema>() -> Value {
    let settings = SchemaSettings::draft2020_12().for_serialize();
    settings.into_generator().into_root_schema_for::<T>().to_value()
}

/// Puts name and version into a schema, as the first of what must be there.
pub(super) fn head(schema: &mut Value, format: &str, version: u32, about: &str) {
    schema["title"] = json!(format!("{format}, version {version}"));
    schema["description"] = json!(about);
    schema["properties"]["format"] = json!({"description": "What this is.", "const": format});
    schema["properties"]["version"] =
        json!({"description": "The version of its form.", "const": version});
    let mut required = vec![json!("format"), json!("version")];
    if let Some(more) = schema["required"].as_array() {
        required
            .extend(more.iter().filter(|name| *name != "format" && *name != "version").cloned());
    }
    schema["required"] = required.into();
    schema["type"] = json!("object");
}
