//! Total EIRP between slashes: a line `theta/phi/level` for each direction, in degrees and dBm.

use spheresum_core::{intake::*, unit::level::w_from_dbm, *};

/// Reads files with slashes.
pub struct Slashes(Description);

impl Default for Slashes {
    fn default() -> Self {
        let plain = Description::new("slashes", "total EIRP between slashes", Yield::Readings);
        Self(plain.with_quantities(&["eirp"]).with_specification("the top of its source"))
    }
}

/// The numbers of a line, up to the first field that is none.
fn numbers(line: &str) -> Vec<f64> {
    line.split('/').map_while(|field| field.trim().parse().ok()).collect()
}

impl Adapter for Slashes {
    fn describe(&self) -> &Description {
        &self.0
    }

    fn look(&self, head: &Head<'_>) -> Look {
        match head.text.split(['\n', '\r']).next().map(numbers) {
            Some(found) if found.len() == 3 => Look::new(Confidence::Likely, "three numbers"),
            _ => Look::new(Confidence::None, "no three numbers between slashes"),
        }
    }

    fn read(&self, source: &Source, limits: &Limits, options: &ReadOptions) -> Result<Intake> {
        if options.polarisation.is_some() || !options.named.is_empty() {
            return Err(Error::usage("only a frequency is taken").hint("leave other options out"));
        }
        let mut readings = Readings::new(source.name(), Quantity::Eirp, limits);
        for line in source.lines().filter(|line| !line.text.trim().is_empty()) {
            let place = |from| source.place(line, from, line.text.len());
            let fields = line.text.split('/').count();
            if line.text.len() > limits.max_line_bytes || fields > limits.max_fields {
                let error = Error::limit("the line is too long or has too many fields");
                return Err(error.hint("raise the limits, or mend it").at(place(0)));
            }
            let found = numbers(line.text);
            let (&[theta_deg, phi_deg, level_dbm], 3) = (&found[..], fields) else {
                let from = line.text.split('/').take(found.len()).map(|good| good.len() + 1).sum();
                let error = Error::input("these are not three numbers between slashes");
                return Err(error.hint("write a line such as 30/45/-12.5").at(place(from)));
            };
            let frequency = readings.frequency_index(options.frequency, limits);
            let frequency = frequency.map_err(|error| error.at(place(0)))?;
            let (value, mark) = (Value::Power(w_from_dbm(level_dbm)), Mark::Exact);
            let (polarisation, line) = (Polarisation::Total, line.number.try_into().unwrap_or(0));
            let row = Reading { frequency, theta_deg, phi_deg, polarisation, value, mark, line };
            readings.push(row).map_err(|error| error.at(place(0)))?;
        }
        Ok(Intake::of_readings(readings, Vec::new()))
    }
}

#[cfg(test)]
mod tests;
