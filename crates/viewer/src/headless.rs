//! Pictures without a display: the same scene and panels, drawn into an image.

use crate::args::Args;
use crate::clip;
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
use files::{Existing, write_file, write_folder};
use panels::fly;
use std::panic::{self, AssertUnwindSafe};
use std::path::Path;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

/// Updates before the first picture counts: always the same number.
const WARM_UP: usize = 8;
/// A picture arrives at most so many updates late.
const LATE: usize = 12;
/// Pictures of a clip per second.
const CLIP_RATE: f64 = 15.0;

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

/// Writes the whole flight: a GIF, or PNG frames into a folder if the name has no ending.
///
/// # Errors
/// As [`shot`].
pub(crate) fn clip(mut host: Host, args: &Args, path: &Path) -> Result<(), String> {
    settle(&mut host, args)?;
    let length = host.state.clock.length;
    let count = (length * CLIP_RATE).ceil() as usize + 1;
    let mut studio = Studio::new(host, args)?;
    let mut pictures = Vec::new();
    for k in 0..count {
        studio.go_to((k as f64 / CLIP_RATE).min(length));
        pictures.push(studio.picture()?);
    }
    if path.extension().is_some() {
        let bytes = clip::gif(&pictures, CLIP_RATE)?;
        return write_file(path, &bytes, existing(args)).map_err(|fault| fault.to_string());
    }
    let name = |k: usize| format!("frame-{k:04}.png");
    let frames = pictures.iter().enumerate().map(|(k, p)| Ok((name(k), clip::png(p)?)));
    let frames = frames.collect::<Result<Vec<_>, String>>()?;
    write_folder(path, &frames, existing(args)).map_err(|fault| fault.to_string())
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

/// Flies at once and goes to the moment asked for.
fn settle(host: &mut Host, args: &Args) -> Result<(), String> {
    let show = fly(&host.state.setup)?;
    let headline = show.judged.map_or(0.0, |(begins, _)| begins + manoeuvre::HEADLINE);
    host.state.receive(Ok(Arc::new(show)));
    host.state.wants_flight = false;
    host.state.clock.playing = false;
    host.state.clock.scrub(args.at.unwrap_or(headline));
    Ok(())
}

/// The app, drawing into an image, moved on by hand.
struct Studio {
    app: App,
    target: RenderTarget,
    arrived: Arc<Mutex<Vec<Image>>>,
}

impl Studio {
    fn new(host: Host, args: &Args) -> Result<Self, String> {
        let (size, low) = (args.size, args.low);
        let hook = panic::take_hook();
        panic::set_hook(Box::new(|_| {}));
        let built = panic::catch_unwind(AssertUnwindSafe(move || Self::build(host, size, low)));
        panic::set_hook(hook);
        built.map_err(|words| {
            let text = words.downcast_ref::<String>().cloned();
            let text = text.or_else(|| words.downcast_ref::<&str>().map(|s| (*s).to_owned()));
            trouble(&text.unwrap_or_default())
        })
    }

    fn build(host: Host, (width, height): (u32, u32), low: bool) -> Self {
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
        .insert_resource(TimeUpdateStrategy::ManualDuration(Duration::from_secs_f64(1.0 / 60.0)))
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

    /// Moves the cursor; labels and viewport follow one update behind the panels.
    fn go_to(&mut self, time: f64) {
        self.host().state.clock.scrub(time);
        self.app.update();
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
