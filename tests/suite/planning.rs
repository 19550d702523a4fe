//! What plans promise as a whole: time near the bound, time linear in the job.

use crate::near_bound;

#[test]
fn cutting_time_is_near_the_least_that_the_limits_allow() {
    let mut ratios = Vec::new();
    for case in near_bound::cases() {
        let ratio = case.measure().ratio();
        let limit = if case.width == 1.0 { 1.3 } else { 1.8 };
        assert!(ratio <= limit, "{case:?}: {ratio:.2} times the bound");
        ratios.push(ratio);
    }
    ratios.sort_by(f64::total_cmp);
    let median = ratios[ratios.len() / 2];
    assert!(median <= 1.45, "the median is {median:.2} times the bound");
}
