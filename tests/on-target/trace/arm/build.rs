//! Memory of the two machines, and where the trace lies in it.

use std::path::PathBuf;
use std::{env, fs};

fn main() {
    // M4: QEMU's mps2-an386, its trace in the PSRAM. M0+: an RP2040, its trace behind the first MiB of the flash.
    let m4 = env::var("TARGET").is_ok_and(|target| target.starts_with("thumbv7em"));
    let (flash, ram) = if m4 {
        ("ORIGIN = 0x00000000, LENGTH = 4M", "ORIGIN = 0x20000000, LENGTH = 4M")
    } else {
        ("ORIGIN = 0x10000000, LENGTH = 1M", "ORIGIN = 0x20000000, LENGTH = 264K")
    };
    let out = PathBuf::from(env::var_os("OUT_DIR").expect("cargo names a folder"));
    let map = format!("MEMORY {{ FLASH : {flash}\n RAM : {ram} }}\n");
    fs::write(out.join("memory.x"), map).expect("the folder can be written");
    println!("cargo:rustc-link-search={}", out.display());
    println!("cargo:rustc-link-arg-bins=--nmagic");
    println!("cargo:rustc-link-arg-bins=-Tlink.x");
    println!("cargo:rustc-check-cfg=cfg(m4)");
    if m4 {
        println!("cargo:rustc-cfg=m4");
    }
    println!("cargo:rerun-if-changed=build.rs");
}
