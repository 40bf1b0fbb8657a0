//! The same bits on one thread and on many, with and without the C library's wide and fused paths.
#![allow(clippy::unwrap_used, reason = "a test may stop")]

use std::process::Command;

fn numbers(setup: &[(&str, &str)]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_countermix"))
        .args(["compare", "knife-edge-pass", "--json"])
        .envs(setup.iter().copied())
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn threads_change_nothing() {
    let one = numbers(&[("RAYON_NUM_THREADS", "1")]);
    assert!(one.contains("heading_2s_deg"));
    for threads in ["2", "7"] {
        assert_eq!(one, numbers(&[("RAYON_NUM_THREADS", threads)]), "{threads} threads");
    }
}

/// The C library picks its functions by what the processor can do; told that it can do less, it
/// takes others. Ours come from libm and do not change.
#[test]
fn the_c_library_changes_nothing() {
    let plain = numbers(&[]);
    for hidden in ["-FMA", "-FMA,-FMA4,-AVX2", "-FMA,-FMA4,-AVX2,-AVX,-AVX512F"] {
        let setup = format!("glibc.cpu.hwcaps={hidden}");
        assert_eq!(plain, numbers(&[("GLIBC_TUNABLES", &setup)]), "{hidden}");
    }
}
