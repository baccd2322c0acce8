//! The reference of layouts: its examples are layouts, and it has every key.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

use spheresum_adapter_layout::Layout;

const README: &str = include_str!("../README.md");

#[test]
fn its_examples_are_layouts() {
    let mut count = 0;
    for part in README.split("```toml\n").skip(1) {
        let said = part.split("```").next().unwrap();
        Layout::parse("README", said).unwrap_or_else(|e| panic!("{e}: {:?}\n{said}", e.advice()));
        count += 1;
    }
    assert_eq!(count, 4);
}

#[test]
fn it_has_every_key() {
    // What the layouts themselves list when they refuse a key.
    let keys_of = |said: &str| -> Vec<String> {
        let text = format!("id = \"t\"\nname = \"t\"\nkind = \"table\"\n{said}");
        let error = Layout::parse("t", &text).unwrap_err();
        let hint = error.advice().unwrap().to_string();
        let list = hint.split("its keys: ").nth(1).unwrap();
        list.split(", ").map(ToString::to_string).collect()
    };
    let text = "[text]\nseparator = \"tab\"\n";
    let mut count = 0;
    for said in [
        "nonsense = 1\n".to_string(),
        "[recognise]\nnonsense = 1\n[text]\nseparator = \"tab\"\n".to_string(),
        "[text]\nnonsense = 1\n".to_string(),
        format!("{text}[[column]]\nnonsense = 1\n"),
        format!("{text}[constants]\nnonsense = 1\n"),
        format!("{text}[conventions]\nnonsense = 1\n"),
        format!("{text}[tokens]\nnonsense = 1\n"),
    ] {
        for key in keys_of(&said) {
            let section =
                README.contains(&format!("`[{key}]`")) || README.contains(&format!("`[[{key}]]`"));
            assert!(section || README.contains(&format!("`{key}`")), "{key}");
            count += 1;
        }
    }
    for key in ["row_axis", "column_axis", "values", "corner"] {
        assert!(README.contains(&format!("`{key}`")), "{key}");
    }
    assert!(count >= 45, "{count}");
}
