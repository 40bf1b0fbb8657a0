//! `countermix fleet`: what the demo club has.

use crate::load::{Trouble, say};
use files::{Kind, demo_names};

pub(crate) fn run() -> Result<(), Trouble> {
    for (heading, kind) in
        [("Airframes", Kind::Airframe), ("Mixes", Kind::Mix), ("Manoeuvres", Kind::Scenario)]
    {
        let names: Vec<&str> = demo_names(kind).collect();
        say(&format!("{heading}: {}", names.join(", ")))?;
    }
    say("\nSaltmarsh Model Flying Club and its models are invented.")
}
