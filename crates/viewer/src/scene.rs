//! The scene: field, two models with everything that moves, ribbons, shadows, the camera.

use crate::camera::sight;
use crate::field::Stage;
use crate::host::Host;
use crate::ink::{ROLES, field, flat, linear, tint};
use crate::paint::{Paint, PaintPlugin};
use crate::ribbon::Ribbon;
use crate::shape::{Moving, Tint, fixed, moving};
use crate::{axes, shape};
use airframe::Geometry;
use bevy::camera::visibility::{NoFrustumCulling, RenderLayers};
use bevy::camera::{CameraOutputMode, RenderTarget, Viewport};
use bevy::core_pipeline::tonemapping::{DebandDither, Tonemapping};
use bevy::prelude::*;
use bevy::render::render_resource::BlendState;
use bevy_egui::{EguiGlobalSettings, PrimaryEguiContext};
use panels::Look;
use report::palette::Role;
use std::sync::Arc;

/// The ghost is hidden while it is closer to the solid model than this \[m\]: they would flicker.
const HIDDEN: f32 = 0.05;
/// Of a flight by hand, which may be long, the ribbon is drawn so far from the cursor \[s\].
const NEAR: f64 = 12.0;
/// Shadows lie so far above the ground \[m\].
const SHADOW: f32 = 0.06;

/// Builds and moves the scene.
pub(crate) struct ScenePlugin;

impl Plugin for ScenePlugin {
    fn build(&self, app: &mut App) {
        app.add_plugins(PaintPlugin)
            .add_systems(Startup, paints)
            .add_systems(Update, (dress_field, dress_models, pose, ribbons, camera).chain());
    }
}

/// The eye on the field, and over it the camera that draws the panels; into `target`, or into the window.
pub(crate) fn cameras(world: &mut World, target: Option<RenderTarget>, low: bool) {
    world.resource_mut::<EguiGlobalSettings>().auto_create_primary_context = false;
    let (smooth, below, over) = if low { one_canvas() } else { two_canvases() };
    let eye =
        world.spawn((Camera3d::default(), below, smooth, Tonemapping::None, DebandDither::Disabled)).id();
    let panels = world.spawn((PrimaryEguiContext, Camera2d, Msaa::Off, RenderLayers::none(), over)).id();
    if let Some(target) = target {
        for camera in [eye, panels] {
            world.entity_mut(camera).insert(target.clone());
        }
    }
}

/// The panels drawn onto the picture of the field itself: a processor copies every pixel once instead of twice.
fn one_canvas() -> (Msaa, Camera, Camera) {
    let below = Camera { output_mode: CameraOutputMode::Skip, ..default() };
    (Msaa::Off, below, Camera { order: 1, clear_color: ClearColorConfig::None, ..default() })
}

/// Smoothed edges on the field take a canvas of their own; the panels are laid over it.
fn two_canvases() -> (Msaa, Camera, Camera) {
    let output_mode = CameraOutputMode::Write {
        blend_state: Some(BlendState::PREMULTIPLIED_ALPHA_BLENDING),
        clear_color: ClearColorConfig::None,
    };
    let clear_color = ClearColorConfig::Custom(Color::NONE);
    (Msaa::Sample4, Camera::default(), Camera { order: 1, clear_color, output_mode, ..default() })
}

/// What everything is painted with.
#[derive(Resource)]
struct Paints {
    solid: Handle<Paint>,
    clear: Handle<Paint>,
    one_sided: Handle<Paint>,
}

/// Anything that belongs to the field.
#[derive(Component)]
struct FieldPart;

/// One of the two models: 0 without the blends, 1 with them.
#[derive(Component)]
pub(crate) struct Model(pub(crate) usize);

/// A surface of a model.
#[derive(Component)]
pub(crate) struct Hinged {
    pub(crate) model: usize,
    pub(crate) surface: usize,
    axis: Vec3,
}

/// The shadow of a model: the flat one above its turning one.
#[derive(Component)]
struct Shadow(usize);

/// The turning part of a shadow.
#[derive(Component)]
struct ShadowBody(usize);

/// The ribbon of a flight.
#[derive(Component)]
struct Trail(usize);

fn paints(mut commands: Commands, mut paints: ResMut<Assets<Paint>>) {
    let mut paint = |clear, one_sided| paints.add(Paint { clear, one_sided });
    commands.insert_resource(Paints {
        solid: paint(false, false),
        clear: paint(true, false),
        one_sided: paint(true, true),
    });
}

/// The field, anew when its place or its colours change.
fn dress_field(
    mut commands: Commands,
    mut meshes: ResMut<Assets<Mesh>>,
    host: Res<Host>,
    paints: Res<Paints>,
    old: Query<Entity, With<FieldPart>>,
    mut last: Local<Option<(Stage, Look)>>,
) {
    let key = (Stage::of(&host.state.setup), host.state.look);
    if *last == Some(key) {
        return;
    }
    *last = Some(key);
    old.iter().for_each(|entity| commands.entity(entity).despawn());
    let (stage, look) = key;
    let parts = [(stage.surfaces(&look), &paints.solid), (stage.lines(&look), &paints.clear)];
    for (mesh, ink) in parts {
        commands.spawn((Mesh3d(meshes.add(mesh)), MeshMaterial3d(ink.clone()), FieldPart, NoFrustumCulling));
    }
}

/// Everything that belongs to one of the models.
type AnyOfModel = Or<(With<Model>, With<Shadow>, With<Trail>)>;

/// Both models, anew when the airframe or the colours change.
fn dress_models(
    mut commands: Commands,
    mut meshes: ResMut<Assets<Mesh>>,
    host: Res<Host>,
    paints: Res<Paints>,
    old: Query<Entity, AnyOfModel>,
    mut last: Local<Option<(Geometry, Look)>>,
) {
    let Some(show) = &host.state.show else { return };
    if last.as_ref().is_some_and(|(geometry, look)| *geometry == show.geometry && *look == host.state.look) {
        return;
    }
    *last = Some((show.geometry.clone(), host.state.look));
    old.iter().for_each(|entity| commands.entity(entity).despawn());
    let (body, surfaces) = (fixed(&show.geometry), moving(&show.geometry));
    for (i, role) in ROLES.into_iter().enumerate() {
        let ink = if role == Role::WithBlend { &paints.solid } else { &paints.clear };
        let tint = tint(&host.state.look, role);
        let root = commands.spawn((Model(i), Transform::default(), Visibility::default())).id();
        let mut child = |pieces: &shape::Pieces, place: Transform, extra: Option<Hinged>| {
            let at = commands.spawn((place, Visibility::default(), ChildOf(root))).id();
            if let Some(hinged) = extra {
                commands.entity(at).insert(hinged);
            }
            for mesh in [pieces.faces(&tint), pieces.edges(&tint)] {
                commands.spawn((Mesh3d(meshes.add(mesh)), MeshMaterial3d(ink.clone()), ChildOf(at)));
            }
        };
        child(&body, Transform::default(), None);
        for Moving { surface, at, axis, pieces } in &surfaces {
            let hinged = Hinged { model: i, surface: *surface, axis: *axis };
            child(pieces, Transform::from_translation(*at), Some(hinged));
        }
        shadow(&mut commands, &mut meshes, &host.state.look, i, &body, &paints.solid);
        commands.spawn((
            Trail(i),
            Mesh3d(meshes.add(nothing())),
            MeshMaterial3d(paints.one_sided.clone()),
            NoFrustumCulling,
        ));
    }
}

/// Until there is a ribbon: a mesh may not be empty.
fn nothing() -> Mesh {
    shape::lines(core::iter::once(([Vec3::ZERO; 2], [0.0; 4])))
}

/// The model pressed flat onto the ground below it.
fn shadow(
    commands: &mut Commands,
    meshes: &mut Assets<Mesh>,
    look: &Look,
    model: usize,
    body: &shape::Pieces,
    ink: &Handle<Paint>,
) {
    let shade = linear(look.ground.text().over(field(look).near, if model == 1 { 0.35 } else { 0.15 }), 1.0);
    let tint = Tint { upper: shade, under: shade, edge: shade };
    let root = commands.spawn((Shadow(model), Transform::default(), Visibility::default())).id();
    let turning =
        commands.spawn((ShadowBody(model), Transform::default(), Visibility::default(), ChildOf(root))).id();
    commands.spawn((
        Mesh3d(meshes.add(body.faces(&tint))),
        MeshMaterial3d(ink.clone()),
        NoFrustumCulling,
        ChildOf(turning),
    ));
}

/// Of nothing else that is posed.
type ElseUnposed = (Without<Model>, Without<Shadow>, Without<Hinged>);
type Posed<'w, 's, T, F> = Query<'w, 's, (&'static T, &'static mut Transform), F>;

/// Puts models, surfaces and shadows where they are at the cursor.
fn pose(
    host: Res<Host>,
    mut models: Query<(&Model, &mut Transform, &mut Visibility)>,
    mut hinged: Posed<Hinged, (Without<Model>, Without<Shadow>)>,
    mut shadows: Posed<Shadow, Without<Model>>,
    mut turning: Posed<ShadowBody, ElseUnposed>,
) {
    let Some(show) = &host.state.show else { return };
    let poses = [0, 1].map(|i| show.tracks[i].at(host.state.clock.time));
    let places = poses.map(|p| axes::vector(&p.position));
    let together = (places[0] - places[1]).length() < HIDDEN;
    for (model, mut place, mut visible) in &mut models {
        place.translation = places[model.0];
        place.rotation = axes::attitude(&poses[model.0].attitude);
        *visible = if model.0 == 0 && together { Visibility::Hidden } else { Visibility::Inherited };
    }
    for (surface, mut place) in &mut hinged {
        let angle = poses[surface.model].deflections[surface.surface] as f32;
        place.rotation = Quat::from_axis_angle(surface.axis, angle);
    }
    for (shadow, mut place) in &mut shadows {
        let at = places[shadow.0];
        place.translation = Vec3::new(at.x, SHADOW, at.z);
        place.scale = Vec3::new(1.0, 1e-3, 1.0);
    }
    for (body, mut place) in &mut turning {
        place.rotation = axes::attitude(&poses[body.0].attitude);
    }
}

/// What the ribbons were drawn from: which flights, their length, the cursor, the colours.
type Ribboned = (usize, f64, f64, Look);

/// The ribbons, anew when the flights or the cursor change.
fn ribbons(
    host: Res<Host>,
    mut meshes: ResMut<Assets<Mesh>>,
    trails: Query<(&Trail, &Mesh3d)>,
    mut last: Local<Option<Ribboned>>,
) {
    let Some(show) = &host.state.show else { return };
    let (time, look) = (host.state.clock.time, host.state.look);
    // the flights are not held on to here: one by hand grows in place
    let now = (Arc::as_ptr(show) as usize, show.length(), time, look);
    if trails.is_empty() || *last == Some(now) {
        return;
    }
    for (trail, mesh) in &trails {
        let dash = (trail.0 == 0).then_some((4, 2));
        let half_span = show.geometry.wing().half_span();
        let ribbon = Ribbon { half_span, tint: tint(&look, ROLES[trail.0]), dash };
        if let Some(mut mesh) = meshes.get_mut(&mesh.0) {
            *mesh =
                ribbon.mesh(&show.tracks[trail.0], time, if show.run.is_some() { f64::MAX } else { NEAR });
        }
    }
    *last = Some(now);
}

/// The camera, and the part of the window it fills.
fn camera(
    host: Res<Host>,
    mut clear: ResMut<ClearColor>,
    camera: Single<(&mut Camera, &mut Transform, &mut Projection), With<Camera3d>>,
    scale: Option<Single<&Window>>,
) {
    clear.0 = flat(host.state.look.ground.paper());
    let Some(show) = &host.state.show else { return };
    let (mut camera, mut place, mut projection) = camera.into_inner();
    let seen = sight(&host.state.view, show, &Stage::of(&host.state.setup), host.state.clock.time);
    *place = seen.place;
    *projection = Projection::Perspective(PerspectiveProjection {
        fov: seen.angle,
        near: 0.1,
        far: 5000.0,
        aspect_ratio: (host.field.width() / host.field.height().max(1.0)).max(0.1),
        ..default()
    });
    let per_point = scale.map_or(1.0, |window| window.scale_factor());
    let [from, to] =
        [host.field.min, host.field.max].map(|p| (p.to_vec2() * per_point).max(bevy_egui::egui::Vec2::ZERO));
    let size = UVec2::new((to.x - from.x) as u32, (to.y - from.y) as u32);
    let inside = camera.physical_target_size().unwrap_or_default();
    if size.x >= 16
        && size.y >= 16
        && from.x as u32 + size.x <= inside.x
        && from.y as u32 + size.y <= inside.y
    {
        let physical_position = UVec2::new(from.x as u32, from.y as u32);
        camera.viewport = Some(Viewport { physical_position, physical_size: size, ..default() });
    }
}
