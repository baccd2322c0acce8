//! [trp]: trp
//! [trp_polarisations]: trp_polarisations
//! [tis]: tis
//! [tis_polarisations]: tis_polarisations
//! [polarisation_ratio]: polarisation_ratio
//! [nhprp]: nhprp
//! [hemispheres]: hemispheres
//! [nhpis]: nhpis
//! [uhis]: uhis
//! [pigs]: pigs
//! [peak_eirp]: peak_eirp
//! [min_eirp]: min_eirp
//! [best_eis]: best_eis
//! [worst_eis]: worst_eis
//! [peak_gain]: peak_gain
//! [directivity]: directivity
//! [average_gain]: average_gain
//! [total_efficiency]: total_efficiency
//! [radiation_efficiency]: radiation_efficiency
//! [summary]: summary
//! [comparison]: comparison
//! [noise]: noise
#![doc = include_str!("README.md")]

#[doc(hidden)]
pub mod example;

/// One module a page, whose documentation is the file of that name.
macro_rules! pages {
    ($($name:ident),* $(,)?) => {
        $(#[doc = include_str!(concat!(stringify!($name), ".md"))] pub mod $name {})*
    };
}

pages![
    trp,
    trp_polarisations,
    tis,
    tis_polarisations,
    polarisation_ratio,
    nhprp,
    hemispheres,
    nhpis,
    uhis,
    pigs,
    peak_eirp,
    min_eirp,
    best_eis,
    worst_eis,
    peak_gain,
    directivity,
    average_gain,
    total_efficiency,
    radiation_efficiency,
    summary,
    comparison,
    noise,
];
