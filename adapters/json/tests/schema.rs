//! The JSON Schema of the readings document: made from the types below and kept fresh, and held against documents that are
//! read and documents that are refused. `SPHERESUM_BLESS=1` writes it anew.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]
#![allow(dead_code, reason = "the types are there for their schema")]

use schemars::JsonSchema;
use serde_json::{Value, json};
use spheresum_adapter_json::{JsonAdapter, SCHEMA};
use spheresum_core::Limits;
use spheresum_core::intake::{Adapter, ReadOptions, Source};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

/// Readings of one quantity over a sphere, in listed directions or on grids. Keys are the canonical column names, whose last
/// word is the unit.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields, title = "spheresum.readings/1", extend("allOf" = of_one_quantity()))]
struct Document {
    /// Name and version of this schema.
    #[schemars(extend("const" = "spheresum.readings/1"))]
    schema: String,
    /// What all values are.
    quantity: Quantity,
    /// Remarks. They are kept, and mean nothing to the program.
    #[serde(default)]
    metadata: BTreeMap<String, Remark>,
    /// Time convention of fields; exp(+jwt) where it is left out. Fields under exp(-jwt) are conjugated on reading.
    #[serde(default)]
    time: Time,
    /// The readings, in parts. The order of blocks and readings carries no meaning.
    #[schemars(length(min = 1))]
    blocks: Vec<Block>,
}

/// A quantity.
#[derive(JsonSchema)]
#[serde(rename_all = "lowercase")]
enum Quantity {
    /// Equivalent isotropically radiated power.
    Eirp,
    /// Equivalent isotropic sensitivity.
    Eis,
    /// Gain over an isotropic antenna.
    Gain,
    /// Power at the receiver, before the range loss.
    Received,
    /// What the instrument sent when the link just held, before the range loss.
    Level,
    /// Complex far field.
    Field,
}

/// A time convention.
#[derive(Default, JsonSchema)]
enum Time {
    /// e^{+jωt}.
    #[default]
    #[serde(rename = "exp(+jwt)")]
    Plus,
    /// e^{−jωt}.
    #[serde(rename = "exp(-jwt)")]
    Minus,
}

/// A remark, or several under one key.
#[derive(JsonSchema)]
#[serde(untagged)]
enum Remark {
    One(Said),
    Several(Vec<Said>),
}

/// What a remark says.
#[derive(JsonSchema)]
#[serde(untagged)]
enum Said {
    Text(String),
    Number(f64),
    Truth(bool),
}

/// A part of the readings.
#[derive(JsonSchema)]
#[serde(untagged)]
enum Block {
    List(List),
    Grid(Grid),
}

/// Readings in listed directions.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields, extend(
    "patternProperties" = json!({FREQUENCY: frequency()}),
    "allOf" = json!([at_most_one_frequency()]),
))]
struct List {
    /// The readings, one direction (at one frequency) each.
    #[schemars(length(min = 1))]
    readings: Vec<Direction>,
}

/// The readings in one direction. A value that is left out or null is missing. The frequency stands here, or at the block for all
/// of its readings, or nowhere: then it is unknown.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields, extend(
    "patternProperties" = with_time(patterns(&frequency(), &json!({"$ref": "#/$defs/Sample"}), &theta(), &phi())),
    "allOf" = json!([at_most_one_frequency(), one_of(&["theta_deg", "theta_rad"]), one_of(&["phi_deg", "phi_rad"])]),
))]
struct Direction {}

/// A grid: values nest as the axes do, θ outside and φ inside; where the frequency is a list, by frequency first.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields, extend(
    "patternProperties" = patterns(
        &json!({"anyOf": [frequency(), {"type": "array", "minItems": 1, "items": frequency()}]}),
        &json!({"type": "array", "minItems": 1, "items": {"type": "array", "minItems": 1}}),
        &axis(&theta()),
        &axis(&phi()),
    ),
    "minProperties" = 3,
    "allOf" = json!([
        at_most_one_frequency(),
        one_of(&["theta_deg", "theta_rad"]),
        one_of(&["phi_deg", "phi_rad"]),
        values_nest(),
    ]),
))]
struct Grid {}

/// A value: a number; null where it is missing; `"<X"` for at most X, `">X"` for at least X; `"inf"` for a sensitivity where the
/// link was never held; `"-inf"` for a power of 0 W, in decibels. Components of a field are numbers or null.
#[derive(JsonSchema)]
#[serde(untagged)]
enum Sample {
    Number(f64),
    Marked(
        #[schemars(regex(
            pattern = r"^([<>] ?-?(0|[1-9][0-9]*)(\.[0-9]+)?([eE][+-]?[0-9]+)?|-?inf)$"
        ))]
        String,
    ),
    Missing(()),
}

/// Pattern of the keys of a frequency.
const FREQUENCY: &str = "^frequency_(hz|khz|mhz|ghz)$";

/// Patterns of the keys of values, by quantity.
const VALUES: [(&str, &str); 6] = [
    ("eirp", "^eirp_(theta|phi|total)_(dbm|dbw|w|mw|uw)$"),
    ("eis", "^eis_(theta|phi|total)_(dbm|dbw|w|mw|uw)$"),
    ("gain", "^gain_(theta|phi|total)_(dbi|db|1)$"),
    ("received", "^received_(theta|phi|total)_(dbm|dbw|w|mw|uw)$"),
    ("level", "^level_(theta|phi|total)_(dbm|dbw|w|mw|uw)$"),
    ("field", "^field_(theta|phi)_(re|im)(_sqrtw|_v)?$"),
];

fn frequency() -> Value {
    json!({"type": "number", "exclusiveMinimum": 0})
}

fn theta() -> Value {
    json!({"type": "number", "description": "θ from +z, −180° to 360°"})
}

fn phi() -> Value {
    json!({"type": "number", "description": "φ, −360° to 720°"})
}

fn axis(of: &Value) -> Value {
    json!({"type": "array", "minItems": 1, "items": of})
}

fn patterns(frequency: &Value, value: &Value, theta: &Value, phi: &Value) -> Value {
    let mut all = json!({
        FREQUENCY: frequency,
        "^theta_(deg|rad)$": theta,
        "^phi_(deg|rad)$": phi,
    });
    for (_, pattern) in VALUES {
        all[pattern] = value.clone();
    }
    all
}

fn with_time(mut patterns: Value) -> Value {
    patterns["^time_s$"] =
        json!({"type": "number", "description": "When it was measured, seconds from any start."});
    patterns
}

fn at_most_one_frequency() -> Value {
    let keys = [
        "frequency_hz",
        "frequency_khz",
        "frequency_mhz",
        "frequency_ghz",
    ];
    let pairs =
        (0..4).flat_map(|a| (a + 1..4).map(move |b| json!({"required": [keys[a], keys[b]]})));
    json!({"not": {"anyOf": pairs.collect::<Vec<_>>()}})
}

fn one_of(keys: &[&str]) -> Value {
    json!({"oneOf": keys.iter().map(|k| json!({"required": [k]})).collect::<Vec<_>>()})
}

/// Values are lists of lists, one level more where the frequency is a list.
fn values_nest() -> Value {
    let sample = json!({"$ref": "#/$defs/Sample"});
    let nested = axis(&axis(&sample));
    let of = |value: &Value| {
        let all: serde_json::Map<String, Value> = VALUES
            .iter()
            .map(|(_, pattern)| ((*pattern).to_string(), value.clone()))
            .collect();
        json!({"patternProperties": all})
    };
    json!({
        "if": {"patternProperties": {FREQUENCY: {"type": "number"}}},
        "then": of(&nested),
        "else": of(&axis(&nested)),
    })
}

/// Keys of values are those of the document's quantity, and a time convention is of fields.
fn of_one_quantity() -> Value {
    let mut all: Vec<Value> = VALUES
        .iter()
        .map(|(quantity, _)| {
            let of_reading = format!("^(time_s$|(frequency|theta|phi|{quantity})_)");
            let of_block = format!("^(readings$|(frequency|theta|phi|{quantity})_)");
            json!({
                "if": {"properties": {"quantity": {"const": quantity}}},
                "then": {"properties": {"blocks": {"items": {
                    "propertyNames": {"pattern": of_block},
                    "properties": {"readings": {"items": {"propertyNames": {"pattern": of_reading}}}},
                }}}},
            })
        })
        .collect();
    all.push(json!({
        "if": {"properties": {"quantity": {"const": "field"}}},
        "else": {"properties": {"time": false}},
    }));
    Value::Array(all)
}

fn made() -> String {
    let mut schema = schemars::schema_for!(Document);
    let sample = schemars::schema_for!(Sample).to_value();
    let mut sample = sample.as_object().unwrap().clone();
    sample.remove("$schema");
    sample.remove("title");
    schema.ensure_object()["$defs"]["Sample"] = Value::Object(sample);
    serde_json::to_string_pretty(&schema).unwrap() + "\n"
}

#[test]
fn the_committed_schema_is_fresh() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("schema/readings.schema.json");
    if std::env::var_os("SPHERESUM_BLESS").is_some() {
        std::fs::write(&path, made()).unwrap();
    }
    let kept = std::fs::read_to_string(&path).unwrap();
    assert!(
        kept == made(),
        "SPHERESUM_BLESS=1 cargo test -p spheresum-adapter-json --test schema writes it anew"
    );
}

/// The schema by an independent validator: boon 0.6.
fn validator() -> impl Fn(&Value) -> bool {
    let mut schemas = boon::Schemas::new();
    let mut compiler = boon::Compiler::new();
    compiler
        .add_resource("readings.json", serde_json::from_str(SCHEMA).unwrap())
        .unwrap();
    let index = compiler.compile("readings.json", &mut schemas).unwrap();
    move |document| schemas.validate(document, index).is_ok()
}

fn reads(text: &str) -> bool {
    let limits = Limits::small();
    let source = Source::from_text("t", text, &limits).unwrap();
    JsonAdapter::new()
        .read(&source, &limits, &ReadOptions::default())
        .is_ok()
}

/// The documents of a folder: those whose name starts with `document`, and those that have the schema word.
fn documents(kind: &str) -> BTreeMap<String, Value> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("../../tests/data/json")
        .join(kind);
    std::fs::read_dir(folder)
        .unwrap()
        .filter_map(|entry| {
            let path = entry.unwrap().path();
            let text = std::fs::read_to_string(&path).unwrap();
            let value: Value = serde_json::from_str(text.trim_start_matches('\u{feff}')).ok()?;
            let word = value.get("schema")?.as_str()?.to_string();
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            word.starts_with("spheresum.").then_some((name, value))
        })
        .collect()
}

#[test]
fn good_documents_fit_and_bad_ones_do_not() {
    let fits = validator();
    let good = documents("good");
    assert!(good.len() >= 5);
    for (name, document) in good {
        assert!(fits(&document), "{name} does not fit");
    }
    // What a schema cannot say: lengths of lists against each other, two units of one value, sums over blocks, sizes.
    let beyond: BTreeSet<&str> = [
        "document-grid-too-few-rows.json",
        "document-grid-too-many-values.json",
        "document-two-units.json",
        "document-field-scales.json",
        "document-frequency-twice.json",
        "document-infinite-power.json",
    ]
    .into();
    let bad = documents("bad");
    assert!(bad.len() >= 25);
    for (name, document) in bad {
        assert_eq!(fits(&document), beyond.contains(name.as_str()), "{name}");
    }
}

#[test]
fn every_key_that_fits_is_read_and_no_other() {
    let fits = validator();
    let mut tried = 0;
    for (quantity, _) in VALUES {
        for polarisation in ["theta", "phi", "total", "pol"] {
            for tail in [
                "dbm", "dbw", "w", "mw", "uw", "dbi", "db", "1", "re", "im_v", "re_sqrtw", "MW",
                "v",
            ] {
                let key = format!("{quantity}_{polarisation}_{tail}");
                let mut reading = json!({"theta_deg": 90, "phi_deg": 0, key.clone(): 0.5});
                // Fields have two parts.
                if quantity == "field" {
                    let other = match tail.starts_with("re") {
                        true => key.replace("_re", "_im"),
                        false => key.replace("_im", "_re"),
                    };
                    reading[other] = json!(0.25);
                }
                let document = json!({
                    "schema": "spheresum.readings/1",
                    "quantity": quantity,
                    "blocks": [{"readings": [reading]}],
                });
                assert_eq!(fits(&document), reads(&document.to_string()), "{document}");
                tried += usize::from(fits(&document));
            }
        }
    }
    // 4 quantities with 3 polarisations and 5 units; gains with 3 and 3; fields with 2, and 3 scales.
    assert_eq!(tried, 4 * 15 + 9 + 6);
}

#[test]
fn values_and_axes_that_fit_are_read_and_no_others() {
    let fits = validator();
    let values = [
        "0",
        "-1.5e2",
        "null",
        "\"<-90\"",
        "\"> -20.5\"",
        "\"<1e1\"",
        "\"inf\"",
        "\"-inf\"",
        "\"-90\"",
        "\"<\"",
        "\"<.5\"",
        "\"NaN\"",
        "\"\"",
        "true",
        "[]",
        "[1]",
        "{}",
        "\">inf\"",
        "\"<01\"",
    ];
    for value in values {
        let text = format!(
            "{{\"schema\": \"spheresum.readings/1\", \"quantity\": \"eirp\", \"blocks\": [{{\"readings\": [
             {{\"theta_deg\": 0, \"phi_deg\": 0, \"eirp_theta_dbm\": 1, \"eirp_phi_dbm\": {value}}}]}}]}}"
        );
        // That only sensitivities are infinite is beyond the schema.
        let want = reads(&text) || value == "\"inf\"";
        assert_eq!(fits(&serde_json::from_str(&text).unwrap()), want, "{value}");
    }
    for (frequency, lists, want) in [
        ("868.3", "[[1, 2]]", true),
        ("868.3", "[[[1, 2]]]", false),
        ("[868.3]", "[[[1, 2]]]", true),
        ("[868.3]", "[[1, 2]]", false),
        ("-1", "[[1, 2]]", false),
        ("[]", "[]", false),
        ("\"868.3\"", "[[1, 2]]", false),
        ("null", "[[1, 2]]", false),
        ("868.3", "[]", false),
        ("868.3", "[1, 2]", false),
        ("868.3", "null", false),
        ("868.3", "[[1, \"<2\"]]", true),
    ] {
        let text = format!(
            "{{\"schema\": \"spheresum.readings/1\", \"quantity\": \"eirp\", \"blocks\": [{{\"frequency_mhz\": {frequency},
             \"theta_deg\": [90], \"phi_deg\": [0, 180], \"eirp_total_dbm\": {lists}}}]}}"
        );
        assert_eq!(reads(&text), want, "{frequency} {lists}");
        assert_eq!(
            fits(&serde_json::from_str(&text).unwrap()),
            want,
            "{frequency} {lists}"
        );
    }
}
