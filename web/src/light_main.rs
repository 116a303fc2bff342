//! Starts the light.

fn main() {
    web::start_light();
}
