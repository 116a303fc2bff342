//! Starts what measures scans, beside the page.

fn main() {
    web::start_measuring();
}
