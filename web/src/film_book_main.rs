//! Starts the film book.

fn main() {
    web::start_film_book();
}
