//! The JSON Schema of the job file, from the same list of keys that the reader walks, so that an
//! editor completes and checks exactly what is read.

use serde_json::{Map, Value, json};

use super::keys::{BANK, FILE, FLOOR, Kind, ROOF, Record, STACK, Sign, TYPICAL, What};
use super::laid;
use super::names::{LONGEST_MADE, RESERVED};

/// The name of a section's line that stands for several.
const RANGE: &str = "^[A-Za-z0-9 _-]*[0-9] *\\.\\. *[A-Za-z0-9 _-]*[0-9]$";

/// The JSON Schema (draft 2020-12) of the job file.
pub fn schema() -> Value {
    let mut root = Map::new();
    root.insert(
        "$schema".to_owned(),
        json!("https://json-schema.org/draft/2020-12/schema"),
    );
    root.insert("title".to_owned(), json!("stackfall job file"));
    if let Value::Object(file) = record(&FILE) {
        root.extend(file);
    }
    // Fixtures stand in a section of their own or in a group that is placed.
    root.insert(
        "anyOf".to_owned(),
        json!([{ "required": ["fixtures"] }, { "required": ["repeat"] }]),
    );
    root.insert("$defs".to_owned(), definitions());
    Value::Object(root)
}

/// Values that read in several spellings are described, not spelled out as patterns: the reader
/// says what is wrong with one far better than a pattern can.
fn definitions() -> Value {
    let text_or_number = |doc: &str, examples: Value| json!({ "description": doc, "type": ["string", "number"], "examples": examples });
    json!({
        "length": text_or_number(
            "A length; a bare number is feet in a feet job, metres in a metric one. A sign covers the whole.",
            json!(["12' 4 1/2", "9 1/2in", "-8' 10", "3.2 m", "110 mm"]),
        ),
        "size": text_or_number(
            "A pipe size: nominal inches, or DN in millimetres.",
            json!([3, "1 1/2", 110, "DN 100"]),
        ),
        "fall": text_or_number("A fall.", json!(["1/4", "2%", "1:50"])),
        "flow": text_or_number("A flow.", json!(["9 gpm", "0.6 L/s"])),
        "gallons": text_or_number("The water of one flush.", json!([1.28, "4.8 L"])),
        "name": {
            "description": "A name: letters, digits, `-` and `_`, used once in the whole file.",
            "type": "string",
            "pattern": "^[A-Za-z0-9_-]{1,32}$",
        },
        "thing": {
            "description": "The name of a thing; that of a copy is `NAME@STACK-FLOOR`.",
            "type": "string",
            "pattern": "^[A-Za-z0-9_-]{1,32}(@[A-Za-z0-9_-]+)?$",
            "maxLength": LONGEST_MADE,
        },
        "ranges": {
            "description": "A name, a range of names `a..b`, or a list of them.",
            "anyOf": [
                { "type": "string" },
                { "type": "array", "minItems": 1, "items": { "type": "string" } },
            ],
            "examples": ["3", "3..17", ["1", "3..17"], "S1..S8"],
        },
        "floor": {
            "description": "The name of a floor: letters, digits, `-`, `_` and spaces.",
            "type": "string",
            "pattern": "^[A-Za-z0-9_-]([A-Za-z0-9 _-]{0,30}[A-Za-z0-9_-])?$",
        },
    })
}

fn record(record: &Record) -> Value {
    let mut properties = Map::new();
    for key in record.keys {
        let mut schema = Map::new();
        schema.insert("description".to_owned(), json!(key.doc));
        if let Value::Object(value) = value(key.kind) {
            for (word, value) in value {
                // The key's own words say more than those of its table.
                schema.entry(word).or_insert(value);
            }
        }
        properties.insert(key.name.to_owned(), Value::Object(schema));
    }
    let required: Vec<&str> = record
        .keys
        .iter()
        .filter(|k| k.required)
        .map(|k| k.name)
        .collect();
    let mut schema = Map::new();
    schema.insert("description".to_owned(), json!(record.doc));
    schema.insert("type".to_owned(), json!("object"));
    schema.insert("properties".to_owned(), Value::Object(properties));
    if !required.is_empty() {
        schema.insert("required".to_owned(), json!(required));
    }
    schema.insert("additionalProperties".to_owned(), json!(false));
    Value::Object(schema)
}

/// Each record of a part of the work, of which any keys may be given.
fn some_keys() -> Value {
    let some = |r: &&'static Record| {
        let mut some = record(r);
        if let Some(some) = some.as_object_mut() {
            some.shift_remove("required");
        }
        some
    };
    laid::records().iter().map(some).collect()
}

fn value(kind: Kind) -> Value {
    let to = |name: &str| json!({ "$ref": format!("#/$defs/{name}") });
    match kind {
        Kind::Text(most) => json!({ "type": "string", "minLength": 1, "maxLength": most }),
        Kind::Date => {
            json!({ "type": "string", "minLength": 1, "maxLength": 40, "examples": ["2026-03-02"] })
        }
        Kind::Word(words) => json!({ "enum": words }),
        Kind::Words(words) => json!({ "type": "array", "items": { "enum": words } }),
        Kind::Texts(most) => {
            let text = json!({ "type": "string", "minLength": 1, "maxLength": most });
            json!({ "type": "array", "items": text })
        }
        Kind::Flag => json!({ "type": "boolean" }),
        Kind::Length(sign) => match sign {
            Sign::Any => to("length"),
            // Of a number the sign can be told here; of text only the reader can.
            Sign::NotNegative => json!({ "$ref": "#/$defs/length", "minimum": 0 }),
            Sign::Positive => json!({ "$ref": "#/$defs/length", "exclusiveMinimum": 0 }),
        },
        Kind::Size => to("size"),
        Kind::Sizes => json!({ "type": "array", "minItems": 1, "items": to("size") }),
        Kind::Fall => to("fall"),
        Kind::Falls => json!({ "type": "object", "additionalProperties": to("fall") }),
        Kind::Flow => to("flow"),
        Kind::Gallons => to("gallons"),
        Kind::Load => json!({ "type": ["number", "string"], "minimum": 0 }),
        Kind::Count(most) => json!({ "type": "integer", "minimum": 1, "maximum": most }),
        Kind::Choice(choices) => json!({ "enum": choices }),
        Kind::Heading(headings) => {
            let words: Vec<&str> = headings.iter().map(|h| h.word()).collect();
            json!({ "enum": words })
        }
        Kind::Go => json!({ "type": "string", "examples": ["east 4' 6"] }),
        Kind::Run => json!({
            "type": "array",
            "items": { "type": "string", "examples": ["north 32'", "up 7' 8", "size 3", "fall 1/4", "lies under slab"] },
        }),
        Kind::At => json!({ "type": "array", "minItems": 2, "maxItems": 2, "items": to("length") }),
        Kind::Floor | Kind::FloorOrRoof => to("floor"),
        Kind::Name(kinds) => {
            let words: Vec<&str> = kinds.iter().map(|k: &What| k.called()).collect();
            json!({ "$ref": "#/$defs/thing", "$comment": format!("the name of {}", words.join(", ")) })
        }
        Kind::One(inner) => record(inner),
        Kind::Many(inner) => json!({ "type": "array", "items": record(inner) }),
        Kind::Named(inner) => json!({
            "type": "object",
            "propertyNames": { "$ref": "#/$defs/name", "not": { "enum": RESERVED } },
            "additionalProperties": record(inner),
        }),
        Kind::Ranges => to("ranges"),
        Kind::Now => json!({ "type": "object", "minProperties": 1, "anyOf": some_keys() }),
        Kind::Floors => json!({
            "type": "object",
            "propertyNames": { "anyOf": [to("floor"), { "pattern": RANGE }] },
            "properties": { "roof": record(&ROOF) },
            "patternProperties": { RANGE: record(&TYPICAL) },
            "additionalProperties": record(&FLOOR),
        }),
        Kind::Stacks => json!({
            "type": "object",
            "propertyNames": {
                "anyOf": [to("name"), { "pattern": RANGE }],
                "not": { "enum": RESERVED },
            },
            "patternProperties": { RANGE: record(&BANK) },
            "additionalProperties": record(&STACK),
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every key of a record is a property of its schema, in the same order, and no other is.
    fn compare(record: &'static Record, schema: &Value) {
        let properties = schema["properties"].as_object().expect(record.called);
        let names: Vec<&str> = properties.keys().map(String::as_str).collect();
        let keys: Vec<&str> = record.keys.iter().map(|k| k.name).collect();
        assert_eq!(names, keys, "{}", record.called);
        assert_eq!(
            schema["additionalProperties"],
            json!(false),
            "{}",
            record.called
        );
        for key in record.keys {
            let own = &properties[key.name];
            assert_eq!(own["description"], json!(key.doc), "{}", key.name);
            match key.kind {
                Kind::One(inner) => compare(inner, own),
                Kind::Many(inner) => compare(inner, &own["items"]),
                Kind::Named(inner) => compare(inner, &own["additionalProperties"]),
                Kind::Stacks => {
                    compare(&STACK, &own["additionalProperties"]);
                    compare(&BANK, &own["patternProperties"][RANGE]);
                }
                Kind::Floors => {
                    compare(&TYPICAL, &own["patternProperties"][RANGE]);
                    compare(&FLOOR, &own["additionalProperties"]);
                    compare(&ROOF, &own["properties"]["roof"]);
                }
                _ => {}
            }
        }
    }

    #[test]
    fn names_every_key_that_the_reader_accepts() {
        compare(&FILE, &schema());
    }

    #[test]
    fn every_reference_leads_somewhere() {
        fn walk(value: &Value, defs: &Value) {
            match value {
                Value::Object(map) => {
                    if let Some(Value::String(to)) = map.get("$ref") {
                        let name = to.strip_prefix("#/$defs/").expect(to);
                        assert!(defs.get(name).is_some(), "{to}");
                    }
                    map.values().for_each(|v| walk(v, defs));
                }
                Value::Array(list) => list.iter().for_each(|v| walk(v, defs)),
                _ => {}
            }
        }
        let schema = schema();
        walk(&schema, &schema["$defs"]);
    }
}
