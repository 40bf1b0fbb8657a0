//! The paint of the scene: the colour of the mesh and nothing else. The library's own material, told to be unlit,
//! gives the same picture at many times the work for every pixel, which counts where a processor draws them.

use bevy::asset::{load_internal_asset, uuid_handle};
use bevy::mesh::MeshVertexBufferLayoutRef;
use bevy::pbr::{MaterialPipeline, MaterialPipelineKey};
use bevy::prelude::*;
use bevy::render::render_resource::{
    AsBindGroup, Face, RenderPipelineDescriptor, SpecializedMeshPipelineError,
};
use bevy::shader::ShaderRef;

const SHADER: Handle<Shader> = uuid_handle!("2f1b7c0e-6d1e-4b0a-9a55-6f2c1d0b7e31");

/// How a mesh is painted.
#[derive(Asset, TypePath, AsBindGroup, Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[bind_group_data(Paint)]
pub(crate) struct Paint {
    /// Lets shine through what its colours say.
    pub(crate) clear: bool,
    /// Seen from the front alone: a ribbon has another colour on its back.
    pub(crate) one_sided: bool,
}

/// Makes [`Paint`] known to the renderer.
pub(crate) struct PaintPlugin;

impl Plugin for PaintPlugin {
    fn build(&self, app: &mut App) {
        load_internal_asset!(app, SHADER, "paint.wgsl", Shader::from_wgsl);
        app.add_plugins(MaterialPlugin::<Paint>::default());
    }
}

impl From<&Self> for Paint {
    fn from(paint: &Self) -> Self {
        *paint
    }
}

impl Material for Paint {
    fn fragment_shader() -> ShaderRef {
        SHADER.into()
    }

    fn alpha_mode(&self) -> AlphaMode {
        if self.clear { AlphaMode::Blend } else { AlphaMode::Opaque }
    }

    fn enable_prepass() -> bool {
        false
    }

    fn enable_shadows() -> bool {
        false
    }

    fn specialize(
        _: &MaterialPipeline,
        descriptor: &mut RenderPipelineDescriptor,
        _: &MeshVertexBufferLayoutRef,
        key: MaterialPipelineKey<Self>,
    ) -> Result<(), SpecializedMeshPipelineError> {
        descriptor.primitive.cull_mode = key.bind_group_data.one_sided.then_some(Face::Back);
        Ok(())
    }
}
