//! Reads the committed JSON schema, as much of Draft 2020-12 as it uses, and refuses what it does not know.

use serde_json::Value;
use std::path::Path;

/// The committed schema of a review.
pub fn of_review() -> Value {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/report.schema.json");
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

/// Every way in which `value` breaks the schema.
pub fn faults(schema: &Value, value: &Value) -> Vec<String> {
    let mut out = Vec::new();
    check(schema, schema, value, "", &mut out);
    out
}

fn check(root: &Value, schema: &Value, value: &Value, at: &str, out: &mut Vec<String>) {
    for (key, wanted) in schema.as_object().unwrap() {
        let fine = match key.as_str() {
            "$schema" | "$defs" | "title" | "description" | "properties" | "additionalProperties" => true,
            "$ref" => {
                let target = root.pointer(wanted.as_str().unwrap().strip_prefix('#').unwrap()).unwrap();
                check(root, target, value, at, out);
                true
            }
            "type" => match wanted {
                Value::Array(any) => any.iter().any(|t| is(t.as_str().unwrap(), value)),
                one => is(one.as_str().unwrap(), value),
            },
            "const" => wanted == value,
            "enum" => wanted.as_array().unwrap().contains(value),
            "minimum" => value.as_f64().is_none_or(|v| v >= wanted.as_f64().unwrap()),
            "maximum" => value.as_f64().is_none_or(|v| v <= wanted.as_f64().unwrap()),
            // The one pattern there is: `family/short-name`.
            "pattern" => value.as_str().unwrap().split_once('/').is_some_and(|(a, b)| !a.is_empty() && !b.is_empty()),
            "required" => {
                let missing = |k: &&Value| value.get(k.as_str().unwrap()).is_none();
                wanted.as_array().unwrap().iter().find(missing).is_none()
            }
            "items" => {
                let items = value.as_array().into_iter().flatten().enumerate();
                items.for_each(|(i, item)| check(root, wanted, item, &format!("{at}/{i}"), out));
                true
            }
            unknown => panic!("the reader of schemas does not know `{unknown}`"),
        };
        if !fine {
            out.push(format!("{at}: {key} {wanted}"));
        }
    }
    if let (Some(known), Some(fields)) = (schema.get("properties"), value.as_object()) {
        for (name, field) in fields {
            match known.get(name) {
                Some(wanted) => check(root, wanted, field, &format!("{at}/{name}"), out),
                None => out.push(format!("{at}/{name}: not in the schema")),
            }
        }
    }
}

fn is(kind: &str, value: &Value) -> bool {
    match kind {
        "string" => value.is_string(),
        "number" => value.is_number(),
        "integer" => value.is_u64() || value.is_i64(),
        "boolean" => value.is_boolean(),
        "null" => value.is_null(),
        "array" => value.is_array(),
        "object" => value.is_object(),
        unknown => panic!("no such type: {unknown}"),
    }
}
