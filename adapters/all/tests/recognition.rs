//! Comments of tables that look like the option line of a Touchstone file.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
#![cfg(all(feature = "delimited", feature = "touchstone"))]

use spheresum_core::Limits;
use spheresum_core::intake::{Confidence, Source};

#[test]
fn comments_of_tables_are_no_option_lines() {
    let registry = spheresum_adapters::registry();
    for text in [
        "# frequency: 868.3 MHz\ntheta_deg,phi_deg,eirp_theta_dbm,eirp_phi_dbm\n0,0,-3,-3\n",
        "# MHz\nfrequency_mhz,loss_theta_db,loss_phi_db\n868.3,40,41\n",
        "#\ntheta_deg phi_deg eirp_theta_dbm\n0 0 -3\n",
        "# s\n# R 50\ntheta_deg\tphi_deg\teirp_theta_dbm\n0\t0\t-3\n",
    ] {
        let source = Source::from_text("table.csv", text, &Limits::small()).unwrap();
        let found = registry.identify(&source);
        assert_eq!(found[0].id, "delimited", "{text}: {found:?}");
        assert_eq!(
            found[1].look.confidence,
            Confidence::None,
            "{text}: {found:?}"
        );
    }
}
