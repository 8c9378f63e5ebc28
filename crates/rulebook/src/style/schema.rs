//! The JSON Schema of a style file.

use crate::style::file::StyleFile;

/// The JSON Schema (draft 2020-12) of a style file, as text. `rules` are the
/// names that `[weights]` may use.
pub fn json_schema<'a>(rules: impl IntoIterator<Item = &'a str>) -> String {
    let mut schema = schemars::schema_for!(StyleFile).to_value();
    let names: Vec<serde_json::Value> = rules.into_iter().map(Into::into).collect();
    if let Some(weights) = schema.pointer_mut("/properties/weights") {
        weights["propertyNames"] = serde_json::json!({ "enum": names });
    }
    let mut text = serde_json::to_string_pretty(&schema).unwrap_or_default();
    text.push('\n');
    text
}
