//! Pictures without a display: the same scene and panels, drawn into an image.

use crate::args::Args;
use crate::clip::{self, Reel};
use crate::club::{Opened, open};
use crate::desk::{log, trouble};
use crate::host::{Host, HostPlugin};
use crate::scene::{ScenePlugin, cameras};
use bevy::camera::{ImageRenderTarget, RenderTarget};
use bevy::prelude::*;
use bevy::render::RenderPlugin;
use bevy::render::render_resource::{PollType, TextureFormat, TextureUsages};
use bevy::render::renderer::RenderDevice;
use bevy::render::view::screenshot::{Screenshot, ScreenshotCaptured};
use bevy::time::TimeUpdateStrategy;
use bevy::window::ExitCondition;
use bevy::winit::WinitPlugin;
use bevy_egui::EguiPlugin;
use files::{Existing, write_file};
use panels::{STOPS, Show, State, Tour, fly};
use std::io::IsTerminal;
use std::panic::{self, AssertUnwindSafe};
use std::path::Path;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

/// Updates before the first picture counts: always the same number.
const WARM_UP: usize = 8;
/// A picture arrives at most so many updates late.
const LATE: usize = 12;
/// Pictures of a clip per second; of the tour, which runs slower.
const CLIP_RATE: f64 = 15.0;
const TOUR_RATE: f64 = 10.0;
/// The colours of a clip are learned from so many moments and its beginning.
const MOMENTS: u32 = 8;

/// A picture: width, height, RGBA.
pub(crate) struct Picture {
    pub(crate) width: u32,
    pub(crate) height: u32,
    pub(crate) rgba: Vec<u8>,
}

/// Writes one picture.
///
/// # Errors
/// In words: what could not be flown, drawn or written.
pub(crate) fn shot(mut host: Host, args: &Args, path: &Path) -> Result<(), String> {
    settle(&mut host, args)?;
    let mut studio = Studio::new(host, args)?;
    let picture = studio.picture()?;
    write_file(path, &clip::png(&picture)?, existing(args)).map_err(|fault| fault.to_string())
}

/// Writes the whole flight, or the whole tour: a GIF, or PNG frames into a folder if the name has no ending.
///
/// # Errors
/// As [`shot`].
pub(crate) fn clip(mut host: Host, args: &Args, path: &Path) -> Result<(), String> {
    settle(&mut host, args)?;
    let length = host.state.clock.length;
    let mut studio = Studio::new(host, args)?;
    if args.tour {
        return tour(&mut studio, args, path);
    }
    let moments = (0..=MOMENTS).map(|k| studio.at(length * f64::from(k) / f64::from(MOMENTS)));
    let mut reel = Reel::new(path, &moments.collect::<Result<Vec<_>, _>>()?, CLIP_RATE)?;
    for k in 0..=(length * CLIP_RATE).ceil() as usize {
        reel.add(&studio.at((k as f64 / CLIP_RATE).min(length))?, 1)?;
    }
    reel.write(path, existing(args))
}

/// Once round the tour, from the station that it stands at.
fn tour(studio: &mut Studio, args: &Args, path: &Path) -> Result<(), String> {
    let mut moments = Vec::new();
    for _ in 0..STOPS.len() {
        let length = studio.host().state.clock.length;
        studio.host().state.show_station(Tour::shows(0.5 * length));
        moments.push(studio.settled()?);
        studio.go_on()?;
    }
    let mut reel = Reel::new(path, &moments, TOUR_RATE)?;
    for number in 1..=STOPS.len() {
        progress(studio, number);
        for (elapsed, times) in timetable(&mut studio.host().state) {
            studio.host().state.show_station(elapsed);
            let picture = if elapsed == 0.0 { studio.settled()? } else { studio.next()? };
            reel.add(&picture, times)?;
        }
        studio.go_on()?;
    }
    reel.write(path, existing(args))
}

/// When something else is to be seen at a station \[s\], and for how many pictures.
fn timetable(state: &mut State) -> Vec<(f64, u16)> {
    let mut table: Vec<(f64, u16)> = Vec::new();
    let mut last = None;
    for k in 0_u32.. {
        let elapsed = f64::from(k) / TOUR_RATE;
        if !state.show_station(elapsed) {
            break;
        }
        let time = Some(state.clock.time);
        match table.last_mut().filter(|_| time == last) {
            Some((_, times)) => *times += 1,
            None => table.push((elapsed, 1)),
        }
        last = time;
    }
    table
}

/// A tour takes minutes: says how far it is to who waits for it.
fn progress(studio: &mut Studio, number: usize) {
    if std::io::stderr().is_terminal() {
        let name = &studio.host().state.setup.scenario.name;
        eprintln!("{number} of {}: {name}", STOPS.len());
    }
}

/// Flies the station that the tour stands at.
fn board(state: &mut State) -> Result<(), String> {
    let Some(stop) = state.tour.as_ref().map(Tour::stop) else { return Ok(()) };
    let Opened { setup, club, .. } = open(stop.manoeuvre, stop.airframe, None)?;
    let show = fly(&setup)?;
    state.visit(setup, club);
    state.receive(Ok(Arc::new(show)));
    (state.wants_flight, state.clock.playing) = (false, false);
    state.asks.clear();
    Ok(())
}

/// The place of the station that shows a manoeuvre.
pub(crate) fn station(manoeuvre: &str) -> Result<usize, String> {
    STOPS.iter().position(|stop| stop.manoeuvre == manoeuvre).ok_or_else(|| {
        let known: Vec<&str> = STOPS.iter().map(|stop| stop.manoeuvre).collect();
        format!(
            "the tour has no station \"{manoeuvre}\"; it has {}; name one of them to begin there",
            known.join(", ")
        )
    })
}

/// Draws `frames` pictures of a running flight, with every panel open, without looking at them, and says how fast that
/// was.
///
/// # Errors
/// As [`shot`].
pub(crate) fn bench(mut host: Host, args: &Args, frames: u32) -> Result<String, String> {
    settle(&mut host, args)?;
    host.state.open_all();
    while host.state.awaiting() {
        std::thread::yield_now();
        host.state.advance(0.0);
    }
    let mut studio = Studio::new(host, args)?;
    studio.host().state.clock.playing = true;
    let begin = Instant::now();
    for _ in 0..frames {
        studio.app.update();
    }
    studio.wait()?;
    let seconds = begin.elapsed().as_secs_f64();
    let adapter = studio.app.world().get_resource::<bevy::render::renderer::RenderAdapterInfo>();
    let adapter = adapter.map_or_else(String::new, |info| info.name.clone());
    let (width, height) = args.size;
    Ok(format!(
        "{frames} pictures of {width}x{height} in {seconds:.2} s: {:.1} per second on {adapter}{}",
        f64::from(frames) / seconds,
        if args.low { ", low" } else { "" },
    ))
}

fn existing(args: &Args) -> Existing {
    if args.force { Existing::Replace } else { Existing::Keep }
}

/// Flies at once and goes to the moment asked for; on tour, that of a station.
fn settle(host: &mut Host, args: &Args) -> Result<(), String> {
    if args.tour {
        let state = &mut host.state;
        state.start_tour_at(station(&args.scenario)?);
        state.look.text_size = captions(state.look.text_size, args.size);
        board(state)?;
        let headline = state.show.as_ref().map_or(0.0, |show| headline(show));
        state.show_station(Tour::shows(args.at.unwrap_or(headline)));
        return Ok(());
    }
    let show = fly(&host.state.setup)?;
    let headline = headline(&show);
    host.state.receive(Ok(Arc::new(show)));
    host.state.wants_flight = false;
    host.state.clock.playing = false;
    host.state.clock.scrub(args.at.unwrap_or(headline));
    Ok(())
}

/// Text on tour is for a whole screen: in a smaller picture it shrinks, or it would leave nothing of the field.
fn captions(on_screen: f32, (width, height): (u32, u32)) -> f32 {
    let share = (width as f32 / 1280.0).min(height as f32 / 720.0).min(1.0);
    (on_screen * share).max(0.7)
}

/// When the result is told, unless another moment is asked for.
fn headline(show: &Show) -> f64 {
    show.judged.map_or(0.0, |(begins, _)| begins + manoeuvre::HEADLINE)
}

/// The app, drawing into an image, moved on by hand.
struct Studio {
    app: App,
    target: RenderTarget,
    arrived: Arc<Mutex<Vec<Image>>>,
}

impl Studio {
    fn new(host: Host, args: &Args) -> Result<Self, String> {
        // on tour every picture says itself what it shows
        let step = if args.tour { Duration::ZERO } else { Duration::from_secs_f64(1.0 / 60.0) };
        let (size, low) = (args.size, args.low);
        let hook = panic::take_hook();
        panic::set_hook(Box::new(|_| {}));
        let built = panic::catch_unwind(AssertUnwindSafe(move || Self::build(host, size, low, step)));
        panic::set_hook(hook);
        built.map_err(|words| {
            let text = words.downcast_ref::<String>().cloned();
            let text = text.or_else(|| words.downcast_ref::<&str>().map(|s| (*s).to_owned()));
            trouble(&text.unwrap_or_default())
        })
    }

    fn build(host: Host, (width, height): (u32, u32), low: bool, step: Duration) -> Self {
        let mut app = App::new();
        app.add_plugins(
            DefaultPlugins
                .set(RenderPlugin { synchronous_pipeline_compilation: true, ..default() })
                .set(WindowPlugin {
                    primary_window: None,
                    exit_condition: ExitCondition::DontExit,
                    ..default()
                })
                .set(log())
                .disable::<WinitPlugin>(),
        )
        .add_plugins(EguiPlugin::default())
        .insert_resource(TimeUpdateStrategy::ManualDuration(step))
        .insert_resource(host)
        .add_plugins((HostPlugin, ScenePlugin));
        app.finish();
        app.cleanup();
        let mut image = Image::new_target_texture(width, height, TextureFormat::Rgba8UnormSrgb, None);
        image.texture_descriptor.usage |= TextureUsages::COPY_SRC;
        let handle = app.world_mut().resource_mut::<Assets<Image>>().add(image);
        let target = RenderTarget::Image(ImageRenderTarget { handle, scale_factor: 1.0 });
        cameras(app.world_mut(), Some(target.clone()), low);
        for _ in 0..WARM_UP {
            app.update();
        }
        Self { app, target, arrived: Arc::default() }
    }

    fn host(&mut self) -> Mut<'_, Host> {
        self.app.world_mut().resource_mut::<Host>()
    }

    /// The picture of a moment of the flight.
    fn at(&mut self, time: f64) -> Result<Picture, String> {
        self.host().state.clock.scrub(time);
        self.next()
    }

    /// The next picture; labels and viewport follow one update behind the panels.
    fn next(&mut self) -> Result<Picture, String> {
        self.app.update();
        self.picture()
    }

    /// The picture when everything new has come to rest.
    fn settled(&mut self) -> Result<Picture, String> {
        (0..WARM_UP).for_each(|_| self.app.update());
        self.picture()
    }

    /// To the next station of the tour.
    fn go_on(&mut self) -> Result<(), String> {
        let state = &mut self.host().state;
        state.go_on(1);
        board(state)
    }

    fn picture(&mut self) -> Result<Picture, String> {
        let arrived = Arc::clone(&self.arrived);
        let keep = move |shot: On<ScreenshotCaptured>| {
            arrived.lock().unwrap_or_else(PoisonError::into_inner).push(shot.image.clone());
        };
        self.app.world_mut().spawn(Screenshot(self.target.clone())).observe(keep);
        for _ in 0..LATE {
            self.app.update();
            self.wait()?;
            let image = self.arrived.lock().unwrap_or_else(PoisonError::into_inner).pop();
            if let Some(image) = image {
                let (width, height) = (image.width(), image.height());
                let picture = image.try_into_dynamic().map_err(|fault| fault.to_string())?;
                return Ok(Picture { width, height, rgba: picture.to_rgba8().into_raw() });
            }
        }
        Err("the picture did not arrive from the graphics driver; try it with --low".to_owned())
    }

    /// Until the graphics driver has done everything.
    fn wait(&self) -> Result<(), String> {
        let device = self.app.world().resource::<RenderDevice>().wgpu_device();
        let done = device.poll(PollType::Wait { submission_index: None, timeout: None });
        done.map(|_| ()).map_err(|fault| format!("the graphics driver stopped: {fault}"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use panels::Club;

    #[test]
    fn a_station_is_drawn_once_while_it_stands_still() {
        let opened = open("knife-edge-pass", "foxglove", None).unwrap();
        let mut state = State::new(opened.setup, Club::default());
        state.start_tour_at(station("slow-roll").unwrap());
        board(&mut state).unwrap();
        assert!(state.asks.is_empty() && !state.wants_flight);
        let table = timetable(&mut state);
        assert_eq!(table[0], (0.0, 31), "the caption is read for three seconds");
        assert!(table[1..table.len() - 1].iter().all(|&(_, times)| times == 1));
        assert!((39..=41).contains(&table.last().unwrap().1), "the end stands for four");
        let seconds = table.iter().map(|&(_, times)| f64::from(times)).sum::<f64>() / TOUR_RATE;
        let expected = Tour::shows(state.clock.length) + 4.0;
        assert!((seconds - expected).abs() < 0.15, "{seconds} {expected}");
        assert!(station("my-pass").unwrap_err().contains("slow-roll"));
        assert_eq!((captions(1.4, (1920, 1080)), captions(1.4, (640, 360))), (1.4, 0.7));
    }
}
