//! Adding readings: each finds its sample in the plan, or is refused.

use crate::assemble::{Interval, column, effective_snap, ring};
use crate::error::{Error, Result};
use crate::model::{Reading, Value};
use crate::place::Place;
use crate::running::Running;
use crate::running::heard::Spot;
use crate::unit::angle;

impl Running {
    /// Adds a reading; its frequency is an index into [`Plan::frequencies`](super::Plan::frequencies), as
    /// [`Plan::frequency_index`](super::Plan::frequency_index) finds it. A reading that is refused changes nothing.
    ///
    /// # Errors
    /// - Usage: a frequency, polarisation or direction that is not in the plan; directions may be off by `snap_deg`;
    /// - otherwise as [`Readings::push`](crate::Readings::push).
    pub fn add(&mut self, reading: Reading) -> Result<()> {
        let at = |error: Error| {
            let place = Place::in_source(self.plan.source());
            error.at(match reading.line {
                0 => place,
                line => place.with_line(u64::from(line)),
            })
        };
        let f = reading.frequency;
        let Some(frequency) = self.plan.frequencies().get(f).copied() else {
            return Err(at(Error::usage(format!("the plan has no frequency {f}"))
                .hint("give the index of a frequency of the plan, from 0")));
        };
        let polarisations = self.plan.layout().polarisations();
        let p = polarisations
            .iter()
            .position(|p| *p == reading.polarisation);
        let Some(p) = p else {
            return Err(at(Error::usage(format!(
                "a reading of {} is not in the plan",
                reading.polarisation
            ))
            .hint("plan theta and phi apart, or their total alone")));
        };
        let spot = self.spot(reading.theta_deg, reading.phi_deg).map_err(at)?;
        // A plan is never of fields: one is refused below, before its interval is used.
        let value = match reading.value {
            Value::Power(value) => value,
            Value::Field(_) => 1.0,
        };
        if self.plan.quantity().is_sensitivity() && value > 0.0 && (1.0 / value).is_infinite() {
            return Err(at(Error::input(format!(
                "{value} W is too small to be a sensitivity: its reciprocal is not finite"
            ))
            .hint("give watts, not decibels")));
        }
        let interval = Interval::of_reading(self.plan.quantity(), value, reading.mark);
        let index = match self.known.get(f).copied().flatten() {
            Some(index) => {
                self.readings.push(Reading {
                    frequency: index,
                    ..reading
                })?;
                index
            }
            None => self.readings.push_at(frequency, reading, &self.limits)?,
        };
        if let (Some(known), Some(heard)) = (self.known.get_mut(f), self.heard.get_mut(f)) {
            *known = Some(index);
            heard.add(self.plan.grid(), p, spot, interval);
        }
        Ok(())
    }

    /// Adds a reading with the time at which it was taken, in seconds from any start that the whole run shares.
    ///
    /// # Errors
    /// As [`Running::add`]. Usage: a time that is not finite.
    pub fn add_at(&mut self, reading: Reading, time_s: f64) -> Result<()> {
        if !time_s.is_finite() {
            return Err(Error::usage(format!("{time_s} s is not a time"))
                .hint("add the reading without a time"));
        }
        self.add(reading)?;
        self.readings.set_last_time_s(time_s)
    }

    /// Where a direction belongs.
    fn spot(&self, theta_deg: f64, phi_deg: f64) -> Result<Spot> {
        let grid = self.plan.grid();
        let near = |distance: f64, step_deg: f64| {
            distance.abs() <= effective_snap(step_deg, self.options.snap_deg)
        };
        let on_grid = angle::fold(theta_deg, phi_deg).and_then(|at| {
            let ring = ring(grid, at.theta_deg);
            if !near(at.theta_deg - grid.theta_deg(ring), grid.theta_step_deg()) {
                return None;
            }
            if grid.is_pole(ring) {
                return Some(Spot::Pole {
                    south: ring != 0,
                    phi_deg: at.phi_deg,
                });
            }
            let column = column(grid, at.phi_deg);
            let off = at.phi_deg - grid.phi_deg(column);
            let off = off - 360.0 * (off / 360.0).round();
            near(off, grid.phi_step_deg()).then_some(Spot::Inner(ring * grid.phi_count() + column))
        });
        on_grid.ok_or_else(|| {
            let start = match grid.phi_start_deg() {
                0.0 => String::new(),
                start => format!(" from φ = {start}°"),
            };
            Error::input(format!(
                "θ = {theta_deg}°, φ = {phi_deg}° is not on the planned grid of {}° × {}°{start}",
                grid.theta_step_deg(),
                grid.phi_step_deg()
            ))
            .hint(format!(
                "plan the grid that is measured; read-backs may be off by {}° (snap-deg) and by a quarter of a step",
                self.options.snap_deg
            ))
        })
    }
}
