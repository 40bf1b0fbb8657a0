//! The order in the file means nothing.

use crate::arbitrary::{any_mix, any_poses, bits, blend, fly, mix_of, program};
use measure::Stick;
use mix::{Hand, Mix, Shape, steady};
use proptest::prelude::*;

fn any_mix_twice() -> impl Strategy<Value = (Mix, Mix)> {
    any_mix().prop_flat_map(|mix| {
        let (rates, blends) =
            (Just(mix.rates.clone()).prop_shuffle(), Just(mix.blends.clone()).prop_shuffle());
        let name = mix.name.clone();
        let shuffled =
            (rates, blends).prop_map(move |(rates, blends)| Mix { name: name.clone(), rates, blends });
        (Just(mix), shuffled)
    })
}

proptest! {
    #[test]
    fn any_file_order_gives_the_same_bits((mix, shuffled) in any_mix_twice(), poses in any_poses()) {
        let (here, there) = (fly(&program(&mix), &poses), fly(&program(&shuffled), &poses));
        for (one, other) in here.iter().zip(&there) {
            prop_assert_eq!(bits(one), bits(other));
            prop_assert_eq!(one.limits, other.limits);
        }
    }
}

/// Three shares whose sum depends on the order they are added in: proof that the property above
/// has something to find.
#[test]
fn sums_follow_the_names() {
    let shares = [("c", 0.1), ("a", 0.2), ("b", 0.3)];
    assert_ne!((0.1 + 0.2) + 0.3, (0.2 + 0.3) + 0.1);
    let blends = shares.map(|(name, share)| {
        let mut blend = blend(name);
        blend.shape = Shape::TwoSided { left: share, right: share };
        blend
    });
    let program = program(&mix_of(blends));
    let mut hand = Hand::released(&program);
    hand.set_stick(Stick::Rudder, 1.0).unwrap();
    assert_eq!(steady(&program, &hand).elevator.to_bits(), f64::to_bits((0.2 + 0.3) + 0.1));
}
