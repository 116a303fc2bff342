//! Has the linker note what refers to what in the programs that a build takes apart.

fn main() {
    println!("cargo::rerun-if-changed=build.rs");
    for program in ["film-book", "light", "learn"] {
        println!("cargo::rustc-link-arg-bin={program}=--emit-relocs");
    }
}
