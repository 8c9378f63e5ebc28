//! The JSON Schema of everything that is written as JSON.

use schemars::Schema;
use schemars::generate::SchemaSettings;
use schemars::transform::RecursiveTransform;
use serde_json::json;

use super::class::Row;
use super::explained::Explained;
use super::learned::LearnedText;
use super::line::LineText;
use super::marked::MarkedText;
use super::pretty;
use super::profiled::{ComparisonText, ProfileText};
use super::varied::{Ordered, Variations};

/// The JSON Schema (draft 2020-12) of every JSON text that this crate writes: a line, several
/// lines, an explanation, marks, the marks of a class, variations, orders, a profile, a
/// comparison, what was learned. Ends with a line break.
pub fn json_schema() -> String {
    // What a reader puts where it works a value out anew says nothing about what is written.
    let without_default = |schema: &mut Schema| {
        schema.remove("default");
    };
    let mut generator = SchemaSettings::draft2020_12()
        .for_serialize()
        .with_transform(RecursiveTransform(without_default))
        .into_generator();
    let kinds = [
        generator.subschema_for::<LineText>(),
        generator.subschema_for::<Vec<LineText>>(),
        generator.subschema_for::<Explained>(),
        generator.subschema_for::<MarkedText>(),
        generator.subschema_for::<Vec<Row>>(),
        generator.subschema_for::<Variations>(),
        generator.subschema_for::<Ordered>(),
        generator.subschema_for::<ProfileText>(),
        generator.subschema_for::<ComparisonText>(),
        generator.subschema_for::<LearnedText>(),
    ];
    pretty(&json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "What linewright writes as JSON",
        "description": "Bars are numbered as played, from 1, a pick-up bar is 0; beats count from 1 and are quarter notes. Points and marks are whole thousandths. What is readOnly in a line is worked out anew where the line is read.",
        "anyOf": kinds,
        "$defs": generator.take_definitions(true),
    }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::Value;

    /// The names of all properties, and of those that nothing describes.
    fn properties(schema: &Value, all: &mut Vec<String>, bare: &mut Vec<String>) {
        match schema {
            Value::Object(keys) => {
                if let Some(Value::Object(properties)) = keys.get("properties") {
                    for (name, property) in properties {
                        all.push(name.clone());
                        if !property["description"].is_string() {
                            bare.push(name.clone());
                        }
                    }
                }
                keys.values().for_each(|below| properties(below, all, bare));
            }
            Value::Array(list) => list.iter().for_each(|below| properties(below, all, bare)),
            _ => {}
        }
    }

    #[test]
    fn every_property_has_a_description() {
        let schema = serde_json::from_str(&json_schema()).unwrap();
        let (mut all, mut bare) = (Vec::new(), Vec::new());
        properties(&schema, &mut all, &mut bare);
        assert!(all.len() > 150, "{all:?}");
        assert_eq!(bare, [""; 0]);
    }
}
