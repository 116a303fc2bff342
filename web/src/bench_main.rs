//! Starts the bench.

fn main() {
    web::start_bench();
}
