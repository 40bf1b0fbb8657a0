//! A mirrored mix under mirrored hands gives mirrored commands, to the bit.

use crate::arbitrary::{Pose, any_mix, any_poses, bits, fly, program};
use measure::Stick;
use mix::{Blend, Commands, Condition, Follower, Lead, Mix, Shape};
use proptest::prelude::*;

/// What changes sides in a mirror: left and right, not up and down.
fn lateral_lead(lead: &Lead) -> bool {
    matches!(lead, Lead::Stick(Stick::Aileron | Stick::Rudder))
}

fn lateral_follower(follower: Follower) -> bool {
    matches!(follower, Follower::Aileron | Follower::Rudder)
}

fn mirrored_shape(shape: &Shape, lead: bool, follower: bool) -> Shape {
    let share = |share: f64| if follower { -share } else { share };
    match shape {
        Shape::TwoSided { left, right } if lead => {
            Shape::TwoSided { left: share(*right), right: share(*left) }
        }
        Shape::TwoSided { left, right } => Shape::TwoSided { left: share(*left), right: share(*right) },
        Shape::Curve(points) if lead => {
            Shape::Curve(points.iter().rev().map(|&(x, y)| (-x, share(y))).collect())
        }
        Shape::Curve(points) => Shape::Curve(points.iter().map(|&(x, y)| (x, share(y))).collect()),
    }
}

fn mirrored_condition(condition: &Condition) -> Condition {
    let all = |conditions: &[Condition]| conditions.iter().map(mirrored_condition).collect();
    match *condition {
        Condition::StickAbove { stick: stick @ (Stick::Aileron | Stick::Rudder), threshold } => {
            Condition::StickBelow { stick, threshold: -threshold }
        }
        Condition::StickBelow { stick: stick @ (Stick::Aileron | Stick::Rudder), threshold } => {
            Condition::StickAbove { stick, threshold: -threshold }
        }
        Condition::All(ref conditions) => Condition::All(all(conditions)),
        Condition::Any(ref conditions) => Condition::Any(all(conditions)),
        Condition::Not(ref condition) => Condition::Not(Box::new(mirrored_condition(condition))),
        ref other => other.clone(),
    }
}

fn mirrored_blend(blend: &Blend) -> Blend {
    Blend {
        shape: mirrored_shape(&blend.shape, lateral_lead(&blend.from), lateral_follower(blend.to)),
        engaged: mirrored_condition(&blend.engaged),
        ..blend.clone()
    }
}

fn mirrored_mix(mix: &Mix) -> Mix {
    Mix { blends: mix.blends.iter().map(mirrored_blend).collect(), ..mix.clone() }
}

fn mirrored_pose(pose: &Pose) -> Pose {
    let [aileron, elevator, rudder, throttle] = pose.sticks;
    Pose { sticks: [-aileron, elevator, -rudder, throttle], ..pose.clone() }
}

/// There is no negative zero among commands: 0 mirrors to 0.
fn mirrored_commands(commands: &Commands) -> Commands {
    Commands { aileron: 0.0 - commands.aileron, rudder: 0.0 - commands.rudder, ..*commands }
}

proptest! {
    #[test]
    fn left_is_right_in_the_mirror(mix in any_mix(), poses in any_poses()) {
        let here = fly(&program(&mix), &poses);
        let poses: Vec<_> = poses.iter().map(mirrored_pose).collect();
        let there = fly(&program(&mirrored_mix(&mix)), &poses);
        for (one, other) in here.iter().zip(&there) {
            prop_assert_eq!(bits(&mirrored_commands(one)), bits(other));
            prop_assert_eq!(one.limits, other.limits);
        }
    }
}
