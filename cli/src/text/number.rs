//! Numbers for people: two decimals, bounds rounded outward.

/// Which way a number may be rounded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Toward {
    /// To the nearest.
    Nearest,
    /// Never above the number.
    Down,
    /// Never below the number.
    Up,
}

/// Two decimals.
pub fn two(value: f64, toward: Toward) -> String {
    // `{:.2}` rounds the exact decimal expansion; what it says is compared with the number itself.
    let nearest = format!("{value:.2}");
    let said: f64 = nearest.parse().unwrap_or(value);
    let text = match toward {
        Toward::Down if said > value => format!("{:.2}", said - 0.01),
        Toward::Up if said < value => format!("{:.2}", said + 0.01),
        _ => nearest,
    };
    if text == "-0.00" {
        "0.00".to_string()
    } else {
        text
    }
}

/// A number with as many decimals as it needs, at most three.
pub fn short(value: f64) -> String {
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".to_string()
    } else {
        text.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bounds_are_rounded_outward() {
        for (value, down, nearest, up) in [
            (1.15, "1.14", "1.15", "1.15"),
            (-3.25, "-3.25", "-3.25", "-3.25"),
            (-3.251, "-3.26", "-3.25", "-3.25"),
            (-3.249, "-3.25", "-3.25", "-3.24"),
            (0.001, "0.00", "0.00", "0.01"),
            (-0.001, "-0.01", "0.00", "0.00"),
        ] {
            assert_eq!(two(value, Toward::Nearest), nearest, "{value}");
            // 1.15 is a little below 1.15 in binary.
            let below = two(value, Toward::Down);
            assert!(below.parse::<f64>().unwrap() <= value, "{value}");
            assert!(below == down || below == nearest, "{value}: {below}");
            let above = two(value, Toward::Up);
            assert!(above.parse::<f64>().unwrap() >= value, "{value}");
            assert_eq!(above, up, "{value}");
        }
        assert_eq!(short(15.0), "15");
        assert_eq!(short(2.5), "2.5");
        assert_eq!(short(-0.0001), "0");
    }
}
