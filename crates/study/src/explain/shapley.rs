//! Shapley's shares: what each player adds, averaged over every order in which they can come in.
//! Source: L. S. Shapley, "A value for n-person games", Contributions to the Theory of Games II,
//! Annals of Mathematics Studies 28, 1953, pp. 307-317 (from memory).

/// `values[set]` of `players` (set: one bit each), in `P` parts at once. Returns what each player
/// adds; together with `values[0]` they add up to the value of all.
pub(crate) fn shapley<const P: usize>(players: usize, values: &[[f64; P]]) -> Vec<[f64; P]> {
    debug_assert_eq!(values.len(), 1 << players);
    let weights: Vec<f64> = (0..players).map(|size| weight(players, size)).collect();
    let mut shares = vec![[0.0; P]; players];
    for (player, share) in shares.iter_mut().enumerate() {
        let bit = 1 << player;
        for (set, without) in values.iter().enumerate().filter(|(set, _)| set & bit == 0) {
            let (with, weight) = (&values[set | bit], weights[set.count_ones() as usize]);
            for (part, total) in share.iter_mut().enumerate() {
                *total += weight * (with[part] - without[part]);
            }
        }
    }
    shares
}

/// Share of the orders in which exactly `size` others came before: size! (n - size - 1)! / n!.
fn weight(players: usize, size: usize) -> f64 {
    let mut chances = 1.0;
    for k in 0..size {
        chances *= (k + 1) as f64 / (players - k) as f64;
    }
    chances / (players - size) as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_weights_of_all_sets_add_up_to_one() {
        for players in 1..=10 {
            let choose = |size| (0..size).fold(1.0, |c, k| c * (players - 1 - k) as f64 / (k + 1) as f64);
            let sum: f64 = (0..players).map(|size| choose(size) * weight(players, size)).sum();
            assert!((sum - 1.0).abs() < 1e-14, "{players}: {sum}");
        }
    }

    /// Two left gloves and one right: a pair is worth 1. The shares are 1/6, 1/6 and 4/6 (a standard
    /// example of textbooks, worked out by hand over the six orders).
    #[test]
    fn gloves() {
        let pair = |set: usize| if set & 0b100 != 0 && set & 0b011 != 0 { 1.0 } else { 0.0 };
        let values: Vec<[f64; 1]> = (0..8).map(|set| [pair(set)]).collect();
        let shares = shapley(3, &values);
        for (share, wanted) in shares.iter().zip([1.0 / 6.0, 1.0 / 6.0, 4.0 / 6.0]) {
            assert!((share[0] - wanted).abs() < 1e-15);
        }
    }

    /// A player that acts only with another shares with it; one that does nothing gets nothing.
    #[test]
    fn nested_players_share_and_idle_ones_get_nothing() {
        let value = |set: usize| {
            let (a, b) = (set & 1 != 0, set & 2 != 0);
            [f64::from(u8::from(a)) + if a && b { 1.0 } else { 0.0 }, 5.0]
        };
        let values: Vec<[f64; 2]> = (0..8).map(value).collect();
        let shares = shapley(3, &values);
        assert_eq!(shares, vec![[1.5, 0.0], [0.5, 0.0], [0.0, 0.0]]);
    }
}
