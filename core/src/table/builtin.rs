//! The tables that come with the library.

macro_rules! embedded {
    ($($name:literal),* $(,)?) => {
        &[$(($name, include_str!(concat!("../../tables/", $name)))),*]
    };
}

const TABLES: &[(&str, &str)] = embedded![
    "antennas/dipoles.tbl",
    "antennas/sources.tbl",
    "antennas/arrays.tbl",
    "antennas/beams.tbl",
    "antennas/handbook.tbl",
    "rules/sine.tbl",
    "rules/bias.tbl",
    "rules/clenshaw_curtis.tbl",
    "rules/weights.tbl",
    "rules/monomials.tbl",
    "rules/windows.tbl",
    "figures/sensitivity.tbl",
    "figures/sensitivity_windows.tbl",
    "figures/power_windows.tbl",
    "figures/extremes.tbl",
    "figures/efficiency.tbl",
    "figures/polarisation.tbl",
    "figures/refusals.tbl",
    "figures/gaps.tbl",
    "figures/properties.tbl",
    "figures/mistakes.tbl",
    "figures/noise.tbl",
    "figures/noise_bias.tbl",
    "spheres/ds1_isotropic_15deg.tbl",
    "spheres/ds2_xdipole_15deg.tbl",
    "spheres/ds3_halfwave_30deg.tbl",
    "spheres/ds4_beam_15deg.tbl",
    "spheres/ds4_beam_5deg.tbl",
    "spheres/ds5_interferometer_10deg.tbl",
    "spheres/ds6_eis_xdipole_30deg.tbl",
    "spheres/ds7_xdipole_noise_15deg.tbl",
    "spheres/ds8_fields_15deg.tbl",
    "units/decibels.tbl",
    "units/handbook.tbl",
];

/// Name and text of every table that comes with the library.
pub fn builtin() -> impl ExactSizeIterator<Item = (&'static str, &'static str)> {
    TABLES.iter().copied()
}
