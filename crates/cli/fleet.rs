//! `countermix fleet`: what the demo club has.

use crate::load::Trouble;
use files::{Kind, demo_names};

pub(crate) fn run() -> Result<(), Trouble> {
    for (heading, kind) in
        [("Airframes", Kind::Airframe), ("Mixes", Kind::Mix), ("Manoeuvres", Kind::Scenario)]
    {
        let names: Vec<&str> = demo_names(kind).collect();
        println!("{heading}: {}", names.join(", "));
    }
    println!("\nSaltmarsh Model Flying Club and its models are invented.");
    Ok(())
}
