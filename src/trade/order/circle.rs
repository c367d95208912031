//! The cross pattern on a circle.

/// Cross on a circle of `count`, numbered clockwise.
///
/// Multiples of four go by quads k, k + n/2, k + n/4, k + 3n/4 (ASME PCC-1, legacy cross-pattern table). Other even
/// counts go by opposite pairs and odd ones by the star (each nearly opposite the one before), for which PCC-1 has no row:
/// common practice.
pub(super) fn cross(count: u32) -> Vec<u32> {
    if count.is_multiple_of(4) {
        let quads = count / 4;
        return spread(quads).into_iter().flat_map(|k| [k, k + 2 * quads, k + quads, k + 3 * quads]).collect();
    }
    if count.is_multiple_of(2) {
        let pairs = count / 2;
        return spread(pairs).into_iter().flat_map(|k| [k, k + pairs]).collect();
    }
    // Half the circle forward each time meets every position, since n and (n - 1) / 2 have no common divisor.
    let step = (count / 2).max(1);
    (0..count).map(|i| (i * step) % count + 1).collect()
}

/// The first bolts of the quads (or pairs) in the order in which they are taken: each as far as can be from all that
/// are taken, of those the one farthest from the last, of those the lowest. Quad `count + 1` would be quad 1 again, so
/// distances run round.
///
/// This gives every row of the table of ASME PCC-1 that is known here (4 to 32), and goes on beyond it.
fn spread(count: u32) -> Vec<u32> {
    let apart = |a: u32, b: u32| a.abs_diff(b).min(count - a.abs_diff(b));
    let mut nearest: Vec<u32> = (0..count).map(|k| apart(k, 0)).collect();
    let mut taken: Vec<u32> = (1..=count.min(1)).collect();
    let mut last = 0;
    while taken.len() < count as usize {
        let free = (0..count).filter(|k| nearest[*k as usize] > 0);
        let Some(next) = free.max_by_key(|k| (nearest[*k as usize], apart(*k, last), u32::MAX - *k)) else { break };
        for (k, least) in (0..).zip(&mut nearest) {
            *least = apart(k, next).min(*least);
        }
        taken.push(next + 1);
        last = next;
    }
    taken
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(count: u32) -> String {
        cross(count).iter().map(u32::to_string).collect::<Vec<_>>().join("-")
    }

    /// ASME PCC-1 legacy cross-pattern table, exact; the rows of 12 and 20 as they follow from its rule, those of 28 and 32
    /// from memory.
    #[test]
    fn cross_on_a_circle_is_that_of_asme_pcc_1() {
        for (count, expected) in [
            (4, "1-3-2-4"),
            (8, "1-5-3-7-2-6-4-8"),
            (12, "1-7-4-10-2-8-5-11-3-9-6-12"),
            (16, "1-9-5-13-3-11-7-15-2-10-6-14-4-12-8-16"),
            (20, "1-11-6-16-3-13-8-18-5-15-10-20-2-12-7-17-4-14-9-19"),
            (24, "1-13-7-19-4-16-10-22-2-14-8-20-5-17-11-23-3-15-9-21-6-18-12-24"),
            (28, "1-15-8-22-4-18-11-25-6-20-13-27-2-16-9-23-5-19-12-26-3-17-10-24-7-21-14-28"),
            (32, "1-17-9-25-5-21-13-29-3-19-11-27-7-23-15-31-2-18-10-26-6-22-14-30-4-20-12-28-8-24-16-32"),
        ] {
            assert_eq!(written(count), expected, "{count}");
        }
    }

    /// Common practice, from memory: PCC-1 has no row for these.
    #[test]
    fn cross_on_other_circles() {
        for (count, expected) in [
            (1, "1"),
            (2, "1-2"),
            (3, "1-2-3"),
            (5, "1-3-5-2-4"),
            (6, "1-4-2-5-3-6"),
            (7, "1-4-7-3-6-2-5"),
            (9, "1-5-9-4-8-3-7-2-6"),
            (10, "1-6-3-8-5-10-2-7-4-9"),
            (11, "1-6-11-5-10-4-9-3-8-2-7"),
            (14, "1-8-4-11-6-13-2-9-5-12-3-10-7-14"),
        ] {
            assert_eq!(written(count), expected, "{count}");
        }
    }

    /// The rule of a gasket maker ('opposite pairs, then halve the angle') gives the same order for 4 and 8.
    #[test]
    fn opposite_pairs_and_half_the_angle_give_the_same_for_4_and_8() {
        for count in [4_u32, 8] {
            let mut order = Vec::new();
            // Start angles as fractions of half a turn: 0, then the half, then the quarters, …
            let mut starts = vec![0.0_f64];
            let mut gap = 0.5;
            while (starts.len() as u32) < count / 2 {
                let halves: Vec<f64> = starts.iter().map(|start| start + gap).collect();
                starts.extend(halves);
                gap /= 2.0;
            }
            for start in starts {
                let first = (start * f64::from(count / 2)).round() as u32 + 1;
                order.extend([first, first + count / 2]);
            }
            assert_eq!(cross(count), order);
        }
    }

    /// The properties behind the table, for every count that a group may have.
    #[test]
    fn pairs_and_quads_are_complete_and_opposite() {
        for count in 1..=super::super::MOST_POSITIONS {
            let order = cross(count);
            assert_eq!(super::super::each_once(&order, count), Ok(()), "{count}");
            if count.is_multiple_of(2) {
                for pair in order.chunks(2) {
                    assert_eq!(pair[0].abs_diff(pair[1]), count / 2, "{count}: {order:?}");
                }
            } else if count > 4 {
                for two in order.windows(2) {
                    let apart = two[0].abs_diff(two[1]);
                    assert_eq!(apart.min(count - apart), count / 2, "{count}: {order:?}");
                }
            }
            if count.is_multiple_of(4) {
                for quad in order.chunks(4) {
                    let mut quarters: Vec<u32> = quad.iter().map(|k| (k - 1) / (count / 4)).collect();
                    quarters.sort_unstable();
                    assert_eq!(quarters, [0, 1, 2, 3], "{count}: {order:?}");
                    assert!(quad.iter().all(|k| (k - quad[0]).is_multiple_of(count / 4)), "{count}: {order:?}");
                }
            }
        }
    }

    /// Successive quads lie as far apart as can be: from five quads on never side by side, and any first few of them
    /// leave no gap wider than twice the even one.
    #[test]
    fn quads_are_spread() {
        for quads in 2..=50_u32 {
            let firsts = spread(quads);
            let apart = |a: u32, b: u32| a.abs_diff(b).min(quads - a.abs_diff(b));
            if quads >= 5 {
                assert!(firsts.windows(2).all(|two| apart(two[0], two[1]) >= 2), "{firsts:?}");
            }
            for few in 2..=firsts.len() {
                let mut first: Vec<u32> = firsts[..few].to_vec();
                first.sort_unstable();
                let round = first[0] + quads - first[few - 1];
                let widest = first.windows(2).map(|two| two[1] - two[0]).chain([round]).max().unwrap();
                assert!(widest <= 2 * quads.div_ceil(few as u32), "{quads} {few}: {firsts:?}");
            }
        }
    }
}
