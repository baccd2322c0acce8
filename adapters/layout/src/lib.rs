//! Layouts: TOML texts that describe a text format, so that no code is needed.
