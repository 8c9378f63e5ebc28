//! The JSON Schema of everything that is written as JSON.

use schemars::generate::SchemaSettings;
use serde_json::json;

use super::class::Row;
use super::explained::Explained;
use super::marked::MarksText;
use super::profiled::{ComparisonText, ProfileText};
use super::varied::{Ordered, Variations};
use super::{Object, pretty};

/// The JSON Schema (draft 2020-12) of every JSON text that this crate writes: a line, several
/// lines, an explanation, marks, the marks of a class, variations, orders, a profile, a
/// comparison. Ends with a line break.
pub fn json_schema() -> String {
    let mut generator = SchemaSettings::draft2020_12()
        .for_serialize()
        .into_generator();
    let kinds = [
        generator.subschema_for::<Object>(),
        generator.subschema_for::<Vec<Object>>(),
        generator.subschema_for::<Explained>(),
        generator.subschema_for::<MarksText>(),
        generator.subschema_for::<Vec<Row>>(),
        generator.subschema_for::<Variations>(),
        generator.subschema_for::<Ordered>(),
        generator.subschema_for::<ProfileText>(),
        generator.subschema_for::<ComparisonText>(),
    ];
    pretty(&json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "What linewright writes as JSON",
        "description": "Bars are numbered as played, from 1, a pick-up bar is 0; beats count from 1. Points, marks, strength and tension are whole thousandths.",
        "anyOf": kinds,
        "$defs": generator.take_definitions(true),
    }))
}
