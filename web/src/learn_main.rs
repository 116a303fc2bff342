//! Starts the part that teaches.

fn main() {
    web::start_learn();
}
