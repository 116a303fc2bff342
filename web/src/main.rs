//! Starts the page.

fn main() {
    console_error_panic_hook::set_once();
    web::start();
}
