//! Starts the page.

fn main() {
    web::start();
}
