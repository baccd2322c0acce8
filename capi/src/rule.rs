//! Weights of the integration rules, for callers that integrate something of their own.

use crate::array::check;
use crate::error::SpheresumError;
use crate::panic::guard;
use crate::{SPHERESUM_RULE_CLENSHAW_CURTIS, SPHERESUM_RULE_SINE};
use spheresum_core::Group;
use spheresum_core::rule::Rule;

/// Most steps between the poles.
const MOST_INTERVALS: usize = 10_000;

/// Weights of the rings of an equal-angle grid: the mean over the sphere is half the sum of weight times mean over the ring.
///
/// @param rule in: SPHERESUM_RULE_SINE or SPHERESUM_RULE_CLENSHAW_CURTIS
/// @param intervals in: number of steps from pole to pole, 1..10000; there is one ring more
/// @param count in: number of elements of the array, intervals + 1
/// @param out_weights out: count weights, from theta = 0 to 180 degrees
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _USAGE, _LIMIT or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_rule_weights(
    rule: i32,
    intervals: usize,
    count: usize,
    out_weights: *mut f64,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        check("out_weights", out_weights)?;
        let rule = match rule {
            SPHERESUM_RULE_SINE => Rule::Sine,
            SPHERESUM_RULE_CLENSHAW_CURTIS => Rule::ClenshawCurtis,
            _ => {
                return Err(SpheresumError::of(
                    Group::Usage,
                    &format!("the rule {rule} has no weights of its own"),
                )
                .field("rule")
                .hint("SPHERESUM_RULE_SINE or SPHERESUM_RULE_CLENSHAW_CURTIS"));
            }
        };
        if intervals > MOST_INTERVALS {
            return Err(SpheresumError::of(
                Group::Limit,
                &format!("{intervals} steps are more than {MOST_INTERVALS}"),
            )
            .field("intervals"));
        }
        if intervals == 0 || count != intervals + 1 {
            return Err(SpheresumError::of(
                Group::Usage,
                &format!(
                    "{count} weights were asked for, and {intervals} steps have one ring more"
                ),
            )
            .field("count"));
        }
        for (at, weight) in rule.weights(intervals).into_iter().take(count).enumerate() {
            // SAFETY: checked above, and the caller says that `count` elements can be written.
            unsafe { out_weights.add(at).write(weight) };
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}
