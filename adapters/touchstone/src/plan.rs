//! The plan of a file's data: which element each complex value is, and how it becomes SI.

use crate::header::Header;
use crate::option_line::Format;
use crate::word::Word;
use spheresum_core::intake::Source;
use spheresum_core::model::{Complex64, Parameter, PortPair, PortUnit};
use spheresum_core::unit::frequency::FrequencyUnit;
use spheresum_core::unit::{angle, level};
use spheresum_core::{Error, Result};

/// Order of the elements of a two-port.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Order {
    /// 11 12 21 22.
    Rows,
    /// 11 21 12 22: version 1.
    Columns,
}

/// Which part of the matrix is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Matrix {
    /// All of it.
    #[default]
    Full,
    /// The diagonal and what lies below; the rest mirrors it.
    Lower,
    /// The diagonal and what lies above; the rest mirrors it.
    Upper,
}

/// The plan.
#[derive(Clone, Debug)]
pub(crate) struct Plan {
    /// True for version 2.
    pub(crate) is_version_2: bool,
    /// Number of ports.
    pub(crate) ports: usize,
    /// Unit of the frequencies.
    pub(crate) unit: FrequencyUnit,
    /// Which parameter.
    pub(crate) parameter: Parameter,
    /// How values are written.
    pub(crate) format: Format,
    /// Reference of each port, ohm.
    pub(crate) reference_ohm: Vec<f64>,
    /// The element of each value of a frequency, in the order of the file.
    pub(crate) cells: Vec<PortPair>,
    /// True where elements mirror those of the other side of the diagonal.
    pub(crate) is_mirrored: bool,
}

impl Plan {
    /// The plan of a file with so many ports; `at` is where its data begin.
    ///
    /// # Errors
    /// Input: no option line; H or G of other than two ports; references that are not as many as ports; no order of a two-port in
    /// version 2. Unsupported: normalised parameters with references that differ.
    pub(crate) fn of(
        header: &Header<'_>,
        ports: usize,
        at: Word<'_>,
        source: &Source,
    ) -> Result<Self> {
        let Some(options) = &header.options else {
            return Err(at.wrong(
                source,
                "no option line stands above the data",
                "write it above them: frequency unit, parameter, format and reference, such as # GHz S MA R 50",
            ));
        };
        let letter = options.parameter.letter();
        if options.parameter.is_two_port_only() && ports != 2 {
            return Err(options.parameter_word.wrong(
                source,
                format!("{letter}-parameters are of two ports, and there are {ports}"),
                "correct the parameter in the option line, or the number of ports",
            ));
        }
        let (said, word) = match &header.reference {
            Some((word, ohm)) => (ohm, *word),
            None => (&options.reference, options.reference_word),
        };
        let reference_ohm = match said.as_slice() {
            [one] => vec![*one; ports],
            many if many.len() == ports => many.to_vec(),
            many => {
                return Err(word.wrong(
                    source,
                    format!("{} references are given for {ports} ports", many.len()),
                    "give one resistance for all ports, or one for each",
                ));
            }
        };
        let all_alike = reference_ohm.windows(2).all(|w| w[0] == w[1]);
        if !header.is_version_2 && options.parameter != Parameter::S && !all_alike {
            return Err(Error::unsupported(format!(
                "{letter}-parameters that are normalised to references that differ are not read"
            ))
            .hint("export S-parameters, or version 2, which does not normalise")
            .at(word.place(source)));
        }
        Ok(Self {
            is_version_2: header.is_version_2,
            ports,
            unit: options.unit,
            parameter: options.parameter,
            format: options.format,
            reference_ohm,
            cells: cells(ports, order(header, ports, at, source)?, header.matrix),
            is_mirrored: header.matrix != Matrix::Full,
        })
    }

    /// The complex number that two numbers of the file stand for, in SI units. It may be infinite.
    pub(crate) fn value(&self, pair: PortPair, first: f64, second: f64) -> Complex64 {
        let written = match self.format {
            Format::Ri => Complex64::new(first, second),
            Format::Ma => polar(first, second),
            Format::Db => polar(level::wave_from_db(first), second),
        };
        if self.is_version_2 {
            return written;
        }
        // Version 1 stores impedances as multiples of the reference, and admittances as multiples of its inverse.
        let ohm = self.reference_ohm.first().copied().unwrap_or(50.0);
        match self.parameter.unit(pair) {
            PortUnit::Ohm => written * ohm,
            PortUnit::Siemens => written / ohm,
            PortUnit::One => written,
        }
    }
}

fn polar(magnitude: f64, angle_deg: f64) -> Complex64 {
    Complex64::new(
        magnitude * angle::cos_deg(angle_deg),
        magnitude * angle::sin_deg(angle_deg),
    )
}

fn order(header: &Header<'_>, ports: usize, at: Word<'_>, source: &Source) -> Result<Order> {
    match (header.order, header.is_version_2) {
        _ if ports != 2 => Ok(Order::Rows),
        (_, false) => Ok(Order::Columns),
        (Some((order, _)), true) => Ok(order),
        (None, true) => Err(at.wrong(
            source,
            "no [Two-Port Data Order] stands above the data of a two-port",
            "write [Two-Port Data Order] 12_21 (S11 S12 S21 S22) or 21_12 (S11 S21 S12 S22) above [Network Data]",
        )),
    }
}

fn cells(ports: usize, order: Order, matrix: Matrix) -> Vec<PortPair> {
    let rows = (1..=ports).flat_map(|a| (1..=ports).map(move |b| (a, b)));
    let kept = rows.filter(|(row, column)| match matrix {
        Matrix::Full => true,
        Matrix::Lower => column <= row,
        Matrix::Upper => column >= row,
    });
    kept.map(|(a, b)| match (order, matrix) {
        (Order::Columns, Matrix::Full) => PortPair { to: b, from: a },
        _ => PortPair { to: a, from: b },
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn elements_in_the_order_of_the_file() {
        let of = |ports, order, matrix| {
            let texts: Vec<String> = cells(ports, order, matrix)
                .iter()
                .map(ToString::to_string)
                .collect();
            texts.join(" ")
        };
        // Facts J14, J15 and J16 for two ports; the matrix formats from memory of the standard, version 2.0.
        assert_eq!(of(2, Order::Columns, Matrix::Full), "11 21 12 22");
        assert_eq!(of(2, Order::Rows, Matrix::Full), "11 12 21 22");
        assert_eq!(of(3, Order::Rows, Matrix::Lower), "11 21 22 31 32 33");
        assert_eq!(of(3, Order::Rows, Matrix::Upper), "11 12 13 22 23 33");
        assert_eq!(of(1, Order::Rows, Matrix::Lower), "11");
    }
}
