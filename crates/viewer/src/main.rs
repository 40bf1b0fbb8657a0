//! The window of Countermix: two models fly the same manoeuvre side by side, with and without the blends. The
//! only crate that knows Bevy.
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "this is a program: it speaks")]

mod args;
mod awake;
mod axes;
mod camera;
mod clip;
mod club;
mod config;
mod desk;
mod field;
mod headless;
mod host;
mod ink;
mod labels;
mod logbook;
mod pace;
mod paint;
mod ribbon;
mod saving;
mod scene;
mod shape;
mod sticks;
#[cfg(test)]
mod whole;

use args::Args;
use clap::Parser;
use host::Host;
use panels::{Open, State};
use report::palette::Ground;
use std::process::ExitCode;

/// Bad input, or a computer that cannot draw: nothing was written.
const BAD_INPUT: u8 = 2;

fn main() -> ExitCode {
    let args = Args::parse();
    match run(&args) {
        Ok(()) => ExitCode::SUCCESS,
        Err(words) => {
            eprintln!("{}", words.trim_end());
            ExitCode::from(BAD_INPUT)
        }
    }
}

fn run(args: &Args) -> Result<(), String> {
    let host = host(args)?;
    if let Some(frames) = args.bench_frames {
        println!("{}", headless::bench(host, args, frames)?);
    } else if let Some(path) = &args.shot {
        headless::shot(host, args, path)?;
        println!("{}", path.display());
    } else if let Some(path) = &args.clip {
        headless::clip(host, args, path)?;
        println!("{}", path.display());
    } else {
        desk::open(host, args)?;
    }
    Ok(())
}

/// Everything opened and set as asked for.
fn host(args: &Args) -> Result<Host, String> {
    let opened = club::open(&args.scenario, &args.airframe, args.mix.as_deref())?;
    let mut state = State::new(opened.setup.clone(), opened.club.clone());
    state.look.text_size = args.text;
    state.look.ground = if args.dark { Ground::Dark } else { Ground::Light };
    state.view.look_from(args.eye);
    // on a small window the field would be left with too little
    let room = args.size.0 as f32 >= 1500.0 * args.text;
    state.open = Open { flown: room, strips: room || args.size.1 >= 900, ..Open::default() };
    let mut host = Host::new(state, opened, args.bare);
    if let Some(path) = &args.replay {
        host.take_off(Ok(logbook::replay(path)?));
        host.state.wants_flight = false;
    }
    Ok(host)
}
