//! The JSON Schema of a style file.

use linewright_rulebook::style::json_schema;
use serde_json::Value;

fn schema() -> Value {
    serde_json::from_str(&json_schema(["root-arrival", "octave"])).unwrap()
}

#[test]
fn the_schema_is_json_that_names_its_draft_and_ends_with_a_line_break() {
    let schema = schema();
    assert_eq!(
        schema["$schema"],
        "https://json-schema.org/draft/2020-12/schema"
    );
    assert_eq!(schema["type"], "object");
    assert!(json_schema([]).ends_with("}\n"));
}

#[test]
fn weights_may_name_the_given_rules_and_no_others() {
    let names = &schema()["properties"]["weights"]["propertyNames"]["enum"];
    assert_eq!(*names, serde_json::json!(["root-arrival", "octave"]));
}

#[test]
fn a_weight_is_a_number_within_a_hundred_or_never() {
    let weight = &schema()["$defs"]["Weight"]["oneOf"];
    assert_eq!(weight[0]["minimum"], -100);
    assert_eq!(weight[0]["maximum"], 100);
    assert_eq!(weight[1]["const"], "never");
}

#[test]
fn every_key_of_a_style_file_is_described() {
    let schema = schema();
    let keys = schema["properties"].as_object().unwrap();
    let expected = [
        "name",
        "description",
        "extends",
        "feel",
        "temperature",
        "range",
        "instrument",
        "limits",
        "weights",
        "plan",
        "sound",
        "marks",
    ];
    assert_eq!(keys.len(), expected.len());
    for key in expected {
        assert!(keys[key]["description"].is_string(), "{key}");
    }
    assert_eq!(schema["additionalProperties"], false);
    assert_eq!(
        schema["required"],
        serde_json::json!(["name", "description"])
    );
}
